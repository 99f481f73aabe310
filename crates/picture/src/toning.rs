//! Exposure, contrast and a curve: a picture's tones before they part into values.
//!
//! Values are parted by comparing tones with thresholds, and all of this only moves tones up and down without
//! changing their order. So nothing is done to the picture: where a plan asks for a threshold after the
//! change, [`Toning::before_l`] says at which of the picture's own tones that is. Borders between values stay as
//! smooth as ever, and no tone is rounded twice.

use plan::Picture;
use plate::light::{lightness, reflectance_of_lightness, srgb8};
use serde::Serialize;

/// Lightness that contrast turns about, and half the way between the ends of the scale, L*.
const MIDDLE_L: f64 = 50.0;
/// Halvings until two lightnesses are one `f64`.
const HALVINGS: usize = 60;
/// Bytes of lightness for one L*.
const BYTES_PER_L: f64 = 2.55;
/// Codes of the table for showing a picture so.
const CODES: usize = 64;
/// Shares of the picture's pixels up to which its darkest and lightest tones may lie beyond the ends.
const BEYOND: f64 = 0.005;
/// Shares of the picture between which its tones are spread.
const PARTS: [f64; 3] = [0.25, 0.5, 0.75];
/// How near to equal shares of all tones they are brought: 0 as they were, 1 quite.
const EVENED: f64 = 0.5;
/// Points nearer to each other than this are one, L*.
const APART_L: f64 = 1.0;

/// What a plan does to its picture's tones: they rise and fall, and none passes another.
#[derive(Clone, Debug)]
pub struct Toning {
    exposure_stops: f64,
    contrast: f64,
    /// Lightness before and after and the slope there, from 0 to 100; empty without a curve.
    curve: Vec<[f64; 3]>,
}

/// How a picture's tones look after it.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Toned {
    /// Pixels by lightness L* 0–100, 101 bins.
    pub histogram: Vec<u32>,
    /// The curve alone, which comes last: lightness after it of every whole L* from 0 to 100.
    pub curve_l: Vec<f64>,
    /// Greys after it (0–1) of greys in equal steps from black to white, both as sRGB; empty where nothing is done.
    pub greys: Vec<f64>,
}

impl Toning {
    /// What a plan asks for.
    #[must_use]
    pub fn of(picture: &Picture) -> Self {
        let points = &picture.tone_points;
        let mut ends: Vec<[f64; 2]> = points.iter().map(|one| [one.from_l, one.to_l]).collect();
        if !ends.is_empty() {
            if ends[0][0] > 0.0 {
                ends.insert(0, [0.0, 0.0]);
            }
            if ends[ends.len() - 1][0] < 100.0 {
                ends.push([100.0, 100.0]);
            }
        }
        Self {
            exposure_stops: picture.exposure_stops,
            contrast: picture.contrast,
            curve: with_slopes(&ends),
        }
    }

    /// True where tones stay as they are.
    #[must_use]
    pub fn is_none(&self) -> bool {
        self.exposure_stops == 0.0 && self.contrast == 1.0 && self.curve.is_empty()
    }

    /// The lightness that one of the picture's becomes, both L* 0–100.
    ///
    /// Exposure multiplies the light, and what would be lighter than white is white. Contrast leads the distance d
    /// from the middle (0–1) to 1 − (1 − d)ᶜ: c times as steep in the middle, and never beyond the ends. The curve goes
    /// through its points as cubics that neither rise nor fall beyond them (slopes after Fritsch & Butland, SIAM
    /// J. Sci. Stat. Comput. 5 (1984) 300).
    #[must_use]
    pub fn after_l(&self, own_l: f64) -> f64 {
        let mut l = own_l;
        if self.exposure_stops != 0.0 {
            let light = reflectance_of_lightness(l) * libm::exp2(self.exposure_stops);
            l = lightness(light.min(1.0)).clamp(0.0, 100.0);
        }
        if self.contrast != 1.0 {
            let from_middle = (l - MIDDLE_L) / MIDDLE_L;
            let part = 1.0 - libm::pow((1.0 - from_middle.abs()).max(0.0), self.contrast);
            l = MIDDLE_L + MIDDLE_L * part.copysign(from_middle);
        }
        if self.curve.is_empty() { l } else { along(&self.curve, l) }
    }

    /// The picture's own lightness up to which tones become `after_l` or darker: the threshold to compare its tones
    /// with. Below 0 where even its black becomes lighter.
    #[must_use]
    pub fn before_l(&self, after_l: f64) -> f64 {
        if self.is_none() {
            return after_l;
        }
        if self.after_l(0.0) > after_l {
            return -1.0;
        }
        if self.after_l(100.0) <= after_l {
            return 100.0;
        }
        let (mut up_to, mut beyond) = (0.0, 100.0);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(up_to, beyond);
            if self.after_l(middle) <= after_l {
                up_to = middle;
            } else {
                beyond = middle;
            }
        }
        up_to
    }

    /// A plan's thresholds as the picture's own tones, from light to dark.
    #[must_use]
    pub fn thresholds_l(picture: &Picture) -> Vec<f64> {
        let toning = Self::of(picture);
        picture.thresholds_l.iter().map(|after_l| toning.before_l(*after_l)).collect()
    }

    /// Numbers of pixels by byte of lightness, after it.
    pub(crate) fn counts(&self, own: &[u64; 256]) -> [u64; 256] {
        if self.is_none() {
            return *own;
        }
        let mut after = [0; 256];
        for (tone, count) in own.iter().enumerate() {
            let l = self.after_l(tone as f64 / BYTES_PER_L);
            after[libm::round(l * BYTES_PER_L) as usize] += count;
        }
        after
    }

    /// How a picture with this histogram (101 bins of L*) looks after it.
    #[must_use]
    pub fn toned(&self, histogram: &[u32]) -> Toned {
        let curve = |l| if self.curve.is_empty() { l } else { along(&self.curve, l) };
        let curve_l = (0..=100).map(|l| curve(f64::from(l))).collect();
        let greys = if self.is_none() { Vec::new() } else { self.greys() };
        Toned { histogram: self.histogram(histogram), curve_l, greys }
    }

    /// A histogram after it: each bin's pixels are spread over where its tones come to lie.
    #[must_use]
    pub fn histogram(&self, own: &[u32]) -> Vec<u32> {
        if self.is_none() {
            return own.to_vec();
        }
        let mut after = vec![0.0; 101];
        for (l, count) in own.iter().enumerate() {
            let edge = |l: f64| self.after_l(l.clamp(0.0, 100.0));
            let (from, until) = (edge(l as f64 - 0.5), edge(l as f64 + 0.5));
            // The bin of a tone reaches half an L* to each side.
            let (first, last) = (libm::round(from) as usize, libm::round(until) as usize);
            for (bin, after) in after.iter_mut().enumerate().take(last + 1).skip(first) {
                let within = (bin as f64 + 0.5).min(until) - (bin as f64 - 0.5).max(from);
                let part = if until > from { within / (until - from) } else { 1.0 };
                *after += part * f64::from(*count);
            }
        }
        after.iter().map(|count| libm::round(*count) as u32).collect()
    }

    fn greys(&self) -> Vec<f64> {
        (0..=CODES)
            .map(|code| {
                let light = plate::light::linear_of_srgb(code as f64 / CODES as f64);
                let l = self.after_l(lightness(light).clamp(0.0, 100.0));
                f64::from(srgb8(reflectance_of_lightness(l))) / 255.0
            })
            .collect()
    }
}

/// Points of a curve that bring a picture with this histogram (101 bins of L*) to the whole range from black to white,
/// but for half a hundredth of its pixels at each end; `evened` also half-way to as many pixels of every tone.
#[must_use]
pub fn whole_range(histogram: &[u32], evened: bool) -> Vec<plan::TonePoint> {
    let total: f64 = histogram.iter().map(|count| f64::from(*count)).sum();
    let tone_below = |share: f64| {
        let mut before = 0.0;
        for (l, count) in histogram.iter().enumerate() {
            before += f64::from(*count);
            if before >= share * total {
                return l as f64;
            }
        }
        100.0
    };
    let (darkest, lightest) = (tone_below(BEYOND), tone_below(1.0 - BEYOND));
    if lightest - darkest < APART_L {
        return Vec::new();
    }
    let stretched = |l: f64| 100.0 * (l - darkest) / (lightest - darkest);
    let mut points = vec![plan::TonePoint { from_l: darkest, to_l: 0.0 }];
    for share in PARTS.into_iter().filter(|_| evened) {
        let from_l = tone_below(share);
        let to_l = stretched(from_l) + EVENED * (100.0 * share - stretched(from_l));
        let last = points[points.len() - 1];
        if from_l - last.from_l >= APART_L && lightest - from_l >= APART_L && to_l >= last.to_l {
            points.push(plan::TonePoint { from_l, to_l: libm::round(2.0 * to_l) / 2.0 });
        }
    }
    points.push(plan::TonePoint { from_l: lightest, to_l: 100.0 });
    points
}

/// The points with the slope of the curve at each: the harmonic mean of the lines to both sides, so that it never
/// falls.
fn with_slopes(points: &[[f64; 2]]) -> Vec<[f64; 3]> {
    let rise: Vec<f64> = points
        .windows(2)
        .map(|pair| (pair[1][1] - pair[0][1]) / (pair[1][0] - pair[0][0]))
        .collect();
    let slope = |i: usize| match (i.checked_sub(1).and_then(|i| rise.get(i)), rise.get(i)) {
        (Some(before), Some(after)) if before * after > 0.0 => {
            2.0 * before * after / (before + after)
        }
        (Some(_), Some(_)) | (None, None) => 0.0,
        (Some(only), None) | (None, Some(only)) => *only,
    };
    points.iter().enumerate().map(|(i, [from, to])| [*from, *to, slope(i)]).collect()
}

/// The curve's height at a place from its first point to its last: a cubic with the slopes of both ends (Hermite).
fn along(curve: &[[f64; 3]], at: f64) -> f64 {
    let last = curve.len() - 1;
    let next = curve.iter().position(|[from, ..]| *from >= at).unwrap_or(last).max(1);
    let ([x0, y0, m0], [x1, y1, m1]) = (curve[next - 1], curve[next]);
    let wide = x1 - x0;
    let t = ((at - x0) / wide).clamp(0.0, 1.0);
    let (t2, rest) = (t * t, 1.0 - t);
    let from_left = (1.0 + 2.0 * t) * rest * rest * y0 + t * rest * rest * wide * m0;
    let from_right = t2 * (3.0 - 2.0 * t) * y1 - t2 * rest * wide * m1;
    (from_left + from_right).clamp(y0.min(y1), y0.max(y1))
}
