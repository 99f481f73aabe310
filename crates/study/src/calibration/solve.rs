//! Least squares: the constants whose print lies nearest to the readings.

use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::{DMatrix, DVector, Dyn, storage::Owned};

/// Step of the derivatives, in usual deviations of a constant.
const STEP: f64 = 1e-3;
/// Where a rough search ends: change of the cost and of the place, relative.
const ROUGH: f64 = 1e-5;
/// Where the search starts: rate of the bite and depth of the wipe, in usual deviations. They decide
/// where the print is darkest, which is where valleys lie beside each other.
const STARTS: [(f64, f64); 6] =
    [(0.0, -1.0), (0.0, 1.0), (-1.2, -1.0), (-1.2, 1.0), (1.2, -1.0), (1.2, 1.0)];
/// Places of the two among the constants that are sought.
const RATE: usize = 0;
const OVERLAP: usize = 3;

/// Steps that print otherwise with other constants.
pub(crate) trait Prints {
    /// L* that a step prints with these constants.
    fn lightness(&self, step: usize, constants: &[f64]) -> f64;
}

/// A constant that is sought.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Sought {
    pub(crate) key: &'static str,
    pub(crate) in_force: f64,
    pub(crate) min: f64,
    pub(crate) max: f64,
    /// How far it is usually off: its plausible range is taken for two deviations to either side.
    usual: f64,
    /// Whether it is off by so much, rather than by so many times: a range that begins at 0 has no ratios.
    even: bool,
}

impl Sought {
    pub(crate) fn new(key: &'static str, in_force: f64, (min, max): (f64, f64)) -> Self {
        let even = min <= 0.0;
        let usual = 0.25 * if even { max - min } else { libm::log(max / min) };
        Self { key, in_force, min, max, usual, even }
    }

    /// Something that is usually off by so much.
    pub(crate) fn even(
        key: &'static str,
        in_force: f64,
        usual: f64,
        (min, max): (f64, f64),
    ) -> Self {
        Self { key, in_force, min, max, usual, even: true }
    }

    /// Something that is usually off by so many times, as ln.
    pub(crate) fn times(
        key: &'static str,
        in_force: f64,
        usual: f64,
        (min, max): (f64, f64),
    ) -> Self {
        Self { key, in_force, min, max, usual, even: false }
    }

    /// Its value so many usual deviations off the one in force.
    pub(crate) fn at(&self, off: f64) -> f64 {
        if self.even {
            self.in_force + off * self.usual
        } else {
            self.in_force * libm::exp(off * self.usual)
        }
    }

    /// How many usual deviations a value is off the one in force.
    pub(crate) fn off(&self, value: f64) -> f64 {
        if self.even {
            (value - self.in_force) / self.usual
        } else {
            libm::log(value / self.in_force) / self.usual
        }
    }

    /// How many usual deviations a value lies outside the range; below 0 inside.
    pub(crate) fn beyond(&self, value: f64) -> f64 {
        if self.even {
            (value - self.max).max(self.min - value) / self.usual
        } else {
            let ln = libm::log(value);
            (ln - libm::log(self.max)).max(libm::log(self.min) - ln) / self.usual
        }
    }

    /// What `CalibratedLimits` want to know of so many usual deviations: off by ln, or by as much.
    pub(crate) fn scaled(&self, off: f64) -> f64 {
        off * self.usual
    }
}

/// Steps read, and what is asked of the constants beside.
#[derive(Clone)]
pub(crate) struct Problem<'a> {
    pub(crate) prints: &'a dyn Prints,
    pub(crate) sought: &'a [Sought],
    /// Step and L* of each reading.
    pub(crate) readings: &'a [(usize, f64)],
    /// Usual error of a reading, L*.
    pub(crate) noise_l: f64,
    /// Constants that are held, and at what.
    pub(crate) held: Vec<Option<f64>>,
}

impl Problem<'_> {
    pub(crate) fn free(&self) -> Vec<usize> {
        (0..self.sought.len()).filter(|&i| self.held[i].is_none()).collect()
    }

    /// Constants from usual deviations off the values in force.
    pub(crate) fn constants(&self, off: &DVector<f64>) -> Vec<f64> {
        let all = self.sought.iter().zip(&self.held);
        let mut all: Vec<f64> = all.map(|(one, held)| held.unwrap_or(one.in_force)).collect();
        for (place, i) in self.free().into_iter().enumerate() {
            all[i] = self.sought[i].at(off[place]);
        }
        all
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
                slopes[(row, column)] = (self.prints.lightness(step, &more)
                    - self.prints.lightness(step, &less))
                    / (2.0 * STEP);
            }
        }
        slopes
    }

    /// Printed less read, L*.
    pub(crate) fn misses(&self, constants: &[f64]) -> Vec<f64> {
        let read = self.readings.iter();
        read.map(|&(step, l)| self.prints.lightness(step, constants) - l).collect()
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
        let misses = self.problem.misses(&constants);
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
        let misses = self.misses(&self.constants(off));
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

    /// The same to a thousandth of a deviation, which is enough to weigh by, in a third of the time.
    pub(crate) fn solve_roughly(&self, from: DVector<f64>) -> DVector<f64> {
        let search = Search { problem: self, off: from };
        let rough = LevenbergMarquardt::new().with_patience(20).with_ftol(ROUGH).with_xtol(ROUGH);
        rough.minimize(search).0.off
    }

    /// The ends of the search from all its starts, the lowest first; with whether it settled there.
    pub(crate) fn ends(&self) -> Vec<(DVector<f64>, bool)> {
        let free = self.free();
        let mut all: Vec<(DVector<f64>, bool)> = Vec::with_capacity(STARTS.len());
        for &(rate, overlap) in &STARTS {
            let start = |i: usize| match i {
                RATE => rate,
                OVERLAP => overlap,
                _ => 0.0,
            };
            let from = free.iter().map(|&i| start(i));
            let end = self.solve(DVector::from_iterator(free.len(), from));
            let cost = self.cost(&end.0);
            let place = all.iter().position(|(other, _)| self.cost(other).total_cmp(&cost).is_gt());
            all.insert(place.unwrap_or(all.len()), end);
        }
        all
    }
}
