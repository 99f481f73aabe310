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
//! A [`Job`] is what is asked, a [`Plate`] what it comes to, a [`View`] how it is looked at; a [`Renderer`]
//! looks and keeps nothing that matters:
//!
//! ```
//! use plan::Plan;
//! use plate::chain::OneValue;
//! use plate::grid::Grid;
//! use plate::{Job, Plate, Renderer, View};
//! use std::sync::Arc;
//!
//! // The default plan with its third value all over the plate.
//! let plan = Plan::default();
//! let mut shares = vec![0.0; plan.bites.len() + 1];
//! shares[3] = 1.0;
//! let picture = OneValue::new(3, &shares, plan.bites.len()).expect("a value of the plan");
//! let job = Job::new(plan.clone(), Arc::new(picture));
//! let plate = Plate::of(&job).expect("a sound calibration");
//!
//! // One millimetre of the print, 10 mm from its left and top edges.
//! let place = Grid { left_px: 1000, top_px: 1000, width: 100, height: 100, px_um: 10.0 };
//! let (mut renderer, view) = (Renderer::default(), View::default());
//! let print = renderer.look(&plate, &view).print_window(&place).pixels;
//! assert_eq!(print.len(), 100 * 100);
//! assert!(print.iter().all(|reflectance| (0.0..=1.0).contains(reflectance)));
//!
//! // Thinner ink on the same copper: the ground is shared, the print paler.
//! let mut thinner = plan;
//! thinner.ink.base_parts = 60.0;
//! let other = plate.after(&job.with_plan(thinner)).expect("a sound calibration");
//! assert!(std::ptr::eq(plate.ground(), other.ground()));
//! let pale = renderer.look(&other, &view).print_window(&place).pixels;
//! assert!(pale.iter().sum::<f32>() > print.iter().sum::<f32>());
//! ```
//!
//! The crate has no clock, no input or output, no global state, and no randomness but the plan's
//! seed. All transcendental functions come from `libm`, all sums run in a fixed order: the same
//! plan gives the same bits natively and in the browser.

pub mod bake;
pub mod bite;
pub mod chain;
pub mod check;
pub mod constant;
pub mod constants;
pub mod digest;
pub mod dust;
pub mod faults;
mod fnv;
pub mod grid;
pub mod ground;
pub mod handwork;
pub mod ink;
pub mod light;
mod not_modelled;
mod order;
pub mod resist;

pub use chain::{Job, Looking, Plate, Refused, Renderer, View};
pub use not_modelled::NOT_MODELLED;
