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

mod areas;
mod crop;
pub mod example;
mod guides;
mod hand;
mod harbour;
mod likeness;
mod lines;
pub mod miniature;
mod outline;
pub mod save;
mod suggest;
mod suit;
mod tidy;
mod tone;
mod values;

pub use areas::{PictureAreas, StopOut};
pub use crop::{crop_to_plate, fit_crop};
pub use guides::{Guide, GuideFace, GuidePaper, guides};
pub use harbour::{HARBOUR_HEIGHT, HARBOUR_WIDTH, harbour};
pub use likeness::{likeness, same_picture};
pub use lines::LineAreas;
pub use outline::{Ring, outlines};
pub use suggest::suggest_thresholds;
pub use suit::{Fit, Suit, fit_thresholds, suggested, suits};
pub use tidy::TidyMap;
pub use tone::{MAX_PIXELS, PictureError, ToneMap};
pub use values::ValueMap;
