//! Doubt: how far each constant of the model moves what is printed.

use super::{Plate, ValueAreas};
use crate::constants::ConstantInfo;
use crate::light;
use plan::Plan;
use serde::Serialize;
use std::sync::Arc;

/// What a constant's plausible range does to the middle value of a plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Doubt {
    /// The constant's name.
    pub key: &'static str,
    /// The value looked at: the middle one of the plan.
    pub value: usize,
    /// Its L* with the constant in force for the plan.
    pub lightness: f64,
    /// Its L* with the constant at the lower end of its range.
    pub lightness_at_min: f64,
    /// Its L* with the constant at the upper end.
    pub lightness_at_max: f64,
}

impl Doubt {
    /// How far the value moves across the range, L*.
    #[must_use]
    pub fn spread(&self) -> f64 {
        let (a, b, c) = (self.lightness, self.lightness_at_min, self.lightness_at_max);
        a.max(b).max(c) - a.min(b).min(c)
    }
}

/// Asks one constant after another. It keeps the plate between questions, so that a constant of the
/// bath or the ink is tried on the ground that is there.
pub struct Doubter {
    plan: Plan,
    areas: Arc<dyn ValueAreas>,
    plate: Plate,
    /// L* of the middle value with the plan's own constants.
    lightness: f64,
}

impl Doubter {
    /// Prints the plan's middle value with the plan's own constants.
    ///
    /// # Errors
    /// As [`Plate::new`].
    pub fn new(plan: Plan, areas: Arc<dyn ValueAreas>) -> Result<Self, Vec<(String, String)>> {
        let mut plate = Plate::new(plan.clone(), areas.clone())?;
        let lightness = middle_lightness(&mut plate);
        Ok(Self { plan, areas, plate, lightness })
    }

    /// Prints the middle value with the constant at both ends of its range.
    ///
    /// # Errors
    /// As [`Plate::new`].
    pub fn doubt(&mut self, constant: &ConstantInfo) -> Result<Doubt, Vec<(String, String)>> {
        Ok(Doubt {
            key: constant.key,
            value: middle_value(&self.plan),
            lightness: self.lightness,
            lightness_at_min: self.lightness_with(constant.key, constant.min)?,
            lightness_at_max: self.lightness_with(constant.key, constant.max)?,
        })
    }

    fn lightness_with(&mut self, key: &str, value: f64) -> Result<f64, Vec<(String, String)>> {
        let mut plan = self.plan.clone();
        plan.calibration.insert(key.to_owned(), value);
        self.plate.change(plan, self.areas.clone())?;
        Ok(middle_lightness(&mut self.plate))
    }
}

fn middle_value(plan: &Plan) -> usize {
    plan.bites.len().div_ceil(2)
}

fn middle_lightness(plate: &mut Plate) -> f64 {
    let dose_um = plate.session.dose_um[middle_value(&plate.plan)];
    light::lightness(plate.swatch(dose_um).reflectance)
}
