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
//! | [`calibration`] | which constants are this shop's own? |

pub mod amounts;
pub mod calibration;
pub mod diagnosis;
pub mod edition;
pub mod grain;
pub mod inverse;
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
