//! Envelope: what of the reach of open copper round about is left at each pixel, in one rectangle at a time.
//!
//! The maximum over the columns comes first, then that along the rows. Both are taken for those pixels only that ask,
//! and neither where no open copper can reach: what is left there is not above 0, and bites nothing.

use super::LANES;
use core::ops::Range;
use wide::{CmpGt, CmpLt, f32x4};

/// No open copper: less than minus any squared distance that is looked at, µm².
const NOTHING: f32 = -1e12;

/// Buffers kept between rectangles.
#[derive(Clone, Debug, Default)]
pub(super) struct Envelope {
    /// How far open copper reaches at most, px.
    reach: usize,
    /// Rows of seeds: those of the rectangle, and the reach above and below.
    rows: usize,
    /// Squared reach of each pixel's open copper, µm²; far below 0 where there is none. Fours of columns
    /// one after another, each from top to foot.
    seeds: Vec<f32x4>,
    /// First row that holds any open copper in each four of columns, and one past the last.
    held: Vec<(usize, usize)>,
    /// Taken off at each distance in whole pixels from 1, µm².
    lower: Vec<f32x4>,
    /// One row after the maximum over the columns.
    columns: Vec<f32>,
}

impl Envelope {
    /// Makes room for a rectangle of so many rows, which feels as far as `reach` pixels.
    pub(super) fn clear(&mut self, rows: usize, reach: usize, px_um: f32) {
        (self.reach, self.rows) = (reach, rows + 2 * reach);
        self.seeds.clear();
        self.held.clear();
        self.lower.clear();
        self.lower.extend((1..=reach).map(|px| {
            let um = (px as f32 - 0.5) * px_um;
            f32x4::splat(um * um)
        }));
    }

    /// How many fours of columns beside a four are felt in it, all of them to its right: the first four of
    /// seeds begins `reach` columns to the left of the rectangle.
    pub(super) fn felt_fours(reach: usize) -> usize {
        (2 * reach).div_ceil(LANES)
    }

    /// Adds the next four columns: `open` gives the distance under the resin and the undercut, both µm, of four pixels
    /// of one of the `rows` that there are, or nothing where none of them is bitten. Copper reaches from anywhere in
    /// each pixel's square; a pixel partly open counts with what reach is left at its far side.
    pub(super) fn sow(
        &mut self,
        px_um: f32,
        rows: Range<usize>,
        mut open: impl FnMut(usize) -> Option<(f32x4, f32x4)>,
    ) {
        let half = f32x4::splat(0.5 * px_um);
        let nothing = f32x4::splat(NOTHING);
        let (mut first, mut past) = (self.rows, 0);
        let from = self.seeds.len();
        self.seeds.resize(from + self.rows, nothing);
        for (row, seed) in rows.clone().zip(&mut self.seeds[from..][rows]) {
            let Some((under_um, undercut_um)) = open(row) else { continue };
            let reach = undercut_um - (under_um + half).fast_max(f32x4::ZERO);
            let counts = under_um.cmp_lt(half) & reach.cmp_gt(f32x4::ZERO);
            if counts.any() {
                first = first.min(row);
                past = row + 1;
                *seed = counts.blend(reach * reach, nothing);
            }
        }
        self.held.push((first, past));
    }

    /// What is left in one row of the rectangle, squared µm: `then` is given every four of which a pixel `asks` and that has anything.
    pub(super) fn row(&mut self, row: usize, asks: &[u8], mut then: impl FnMut(usize, f32x4)) {
        let felt = Self::felt_fours(self.reach);
        self.columns.resize(self.held.len() * LANES, NOTHING);
        // Fours of columns that are known, and one past the last of them that holds anything.
        let (mut known, mut past) = (0, 0);
        for (four, _) in asks.iter().enumerate().filter(|&(_, &asks)| asks != 0) {
            for column in known.max(four)..=four + felt {
                let most = self.most_of_column(column, row + self.reach);
                self.columns[column * LANES..][..LANES].copy_from_slice(&most.to_array());
                if most.cmp_gt(f32x4::ZERO).any() {
                    past = column + 1;
                }
            }
            known = known.max(four + felt + 1);
            if past > four {
                then(four, self.most_along_row(four));
            }
        }
    }

    /// The greatest of four columns, seen from one row of the seeds.
    #[inline(always)]
    fn most_of_column(&self, four: usize, own: usize) -> f32x4 {
        let column = &self.seeds[four * self.rows..][..self.rows];
        let mut most = column[own];
        let (first, past) = self.held[four];
        if first >= past {
            return most;
        }
        // Rows from here to the nearest that holds anything, and to the farthest.
        let nearest = first.saturating_sub(own).max((own + 1).saturating_sub(past)).max(1);
        let farthest =
            own.saturating_sub(first).max((past - 1).saturating_sub(own)).min(self.reach);
        if nearest > farthest {
            return most;
        }
        let above = column[own - farthest..=own - nearest].iter().rev();
        let below = &column[own + nearest..=own + farthest];
        for ((above, below), lower) in above.zip(below).zip(&self.lower[nearest - 1..farthest]) {
            most = (above.fast_max(*below) - *lower).fast_max(most);
        }
        most
    }

    /// The greatest along the row, for four pixels of the rectangle.
    #[inline(always)]
    fn most_along_row(&self, four: usize) -> f32x4 {
        let felt = &self.columns[four * LANES..][..2 * self.reach + LANES];
        let lanes = |four: &[f32]| f32x4::new([four[0], four[1], four[2], four[3]]);
        let mut most = lanes(&felt[self.reach..][..LANES]);
        let left = felt[..self.reach + LANES - 1].windows(LANES).rev();
        let right = felt[self.reach + 1..].windows(LANES);
        for ((left, right), lower) in left.zip(right).zip(&self.lower) {
            most = (lanes(left).fast_max(lanes(right)) - *lower).fast_max(most);
        }
        most
    }
}
