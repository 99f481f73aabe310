//! Where the print roughly lies: by middle, size and direction of what is dark within the paper.

use super::{Expected, Lightness};
use crate::calibration::Homography;
use crate::calibration::ground_photo::islands::Labels;

/// Darker than this against the paper is printed.
const DARK: f32 = 0.7;
/// Specks smaller than this share of the picture do not count.
const SPECK: f64 = 5e-4;
/// Side of the expected print's squares whose middles are taken, mm.
const SIDE_MM: f64 = 2.0;

/// What prints darker or paler than expected moves the middle and the size of what is dark: these are tried, too, as
/// shares of the size and of the plate.
const SIZES: [f64; 4] = [0.75, 0.88, 1.0, 1.15];
const SHIFTS: [f64; 5] = [-0.16, -0.08, 0.0, 0.08, 0.16];
/// What is dark tells no direction where it is less longish than this: then all are tried, so many of them.
const LONGISH: f64 = 0.3;
const DIRECTIONS: u32 = 24;

/// Middle and spread of something.
struct Moments {
    x: f64,
    y: f64,
    xx: f64,
    xy: f64,
    yy: f64,
}

impl Moments {
    fn of(places: impl Iterator<Item = (f64, f64)>) -> Option<Self> {
        let (mut n, mut sx, mut sy, mut sxx, mut sxy, mut syy) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
        for (x, y) in places {
            n += 1.0;
            sx += x;
            sy += y;
            sxx += x * x;
            sxy += x * y;
            syy += y * y;
        }
        if n < 9.0 {
            return None;
        }
        let (x, y) = (sx / n, sy / n);
        Some(Self { x, y, xx: sxx / n - x * x, xy: sxy / n - x * y, yy: syy / n - y * y })
    }

    /// How much longer than wide it is, 0 round to 1 a line.
    fn longish(&self) -> f64 {
        libm::hypot(self.xx - self.yy, 2.0 * self.xy) / (self.xx + self.yy).max(1e-12)
    }

    /// Direction in which it is longest, and how long it is all in all.
    fn turn_and_size(&self) -> (f64, f64) {
        let turn = 0.5 * libm::atan2(2.0 * self.xy, self.xx - self.yy);
        (turn, libm::sqrt(libm::sqrt((self.xx * self.yy - self.xy * self.xy).max(1e-12))))
    }
}

/// Projections to begin with, each way round.
pub(super) fn starts(levels: &[Lightness], expected: &Expected) -> Vec<Homography> {
    let (Some(print), Some(plate)) = (levels.last().and_then(printed), darkened(expected)) else {
        return Vec::new();
    };
    let ((turn_px, size_px), (turn_mm, size_mm)) = (print.turn_and_size(), plate.turn_and_size());
    let (w, h) = (expected.width_mm, expected.height_mm);
    let longish = print.longish().min(plate.longish()) > LONGISH;
    let (first, directions) = if longish { (turn_px - turn_mm, 4) } else { (0.0, DIRECTIONS) };
    let mut starts = Vec::new();
    for direction in 0..directions {
        let turn = first + f64::from(direction) * core::f64::consts::TAU / f64::from(directions);
        for size in SIZES {
            let px_per_mm = size * size_px / size_mm;
            let (sin, cos) = (libm::sin(turn) * px_per_mm, libm::cos(turn) * px_per_mm);
            for (shift_x, shift_y) in SHIFTS.iter().flat_map(|x| SHIFTS.map(|y| (*x, y))) {
                let to = |x_mm: f64, y_mm: f64| {
                    let (x, y) = (x_mm - plate.x - shift_x * w, y_mm - plate.y - shift_y * h);
                    (print.x + cos * x - sin * y, print.y + sin * x + cos * y)
                };
                let corners = [to(0.0, 0.0), to(w, 0.0), to(w, h), to(0.0, h)];
                starts.extend(Homography::new(w, h, &corners));
            }
        }
    }
    starts
}

/// What is dark in the picture and does not reach its border: there it is the table.
fn printed(level: &Lightness) -> Option<Moments> {
    let (width, height) = (level.width, level.height);
    let dark: Vec<bool> = level.pixels.iter().map(|l| *l < DARK).collect();
    let labels = Labels::of(&dark, width);
    let mut area = vec![0_usize; labels.count];
    let mut outside = vec![false; labels.count];
    for (at, label) in labels.each() {
        area[label] += 1;
        let (x, y) = (at % width, at / width);
        outside[label] |= x == 0 || y == 0 || x + 1 == width || y + 1 == height;
    }
    let least = SPECK * dark.len() as f64;
    let counts = |label: usize| !outside[label] && area[label] as f64 >= least;
    let inside = labels.each().filter(|&(_, label)| counts(label)).map(|(at, _)| at);
    let middle = |at: usize| {
        (((at % width) as f64 + 0.5) * level.scale, ((at / width) as f64 + 0.5) * level.scale)
    };
    Moments::of(inside.map(middle))
}

/// The same of the expected print, mm.
fn darkened(expected: &Expected) -> Option<Moments> {
    let (columns, rows) =
        ((expected.width_mm / SIDE_MM) as usize, (expected.height_mm / SIDE_MM) as usize);
    let middle = |i: usize| (i as f64 + 0.5) * SIDE_MM;
    let places = (0..columns * rows).map(|i| (middle(i % columns), middle(i / columns)));
    Moments::of(places.filter(|&place| expected.over(place, SIDE_MM) < f64::from(DARK)))
}
