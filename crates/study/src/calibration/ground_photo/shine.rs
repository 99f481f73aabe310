//! Highlights: where a drop of rosin throws a lamp back it is lighter than the copper, in the midst of the darker tone.

use super::islands::Labels;
use super::which::chord_px;

/// As light as this share of the lighter tone's pixels is full light: the others lie on its soft edge.
const FULL: f64 = 0.7;
/// Lighter than full light by this share of the distance of the two tones is shine.
const BEYOND: f64 = 0.2;
/// Whatever is lighter shines as a whole when this share of it does: the rest is the highlight's soft edge.
const SHINING: f64 = 0.25;
/// Less than this share of the picture is not looked at; more than that of the lighter tone is no highlights.
const SOME: f64 = 0.001;
const MOST: f64 = 0.5;

/// Tone from which on something shines: much lighter than both tones.
pub(crate) fn shine_from(histogram: &[u64; 256], level: u8, (dark, _): (f64, f64)) -> f64 {
    let lighter = usize::from(level) + 1;
    let all: u64 = histogram[lighter..].iter().sum();
    let mut passed = 0;
    let full = histogram[lighter..].iter().position(|count| {
        passed += count;
        passed as f64 >= FULL * all as f64
    });
    let full = (lighter + full.unwrap_or(0)) as f64;
    full + BEYOND * (full - dark)
}

/// The pixels of the lighter tone without those that are highlights on the darker; `None` when there are none.
pub(crate) fn without_highlights(
    tones: &[u8],
    lighter: &[bool],
    width: usize,
    shines: f64,
) -> Option<Vec<bool>> {
    let shines = |at: usize| f64::from(tones[at]) > shines;
    let all = (0..tones.len()).filter(|&at| shines(at)).count();
    if (all as f64) < SOME * tones.len() as f64 {
        return None;
    }
    // A highlight is narrower than what it lies on.
    let chord = chord_px(lighter, width);
    let labels = Labels::of(lighter, width);
    let mut found = vec![(0_usize, 0_usize); labels.count];
    for (at, one) in labels.each() {
        found[one].0 += 1;
        found[one].1 += usize::from(shines(at));
    }
    let highlight = |one: usize| {
        let (area, shining) = (found[one].0 as f64, found[one].1 as f64);
        shining > SHINING * area && area < chord * chord
    };
    let (mut left, mut gone, mut of) = (lighter.to_vec(), 0, 0);
    for (at, one) in labels.each() {
        left[at] = !highlight(one);
        gone += usize::from(highlight(one));
        of += 1;
    }
    (gone > 0 && (gone as f64) < MOST * f64::from(of)).then_some(left)
}
