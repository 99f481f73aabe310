//! Ink on paper as the light sees it: through the ink, sideways in the paper, and out again.

use super::blur::{Blocks, half_gaussian, sum_across, sum_down};
use super::exp::Decay;
use crate::grid::Grid;

/// Light spread is blurred on blocks of this size or smaller, µm: under half its width.
const BLOCK_UM: f32 = 20.0;
/// Its Gaussian is cut off at this many sigmas.
const CUT: f64 = 3.0;

/// Ink and paper in light.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Optics {
    /// Absorption of one pass, ½Kc, 1/µm.
    pub(super) absorption_per_um: f32,
    /// Reflectance of the ink's upper surface, R_s.
    pub(super) surface: f32,
    /// Reflectance of the bare paper, R_p.
    pub(super) paper: f32,
    /// Spread of light in the paper: standard deviation of the Gaussian, µm.
    pub(super) spread_um: f64,
}

/// Buffers of light, reused from window to window.
#[derive(Clone, Debug, Default)]
pub(super) struct OpticsScratch {
    weights: Vec<f32>,
    band: Vec<f32>,
    blocks: Vec<f32>,
    padded: Vec<f32>,
    spread: Vec<f32>,
    line: Vec<f32>,
    row: Vec<f32>,
}

impl Optics {
    /// Distance beyond which ink has no influence on the light, µm.
    pub(super) fn reach_um(&self) -> f64 {
        CUT * self.spread_um + 3.0 * f64::from(BLOCK_UM)
    }

    /// Transmittance of one pass, T = e^(−½Kc·y), along a row of ink `printed_um`.
    pub(super) fn transmit(&self, printed_um: &[f32], transmittance: &mut [f32]) {
        let light = Decay::new(self.absorption_per_um);
        for (t, &y) in transmittance.iter_mut().zip(printed_um) {
            *t = light.left_after(y);
        }
    }

    /// Turns the transmittance of a whole window into its reflectance, in place.
    ///
    /// > R = R_s + (R_p − R_s)·T·(G ∗ T)
    ///
    /// Light comes in through the ink where it comes out, T, and went into the paper round about,
    /// G ∗ T. The blur runs on small blocks; averaging them and spreading the result bilinearly
    /// widen it by a known variance, which is taken off the Gaussian.
    pub(super) fn reflect(&self, field: &mut [f32], grid: &Grid, scratch: &mut OpticsScratch) {
        let blocks = Self::blocks(grid, scratch);
        Self::average(field, &blocks, scratch);
        self.throw_back(field, grid, &blocks, scratch);
    }

    /// The blocks of a window, none of them averaged yet.
    pub(super) fn blocks(grid: &Grid, scratch: &mut OpticsScratch) -> Blocks {
        let mut side = 1;
        while 2.0 * side as f32 * grid.px_um <= BLOCK_UM && side < 16 {
            side *= 2;
        }
        scratch.blocks.clear();
        Blocks::new(grid, side)
    }

    /// Averages the blocks as far as the rows of a window are there, each when its last row has just
    /// been filled and is still at hand.
    pub(super) fn average(rows: &[f32], blocks: &Blocks, scratch: &mut OpticsScratch) {
        let OpticsScratch { band, blocks: means, line, .. } = scratch;
        let width = blocks.width();
        let there = rows.len() / width;
        band.resize(width, 0.0);
        let scale = 1.0 / (blocks.side * blocks.side) as f32;
        for row in means.len() / blocks.columns..blocks.rows {
            if blocks.pixel_rows(row).any(|y| y >= there) {
                break;
            }
            let mut lines = blocks.pixel_rows(row).map(|y| &rows[y * width..][..width]);
            if let Some(first) = lines.next() {
                band.copy_from_slice(first);
            }
            for line in lines {
                band.iter_mut().zip(line).for_each(|(sum, value)| *sum += value);
            }
            let mean = |c| blocks.part(band, c, line).iter().sum::<f32>() * scale;
            means.extend((0..blocks.columns).map(mean));
        }
    }

    /// The last step of [`Self::reflect`], once all blocks are averaged.
    pub(super) fn throw_back(
        &self,
        field: &mut [f32],
        grid: &Grid,
        blocks: &Blocks,
        scratch: &mut OpticsScratch,
    ) {
        let side = blocks.side;
        let variance = self.spread_um / f64::from(grid.px_um);
        // Box of one block, (side² − 1)/12, and bilinear spread, side²/6 between the same centres.
        let side2 = (side * side) as f64;
        let spread = if side == 1 { 0.0 } else { (side2 - 1.0) / 12.0 + side2 / 6.0 };
        let sigma = libm::sqrt((variance * variance - spread).max(0.0)) / side as f64;
        half_gaussian(sigma, CUT, &mut scratch.weights);
        blur(blocks, scratch);
        scratch.row.resize(grid.width, 0.0);
        let (surface, span) = (self.surface, self.paper - self.surface);
        for (y, row) in field.chunks_exact_mut(grid.width).enumerate() {
            blocks.spread_row(&scratch.spread, (y, 0), &mut scratch.line, &mut scratch.row);
            for (t, &around) in row.iter_mut().zip(&scratch.row) {
                *t = surface + span * (*t * around);
            }
        }
    }
}

/// Blurs the means of the blocks: from `scratch.blocks` to `scratch.spread`.
fn blur(blocks: &Blocks, scratch: &mut OpticsScratch) {
    let OpticsScratch { weights, blocks: means, padded, spread, line, .. } = scratch;
    let (columns, rows, radius) = (blocks.columns, blocks.rows, weights.len() - 1);
    padded.resize((rows + 2 * radius) * columns, 0.0);
    padded[radius * columns..][..means.len()].copy_from_slice(means);
    for i in (-(radius as i64)..0).chain(rows as i64..(rows + radius) as i64) {
        let (a, b, share) = blocks.mirrored_row(i);
        let (a, b) = (&means[a * columns..][..columns], &means[b * columns..][..columns]);
        let to = &mut padded[(radius as i64 + i) as usize * columns..][..columns];
        for ((to, a), b) in to.iter_mut().zip(a).zip(b) {
            *to = a + (b - a) * share;
        }
    }
    spread.resize(blocks.len(), 0.0);
    line.resize(columns + 2 * radius, 0.0);
    for (row, out) in spread.chunks_exact_mut(columns).enumerate() {
        let take = |k: i64| &padded[((row + radius) as i64 + k) as usize * columns..][..columns];
        sum_down(take, weights, &mut line[radius..][..columns]);
        for i in (-(radius as i64)..0).chain(columns as i64..(columns + radius) as i64) {
            let (a, b, share) = blocks.mirrored_column(i);
            let (a, b) = (line[radius + a], line[radius + b]);
            line[(radius as i64 + i) as usize] = a + (b - a) * share;
        }
        sum_across(line, weights, out);
    }
}
