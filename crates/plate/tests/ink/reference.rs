//! The ink's equations in their plainest form: f64, `libm`, full resolution, no levels, no blocks.

use rand::{RngExt, SeedableRng};
use rand_distr::StandardNormal;
use rand_pcg::Pcg32;

/// Weights with which each of `n` pixels of a row counts at place `at` (in pixels from the row's
/// start), the row reflected about its ends; they sum to 1.
pub(crate) fn reflected_gaussian(n: usize, at: f64, sigma: f64) -> Vec<f64> {
    let mut weights = vec![0.0; n];
    let reach = (6.0 * sigma).ceil() as i64 + 1;
    let length = n as i64;
    for place in at.floor() as i64 - reach..=at.floor() as i64 + reach {
        let x = (place as f64 + 0.5 - at) / sigma;
        let folded = place.rem_euclid(2 * length);
        let folded = if folded < length { folded } else { 2 * length - 1 - folded };
        weights[folded as usize] += libm::exp(-0.5 * x * x);
    }
    let total: f64 = weights.iter().sum();
    weights.iter().map(|w| w / total).collect()
}

/// Cloth level e at the centre of one pixel: G ∗ max(e* − h, 0) = s₀ solved by halving.
pub(crate) fn cloth_level(
    depth_um: &[f32],
    width: usize,
    (column, row): (usize, usize),
    sigma_px: f64,
    s0: f64,
) -> f64 {
    let height = depth_um.len() / width;
    let across = reflected_gaussian(width, column as f64 + 0.5, sigma_px);
    let down = reflected_gaussian(height, row as f64 + 0.5, sigma_px);
    let overlap = |level: f64| -> f64 {
        depth_um
            .chunks(width)
            .zip(&down)
            .map(|(row, w)| {
                w * row
                    .iter()
                    .zip(&across)
                    .map(|(&h, v)| v * (level - f64::from(h)).max(0.0))
                    .sum::<f64>()
            })
            .sum()
    };
    let (mut low, mut high) = (0.0, 1000.0);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if overlap(middle) < s0 { low = middle } else { high = middle }
    }
    0.5 * (low + high) - s0
}

/// Gaussian blur with reflecting borders.
pub(crate) fn blurred(field: &[f64], width: usize, sigma_px: f64) -> Vec<f64> {
    let height = field.len() / width;
    let pass = |from: &[f64], n: usize, lines: usize, step: usize, stride: usize| {
        let mut to = vec![0.0; from.len()];
        let reach = (5.0 * sigma_px).ceil() as i64;
        let weights: Vec<f64> = (-reach..=reach)
            .map(|k| libm::exp(-0.5 * (k as f64 / sigma_px) * (k as f64 / sigma_px)))
            .collect();
        let total: f64 = weights.iter().sum();
        for line in 0..lines {
            for i in 0..n {
                let mut sum = 0.0;
                for (k, w) in (-reach..=reach).zip(&weights) {
                    let j = (i as i64 + k).rem_euclid(2 * n as i64);
                    let j = if j < n as i64 { j } else { 2 * n as i64 - 1 - j };
                    sum += w * from[line * stride + j as usize * step];
                }
                to[line * stride + i * step] = sum / total;
            }
        }
        to
    };
    let across = pass(field, width, height, 1, width);
    pass(&across, height, width, width, 1)
}

/// Ink held: t = max(h − e, film), with land film `t0`, floor film `tf` and rough length 2 µm.
pub(crate) fn held(depth_um: f64, level_um: f64, t0: f64, tf: f64) -> f64 {
    (depth_um - level_um).max(t0 + (tf - t0) * (1.0 - libm::exp(-0.5 * depth_um)))
}

/// Walker & Fetsko, TAGA Proc. 1955.
pub(crate) fn walker_fetsko(x: f64, k: f64, b: f64, f: f64) -> f64 {
    let up = b * (1.0 - libm::exp(-x / b));
    (1.0 - libm::exp(-k * x)) * (up + f * (x - up))
}

/// Small random numbers of its own, so that grounds never change with a library.
pub(crate) struct Random(Pcg32);

impl Random {
    pub(crate) fn new(seed: u64) -> Self {
        Self(Pcg32::seed_from_u64(seed))
    }

    /// Between 0 and 1.
    pub(crate) fn share(&mut self) -> f64 {
        self.0.random()
    }

    /// Normal, mean 0, standard deviation 1.
    pub(crate) fn normal(&mut self) -> f64 {
        self.0.sample(StandardNormal)
    }
}

/// A ground of random overlapping discs (median diameter 40 µm, σ of its logarithm 0.35), laid
/// until `cover` is reached, as distances to the nearest open copper on a fine square raster.
pub(crate) struct DiscGround {
    side: usize,
    sample_um: f64,
    distance_um: Vec<f64>,
}

impl DiscGround {
    pub(crate) fn new(side_um: f64, sample_um: f64, cover: f64, seed: u64) -> Self {
        let side = (side_um / sample_um).round() as usize;
        let mut random = Random::new(seed);
        let mut covered = vec![false; side * side];
        let mut count = 0;
        let reach_um = 60.0;
        while (count as f64) < cover * (side * side) as f64 {
            let radius_um = 20.0 * libm::exp(0.35 * random.normal());
            let x = (random.share() * (side_um + 2.0 * reach_um) - reach_um) / sample_um;
            let y = (random.share() * (side_um + 2.0 * reach_um) - reach_um) / sample_um;
            let r = radius_um / sample_um;
            let span = |c: f64| {
                ((c - r).max(0.0) as usize)..((c + r + 1.0).clamp(0.0, side as f64) as usize)
            };
            for row in span(y) {
                for column in span(x) {
                    let (dx, dy) = (column as f64 + 0.5 - x, row as f64 + 0.5 - y);
                    let cell = &mut covered[row * side + column];
                    if dx * dx + dy * dy < r * r && !*cell {
                        *cell = true;
                        count += 1;
                    }
                }
            }
        }
        // Squared distances, columns first (distance to the nearest open sample in the column),
        // then the least of dx² + column² along the row, as far as the deepest bite looks (45 µm).
        let far = (45.0 / sample_um) as i64 + 2;
        let mut column_steps = vec![far; side * side];
        for column in 0..side {
            let mut steps = far;
            for row in 0..side {
                let i = row * side + column;
                steps = if covered[i] { (steps + 1).min(far) } else { 0 };
                column_steps[i] = steps;
            }
            steps = far;
            for row in (0..side).rev() {
                let i = row * side + column;
                steps = if covered[i] { (steps + 1).min(far) } else { 0 };
                column_steps[i] = column_steps[i].min(steps);
            }
        }
        let mut distance_um = vec![0.0; side * side];
        for (row, steps) in distance_um.chunks_mut(side).zip(column_steps.chunks(side)) {
            for (column, distance) in row.iter_mut().enumerate() {
                let mut least = steps[column] * steps[column];
                let mut dx = 1;
                while dx * dx < least {
                    if column >= dx as usize {
                        let s = steps[column - dx as usize];
                        least = least.min(dx * dx + s * s);
                    }
                    if column + (dx as usize) < side {
                        let s = steps[column + dx as usize];
                        least = least.min(dx * dx + s * s);
                    }
                    dx += 1;
                }
                // The edge lies half a sample before the nearest open centre.
                *distance = (libm::sqrt(least as f64) - 0.5).max(0.0) * sample_um;
            }
        }
        Self { side, sample_um, distance_um }
    }

    /// Depth after an isotropic bite of `bite_um`: under the resin an undercut of quarter-circle
    /// section. Each pixel is the mean of the samples in it.
    pub(crate) fn bitten(&self, bite_um: f64, px_um: f64) -> (usize, Vec<f32>) {
        let per = (px_um / self.sample_um).round() as usize;
        let side = self.side / per;
        let mut depth = vec![0.0_f64; side * side];
        for row in 0..side * per {
            for column in 0..side * per {
                let d = self.distance_um[row * self.side + column];
                depth[row / per * side + column / per] +=
                    libm::sqrt((bite_um * bite_um - d * d).max(0.0));
            }
        }
        (side, depth.iter().map(|d| (d / (per * per) as f64) as f32).collect())
    }
}
