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

/// Steps in which nearness is told apart.
const NEARNESS: usize = 4096;

/// A drop as it is looked up.
#[derive(Clone, Copy, Debug, Default)]
struct Laid {
    x_um: f32,
    y_um: f32,
    radius_um: f32,
    /// Merged in the last sweep (or new on the copper).
    fresh: bool,
    /// Has found its partner in this sweep.
    taken: bool,
}

/// Two drops that touch.
#[derive(Clone, Copy, Debug, Default)]
struct Pair {
    nearness: u32,
    first: u32,
    second: u32,
}

/// Drops on the copper, and their volumes.
#[derive(Clone, Debug, Default)]
struct Drops {
    laid: Vec<Laid>,
    volumes_um3: Vec<f64>,
}

impl Drops {
    fn clear(&mut self) {
        self.laid.clear();
        self.volumes_um3.clear();
    }

    fn push(&mut self, laid: Laid, volume_um3: f64) {
        self.laid.push(laid);
        self.volumes_um3.push(volume_um3);
    }
}

/// Scratch space for working a tile; keep it between tiles to save allocations.
#[derive(Clone, Debug, Default)]
pub struct Bench {
    pub(super) grains: Vec<Drop>,
    /// Drops that hold, in any order.
    held: Drops,
    /// The same in the order of their squares.
    sorted: Drops,
    /// Square of each held drop.
    squares_of: Vec<u32>,
    /// First sorted drop of each square, and one more.
    starts: Vec<u32>,
    found: Vec<Pair>,
    pairs: Vec<Pair>,
    nearer: Vec<u32>,
    squares: usize,
    per_um: f32,
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
        self.touching = false;
        for spread in spreads {
            self.widen(spread);
            self.take_hold(spread);
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
        for (laid, &volume) in self.held.laid.iter_mut().zip(&self.held.volumes_um3) {
            laid.radius_um = spread.radius_um(volume as f32);
            laid.fresh = true;
        }
    }

    /// Lays down the grains that hold from this step on.
    fn take_hold(&mut self, spread: &Spread) {
        let held = &mut self.held;
        self.grains.retain(|grain| {
            let holds = spread.holds(grain.volume_um3 as f32);
            if holds {
                let radius_um = spread.radius_um(grain.volume_um3 as f32);
                let (x_um, y_um) = (grain.x_um, grain.y_um);
                let laid = Laid { x_um, y_um, radius_um, fresh: true, taken: false };
                held.push(laid, grain.volume_um3);
            }
            !holds
        });
    }

    /// Column or row of squares at this place; the copper's edge belongs to the last.
    #[inline]
    fn line(&self, at_um: f32) -> usize {
        ((at_um * self.per_um) as usize).min(self.squares - 1)
    }

    /// Sorts the held drops by their squares, row by row.
    fn sort(&mut self, side_um: f32) {
        let count = self.held.laid.len();
        self.squares = (count as f32 * SQUARES_PER_DROP).sqrt().ceil().max(1.0) as usize;
        self.per_um = self.squares as f32 / side_um;
        self.starts.clear();
        self.starts.resize(self.squares * self.squares + 1, 0);
        let mut squares_of = core::mem::take(&mut self.squares_of);
        squares_of.clear();
        for laid in &self.held.laid {
            let square = self.line(laid.y_um) * self.squares + self.line(laid.x_um);
            self.starts[square] += 1;
            squares_of.push(square as u32);
        }
        let mut sum = 0;
        for start in &mut self.starts {
            sum += *start;
            *start = sum;
        }
        self.sorted.laid.resize(count, Laid::default());
        self.sorted.volumes_um3.resize(count, 0.0);
        // From the back, so that drops of one square keep their order.
        for (index, &square) in squares_of.iter().enumerate().rev() {
            let start = &mut self.starts[square as usize];
            *start -= 1;
            self.sorted.laid[*start as usize] = self.held.laid[index];
            self.sorted.volumes_um3[*start as usize] = self.held.volumes_um3[index];
        }
        self.squares_of = squares_of;
    }

    /// Calls `each` with the rows of sorted drops in the squares within `reach_um` of a drop.
    #[inline]
    fn near(&self, laid: &Laid, reach_um: f32, mut each: impl FnMut(usize, &[Laid])) {
        let (left, right) = (self.line(laid.x_um - reach_um), self.line(laid.x_um + reach_um));
        let (top, bottom) = (self.line(laid.y_um - reach_um), self.line(laid.y_um + reach_um));
        for row in top..=bottom {
            let from = self.starts[row * self.squares + left] as usize;
            let to = self.starts[row * self.squares + right + 1] as usize;
            each(from, &self.sorted.laid[from..to]);
        }
    }

    /// Finds the pairs that may merge. Each is looked for from its larger drop, so that nobody
    /// looks farther than twice its own radius. Two drops left over by the sweep before cannot
    /// be a pair: they would have merged then.
    fn find_pairs(&mut self, spread: &Spread) {
        let mut found = core::mem::take(&mut self.found);
        found.clear();
        for (index, laid) in self.sorted.laid.iter().enumerate() {
            let reach_um = 2.0 * laid.radius_um * spread.touch;
            self.near(laid, reach_um, |from, others| {
                for (offset, other) in others.iter().enumerate() {
                    let (dx, dy) = (other.x_um - laid.x_um, other.y_um - laid.y_um);
                    let distance2 = dx * dx + dy * dy;
                    let sum_um = laid.radius_um + other.radius_um;
                    let near_um = sum_um * spread.touch;
                    if distance2 < near_um * near_um
                        && other.radius_um <= laid.radius_um
                        && (laid.fresh || other.fresh)
                        && sum_um < spread.merge_limit_um
                    {
                        let second = from + offset;
                        let volumes = &self.sorted.volumes_um3;
                        let smaller = other.radius_um < laid.radius_um || second < index;
                        if smaller && volumes[index] + volumes[second] <= spread.largest_um3 {
                            let share = distance2 / (near_um * near_um);
                            found.push(Pair {
                                nearness: ((share * NEARNESS as f32) as u32)
                                    .min(NEARNESS as u32 - 1),
                                first: index as u32,
                                second: second as u32,
                            });
                        }
                    }
                }
            });
        }
        self.found = found;
    }

    /// Orders the pairs found, nearest for their size first.
    fn order_pairs(&mut self) {
        self.nearer.clear();
        self.nearer.resize(NEARNESS + 1, 0);
        for pair in &self.found {
            self.nearer[pair.nearness as usize + 1] += 1;
        }
        for index in 1..=NEARNESS {
            self.nearer[index] += self.nearer[index - 1];
        }
        self.pairs.resize(self.found.len(), Pair::default());
        for pair in &self.found {
            let place = &mut self.nearer[pair.nearness as usize];
            self.pairs[*place as usize] = *pair;
            *place += 1;
        }
    }

    /// One sweep: pairs merge in their order, each drop at most once.
    fn merge_pairs(&mut self, spread: &Spread) {
        self.held.clear();
        let (laid, volumes) = (&mut self.sorted.laid, &self.sorted.volumes_um3);
        for pair in &self.pairs {
            let (first, second) = (pair.first as usize, pair.second as usize);
            if laid[first].taken || laid[second].taken {
                continue;
            }
            laid[first].taken = true;
            laid[second].taken = true;
            let volume_um3 = volumes[first] + volumes[second];
            let share = (volumes[second] / volume_um3) as f32;
            let (one, other) = (laid[first], laid[second]);
            let merged = Laid {
                x_um: one.x_um + share * (other.x_um - one.x_um),
                y_um: one.y_um + share * (other.y_um - one.y_um),
                radius_um: spread.radius_um(volume_um3 as f32),
                fresh: true,
                taken: false,
            };
            self.held.push(merged, volume_um3);
        }
        for (laid, &volume_um3) in laid.iter().zip(volumes) {
            if !laid.taken {
                self.held.push(Laid { fresh: false, ..*laid }, volume_um3);
            }
        }
    }

    /// Whether any two of the sorted drops overlap.
    fn any_touch(&self) -> bool {
        self.sorted.laid.iter().enumerate().any(|(index, laid)| {
            let mut touch = false;
            self.near(laid, 2.0 * laid.radius_um, |from, others| {
                for (offset, other) in others.iter().enumerate() {
                    let (dx, dy) = (other.x_um - laid.x_um, other.y_um - laid.y_um);
                    let sum_um = laid.radius_um + other.radius_um;
                    touch |= dx * dx + dy * dy < sum_um * sum_um && from + offset != index;
                }
            });
            touch
        })
    }

    /// Adds the domes whose centre lies in the square of side `size_um` from (`from_um`,
    /// `from_um`) to `tile`, relative to that square.
    pub(super) fn take(&self, from_um: f32, size_um: f32, tile: &mut GroundTile) {
        for (laid, &volume_um3) in self.sorted.laid.iter().zip(&self.sorted.volumes_um3) {
            let (x_um, y_um) = (laid.x_um - from_um, laid.y_um - from_um);
            if (0.0..size_um).contains(&x_um) && (0.0..size_um).contains(&y_um) {
                tile.domes.push(Dome { x_um, y_um, radius_um: laid.radius_um });
                tile.volumes_um3.push(volume_um3);
            }
        }
        tile.overlapping = self.touching;
    }
}
