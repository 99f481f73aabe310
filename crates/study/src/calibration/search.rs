//! The search: the constants nearest to what was read, and how sure they are.

use crate::calibration::solve::{Prints, Problem, Sought};
use nalgebra::{DMatrix, DVector};
use plan::Diagnostic;

/// No reading is better than this, L* (the grain of the patches and the repeatability of a
/// densitometer; common practice, no source).
pub(crate) const LEAST_NOISE_L: f64 = 0.4;
/// What readings of a print usually scatter, L*, and how many readings that knowledge counts for: a few
/// that happen to lie on the curve do not prove that they are that good (common practice, no source).
pub(crate) const USUAL_NOISE_L: f64 = 0.8;
pub(crate) const USUAL_COUNTS: f64 = 3.0;
/// The noise is found anew from what the fit leaves, this often.
const ROUNDS: usize = 8;
/// A reading this many times farther off than the others is named, if it is off by `ODD_L` at least.
const ODD: f64 = 3.0;
const ODD_L: f64 = 3.0;

/// The curve may miss the readings by this much on average; beyond it the plan is not what was bitten, L*.
pub(crate) const MOST_NOISE_L: f64 = 5.0;

/// State of a search: where it is, its noise and what the data tell.
pub(crate) struct Found {
    pub(crate) constants: Vec<f64>,
    pub(crate) noise_l: f64,
    pub(crate) freedom: f64,
    /// Covariance of the constants, in usual deviations.
    pub(crate) covariance: DMatrix<f64>,
    pub(crate) misses: Vec<f64>,
    /// Constants held at an end of their range; where the free ones are, in usual deviations; and where
    /// other searches ended.
    pub(crate) held: Vec<Option<f64>>,
    pub(crate) off: DVector<f64>,
    pub(crate) others: Vec<DVector<f64>>,
}

pub(crate) fn rms(misses: &[f64]) -> f64 {
    libm::sqrt(misses.iter().map(|m| m * m).sum::<f64>() / misses.len().max(1) as f64)
}

/// The constants nearest to the readings, within their ranges, and the noise the readings show.
pub(crate) fn search(
    prints: &dyn Prints,
    sought: &[Sought],
    readings: &[(usize, f64)],
) -> Result<Found, Vec<Diagnostic>> {
    let mut held = vec![None; sought.len()];
    loop {
        let mut noise_l = 1.0;
        let mut problem = Problem { prints, sought, readings, noise_l, held: held.clone() };
        let ends = problem.ends();
        let (mut off, mut settled) =
            ends.first().cloned().unwrap_or_else(|| (DVector::zeros(problem.free().len()), false));
        let mut freedom = 1.0;
        for _ in 0..ROUNDS {
            let misses = problem.misses(&problem.constants(&off));
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
        let beyond = |i: usize| sought[i].beyond(constants[i]);
        let worst = (0..sought.len()).filter(|&i| held[i].is_none() && beyond(i) > 1e-9).fold(
            None,
            |best: Option<usize>, i| match best {
                Some(b) if beyond(b) >= beyond(i) => best,
                _ => Some(i),
            },
        );
        if let Some(i) = worst {
            held[i] = Some(constants[i].clamp(sought[i].min, sought[i].max));
            continue;
        }
        // How sure: as if none were held, at the place found.
        let count = sought.len();
        let all = Problem { prints, sought, readings, noise_l, held: vec![None; count] };
        let at = DVector::from_iterator(count, (0..count).map(|i| sought[i].off(constants[i])));
        let slopes = all.slopes(&at) / noise_l;
        let known = slopes.transpose() * &slopes + DMatrix::identity(count, count);
        let covariance = known.try_inverse().unwrap_or_else(|| DMatrix::identity(count, count));
        let misses = all.misses(&constants);
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
pub(crate) fn odd_reading(
    prints: &dyn Prints,
    sought: &[Sought],
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
    let without = search(prints, sought, &rest).ok()?;
    let off = read - prints.lightness(step, &without.constants);
    (off.abs() > ODD_L
        && off.abs() > ODD * without.noise_l
        && without.noise_l < 0.6 * found.noise_l)
        .then_some((step + 1, off))
}
