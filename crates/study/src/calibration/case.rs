//! A step plate, or a proof already pulled, with all that is known of its reading: what it tells, and what may be amiss.

use crate::calibration::camera::Camera;
use crate::calibration::fit::fit_model;
use crate::calibration::forward::FITTED;
use crate::calibration::misfit::{Misfit, in_ten, misfit};
use crate::calibration::model::{Extra, Grounds, Model};
use crate::calibration::readings::disorder;
use crate::calibration::{Fit, Forward, proof_plate, step_plate, unfitted};
use plan::{Diagnostic, Plan};
use plate::Refused;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// What has been taken into account of what may be otherwise than planned.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ts_rs::TS)]
pub struct Allowed {
    /// Bites whose minutes are found with the constants, counted from 0.
    pub bites: Vec<usize>,
    /// Whether the ground's cover is found with them.
    pub ground: bool,
}

/// What readings tell.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Calibrated {
    /// What was read, L*; `null` is a step that was not.
    pub read_l: Vec<Option<f64>>,
    /// The fit, if there is one.
    pub fit: Option<Fit>,
    /// Why there is none.
    pub refused: Vec<Diagnostic>,
    /// What may be amiss.
    pub misfit: Misfit,
}

/// Tables of the plate that was read, and of other grounds than its plan's.
pub struct Tables {
    forward: Forward,
    grounds: Option<Grounds>,
}

impl Tables {
    /// For a plan's step plate with these bites; or, with the `shares` of its picture per value, paper first, for the plan's own plate,
    /// a proof of which was pulled.
    ///
    /// # Errors
    /// As [`step_plate`] and [`proof_plate`].
    pub fn new(plan: &Plan, bite_min: &[f64], shares: &[f64]) -> Result<Self, Refused> {
        let lay = |plan: &Plan| match shares {
            [] => step_plate(plan, bite_min),
            shares => proof_plate(plan, bite_min, shares),
        };
        let own = lay(&unfitted(plan))?;
        let forward = Forward::new(&own)
            .map_err(|words| vec![Diagnostic::error("calibration", "fit.constant", words)])?;
        // Where half or twice the powder is no ground, other grounds are not asked about.
        Ok(Self { forward, grounds: Grounds::new(plan, &own, lay).ok() })
    }

    /// What the readings tell: see [`calibrate`].
    #[must_use]
    pub fn calibrate(&self, plan: &Plan, read: &Reading) -> Calibrated {
        let Reading { read_l, camera, allowed } = read;
        let known = &plan.calibration;
        calibrate(&self.forward, self.grounds.as_ref(), read_l.clone(), *camera, allowed, known)
    }
}

/// Readings in L*, how they were taken, and what is left open beside the constants.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Reading {
    /// L* of each step; `None` was not read.
    pub read_l: Vec<Option<f64>>,
    /// The camera of the picture that they were read from, if they were.
    pub camera: Option<Camera>,
    /// What may be otherwise than planned.
    pub allowed: Allowed,
}

/// Likelier than this all must have gone as planned for the first sentence to stand alone.
const DOUBTED: f64 = 0.5;

/// Finds the constants and weighs what may be amiss. `camera` is that of the picture they were read from; `grounds` are tables of
/// other covers, without which the ground is not asked about. The fit leans on no earlier one; what may be amiss is weighed
/// with the plan's `calibration` as well as without.
#[must_use]
pub fn calibrate(
    forward: &Forward,
    grounds: Option<&Grounds>,
    read_l: Vec<Option<f64>>,
    camera: Option<Camera>,
    allowed: &Allowed,
    calibration: &BTreeMap<String, f64>,
) -> Calibrated {
    let mut extras: Vec<Extra> = Vec::new();
    for &bite in allowed.bites.iter().filter(|bite| **bite < forward.minutes.len()) {
        extras.push(Extra::Bite(bite));
    }
    if allowed.ground && grounds.is_some() {
        extras.extend([Extra::Ground, Extra::Wipe]);
    }
    let model = Model { forward, grounds, extras, camera, known: [None; FITTED], sways: None };
    let readings: Vec<(usize, f64)> =
        read_l.iter().enumerate().filter_map(|(step, l)| l.map(|l| (step, l))).collect();
    let known = forward.keys.map(|key| calibration.get(key).copied());
    let amiss = misfit(&model, known, &readings);
    let fitted = match disorder(&read_l) {
        None => fit_model(&model, &read_l, false),
        Some(wrong) => Err(vec![wrong]),
    };
    let (fit, refused) = match fitted {
        Ok(mut fit) => {
            if amiss.planned < DOUBTED && !amiss.findings.is_empty() {
                let planned = in_ten(amiss.planned);
                fit.verdict.insert(0, format!("Not yet to be relied on: that all went as planned is {planned}. What follows holds only if it did."));
            }
            (Some(fit), Vec::new())
        }
        Err(refused) => (None, refused),
    };
    Calibrated { read_l, fit, refused, misfit: amiss }
}
