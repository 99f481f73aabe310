//! Distance under the resin over a window of the copper.

use crate::grid::Grid;
use crate::ground::{Dome, Extent, Ground, TileCache};
use crate::resist::{Reaches, ResistScratch, distance_by_bands};

/// Gathers the domes over one window and finds the distance under the resin, µm, as far as `reach_um`
/// under it, or no farther than each place of `reaches` asks; after each band of rows, `then` is given all so far and the band's first pixel.
#[allow(clippy::too_many_arguments, reason = "a ground, a window and caller-owned buffers")]
pub(super) fn distances(
    tiles: &mut TileCache,
    ground: &Ground,
    copper: Extent,
    grid: &Grid,
    (reach_um, reaches): (f32, Option<&Reaches>),
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
    let reaches = (reach_um, reaches);
    distance_by_bands(domes, overlapping, size, reaches, resist, distance_um, then);
}
