//! How a plate is looked at.

use crate::ink::Inking;
use std::sync::Arc;

/// How a plate is looked at: which state, what of it is printed, and how it is inked. It changes
/// nothing on the plate.
#[derive(Clone, Debug, Default)]
pub struct View {
    /// Number of the state, 1 for the first, before any later work; `None`, or a number beyond the last,
    /// is the last.
    pub state: Option<usize>,
    /// What of lines and tone is printed.
    pub printed: Printed,
    /// Another inking than the plan's.
    pub inking: Option<Arc<Inking>>,
}

impl View {
    /// A state, inked and printed as planned.
    #[must_use]
    pub fn of_state(number: usize) -> Self {
        Self { state: Some(number), ..Self::default() }
    }

    /// The first state.
    #[must_use]
    pub fn first() -> Self {
        Self::of_state(1)
    }

    /// The same with another inking.
    #[must_use]
    pub fn inked(&self, inking: Inking) -> Self {
        Self { inking: Some(Arc::new(inking)), ..self.clone() }
    }
}

/// What of lines and tone is printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum Printed {
    /// Lines and tone together.
    #[default]
    Both,
    /// The lines alone, as on the plate before the first ground.
    Lines,
    /// The tone alone, as on polished copper.
    Tone,
}
