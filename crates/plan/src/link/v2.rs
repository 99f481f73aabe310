//! Version 2 of a plan in a link: version 1's bytes, then what plans have had since. **Frozen** like
//! them; the next parts of a plan go after these, in a module of their own.
//!
//! Where there are lines under the ground, theirs come last of all; nothing follows where there are none.
//!
//! A plan that has none of these parts is still written as version 1, so that older pages open it.

mod lines;
mod states;

use super::v1::{self, frozen};
use crate::types as now;
use serde::{Deserialize, Serialize};

frozen!(Stiffness: Loose, Usual, Stiff);
frozen!(Blankets: One, Two, Three);

/// What version 1 lacks.
#[derive(Serialize, Deserialize)]
struct Later {
    calibration_name: String,
    ink_stiffness: Stiffness,
    ink_dabbed_up: bool,
    ink_blankets: Blankets,
    states: Vec<states::State>,
    /// How many states follow: a module that knows nothing of them reads plans without.
    edition: Option<states::Edition>,
}

impl From<&now::Plan> for Later {
    fn from(plan: &now::Plan) -> Self {
        Self {
            calibration_name: plan.calibration_name.clone(),
            ink_stiffness: plan.ink.stiffness.into(),
            ink_dabbed_up: plan.ink.dabbed_up,
            ink_blankets: plan.ink.blankets.into(),
            states: plan.states.iter().map(Into::into).collect(),
            edition: plan.edition.as_ref().map(Into::into),
        }
    }
}

/// The plan in version 2's bytes; `None` when version 1 can say all of it.
pub(super) fn to_bytes(plan: &now::Plan) -> Option<Vec<u8>> {
    let bytes_of = |plan| postcard::to_allocvec(&Later::from(plan)).unwrap_or_default();
    let mut later = bytes_of(plan);
    lines::push(plan, &mut later);
    // Version 1 stands for the choices that plans were made with then.
    let before = now::Plan { ink: v1_ink(), ..now::Plan::default() };
    (later != bytes_of(&before)).then(|| [v1::to_bytes(plan), later].concat())
}

/// A plan from version 2's bytes, unchecked; `None` when they hold none, or more than one.
pub(super) fn from_bytes(bytes: &[u8]) -> Option<now::Plan> {
    let (mut plan, rest) = v1::from_bytes(bytes)?;
    let (later, rest) = postcard::take_from_bytes::<Later>(rest).ok()?;
    plan.calibration_name = later.calibration_name;
    plan.ink.stiffness = later.ink_stiffness.into();
    plan.ink.dabbed_up = later.ink_dabbed_up;
    plan.ink.blankets = later.ink_blankets.into();
    {
        plan.states = later.states.into_iter().map(Into::into).collect();
        plan.edition = later.edition.map(Into::into);
        plan.lines = lines::from_bytes(rest)?;
    }
    Some(plan)
}

/// The choices of ink and press that a plan of version 1 stands for, whatever today's defaults are.
pub(super) fn v1_ink() -> now::Ink {
    now::Ink {
        stiffness: now::Stiffness::Usual,
        dabbed_up: false,
        blankets: now::Blankets::Three,
        ..now::Ink::default()
    }
}
