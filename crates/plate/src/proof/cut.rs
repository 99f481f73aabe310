//! The cut: a section through resin, copper and ink under a line of the print.

use super::Plate;
use super::window::mirrored;
use crate::grid::Grid;

/// Which section to cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CutRequest {
    /// Left end on the print, µm.
    pub left_um: f64,
    /// Height of the line on the print, µm from the top.
    pub y_um: f64,
    /// Length, µm.
    pub width_um: f64,
    /// After how many bites (0 is before the first).
    pub after_bites: usize,
    /// Show the ink left after wiping; only after the last bite.
    pub inked: bool,
}

/// Heights along a line, left to right as the print shows it; 0 is the old surface of the copper,
/// up is positive, NaN where there is nothing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cut {
    /// Distance between places, µm.
    pub step_um: f32,
    /// Surface of the copper.
    pub copper_um: Vec<f32>,
    /// Top of the resin.
    pub resin_um: Vec<f32>,
    /// Surface of the ink left after wiping.
    pub ink_um: Vec<f32>,
    /// Value of each place.
    pub value: Vec<u8>,
}

/// Distance between places of a cut, µm.
const CUT_PX_UM: f32 = 2.0;
/// Longest cut, µm.
const LONGEST_UM: f64 = 10_000.0;
/// Ink films thinner than this above the copper are not drawn, µm.
const DRAWN_INK_UM: f32 = 0.3;

impl Plate {
    /// Cuts through the plate.
    pub fn cut(&mut self, request: &CutRequest) -> Cut {
        let px_um = f64::from(CUT_PX_UM);
        let size_px = self.size_px(CUT_PX_UM);
        let width =
            (libm::ceil(request.width_um.clamp(px_um, LONGEST_UM) / px_um) as i64).min(size_px.0);
        let row = (libm::floor(request.y_um / px_um) as i64).clamp(0, size_px.1 - 1);
        let left = (libm::floor(request.left_um / px_um) as i64).clamp(0, size_px.0 - width);
        let line =
            Grid { left_px: left, top_px: row, width: width as usize, height: 1, px_um: CUT_PX_UM };
        let copper = mirrored(&line, size_px.0);
        let bites = self.plan.bites.len();
        let after_bites = request.after_bites.min(bites);
        let inked = request.inked && after_bites == bites;
        let ink = if inked { Some(self.print_on_copper(&copper)) } else { None };
        // A second bite of the line alone: the cut is thin, and its copper needs no wide margin.
        let padded = self.bite_around(&copper, after_bites);
        let start = padded.index_of(&copper, 0);
        let fields = &self.window;
        let pick = start..start + copper.width;
        let depth_um = &fields.depth_um[pick.clone()];
        let mut cut = Cut {
            step_um: CUT_PX_UM,
            copper_um: depth_um.iter().map(|depth| -depth).collect(),
            resin_um: if inked || !fields.plane_um.is_empty() {
                vec![f32::NAN; copper.width]
            } else {
                self.resin_profile(&copper, &padded, after_bites)
            },
            ink_um: if let Some(ink) = ink {
                let held = &fields.ink.held_um()[ink.index_of(&copper, 0)..][..copper.width];
                depth_um
                    .iter()
                    .zip(held)
                    .map(
                        |(&depth, &held)| if held > DRAWN_INK_UM { held - depth } else { f32::NAN },
                    )
                    .collect()
            } else {
                vec![f32::NAN; copper.width]
            },
            value: fields.value[pick].to_vec(),
        };
        cut.copper_um.reverse();
        cut.resin_um.reverse();
        cut.ink_um.reverse();
        cut.value.reverse();
        cut
    }

    /// Top of the resin along a line of the copper; domes whose footprint is undercut all round
    /// have floated off.
    fn resin_profile(&self, line: &Grid, padded: &Grid, after_bites: usize) -> Vec<f32> {
        let etch_factor = self.constants.bite.etch_factor;
        let fields = &self.window;
        let mut top_um = vec![f32::NAN; line.width];
        let y_um = ((line.top_px - padded.top_px) as f32 + 0.5) * line.px_um;
        let offset_px = (line.left_px - padded.left_px) as usize;
        let row_start = (line.top_px - padded.top_px) as usize * padded.width + offset_px;
        for dome in &fields.domes {
            let off_um = dome.y_um - y_um;
            if off_um.abs() >= dome.radius_um {
                continue;
            }
            let centre_px = ((dome.x_um / line.px_um) as usize).saturating_sub(offset_px);
            let pixel = row_start + centre_px.min(line.width - 1);
            let value = usize::from(fields.value[pixel]);
            let dose_um = match fields.dose_um.get(pixel) {
                Some(dose) => f64::from(*dose),
                None => self.session.dose_um[value.min(after_bites)],
            };
            let undercut_um = dose_um / etch_factor;
            if f64::from(dome.radius_um) <= undercut_um {
                continue;
            }
            let height_um = self.baked.height_um(dome.radius_um);
            // A spherical cap: sphere of radius r through the rim and the top.
            let r = (dome.radius_um * dome.radius_um + height_um * height_um) / (2.0 * height_um);
            for (i, top) in top_um.iter_mut().enumerate() {
                let x_um = ((offset_px + i) as f32 + 0.5) * line.px_um - dome.x_um;
                let d2 = x_um * x_um + off_um * off_um;
                if d2 < dome.radius_um * dome.radius_um {
                    let z = (r * r - d2).sqrt() - (r - height_um);
                    *top = if top.is_nan() { z } else { top.max(z) };
                }
            }
        }
        top_um
    }
}
