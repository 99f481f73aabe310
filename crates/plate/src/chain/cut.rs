//! The cut: a section through resin, copper and ink under a line of the print.

use super::Looking;
use super::place::{clipped, mirrored};
use crate::grid::Grid;
use crate::ink::InkScratch;

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
    /// Surface that the ground was laid on: below 0 in lines etched before it.
    pub base_um: Vec<f32>,
    /// Top of the resin.
    pub resin_um: Vec<f32>,
    /// Surface of the ink left after wiping.
    pub ink_um: Vec<f32>,
    /// Value of each place.
    pub value: Vec<u8>,
}

/// A cut in numbers, for whoever does not see it.
#[derive(Clone, Copy, Debug, Default, PartialEq, serde::Serialize, ts_rs::TS)]
pub struct CutFacts {
    /// Copper gone, mean of all places, µm.
    pub depth_um: f64,
    /// Share of the places where the copper stands at its old height, 0–1.
    pub land: f64,
    /// Domes of resin cut through.
    pub domes: usize,
    /// Share of the places where resin overhangs bitten copper, 0–1.
    pub undercut: f64,
    /// Ink, mean of all places, µm.
    pub held_um: f64,
}

/// Copper that lies less than this below a surface still stands at its height, µm.
const STANDS_UM: f32 = 0.05;

impl Cut {
    /// The cut in numbers.
    #[must_use]
    pub fn facts(&self) -> CutFacts {
        let mut facts = CutFacts::default();
        let each = 1.0 / self.copper_um.len().max(1) as f64;
        let mut before = false;
        for (i, &copper) in self.copper_um.iter().enumerate() {
            let (base, ink) = (self.base_um[i], self.ink_um[i]);
            let resin = self.resin_um[i] > base;
            facts.depth_um -= f64::from(copper) * each;
            facts.land += if copper > -STANDS_UM { each } else { 0.0 };
            facts.domes += usize::from(resin && !before);
            facts.undercut += if resin && copper < base - STANDS_UM { each } else { 0.0 };
            facts.held_um += if ink > copper { f64::from(ink - copper) * each } else { 0.0 };
            before = resin;
        }
        facts
    }
}

/// Distance between places of a cut, µm.
const CUT_PX_UM: f32 = 2.0;
/// Longest cut, µm.
const LONGEST_UM: f64 = 10_000.0;
/// The cloth is felt out on pixels of this size, µm, those of the linen tester: its level changes over
/// many of them.
const CLOTH_PX_UM: f32 = 4.0;
/// Ink films thinner than this above the copper are not drawn, µm.
const DRAWN_INK_UM: f32 = 0.3;

impl Looking<'_> {
    /// Cuts through the plate.
    pub fn cut(&mut self, request: &CutRequest) -> Cut {
        let (plate, inking) = (self.plate, self.inking);
        let px_um = f64::from(CUT_PX_UM);
        let size_px = plate.size_px(CUT_PX_UM);
        let width =
            (libm::ceil(request.width_um.clamp(px_um, LONGEST_UM) / px_um) as i64).min(size_px.0);
        let row = (libm::floor(request.y_um / px_um) as i64).clamp(0, size_px.1 - 1);
        let left = (libm::floor(request.left_um / px_um) as i64).clamp(0, size_px.0 - width);
        let line =
            Grid { left_px: left, top_px: row, width: width as usize, height: 1, px_um: CUT_PX_UM };
        let copper = mirrored(&line, size_px.0);
        let bites = plate.plan().bites.len();
        let after_bites = request.after_bites.min(bites);
        let inked = request.inked && after_bites == bites;
        let cloth_um = inked.then(|| self.cloth_along(&copper));
        let base_um = self.base_along(&copper);
        let bitten = self.bite_around(&copper, after_bites);
        let start = bitten.grid.index_of(&copper, 0);
        let pick = start..start + copper.width;
        let depth_um = &bitten.depth_um[pick.clone()];
        let mut cut = Cut {
            step_um: CUT_PX_UM,
            copper_um: depth_um.iter().map(|depth| -depth).collect(),
            resin_um: if inked || !bitten.plane_um.is_empty() {
                vec![f32::NAN; copper.width]
            } else {
                let mut top_um = bitten.resin_profile(plate, &copper, after_bites);
                for (top, base) in top_um.iter_mut().zip(&base_um) {
                    *top += base;
                }
                top_um
            },
            base_um,
            ink_um: if let Some(cloth_um) = cloth_um {
                let mut held_um = vec![0.0; copper.width];
                inking.hold_under(depth_um, &cloth_um, &mut held_um);
                if let Some(mut left) = plate.faults().press.left(&copper) {
                    let mut more_um = vec![0.0; copper.width];
                    let _ = left.row(0, &mut more_um);
                    held_um.iter_mut().zip(more_um).for_each(|(held, more)| *held += more);
                }
                let surface = |(&depth, held): (&f32, f32)| {
                    if held > DRAWN_INK_UM { held - depth } else { f32::NAN }
                };
                depth_um.iter().zip(held_um).map(surface).collect()
            } else {
                vec![f32::NAN; copper.width]
            },
            value: bitten.value[pick].to_vec(),
        };
        cut.copper_um.reverse();
        cut.base_um.reverse();
        cut.resin_um.reverse();
        cut.ink_um.reverse();
        cut.value.reverse();
        cut
    }

    /// Surface of the copper along a line of it before the first ground is laid, µm: polished, with the
    /// etched lines in it.
    fn base_along(&mut self, line: &Grid) -> Vec<f32> {
        if self.plate.bites_lines(self.printed) {
            let bitten = self.bite_around(line, 0);
            let start = bitten.grid.index_of(line, 0);
            return bitten.depth_um[start..][..line.width].iter().map(|um| -um).collect();
        }
        vec![0.0; line.width]
    }

    /// Level of the cloth along a line of the copper after the last bite, µm below the old surface.
    fn cloth_along(&mut self, line: &Grid) -> Vec<f32> {
        let px_um = f64::from(CLOTH_PX_UM);
        let (plate, inking) = (self.plate, self.inking);
        let margin_um = inking.cloth_margin_um();
        let span = |from_um: f64, pixels: usize| {
            let to_um = from_um + pixels as f64 * f64::from(line.px_um);
            let first = libm::floor((from_um - margin_um) / px_um);
            (first as i64, (libm::ceil((to_um + margin_um) / px_um) - first) as usize)
        };
        let (left_px, width) = span(line.left_um(), line.width);
        let (top_px, height) = span(line.top_um(), line.height);
        let around = Grid { left_px, top_px, width, height, px_um: CLOTH_PX_UM };
        let around = clipped(&around, plate.size_px(CLOTH_PX_UM));
        let bitten = self.bite_window(&around, plate.plan().bites.len());
        let mut level_um = Vec::new();
        let scratch = &mut InkScratch::default();
        inking.cloth_level_um(bitten.depth_um, &around, scratch, &mut level_um);
        let row = ((line.top_um() - around.top_um()) / px_um) as usize;
        let row = &level_um[row.min(around.height - 1) * around.width..][..around.width];
        let left_um = line.left_um() - around.left_um();
        (0..line.width)
            .map(|i| {
                let x_um = left_um as f32 + (i as f32 + 0.5) * line.px_um;
                let place = (x_um / CLOTH_PX_UM - 0.5).clamp(0.0, (around.width - 1) as f32);
                let (here, share) = (place as usize, place - libm::floorf(place));
                let next = row[(here + 1).min(around.width - 1)];
                row[here] + (next - row[here]) * share
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::{Cut, CutFacts};

    #[test]
    fn a_cut_is_told_in_numbers() {
        let nan = f32::NAN;
        let cut = Cut {
            step_um: 2.0,
            copper_um: vec![0.0, 0.0, -4.0, -4.0, -2.0],
            base_um: vec![0.0; 5],
            resin_um: vec![3.0, 4.0, 2.0, nan, 1.0],
            ink_um: vec![nan, nan, nan, -3.0, nan],
            value: vec![1; 5],
        };
        let facts = cut.facts();
        assert_eq!(facts.domes, 2, "one over three places, one over the last");
        let near = |got: f64, want: f64, what| assert!((got - want).abs() < 1e-9, "{what}: {got}");
        near(facts.depth_um, 2.0, "mean depth");
        near(facts.land, 0.4, "two of five stand");
        near(facts.undercut, 0.4, "resin over two bitten places");
        near(facts.held_um, 0.2, "1 µm of ink in one place");
        assert_eq!(Cut::default().facts(), CutFacts::default(), "an empty cut");
    }
}
