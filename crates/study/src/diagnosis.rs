//! Diagnosis: what stands in the way of a plan, in words. [`warnings`](mod@warnings) looks at the plan as it
//! is; `hindrances` says why a wanted value can't be had, `remedies` what would carry it.

pub(crate) mod hindrances;
mod remedies;
pub mod warnings;

pub use warnings::warnings;

/// What is said of a bath that is used up.
pub(crate) const DEAD_BATH: &str =
    "This bath no longer bites: its iron is used up by the copper in it.";
