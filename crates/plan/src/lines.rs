//! Line work that is on the copper before the first ground: drawn through an etching ground and bitten.

use crate::check::{BITE_MIN, MIN_CROP, out_of_range};
use crate::types::{Crop, Plan};
use serde::{Deserialize, Serialize};

/// Lines already etched: a picture of their own says where they are and how wide.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
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
/// Longest file name, in characters.
const MAX_NAME: usize = 255;

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

impl Plan {
    /// Checks the line work.
    pub(crate) fn check_lines(&self, error: &mut impl FnMut(&str, String)) {
        let Some(lines) = &self.lines else { return };
        if lines.picture.chars().count() > MAX_NAME {
            error(
                "lines.picture",
                format!(
                    "The file name of the lines' picture is longer than {MAX_NAME} characters. Shorten it."
                ),
            );
        }
        let crop = lines.crop;
        let inside =
            |from: f64, size: f64| from >= 0.0 && size >= MIN_CROP && from + size <= 1.0 + 1e-9;
        if !inside(crop.left, crop.width) || !inside(crop.top, crop.height) {
            error(
                "lines.crop",
                format!(
                    "The crop of the lines' picture (left {}, top {}, width {}, height {}) leaves it. Each is a fraction of the picture between 0 and 1, at least {MIN_CROP} wide and high.",
                    crop.left, crop.top, crop.width, crop.height
                ),
            );
        }
        let (level, (least, most)) = (lines.open_below_l, LINE_OPEN_L);
        if !(level >= least && level <= most) {
            error(
                "lines.open_below_l",
                out_of_range("Where the lines begin", level, "L*", least, most),
            );
        }
        let minutes = lines.bite_min;
        if !(minutes >= BITE_MIN.0 && minutes <= BITE_MIN.1) {
            error(
                "lines.bite_min",
                out_of_range("The bite of the lines", minutes, "min", BITE_MIN.0, BITE_MIN.1),
            );
        } else if (minutes * 4.0).fract() != 0.0 {
            error(
                "lines.bite_min",
                format!(
                    "The bite of the lines is {minutes} min; bites are timed in quarter minutes. Round it to {} min.",
                    (minutes * 4.0).round() / 4.0
                ),
            );
        }
    }
}
