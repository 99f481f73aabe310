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
//! Four constants are fitted: the rate of the bite, the absorption of the ink, the light thrown back by
//! its surface (the darkest black) and how deep the wipe presses into the copper (where wide pits print
//! lighter again). All others stay as the plan has them.

mod answer;
pub mod design;
pub mod example;
pub mod fit;
pub mod forward;
pub mod photo;
mod profile;
pub mod readings;
mod solve;
mod student;
pub mod tone_table;
mod verdict;

pub use answer::{CurvePoint, Fit, Fitted, Pair, StepFit};
pub use design::{Layout, Patch, StepPlate, design, layout, step_plate, unfitted};
pub use fit::fit;
pub use forward::Forward;
pub use photo::{Black, Homography, PatchReading, Photo, PhotoReading, Shot, read_photo};
pub use readings::{Kind, in_lightness};
pub use student::t_quantile;
