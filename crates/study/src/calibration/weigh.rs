//! How well a set of assumptions explains the readings, whatever its constants: the marginal likelihood.
//!
//! All that is sought is integrated out by Laplace's approximation round the best fit, so that an assumption with more to
//! adjust pays for it (D. J. C. MacKay, Bayesian interpolation, Neural Computation 4, 1992, 415–447; R. E. Kass & A. E. Raftery, Bayes
//! factors, Journal of the American Statistical Association 90, 1995, 773–795). How much readings scatter is not known either: it is
//! summed over, with the knowledge that the fit has of it (`search`).

use crate::calibration::search::{LEAST_NOISE_L, USUAL_COUNTS, USUAL_NOISE_L};
use crate::calibration::solve::{Prints, Problem, Sought};
use nalgebra::{DMatrix, DVector};

/// Scatters that are summed over: from the least, each so many times the one before.
const SCATTERS: usize = 7;
const TIMES: f64 = 1.5;
/// The scatter at which starts are compared, L*.
const FIRST_L: f64 = 1.0;
/// What looks worse than another set by this, at its first look, is left at that: as ln, a thousandth and what a closer look may gain.
const HOPELESS: f64 = 11.0;

/// How a set of assumptions does.
#[derive(Clone, Debug)]
pub(crate) struct Weighed {
    /// ln of the marginal likelihood, less what is the same for every set.
    pub(crate) ln: f64,
    /// The best place, in usual deviations, and the values there.
    pub(crate) off: DVector<f64>,
    pub(crate) values: Vec<f64>,
    /// Covariance round it, in usual deviations, over all scatters by their likelihood.
    pub(crate) covariance: DMatrix<f64>,
}

/// ln of how likely a scatter is beforehand, and of the normal distribution's own factor: a scaled inverse chi-square of the usual
/// scatter, as so many readings would tell it; less what that is for readings of the usual scatter.
fn ln_scatter(noise_l: f64, usual_l: f64, readings: usize) -> f64 {
    let usual = usual_l / noise_l;
    let rough = if usual_l == USUAL_NOISE_L {
        0.0
    } else {
        USUAL_COUNTS * libm::log(usual_l / USUAL_NOISE_L)
    };
    rough
        - (readings as f64 + USUAL_COUNTS) * libm::log(noise_l)
        - 0.5 * USUAL_COUNTS * usual * usual
}

fn scatter(k: usize) -> f64 {
    LEAST_NOISE_L * libm::pow(TIMES, k as f64)
}

/// Weighs what is sought by the readings, beginning from these places. `best_ln` is that of the best set so far.
pub(crate) fn weigh(
    prints: &dyn Prints,
    sought: &[Sought],
    readings: &[(usize, f64)],
    starts: &[DVector<f64>],
    best_ln: f64,
) -> Weighed {
    weigh_scattered(prints, sought, readings, starts, best_ln, USUAL_NOISE_L)
}

/// The same for readings that usually scatter by so much, L*.
pub(crate) fn weigh_scattered(
    prints: &dyn Prints,
    sought: &[Sought],
    readings: &[(usize, f64)],
    starts: &[DVector<f64>],
    best_ln: f64,
    usual_l: f64,
) -> Weighed {
    let scatters = if usual_l > USUAL_NOISE_L { SCATTERS + 3 } else { SCATTERS };
    let held = vec![None; sought.len()];
    let problem = |noise_l| Problem { prints, sought, readings, noise_l, held: held.clone() };
    let first = problem(FIRST_L);
    let mut off = DVector::zeros(sought.len());
    let mut least = f64::INFINITY;
    for start in starts {
        let end = first.solve_roughly(start.clone());
        let cost = first.cost(&end);
        if cost < least {
            (off, least) = (end, cost);
        }
    }
    let misses = first.misses(&first.constants(&off));
    let squares: f64 = misses.iter().map(|miss| miss * miss).sum();
    let glance = (0..scatters)
        .map(|k| {
            ln_scatter(scatter(k), usual_l, readings.len())
                - 0.5 * squares / (scatter(k) * scatter(k))
        })
        .fold(f64::NEG_INFINITY, f64::max)
        - 0.5 * off.norm_squared();
    if glance < best_ln - HOPELESS {
        let values = first.constants(&off);
        let covariance = DMatrix::identity(sought.len(), sought.len());
        return Weighed { ln: glance, off, values, covariance };
    }
    // From the widest scatter, whose valley is the smoothest, to the narrowest.
    let mut lns = Vec::with_capacity(scatters);
    let mut best = (f64::NEG_INFINITY, off.clone());
    let mut found = Vec::with_capacity(scatters);
    for k in (0..scatters).rev() {
        let noise_l = scatter(k);
        let problem = problem(noise_l);
        off = problem.solve_roughly(off);
        let slopes = problem.slopes(&off) / noise_l;
        let known = slopes.transpose() * &slopes + DMatrix::identity(sought.len(), sought.len());
        let own = known.clone().try_inverse();
        let ln_volume = known.cholesky().map_or(0.0, |root| {
            let diagonal = root.l().diagonal();
            diagonal.iter().map(|side| libm::log(*side)).sum()
        });
        let ln =
            ln_scatter(noise_l, usual_l, readings.len()) - 0.5 * problem.cost(&off) - ln_volume;
        if ln > best.0 {
            best = (ln, off.clone());
        }
        lns.push(ln);
        found.push((off.clone(), own));
    }
    let sum: f64 = lns.iter().map(|ln| libm::exp(ln - best.0)).sum();
    let values = first.constants(&best.1);
    // Each scatter has its own place and spread: the spread over all.
    let mut covariance = DMatrix::zeros(sought.len(), sought.len());
    for (ln, (off, own)) in lns.iter().zip(found) {
        let share = libm::exp(ln - best.0) / sum;
        let moved = &off - &best.1;
        let own = own.unwrap_or_else(|| DMatrix::identity(off.len(), off.len()));
        covariance += share * (own + &moved * moved.transpose());
    }
    Weighed { ln: best.0 + libm::log(sum), off: best.1, values, covariance }
}
