//! Values that suit a picture: thresholds and bites with the least error in what will be printed.
//!
//! A picture's tone and a printed value are compared as lightness L*. The picture's white stands for
//! the bare sheet, so its L* is scaled by the sheet's; nothing is done for tones darker than the
//! darkest that the plate can print: they are part of the error.

use crate::cuts::{EVERY_TONE, cheapest_cuts, levels_of_cuts};
use crate::tone::ToneMap;
use crate::toning::Toning;
use crate::values::cropped_histogram;
use plan::{BITE_MIN, MAX_VALUES, MIN_VALUES, Picture};
use plate::chain::SURE_SHARE;
use serde::Serialize;

/// Bytes of lightness for one L*.
const BYTES_PER_L: f64 = 2.55;
/// Values nearer to each other than this are close together, L* (chain notes: 4 L*).
const APART_L: f64 = 4.0;
/// One value more is worth its varnish when it takes at least this much off the error, L*.
const WORTH_L: f64 = 0.35;
/// Bites are timed in quarter minutes.
const PER_MINUTE: f64 = 4.0;

/// Thresholds for values that print at given lightnesses.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
#[ts(rename = "ThresholdFit")]
pub struct Fit {
    /// L* at which each value begins, from light to dark.
    pub thresholds_l: Vec<f64>,
    /// Root of the mean squared difference between picture and print over the crop, L*.
    pub error_l: f64,
}

/// A count of values with the bites and thresholds that suit a picture best.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Suit {
    /// Minutes of each bite, in whole quarters.
    pub bites_min: Vec<f64>,
    /// L* at which each value begins, from light to dark.
    pub thresholds_l: Vec<f64>,
    /// Root of the mean squared difference between picture and print, L*.
    pub error_l: f64,
    /// Least difference between neighbouring values as printed, L*.
    pub closest_l: f64,
}

/// The picture's tones in the crop, as the plan changes them, as sums that give the error of any run of tones at once.
struct Tones {
    counts: [u64; 256],
    /// Weight, weight × L* and weight × L*² of all tones below each, scaled to the sheet.
    sums: [[f64; 3]; 257],
    total: f64,
}

impl Tones {
    fn new(tones: &ToneMap, picture: &Picture, paper_l: f64) -> Self {
        let counts = Toning::of(picture).counts(&cropped_histogram(tones, picture.crop));
        let total: f64 = counts.iter().map(|count| *count as f64).sum();
        let mut sums = [[0.0; 3]; 257];
        for (tone, count) in counts.iter().enumerate() {
            let weight = *count as f64 + total * EVERY_TONE;
            let l = tone as f64 / BYTES_PER_L * paper_l / 100.0;
            let [w, wl, wll] = sums[tone];
            sums[tone + 1] = [w + weight, wl + weight * l, wll + weight * l * l];
        }
        Self { counts, sums, total: sums[256][0] }
    }

    fn run(&self, from: usize, until: usize) -> [f64; 3] {
        [0, 1, 2].map(|k| self.sums[until][k] - self.sums[from][k])
    }

    /// Squared error of a run of tones printed at one lightness, times its weight.
    fn error(&self, from: usize, until: usize, level_l: f64) -> f64 {
        let [w, wl, wll] = self.run(from, until);
        (wll - 2.0 * level_l * wl + level_l * level_l * w).max(0.0)
    }

    fn mean_l(&self, from: usize, until: usize) -> f64 {
        let [w, wl, _] = self.run(from, until);
        wl / w
    }

    fn fit(&self, printed_l: &[f64]) -> Fit {
        let classes = printed_l.len();
        let (error, cuts) = cheapest_cuts(classes, |class, from, until| {
            self.error(from, until, printed_l[classes - 1 - class])
        });
        Fit {
            thresholds_l: levels_of_cuts(&cuts, &self.counts),
            error_l: libm::sqrt(error / self.total),
        }
    }
}

/// The thresholds with the least error for values that print at `printed_l`: L* of the bare sheet,
/// then of each value from light to dark (2–13 numbers). Of the plan's picture its crop, exposure, contrast and
/// curve count.
#[must_use]
pub fn fit_thresholds(tones: &ToneMap, picture: &Picture, printed_l: &[f64]) -> Fit {
    Tones::new(tones, picture, printed_l[0]).fit(printed_l)
}

/// For every count of values the bites and thresholds that suit the picture best on a ground whose
/// printed lightness runs along a curve: `minutes` ascending from 0, `lightness` L* there.
#[must_use]
pub fn suits(tones: &ToneMap, picture: &Picture, minutes: &[f64], lightness: &[f64]) -> Vec<Suit> {
    let paper_l = lightness[0];
    let tones = Tones::new(tones, picture, paper_l);
    let darkest = (0..lightness.len())
        .fold(0, |best, i| if lightness[i] < lightness[best] { i } else { best });
    let darkest_l = along(minutes, lightness, SURE_SHARE * minutes[darkest]);
    (MIN_VALUES..=MAX_VALUES)
        .map(|count| {
            let (_, cuts) = cheapest_cuts(count + 1, |class, from, until| {
                let level_l = if class == count {
                    paper_l
                } else {
                    tones.mean_l(from, until).clamp(darkest_l, paper_l)
                };
                tones.error(from, until, level_l)
            });
            // From light to dark, each as many quarter minutes in all as print its runs' mean.
            let mut before = 0.0_f64;
            let mut bites_min = Vec::new();
            let mut printed_l = vec![paper_l];
            for class in (0..count).rev() {
                let from = if class == 0 { 0 } else { cuts[class - 1] };
                let mean_l = tones.mean_l(from, cuts[class]).clamp(darkest_l, paper_l);
                let wanted = crossing(lightness, minutes, darkest, mean_l);
                let total = (libm::round(wanted * PER_MINUTE) / PER_MINUTE)
                    .max(before + BITE_MIN.0)
                    .min(before + BITE_MIN.1);
                bites_min.push(total - before);
                before = total;
                printed_l.push(along(minutes, lightness, total));
            }
            let fit = tones.fit(&printed_l);
            let closest_l =
                printed_l.windows(2).map(|pair| pair[0] - pair[1]).fold(f64::INFINITY, f64::min);
            Suit { bites_min, thresholds_l: fit.thresholds_l, error_l: fit.error_l, closest_l }
        })
        .collect()
}

/// The place in the list of suits worth taking: the last whose every value is worth its varnish and
/// can be told from its neighbours.
#[must_use]
pub fn suggested(suits: &[Suit]) -> usize {
    (1..suits.len())
        .take_while(|i| {
            suits[i - 1].error_l - suits[*i].error_l >= WORTH_L && suits[*i].closest_l >= APART_L
        })
        .last()
        .unwrap_or(0)
}

/// Minutes at which a falling curve first reaches a lightness, up to its darkest point.
fn crossing(lightness: &[f64], minutes: &[f64], darkest: usize, wanted_l: f64) -> f64 {
    for i in 1..=darkest {
        if lightness[i] <= wanted_l {
            let part = (lightness[i - 1] - wanted_l) / (lightness[i - 1] - lightness[i]).max(1e-9);
            return minutes[i - 1] + part.clamp(0.0, 1.0) * (minutes[i] - minutes[i - 1]);
        }
    }
    minutes[darkest]
}

/// A curve's height at a place, by straight lines.
fn along(x: &[f64], y: &[f64], at: f64) -> f64 {
    let next = x.iter().position(|x| *x >= at).unwrap_or(x.len() - 1).max(1);
    let part = ((at - x[next - 1]) / (x[next] - x[next - 1])).clamp(0.0, 1.0);
    y[next - 1] + part * (y[next] - y[next - 1])
}
