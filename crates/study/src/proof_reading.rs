//! Reads a photograph of a real proof: what each value of the plan printed.
//!
//! 1. What the plate should print, place by place, is laid out in small squares ([`ProofPrint`]).
//! 2. The print is found in the picture ([`registration`](crate::registration)), or lies where corners set by hand have it.
//! 3. The paper's own margin tells how the light falls, greys that are known what the camera does
//!    ([`calibration::photo`](crate::calibration::photo)).
//! 4. Each value is read in cells well within its own areas, specks left out; places that print something else than their
//!    value's own tone (gradations, lines, what tools have done) are none of them.
//! 5. What a picture can't tell for blur, shine or for being cut off is said, with what to do.

mod areas;
mod evenness;
mod print;
mod sound;
mod squared_up;

pub use evenness::Evenness;
pub use print::ProofPrint;
pub use squared_up::{Raster, SquaredUp};

use crate::calibration::photo::{Paper, corners_sound, known_camera};
use crate::calibration::{Camera, Homography, KnownGrey, Photo};
use crate::proof_causes::PlaceSeen;
use crate::registration::{PrintFound, correlation, find, find_near};
use areas::read_values;
use evenness::evenness;
use plan::{Diagnostic, sentence};
use serde::Serialize;

/// Corners set by hand are moved by less than this to where the print agrees best, mm.
const BY_HAND_MM: f64 = 3.0;
/// A print at corners set by hand that agrees less than this deserves a look.
const DOUBTFUL: f64 = 0.8;
/// Share of a value's cells that are specks from which on it is told.
const DIRTY: f64 = 0.2;

/// What is known of a photograph of a proof.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ProofShot {
    /// The plate mark's corners in the picture where somebody has set them, pixels: top left of the print, then clockwise.
    pub corners: Option<[(f64, f64); 4]>,
    /// Known greys: one must be dark and tells the haze, two and more tell the tone curve as well.
    pub greys: Vec<KnownGrey>,
}

/// One value as it was read.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct ValueReading {
    /// Its number: 0 is the paper where nothing was bitten, with its plate tone.
    pub value: usize,
    /// CIE L* that the plan expects.
    pub expected_l: f64,
    /// CIE L* read.
    pub lightness: f64,
    /// Standard deviation of its cells of 1.5 mm over the plate, L*.
    pub spread_l: f64,
    /// Standard error of the reading for what scatters over the plate and for the fall of the light, L*; what the camera does to all
    /// values together is none of it.
    pub scatter_l: f64,
    /// The value lies within this of the reading in 95 of 100 cases, L*: scatter, light, and what is open of the camera.
    pub good_to_l: f64,
    /// Cells used.
    pub cells: usize,
    /// Cells left out as specks.
    pub specks: usize,
    /// Area used, mm².
    pub area_mm2: f64,
}

/// What a photograph of a proof tells.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct ProofReading {
    /// The plate's corners in the picture, pixels: top left of the print, then clockwise.
    pub corners: [(f64, f64); 4],
    /// How much the picture agrees with what the plate should print, −1 to 1.
    pub alike: f64,
    /// How far the lens bends straight lines, share at the picture's corners.
    pub bend: f64,
    /// Every value, paper first; `None` where it has too little area of its own to be read.
    pub values: Vec<Option<ValueReading>>,
    /// What the camera was found to do, and what of it stays open.
    pub camera: Camera,
    /// How unevenly the light fell on the plate: its darkest place is so much darker than its brightest, 0–1. It has been evened.
    pub uneven: f64,
    /// How wide the picture is blurred (standard deviation), mm; `None` where the print does not tell.
    pub blur_mm: Option<f64>,
    /// Where the print is lighter or darker than its own values.
    pub evenness: Evenness,
    /// The same of each value in small squares, specks and all: handed on to whoever asks for causes.
    #[serde(skip)]
    #[ts(skip)]
    pub places: Vec<PlaceSeen>,
    /// What deserves a look.
    pub warnings: Vec<Diagnostic>,
}

/// Reads a proof off a photograph of it. The photograph squared up comes with it, to be shown.
///
/// # Errors
/// What is wrong with the photograph, and what to do.
pub fn read(
    photo: Photo,
    print: &ProofPrint,
    shot: &ProofShot,
) -> Result<(ProofReading, SquaredUp), Vec<Diagnostic>> {
    let one = |wrong: Diagnostic| vec![wrong];
    if !print.is_whole() {
        let message = "What the plate should print is not known.";
        return Err(one(Diagnostic::error("photo", "proof.no_print", message)));
    }
    let mut warnings = Vec::new();
    let found = place(&photo, print, shot, &mut warnings)?;
    let size_mm = (print.width_mm, print.height_mm);
    let lens = SquaredUp::lens_of(&photo, found.bend);
    let map = Homography::through(size_mm.0, size_mm.1, &found.corners, lens).ok_or_else(|| {
        let message = "The four corners do not make a plate.";
        one(Diagnostic::error("photo", "photo.corners", message)
            .hint("Put them on its corners, in order."))
    })?;
    let paper = Paper::find(&photo, &map, size_mm)
        .or_else(|wrong| Paper::find_cropped(&photo, &map, size_mm).map_err(|_| wrong))
        .map_err(one)?;
    warnings.extend(sound::of_paper(&paper));
    let paper_reflectance = print.paper_reflectance;
    let camera =
        known_camera(&photo, &map, &paper, &[], &shot.greys, paper_reflectance).map_err(one)?;
    if shot.greys.is_empty() {
        let message = "Nothing dark in the picture is known: what the camera does to the tones could not be taken off, and the limits are as wide as that asks for.";
        warnings.push(
            Diagnostic::warning("photo", "photo.no_grey", message).hint(
                "Lay a grey scale beside the sheet, or read one dark place by an instrument.",
            ),
        );
    }
    let uneven = paper.uneven();
    let seen = SquaredUp { photo, map, paper, camera, paper_reflectance };
    let squares = Raster {
        left_mm: 0.0,
        top_mm: 0.0,
        width_px: print.columns,
        height_px: print.rows(),
        px_mm: print.square_mm(),
    };
    let shares = seen.shares(&squares);
    let blur_mm = sound::blur_mm(print, &shares);
    warnings.extend(blur_mm.map_or(Ok(None), sound::sharp).map_err(one)?);
    let values = read_values(print, &shares, &seen, blur_mm.unwrap_or(0.0));
    warnings.extend(sound::shine(print, &shares, &values, paper_reflectance).map_err(one)?);
    for reading in values.iter().flatten().map(|read| &read.reading) {
        let all = reading.cells + reading.specks;
        if reading.specks as f64 > DIRTY * all as f64 {
            let message = sentence!(
                "The print of {} is uneven or dirty: {} of its {} cells were left out.",
                sound::name(reading.value),
                reading.specks,
                all
            );
            warnings.push(
                Diagnostic::warning("photo", "proof.specks", message)
                    .hint("Do the corners sit on the plate’s corners?"),
            );
        }
    }
    warnings.extend(sound::unread(&values));
    let (evenness, trend) = evenness(&values, size_mm);
    warnings.extend(trend);
    let reading = ProofReading {
        corners: found.corners,
        alike: found.alike,
        bend: found.bend,
        values: values.iter().map(|read| read.as_ref().map(|read| read.reading)).collect(),
        camera,
        uneven,
        blur_mm,
        evenness,
        places: values.iter().flatten().flat_map(|read| read.places.iter().copied()).collect(),
        warnings,
    };
    Ok((reading, seen))
}

/// Where the print lies: found, or near the corners set by hand.
fn place(
    photo: &Photo,
    print: &ProofPrint,
    shot: &ProofShot,
    warnings: &mut Vec<Diagnostic>,
) -> Result<PrintFound, Vec<Diagnostic>> {
    let expected = print.expected();
    let Some(corners) = shot.corners else {
        let found = find(photo, &expected).map_err(|wrong| vec![wrong])?;
        sound::whole(photo, &found.corners).map_err(|wrong| vec![wrong])?;
        corners_sound(photo, &found.corners)?;
        return Ok(found);
    };
    corners_sound(photo, &corners)?;
    let [(ax, ay), (bx, by), ..] = corners;
    let near_px = BY_HAND_MM / print.width_mm * libm::hypot(bx - ax, by - ay);
    let near = |found: &PrintFound| {
        let off =
            found.corners.iter().zip(corners).map(|((x, y), (u, v))| libm::hypot(x - u, y - v));
        off.fold(0.0, f64::max) <= near_px
            && found.corners.iter().all(|&corner| photo.holds(corner))
    };
    if let Some(found) = find_near(photo, &expected, &corners).filter(near) {
        return Ok(found);
    }
    let alike = correlation(photo, &expected, &corners).unwrap_or(0.0);
    if alike < DOUBTFUL {
        let message = sentence!(
            "Where the corners were set the picture agrees little with the print expected: {} of 100.",
            libm::round(100.0 * alike.max(0.0))
        );
        warnings.push(
            Diagnostic::warning("photo", "photo.other_print", message)
                .hint("Do the corners sit on the plate’s corners, and is it this plan’s print?"),
        );
    }
    Ok(PrintFound { corners, alike, bend: 0.0 })
}
