//! The plan: the only document of Platewright, and the one place where it is checked.
//!
//! Everything else (dust, domes, pits, ink, proof) is computed from a [`Plan`] and a picture. The
//! crate holds no physics: it knows what may be chosen, within which limits, in which steps, and
//! says so in plain words when a choice is out of bounds.
//!
//! * [`Plan`] and its parts are plain data with public fields; every quantity carries its unit.
//! * [`FIELDS`] lists every number of a plan once: label, unit, limits, step, default and why it
//!   matters. Validation, the page's controls and the list of differences all read it.
//! * [`CHOICES`] does the same for the choices made by name (wiping, agitation, …).
//! * A [`Diagnostic`] is what is said of a plan, a [`Sentence`] how: words, and quantities that stay numbers.
//! * [`Plan::problems`] checks a plan; [`Plan::from_json`] reads one and checks it.
//! * [`link`] writes a whole plan into the fragment of an address and reads it back.
//! * [`order`] tells which stop-outs and bites a plate really needs, and in which order.
//! * [`edits`] takes out, adds and moves bites, areas, states and work, and keeps whatever names a value or a
//!   state at the one it meant.
//! * [`difference`] says in words what differs between two plans.

mod areas;
mod check;
mod choices;
pub mod compress;
mod diagnostic;
pub mod difference;
pub mod edits;
mod fault_steps;
mod fault_words;
mod faults;
mod fields;
mod full_size;
mod json;
pub mod lesson;
mod lines;
pub mod link;
mod made_for;
mod model;
pub mod order;
mod parts;
mod ranges;
#[macro_use]
pub mod sentence;
mod states;
pub mod strip;
mod tools;
mod types;
pub mod vary;

pub use areas::{Area, AreaShape, AreaWork, MAX_AREA_POINTS, MAX_AREAS, ShapeKind};
pub use check::{BITE_MIN, BITES_PER_MIN, quarter_minutes};
pub use choices::{CHOICES, Choice};
pub use diagnostic::{Diagnostic, Severity};
pub use fault_steps::{FAULT_SIZES, FaultMend, FaultSize, FaultStep};
pub use fault_words::{FaultInfo, faults_in_words};
pub use faults::{FAULT_KINDS, Fault, FaultKind, FaultPlace, MAX_FAULTS};
pub use fields::{FIELDS, Field, Part, field};
pub use full_size::{FullSize, Tag};
pub use json::part_from_json;
pub use lines::{LINE_OPEN_L, LineWork};
pub use made_for::{LIKENESS_CELLS, MadeFor};
pub use model::MODEL;
pub use ranges::{RANGES, Range};
pub use sentence::{Piece, Quantity, Sentence, US_UNITS, Unit, Units, UsUnit, Worded, quantity};
pub use states::*;
pub use tools::{TOOLS, ToolInfo};
pub use types::*;

/// The version of the plan's format that this program writes.
pub const FORMAT_VERSION: u32 = 1;
/// Fewest values (bites) beside the paper white.
pub const MIN_VALUES: usize = 2;
/// Most values (bites) beside the paper white.
pub const MAX_VALUES: usize = 12;
