//! Gaussian blurs with reflecting borders, and the coarse blocks on which the wide ones run.

use crate::grid::Grid;

/// Half of a Gaussian's weights, from its centre outwards: w₀, w₁, … with w₀ + 2Σwₖ = 1.
///
/// `sigma` and the step between weights are in the same unit of samples; the rest beyond `cut`
/// sigmas is left out.
pub(super) fn half_gaussian(sigma: f64, cut: f64, weights: &mut Vec<f32>) {
    weights.clear();
    let radius = libm::ceil(cut * sigma).max(0.0) as usize;
    let weight = |k: usize| {
        let x = k as f64 / sigma.max(1e-6);
        libm::exp(-0.5 * x * x)
    };
    let total = 1.0 + 2.0 * (1..=radius).map(weight).sum::<f64>();
    weights.extend((0..=radius).map(|k| (weight(k) / total) as f32));
}

/// The place that lies at `i` when a row of `n` is reflected about its ends again and again.
pub(super) fn reflected(i: i64, n: usize) -> usize {
    let n = n as i64;
    let i = i.rem_euclid(2 * n);
    (if i < n { i } else { 2 * n - 1 - i }) as usize
}

/// One row of a blurred field, columns first, then along the row.
///
/// `line` is scratch. Costs about two multiplications per pixel and weight.
pub(super) fn blurred_row(
    field: &[f32],
    width: usize,
    height: usize,
    row: usize,
    (down, across): (&[f32], &[f32]),
    line: &mut Vec<f32>,
    out: &mut [f32],
) {
    let radius = across.len() - 1;
    line.resize(width + 2 * radius, 0.0);
    let take = |offset: i64| &field[reflected(row as i64 + offset, height) * width..][..width];
    {
        let middle = &mut line[radius..][..width];
        for (sum, &value) in middle.iter_mut().zip(take(0)) {
            *sum = down[0] * value;
        }
        // Two weights at a time keep the running sums in registers for longer.
        let mut k = 1;
        while k + 1 < down.len() {
            let (near, far) = (k as i64, k as i64 + 1);
            let (w, v) = (down[k], down[k + 1]);
            let pairs = take(-near).iter().zip(take(near)).zip(take(-far).iter().zip(take(far)));
            for (sum, ((a, b), (c, d))) in middle.iter_mut().zip(pairs) {
                *sum = *sum + w * (a + b) + v * (c + d);
            }
            k += 2;
        }
        if k < down.len() {
            let w = down[k];
            for (sum, (a, b)) in middle.iter_mut().zip(take(-(k as i64)).iter().zip(take(k as i64)))
            {
                *sum += w * (a + b);
            }
        }
    }
    for i in 0..radius {
        line[radius - 1 - i] = line[radius + reflected(-1 - i as i64, width)];
        line[radius + width + i] = line[radius + reflected((width + i) as i64, width)];
    }
    let shifted = |offset: i64| &line[(radius as i64 + offset) as usize..][..width];
    for (sum, &value) in out.iter_mut().zip(shifted(0)) {
        *sum = across[0] * value;
    }
    let mut k = 1;
    while k + 1 < across.len() {
        let (near, far) = (k as i64, k as i64 + 1);
        let (w, v) = (across[k], across[k + 1]);
        let pairs =
            shifted(-near).iter().zip(shifted(near)).zip(shifted(-far).iter().zip(shifted(far)));
        for (sum, ((a, b), (c, d))) in out.iter_mut().zip(pairs) {
            *sum = *sum + w * (a + b) + v * (c + d);
        }
        k += 2;
    }
    if k < across.len() {
        let w = across[k];
        for (sum, (a, b)) in out.iter_mut().zip(shifted(-(k as i64)).iter().zip(shifted(k as i64)))
        {
            *sum += w * (a + b);
        }
    }
}

/// Square blocks of pixels laid out from the plate's top left corner, so that every window of the
/// plate has the same ones.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Blocks {
    /// Side of a block, pixels.
    pub(super) side: usize,
    /// Columns of blocks that the window touches.
    pub(super) columns: usize,
    /// Rows of blocks that the window touches.
    pub(super) rows: usize,
    /// Columns of pixels that the first block has left of the window.
    phase_x: usize,
    /// Rows of pixels that the first block has above the window.
    phase_y: usize,
    width: usize,
    height: usize,
}

impl Blocks {
    pub(super) fn new(grid: &Grid, side: usize) -> Self {
        let phase_x = grid.left_px.rem_euclid(side as i64) as usize;
        let phase_y = grid.top_px.rem_euclid(side as i64) as usize;
        Self {
            side,
            columns: (phase_x + grid.width).div_ceil(side),
            rows: (phase_y + grid.height).div_ceil(side),
            phase_x,
            phase_y,
            width: grid.width,
            height: grid.height,
        }
    }

    pub(super) fn len(&self) -> usize {
        self.columns * self.rows
    }

    /// Number of pixels of a block that lie in the window.
    pub(super) fn pixels(&self, block: usize) -> usize {
        self.pixel_columns(block % self.columns).len() * self.pixel_rows(block / self.columns).len()
    }

    /// Pixel columns of a block column, within the window.
    pub(super) fn pixel_columns(&self, column: usize) -> std::ops::Range<usize> {
        let start = (column * self.side).saturating_sub(self.phase_x);
        start..((column + 1) * self.side - self.phase_x).min(self.width)
    }

    /// Pixel rows of a block row, within the window.
    pub(super) fn pixel_rows(&self, row: usize) -> std::ops::Range<usize> {
        let start = (row * self.side).saturating_sub(self.phase_y);
        start..((row + 1) * self.side - self.phase_y).min(self.height)
    }

    /// One row of pixels from a field of one number per block, bilinear between their centres.
    ///
    /// `line` is scratch.
    pub(super) fn spread_row(
        &self,
        field: &[f32],
        row: usize,
        line: &mut Vec<f32>,
        out: &mut [f32],
    ) {
        let twice = 2 * self.side as i64;
        let half_steps = (2 * (row + self.phase_y) + 1) as i64 - self.side as i64;
        let above = half_steps.div_euclid(twice);
        let share = half_steps.rem_euclid(twice) as f32 / twice as f32;
        let last = self.rows as i64 - 1;
        let take = |r: i64| &field[r.clamp(0, last) as usize * self.columns..][..self.columns];
        line.resize(self.columns + 2, 0.0);
        for (node, (a, b)) in line[1..].iter_mut().zip(take(above).iter().zip(take(above + 1))) {
            *node = a + (b - a) * share;
        }
        line[0] = line[1];
        line[self.columns + 1] = line[self.columns];
        let mut i = 0;
        while i < self.width {
            let half_steps = (2 * (i + self.phase_x) + 1) as i64 - self.side as i64;
            let left = half_steps.div_euclid(twice) + 1;
            let from = half_steps.rem_euclid(twice);
            let line = &line[left as usize..];
            let rest = &mut out[i..];
            // Whole spans between two centres have fixed shares; the usual sides get their own loop.
            if from <= 1 && rest.len() >= self.side {
                i += self.side
                    * match self.side {
                        4 => whole_spans::<4>(line, from as f32, rest),
                        8 => whole_spans::<8>(line, from as f32, rest),
                        13 => whole_spans::<13>(line, from as f32, rest),
                        16 => whole_spans::<16>(line, from as f32, rest),
                        _ => {
                            part_span(line, from, twice, rest);
                            1
                        }
                    };
            } else {
                i += part_span(line, from, twice, rest);
            }
        }
    }
}

fn whole_spans<const SIDE: usize>(line: &[f32], from: f32, out: &mut [f32]) -> usize {
    let mut shares = [0.0_f32; SIDE];
    for (m, share) in shares.iter_mut().enumerate() {
        *share = (from + 2.0 * m as f32) / (2 * SIDE) as f32;
    }
    for (out, pair) in out.chunks_exact_mut(SIDE).zip(line.windows(2)) {
        let (a, rise) = (pair[0], pair[1] - pair[0]);
        for (out, share) in out.iter_mut().zip(&shares) {
            *out = a + rise * share;
        }
    }
    out.len() / SIDE
}

fn part_span(line: &[f32], from: i64, twice: i64, out: &mut [f32]) -> usize {
    let (a, rise) = (line[0], line[1] - line[0]);
    let count = (((twice - from + 1) / 2) as usize).min(out.len());
    for (m, out) in out.iter_mut().take(count).enumerate() {
        *out = a + rise * ((from + 2 * m as i64) as f32 / twice as f32);
    }
    count
}
