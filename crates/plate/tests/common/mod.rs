//! Plates for tests.
#![allow(dead_code, reason = "each test file uses its own part")]

pub(crate) mod worked;

use plan::Plan;
use plate::chain::{Field, Job, Looking, Plate, Renderer, Value, ValueAreas, View};
use plate::grid::Grid;
use plate::ground::GroundStatistics;
use std::sync::Arc;

/// A plate with no picture: one value everywhere, or two halves.
pub(crate) struct Everywhere {
    shares: Vec<f64>,
    left: u8,
    right: u8,
    /// Where the right half begins on the print, µm.
    border_um: f64,
}

/// Width of the default plan's plate, µm.
const PLATE_WIDTH_UM: f64 = 150_000.0;

impl Everywhere {
    /// All paper: the bath stays fresh.
    pub(crate) fn paper(values: usize) -> Self {
        let mut shares = vec![0.0; values + 1];
        shares[0] = 1.0;
        Self { shares, left: 0, right: 0, border_um: PLATE_WIDTH_UM / 2.0 }
    }

    /// The whole plate one value.
    pub(crate) fn value(values: usize, value: u8) -> Self {
        let mut shares = vec![0.0; values + 1];
        shares[usize::from(value)] = 1.0;
        Self { shares, left: value, right: value, border_um: PLATE_WIDTH_UM / 2.0 }
    }

    /// The whole plate the darkest value but for a hundredth of each other: the bath feels them all.
    pub(crate) fn nearly_dark(values: usize) -> Self {
        let mut shares = vec![0.01; values + 1];
        shares[values] = 1.0 - 0.01 * values as f64;
        Self { shares, left: values as u8, right: values as u8, border_um: PLATE_WIDTH_UM / 2.0 }
    }

    /// The left half of the print bitten to `value`, the right half kept white.
    pub(crate) fn half(values: usize, value: u8) -> Self {
        let mut shares = vec![0.0; values + 1];
        shares[0] = 0.5;
        shares[usize::from(value)] = 0.5;
        Self { shares, left: value, right: 0, border_um: PLATE_WIDTH_UM / 2.0 }
    }

    /// The same with the border so far from the print's left, mm.
    pub(crate) fn parted(values: usize, value: u8, border_mm: f64) -> Self {
        Self { border_um: border_mm * 1000.0, ..Self::half(values, value) }
    }
}

impl ValueAreas for Everywhere {
    fn fill(&self, grid: &Grid, out: &mut Vec<u8>) -> Option<u8> {
        out.clear();
        for _ in 0..grid.height {
            for i in 0..grid.width as i64 {
                let x_copper_um = ((grid.left_px + i) as f64 + 0.5) * f64::from(grid.px_um);
                let x_print_um = PLATE_WIDTH_UM - x_copper_um;
                out.push(if x_print_um < self.border_um { self.left } else { self.right });
            }
        }
        (self.left == self.right).then_some(self.left)
    }

    fn shares(&self) -> &[f64] {
        &self.shares
    }
}

/// A plate, how it is looked at, and what looks.
pub(crate) struct Seen {
    pub(crate) plate: Plate,
    pub(crate) view: View,
    pub(crate) renderer: Renderer,
}

impl std::ops::Deref for Seen {
    type Target = Plate;

    fn deref(&self) -> &Plate {
        &self.plate
    }
}

impl Seen {
    /// The plate of a job, in its last state.
    pub(crate) fn of(job: &Job) -> Self {
        let mut renderer = Renderer::default();
        let plate = renderer.plate(job).expect("the test's calibration is sound");
        Self { plate, view: View::default(), renderer }
    }

    pub(crate) fn look(&mut self) -> Looking<'_> {
        self.renderer.look(&self.plate, &self.view)
    }

    pub(crate) fn ground_statistics(&mut self) -> GroundStatistics {
        self.renderer.ground_statistics(&self.plate)
    }

    /// How many pixels of a window are others than in one that holds it, by more than two thousandths of the largest. Places of
    /// domes agree to the rounding of one number.
    pub(crate) fn unlike_within(&mut self, wide: &Grid, part: &Grid, field: Field) -> usize {
        let all = self.look().field_window(wide, field).pixels;
        let some = self.look().field_window(part, field).pixels;
        let most = all.iter().fold(0.0_f32, |a, &b| a.max(b));
        let unlike = |row| {
            let from = wide.index_of(part, row);
            let pairs = all[from..from + part.width].iter().zip(&some[row * part.width..]);
            pairs.filter(|(a, b)| (*a - *b).abs() > 2e-3 * most).count()
        };
        (0..part.height).map(unlike).sum()
    }

    /// Takes the plate of another job in its place.
    pub(crate) fn change(&mut self, job: &Job) {
        let plate = self.renderer.plate_after(&self.plate, job);
        self.plate = plate.expect("the test's calibration is sound");
    }
}

/// The plan's plate with these areas.
pub(crate) fn plate_with(plan: &Plan, areas: Everywhere) -> Seen {
    assert!(plan.problems().is_empty(), "the test's plan is unsound: {:?}", plan.problems());
    Seen::of(&Job::new(plan.clone(), Arc::new(areas)))
}

/// The plan's plate, all paper.
pub(crate) fn plate_of(plan: &Plan) -> Seen {
    plate_with(plan, Everywhere::paper(plan.bites.len()))
}

/// Its table of values.
pub(crate) fn values_of(plan: &Plan) -> Vec<Value> {
    plate_of(plan).look().values()
}
