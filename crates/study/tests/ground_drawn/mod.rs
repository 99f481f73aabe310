//! Pictures of grounds drawn disc by disc, with their answers found on a fine raster of their own.
#![allow(dead_code, reason = "each test file uses its own part")]

use rand::RngExt;
use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg32;
use study::calibration::GroundPhoto;

/// Pixels of the fine raster, µm.
const FINE_UM: f64 = 1.0;

/// Discs on a piece of copper.
pub(crate) struct Scene {
    pub(crate) width_um: f64,
    pub(crate) height_um: f64,
    /// Centre and radius, µm.
    pub(crate) discs: Vec<(f64, f64, f64)>,
}

/// What a reading should say.
#[derive(Debug)]
pub(crate) struct Truth {
    pub(crate) cover: f64,
    pub(crate) islands_per_mm2: f64,
    pub(crate) median_width_um: f64,
}

/// How the picture is taken, and spoilt.
#[derive(Clone, Debug)]
pub(crate) struct Taken {
    pub(crate) px_um: f64,
    /// Codes of rosin and of copper under full light.
    pub(crate) rosin: f64,
    pub(crate) copper: f64,
    /// Deviation of the blur, µm.
    pub(crate) blur_um: f64,
    /// Deviation of each pixel's noise, codes.
    pub(crate) noise: f64,
    /// How much the light falls off from the middle to the corners, and from left to right.
    pub(crate) vignette: f64,
    pub(crate) slope: f64,
}

impl Taken {
    /// A good picture.
    pub(crate) fn well(px_um: f64) -> Self {
        Self {
            px_um,
            rosin: 205.0,
            copper: 95.0,
            blur_um: 0.5 * px_um,
            noise: 3.0,
            vignette: 0.0,
            slope: 0.0,
        }
    }
}

/// Discs that don't touch, on a jittered lattice.
pub(crate) fn apart(
    width_um: f64,
    height_um: f64,
    step_um: f64,
    radius_um: f64,
    seed: u64,
) -> Scene {
    let mut chance = Pcg32::new(seed, 11);
    let free = 0.5 * step_um - radius_um - 3.0;
    let mut discs = Vec::new();
    for j in 0..(height_um / step_um) as usize {
        for i in 0..(width_um / step_um) as usize {
            let mut off = || free * (2.0 * chance.random::<f64>() - 1.0);
            let (x, y) = (step_um * (i as f64 + 0.5) + off(), step_um * (j as f64 + 0.5) + off());
            discs.push((x, y, radius_um));
        }
    }
    Scene { width_um, height_um, discs }
}

/// Discs at random places, their diameters lognormal round a median by number; those that touch are one island.
pub(crate) fn united(
    (width_um, height_um): (f64, f64),
    per_mm2: f64,
    median_um: f64,
    gsd: f64,
    seed: u64,
) -> Scene {
    let mut chance = Pcg32::new(seed, 12);
    let beyond = 3.0 * median_um;
    let (wide, high) = (width_um + 2.0 * beyond, height_um + 2.0 * beyond);
    let discs = (0..(per_mm2 * wide * high * 1e-6) as usize)
        .map(|_| {
            let (x, y) = (chance.random::<f64>() * wide, chance.random::<f64>() * high);
            let normal: f64 = StandardNormal.sample(&mut chance);
            (x - beyond, y - beyond, 0.5 * median_um * libm::pow(gsd, normal.clamp(-2.0, 2.0)))
        })
        .collect();
    Scene { width_um, height_um, discs }
}

impl Scene {
    /// Whether each pixel of a raster of the whole lies on a disc.
    fn raster(&self, px_um: f64) -> (Vec<bool>, usize, usize) {
        let (wide, high) = ((self.width_um / px_um) as usize, (self.height_um / px_um) as usize);
        let mut set = vec![false; wide * high];
        for &(x, y, r) in &self.discs {
            let rows = (((y - r) / px_um).max(0.0) as usize)
                ..(((y + r) / px_um + 1.0).max(0.0) as usize).min(high);
            for row in rows {
                let dy = (row as f64 + 0.5) * px_um - y;
                let half = r * r - dy * dy;
                if half <= 0.0 {
                    continue;
                }
                let half = half.sqrt();
                let from = ((x - half) / px_um + 0.5).max(0.0) as usize;
                let to = (((x + half) / px_um + 0.5).max(0.0) as usize).min(wide);
                set[row * wide + from.min(to)..row * wide + to].fill(true);
            }
        }
        (set, wide, high)
    }

    /// The answers, by flooding the fine raster island by island.
    pub(crate) fn truth(&self) -> Truth {
        let (mut left, wide, high) = self.raster(FINE_UM);
        let covered = left.iter().filter(|set| **set).count();
        let (mut count, mut widths) = (0.0, Vec::new());
        for start in 0..left.len() {
            if !left[start] {
                continue;
            }
            let (mut todo, mut area, mut border) = (vec![start], 0.0, false);
            left[start] = false;
            while let Some(at) = todo.pop() {
                let (x, y) = (at % wide, at / wide);
                area += FINE_UM * FINE_UM;
                border |= x == 0 || y == 0 || x + 1 == wide || y + 1 == high;
                for (u, v) in
                    [(x.wrapping_sub(1), y), (x + 1, y), (x, y.wrapping_sub(1)), (x, y + 1)]
                {
                    if u < wide && v < high && left[v * wide + u] {
                        left[v * wide + u] = false;
                        todo.push(v * wide + u);
                    }
                }
            }
            count += if border { 0.5 } else { 1.0 };
            if !border {
                widths.push((4.0 * area / std::f64::consts::PI).sqrt());
            }
        }
        widths.sort_by(f64::total_cmp);
        Truth {
            cover: covered as f64 / (wide * high) as f64,
            islands_per_mm2: count / (self.width_um * self.height_um * 1e-6),
            median_width_um: widths[widths.len() / 2],
        }
    }

    /// The picture, and its width, mm.
    pub(crate) fn photo(&self, taken: &Taken, seed: u64) -> (GroundPhoto, f64) {
        const OVER: usize = 4;
        let (set, fine_wide, fine_high) = self.raster(taken.px_um / OVER as f64);
        let (wide, high) = (fine_wide / OVER, fine_high / OVER);
        let share: Vec<f64> = (0..wide * high)
            .map(|at| {
                let (x, y) = (at % wide * OVER, at / wide * OVER);
                let on =
                    (0..OVER * OVER).filter(|k| set[(y + k / OVER) * fine_wide + x + k % OVER]);
                on.count() as f64 / (OVER * OVER) as f64
            })
            .collect();
        let share = blurred(&share, wide, high, taken.blur_um / taken.px_um);
        let mut chance = Pcg32::new(seed, 13);
        let grey = share
            .iter()
            .enumerate()
            .map(|(at, share)| {
                let x = 2.0 * (at % wide) as f64 / wide as f64 - 1.0;
                let y = 2.0 * (at / wide) as f64 / high as f64 - 1.0;
                let light = (1.0 - 0.5 * taken.vignette * (x * x + y * y))
                    * (1.0 - 0.5 * taken.slope * (1.0 + x));
                let normal: f64 = StandardNormal.sample(&mut chance);
                let code = light * (taken.copper + share * (taken.rosin - taken.copper));
                (code + taken.noise * normal + 0.5).clamp(0.0, 255.0) as u8
            })
            .collect();
        (GroundPhoto::from_grey(grey, wide).expect("a picture"), wide as f64 * taken.px_um * 1e-3)
    }
}

/// A normal blur of this deviation, pixels, the border's pixels going on outside.
fn blurred(plain: &[f64], wide: usize, high: usize, sigma: f64) -> Vec<f64> {
    let reach = (3.0 * sigma).ceil() as isize;
    let bell: Vec<f64> = (-reach..=reach)
        .map(|i| {
            let off = i as f64 / sigma.max(1e-6);
            libm::exp(-0.5 * off * off)
        })
        .collect();
    let total: f64 = bell.iter().sum();
    let pass = |from: &[f64], along: bool| -> Vec<f64> {
        (0..from.len())
            .map(|at| {
                let (x, y) = ((at % wide) as isize, (at / wide) as isize);
                let sum: f64 = bell
                    .iter()
                    .zip(-reach..=reach)
                    .map(|(weight, off)| {
                        let (u, v) = if along { (x + off, y) } else { (x, y + off) };
                        let u = u.clamp(0, wide as isize - 1) as usize;
                        weight * from[v.clamp(0, high as isize - 1) as usize * wide + u]
                    })
                    .sum();
                sum / total
            })
            .collect()
    };
    pass(&pass(plain, true), false)
}
