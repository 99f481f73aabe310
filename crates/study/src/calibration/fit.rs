//! The fit: constants, how sure they are, and what they print.

use crate::calibration::answer::{CurvePoint, Fit, Fitted, Pair, StepFit};
use crate::calibration::forward::{FITTED, Forward};
use crate::calibration::profile;
use crate::calibration::solve::Problem;
use crate::calibration::student::t_quantile;
use crate::calibration::verdict;
use crate::tolerance::CalibratedLimits;
use nalgebra::{DMatrix, DVector};
use plan::{Diagnostic, Unit, quantity, sentence};
use plate::constants::Constants;
use std::collections::BTreeMap;

/// No reading is better than this, L* (the grain of the patches and the repeatability of a
/// densitometer; common practice, no source).
const LEAST_NOISE_L: f64 = 0.4;
/// What readings of a print usually scatter, L*, and how many readings that knowledge counts for: a few
/// that happen to lie on the curve do not prove that they are that good (common practice, no source).
const USUAL_NOISE_L: f64 = 0.8;
const USUAL_COUNTS: f64 = 3.0;
/// The curve may miss the readings by this much on average; beyond it the plan is not what was bitten, L*.
const MOST_NOISE_L: f64 = 5.0;
/// The noise is found anew from what the fit leaves, this often.
const ROUNDS: usize = 8;
/// Two-sided 95 %.
const SHARE: f64 = 0.975;
/// A deviation of a normal distribution that leaves 2.5 % above it.
const NORMAL: f64 = 1.959_964;
/// Left with more than this share of its usual deviation, a constant has hardly been told.
const HARDLY: f64 = 0.6;
/// A reading this many times farther off than the others is named, if it is off by `ODD_L` at least.
const ODD: f64 = 3.0;
const ODD_L: f64 = 3.0;

/// Four digits are more than any print tells.
fn four_digits(value: f64) -> f64 {
    let scale = libm::pow(10.0, 3.0 - libm::floor(libm::log10(value.abs().max(1e-12))));
    libm::round(value * scale) / scale
}

/// State of a search: where it is, its noise and what the data tell.
struct Found {
    constants: [f64; FITTED],
    noise_l: f64,
    freedom: f64,
    /// Covariance of the constants, in usual deviations.
    covariance: DMatrix<f64>,
    misses: Vec<f64>,
    /// Constants held at an end of their range; where the free ones are, in usual deviations; and where
    /// other searches ended.
    held: [Option<f64>; FITTED],
    off: DVector<f64>,
    others: Vec<DVector<f64>>,
}

/// Fits the constants to the steps that were read.
///
/// # Errors
/// Sentences: why no fit is to be had.
pub fn fit(forward: &Forward, read_l: &[Option<f64>]) -> Result<Fit, Vec<Diagnostic>> {
    let readings: Vec<(usize, f64)> =
        read_l.iter().enumerate().filter_map(|(step, l)| l.map(|l| (step, l))).collect();
    if readings.len() < crate::calibration::readings::FEWEST
        || read_l.len() != forward.minutes.len()
    {
        let message = sentence!(
            "There must be a reading, or a gap, for each of the {} steps, and {} readings at least.",
            forward.minutes.len(),
            crate::calibration::readings::FEWEST
        );
        return Err(vec![Diagnostic::error("readings", "count", message)]);
    }
    let found = search(forward, &readings)?;
    let odd = odd_reading(forward, &readings, &found);
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
    Ok(report(forward, read_l, &readings, &found, odd))
}

fn rms(misses: &[f64]) -> f64 {
    libm::sqrt(misses.iter().map(|m| m * m).sum::<f64>() / misses.len().max(1) as f64)
}

/// The constants nearest to the readings, within their ranges, and the noise the readings show.
fn search(forward: &Forward, readings: &[(usize, f64)]) -> Result<Found, Vec<Diagnostic>> {
    let mut held = [None; FITTED];
    loop {
        let mut noise_l = 1.0;
        let mut problem = Problem { forward, readings, noise_l, held };
        let ends = problem.ends();
        let (mut off, mut settled) =
            ends.first().cloned().unwrap_or_else(|| (DVector::zeros(problem.free().len()), false));
        let mut freedom = 1.0;
        for _ in 0..ROUNDS {
            let misses = problem.misses(problem.constants(&off));
            let told = told_by(&problem.slopes(&off), problem.noise_l);
            // Readings less the constants that they tell: one that they do not tell costs none.
            freedom = (readings.len() as f64 - told).max(1.0) + USUAL_COUNTS;
            let sum: f64 = misses.iter().map(|m| m * m).sum();
            let usual = USUAL_COUNTS * USUAL_NOISE_L * USUAL_NOISE_L;
            noise_l = libm::sqrt((sum + usual) / freedom).max(LEAST_NOISE_L);
            problem.noise_l = noise_l;
            (off, settled) = problem.solve(off);
        }
        if !settled {
            let message = "The search for the constants did not settle: the readings fit no curve of this plan.";
            return Err(vec![
                Diagnostic::error("readings", "fit.unsettled", message)
                    .hint("Look at them and at the minutes again."),
            ]);
        }
        let constants = problem.constants(&off);
        // The farthest outside its range is held at the range's end, and the others are sought again.
        let beyond = |i: usize| {
            let (ln, usual) = (libm::log(constants[i]), forward.usual_ln(i));
            (ln - libm::log(forward.max[i])).max(libm::log(forward.min[i]) - ln) / usual
        };
        let worst = (0..FITTED).filter(|&i| held[i].is_none() && beyond(i) > 1e-9).fold(
            None,
            |best: Option<usize>, i| match best {
                Some(b) if beyond(b) >= beyond(i) => best,
                _ => Some(i),
            },
        );
        if let Some(i) = worst {
            held[i] = Some(constants[i].clamp(forward.min[i], forward.max[i]));
            continue;
        }
        // How sure: as if none were held, at the place found.
        let all = Problem { forward, readings, noise_l, held: [None; FITTED] };
        let at = DVector::from_iterator(
            FITTED,
            (0..FITTED)
                .map(|i| libm::log(constants[i] / forward.in_force[i]) / forward.usual_ln(i)),
        );
        let slopes = all.slopes(&at) / noise_l;
        let known = slopes.transpose() * &slopes + DMatrix::identity(FITTED, FITTED);
        let covariance = known.try_inverse().unwrap_or_else(|| DMatrix::identity(FITTED, FITTED));
        let misses = all.misses(constants);
        let others = ends.iter().skip(1).map(|(end, _)| problem.solve(end.clone()).0).collect();
        return Ok(Found { constants, noise_l, freedom, covariance, misses, held, off, others });
    }
}

/// How many constants the readings tell: the share of each that comes from them and not from its range,
/// summed. The trace of JᵀJ·(JᵀJ + 1)⁻¹.
fn told_by(slopes: &DMatrix<f64>, noise_l: f64) -> f64 {
    let scaled = slopes / noise_l;
    let data = scaled.transpose() * &scaled;
    let count = data.nrows();
    (&data + DMatrix::identity(count, count))
        .try_inverse()
        .map_or(0.0, |inverse| (data * inverse).trace())
}

/// The reading that does not go with the others, if one does not: its number and how far it is off.
fn odd_reading(
    forward: &Forward,
    readings: &[(usize, f64)],
    found: &Found,
) -> Option<(usize, f64)> {
    if readings.len() <= crate::calibration::readings::FEWEST {
        return None;
    }
    let far = (0..readings.len())
        .fold(0, |best, i| if found.misses[i].abs() > found.misses[best].abs() { i } else { best });
    let mut rest = readings.to_vec();
    let (step, read) = rest.remove(far);
    let without = search(forward, &rest).ok()?;
    let off = read - forward.lightness(step, without.constants);
    (off.abs() > ODD_L
        && off.abs() > ODD * without.noise_l
        && without.noise_l < 0.6 * found.noise_l)
        .then_some((step + 1, off))
}

/// Points of the curve, and the change of ln of a constant by which its slopes are taken.
const POINTS: usize = 49;
const STEP_LN: f64 = 1e-3;

/// The curve from the first step to the last. Between steps doses grow with the minutes as a power.
fn curve(forward: &Forward, found: &Found, wide: f64) -> Vec<CurvePoint> {
    let minutes = &forward.minutes;
    let lightness = |at: f64, constants: [f64; FITTED]| {
        let next = minutes.partition_point(|&m| m < at).clamp(1, minutes.len() - 1);
        let ln = |step: usize| libm::log(forward.step_dose(step, constants[0]).max(1e-9));
        let share =
            libm::log(at / minutes[next - 1]) / libm::log(minutes[next] / minutes[next - 1]);
        let dose_um = libm::exp(ln(next - 1) + share * (ln(next) - ln(next - 1)));
        plate::light::lightness(forward.reflectance(dose_um, constants))
    };
    let (first, last) = (minutes[0], minutes[minutes.len() - 1]);
    (0..POINTS)
        .map(|k| {
            let share = k as f64 / (POINTS - 1) as f64;
            let at = first * libm::exp(share * libm::log(last / first));
            let slopes: Vec<f64> = (0..FITTED)
                .map(|i| {
                    let mut more = found.constants;
                    let mut less = found.constants;
                    more[i] *= libm::exp(STEP_LN * forward.usual_ln(i));
                    less[i] *= libm::exp(-STEP_LN * forward.usual_ln(i));
                    (lightness(at, more) - lightness(at, less)) / (2.0 * STEP_LN)
                })
                .collect();
            let slopes = DVector::from_vec(slopes);
            let variance = (slopes.transpose() * &found.covariance * &slopes)[(0, 0)];
            CurvePoint {
                minutes: at,
                printed_l: lightness(at, found.constants),
                good_to_l: wide * libm::sqrt(variance.max(0.0)),
                before_l: lightness(at, forward.in_force),
            }
        })
        .collect()
}

fn report(
    forward: &Forward,
    read_l: &[Option<f64>],
    readings: &[(usize, f64)],
    found: &Found,
    odd: Option<(usize, f64)>,
) -> Fit {
    let t = t_quantile(SHARE, found.freedom);
    let deviation: Vec<f64> =
        (0..FITTED).map(|i| libm::sqrt(found.covariance[(i, i)].max(0.0))).collect();
    let catalogue = Constants::catalogue();
    let held = Problem { forward, readings, noise_l: found.noise_l, held: found.held };
    let (limits, two) = profile::limits(&held, &found.off, &found.others, &deviation, t);
    // Tone is no straight line in the constants: what the tones and bands below take from the Jacobian is
    // widened by as much as the limits have turned out wider.
    let ratios =
        limits.iter().zip(&deviation).map(|(limit, d)| (limit.1 - limit.0) / (2.0 * t * d));
    let bent = (ratios.sum::<f64>() / FITTED as f64).clamp(1.0, 2.0);
    let constants: Vec<Fitted> = forward
        .keys
        .iter()
        .enumerate()
        .map(|(i, &key)| {
            let info = catalogue.iter().find(|info| info.key == key);
            let value = four_digits(found.constants[i]).clamp(forward.min[i], forward.max[i]);
            let of = |off: f64| forward.in_force[i] * libm::exp(off * forward.usual_ln(i));
            Fitted {
                key,
                meaning: info.map_or("", |info| info.meaning),
                unit: info.map_or("", |info| info.unit),
                value,
                low: of(limits[i].0).clamp(forward.min[i], value),
                high: of(limits[i].1).clamp(value, forward.max[i]),
                in_force: forward.in_force[i],
                told: deviation[i] < HARDLY,
                at_end: value <= forward.min[i] * 1.0001 || value >= forward.max[i] * 0.9999,
            }
        })
        .collect();
    let curve = curve(forward, found, bent * t);
    let every: Vec<(usize, f64)> = (0..forward.minutes.len()).map(|step| (step, 0.0)).collect();
    let all = Problem { forward, readings: &every, noise_l: found.noise_l, held: [None; FITTED] };
    let at = DVector::from_iterator(
        FITTED,
        (0..FITTED)
            .map(|i| libm::log(found.constants[i] / forward.in_force[i]) / forward.usual_ln(i)),
    );
    let slopes = all.slopes(&at);
    let steps: Vec<StepFit> = (0..forward.minutes.len())
        .map(|step| {
            let row = slopes.row(step);
            let variance = (row * &found.covariance * row.transpose())[(0, 0)];
            StepFit {
                minutes: forward.minutes[step],
                read_l: read_l[step],
                printed_l: forward.lightness(step, found.constants),
                good_to_l: bent * t * libm::sqrt(variance.max(0.0)),
                before_l: forward.lightness(step, forward.in_force),
            }
        })
        .collect();
    let mut pairs = Vec::new();
    for i in 0..FITTED {
        for j in i + 1..FITTED {
            pairs.push(Pair {
                a: forward.keys[i],
                b: forward.keys[j],
                correlation: found.covariance[(i, j)] / (deviation[i] * deviation[j]).max(1e-12),
            });
        }
    }
    let widest = |read: bool| {
        let of = steps.iter().filter(|step| step.read_l.is_some() == read);
        of.fold(0.0_f64, |most, step| most.max(step.good_to_l))
    };
    let (good_to_l, unread_to_l) = (widest(true), widest(false));
    // Drawn normally, the constants are to lie within their limits in 95 of 100 draws.
    let wider = bent * t / NORMAL;
    let factor = found
        .covariance
        .clone()
        .cholesky()
        .map_or_else(|| DMatrix::zeros(FITTED, FITTED), |c| c.l());
    let ln_factor = (0..FITTED * FITTED)
        .map(|k| wider * factor[(k / FITTED, k % FITTED)] * forward.usual_ln(k / FITTED))
        .collect();
    let mut made = Fit {
        calibration: by_key(&constants),
        limits: CalibratedLimits {
            keys: forward.keys.iter().map(|&key| key.to_owned()).collect(),
            ln_factor,
        },
        constants,
        steps,
        curve,
        noise_l: found.noise_l,
        freedom: found.freedom,
        good_to_l,
        unread_to_l,
        pairs,
        verdict: Vec::new(),
    };
    made.verdict = verdict::sentences(forward, readings, &made, odd, two);
    made
}

/// The constants found, by their keys. One after another: a map made of a whole list brings a sort along.
fn by_key(constants: &[Fitted]) -> BTreeMap<String, f64> {
    let mut found = BTreeMap::new();
    found.extend(constants.iter().map(|one| (one.key.to_owned(), one.value)));
    found
}
