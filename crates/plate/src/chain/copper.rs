//! The copper from above: what the bath has taken, and what is left of the ground.

use super::place::{clipped, left_on_print, mirrored};
use super::window::Bitten;
use super::{Looking, Plate};
use crate::grid::Grid;
use crate::ground::Dome;

/// The copper from above, laid out as on the print.
#[derive(Clone, Debug, PartialEq)]
pub struct CopperWindow {
    /// Columns.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Depth of copper gone, µm; 0 off the plate.
    pub depth_um: Vec<f32>,
    /// Share of each pixel under resin that still holds, 0–1.
    pub cover: Vec<f32>,
}

/// A place of the copper from above, and in the cut along its middle row, laid out as on the print.
#[derive(Clone, Debug, PartialEq)]
pub struct CopperSection {
    /// From above.
    pub window: CopperWindow,
    /// Top of the resin along the middle row, µm over the copper it was laid on; NaN where there is none.
    pub resin_um: Vec<f32>,
    /// How far tools have lowered the lands of the place at most, µm.
    pub lowered_um: f64,
}

impl Looking<'_> {
    /// The copper from above after some bites (0 is before the first), with what is left of the
    /// ground. `grid` is a raster on the print.
    pub fn copper_window(&mut self, grid: &Grid, after_bites: usize) -> CopperWindow {
        self.copper_and_resin(grid, after_bites, None).0
    }

    /// The same of a place that lies on the plate, with the cut along its middle row.
    pub fn copper_section(&mut self, grid: &Grid, after_bites: usize) -> CopperSection {
        let (window, resin_um, lowered_um) =
            self.copper_and_resin(grid, after_bites, Some(grid.height / 2));
        CopperSection { window, resin_um, lowered_um }
    }

    fn copper_and_resin(
        &mut self,
        grid: &Grid,
        after_bites: usize,
        row: Option<usize>,
    ) -> (CopperWindow, Vec<f32>, f64) {
        let plate = self.plate;
        let size_px = plate.size_px(grid.px_um);
        let after_bites = after_bites.min(plate.plan().bites.len());
        let copper = clipped(&mirrored(grid, size_px.0), size_px);
        let mut window = CopperWindow {
            width: grid.width,
            height: grid.height,
            depth_um: vec![0.0; grid.len()],
            cover: vec![0.0; grid.len()],
        };
        if copper.is_empty() {
            return (window, Vec::new(), 0.0);
        }
        let bitten = self.bite_around(&copper, after_bites);
        let padded = bitten.grid;
        let etch_factor = plate.constants().bite.etch_factor;
        let doses_um = &plate.session().dose_um;
        let undercut_um: Vec<f32> = (0..doses_um.len())
            .map(|value| (doses_um[value.min(after_bites)] / etch_factor) as f32)
            .collect();
        let mut cover = vec![0.0_f32; padded.len()];
        // After later work the ground is gone, and domes are given from another corner.
        let domes = if bitten.plane_um.is_empty() { bitten.domes } else { &[] };
        for dome in domes {
            cover_with(dome, &bitten, &undercut_um, etch_factor, &mut cover);
        }
        let to_left = left_on_print(&copper, grid, size_px.0);
        for row in 0..copper.height {
            let from = padded.index_of(&copper, row);
            let to = ((copper.top_px - grid.top_px) as usize + row) * grid.width + to_left;
            for i in 0..copper.width {
                let mirror = to + copper.width - 1 - i;
                window.depth_um[mirror] = bitten.depth_um[from + i];
                window.cover[mirror] = cover[from + i];
            }
        }
        let Some(row) = row else { return (window, Vec::new(), 0.0) };
        if !bitten.plane_um.is_empty() {
            let rows = (0..copper.height).map(|row| padded.index_of(&copper, row));
            let lowered = rows.flat_map(|from| &bitten.plane_um[from..from + copper.width]);
            let lowered_um = lowered.fold(0.0_f64, |most, &um| most.max(f64::from(um)));
            return (window, vec![f32::NAN; copper.width], lowered_um);
        }
        let line = Grid { top_px: copper.top_px + row as i64, height: 1, ..copper };
        let mut resin_um = bitten.resin_profile(plate, &line, after_bites);
        resin_um.reverse();
        (window, resin_um, 0.0)
    }
}

impl Bitten<'_> {
    /// Top of the resin along a line of the copper; domes whose footprint is undercut all round
    /// have floated off.
    pub(super) fn resin_profile(&self, plate: &Plate, line: &Grid, after_bites: usize) -> Vec<f32> {
        let etch_factor = plate.constants().bite.etch_factor;
        let padded = &self.grid;
        let mut top_um = vec![f32::NAN; line.width];
        let y_um = ((line.top_px - padded.top_px) as f32 + 0.5) * line.px_um;
        let offset_px = (line.left_px - padded.left_px) as usize;
        let row_start = (line.top_px - padded.top_px) as usize * padded.width + offset_px;
        for dome in self.domes {
            let off_um = dome.y_um - y_um;
            if off_um.abs() >= dome.radius_um {
                continue;
            }
            let centre_px = ((dome.x_um / line.px_um) as usize).saturating_sub(offset_px);
            let pixel = row_start + centre_px.min(line.width - 1);
            let value = usize::from(self.value[pixel]);
            let dose_um = match self.dose_um.get(pixel) {
                Some(dose) => f64::from(*dose),
                None => plate.session().dose_um[value.min(after_bites)],
            };
            let undercut_um = dose_um / etch_factor;
            if f64::from(dome.radius_um) <= undercut_um {
                continue;
            }
            let height_um = plate.baked().height_um(dome.radius_um);
            raise_cap(dome, off_um, height_um, offset_px, line.px_um, &mut top_um);
        }
        top_um
    }
}

/// Adds a dome's share of each pixel, unless it has been undercut all round and floated off.
fn cover_with(
    dome: &Dome,
    bitten: &Bitten<'_>,
    undercut_um: &[f32],
    etch_factor: f64,
    cover: &mut [f32],
) {
    let grid = &bitten.grid;
    let place =
        |um: f32, size: usize| ((um / grid.px_um) as i64).clamp(0, size as i64 - 1) as usize;
    let (x, y) = (place(dome.x_um, grid.width), place(dome.y_um, grid.height));
    let pixel = y * grid.width + x;
    let undercut = match bitten.dose_um.get(pixel) {
        Some(dose) => (f64::from(*dose) / etch_factor) as f32,
        None => undercut_um[usize::from(bitten.value[pixel])],
    };
    if dome.radius_um <= undercut {
        return;
    }
    cover_disc(dome, grid, cover);
}

/// Adds to `cover`, one number 0–1 per pixel of `grid`, a disc's share of each pixel; where discs overlap the
/// larger share stands. The disc's place is in µm from the grid's top left.
pub fn cover_disc(dome: &Dome, grid: &Grid, cover: &mut [f32]) {
    let from = |centre_um: f32| ((centre_um - dome.radius_um) / grid.px_um - 1.0).max(0.0) as usize;
    let to = |centre_um: f32, size: usize| {
        (((centre_um + dome.radius_um) / grid.px_um + 2.0).max(0.0) as usize).min(size)
    };
    for row in from(dome.y_um)..to(dome.y_um, grid.height) {
        let dy = (row as f32 + 0.5) * grid.px_um - dome.y_um;
        for column in from(dome.x_um)..to(dome.x_um, grid.width) {
            let dx = (column as f32 + 0.5) * grid.px_um - dome.x_um;
            let inside = dome.radius_um - (dx * dx + dy * dy).sqrt();
            let share = (inside / grid.px_um + 0.5).clamp(0.0, 1.0);
            let pixel = &mut cover[row * grid.width + column];
            *pixel = pixel.max(share);
        }
    }
}

/// Raises the tops along a line where a dome, `off_um` away from it, stands higher: a spherical cap
/// through its rim and its top. The line begins `offset_px` to the right of where domes are counted from.
pub fn raise_cap(
    dome: &Dome,
    off_um: f32,
    height_um: f32,
    offset_px: usize,
    px_um: f32,
    top_um: &mut [f32],
) {
    let r = (dome.radius_um * dome.radius_um + height_um * height_um) / (2.0 * height_um);
    for (i, top) in top_um.iter_mut().enumerate() {
        let x_um = ((offset_px + i) as f32 + 0.5) * px_um - dome.x_um;
        let d2 = x_um * x_um + off_um * off_um;
        if d2 < dome.radius_um * dome.radius_um {
            let z = (r * r - d2).sqrt() - (r - height_um);
            *top = if top.is_nan() { z } else { top.max(z) };
        }
    }
}
