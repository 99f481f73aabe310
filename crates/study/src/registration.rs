//! Finds a print in a picture of it: where on the picture lies what the plate should have printed.
//!
//! 1. The picture is brought to lightness against the paper's, and made smaller by halves.
//! 2. What is dark and wholly surrounded by paper is the print; its middle, its size and its direction, by moments, lay
//!    the expected print on it, either way round (`start`).
//! 3. From coarse to fine the projection is then moved until both agree best, whatever the exposure (`refine`).
//!
//! What agrees too little is refused: it is another print, or none.

mod lightness;
mod refine;
mod start;

use crate::calibration::{Homography, Layout, Photo};
use lightness::Lightness;
use plan::{Diagnostic, sentence};
use refine::{Laid, alike, as_seen, refine};
use serde::Serialize;

/// Correlation below which it is another print. Right ones agree to 0.97 and more, others to 0.88 at most (`tests/registration.rs`).
const LEAST_ALIKE: f64 = 0.93;
/// Sides of the expected print's pixels as it is laid on ever more finely, mm.
const STEPS_MM: [f64; 4] = [4.0, 2.0, 1.0, 0.5];
/// So many of the places to begin with, the best, are gone on from.
const MOST_STARTS: usize = 24;
/// Paper looked at round the plate, mm.
pub(crate) const ROUND_MM: f64 = 6.0;

/// What a plate should print: lightness against the paper's, 0–1, in small squares.
#[derive(Clone, Debug, PartialEq)]
pub struct Expected {
    /// Width of the plate, mm.
    pub width_mm: f64,
    /// Height of the plate, mm.
    pub height_mm: f64,
    /// Side of a square, mm.
    pub px_mm: f64,
    /// Squares in a row.
    pub columns: usize,
    /// Lightness of each square, row by row, 0 black to 1 paper.
    pub lightness: Vec<f32>,
}

/// Where a print lies in a picture.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct PrintFound {
    /// The plate's corners, pixels: top left of the print, then clockwise.
    pub corners: [(f64, f64); 4],
    /// How much the picture agrees with what the plate should print, −1 to 1.
    pub alike: f64,
}

impl Expected {
    /// A step plate: even steps of lightness from a pale grey to black. What each really prints is not known yet, and
    /// need not be.
    #[must_use]
    pub fn step_plate(layout: &Layout) -> Self {
        let px_mm = 0.5;
        let (columns, rows) =
            ((layout.width_mm / px_mm).ceil() as usize, (layout.height_mm / px_mm).ceil() as usize);
        let mut lightness = vec![1.0; columns * rows];
        let last = layout.patches.len().saturating_sub(1).max(1) as f32;
        for (i, patch) in layout.patches.iter().enumerate() {
            let px = |mm: f64| libm::round(mm / px_mm) as usize;
            for row in px(patch.top_mm)..px(patch.top_mm + patch.height_mm).min(rows) {
                let from = row * columns;
                let (left, right) = (px(patch.left_mm), px(patch.left_mm + patch.width_mm));
                lightness[from + left..from + right.min(columns)]
                    .fill(0.85 - 0.6 * i as f32 / last);
            }
        }
        Self { width_mm: layout.width_mm, height_mm: layout.height_mm, px_mm, columns, lightness }
    }

    /// Lightness over a square in the middle of which this place lies, mm; 1 beside the plate.
    pub(crate) fn over(&self, (x_mm, y_mm): (f64, f64), side_mm: f64) -> f64 {
        let count = (side_mm / self.px_mm).ceil().max(1.0) as i64;
        let first = |mm: f64| libm::floor((mm - 0.5 * side_mm) / self.px_mm + 0.5) as i64;
        let (left, top) = (first(x_mm), first(y_mm));
        let mut sum = 0.0;
        for row in top..top + count {
            for column in left..left + count {
                let in_row = (0..self.columns as i64).contains(&column) && row >= 0;
                let at = in_row.then(|| row as usize * self.columns + column as usize);
                sum += at.and_then(|at| self.lightness.get(at)).map_or(1.0, |l| f64::from(*l));
            }
        }
        sum / (count * count) as f64
    }
}

/// Finds a print in a picture.
///
/// # Errors
/// A sentence where nothing in the picture is the print.
pub fn find(photo: &Photo, expected: &Expected) -> Result<PrintFound, Diagnostic> {
    let levels = Lightness::levels(photo);
    let [roughest, rough, fine, finest] = STEPS_MM;
    let coarse = [Laid::new(expected, roughest), Laid::new(expected, rough)];
    let fine = Laid::new(expected, fine);
    let with = |laid: &Laid<'_>, map: Homography| Some((map, alike(&levels, laid, &map)?));
    let mut starts: Vec<(Homography, f64)> = start::starts(&levels, expected)
        .into_iter()
        .filter_map(|map| with(&coarse[0], map))
        .collect();
    starts.sort_by(|a, b| b.1.total_cmp(&a.1));
    let found = starts
        .into_iter()
        .take(MOST_STARTS)
        .filter_map(|(map, _)| with(&coarse[1], refine(&levels, &coarse, map)?))
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .and_then(|(map, _)| refine(&levels, core::slice::from_ref(&fine), map))
        .and_then(|map| {
            // Tones that are not as expected would draw the borders between them aside.
            let seen = as_seen(&levels, expected, &map)?;
            refine(&levels, &[Laid::new(&seen, finest)], map)
        })
        .and_then(|map| with(&fine, map));
    let hint = "Is all of the print in the picture, with bare paper all round it? Else set the marks by hand.";
    let Some((map, alike)) = found else {
        let message = "No print with bare paper round it was found in this picture.";
        return Err(Diagnostic::error("photo", "photo.no_print", message).hint(hint));
    };
    if alike < LEAST_ALIKE {
        let message = sentence!(
            "What looks like a print in this picture agrees too little with the one expected: {} of 100, where {} are needed.",
            libm::round(100.0 * alike.max(0.0)),
            100.0 * LEAST_ALIKE
        );
        return Err(Diagnostic::error("photo", "photo.other_print", message).hint(hint));
    }
    let (w, h) = (expected.width_mm, expected.height_mm);
    let corners = [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)].map(|(x, y)| map.to_picture(x, y));
    Ok(PrintFound { corners, alike })
}
