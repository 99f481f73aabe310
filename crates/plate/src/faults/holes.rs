//! Pinholes: small discs at random, more of them in the middle of a fault's place, and the same whoever asks.

use super::marks::Marks;
use super::noise::{mix, part, word};
use super::spot::{Spot, middle_um};
use crate::grid::Grid;

/// Side of the squares in which holes are drawn, µm, and how many there can be in each.
const SQUARE_UM: f64 = 2000.0;
const MOST: u64 = 4;
/// As many squares lie on a cm².
const SQUARES_PER_CM2: f64 = 1e8 / (SQUARE_UM * SQUARE_UM);
/// Radius of the narrowest and of the widest, µm; plausible 10–250. Narrower ones are lost among the grains.
pub(super) const RADIUS_UM: (f64, f64) = (40.0, 150.0);

/// One hole, in µm from the copper's top left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Hole {
    x_um: f64,
    y_um: f64,
    radius_um: f64,
}

impl Hole {
    /// How far outside the hole a place lies, µm; below 0 within it.
    pub(super) fn off_um(&self, x_um: f64, y_um: f64) -> f64 {
        let (dx, dy) = (x_um - self.x_um, y_um - self.y_um);
        (dx * dx + dy * dy).sqrt() - self.radius_um
    }

    /// What marks the pixels within it.
    pub(super) fn marks(&self, part: &Grid) -> Option<Marks<'static>> {
        let (hole, part) = (*self, *part);
        Some(Box::new(move |row, marked| {
            let y_um = middle_um(part.top_px, row, part.px_um);
            for (column, marked) in marked.iter_mut().enumerate() {
                *marked = hole.off_um(middle_um(part.left_px, column, part.px_um), y_um) < 0.0;
            }
        }))
    }

    /// Its place.
    pub(super) fn spot(&self) -> Spot {
        let Self { x_um, y_um, radius_um } = *self;
        Spot { x_um, y_um, radius_um, size: 1.0, seed: 0 }
    }
}

/// Every hole of a fault that may reach into a rectangle of the copper; at size 1 as many lie on a cm² in its middle.
#[inline(never)] // keeps the page small
pub(super) fn holes(
    (spot, per_cm2): (&Spot, f64),
    corner_um: [f64; 2],
    size_um: [f64; 2],
    then: &mut dyn FnMut(&Hole),
) {
    // Share of the holes that there can be which are there at size 1 in the middle of the place.
    let share = per_cm2 / (SQUARES_PER_CM2 * MOST as f64);
    let middle = [spot.x_um, spot.y_um];
    let squares = |axis: usize| {
        let from_um = (corner_um[axis] - RADIUS_UM.1).max(middle[axis] - spot.radius_um);
        let to_um =
            (corner_um[axis] + size_um[axis] + RADIUS_UM.1).min(middle[axis] + spot.radius_um);
        let square = |um: f64| libm::floor(um / SQUARE_UM) as i64;
        // None where the place lies beside the rectangle.
        square(from_um)..if from_um < to_um { square(to_um) + 1 } else { square(from_um) }
    };
    for iy in squares(1) {
        for ix in squares(0) {
            for number in 1..=MOST {
                let mut drawn = mix(word(spot.seed, ix, iy).wrapping_add(number));
                let mut next = || {
                    drawn = mix(drawn);
                    part(drawn)
                };
                let x_um = (ix as f64 + next()) * SQUARE_UM;
                let y_um = (iy as f64 + next()) * SQUARE_UM;
                let wide = next();
                let radius_um = RADIUS_UM.0 + (RADIUS_UM.1 - RADIUS_UM.0) * wide * wide;
                if next() < share * spot.size * spot.weight(x_um, y_um).sqrt() {
                    then(&Hole { x_um, y_um, radius_um });
                }
            }
        }
    }
}
