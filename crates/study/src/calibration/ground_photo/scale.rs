//! How large a pixel is on the copper, and which part of a picture is read.

use super::words::refuse;
use core::ops::RangeInclusive;
use plan::Diagnostic;

/// Width of a picture that can be of a ground, mm.
const WIDTH_MM: RangeInclusive<f64> = 0.2..=60.0;
/// Two marks nearer than this share of the picture's longer side are set too roughly: a hand is a pixel or two off.
const LEAST_APART: f64 = 0.1;

/// What tells the scale of a picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Scale {
    /// Copper from the picture's left edge to its right, mm.
    Across(f64),
    /// Size of a pixel on the copper, µm.
    Pixel(f64),
    /// Two marks on a ruler, and the length between them.
    Ruler {
        /// Pixels from the left upper corner.
        marks: [(f64, f64); 2],
        /// Length, mm.
        mm: f64,
        /// Whether the ruler lies in this picture, and not in one of its own, of the same size and zoom.
        within: bool,
    },
}

/// The part of a picture that is read, pixels: left, top, right and bottom, whichever way round.
pub type Frame = [f64; 4];

impl Scale {
    /// Size of a pixel on the copper, µm, in a picture of this size.
    pub(crate) fn px_um(&self, (width, height): (usize, usize)) -> Result<f64, Diagnostic> {
        let px_um = match *self {
            Self::Across(mm) => mm * 1000.0 / width as f64,
            Self::Pixel(um) => um,
            Self::Ruler { marks: [a, b], mm, .. } => {
                let (x, y) = (b.0 - a.0, b.1 - a.1);
                let apart_px = libm::sqrt(x * x + y * y);
                if apart_px < LEAST_APART * width.max(height) as f64 {
                    return Err(refuse(
                        "ground_photo.marks",
                        "The two marks on the ruler lie too near each other to tell the scale.",
                        "Set them on two lines far apart, a tenth of the picture at least, and give the length between them.",
                    ));
                }
                mm * 1000.0 / apart_px
            }
        };
        if !WIDTH_MM.contains(&(px_um * width as f64 / 1000.0)) {
            return Err(refuse(
                "ground_photo.scale",
                "The scale is not known: a picture shows 0.2 to 60 mm of copper from left to right.",
                "Photograph a ruler the same way, set two marks on it, and give the length between them.",
            ));
        }
        Ok(px_um)
    }

    /// Whether a mark on the ruler lies in the part that is read: left, top, width and height.
    pub(crate) fn marked_in(&self, [left, top, width, height]: [f64; 4]) -> bool {
        let Self::Ruler { marks, within: true, .. } = self else { return false };
        let inside = |at: f64, from: f64, long: f64| at > from && at < from + long;
        marks.iter().any(|&(x, y)| inside(x, left, width) && inside(y, top, height))
    }
}

/// Left, top, width and height of the whole pixels in a frame; the whole picture without one.
pub(crate) fn framed(
    frame: Option<Frame>,
    (width, height): (usize, usize),
) -> (usize, usize, usize, usize) {
    let Some([left, top, right, bottom]) = frame else { return (0, 0, width, height) };
    let span = |a: f64, b: f64, most: usize| {
        let at = |place: f64| libm::round(place).clamp(0.0, most as f64) as usize;
        (at(a.min(b)), at(a.max(b)) - at(a.min(b)))
    };
    let ((left, wide), (top, high)) = (span(left, right, width), span(top, bottom, height));
    (left, top, wide, high)
}
