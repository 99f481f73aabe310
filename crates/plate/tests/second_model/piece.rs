//! A piece of a plan's ground and how it prints by the micrometres bitten, whatever the bath.

use plan::Plan;
use plate::bake::{self, Baked};
use plate::bite::{DepthCurve, ResistProfile, depth_at_um, depth_field};
use plate::constants::Constants;
use plate::dust::{self, LandedDust};
use plate::grid::Grid;
use plate::ground::{Ground, TileCache, statistics};
use plate::ink::{InkScratch, Inking};
use plate::light::lightness;
use plate::resist::bounded::LARGEST_BOUND_PX;
use plate::resist::{BoundedScratch, ResistScratch, bounded_distance_px, distance_under_resin};

/// Side of the piece, pixels of [`PX_UM`].
const SIDE_PX: usize = 600;
const PX_UM: f32 = 4.0;
/// How deep under the resin distances are known, µm: as far as the deepest bite reaches.
const REACH_UM: f32 = 64.0;
/// The piece lies this far from the plate's left and top, µm.
const FROM_UM: f64 = 600.0;
/// Lines along which the cover is measured.
const LINES: usize = 300;

/// One piece of ground, 2.4 mm square.
pub(crate) struct Piece {
    pub(crate) landed: LandedDust,
    pub(crate) baked: Baked,
    pub(crate) cover: f64,
    pub(crate) domes_per_mm2: f64,
    pub(crate) islands_per_mm2: f64,
    /// The same told by a raster of [`PX_UM`]: pixels that share a side are connected.
    pub(crate) raster_islands_per_mm2: f64,
    /// Median diameter of the domes' footprints, µm.
    pub(crate) footprint_um: f64,
    under_um: Vec<f32>,
    plan: Plan,
    constants: Constants,
}

/// The default plan, changed.
pub(crate) fn plan_of(change: impl Fn(&mut Plan)) -> Plan {
    let mut plan = Plan::default();
    change(&mut plan);
    assert!(plan.problems().is_empty(), "a sound plan: {:?}", plan.problems());
    plan
}

impl Piece {
    pub(crate) fn of(plan: Plan) -> Self {
        let constants = Constants::calibrated(&plan.calibration).expect("a sound calibration");
        let landed = dust::land(&plan.dust, &constants.dust);
        let baked = bake::bake(&plan.bake, plan.plate.thickness_mm, &constants.bake);
        let ground = Ground::new(&landed, &baked, plan.seed);
        let side_um = SIDE_PX as f64 * f64::from(PX_UM);
        let (mut domes, mut under_um) = (Vec::new(), Vec::new());
        let overlapping = TileCache::new(0)
            .gather(&ground, FROM_UM, FROM_UM, side_um, side_um, REACH_UM, &mut domes);
        distance_under_resin(
            &domes,
            overlapping,
            SIDE_PX,
            SIDE_PX,
            PX_UM,
            REACH_UM,
            &mut ResistScratch::default(),
            &mut under_um,
        );
        let inside = 0.0..side_um as f32;
        let mut footprints_um: Vec<f32> = domes
            .iter()
            .filter(|dome| inside.contains(&dome.x_um) && inside.contains(&dome.y_um))
            .map(|dome| 2.0 * dome.radius_um)
            .collect();
        footprints_um.sort_by(f32::total_cmp);
        let mm2 = side_um * side_um * 1e-6;
        let middle = footprints_um.len() / 2;
        Self {
            cover: statistics::cover(&domes, side_um as f32, LINES),
            domes_per_mm2: footprints_um.len() as f64 / mm2,
            islands_per_mm2: statistics::islands(&domes, side_um as f32) / mm2,
            raster_islands_per_mm2: raster_islands(&under_um) / mm2,
            footprint_um: footprints_um.get(middle).map_or(0.0, |&um| f64::from(um)),
            landed,
            baked,
            under_um,
            plan,
            constants,
        }
    }

    /// Share of the copper that lies open, as the bath feels it.
    pub(crate) fn open_share(&self) -> f64 {
        ResistProfile::new(&self.under_um, PX_UM).open_share()
    }

    /// L* that it prints after each of these bites, µm.
    pub(crate) fn lightness(&self, doses_um: &[f64]) -> Vec<f64> {
        self.printed(doses_um, &|dose_um, depth_um| {
            let curve = DepthCurve::new(dose_um, self.constants.bite.etch_factor, PX_UM);
            depth_field(&self.under_um, &vec![0; SIDE_PX * SIDE_PX], &[curve], depth_um);
        })
    }

    /// The same as a plain transform of the raster has it: distances from the centre of a covered pixel to
    /// that of the nearest open one, so half a pixel too far on the mean.
    pub(crate) fn raster_lightness(&self, doses_um: &[f64]) -> Vec<f64> {
        let covered: Vec<u8> = self.under_um.iter().map(|&um| u8::from(um > 0.0)).collect();
        let mut under_px = Vec::new();
        let (bound, scratch) = (LARGEST_BOUND_PX, &mut BoundedScratch::default());
        bounded_distance_px(&covered, SIDE_PX, SIDE_PX, bound, scratch, &mut under_px);
        self.printed(doses_um, &|dose_um, depth_um| {
            depth_um.clear();
            depth_um.extend(under_px.iter().map(|&px| {
                let under_um = f64::from(px * PX_UM);
                depth_at_um(dose_um, self.constants.bite.etch_factor, under_um) as f32
            }));
        })
    }

    fn printed(&self, doses_um: &[f64], bite: &dyn Fn(f64, &mut Vec<f32>)) -> Vec<f64> {
        let inking = Inking::new(&self.plan.ink, &self.plan.paper, &self.constants.ink);
        let grid = Grid { left_px: 0, top_px: 0, width: SIDE_PX, height: SIDE_PX, px_um: PX_UM };
        let (mut ink, mut depth_um, mut light) = (InkScratch::default(), Vec::new(), Vec::new());
        doses_um
            .iter()
            .map(|&dose_um| {
                bite(dose_um, &mut depth_um);
                inking.print(&depth_um, &grid, &mut ink, &mut light);
                lightness(light.iter().map(|&r| f64::from(r)).sum::<f64>() / light.len() as f64)
            })
            .collect()
    }

    /// L* after so many minutes in the default bath, which stays fresh.
    pub(crate) fn lightness_at(&self, minutes: &[f64]) -> Vec<f64> {
        let rate = plate::bite::rate_um_per_min(
            &self.plan.bath,
            0.0,
            self.open_share(),
            &self.constants.bite,
        );
        let doses_um: Vec<f64> = minutes.iter().map(|minutes| minutes * rate).collect();
        self.lightness(&doses_um)
    }

    /// Minutes at which it prints darkest in the default bath, and its L* then, to half a minute.
    pub(crate) fn darkest(&self) -> (f64, f64) {
        let minutes: Vec<f64> = (8..=30).map(|i| 2.0 * f64::from(i) - 10.0).collect();
        let coarse = self.lightness_at(&minutes);
        let at = least(&coarse);
        let near: Vec<f64> = (-3..=3).map(|i| minutes[at] + 0.5 * f64::from(i)).collect();
        let fine = self.lightness_at(&near);
        let at = least(&fine);
        (near[at], fine[at])
    }
}

/// Where the least of them is.
fn least(values: &[f64]) -> usize {
    (0..values.len()).fold(0, |best, i| if values[i] < values[best] { i } else { best })
}

/// Islands on the raster of distances: covered pixels that share a side are one.
fn raster_islands(under_um: &[f32]) -> f64 {
    let mut covered: Vec<bool> = under_um.iter().map(|&um| um > 0.0).collect();
    let (mut seen, mut todo) = (0.0, Vec::new());
    for from in 0..covered.len() {
        if !covered[from] {
            continue;
        }
        seen += 1.0;
        todo.push(from);
        while let Some(at) = todo.pop() {
            if !core::mem::take(&mut covered[at]) {
                continue;
            }
            let (x, y) = (at % SIDE_PX, at / SIDE_PX);
            let beside = [
                (x > 0).then(|| at - 1),
                (x + 1 < SIDE_PX).then(|| at + 1),
                (y > 0).then(|| at - SIDE_PX),
                (y + 1 < SIDE_PX).then(|| at + SIDE_PX),
            ];
            todo.extend(beside.into_iter().flatten().filter(|&next| covered[next]));
        }
    }
    seen
}
