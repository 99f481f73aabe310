//! What a fit answers.

use crate::tolerance::CalibratedLimits;
use serde::Serialize;
use std::collections::BTreeMap;

/// One constant found.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
#[ts(rename = "FittedConstant")]
pub struct Fitted {
    /// Its name.
    pub key: &'static str,
    /// What it is.
    pub meaning: &'static str,
    /// Unit.
    pub unit: &'static str,
    /// Value found.
    pub value: f64,
    /// Lower 95 % limit.
    pub low: f64,
    /// Upper 95 % limit.
    pub high: f64,
    /// The value that was in force.
    pub in_force: f64,
    /// Whether the print tells it; if not, it stays near the value in force.
    pub told: bool,
    /// Whether it lies at an end of its plausible range.
    pub at_end: bool,
}

/// One step: read, and printed by the fit.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct StepFit {
    /// Minutes in all.
    pub minutes: f64,
    /// L* read; not a number when it was not.
    pub read_l: Option<f64>,
    /// L* with the constants found.
    pub printed_l: f64,
    /// Half the width of its 95 % limits, L*.
    pub good_to_l: f64,
    /// L* with the constants that were in force.
    pub before_l: f64,
}

/// A place of the curve between the steps.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct CurvePoint {
    /// Minutes.
    pub minutes: f64,
    /// L* with the constants found.
    pub printed_l: f64,
    /// Half the width of its 95 % limits, L*.
    pub good_to_l: f64,
    /// L* with the constants that were in force.
    pub before_l: f64,
}

/// Two constants that the plate does not tell apart well.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Pair {
    /// One.
    pub a: &'static str,
    /// The other.
    pub b: &'static str,
    /// Correlation, −1 to 1.
    pub correlation: f64,
}

/// What a step plate tells.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Fit {
    /// The constants.
    pub constants: Vec<Fitted>,
    /// The steps.
    pub steps: Vec<StepFit>,
    /// The curve through them, evenly in ln of the minutes.
    pub curve: Vec<CurvePoint>,
    /// What the readings scatter round the curve, L* (standard deviation; never taken for less than 0.4).
    pub noise_l: f64,
    /// Degrees of freedom left.
    pub freedom: f64,
    /// Values such as those read will print within this of what is calculated, L* (95 %, widest of the steps).
    pub good_to_l: f64,
    /// The same for the steps that were not read.
    pub unread_to_l: f64,
    /// Correlation of every two constants.
    pub pairs: Vec<Pair>,
    /// What it comes to, in sentences: how good, what could not be told and what would help.
    pub verdict: Vec<String>,
    /// Constants to take into a plan.
    pub calibration: BTreeMap<String, f64>,
    /// The same constants' limits, for bands.
    pub limits: CalibratedLimits,
}
