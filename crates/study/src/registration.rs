//! Finds a print in a picture of it: where on the picture lies what the plate should have printed.
//!
//! 1. The picture is brought to lightness against the paper's, and made smaller by halves.
//! 2. What is dark and wholly surrounded by paper is the print; its middle, its size and its direction, by moments, lay
//!    the expected print on it, either way round (`start`).
//! 3. From coarse to fine the projection is then moved until both agree best, whatever the exposure (`refine`).
//! 4. At the last the light is evened by what the paper's margin shows of it, the tones are taken as the picture has them, and
//!    how much the lens bends lines is found with the rest.
//!
//! What agrees too little is refused: it is another print, or none.

mod lightness;
mod refine;
mod start;

use crate::calibration::photo::Paper;
use crate::calibration::{Homography, Layout, Photo};
use lightness::Lightness;
use plan::{Diagnostic, sentence};
use refine::{EDGE_MM, Laid, alike, as_seen, refine};
use serde::Serialize;

/// Correlation below which it is another print. Right ones agree to 0.97 and more, others to 0.88 at most (`tests/registration.rs`).
const LEAST_ALIKE: f64 = 0.93;
/// The same in the roughest squares, of a print that agrees too little because the picture is blurred.
const ALIKE_IN_LARGE: f64 = 0.95;
/// Sides of the expected print's pixels as it is laid on ever more finely, mm.
const STEPS_MM: [f64; 4] = [4.0, 2.0, 1.0, 0.5];
/// So many of the places to begin with, the best, are gone on from.
const MOST_STARTS: usize = 24;
/// Tones as they are seen and where the print lies are found in turn, so often.
const TIMES: usize = 2;
/// And so many from there.
const MOST_NEARER: usize = 4;
/// Squares that a print is laid on in at the finest.
const MOST_SQUARES: f64 = 60_000.0;
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
    /// Whether something may lie along the plate's edge that is not told here, such as ink of the bevel.
    pub bevelled: bool,
}

/// Where a print lies in a picture.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct PrintFound {
    /// The plate's corners, pixels: top left of the print, then clockwise.
    pub corners: [(f64, f64); 4],
    /// How much the picture agrees with what the plate should print, −1 to 1.
    pub alike: f64,
    /// How far the lens bends straight lines: by this share a place at the picture's corner lies farther from its middle.
    pub bend: f64,
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
        let (width_mm, height_mm) = (layout.width_mm, layout.height_mm);
        Self { width_mm, height_mm, px_mm, columns, lightness, bevelled: false }
    }

    /// Lightness over a square in the middle of which this place lies, mm; 1 beside the plate.
    pub(crate) fn over(&self, (x_mm, y_mm): (f64, f64), side_mm: f64) -> f64 {
        // Squares that it touches, and how much of each.
        let touched = |mm: f64| {
            let (from, to) = ((mm - 0.5 * side_mm) / self.px_mm, (mm + 0.5 * side_mm) / self.px_mm);
            let share = move |i: i64| (to.min(i as f64 + 1.0) - from.max(i as f64)).max(0.0);
            (libm::floor(from) as i64..libm::ceil(to) as i64).map(move |i| (i, share(i)))
        };
        let (mut sum, mut all) = (0.0, 0.0);
        for (row, down) in touched(y_mm) {
            for (column, across) in touched(x_mm) {
                let in_row = (0..self.columns as i64).contains(&column) && row >= 0;
                let at = in_row.then(|| row as usize * self.columns + column as usize);
                let here = at.and_then(|at| self.lightness.get(at)).map_or(1.0, |l| f64::from(*l));
                sum += here * down * across;
                all += down * across;
            }
        }
        sum / all
    }
}

/// Finds a print in a picture.
///
/// # Errors
/// A sentence where nothing in the picture is the print.
pub fn find(photo: &Photo, expected: &Expected) -> Result<PrintFound, Diagnostic> {
    let search = Search::new(photo, expected);
    let found = search.starts().and_then(|map| search.finely(map));
    let Some(found) = found else {
        let message = "No print with bare paper round it was found in this picture.";
        return Err(Diagnostic::error("photo", "photo.no_print", message).hint(HINT));
    };
    if found.alike < LEAST_ALIKE {
        return Err(if search.in_large(&found) { blurred() } else { other_print(found.alike) });
    }
    Ok(found)
}

/// What is said of a print that agrees in large squares alone.
fn blurred() -> Diagnostic {
    let message = "The print in this picture is too blurred to be laid on its plate.";
    Diagnostic::error("photo", "photo.blurred", message).hint(SHARPER)
}

/// Finds a print near the corners where somebody sees it; `None` where it does not lie there.
#[must_use]
pub fn find_near(
    photo: &Photo,
    expected: &Expected,
    corners: &[(f64, f64); 4],
) -> Option<PrintFound> {
    let map = Homography::new(expected.width_mm, expected.height_mm, corners)?;
    let search = Search::new(photo, expected);
    let rough = refine(&search.levels, &search.coarse[1..], map, false)?;
    search.finely(rough).filter(|found| found.alike >= LEAST_ALIKE)
}

/// How much a picture agrees with the expected print at these corners, −1 to 1; `None` where they make no plate in it.
pub(crate) fn correlation(
    photo: &Photo,
    expected: &Expected,
    corners: &[(f64, f64); 4],
) -> Option<f64> {
    let map = Homography::new(expected.width_mm, expected.height_mm, corners)?;
    let search = Search::new(photo, expected);
    alike(&search.levels, &search.fine, &map)
}

/// What to do where no print is found.
const HINT: &str = "Is all of the print in the picture, sharp, with bare paper all round it? Else set the marks by hand.";

/// What to do about a picture that is blurred.
pub(crate) const SHARPER: &str =
    "Rest the camera on something, touch the print to focus, and give it more light; or scan it.";

/// What is said of a print that agrees too little.
fn other_print(alike: f64) -> Diagnostic {
    let message = sentence!(
        "What looks like a print in this picture agrees too little with the one expected: {} of 100, where {} are needed.",
        libm::round(100.0 * alike.max(0.0)),
        100.0 * LEAST_ALIKE
    );
    Diagnostic::error("photo", "photo.other_print", message).hint(HINT)
}

/// A picture and what is looked for in it.
struct Search<'a> {
    photo: &'a Photo,
    levels: Vec<Lightness>,
    expected: &'a Expected,
    coarse: [Laid<'a>; 2],
    fine: Laid<'a>,
    /// Side of the finest squares, mm.
    finest_mm: f64,
}

impl<'a> Search<'a> {
    fn new(photo: &'a Photo, expected: &'a Expected) -> Self {
        let [roughest, rough, fine, finest] = STEPS_MM;
        let area_mm2 = expected.width_mm * expected.height_mm;
        Self {
            photo,
            levels: Lightness::levels(photo),
            expected,
            coarse: [Laid::new(expected, roughest), Laid::new(expected, rough)],
            fine: Laid::new(expected, fine),
            finest_mm: libm::sqrt(area_mm2 / MOST_SQUARES).clamp(finest, fine),
        }
    }

    /// The likeliest of all places, roughly.
    fn starts(&self) -> Option<Homography> {
        let with = |laid: &Laid<'_>, map: Homography| Some((map, alike(&self.levels, laid, &map)?));
        let best_first = |mut all: Vec<(Homography, f64)>, most: usize| {
            all.sort_by(|a, b| b.1.total_cmp(&a.1));
            all.truncate(most);
            all
        };
        let [roughest, rough] = &self.coarse;
        let starts = start::starts(&self.levels, self.expected).into_iter();
        let starts = starts.filter_map(|map| with(roughest, map)).collect();
        let nearer = best_first(starts, MOST_STARTS).into_iter().filter_map(|(map, _)| {
            with(roughest, refine(&self.levels, core::slice::from_ref(roughest), map, false)?)
        });
        let nearer =
            best_first(nearer.collect(), MOST_NEARER).into_iter().filter_map(|(map, _)| {
                with(rough, refine(&self.levels, core::slice::from_ref(rough), map, false)?)
            });
        nearer.max_by(|a, b| a.1.total_cmp(&b.1)).map(|(map, _)| map)
    }

    /// Whether a print that agrees too little would agree were it looked at in large squares only.
    fn in_large(&self, found: &PrintFound) -> bool {
        let (w, h) = (self.expected.width_mm, self.expected.height_mm);
        Homography::new(w, h, &found.corners)
            .and_then(|map| alike(&self.levels, &self.coarse[0], &map))
            .is_some_and(|alike| alike >= ALIKE_IN_LARGE)
    }

    /// Where it lies exactly, from where it lies roughly.
    fn finely(&self, map: Homography) -> Option<PrintFound> {
        let (levels, expected) = (&self.levels, self.expected);
        let (w, h) = (expected.width_mm, expected.height_mm);
        let mut map = refine(levels, core::slice::from_ref(&self.fine), map, false)?;
        // Farther from the plate nothing tells more of its place, but a grey scale may lie there.
        let round_mm = if expected.bevelled { 2.0 * EDGE_MM } else { ROUND_MM };
        let mut agrees = 0.0;
        for _ in 0..TIMES {
            // How the light falls is told by the paper, as far as it is seen.
            let paper = Paper::find(self.photo, &map, (w, h))
                .or_else(|_| Paper::find_cropped(self.photo, &map, (w, h)));
            let whole = levels.first()?;
            let root = |x: f64, y: f64| match &paper {
                Ok(paper) => whole.root(paper.light(x, y)),
                Err(_) => 1.0,
            };
            // Tones that are not as expected would draw the borders between them aside.
            let seen = as_seen(levels, expected, &map, &root)?;
            map = refine(
                levels,
                &[Laid::lit(&seen, self.finest_mm, round_mm, &root)],
                map,
                expected.bevelled,
            )?;
            agrees = alike(levels, &Laid::lit(expected, STEPS_MM[2], ROUND_MM, &root), &map)?;
        }
        let corners = [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)].map(|(x, y)| map.to_picture(x, y));
        Some(PrintFound { corners, alike: agrees, bend: map.lens().bend() })
    }
}
