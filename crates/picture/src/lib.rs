//! The picture: from pixels to tones, and from tones to values.
//!
//! * [`ToneMap`] is a picture as lightness, one byte a pixel; alpha is laid over white paper.
//! * [`crop_to_plate`] and [`fit_crop`] cut it to the plate's shape.
//! * [`ValueMap`] lays it on the plate and says which value goes where.
//! * [`suggest_thresholds`] proposes where each value begins; [`fit_thresholds`] and [`suits`] do so by
//!   what the plate will print, and say how far off it will be.
//! * [`TidyMap`] is the map without specks too small for a brush.
//! * [`PictureAreas`] lays the areas by hand over it and hands all this to the plate's chain; its
//!   [`stop_out`](PictureAreas::stop_out) gives the outlines of what to varnish at each step, and
//!   [`guides`](guides()) draws them at true size.
//! * [`LineAreas`] lays a picture of lines, etched before the ground, on the plate.
//! * [`miniature::Miniature`] is the value map small enough for a link.
//! * [`harbour`] is the example picture: a harbour and lighthouse at dusk, drawn by the program.
//!
//! Everything here works in **print coordinates** (as one looks at the paper) unless it says
//! otherwise. The copper is the mirror image; [`ValueMap::fill`] can turn it over.

#![forbid(unsafe_code)]

#[cfg(feature = "hand")]
mod areas;
mod crop;
#[cfg(feature = "hand")]
pub mod example;
#[cfg(feature = "hand")]
mod guides;
#[cfg(feature = "hand")]
mod hand;
mod harbour;
#[cfg(feature = "hand")]
mod lines;
pub mod miniature;
#[cfg(feature = "hand")]
mod outline;
#[cfg(not(feature = "hand"))]
mod plain;
pub mod save;
mod suggest;
#[cfg(feature = "hand")]
mod suit;
#[cfg(feature = "hand")]
mod tidy;
mod tone;
mod values;

#[cfg(feature = "hand")]
pub use areas::{PictureAreas, StopOut};
pub use crop::{crop_to_plate, fit_crop};
#[cfg(feature = "hand")]
pub use guides::{Guide, GuideFace, GuidePaper, guides};
pub use harbour::{HARBOUR_HEIGHT, HARBOUR_WIDTH, harbour};
#[cfg(feature = "hand")]
pub use lines::LineAreas;
#[cfg(feature = "hand")]
pub use outline::{Ring, outlines};
#[cfg(not(feature = "hand"))]
pub use plain::PictureAreas;
pub use suggest::suggest_thresholds;
#[cfg(feature = "hand")]
pub use suit::{Fit, Suit, fit_thresholds, suggested, suits};
#[cfg(feature = "hand")]
pub use tidy::TidyMap;
pub use tone::{MAX_PIXELS, PictureError, ToneMap};
pub use values::ValueMap;
