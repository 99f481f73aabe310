//! The place of a fault on the copper.

use crate::grid::Grid;
use plan::Fault;

/// A round place, in µm from the copper's top left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Spot {
    pub(super) x_um: f64,
    pub(super) y_um: f64,
    pub(super) radius_um: f64,
    /// 0–1; never 0.
    pub(super) size: f64,
    pub(super) seed: u32,
}

impl Spot {
    /// The place of a fault whose own is one on the copper; `None` where there is nothing of it.
    pub(super) fn of(fault: &Fault) -> Option<Self> {
        (fault.size > 0.0).then_some(Self {
            x_um: fault.x_mm * 1000.0,
            y_um: fault.y_mm * 1000.0,
            radius_um: fault.radius_mm * 1000.0,
            size: fault.size,
            seed: fault.seed,
        })
    }

    /// How much of the fault there is at a place: 1 in the middle, falling smoothly to 0 at the radius.
    #[inline(never)] // keeps the page small
    pub(super) fn weight(&self, x_um: f64, y_um: f64) -> f64 {
        let (dx, dy) = (x_um - self.x_um, y_um - self.y_um);
        let inside = 1.0 - (dx * dx + dy * dy) / (self.radius_um * self.radius_um);
        if inside > 0.0 { inside * inside } else { 0.0 }
    }

    /// The columns and rows of a raster within the spot's radius; `None` where it does not reach.
    #[inline(never)] // keeps the page small
    pub(super) fn pixels(&self, grid: &Grid) -> Option<[usize; 4]> {
        let px_um = f64::from(grid.px_um);
        let span = |middle_um: f64, from_px: i64, length: usize| {
            let at = |um: f64| libm::floor(um / px_um) - from_px as f64;
            let from = at(middle_um - self.radius_um).clamp(0.0, length as f64) as usize;
            let to = (at(middle_um + self.radius_um) + 1.0).clamp(0.0, length as f64) as usize;
            (from < to).then_some((from, to))
        };
        let (left, right) = span(self.x_um, grid.left_px, grid.width)?;
        let (top, bottom) = span(self.y_um, grid.top_px, grid.height)?;
        Some([left, right, top, bottom])
    }
}

/// Middle of a pixel, µm from the copper's edge.
pub(super) fn middle_um(first_px: i64, at: usize, px_um: f32) -> f64 {
    ((first_px + at as i64) as f64 + 0.5) * f64::from(px_um)
}
