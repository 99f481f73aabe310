//! Remaining bites when some have already run, and not quite as planned.

use crate::timing::{Rounding, doses_after, minutes_to};
use crate::tone_response::{MET_L, tone_response};
use plate::{Plate, Renderer, View};
use serde::Serialize;

/// How far a session has gone, and what is wanted of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SoFar<'a> {
    /// Minutes for which the first bites have run, any fraction of one.
    pub bitten_min: &'a [f64],
    /// L* that each value should print, value 1 first; the plan's own minutes stand where an entry is
    /// missing.
    pub target_l: &'a [f64],
}

/// What the bites that remain should be.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RemainingBites {
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

/// Minutes for the bites that remain, so that each later value prints its target.
///
/// Bites go on to tire the bath as they really ran. A value darker than this ground can print
/// gets the minutes of the darkest it can; one that is already too dark gets the shortest bite.
#[must_use]
pub fn remaining_bites(
    plate: &Plate,
    renderer: &mut Renderer,
    so_far: &SoFar<'_>,
) -> RemainingBites {
    let SoFar { bitten_min, target_l } = *so_far;
    let count = plate.plan().bites.len();
    let done = bitten_min.len().min(count);
    let mut kept = bitten_min[..done].to_vec();
    kept.extend(plate.plan().bites[done..].iter().map(|bite| bite.bite_min));

    let wished = target_l.len().min(count);
    let response = tone_response(plate, renderer);
    let (darkest_um, _) = response.darkest();
    let doses_um: Vec<f64> =
        target_l[..wished].iter().map(|&l| response.dose_for(l).unwrap_or(darkest_um)).collect();
    let mut minutes = minutes_to(plate, &doses_um, &bitten_min[..done], Some(Rounding::Quarters));
    minutes.extend_from_slice(&kept[minutes.len()..]);

    let lightness = lightness_after(plate, renderer, &minutes);
    let outcome = (done..count)
        .map(|i| match target_l.get(i) {
            Some(&target) if lightness[i] > target + MET_L => "lighter",
            Some(&target) if lightness[i] < target - MET_L => "darker",
            _ => "met",
        })
        .collect();
    RemainingBites {
        bite_min: minutes[done..].to_vec(),
        outcome,
        kept_lightness: lightness_after(plate, renderer, &kept),
        lightness,
    }
}

fn lightness_after(plate: &Plate, renderer: &mut Renderer, bite_min: &[f64]) -> Vec<f64> {
    let (doses_um, _) = doses_after(plate, bite_min);
    let view = View::first();
    let mut looking = renderer.look(plate, &view);
    doses_um.iter().map(|&dose_um| looking.lightness_at(dose_um)).collect()
}
