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
const SCATTERS: usize = 9;
const TIMES: f64 = 1.4;
/// The scatter at which starts are compared, L*.
const FIRST_L: f64 = 1.0;

/// How a set of assumptions does.
#[derive(Clone, Debug)]
pub(crate) struct Weighed {
    /// ln of the marginal likelihood, less what is the same for every set.
    pub(crate) ln: f64,
    /// The best place, in usual deviations, and the values there.
    pub(crate) off: DVector<f64>,
    pub(crate) values: Vec<f64>,
}

/// Weighs what is sought by the readings, beginning from these places.
pub(crate) fn weigh(
    prints: &dyn Prints,
    sought: &[Sought],
    readings: &[(usize, f64)],
    starts: &[DVector<f64>],
) -> Weighed {
    let held = vec![None; sought.len()];
    let problem = |noise_l| Problem { prints, sought, readings, noise_l, held: held.clone() };
    let first = problem(FIRST_L);
    let mut off = DVector::zeros(sought.len());
    let mut least = f64::INFINITY;
    for start in starts {
        let end = first.solve(start.clone()).0;
        let cost = first.cost(&end);
        if cost < least {
            (off, least) = (end, cost);
        }
    }
    // From the widest scatter, whose valley is the smoothest, to the narrowest.
    let mut lns = Vec::with_capacity(SCATTERS);
    let mut best = (f64::NEG_INFINITY, off.clone());
    for k in (0..SCATTERS).rev() {
        let noise_l = LEAST_NOISE_L * libm::pow(TIMES, k as f64);
        let problem = problem(noise_l);
        off = problem.solve(off).0;
        let slopes = problem.slopes(&off) / noise_l;
        let known = slopes.transpose() * &slopes + DMatrix::identity(sought.len(), sought.len());
        let ln_volume = known.cholesky().map_or(0.0, |root| {
            let diagonal = root.l().diagonal();
            diagonal.iter().map(|side| libm::log(*side)).sum()
        });
        let ln = -0.5 * problem.cost(&off) - ln_volume
            - readings.len() as f64 * libm::log(noise_l)
            // A scaled inverse chi-square of the usual scatter, as so many readings would tell it.
            - USUAL_COUNTS * libm::log(noise_l)
            - 0.5 * USUAL_COUNTS * (USUAL_NOISE_L / noise_l) * (USUAL_NOISE_L / noise_l);
        if ln > best.0 {
            best = (ln, off.clone());
        }
        lns.push(ln);
    }
    let sum: f64 = lns.iter().map(|ln| libm::exp(ln - best.0)).sum();
    let values = first.constants(&best.1);
    Weighed { ln: best.0 + libm::log(sum), off: best.1, values }
}
