//! Calibration: a shop's own constants from one step plate.
//!
//! In the order of the work:
//!
//! | part | from | to |
//! |---|---|---|
//! | [`design`](mod@design) | a plan | a small plate of 6 to 10 steps: minutes and patches |
//! | [`photo`] | a picture of the print and the plate's four corners | L* of every patch |
//! | [`readings`] | L* or densities | L*, or why they can't be |
//! | [`forward`] | a plate | what each step prints with other constants, quickly |
//! | [`fit`](mod@fit) | minutes and L* | the constants, how sure they are, and a verdict |
//!
//! Any proof already pulled serves instead of a step plate ([`proof_plate`]): each value of its plan is a step, with its minutes.
//! [`case`] joins it all: the fit, and what may be amiss ([`misfit`]): a bite that ran long, another ground than the plan's, readings
//! that changed places or slipped, a camera ([`camera`]).
//!
//! [`covers`] does the same with two step plates at once, of unlike cover: how much faster a closer ground bites.
//!
//! Beside it, from two pictures of one place before and after the bake:
//!
//! | part | from | to |
//! |---|---|---|
//! | [`ground_photo`] | a picture of dust or of a melted ground | cover, islands per mm², their width |
//! | [`ground_fit`] | two such readings | how much powder lands, and how firmly edges hold |
//!
//! Four constants are fitted: the rate of the bite, the absorption of the ink, the light thrown back by
//! its surface (the darkest black) and how deep the wipe presses into the copper (where wide pits print
//! lighter again). All others stay as the plan has them.

mod answer;
pub mod camera;
pub mod case;
pub mod covers;
pub mod design;
pub mod example;
pub mod fit;
pub mod forward;
pub mod ground_fit;
pub mod ground_photo;
pub mod misfit;
pub mod model;
pub mod photo;
mod profile;
pub mod readings;
pub(crate) mod search;
pub(crate) mod solve;
mod student;
mod sure;
pub(crate) mod sway;
pub mod tone_table;
pub(crate) mod verdict;
pub(crate) mod weigh;

use plan::Range;

/// Steps of a step plate.
const STEPS: Range = Range {
    key: "calibration.steps",
    min: design::STEPS.0 as f64,
    max: design::STEPS.1 as f64,
    step: 1.0,
};
/// L* that may be read.
const LIGHTNESS: Range = Range { key: "calibration.lightness", min: 0.0, max: 100.0, step: 0.1 };
/// Density that may be read: a little below 0 by an instrument that is out, and no print is denser than the most.
const DENSITY: Range = Range { key: "calibration.density", min: -0.1, max: 2.6, step: 0.01 };
/// Limits of what is made and read of a step plate.
pub const RANGES: [Range; 3] = [STEPS, LIGHTNESS, DENSITY];

pub use answer::{CurvePoint, Fit, Fitted, Pair, StepFit};
pub use camera::{Camera, Grey, Yardstick};
pub use case::{Allowed, Calibrated, Reading, Tables, calibrate};
pub use covers::{CoverSteps, Covers, CoversFit, fit_covers};
pub use design::{Layout, Patch, StepPlate, design, layout, proof_plate, step_plate, unfitted};
pub use fit::fit;
pub use forward::Forward;
pub use ground_fit::{GroundFit, Told, fit_ground};
pub use ground_photo::{
    Frame, GroundMeasures, GroundPhoto, GroundReading, GroundShot, RosinMask, RosinTone, Scale,
    read_ground,
};
pub use misfit::{Finding, Misfit, Otherwise};
pub use model::Grounds;
pub use photo::{
    Homography, KnownGrey, PatchReading, Photo, PhotoReading, Shot, patches_in_picture, read_photo,
};
pub use readings::{Kind, grey_reflectance, in_any_order, in_lightness};
pub use student::t_quantile;
