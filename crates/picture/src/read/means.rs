//! Area means of rows of whole numbers, exact to the last.

use plate::light::{Srgb8Table, linear_of_srgb};

/// How a pixel's parts fall on one or two pixels of the map.
#[derive(Clone, Copy)]
struct Share {
    first: usize,
    parts: u32,
    /// Parts on the next one; 0 where it lies on one alone.
    beyond: u32,
}

/// The shares of all pixels of a side, and how many parts make up one pixel of the map.
fn shares(pixels: usize, map: usize) -> (Vec<Share>, u64) {
    let common = greatest_common_divisor(pixels, map);
    // Each pixel has `part` parts, each of the map's takes `whole` of them.
    let (part, whole) = (map / common, pixels / common);
    let share = |at: usize| {
        let (from, until) = (at * part, (at + 1) * part);
        let first = from / whole;
        let here = until.min((first + 1) * whole) - from;
        Share { first, parts: here as u32, beyond: (part - here) as u32 }
    };
    ((0..pixels).map(share).collect(), whole as u64)
}

fn greatest_common_divisor(a: usize, b: usize) -> usize {
    if b == 0 { a } else { greatest_common_divisor(b, a % b) }
}

/// Brings rows of numbers to fewer and shorter ones: each number is the mean of all that lies under it.
#[derive(Clone)]
pub(super) struct AreaMeans {
    columns: Vec<Share>,
    rows: Vec<Share>,
    /// Parts of a whole pixel of the map.
    whole: u64,
    /// Rows taken.
    pub(super) read: usize,
    /// One row on the map's columns.
    line: Vec<u64>,
    /// The map's row that is being summed, and the one below it.
    sums: [Vec<u64>; 2],
    means: Vec<u32>,
}

impl AreaMeans {
    /// From a width and height to others, at most as large and at least 1.
    pub(super) fn new(pixels: (usize, usize), map: (usize, usize)) -> Self {
        let (columns, across) = shares(pixels.0, map.0);
        let (rows, down) = shares(pixels.1, map.1);
        let empty = || vec![0; map.0];
        let (line, sums) = (empty(), [empty(), empty()]);
        Self { columns, rows, whole: across * down, read: 0, line, sums, means: vec![0; map.0] }
    }

    /// Takes the next row of numbers of at most 24 bits; gives the map's row that is whole with it.
    pub(super) fn row(
        &mut self,
        numbers: impl Iterator<Item = u32>,
    ) -> Option<impl Iterator<Item = u32>> {
        if self.columns.len() == self.line.len() {
            for (sum, number) in self.line.iter_mut().zip(numbers) {
                *sum = number.into();
            }
        } else {
            self.line.fill(0);
            for (share, number) in self.columns.iter().zip(numbers) {
                let number = u64::from(number);
                self.line[share.first] += number * u64::from(share.parts);
                if share.beyond > 0 {
                    self.line[share.first + 1] += number * u64::from(share.beyond);
                }
            }
        }
        let share = self.rows[self.read];
        self.read += 1;
        for (sums, parts) in self.sums.iter_mut().zip([share.parts, share.beyond]) {
            if parts > 0 {
                for (sum, number) in sums.iter_mut().zip(&self.line) {
                    *sum += number * u64::from(parts);
                }
            }
        }
        if self.rows.get(self.read).is_some_and(|next| next.first == share.first) {
            return None;
        }
        for (mean, sum) in self.means.iter_mut().zip(&self.sums[0]) {
            *mean = ((*sum + self.whole / 2) / self.whole) as u32;
        }
        self.sums.swap(0, 1);
        self.sums[1].fill(0);
        Some(self.means.iter().copied())
    }
}

/// White of one channel, linear.
const WHITE: u32 = 1 << 16;

/// A picture brought to a small one in colour, over white paper.
#[derive(Clone)]
pub(super) struct Shown {
    linear: Vec<u32>,
    channels: [AreaMeans; 3],
    columns: usize,
    pub(super) rgba: Vec<u8>,
}

impl Shown {
    pub(super) fn new(pixels: (usize, usize), size: (usize, usize)) -> Self {
        let linear = |code: u32| linear_of_srgb(f64::from(code) / 255.0) * f64::from(WHITE) + 0.5;
        Self {
            linear: (0..=255).map(|code| linear(code) as u32).collect(),
            channels: std::array::from_fn(|_| AreaMeans::new(pixels, size)),
            columns: size.0,
            rgba: Vec::with_capacity(4 * size.0 * size.1),
        }
    }

    pub(super) fn row(&mut self, pixels: &[[u8; 4]]) {
        let encode = Srgb8Table::shared();
        let from = self.rgba.len();
        for (channel, means) in self.channels.iter_mut().enumerate() {
            let over_paper = |pixel: &[u8; 4]| {
                let (linear, alpha) = (self.linear[pixel[channel] as usize], u32::from(pixel[3]));
                (linear * alpha + WHITE * (255 - alpha)) / 255
            };
            let Some(row) = means.row(pixels.iter().map(over_paper)) else { continue };
            self.rgba.resize(from + 4 * self.columns, 255);
            for (pixel, mean) in self.rgba[from..].chunks_exact_mut(4).zip(row) {
                pixel[channel] = encode.encode(mean as f32 / WHITE as f32);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::shares;

    #[test]
    fn every_part_falls_on_one_pixel_of_the_map() {
        for (pixels, map) in [(1, 1), (7, 7), (7, 3), (4801, 2400), (8192, 2400), (5, 1)] {
            let (shares, whole) = shares(pixels, map);
            let mut sums = vec![0_u64; map + 1];
            for share in &shares {
                sums[share.first] += u64::from(share.parts);
                sums[share.first + 1] += u64::from(share.beyond);
            }
            assert_eq!(sums.pop(), Some(0), "{pixels} on {map}: nothing falls off the end");
            assert!(sums.iter().all(|sum| *sum == whole), "{pixels} on {map}: {sums:?}");
        }
    }
}
