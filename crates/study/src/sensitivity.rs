//! Sensitivity: how far each constant of the model moves what is printed.

use plan::Plan;
use plate::constants::ConstantInfo;
use plate::{Plate, Refused, Renderer, View};
use serde::Serialize;

/// What a constant's plausible range does to a pale, the middle and the darkest value of a plan: a
/// constant that hardly touches one may decide another.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Sensitivity {
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

impl Sensitivity {
    /// How far each of the values moves across the range, L*.
    #[must_use]
    pub fn spreads(&self) -> [f64; 3] {
        [0, 1, 2].map(|i| {
            let (a, b, c) = (self.lightness[i], self.lightness_at_min[i], self.lightness_at_max[i]);
            a.max(b).max(c) - a.min(b).min(c)
        })
    }
}

/// Prints a plan's values with a constant at both ends of its range, or as far as the others allow
/// ([`Constants::nearest_in_order`](plate::constants::Constants::nearest_in_order)); what the constant does
/// not decide is shared with the plate.
///
/// # Errors
/// As [`Plate::of`].
pub fn sensitivity(
    plate: &Plate,
    renderer: &mut Renderer,
    constant: &ConstantInfo,
) -> Result<Sensitivity, Refused> {
    let mut with = |value: f64| -> Result<[f64; 3], Refused> {
        let mut plan = plate.plan().clone();
        let value = plate.constants().nearest_in_order(constant.key, value);
        plan.calibration.insert(constant.key.to_owned(), value);
        let other = plate.after(&plate.job().with_plan(plan))?;
        Ok(lightness(&other, renderer))
    };
    let (lightness_at_min, lightness_at_max) = (with(constant.min)?, with(constant.max)?);
    Ok(Sensitivity {
        key: constant.key,
        values: values(plate.plan()),
        lightness: lightness(plate, renderer),
        lightness_at_min,
        lightness_at_max,
    })
}

/// The palest, the middle and the darkest value.
fn values(plan: &Plan) -> [usize; 3] {
    [1, plan.bites.len().div_ceil(2), plan.bites.len()]
}

fn lightness(plate: &Plate, renderer: &mut Renderer) -> [f64; 3] {
    let view = View::first();
    let mut looking = renderer.look(plate, &view);
    values(plate.plan()).map(|value| looking.lightness_at(plate.session().dose_um[value]))
}
