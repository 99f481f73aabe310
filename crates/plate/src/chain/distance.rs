//! Distance under the resin over a window of the copper.

use crate::grid::Grid;
use crate::ground::{Dome, Extent, Ground, TileCache};
use crate::resist::{ResistScratch, distance_by_bands};

/// Gathers the domes over one window and finds the distance under the resin, µm, as far as `reach_um`
/// under it; after each band of rows, `then` is given all so far and the band's first pixel.
#[allow(clippy::too_many_arguments, reason = "a ground, a window and caller-owned buffers")]
pub(super) fn distances(
    tiles: &mut TileCache,
    ground: &Ground,
    copper: Extent,
    grid: &Grid,
    reach_um: f32,
    domes: &mut Vec<Dome>,
    resist: &mut ResistScratch,
    distance_um: &mut Vec<f32>,
    then: &mut dyn FnMut(&mut [f32], usize),
) {
    let px_um = f64::from(grid.px_um);
    let (width_um, height_um) = (grid.width as f64 * px_um, grid.height as f64 * px_um);
    let (left_um, top_um) = (grid.left_um(), grid.top_um());
    let overlapping =
        tiles.gather_on(copper, ground, left_um, top_um, width_um, height_um, reach_um, domes);
    let size = (grid.width, grid.height, grid.px_um);
    distance_by_bands(domes, overlapping, size, reach_um, resist, distance_um, then);
}
