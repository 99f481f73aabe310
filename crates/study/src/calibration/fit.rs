//! The fit: constants, how sure they are, and what they print.

use crate::calibration::answer::{CurvePoint, Fit, Pair};
use crate::calibration::forward::{FITTED, Forward};
use crate::calibration::model::{Model, Printed};
use crate::calibration::search::{Found, MOST_NOISE_L, odd_reading, rms, search};
use crate::calibration::solve::Sought;
use crate::calibration::sure::{steps, sure};
use crate::calibration::verdict;
use nalgebra::DVector;
use plan::{Diagnostic, Unit, quantity, sentence};

/// Fits the constants to the steps that were read.
///
/// # Errors
/// Sentences: why no fit is to be had.
pub fn fit(forward: &Forward, read_l: &[Option<f64>]) -> Result<Fit, Vec<Diagnostic>> {
    fit_model(&Model::planned(forward), read_l, true)
}

/// The same with what may be otherwise; `name_odd` has a reading named that does not go with the others.
pub(crate) fn fit_model(
    model: &Model<'_>,
    read_l: &[Option<f64>],
    name_odd: bool,
) -> Result<Fit, Vec<Diagnostic>> {
    let readings: Vec<(usize, f64)> =
        read_l.iter().enumerate().filter_map(|(step, l)| l.map(|l| (step, l))).collect();
    if readings.len() < crate::calibration::readings::FEWEST
        || read_l.len() != model.forward.minutes.len()
    {
        let message = sentence!(
            "There must be a reading, or a gap, for each of the {} steps, and {} readings at least.",
            model.forward.minutes.len(),
            crate::calibration::readings::FEWEST
        );
        return Err(vec![Diagnostic::error("readings", "count", message)]);
    }
    let sought = model.sought();
    let found = search(model, &sought, &readings)?;
    let odd = if name_odd { odd_reading(model, &sought, &readings, &found) } else { None };
    let miss = rms(&found.misses);
    if miss > MOST_NOISE_L {
        let message = sentence!(
            "With no constants in their plausible range does this plan print such steps: the nearest curve misses by {} on average.",
            quantity(miss, Unit::Lightness, 0)
        );
        let mut words = vec![Diagnostic::error("readings", "fit.no_such_plate", message).hint(
            "Are the minutes, the dust and bake, the bath and the wipe in the plan those of this plate?",
        )];
        words.extend(odd.map(|(step, off)| verdict::odd(step, off)));
        return Err(words);
    }
    Ok(report(model, &sought, read_l, &readings, &found, odd))
}

/// Points of the curve, and the change of ln of a constant by which its slopes are taken.
const POINTS: usize = 49;
const STEP_LN: f64 = 1e-3;

/// The curve from the first step to the last. Between steps doses grow with the minutes as a power.
fn curve(model: &Model<'_>, sought: &[Sought], found: &Found, wide: f64) -> Vec<CurvePoint> {
    let constants = &found.constants;
    let minutes: Vec<f64> =
        (0..model.forward.minutes.len()).map(|step| model.minutes(step, constants)).collect();
    let in_force: Vec<f64> = sought.iter().map(|one| one.in_force).collect();
    let (first, last) = (minutes[0], minutes[minutes.len() - 1]);
    (0..POINTS)
        .map(|k| {
            let share = k as f64 / (POINTS - 1) as f64;
            let at = first * libm::exp(share * libm::log(last / first));
            let next = minutes.partition_point(|&m| m < at).clamp(1, minutes.len() - 1);
            let share =
                libm::log(at / minutes[next - 1]) / libm::log(minutes[next] / minutes[next - 1]);
            let lightness = |constants: &[f64]| model.between_l(next, share, constants);
            let slopes = sought.iter().enumerate().map(|(i, one)| {
                let (mut more, mut less) = (constants.clone(), constants.clone());
                let off = one.off(constants[i]);
                more[i] = one.at(off + STEP_LN);
                less[i] = one.at(off - STEP_LN);
                (lightness(&more) - lightness(&less)) / (2.0 * STEP_LN)
            });
            let slopes = DVector::from_iterator(sought.len(), slopes);
            let variance = (slopes.transpose() * &found.covariance * &slopes)[(0, 0)];
            CurvePoint {
                minutes: at,
                printed_l: lightness(constants),
                good_to_l: wide * libm::sqrt(variance.max(0.0)),
                before_l: lightness(&in_force),
            }
        })
        .collect()
}

fn report(
    model: &Model<'_>,
    sought: &[Sought],
    read_l: &[Option<f64>],
    readings: &[(usize, f64)],
    found: &Found,
    odd: Option<(usize, f64)>,
) -> Fit {
    let forward = model.forward;
    let sure =
        sure(model, sought, readings, found, FITTED, model.of_camera(&found.constants).len());
    let curve = curve(model, sought, found, sure.wide);
    // What the print is, not what a camera makes of it.
    let as_printed = |(step, read): (usize, &Option<f64>)| {
        let minutes = model.minutes(step, &found.constants);
        (minutes, read.map(|l| model.read_as(l, &found.constants)))
    };
    let read: Vec<(f64, Option<f64>)> = read_l.iter().enumerate().map(as_printed).collect();
    let steps = steps(&Printed(model), sought, found, sure.wide, &read);
    let mut pairs = Vec::new();
    for i in 0..FITTED {
        for j in i + 1..FITTED {
            let deviations = sure.deviation[i] * sure.deviation[j];
            pairs.push(Pair {
                a: forward.keys[i],
                b: forward.keys[j],
                correlation: found.covariance[(i, j)] / deviations.max(1e-12),
            });
        }
    }
    let widest = |read: bool| {
        let of = steps.iter().filter(|step| step.read_l.is_some() == read);
        of.fold(0.0_f64, |most, step| most.max(step.good_to_l))
    };
    let (good_to_l, unread_to_l) = (widest(true), widest(false));
    let mut made = Fit {
        calibration: sure.calibration,
        limits: sure.limits,
        constants: sure.constants,
        steps,
        curve,
        noise_l: found.noise_l,
        freedom: found.freedom,
        good_to_l,
        unread_to_l,
        pairs,
        verdict: Vec::new(),
    };
    made.verdict = verdict::sentences(forward, readings, &made, odd, sure.two);
    made.verdict.extend(verdict::taken(model, sought, found, sure.wide));
    made
}
