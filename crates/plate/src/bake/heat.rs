//! Heat: how the copper warms up on the hot plate.

use super::BakeConstants;

/// Intervals of the plotted course.
const PLOT_INTERVALS: usize = 120;

/// The warming of one plate: T(t) = T∞ + (T_room − T∞)·e^(−t/τ), the copper at one temperature
/// throughout (Biot number about 4e-4).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Warming {
    /// Temperature at the start, °C.
    pub room_c: f64,
    /// Temperature the plate would reach in the end, °C: below the hot plate's setting.
    pub settles_c: f64,
    /// Time constant ρcL/(U + h), s.
    pub time_constant_s: f64,
}

impl Warming {
    /// The warming of a plate `thickness_mm` thick (above 0).
    #[must_use]
    pub fn new(bake: &plan::Bake, thickness_mm: f64, constants: &BakeConstants) -> Self {
        let contact = if bake.paper_between {
            constants.contact_paper_w_per_m2k
        } else {
            constants.contact_bare_w_per_m2k
        };
        let passed = contact + constants.loss_w_per_m2k;
        let held = constants.copper_density_kg_per_m3 * constants.copper_heat_j_per_kgk;
        Self {
            room_c: bake.room_c,
            settles_c: (contact * bake.hot_plate_c + constants.loss_w_per_m2k * bake.room_c)
                / passed,
            time_constant_s: held * thickness_mm * 1e-3 / passed,
        }
    }

    /// Temperature of the copper after `minutes` (0 or more) on the hot plate, °C.
    #[must_use]
    pub fn plate_c(&self, minutes: f64) -> f64 {
        self.settles_c
            + (self.room_c - self.settles_c) * libm::exp(-60.0 * minutes / self.time_constant_s)
    }

    /// The course for a plot: minutes, and °C at those minutes.
    #[must_use]
    pub fn plot(&self, bake_min: f64) -> (Vec<f64>, Vec<f64>) {
        (0..=PLOT_INTERVALS)
            .map(|i| {
                let minutes = bake_min * i as f64 / PLOT_INTERVALS as f64;
                (minutes, self.plate_c(minutes))
            })
            .unzip()
    }
}
