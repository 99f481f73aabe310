//! Noise for hand-made edges, clouds and ripples: at a point, or row by row.

/// Scrambles two whole numbers and a seed into 0–1.
pub(super) fn chance(x: i32, y: i32, seed: u32) -> f32 {
    let mut h = (x as u32).wrapping_mul(0x9e37_79b1) ^ (y as u32).wrapping_mul(0x85eb_ca77);
    h ^= seed.wrapping_mul(0xc2b2_ae3d);
    h = (h ^ (h >> 15)).wrapping_mul(0x2c1b_3c6d);
    h = (h ^ (h >> 12)).wrapping_mul(0x297a_2d39);
    ((h ^ (h >> 15)) >> 8) as f32 / 16_777_216.0
}

/// Smooth noise from −1 to 1 with cells of one unit.
pub(super) fn noise(x: f32, y: f32, seed: u32) -> f32 {
    NoiseLine::new(y, seed).at(x)
}

/// The same noise along a line of one `y`.
#[derive(Clone, Copy)]
pub(super) struct NoiseLine {
    seed: u32,
    row: i32,
    ease_y: f32,
}

impl NoiseLine {
    pub(super) fn new(y: f32, seed: u32) -> Self {
        let row = floor(y);
        Self { seed, row, ease_y: ease(y - row as f32) }
    }

    /// At the corners of a cell: above left and right, below left and right.
    fn corners(self, column: i32) -> [f32; 4] {
        let (i, j, seed) = (column, self.row, self.seed);
        [
            chance(i, j, seed),
            chance(i + 1, j, seed),
            chance(i, j + 1, seed),
            chance(i + 1, j + 1, seed),
        ]
    }

    fn at(self, x: f32) -> f32 {
        let column = floor(x);
        within(self.corners(column), x - column as f32, self.ease_y)
    }

    /// At places from left to right: those that follow each other closely lie in one cell, whose corners are drawn
    /// once, and are worked out many at a time.
    pub(super) fn row(self, xs: &[f32], noise: &mut [f32]) {
        let mut done = 0;
        while done < xs.len() {
            let column = floor(xs[done]);
            let (left, right) = (column as f32, (column + 1) as f32);
            let count = xs[done..].iter().take_while(|&&x| x < right).count().max(1);
            let corners = self.corners(column);
            let cell = noise[done..done + count].iter_mut().zip(&xs[done..done + count]);
            cell.for_each(|(noise, x)| *noise = within(corners, x - left, self.ease_y));
            done += count;
        }
    }
}

/// Noise within a cell with these corners, so far along it; `ease_y` is how far down, eased.
#[inline]
fn within(
    [above_left, above_right, below_left, below_right]: [f32; 4],
    x: f32,
    ease_y: f32,
) -> f32 {
    let u = ease(x);
    let mix = |a: f32, b: f32, t: f32| a + t * (b - a);
    let above = mix(above_left, above_right, u);
    let below = mix(below_left, below_right, u);
    2.0 * mix(above, below, ease_y) - 1.0
}

fn floor(t: f32) -> i32 {
    t as i32 - i32::from(t < (t as i32) as f32)
}

fn ease(t: f32) -> f32 {
    t * t * (3.0 - 2.0 * t)
}

/// Noise in three sizes, each half as large and half as strong as the one before.
pub(super) fn fractal(x: f32, y: f32, seed: u32) -> f32 {
    let [coarse, middle, fine] = three_sizes(y, seed);
    (coarse.at(x) + 0.5 * middle.at(2.0 * x) + 0.25 * fine.at(4.0 * x)) / 1.75
}

fn three_sizes(y: f32, seed: u32) -> [NoiseLine; 3] {
    [(1.0, 0), (2.0, 1), (4.0, 2)].map(|(finer, more)| NoiseLine::new(finer * y, seed + more))
}

/// The same along a line of one `y`, at places from left to right. `room` is to work in.
pub(super) fn fractal_row(
    xs: &[f32],
    y: f32,
    seed: u32,
    noise: &mut [f32],
    room: &mut [Vec<f32>; 2],
) {
    let [coarse, middle, fine] = three_sizes(y, seed);
    let [finer, more] = room;
    more.resize(xs.len(), 0.0);
    coarse.row(xs, noise);
    for (line, scale, share) in [(middle, 2.0, 0.5), (fine, 4.0, 0.25)] {
        finer.clear();
        finer.extend(xs.iter().map(|x| scale * x));
        line.row(finer, more);
        noise.iter_mut().zip(&*more).for_each(|(noise, more)| *noise += share * more);
    }
    noise.iter_mut().for_each(|noise| *noise /= 1.75);
}
