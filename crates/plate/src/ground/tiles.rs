//! Tiles kept for a while, and windows put together from them.

use super::{Dome, Ground, GroundTile, merge::Bench};
use std::collections::BTreeMap;

/// Tiles of one ground, kept for the next window.
///
/// Holds at most a given number of domes besides the tiles of the window just gathered; those
/// longest unused go first. Make a new one, or [`TileCache::clear`] it, for another ground.
#[derive(Clone, Debug, Default)]
pub struct TileCache {
    most_domes: usize,
    domes: usize,
    now: u64,
    tiles: BTreeMap<(i32, i32), (u64, GroundTile)>,
    bench: Bench,
}

impl TileCache {
    /// A cache for about `most_domes` domes (20 bytes each).
    #[must_use]
    pub fn new(most_domes: usize) -> Self {
        Self { most_domes, ..Self::default() }
    }

    /// Forgets all tiles.
    pub fn clear(&mut self) {
        self.tiles.clear();
        self.domes = 0;
    }

    /// Number of tiles held.
    #[must_use]
    pub fn len(&self) -> usize {
        self.tiles.len()
    }

    /// True when no tile is held.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.tiles.is_empty()
    }

    /// Domes in the tiles held.
    #[must_use]
    pub fn domes(&self) -> usize {
        self.domes
    }

    /// Puts into `out` the domes of `ground` whose discs reach into the window grown by `reach_um` on every
    /// side, relative to the window's top left, and returns whether any tile among them has
    /// overlapping domes. Lengths in µm from the plate's top left. `out` is emptied first.
    ///
    /// The places of domes are kept relative to their tile and moved in double precision, so all
    /// windows agree about them to the rounding of one f32.
    #[expect(clippy::too_many_arguments, reason = "a window is four numbers")]
    pub fn gather(
        &mut self,
        ground: &Ground,
        left_um: f64,
        top_um: f64,
        width_um: f64,
        height_um: f64,
        reach_um: f32,
        out: &mut Vec<Dome>,
    ) -> bool {
        out.clear();
        let tile_um = ground.tile_um();
        let reach = f64::from(reach_um) + ground.largest_um();
        let index = |at_um: f64| libm::floor(at_um / tile_um) as i32;
        let columns = index(left_um - reach)..=index(left_um + width_um + reach);
        let rows = index(top_um - reach)..=index(top_um + height_um + reach);
        let (right, bottom) = (width_um as f32 + reach_um, height_um as f32 + reach_um);
        self.now += 1;
        let mut overlapping = false;
        for iy in rows {
            for ix in columns.clone() {
                let tile = self.tile(ground, ix, iy);
                overlapping |= tile.overlapping;
                let dx = f64::from(ix) * tile_um - left_um;
                let dy = f64::from(iy) * tile_um - top_um;
                out.extend(tile.domes.iter().filter_map(|dome| {
                    let x_um = (f64::from(dome.x_um) + dx) as f32;
                    let y_um = (f64::from(dome.y_um) + dy) as f32;
                    let radius_um = dome.radius_um;
                    let near = x_um + radius_um > -reach_um
                        && x_um - radius_um < right
                        && y_um + radius_um > -reach_um
                        && y_um - radius_um < bottom;
                    near.then_some(Dome { x_um, y_um, radius_um })
                }));
            }
        }
        self.forget();
        overlapping
    }

    /// The tile, worked out now unless it is held.
    fn tile(&mut self, ground: &Ground, ix: i32, iy: i32) -> &GroundTile {
        let (now, bench, domes) = (self.now, &mut self.bench, &mut self.domes);
        let (used, tile) = self.tiles.entry((iy, ix)).or_insert_with(|| {
            let tile = ground.tile_with(ix, iy, bench);
            *domes += tile.domes.len();
            (now, tile)
        });
        *used = now;
        tile
    }

    /// Forgets the tiles longest unused until few enough domes are held; never those of the window
    /// just gathered.
    fn forget(&mut self) {
        while self.domes > self.most_domes {
            let oldest = self.tiles.iter().map(|(&key, (used, _))| (*used, key)).min();
            let Some((used, key)) = oldest else { break };
            if used == self.now {
                break;
            }
            if let Some((_, tile)) = self.tiles.remove(&key) {
                self.domes -= tile.domes.len();
            }
        }
    }
}
