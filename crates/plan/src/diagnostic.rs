//! What is said of a plan: problems, warnings, refusals and remedies, all in one form.

use crate::sentence::{Quantity, Sentence, Worded};
use serde::Serialize;
use std::fmt;

/// How grave it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// It can't be done: the plan can't be computed, the file not read.
    Error,
    /// It can be done, but something deserves a look.
    Warning,
}

/// One thing to be told: what is wrong, where, and what to do.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
#[serde(into = "Told")]
#[ts(as = "Told")]
pub struct Diagnostic {
    /// How grave it is.
    pub severity: Severity,
    /// Path of the field in the plan's JSON, such as `dust.wait_s` or `bites.2.bite_min`; empty when it
    /// concerns the whole plan.
    pub field: String,
    /// What kind of thing it is, for programs: `out_of_range`, `ground.closed`. Words may change, this does not.
    pub code: &'static str,
    /// What is wrong: one sentence or two.
    pub message: Sentence,
    /// What to do about it; empty where the message says all.
    pub hint: Sentence,
    /// The quantities of both, in their order.
    pub numbers: Vec<Quantity>,
}

/// A diagnostic as it crosses to the page, and as JSON.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
#[ts(rename = "Diagnostic")]
struct Told {
    /// How grave it is.
    severity: Severity,
    /// Path of the field in the plan's JSON; empty when it concerns the whole plan.
    field: String,
    /// What kind of thing it is, for programs: words may change, this does not.
    code: &'static str,
    /// What is wrong and what to do about it, in both systems of units.
    sentence: Worded,
    /// The quantities in it, in their order.
    numbers: Vec<Quantity>,
}

impl From<Diagnostic> for Told {
    fn from(said: Diagnostic) -> Self {
        let sentence = said.sentence().into();
        let Diagnostic { severity, field, code, numbers, .. } = said;
        Self { severity, field, code, sentence, numbers }
    }
}

impl Diagnostic {
    /// Something that can't be, with its place and kind; [`Self::hint`] adds what to do.
    pub fn error(
        field: impl Into<String>,
        code: &'static str,
        message: impl Into<Sentence>,
    ) -> Self {
        Self::new(Severity::Error, field.into(), code, message.into())
    }

    /// Something that deserves a look, with its place and kind; [`Self::hint`] adds what to do.
    pub fn warning(
        field: impl Into<String>,
        code: &'static str,
        message: impl Into<Sentence>,
    ) -> Self {
        Self::new(Severity::Warning, field.into(), code, message.into())
    }

    fn new(severity: Severity, field: String, code: &'static str, message: Sentence) -> Self {
        let numbers = message.quantities().collect();
        Self { severity, field, code, message, hint: Sentence::default(), numbers }
    }

    /// The same with what to do.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<Sentence>) -> Self {
        self.hint = hint.into();
        self.numbers.extend(self.hint.quantities());
        self
    }

    /// The same about a field of something within the plan: `bites.0` of `states.1.work.0`.
    #[must_use]
    pub fn within(mut self, path: &str) -> Self {
        self.field =
            if self.field.is_empty() { path.to_owned() } else { format!("{path}.{}", self.field) };
        self
    }

    /// Whether these words are in message or hint, in metric units.
    #[must_use]
    pub fn contains(&self, words: &str) -> bool {
        self.to_string().contains(words)
    }

    /// Message and hint together.
    #[must_use]
    pub fn sentence(&self) -> Sentence {
        self.message.clone().and(self.hint.clone())
    }
}

impl fmt::Display for Diagnostic {
    /// Message and hint, in metric units.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.sentence().fmt(f)
    }
}

impl std::error::Error for Diagnostic {}
