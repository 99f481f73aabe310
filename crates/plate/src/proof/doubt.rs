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

/// L* of the plan's middle value with one constant replaced (or none).
fn middle_lightness(
    plan: &Plan,
    areas: &Arc<dyn ValueAreas>,
    replaced: Option<(&str, f64)>,
) -> Result<f64, Vec<(String, String)>> {
    let mut plan = plan.clone();
    if let Some((key, value)) = replaced {
        plan.calibration.insert(key.to_owned(), value);
    }
    let middle = middle_value(&plan);
    let mut plate = Plate::new(plan, areas.clone())?;
    let dose_um = plate.session.dose_um[middle];
    Ok(light::lightness(plate.swatch(dose_um).reflectance))
}

fn middle_value(plan: &Plan) -> usize {
    plan.bites.len().div_ceil(2)
}

/// Prints the plan's middle value with the constant as it is and at both ends of its range.
///
/// # Errors
/// As [`Plate::new`].
pub fn doubt(
    plan: &Plan,
    areas: &Arc<dyn ValueAreas>,
    constant: &ConstantInfo,
) -> Result<Doubt, Vec<(String, String)>> {
    let at = |value| middle_lightness(plan, areas, Some((constant.key, value)));
    Ok(Doubt {
        key: constant.key,
        value: middle_value(plan),
        lightness: middle_lightness(plan, areas, None)?,
        lightness_at_min: at(constant.min)?,
        lightness_at_max: at(constant.max)?,
    })
}
