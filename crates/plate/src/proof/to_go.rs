//! The bites that remain when some have already run, and not quite as planned.

use super::Plate;
use crate::light;
use plan::Bite;
use serde::Serialize;

/// What the bites that remain should be.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ToGo {
    /// Minutes for each bite that remains, in whole quarters.
    pub bite_min: Vec<f64>,
    /// For each of them how it comes out: `met`, or `darker` or `lighter` than asked for by more
    /// than an eye forgives.
    pub outcome: Vec<&'static str>,
    /// L* that each value prints, paper left out: those already stopped out as they were bitten,
    /// the others with these minutes.
    pub lightness: Vec<f64>,
    /// The same if the bites that remain keep the plan's minutes.
    pub kept_lightness: Vec<f64>,
}

/// Off by less than this in L* a value counts as met (side by side a difference of about 2 is seen
/// reliably; from memory).
const MET_L: f64 = 2.0;
/// A dose is found when it prints within this of the L* asked for: less than a quarter minute
/// moves it.
const FOUND_L: f64 = 0.05;
/// Most trials for one dose; a bracket from the tone curve seldom needs half of them.
const TRIALS: usize = 12;
/// Bites go by quarter minutes.
const PER_MIN: f64 = 4.0;

/// Doses and what they print, from no bite down to the darkest.
struct Falling {
    dose_um: Vec<f64>,
    lightness: Vec<f64>,
}

impl Plate {
    /// Minutes for the bites that remain after some have run for `bitten_min` (any fraction of a
    /// minute), so that each later value prints its L* in `target_l` (value 1 first; the plan's
    /// own minutes stand where an entry is missing).
    ///
    /// Bites go on to tire the bath as they really ran. A value darker than this ground can print
    /// gets the minutes of the darkest it can; one that is already too dark gets the shortest bite.
    pub fn bites_to_go(&mut self, bitten_min: &[f64], target_l: &[f64]) -> ToGo {
        let count = self.plan.bites.len();
        let done = bitten_min.len().min(count);
        let ran = bitten_min[..done].iter().map(|&bite_min| Bite { bite_min });
        let mut bites: Vec<Bite> = ran.clone().collect();
        let kept: Vec<Bite> = ran.chain(self.plan.bites[done..].iter().copied()).collect();

        let falling = self.falling();
        for i in done..count {
            let planned = self.plan.bites[i].bite_min;
            let bite_min = match target_l.get(i) {
                Some(&target) => {
                    let dose_um = self.dose_for(target, &falling);
                    self.minutes_for(&bites, dose_um)
                }
                None => planned,
            };
            bites.push(Bite { bite_min });
        }

        let lightness = self.lightness_after(&bites);
        let outcome = (done..count)
            .map(|i| match target_l.get(i) {
                Some(&target) if lightness[i] > target + MET_L => "lighter",
                Some(&target) if lightness[i] < target - MET_L => "darker",
                _ => "met",
            })
            .collect();
        ToGo {
            bite_min: bites[done..].iter().map(|bite| bite.bite_min).collect(),
            outcome,
            kept_lightness: self.lightness_after(&kept),
            lightness,
        }
    }

    /// Doses after these bites, value 1 first, µm.
    #[inline(never)] // keeps the page small
    fn doses_after(&self, bites: &[Bite]) -> Vec<f64> {
        let areas = self.areas.as_ref();
        let session = Self::bathe(&self.plan, bites, &self.constants, areas, &self.profile);
        session.dose_um[1..].to_vec()
    }

    fn lightness_after(&mut self, bites: &[Bite]) -> Vec<f64> {
        let doses_um = self.doses_after(bites);
        doses_um.iter().map(|&dose_um| self.lightness_at(dose_um)).collect()
    }

    #[inline(never)] // keeps the page small
    fn lightness_at(&mut self, dose_um: f64) -> f64 {
        light::lightness(self.swatch(dose_um).reflectance)
    }

    /// The tone curve down to its darkest point.
    fn falling(&mut self) -> Falling {
        let curve = self.tone_curve();
        let rate = self.session.rate_um_per_min[0].max(1e-6);
        let mut falling = Falling { dose_um: Vec::new(), lightness: Vec::new() };
        for (minutes, &lightness) in curve.minutes.iter().zip(&curve.lightness) {
            if *minutes > curve.darkest_min {
                break;
            }
            falling.dose_um.push(minutes * rate);
            falling.lightness.push(lightness);
        }
        let darkest_um = curve.darkest_min * rate;
        falling.dose_um.push(darkest_um);
        falling.lightness.push(self.lightness_at(darkest_um));
        falling
    }

    /// Dose that prints this L*: false position within the tone curve's bracket (Illinois rule).
    fn dose_for(&mut self, target: f64, falling: &Falling) -> f64 {
        let Some(below) = falling.lightness.iter().position(|&l| l <= target) else {
            return falling.dose_um.last().copied().unwrap_or(0.0);
        };
        if below == 0 {
            return falling.dose_um[0];
        }
        let (mut a, mut fa) = (falling.dose_um[below - 1], falling.lightness[below - 1] - target);
        let (mut b, mut fb) = (falling.dose_um[below], falling.lightness[below] - target);
        let mut side = 0;
        for _ in 0..TRIALS {
            if fa - fb <= 0.0 {
                break;
            }
            let middle = a + (b - a) * fa / (fa - fb);
            let off = self.lightness_at(middle) - target;
            if off.abs() < FOUND_L {
                return middle;
            }
            if off > 0.0 {
                (a, fa) = (middle, off);
                if side == 1 {
                    fb *= 0.5;
                }
                side = 1;
            } else {
                (b, fb) = (middle, off);
                if side == 2 {
                    fa *= 0.5;
                }
                side = 2;
            }
        }
        if fa < -fb { a } else { b }
    }

    /// Quarter minutes of the next bite after `bites` that come nearest to this dose.
    fn minutes_for(&self, bites: &[Bite], dose_um: f64) -> f64 {
        let (least, most) = plan::BITE_MIN;
        let mut trial = bites.to_vec();
        trial.push(Bite { bite_min: 0.0 });
        let mut dose_after = |quarters: u32| {
            trial[bites.len()].bite_min = f64::from(quarters) / PER_MIN;
            self.doses_after(&trial)[bites.len()]
        };
        let (mut low, mut high) = ((least * PER_MIN) as u32, (most * PER_MIN) as u32);
        // Halving: more minutes are never shallower.
        while low < high {
            let middle = low.midpoint(high);
            if dose_after(middle) < dose_um {
                low = middle + 1;
            } else {
                high = middle;
            }
        }
        let over = dose_after(low) - dose_um;
        let shorter = f64::from(low - 1) / PER_MIN;
        if shorter >= least && dose_um - dose_after(low - 1) < over {
            shorter
        } else {
            f64::from(low) / PER_MIN
        }
    }
}
