//! Proof: the whole chain for one plan, and the places where it is looked at.
//!
//! A [`Plate`] holds what one plan and one picture come to: landed dust, bake, ground recipe, the
//! session in the bath, ink. From it come the [`summary`](Plate::summary) of numbers, any
//! [`window`](Plate::print_window) of the print, the [`cut`](Plate::cut) through the copper, and
//! the whole proof, tile by tile.
//!
//! This is the only module that turns the plate over: windows and cuts are asked for in places on
//! the print and computed on the copper, which is its mirror image.

mod backwards;
mod bands;
mod bench;
mod correct;
mod course;
mod cut;
mod doubt;
mod edition;
mod glance;
mod later;
mod lines;
mod overview;
mod sample;
mod summary;
mod to_go;
mod tone_table;
mod values_scope;
mod warnings;
pub mod watch;
mod whole;
mod window;

pub use backwards::{
    BackBite, Backwards, Darkening, GrainAnswer, GrainSize, GrainWish, MET_L, Rounding, even_steps,
    grain_for, picture_values,
};
pub use bands::{Band, Bands, Limits, Spread, bands};
pub use bench::Bench;
pub use correct::{Passage, Way};
pub use course::LONGEST_MIN;
pub use cut::{Cut, CutRequest};
pub use doubt::{Doubt, Doubter};
pub use edition::{Drift, EditionAnswer, SEEN_L, STRIP};
pub use glance::glance;
pub use lines::{LineFacts, OpenLines, Printed};
pub use sample::{OneValue, Sample};
pub use summary::{Summary, ToneCurve, Value};
pub use to_go::ToGo;
pub use tone_table::ToneTableSides;
pub use warnings::Warning;
pub use whole::TileRequest;
pub use window::{CopperWindow, Field, PrintWindow, WindowFields};

use crate::bake::{self, Baked};
use crate::bite::{self, ResistProfile, Session};
use crate::constants::Constants;
use crate::dust::{self, LandedDust};
use crate::grid::Grid;
use crate::ground::{Ground, GroundStatistics, TileCache};
use crate::ink::Inking;
use core::mem;
use plan::{Bite, Plan};
use std::sync::Arc;

/// Which value each place of the picture gets, in places on the print.
pub trait ValueAreas: Send + Sync {
    /// Value of every pixel of a raster on the copper (0 is the paper, k the k-th bite), row by
    /// row. The copper is the mirror of the print: x on the print is the plate's width less x on
    /// the copper. Returns the value when it is the same everywhere.
    fn fill(&self, grid: &Grid, out: &mut Vec<u8>) -> Option<u8>;

    /// Share of the plate's area per value, paper first; sums to 1.
    fn shares(&self) -> &[f64];

    /// Dose of every pixel of a raster on the copper, µm, where soft gradations (stop-out feathered,
    /// spit-bite) may lie in it; false, and nothing written, where every place has its value's dose.
    fn soften(&self, _grid: &Grid, _doses: &Doses<'_>, _out: &mut Vec<f32>) -> bool {
        false
    }

    /// Minutes of spit-bite that a place can have at most.
    fn spit_min(&self) -> f64 {
        0.0
    }
}

/// What soft gradations are made of.
pub struct Doses<'a> {
    /// Dose of each value, paper first, µm.
    pub of_value_um: &'a [f64],
    /// Dose of so many minutes of spit-bite, µm.
    pub spit_um: &'a dyn Fn(f64) -> f64,
}

/// Pixel size of the sample that stands for a value in the table, µm.
const SAMPLE_PX_UM: f32 = 4.0;
/// Side of that sample, pixels (2.4 mm).
const SAMPLE_SIDE_PX: usize = 600;
/// Side of the smaller sample on which much is tried, pixels (1.2 mm).
const TRIAL_SIDE_PX: usize = 300;
/// Most domes kept at hand (12 bytes each): a quarter of those of a 150 × 200 mm plate, which two workers share.
/// To keep all would take more room than laying the rest anew takes time, a tenth of the proof's.
const DOMES_KEPT: usize = 2_700_000;
/// The ground's statistics are taken over this many tiles square.
const STATISTICS_TILES: i32 = 2;

/// The sample's raster, without its place (see `window::sample_distances`).
const SAMPLE: Grid = Grid {
    left_px: 0,
    top_px: 0,
    width: SAMPLE_SIDE_PX,
    height: SAMPLE_SIDE_PX,
    px_um: SAMPLE_PX_UM,
};

/// What one plan and one picture come to.
pub struct Plate {
    plan: Plan,
    constants: Constants,
    areas: Arc<dyn ValueAreas>,
    landed: LandedDust,
    baked: Baked,
    ground: Ground,
    /// Taken when first asked for: a window of the print does not need them.
    statistics: Option<GroundStatistics>,
    /// Distance under the resin over the sample that stands for every value.
    sample: Arc<Vec<f32>>,
    profile: ResistProfile,
    session: Session,
    inking: Inking,
    tiles: TileCache,
    window: WindowFields,
    /// Lines on the copper before the first ground.
    lines: lines::Lines,
    /// Number of the state looked at, from 1.
    state: usize,
    /// The work on the copper up to that state.
    line: later::Line,
}

impl Plate {
    /// Computes the plan's stages up to the session in the bath.
    ///
    /// # Errors
    /// Field and sentence for each calibration constant that is unknown or out of range. The plan
    /// itself must have passed [`Plan::problems`].
    pub fn new(plan: Plan, areas: Arc<dyn ValueAreas>) -> Result<Self, Vec<(String, String)>> {
        let constants = Constants::calibrated(&plan.calibration)?;
        let tiles = TileCache::new(DOMES_KEPT);
        Ok(Self::laid(plan, areas, constants, tiles, WindowFields::default()))
    }

    /// The plate with its ground laid anew, in room kept from before.
    fn laid(
        plan: Plan,
        areas: Arc<dyn ValueAreas>,
        constants: Constants,
        mut tiles: TileCache,
        window: WindowFields,
    ) -> Self {
        tiles.clear();
        // What stands for the ground as a whole knows no edge.
        tiles.on_plate(None);
        let landed = dust::land(&plan.dust, &constants.dust);
        let baked = bake::bake(&plan.bake, plan.plate.thickness_mm, &constants.bake);
        let ground = Ground::new(&landed, &baked, plan.seed);
        let sample = Arc::new(window::sample_distances(&ground, &mut tiles));
        tiles.on_plate(Some(size_um(&plan)));
        let profile = ResistProfile::new(&sample, SAMPLE_PX_UM);
        let session = Self::bathe(&plan, &plan.bites, &constants, areas.as_ref(), &profile);
        let inking = Inking::new(&plan.ink, &plan.paper, &constants.ink);
        let mut plate = Self {
            plan,
            constants,
            areas,
            landed,
            baked,
            ground,
            statistics: None,
            sample,
            profile,
            session,
            inking,
            tiles,
            window,
            lines: lines::Lines::default(),
            state: 1,
            line: later::Line::default(),
        };
        // A plate is looked at as it is in the end.
        plate.look_at(later::last_state(&plate.plan));
        plate
    }

    /// The same plate after a change of plan or picture: only the stages after the change are
    /// computed anew.
    ///
    /// # Errors
    /// As [`Plate::new`]; the plate is then as it was.
    pub fn change(
        &mut self,
        plan: Plan,
        areas: Arc<dyn ValueAreas>,
    ) -> Result<(), Vec<(String, String)>> {
        let constants = Constants::calibrated(&plan.calibration)?;
        let same_ground = plan.dust == self.plan.dust
            && plan.bake == self.plan.bake
            && plan.plate.thickness_mm == self.plan.plate.thickness_mm
            && plan.seed == self.plan.seed
            && constants.dust == self.constants.dust
            && constants.bake == self.constants.bake;
        let keeps_state = later::last_state(&plan) == later::last_state(&self.plan);
        if !same_ground {
            let state = self.state;
            let lines = mem::take(&mut self.lines);
            let (tiles, window) = (mem::take(&mut self.tiles), mem::take(&mut self.window));
            *self = Self::laid(plan, areas, constants, tiles, window);
            {
                self.lines = lines;
            }
            if keeps_state {
                self.look_at(state);
            }
            return Ok(());
        }
        let same_bites = plan.bites == self.plan.bites
            && plan.bath == self.plan.bath
            && plan.plate == self.plan.plate
            && constants.bite == self.constants.bite
            && Arc::ptr_eq(&areas, &self.areas);
        if !same_bites {
            self.session =
                Self::bathe(&plan, &plan.bites, &constants, areas.as_ref(), &self.profile);
        }
        self.inking = Inking::new(&plan.ink, &plan.paper, &constants.ink);
        let same_work = same_bites && later::same_states(&plan, &self.plan);
        let same_work = same_work && constants.work == self.constants.work;
        self.tiles.on_plate(Some(size_um(&plan)));
        self.plan = plan;
        self.constants = constants;
        self.areas = areas;
        if !keeps_state {
            self.state = later::last_state(&self.plan);
        }
        if !same_work {
            self.make_line(true);
        }
        Ok(())
    }

    /// These bites in the plan's bath.
    #[inline(never)] // keeps the page small
    fn bathe(
        plan: &Plan,
        bites: &[Bite],
        constants: &Constants,
        areas: &dyn ValueAreas,
        profile: &ResistProfile,
    ) -> Session {
        let plate_cm2 = plan.plate.width_mm * plan.plate.height_mm / 100.0;
        let etch_factor = constants.bite.etch_factor;
        let mean_depth_um = |dose_um: f64| profile.mean_depth_um(dose_um, etch_factor);
        let (shares, open_share) = (areas.shares(), profile.open_share());
        bite::session(
            &plan.bath,
            bites,
            plate_cm2,
            shares,
            open_share,
            &mean_depth_um,
            &constants.bite,
        )
    }

    /// Forgets the domes kept at hand, so that the next window lays its ground anew.
    pub fn forget_ground(&mut self) {
        self.tiles.clear();
    }

    /// The plan it was computed from.
    #[must_use]
    pub fn plan(&self) -> &Plan {
        &self.plan
    }

    /// The dust that landed.
    #[must_use]
    pub fn landed(&self) -> &LandedDust {
        &self.landed
    }

    /// The bake.
    #[must_use]
    pub fn baked(&self) -> &Baked {
        &self.baked
    }

    /// The session in the bath.
    #[must_use]
    pub fn session(&self) -> &Session {
        &self.session
    }

    /// What the ground looks like on the whole.
    pub fn ground_statistics(&mut self) -> GroundStatistics {
        if let Some(statistics) = self.statistics {
            return statistics;
        }
        self.tiles.on_plate(None);
        let statistics = self.ground.statistics(&mut self.tiles, STATISTICS_TILES);
        self.tiles.on_plate(Some(size_um(&self.plan)));
        *self.statistics.insert(statistics)
    }

    /// Width and height of the plate in whole pixels of this size; a last part of a pixel is left
    /// off.
    fn size_px(&self, px_um: f32) -> (i64, i64) {
        let whole = |mm: f64| libm::floor(mm * 1000.0 / f64::from(px_um) + 1e-6) as i64;
        (whole(self.plan.plate.width_mm), whole(self.plan.plate.height_mm))
    }
}

/// Width and height of a plan's plate, µm.
fn size_um(plan: &Plan) -> (f64, f64) {
    (plan.plate.width_mm * 1000.0, plan.plate.height_mm * 1000.0)
}
