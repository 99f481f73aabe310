//! The one check of a plan: its own choices, and its calibration against the constants there are.
//!
//! The page and every command of the native program read plans with it, so that all give one answer.

use crate::constants::Constants;
use plan::link::{Decoded, LinkError, decode};
use plan::{Diagnostic, Plan, Severity};

/// Everything wrong with a plan; empty when it can be computed as it stands.
///
/// A constant of the calibration that is unknown, or out of its plausible range, is a problem of
/// the field `calibration.<key>`.
#[must_use]
pub fn problems(plan: &Plan) -> Vec<Diagnostic> {
    let mut found = plan.problems();
    let refused = Constants::calibrated(&plan.calibration).err().unwrap_or_default();
    for one in refused {
        // What is not even a number has been spoken of already.
        if !found.iter().any(|problem| problem.field == one.field) {
            found.push(one);
        }
    }
    found
}

/// What of [`problems`] keeps a plan from being computed.
#[must_use]
pub fn errors(plan: &Plan) -> Vec<Diagnostic> {
    let mut found = problems(plan);
    found.retain(|problem| problem.severity == Severity::Error);
    found
}

/// Reads a plan file and checks it.
///
/// # Errors
/// What [`Plan::read_unchecked`] refuses, or every one of [`errors`].
pub fn read(text: &str) -> Result<Plan, Vec<Diagnostic>> {
    let plan = Plan::read_unchecked(text).map_err(|refused| vec![refused])?;
    let errors = errors(&plan);
    if errors.is_empty() { Ok(plan) } else { Err(errors) }
}

/// Reads a link and checks its plan.
///
/// # Errors
/// One plain sentence for each way in which a link can be spoiled; see [`LinkError`].
pub fn read_link(pasted: &str) -> Result<Decoded, LinkError> {
    let decoded = decode(pasted)?;
    let mut errors = errors(&decoded.plan).into_iter();
    match errors.next() {
        None => Ok(decoded),
        Some(first) => Err(LinkError::Absurd { problem: first.to_string(), others: errors.len() }),
    }
}
