//! Least squares: the constants whose print lies nearest to the readings.

use crate::calibration::forward::{FITTED, Forward};
use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::{DMatrix, DVector, Dyn, storage::Owned};

/// Step of the derivatives, in usual deviations of a constant.
const STEP: f64 = 1e-3;
/// Where the search starts: rate of the bite and depth of the wipe, in usual deviations. They decide
/// where the print is darkest, which is where valleys lie beside each other.
const STARTS: [(f64, f64); 6] =
    [(0.0, -1.0), (0.0, 1.0), (-1.2, -1.0), (-1.2, 1.0), (1.2, -1.0), (1.2, 1.0)];

/// Steps read, and what is asked of the constants beside.
#[derive(Clone, Copy)]
pub(crate) struct Problem<'a> {
    pub(crate) forward: &'a Forward,
    /// Step and L* of each reading.
    pub(crate) readings: &'a [(usize, f64)],
    /// Usual error of a reading, L*.
    pub(crate) noise_l: f64,
    /// Constants that are held, and at what.
    pub(crate) held: [Option<f64>; FITTED],
}

impl Forward {
    /// How far ln of a constant is usually off: its plausible range is taken for two deviations to
    /// either side.
    #[must_use]
    pub fn usual_ln(&self, i: usize) -> f64 {
        0.25 * libm::log(self.max[i] / self.min[i])
    }
}

impl Problem<'_> {
    pub(crate) fn free(&self) -> Vec<usize> {
        (0..FITTED).filter(|&i| self.held[i].is_none()).collect()
    }

    /// Constants from usual deviations off the values in force.
    pub(crate) fn constants(&self, off: &DVector<f64>) -> [f64; FITTED] {
        let mut all = self.forward.in_force;
        for (i, held) in self.held.iter().enumerate() {
            all[i] = held.unwrap_or(all[i]);
        }
        for (place, i) in self.free().into_iter().enumerate() {
            all[i] = self.constant_of(i, off[place]);
        }
        all
    }

    /// A constant so many usual deviations off its value in force, and back.
    pub(crate) fn constant_of(&self, i: usize, off: f64) -> f64 {
        self.forward.in_force[i] * libm::exp(off * self.forward.usual_ln(i))
    }

    pub(crate) fn off_of(&self, i: usize, constant: f64) -> f64 {
        libm::log(constant / self.forward.in_force[i]) / self.forward.usual_ln(i)
    }

    /// How the reading of each step changes with each free constant, L* per usual deviation.
    pub(crate) fn slopes(&self, off: &DVector<f64>) -> DMatrix<f64> {
        let mut slopes = DMatrix::zeros(self.readings.len(), off.len());
        for column in 0..off.len() {
            let (mut less, mut more) = (off.clone(), off.clone());
            less[column] -= STEP;
            more[column] += STEP;
            let (less, more) = (self.constants(&less), self.constants(&more));
            for (row, &(step, _)) in self.readings.iter().enumerate() {
                slopes[(row, column)] = (self.forward.lightness(step, more)
                    - self.forward.lightness(step, less))
                    / (2.0 * STEP);
            }
        }
        slopes
    }

    /// Printed less read, L*.
    pub(crate) fn misses(&self, constants: [f64; FITTED]) -> Vec<f64> {
        self.readings.iter().map(|&(step, l)| self.forward.lightness(step, constants) - l).collect()
    }
}

/// The problem with the place it has come to, as the library wants it. Beside the readings every free
/// constant is asked to lie near its value in force: a weak pull, a whole deviation being the half of
/// its plausible range.
struct Search<'a> {
    problem: &'a Problem<'a>,
    off: DVector<f64>,
}

impl LeastSquaresProblem<f64, Dyn, Dyn> for Search<'_> {
    type ParameterStorage = Owned<f64, Dyn>;
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;

    fn set_params(&mut self, off: &DVector<f64>) {
        self.off.copy_from(off);
    }

    fn params(&self) -> DVector<f64> {
        self.off.clone()
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        let constants = self.problem.constants(&self.off);
        let misses = self.problem.misses(constants);
        let noise = self.problem.noise_l;
        let all = misses.into_iter().map(|miss| miss / noise).chain(self.off.iter().copied());
        Some(DVector::from_iterator(self.problem.readings.len() + self.off.len(), all))
    }

    fn jacobian(&self) -> Option<DMatrix<f64>> {
        let rows = self.problem.readings.len();
        let slopes = self.problem.slopes(&self.off) / self.problem.noise_l;
        let mut all = DMatrix::zeros(rows + self.off.len(), self.off.len());
        all.view_mut((0, 0), slopes.shape()).copy_from(&slopes);
        for i in 0..self.off.len() {
            all[(rows + i, i)] = 1.0;
        }
        Some(all)
    }
}

impl Problem<'_> {
    /// What the search makes least: misses in units of the noise and deviations of the free constants,
    /// squared and summed.
    pub(crate) fn cost(&self, off: &DVector<f64>) -> f64 {
        let misses = self.misses(self.constants(off));
        misses.iter().map(|m| m * m).sum::<f64>() / (self.noise_l * self.noise_l)
            + off.norm_squared()
    }

    /// Where the search ends from here, in usual deviations off the values in force, and whether it
    /// has settled.
    pub(crate) fn solve(&self, from: DVector<f64>) -> (DVector<f64>, bool) {
        if from.is_empty() {
            return (from, true);
        }
        let search = Search { problem: self, off: from };
        let (end, report) = LevenbergMarquardt::new().with_patience(40).minimize(search);
        (end.off, report.termination.was_successful())
    }

    /// The ends of the search from all its starts, the lowest first; with whether it settled there.
    pub(crate) fn ends(&self) -> Vec<(DVector<f64>, bool)> {
        let free = self.free();
        let mut all: Vec<(DVector<f64>, bool)> = Vec::with_capacity(STARTS.len());
        for &(rate, overlap) in &STARTS {
            let start = [rate, 0.0, 0.0, overlap];
            let end =
                self.solve(DVector::from_iterator(free.len(), free.iter().map(|&i| start[i])));
            let cost = self.cost(&end.0);
            let place = all.iter().position(|(other, _)| self.cost(other).total_cmp(&cost).is_gt());
            all.insert(place.unwrap_or(all.len()), end);
        }
        all
    }
}
