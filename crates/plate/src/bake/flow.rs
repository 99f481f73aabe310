//! Flow: how far warm rosin has flowed, and how far its rest angle has fallen.

use super::{BakeConstants, heat::Warming};

/// Intervals of the integration through the bake; each is one Simpson step.
const INTERVALS: usize = 600;

/// Temperature at which [`BakeConstants::drift_per_min`] is stated, K.
const DRIFT_AT_K: f64 = 393.15;

/// Celsius to kelvin, by definition.
const ICE_POINT_K: f64 = 273.15;

/// Molar gas constant, J/mol·K, by definition.
const GAS_CONSTANT_J_PER_MOLK: f64 = 8.314_462_618;

/// 1/η of the rosin, 1/(Pa·s): the Vogel–Fulcher–Tammann law with its temperature counted from the
/// softening point. 0 where the law calls it wholly stiff.
#[must_use]
pub fn fluidity_per_pa_s(plate_c: f64, constants: &BakeConstants) -> f64 {
    let above = plate_c - constants.softening_c + constants.viscosity_offset_k;
    if above <= 0.0 {
        return 0.0;
    }
    libm::exp(-constants.viscosity_level - constants.viscosity_slope_k / above)
}

/// Viscosity of the rosin, Pa·s; infinite where it is wholly stiff.
#[must_use]
pub fn viscosity_pa_s(plate_c: f64, constants: &BakeConstants) -> f64 {
    1.0 / fluidity_per_pa_s(plate_c, constants)
}

/// How fast the rest angle falls, 1/min: no published law, a calibration.
#[must_use]
pub fn drift_per_min(plate_c: f64, constants: &BakeConstants) -> f64 {
    let per_k = 1.0 / (plate_c + ICE_POINT_K) - 1.0 / DRIFT_AT_K;
    constants.drift_per_min
        * libm::exp(-constants.drift_energy_j_per_mol / GAS_CONSTANT_J_PER_MOLK * per_k)
}

/// Dose and drift gathered through a bake, at evenly spaced moments.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// Capillary dose ∫γ/η dt up to each moment, m.
    dose_m: Vec<f64>,
    /// ∫k dt up to each moment.
    drift: Vec<f64>,
}

impl Course {
    /// The course of a bake of `bake_min` minutes.
    #[must_use]
    pub fn new(warming: &Warming, bake_min: f64, constants: &BakeConstants) -> Self {
        let step_min = bake_min / INTERVALS as f64;
        let rates = |minutes: f64| {
            let plate_c = warming.plate_c(minutes);
            let flow = constants.surface_tension_n_per_m * fluidity_per_pa_s(plate_c, constants);
            (60.0 * flow, drift_per_min(plate_c, constants))
        };
        let mut course = Self { dose_m: vec![0.0], drift: vec![0.0] };
        let (mut dose, mut drift) = (0.0, 0.0);
        let mut left = rates(0.0);
        for interval in 0..INTERVALS {
            let from = step_min * interval as f64;
            let middle = rates(from + 0.5 * step_min);
            let right = rates(from + step_min);
            dose += step_min / 6.0 * (left.0 + 4.0 * middle.0 + right.0);
            drift += step_min / 6.0 * (left.1 + 4.0 * middle.1 + right.1);
            course.dose_m.push(dose);
            course.drift.push(drift);
            left = right;
        }
        course
    }

    /// The last moment.
    #[must_use]
    pub fn end(&self) -> usize {
        INTERVALS
    }

    /// Capillary dose gathered up to a moment (0 to [`Course::end`]), m.
    #[must_use]
    pub fn dose_m(&self, moment: usize) -> f64 {
        self.dose_m[moment]
    }

    /// Angle at which the resin rests on copper at a moment, degrees.
    #[must_use]
    pub fn rest_angle_deg(&self, moment: usize, constants: &BakeConstants) -> f64 {
        let end = constants.drift_end_angle_deg;
        end + (constants.rest_angle_deg - end) * libm::exp(-self.drift[moment])
    }

    /// First moment at which the rest angle is no higher than `angle_deg`; the last if it never is.
    #[must_use]
    pub fn first_at_rest_angle(&self, angle_deg: f64, constants: &BakeConstants) -> usize {
        (0..self.end())
            .find(|&moment| self.rest_angle_deg(moment, constants) <= angle_deg)
            .unwrap_or(self.end())
    }
}
