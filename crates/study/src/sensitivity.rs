//! Sensitivity: how far each constant of the model moves what is printed.

use plan::Plan;
use plate::constants::ConstantInfo;
use plate::{Plate, Refused, Renderer, View};
use serde::Serialize;

/// What a constant's plausible range does to the middle value of a plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Sensitivity {
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

impl Sensitivity {
    /// How far the value moves across the range, L*.
    #[must_use]
    pub fn spread(&self) -> f64 {
        let (a, b, c) = (self.lightness, self.lightness_at_min, self.lightness_at_max);
        a.max(b).max(c) - a.min(b).min(c)
    }
}

/// Prints a plan's middle value with a constant at both ends of its range; what the constant does not
/// decide is shared with the plate.
///
/// # Errors
/// As [`Plate::of`].
pub fn sensitivity(
    plate: &Plate,
    renderer: &mut Renderer,
    constant: &ConstantInfo,
) -> Result<Sensitivity, Refused> {
    let mut with = |value: f64| -> Result<f64, Refused> {
        let mut plan = plate.plan().clone();
        plan.calibration.insert(constant.key.to_owned(), value);
        let other = plate.after(&plate.job().with_plan(plan))?;
        Ok(middle_lightness(&other, renderer))
    };
    let (lightness_at_min, lightness_at_max) = (with(constant.min)?, with(constant.max)?);
    Ok(Sensitivity {
        key: constant.key,
        value: middle_value(plate.plan()),
        lightness: middle_lightness(plate, renderer),
        lightness_at_min,
        lightness_at_max,
    })
}

fn middle_value(plan: &Plan) -> usize {
    plan.bites.len().div_ceil(2)
}

fn middle_lightness(plate: &Plate, renderer: &mut Renderer) -> f64 {
    let dose_um = plate.session().dose_um[middle_value(plate.plan())];
    renderer.look(plate, &View::first()).lightness_at(dose_um)
}
