//! Doubt: how far each constant of the model moves what is printed.

use super::{Plate, ValueAreas};
use crate::constants::{ConstantInfo, Constants};
use crate::light;
use plan::Plan;
use serde::Serialize;
use std::sync::Arc;

/// What a constant's plausible range does to a pale, the middle and the darkest value of a plan: a
/// constant that hardly touches one may decide another.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Doubt {
    /// The constant's name.
    pub key: &'static str,
    /// The values looked at: the palest, the middle and the darkest of the plan.
    pub values: [usize; 3],
    /// Their L* with the constant in force for the plan.
    pub lightness: [f64; 3],
    /// Their L* with the constant at the lower end of its range.
    pub lightness_at_min: [f64; 3],
    /// Their L* with the constant at the upper end.
    pub lightness_at_max: [f64; 3],
}

impl Doubt {
    /// How far each of the values moves across the range, L*.
    #[must_use]
    pub fn spreads(&self) -> [f64; 3] {
        [0, 1, 2].map(|i| {
            let (a, b, c) = (self.lightness[i], self.lightness_at_min[i], self.lightness_at_max[i]);
            a.max(b).max(c) - a.min(b).min(c)
        })
    }
}

/// Asks one constant after another. It keeps the plate between questions, so that a constant of the
/// bath or the ink is tried on the ground that is there.
pub struct Doubter {
    plan: Plan,
    areas: Arc<dyn ValueAreas>,
    plate: Plate,
    constants: Constants,
    /// L* of the values with the plan's own constants.
    lightness: [f64; 3],
}

impl Doubter {
    /// Prints the plan's values with the plan's own constants.
    ///
    /// # Errors
    /// As [`Plate::new`].
    pub fn new(plan: Plan, areas: Arc<dyn ValueAreas>) -> Result<Self, Vec<(String, String)>> {
        let constants = Constants::calibrated(&plan.calibration)?;
        let mut plate = Plate::new(plan.clone(), areas.clone())?;
        let lightness = lightness(&mut plate);
        Ok(Self { plan, areas, plate, constants, lightness })
    }

    /// Prints the values with the constant at both ends of its range, or as far as the others allow
    /// ([`Constants::nearest_in_order`]).
    ///
    /// # Errors
    /// As [`Plate::new`].
    pub fn doubt(&mut self, constant: &ConstantInfo) -> Result<Doubt, Vec<(String, String)>> {
        Ok(Doubt {
            key: constant.key,
            values: values(&self.plan),
            lightness: self.lightness,
            lightness_at_min: self.lightness_with(constant.key, constant.min)?,
            lightness_at_max: self.lightness_with(constant.key, constant.max)?,
        })
    }

    fn lightness_with(&mut self, key: &str, value: f64) -> Result<[f64; 3], Vec<(String, String)>> {
        let mut plan = self.plan.clone();
        let value = self.constants.nearest_in_order(key, value);
        plan.calibration.insert(key.to_owned(), value);
        self.plate.change(plan, self.areas.clone())?;
        Ok(lightness(&mut self.plate))
    }
}

/// The palest, the middle and the darkest value.
fn values(plan: &Plan) -> [usize; 3] {
    [1, plan.bites.len().div_ceil(2), plan.bites.len()]
}

fn lightness(plate: &mut Plate) -> [f64; 3] {
    values(&plate.plan).map(|value| {
        let dose_um = plate.session.dose_um[value];
        light::lightness(plate.swatch(dose_um).reflectance)
    })
}
