//! The job: all that is asked of one plate.

use crate::grid::Grid;
use plan::{Diagnostic, Plan};
use std::sync::Arc;

/// What is wrong with each calibration constant that is unknown or out of range.
pub type Refused = Vec<Diagnostic>;

/// What is asked: a plan with its calibration, which value goes where, and lines etched before.
///
/// A job is data and is compared with nothing: [`Plate::of`](super::Plate::of) says what it comes to.
#[derive(Clone)]
pub struct Job {
    /// What is chosen. It must have passed [`Plan::problems`].
    pub plan: Plan,
    /// Which value each place gets.
    pub picture: Arc<dyn ValueAreas>,
    /// Lines on the copper before the first ground; `None` is polished copper. They are bitten as long
    /// as the plan says; without line work in the plan there are none. The numbers of the values stay
    /// those of polished copper: lines lie here and there.
    pub lines: Option<Arc<dyn OpenLines>>,
}

impl Job {
    /// A job on polished copper.
    #[must_use]
    pub fn new(plan: Plan, picture: Arc<dyn ValueAreas>) -> Self {
        Self { plan, picture, lines: None }
    }

    /// The same picture and lines under another plan.
    #[must_use]
    pub fn with_plan(&self, plan: Plan) -> Self {
        Self { plan, ..self.clone() }
    }

    /// The same on copper with these lines.
    #[must_use]
    pub fn with_lines(self, lines: Option<Arc<dyn OpenLines>>) -> Self {
        Self { lines, ..self }
    }
}

/// Which value each place of the picture gets, in places on the print.
pub trait ValueAreas: Send + Sync {
    /// Value of every pixel of a raster on the copper (0 is the paper, k the k-th bite), row by
    /// row. The copper is the mirror of the print: x on the print is the plate's width less x on
    /// the copper. Returns the value when it is the same everywhere.
    fn fill(&self, grid: &Grid, out: &mut Vec<u8>) -> Option<u8>;

    /// Share of the plate's area per value, paper first; sums to 1.
    fn shares(&self) -> &[f64];

    /// Dose of every pixel of a raster on the copper, µm, where soft gradations (stop-out feathered,
    /// spit-bite) may lie in it; false, and nothing written, where every place has its value's dose.
    fn soften(&self, _grid: &Grid, _doses: &Doses<'_>, _out: &mut Vec<f32>) -> bool {
        false
    }

    /// Minutes of spit-bite that a place can have at most.
    fn spit_min(&self) -> f64 {
        0.0
    }
}

/// What soft gradations are made of.
pub struct Doses<'a> {
    /// Dose of each value, paper first, µm.
    pub of_value_um: &'a [f64],
    /// Dose of so many minutes of spit-bite, µm.
    pub spit_um: &'a dyn Fn(f64) -> f64,
}

/// Where copper lay open when the lines were bitten.
pub trait OpenLines: Send + Sync {
    /// Every pixel of a raster on the copper, row by row: 1 where it lay open, else 0; a function of
    /// place. False when all of it was covered.
    fn fill(&self, grid: &Grid, open: &mut Vec<u8>) -> bool;
}
