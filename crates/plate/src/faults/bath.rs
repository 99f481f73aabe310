//! In the bath: varnish that does not hold or lies where it should not, mud, and a run that bites on.

use super::ground::Finger;
use super::holes::{Hole, holes};
use super::lattice::Lattice;
use super::lifting::{Values, each_lifted};
use super::marks::{Marks, each_run};
use super::noise::{smooth, step};
use super::spot::{Spot, middle_um};
use crate::grid::Grid;
use crate::order::{larger, smaller};
use core::ops::Range;
use plan::{Fault, FaultKind, Plan};

/// How much shallower the bite is under the thickest mud of size 1, as a share.
const MUD_LOSS: f64 = FaultKind::Sediment.full_size().share();
/// Size of the patches of mud, µm; plausible 2000–15 000.
const MUD_UM: f64 = 6000.0;
/// Holes to a cm² at size 1.
const HOLES_PER_CM2: f64 = FaultKind::VarnishPinholes.full_size().amount;
/// How much deeper the bite is in the middle of a streak of size 1, as a share.
const STREAK_GAIN: f64 = FaultKind::DrainingStreak.full_size().share();
/// How far a drip of size 1 reaches, as a share of its place's radius.
const DRIP_REACH: f64 = FaultKind::Drip.full_size().share();
/// Half the width of a streak, and how far it wanders to either side, µm; plausible 500–5000.
const STREAK_UM: (f64, f64) = (1800.0, 1500.0);
/// Length over which a streak wanders, µm.
const WANDER_UM: f64 = 9000.0;

/// What of a plan's faults happens in the bath, at places.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BathFaults {
    /// Drips of varnish, and the deepest value that a place under each can have.
    drips: Vec<(Spot, u8)>,
    fingers: Vec<Finger>,
    pinholes: Vec<Spot>,
    lifted: Vec<Spot>,
    muds: Vec<Spot>,
    streaks: Vec<Spot>,
    /// The deepest value.
    last: u8,
    /// Width and height of the copper, µm.
    size_um: [f64; 2],
}

impl BathFaults {
    #[inline(never)] // keeps the page small
    pub(super) fn of(plan: &Plan, on_copper: &[Fault]) -> Self {
        let mut faults = Self::default();
        for fault in on_copper {
            let Some(spot) = Spot::of(fault) else { continue };
            match fault.kind {
                FaultKind::Drip => {
                    let before = fault.from_bite.saturating_sub(1).min(plan.bites.len() as u32);
                    faults.drips.push((spot, before as u8));
                }
                FaultKind::Fingerprint => faults.fingers.push(Finger(spot)),
                FaultKind::VarnishPinholes => faults.pinholes.push(spot),
                FaultKind::VarnishLifting => faults.lifted.push(spot),
                FaultKind::Sediment => faults.muds.push(spot),
                FaultKind::DrainingStreak => faults.streaks.push(spot),
                _ => continue,
            }
            faults.last = plan.bites.len() as u8;
            faults.size_um = [plan.plate.width_mm * 1000.0, plan.plate.height_mm * 1000.0];
        }
        faults
    }

    /// Varnish somewhere does not hold, or lies where it should not.
    pub(crate) fn covers(&self) -> bool {
        let none = self.fingers.is_empty() && self.pinholes.is_empty() && self.lifted.is_empty();
        !(none && self.drips.is_empty())
    }

    /// Gives the places of a raster on the copper the values that they are bitten as: what varnish has not held on has the
    /// deepest one, what lies beside a border under varnish that lifts that of the deeper side, what lies under a drip none
    /// deeper than before it fell. `picture` has the values as they should be. True where any value has changed.
    pub(crate) fn cover(&self, grid: &Grid, picture: Values<'_>, value: &mut [u8]) -> bool {
        let last = self.last;
        let mut changed = false;
        self.each_covered(grid, picture, &mut |places, covered| {
            let value = &mut value[places];
            match covered {
                Covered::Bare => {
                    changed |= value.iter().any(|&value| value != last);
                    value.fill(last);
                }
                Covered::Creeps(least) => {
                    changed |= value.iter().any(|&value| value < least);
                    value.iter_mut().for_each(|value| *value = (*value).max(least));
                }
                Covered::Upto(most) => {
                    changed |= value.iter().any(|&value| value > most);
                    value.iter_mut().for_each(|value| *value = (*value).min(most));
                }
            }
        });
        changed
    }

    /// The same of doses, where soft gradations have their own; `of_value_um` are those of the values.
    pub(crate) fn cover_doses(
        &self,
        grid: &Grid,
        picture: Values<'_>,
        of_value_um: &[f64],
        dose_um: &mut [f32],
    ) {
        let of = |value: u8| of_value_um.get(usize::from(value)).map_or(0.0, |&um| um as f32);
        let last_um = of(self.last);
        self.each_covered(grid, picture, &mut |places, covered| {
            for dose_um in &mut dose_um[places] {
                *dose_um = match covered {
                    Covered::Bare => last_um,
                    Covered::Creeps(least) => larger(of(least), *dose_um),
                    Covered::Upto(most) => smaller(of(most), *dose_um),
                };
            }
        });
    }

    /// Every run of pixels that varnish covers otherwise than it should, one fault after another.
    #[inline(never)] // keeps the page small
    fn each_covered(
        &self,
        grid: &Grid,
        picture: Values<'_>,
        then: &mut dyn FnMut(Range<usize>, Covered),
    ) {
        for spot in &self.lifted {
            each_lifted(spot, grid, self.size_um, picture, &mut |places, value| {
                then(places, Covered::Creeps(value));
            });
        }
        for finger in &self.fingers {
            finger.each_run(grid, &mut |places| then(places, Covered::Bare));
        }
        for spot in &self.pinholes {
            let px_um = f64::from(grid.px_um);
            let size = [grid.width as f64 * px_um, grid.height as f64 * px_um];
            holes(
                (spot, HOLES_PER_CM2),
                [grid.left_um(), grid.top_um()],
                size,
                &mut |hole: &Hole| {
                    each_run(&hole.spot(), grid, &mut |part| hole.marks(part), &mut |places| {
                        then(places, Covered::Bare)
                    });
                },
            );
        }
        for (spot, most) in &self.drips {
            let wide = Spot { radius_um: spot.radius_um * spot.size * DRIP_REACH, ..*spot };
            each_run(&wide, grid, &mut |part| under_drip(spot, part), &mut |places| {
                then(places, Covered::Upto(*most))
            });
        }
    }

    /// How much deeper than elsewhere places are bitten at most, as a factor.
    pub(crate) fn most_factor(&self) -> f64 {
        self.streaks.iter().map(|streak| 1.0 + STREAK_GAIN * streak.size).product()
    }

    /// How many times as deep as elsewhere places of a raster are bitten; `None` where all are alike.
    pub(crate) fn factor(&self, grid: &Grid) -> Option<Lattice> {
        if self.muds.is_empty() && self.streaks.is_empty() {
            return None;
        }
        Lattice::over(grid, 1.0, &|x_um, y_um| self.factor_at(x_um, y_um) as f32)
    }

    fn factor_at(&self, x_um: f64, y_um: f64) -> f64 {
        let mut factor = 1.0;
        for spot in &self.muds {
            let weight = spot.weight(x_um, y_um);
            if weight > 0.0 {
                let coarse = smooth(spot.seed, x_um / MUD_UM, y_um / MUD_UM);
                let fine = smooth(spot.seed ^ 0x3d, 3.0 * x_um / MUD_UM, 3.0 * y_um / MUD_UM);
                let thick = step((0.7 * coarse + 0.3 * fine - 0.25) / 0.5);
                factor *= 1.0 - MUD_LOSS * spot.size * weight.sqrt() * thick;
            }
        }
        for spot in &self.streaks {
            let along = (y_um - spot.y_um) / spot.radius_um;
            let wander = smooth(spot.seed, 0.5, y_um / WANDER_UM) - 0.5;
            let off_um = x_um - spot.x_um - 2.0 * STREAK_UM.1 * wander;
            if (0.0..1.0).contains(&along) && off_um.abs() < STREAK_UM.0 {
                let fades = step(8.0 * along) * step(2.0 * (1.0 - along));
                factor *=
                    1.0 + STREAK_GAIN * spot.size * fades * step(1.0 - off_um.abs() / STREAK_UM.0);
            }
        }
        factor
    }
}

/// How a place is covered against the plan.
#[derive(Clone, Copy)]
enum Covered {
    /// Varnish has never held there.
    Bare,
    /// The bath creeps in from this value.
    Creeps(u8),
    /// Covered since after the bite of this value.
    Upto(u8),
}

/// Under a drip: a round of the spot's size times its radius, its border uneven by a quarter.
fn under_drip<'a>(spot: &'a Spot, part: &Grid) -> Option<Marks<'a>> {
    let wide_um = (spot.radius_um * spot.size * DRIP_REACH) as f32;
    let scale = 3.0 / spot.radius_um;
    let mut border = Lattice::over(part, 0.0, &|x_um, y_um| {
        let uneven = smooth(spot.seed, scale * (x_um - spot.x_um), scale * (y_um - spot.y_um));
        (0.75 + 0.25 * uneven) as f32
    })?;
    let mut to = vec![0.0; part.width];
    let part = *part;
    Some(Box::new(move |row, marked| {
        let there = border.row(row, &mut to);
        let dy = (middle_um(part.top_px, row, part.px_um) - spot.y_um) as f32;
        let first_um = (middle_um(part.left_px, 0, part.px_um) - spot.x_um) as f32;
        for (i, (marked, to)) in marked.iter_mut().zip(&to[there]).enumerate() {
            let dx = first_um + i as i32 as f32 * part.px_um;
            let to_um = wide_um * *to;
            *marked = dx * dx + dy * dy < to_um * to_um;
        }
    }))
}
