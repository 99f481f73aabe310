//! The plate, grain by grain: from a plan to the light a print throws back.
//!
//! Stages in the order of the bench, each one module with one plain function from the stage before
//! to the stage after, its constants beside it:
//!
//! | stage | module | from | to |
//! |---|---|---|---|
//! | dust | [`dust`] | the dust box | sizes and weight of the grains that land |
//! | bake | [`bake`] | landed dust, hot plate | how far each grain melts, spreads and merges |
//! | ground | [`ground`] | both, and a place on the plate | the domes at that place |
//! | resist | [`resist`] | domes | distance under the resin, pixel by pixel |
//! | bite | [`bite`] | distance, minutes, bath | depth of copper gone |
//! | work | [`handwork`] | depth | depth after scraper, burnisher or wear |
//! | ink | [`ink`] | depth | ink held, printed, and the light thrown back |
//! | all | [`chain`] | all of them | windows and whole proofs |
//!
//! The crate has no clock, no input or output, no global state, and no randomness but the plan's
//! seed. All transcendental functions come from `libm`, all sums run in a fixed order: the same
//! plan gives the same bits natively and in the browser.

#![forbid(unsafe_code)]

pub mod bake;
pub mod bite;
pub mod chain;
mod constant;
pub mod constants;
pub mod digest;
pub mod dust;
pub mod grid;
pub mod ground;
pub mod handwork;
pub mod ink;
pub mod light;
mod order;
pub mod resist;

pub use chain::{Job, Looking, Plate, Refused, Renderer, View};
