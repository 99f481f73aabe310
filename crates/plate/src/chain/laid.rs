//! A ground as it is laid: what decides it, and what is known of it wherever one looks.

use super::place::faults_on_copper;
use super::{SAMPLE, SAMPLE_PX_UM, SAMPLE_SIDE_PX};
use crate::bake::{self, BakeConstants, Baked};
use crate::bite::ResistProfile;
use crate::constants::Constants;
use crate::dust::{self, DustConstants, LandedDust};
use crate::faults::{GroundFaults, SpotHeat, Uneven};
use crate::fnv::of_text;
use crate::ground::statistics::TABLE_TILES;
use crate::ground::{Ground, GroundStatistics, TileCache};
use crate::resist::{ResistScratch, distance_under_resin};
use plan::{Bake, Dust, LaterGround, Plan};
use std::sync::OnceLock;

/// Farthest undercut looked for in the sample that stands for the values, µm. Deeper bites than
/// this have broken every ground down.
const SAMPLE_REACH_UM: f32 = 160.0;

/// Everything that decides a ground: two equal recipes lay the same domes at the same places, bit for
/// bit.
///
/// ```
/// use plan::Plan;
/// use plate::chain::GroundRecipe;
///
/// let plan = Plan::default();
/// let mut warmer = plan.clone();
/// warmer.bath.temperature_c += 3.0;
/// let recipe = GroundRecipe::of_plan(&plan).unwrap();
/// assert_eq!(GroundRecipe::of_plan(&warmer).unwrap().key(), recipe.key(), "the bath comes later");
/// warmer.bake.bake_min += 1.0;
/// assert_ne!(GroundRecipe::of_plan(&warmer).unwrap().key(), recipe.key());
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct GroundRecipe {
    dust: Dust,
    bake: Bake,
    /// Thickness of the copper, which the hot plate has to warm, mm.
    thickness_mm: f64,
    seed: u32,
    dust_constants: DustConstants,
    bake_constants: BakeConstants,
    faults: GroundFaults,
}

impl GroundRecipe {
    /// A plan's first ground, with these constants.
    #[must_use]
    pub fn of(plan: &Plan, constants: &Constants) -> Self {
        Self {
            dust: plan.dust.clone(),
            bake: plan.bake.clone(),
            thickness_mm: plan.plate.thickness_mm,
            seed: plan.seed,
            dust_constants: constants.dust.clone(),
            bake_constants: constants.bake.clone(),
            faults: GroundFaults::of(
                &faults_on_copper(plan),
                unevenness(plan, constants, plan.seed),
            ),
        }
    }

    /// A plan's first ground, with the plan's own calibration.
    ///
    /// # Errors
    /// As [`Plate::of`](super::Plate::of).
    pub fn of_plan(plan: &Plan) -> Result<Self, super::Refused> {
        Ok(Self::of(plan, &Constants::calibrated(&plan.calibration)?))
    }

    /// A ground laid in a later state.
    #[must_use]
    pub fn of_later(later: &LaterGround, plan: &Plan, constants: &Constants) -> Self {
        Self {
            dust: later.dust.clone(),
            bake: later.bake.clone(),
            seed: later.seed,
            faults: GroundFaults::of(&[], unevenness(plan, constants, later.seed)),
            ..Self::of(plan, constants)
        }
    }

    /// A short word that is the same for equal recipes and, to one chance in 2⁶⁴, for no others. It
    /// holds within one build of the program.
    #[must_use]
    pub fn key(&self) -> String {
        // The text of a number is the shortest that reads back as the same bits.
        format!("{:016x}", of_text(&format!("{self:?}")))
    }

    /// How the dust is laid.
    #[must_use]
    pub fn dust(&self) -> &Dust {
        &self.dust
    }

    /// How it is baked.
    #[must_use]
    pub fn bake(&self) -> &Bake {
        &self.bake
    }

    /// The same ground, taken off the hot plate after so many minutes.
    #[must_use]
    pub fn taken_off_after(&self, bake_min: f64) -> Self {
        Self { bake: Bake { bake_min, ..self.bake.clone() }, ..self.clone() }
    }

    /// Its domes, as a function of place.
    #[must_use]
    pub fn ground(&self) -> Ground {
        self.faulty(Ground::new(&self.landed(), &self.baked(), self.seed))
    }

    /// The ground with the recipe's faults in it.
    fn faulty(&self, ground: Ground) -> Ground {
        if self.faults.is_empty() {
            return ground;
        }
        let bake_at = |heat: &SpotHeat| {
            let hot_plate_c = (self.bake.hot_plate_c + heat.by_c).max(self.bake.room_c);
            let there = Bake { hot_plate_c, ..self.bake.clone() };
            bake::bake(&there, self.thickness_mm, &self.bake_constants)
        };
        let bakes: Vec<Baked> = self.faults.heats().iter().map(bake_at).collect();
        ground.with_faults(self.faults.clone(), &bakes)
    }

    /// The dust that lands.
    #[must_use]
    pub fn landed(&self) -> LandedDust {
        dust::land(&self.dust, &self.dust_constants)
    }

    /// The bake.
    #[must_use]
    pub fn baked(&self) -> Baked {
        bake::bake(&self.bake, self.thickness_mm, &self.bake_constants)
    }

    /// Lays the ground in scratch of its own.
    #[must_use]
    pub fn lay(self) -> LaidGround {
        self.lay_in(&mut TileCache::default())
    }

    /// Lays the ground; `tiles` are of no other and keep what was laid.
    pub(super) fn lay_in(self, tiles: &mut TileCache) -> LaidGround {
        let (landed, baked) = (self.landed(), self.baked());
        let perfect = Ground::new(&landed, &baked, self.seed);
        // The sample stands for values, which faults here and there do not change.
        let elsewhere = &mut TileCache::default();
        let tiles = if self.faults.is_empty() { tiles } else { elsewhere };
        let sample_um = sample_distances(&perfect, tiles);
        let ground = self.faulty(perfect.clone());
        let profile = ResistProfile::new(&sample_um, SAMPLE_PX_UM);
        let statistics = OnceLock::new();
        LaidGround { recipe: self, landed, baked, ground, perfect, sample_um, profile, statistics }
    }
}

/// How unevenly this shop lays a ground of this seed on the plan's copper.
fn unevenness(plan: &Plan, constants: &Constants, seed: u32) -> Option<Uneven> {
    let size_mm = [plan.plate.width_mm, plan.plate.height_mm];
    Uneven::of((&constants.dust, &constants.bake), size_mm, seed)
}

/// One ground on the copper. It does not change.
#[derive(Debug)]
pub struct LaidGround {
    recipe: GroundRecipe,
    landed: LandedDust,
    baked: Baked,
    ground: Ground,
    perfect: Ground,
    sample_um: Vec<f32>,
    profile: ResistProfile,
    /// Measured when first asked for: a window of the print does not need them.
    statistics: OnceLock<GroundStatistics>,
}

impl LaidGround {
    /// What decided it.
    #[must_use]
    pub fn recipe(&self) -> &GroundRecipe {
        &self.recipe
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

    /// Its domes, as a function of place.
    #[must_use]
    pub fn ground(&self) -> &Ground {
        &self.ground
    }

    /// The same without the faults of the plan, for what stands for the ground as a whole.
    #[must_use]
    pub fn perfect(&self) -> &Ground {
        &self.perfect
    }

    /// There are faults in it.
    #[must_use]
    pub fn is_faulty(&self) -> bool {
        !self.recipe.faults.is_empty()
    }

    /// Distance under the resin, µm (≤ 0 in the open), over the sample that stands for every value: one
    /// number per pixel of [`SAMPLE`].
    #[must_use]
    pub fn sample_um(&self) -> &[f32] {
        &self.sample_um
    }

    /// The upper left corner of that sample, `side_px` square.
    #[must_use]
    pub fn sample_corner_um(&self, side_px: usize) -> Vec<f32> {
        let rows = self.sample_um.chunks_exact(SAMPLE.width).take(side_px);
        rows.flat_map(|row| &row[..side_px]).copied().collect()
    }

    /// How the sample's copper lies open or under resin.
    #[must_use]
    pub fn profile(&self) -> &ResistProfile {
        &self.profile
    }

    /// What it looks like on the whole; `tiles` are of no other ground.
    pub(super) fn statistics(&self, tiles: &mut TileCache) -> GroundStatistics {
        let elsewhere = &mut TileCache::default();
        let tiles = if self.is_faulty() { elsewhere } else { tiles };
        *self.statistics.get_or_init(|| self.perfect.statistics(tiles, TABLE_TILES))
    }
}

/// Distance under the resin over the sample of a ground. It knows no edge of the plate.
fn sample_distances(ground: &Ground, tiles: &mut TileCache) -> Vec<f32> {
    let side_um = f64::from(SAMPLE_PX_UM) * SAMPLE_SIDE_PX as f64;
    // In the middle of the first tile of an ordinary ground, so that no other has to be laid.
    let left_um = libm::round((0.5 * (ground.tile_um() - side_um)).max(0.0));
    let mut domes = Vec::new();
    let overlapping =
        tiles.gather(ground, left_um, left_um, side_um, side_um, SAMPLE_REACH_UM, &mut domes);
    let mut distance_um = Vec::new();
    distance_under_resin(
        &domes,
        overlapping,
        SAMPLE_SIDE_PX,
        SAMPLE_SIDE_PX,
        SAMPLE_PX_UM,
        SAMPLE_REACH_UM,
        &mut ResistScratch::default(),
        &mut distance_um,
    );
    distance_um
}
