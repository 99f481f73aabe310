//! Moves a projection until the picture agrees best with the expected print.
//!
//! Least squares over the eight numbers of the projection, two of the exposure and a parabola of light that falls
//! unevenly, by Gauss and Newton, from coarse to fine (B. D. Lucas & T. Kanade, Proc. IJCAI 1981, 674; exposure as in
//! G. D. Evangelidis & E. Z. Psarakis, IEEE Trans. PAMI 30 (2008) 1858).

use super::{Expected, Homography, Lightness, ROUND_MM};
use crate::calibration::photo::project;
use nalgebra::{SMatrix, SVector};
use std::collections::BTreeMap;

/// Numbers that are sought: eight of the projection, two of the exposure, five of light that falls unevenly.
const SOUGHT: usize = 15;
/// Steps at each size at most, and the shift of a corner, pixels, below which no more are taken.
const MOST_STEPS: usize = 30;
const SETTLED_PX: f64 = 0.02;
/// Least share of the places that must lie in the picture.
const IN_PICTURE: f64 = 0.7;
/// Lightness, of 1, by which a place that is off counts for half.
const ODD: f64 = 0.2;
/// Against a step too far where the picture tells little, of the diagonal.
const DAMPING: f64 = 1e-3;

/// The expected print in squares of one side.
pub(super) struct Laid<'a> {
    expected: &'a Expected,
    side_mm: f64,
    /// Middles of the squares, from −1 to 1 over the plate, with what is expected there.
    places: Vec<((f64, f64), f64)>,
}

impl<'a> Laid<'a> {
    pub(super) fn new(expected: &'a Expected, side_mm: f64) -> Self {
        let half = (0.5 * expected.width_mm, 0.5 * expected.height_mm);
        let count = |mm: f64| ((mm + 2.0 * ROUND_MM) / side_mm) as usize;
        let (columns, rows) = (count(expected.width_mm), count(expected.height_mm));
        let places = (0..columns * rows)
            .map(|i| {
                let mm = |i: usize| (i as f64 + 0.5) * side_mm - ROUND_MM;
                let (x, y) = (mm(i % columns), mm(i / columns));
                ((x / half.0 - 1.0, y / half.1 - 1.0), expected.over((x, y), side_mm))
            })
            .collect();
        Self { expected, side_mm, places }
    }
}

/// The size of the picture whose pixels are about as large as squares of this side.
fn level<'a>(
    levels: &'a [Lightness],
    map: &Homography,
    expected: &Expected,
    side_mm: f64,
) -> Option<&'a Lightness> {
    let px = side_mm * map.px_per_mm(0.5 * expected.width_mm, 0.5 * expected.height_mm);
    levels.iter().rev().find(|level| level.scale <= px.max(1.0)).or(levels.first())
}

/// The numbers of the projection from −1 to 1 over the plate, row by row, so that they are alike; the last is 1.
fn numbers(map: &Homography, expected: &Expected) -> Option<[f64; 9]> {
    let (w, h) = (expected.width_mm, expected.height_mm);
    let corners = [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)].map(|(x, y)| map.to_picture(x, y));
    // From 0 to 2 over the plate, then moved to its middle.
    let [a, b, c, d, e, f, g, h, i] = Homography::new(2.0, 2.0, &corners)?.numbers();
    let last = g + h + i;
    Some([a, b, a + b + c, d, e, d + e + f, g, h, last].map(|number| number / last))
}

fn corners(to: &[f64; 9]) -> [(f64, f64); 4] {
    [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(x, y)| {
        let (u, v, w) = project(to, x, y);
        (u / w, v / w)
    })
}

/// The projection moved to where both agree best, in squares of one side after another; `None` where it leaves
/// the picture or folds.
pub(super) fn refine(
    levels: &[Lightness],
    laid: &[Laid<'_>],
    map: Homography,
) -> Option<Homography> {
    let expected = laid.first()?.expected;
    let mut to = numbers(&map, expected)?;
    for Laid { side_mm, places, .. } in laid {
        let level = level(levels, &map, expected, *side_mm)?;
        for _ in 0..MOST_STEPS {
            let step = step(level, places, &to)?;
            let before = corners(&to);
            for (number, by) in to[..8].iter_mut().zip(step.iter()) {
                *number += by;
            }
            let moved = corners(&to)
                .iter()
                .zip(before)
                .fold(0.0_f64, |most, (a, b)| most.max(libm::hypot(a.0 - b.0, a.1 - b.1)));
            if !moved.is_finite() {
                return None;
            }
            if moved < SETTLED_PX {
                break;
            }
        }
    }
    Homography::new(expected.width_mm, expected.height_mm, &corners(&to))
}

/// One step of the projection's eight numbers.
fn step(
    level: &Lightness,
    places: &[((f64, f64), f64)],
    to: &[f64; 9],
) -> Option<SVector<f64, SOUGHT>> {
    // Exposure first, so that what the picture's changes count for is known.
    let (gain, lift) = exposure(level, places, to)?;
    let mut known = SMatrix::<f64, SOUGHT, SOUGHT>::zeros();
    let mut told = SVector::<f64, SOUGHT>::zeros();
    for &((x, y), expected) in places {
        let (u, v, w) = project(to, x, y);
        let (u, v) = (u / w, v / w);
        let Some((seen, across, down)) = level.at(u, v) else { continue };
        let (a, b) = (gain * across / w, gain * down / w);
        let c = -(a * u + b * v);
        let row = SVector::<f64, SOUGHT>::from([
            a * x,
            a * y,
            a,
            b * x,
            b * y,
            b,
            c * x,
            c * y,
            seen,
            1.0,
            x,
            y,
            x * x,
            x * y,
            y * y,
        ]);
        let miss = expected - (gain * seen + lift);
        // Specks, hairs and thumbs count for little.
        let weight = 1.0 / (1.0 + (miss / ODD) * (miss / ODD));
        known += row * row.transpose() * weight;
        told += row * (miss * weight);
    }
    for i in 0..SOUGHT {
        known[(i, i)] *= 1.0 + DAMPING;
        known[(i, i)] += 1e-12;
    }
    known.cholesky().map(|known| known.solve(&told))
}

/// Pairs of seen and expected, where enough of the places lie in the picture.
fn pairs(
    level: &Lightness,
    places: &[((f64, f64), f64)],
    to: &[f64; 9],
) -> Option<Vec<(f64, f64)>> {
    let seen: Vec<(f64, f64)> = places
        .iter()
        .filter_map(|&((x, y), expected)| {
            let (u, v, w) = project(to, x, y);
            let (seen, ..) = if w > 0.0 { level.at(u / w, v / w)? } else { return None };
            Some((seen, expected))
        })
        .collect();
    (seen.len() as f64 >= IN_PICTURE * places.len() as f64).then_some(seen)
}

/// Variances and covariance of seen and expected, and their means.
fn moments(pairs: &[(f64, f64)]) -> ([f64; 2], f64, [f64; 2]) {
    let n = pairs.len().max(1) as f64;
    let mean = pairs.iter().fold([0.0; 2], |sum, (a, b)| [sum[0] + a / n, sum[1] + b / n]);
    let (mut of, mut both) = ([0.0; 2], 0.0);
    for (a, b) in pairs {
        let (a, b) = (a - mean[0], b - mean[1]);
        of[0] += a * a / n;
        of[1] += b * b / n;
        both += a * b / n;
    }
    (of, both, mean)
}

/// By what the picture's lightness is multiplied and lifted to be the expected one.
fn exposure(level: &Lightness, places: &[((f64, f64), f64)], to: &[f64; 9]) -> Option<(f64, f64)> {
    let (of, both, mean) = moments(&pairs(level, places, to)?);
    let gain = both / of[0].max(1e-9);
    Some((gain, mean[1] - gain * mean[0]))
}

/// How much the picture agrees with the expected print under a projection: their correlation.
pub(super) fn alike(levels: &[Lightness], laid: &Laid<'_>, map: &Homography) -> Option<f64> {
    let level = level(levels, map, laid.expected, laid.side_mm)?;
    let (of, both, _) = moments(&pairs(level, &laid.places, &numbers(map, laid.expected)?)?);
    Some(both / libm::sqrt((of[0] * of[1]).max(1e-18)))
}

/// The expected print with each of its tones as the picture shows it on average.
pub(super) fn as_seen(
    levels: &[Lightness],
    expected: &Expected,
    map: &Homography,
) -> Option<Expected> {
    let level = level(levels, map, expected, expected.px_mm)?;
    let mut tones: BTreeMap<u32, (f64, f64)> = BTreeMap::new();
    for (i, tone) in expected.lightness.iter().enumerate() {
        let middle = |i: usize| (i as f64 + 0.5) * expected.px_mm;
        let (x, y) = map.to_picture(middle(i % expected.columns), middle(i / expected.columns));
        if let Some((seen, ..)) = level.at(x, y) {
            let (sum, count) = tones.entry(tone.to_bits()).or_default();
            *sum += seen;
            *count += 1.0;
        }
    }
    let paper = tones.get(&1.0_f32.to_bits()).map_or(1.0, |(sum, count)| sum / count);
    let shown = |tone: &f32| {
        tones.get(&tone.to_bits()).map_or(*tone, |(sum, count)| (sum / count / paper) as f32)
    };
    Some(Expected { lightness: expected.lightness.iter().map(shown).collect(), ..expected.clone() })
}
