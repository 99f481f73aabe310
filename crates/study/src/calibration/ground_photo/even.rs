//! The light evened out and noise smoothed, and the level between the two tones.

/// Cells along the longer side in which the light is found.
const CELLS: usize = 24;
/// Cells to each side that a place's light is found from: three eighths of the picture in all.
const REACH: usize = 4;
/// Pixels along the longer side that are enough to find the light with.
const ENOUGH_PX: usize = 1000;
/// Share of the pixels at each end that the tones are not stretched to.
const TAIL: f64 = 0.002;

/// A picture whose light is even, its tones stretched to 0–255.
pub(crate) struct Even {
    pub(crate) tone: Vec<u8>,
    /// Code of the picture, under even light, at tone 0, and codes to a tone.
    least: f64,
    pub(crate) codes_per_tone: f64,
    /// How much darker the light's darkest place is than its brightest, 0–1.
    pub(crate) uneven: f64,
}

/// Two classes of tones.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Level {
    /// The last tone of the darker class.
    pub level: u8,
    /// Mean tone of the darker class, and of the lighter.
    pub means: (f64, f64),
    /// Distance of the means in standard deviations within the classes.
    pub separation: f64,
}

/// The level that leaves the least variance within the two classes: N. Otsu, *IEEE Trans. Syst. Man Cybern.*
/// 9, 62 (1979). `None` when there is one tone only.
#[must_use]
pub fn otsu(histogram: &[u64; 256]) -> Option<Level> {
    let sums = |from: usize, to: usize| {
        histogram[from..to].iter().zip(from..).fold(
            (0.0, 0.0, 0.0),
            |(n, sum, squares), (&count, tone)| {
                let (count, tone) = (count as f64, tone as f64);
                (n + count, sum + count * tone, squares + count * tone * tone)
            },
        )
    };
    let all = sums(0, 256);
    let (mut below, mut best) = ((0.0, 0.0), (0.0, None));
    for (level, &count) in histogram.iter().enumerate().take(255) {
        below.0 += count as f64;
        below.1 += count as f64 * level as f64;
        let above = (all.0 - below.0, all.1 - below.1);
        if below.0 == 0.0 || above.0 == 0.0 {
            continue;
        }
        let apart = below.1 / below.0 - above.1 / above.0;
        let between = below.0 * above.0 * apart * apart;
        if between > best.0 {
            best = (between, Some(level));
        }
    }
    let level = best.1?;
    let (dark, light) = (sums(0, level + 1), sums(level + 1, 256));
    let within = |(n, sum, squares): (f64, f64, f64)| squares - sum * sum / n;
    let variance = (within(dark) + within(light)) / all.0;
    let means = (dark.1 / dark.0, light.1 / light.0);
    // Tones are whole numbers: none is known better than that.
    let separation = (means.1 - means.0) / libm::sqrt(variance + 1.0 / 12.0);
    Some(Level { level: level as u8, means, separation })
}

impl Even {
    /// Evens a picture of `width` by `height` codes, 8-bit.
    ///
    /// Light is the ratio of what a cell shows to what its share of the two tones would show under even light;
    /// for each place a plane through the cells round it, so that it is as true at the
    /// border as in the middle. The shares follow from the light: found in turns, the first time as if alike, on a
    /// picture no larger than is needed for that.
    pub(crate) fn of(grey: &[u8], width: usize, height: usize) -> Self {
        let shrink = (width.max(height) / ENOUGH_PX).max(1);
        let (coarse, wide, high) = shrunk(grey, width, height, shrink);
        let side = wide.max(high).div_ceil(CELLS).max(1);
        let codes = Grid::means(&coarse, wide, side);
        let mut light = codes.smoothed();
        for _ in 0..2 {
            let even = Self::under(&coarse, wide, side, &light);
            let Some(Level { level, means, .. }) = otsu(&even.histogram()) else { break };
            let code = |tone: f64| even.least + tone * even.codes_per_tone;
            let (dark, light_one) = (code(means.0), code(means.1));
            let above: Vec<u8> = even.tone.iter().map(|&tone| u8::from(tone > level)).collect();
            let shares = Grid::means(&above, wide, side);
            let ratio = Grid {
                cells: (codes.cells.iter().zip(&shares.cells))
                    .map(|(code, share)| code / (dark + share * (light_one - dark)).max(1.0))
                    .collect(),
                ..codes
            };
            light = ratio.smoothed();
        }
        Self::under(grey, width, side * shrink, &light)
    }

    /// The picture under this light, known for cells of so many pixels a side.
    fn under(grey: &[u8], width: usize, side: usize, light: &Grid) -> Self {
        let brightest = light.cells.iter().copied().fold(1e-6, f64::max);
        let darkest = light.cells.iter().copied().fold(brightest, f64::min);
        let mean = light.cells.iter().sum::<f64>() / light.cells.len().max(1) as f64;
        let mut plain = vec![0.0_f32; grey.len()];
        let mut here = vec![0.0_f32; width];
        let rows = grey.chunks_exact(width).zip(plain.chunks_exact_mut(width));
        for (y, (codes, row)) in rows.enumerate() {
            light.row((y as f64 + 0.5) / side as f64 - 0.5, side, &mut here);
            for ((to, &code), &light) in row.iter_mut().zip(codes).zip(&here) {
                let light = (light / mean as f32).max(0.05);
                *to = (f32::from(code) / light).min(511.0);
            }
        }
        binomial(&mut plain, width);
        let (least, most) = ends(&plain);
        let codes_per_tone = (most - least).max(1.0) / 255.0;
        let (from, per) = (least as f32, codes_per_tone as f32);
        let tone =
            plain.iter().map(|&code| ((code - from) / per + 0.5).clamp(0.0, 255.0) as u8).collect();
        let uneven = 1.0 - darkest / brightest;
        Self { tone, least, codes_per_tone, uneven }
    }

    /// Pixels of each tone.
    pub(crate) fn histogram(&self) -> [u64; 256] {
        histogram(&self.tone)
    }
}

/// Pixels of each tone.
pub(crate) fn histogram(tones: &[u8]) -> [u64; 256] {
    let mut all = [0; 256];
    for &tone in tones {
        all[usize::from(tone)] += 1;
    }
    all
}

/// The picture in blocks of so many pixels a side, those at the right and below cut off: means, width, height.
fn shrunk(grey: &[u8], width: usize, height: usize, by: usize) -> (Vec<u8>, usize, usize) {
    let (wide, high) = (width.div_ceil(by), height.div_ceil(by));
    let mut small = Vec::with_capacity(wide * high);
    let mut sums = vec![0_u32; wide];
    for rows in grey.chunks(width * by) {
        sums.fill(0);
        for row in rows.chunks_exact(width) {
            for (sum, block) in sums.iter_mut().zip(row.chunks(by)) {
                *sum += block.iter().map(|&code| u32::from(code)).sum::<u32>();
            }
        }
        let down = rows.len() / width;
        small.extend(sums.iter().enumerate().map(|(x, &sum)| {
            let count = (by.min(width - x * by) * down) as u32;
            ((sum + count / 2) / count) as u8
        }));
    }
    (small, wide, high)
}

/// A number for each square cell of a picture.
struct Grid {
    across: usize,
    down: usize,
    cells: Vec<f64>,
}

impl Grid {
    /// Means over square cells of so many pixels a side, those at the right and below cut off.
    fn means(picture: &[u8], width: usize, side: usize) -> Self {
        let height = picture.len() / width;
        let (across, down) = (width.div_ceil(side), height.div_ceil(side));
        let mut cells = vec![0.0; across * down];
        for (y, row) in picture.chunks_exact(width).enumerate() {
            for (cell, block) in cells[y / side * across..].iter_mut().zip(row.chunks(side)) {
                *cell += f64::from(block.iter().map(|&code| u32::from(code)).sum::<u32>());
            }
        }
        for (at, cell) in cells.iter_mut().enumerate() {
            let wide = side.min(width - at % across * side);
            let high = side.min(height - at / across * side);
            *cell /= (wide * high) as f64;
        }
        Self { across, down, cells }
    }

    /// At each cell the value of the plane nearest to the cells round it, near ones counting most
    /// (W. S. Cleveland, *J. Am. Stat. Assoc.* 74, 829, 1979).
    fn smoothed(&self) -> Self {
        let near = |at: usize, count: usize| at.saturating_sub(REACH)..(at + REACH + 1).min(count);
        let cells = (0..self.cells.len())
            .map(|at| {
                let (x, y) = (at % self.across, at / self.across);
                let mut sums = [0.0; 9];
                for v in near(y, self.down) {
                    for u in near(x, self.across) {
                        let (dx, dy) = (u as f64 - x as f64, v as f64 - y as f64);
                        let far = libm::sqrt(dx * dx + dy * dy) / (REACH as f64 + 1.0);
                        let fade = (1.0 - far * far * far).max(0.0);
                        let (weight, f) = (fade * fade * fade, self.cells[v * self.across + u]);
                        let terms = [1.0, dx, dy, f, dx * dx, dx * dy, dy * dy, dx * f, dy * f];
                        for (sum, term) in sums.iter_mut().zip(terms) {
                            *sum += weight * term;
                        }
                    }
                }
                let [n, x, y, f, xx, xy, yy, xf, yf] = sums;
                let (x, y, f) = (x / n, y / n, f / n);
                let (xx, xy, yy) = (xx / n - x * x, xy / n - x * y, yy / n - y * y);
                let (xf, yf) = (xf / n - x * f, yf / n - y * f);
                let det = xx * yy - xy * xy;
                if det < 1e-9 {
                    return f;
                }
                f - x * (xf * yy - yf * xy) / det - y * (yf * xx - xf * xy) / det
            })
            .collect();
        Self { cells, ..*self }
    }

    /// The value at each pixel of a row, which lies so many cells down, between the four nearest middles.
    fn row(&self, y: f64, side: usize, to: &mut [f32]) {
        let y = y.clamp(0.0, (self.down - 1) as f64);
        let top = y as usize;
        let (under, v) = ((top + 1).min(self.down - 1), y - top as f64);
        let [top, under] = [top, under].map(|y| &self.cells[y * self.across..][..self.across]);
        let cell: Vec<f64> = top.iter().zip(under).map(|(a, b)| a * (1.0 - v) + b * v).collect();
        for (x, to) in to.iter_mut().enumerate() {
            let x = ((x as f64 + 0.5) / side as f64 - 0.5).clamp(0.0, (self.across - 1) as f64);
            let left = x as usize;
            let u = x - left as f64;
            *to = (cell[left] * (1.0 - u) + cell[(left + 1).min(self.across - 1)] * u) as f32;
        }
    }
}

/// Each pixel with its neighbours, weighted 1 : 2 : 1 both ways.
pub(crate) fn binomial(picture: &mut [f32], width: usize) {
    let mut above: Vec<f32> = Vec::new();
    let mut own = vec![0.0; width];
    for row in picture.chunks_exact_mut(width) {
        own.copy_from_slice(row);
        for (to, three) in row[1..].iter_mut().zip(own.windows(3)) {
            *to = 0.25 * (three[0] + three[2]) + 0.5 * three[1];
        }
        let ends = [(0, 1.min(width - 1)), (width - 1, width.max(2) - 2)];
        for (end, next) in ends {
            row[end] = 0.75 * own[end] + 0.25 * own[next];
        }
    }
    let height = picture.len() / width;
    for y in 0..height {
        own.copy_from_slice(&picture[y * width..][..width]);
        if above.is_empty() {
            above.clone_from(&own);
        }
        let under = (y + 1).min(height - 1) * width;
        for x in 0..width {
            let next = picture[under + x];
            picture[y * width + x] = 0.25 * (above[x] + next) + 0.5 * own[x];
        }
        core::mem::swap(&mut above, &mut own);
    }
}

/// Codes between which all pixels but a share at each end lie; codes from 0 to 512.
fn ends(codes: &[f32]) -> (f64, f64) {
    const STEPS: f32 = 4.0;
    let mut counts = vec![0_usize; 2048];
    for &code in codes {
        counts[((code * STEPS) as usize).min(2047)] += 1;
    }
    let tail = (TAIL * codes.len() as f64) as usize;
    let passes = |passed: &mut usize, at: &usize| {
        *passed += counts[*at];
        *passed > tail
    };
    let (mut below, mut above) = (0, 0);
    let least = (0..counts.len()).find(|at| passes(&mut below, at)).unwrap_or(0) as f64;
    let most = (0..counts.len()).rev().find(|at| passes(&mut above, at)).unwrap_or(0) as f64 + 1.0;
    (least / f64::from(STEPS), most / f64::from(STEPS))
}

#[cfg(test)]
mod tests {
    use super::binomial;

    /// Closed form: one bright pixel becomes 1 2 1 both ways, and what would lie beyond an edge lies on it.
    #[test]
    fn a_pixel_is_shared_out_and_nothing_is_lost() {
        let (width, height) = (7, 5);
        // What of a pixel at `from` comes to `to` along a side of so many, sixteenths of it both ways.
        let share = |from: usize, to: usize, side: usize| match from.abs_diff(to) {
            0 if from == 0 || from == side - 1 => 3.0,
            0 => 2.0,
            1 => 1.0,
            _ => 0.0,
        };
        for at in 0..width * height {
            let mut picture = vec![0.0_f32; width * height];
            picture[at] = 16.0;
            binomial(&mut picture, width);
            for (to, found) in picture.iter().enumerate() {
                let expected =
                    share(at % width, to % width, width) * share(at / width, to / width, height);
                assert_eq!(*found, expected, "from pixel {at} to {to}");
            }
            assert_eq!(picture.iter().sum::<f32>(), 16.0, "nothing is lost of pixel {at}");
        }
        let mut column = [0.0, 16.0, 0.0];
        binomial(&mut column, 1);
        assert_eq!(column, [4.0, 8.0, 4.0], "a column one pixel wide");
        let mut row = [16.0, 0.0];
        binomial(&mut row, 2);
        assert_eq!(row, [12.0, 4.0], "a row of two");
    }
}
