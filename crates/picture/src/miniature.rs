//! The picture's values small enough for a link.
//!
//! A [`Miniature`] is the value map of a whole plate, as printed, on a coarse raster: which of the
//! plan's values goes where, and nothing of the tones beneath. [`Miniature::fitting`] makes the
//! largest one whose code fits a number of bytes; [`Miniature::tones`] turns it back into a picture
//! that gives the same values, with smooth borders between them, wherever it is opened.
//!
//! # The code
//! Three bytes (columns, rows, number of the darkest value) and then the values, row by row, as
//! yes-or-no questions ("as on the left?", "as above?", …) packed by an arithmetic coder. How
//! likely each answer is, is learnt on the way from the values already known all round. All of it
//! in whole numbers: the code is part of links, so it must read the same for ever and everywhere.

mod model;
mod smooth;

use crate::tone::ToneMap;
use crate::toning::Toning;
use plan::link::{CHAT_CHARS, encode, room_for_miniature};
use plan::{Crop, Plan};
use thiserror::Error;

/// Most columns and most rows.
pub const MOST_SIDE: usize = 192;
/// Darkest value there may be: the most bites of a plan.
const MOST_DARKEST: u8 = plan::MAX_VALUES as u8;
/// Bytes before the values.
const HEADER: usize = 3;
/// Shortest long side that still shows something.
const LEAST_SIDE: usize = 8;

/// A plan's link, without `#`, with the picture as a small one that leaves the whole address, whose first
/// `address_chars` stand before the `#`, short enough for a chat.
///
/// # Errors
/// A sentence when the plan can't be sent, or its notes leave no room for a picture.
pub fn link_with_picture(
    tones: &ToneMap,
    plan: &Plan,
    address_chars: usize,
) -> Result<String, String> {
    let room = room_for_miniature(plan, address_chars, CHAT_CHARS).map_err(|e| e.to_string())?;
    let small = Miniature::fitting(
        tones,
        plan.picture.crop,
        &Toning::thresholds_l(&plan.picture),
        plan.plate.width_mm,
        plan.plate.height_mm,
        room,
    );
    let (_, code) =
        small.ok_or("The notes fill this link: there is no room for a picture in it.")?;
    encode(plan, Some(&code)).map_err(|error| error.to_string())
}

/// A plate's values on a coarse raster.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Miniature {
    /// Columns, 1 to [`MOST_SIDE`].
    pub width: usize,
    /// Rows, 1 to [`MOST_SIDE`].
    pub height: usize,
    /// Number of the darkest value the plan has, 0 to 12.
    pub darkest: u8,
    /// Row by row from the top left of the print: 0 for paper, up to `darkest`.
    pub values: Vec<u8>,
}

/// Why bytes are no miniature.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[error(
    "The small picture in this link is damaged; the plan is whole. Choose the picture yourself, or ask for the link again."
)]
pub struct DamagedMiniature;

impl Miniature {
    /// The crop of a picture as the plate's values, `long_side` pixels along the plate's longer
    /// side (brought into 1 to [`MOST_SIDE`]).
    ///
    /// Each pixel is the mean lightness of the picture under it, judged by the thresholds
    /// (L* 0–100, descending; at most 12 count). Plate in mm, above zero.
    #[must_use]
    pub fn of(
        tones: &ToneMap,
        crop: Crop,
        thresholds_l: &[f64],
        plate_width_mm: f64,
        plate_height_mm: f64,
        long_side: usize,
    ) -> Self {
        let long = long_side.clamp(1, MOST_SIDE);
        let short = |ratio: f64| ((long as f64 * ratio).round() as usize).clamp(1, MOST_SIDE);
        let (width, height) = if plate_width_mm >= plate_height_mm {
            (long, short(plate_height_mm / plate_width_mm))
        } else {
            (short(plate_width_mm / plate_height_mm), long)
        };
        let thresholds_l = &thresholds_l[..thresholds_l.len().min(MOST_DARKEST.into())];
        let crop = tones.crop(crop);
        let columns = spans(crop.left, crop.width, tones.width, width);
        let rows = spans(crop.top, crop.height, tones.height, height);
        let mut values = Vec::with_capacity(width * height);
        for (top, bottom) in rows {
            for (left, right) in &columns {
                let mut sum = 0_u64;
                for row in top..bottom {
                    let line = &tones.lightness[row * tones.width..][*left..*right];
                    sum += line.iter().map(|tone| u64::from(*tone)).sum::<u64>();
                }
                let mean = sum as f64 / ((bottom - top) * (right - left)) as f64;
                values.push(smooth::value_of(mean, thresholds_l));
            }
        }
        Self { width, height, darkest: thresholds_l.len() as u8, values }
    }

    /// The largest miniature whose code has at most `most_bytes`, and its code; `None` when not
    /// even one of a few pixels fits. Picture, crop, thresholds and plate as for
    /// [`Miniature::of`].
    ///
    /// Found by halving, as if each size took more bytes than the one below; a pixel or two are
    /// lost where that isn't so.
    #[must_use]
    pub fn fitting(
        tones: &ToneMap,
        crop: Crop,
        thresholds_l: &[f64],
        plate_width_mm: f64,
        plate_height_mm: f64,
        most_bytes: usize,
    ) -> Option<(Self, Vec<u8>)> {
        let (mut fits, mut least, mut most) = (None, LEAST_SIDE, MOST_SIDE);
        while least <= most {
            // The largest first: simple pictures need no search.
            let side = if most == MOST_SIDE && fits.is_none() && least == LEAST_SIDE {
                most
            } else {
                usize::midpoint(least, most)
            };
            let miniature =
                Self::of(tones, crop, thresholds_l, plate_width_mm, plate_height_mm, side);
            let code = miniature.encode();
            if code.len() <= most_bytes {
                fits = Some((miniature, code));
                least = side + 1;
            } else {
                most = side - 1;
            }
        }
        fits
    }

    /// The miniature as bytes.
    ///
    /// # Panics
    /// Never for a miniature made by [`Miniature::of`] or [`Miniature::decode`]; values beyond
    /// `darkest` or a wrong number of them are a programmer's error.
    #[must_use]
    pub fn encode(&self) -> Vec<u8> {
        assert!(
            self.values.len() == self.width * self.height
                && self.width.max(self.height) <= MOST_SIDE
                && self.darkest <= MOST_DARKEST
                && self.values.iter().all(|value| *value <= self.darkest),
            "a miniature holds one value from 0 to its darkest for each of its pixels"
        );
        let mut code = vec![self.width as u8, self.height as u8, self.darkest];
        let mut encoder = plan::compress::Encoder::new(&mut code);
        let mut values = self.values.clone();
        model::code(&mut values, self.width, self.darkest, &mut encoder);
        encoder.finish();
        code
    }

    /// Reads a miniature's bytes. Takes any bytes at all; at most [`MOST_SIDE`]² pixels come of
    /// them.
    ///
    /// # Errors
    /// [`DamagedMiniature`] for a size or number of values out of bounds, or bytes that are too
    /// few or too many for the size.
    pub fn decode(code: &[u8]) -> Result<Self, DamagedMiniature> {
        let (header, packed) = code.split_first_chunk::<HEADER>().ok_or(DamagedMiniature)?;
        let [width, height, darkest] = *header;
        let (width, height) = (usize::from(width), usize::from(height));
        let sound = (1..=MOST_SIDE).contains(&width)
            && (1..=MOST_SIDE).contains(&height)
            && darkest <= MOST_DARKEST;
        if !sound {
            return Err(DamagedMiniature);
        }
        let mut values = vec![0; width * height];
        let mut decoder = plan::compress::Decoder::new(packed);
        model::code(&mut values, width, darkest, &mut decoder);
        if !decoder.all_read() {
            return Err(DamagedMiniature);
        }
        Ok(Self { width, height, darkest, values })
    }

    /// The miniature as a picture for the whole plate (crop [`Crop::default`]).
    ///
    /// With the same thresholds (L*, descending) the middle of each of the miniature's pixels gets
    /// exactly its value again, and the borders between are smooth; where values that are not
    /// neighbours meet, no others creep in between. Thresholds nearer to each other than a step of
    /// a tone (L* 0.4) can't be told apart in a picture of bytes: the value between them is lost.
    #[must_use]
    pub fn tones(&self, thresholds_l: &[f64]) -> ToneMap {
        smooth::tones(self, thresholds_l)
    }
}

/// First and last-but-one pixel of a picture under each of `parts` parts of a crop's side.
fn spans(from: f64, size: f64, pixels: usize, parts: usize) -> Vec<(usize, usize)> {
    let edge = |i: usize| {
        let at = (from + size * i as f64 / parts as f64) * pixels as f64;
        (at.clamp(0.0, pixels as f64) + 0.5) as usize
    };
    (0..parts)
        .map(|i| {
            let first = edge(i).min(pixels - 1);
            (first, edge(i + 1).clamp(first + 1, pixels))
        })
        .collect()
}
