//! Ground: real domes at real places on the plate.
//!
//! A [`Ground`] is a recipe: nothing of it lies anywhere until a place is asked for. Grains fall at
//! random in small square cells, each cell drawn alone from the seed and its own place
//! ([`grains`]); they melt, spread and run together ([`merge`]). Which domes run together depends
//! on their neighbours, so the plate is laid out in fixed square tiles ([`tiles`]): the domes of a
//! tile are worked out from the grains of the tile and of a margin around it, and the tile keeps
//! those whose centre lies in it. A tile is a pure function of recipe and place, so any window put
//! together from tiles shows the same domes as any other view of that place.
//!
//! Lengths follow from one scale of the recipe, see [`Ground::scale_um`]: the margin, the largest
//! dome, the size of the tiles and how many grains are drawn at most.

pub mod grains;
pub mod merge;
pub mod spread;
pub mod statistics;
pub mod tiles;

use crate::{bake::Baked, bake::MeltStep, dust::LandedDust};
use grains::{Counts, Drop, SizeStep, Sizes};
use merge::Bench;
use spread::Spread;

pub use statistics::GroundStatistics;
pub use tiles::TileCache;

/// Side of the tiles of an ordinary ground, µm. Finer and coarser grounds use this times a power of
/// two, see [`Ground::tile_um`].
pub const GROUND_TILE_UM: f64 = 3200.0;

/// Cells of grains along the side of a tile.
pub const CELLS_PER_TILE: i32 = 32;

/// Margin round a tile in scales, rounded up to whole cells of grains.
///
/// Chosen by measurement on the default ground: of the domes within 50 µm of a border 12 % depend on
/// what lies more than 100 µm beyond it, 1.7 % on more than 200 µm, 0.3 % on more than 300 µm. With
/// 200 µm the cover along borders falls short by 1 %, with 300 µm by nothing that can be measured.
const MARGIN_SCALES: f64 = 5.5;

/// Radius of the largest dome in scales. Domes stop merging beyond it, so that a window knows how
/// far away a dome that reaches into it can lie.
const LARGEST_SCALES: f64 = 3.0;

/// Most grains drawn on a square one scale wide. Where more fall, the finest are drawn pooled:
/// fewer, larger drops holding the same resin. At this number every dome swallows hundreds.
const MOST_GRAINS_PER_SQUARE_SCALE: f64 = 100.0;

/// Size classes are cut off at the coarse end where fewer grains than this fall on a mm²: on a
/// large plate there would be none.
const FEWEST_PER_MM2: f64 = 1e-6;

/// Cover at which domes free to merge settle, whatever the dust: dust-and-bake.md, result 1 (compare breath
/// figures, about 0.55). Only used to guess the size of the largest domes.
const SETTLED_COVER: f64 = 0.54;

/// One dome of melted resin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dome {
    /// Centre, µm from the left of the tile or window it is given in.
    pub x_um: f32,
    /// Centre, µm from the top of the tile or window it is given in.
    pub y_um: f32,
    /// Radius of its footprint on the copper, µm.
    pub radius_um: f32,
}

/// The domes of one tile.
#[derive(Clone, Debug, PartialEq)]
pub struct GroundTile {
    /// Domes whose centre lies in the tile, relative to the tile's top left.
    pub domes: Vec<Dome>,
    /// Resin in each of these domes, µm³.
    pub volumes_um3: Vec<f64>,
    /// Some of the domes overlap, because their edges are pinned or they had no time to merge.
    pub overlapping: bool,
}

/// Lengths that follow from a recipe.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Lengths {
    scale_um: f64,
    tile_um: f64,
    margin_cells: i32,
    largest_um: f64,
}

/// The recipe of a ground: enough to compute the domes at any place of the plate.
#[derive(Clone, Debug)]
pub struct Ground {
    seed: u32,
    lengths: Lengths,
    counts: Counts,
    sizes: Sizes,
    spreads: Vec<Spread>,
    rubs_off: f64,
    pooled: bool,
}

impl Ground {
    /// The ground of one fall of dust, baked.
    ///
    /// `seed` picks one of 2³² equally likely grounds. A bake without steps leaves loose dust that
    /// does not hold: a ground without domes.
    #[must_use]
    pub fn new(dust: &LandedDust, baked: &Baked, seed: u32) -> Self {
        let steps = grains::size_steps(dust, FEWEST_PER_MM2);
        let lengths = lengths(&steps, baked.steps.last());
        let most_per_mm2 =
            MOST_GRAINS_PER_SQUARE_SCALE * 1e6 / (lengths.scale_um * lengths.scale_um);
        let (steps, pooled) = grains::pool(steps, most_per_mm2);
        let cell_mm = lengths.tile_um * 1e-3 / f64::from(CELLS_PER_TILE);
        let grains_per_mm2: f64 = steps.iter().map(|step| step.per_mm2).sum();
        let spreads = volume_range(&steps, &lengths, baked).map_or_else(Vec::new, |range| {
            baked.steps.iter().map(|step| Spread::new(step, range, lengths.largest_um)).collect()
        });
        Self {
            seed,
            lengths,
            counts: Counts::new(grains_per_mm2 * cell_mm * cell_mm),
            sizes: Sizes::new(&steps),
            rubs_off: share_rubbed_off(&steps, spreads.last()),
            spreads,
            pooled,
        }
    }

    /// Length on which the ground lives, µm: the mean radius of its domes weighted by area once
    /// they are free to merge, h / (0.54 g(θ)) with the resin spread as an even film h thick, or
    /// the mean radius of the single melted grains weighted by volume, if that is larger.
    #[must_use]
    pub fn scale_um(&self) -> f64 {
        self.lengths.scale_um
    }

    /// Side of this ground's tiles, µm: [`GROUND_TILE_UM`] times a power of two, the least that
    /// keeps the work on the margins small.
    #[must_use]
    pub fn tile_um(&self) -> f64 {
        self.lengths.tile_um
    }

    /// Width of the margin of grains around a tile, µm.
    #[must_use]
    pub fn margin_um(&self) -> f64 {
        self.cell_um() * f64::from(self.lengths.margin_cells)
    }

    /// No dome is larger than this radius, µm.
    #[must_use]
    pub fn largest_um(&self) -> f64 {
        self.lengths.largest_um
    }

    /// Share of the resin that does not hold and rubs off, 0–1.
    #[must_use]
    pub fn rubs_off(&self) -> f64 {
        self.rubs_off
    }

    /// The finest grains are drawn pooled, because more fall than could ever be told apart.
    #[must_use]
    pub fn pooled(&self) -> bool {
        self.pooled
    }

    /// Grains drawn per mm², those on the margins not counted twice.
    #[must_use]
    pub fn grains_per_mm2(&self) -> f64 {
        let cell_mm = self.cell_um() * 1e-3;
        self.counts.mean() / (cell_mm * cell_mm)
    }

    /// The domes of tile (`ix`, `iy`), whose top left lies `ix` · [`Self::tile_um`] from the left
    /// and `iy` · [`Self::tile_um`] from the top of the plate.
    #[must_use]
    pub fn tile(&self, ix: i32, iy: i32) -> GroundTile {
        self.tile_with(ix, iy, &mut Bench::default())
    }

    /// [`Self::tile`] on a bench kept by the caller, so that nothing is allocated but the result.
    #[must_use]
    pub fn tile_with(&self, ix: i32, iy: i32, bench: &mut Bench) -> GroundTile {
        let margin = self.lengths.margin_cells;
        let (across, down) = (ix * CELLS_PER_TILE - margin, iy * CELLS_PER_TILE - margin);
        self.patch(across, down, CELLS_PER_TILE + 2 * margin, margin, bench)
    }

    /// Side of the cells of grains, µm.
    #[must_use]
    pub fn cell_um(&self) -> f64 {
        self.lengths.tile_um / f64::from(CELLS_PER_TILE)
    }

    /// The grains of a square of `cells` × `cells` cells from cell (`cell_x`, `cell_y`), in the
    /// order of the cells, row by row, relative to the top left of the square. `drops` is emptied
    /// first.
    pub fn grains(&self, cell_x: i32, cell_y: i32, cells: i32, drops: &mut Vec<Drop>) {
        drops.clear();
        let cell_um = self.cell_um() as f32;
        for row in 0..cells {
            for column in 0..cells {
                let origin = (column as f32 * cell_um, row as f32 * cell_um);
                let place = (cell_x + column, cell_y + row);
                grains::fall(self.seed, place, origin, cell_um, &self.counts, &self.sizes, drops);
            }
        }
    }

    /// Works a square of `cells` × `cells` cells on its own and keeps the domes whose centre lies
    /// at least `margin` cells from its border, relative to the top left of what is kept.
    #[must_use]
    pub fn patch(
        &self,
        cell_x: i32,
        cell_y: i32,
        cells: i32,
        margin: i32,
        bench: &mut Bench,
    ) -> GroundTile {
        let mut tile =
            GroundTile { domes: Vec::new(), volumes_um3: Vec::new(), overlapping: false };
        if self.spreads.is_empty() {
            return tile;
        }
        let cell_um = self.cell_um() as f32;
        self.grains(cell_x, cell_y, cells, &mut bench.grains);
        bench.melt(cells as f32 * cell_um, &self.spreads);
        let from = margin as f32 * cell_um;
        let size = (cells - 2 * margin) as f32 * cell_um;
        bench.take(from, size, &mut tile);
        tile
    }
}

/// Scale, tiles, margin and largest dome for these grains at the last step of the bake.
fn lengths(steps: &[SizeStep], last: Option<&MeltStep>) -> Lengths {
    let (mut film_um, mut single, mut largest) = (0.0_f64, 0.0_f64, 0.0_f64);
    if let Some(last) = last {
        for step in steps {
            let volume = step.mean_um3();
            let radius = f64::from(spread::radius_um(&last.footprint, volume));
            film_um += step.per_mm2 * 1e-6 * volume;
            single += step.per_mm2 * 1e-6 * volume * radius;
            largest = largest.max(f64::from(spread::radius_um(&last.footprint, step.to_um3())));
        }
    }
    let mut scale_um: f64 = 1.0;
    if let (Some(last), true) = (last, film_um > 0.0) {
        single /= film_um;
        // The shape of a cap that size: g = V / (π a³).
        let volume = spread::volume_um3(&last.footprint, single);
        let shape = volume / (core::f64::consts::PI * single * single * single);
        scale_um = scale_um.max(single).max(film_um / (SETTLED_COVER * shape));
    }
    let largest_um = (LARGEST_SCALES * scale_um).max(largest);
    let mut tile_um = 0.25 * GROUND_TILE_UM;
    let margin_um = MARGIN_SCALES * scale_um;
    while margin_um > tile_um / 12.0 {
        tile_um *= 2.0;
    }
    let margin_cells = libm::ceil(margin_um / tile_um * f64::from(CELLS_PER_TILE)) as i32;
    Lengths { scale_um, tile_um, margin_cells, largest_um }
}

/// Range of volumes that can occur, µm³: from the finest grain to the largest dome.
fn volume_range(steps: &[SizeStep], lengths: &Lengths, baked: &Baked) -> Option<(f64, f64)> {
    let smallest = steps.iter().map(SizeStep::from_um3).reduce(f64::min)?;
    let mut largest = steps.iter().map(SizeStep::to_um3).reduce(f64::max)?;
    for step in &baked.steps {
        largest = largest.max(spread::volume_um3(&step.footprint, lengths.largest_um));
    }
    Some((smallest, largest))
}

/// Share of the resin in grains that do not hold after the last step.
fn share_rubbed_off(steps: &[SizeStep], last: Option<&Spread>) -> f64 {
    let (mut all, mut loose) = (0.0, 0.0);
    for step in steps {
        let resin = step.per_mm2 * step.mean_um3();
        all += resin;
        if last.is_none_or(|last| !last.holds(step.mean_um3() as f32)) {
            loose += resin;
        }
    }
    if all > 0.0 { loose / all } else { 0.0 }
}
