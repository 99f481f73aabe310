//! Tiles kept for a while, and windows put together from them.

use super::{Dome, Ground, melt::MeltScratch};
use core::ops::RangeInclusive;

/// Tiles of one ground, kept for the next window.
///
/// Holds at most a given number of domes besides the tiles of the window just gathered. Make a new one,
/// or [`TileCache::clear`] it, for another ground.
#[derive(Clone, Debug, Default)]
pub struct TileCache {
    most_domes: usize,
    domes: usize,
    now: u64,
    /// In the order of row and column.
    tiles: Vec<HeldTile>,
    melt: MeltScratch,
}

/// Tiles of so many windows are near by: the next may ask for them.
const NEAR_BY: u64 = 64;

/// From where to where there is copper, µm from the plate's top left.
///
/// No resin lies off the copper: domes whose centre would are left out, and no ground is laid there.
/// Grains beyond the edge still count among the neighbours of those within, so that a tile stays a
/// function of its place alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extent {
    from_um: f64,
    right_um: f64,
    bottom_um: f64,
}

impl Extent {
    /// Copper without an edge, for what stands for a ground as a whole.
    pub const ENDLESS: Self =
        Self { from_um: f64::NEG_INFINITY, right_um: f64::INFINITY, bottom_um: f64::INFINITY };

    /// A plate of this width and height, µm.
    #[must_use]
    pub fn plate(width_um: f64, height_um: f64) -> Self {
        Self { from_um: 0.0, right_um: width_um, bottom_um: height_um }
    }

    /// Columns and rows of the tiles between two corners, as far as there is copper.
    fn tiles(
        &self,
        ground: &Ground,
        (left_um, top_um): (f64, f64),
        (right_um, bottom_um): (f64, f64),
    ) -> (RangeInclusive<i32>, RangeInclusive<i32>) {
        (
            tiles_under(ground, left_um.max(self.from_um), right_um.min(self.right_um)),
            tiles_under(ground, top_um.max(self.from_um), bottom_um.min(self.bottom_um)),
        )
    }

    fn holds(&self, x_um: f64, y_um: f64) -> bool {
        (self.from_um..self.right_um).contains(&x_um)
            && (self.from_um..self.bottom_um).contains(&y_um)
    }
}

/// A tile, its row and column, and the window that last asked for it.
#[derive(Clone, Debug)]
struct HeldTile {
    place: (i32, i32),
    used: u64,
    domes: Box<[Dome]>,
    overlapping: bool,
}

impl TileCache {
    /// A cache for about `most_domes` domes (12 bytes each).
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

    /// [`TileCache::gather_on`] copper without an edge.
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
        let copper = Extent::ENDLESS;
        self.gather_on(copper, ground, left_um, top_um, width_um, height_um, reach_um, out)
    }

    /// Puts into `out` the domes of `ground` whose discs reach into the window grown by `reach_um` on every
    /// side, relative to the window's top left, and returns whether any tile among them has
    /// overlapping domes. Lengths in µm from the plate's top left. `out` is emptied first.
    ///
    /// The places of domes are kept relative to their tile and moved in double precision, so all
    /// windows agree about them to the rounding of one f32.
    #[expect(clippy::too_many_arguments, reason = "a window is four numbers")]
    pub fn gather_on(
        &mut self,
        copper: Extent,
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
        let (columns, rows) = copper.tiles(
            ground,
            (left_um - reach, top_um - reach),
            (left_um + width_um + reach, top_um + height_um + reach),
        );
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
                    let lies = copper.holds(f64::from(x_um) + left_um, f64::from(y_um) + top_um);
                    (near && lies).then_some(Dome { x_um, y_um, radius_um })
                }));
            }
        }
        self.forget();
        overlapping
    }

    /// Lays one tile that this window, in µm from the plate's top left, would need and that is not
    /// held; false if all are.
    pub fn lay_ahead(
        &mut self,
        copper: Extent,
        ground: &Ground,
        from_um: (f64, f64),
        to_um: (f64, f64),
    ) -> bool {
        let (columns, rows) = copper.tiles(ground, from_um, to_um);
        for iy in rows {
            for ix in columns.clone() {
                if self.find((ix, iy)).is_err() {
                    self.tile(ground, ix, iy);
                    return true;
                }
            }
        }
        false
    }

    /// Where the tile of this column and row is held, or would be.
    fn find(&self, (ix, iy): (i32, i32)) -> Result<usize, usize> {
        self.tiles.binary_search_by_key(&(iy, ix), |held| held.place)
    }

    /// The tile, worked out now unless it is held.
    fn tile(&mut self, ground: &Ground, ix: i32, iy: i32) -> &HeldTile {
        let at = match self.find((ix, iy)) {
            Ok(at) => at,
            Err(at) => {
                let tile = ground.tile_with(ix, iy, &mut self.melt);
                self.domes += tile.domes.len();
                let held = HeldTile {
                    place: (iy, ix),
                    used: self.now,
                    domes: tile.domes.into_boxed_slice(),
                    overlapping: tile.overlapping,
                };
                self.tiles.insert(at, held);
                at
            }
        };
        let held = &mut self.tiles[at];
        held.used = self.now;
        held
    }

    /// Forgets tiles until few enough domes are held; never those of the window just gathered.
    ///
    /// A proof goes over the plate in the same order again and again, so that of tiles that were left
    /// behind the one asked for last will be asked for latest. Were those longest unused to go first, a
    /// plate with a few domes too many would find none of its tiles again.
    fn forget(&mut self) {
        while self.domes > self.most_domes {
            let going = |at: &usize| {
                let used = self.tiles[*at].used;
                let near_by = used + NEAR_BY >= self.now;
                (near_by, if near_by { used } else { self.now - used })
            };
            let first = (0..self.tiles.len()).min_by_key(going);
            let Some(at) = first.filter(|at| self.tiles[*at].used < self.now) else { break };
            self.domes -= self.tiles.remove(at).domes.len();
        }
    }
}

/// Columns or rows of the tiles between two places, µm.
fn tiles_under(ground: &Ground, from_um: f64, to_um: f64) -> RangeInclusive<i32> {
    let index = |at_um: f64| libm::floor(at_um / ground.tile_um()) as i32;
    index(from_um)..=index(to_um)
}
