//! Dabbing up: soft muslin draws a little ink out of the pits and spreads it round them.
//!
//! > t ← t·(1 − q) + G ∗ (q·t)
//!
//! with q the share drawn out and G a Gaussian: no ink is lost (M. Lalanne, A Treatise on Etching,
//! 1880, §89, in words).

use super::InkScratch;
use super::blur::{Blocks, blurred_row, half_gaussian, reflected};
use crate::grid::Grid;

/// Side of the blocks on which the spread ink is blurred, µm.
const BLOCK_UM: f64 = 40.0;
/// The Gaussian is cut off at this many sigmas.
const CUT: f64 = 3.0;

/// How a plate is dabbed up.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Dab {
    /// Share of the ink drawn out, 0–1.
    pub(super) share: f32,
    /// How far it spreads: standard deviation, µm.
    pub(super) width_um: f64,
}

impl Dab {
    /// Dabs the ink held by the copper, in place.
    pub(super) fn up(&self, grid: &Grid, scratch: &mut InkScratch) {
        if grid.is_empty() {
            return;
        }
        let InkScratch { held_um, weights, line, row, .. } = scratch;
        let side = libm::round(BLOCK_UM / f64::from(grid.px_um)).max(1.0);
        let blocks = Blocks::new(grid, side as usize);
        // The blocks themselves and the bilinear spread widen the Gaussian.
        let variance = self.width_um / f64::from(grid.px_um);
        let widened = (side * side - 1.0) / 12.0 + side * side / 6.0;
        let sigma = libm::sqrt((variance * variance - widened).max(0.0)) / side;
        let mut means = Vec::with_capacity(blocks.len());
        let scale = 1.0 / (side * side) as f32;
        for block_row in 0..blocks.rows {
            for column in 0..blocks.columns {
                let mut sum = 0.0_f32;
                for y in blocks.pixel_rows(block_row) {
                    let from = &held_um[y * grid.width..][..grid.width];
                    sum += blocks.part(from, column, line).iter().sum::<f32>();
                }
                means.push(sum * scale);
            }
        }
        half_gaussian(sigma, CUT, weights);
        let place = |row: i64| reflected(row, blocks.rows);
        let mut spread = vec![0.0; blocks.len()];
        for (i, out) in spread.chunks_exact_mut(blocks.columns).enumerate() {
            blurred_row(&means, blocks.columns, i, &place, weights, line, out);
        }
        row.resize(grid.width, 0.0);
        for (y, held) in held_um.chunks_exact_mut(grid.width).enumerate() {
            blocks.spread_row(&spread, (y, 0), line, row);
            for (held, &round) in held.iter_mut().zip(row.iter()) {
                *held += self.share * (round - *held);
            }
        }
    }
}
