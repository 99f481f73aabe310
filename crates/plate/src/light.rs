//! Light: reflectance, density, lightness, and what a screen shows.
//!
//! Reflectance is the share of light thrown back against a perfect white diffuser, 0–1, in linear
//! light. Averages are always taken of reflectance, never of density, lightness or screen values.

use std::sync::OnceLock;

/// Reflectances below this are taken as this one where a logarithm is needed: no print is blacker.
const DARKEST: f64 = 1e-6;

/// Reflection density, −log₁₀ R. Definition: ISO 5-4:2009.
#[must_use]
pub fn density(reflectance: f64) -> f64 {
    -libm::log10(reflectance.max(DARKEST))
}

/// Density of every tenth of L* from 0 to 100, for whoever shows one beside the other.
#[must_use]
pub fn densities_of_tenths() -> Vec<f64> {
    (0..=1000).map(|tenth| density(reflectance_of_lightness(f64::from(tenth) / 10.0))).collect()
}

/// CIE lightness L*, 0–100, of a reflectance 0–1. Formula: ISO/CIE 11664-4.
#[must_use]
pub fn lightness(reflectance: f64) -> f64 {
    if reflectance > 216.0 / 24389.0 {
        116.0 * libm::cbrt(reflectance) - 16.0
    } else {
        24389.0 / 27.0 * reflectance.max(0.0)
    }
}

/// Reflectance 0–1 of a CIE lightness L* (0–100): the inverse of [`lightness`].
#[must_use]
pub fn reflectance_of_lightness(lightness: f64) -> f64 {
    if lightness > 8.0 {
        let root = (lightness + 16.0) / 116.0;
        root * root * root
    } else {
        27.0 / 24389.0 * lightness.max(0.0)
    }
}

/// Munsell value 0–10 of a reflectance 0–1: the inverse of [`reflectance_of_munsell`].
#[must_use]
pub fn munsell_value(reflectance: f64) -> f64 {
    let (mut low, mut high) = (0.0_f64, 10.0_f64);
    // 50 halvings reach the last bit that matters.
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if reflectance_of_munsell(middle) < reflectance {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// Reflectance 0–1 of a Munsell value 0–10 (value 10 is 1.0 within 0.001).
/// Polynomial: ASTM D1535-08.
#[must_use]
pub fn reflectance_of_munsell(value: f64) -> f64 {
    let v = value;
    0.01 * v * (1.1914 + v * (-0.22533 + v * (0.23352 + v * (-0.020484 + v * 0.000_819_39))))
}

/// sRGB code 0–1 of linear light 0–1 (clamped). Formula: IEC 61966-2-1:1999.
#[must_use]
pub fn srgb(linear: f64) -> f64 {
    let linear = linear.clamp(0.0, 1.0);
    if linear <= 0.003_130_8 {
        12.92 * linear
    } else {
        1.055 * libm::pow(linear, 1.0 / 2.4) - 0.055
    }
}

/// Linear light 0–1 of an sRGB code 0–1 (clamped). Formula: IEC 61966-2-1:1999.
#[must_use]
pub fn linear_of_srgb(code: f64) -> f64 {
    let code = code.clamp(0.0, 1.0);
    if code <= 0.040_45 { code / 12.92 } else { libm::pow((code + 0.055) / 1.055, 2.4) }
}

/// 8-bit sRGB code of linear light 0–1, rounded to the nearest.
#[must_use]
pub fn srgb8(linear: f64) -> u8 {
    libm::floor(srgb(linear) * 255.0 + 0.5) as u8
}

/// Entries of the table's first guess, per unit of linear light.
const GUESSES: usize = 4096;

/// Linear light to 8-bit sRGB for whole images: the same codes as [`srgb8`], without its powers.
#[derive(Clone, Debug)]
pub struct Srgb8Table {
    /// Code at the lower end of each of [`GUESSES`] equal steps of linear light.
    guess: Vec<u8>,
    /// Linear light from which the code above each code holds; the last is never reached.
    next_from: [f32; 256],
}

impl Srgb8Table {
    /// Fills the table.
    #[must_use]
    pub fn new() -> Self {
        let mut next_from = [f32::INFINITY; 256];
        for (code, from) in next_from.iter_mut().take(255).enumerate() {
            // The nearest f32 may round to the wrong side of the border; step to the first that
            // the exact formula gives the higher code.
            let higher = code as u8 + 1;
            let mut border = linear_of_srgb((code as f64 + 0.5) / 255.0) as f32;
            while srgb8(f64::from(border)) >= higher {
                border = border.next_down();
            }
            while srgb8(f64::from(border)) < higher {
                border = border.next_up();
            }
            *from = border;
        }
        let guess = (0..=GUESSES).map(|step| srgb8(step as f64 / GUESSES as f64)).collect();
        Self { guess, next_from }
    }

    /// The table, filled the first time it is asked for.
    #[must_use]
    pub fn shared() -> &'static Self {
        static TABLE: OnceLock<Srgb8Table> = OnceLock::new();
        TABLE.get_or_init(Self::new)
    }

    /// Reflectances as opaque grey pixels of four bytes: red, green, blue, alpha.
    #[must_use]
    pub fn grey_rgba(&self, reflectance: &[f32]) -> Vec<u8> {
        let mut rgba = vec![255; 4 * reflectance.len()];
        for (pixel, &reflectance) in rgba.as_chunks_mut::<4>().0.iter_mut().zip(reflectance) {
            let grey = self.encode(reflectance);
            *pixel = [grey, grey, grey, 255];
        }
        rgba
    }

    /// 8-bit sRGB code of linear light; anything outside 0–1 is clamped, NaN is black.
    #[inline(always)]
    #[must_use]
    pub fn encode(&self, linear: f32) -> u8 {
        let linear = if linear > 0.0 { linear } else { 0.0 };
        let linear = if linear < 1.0 { linear } else { 1.0 };
        // One step of the guess spans less than one code, so at most one comparison succeeds.
        let code = self.guess[(linear * GUESSES as f32) as usize];
        code + u8::from(linear >= self.next_from[usize::from(code)])
    }
}

/// Lightness L* of some pixels together (opaque sRGB, four bytes each): that of their mean luminance, with the weights of
/// IEC 61966-2-1. Nothing is black.
#[must_use]
pub fn lightness_of_pixels(rgba: &[u8]) -> f64 {
    let (pixels, _) = rgba.as_chunks::<4>();
    let linear = |code: u8| linear_of_srgb(f64::from(code) / 255.0);
    let light = pixels.iter().map(|&[red, green, blue, _]| {
        0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue)
    });
    lightness(light.sum::<f64>() / pixels.len().max(1) as f64)
}

/// A grey picture (8-bit sRGB, row by row, at least 1 × 1) brought to half its size: each pixel is the mean light of
/// four, and an odd last row or column counts twice. Gives its greys, width and height.
#[must_use]
pub fn halved(grey: &[u8], width: usize, height: usize) -> (Vec<u8>, usize, usize) {
    let encode = Srgb8Table::shared();
    let linear: [f32; 256] =
        core::array::from_fn(|code| linear_of_srgb(code as f64 / 255.0) as f32);
    let (across, down) = (width.div_ceil(2), height.div_ceil(2));
    let light = |x: usize, y: usize| {
        linear[usize::from(grey[y.min(height - 1) * width + x.min(width - 1)])]
    };
    let mut half = Vec::with_capacity(across * down);
    for y in (0..height).step_by(2) {
        for x in (0..width).step_by(2) {
            let sum = light(x, y) + light(x + 1, y) + light(x, y + 1) + light(x + 1, y + 1);
            half.push(encode.encode(sum / 4.0));
        }
    }
    (half, across, down)
}

impl Default for Srgb8Table {
    fn default() -> Self {
        Self::new()
    }
}
