//! The plan as a file: readable JSON, and errors that say what to do.

use crate::diagnostic::{Diagnostic, Severity};
use crate::sentence;
use crate::sentence::Sentence;
use crate::types::Plan;
use serde::Deserialize;

/// Longest plan file accepted, in bytes. A full plan with long notes is under 10 kB.
const MAX_BYTES: usize = 1_000_000;

/// What tells a plan from other files, whatever else it holds.
#[derive(Deserialize)]
struct Head {
    platewright: Option<u64>,
}

impl Plan {
    /// The plan as indented JSON, ending in a line break.
    #[must_use]
    pub fn to_json(&self) -> String {
        // A Plan holds only strings, numbers and lists of them, which always serialise.
        let mut text = serde_json::to_string_pretty(self).unwrap_or_default();
        text.push('\n');
        text
    }

    /// Reads a plan file and checks all of it that needs no knowledge of the model's constants;
    /// `plate::check::read` checks those too, and is what programs read plans with.
    ///
    /// Choices that the file leaves out take their defaults.
    ///
    /// # Errors
    /// The problems found, each with the field, its value, its range and what to do: all that
    /// [`Self::read_unchecked`] refuses, or any choice out of bounds.
    pub fn from_json(text: &str) -> Result<Self, Vec<Diagnostic>> {
        let plan = Self::read_unchecked(text).map_err(|refused| vec![refused])?;
        let errors: Vec<Diagnostic> = plan
            .problems()
            .into_iter()
            .filter(|problem| problem.severity == Severity::Error)
            .collect();
        if errors.is_empty() { Ok(plan) } else { Err(errors) }
    }

    /// Reads a plan file whose choices may be out of bounds, to say what is wrong with them or to
    /// have them mended.
    ///
    /// # Errors
    /// Text that is no JSON, a name this program doesn't know, or a version newer than this program.
    pub fn read_unchecked(text: &str) -> Result<Self, Diagnostic> {
        let refuse = |code, message: Sentence, hint: &'static str| {
            Diagnostic::error("", code, message).hint(hint)
        };
        if text.len() > MAX_BYTES {
            return Err(refuse(
                "too_large",
                sentence!(
                    "This file is {} kB long; a plan is never longer than {} kB.",
                    text.len() / 1000,
                    MAX_BYTES / 1000
                ),
                "Choose a plan file saved by Platewright.",
            ));
        }
        let head = serde_json::from_str::<Head>(text);
        if let Err(error) = &head
            && !error.is_data()
        {
            return Err(refuse(
                "not_json",
                sentence!(
                    "This is not a plan file: at line {}, column {} it stops being readable.",
                    error.line(),
                    error.column()
                ),
                "Choose a file saved by “Save plan”.",
            ));
        }
        // A list would do for serde, each entry in its turn; for us only names will do.
        let named = text.trim_start().starts_with('{');
        match head.ok().filter(|_| named).and_then(|head| head.platewright) {
            None => {
                return Err(refuse(
                    "not_a_plan",
                    "This file is not a plan: it has no “platewright” version number.".into(),
                    "Choose a file saved by “Save plan”.",
                ));
            }
            Some(version) if version > u64::from(crate::FORMAT_VERSION) => {
                return Err(refuse(
                    "newer",
                    sentence!(
                        "This plan was saved by a newer Platewright (format {}; this page reads up to {}).",
                        version,
                        crate::FORMAT_VERSION
                    ),
                    "Open it in the newer page.",
                ));
            }
            Some(_) => {}
        }
        // Straight from the text: going by way of `serde_json::Value` would cost the page 40 kB.
        serde_json::from_str(text).map_err(|error| {
            refuse(
                "unreadable",
                sentence!("This plan can't be read: {}.", error.to_string()),
                "Correct that entry in the file, or save the plan again.",
            )
        })
    }
}

/// Reads a part of a plan (an area, a piece of work, a bite) by itself, unchecked.
///
/// # Errors
/// What serde says of text that is no such part.
pub fn part_from_json<T: serde::de::DeserializeOwned>(text: &str) -> Result<T, String> {
    serde_json::from_str(text).map_err(|error| error.to_string())
}
