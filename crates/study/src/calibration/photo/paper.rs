//! How the light falls, from the paper round the plate.

use super::wrong;
use super::{Homography, MAD, Photo, median_of};
use nalgebra::{DMatrix, DVector};
use plan::{Diagnostic, Unit, quantity, sentence};

/// The paper is looked at from this far outside the plate mark, which throws a shadow, to this far, mm.
const FROM_MM: f64 = 2.5;
const TO_MM: f64 = 10.5;
/// In cells of this size, mm.
const CELL_MM: f64 = 4.0;
/// Terms of a parabola of place.
const TERMS: usize = 6;
/// Cells off by more than this many deviations are no bare paper.
const ODD: f64 = 3.0;
/// Cells nearer than this to the surface always count, in ln.
const NEAR: f64 = 0.01;
/// Least share of the cells that must lie in the picture, and of those that must be bare paper.
const IN_PICTURE: f64 = 0.6;
const BARE: f64 = 0.6;
/// Paper darker than this in the picture, or brighter, tells little.
const TOO_DARK: f64 = 0.06;
const BURNT: f64 = 0.985;
/// Scatter of bare paper round the surface, ln, above which the light has an edge.
const EDGED: f64 = 0.06;

/// The light on the paper as a function of place.
pub(crate) struct Paper {
    half: (f64, f64),
    terms: DVector<f64>,
    /// Whether it is burnt out to pure white.
    pub(crate) burnt: bool,
    /// Sides of the plate (top, right, bottom, left) along which no paper was seen.
    pub(crate) without: [bool; 4],
}

/// Said when the paper round the plate is not in the picture.
const TOO_LITTLE: &str =
    "There is too little bare paper round the plate in the picture to see how the light falls.";

/// A place as it goes into the parabola: about −1 to 1 over the plate.
fn row(half: (f64, f64), x_mm: f64, y_mm: f64) -> [f64; TERMS] {
    let (u, v) = (x_mm / half.0 - 1.0, y_mm / half.1 - 1.0);
    [1.0, u, v, u * u, u * v, v * v]
}

impl Paper {
    /// From the cells round a plate of this size, mm.
    pub(crate) fn find(
        photo: &Photo,
        map: &Homography,
        size_mm: (f64, f64),
    ) -> Result<Self, Diagnostic> {
        Self::within(photo, map, size_mm, TO_MM)
    }

    /// The same where the picture is cropped: a single ring of cells.
    pub(crate) fn find_cropped(
        photo: &Photo,
        map: &Homography,
        size_mm: (f64, f64),
    ) -> Result<Self, Diagnostic> {
        Self::within(photo, map, size_mm, FROM_MM + CELL_MM)
    }

    /// From cells not farther out than this, mm.
    fn within(
        photo: &Photo,
        map: &Homography,
        (width_mm, height_mm): (f64, f64),
        to_mm: f64,
    ) -> Result<Self, Diagnostic> {
        let half = (0.5 * width_mm, 0.5 * height_mm);
        let mut cells: Vec<([f64; TERMS], f64)> = Vec::new();
        let mut all = 0;
        let (across, down) = (
            libm::ceil((width_mm + 2.0 * to_mm) / CELL_MM) as i32,
            libm::ceil((height_mm + 2.0 * to_mm) / CELL_MM) as i32,
        );
        for j in 0..down {
            for i in 0..across {
                let (x, y) = (f64::from(i) * CELL_MM - to_mm, f64::from(j) * CELL_MM - to_mm);
                let clear = x + CELL_MM <= -FROM_MM
                    || y + CELL_MM <= -FROM_MM
                    || x >= width_mm + FROM_MM
                    || y >= height_mm + FROM_MM;
                if !clear {
                    continue;
                }
                all += 1;
                let corners =
                    [(x, y), (x + CELL_MM, y), (x, y + CELL_MM), (x + CELL_MM, y + CELL_MM)];
                if corners.iter().all(|&(x, y)| photo.holds(map.to_picture(x, y))) {
                    let seen = photo.mean(map, (x, y), (CELL_MM, CELL_MM));
                    cells.push((row(half, x + 0.5 * CELL_MM, y + 0.5 * CELL_MM), seen));
                }
            }
        }
        if (cells.len() as f64) < IN_PICTURE * f64::from(all) {
            let hint = sentence!("Leave {} or more on every side.", quantity(TO_MM, Unit::Mm, 0));
            return Err(Diagnostic::error("photo", "photo.too_little_paper", TOO_LITTLE).hint(hint));
        }
        let seen: Vec<f64> = cells.iter().map(|(_, seen)| *seen).collect();
        let middle = median_of(&seen);
        if middle < TOO_DARK {
            return Err(wrong(
                "photo.dark",
                "The paper is nearly black in this picture: it is under-exposed, or the corners do not sit on the plate’s corners.",
                "Expose it longer, or move the corners.",
            ));
        }
        // What is much darker is writing, a thumb, the table; a first look keeps it out.
        let mut used: Vec<bool> = seen.iter().map(|seen| *seen > 0.4 * middle).collect();
        let mut terms = DVector::zeros(TERMS);
        let mut scatter = 0.0;
        for _ in 0..4 {
            let kept: Vec<usize> = (0..cells.len()).filter(|&i| used[i]).collect();
            if (kept.len() as f64) < BARE * cells.len() as f64 {
                return Err(wrong(
                    "photo.no_paper",
                    "What lies round the plate in the picture is not bare paper.",
                    "Do the corners sit on the plate’s corners, and is the sheet clean there?",
                ));
            }
            let places = DMatrix::from_fn(kept.len(), TERMS, |r, c| cells[kept[r]].0[c]);
            let lns = DVector::from_iterator(kept.len(), kept.iter().map(|&i| libm::log(seen[i])));
            let known = places.transpose() * &places;
            terms = known
                .cholesky()
                .map(|known| known.solve(&(places.transpose() * lns)))
                .ok_or_else(|| wrong("photo.too_little_paper", "There is paper on too few sides of the plate in the picture to see how the light falls.", "Leave bare paper on every side."))?;
            let off: Vec<f64> = cells
                .iter()
                .map(|(row, seen)| libm::log(seen.max(1e-6)) - sum(&terms, row))
                .collect();
            let far: Vec<f64> = kept.iter().map(|&i| off[i].abs()).collect();
            scatter = median_of(&far) / MAD;
            used = off.iter().map(|off| off.abs() <= (ODD * scatter).max(NEAR)).collect();
        }
        if scatter > EDGED {
            return Err(wrong(
                "photo.shadow",
                "The light on the paper has edges, such as a shadow.",
                "Photograph the print in even light, or scan it.",
            ));
        }
        let side = |beyond: fn(f64, f64) -> bool| {
            let here =
                |(i, (row, _)): (usize, &([f64; TERMS], f64))| used[i] && beyond(row[1], row[2]);
            !cells.iter().enumerate().any(here)
        };
        let without = [
            side(|_, v| v < -1.0),
            side(|u, _| u > 1.0),
            side(|_, v| v > 1.0),
            side(|u, _| u < -1.0),
        ];
        Ok(Self { half, terms, burnt: middle > BURNT, without })
    }

    /// Light on the paper at a place, mm.
    pub(crate) fn light(&self, x_mm: f64, y_mm: f64) -> f64 {
        libm::exp(sum(&self.terms, &row(self.half, x_mm, y_mm)))
    }

    /// By how much the darkest of the plate's places is darker than its brightest, 0–1.
    pub(crate) fn uneven(&self) -> f64 {
        let (mut least, mut most) = (f64::INFINITY, 0.0_f64);
        for j in 0..=8 {
            for i in 0..=8 {
                let light = self.light(
                    2.0 * self.half.0 * f64::from(i) / 8.0,
                    2.0 * self.half.1 * f64::from(j) / 8.0,
                );
                least = least.min(light);
                most = most.max(light);
            }
        }
        1.0 - least / most
    }

    pub(crate) fn warnings(&self) -> Vec<String> {
        if self.burnt {
            vec!["The paper is burnt out to pure white in the picture, so its own tone and the fall of the light can’t be seen. Expose less, or scan without automatic levels.".to_owned()]
        } else {
            Vec::new()
        }
    }
}

fn sum(terms: &DVector<f64>, row: &[f64; TERMS]) -> f64 {
    let mut sum = 0.0;
    for (term, part) in terms.iter().zip(row) {
        sum += term * part;
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::{Homography, Paper, Photo};
    use crate::calibration::design::layout;

    /// Closed form: a light that is the exponential of a parabola of place is found again, on the plate, too.
    #[test]
    fn light_that_falls_off_is_known_where_no_paper_is() {
        let on = layout(8);
        let (px_per_mm, margin_mm) = (4.0, 14.0);
        let light = |x_mm: f64, y_mm: f64| {
            let (u, v) = (2.0 * x_mm / on.width_mm - 1.0, 2.0 * y_mm / on.height_mm - 1.0);
            libm::exp(-0.8 + 0.1 * u - 0.15 * v - 0.05 * u * u + 0.04 * u * v)
        };
        let side = |mm: f64| ((mm + 2.0 * margin_mm) * px_per_mm) as usize;
        let (width, height) = (side(on.width_mm), side(on.height_mm));
        let mm = |px: usize| (px as f64 + 0.5) / px_per_mm - margin_mm;
        let lit = (0..width * height).map(|i| light(mm(i % width), mm(i / width)) as f32);
        let photo = Photo { width, height, linear: lit.collect() };
        let px =
            |x_mm: f64, y_mm: f64| ((x_mm + margin_mm) * px_per_mm, (y_mm + margin_mm) * px_per_mm);
        let (w, h) = (on.width_mm, on.height_mm);
        let corners = [px(0.0, 0.0), px(w, 0.0), px(w, h), px(0.0, h)];
        let map = Homography::new(w, h, &corners).expect("a plate");
        let Ok(paper) = Paper::find(&photo, &map, (w, h)) else {
            panic!("there is paper all round")
        };
        for (x, y) in [(0.0, 0.0), (0.5 * w, 0.5 * h), (w, 0.2 * h), (0.3 * w, h), (w, h)] {
            let (found, exact) = (paper.light(x, y), light(x, y));
            assert!((found / exact - 1.0).abs() < 2e-3, "{found}, not {exact}, at {x}, {y}");
        }
    }

    /// Two rings of cells of 4 mm lie from 10.5 to 2.5 mm outside the plate: where too few of them are in the picture
    /// it is refused, however much of the plate is.
    #[test]
    fn three_fifths_of_the_paper_round_the_plate_must_be_in_the_picture() {
        let on = layout(8);
        let px_per_mm = 4.0;
        // Cells of 4 mm across and down, the plate's own among them.
        let cells = |mm: f64| ((mm + 21.0) / 4.0).ceil() as usize;
        let (across, down) = (cells(on.width_mm), cells(on.height_mm));
        let paper = |x: usize, y: usize| {
            let clear = |i: usize, mm: f64| i < 2 || -10.5 + 4.0 * i as f64 >= mm + 2.5;
            clear(x, on.width_mm) || clear(y, on.height_mm)
        };
        let all = (0..across * down).filter(|i| paper(i % across, i / across)).count();
        let (mut kept, mut refused) = (0, 0);
        for (right, bottom) in (0..4).flat_map(|right| (0..4).map(move |bottom| (right, bottom))) {
            let (columns, rows) = (across - right, down - bottom);
            let seen = (0..columns * rows).filter(|i| paper(i % columns, i / columns)).count();
            let side = |cells: usize| ((4 * cells) as f64 * px_per_mm) as usize + 2;
            let (width, height) = (side(columns), side(rows));
            let photo = Photo { width, height, linear: vec![0.6; width * height] };
            let px = |x_mm: f64, y_mm: f64| {
                ((x_mm + 10.5) * px_per_mm + 1.0, (y_mm + 10.5) * px_per_mm + 1.0)
            };
            let (w, h) = (on.width_mm, on.height_mm);
            let corners = [px(0.0, 0.0), px(w, 0.0), px(w, h), px(0.0, h)];
            let map = Homography::new(w, h, &corners).expect("a plate");
            let enough = seen as f64 >= 0.6 * all as f64;
            let found = Paper::find(&photo, &map, (w, h));
            assert_eq!(found.is_ok(), enough, "{seen} of {all} cells in the picture");
            kept += usize::from(enough);
            refused += usize::from(!enough);
        }
        assert!(kept > 2 && refused > 2, "{kept} kept, {refused} refused");
    }
}
