//! Why a proof did not print as planned, what next, and what a shop learns from it.
//!
//! | part | from | to |
//! |---|---|---|
//! | [`explain`](mod@explain) | what each value of a proof reads | the causes that explain it, each with its share of the likelihood |
//! | [`local`] | where it is lighter or darker than its own values | what may have gone wrong at one place |
//! | [`next`](mod@next) | a cause | ways on from this plate, and the next plate's bites in this bath |
//! | [`evidence`] | all proofs pulled so far | the shop's own constants, and how sure they are |
//!
//! A cause is something that went otherwise than the plan has it: the bath, the minutes, the ground, the ink, the wiping, the pressure.
//! Each is weighed by how well the model explains the readings with it, all that is not known for certain integrated out
//! (`causes`). A bath that bites slower all over and a clock that runs fast all over leave the same copper: they are one cause,
//! the bath.

mod causes;
pub mod evidence;
pub mod explain;
pub mod local;
pub mod next;
mod words;

pub use causes::{Cause, ProofSeen, ProofTables, ValueSeen};
pub use evidence::{Evidence, Learned, LearnedConstant, learn};
pub use explain::{AsFound, Explained, OfPrint, Size, Suspect, ValueTold, explain};
pub use local::{Local, LocalSuspect, PlaceSeen};
pub use next::{Next, NextValue, Retimed, Suggestion, next};
