//! Gaussian blurs with reflecting borders, and the coarse blocks on which the wide ones run.

use crate::grid::Grid;
use core::array;
use core::ops::Range;
use wide::f32x4;

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

/// Weighted sum of rows: `take(k)` gives the row `k` below (or above, when negative).
///
/// Four weights at a time keep the running sums in registers for longer.
pub(super) fn sum_down<'a>(take: &dyn Fn(i64) -> &'a [f32], weights: &[f32], out: &mut [f32]) {
    let pairs = |k: usize| take(-(k as i64)).iter().zip(take(k as i64));
    let fours = |k: usize| pairs(k).zip(pairs(k + 1)).zip(pairs(k + 2).zip(pairs(k + 3)));
    let [own, rest @ ..] = weights else { return };
    let (by_four, rest) = rest.as_chunks::<4>();
    if let Some([t, u, v, w]) = by_four.first() {
        let places = out.iter_mut().zip(take(0)).zip(fours(1));
        for ((sum, &value), (((a, b), (c, d)), ((e, f), (g, h)))) in places {
            *sum = own * value + t * (a + b) + u * (c + d) + (v * (e + f) + w * (g + h));
        }
    } else {
        for (sum, &value) in out.iter_mut().zip(take(0)) {
            *sum = own * value;
        }
    }
    for (index, [t, u, v, w]) in by_four.iter().enumerate().skip(1) {
        let places = out.iter_mut().zip(fours(4 * index + 1));
        for (sum, (((a, b), (c, d)), ((e, f), (g, h)))) in places {
            *sum = *sum + t * (a + b) + u * (c + d) + (v * (e + f) + w * (g + h));
        }
    }
    for (index, w) in rest.iter().enumerate() {
        for (sum, (a, b)) in out.iter_mut().zip(pairs(4 * by_four.len() + index + 1)) {
            *sum += w * (a + b);
        }
    }
}

/// Weighted sum along a row that is padded by as many places as there are weights beside w₀.
pub(super) fn sum_across(padded: &[f32], weights: &[f32], out: &mut [f32]) {
    let radius = weights.len() as i64 - 1;
    let width = out.len();
    sum_down(&|k| &padded[(radius + k) as usize..][..width], weights, out);
}

/// One row of a blurred field of pixels; `place` says where in `field` each row lies, also those
/// beyond its border. `line` is scratch.
pub(super) fn blurred_row(
    field: &[f32],
    width: usize,
    row: usize,
    place: &dyn Fn(i64) -> usize,
    weights: &[f32],
    line: &mut Vec<f32>,
    out: &mut [f32],
) {
    let radius = weights.len() - 1;
    line.resize(width + 2 * radius, 0.0);
    let take = |k: i64| &field[place(row as i64 + k) * width..][..width];
    sum_down(&take, weights, &mut line[radius..][..width]);
    for i in 0..radius {
        line[radius - 1 - i] = line[radius + reflected(-1 - i as i64, width)];
        line[radius + width + i] = line[radius + reflected((width + i) as i64, width)];
    }
    sum_across(line, weights, out);
}

/// Where a place beyond the border lies when reflected: between blocks `.0` and `.1`, `.2` of the
/// way from the first to the second.
pub(super) type Mirrored = (usize, usize, f32);

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
    /// Which row of the plate's blocks is the first.
    pub(super) first_row: i64,
    /// Columns of pixels that the first block has left of the window.
    phase_x: usize,
    /// Rows of pixels that the first block has above the window.
    phase_y: usize,
    width: usize,
    height: usize,
    odd: (bool, bool),
}

impl Blocks {
    pub(super) fn new(grid: &Grid, side: usize) -> Self {
        let odd = |first_px: i64| first_px.div_euclid(side as i64) % 2 != 0;
        let phase_x = grid.left_px.rem_euclid(side as i64) as usize;
        let phase_y = grid.top_px.rem_euclid(side as i64) as usize;
        Self {
            side,
            columns: (phase_x + grid.width).div_ceil(side),
            rows: (phase_y + grid.height).div_ceil(side),
            first_row: grid.top_px.div_euclid(side as i64),
            phase_x,
            phase_y,
            width: grid.width,
            height: grid.height,
            odd: (odd(grid.left_px), odd(grid.top_px)),
        }
    }

    pub(super) fn len(&self) -> usize {
        self.columns * self.rows
    }

    /// Columns of pixels of the window.
    pub(super) fn width(&self) -> usize {
        self.width
    }

    /// Whether the first column and the first row are odd ones of the plate.
    pub(super) fn odd(&self) -> (bool, bool) {
        self.odd
    }

    /// First pixel column of a block column, from the window's left; the block goes on beyond the
    /// window's borders, where the window is reflected.
    pub(super) fn first_column(&self, column: usize) -> i64 {
        (column * self.side) as i64 - self.phase_x as i64
    }

    /// Pixel rows of a block row, those beyond the window's borders reflected into it.
    pub(super) fn pixel_rows(&self, row: usize) -> impl Iterator<Item = usize> + Clone + use<> {
        let (first, height) = ((row * self.side) as i64 - self.phase_y as i64, self.height);
        (first..first + self.side as i64).map(move |y| reflected(y, height))
    }

    /// The same of a block row that lies wholly in the window.
    pub(super) fn whole_rows(&self, row: usize) -> Option<Range<usize>> {
        let first = (row * self.side).checked_sub(self.phase_y)?;
        (first + self.side <= self.height).then_some(first..first + self.side)
    }

    /// The part of a row of pixels in a block column, what lies beyond the window reflected into it.
    pub(super) fn part<'a>(
        &self,
        row: &'a [f32],
        column: usize,
        line: &'a mut Vec<f32>,
    ) -> &'a [f32] {
        let first = self.first_column(column);
        if first >= 0 && first as usize + self.side <= row.len() {
            return &row[first as usize..][..self.side];
        }
        line.clear();
        line.extend((first..first + self.side as i64).map(|x| row[reflected(x, row.len())]));
        line
    }

    /// Where a block column beyond the first or last lies when the window is reflected.
    pub(super) fn mirrored_column(&self, column: i64) -> Mirrored {
        mirrored(column, self.columns, self.side, self.phase_x, self.width)
    }

    /// Where a block row beyond the first or last lies when the window is reflected.
    pub(super) fn mirrored_row(&self, row: i64) -> Mirrored {
        mirrored(row, self.rows, self.side, self.phase_y, self.height)
    }

    /// The same window in blocks of half the side (which must be even), and a field on them by cubic
    /// interpolation (Catmull–Rom) between the centres of these.
    pub(super) fn refined(
        &self,
        field: &[f32],
        grid: &Grid,
        between: &mut Vec<f32>,
        out: &mut Vec<f32>,
    ) -> Self {
        let fine = Self::new(grid, self.side / 2);
        let (skip_x, skip_y) = (self.phase_x / fine.side, self.phase_y / fine.side);
        // Half a coarse block's quarter before or after its centre.
        let weights = [
            [-0.023_437_5, 0.226_562_5, 0.867_187_5, -0.070_312_5],
            [-0.070_312_5, 0.867_187_5, 0.226_562_5, -0.023_437_5],
        ];
        let places = |i: usize, n: usize| {
            let first = (i / 2 + i % 2) as i64 - 2;
            [0, 1, 2, 3].map(|k| (first + k).clamp(0, n as i64 - 1) as usize)
        };
        between.clear();
        for row in field.chunks_exact(self.columns) {
            for i in skip_x..skip_x + fine.columns {
                let ([a, b, c, d], w) = (places(i, self.columns), weights[i % 2]);
                between.push(w[0] * row[a] + w[1] * row[b] + w[2] * row[c] + w[3] * row[d]);
            }
        }
        out.clear();
        for i in skip_y..skip_y + fine.rows {
            let (rows, w) = (places(i, self.rows), weights[i % 2]);
            let [a, b, c, d] = rows.map(|r| &between[r * fine.columns..][..fine.columns]);
            for (((a, b), c), d) in a.iter().zip(b).zip(c).zip(d) {
                let value = w[0] * a + w[1] * b + w[2] * c + w[3] * d;
                out.push(if value > 0.0 { value } else { 0.0 });
            }
        }
        fine
    }

    /// One row of pixels, or what of it begins at column `left` and fits into `out`, from a field of one
    /// number per block, bilinear between their centres.
    ///
    /// `line` is scratch.
    pub(super) fn spread_row(
        &self,
        field: &[f32],
        (row, left): (usize, usize),
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
        while i < out.len() {
            let half_steps = (2 * (left + i + self.phase_x) + 1) as i64 - self.side as i64;
            let before = half_steps.div_euclid(twice) + 1;
            let from = half_steps.rem_euclid(twice);
            let line = &line[before as usize..];
            let rest = &mut out[i..];
            // Whole spans between two centres have the same shares of the way.
            let spans = match self.side {
                _ if from > 1 => 0,
                0..=4 => whole_spans::<1>(line, self.side, from as f32, rest),
                5..=8 => whole_spans::<2>(line, self.side, from as f32, rest),
                _ => 0,
            };
            i += if spans > 0 { spans * self.side } else { part_span(line, from, twice, rest) };
        }
    }
}

fn mirrored(block: i64, n: usize, side: usize, phase: usize, length: usize) -> Mirrored {
    // Centres of blocks and the window's two borders, in half pixels from the first block's start.
    let (side, phase, length) = (side as i64, phase as i64, length as i64);
    let from_border = (2 * block + 1) * side - 2 * phase;
    let folded = from_border.rem_euclid(4 * length);
    let folded = if folded <= 2 * length { folded } else { 4 * length - folded };
    let half_steps = folded + 2 * phase - side;
    let last = n as i64 - 1;
    let before = half_steps.div_euclid(2 * side);
    let share = half_steps.rem_euclid(2 * side) as f32 / (2 * side) as f32;
    (before.clamp(0, last) as usize, (before + 1).clamp(0, last) as usize, share)
}

/// Fills as many whole spans of at most so many fours of pixels as there is room for; returns how many.
fn whole_spans<const FOURS: usize>(line: &[f32], side: usize, from: f32, out: &mut [f32]) -> usize {
    let share = |m: usize| (from + 2.0 * m as f32) / (2 * side) as f32;
    let shares: [f32x4; FOURS] =
        array::from_fn(|four| f32x4::new(array::from_fn(|m| share(4 * four + m))));
    let fill = |room: &mut [f32], from: f32, to: f32| {
        let rise = to - from;
        for (four, &share) in room.as_chunks_mut::<4>().0.iter_mut().zip(&shares) {
            *four = (from + rise * share).to_array();
        }
    };
    let ends = line.iter().zip(&line[1..]);
    if side == 4 * FOURS {
        let spans = out.chunks_exact_mut(side).zip(ends);
        return spans.map(|(room, (&from, &to))| fill(room, from, to)).count();
    }
    let (mut spans, mut start) = (0, 0);
    for (&from, &to) in ends {
        // What goes beyond a span is written over by the next.
        let Some(room) = out.get_mut(start..start + 4 * FOURS) else { break };
        fill(room, from, to);
        spans += 1;
        start += side;
    }
    spans
}

fn part_span(line: &[f32], from: i64, twice: i64, out: &mut [f32]) -> usize {
    let (a, rise) = (line[0], line[1] - line[0]);
    let count = (((twice - from + 1) / 2) as usize).min(out.len());
    for (m, out) in out.iter_mut().take(count).enumerate() {
        *out = a + rise * ((from + 2 * m as i64) as f32 / twice as f32);
    }
    count
}

#[cfg(test)]
mod tests {
    use super::Blocks;
    use crate::grid::Grid;

    /// Closed form: a block beyond the border has its middle as far outside as its image inside, which lies
    /// the given share of the way from one block's middle to the next one's, or at the outermost.
    #[test]
    fn blocks_beyond_the_border_lie_at_their_mirror_image() {
        for (left_px, width, side) in [(0, 40, 4), (3, 41, 4), (5, 30, 8), (-7, 53, 6), (2, 20, 1)]
        {
            let blocks =
                Blocks::new(&Grid { left_px, top_px: 0, width, height: 1, px_um: 1.0 }, side);
            let middle = |block: i64| {
                (block as f64 + 0.5) * side as f64 - left_px.rem_euclid(side as i64) as f64
            };
            let last = blocks.columns as i64 - 1;
            for block in (-4..0).chain(last + 1..last + 5) {
                // Far outside it is reflected at the other border, too.
                let across = 2.0 * width as f64;
                let folded = middle(block).rem_euclid(across);
                let image = folded.min(across - folded);
                let image = image.clamp(middle(0), middle(last));
                let (one, next, share) = blocks.mirrored_column(block);
                let (one, next) = (middle(one as i64), middle(next as i64));
                let found = one + (next - one) * f64::from(share);
                assert!(
                    (found - image).abs() < 1e-5,
                    "block {block} of {side} px, {width} px from {left_px}: {found}, not {image}"
                );
            }
        }
    }
}
