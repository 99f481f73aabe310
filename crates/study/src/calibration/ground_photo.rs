//! A picture of dust or of a melted ground, read: cover, islands per mm², their width.
//!
//! 1. The picture, or the part of it in a frame, becomes tones, 8-bit; the light on it is evened out and noise smoothed
//!    (`even.rs`). Two marks on a ruler, or a number, tell its scale (`scale.rs`).
//! 2. Otsu's level parts it in two; the tone whose outline is that of grains and drops is rosin (`which.rs`), highlights
//!    on dark drops among it (`shine.rs`).
//! 3. The rosin's islands are counted and measured ([`islands()`]), and how many a sharper picture would show apart is
//!    reckoned (`apart.rs`).
//!
//! Tolerance on pictures with known answers (`tests/ground_photo.rs`, `tests/ground_hard.rs`): cover ± 0.03, median width
//! ± 15 %, islands per mm² ± 15 %, from 8 pixels a median width up.

mod apart;
mod even;
pub(crate) mod islands;
mod scale;
mod shine;
mod which;
mod words;

pub use even::{Level, otsu};
pub use islands::{Island, islands};
pub use scale::{Frame, Scale};

pub(crate) use even::binomial;
pub(crate) use islands::{Counted, LEAST_PX, count};
pub(crate) use words::refuse;

use apart::more_when_sharp;
use even::Even;
use plan::Diagnostic;
use serde::Serialize;
use shine::{shine_from, without_highlights};
use which::{like_rosin, outline_px};

/// Fewest pixels along each side.
const FEWEST_PX: usize = 160;
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
/// Light that falls off by more than this is said, and by more than that is no light any more.
const UNEVEN: (f64, f64) = (0.6, 0.93);
/// Cover may differ from one sixteenth of the picture to another by this standard deviation and by that over the root
/// of the islands: twice what drawn grounds do.
const PATCHY: (f64, f64) = (0.1, 1.4);
/// Glare is said from this share of the picture on.
const GLARE: f64 = 0.01;
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
    /// What tells its scale.
    pub scale: Scale,
    /// The part that is read; all of it without one.
    pub frame: Option<Frame>,
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
    /// The same per mm²: as many as this picture shows apart.
    pub seen_per_mm2: f64,
    /// Islands per mm² that a sharper picture would show apart, reckoned.
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

/// What was read in two tones, to be judged by eye.
#[derive(Clone, Debug, PartialEq)]
pub struct RosinMask {
    /// Whether each pixel is rosin, row by row.
    pub rosin: Vec<bool>,
    /// Left upper corner of the part that was read, pixels of the picture.
    pub corner: (usize, usize),
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
            return Err(words::broken());
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
            return Err(words::broken());
        }
        Ok(Self { width, height: grey.len() / width, grey })
    }
}

/// Reads a picture of dust or of a melted ground.
///
/// # Errors
/// Why it can't be read, and what to do: no scale, too small, one tone only, no ground, too few or too small islands, out
/// of focus.
pub fn read_ground(
    photo: &GroundPhoto,
    shot: &GroundShot,
) -> Result<(GroundReading, RosinMask), Diagnostic> {
    let px_um = shot.scale.px_um((photo.width, photo.height))?;
    let (left, top, width, height) = scale::framed(shot.frame, (photo.width, photo.height));
    if width.min(height) < FEWEST_PX {
        return Err(words::small());
    }
    let mut grey = Vec::with_capacity(width * height);
    for row in photo.grey.chunks_exact(photo.width).skip(top).take(height) {
        grey.extend_from_slice(&row[left..left + width]);
    }
    let even = Even::of(&grey, width, height);
    drop(grey);
    let tones = &even.tone[..];
    let histogram = even.histogram();
    let Some(Level { level, means, separation }) = otsu(&histogram).filter(|level| {
        (level.means.1 - level.means.0) * even.codes_per_tone >= LEAST_CODES
            && level.separation >= LEAST_APART
    }) else {
        return Err(words::one_tone());
    };
    if even.uneven > UNEVEN.1 {
        return Err(words::black_edge());
    }
    let shines = shine_from(&histogram, level, means);
    let (level, apart) = (f64::from(level), means.1 - means.0);
    let lighter_than =
        |level: f64| -> Vec<bool> { tones.iter().map(|&tone| f64::from(tone) > level).collect() };
    let lighter = lighter_than(level);
    let soft_px = soft_px(tones, &lighter, width, means);
    let mut like = like_rosin(&lighter, width);
    // Dark drops with highlights look like rosin once these are taken for what they lie on.
    let mut shine = false;
    if shot.rosin != RosinTone::Lighter
        && let Some(dull) = without_highlights(tones, &lighter, width, shines)
    {
        let dull = like_rosin(&dull, width);
        shine = dull < 0.0 || shot.rosin == RosinTone::Darker;
        like = if shine { dull } else { like };
    }
    let rosin_lighter = match shot.rosin {
        RosinTone::Found => like > 0.0,
        RosinTone::Lighter => true,
        RosinTone::Darker => false,
    };
    drop(lighter);
    // The level moved towards more rosin, and what is rosin there.
    let moved = |more: f64| level + if rosin_lighter { -more } else { more } * apart;
    let rosin_at = |more: f64| {
        let lighter = lighter_than(moved(more));
        let dull = if shine { without_highlights(tones, &lighter, width, shines) } else { None };
        let mut rosin = dull.unwrap_or(lighter);
        rosin.iter_mut().for_each(|one| *one = *one == rosin_lighter);
        rosin
    };
    let nudge = if shot.nudge.is_finite() { shot.nudge.clamp(-0.4, 0.4) } else { 0.0 };
    let rosin = rosin_at(nudge);
    let counted = count(&rosin, width, LEAST_PX);
    let share = |within: &dyn Fn(f64) -> bool| {
        let each = (0..=255).zip(&histogram).filter(|(tone, _)| within(f64::from(*tone)));
        each.map(|(_, count)| count).sum::<u64>() as f64 / tones.len() as f64
    };
    let cover_at = |more: f64| share(&|tone| (tone > moved(more)) == rosin_lighter);
    let highlights = counted.cover - cover_at(nudge);
    let glare = share(&|tone| tone > shines) - highlights;

    let unsure = shot.rosin == RosinTone::Found && like.abs() < LEAST_LIKE;
    if unsure && counted.cover > CLOSING {
        return Err(words::which_tone());
    }
    if patchy(&rosin, width) > PATCHY.0 + PATCHY.1 / libm::sqrt(counted.count.max(1.0)) {
        return Err(words::no_ground());
    }
    // A ground that has nearly closed has few, and is read all the same.
    if counted.count < FEWEST_ISLANDS && counted.cover < CLOSING {
        return Err(words::few());
    }
    let across = counted.width_px.unwrap_or(f64::INFINITY);
    if across < FEWEST_ACROSS {
        return Err(words::fine());
    }
    let soft = soft_px / across;
    if soft > SOFT.1 {
        return Err(words::blurred());
    }
    let warnings = words::warnings([
        soft > SOFT.0,
        separation < NEAR_APART,
        unsure,
        counted.count < FEW_ISLANDS,
        even.uneven > UNEVEN.0,
        glare > GLARE,
        shot.scale.marked_in([left, top, width, height].map(|px| px as f64)),
    ]);
    let seen_per_mm2 = counted.count / (tones.len() as f64 * px_um * px_um * 1e-6);
    let read = (counted.count, soft_px);
    let more = more_when_sharp(tones, width, moved(nudge), means, rosin_lighter, read);
    let found = GroundMeasures {
        cover: counted.cover,
        cover_low: cover_at(nudge - LEVEL_OFF) + highlights,
        cover_high: cover_at(nudge + LEVEL_OFF) + highlights,
        islands: counted.count,
        seen_per_mm2,
        islands_per_mm2: seen_per_mm2 * more,
        median_width_um: counted.width_px.map(|px| px * px_um),
        outline_per_mm: counted.outline / px_um * 1000.0,
        blur_um: soft_px * px_um,
        px_um,
    };
    let reading = GroundReading { found, rosin_lighter, separation, uneven: even.uneven, warnings };
    Ok((reading, RosinMask { rosin, corner: (left, top), width }))
}

/// How softly the outlines of the pixels that are set are drawn, pixels (standard deviation): a pixel of the outline lies
/// between a quarter and three quarters of the way from tone to tone over 1.35 of it.
pub(crate) fn soft_px(tones: &[u8], set: &[bool], width: usize, (dark, light): (f64, f64)) -> f64 {
    let quarter = 0.25 * (light - dark);
    let between = (dark + quarter)..(light - quarter);
    let all = tones.iter().filter(|tone| between.contains(&f64::from(**tone))).count();
    all as f64 / outline_px(set, width) / 1.35
}

/// How the cover differs from one part of a picture to another: standard deviation over sixteen of them.
fn patchy(rosin: &[bool], width: usize) -> f64 {
    const PARTS: usize = 4;
    let (mut set, mut all) = ([0_u32; PARTS * PARTS], [0_u32; PARTS * PARTS]);
    let height = rosin.len() / width;
    for (y, row) in rosin.chunks_exact(width).enumerate() {
        for (x, part) in row.chunks(width.div_ceil(PARTS)).enumerate() {
            let at = y * PARTS / height * PARTS + x;
            set[at] += part.iter().map(|&one| u32::from(one)).sum::<u32>();
            all[at] += part.len() as u32;
        }
    }
    let covers = set.iter().zip(&all).map(|(&set, &all)| f64::from(set) / f64::from(all));
    let mean = covers.clone().sum::<f64>() / set.len() as f64;
    libm::sqrt(covers.map(|c| (c - mean) * (c - mean)).sum::<f64>() / set.len() as f64)
}
