//! Small answers, which cross the border as JSON text.
//!
//! Each is a struct of its own: `serde_json::Value` would add 60 kB to the page.

use plan::difference::Difference;
use plan::{Choice, Field, Plan, Problem};
use plate::constants::ConstantInfo;
use plate::proof::Sample;
use serde::Serialize;

/// Everything that never changes while the page is open.
#[derive(Serialize)]
pub(crate) struct Catalogue {
    pub(crate) fields: &'static [Field],
    pub(crate) choices: &'static [Choice],
    pub(crate) constants: Vec<ConstantInfo>,
    pub(crate) not_modelled: &'static [&'static str],
    pub(crate) default_plan: Plan,
    pub(crate) limits: Limits,
}

/// Limits of the lists in a plan.
#[derive(Serialize)]
pub(crate) struct Limits {
    pub(crate) min_values: usize,
    pub(crate) max_values: usize,
    pub(crate) bite_min: (f64, f64),
}

/// A plan file that was looked at.
#[derive(Serialize)]
pub(crate) struct Checked {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) plan: Option<Plan>,
    pub(crate) problems: Vec<Problem>,
}

/// A plan after an edit, or why there is none.
#[derive(Serialize)]
pub(crate) struct EditedPlan {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) plan: Option<Plan>,
    pub(crate) notices: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) shown_state: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) sentence: Option<String>,
}

/// The picture in hand.
#[derive(Serialize)]
pub(crate) struct PictureTaken {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) histogram: Vec<u32>,
}

/// What suits the picture: thresholds for the values as they are, and other counts of values.
#[derive(Serialize)]
pub(crate) struct Suits {
    pub(crate) now: picture::Fit,
    pub(crate) suits: Vec<picture::Suit>,
    /// Place in `suits` of the count worth taking.
    pub(crate) suggested: usize,
    /// Specks merged away, and the share of the plate that has another value for it.
    pub(crate) merged: usize,
    pub(crate) moved_share: f64,
}

/// A plan that came from elsewhere, or why there is none; both where something is to be said of it.
#[derive(Serialize)]
pub(crate) struct Opened {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) plan: Option<Plan>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) sentence: Option<String>,
}

/// What differs between two plans.
#[derive(Serialize)]
pub(crate) struct Differences {
    pub(crate) name: String,
    pub(crate) differences: Vec<Difference>,
}

/// A first look at a patch of a test strip, or why there is none.
#[derive(Serialize)]
pub(crate) struct Glanced {
    pub(crate) problems: Vec<Problem>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) numbers: Option<Sample>,
}

/// An answer as JSON text.
pub(crate) fn json(answer: &impl Serialize) -> String {
    // Strings, numbers and lists of them always serialise.
    serde_json::to_string(answer).unwrap_or_default()
}
