//! In place of `later` in the module that opens the page: a plan without later states.

use super::summary::Swatch;
use super::{Plate, WindowFields};
use crate::constants::Constants;
use crate::grid::Grid;
use plan::Plan;

/// Number of a plan's last state.
pub(super) fn last_state(_: &Plan) -> usize {
    1
}

/// Both plans have the same states.
pub(super) fn same_states(_: &Plan, _: &Plan) -> bool {
    true
}

/// No work.
#[derive(Default)]
pub(super) struct Line {}

impl Line {
    pub(super) fn margin_px(&self, _: f32, _: &Constants) -> usize {
        0
    }

    pub(super) fn work_on(&mut self, _: &Grid, _: &Constants, _: &mut WindowFields) {}
}

impl Plate {
    /// Number of the state that is looked at: there is only the first.
    #[must_use]
    pub fn state(&self) -> usize {
        self.state
    }

    /// There is only the first state.
    pub fn look_at(&mut self, _: usize) {}

    pub(super) fn make_line(&mut self, _: bool) {}

    pub(super) fn worked(&self) -> bool {
        false
    }

    pub(super) fn swatch_at_sample(&mut self, value: usize) -> Swatch {
        self.swatch(self.session.dose_um[value])
    }

    /// Mean reflectance of every pixel of a raster on the copper, from its value with its
    /// [`Plate::plain_tones`].
    pub(super) fn tones(&mut self, grid: &Grid, plain: &[f32]) -> Vec<f32> {
        let mut value = Vec::new();
        self.areas.fill(grid, &mut value);
        value.iter().map(|&value| plain[usize::from(value)]).collect()
    }
}
