//! Places: the print is the mirror image of the plate, and only this file turns it over.

use crate::grid::Grid;
use plan::{Fault, Plan};

/// The part of `grid` that lies on a plate of this size in pixels.
#[must_use]
pub fn clipped(grid: &Grid, size_px: (i64, i64)) -> Grid {
    let span = |from: i64, length: usize, size: i64| {
        let start = from.clamp(0, size);
        let end = (from + length as i64).clamp(start, size);
        (start, (end - start) as usize)
    };
    let (left_px, width) = span(grid.left_px, grid.width, size_px.0);
    let (top_px, height) = span(grid.top_px, grid.height, size_px.1);
    Grid { left_px, top_px, width, height, px_um: grid.px_um }
}

/// Keeps the part of a field over `wide` that lies over `grid`.
pub(super) fn crop<T: Copy>(field: &mut Vec<T>, wide: &Grid, grid: &Grid) {
    if wide == grid {
        return;
    }
    for row in 0..grid.height {
        let from = wide.index_of(grid, row);
        field.copy_within(from..from + grid.width, row * grid.width);
    }
    field.truncate(grid.len());
}

/// A raster on the print, as the raster on the copper that prints it.
#[must_use]
pub fn mirrored(grid: &Grid, plate_width_px: i64) -> Grid {
    Grid { left_px: plate_width_px - grid.left_px - grid.width as i64, ..*grid }
}

/// Column of `grid`, a raster on the print, at which the last column of `copper` prints: the paper
/// lies on the plate face to face.
pub(super) fn left_on_print(copper: &Grid, grid: &Grid, plate_width_px: i64) -> usize {
    (plate_width_px - copper.left_px - copper.width as i64 - grid.left_px) as usize
}

/// Turns a field over the copper into one over the print, or back, row by row.
pub fn turn_over<T>(field: &mut [T], width: usize) {
    for row in field.chunks_exact_mut(width.max(1)) {
        row.reverse();
    }
}

/// A plan's faults where they lie on its copper: their own places are those of the print.
pub(super) fn faults_on_copper(plan: &Plan) -> Vec<Fault> {
    let turned = |fault: &Fault| Fault { x_mm: plan.plate.width_mm - fault.x_mm, ..fault.clone() };
    plan.faults.iter().map(turned).collect()
}

/// A place on the print, mm, as one on the copper, µm.
#[must_use]
pub fn turned(plan: &Plan, [x_mm, y_mm]: [f64; 2]) -> [f32; 2] {
    [((plan.plate.width_mm - x_mm) * 1000.0) as f32, (y_mm * 1000.0) as f32]
}
