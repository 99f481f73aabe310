//! The picture that a plan was made for: enough to know it again when it comes later than the plan.

use crate::parts::Crop;
use serde::{Deserialize, Serialize};

/// What the picture that a plan was made for is like: its width and height in pixels, then the mean
/// lightness L* of [`LIKENESS_CELLS`] cells, row by row from its top left, in halves. The `picture`
/// crate makes and compares them. Empty where nothing is known of it.
///
/// A list and no struct of its own: so it costs the page next to nothing.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[serde(transparent)]
pub struct MadeFor(pub Vec<f64>);

/// Cells of a likeness: four rows of four.
pub const LIKENESS_CELLS: usize = 16;
/// Longest side of a picture that can be named, pixels.
const MOST_PX: f64 = 1e6;

impl MadeFor {
    /// Whether nothing is known of the picture.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Width and height, pixels, and the cells; `None` unless all are there and within their limits.
    #[must_use]
    pub fn parts(&self) -> Option<([f64; 2], &[f64])> {
        let (size, cells) = self.0.split_first_chunk::<2>()?;
        let whole = |side: &f64| *side >= 1.0 && *side <= MOST_PX && side.fract() == 0.0;
        let tone = |l: &f64| *l >= 0.0 && *l <= 100.0 && (2.0 * l).fract() == 0.0;
        let sound =
            cells.len() == LIKENESS_CELLS && size.iter().all(whole) && cells.iter().all(tone);
        sound.then_some((*size, cells))
    }

    /// The same of a picture of `width` × `height` pixels, of which a smaller copy was looked at.
    #[must_use]
    pub fn of_size(mut self, width: usize, height: usize) -> Self {
        for (side, pixels) in self.0.iter_mut().zip([width, height]) {
            *side = pixels as f64;
        }
        self
    }
}

impl Crop {
    /// Part of a whole picture that this part of its part `of` is.
    #[must_use]
    pub fn within(self, of: Self) -> Self {
        let (width, height) = (self.width * of.width, self.height * of.height);
        Self {
            left: (of.left + self.left * of.width).min(1.0 - width),
            top: (of.top + self.top * of.height).min(1.0 - height),
            width,
            height,
        }
    }
}
