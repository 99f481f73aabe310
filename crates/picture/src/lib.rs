//! The picture: from pixels to tones, and from tones to values.
//!
//! * [`read()`] and [`Reading`] bring decoded pixels to what lies on the plate: alpha over white paper, crop
//!   and area means, all in linear light. The page and the native program read with them alike.
//! * [`ToneMap`] is what they give: a picture, or a part of one, as lightness, one byte a pixel.
//! * [`Toning`] is what a plan does to its tones: exposure, contrast, a curve.
//! * [`Frame`] has the crops of the plate's shape.
//! * [`ValueMap`] lays it on the plate and says which value goes where.
//! * [`fit_thresholds`] proposes where each value begins by what the plate will print, and [`suits`] how
//!   many values; both say how far off the print will be.
//! * [`newly_met`] brings a plan to a picture that is new to it.
//! * [`TidyMap`] is the map without what is too narrow for a brush.
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
mod cuts;
pub mod example;
mod guides;
mod hand;
mod harbour;
mod likeness;
mod lines;
pub mod miniature;
mod newly;
mod outline;
mod read;
pub mod save;
mod suit;
mod tidy;
mod tone;
mod toning;
mod values;

pub use areas::{PictureAreas, StopOut};
pub use crop::{Frame, crop_of_lines, crop_to_plate, plate_like_picture};
pub use guides::{Guide, GuideFace, GuidePaper, GuideWish, guides};
pub use harbour::{HARBOUR_HEIGHT, HARBOUR_WIDTH, harbour};
pub use likeness::{likeness, same_picture};
pub use lines::LineAreas;
pub use newly::newly_met;
pub use outline::{Ring, outlines};
pub use read::{MOST_SIDE, Pixels, Reading, Window, brought_down, read, too_large, unfit};
pub use suit::{Fit, Suit, fit_thresholds, suggested, suits};
pub use tidy::TidyMap;
pub use tone::{MAX_PIXELS, PictureError, ToneMap};
pub use toning::{Toned, Toning, whole_range};
pub use values::ValueMap;
