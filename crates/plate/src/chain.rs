//! Chain: all stages joined for one job, and the places where its plate is looked at.
//!
//! A [`Job`] is what is asked; a [`Plate`] is what it comes to, and does not change; a [`View`] says how
//! it is looked at. A [`Renderer`] looks: any [`window`](Looking::print_window) of the print, the
//! [`cut`](Looking::cut) through the copper, the [`table of values`](Looking::values), and the whole proof,
//! tile by tile.
//!
//! Windows and cuts are asked for in places on the print and computed on the copper, which is its
//! mirror image.

mod copper;
mod course;
mod cut;
mod distance;
mod fields;
mod job;
mod kept;
mod laid;
mod later;
mod later_ground;
mod lines;
mod place;
mod plate;
mod quick_sample;
mod renderer;
mod sample;
mod scratch;
mod strips;
mod swatch;
mod thumbnail;
mod values;
mod view;
mod whole;
mod window;
mod work;

pub use copper::{CopperSection, CopperWindow, cover_disc, raise_cap};
pub use course::{Course, LONGEST_MIN};
pub use cut::{Cut, CutFacts, CutRequest};
pub use fields::{Field, InkWindow, PrintWindow};
pub use job::{Doses, Job, OpenLines, Refused, ValueAreas};
pub use laid::{GroundRecipe, LaidGround};
pub use later_ground::Later;
pub use lines::LineFacts;
pub use place::{clipped, mirrored, turn_over, turned};
pub use plate::Plate;
pub use quick_sample::quick_sample;
pub use renderer::{Looking, Renderer};
pub use sample::{OneValue, Sample};
pub use swatch::{PrintedSample, Swatch};
pub use values::{SURE_SHARE, ToneCurve, TonesByDose, Value};
pub use view::{Printed, View};
pub use whole::TileRequest;
pub use work::{Then, WorkedCopper, everywhere, use_tool};

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
