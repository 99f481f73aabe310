//! Matching: which of the touching pairs run together in one sweep.
//!
//! Pairs choose in the order of their nearness, each drop at most once. The pair nearest of all
//! those that either of its drops is in is chosen whatever happens elsewhere; so instead of sorting
//! all pairs, every drop picks its nearest partner, those that picked each other are matched, and
//! the pairs left without them pick again. Few are left after some rounds; those are sorted.

use super::pairs::Pair;
use super::squares::lengthen;

/// Mark for a drop without a mate.
pub(super) const ALONE: u32 = u32::MAX;

/// Rounds before the rest is sorted. Not more: long chains of drops, each nearer to the next than to
/// the last, would take as many rounds as they have drops. Told apart by the two highest bits of
/// the nearness, which are free in a number below 2.
const ROUNDS: u32 = 4;
const ROUND_BIT: u32 = 30;

/// Matches drops. Keeps its scratch space.
#[derive(Clone, Debug, Default)]
pub(super) struct Matching {
    /// Nearness and number of the nearest partner; the lower number first among those equally near.
    nearest: Vec<u64>,
    mates: Vec<u32>,
    /// Drops named by few pairs, a bit each, all of them 0 between calls; and of those matched the lower number and its mate.
    named: Vec<u64>,
    matched: Vec<(u32, u32)>,
}

impl Matching {
    /// Matches `count` drops along `pairs` and returns each one's mate or [`ALONE`]. Uses up the
    /// pairs; it does no harm if some are named twice.
    pub(super) fn match_up(&mut self, count: usize, pairs: &mut [Pair]) -> &[u32] {
        lengthen(&mut self.nearest, count, u64::MAX);
        lengthen(&mut self.mates, count, ALONE);
        let (nearest, mates) = (&mut self.nearest[..count], &mut self.mates[..count]);
        nearest.fill(u64::MAX);
        for pair in &*pairs {
            offer(nearest, pair, (ROUNDS - 1) << ROUND_BIT);
        }
        for index in 0..count {
            let partner = nearest[index] as u32;
            // Whoever has no partner points nowhere.
            let back = nearest.get(partner as usize).map_or(ALONE, |&pick| pick as u32);
            mates[index] = if back == index as u32 { partner } else { ALONE };
        }
        let all = pairs.len();
        match_rest(pairs, all, nearest, mates);
        mates
    }

    /// The same along pairs of few of the drops, which alone are looked at: those matched, each once with the higher number, in their order.
    pub(super) fn match_few(&mut self, count: usize, pairs: &mut [Pair]) -> &[(u32, u32)] {
        lengthen(&mut self.nearest, count, u64::MAX);
        lengthen(&mut self.mates, count, ALONE);
        let Self { nearest, mates, named, matched } = self;
        lengthen(named, count.div_ceil(64), 0);
        for index in pairs.iter().flat_map(|pair| [pair.first as usize, pair.second as usize]) {
            named[index / 64] |= 1 << (index % 64);
            (nearest[index], mates[index]) = (u64::MAX, ALONE);
        }
        let all = pairs.len();
        match_rest(pairs, all, nearest, mates);
        matched.clear();
        for (at, word) in named.iter_mut().enumerate() {
            let mut left = core::mem::take(word);
            while left != 0 {
                let index = (at * 64) as u32 + left.trailing_zeros();
                left &= left - 1;
                let mate = mates[index as usize];
                if mate != ALONE && mate > index {
                    matched.push((index, mate));
                }
            }
        }
        matched
    }
}

/// Lets the first `left` pairs choose, those whose drops are alone, round by round.
fn match_rest(pairs: &mut [Pair], mut left: usize, nearest: &mut [u64], mates: &mut [u32]) {
    for round in (0..ROUNDS - 1).rev() {
        left = next_round(&mut pairs[..left], nearest, mates, round << ROUND_BIT);
    }
    finish(&mut pairs[..left], mates);
}

/// Lets both drops of a pair pick each other unless they have found nearer ones. Later rounds have
/// a lower `round`, so that their picks count for more.
#[inline]
fn offer(nearest: &mut [u64], pair: &Pair, round: u32) {
    let (first, second) = (pair.first as usize, pair.second as usize);
    let nearness = u64::from(pair.nearness | round) << 32;
    nearest[first] = nearest[first].min(nearness | u64::from(pair.second));
    nearest[second] = nearest[second].min(nearness | u64::from(pair.first));
}

/// Lets drops without a mate pick again, matches those that pick each other, and returns how many
/// pairs there were, moved to the front.
fn next_round(pairs: &mut [Pair], nearest: &mut [u64], mates: &mut [u32], round: u32) -> usize {
    let left = still_alone(pairs, mates);
    for pair in &pairs[..left] {
        offer(nearest, pair, round);
    }
    for pair in &pairs[..left] {
        let (first, second) = (pair.first as usize, pair.second as usize);
        if (nearest[first] as u32 == pair.second) & (nearest[second] as u32 == pair.first) {
            mates[first] = pair.second;
            mates[second] = pair.first;
        }
    }
    left
}

/// Neither drop of the pair has a mate.
#[inline]
fn alone(mates: &[u32], pair: &Pair) -> bool {
    // Only the mark has all bits set.
    mates[pair.first as usize] & mates[pair.second as usize] == ALONE
}

/// Moves the pairs of drops without mates to the front and returns how many they are.
fn still_alone(pairs: &mut [Pair], mates: &[u32]) -> usize {
    let mut left = 0;
    for at in 0..pairs.len() {
        let pair = pairs[at];
        pairs[left] = pair;
        left += usize::from(alone(mates, &pair));
    }
    left
}

/// Matches the drops of the last pairs one by one.
fn finish(pairs: &mut [Pair], mates: &mut [u32]) {
    let left = still_alone(pairs, mates);
    let rest = &mut pairs[..left];
    rest.sort_unstable_by_key(|pair| {
        let (low, high) = (pair.first.min(pair.second), pair.first.max(pair.second));
        (pair.nearness, low, high)
    });
    for pair in rest {
        if alone(mates, pair) {
            mates[pair.first as usize] = pair.second;
            mates[pair.second as usize] = pair.first;
        }
    }
}
