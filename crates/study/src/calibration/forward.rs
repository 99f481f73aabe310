//! What each step prints with other constants: a table calculated once, then read off quickly.

use super::solve::{Prints, Sought};
use super::tone_table::{ToneTableSides, doses_at_rate, overlap_key, tone_table};
use plate::Plate;
use plate::constants::{ConstantInfo, Constants};
use plate::light;
use serde::Serialize;

/// Number of constants fitted.
pub const FITTED: usize = 4;

/// Names of all constants that a step plate may tell, whatever the wipe.
pub const TOLD: [&str; 6] = [
    "bite.rate_um_per_min",
    "ink.absorption_per_um",
    "ink.surface_reflectance",
    "ink.tarlatan_overlap_um",
    "ink.hand_overlap_um",
    "ink.hard_overlap_um",
];

/// The table's sides grow evenly in ln. Doses, µm.
const DOSES: (f64, f64, usize) = (0.25, 300.0, 44);
/// Beyond a constant's range by this factor, so that a fit may try there.
const BEYOND: f64 = 1.25;
const OVERLAPS: usize = 10;
const ABSORPTIONS: usize = 4;
const RATES: usize = 17;
/// For two plates of unlike open share: farther beyond, since the share hastens the bite up to three times.
const BEYOND_WIDER: f64 = 4.0;
const RATES_WIDER: usize = 37;

/// How each step of one step plate darkens with the four constants.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Forward {
    /// The four constants: name, value in force, and range.
    pub keys: [&'static str; FITTED],
    /// Value in force of each.
    pub in_force: [f64; FITTED],
    /// Smallest plausible value of each.
    pub min: [f64; FITTED],
    /// Largest plausible value of each.
    pub max: [f64; FITTED],
    /// Reflectance of the paper.
    pub paper: f64,
    /// Minutes of each step in all.
    pub minutes: Vec<f64>,
    /// Rates of the bite at which the doses were calculated, µm/min.
    pub rate_um_per_min: Vec<f64>,
    /// ln of each step's dose in µm at each rate: step after step.
    pub ln_step_dose: Vec<f64>,
    /// Doses of the table, µm.
    pub dose_um: Vec<f64>,
    /// Depths of the wipe, µm.
    pub overlap_um: Vec<f64>,
    /// Absorptions of the ink, 1/µm.
    pub absorption_per_um: Vec<f64>,
    /// ln of [`tone_table`].
    pub ln_light: Vec<f64>,
    /// Dose of the darkest print with the constants in force, µm.
    pub darkest_um: f64,
}

pub(crate) fn even_in_ln(from: f64, to: f64, count: usize) -> Vec<f64> {
    let step = libm::log(to / from) / (count - 1) as f64;
    (0..count).map(|i| from * libm::exp(step * i as f64)).collect()
}

/// Place of a value on a side that grows evenly in ln, kept to the side.
pub(crate) fn place(side: &[f64], value: f64) -> f64 {
    let last = side.len() - 1;
    let step = libm::log(side[last] / side[0]) / last as f64;
    (libm::log(value / side[0]) / step).clamp(0.0, last as f64)
}

/// Weights of the four entries round a place: a cubic through both neighbours with the slopes of the
/// lines across them (Catmull & Rom 1974); at the ends a parabola.
pub(crate) fn cubic(place: f64, count: usize) -> (usize, [f64; 4]) {
    let cell = (place as usize).min(count - 2);
    let t = place - cell as f64;
    let (t2, t3) = (t * t, t * t * t);
    let mut w = [
        0.5 * (2.0 * t2 - t3 - t),
        0.5 * (3.0 * t3 - 5.0 * t2 + 2.0),
        0.5 * (4.0 * t2 - 3.0 * t3 + t),
        0.5 * (t3 - t2),
    ];
    // An entry that is missing lies on the parabola through the three nearest.
    if cell == 0 {
        w = [0.0, w[1] + 3.0 * w[0], w[2] - 3.0 * w[0], w[3] + w[0]];
    }
    if cell + 2 == count {
        w = [w[0] + w[3], w[1] - 3.0 * w[3], w[2] + 3.0 * w[3], 0.0];
    }
    (cell, w)
}

/// Sum of four entries by their weights; those outside have none.
pub(crate) fn weighted(
    count: usize,
    (cell, w): (usize, [f64; 4]),
    at: impl Fn(usize) -> f64,
) -> f64 {
    let mut sum = 0.0;
    for (k, &weight) in w.iter().enumerate() {
        let index = (cell + k).wrapping_sub(1);
        if weight != 0.0 && index < count {
            sum += weight * at(index);
        }
    }
    sum
}

/// Lagrange's weights at a place between entries 0, 1, 2 …
fn lagrange(place: f64) -> [f64; ABSORPTIONS] {
    let mut all = [1.0; ABSORPTIONS];
    for (i, weight) in all.iter_mut().enumerate() {
        for j in 0..ABSORPTIONS {
            if j != i {
                *weight *= (place - j as f64) / (i as f64 - j as f64);
            }
        }
    }
    all
}

impl Prints for Forward {
    fn lightness(&self, step: usize, constants: &[f64]) -> f64 {
        let &[rate, absorption, surface, overlap, ..] = constants else { return f64::NAN };
        Self::lightness(self, step, [rate, absorption, surface, overlap])
    }
}

impl Forward {
    /// The constants that are sought with it.
    pub(crate) fn sought(&self) -> [Sought; FITTED] {
        core::array::from_fn(|i| {
            Sought::new(self.keys[i], self.in_force[i], (self.min[i], self.max[i]))
        })
    }

    /// For a step plate as it was bitten.
    ///
    /// # Errors
    /// When a constant is not in the catalogue (never, unless one is renamed).
    pub fn new(plate: &Plate) -> Result<Self, String> {
        Self::calculated(plate, (DOSES.2, OVERLAPS), (BEYOND, RATES))
    }

    /// The same for rates farther out of their range.
    ///
    /// # Errors
    /// As [`Forward::new`].
    pub(crate) fn for_wider_rates(plate: &Plate) -> Result<Self, String> {
        Self::calculated(plate, (DOSES.2, OVERLAPS), (BEYOND_WIDER, RATES_WIDER))
    }

    /// The same from a coarser table, quicker and less true: to compare machines with.
    ///
    /// # Errors
    /// As [`Forward::new`].
    pub fn coarse(plate: &Plate) -> Result<Self, String> {
        Self::calculated(plate, (9, 4), (BEYOND, RATES))
    }

    /// The same for a ground that is only compared with the plan's: within a quarter of an L* of the finer table on average, in
    /// less than half the time.
    ///
    /// # Errors
    /// As [`Forward::new`].
    pub(crate) fn to_compare(plate: &Plate) -> Result<Self, String> {
        Self::calculated(plate, (26, 7), (BEYOND, RATES))
    }

    /// The same for another ground than that of a proof, of which only the difference counts.
    ///
    /// # Errors
    /// As [`Forward::new`].
    pub(crate) fn to_differ(plate: &Plate) -> Result<Self, String> {
        Self::calculated(plate, (18, 5), (BEYOND, RATES))
    }

    fn calculated(
        plate: &Plate,
        (doses, overlaps): (usize, usize),
        (beyond, rates): (f64, usize),
    ) -> Result<Self, String> {
        let keys = [
            "bite.rate_um_per_min",
            "ink.absorption_per_um",
            "ink.surface_reflectance",
            overlap_key(plate.plan()),
        ];
        let catalogue = Constants::catalogue();
        let info = |key: &str| -> Result<&ConstantInfo, String> {
            catalogue
                .iter()
                .find(|info| info.key == key)
                .ok_or_else(|| format!("There is no constant {key}."))
        };
        let (mut in_force, mut min, mut max) = ([0.0; FITTED], [0.0; FITTED], [0.0; FITTED]);
        for (i, key) in keys.iter().enumerate() {
            let known = info(key)?;
            in_force[i] = plate.constants().get(key).unwrap_or(known.default);
            (min[i], max[i]) = (known.min, known.max);
        }
        let even =
            |i: usize, beyond: f64, count| even_in_ln(min[i] / beyond, max[i] * beyond, count);
        let side = |i: usize, count| even(i, BEYOND, count);
        let (dose_from, dose_to, _) = DOSES;
        let sides = ToneTableSides {
            dose_um: even_in_ln(dose_from, dose_to, doses),
            overlap_um: side(3, overlaps),
            absorption_per_um: side(1, ABSORPTIONS),
        };
        let ln_light =
            tone_table(plate, &sides).iter().map(|light| libm::log(light.max(1e-9))).collect();
        let bite_min: Vec<f64> = plate.plan().bites.iter().map(|bite| bite.bite_min).collect();
        let mut total = 0.0;
        let minutes: Vec<f64> = bite_min
            .iter()
            .map(|own| {
                total += own;
                total
            })
            .collect();
        let rate_um_per_min = even(0, beyond, rates);
        let by_rate: Vec<Vec<f64>> =
            rate_um_per_min.iter().map(|&rate| doses_at_rate(plate, rate, &bite_min)).collect();
        let ln_step_dose = (0..minutes.len())
            .flat_map(|step| by_rate.iter().map(move |doses| libm::log(doses[step].max(1e-9))))
            .collect();
        let mut forward = Self {
            keys,
            in_force,
            min,
            max,
            paper: plate.plan().paper.reflectance,
            minutes,
            rate_um_per_min,
            ln_step_dose,
            dose_um: sides.dose_um,
            overlap_um: sides.overlap_um,
            absorption_per_um: sides.absorption_per_um,
            ln_light,
            darkest_um: 0.0,
        };
        forward.darkest_um = forward.darkest(in_force).0;
        Ok(forward)
    }

    /// Dose of a step, µm, at a rate, µm/min.
    #[must_use]
    pub fn step_dose(&self, step: usize, rate: f64) -> f64 {
        let count = self.rate_um_per_min.len();
        let of_step = &self.ln_step_dose[step * count..][..count];
        let weights = cubic(place(&self.rate_um_per_min, rate), count);
        libm::exp(weighted(count, weights, |i| of_step[i]))
    }

    /// Reflectance of a plain area after a dose, µm, with these constants.
    #[must_use]
    pub fn reflectance(&self, dose_um: f64, constants: [f64; FITTED]) -> f64 {
        let [_, absorption, surface, overlap] = constants;
        let by_absorption = lagrange(place(&self.absorption_per_um, absorption));
        let overlaps = self.overlap_um.len();
        let by_overlap = cubic(place(&self.overlap_um, overlap), overlaps);
        let doses = self.dose_um.len();
        let by_dose = cubic(place(&self.dose_um, dose_um), doses);
        let ln_light = weighted(doses, by_dose, |d| {
            weighted(overlaps, by_overlap, |o| {
                let from = (d * overlaps + o) * ABSORPTIONS;
                let mut sum = 0.0;
                for (weight, light) in by_absorption.iter().zip(&self.ln_light[from..]) {
                    sum += weight * light;
                }
                sum
            })
        });
        surface + (self.paper - surface) * libm::exp(ln_light)
    }

    /// L* that a step prints with these constants.
    #[must_use]
    pub fn lightness(&self, step: usize, constants: [f64; FITTED]) -> f64 {
        light::lightness(self.reflectance(self.step_dose(step, constants[0]), constants))
    }

    /// Dose, µm, and reflectance of the darkest print with these constants, to a twentieth.
    #[must_use]
    pub fn darkest(&self, constants: [f64; FITTED]) -> (f64, f64) {
        let (mut best_um, mut best) = (0.0, f64::INFINITY);
        let mut dose_um = 1.0;
        while dose_um <= DOSES.1 {
            let reflectance = self.reflectance(dose_um, constants);
            if reflectance < best {
                (best_um, best) = (dose_um, reflectance);
            }
            dose_um *= 1.05;
        }
        (best_um, best)
    }
}
