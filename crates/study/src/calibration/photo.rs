//! Readings from a picture of the print: squared up, evened, brought to reflectance, patch by patch.
//!
//! 1. The four corners of the plate in the picture give the projection of the plate into it.
//! 2. The paper round the plate tells how the light falls: ln of its brightness as a parabola of place,
//!    from small cells all round, those that do not go with the others left out.
//! 3. Brightness against the paper's is reflectance; what known greys tell of the camera is taken off, and what they leave open is
//!    handed on ([`Camera`]).
//! 4. Each patch is read in small cells. Within a cell light is averaged as light, grains and all; the
//!    patch is the mean of the cells that lie near their median, so that specks do not count.

mod corners;
mod homography;
mod known_greys;
mod paper;
mod raster;

pub use homography::Homography;
pub(crate) use homography::{Lens, project};
pub use known_greys::KnownGrey;
pub use raster::Photo;

use crate::calibration::camera::{Camera, Grey};
use crate::calibration::design::{Layout, Patch};
pub(crate) use corners::corners_sound;
use known_greys::{greys_sound, looks};
pub(crate) use paper::Paper;
use plan::Diagnostic;
use plate::light;
use serde::Serialize;

/// Side of the cells that a patch is read in, mm: many grains wide.
pub(crate) const CELL_MM: f64 = 1.5;
/// The outer part of a patch is not read: varnish creeps, ink gathers, mm.
const INSET_MM: f64 = 1.5;
/// Cells farther than this many deviations from the median are specks.
pub(crate) const SPECK: f64 = 3.0;
/// A median absolute deviation of a normal distribution is this part of its deviation.
pub(crate) const MAD: f64 = 0.6745;

/// How the print lies in the picture, and what is known of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Shot {
    /// The plate mark's corners in the picture, pixels: top left of the print as the guide shows it,
    /// then clockwise.
    pub corners: [(f64, f64); 4],
    /// Reflectance of the paper, 0–1.
    pub paper_reflectance: f64,
    /// Known greys: one must be dark and tells the haze, two and more tell the tone curve as well.
    pub greys: Vec<KnownGrey>,
}

/// One patch as it was read.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct PatchReading {
    /// CIE L*.
    pub lightness: f64,
    /// Standard deviation of its cells, L*.
    pub spread_l: f64,
    /// Cells used.
    pub cells: usize,
    /// Cells left out as specks.
    pub specks: usize,
}

/// What a picture of the print tells.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct PhotoReading {
    /// Every patch, palest first.
    pub patches: Vec<PatchReading>,
    /// How unevenly the light fell on the plate: its darkest place is so much darker than its
    /// brightest, 0–1. It has been evened.
    pub uneven: f64,
    /// What the camera was found to do, and what of it stays open.
    pub camera: Camera,
    /// Whether the steps run from dark to light, as they do in a picture that lies upside down.
    pub turned: bool,
    /// What deserves a look, in sentences.
    pub warnings: Vec<String>,
}

/// Reads all patches of a step plate off a picture of its print.
///
/// # Errors
/// What is wrong with the corners, the light or the black, and what to do.
pub fn read_photo(
    photo: &Photo,
    layout: &Layout,
    shot: &Shot,
) -> Result<PhotoReading, Vec<Diagnostic>> {
    let one = |wrong: Diagnostic| vec![wrong];
    corners_sound(photo, &shot.corners)?;
    let map =
        Homography::new(layout.width_mm, layout.height_mm, &shot.corners).ok_or_else(|| {
            one(wrong(
                "photo.corners",
                "The four corners do not make a plate.",
                "Put them on its corners, in order.",
            ))
        })?;
    let paper = Paper::find(photo, &map, (layout.width_mm, layout.height_mm)).map_err(one)?;
    let mut warnings = paper.warnings();
    let camera =
        known_camera(photo, &map, &paper, &layout.patches, &shot.greys, shot.paper_reflectance)
            .map_err(one)?;
    if shot.greys.is_empty() {
        warnings.push("Nothing dark in the picture is known: haze, which lightens its darks, could not be taken off. The limits allow for up to 2 % of it.".to_owned());
    }
    let patches: Vec<PatchReading> = layout
        .patches
        .iter()
        .map(|patch| read_patch(photo, &map, &paper, patch, &camera, shot.paper_reflectance))
        .collect();
    for (i, patch) in patches.iter().enumerate() {
        if patch.specks * 5 > patch.cells + patch.specks {
            warnings.push(format!("Step {} is uneven or dirty: {} of its {} cells were left out. Do the corners sit on the plate’s corners?", i + 1, patch.specks, patch.cells + patch.specks));
        }
    }
    let l: Vec<f64> = patches.iter().map(|patch| patch.lightness).collect();
    let turned = super::readings::turned(&l);
    if turned {
        warnings.push("The picture lies upside down: its steps run from dark to light. Put mark 1 at the palest step’s end.".to_owned());
    }
    Ok(PhotoReading { patches, uneven: paper.uneven(), camera, turned, warnings })
}

/// The camera, by what the known greys look like; unknown without any.
pub(crate) fn known_camera(
    photo: &Photo,
    map: &Homography,
    paper: &Paper,
    patches: &[Patch],
    greys: &[KnownGrey],
    paper_reflectance: f64,
) -> Result<Camera, Diagnostic> {
    let mut seen = Vec::with_capacity(greys.len());
    for grey in greys {
        let looks = looks(photo, map, paper, patches, grey)?;
        seen.push(Grey { is: grey.reflectance / paper_reflectance, seen: looks });
    }
    greys_sound(&seen)?;
    Ok(Camera::by_greys(&seen, paper.burnt, paper_reflectance))
}

/// Where the patches of a step plate lie in a picture of its print with these corners: four places each, pixels, top left of the
/// patch first, then clockwise. Nothing where the corners make no plate.
#[must_use]
pub fn patches_in_picture(layout: &Layout, corners: &[(f64, f64); 4]) -> Vec<[(f64, f64); 4]> {
    let Some(map) = Homography::new(layout.width_mm, layout.height_mm, corners) else {
        return Vec::new();
    };
    let outline = |patch: &Patch| {
        let (left, top) = (patch.left_mm + INSET_MM, patch.top_mm + INSET_MM);
        let right = patch.left_mm + patch.width_mm - INSET_MM;
        let bottom = patch.top_mm + patch.height_mm - INSET_MM;
        [(left, top), (right, top), (right, bottom), (left, bottom)]
            .map(|(x, y)| map.to_picture(x, y))
    };
    layout.patches.iter().map(outline).collect()
}

/// Mean of a patch's cells as a share of the paper's light, the cells kept, and how many are specks.
fn patch_share(
    photo: &Photo,
    map: &Homography,
    paper: &Paper,
    patch: &Patch,
) -> (f64, Vec<f64>, usize) {
    let (width, height) = (patch.width_mm - 2.0 * INSET_MM, patch.height_mm - 2.0 * INSET_MM);
    let (across, down) = ((width / CELL_MM) as usize, (height / CELL_MM) as usize);
    let size = (width / across as f64, height / down as f64);
    let mut cells = Vec::with_capacity(across * down);
    for j in 0..down {
        for i in 0..across {
            let left = patch.left_mm + INSET_MM + size.0 * i as f64;
            let top = patch.top_mm + INSET_MM + size.1 * j as f64;
            let light = paper.light(left + 0.5 * size.0, top + 0.5 * size.1);
            cells.push(photo.mean(map, (left, top), size) / light);
        }
    }
    let median = median_of(&cells);
    let distance: Vec<f64> = cells.iter().map(|share| (share - median).abs()).collect();
    let deviation = median_of(&distance) / MAD;
    let near = |share: &f64| (share - median).abs() <= SPECK * deviation + 1e-4;
    let kept: Vec<f64> = cells.iter().copied().filter(near).collect();
    let mean = kept.iter().sum::<f64>() / kept.len() as f64;
    let specks = cells.len() - kept.len();
    (mean, kept, specks)
}

fn read_patch(
    photo: &Photo,
    map: &Homography,
    paper: &Paper,
    patch: &Patch,
    camera: &Camera,
    paper_reflectance: f64,
) -> PatchReading {
    let (mean, kept, specks) = patch_share(photo, map, paper, patch);
    let lightness =
        |share: f64| light::lightness((camera.taken_off(share) * paper_reflectance).max(0.0));
    let l = lightness(mean);
    let squares: f64 = kept
        .iter()
        .map(|&share| {
            let off = lightness(share) - l;
            off * off
        })
        .sum();
    PatchReading {
        lightness: l,
        spread_l: libm::sqrt(squares / (kept.len() as f64 - 1.0).max(1.0)),
        cells: kept.len(),
        specks,
    }
}

/// Middle of an unsorted list; 0 of none.
pub(crate) fn median_of(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    let half = sorted.len() / 2;
    match sorted.len() {
        0 => 0.0,
        n if n % 2 == 1 => sorted[half],
        _ => 0.5 * (sorted[half - 1] + sorted[half]),
    }
}

/// Something wrong with the photograph, and what to do.
pub(crate) fn wrong(code: &'static str, message: &'static str, hint: &'static str) -> Diagnostic {
    Diagnostic::error("photo", code, message).hint(hint)
}
