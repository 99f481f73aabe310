//! The picture: from pixels to tones, and from tones to values.
//!
//! * [`ToneMap`] is a picture as lightness, one byte a pixel; alpha is laid over white paper.
//! * [`crop_to_plate`] and [`fit_crop`] cut it to the plate's shape.
//! * [`ValueMap`] lays it on the plate and says which value goes where.
//! * [`suggest_thresholds`] proposes where each value begins.
//! * [`PictureAreas`] hands all this to the plate's chain.
//! * [`miniature::Miniature`] is the value map small enough for a link.
//! * [`harbour`] is the example picture: a harbour and lighthouse at dusk, drawn by the program.
//!
//! Everything here works in **print coordinates** (as one looks at the paper) unless it says
//! otherwise. The copper is the mirror image; [`ValueMap::fill`] can turn it over.

#![forbid(unsafe_code)]

mod areas;
mod crop;
pub mod example;
mod harbour;
pub mod miniature;
pub mod save;
mod suggest;
mod tone;
mod values;

pub use areas::PictureAreas;
pub use crop::{crop_to_plate, fit_crop};
pub use harbour::{HARBOUR_HEIGHT, HARBOUR_WIDTH, harbour};
pub use suggest::suggest_thresholds;
pub use tone::{MAX_PIXELS, PictureError, ToneMap};
pub use values::ValueMap;
