//! Which of two tones is rosin, from the shape of the outline between them.
//!
//! Rosin lies in grains and drops: its outline is made of arcs that bulge into the copper, and meets itself in corners
//! that cut into the rosin. So the arcs bulge outwards, and where small squares don't fit in, in narrow channels and
//! sharp corners, there is copper. The first tells most while the rosin is the rarer, the second while the copper is.

/// Reach of the square that sees how the outline bulges, and of the square that must fit in, in mean chords of the
/// rarer tone.
const SEES: f64 = 1.0 / 3.0;
const FITS: f64 = 0.25;
const MOST_PX: f64 = 40.0;
/// What the bulge counts against the other: chosen on drawn grounds of cover 0.1 to 0.92 with grains of GSD 1.3 to 1.8,
/// where the two together are 0.07 or more, and of the tone that is not rosin as much below 0.
const BULGE: f64 = 3.0;
/// Pixels to a chord that are enough: of a finer picture only every second pixel is looked at, or every third …
const ENOUGH_PX: f64 = 12.0;

/// Sides of pixels between those that are set and those that are not.
fn crossings(set: &[bool], width: usize) -> usize {
    let differ = |a: &[bool], b: &[bool]| a.iter().zip(b).filter(|(a, b)| a != b).count();
    let along: usize = set.chunks_exact(width).map(|row| differ(row, &row[1..])).sum();
    along + differ(set, &set[width.min(set.len())..])
}

/// Length of the outline of the pixels that are set, pixels.
pub(crate) fn outline_px(set: &[bool], width: usize) -> f64 {
    crossings(set, width).max(1) as f64 * core::f64::consts::FRAC_PI_4
}

/// Mean chord of the rarer of those that are set and those that are not, pixels: rows and columns together cross the
/// outline twice for each chord.
pub(crate) fn chord_px(set: &[bool], width: usize) -> f64 {
    let covered = set.iter().filter(|set| **set).count();
    4.0 * covered.min(set.len() - covered) as f64 / crossings(set, width).max(1) as f64
}

/// How much the pixels that are set look like rosin (above 0) rather than like copper (below).
pub(crate) fn like_rosin(set: &[bool], width: usize) -> f64 {
    let every = ((chord_px(set, width) / ENOUGH_PX) as usize).max(1);
    let mut fewer = Vec::new();
    for row in set.chunks(width * every) {
        fewer.extend((0..width).step_by(every).map(|x| row[x]));
    }
    let (set, width) = (&fewer[..], width.div_ceil(every));
    let bounds = |at: usize| ((!at.is_multiple_of(width)).then(|| at - 1), at.checked_sub(width));
    let height = set.len() / width;
    let (length, chord) = (outline_px(set, width), chord_px(set, width));
    let squares = Squares::of(set, width);
    let reach = |chords: f64| (chords * chord).clamp(1.0, MOST_PX) as usize;

    // Share of a square that is set, by the two pixels on either side of the outline.
    let sees = reach(SEES);
    let most = 2 * (2 * sees + 1) * (2 * sees + 1);
    let mut counts = vec![0_usize; most + 1];
    let inside = |at: usize| {
        let (x, y) = (at % width, at / width);
        x > sees && y > sees && x + sees < width && y + sees < height
    };
    for at in (0..set.len()).filter(|&at| inside(at)) {
        let (left, up) = bounds(at);
        for other in [left, up].into_iter().flatten().filter(|&other| set[other] != set[at]) {
            counts[(squares.round(at, sees).0 + squares.round(other, sees).0) as usize] += 1;
        }
    }
    let half = counts.iter().sum::<usize>().div_ceil(2);
    let mut passed = 0;
    let median = counts.iter().position(|count| {
        passed += count;
        passed >= half
    });
    let bulge = 0.5 - median.unwrap_or(most / 2) as f64 / most as f64;

    // Area of each tone into which a square does not fit, to a pixel of the outline and of the reach.
    let fits = reach(FITS);
    let narrow = |tone: bool| {
        let own: Vec<bool> = set.iter().map(|set| *set == tone).collect();
        let around = Squares::of(&own, width);
        let middles: Vec<bool> = (0..own.len())
            .map(|at| {
                let (sum, all) = around.round(at, fits);
                sum == all
            })
            .collect();
        let reached = Squares::of(&middles, width);
        let lost = (0..own.len()).filter(|&at| own[at] && reached.round(at, fits).0 == 0).count();
        lost as f64 / (length * fits as f64)
    };
    narrow(false) - narrow(true) + BULGE * bulge
}

/// How many pixels are set above and to the left of each corner.
struct Squares {
    sums: Vec<i32>,
    width: usize,
    height: usize,
}

impl Squares {
    fn of(set: &[bool], width: usize) -> Self {
        let height = set.len() / width;
        let row = width + 1;
        let mut sums = vec![0; row * (height + 1)];
        for y in 0..height {
            let mut along = 0;
            for x in 0..width {
                along += i32::from(set[y * width + x]);
                sums[(y + 1) * row + x + 1] = sums[y * row + x + 1] + along;
            }
        }
        Self { sums, width, height }
    }

    fn sum(&self, left: usize, top: usize, right: usize, bottom: usize) -> i32 {
        let corner = |x: usize, y: usize| self.sums[y * (self.width + 1) + x];
        corner(right, bottom) + corner(left, top) - corner(right, top) - corner(left, bottom)
    }

    /// Pixels set in the square of this reach round a pixel, as far as it lies in the picture, and all of them.
    fn round(&self, at: usize, reach: usize) -> (i32, i32) {
        let (x, y) = (at % self.width, at / self.width);
        let (left, top) = (x.saturating_sub(reach), y.saturating_sub(reach));
        let (right, bottom) = ((x + reach + 1).min(self.width), (y + reach + 1).min(self.height));
        (self.sum(left, top, right, bottom), ((right - left) * (bottom - top)) as i32)
    }
}
