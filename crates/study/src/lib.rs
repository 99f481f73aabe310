//! Studies: questions asked of plates.
//!
//! Each is one module with one public function that takes a [`Plate`](plate::Plate) and a plain struct of what
//! is wanted, and returns one struct. None changes a plate: what might be otherwise is another plate
//! ([`Plate::after`](plate::Plate::after)) or another view.
//!
//! | module | question |
//! |---|---|
//! | [`summary`](mod@summary) | all numbers of a plan |
//! | [`diagnosis`] | what deserves a look before copper is spent, and why something can't be had |
//! | [`tone_response`](mod@tone_response) | how dark does a plain area print after a dose? |
//! | [`timing`] | how many minutes give a dose in this bath? |
//! | [`inverse`](mod@inverse) | which minutes give the values one wants? |
//! | [`grain`] | which dust and bake give the grain one wants? |
//! | [`remaining_bites`](mod@remaining_bites) | what of the bites that remain, when some ran otherwise? |
//! | [`tolerance`](mod@tolerance) | how far apart do prints of one plan come out? |
//! | [`sensitivity`](mod@sensitivity) | how much hangs on one constant? |
//! | [`rework`] | how can a passage be brought to a wished tone? |
//! | [`edition`](mod@edition) | how long does the plate last, and what does an edition take? |
//! | [`amounts`](mod@amounts) | what is weighed out, and what do instruments read? |
//! | [`timeline`] | what does a place look like at any moment of the work? |
//! | [`faults`] | where would a fault show, and what does it cost? |
//! | [`calibration`] | which constants are this shop's own? |
//! | [`proof_reading`] | what did a proof really print, by a photograph of it? |
//! | [`proof_causes`] | why did a proof not print as planned, and what next? |
//!
//! ```
//! use plan::Plan;
//! use plate::chain::OneValue;
//! use plate::{Job, Plate, Renderer};
//! use std::sync::Arc;
//! use study::inverse::{Wanted, even_steps};
//! use study::timing::Rounding;
//!
//! let mut plan = Plan::default();
//! plan.bites.truncate(2);
//! plan.picture.thresholds_l.truncate(2);
//! let picture = OneValue::new(0, &[0.5, 0.3, 0.2], 2).expect("shares of paper and two values");
//! let plate = Plate::of(&Job::new(plan, Arc::new(picture))).expect("a sound calibration");
//!
//! // Two values in even steps of L* from the paper to the darkest that this ground can print.
//! let mut renderer = Renderer::default();
//! let response = study::tone_response(&plate, &mut renderer);
//! let wanted_l = even_steps(response.paper_l(), response.darkest().1, 2);
//! let wanted = Wanted { wanted_l: &wanted_l, bitten_min: &[], rounding: Rounding::Quarters };
//! let answer = study::inverse(&plate, &mut renderer, &response, &wanted);
//! assert_eq!(answer.bites.len(), 2);
//! for bite in &answer.bites {
//!     assert!((bite.lightness - bite.wanted_l).abs() < 2.0, "{:?}", bite.hindrance);
//! }
//! ```

pub mod amounts;
pub mod calibration;
pub mod diagnosis;
pub mod edition;
pub mod faults;
pub mod grain;
pub mod inverse;
pub mod proof_causes;
pub mod proof_reading;
pub mod registration;
pub mod remaining_bites;
pub mod rework;
pub mod sensitivity;
pub mod summary;
pub mod timeline;
pub mod timing;
pub mod tolerance;
pub mod tone_response;

pub use amounts::amounts;
pub use edition::edition;
pub use grain::grain_for;
pub use inverse::inverse;
pub use remaining_bites::remaining_bites;
pub use sensitivity::sensitivity;
pub use summary::summary;
pub use tolerance::tolerance;
pub use tone_response::tone_response;
