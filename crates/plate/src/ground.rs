//! Ground: real domes at real places on the plate.
//!
//! A [`Ground`] is a recipe: nothing of it lies anywhere until a place is asked for. Grains fall at
//! random in small square cells, each cell drawn alone from the seed and its own place
//! ([`grains`]); they melt, spread, and run together where they overlap deeply ([`merge`]). Which domes run together depends
//! on their neighbours, so the plate is laid out in fixed square tiles ([`tiles`]): the domes of a
//! tile are worked out from the grains of the tile and of a margin around it, and the tile keeps
//! those whose centre lies in it. A tile is a pure function of recipe and place, so any window put
//! together from tiles shows the same domes as any other view of that place.
//!
//! Lengths follow from one scale of the recipe, see [`Ground::scale_um`]: the margin, the largest
//! dome, the size of the tiles and how many grains are drawn at most.

pub mod grains;
mod late;
pub mod loose;
mod matching;
mod melt;
pub mod merge;
mod pairs;
pub mod spread;
mod squares;
pub mod statistics;
pub mod tiles;

use crate::faults::{GroundFaults, Reached, Uneven};
use crate::{bake::Baked, dust::LandedDust};
use grains::{Counts, Drop, SizeStep, Sizes};
use spread::Spread;

pub use melt::MeltScratch;
pub use statistics::GroundStatistics;
pub use tiles::{Extent, TileCache};

/// Side of the cells in which grains are drawn, µm. Where much resin falls, this times a power of two.
pub const CELL_UM: f64 = 100.0;

/// A tile is so many times as wide as its margin, and the work 1.07 times that of the tile alone, …
const MARGINS_PER_TILE: f64 = 56.0;

/// … unless that took more grains than this: the hand waits for whole tiles, and each worker has room for
/// the largest; …
const MOST_GRAINS_PER_TILE: f64 = 80_000.0;

/// … but it has at least this many cells along its side.
const LEAST_CELLS_PER_TILE: f64 = 12.0;

/// Scale of fully merged 55° caps for a film 1 µm thick: 1 / (0.54 g(55°)), µm per µm.
const SCALES_PER_FILM: f64 = 6.5;

/// Margin round a tile in mean radii of single melted grains, and in those of domes as far as they merge; the
/// wider of both.
///
/// Chosen by measurement: of the domes within 50 µm of a border of the default ground, where few merge, 0.6 %
/// depend on what lies more than one radius (28 µm) beyond it and none of 1100 on more than two; with
/// twice the powder 0.5 % on more than two and 0.1 % on more than three. Where domes merge over and over the
/// dependence goes as far as they grow: with four times the powder 0.8 % depend on what lies more than three
/// merged radii away and none on more than four, in a sheet of the finest dust 3 % on more than four and 1.6 %
/// on more than five and a half, as with edges that give way.
const MARGIN_SINGLE: f64 = 3.0;
const MARGIN_MERGED: f64 = 5.5;

/// Radius of the largest dome in scales. Domes stop merging beyond it, so that a window knows how
/// far away a dome that reaches into it can lie.
const LARGEST_SCALES: f64 = 4.0;

/// Most grains drawn on a square as wide as the scale of the same resin in freely merged 55° caps. Where
/// more fall, the finest are drawn pooled: fewer, larger drops holding the same resin. At this number
/// melted caps that stay where they fell hide all but 0.4 % of the copper, and those that merge at two
/// thirds of the sum of their radii have forgotten to half a per cent what they grew from. From the
/// dust alone, so that the same grains lie under every bake.
const MOST_GRAINS_PER_SQUARE_SCALE: f64 = 200.0;

/// Size classes are cut off at the coarse end where fewer grains than this fall on a mm²: on a
/// large plate there would be none.
const FEWEST_PER_MM2: f64 = 1e-6;

/// Cover at which discs that merge whenever they touch settle, whatever the dust: dust-and-bake.md, result 1
/// (compare breath figures, about 0.55). Domes that merge only when nearer than t times the sum of their
/// radii do so as discs of t times their radius. Only used to guess the size of the largest domes.
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
    cell_um: f64,
    tile_um: f64,
    margin_um: f64,
    largest_um: f64,
    largest_um3: f64,
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
    /// Volumes that can occur, µm³.
    volumes_um3: Option<(f64, f64)>,
    faults: GroundFaults,
    /// Grains beyond the mean, where the dust falls unevenly.
    beyond: Option<Counts>,
    /// The last step of the bake at each of the faults' places that were hotter or cooler.
    fault_spreads: Vec<Option<Spread>>,
}

impl Ground {
    /// The ground of one fall of dust, baked.
    ///
    /// `seed` picks one of 2³² equally likely grounds. A bake without steps leaves loose dust that
    /// does not hold: a ground without domes.
    #[must_use]
    pub fn new(dust: &LandedDust, baked: &Baked, seed: u32) -> Self {
        let steps = grains::size_steps(dust, FEWEST_PER_MM2);
        let pool_um = film_um(&steps) * SCALES_PER_FILM;
        let most_per_mm2 = MOST_GRAINS_PER_SQUARE_SCALE * 1e6 / (pool_um * pool_um);
        let (steps, pooled) = grains::pool(steps, most_per_mm2);
        let lengths = lengths(&steps, baked);
        let cell_mm = lengths.cell_um * 1e-3;
        let grains_per_mm2: f64 = steps.iter().map(|step| step.per_mm2).sum();
        let volumes_um3 = volume_range(&steps, &lengths);
        let spreads = volumes_um3.map_or_else(Vec::new, |range| {
            let spread = |step| Spread::new(step, range, lengths.largest_um3);
            baked.steps.iter().map(spread).collect()
        });
        Self {
            seed,
            lengths,
            counts: Counts::new(grains_per_mm2 * cell_mm * cell_mm),
            sizes: Sizes::new(&steps),
            rubs_off: share_rubbed_off(&steps, spreads.last()),
            spreads,
            pooled,
            volumes_um3,
            faults: GroundFaults::default(),
            beyond: None,
            fault_spreads: Vec::new(),
        }
    }

    /// The same ground with faults; `bakes` are those of [`GroundFaults::heats`], one by one.
    #[must_use]
    pub fn with_faults(self, faults: GroundFaults, bakes: &[Baked]) -> Self {
        let (range, largest_um3) = (self.volumes_um3, self.lengths.largest_um3);
        let spread = |baked: &Baked| {
            range.zip(baked.steps.last()).map(|(range, step)| Spread::new(step, range, largest_um3))
        };
        let fault_spreads: Vec<_> = bakes.iter().map(spread).collect();
        let widest_um =
            fault_spreads.iter().flatten().map(|spread| spread.radius_um(largest_um3 as f32));
        // Places that overlap may add up.
        let more_um: f64 =
            widest_um.map(|um| (f64::from(um) - self.lengths.largest_um).max(0.0)).sum();
        let largest_um = self.lengths.largest_um + more_um;
        let more = faults.falls_unevenly().map(Uneven::most_beyond);
        // Thicker dust merges from farther off.
        let margin_um = self.lengths.margin_um * (1.0 + more.unwrap_or(0.0));
        let lengths = Lengths { largest_um, margin_um, ..self.lengths };
        let beyond = more.map(|more| Counts::new(self.counts.mean() * more));
        Self { lengths, faults, beyond, fault_spreads, ..self }
    }

    /// Length on which the ground lives, µm: the mean radius of its domes weighted by area as far
    /// as they merge, (1 − p)² h / (0.54 g(θ)) with the resin spread as an even film h thick, or the
    /// mean radius of the single melted grains weighted by volume; the largest of any step.
    #[must_use]
    pub fn scale_um(&self) -> f64 {
        self.lengths.scale_um
    }

    /// Side of this ground's tiles, µm, whole cells. As wide as makes the work on
    /// the margins small, but with no more than some 80 000 grains to a tile.
    #[must_use]
    pub fn tile_um(&self) -> f64 {
        self.lengths.tile_um
    }

    /// Width of the margin of grains around a tile, µm.
    #[must_use]
    pub fn margin_um(&self) -> f64 {
        self.lengths.margin_um
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
        self.tile_with(ix, iy, &mut MeltScratch::default())
    }

    /// [`Self::tile`] in scratch kept by the caller, so that nothing is allocated but the result.
    #[must_use]
    pub fn tile_with(&self, ix: i32, iy: i32, scratch: &mut MeltScratch) -> GroundTile {
        let cells = (self.lengths.tile_um / self.lengths.cell_um) as i32;
        self.patch((ix * cells, iy * cells), cells, self.lengths.margin_um, scratch)
    }

    /// Side of the cells of grains, µm.
    #[must_use]
    pub fn cell_um(&self) -> f64 {
        self.lengths.cell_um
    }

    /// The grains of a square of `cells` × `cells` cells from cell (`cell_x`, `cell_y`), in the
    /// order of the cells, row by row, relative to the top left of the square. `drops` is emptied
    /// first.
    pub fn grains(&self, cell_x: i32, cell_y: i32, cells: i32, drops: &mut Vec<Drop>) {
        self.grains_round((cell_x, cell_y), cells, 0.0, true, drops);
    }

    /// [`Self::grains`] of the square and of a margin round it, relative to the top left of the margin.
    fn grains_round(
        &self,
        (cell_x, cell_y): (i32, i32),
        cells: i32,
        margin_um: f32,
        carry_off: bool,
        drops: &mut Vec<Drop>,
    ) {
        drops.clear();
        let cell_um = self.cell_um() as f32;
        // Cells are drawn whole, those on the border of the margin then cut.
        let border = libm::ceilf(margin_um / cell_um) as i32;
        let side_um = cells as f32 * cell_um + 2.0 * margin_um;
        let whole = 0..cells;
        let lines = f64::from(cells + 2 * border);
        drops.reserve_exact((self.counts.mean() * lines * lines * 1.05) as usize);
        for row in -border..cells + border {
            for column in -border..cells + border {
                let origin =
                    (column as f32 * cell_um + margin_um, row as f32 * cell_um + margin_um);
                let place = (cell_x + column, cell_y + row);
                let before = drops.len();
                for fall in self.falls() {
                    let first = drops.len();
                    let (seed, counts) = fall;
                    grains::fall(seed, place, origin, cell_um, counts, &self.sizes, drops);
                    if carry_off {
                        self.carry_off(place, fall, first, drops);
                    }
                }
                if !(whole.contains(&row) && whole.contains(&column)) {
                    grains::keep_within(side_um, before, drops);
                }
            }
        }
    }

    /// Falls of grains that a cell is drawn of, each with its seed: the mean's, and where the dust falls unevenly what thicker
    /// places have beyond it.
    fn falls(&self) -> impl Iterator<Item = Fall<'_>> {
        let beyond = self.beyond.iter().map(|counts| (self.seed ^ BEYOND_SEED, counts));
        core::iter::once((self.seed, &self.counts)).chain(beyond)
    }

    /// Which grains of one of a cell's falls lie there: those that fell, and that faults have left, by their numbers in it.
    fn staying(&self, place: (i32, i32), (seed, _): Fall<'_>) -> impl Fn(usize) -> bool + '_ {
        let middle = |cell: i32| (f64::from(cell) + 0.5) * self.cell_um();
        let (x_um, y_um) = (middle(place.0), middle(place.1));
        let fell = self.faults.falls_unevenly().map_or(1.0, |uneven| {
            let times = uneven.fall(x_um, y_um);
            let of_mean = seed == self.seed;
            if of_mean { times.min(1.0) } else { (times - 1.0).max(0.0) / uneven.most_beyond() }
        });
        let kept = match self.faults.is_empty() {
            true => 1.0,
            false => fell * self.faults.kept(x_um, y_um),
        };
        move |index| kept >= 1.0 || self.faults.stays(kept, seed, place, index)
    }

    /// Takes away those grains of a cell's fall, from the drop `first` on, that did not fall or that faults have carried off.
    fn carry_off(&self, place: (i32, i32), fall: Fall<'_>, first: usize, drops: &mut Vec<Drop>) {
        if self.faults.is_empty() {
            return;
        }
        let stays = self.staying(place, fall);
        let mut index = first;
        for at in first..drops.len() {
            drops[index] = drops[at];
            index += usize::from(stays(at - first));
        }
        drops.truncate(index);
    }

    /// Works a square of `cells` × `cells` cells from cell `corner` (column and row) together with the
    /// grains of a margin round it and keeps the domes whose centre lies in the square, relative to its
    /// top left.
    #[must_use]
    pub fn patch(
        &self,
        corner: (i32, i32),
        cells: i32,
        margin_um: f64,
        scratch: &mut MeltScratch,
    ) -> GroundTile {
        let bare = GroundTile { domes: Vec::new(), volumes_um3: Vec::new(), overlapping: false };
        let Some(usual) = self.spreads.last() else { return bare };
        let (size_um, margin_um) = (cells as f32 * self.cell_um() as f32, margin_um as f32);
        let mut melted = |carry_off: bool| {
            let mut tile = bare.clone();
            self.grains_round(corner, cells, margin_um, carry_off, &mut scratch.grains);
            scratch.melt(size_um + 2.0 * margin_um, &self.spreads);
            scratch.take(margin_um, size_um, &mut tile);
            tile
        };
        let corner_um =
            (f64::from(corner.0) * self.cell_um(), f64::from(corner.1) * self.cell_um());
        let side_um = f64::from(size_um);
        if self.faults.is_empty() {
            return melted(false);
        }
        let reach_um = f64::from(margin_um) + self.cell_um();
        let mut tile = match self.faults.thinned(corner_um, side_um, reach_um) {
            Reached::Nothing => melted(false),
            Reached::Partly => melted(true).in_the_order_of(&melted(false)),
            Reached::Wholly => melted(true),
        };
        self.faults.work_on(corner_um, side_um, usual, &self.fault_spreads, &mut tile);
        tile
    }
}

/// A fall of grains: its seed, and how many there are in a cell.
type Fall<'a> = (u32, &'a Counts);

/// Tells the seed of grains beyond the mean from that of the others.
const BEYOND_SEED: u32 = 0x5eed_be40;

impl GroundTile {
    /// The same domes, those that another tile has as well in its order and before the rest: so what lies beside a fault is
    /// measured in the same order, and to the same bits, as without it.
    fn in_the_order_of(self, other: &Self) -> Self {
        // Where each dome of the other stands, found by its bits: a table with room for twice as many, each in the first free
        // place after its own.
        let room = (2 * other.domes.len() + 1).next_power_of_two();
        let mut table = vec![u32::MAX; room];
        let free = |table: &[u32], dome: &Dome| {
            let bits = [dome.x_um, dome.y_um, dome.radius_um].map(f32::to_bits);
            let word = bits.iter().fold(0_u64, |word, &bits| {
                (word ^ u64::from(bits)).wrapping_mul(0x9e37_79b9_7f4a_7c15).rotate_left(31)
            });
            let mut at = (word % room as u64) as usize;
            while table[at] != u32::MAX && other.domes[table[at] as usize] != *dome {
                at = (at + 1) % room;
            }
            at
        };
        for (number, dome) in (0_u32..).zip(&other.domes) {
            let at = free(&table, dome);
            table[at] = number;
        }
        // In its place each that both have; the rest after them.
        let mut both = vec![None; other.domes.len()];
        let mut rest = Vec::new();
        for (at, dome) in self.domes.iter().enumerate() {
            match both.get_mut(table[free(&table, dome)] as usize) {
                Some(place) => *place = Some(at),
                None => rest.push(at),
            }
        }
        let order = both.into_iter().flatten().chain(rest);
        let (domes, volumes_um3) = order.map(|at| (self.domes[at], self.volumes_um3[at])).unzip();
        Self { domes, volumes_um3, overlapping: self.overlapping }
    }
}

/// Thickness of the resin spread as an even film, µm.
fn film_um(steps: &[SizeStep]) -> f64 {
    steps.iter().map(|step| step.per_mm2 * 1e-6 * step.mean_um3()).sum()
}

/// Side of the cells in which the grains of this dust are drawn, µm. From the dust alone, so that
/// the same grains lie under every bake.
fn cell_um(film_um: f64) -> f64 {
    let mut cell_um = CELL_UM;
    while cell_um < film_um * SCALES_PER_FILM {
        cell_um *= 2.0;
    }
    cell_um
}

/// Scale, tiles, margin and largest dome for these grains, baked.
fn lengths(steps: &[SizeStep], baked: &Baked) -> Lengths {
    let film_um = film_um(steps);
    let grains_per_mm2: f64 = steps.iter().map(|step| step.per_mm2).sum();
    let largest_grain = steps.iter().map(SizeStep::to_um3).fold(0.0, f64::max);
    let (mut scale_um, mut margin_um, mut largest_um3) = (1.0_f64, 5.0_f64, largest_grain);
    for step in baked.steps.iter().filter(|_| film_um > 0.0) {
        let (footprint, touch) = (&step.footprint, 1.0 - step.pinning);
        let merges = touch * touch;
        let weighted: f64 = steps
            .iter()
            .map(|grains| {
                let volume = grains.mean_um3();
                grains.per_mm2 * 1e-6 * volume * f64::from(spread::radius_um(footprint, volume))
            })
            .sum();
        let single_um = weighted / film_um;
        // The shape of a cap that size: g = V / (π a³).
        let volume = spread::volume_um3(footprint, single_um);
        let shape = volume / (core::f64::consts::PI * single_um * single_um * single_um);
        let merged_um = film_um / (SETTLED_COVER * shape);
        scale_um = scale_um.max(single_um).max(merges * merged_um);
        margin_um =
            margin_um.max(MARGIN_SINGLE * single_um).max(MARGIN_MERGED * merges * merged_um);
        let largest_um = LARGEST_SCALES * single_um.max(merges * merged_um);
        largest_um3 = largest_um3.max(spread::volume_um3(footprint, largest_um));
    }
    let largest_um = baked
        .steps
        .last()
        .map_or(1.0, |last| f64::from(spread::radius_um(&last.footprint, largest_um3)));
    let cell_um = cell_um(film_um);
    let most_um = 1000.0 * libm::sqrt(MOST_GRAINS_PER_TILE / grains_per_mm2) - 2.0 * margin_um;
    let cells = libm::floor((MARGINS_PER_TILE * margin_um).min(most_um) / cell_um);
    let tile_um = cell_um * cells.max(LEAST_CELLS_PER_TILE);
    Lengths { scale_um, cell_um, tile_um, margin_um, largest_um, largest_um3 }
}

/// Range of volumes that can occur, µm³: from the finest grain to the largest dome.
fn volume_range(steps: &[SizeStep], lengths: &Lengths) -> Option<(f64, f64)> {
    let smallest = steps.iter().map(SizeStep::from_um3).reduce(f64::min)?;
    let largest = steps.iter().map(SizeStep::to_um3).reduce(f64::max)?;
    Some((smallest, largest.max(lengths.largest_um3)))
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
