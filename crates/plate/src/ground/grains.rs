//! Grains: how many fall in a cell, where, and how much resin each holds.
//!
//! A cell is drawn alone: its generator starts from a well-mixed word of seed and place. Numbers
//! are Poisson, places uniform, sizes follow the landed classes, spread evenly over ln D inside a
//! class. Dust from a well-stirred cloud lands independently, which is what a Poisson process says
//! (Chiu, Stoyan, Kendall & Mecke, Stochastic Geometry and its Applications, 3rd ed. 2013, §2.4).

use crate::dust::LandedDust;
use rand::Rng;
use rand_pcg::Pcg32;

/// A class is cut into steps no wider than this in ln V, so that the cubic in [`Sizes::draw`]
/// stays within 2e-5 of the exponential.
const STEP_LN_VOLUME: f64 = 0.15;

/// Cells of the guide into the size table; a power of two.
const GUIDE: usize = 1024;

/// A melted grain, or a dome grown from several.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Drop {
    /// Centre, µm.
    pub x_um: f32,
    /// Centre, µm.
    pub y_um: f32,
    /// Resin in it, µm³. In double precision, so that merging loses none.
    pub volume_um3: f64,
}

/// A part of a size class: grains between two volumes of melt, spread evenly over ln V.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SizeStep {
    /// Grains per mm².
    pub per_mm2: f64,
    /// ln of the smallest volume, V in µm³.
    pub ln_from: f64,
    /// Width in ln V.
    pub ln_width: f64,
}

impl SizeStep {
    /// Smallest volume of melt, µm³.
    #[must_use]
    pub fn from_um3(&self) -> f64 {
        libm::exp(self.ln_from)
    }

    /// Largest volume of melt, µm³.
    #[must_use]
    pub fn to_um3(&self) -> f64 {
        libm::exp(self.ln_from + self.ln_width)
    }

    /// Mean volume of melt, µm³.
    #[must_use]
    pub fn mean_um3(&self) -> f64 {
        if self.ln_width < 1e-9 {
            self.from_um3()
        } else {
            self.from_um3() * libm::expm1(self.ln_width) / self.ln_width
        }
    }
}

/// The landed classes as volumes of melt, V = φ π D³ / 6, in narrow steps from fine to coarse.
///
/// Coarse classes are left out while fewer than `fewest_per_mm2` grains fall in all of them.
#[must_use]
pub fn size_steps(dust: &LandedDust, fewest_per_mm2: f64) -> Vec<SizeStep> {
    let mut classes = dust.classes.as_slice();
    let mut dropped = 0.0;
    while let [rest @ .., last] = classes {
        dropped += last.grains_per_mm2;
        if dropped >= fewest_per_mm2 {
            break;
        }
        classes = rest;
    }
    let ln_unit = libm::log(dust.solid_share * core::f64::consts::PI / 6.0);
    let mut steps = Vec::new();
    for class in classes.iter().filter(|class| class.grains_per_mm2 > 0.0) {
        let ln_from = ln_unit + 3.0 * libm::log(class.from_um);
        let ln_width = 3.0 * libm::log(class.to_um / class.from_um);
        let parts = libm::ceil(ln_width / STEP_LN_VOLUME).clamp(1.0, 64.0);
        for part in 0..parts as usize {
            steps.push(SizeStep {
                per_mm2: class.grains_per_mm2 / parts,
                ln_from: ln_from + ln_width / parts * part as f64,
                ln_width: ln_width / parts,
            });
        }
    }
    steps
}

/// Pools the finest grains when more than `most_per_mm2` fall: all grains below some volume are
/// drawn as fewer drops of just that volume, holding the same resin. Returns the steps and whether
/// anything was pooled.
#[must_use]
pub fn pool(mut steps: Vec<SizeStep>, most_per_mm2: f64) -> (Vec<SizeStep>, bool) {
    let pooled = |step: &SizeStep, floor: f64| step.per_mm2 * (step.mean_um3() / floor).min(1.0);
    let total = |steps: &[SizeStep], floor: f64| -> f64 {
        steps.iter().map(|step| pooled(step, floor)).sum()
    };
    let (Some(first), Some(last)) = (steps.first(), steps.last()) else { return (steps, false) };
    let (mut low, mut high) = (first.ln_from, last.ln_from + last.ln_width);
    if total(&steps, libm::exp(low)) <= most_per_mm2 {
        return (steps, false);
    }
    while total(&steps, libm::exp(high)) > most_per_mm2 {
        high += 1.0;
    }
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if total(&steps, libm::exp(middle)) > most_per_mm2 { low = middle } else { high = middle }
    }
    let floor = libm::exp(high);
    for step in &mut steps {
        if step.mean_um3() < floor {
            *step = SizeStep { per_mm2: pooled(step, floor), ln_from: high, ln_width: 0.0 };
        }
    }
    (steps, true)
}

/// Poisson numbers by the inverse of the distribution, exact to the last bit of 64.
#[derive(Clone, Debug)]
pub struct Counts {
    mean: f64,
    least: u32,
    /// P(count ≤ least + k) · 2⁶⁴, rounded down.
    below: Vec<u64>,
}

impl Counts {
    /// Numbers with this mean, 0 or more.
    #[must_use]
    pub fn new(mean: f64) -> Self {
        let mut counts = Self { mean, least: 0, below: Vec::new() };
        if mean.is_nan() || mean <= 0.0 {
            counts.mean = 0.0;
            return counts;
        }
        // Beyond ten deviations and some lies less than 2⁻⁶⁴.
        let deviation = libm::sqrt(mean);
        let least = libm::floor((mean - 10.0 * deviation - 10.0).max(0.0));
        let most = libm::ceil(mean + 10.0 * deviation + 30.0);
        let mut sum = 0.0;
        // ln k!, number by number.
        let mut ln_factorial = 0.0;
        let mut k = 1.0;
        while k <= least {
            ln_factorial += libm::log(k);
            k += 1.0;
        }
        k = least;
        while k <= most {
            sum += libm::exp(k * libm::log(mean) - mean - ln_factorial);
            ln_factorial += libm::log(k + 1.0);
            counts.below.push((sum * 18_446_744_073_709_551_616.0) as u64);
            k += 1.0;
        }
        counts.least = least as u32;
        counts
    }

    /// Mean of the numbers.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.mean
    }

    /// The number at the quantile `word` / 2⁶⁴.
    #[must_use]
    pub fn draw(&self, word: u64) -> u32 {
        let steps = self.below.partition_point(|&below| below <= word);
        self.least + steps.min(self.below.len().saturating_sub(1)) as u32
    }
}

/// Volumes of melt by the inverse of the distribution.
#[derive(Clone, Debug)]
pub struct Sizes {
    steps: Vec<SizeEntry>,
    guide: Vec<u16>,
}

#[derive(Clone, Copy, Debug)]
struct SizeEntry {
    /// First of the 2³² words of this step.
    first: u32,
    per_word: f32,
    from_um3: f32,
    ln_width: f32,
}

impl Sizes {
    /// A table of these steps.
    #[must_use]
    pub fn new(steps: &[SizeStep]) -> Self {
        let words = 4_294_967_296.0;
        let total: f64 = steps.iter().map(|step| step.per_mm2).sum();
        let mut entries: Vec<SizeEntry> = Vec::with_capacity(steps.len());
        let mut sum = 0.0;
        for step in steps {
            let first = (sum / total * words) as u64;
            sum += step.per_mm2;
            let end = (sum / total * words) as u64;
            if end > first && first < 1 << 32 {
                entries.push(SizeEntry {
                    first: first as u32,
                    per_word: (1.0 / (end - first) as f64) as f32,
                    from_um3: step.from_um3() as f32,
                    ln_width: step.ln_width as f32,
                });
            }
        }
        let guide = (0..GUIDE)
            .map(|cell| {
                let word = (cell as u64 * ((1 << 32) / GUIDE as u64)) as u32;
                entries.partition_point(|entry| entry.first <= word).saturating_sub(1) as u16
            })
            .collect();
        Self { steps: entries, guide }
    }

    /// Volume at the quantile `word` / 2³², µm³; 0 from an empty table.
    #[inline]
    #[must_use]
    pub fn draw(&self, word: u32) -> f32 {
        // In 64 bits: 2³² does not fit the word size of the browser.
        let mut index =
            usize::from(self.guide[(u64::from(word) / ((1 << 32) / GUIDE as u64)) as usize]);
        while index + 1 < self.steps.len() && self.steps[index + 1].first <= word {
            index += 1;
        }
        let Some(step) = self.steps.get(index) else { return 0.0 };
        let t = (word - step.first) as f32 * step.per_word * step.ln_width;
        step.from_um3 * (1.0 + t * (1.0 + t * (0.5 + t * (1.0 / 6.0))))
    }
}

/// A word in which every bit of seed and place has had its say (the finalizer of SplitMix64,
/// Steele, Lea & Flood, Fast Splittable Pseudorandom Number Generators, OOPSLA 2014).
fn mix(word: u64) -> u64 {
    let mut z = word.wrapping_add(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

/// The generator of the cell at `place` (columns from the left, rows from the top of the plate).
#[must_use]
pub fn generator(seed: u32, place: (i32, i32)) -> Pcg32 {
    let cell = (u64::from(place.0 as u32) << 32) | u64::from(place.1 as u32);
    let state = mix(mix(u64::from(seed)) ^ cell);
    Pcg32::new(state, mix(state))
}

/// Lets the grains of one cell fall: appends them to `drops`, `origin` added to their places.
pub fn fall(
    seed: u32,
    place: (i32, i32),
    origin: (f32, f32),
    cell_um: f32,
    counts: &Counts,
    sizes: &Sizes,
    drops: &mut Vec<Drop>,
) {
    if counts.mean() <= 0.0 {
        return;
    }
    let mut generator = generator(seed, place);
    let number = counts.draw(generator.next_u64());
    // 16 bits a coordinate: in a cell of 100 µm that is 1.5 nm, far below anything to be seen.
    let unit = cell_um / 65536.0;
    drops.extend((0..number).map(|_| {
        let at = generator.next_u32();
        Drop {
            x_um: origin.0 + ((at >> 16) as f32 + 0.5) * unit,
            y_um: origin.1 + ((at & 0xffff) as f32 + 0.5) * unit,
            volume_um3: f64::from(sizes.draw(generator.next_u32())),
        }
    }));
}

/// Drops those of the drops from `first` on that lie outside a square of this side.
pub(super) fn keep_within(side_um: f32, first: usize, drops: &mut Vec<Drop>) {
    let mut kept = first;
    for at in first..drops.len() {
        let drop = drops[at];
        drops[kept] = drop;
        let within = |at_um: f32| (0.0..side_um).contains(&at_um);
        kept += usize::from(within(drop.x_um) && within(drop.y_um));
    }
    drops.truncate(kept);
}

/// Where a grain stands among all of its size in the order in which they land, 0–1: the `index`-th
/// grain of the cell at `place`. Drawn apart from sizes and places, which it leaves as they are.
#[must_use]
pub fn turn(seed: u32, place: (i32, i32), index: usize) -> f64 {
    let cell = (u64::from(place.0 as u32) << 32) | u64::from(place.1 as u32);
    let word = mix(mix(mix(u64::from(seed)) ^ cell).wrapping_add(1 + index as u64));
    ((word >> 11) as f64 + 0.5) / 9_007_199_254_740_992.0
}
