//! Before the bath: dust carried away or knocked off, grease, and a bake that is not the same all over.

use super::holes::{Hole, holes};
use super::lattice::Lattice;
use super::marks::each_run;
use super::noise::{Smooth, mix, part, smooth, step};
use super::spot::Spot;
use super::uneven::Uneven;
use crate::grid::Grid;
use crate::ground::spread::Spread;
use crate::ground::{Dome, GroundTile};
use core::cell::RefCell;
use core::ops::Range;
use plan::{Fault, FaultKind};

/// Share of the grains that a draught of size 1 carries past its middle.
const DRAUGHT_LOSS: f64 = FaultKind::Draught.full_size().share();
/// Width and length of its tongues, µm; plausible 2000–10 000 and two to six times as much.
const TONGUE_UM: (f64, f64) = (4000.0, 14_000.0);
/// Share of the grains that a jolt of size 1 knocks off within a patch.
const JOLT_LOSS: f64 = FaultKind::Jolt.full_size().share();
/// Size of the patches, µm; plausible 1000–5000.
const PATCH_UM: f64 = 2500.0;
/// Distance between the ridges of a finger, µm: about 0.5 mm on adult hands (from memory).
const RIDGE_UM: f64 = 480.0;
/// Share of a ridge's distance that grease of size 1 covers.
const RIDGE_SHARE: f64 = FaultKind::Fingerprint.full_size().share();
/// Holes to a cm² at size 1.
const HOLES_PER_CM2: f64 = FaultKind::GroundPinholes.full_size().amount;
/// How much hotter the hot plate is at size 1, °C.
const HOTTER_C: f64 = FaultKind::HotSpot.full_size().amount;
/// How much cooler a corner is at size 1, °C.
const COOLER_C: f64 = FaultKind::UnderBaked.full_size().amount;

/// A place that was hotter or cooler than the hot plate, and by how much in its middle.
#[derive(Clone, Debug, PartialEq)]
pub struct SpotHeat {
    place: HeatPlace,
    /// Degrees, °C; below 0 where it was cooler.
    pub by_c: f64,
}

/// Where it was so.
#[derive(Clone, Debug, PartialEq)]
enum HeatPlace {
    Spot(Spot),
    /// Towards the plate's edges.
    Edges(Uneven),
}

impl HeatPlace {
    /// How much of it there is at a place, 0–1.
    fn weight(&self, x_um: f64, y_um: f64) -> f64 {
        match self {
            Self::Spot(spot) => spot.weight(x_um, y_um),
            Self::Edges(uneven) => uneven.edges(x_um, y_um),
        }
    }
}

/// How much of a place faults reach.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Reached {
    Nothing,
    Partly,
    Wholly,
}

/// What of a plan's faults decides its first ground.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct GroundFaults {
    draughts: Vec<Spot>,
    jolts: Vec<Spot>,
    fingers: Vec<Finger>,
    pinholes: Vec<Spot>,
    heats: Vec<SpotHeat>,
    /// What is uneven all over the plate.
    uneven: Option<Uneven>,
}

impl GroundFaults {
    /// Those of a plan, as they lie on its copper, with what is uneven without any fault.
    #[must_use]
    #[inline(never)] // keeps the page small
    pub fn of(on_copper: &[Fault], uneven: Option<Uneven>) -> Self {
        let mut faults = Self::default();
        if let Some(uneven) = uneven.clone().filter(|uneven| uneven.edge_cooler_c > 0.0) {
            let by_c = -uneven.edge_cooler_c;
            faults.heats.push(SpotHeat { place: HeatPlace::Edges(uneven), by_c });
        }
        faults.uneven = uneven;
        for fault in on_copper {
            let Some(spot) = Spot::of(fault) else { continue };
            match fault.kind {
                FaultKind::Draught => faults.draughts.push(spot),
                FaultKind::Jolt => faults.jolts.push(spot),
                FaultKind::Fingerprint => faults.fingers.push(Finger(spot)),
                FaultKind::GroundPinholes => faults.pinholes.push(spot),
                FaultKind::HotSpot => {
                    faults.heats.push(SpotHeat {
                        place: HeatPlace::Spot(spot),
                        by_c: HOTTER_C * spot.size,
                    });
                }
                FaultKind::UnderBaked => {
                    faults.heats.push(SpotHeat {
                        place: HeatPlace::Spot(spot),
                        by_c: -COOLER_C * spot.size,
                    });
                }
                _ => {}
            }
        }
        faults
    }

    /// There are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// Places that were hotter or cooler.
    #[must_use]
    pub fn heats(&self) -> &[SpotHeat] {
        &self.heats
    }

    /// How much of a square of the copper, with this margin round it, lies where grains may be gone.
    pub(crate) fn thinned(&self, corner_um: (f64, f64), side_um: f64, margin_um: f64) -> Reached {
        if self.falls_unevenly().is_some() {
            return Reached::Wholly;
        }
        let half_um = 0.5 * side_um + margin_um;
        let mut reached = Reached::Nothing;
        for spot in self.draughts.iter().chain(&self.jolts) {
            let off = |middle_um: f64, from_um: f64| (middle_um - from_um - 0.5 * side_um).abs();
            let off_um = [off(spot.x_um, corner_um.0), off(spot.y_um, corner_um.1)];
            let square = |um: f64| um * um;
            // Its farthest corner, and its nearest place.
            let far: f64 = off_um.iter().map(|&um| square(um + half_um)).sum();
            let near: f64 = off_um.iter().map(|&um| square((um - half_um).max(0.0))).sum();
            if far < square(spot.radius_um) {
                return Reached::Wholly;
            }
            if near < square(spot.radius_um) {
                reached = Reached::Partly;
            }
        }
        reached
    }

    /// Where the dust falls unevenly.
    pub(crate) fn falls_unevenly(&self) -> Option<&Uneven> {
        self.uneven.as_ref().filter(|uneven| uneven.dusts())
    }

    /// Share of the grains that stay on the copper at a place, 0–1, of those that have fallen there.
    #[inline(never)] // keeps the page small
    pub(crate) fn kept(&self, x_um: f64, y_um: f64) -> f64 {
        let mut kept = 1.0;
        for spot in &self.draughts {
            let weight = spot.weight(x_um, y_um);
            if weight > 0.0 {
                // The air comes from a side that the seed has chosen.
                let (along, across) = turned(spot, x_um, y_um);
                let tongue = smooth(spot.seed, along / TONGUE_UM.1, across / TONGUE_UM.0);
                kept *= 1.0 - DRAUGHT_LOSS * spot.size * weight.sqrt() * (0.4 + 0.6 * tongue);
            }
        }
        for spot in &self.jolts {
            let weight = spot.weight(x_um, y_um);
            if weight > 0.0 {
                let patch = smooth(spot.seed, x_um / PATCH_UM, y_um / PATCH_UM);
                // Patches grow rarer towards the border of the place.
                let gone = step((patch + 0.5 * weight.sqrt() - 0.75) / 0.12);
                kept *= 1.0 - JOLT_LOSS * spot.size * gone;
            }
        }
        kept
    }

    /// A grain stays where this share of them does; its word is its own.
    pub(crate) fn stays(&self, kept: f64, seed: u32, place: (i32, i32), index: usize) -> bool {
        let cell = (u64::from(place.0 as u32) << 32) | u64::from(place.1 as u32);
        let word = mix(mix(mix(u64::from(seed) ^ 0x6b65_7074) ^ cell).wrapping_add(index as u64));
        part(word) < kept
    }

    /// Takes domes off grease and out of pinholes, and spreads those of places that were hotter or cooler; `baked` is the last step of the bake
    /// at each of them (`None` where nothing melted), `usual` that of the plate. The tile's top left lies at
    /// `corner_um`.
    #[inline(never)] // keeps the page small
    pub(crate) fn work_on(
        &self,
        corner_um: (f64, f64),
        side_um: f64,
        usual: &Spread,
        baked: &[Option<Spread>],
        tile: &mut GroundTile,
    ) {
        if self.fingers.is_empty() && self.pinholes.is_empty() && self.heats.is_empty() {
            return;
        }
        let mut open: Vec<Hole> = Vec::new();
        let widest_um = tile.domes.iter().fold(0.0_f32, |a, dome| a.max(dome.radius_um));
        let grown_um = side_um + 2.0 * f64::from(widest_um);
        let from_um = [corner_um.0, corner_um.1].map(|um| um - f64::from(widest_um));
        for spot in &self.pinholes {
            holes((spot, HOLES_PER_CM2), from_um, [grown_um, grown_um], &mut |hole| {
                open.push(*hole)
            });
        }
        let mut fingers: Vec<Grease> = self.fingers.iter().map(Finger::grease).collect();
        let mut kept = 0;
        for at in 0..tile.domes.len() {
            let (dome, volume_um3) = (tile.domes[at], tile.volumes_um3[at]);
            let (x_um, y_um) =
                (corner_um.0 + f64::from(dome.x_um), corner_um.1 + f64::from(dome.y_um));
            let greasy = fingers.iter_mut().any(|finger| finger.at(x_um, y_um));
            let reaches = |hole: &Hole| hole.off_um(x_um, y_um) < f64::from(dome.radius_um);
            let spread = match greasy || open.iter().any(reaches) {
                true => None,
                false => self.spread(dome, (x_um, y_um), volume_um3, usual, baked),
            };
            if let Some(spread) = spread {
                tile.overlapping |= spread.radius_um > dome.radius_um;
                tile.domes[kept] = spread;
                tile.volumes_um3[kept] = volume_um3;
                kept += 1;
            }
        }
        tile.domes.truncate(kept);
        tile.volumes_um3.truncate(kept);
    }

    /// A dome as its place was baked; `None` where it does not hold.
    fn spread(
        &self,
        dome: Dome,
        (x_um, y_um): (f64, f64),
        volume_um3: f64,
        usual: &Spread,
        baked: &[Option<Spread>],
    ) -> Option<Dome> {
        let volume = volume_um3 as f32;
        let (mut radius_um, mut angle_deg) = (dome.radius_um, usual.edge_deg(volume));
        for (heat, baked) in self.heats.iter().zip(baked) {
            let weight = heat.place.weight(x_um, y_um) as f32;
            if weight > 0.0 {
                // A grain that has not melted touches the copper in a point.
                let (to_um, to_deg) = match baked {
                    Some(baked) => (baked.radius_um(volume), baked.edge_deg(volume)),
                    None => (0.0, 180.0),
                };
                radius_um += weight * (to_um - usual.radius_um(volume));
                angle_deg += weight * (to_deg - usual.edge_deg(volume));
                if angle_deg >= crate::ground::spread::HOLDS_BELOW_DEG {
                    return None;
                }
            }
        }
        (radius_um > 0.0).then_some(Dome { radius_um, ..dome })
    }
}

/// Directions that the seed of a spot has chosen: along and across, µm.
fn turned(spot: &Spot, x_um: f64, y_um: f64) -> (f64, f64) {
    let angle = core::f64::consts::TAU * part(mix(u64::from(spot.seed)));
    let (sine, cosine) = (libm::sin(angle), libm::cos(angle));
    let (dx, dy) = (x_um - spot.x_um, y_um - spot.y_um);
    (dx * cosine + dy * sine, dy * cosine - dx * sine)
}

/// Grease of a finger.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Finger(pub(super) Spot);

impl Finger {
    /// Where there is grease.
    pub(super) fn grease(&self) -> Grease<'_> {
        Grease {
            spot: &self.0,
            wave: Smooth::new(self.0.seed),
            pressed: Smooth::new(self.0.seed ^ 0x5eed),
        }
    }

    /// Every run of pixels of a raster where there is grease: ridges and how broad they are go by straight lines between
    /// nodes, which moves their borders by some µm against [`Grease::at`].
    pub(super) fn each_run(&self, grid: &Grid, then: &mut dyn FnMut(Range<usize>)) {
        let spot = &self.0;
        each_run(
            spot,
            grid,
            &mut |part| {
                let asked = RefCell::new(self.grease());
                let broad = |x_um, y_um| asked.borrow_mut().broad(x_um, y_um) as f32;
                let ridge = |x_um, y_um| asked.borrow_mut().ridge(x_um, y_um) as f32;
                let mut broad = Lattice::over(part, 0.0, &broad)?;
                let mut ridge = Lattice::over(part, f32::NAN, &ridge)?;
                let [mut broads, mut ridges] = [(); 2].map(|()| vec![0.0; part.width]);
                Some(Box::new(move |row, marked| {
                    let there = broad.row(row, &mut broads);
                    let _ = ridge.row(row, &mut ridges);
                    let of = ridges[there.clone()].iter().zip(&broads[there.clone()]);
                    for (marked, (ridge, broad)) in marked[there].iter_mut().zip(of) {
                        let across = (ridge - (*ridge as i32) as f32 - 0.5).abs() * 2.0;
                        *marked = across < *broad;
                    }
                }))
            },
            then,
        );
    }
}

/// Where a finger has left grease: asked for place after place, quickest for neighbours.
pub(super) struct Grease<'a> {
    spot: &'a Spot,
    wave: Smooth,
    pressed: Smooth,
}

impl Grease<'_> {
    /// There is grease at a place: on ridges that run round a middle off the finger's own, a little wavy, and fade
    /// towards its border.
    pub(super) fn at(&mut self, x_um: f64, y_um: f64) -> bool {
        if self.border(x_um, y_um) <= 0.0 {
            return false;
        }
        let ridge = self.ridge(x_um, y_um);
        // Never below 0, so that cutting off its fraction rounds it down.
        let across = (ridge - f64::from(ridge as u32) - 0.5).abs() * 2.0;
        across < RIDGE_SHARE * self.spot.size * 1.4 && across < self.broad(x_um, y_um)
    }

    /// Above 0 within the finger's mark, 1 in its middle.
    fn border(&self, x_um: f64, y_um: f64) -> f64 {
        // A finger's mark is longer than wide.
        let (dx, dy) = ((x_um - self.spot.x_um) * 1.3, y_um - self.spot.y_um);
        1.0 - (dx * dx + dy * dy) / (self.spot.radius_um * self.spot.radius_um)
    }

    /// Ridges counted from the middle that they run round, with what one has passed of the next.
    fn ridge(&mut self, x_um: f64, y_um: f64) -> f64 {
        let (dx, dy) = ((x_um - self.spot.x_um) * 1.3, y_um - self.spot.y_um);
        let (cx, cy) = (dx * 0.9, dy * 0.7 - 0.2 * self.spot.radius_um);
        let wave = self.wave.at(x_um / 2200.0, y_um / 2200.0);
        ((cx * cx + cy * cy).sqrt() + 2.0 * RIDGE_UM * wave) / RIDGE_UM
    }

    /// Share of the distance between ridges that grease covers; 0 beside the mark.
    fn broad(&mut self, x_um: f64, y_um: f64) -> f64 {
        // Pores and dry places leave gaps.
        let pressed = 0.6 + 0.8 * self.pressed.at(x_um / 900.0, y_um / 900.0);
        let fades = step(4.0 * self.border(x_um, y_um));
        (RIDGE_SHARE * self.spot.size * pressed * fades).min(0.9)
    }
}
