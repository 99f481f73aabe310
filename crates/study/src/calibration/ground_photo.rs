//! A picture of dust or of a melted ground, read: cover, islands per mm², their width.
//!
//! 1. The picture becomes tones, 8-bit; the light on it is evened out and noise smoothed (`even.rs`).
//! 2. Otsu's level parts it in two; the tone whose outline is that of grains and drops is rosin (`which.rs`).
//! 3. The rosin's islands are counted and measured ([`islands()`]).
//!
//! Tolerance on pictures with known answers (`tests/ground_photo.rs`): cover ± 0.03, median width ± 15 %, from 8 pixels a
//! median width up. Gaps finer than two pixels close, so that the number of islands reads up to a quarter low, and up to
//! half where the ground has nearly closed.

mod even;
mod islands;
mod which;

pub use even::{Level, otsu};
pub use islands::{Island, islands};

pub(crate) use even::binomial;
pub(crate) use islands::{Counted, LEAST_PX, count};

use core::ops::RangeInclusive;
use even::Even;
use plan::Diagnostic;
use serde::Serialize;
use which::like_rosin;

/// Fewest pixels along each side.
const FEWEST_PX: usize = 160;
/// Width of a picture that can be of a ground, mm.
const WIDTH_MM: RangeInclusive<f64> = 0.2..=60.0;
/// Fewest pixels across the median island.
const FEWEST_ACROSS: f64 = 7.0;
/// Tones closer than this many codes of the picture are one.
const LEAST_CODES: f64 = 10.0;
/// Tones closer than this many deviations are one: noise of one tone comes apart by 2.7, a ramp by 3.5.
const LEAST_APART: f64 = 3.2;
/// Tones closer than this deserve a look.
const NEAR_APART: f64 = 4.2;
/// Fewest islands that tell anything, unless the ground covers this much.
const FEWEST_ISLANDS: f64 = 12.0;
const CLOSING: f64 = 0.75;
/// Fewest islands for a good number and median.
const FEW_ISLANDS: f64 = 100.0;
/// Outlines softer than these shares of the median width: a look, and no reading. However blurred a picture is, what is
/// left in it is some five deviations wide.
const SOFT: (f64, f64) = (0.12, 0.18);
/// Less than this does not tell which tone is rosin.
const LEAST_LIKE: f64 = 0.03;
/// Light that falls off by more than this is said.
const UNEVEN: f64 = 0.6;
/// Where the level might as well lie, in shares of the distance of the two tones.
const LEVEL_OFF: f64 = 0.1;

/// A picture in 8-bit tones.
#[derive(Clone, Debug, PartialEq)]
pub struct GroundPhoto {
    width: usize,
    height: usize,
    grey: Vec<u8>,
}

/// Which tone the rosin has.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum RosinTone {
    /// Whichever has the outline of grains and drops.
    #[default]
    Found,
    /// The lighter.
    Lighter,
    /// The darker.
    Darker,
}

/// How a picture is to be read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroundShot {
    /// Copper from the picture's left edge to its right, mm.
    pub width_mm: f64,
    /// Which tone the rosin has.
    pub rosin: RosinTone,
    /// The level moved towards more rosin (above 0) or less, in shares of the distance of the two tones, −0.4 to 0.4.
    pub nudge: f64,
}

/// What is measured of a ground in a picture.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct GroundMeasures {
    /// Share of the copper under rosin, 0–1.
    pub cover: f64,
    /// The same with the level off by a tenth of the distance of the tones, towards less …
    pub cover_low: f64,
    /// … and towards more.
    pub cover_high: f64,
    /// Islands counted, what touches being one; each on the border counts for half.
    pub islands: f64,
    /// The same per mm².
    pub islands_per_mm2: f64,
    /// Median over the islands wholly in the picture of the diameter of a disc of the same area, µm; none where none is.
    pub median_width_um: Option<f64>,
    /// Length of the islands' outlines, mm to a mm² of copper: the longer at one cover, the less have they run together.
    pub outline_per_mm: f64,
    /// How softly the outlines are drawn (standard deviation, the program's own smoothing included), µm.
    pub blur_um: f64,
    /// Size of a pixel on the copper, µm.
    pub px_um: f64,
}

/// What a picture of a ground tells.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct GroundReading {
    /// The numbers.
    pub found: GroundMeasures,
    /// Whether the rosin is the lighter tone.
    pub rosin_lighter: bool,
    /// How far the two tones lie apart, in standard deviations within them.
    pub separation: f64,
    /// How much darker the light's darkest place is than its brightest, 0–1. It has been evened.
    pub uneven: f64,
    /// What deserves a look.
    pub warnings: Vec<Diagnostic>,
}

/// The picture in two tones, to be judged by eye.
#[derive(Clone, Debug, PartialEq)]
pub struct RosinMask {
    /// Whether each pixel is rosin, row by row.
    pub rosin: Vec<bool>,
    /// Pixels in a row.
    pub width: usize,
}

impl GroundPhoto {
    /// From 8-bit sRGB with alpha, which is not looked at.
    ///
    /// # Errors
    /// A sentence when the size and the pixels do not agree or there is nothing.
    pub fn from_rgba(rgba: &[u8], width: usize, height: usize) -> Result<Self, Diagnostic> {
        if width.checked_mul(height).and_then(|n| n.checked_mul(4)) != Some(rgba.len()) {
            return Err(broken());
        }
        // Luma of the codes (ITU-R BT.709), in whole numbers: the eye's steps rather than light's, so that neither
        // tone's noise outweighs the other's.
        let luma = |p: &[u8]| {
            (54 * u32::from(p[0]) + 183 * u32::from(p[1]) + 19 * u32::from(p[2]) + 128) >> 8
        };
        Self::from_grey(rgba.chunks_exact(4).map(|p| luma(p) as u8).collect(), width)
    }

    /// From 8-bit tones, row by row.
    ///
    /// # Errors
    /// A sentence when the size and the pixels do not agree or there is nothing.
    pub fn from_grey(grey: Vec<u8>, width: usize) -> Result<Self, Diagnostic> {
        if width == 0 || grey.is_empty() || !grey.len().is_multiple_of(width) {
            return Err(broken());
        }
        Ok(Self { width, height: grey.len() / width, grey })
    }
}

/// Reads a picture of dust or of a melted ground.
///
/// # Errors
/// Why it can't be read, and what to do: no scale, too small, one tone only, too few or too small islands, out of focus.
pub fn read_ground(
    photo: &GroundPhoto,
    shot: &GroundShot,
) -> Result<(GroundReading, RosinMask), Diagnostic> {
    let &GroundPhoto { width, height, ref grey } = photo;
    if !WIDTH_MM.contains(&shot.width_mm) {
        return Err(refuse(
            "ground_photo.scale",
            "The scale is not known: a picture shows 0.2 to 60 mm of copper from left to right.",
            "Photograph a ruler the same way, and count what fits across the picture.",
        ));
    }
    if width.min(height) < FEWEST_PX {
        return Err(refuse(
            "ground_photo.small",
            "The picture is too small: it needs 160 pixels each way.",
            "Save it as it was taken.",
        ));
    }
    let px_um = shot.width_mm * 1000.0 / width as f64;
    let even = Even::of(grey, width, height);
    let histogram = even.histogram();
    let level = otsu(&histogram).filter(|level| {
        (level.means.1 - level.means.0) * even.codes_per_tone >= LEAST_CODES
            && level.separation >= LEAST_APART
    });
    let Some(Level { level, means: (dark, light), separation }) = level else {
        return Err(refuse(
            "ground_photo.one_tone",
            "The picture does not fall apart into two tones: rosin and copper can’t be told from each other.",
            "Light it low from one side, or head on, so that one of them shines and the other does not.",
        ));
    };
    let apart = light - dark;
    // Whether each pixel is rosin, were it the lighter tone or the darker, beyond a level.
    let beyond = |level: f64, lighter: bool| -> Vec<bool> {
        even.tone.iter().map(|&tone| (f64::from(tone) > level) == lighter).collect()
    };
    let (like, outline_px) = like_rosin(&beyond(f64::from(level), true), width);
    let rosin_lighter = match shot.rosin {
        RosinTone::Found => like > 0.0,
        RosinTone::Lighter => true,
        RosinTone::Darker => false,
    };
    // The level moved towards more rosin.
    let moved = |more: f64| f64::from(level) + if rosin_lighter { -more } else { more } * apart;
    let share = |within: &dyn Fn(f64) -> bool| {
        let pixels: u64 = (0..=255)
            .zip(&histogram)
            .filter(|(tone, _)| within(f64::from(*tone)))
            .map(|(_, count)| count)
            .sum();
        pixels as f64 / even.tone.len() as f64
    };
    let nudge = if shot.nudge.is_finite() { shot.nudge.clamp(-0.4, 0.4) } else { 0.0 };
    let cover_at = |more: f64| share(&|tone| (tone > moved(more)) == rosin_lighter);
    let rosin = beyond(moved(nudge), rosin_lighter);
    let counted = count(&rosin, width, LEAST_PX);
    // A pixel of the outline lies between a quarter and three quarters of the way from tone to tone over 1.35 of its
    // deviation, smoothing included.
    let between = share(&|tone| (0.25..0.75).contains(&((tone - dark) / apart)));
    let soft_px = between * even.tone.len() as f64 / outline_px / 1.35;

    // A ground that has nearly closed has few, and is read all the same.
    if counted.count < FEWEST_ISLANDS && counted.cover < CLOSING {
        return Err(refuse(
            "ground_photo.few",
            "Too few islands lie in the picture.",
            "Show more of the plate: a hundred islands or more.",
        ));
    }
    let across = counted.width_px.unwrap_or(f64::INFINITY);
    if across < FEWEST_ACROSS {
        return Err(refuse(
            "ground_photo.fine",
            "The islands are too narrow in this picture: half of them should be 8 pixels wide or more.",
            "Go nearer, take a stronger loupe, or save the picture as it was taken.",
        ));
    }
    let soft = soft_px / across;
    if soft > SOFT.1 {
        return Err(refuse(
            "ground_photo.blurred",
            "The picture is out of focus.",
            "Rest loupe and camera on the plate, and take it anew.",
        ));
    }
    let unsure = shot.rosin == RosinTone::Found && like.abs() < LEAST_LIKE;
    let warnings = [
        soft > SOFT.0,
        separation < NEAR_APART,
        unsure,
        counted.count < FEW_ISLANDS,
        even.uneven > UNEVEN,
    ]
    .into_iter()
    .zip(WARNINGS)
    .filter(|(so, _)| *so)
    .map(|(_, [code, message, hint])| Diagnostic::warning("ground_photo", code, message).hint(hint))
    .collect();
    let found = GroundMeasures {
        cover: counted.cover,
        cover_low: cover_at(nudge - LEVEL_OFF),
        cover_high: cover_at(nudge + LEVEL_OFF),
        islands: counted.count,
        islands_per_mm2: counted.count / ((width * height) as f64 * px_um * px_um * 1e-6),
        median_width_um: counted.width_px.map(|px| px * px_um),
        outline_per_mm: counted.outline / px_um * 1000.0,
        blur_um: soft_px * px_um,
        px_um,
    };
    let reading = GroundReading { found, rosin_lighter, separation, uneven: even.uneven, warnings };
    Ok((reading, RosinMask { rosin, width }))
}

/// Code, message and hint of each warning. (Without numbers in them, sentences are half the room in the page.)
const WARNINGS: [[&str; 3]; 5] = [
    [
        "ground_photo.soft",
        "The outlines are soft: small islands may be lost, and the cover may be off.",
        "A sharper picture tells more.",
    ],
    [
        "ground_photo.tones_near",
        "Rosin and copper differ little in tone.",
        "Compare what was taken for rosin with the picture, and move the level.",
    ],
    [
        "ground_photo.which_tone",
        "Which of the two tones is the rosin can’t be told for certain.",
        "Say which.",
    ],
    [
        "ground_photo.few",
        "Fewer than a hundred islands were counted: their number is not good to a fifth.",
        "Show more of the plate, unless the ground has nearly closed.",
    ],
    [
        "ground_photo.uneven",
        "The light falls off by more than half over the picture; it was evened.",
        "Crop to the evenly lit part if the tones look wrong there.",
    ],
];

pub(crate) fn refuse(code: &'static str, message: &'static str, hint: &'static str) -> Diagnostic {
    Diagnostic::error("ground_photo", code, message).hint(hint)
}

fn broken() -> Diagnostic {
    refuse("photo.broken", "This picture is empty or broken.", "Save it anew as PNG or JPEG.")
}
