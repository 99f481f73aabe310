//! Line work that is on the copper before the first ground: drawn through an etching ground and bitten.

use crate::parts::Crop;
use serde::{Deserialize, Serialize};

/// Lines already etched: a picture of their own says where they are and how wide.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[serde(deny_unknown_fields)]
pub struct LineWork {
    /// File name of the picture of the lines; only its name is kept in the plan. At most 255
    /// characters.
    pub picture: String,
    /// Part of that picture which lies on the plate.
    #[serde(default)]
    pub crop: Crop,
    /// Lightness L* at and below which the copper lay open: what is drawn as dark as this is line.
    #[serde(default = "open_below_l")]
    pub open_below_l: f64,
    /// Minutes that the lines lay in the plan's bath, in whole quarters.
    pub bite_min: f64,
}

/// Lightest and darkest that a line may begin at, L*.
pub const LINE_OPEN_L: (f64, f64) = (1.0, 99.0);

fn open_below_l() -> f64 {
    50.0
}

/// Bite of lines that no plan speaks of, min: a middling line. Common practice, no source.
const USUAL_BITE_MIN: f64 = 30.0;

impl LineWork {
    /// Lines bitten as usual, of no picture yet.
    #[must_use]
    pub fn usual() -> Self {
        Self {
            picture: String::new(),
            crop: Crop::default(),
            open_below_l: open_below_l(),
            bite_min: USUAL_BITE_MIN,
        }
    }
}
