//! A picture as tones.

use plan::Crop;
use plate::light::{linear_of_srgb, reflectance_of_lightness, srgb8};
use thiserror::Error;

/// Most pixels a picture may have that is kept pixel by pixel (50 megapixels).
pub const MAX_PIXELS: usize = 50_000_000;

/// Steps of the table from luminance to lightness. At 1/65536 the darkest step is L* 0.014, far
/// below the byte's own L* 0.39.
const LUMINANCE_STEPS: usize = 1 << 16;
/// Fixed point of the summed luminance: white is `LUMINANCE_STEPS << EXTRA_BITS`, less one step.
const EXTRA_BITS: u32 = 8;

/// A picture, or a part of one, as lightness.
#[derive(Clone, Debug, PartialEq)]
pub struct ToneMap {
    /// Columns, at least 1.
    pub width: usize,
    /// Rows, at least 1.
    pub height: usize,
    /// Row by row from the top left: CIE 1976 L*, 0–100 scaled to 0–255 and rounded.
    pub lightness: Vec<u8>,
    /// Part of the picture that this is: crops are parts of the whole picture, however much of it was read.
    pub part: Crop,
}

/// Why a picture can't be used.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum PictureError {
    /// No pixels.
    #[error(
        "The picture is {width} × {height} pixels: there is nothing in it. Choose another picture."
    )]
    Empty {
        /// Columns.
        width: usize,
        /// Rows.
        height: usize,
    },
    /// More pixels than [`MAX_PIXELS`].
    #[error(
        "The picture is {width} × {height} pixels, more than 50 megapixels. Scale it down and choose it again."
    )]
    TooLarge {
        /// Columns.
        width: usize,
        /// Rows.
        height: usize,
    },
    /// The bytes don't fit the size.
    #[error(
        "The picture is said to be {width} × {height} pixels but holds {bytes} bytes instead of {expected}. Save it again in its program, then choose it here."
    )]
    WrongLength {
        /// Columns.
        width: usize,
        /// Rows.
        height: usize,
        /// Bytes given.
        bytes: usize,
        /// Bytes needed.
        expected: usize,
    },
}

impl ToneMap {
    /// A whole picture from its lightness: `width` × `height` bytes.
    #[must_use]
    pub fn new(width: usize, height: usize, lightness: Vec<u8>) -> Self {
        Self { width, height, lightness, part: Crop::default() }
    }

    /// A crop of the whole picture as a part of this map.
    #[must_use]
    pub(crate) fn crop(&self, crop: Crop) -> Crop {
        let Crop { left, top, width, height } = self.part;
        Crop {
            left: (crop.left - left) / width,
            top: (crop.top - top) / height,
            width: crop.width / width,
            height: crop.height / height,
        }
    }

    /// Reads every pixel of a picture as it is: sRGB, four bytes each (red, green, blue, alpha; not
    /// premultiplied), row by row from the top left. What lies on a plate is read with
    /// [`read`](crate::read()), which does the same and brings large pictures to fewer pixels.
    ///
    /// Each channel is linearised (IEC 61966-2-1), summed to luminance with the weights of the same
    /// standard (0.2126, 0.7152, 0.0722), laid over white paper by its alpha in linear light, and
    /// turned into lightness L* (CIE 15, L* 100 for white).
    ///
    /// # Errors
    /// A sentence for the user when a side is zero, the picture is larger than [`MAX_PIXELS`], or
    /// the bytes don't fit the size.
    pub fn from_rgba(rgba: &[u8], width: usize, height: usize) -> Result<Self, PictureError> {
        if width == 0 || height == 0 {
            return Err(PictureError::Empty { width, height });
        }
        let pixels = width
            .checked_mul(height)
            .filter(|pixels| *pixels <= MAX_PIXELS)
            .ok_or(PictureError::TooLarge { width, height })?;
        if rgba.len() != pixels * 4 {
            let (bytes, expected) = (rgba.len(), pixels * 4);
            return Err(PictureError::WrongLength { width, height, bytes, expected });
        }
        let luminances = Luminances::new();
        let (pixels, _) = rgba.as_chunks::<4>();
        let lightness =
            pixels.iter().map(|pixel| luminances.lightness(luminances.of(*pixel))).collect();
        Ok(Self::new(width, height, lightness))
    }

    /// Number of pixels at each whole L* from 0 to 100.
    #[must_use]
    pub fn histogram(&self) -> [u32; 101] {
        let mut bytes = [0_u32; 256];
        for tone in &self.lightness {
            bytes[*tone as usize] += 1;
        }
        let mut histogram = [0_u32; 101];
        for (tone, count) in bytes.iter().enumerate() {
            histogram[(tone * 100 + 127) / 255] += count;
        }
        histogram
    }

    /// The tones as RGBA bytes: each pixel the neutral sRGB grey of its lightness.
    #[must_use]
    pub fn to_rgba(&self) -> Vec<u8> {
        let grey: Vec<u8> = (0..=255_u32)
            .map(|tone| srgb8(reflectance_of_lightness(f64::from(tone) / 2.55)))
            .collect();
        self.lightness
            .iter()
            .flat_map(|tone| {
                let g = grey[*tone as usize];
                [g, g, g, 255]
            })
            .collect()
    }
}

/// From pixels to luminance and from luminance to lightness, by tables.
#[derive(Clone)]
pub(crate) struct Luminances {
    channels: [[u32; 256]; 3],
    white: u32,
    lightness: Vec<u8>,
}

impl Luminances {
    pub(crate) fn new() -> Self {
        let channels = [0.2126, 0.7152, 0.0722].map(weighted_linear);
        // The three rounded weights may miss white by a unit or two; white must stay white.
        let white = channels.iter().map(|channel| channel[255]).sum();
        Self { channels, white, lightness: lightness_table() }
    }

    /// Luminance of a pixel over white paper, in fixed point of 24 bits.
    #[inline]
    pub(crate) fn of(&self, [red, green, blue, alpha]: [u8; 4]) -> u32 {
        let [reds, greens, blues] = &self.channels;
        let opaque = reds[red as usize] + greens[green as usize] + blues[blue as usize];
        if alpha == 255 {
            return opaque;
        }
        let sum =
            u64::from(opaque) * u64::from(alpha) + u64::from(self.white) * u64::from(255 - alpha);
        (sum / 255) as u32
    }

    /// Lightness byte of a luminance.
    #[inline]
    pub(crate) fn lightness(&self, luminance: u32) -> u8 {
        self.lightness[(luminance >> EXTRA_BITS) as usize]
    }
}

/// One channel linearised and weighted, in fixed point.
fn weighted_linear(weight: f64) -> [u32; 256] {
    let mut table = [0; 256];
    let scale = (LUMINANCE_STEPS << EXTRA_BITS) as f64 - 2.0;
    for (code, entry) in table.iter_mut().enumerate() {
        let linear = linear_of_srgb(code as f64 / 255.0);
        *entry = (linear * weight * scale + 0.5) as u32;
    }
    table
}

/// Lightness byte for each luminance step, filled from one rounding border to the next.
fn lightness_table() -> Vec<u8> {
    let mut table = Vec::with_capacity(LUMINANCE_STEPS);
    for byte in 0..=255_u8 {
        let border = reflectance_of_lightness((f64::from(byte) + 0.5) / 2.55);
        // Step i stands for the luminances from i to i + 1: its middle decides.
        let until = libm::ceil(border * LUMINANCE_STEPS as f64 - 0.5) as usize;
        table.resize(until.min(LUMINANCE_STEPS), byte);
    }
    table.resize(LUMINANCE_STEPS, 255);
    table
}
