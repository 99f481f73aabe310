//! Merge: drops that touch run together.
//!
//! Small drops run together first: they are softer in time, and the wait is set by the sum of the
//! two radii. So drops are laid on the copper from small to large; each looks for the smallest dome
//! it touches, merges with it at their common centre of mass, volumes adding, and looks again from
//! there, until it touches none and stays. What is left does not touch, unless edges are pinned or
//! the pair is still too slow to merge.

use super::{Dome, GroundTile, grains::Drop, spread::Spread};

/// Side of the squares in which domes are looked up, in scales of the ground. Speed only.
const SQUARE_SCALES: f32 = 1.0;

/// Bits of a volume left out of the key it is sorted by: 6 bits of mantissa stay, 1 % in volume.
const KEY_SHIFT: u32 = 17;

/// End of a chain of domes.
const NONE: u32 = u32::MAX;

/// A dome on the copper, chained to the next in its square.
#[derive(Clone, Copy, Debug)]
struct Laid {
    x_um: f32,
    y_um: f32,
    radius_um: f32,
    next: u32,
}

/// Scratch space for working a tile; keep it between tiles to save allocations.
#[derive(Clone, Debug, Default)]
pub struct Bench {
    pub(super) grains: Vec<Drop>,
    held: Vec<Drop>,
    sorted: Vec<Drop>,
    starts: Vec<u32>,
    heads: Vec<u32>,
    laid: Vec<Laid>,
    volumes: Vec<f64>,
    free: Vec<u32>,
    squares: usize,
    per_um: f32,
    /// Some pair touched and did not merge.
    touching: bool,
}

/// The melt of one square of copper.
#[derive(Clone, Copy, Debug)]
pub(super) struct Melt {
    /// Side of the square, µm.
    pub(super) side_um: f32,
    /// Scale of the ground, µm.
    pub(super) scale_um: f32,
}

impl Melt {
    /// Melts the grains on the bench step by step; the domes stay on the bench.
    ///
    /// Grains at an angle of 90° or more do not hold: they take no part in the step, and those left
    /// after the last are lost. What has once merged holds.
    pub(super) fn run(&self, spreads: &[Spread], bench: &mut Bench) {
        bench.held.clear();
        for spread in spreads {
            bench.take_hold(spread);
            bench.sort();
            self.lay(spread, bench);
            bench.lift();
        }
    }

    /// Lays the sorted drops, smallest first.
    fn lay(&self, spread: &Spread, bench: &mut Bench) {
        bench.clear(self.side_um, self.side_um.min(self.scale_um * SQUARE_SCALES));
        let mut widest_um = 0.0_f32;
        for index in 0..bench.sorted.len() {
            let mut drop = bench.sorted[index];
            let mut radius_um = spread.radius_um(drop.volume_um3 as f32);
            while let Some(other) = bench.touched(&drop, radius_um, widest_um, spread) {
                drop = bench.pick_up(other, &drop);
                radius_um = spread.radius_um(drop.volume_um3 as f32);
            }
            widest_um = widest_um.max(radius_um);
            bench.put_down(&drop, radius_um);
        }
    }
}

impl Bench {
    /// Moves the grains that hold at this step from the loose ones to the held ones.
    fn take_hold(&mut self, spread: &Spread) {
        let held = &mut self.held;
        self.grains.retain(|grain| {
            let holds = spread.holds(grain.volume_um3 as f32);
            if holds {
                held.push(*grain);
            }
            !holds
        });
    }

    /// Sorts the held drops by volume, to within 1 %, others in the order they come in.
    fn sort(&mut self) {
        let key = |drop: &Drop| ((drop.volume_um3 as f32).to_bits() >> KEY_SHIFT) as usize;
        let least = self.held.iter().map(key).min().unwrap_or(0);
        let most = self.held.iter().map(key).max().unwrap_or(0);
        self.starts.clear();
        self.starts.resize(most - least + 2, 0);
        for drop in &self.held {
            self.starts[key(drop) - least + 1] += 1;
        }
        for index in 1..self.starts.len() {
            self.starts[index] += self.starts[index - 1];
        }
        self.sorted.clear();
        self.sorted.resize(self.held.len(), Drop::default());
        for drop in &self.held {
            let start = &mut self.starts[key(drop) - least];
            self.sorted[*start as usize] = *drop;
            *start += 1;
        }
    }

    /// An empty copper of this side, cut into squares of about this size.
    fn clear(&mut self, side_um: f32, square_um: f32) {
        self.squares = (side_um / square_um).ceil().max(1.0) as usize;
        self.per_um = self.squares as f32 / side_um;
        self.heads.clear();
        self.heads.resize(self.squares * self.squares, NONE);
        self.laid.clear();
        self.volumes.clear();
        self.free.clear();
        self.touching = false;
    }

    /// Column or row of squares at this place.
    #[inline]
    fn line(&self, at_um: f32) -> usize {
        ((at_um * self.per_um) as usize).min(self.squares - 1)
    }

    /// The smallest dome that `drop` touches and can merge with.
    #[inline]
    fn touched(
        &mut self,
        drop: &Drop,
        radius_um: f32,
        widest_um: f32,
        spread: &Spread,
    ) -> Option<u32> {
        let reach_um = radius_um + widest_um;
        let (left, right) = (self.line(drop.x_um - reach_um), self.line(drop.x_um + reach_um));
        let (top, bottom) = (self.line(drop.y_um - reach_um), self.line(drop.y_um + reach_um));
        let (mut found, mut smallest_um) = (None, f32::INFINITY);
        for row in top..=bottom {
            for &head in &self.heads[row * self.squares + left..=row * self.squares + right] {
                let mut index = head;
                while index != NONE {
                    let other = self.laid[index as usize];
                    let (dx, dy) = (other.x_um - drop.x_um, other.y_um - drop.y_um);
                    let sum_um = radius_um + other.radius_um;
                    let distance2 = dx * dx + dy * dy;
                    if distance2 < sum_um * sum_um {
                        let near_um = sum_um * spread.touch;
                        let volume = drop.volume_um3 + self.volumes[index as usize];
                        if distance2 >= near_um * near_um
                            || sum_um >= spread.merge_limit_um
                            || volume > spread.largest_um3
                        {
                            self.touching = true;
                        } else if other.radius_um < smallest_um {
                            smallest_um = other.radius_um;
                            found = Some(index);
                        }
                    }
                    index = other.next;
                }
            }
        }
        found
    }

    /// Takes dome `index` off the copper and merges it into `drop`.
    #[inline]
    fn pick_up(&mut self, index: u32, drop: &Drop) -> Drop {
        let other = self.laid[index as usize];
        let square = self.line(other.y_um) * self.squares + self.line(other.x_um);
        let mut before = self.heads[square];
        if before == index {
            self.heads[square] = other.next;
        } else {
            while self.laid[before as usize].next != index {
                before = self.laid[before as usize].next;
            }
            self.laid[before as usize].next = other.next;
        }
        self.free.push(index);
        let volume_um3 = drop.volume_um3 + self.volumes[index as usize];
        let share = (self.volumes[index as usize] / volume_um3) as f32;
        Drop {
            x_um: drop.x_um + share * (other.x_um - drop.x_um),
            y_um: drop.y_um + share * (other.y_um - drop.y_um),
            volume_um3,
        }
    }

    /// Leaves a dome on the copper.
    #[inline]
    fn put_down(&mut self, drop: &Drop, radius_um: f32) {
        let square = self.line(drop.y_um) * self.squares + self.line(drop.x_um);
        let laid = Laid { x_um: drop.x_um, y_um: drop.y_um, radius_um, next: self.heads[square] };
        if let Some(index) = self.free.pop() {
            self.laid[index as usize] = laid;
            self.volumes[index as usize] = drop.volume_um3;
            self.heads[square] = index;
        } else {
            self.heads[square] = self.laid.len() as u32;
            self.laid.push(laid);
            self.volumes.push(drop.volume_um3);
        }
    }

    /// Calls `each` with every dome on the copper and its volume, square by square.
    fn each(&self, mut each: impl FnMut(&Laid, f64)) {
        for &head in &self.heads {
            let mut index = head;
            while index != NONE {
                let laid = &self.laid[index as usize];
                each(laid, self.volumes[index as usize]);
                index = laid.next;
            }
        }
    }

    /// Lists the domes on the copper as the held drops of the next step.
    fn lift(&mut self) {
        let mut held = core::mem::take(&mut self.held);
        held.clear();
        self.each(|laid, volume_um3| {
            held.push(Drop { x_um: laid.x_um, y_um: laid.y_um, volume_um3 });
        });
        self.held = held;
    }

    /// Adds the domes whose centre lies in the square of side `size_um` from (`from_um`,
    /// `from_um`) to `tile`, relative to that square.
    pub(super) fn take(&self, from_um: f32, size_um: f32, tile: &mut GroundTile) {
        self.each(|laid, volume_um3| {
            let (x_um, y_um) = (laid.x_um - from_um, laid.y_um - from_um);
            if (0.0..size_um).contains(&x_um) && (0.0..size_um).contains(&y_um) {
                tile.domes.push(Dome { x_um, y_um, radius_um: laid.radius_um });
                tile.volumes_um3.push(volume_um3);
            }
        });
        tile.overlapping = self.touching;
    }
}
