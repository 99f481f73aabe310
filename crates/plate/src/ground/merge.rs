//! Merge: drops that touch run together, two by two.
//!
//! Drops spread at the same time, so of all that touch, the pair nearest to each other for their
//! size touched first. In one sweep each drop runs together with at most one other, pairs with the
//! smallest distance / (a₁ + a₂) choosing first; a merged drop lies at the common centre of mass
//! and holds both volumes. Sweeps follow until no pair is left that may merge. This order
//! reproduces the check values of dust-and-bake.md §8 (rows 30, 31); merging the smallest pairs
//! first leaves too few drops and too little cover, laying drops one after another too many.

use super::{Dome, GroundTile, grains::Drop, spread::Spread};

/// Squares in which drops are looked up, per drop. Speed only.
const SQUARES_PER_DROP: f32 = 0.7;

/// Share of the drops, %, that count as no larger than usual. Speed only.
const USUAL: usize = 75;

/// Steps in which nearness is told apart.
const NEARNESS: usize = 4096;

/// Drops looked at together, so that the compiler can use the machine's manifold instructions.
const LANES: usize = 4;

/// Marks for fresh drops: merged in the last sweep or new on the copper; and old ones, left over by
/// the last sweep.
const FRESH: u32 = u32::MAX;
const OLD: u32 = 0;

/// Two drops that touch; `first` is the one that looked.
#[derive(Clone, Copy, Debug, Default)]
struct Pair {
    nearness: u32,
    first: u32,
    second: u32,
}

/// Drops on the copper, each quantity in a row of its own.
#[derive(Clone, Debug, Default)]
struct Drops {
    x_um: Vec<f32>,
    y_um: Vec<f32>,
    radius_um: Vec<f32>,
    fresh: Vec<u32>,
    volume_um3: Vec<f64>,
}

impl Drops {
    fn len(&self) -> usize {
        self.volume_um3.len()
    }

    fn clear(&mut self) {
        self.resize(0);
    }

    fn resize(&mut self, count: usize) {
        self.x_um.resize(count, 0.0);
        self.y_um.resize(count, 0.0);
        self.radius_um.resize(count, 0.0);
        self.fresh.resize(count, OLD);
        self.volume_um3.resize(count, 0.0);
    }

    #[inline]
    fn push(&mut self, (x_um, y_um): (f32, f32), radius_um: f32, fresh: u32, volume_um3: f64) {
        self.x_um.push(x_um);
        self.y_um.push(y_um);
        self.radius_um.push(radius_um);
        self.fresh.push(fresh);
        self.volume_um3.push(volume_um3);
    }
}

/// Squares over the copper, and where each one's drops begin.
#[derive(Clone, Debug, Default)]
struct Squares {
    across: usize,
    /// The last column and row.
    last: f32,
    per_um: f32,
    /// First drop of each square, and one more.
    starts: Vec<u32>,
}

impl Squares {
    /// Column or row of squares at this place; places off the copper belong to its edge.
    ///
    /// Adding 2²³ leaves the whole number in the lowest bits, which is quicker than a conversion.
    #[inline]
    fn line(&self, at_um: f32) -> usize {
        const WHOLE: f32 = 8_388_608.0;
        let line = (at_um * self.per_um - 0.5).max(0.0).min(self.last);
        ((line + WHOLE).to_bits() - WHOLE.to_bits()) as usize
    }

    /// Calls `each` with the range of drops in each row of squares within `reach_um` of a place.
    #[inline]
    fn near(&self, (x_um, y_um): (f32, f32), reach_um: f32, mut each: impl FnMut(usize, usize)) {
        let (left, right) = (self.line(x_um - reach_um), self.line(x_um + reach_um));
        let (top, bottom) = (self.line(y_um - reach_um), self.line(y_um + reach_um));
        for row in top..=bottom {
            let row = &self.starts[row * self.across..][..=self.across];
            each(row[left] as usize, row[right + 1] as usize);
        }
    }
}

/// Scratch space for working a tile; keep it between tiles to save allocations.
#[derive(Clone, Debug, Default)]
pub struct Bench {
    pub(super) grains: Vec<Drop>,
    /// Drops that hold, in any order.
    held: Drops,
    /// The same in the order of their squares, and [`LANES`] more that lie nowhere.
    sorted: Drops,
    squares: Squares,
    squares_of: Vec<u32>,
    taken: Vec<bool>,
    found: Vec<Pair>,
    pairs: Vec<(u32, u32)>,
    starts: Vec<u32>,
    /// Fresh drops among those held.
    fresh: usize,
    touching: bool,
}

impl Bench {
    /// Melts the grains on a square of copper of this side step by step; the domes stay on the
    /// bench.
    ///
    /// Grains at an angle of 90° or more do not hold: they take no part in the step, and those left
    /// after the last are lost. What has once merged holds.
    pub(super) fn melt(&mut self, side_um: f32, spreads: &[Spread]) {
        self.held.clear();
        for spread in spreads {
            self.widen(spread);
            self.take_hold(spread);
            self.fresh = self.held.len();
            loop {
                self.sort(side_um);
                self.find_pairs(spread);
                if self.found.is_empty() {
                    break;
                }
                self.order_pairs();
                self.merge_pairs(spread);
            }
        }
        self.touching = self.any_touch();
    }

    /// Gives the drops that already hold the footprint of this step.
    fn widen(&mut self, spread: &Spread) {
        let held = &mut self.held;
        for (radius_um, &volume) in held.radius_um.iter_mut().zip(&held.volume_um3) {
            *radius_um = spread.radius_um(volume as f32);
        }
        held.fresh.fill(FRESH);
    }

    /// Lays down the grains that hold from this step on.
    fn take_hold(&mut self, spread: &Spread) {
        let held = &mut self.held;
        let mut lay = |grain: &Drop| {
            let radius_um = spread.radius_um(grain.volume_um3 as f32);
            held.push((grain.x_um, grain.y_um), radius_um, FRESH, grain.volume_um3);
        };
        if spread.all_hold() {
            self.grains.iter().for_each(lay);
            self.grains.clear();
        } else {
            self.grains.retain(|grain| {
                let holds = spread.holds(grain.volume_um3 as f32);
                if holds {
                    lay(grain);
                }
                !holds
            });
        }
    }

    /// Sorts the held drops by their squares, row by row.
    fn sort(&mut self, side_um: f32) {
        let (held, sorted, squares) = (&self.held, &mut self.sorted, &mut self.squares);
        let count = held.len();
        squares.across = (count as f32 * SQUARES_PER_DROP).sqrt().ceil().max(1.0) as usize;
        squares.last = (squares.across - 1) as f32;
        squares.per_um = squares.across as f32 / side_um;
        let mut starts = core::mem::take(&mut squares.starts);
        starts.clear();
        starts.resize(squares.across * squares.across + 1, 0);
        self.squares_of.clear();
        self.squares_of.extend(held.x_um.iter().zip(&held.y_um).map(|(&x_um, &y_um)| {
            let square = squares.line(y_um) * squares.across + squares.line(x_um);
            starts[square] += 1;
            square as u32
        }));
        let mut sum = 0;
        for start in &mut starts {
            sum += *start;
            *start = sum;
        }
        sorted.resize(count + LANES);
        // From the back, so that drops of one square keep their order.
        for (index, &square) in self.squares_of.iter().enumerate().rev() {
            let start = &mut starts[square as usize];
            *start -= 1;
            let place = *start as usize;
            sorted.x_um[place] = held.x_um[index];
            sorted.y_um[place] = held.y_um[index];
            sorted.radius_um[place] = held.radius_um[index];
            sorted.fresh[place] = held.fresh[index];
            sorted.volume_um3[place] = held.volume_um3[index];
        }
        for place in count..count + LANES {
            sorted.x_um[place] = f32::INFINITY;
        }
        squares.starts = starts;
    }

    /// Finds the pairs that may merge, some of them twice. Two drops left over by the sweep before
    /// cannot be a pair: they would have merged then.
    ///
    /// Fresh drops look for partners as large as themselves or as most drops are, whichever is
    /// more; the few old drops that are larger still look around too.
    fn find_pairs(&mut self, spread: &Spread) {
        self.found.clear();
        let (drops, squares) = (&self.sorted, &self.squares);
        let count = self.held.len();
        let all = count + LANES;
        let rows = Rows {
            x_um: &drops.x_um[..all],
            y_um: &drops.y_um[..all],
            radius_um: &drops.radius_um[..all],
        };
        let fresh = &drops.fresh[..all];
        let usual_um = if self.fresh == count { 0.0 } else { usual(&rows.radius_um[..count]) };
        for index in 0..count {
            let radius_um = rows.radius_um[index];
            if fresh[index] == OLD && radius_um <= usual_um {
                continue;
            }
            let widest_um = radius_um.max(usual_um);
            let (x_um, y_um) = (rows.x_um[index], rows.y_um[index]);
            let touch2 = spread.touch * spread.touch;
            let look = Look { x_um, y_um, radius_um, touch2, widest_um };
            squares.near((x_um, y_um), (radius_um + widest_um) * spread.touch, |from, to| {
                let mut at = from;
                while at < to {
                    // Looks past the end; what it finds there are partners too.
                    let mut hits = rows.partners(&look, at);
                    let own = index.wrapping_sub(at);
                    hits &= !(if own < LANES { 0xff << (8 * own) } else { 0 });
                    while hits != 0 {
                        let lane = hits.trailing_zeros() / 8;
                        hits &= !(0xff << (8 * lane));
                        let second = at + lane as usize;
                        if fresh[index] | fresh[second] == FRESH
                            && rows.radius_um[second] + radius_um < spread.merge_limit_um
                        {
                            let (distance2, near2) = rows.distances2(&look, second);
                            let share = distance2 / near2 * NEARNESS as f32;
                            self.found.push(Pair {
                                nearness: (share as i32 as u32).min(NEARNESS as u32 - 1),
                                first: index as u32,
                                second: second as u32,
                            });
                        }
                    }
                    at += LANES;
                }
            });
        }
    }

    /// Orders the pairs found, nearest for their size first.
    fn order_pairs(&mut self) {
        self.starts.clear();
        self.starts.resize(NEARNESS + 1, 0);
        for pair in &self.found {
            self.starts[pair.nearness as usize + 1] += 1;
        }
        let mut sum = 0;
        for start in &mut self.starts {
            sum += *start;
            *start = sum;
        }
        self.pairs.resize(self.found.len(), (0, 0));
        for pair in &self.found {
            let place = &mut self.starts[pair.nearness as usize];
            self.pairs[*place as usize] = (pair.first, pair.second);
            *place += 1;
        }
    }

    /// One sweep: pairs merge in their order, each drop at most once.
    fn merge_pairs(&mut self, spread: &Spread) {
        let (held, sorted, taken) = (&mut self.held, &self.sorted, &mut self.taken);
        let count = held.len();
        held.clear();
        taken.clear();
        taken.resize(count, false);
        for &(first, second) in &self.pairs {
            let (first, second) = (first as usize, second as usize);
            if taken[first] | taken[second] {
                continue;
            }
            let volume_um3 = sorted.volume_um3[first] + sorted.volume_um3[second];
            if volume_um3 > spread.largest_um3 {
                continue;
            }
            taken[first] = true;
            taken[second] = true;
            let share = (sorted.volume_um3[second] / volume_um3) as f32;
            let between = |row: &[f32]| row[first] + share * (row[second] - row[first]);
            let place = (between(&sorted.x_um), between(&sorted.y_um));
            held.push(place, spread.radius_um(volume_um3 as f32), FRESH, volume_um3);
        }
        self.fresh = held.len();
        for (index, _) in taken.iter().enumerate().filter(|(_, taken)| !**taken) {
            let place = (sorted.x_um[index], sorted.y_um[index]);
            held.push(place, sorted.radius_um[index], OLD, sorted.volume_um3[index]);
        }
    }

    /// Whether any two of the sorted drops overlap.
    fn any_touch(&self) -> bool {
        let drops = &self.sorted;
        (0..self.held.len()).any(|one| {
            let (x_um, y_um, radius_um) = (drops.x_um[one], drops.y_um[one], drops.radius_um[one]);
            let mut touch = false;
            self.squares.near((x_um, y_um), 2.0 * radius_um, |from, to| {
                for other in from..to {
                    let (dx, dy) = (drops.x_um[other] - x_um, drops.y_um[other] - y_um);
                    let sum_um = drops.radius_um[other] + radius_um;
                    touch |= (dx * dx + dy * dy < sum_um * sum_um) & (other != one);
                }
            });
            touch
        })
    }

    /// Adds the domes whose centre lies in the square of side `size_um` from (`from_um`,
    /// `from_um`) to `tile`, relative to that square.
    pub(super) fn take(&self, from_um: f32, size_um: f32, tile: &mut GroundTile) {
        let drops = &self.sorted;
        for index in 0..self.held.len() {
            let (x_um, y_um) = (drops.x_um[index] - from_um, drops.y_um[index] - from_um);
            if (0.0..size_um).contains(&x_um) && (0.0..size_um).contains(&y_um) {
                tile.domes.push(Dome { x_um, y_um, radius_um: drops.radius_um[index] });
                tile.volumes_um3.push(drops.volume_um3[index]);
            }
        }
        tile.overlapping = self.touching;
    }
}

/// The sorted drops as they are looked at: rows of one length, [`LANES`] longer than the drops.
struct Rows<'a> {
    x_um: &'a [f32],
    y_um: &'a [f32],
    radius_um: &'a [f32],
}

/// A drop that looks around for partners no larger than `widest_um`.
struct Look {
    x_um: f32,
    y_um: f32,
    radius_um: f32,
    touch2: f32,
    widest_um: f32,
}

/// The sign of a − b as the highest bit: set where a < b.
#[inline]
fn less(a: f32, b: f32) -> u32 {
    (a - b).to_bits()
}

impl Rows<'_> {
    /// Squares of the distance to drop `at` and of the distance at which the two touch.
    #[inline]
    fn distances2(&self, look: &Look, at: usize) -> (f32, f32) {
        let (dx, dy) = (self.x_um[at] - look.x_um, self.y_um[at] - look.y_um);
        let sum = self.radius_um[at] + look.radius_um;
        (dx * dx + dy * dy, sum * sum * look.touch2)
    }

    /// Which of [`LANES`] drops from `at` on are partners: eight bits each.
    ///
    /// Without branches, for few of them are and which is anybody's guess: conditions are carried
    /// in the highest bit of a word.
    #[inline]
    fn partners(&self, look: &Look, at: usize) -> u32 {
        let (x, y) = (lanes(self.x_um, at), lanes(self.y_um, at));
        let radius = lanes(self.radius_um, at);
        let mut wanted = [0; LANES];
        for lane in 0..LANES {
            let (dx, dy) = (x[lane] - look.x_um, y[lane] - look.y_um);
            let distance2 = dx * dx + dy * dy;
            let sum = radius[lane] + look.radius_um;
            let near2 = sum * sum * look.touch2;
            let partner = less(distance2, near2) & !less(look.widest_um, radius[lane]);
            wanted[lane] = ((partner as i32) >> 31) as u32 & (0xff << (8 * lane));
        }
        let mut bits = 0;
        for lane in wanted {
            bits |= lane;
        }
        bits
    }
}

/// A radius that [`USUAL`] % of the drops do not exceed, from some hundred picked evenly.
fn usual(radii_um: &[f32]) -> f32 {
    let step = radii_um.len() / 128 + 1;
    let mut picked: Vec<f32> = radii_um.iter().step_by(step).copied().collect();
    picked.sort_unstable_by(f32::total_cmp);
    picked.get(picked.len() * USUAL / 100).copied().unwrap_or(0.0)
}

/// [`LANES`] entries from `at`.
#[inline]
fn lanes(row: &[f32], at: usize) -> [f32; LANES] {
    let mut lanes = [0.0; LANES];
    lanes.copy_from_slice(&row[at..at + LANES]);
    lanes
}
