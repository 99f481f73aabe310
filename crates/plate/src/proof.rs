//! Proof: the whole chain for one plan, and the places where it is looked at.
//!
//! A [`Job`] is what is asked; a [`Plate`] is what it comes to, and does not change; a [`View`] says how
//! it is looked at. A [`Renderer`] looks: any [`window`](Looking::print_window) of the print, the
//! [`cut`](Looking::cut) through the copper, the [`table of values`](Looking::values), and the whole proof,
//! tile by tile.
//!
//! Windows and cuts are asked for in places on the print and computed on the copper, which is its
//! mirror image.

mod backwards;
mod bands;
mod bench;
mod copper;
mod correct;
mod cut;
mod distance;
mod doubt;
mod edition;
mod fields;
mod glance;
mod job;
mod kept;
mod laid;
mod later;
mod lines;
mod overview;
mod place;
mod plate;
mod renderer;
mod sample;
mod summary;
mod swatch;
mod to_go;
mod tone_table;
mod values;
mod view;
mod warnings;
pub mod watch;
mod whole;
mod window;

pub use backwards::{
    BackBite, Backwards, Darkening, GrainAnswer, GrainSize, GrainWish, MET_L, Rounding, backwards,
    darkening, even_steps, grain_for, minutes_alone, picture_values, reaches, same_values,
};
pub use bands::{Band, Bands, Limits, Spread, bands};
pub use bench::{Bench, bench};
pub use copper::{CopperWindow, cover_disc, raise_cap};
pub use correct::{Passage, Way, passage, ways};
pub use cut::{Cut, CutRequest};
pub use doubt::{Doubt, doubt};
pub use edition::{Drift, EditionAnswer, SEEN_L, STRIP, edition};
pub use fields::{Field, InkWindow, PrintWindow};
pub use glance::glance;
pub use job::{Doses, Job, OpenLines, Refused, ValueAreas};
pub use laid::{GroundRecipe, LaidGround};
pub use later::{Then, WorkedCopper, everywhere, use_tool};
pub use lines::LineFacts;
pub use place::{clipped, mirrored, turn_over, turned};
pub use plate::Plate;
pub use renderer::{Looking, Renderer};
pub use sample::{OneValue, Sample};
pub use summary::{Summary, summary};
pub use swatch::{PrintedSample, Swatch};
pub use to_go::{ToGo, bites_to_go};
pub use tone_table::{ToneTableSides, doses_at_rate, overlap_key, tone_table};
pub use values::{ToneCurve, Value};
pub use view::{Printed, View};
pub use warnings::Warning;
pub use whole::TileRequest;

use crate::grid::Grid;

/// Pixel size of the sample that stands for a value in the table, µm.
pub const SAMPLE_PX_UM: f32 = 4.0;
/// Side of that sample, pixels (2.4 mm).
pub const SAMPLE_SIDE_PX: usize = 600;
/// Side of the smaller sample on which much is tried, pixels (1.2 mm).
pub const TRIAL_SIDE_PX: usize = 300;

/// The sample's raster, without its place: that is the ground's own affair.
pub const SAMPLE: Grid = Grid {
    left_px: 0,
    top_px: 0,
    width: SAMPLE_SIDE_PX,
    height: SAMPLE_SIDE_PX,
    px_um: SAMPLE_PX_UM,
};
