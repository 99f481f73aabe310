//! Loose grains: what lies at a place before it melts, and what a bake has not made hold.

use super::grains::{self, Drop};
use super::{Dome, Ground};
use crate::bake::Baked;

/// A grain as it fell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LooseGrain {
    /// Place from the window's top left and resin in it.
    pub drop: Drop,
    /// Its place among all grains of its size in the order in which they land, 0 (first) to 1.
    pub turn: f64,
}

impl Ground {
    /// Puts into `out` the grains that fell into a window grown by `reach_um` on every side, relative to the
    /// window's top left. Lengths in µm from the plate's top left. `out` is emptied first.
    ///
    /// They are the very grains that melt into the domes of that place (see [`Self::grains`]).
    pub fn loose_at(
        &self,
        (left_um, top_um): (f64, f64),
        (width_um, height_um): (f64, f64),
        reach_um: f64,
        out: &mut Vec<LooseGrain>,
    ) {
        out.clear();
        let cell_um = self.cell_um();
        let cells = |from_um: f64, length_um: f64| {
            let cell = |at_um: f64| libm::floor(at_um / cell_um) as i32;
            cell(from_um - reach_um)..=cell(from_um + length_um + reach_um)
        };
        let mut drops = Vec::new();
        for row in cells(top_um, height_um) {
            for column in cells(left_um, width_um) {
                let origin = (
                    (f64::from(column) * cell_um - left_um) as f32,
                    (f64::from(row) * cell_um - top_um) as f32,
                );
                let (place, side) = ((column, row), cell_um as f32);
                for fall in self.falls() {
                    let (seed, counts) = fall;
                    drops.clear();
                    grains::fall(seed, place, origin, side, counts, &self.sizes, &mut drops);
                    let stays = self.staying(place, fall);
                    let here = drops.iter().enumerate().filter(|(index, _)| stays(*index));
                    out.extend(here.map(|(index, &drop)| LooseGrain {
                        drop,
                        turn: grains::turn(seed, place, index),
                    }));
                }
            }
        }
    }

    /// A grain of this much resin has taken hold on the copper by the end of the bake.
    #[must_use]
    pub fn has_held(&self, volume_um3: f64) -> bool {
        self.spreads.iter().any(|spread| spread.holds(volume_um3 as f32))
    }
}

/// A grain that lies or hangs over the copper, as a ball.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ball {
    /// Its outline from above, relative to its window.
    pub disc: Dome,
    /// Height of its centre over the copper, µm.
    pub centre_um: f32,
}

impl LooseGrain {
    /// Envelope of the grain as it fell, µm across; `solid_share` of it is resin.
    #[must_use]
    pub fn envelope_um(&self, solid_share: f64) -> f64 {
        libm::cbrt(6.0 * self.drop.volume_um3 / (core::f64::consts::PI * solid_share))
    }

    /// The grain as it fell, lying on the copper.
    #[must_use]
    pub fn lying(&self, solid_share: f64) -> Ball {
        let radius_um = (0.5 * self.envelope_um(solid_share)) as f32;
        self.ball(radius_um, radius_um)
    }

    /// The grain melted but not yet holding: a ball cut off by the copper at an angle of 90° or more.
    #[must_use]
    pub fn melted(&self, baked: &Baked) -> Ball {
        let (foot_um, angle_deg) = baked.last_step().footprint.of_volume(self.drop.volume_um3);
        let angle = angle_deg.to_radians();
        let radius_um = foot_um / libm::sin(angle);
        self.ball(radius_um as f32, (-radius_um * libm::cos(angle)) as f32)
    }

    fn ball(&self, radius_um: f32, centre_um: f32) -> Ball {
        let Drop { x_um, y_um, .. } = self.drop;
        Ball { disc: Dome { x_um, y_um, radius_um }, centre_um }
    }
}
