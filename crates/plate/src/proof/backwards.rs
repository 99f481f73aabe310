//! Backwards: from the values one wants to the minutes that give them.
//!
//! The print of a plain area depends on the bath only through its dose, and grows darker with it down
//! to one darkest dose. So the way back goes in two steps: [`Darkening`] tells the dose of each wanted
//! L* on this ground, and the session in the bath, run with the bites so far, the minutes of each dose.

mod darkening;
mod grain;
mod hinders;
mod minutes;

pub use darkening::Darkening;
pub use grain::{GrainAnswer, GrainSize, GrainWish, grain_for};
pub(super) use hinders::DEAD_BATH;

use super::Plate;
use crate::light;
use serde::Serialize;

/// Off by no more than this in L* a value counts as met (side by side a difference of about 2 is seen
/// reliably; from memory).
pub const MET_L: f64 = 2.0;

/// How finely bites are timed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum Rounding {
    /// As a person times them: quarters below 4 minutes, halves below 12, then whole minutes.
    ByHand,
    /// Quarter minutes throughout.
    Quarters,
    /// Half minutes.
    Halves,
    /// Whole minutes.
    Wholes,
}

impl Rounding {
    /// From its word: `by_hand`, `quarters`, `halves` or `wholes`.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        match word {
            "by_hand" => Some(Self::ByHand),
            "quarters" => Some(Self::Quarters),
            "halves" => Some(Self::Halves),
            "wholes" => Some(Self::Wholes),
            _ => None,
        }
    }

    /// The finest step at so many minutes.
    fn step_min(self, minutes: f64) -> f64 {
        match self {
            Self::Quarters => 0.25,
            Self::Halves => 0.5,
            Self::Wholes => 1.0,
            Self::ByHand if minutes < 4.0 => 0.25,
            Self::ByHand if minutes < 12.0 => 0.5,
            Self::ByHand => 1.0,
        }
    }

    /// The nearest bite that is timed so, never shorter than one step.
    #[must_use]
    pub fn round(self, minutes: f64) -> f64 {
        let step = self.step_min(minutes);
        (libm::round(minutes / step) * step).clamp(step, plan::BITE_MIN.1)
    }
}

/// One value asked for and what it takes.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct BackBite {
    /// Whether this bite has run already.
    pub bitten: bool,
    /// Minutes of this bite, as timed.
    pub bite_min: f64,
    /// Minutes that would print exactly what was asked.
    pub exact_min: f64,
    /// L* asked for.
    pub wanted_l: f64,
    /// L* it prints with the minutes as timed.
    pub lightness: f64,
    /// The same as density.
    pub density: f64,
    /// L* it prints with the exact minutes: the difference is what the rounding costs.
    pub exact_l: f64,
    /// Why it does not come out as asked, and what would help; empty when it does.
    pub sentence: String,
}

/// The answer to a set of wanted values.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Backwards {
    /// One for each value, lightest first, the paper left out.
    pub bites: Vec<BackBite>,
    /// L* of what is never bitten.
    pub paper_l: f64,
    /// The darkest this ground prints in this ink, L*.
    pub darkest_l: f64,
    /// Minutes in this bath, all bites together, until then, the last of these bites going on; not a number
    /// when this bath never gets there.
    pub darkest_min: f64,
    /// The same in a sentence.
    pub darkest_sentence: String,
    /// Whether a longer bite prints lighter again.
    pub breaks_down: bool,
    /// Copper in the bath afterwards, g/L.
    pub copper_end_g_per_l: f64,
}

/// Even steps of L* from the paper to the darkest, `values` of them, the paper left out.
#[must_use]
pub fn even_steps(paper_l: f64, darkest_l: f64, values: usize) -> Vec<f64> {
    (1..=values).map(|k| paper_l + (darkest_l - paper_l) * k as f64 / values as f64).collect()
}

/// The picture's own values: the mean L* of the places that each value stands for, brought into the
/// range from paper to darkest. `histogram` counts pixels by L* 0–100, `thresholds_l` falls.
#[must_use]
pub fn picture_values(
    histogram: &[u32],
    thresholds_l: &[f64],
    paper_l: f64,
    darkest_l: f64,
) -> Vec<f64> {
    let mut sum = vec![0.0; thresholds_l.len() + 1];
    let mut count = vec![0.0; thresholds_l.len() + 1];
    for (l, &pixels) in histogram.iter().enumerate() {
        let value = thresholds_l.iter().take_while(|&&threshold| (l as f64) < threshold).count();
        sum[value] += l as f64 * f64::from(pixels);
        count[value] += f64::from(pixels);
    }
    // An empty value stands in the middle between its thresholds.
    let edge = |k: usize| match k {
        0 => 100.0,
        k => thresholds_l.get(k - 1).copied().unwrap_or(0.0),
    };
    let mean: Vec<f64> = (0..sum.len())
        .map(|k| if count[k] > 0.0 { sum[k] / count[k] } else { 0.5 * (edge(k) + edge(k + 1)) })
        .collect();
    let (lightest, deepest) = (mean[0], mean[mean.len() - 1]);
    let range = (lightest - deepest).max(1e-9);
    mean[1..].iter().map(|l| darkest_l + (l - deepest) * (paper_l - darkest_l) / range).collect()
}

impl Plate {
    /// Minutes for each bite so that value k prints `wanted_l[k - 1]`.
    ///
    /// The first bites have run for `bitten_min` (any fraction of a minute) and stay so. The plan must
    /// have as many bites as values are wanted, since the bath feels each value's share of the plate.
    /// A value that can't be had gets the nearest that can, and a sentence that says why.
    pub fn backwards(
        &mut self,
        darkening: &Darkening,
        wanted_l: &[f64],
        bitten_min: &[f64],
        rounding: Rounding,
    ) -> Backwards {
        let count = wanted_l.len().min(self.plan.bites.len());
        let wanted_l = &wanted_l[..count];
        let bitten_min = &bitten_min[..bitten_min.len().min(count)];
        let (darkest_um, darkest_l) = darkening.darkest();
        let doses_um: Vec<f64> =
            wanted_l.iter().map(|&l| darkening.dose_for(l).unwrap_or(darkest_um)).collect();
        let exact_min = self.minutes_to(&doses_um, bitten_min, None);
        let timed_min = self.minutes_to(&doses_um, bitten_min, Some(rounding));
        let exact_um = self.doses_after(&exact_min).0;
        let (timed_um, copper_end_g_per_l) = self.doses_after(&timed_min);
        let exact_l: Vec<f64> = exact_um.iter().map(|&um| darkening.lightness_at(um)).collect();
        let timed_l: Vec<f64> = timed_um.iter().map(|&um| darkening.lightness_at(um)).collect();
        let sentences =
            hinders::sentences(self, darkening, wanted_l, bitten_min.len(), &timed_l, &exact_um);
        let bites = (0..count)
            .zip(sentences)
            .map(|(i, sentence)| BackBite {
                bitten: i < bitten_min.len(),
                bite_min: timed_min[i],
                exact_min: exact_min[i],
                wanted_l: wanted_l[i],
                lightness: timed_l[i],
                density: light::density(light::reflectance_of_lightness(timed_l[i])),
                exact_l: exact_l[i],
                sentence,
            })
            .collect();
        let darkest_min = self.course(&timed_min, darkest_um).minutes_at(darkest_um);
        Backwards {
            bites,
            paper_l: darkening.paper_l(),
            darkest_l,
            darkest_min: darkest_min.unwrap_or(f64::NAN),
            darkest_sentence: hinders::darkest(self, darkening, darkest_min),
            breaks_down: darkening.breaks_down(),
            copper_end_g_per_l,
        }
    }

    /// Whether bites of so many minutes give these doses, µm, in this plate's bath.
    #[must_use]
    pub fn reaches(&self, doses_um: &[f64], bite_min: &[f64]) -> bool {
        let (found, _) = self.doses_after(bite_min);
        found.iter().zip(doses_um).all(|(found, wanted)| *found >= 0.99 * wanted)
    }

    /// Minutes for each bite in this plate's bath that give the same doses, and so the same values on
    /// the same ground, as another bath gave: exact, and rounded as timed. `doses_um` per value, paper
    /// left out.
    #[must_use]
    pub fn same_values(&self, doses_um: &[f64], rounding: Rounding) -> (Vec<f64>, Vec<f64>) {
        (self.minutes_to(doses_um, &[], None), self.minutes_to(doses_um, &[], Some(rounding)))
    }
}
