//! Melt: what sweeps over the drops of a tile work on, early ([`super::merge`]) and late (`late`), and what two
//! drops become.

use super::grains::Drop;
use super::matching::Matching;
use super::pairs::{Finder, Pair};
use super::spread::Spread;
use super::squares::{Drops, Squares};

/// Scratch space for working a tile; keep it between tiles to save allocations.
#[derive(Clone, Debug, Default)]
pub struct MeltScratch {
    pub(super) grains: Vec<Drop>,
    /// Drops that hold.
    pub(super) held: Drops,
    /// The same in the order of their squares.
    pub(super) sorted: Drops,
    pub(super) squares: Squares,
    pub(super) finder: Finder,
    pub(super) matching: Matching,
    pub(super) late: Late,
    pub(super) leading: Vec<u32>,
    pub(super) alone: Vec<u32>,
    /// Some pairs touched and were kept apart.
    pub(super) apart: bool,
    pub(super) touching: bool,
}

/// Added drops hung into squares.
#[derive(Clone, Debug, Default)]
pub(super) struct Late {
    /// Last drop added to each square, or [`ALONE`].
    pub(super) heads: Vec<u32>,
    /// For each drop added, the one before it in its square.
    pub(super) nexts: Vec<u32>,
    pub(super) fresh: Vec<u32>,
}

/// Place and volume of two drops run together. The same whichever of them comes first.
#[inline]
pub(super) fn merged(drops: &Drops, one: usize, other: usize) -> ((f32, f32), f64) {
    let (first, second) = (drops.volume_um3[one], drops.volume_um3[other]);
    let volume_um3 = first + second;
    let share = 1.0 / volume_um3;
    let middle = |row: &[f32]| {
        ((first * f64::from(row[one]) + second * f64::from(row[other])) * share) as f32
    };
    ((middle(&drops.x_um), middle(&drops.y_um)), volume_um3)
}

/// Drops the pairs that touch but may not merge; returns whether there were any.
pub(super) fn keep_apart(
    finder: &mut Finder,
    drops: &Drops,
    widest_um: f32,
    spread: &Spread,
) -> bool {
    if 2.0 * widest_um < spread.merge_limit_um && widest_um < spread.half_of_largest_um {
        return false;
    }
    let before = finder.pairs().len();
    finder.retain(|&Pair { first, second, .. }| {
        let (first, second) = (first as usize, second as usize);
        drops.radius_um[first] + drops.radius_um[second] < spread.merge_limit_um
            && drops.volume_um3[first] + drops.volume_um3[second] <= spread.largest_um3
    });
    finder.pairs().len() < before
}
