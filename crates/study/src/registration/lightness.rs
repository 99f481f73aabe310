//! A picture as lightness against its paper's, in sizes that halve.

use crate::calibration::Photo;
use plate::light;

/// Pixels that are looked at for the paper's light.
const SAMPLES: usize = 20_000;
/// Smallest side of the smallest size, pixels.
const LEAST_PX: usize = 60;
/// So much of the picture's light is brighter than its paper at most: highlights, a lamp.
const BRIGHTER: f64 = 0.05;

/// Lightness is told from a table: up to so many times the paper's light, in so many steps.
const BRIGHTEST: f64 = 4.0;
const STEPS: usize = 1 << 15;

/// One size.
pub(crate) struct Lightness {
    pub(crate) width: usize,
    pub(crate) height: usize,
    /// Pixels of the picture along the side of one here.
    pub(crate) scale: f64,
    /// L* against the paper's, row by row.
    pub(crate) pixels: Vec<f32>,
    /// The paper's light.
    paper: f64,
}

/// Lightness goes as the cube root of light, but for this.
const BELOW: f64 = 0.16;

/// Lightness in a light that is so many times the cube of `root`, had it been as bright as the paper's is on the whole.
pub(crate) fn evened(lightness: f64, root: f64) -> f64 {
    (lightness + BELOW) / root - BELOW
}

impl Lightness {
    /// All sizes, the picture's own first.
    pub(crate) fn levels(photo: &Photo) -> Vec<Self> {
        let paper = paper(photo);
        let step = BRIGHTEST / STEPS as f64;
        let of = |i: usize| (light::lightness(step * i as f64) * 0.01) as f32;
        let known: Vec<f32> = (0..=STEPS).map(of).collect();
        let scale = (1.0 / (paper * step)) as f32;
        let of = |&light: &f32| {
            let at = (light * scale).clamp(0.0, STEPS as f32 - 0.5);
            let (before, share) = (known[at as usize], at.fract());
            before + share * (known[at as usize + 1] - before)
        };
        let pixels = photo.linear.iter().map(of).collect();
        let mut levels =
            vec![Self { width: photo.width, height: photo.height, scale: 1.0, pixels, paper }];
        while let Some(last) =
            levels.last().filter(|last| last.width.min(last.height) >= 2 * LEAST_PX)
        {
            let half = last.halved();
            levels.push(half);
        }
        levels
    }

    /// Means of two by two; an odd row or column at the end is left out. Of lightness, not of light: a border between
    /// two tones would move into the darker one.
    fn halved(&self) -> Self {
        let (width, height) = (self.width / 2, self.height / 2);
        let mut pixels = Vec::with_capacity(width * height);
        for row in 0..height {
            let (upper, lower) =
                (&self.pixels[2 * row * self.width..], &self.pixels[(2 * row + 1) * self.width..]);
            for x in 0..width {
                let (a, b) = (2 * x, 2 * x + 1);
                pixels.push(0.25 * (upper[a] + upper[b] + lower[a] + lower[b]));
            }
        }
        Self { width, height, scale: 2.0 * self.scale, pixels, paper: self.paper }
    }

    /// Cube root of a light as a share of the paper's.
    pub(crate) fn root(&self, light: f64) -> f64 {
        libm::cbrt(light / self.paper)
    }

    /// Lightness at a place of the picture, pixels of it, and how it changes to the right and downwards; `None` outside.
    pub(crate) fn at(&self, x: f64, y: f64) -> Option<(f64, f64, f64)> {
        let (fx, fy) = (x / self.scale - 0.5, y / self.scale - 0.5);
        let inside =
            fx >= 0.0 && fy >= 0.0 && fx < (self.width - 1) as f64 && fy < (self.height - 1) as f64;
        if !inside {
            return None;
        }
        let (left, top) = (fx as usize, fy as usize);
        let (u, v) = (fx - left as f64, fy - top as f64);
        let pixel = |x: usize, y: usize| f64::from(self.pixels[y * self.width + x]);
        let [a, b] = [pixel(left, top), pixel(left + 1, top)];
        let [c, d] = [pixel(left, top + 1), pixel(left + 1, top + 1)];
        let across = ((b - a) * (1.0 - v) + (d - c) * v) / self.scale;
        let down = ((c - a) * (1.0 - u) + (d - b) * u) / self.scale;
        let value = (a * (1.0 - u) + b * u) * (1.0 - v) + (c * (1.0 - u) + d * u) * v;
        Some((value, across, down))
    }
}

/// Light of the paper, which is nearly the brightest there is. Pixels far apart tell it.
fn paper(photo: &Photo) -> f64 {
    let apart = (photo.linear.len() / SAMPLES).max(1);
    let mut sorted: Vec<f32> = photo.linear.iter().copied().step_by(apart).collect();
    sorted.sort_unstable_by(f32::total_cmp);
    let at = ((1.0 - BRIGHTER) * sorted.len() as f64) as usize;
    f64::from(sorted.get(at).copied().unwrap_or(1.0)).max(1e-3)
}
