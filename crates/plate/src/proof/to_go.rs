//! The bites that remain when some have already run, and not quite as planned.

use super::backwards::MET_L;
use super::{Plate, Rounding};
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
        let mut kept = bitten_min[..done].to_vec();
        kept.extend(self.plan.bites[done..].iter().map(|bite| bite.bite_min));

        let wished = target_l.len().min(count);
        let darkening = self.darkening();
        let (darkest_um, _) = darkening.darkest();
        let doses_um: Vec<f64> = target_l[..wished]
            .iter()
            .map(|&l| darkening.dose_for(l).unwrap_or(darkest_um))
            .collect();
        let mut minutes = self.minutes_to(&doses_um, &bitten_min[..done], Some(Rounding::Quarters));
        minutes.extend_from_slice(&kept[minutes.len()..]);

        let lightness = self.lightness_after(&minutes);
        let outcome = (done..count)
            .map(|i| match target_l.get(i) {
                Some(&target) if lightness[i] > target + MET_L => "lighter",
                Some(&target) if lightness[i] < target - MET_L => "darker",
                _ => "met",
            })
            .collect();
        ToGo {
            bite_min: minutes[done..].to_vec(),
            outcome,
            kept_lightness: self.lightness_after(&kept),
            lightness,
        }
    }

    fn lightness_after(&mut self, bite_min: &[f64]) -> Vec<f64> {
        let (doses_um, _) = self.doses_after(bite_min);
        doses_um.iter().map(|&dose_um| self.lightness_at(dose_um)).collect()
    }
}
