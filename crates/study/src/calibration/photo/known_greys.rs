//! Greys in the picture whose reflectance is known: how they look, and whether they can serve.

use super::{Homography, Paper, Photo, patch_share, wrong};
use crate::calibration::camera::Grey;
use crate::calibration::design::Patch;
use plan::Diagnostic;

/// Radius of the spot read at a known grey, mm.
const GREY_MM: f64 = 1.5;
/// Greys that differ by less, as shares of the paper's light, may look the other way round.
const CROSSED: f64 = 0.01;
/// A known black brighter than this share of the paper is none.
const BLACKEST: f64 = 0.5;

/// A place of the picture with a known reflectance: a step read otherwise, a black card, a patch of a grey scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KnownGrey {
    /// Place in the picture, pixels.
    pub at: (f64, f64),
    /// Its reflectance, 0–1.
    pub reflectance: f64,
}

/// How a known grey looks, as a share of the paper's light. Within one of these patches it is the whole of it.
pub(crate) fn looks(
    photo: &Photo,
    map: &Homography,
    paper: &Paper,
    patches: &[Patch],
    grey: &KnownGrey,
) -> Result<f64, Diagnostic> {
    let place = map.to_plate(grey.at.0, grey.at.1);
    let (true, Some((x, y))) = (photo.holds(grey.at), place) else {
        return Err(wrong(
            "photo.grey",
            "A known grey lies outside the picture.",
            "Put its mark on it.",
        ));
    };
    let inside = |patch: &&Patch| {
        (patch.left_mm..=patch.left_mm + patch.width_mm).contains(&x)
            && (patch.top_mm..=patch.top_mm + patch.height_mm).contains(&y)
    };
    Ok(match patches.iter().find(inside) {
        // One of the steps: the whole of it, specks left out.
        Some(patch) => patch_share(photo, map, paper, patch).0,
        None => {
            let side = 2.0 * GREY_MM;
            photo.mean(map, (x - GREY_MM, y - GREY_MM), (side, side)) / paper.light(x, y)
        }
    })
}

/// Whether the known greys can serve: one alone must be dark, and several must look as their L* has them.
pub(crate) fn greys_sound(greys: &[Grey]) -> Result<(), Diagnostic> {
    if greys.iter().any(|grey| !(grey.is >= 0.0 && grey.is <= 1.0)) {
        return Err(wrong(
            "photo.grey",
            "A known grey is said to be lighter than the paper.",
            "Look at its L* again, or at the paper’s reflectance in the plan.",
        ));
    }
    if let [black] = greys {
        if black.is >= BLACKEST {
            return Err(wrong(
                "photo.black",
                "One known grey alone must be much darker than the paper; this one is not.",
                "Mark a black, or a second grey.",
            ));
        }
        if black.seen > BLACKEST {
            return Err(wrong(
                "photo.black",
                "The place given for the known black is not dark in the picture.",
                "Put its mark on it.",
            ));
        }
    }
    for (i, one) in greys.iter().enumerate() {
        for other in &greys[..i] {
            if (one.is - other.is) * (one.seen - other.seen) < 0.0
                && (one.is - other.is).abs() > CROSSED
            {
                return Err(wrong(
                    "photo.grey",
                    "Two known greys look the other way round in the picture: the one that should be lighter is darker.",
                    "Is each mark on its own patch?",
                ));
            }
        }
    }
    Ok(())
}
