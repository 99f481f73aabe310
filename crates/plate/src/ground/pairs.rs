//! Pairs: which drops touch, and how near to each other they lie for their size.
//!
//! Drops are sorted into squares as wide as two usual drops reach. Usual drops that touch lie in
//! the same square or in neighbouring ones; every square looks at itself and at the four of its
//! neighbours that come after it, so each pair is met once. The few larger drops look all round, for
//! partners no larger than themselves.

use super::squares::{Drops, LANES, Squares, lengthen};
use wide::{CmpLt, f32x4};

/// Blocks gathered before they are picked apart: few enough to stay near at hand.
const BLOCKS: usize = 512;

/// Room for pairs to begin with: the first grains to melt touch some 2.4 others each.
const PAIRS_PER_DROP: usize = 3;

/// Two drops that touch.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Pair {
    /// Bits of (distance / sum of radii)², which order like the number.
    pub(super) nearness: u32,
    pub(super) first: u32,
    pub(super) second: u32,
}

/// [`LANES`] neighbours of a drop at least one of which touches it.
#[derive(Clone, Copy, Debug, Default)]
struct Block {
    /// The drop, and in the upper half the first of its neighbours: written in one go.
    numbers: u64,
    nearness: [f32; LANES],
}

/// Finds pairs. Keeps its scratch space.
#[derive(Clone, Debug, Default)]
pub(super) struct Finder {
    blocks: Vec<Block>,
    filled: usize,
    pairs: Vec<Pair>,
    found: usize,
    /// Places from the left of usual drops; the larger ones lie nowhere.
    usual_x_um: Vec<f32>,
    large: Vec<u32>,
    touch: f32,
    touch2: f32,
}

/// A drop that looks around.
#[derive(Clone, Copy)]
struct Look {
    index: u32,
    x_um: f32,
    y_um: f32,
    radius_um: f32,
    touch2: f32,
}

impl Finder {
    /// Forgets what was found and sets at which share of the sum of their radii drops touch.
    pub(super) fn begin(&mut self, touch: f32) {
        self.touch = touch;
        self.touch2 = touch * touch;
        self.found = 0;
        self.filled = 0;
        self.blocks.resize(BLOCKS, Block::default());
    }

    /// The pairs found.
    pub(super) fn pairs(&mut self) -> &mut [Pair] {
        self.pick::<true>();
        &mut self.pairs[..self.found]
    }

    /// Keeps only the pairs that `keep` wants.
    pub(super) fn retain(&mut self, mut keep: impl FnMut(&Pair) -> bool) {
        self.pick::<true>();
        let mut kept = 0;
        for at in 0..self.found {
            let pair = self.pairs[at];
            self.pairs[kept] = pair;
            kept += usize::from(keep(&pair));
        }
        self.found = kept;
    }

    /// Adds a pair unless it does not touch.
    pub(super) fn add(&mut self, first: u32, second: u32, nearness: f32) {
        if nearness < self.touch2 {
            lengthen(&mut self.pairs, self.found + 1, Pair::default());
            self.pairs[self.found] = Pair { nearness: nearness.to_bits(), first, second };
            self.found += 1;
        }
    }

    /// Finds all pairs among sorted drops, once each but for some of two large ones; those larger
    /// than `usual_um` look all round.
    pub(super) fn find_all(&mut self, drops: &Drops, squares: &Squares, usual_um: f32) {
        let count = drops.len();
        lengthen(&mut self.pairs, PAIRS_PER_DROP * count, Pair::default());
        self.large.clear();
        let mut usual_x_um = core::mem::take(&mut self.usual_x_um);
        usual_x_um.clear();
        let or_nowhere = |(&x_um, &radius_um): (&f32, &f32)| {
            if radius_um > usual_um { f32::INFINITY } else { x_um }
        };
        usual_x_um
            .extend(drops.x_um[..count].iter().zip(&drops.radius_um[..count]).map(or_nowhere));
        let rows = Rows {
            x_um: &usual_x_um[..count],
            y_um: &drops.y_um[..count],
            radius_um: &drops.radius_um[..count],
        };
        let stride = squares.stride();
        for row in 0..squares.across {
            let own = &squares.starts[row * stride..][..stride + 2];
            let below = &squares.starts[(row + 1) * stride - 1..][..stride + 3];
            for (own, below) in own.windows(3).zip(below.windows(4)).take(squares.across) {
                let (own, right) = (own[0] as usize..own[1] as usize, own[2] as usize);
                let below = below[0] as usize..below[3] as usize;
                let most = own.len() * ((right - own.start + below.len()) / LANES + 2);
                if self.filled + most > self.blocks.len() {
                    self.pick_for_room::<false>(most);
                }
                let (mut filled, touch2) = (self.filled, self.touch2);
                let blocks = self.blocks.as_mut_slice();
                for index in own {
                    if rows.radius_um[index] > usual_um {
                        self.large.push(index as u32);
                        continue;
                    }
                    let look = rows.look(index, touch2);
                    filled = rows.touching(&look, index + 1, right, blocks, filled);
                    filled = rows.touching(&look, below.start, below.end, blocks, filled);
                }
                self.filled = filled;
            }
        }
        self.pick::<false>();
        let large = core::mem::take(&mut self.large);
        for &index in &large {
            self.look_round(drops, squares, index as usize, drops.radius_um[index as usize]);
        }
        self.large = large;
        self.usual_x_um = usual_x_um;
    }

    /// Finds partners of one drop among the sorted ones: all those no larger than `widest_um`.
    pub(super) fn look_round(
        &mut self,
        drops: &Drops,
        squares: &Squares,
        index: usize,
        widest_um: f32,
    ) {
        let count = drops.len();
        let rows = Rows {
            x_um: &drops.x_um[..count],
            y_um: &drops.y_um[..count],
            radius_um: &drops.radius_um[..count],
        };
        let look = rows.look(index, self.touch2);
        // A little more, so that rounding parts no pair.
        let reach = 1.001 * (widest_um + look.radius_um) * self.touch;
        let (left, right) = (squares.line(look.x_um - reach), squares.line(look.x_um + reach));
        let (top, bottom) = (squares.line(look.y_um - reach), squares.line(look.y_um + reach));
        for row in top..=bottom {
            let starts = &squares.starts[row * squares.stride()..];
            let (from, to) = (starts[left] as usize, starts[right + 1] as usize);
            let most = (to - from) / LANES + 1;
            if self.filled + most > self.blocks.len() {
                self.pick_for_room::<true>(most);
            }
            self.filled = rows.touching(&look, from, to, &mut self.blocks, self.filled);
        }
    }

    /// Picks the blocks apart, so that there is room for so many.
    #[cold]
    fn pick_for_room<const SELF: bool>(&mut self, blocks: usize) {
        self.pick::<SELF>();
        if blocks > self.blocks.len() {
            self.blocks.resize(blocks, Block::default());
        }
    }

    /// Picks the pairs out of the blocks; SELF if some drops may have found themselves.
    fn pick<const SELF: bool>(&mut self) {
        let most = self.found + self.filled * LANES;
        lengthen(&mut self.pairs, most, Pair::default());
        let pairs = self.pairs.as_mut_slice();
        let (mut found, touch2) = (self.found, self.touch2.to_bits());
        for block in &self.blocks[..self.filled] {
            let (first, at) = (block.numbers as u32, (block.numbers >> 32) as u32);
            for lane in 0..LANES {
                let (near, second) = (block.nearness[lane].to_bits(), at + lane as u32);
                pairs[found] = Pair { nearness: near, first, second };
                found += usize::from((near < touch2) & (!SELF | (second != first)));
            }
        }
        self.found = found;
        self.filled = 0;
    }
}

/// The sorted drops as they are looked at: rows of one length.
struct Rows<'a> {
    x_um: &'a [f32],
    y_um: &'a [f32],
    radius_um: &'a [f32],
}

impl Rows<'_> {
    #[inline]
    fn look(&self, index: usize, touch2: f32) -> Look {
        let (x_um, y_um) = (self.x_um[index], self.y_um[index]);
        Look { index: index as u32, x_um, y_um, radius_um: self.radius_um[index], touch2 }
    }

    /// Looks at drops `from` … `to`, and past the end to the next whole block: what is found there
    /// are partners too. Writes the blocks in which any touches behind those `filled` and returns
    /// how many are filled then.
    #[inline(always)]
    fn touching(
        &self,
        look: &Look,
        from: usize,
        to: usize,
        blocks: &mut [Block],
        mut filled: usize,
    ) -> usize {
        let fours = to.saturating_sub(from).div_ceil(LANES);
        // Asked once whether they end in time, not for every four.
        let (x_um, _) = self.x_um[from..from + fours * LANES].as_chunks::<LANES>();
        let (y_um, _) = self.y_um[from..from + fours * LANES].as_chunks::<LANES>();
        let (radius_um, _) = self.radius_um[from..from + fours * LANES].as_chunks::<LANES>();
        let places = x_um.iter().zip(y_um).zip(radius_um);
        let mut numbers = (from as u64) << 32 | u64::from(look.index);
        for ((&x_um, &y_um), &radius_um) in places {
            let (dx, dy) = (f32x4::new(x_um) - look.x_um, f32x4::new(y_um) - look.y_um);
            let sum = f32x4::new(radius_um) + look.radius_um;
            let nearness = (dx * dx + dy * dy) / (sum * sum);
            let any = nearness.cmp_lt(look.touch2).any();
            blocks[filled] = Block { numbers, nearness: nearness.to_array() };
            filled += usize::from(any);
            numbers += (LANES as u64) << 32;
        }
        filled
    }
}

#[cfg(test)]
mod tests {
    use super::super::squares::{Drops, Squares};
    use super::Finder;
    use std::collections::BTreeSet;

    /// Drops here and there on a square of copper, a few of them large.
    fn scattered(count: u32, side_um: f32) -> Drops {
        let unit = |word: u32| f64::from(word.wrapping_mul(2_654_435_761)) / 4_294_967_296.0;
        let mut drops = Drops::default();
        for i in 0..count {
            let radius_um =
                0.5 + 2.0 * unit(i + 70_000) as f32 + if i % 40 == 0 { 6.0 } else { 0.0 };
            let at = |word| side_um * unit(word) as f32;
            drops.push((at(i * i + 7), at(3 * i + i / 9)), radius_um, 1.0);
        }
        drops
    }

    /// All pairs that touch, found in squares and by looking at each with each; every one must be there.
    fn same_as_each_with_each(count: u32, side_um: f32, square_um: f32, usual_um: f32) {
        let touch = 0.9;
        let (mut squares, mut sorted, mut finder) =
            (Squares::default(), Drops::default(), Finder::default());
        squares.sort(&scattered(count, side_um), side_um, square_um, &mut sorted);
        finder.begin(touch);
        finder.find_all(&sorted, &squares, usual_um);
        let found: BTreeSet<_> = finder
            .pairs()
            .iter()
            .map(|pair| (pair.first.min(pair.second), pair.first.max(pair.second), pair.nearness))
            .collect();
        let mut expected = BTreeSet::new();
        for one in 0..count as usize {
            for other in one + 1..count as usize {
                let dx = sorted.x_um[other] - sorted.x_um[one];
                let dy = sorted.y_um[other] - sorted.y_um[one];
                let sum = sorted.radius_um[other] + sorted.radius_um[one];
                let nearness = (dx * dx + dy * dy) / (sum * sum);
                if nearness < touch * touch {
                    expected.insert((one as u32, other as u32, nearness.to_bits()));
                }
            }
        }
        assert!(expected.len() as u32 > count / 2, "only {} pairs to be found", expected.len());
        assert_eq!(found, expected);
    }

    #[test]
    fn all_pairs_are_found_where_drops_lie_apart() {
        same_as_each_with_each(4000, 250.0, 4.6, 2.5);
    }

    #[test]
    fn all_pairs_are_found_where_more_crowd_than_there_is_room_for() {
        // Some 60 in a square, and all in one.
        same_as_each_with_each(1500, 25.0, 4.6, 2.5);
        same_as_each_with_each(5000, 60.0, 60.0, 2.5);
    }
}
