//! Moves a projection until the picture agrees best with the expected print.
//!
//! Least squares over the eight numbers of the projection, at the last how much the lens bends lines, two of the exposure
//! and a parabola of light that falls unevenly, by Gauss and Newton, from coarse to fine (B. D. Lucas & T. Kanade, Proc. IJCAI 1981, 674; exposure as in
//! G. D. Evangelidis & E. Z. Psarakis, IEEE Trans. PAMI 30 (2008) 1858).

use super::lightness::evened;
use super::{Expected, Homography, Lightness, ROUND_MM};
use crate::calibration::photo::{Lens, project};
use nalgebra::{SMatrix, SVector};
use std::collections::BTreeMap;

/// Numbers that are sought: eight of the projection, the lens's bend, two of the exposure, five of light that falls unevenly,
/// two of what the bevel prints.
const SOUGHT: usize = 18;
/// The lens's is this one of them.
const BEND: usize = 8;
/// Lenses bend by about this (standard deviation; common practice, no source), …
const USUAL_BEND: f64 = 0.005;
/// … and misses hang together over so many places: what is seen counts for so much less against that.
const TOGETHER: f64 = 60.0;
/// No lens bends more, share at the picture's corners.
const MOST_BEND: f64 = 0.06;
/// Steps at each size at most, and the shift of a corner, pixels, below which no more are taken.
const MOST_STEPS: usize = 30;
const SETTLED_PX: f64 = 0.02;
/// Least share of the places that must lie in the picture.
const IN_PICTURE: f64 = 0.7;
/// Lightness, of 1, by which a place that is off counts for half.
const ODD: f64 = 0.2;
/// A place lies within an area of one tone where those so many squares off differ by less, and a tone is known from so many.
const CLEAR: usize = 2;
const SAME_TONE: f32 = 0.02;
const ENOUGH: f64 = 20.0;
/// Against a step too far where the picture tells little, of the diagonal: at first, and when nearly there.
const DAMPING: f64 = 1e-3;
const NEAR_DAMPING: f64 = 1e-7;
/// Along a plate's edge bevels print what they hold: as much all along, outwards and inwards by this, mm. What is near, to twice
/// that, counts for so much.
pub(super) const EDGE_MM: f64 = 0.6;
const EDGE: f64 = 0.3;

/// The expected print in squares of one side.
pub(super) struct Laid<'a> {
    expected: &'a Expected,
    side_mm: f64,
    places: Vec<Place>,
}

/// A square.
struct Place {
    /// Its middle, from −1 to 1 over the plate.
    at: (f64, f64),
    /// Lightness expected.
    expected: f64,
    /// How much it counts.
    weight: f64,
    /// Share of the square along the plate's edge, outside and inside.
    edge: (f64, f64),
    /// Cube root of the light that falls there, as a share of the paper's on the whole.
    root: f64,
}

impl<'a> Laid<'a> {
    /// As if the light fell evenly.
    pub(super) fn new(expected: &'a Expected, side_mm: f64) -> Self {
        Self::lit(expected, side_mm, ROUND_MM, &|_, _| 1.0)
    }

    /// With so much round the plate, mm, in a light whose cube root at a place, mm, is this share of the paper's on the whole.
    pub(super) fn lit(
        expected: &'a Expected,
        side_mm: f64,
        round_mm: f64,
        root: &dyn Fn(f64, f64) -> f64,
    ) -> Self {
        let half = (0.5 * expected.width_mm, 0.5 * expected.height_mm);
        let count = |mm: f64| ((mm + 2.0 * round_mm) / side_mm) as usize;
        let (columns, rows) = (count(expected.width_mm), count(expected.height_mm));
        let places = (0..columns * rows)
            .map(|i| {
                let mm = |i: usize| (i as f64 + 0.5) * side_mm - round_mm;
                let (x, y) = (mm(i % columns), mm(i / columns));
                let edge = x.min(y).min(expected.width_mm - x).min(expected.height_mm - y);
                let share = |from: f64, to: f64| {
                    let (left, right) = (edge - 0.5 * side_mm, edge + 0.5 * side_mm);
                    (right.min(to) - left.max(from)).max(0.0) / side_mm
                };
                let bevelled = f64::from(u8::from(expected.bevelled));
                let near = bevelled > 0.0 && edge.abs() < 2.0 * EDGE_MM;
                Place {
                    at: (x / half.0 - 1.0, y / half.1 - 1.0),
                    expected: expected.over((x, y), side_mm),
                    weight: if near { EDGE } else { 1.0 },
                    edge: (bevelled * share(-EDGE_MM, 0.0), bevelled * share(0.0, EDGE_MM)),
                    root: root(x, y),
                }
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

/// A projection from −1 to 1 over the plate, so that its numbers, row by row, are alike; the last is 1.
struct Pose {
    to: [f64; 9],
    size: (usize, usize),
    bend: f64,
    lens: Lens,
}

/// A place of the plate in the picture.
struct Seen {
    /// Pixels.
    at: (f64, f64),
    /// The same without the lens's bend.
    straight: (f64, f64),
    depth: f64,
}

impl Pose {
    fn of(map: &Homography, levels: &[Lightness], expected: &Expected) -> Option<Self> {
        let first = levels.first()?;
        let size = (first.width, first.height);
        let lens = map.lens();
        let (w, h) = (0.5 * expected.width_mm, 0.5 * expected.height_mm);
        // From its corner in mm to its middle in halves.
        let [a, b, c, d, e, f, g, h, i] = {
            let [a, b, c, d, e, f, g, i, j] = map.numbers();
            [
                a * w,
                b * h,
                a * w + b * h + c,
                d * w,
                e * h,
                d * w + e * h + f,
                g * w,
                i * h,
                g * w + i * h + j,
            ]
        };
        let to = [a, b, c, d, e, f, g, h, i].map(|number| number / i);
        Some(Self { to, size, bend: lens.bend(), lens })
    }

    /// Where a place of the plate is seen; `None` behind the camera.
    fn seen(&self, (x, y): (f64, f64)) -> Option<Seen> {
        let (u, v, depth) = project(&self.to, x, y);
        let straight = (u / depth, v / depth);
        (depth > 0.0).then(|| Seen { at: self.lens.bent(straight), straight, depth })
    }

    fn corners(&self) -> Option<[(f64, f64); 4]> {
        let mut corners = [(0.0, 0.0); 4];
        for (to, at) in corners.iter_mut().zip([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
        {
            *to = self.seen(at)?.at;
        }
        Some(corners)
    }

    fn moved(&mut self, by: &SVector<f64, SOUGHT>) {
        for (number, by) in self.to[..8].iter_mut().zip(by.iter()) {
            *number += by;
        }
        self.bend = (self.bend + by[BEND]).clamp(-MOST_BEND, MOST_BEND);
        self.lens = Lens::new(self.size, self.bend);
    }
}

/// The projection moved to where both agree best, in squares of one side after another; `None` where it leaves
/// the picture or folds. With `bends` it is found how much the lens bends lines, too.
pub(super) fn refine(
    levels: &[Lightness],
    laid: &[Laid<'_>],
    map: Homography,
    bends: bool,
) -> Option<Homography> {
    let expected = laid.first()?.expected;
    let mut pose = Pose::of(&map, levels, expected)?;
    for Laid { side_mm, places, .. } in laid {
        let level = level(levels, &map, expected, *side_mm)?;
        for _ in 0..MOST_STEPS {
            let before = pose.corners()?;
            pose.moved(&step(level, places, &pose, bends)?);
            let moved = pose
                .corners()?
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
    Homography::through(expected.width_mm, expected.height_mm, &pose.corners()?, pose.lens)
}

/// One step of what is sought.
fn step(
    level: &Lightness,
    places: &[Place],
    pose: &Pose,
    bends: bool,
) -> Option<SVector<f64, SOUGHT>> {
    // Exposure first, so that what the picture's changes count for is known.
    let (gain, lift) = exposure(level, places, pose)?;
    let mut known = SMatrix::<f64, SOUGHT, SOUGHT>::zeros();
    let mut told = SVector::<f64, SOUGHT>::zeros();
    let (mut squares, mut weights) = (0.0, 0.0);
    for &Place { at: (x, y), expected, weight, edge, root } in places {
        let Some(Seen { at, straight: (u, v), depth: w }) = pose.seen((x, y)) else { continue };
        let Some((seen, across, down)) = level.at(at.0, at.1) else { continue };
        let (seen, across, down) = (evened(seen, root), across / root, down / root);
        let (a, b) = (gain * across / w, gain * down / w);
        let c = -(a * u + b * v);
        let (out, up) = if bends { pose.lens.moves((u, v)) } else { (0.0, 0.0) };
        let bend = gain * (across * out + down * up);
        let row = SVector::<f64, SOUGHT>::from([
            a * x,
            a * y,
            a,
            b * x,
            b * y,
            b,
            c * x,
            c * y,
            bend,
            seen,
            1.0,
            x,
            y,
            x * x,
            x * y,
            y * y,
            edge.0,
            edge.1,
        ]);
        let miss = expected - (gain * seen + lift);
        // Specks, hairs and thumbs count for little.
        let weight = weight / (1.0 + (miss / ODD) * (miss / ODD));
        known += row * row.transpose() * weight;
        told += row * (miss * weight);
        squares += miss * miss * weight;
        weights += weight;
    }
    let usual = TOGETHER * squares / weights.max(1.0) / (USUAL_BEND * USUAL_BEND);
    known[(BEND, BEND)] += usual;
    told[BEND] -= usual * pose.bend;
    for i in 0..SOUGHT {
        known[(i, i)] *= 1.0 + if bends { NEAR_DAMPING } else { DAMPING };
        known[(i, i)] += 1e-12;
    }
    known.cholesky().map(|known| known.solve(&told))
}

/// Pairs of seen and expected, where enough of the places lie in the picture.
fn pairs(level: &Lightness, places: &[Place], pose: &Pose) -> Option<Vec<(f64, f64)>> {
    let seen: Vec<(f64, f64)> = places
        .iter()
        .filter_map(|place| {
            let (x, y) = pose.seen(place.at)?.at;
            Some((evened(level.at(x, y)?.0, place.root), place.expected))
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
fn exposure(level: &Lightness, places: &[Place], pose: &Pose) -> Option<(f64, f64)> {
    let (of, both, mean) = moments(&pairs(level, places, pose)?);
    let gain = both / of[0].max(1e-9);
    Some((gain, mean[1] - gain * mean[0]))
}

/// How much the picture agrees with the expected print under a projection: their correlation.
pub(super) fn alike(levels: &[Lightness], laid: &Laid<'_>, map: &Homography) -> Option<f64> {
    let level = level(levels, map, laid.expected, laid.side_mm)?;
    let (of, both, _) =
        moments(&pairs(level, &laid.places, &Pose::of(map, levels, laid.expected)?)?);
    Some(both / libm::sqrt((of[0] * of[1]).max(1e-18)))
}

/// The expected print with each of its tones as the picture shows it on average, in a light whose cube root is this share of the
/// paper's on the whole. Only places within an area of one tone tell it: at a border what is seen hangs on where the print is
/// thought to lie.
pub(super) fn as_seen(
    levels: &[Lightness],
    expected: &Expected,
    map: &Homography,
    root: &dyn Fn(f64, f64) -> f64,
) -> Option<Expected> {
    let level = level(levels, map, expected, expected.px_mm)?;
    let (columns, tones) = (expected.columns, &expected.lightness);
    let rows = tones.len() / columns.max(1);
    let within = |at: usize| {
        let (x, y) = (at % columns, at / columns);
        let alike = |x: usize, y: usize| (tones[y * columns + x] - tones[at]).abs() < SAME_TONE;
        x >= CLEAR
            && y >= CLEAR
            && x + CLEAR < columns
            && y + CLEAR < rows
            && [x - CLEAR, x, x + CLEAR]
                .iter()
                .all(|x| [y - CLEAR, y, y + CLEAR].iter().all(|y| alike(*x, *y)))
    };
    let mut sums: BTreeMap<u32, (f64, f64)> = BTreeMap::new();
    for at in (0..tones.len()).filter(|at| within(*at)) {
        let middle = |i: usize| (i as f64 + 0.5) * expected.px_mm;
        let (x_mm, y_mm) = (middle(at % columns), middle(at / columns));
        let (x, y) = map.to_picture(x_mm, y_mm);
        if let Some((seen, ..)) = level.at(x, y) {
            // Bits of positive numbers lie as the numbers do.
            let (sum, count) = sums.entry(tones[at].max(0.0).to_bits()).or_default();
            *sum += evened(seen, root(x_mm, y_mm));
            *count += 1.0;
        }
    }
    let known: Vec<(f64, f64)> = sums
        .into_iter()
        .filter(|(_, (_, count))| *count >= ENOUGH)
        .map(|(bits, (sum, count))| (f64::from(f32::from_bits(bits)), sum / count))
        .collect();
    let shown = |tone: &f32| between(&known, f64::from(*tone)) as f32;
    Some(Expected { lightness: tones.iter().map(shown).collect(), ..expected.clone() })
}

/// Between known pairs in order, and as far off as the last of them beyond.
fn between(known: &[(f64, f64)], at: f64) -> f64 {
    let after = known.partition_point(|(tone, _)| *tone < at);
    match (after.checked_sub(1).and_then(|before| known.get(before)), known.get(after)) {
        (Some((a, seen_a)), Some((b, seen_b))) => {
            seen_a + (at - a) / (b - a).max(1e-9) * (seen_b - seen_a)
        }
        (Some((tone, seen)), None) | (None, Some((tone, seen))) => at + seen - tone,
        (None, None) => at,
    }
}
