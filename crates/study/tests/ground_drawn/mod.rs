//! Pictures of grounds drawn disc by disc, with their answers found on a fine raster of their own.
#![allow(dead_code, reason = "each test file uses its own part")]

use rand::RngExt;
use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg32;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, OnceLock};
use study::calibration::GroundPhoto;

/// Pixels of the fine raster, µm.
const FINE_UM: f64 = 1.0;
/// Squares along a side of a pixel of a picture, each on a disc or off.
const OVER: usize = 4;

/// Discs on a piece of copper. What all pictures of it have in common is drawn once.
pub(crate) struct Scene {
    width_um: f64,
    height_um: f64,
    /// Centre and radius, µm.
    discs: Vec<(f64, f64, f64)>,
    truth: OnceLock<Truth>,
    /// By the bits of the size of a pixel, µm.
    rosin: Mutex<BTreeMap<u64, Arc<Rosin>>>,
}

/// How many of its `OVER`² squares lie on a disc, for each pixel of a picture.
struct Rosin {
    squares: Vec<u8>,
    wide: usize,
    high: usize,
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
    /// Lines of burnisher and scratches on the copper: how much lighter or darker than copper, as a share of the
    /// distance of the two tones.
    pub(crate) scratched: f64,
    /// Spots of glare, burnt out in the middle.
    pub(crate) glare: usize,
    /// A highlight on each disc, a quarter as wide, in the copper's tone and beyond: lit by one small lamp.
    pub(crate) glossy: bool,
    /// Quality at which it is saved as JPEG, 1–100; 0: not.
    pub(crate) jpeg: u32,
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
            scratched: 0.0,
            glare: 0,
            glossy: false,
            jpeg: 0,
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
    Scene::of((width_um, height_um), discs)
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
    Scene::of((width_um, height_um), discs)
}

/// Dust, a thin, a half-covered and a well-covered ground, each showing some hundred islands: drawn once for all tests.
/// Where pictures are hard to read, a `larger` piece of the last.
pub(crate) fn scenes(larger: bool) -> [(&'static str, &'static Scene); 4] {
    static ONCE: OnceLock<[Scene; 5]> = OnceLock::new();
    let [dust, thin, half, well, larger_well] = ONCE.get_or_init(|| {
        let size_um = (2600.0, 1900.0);
        [
            united(size_um, 350.0, 24.0, 1.3, 1),
            united(size_um, 150.0, 48.0, 1.35, 2),
            united(size_um, 330.0, 48.0, 1.35, 3),
            united((4200.0, 3000.0), 650.0, 44.0, 1.4, 4),
            united((5200.0, 3800.0), 650.0, 44.0, 1.4, 4),
        ]
    });
    let well = if larger { larger_well } else { well };
    [("dust", dust), ("thin", thin), ("half", half), ("well", well)]
}

impl Scene {
    pub(crate) fn of((width_um, height_um): (f64, f64), discs: Vec<(f64, f64, f64)>) -> Self {
        let (truth, rosin) = (OnceLock::new(), Mutex::default());
        Self { width_um, height_um, discs, truth, rosin }
    }

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
    pub(crate) fn truth(&self) -> &Truth {
        self.truth.get_or_init(|| self.flooded())
    }

    fn flooded(&self) -> Truth {
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
        let (grey, wide) = self.codes(taken, seed);
        let width_mm = wide as f64 * taken.px_um * 1e-3;
        (GroundPhoto::from_grey(grey, wide).expect("a picture"), width_mm)
    }

    /// What lies on each pixel of a picture with pixels of this size.
    fn rosin(&self, px_um: f64) -> Arc<Rosin> {
        let mut drawn = self.rosin.lock().expect("no test failed while drawing");
        let draw = || {
            let (set, fine_wide, fine_high) = self.raster(px_um / OVER as f64);
            let (wide, high) = (fine_wide / OVER, fine_high / OVER);
            let mut squares = vec![0; wide * high];
            for (row, fine) in set.chunks_exact(fine_wide).take(high * OVER).enumerate() {
                let counted = &mut squares[row / OVER * wide..][..wide];
                for (on, fine) in counted.iter_mut().zip(fine.chunks_exact(OVER)) {
                    *on += fine.iter().map(|&set| u8::from(set)).sum::<u8>();
                }
            }
            Arc::new(Rosin { squares, wide, high })
        };
        drawn.entry(px_um.to_bits()).or_insert_with(draw).clone()
    }

    /// Its pixels, and how many make a row.
    pub(crate) fn codes(&self, taken: &Taken, seed: u64) -> (Vec<u8>, usize) {
        let rosin = self.rosin(taken.px_um);
        let (wide, high) = (rosin.wide, rosin.high);
        let share_of = |on: u8| f64::from(on) / (OVER * OVER) as f64;
        let apart = taken.rosin - taken.copper;
        let mut tone: Vec<f64> =
            rosin.squares.iter().map(|&on| taken.copper + share_of(on) * apart).collect();
        let mut chance = Pcg32::new(seed, 13);
        if taken.scratched > 0.0 {
            scratch(&mut tone, wide, taken, |at| share_of(rosin.squares[at]), &mut chance);
        }
        if taken.glossy {
            for &(x, y, r) in &self.discs {
                // Towards the lamp, at the upper left.
                let spot = (x - 0.35 * r, y - 0.35 * r, 0.25 * r);
                each_px(spot, taken.px_um, wide, high, |at, _| {
                    tone[at] = taken.copper - 0.3 * apart
                });
            }
        }
        for _ in 0..taken.glare {
            let (x, y) = (chance.random::<f64>(), chance.random::<f64>());
            let r = (0.02 + 0.03 * chance.random::<f64>()) * self.width_um;
            each_px(
                (x * self.width_um, y * self.height_um, 2.0 * r),
                taken.px_um,
                wide,
                high,
                |at, far| {
                    tone[at] += 400.0 * libm::exp(-8.0 * far * far);
                },
            );
        }
        blur(&mut tone, wide, taken.blur_um / taken.px_um);
        let mut codes: Vec<f64> = tone
            .iter()
            .enumerate()
            .map(|(at, tone)| {
                let x = 2.0 * (at % wide) as f64 / wide as f64 - 1.0;
                let y = 2.0 * (at / wide) as f64 / high as f64 - 1.0;
                let light = (1.0 - 0.5 * taken.vignette * (x * x + y * y))
                    * (1.0 - 0.5 * taken.slope * (1.0 + x));
                let normal: f64 = StandardNormal.sample(&mut chance);
                (light * tone + taken.noise * normal).clamp(0.0, 255.0)
            })
            .collect();
        if taken.jpeg > 0 {
            squeeze(&mut codes, wide, taken.jpeg);
        }
        (codes.iter().map(|code| (code + 0.5).clamp(0.0, 255.0) as u8).collect(), wide)
    }
}

/// Every pixel of a disc, µm, with its distance from the middle in radii.
fn each_px(
    (x, y, r): (f64, f64, f64),
    px_um: f64,
    wide: usize,
    high: usize,
    mut on: impl FnMut(usize, f64),
) {
    let span = |at: f64, count: usize| {
        (((at - r) / px_um).max(0.0) as usize)
            ..(((at + r) / px_um + 1.0).max(0.0) as usize).min(count)
    };
    for row in span(y, high) {
        for column in span(x, wide) {
            let (dx, dy) = ((column as f64 + 0.5) * px_um - x, (row as f64 + 0.5) * px_um - y);
            let far = (dx * dx + dy * dy).sqrt() / r;
            if far < 1.0 {
                on(row * wide + column, far);
            }
        }
    }
}

/// Lines left by burnisher and charcoal, nearly all one way, 1–4 µm wide, lighter and darker than the copper; rosin hides them.
fn scratch(
    tone: &mut [f64],
    wide: usize,
    taken: &Taken,
    share: impl Fn(usize) -> f64,
    chance: &mut Pcg32,
) {
    let (width_um, height_um) =
        (wide as f64 * taken.px_um, (tone.len() / wide) as f64 * taken.px_um);
    let apart = (taken.rosin - taken.copper).abs();
    for _ in 0..(width_um * height_um * 3e-5) as usize {
        let (x, y) = (chance.random::<f64>() * width_um, chance.random::<f64>() * height_um);
        let turn = 0.5 + 0.15 * (chance.random::<f64>() - 0.5);
        let long = 200.0 + 800.0 * chance.random::<f64>();
        let line_um = 1.0 + 3.0 * chance.random::<f64>();
        let by = taken.scratched * apart * (2.0 * chance.random::<f64>() - 1.0);
        for step in 0..(long / taken.px_um) as usize {
            let far = step as f64 * taken.px_um;
            let (u, v) = (x + far * libm::cos(turn), y + far * libm::sin(turn));
            let (column, row) = ((u / taken.px_um) as usize, (v / taken.px_um) as usize);
            let at = row * wide + column;
            if column < wide && at < tone.len() {
                // A line narrower than a pixel shows as little as it fills of it.
                tone[at] += by * (line_um / taken.px_um).min(1.0) * (1.0 - share(at));
            }
        }
    }
}

/// What saving as JPEG does to the tones: each block of 8 × 8 in cosines, rounded by the standard's table for lightness
/// (ITU-T T.81, table K.1) at the quality's scale, and back.
fn squeeze(codes: &mut [f64], wide: usize, quality: u32) {
    const TABLE: [u32; 64] = [
        16, 11, 10, 16, 24, 40, 51, 61, 12, 12, 14, 19, 26, 58, 60, 55, 14, 13, 16, 24, 40, 57, 69,
        56, 14, 17, 22, 29, 51, 87, 80, 62, 18, 22, 37, 56, 68, 109, 103, 77, 24, 35, 55, 64, 81,
        104, 113, 92, 49, 64, 78, 87, 103, 121, 120, 101, 72, 92, 95, 98, 112, 100, 103, 99,
    ];
    let scale = if quality < 50 { 5000 / quality } else { 200 - 2 * quality };
    let step: Vec<f64> =
        TABLE.iter().map(|one| f64::from(((one * scale + 50) / 100).clamp(1, 255))).collect();
    let cosine: Vec<f64> = (0..64)
        .map(|at| {
            let (u, x) = ((at / 8) as f64, (at % 8) as f64);
            let unit = if at < 8 { 0.125_f64.sqrt() } else { 0.5 };
            unit * libm::cos((2.0 * x + 1.0) * u * std::f64::consts::PI / 16.0)
        })
        .collect();
    let high = codes.len() / wide;
    for top in (0..high).step_by(8) {
        for left in (0..wide).step_by(8) {
            let at = |x: usize, y: usize| (top + y).min(high - 1) * wide + (left + x).min(wide - 1);
            let block: Vec<f64> =
                (0..64).map(|k| codes[at(k % 8, k / 8)].round() - 128.0).collect();
            let turned = |from: &[f64], back: bool| -> Vec<f64> {
                let c =
                    |u: usize, x: usize| if back { cosine[x * 8 + u] } else { cosine[u * 8 + x] };
                let rows: Vec<f64> = (0..64)
                    .map(|k| (0..8).map(|x| c(k % 8, x) * from[k / 8 * 8 + x]).sum())
                    .collect();
                (0..64).map(|k| (0..8).map(|y| c(k / 8, y) * rows[y * 8 + k % 8]).sum()).collect()
            };
            let waves = turned(&block, false);
            let rounded: Vec<f64> =
                waves.iter().zip(&step).map(|(wave, step)| (wave / step).round() * step).collect();
            for (k, code) in turned(&rounded, true).into_iter().enumerate() {
                if top + k / 8 < high && left + k % 8 < wide {
                    codes[at(k % 8, k / 8)] = (code + 128.0).clamp(0.0, 255.0);
                }
            }
        }
    }
}

/// A normal blur of this deviation, pixels, the border's pixels going on outside.
fn blur(tones: &mut Vec<f64>, wide: usize, sigma: f64) {
    let reach = (3.0 * sigma).ceil() as usize;
    let bell: Vec<f64> = (0..=2 * reach)
        .map(|i| {
            let off = (i as f64 - reach as f64) / sigma.max(1e-6);
            libm::exp(-0.5 * off * off)
        })
        .collect();
    let total: f64 = bell.iter().sum();
    let add = |sums: &mut [f64], weight: f64, tones: &[f64]| {
        for (sum, tone) in sums.iter_mut().zip(tones) {
            *sum += weight * tone;
        }
    };
    // Along the rows, each with its ends going on; then row upon row.
    let mut longer = vec![0.0; wide + 2 * reach];
    for row in tones.chunks_exact_mut(wide) {
        longer[..reach].fill(row[0]);
        longer[reach..][..wide].copy_from_slice(row);
        longer[reach + wide..].fill(row[wide - 1]);
        row.fill(0.0);
        for (i, weight) in bell.iter().enumerate() {
            add(row, *weight, &longer[i..][..wide]);
        }
        row.iter_mut().for_each(|sum| *sum /= total);
    }
    let high = tones.len() / wide;
    let mut sums = vec![0.0; tones.len()];
    for (y, row) in sums.chunks_exact_mut(wide).enumerate() {
        for (i, weight) in bell.iter().enumerate() {
            let from = (y + i).saturating_sub(reach).min(high - 1);
            add(row, *weight, &tones[from * wide..][..wide]);
        }
        row.iter_mut().for_each(|sum| *sum /= total);
    }
    *tones = sums;
}
