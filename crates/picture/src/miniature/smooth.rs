//! From coarse values back to a picture with smooth borders.
//!
//! For each value, "at least this dark" is a map of yes and no. Drawn with cubic B-splines it
//! becomes a smooth hill whose half height is the border; where the spline would round a pixel's
//! own answer away, its coefficient is pushed until it doesn't. Where several values are jumped at
//! once their hills are the same, so their borders fall together and nothing creeps in between.

use super::Miniature;
use crate::tone::ToneMap;

/// Pixels of the picture along each of the miniature's. Odd, so that one lies in the middle.
const FINER: usize = 5;
/// Cubic B-spline weights of the four nearest pixels, in 750ths, for the fine pixels two fifths and
/// one fifth before a pixel's middle, in it, and after: `((1 − t)³, 3t³ − 6t² + 4, −3t³ + 3t² + 3t +
/// 1, t³)/6` at t = 3/5, 4/5, 0, 1/5, 2/5 from the pixel before (de Boor 1978).
const WEIGHTS: [[i32; 4]; FINER] = [
    [8, 311, 404, 27],
    [1, 229, 456, 64],
    [125, 500, 125, 0],
    [64, 456, 229, 1],
    [27, 404, 311, 8],
];
/// Sum of the weights along one side.
const WHOLE: i32 = 750;
/// Coefficient of "yes"; "no" is 0.
const YES: i32 = 16;
/// How far a coefficient is pushed at a time, and at most.
const PUSH: i32 = 3;
const MOST_PUSHED: i32 = 4 * YES;
/// Rounds of pushing. Even noise settles in fewer.
const ROUNDS: usize = 40;

/// The value of a lightness in bytes: how many thresholds lie at or above it.
pub(super) fn value_of(byte: f64, thresholds_l: &[f64]) -> u8 {
    // As `ValueMap` rounds them.
    thresholds_l.iter().filter(|level| byte as f32 <= (**level * 2.55) as f32).count() as u8
}

/// See [`Miniature::tones`].
pub(super) fn tones(miniature: &Miniature, thresholds_l: &[f64]) -> ToneMap {
    let (width, height) = (miniature.width * FINER, miniature.height * FINER);
    let mut values = vec![0_u8; width * height];
    let mut across = vec![0_i32; width * miniature.height];
    let darkest = miniature.values.iter().copied().max().unwrap_or(0);
    for level in 1..=darkest {
        let coefficients = coefficients(miniature, level);
        for (line, out) in coefficients.chunks(miniature.width).zip(across.chunks_exact_mut(width))
        {
            for (x, out) in out.iter_mut().enumerate() {
                *out = spline(x, miniature.width, |column| line[column]);
            }
        }
        for (y, out) in values.chunks_exact_mut(width).enumerate() {
            for (x, out) in out.iter_mut().enumerate() {
                let hill = spline(y, miniature.height, |row| across[row * width + x]);
                *out += u8::from(2 * hill > YES * WHOLE * WHOLE);
            }
        }
    }
    // Should a pixel's middle have resisted all pushing, it is set right by itself.
    for (i, value) in miniature.values.iter().enumerate() {
        let (x, y) = (i % miniature.width, i / miniature.width);
        values[(y * FINER + FINER / 2) * width + x * FINER + FINER / 2] = *value;
    }
    let tone_of: Vec<u8> = (0..=darkest).map(|value| middle_tone(value, thresholds_l)).collect();
    let lightness = values.iter().map(|value| tone_of[usize::from(*value)]).collect();
    ToneMap::new(width, height, lightness)
}

/// Spline coefficients of "at least this dark" whose hill is above half height in the middle of
/// each pixel that is, and below it in the others.
fn coefficients(miniature: &Miniature, level: u8) -> Vec<i32> {
    let (width, height) = (miniature.width, miniature.height);
    let yes: Vec<bool> = miniature.values.iter().map(|value| *value >= level).collect();
    let mut found: Vec<i32> = yes.iter().map(|yes| if *yes { YES } else { 0 }).collect();
    let middle = |found: &[i32], x: usize, y: usize| {
        let line = |y: usize| {
            let row = &found[y * width..][..width];
            row[x.saturating_sub(1)] + 4 * row[x] + row[(x + 1).min(width - 1)]
        };
        line(y.saturating_sub(1)) + 4 * line(y) + line((y + 1).min(height - 1))
    };
    for _ in 0..ROUNDS {
        let mut settled = true;
        for y in 0..height {
            for x in 0..width {
                let i = y * width + x;
                if (2 * middle(&found, x, y) > 36 * YES) == yes[i] {
                    continue;
                }
                settled = false;
                let push = if yes[i] { PUSH } else { -PUSH };
                found[i] = (found[i] + push).clamp(-MOST_PUSHED, MOST_PUSHED);
            }
        }
        if settled {
            break;
        }
    }
    found
}

/// A line of numbers at a fine pixel, times [`WHOLE`]; beyond its ends it goes on.
fn spline(fine: usize, count: usize, number: impl Fn(usize) -> i32) -> i32 {
    let (pixel, phase) = (fine / FINER, fine % FINER);
    // Before the pixel's middle the spline's piece begins one pixel earlier.
    let before = if phase < FINER / 2 { 2 } else { 1 };
    let mut sum = 0;
    for (i, weight) in WEIGHTS[phase].iter().enumerate() {
        let at = (pixel + i).saturating_sub(before).min(count - 1);
        sum += weight * number(at);
    }
    sum
}

/// The byte of lightness in the middle of a value's tones, or the nearest there is.
fn middle_tone(value: u8, thresholds_l: &[f64]) -> u8 {
    let lightest = match usize::from(value).checked_sub(1) {
        None => 255.0,
        Some(above) => thresholds_l.get(above).map_or(0.0, |level| level * 2.55),
    };
    let next = thresholds_l.get(usize::from(value)).map_or(0.0, |level| level * 2.55);
    let middle = f64::midpoint(lightest, next);
    let nearest = (0..=255_u8)
        .filter(|byte| value_of(f64::from(*byte), thresholds_l) == value)
        .min_by_key(|byte| ((f64::from(*byte) - middle).abs() * 256.0) as u32);
    nearest.unwrap_or(middle.clamp(0.0, 255.0) as u8)
}
