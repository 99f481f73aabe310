//! How sure a fit is: limits of its constants, what they print, and how they hang together.

use crate::calibration::answer::{Fitted, StepFit};
use crate::calibration::profile;
use crate::calibration::search::Found;
use crate::calibration::solve::{Prints, Problem, Sought};
use crate::calibration::student::t_quantile;
use crate::tolerance::CalibratedLimits;
use nalgebra::{DMatrix, DVector};
use plate::constants::Constants;
use std::collections::BTreeMap;

/// Two-sided 95 %.
const SHARE: f64 = 0.975;
/// A deviation of a normal distribution that leaves 2.5 % above it.
const NORMAL: f64 = 1.959_964;
/// Left with more than this share of its usual deviation, a constant has hardly been told.
const HARDLY: f64 = 0.6;

/// Four digits are more than any print tells.
fn four_digits(value: f64) -> f64 {
    let scale = libm::pow(10.0, 3.0 - libm::floor(libm::log10(value.abs().max(1e-12))));
    libm::round(value * scale) / scale
}

/// The constants that are reported, the first of those that were sought, and how sure they are.
pub(crate) struct Sure {
    pub(crate) constants: Vec<Fitted>,
    /// Deviation of each by the Jacobian, in usual deviations.
    pub(crate) deviation: Vec<f64>,
    /// Half the width of 95 % limits of what the constants print, in deviations.
    pub(crate) wide: f64,
    /// Whether the limits hold two valleys.
    pub(crate) two: bool,
    /// Constants to take into a plan, and their limits for bands.
    pub(crate) calibration: BTreeMap<String, f64>,
    pub(crate) limits: CalibratedLimits,
}

/// How many times more freedom the limits have than the scatter, which is known from few readings. The spread of the last `given` of
/// what is sought is given and no matter of the readings: the freedom of a sum of two variances, one of which is known
/// (B. L. Welch, Biometrika 34, 1947, 28–35), on average over the constants. 1 where nothing is given.
fn surer(covariance: &DMatrix<f64>, count: usize, given: usize) -> f64 {
    let from = covariance.nrows() - given;
    let own = covariance.view((from, from), (given, given)).into_owned();
    let with = covariance.view((0, from), (count, given)).into_owned();
    let Some(inverse) = (given > 0).then(|| own.try_inverse()).flatten() else { return 1.0 };
    let of_given = &with * inverse * with.transpose();
    let share = |i: usize| {
        let whole = covariance[(i, i)];
        whole / (whole - of_given[(i, i)]).max(1e-3 * whole)
    };
    let times = (0..count).map(|i| share(i) * share(i)).sum::<f64>() / count as f64;
    times.clamp(1.0, 100.0)
}

/// How sure the first `count` of the constants sought are; of the last `given` the spread is known beforehand (a camera's).
pub(crate) fn sure(
    prints: &dyn Prints,
    sought: &[Sought],
    readings: &[(usize, f64)],
    found: &Found,
    count: usize,
    given: usize,
) -> Sure {
    let t = t_quantile(SHARE, found.freedom * surer(&found.covariance, count, given));
    let deviation: Vec<f64> =
        (0..count).map(|i| libm::sqrt(found.covariance[(i, i)].max(0.0))).collect();
    let catalogue = Constants::catalogue();
    let held =
        Problem { prints, sought, readings, noise_l: found.noise_l, held: found.held.clone() };
    let (limits, two) = profile::limits(&held, &found.off, &found.others, &deviation, t);
    // Tone is no straight line in the constants: what the tones and bands take from the Jacobian is
    // widened by as much as the limits have turned out wider.
    let ratios =
        limits.iter().zip(&deviation).map(|(limit, d)| (limit.1 - limit.0) / (2.0 * t * d));
    let bent = (ratios.sum::<f64>() / count as f64).clamp(1.0, 2.0);
    let constants: Vec<Fitted> = sought[..count]
        .iter()
        .enumerate()
        .map(|(i, one)| {
            let info = catalogue.iter().find(|info| info.key == one.key);
            let value = four_digits(found.constants[i]).clamp(one.min, one.max);
            Fitted {
                key: one.key,
                meaning: info.map_or("", |info| info.meaning),
                unit: info.map_or("", |info| info.unit),
                value,
                low: one.at(limits[i].0).clamp(one.min, value),
                high: one.at(limits[i].1).clamp(value, one.max),
                in_force: one.in_force,
                told: deviation[i] < HARDLY,
                at_end: value <= one.min * 1.0001 || value >= one.max * 0.9999,
            }
        })
        .collect();
    // Drawn normally, the constants are to lie within their limits in 95 of 100 draws.
    let wider = bent * t / NORMAL;
    let covariance = found.covariance.view((0, 0), (count, count)).into_owned();
    let factor = covariance.cholesky().map_or_else(|| DMatrix::zeros(count, count), |c| c.l());
    let scaled = |k: usize| sought[k / count].scaled(wider * factor[(k / count, k % count)]);
    let ln_factor = (0..count * count).map(scaled).collect();
    // One after another: a map made of a whole list brings a sort along.
    let mut calibration = BTreeMap::new();
    calibration.extend(constants.iter().map(|one| (one.key.to_owned(), one.value)));
    let keys = constants.iter().map(|one| one.key.to_owned()).collect();
    let limits = CalibratedLimits { keys, ln_factor };
    Sure { constants, deviation, wide: bent * t, two, calibration, limits }
}

/// What each step reads, is printed, and how sure that is.
pub(crate) fn steps(
    prints: &dyn Prints,
    sought: &[Sought],
    found: &Found,
    wide: f64,
    read: &[(f64, Option<f64>)],
) -> Vec<StepFit> {
    let every: Vec<(usize, f64)> = (0..read.len()).map(|step| (step, 0.0)).collect();
    let count = sought.len();
    let held = vec![None; count];
    let all = Problem { prints, sought, readings: &every, noise_l: found.noise_l, held };
    let at = DVector::from_iterator(count, (0..count).map(|i| sought[i].off(found.constants[i])));
    let slopes = all.slopes(&at);
    let in_force: Vec<f64> = sought.iter().map(|one| one.in_force).collect();
    read.iter()
        .enumerate()
        .map(|(step, &(minutes, read_l))| {
            let row = slopes.row(step);
            let variance = (row * &found.covariance * row.transpose())[(0, 0)];
            StepFit {
                minutes,
                read_l,
                printed_l: prints.lightness(step, &found.constants),
                good_to_l: wide * libm::sqrt(variance.max(0.0)),
                before_l: prints.lightness(step, &in_force),
            }
        })
        .collect()
}
