//! The step plate: its patches and its minutes.

use crate::timing::{Rounding, minutes_alone};
use crate::tone_response::tone_response;
use plan::{Bite, Diagnostic, Plan, Sentence, sentence};
use plate::chain::OneValue;
use plate::{Job, Plate, Refused, Renderer, View};
use serde::Serialize;
use std::sync::Arc;

/// Fewest and most steps.
pub const STEPS: (usize, usize) = (6, 10);
/// A patch: wide enough for a densitometer's head, long enough for many grains, mm.
const PATCH_MM: (f64, f64) = (12.0, 24.0);
/// Stopped-out copper between patches, and round them, mm.
const GAP_MM: f64 = 4.0;
const BORDER_MM: f64 = 8.0;
/// The palest step is this much darker than the paper, L*.
const PALEST_L: f64 = 8.0;
/// The last step lies so many times longer than the darkest, so that breaking down is seen.
const PAST_DARKEST: f64 = 1.5;
/// Longest session, min.
const LONGEST_MIN: f64 = 120.0;

/// One patch, in places on the print.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Patch {
    /// Left edge, mm from the plate's left edge on the print.
    pub left_mm: f64,
    /// Top edge, mm from the plate's top edge.
    pub top_mm: f64,
    /// Width, mm.
    pub width_mm: f64,
    /// Height, mm.
    pub height_mm: f64,
}

/// Where the patches lie on the print, palest first from the left.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Layout {
    /// Width of the plate, mm.
    pub width_mm: f64,
    /// Height of the plate, mm.
    pub height_mm: f64,
    /// The patches.
    pub patches: Vec<Patch>,
}

/// A step plate: patches, minutes, and what they are expected to print.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct StepPlate {
    /// Patches and size.
    pub layout: Layout,
    /// Minutes of each bite; the step before it is stopped out first.
    pub bite_min: Vec<f64>,
    /// Minutes of each step in all.
    pub minutes: Vec<f64>,
    /// L* that each step prints with the constants in force.
    pub expected_l: Vec<f64>,
}

/// Patches for so many steps, in one row.
#[must_use]
pub fn layout(steps: usize) -> Layout {
    let (width_mm, height_mm) = PATCH_MM;
    let patches: Vec<Patch> = (0..steps)
        .map(|i| Patch {
            left_mm: BORDER_MM + i as f64 * (width_mm + GAP_MM),
            top_mm: BORDER_MM,
            width_mm,
            height_mm,
        })
        .collect();
    Layout {
        width_mm: 2.0 * BORDER_MM + steps as f64 * (width_mm + GAP_MM) - GAP_MM,
        height_mm: 2.0 * BORDER_MM + height_mm,
        patches,
    }
}

/// What of the minutes no bite lasts.
fn minutes_sound(bite_min: &[f64]) -> Result<(), Refused> {
    let (least, most) = plan::BITE_MIN;
    match bite_min.iter().position(|m| !(*m >= least && *m <= most)) {
        None => Ok(()),
        Some(i) => {
            let message = sentence!("Bite {} must last {} to {} minutes.", i + 1, least, most);
            Err(vec![Diagnostic::error("bites", "out_of_range", message)])
        }
    }
}

/// The plan's ground, bath and ink on a step plate with these bites.
///
/// # Errors
/// As [`Plate::of`], and one sentence when there are too few or too many bites.
pub fn step_plate(plan: &Plan, bite_min: &[f64]) -> Result<Plate, Refused> {
    let count = bite_min.len();
    let refuse = |code, message: Sentence| vec![Diagnostic::error("bites", code, message)];
    if !(STEPS.0..=STEPS.1).contains(&count) {
        let (least, most) = STEPS;
        let message = sentence!("A step plate has {} to {} steps, not {}.", least, most, count);
        return Err(refuse("count", message));
    }
    minutes_sound(bite_min)?;
    let place = layout(count);
    let mut small = plan.clone();
    small.plate.width_mm = place.width_mm;
    small.plate.height_mm = place.height_mm;
    small.bites = bite_min.iter().map(|&bite_min| Bite { bite_min }).collect();
    small.picture.thresholds_l = (1..=count).map(|k| 100.0 - 9.0 * k as f64).collect();
    let patch = PATCH_MM.0 * PATCH_MM.1 / (place.width_mm * place.height_mm);
    let mut shares = vec![patch; count + 1];
    shares[0] = 1.0 - patch * count as f64;
    let areas = OneValue::new(0, &shares, count)
        .ok_or_else(|| refuse("too_many", "The steps do not fit on the plate.".into()))?;
    // Whatever is done to the copper after its first proof is no part of it.
    small.states.clear();
    Plate::of(&Job::new(small, Arc::new(areas)))
}

/// The plate of a plan whose first proof is read instead of a step plate: each value of the plan is a step. `shares` of the plate per
/// value, paper first, are those of its picture, as the bath feels them.
///
/// # Errors
/// As [`Plate::of`], and one sentence when bites and shares do not agree.
pub fn proof_plate(plan: &Plan, bite_min: &[f64], shares: &[f64]) -> Result<Plate, Refused> {
    let refuse = |message: &'static str| Err(vec![Diagnostic::error("bites", "count", message)]);
    if bite_min.len() != plan.bites.len() {
        return refuse("There must be minutes for each value of the plan.");
    }
    minutes_sound(bite_min)?;
    let Some(areas) = OneValue::new(0, shares, bite_min.len()) else {
        return refuse("There must be a share of the plate for the paper and every value.");
    };
    let mut bitten = plan.clone();
    bitten.bites = bite_min.iter().map(|&bite_min| Bite { bite_min }).collect();
    // What was done to the copper after its first proof is no part of it; lines lie beside the values.
    bitten.states.clear();
    bitten.lines = None;
    bitten.areas.clear();
    Plate::of(&Job::new(bitten, Arc::new(areas)))
}

/// The plan without an earlier step plate's findings, so that a new one does not lean on them.
#[must_use]
pub fn unfitted(plan: &Plan) -> Plan {
    let mut plain = plan.clone();
    plain.calibration.retain(|key, _| !crate::calibration::forward::TOLD.contains(&key.as_str()));
    plain
}

/// A step plate for a plan: from a pale grey to past the darkest that its ground can print, each step
/// about the same number of times longer than the one before.
///
/// # Errors
/// Field and sentence: a wrong number of steps, a bath that does not bite, or as [`Plate::of`].
pub fn design(plan: &Plan, steps: usize) -> Result<StepPlate, Refused> {
    let mut renderer = Renderer::default();
    let plate = step_plate(plan, &vec![1.0; steps])?;
    let response = tone_response(&plate, &mut renderer);
    let palest_l = response.paper_l() - PALEST_L;
    let palest_um = response.dose_for(palest_l).unwrap_or(response.darkest().0);
    let first = minutes_alone(&plate, palest_um);
    let last = PAST_DARKEST * minutes_alone(&plate, response.darkest().0);
    if !(first.is_finite() && first < 0.25 * LONGEST_MIN) {
        let message =
            "This bath bites too slowly for a step plate: it is too spent, too cold or too weak.";
        return Err(vec![
            Diagnostic::error("bath", "bath.too_slow", message)
                .hint("Mix a fresh one, or warm it."),
        ]);
    }
    let last = if last.is_finite() { last.min(LONGEST_MIN) } else { LONGEST_MIN };
    let first = first.max(plan::BITE_MIN.0);
    let last = last.max(first * 4.0);
    let growth = libm::log(last / first) / (steps - 1) as f64;
    let mut minutes: Vec<f64> = Vec::with_capacity(steps);
    let bite_min: Vec<f64> = (0..steps)
        .map(|k| {
            let before = minutes.last().copied().unwrap_or(0.0);
            let own = Rounding::ByHand.round(first * libm::exp(growth * k as f64) - before);
            minutes.push(before + own);
            own
        })
        .collect();
    let plate = step_plate(plan, &bite_min)?;
    let values = renderer.look(&plate, &View::default()).values();
    let expected_l = values.iter().skip(1).map(|value| value.lightness).collect();
    Ok(StepPlate { layout: layout(steps), bite_min, minutes, expected_l })
}
