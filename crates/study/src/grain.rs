//! Grain: dust and bake backwards, the wait, the powder, the dustings and the bake that give a wanted grain.

use plan::{Diagnostic, Plan, Sentence, Unit, quantity, sentence};
use plate::Refused;
use plate::bake::{self, Baked, Doneness};
use plate::constants::Constants;
use plate::dust::{self, LandedDust};
use plate::ground::{Ground, GroundStatistics, TileCache};
use serde::Serialize;

/// What the grain should be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GrainWish {
    /// How coarse.
    pub size: GrainSize,
    /// Share of the copper covered after the bake, 0–1.
    pub cover: f64,
}

/// Two ways to say how coarse a grain is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum GrainSize {
    /// Median diameter of a dome's footprint, µm.
    FootprintUm(f64),
    /// Domes per mm².
    DomesPerMm2(f64),
}

/// The ground that comes nearest.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct GrainAnswer {
    /// Time between stirring and putting the plate in, s.
    pub wait_s: f64,
    /// Powder to raise at each dusting, g per m² of box floor.
    pub powder_g_per_m2: f64,
    /// How many dustings.
    pub dustings: f64,
    /// Minutes in the box, at each dusting: those of the plan.
    pub dusting_min: f64,
    /// Setting of the hot plate, °C.
    pub hot_plate_c: f64,
    /// Minutes on the hot plate.
    pub bake_min: f64,
    /// Cover that results, 0–1.
    pub cover: f64,
    /// Domes per mm².
    pub domes_per_mm2: f64,
    /// Median diameter of a dome's footprint, µm.
    pub median_footprint_um: f64,
    /// Whether the bake holds the grain as it is.
    pub good_bake: bool,
    /// What stands in the way of the wish, and what would help; `None` when it is met.
    pub hindrance: Option<Diagnostic>,
}

/// The control's steps, to which the answer keeps.
const WAIT_STEP_S: f64 = 5.0;
const POWDER_STEP_G_PER_M2: f64 = 0.5;
const LONGEST_WAIT_S: f64 = 900.0;
/// Limits of the plan.
const MOST_POWDER_G_PER_M2: f64 = 200.0;
const MOST_DUSTINGS: f64 = 6.0;
/// Met within this share of the wanted size: a step of the controls moves it by less.
const SIZE_WITHIN: f64 = 0.08;
/// Met within this of the wanted cover.
const COVER_WITHIN: f64 = 0.04;
/// Hot plates tried when the plan's own gives no good bake, °C.
const HOT_PLATES_C: [f64; 4] = [125.0, 115.0, 135.0, 145.0];
/// Longest bake tried, min.
const LONGEST_BAKE_MIN: f64 = 30.0;
/// Ground tiles (square) that a trial is measured on.
const TILES: i32 = 1;

struct Search<'a> {
    plan: Plan,
    constants: &'a Constants,
    wish: GrainWish,
    /// Powder that the plan raises at each dusting, g per m² of box floor.
    own_g_per_m2: f64,
    /// Cover laid against the cover expected, in the last ground laid.
    laid_per_expected: f64,
}

struct Trial {
    landed: LandedDust,
    baked: Baked,
    statistics: GroundStatistics,
}

/// Wait, powder, dustings and bake for a wanted grain, all else as in the plan.
///
/// # Errors
/// As [`plate::Plate::of`].
pub fn grain_for(plan: &Plan, wish: GrainWish) -> Result<GrainAnswer, Refused> {
    let constants = Constants::calibrated(&plan.calibration)?;
    let mut search = Search {
        plan: plan.clone(),
        constants: &constants,
        wish,
        own_g_per_m2: plan.dust.powder_g_per_m2,
        laid_per_expected: 1.0,
    };
    // The bake first, since it decides how far the dust shrinks; then once more for the dust found.
    search.bake_well();
    search.settle();
    if search.bake_well() {
        search.settle();
    }
    Ok(search.answer())
}

/// Powder, in steps of the control, and dustings whose expected cover comes nearest to this. A dusting raises no
/// more than the plan's own does, since its cloud is what may catch fire, unless even six are too few.
pub(crate) fn dusting_for_cover(plan: &Plan, constants: &Constants, cover: f64) -> (f64, f64) {
    let baked = bake::bake(&plan.bake, plan.plate.thickness_mm, &constants.bake);
    let own_g_per_m2 = plan.dust.powder_g_per_m2.max(POWDER_STEP_G_PER_M2);
    let mut landed =
        dust::land(&plan::Dust { dustings: 1.0, ..plan.dust.clone() }, &constants.dust);
    let shadow = landed.shadow_number();
    // What lands is in proportion to what is raised.
    let mut cover_of = |in_all_g_per_m2: f64| {
        landed.loose_cover = -libm::expm1(-shadow * in_all_g_per_m2 / own_g_per_m2);
        baked.expected_cover(&landed, &constants.bake)
    };
    let dustings = (1..=MOST_DUSTINGS as u32)
        .map(f64::from)
        .find(|&dustings| cover_of(dustings * own_g_per_m2) >= cover)
        .unwrap_or(MOST_DUSTINGS);
    let (mut little, mut much) = (2_u32, (MOST_POWDER_G_PER_M2 / POWDER_STEP_G_PER_M2) as u32);
    let mut cover_after = |steps: u32| cover_of(dustings * f64::from(steps) * POWDER_STEP_G_PER_M2);
    // More is never less cover.
    while little < much {
        let middle = little.midpoint(much);
        if cover_after(middle) < cover {
            little = middle + 1;
        } else {
            much = middle;
        }
    }
    if little > 2 && cover - cover_after(little - 1) < cover_after(little) - cover {
        little -= 1;
    }
    (f64::from(little) * POWDER_STEP_G_PER_M2, dustings)
}

impl Search<'_> {
    fn lay(&self) -> Trial {
        let landed = dust::land(&self.plan.dust, &self.constants.dust);
        let baked = bake::bake(&self.plan.bake, self.plan.plate.thickness_mm, &self.constants.bake);
        let ground = Ground::new(&landed, &baked, self.plan.seed);
        let statistics = ground.statistics(&mut TileCache::new(0), TILES);
        Trial { landed, baked, statistics }
    }

    /// Size against the wish: above 1 the grain is too coarse.
    fn coarseness(&self, statistics: &GroundStatistics) -> f64 {
        match self.wish.size {
            GrainSize::FootprintUm(wanted) => statistics.median_footprint_um / wanted,
            GrainSize::DomesPerMm2(wanted) => wanted / statistics.domes_per_mm2.max(1e-6),
        }
    }

    fn good(&self) -> bool {
        let landed = dust::land(&self.plan.dust, &self.constants.dust);
        let baked = bake::bake(&self.plan.bake, self.plan.plate.thickness_mm, &self.constants.bake);
        baked.verdict(&landed, &self.constants.bake).0 == Doneness::Good
    }

    /// Keeps the plan's bake if it is good, or finds one that is; tells whether it changed.
    fn bake_well(&mut self) -> bool {
        if self.good() {
            return false;
        }
        let before = self.plan.bake.clone();
        for hot_plate_c in [before.hot_plate_c].into_iter().chain(HOT_PLATES_C) {
            self.plan.bake.hot_plate_c = hot_plate_c;
            let mut good: Vec<f64> = Vec::new();
            let mut bake_min = 1.0;
            while bake_min <= LONGEST_BAKE_MIN {
                self.plan.bake.bake_min = bake_min;
                if self.good() {
                    good.push(bake_min);
                } else if !good.is_empty() {
                    break;
                }
                bake_min += 0.5;
            }
            if let Some(&middle) = good.get(good.len() / 2) {
                self.plan.bake.bake_min = middle;
                return true;
            }
        }
        self.plan.bake = before;
        false
    }

    /// Sets the powder and the dustings that give the wanted cover after this wait, or the nearest, and lays
    /// that ground. The expected cover guides; what was laid last tells how far it is off.
    fn dust_to_cover(&mut self) -> Trial {
        self.dust_once();
        // Again, guided by this very dust.
        self.dust_once()
    }

    /// Whether even the most powder leaves too little: then the wait has been too long.
    fn too_thin(&self, trial: &Trial) -> bool {
        self.plan.dust.powder_g_per_m2 >= MOST_POWDER_G_PER_M2
            && trial.statistics.cover < self.wish.cover - COVER_WITHIN
    }

    fn dust_once(&mut self) -> Trial {
        let wanted = (self.wish.cover / self.laid_per_expected).min(0.99);
        // A dusting never raises more than the plan asked about.
        let dust = &mut self.plan.dust;
        dust.powder_g_per_m2 = self.own_g_per_m2;
        let (powder, dustings) = dusting_for_cover(&self.plan, self.constants, wanted);
        let dust = &mut self.plan.dust;
        (dust.powder_g_per_m2, dust.dustings) = (powder, dustings);
        let trial = self.lay();
        let expected = trial.baked.expected_cover(&trial.landed, &self.constants.bake);
        if expected > 0.01 && trial.statistics.cover > 0.01 {
            self.laid_per_expected = (trial.statistics.cover / expected).clamp(0.8, 1.25);
        }
        trial
    }

    /// Sets wait, powder and dustings for the wanted grain, or the nearest.
    fn settle(&mut self) {
        let (mut short, mut long) = (0_u32, (LONGEST_WAIT_S / WAIT_STEP_S) as u32);
        // A longer wait leaves a finer dust.
        while short < long {
            let middle = short.midpoint(long);
            self.plan.dust.wait_s = f64::from(middle) * WAIT_STEP_S;
            let trial = self.dust_to_cover();
            if !self.too_thin(&trial) && self.coarseness(&trial.statistics) > 1.0 {
                short = middle + 1;
            } else {
                long = middle;
            }
        }
        self.plan.dust.wait_s = f64::from(short) * WAIT_STEP_S;
        let trial = self.dust_to_cover();
        if self.too_thin(&trial) && short > 0 {
            self.plan.dust.wait_s = f64::from(short - 1) * WAIT_STEP_S;
            self.dust_to_cover();
        }
    }

    fn answer(&self) -> GrainAnswer {
        let trial = self.lay();
        let found = trial.statistics;
        let (doneness, bake_words) = trial.baked.verdict(&trial.landed, &self.constants.bake);
        let good_bake = doneness == Doneness::Good;
        let coarseness = self.coarseness(&found);
        let dust = &self.plan.dust;
        let size = quantity(found.median_footprint_um, Unit::Um, 0);
        let cover = quantity(found.cover, Unit::Percent, 0);
        let powder = quantity(dust.powder_g_per_m2, Unit::GPerM2, 1);
        let grains = quantity(dust.median_um, Unit::Um, 0);
        let warn = |field: &str, code, message: Sentence, hint: Sentence| {
            Some(Diagnostic::warning(field, code, message).hint(hint))
        };
        let hindrance = if found.cover < self.wish.cover - COVER_WITHIN {
            warn(
                "dust.powder_g_per_m2",
                "grain.too_little_powder",
                sentence!(
                    "Even {} dustings of {} cover no more than {} at that grain.",
                    dust.dustings,
                    powder,
                    cover
                ),
                sentence!("Take a finer powder than {}.", grains),
            )
        } else if found.cover > self.wish.cover + COVER_WITHIN {
            warn(
                "dust.powder_g_per_m2",
                "grain.too_much_powder",
                sentence!("Even {} of powder covers {}.", powder, cover),
                sentence!(
                    "Leave the plate in the box for less than {}.",
                    quantity(dust.dusting_min, Unit::Minutes, 1)
                ),
            )
        } else if coarseness < 1.0 - SIZE_WITHIN {
            warn(
                "dust.median_um",
                "grain.powder_too_fine",
                sentence!(
                    "Without any wait this powder gives a grain of {} at that cover, the coarsest it can.",
                    size
                ),
                sentence!("Take a coarser powder than {}.", grains),
            )
        } else if coarseness > 1.0 + SIZE_WITHIN {
            warn(
                "dust.median_um",
                "grain.powder_too_coarse",
                sentence!(
                    "A longer wait would leave too little dust for that cover; the finest grain is {}.",
                    size
                ),
                sentence!("Take a finer powder than {}.", grains),
            )
        } else if !good_bake {
            Some(Diagnostic::warning("bake.hot_plate_c", "grain.no_good_bake", bake_words))
        } else {
            None
        };
        GrainAnswer {
            wait_s: dust.wait_s,
            powder_g_per_m2: dust.powder_g_per_m2,
            dustings: dust.dustings,
            dusting_min: dust.dusting_min,
            hot_plate_c: self.plan.bake.hot_plate_c,
            bake_min: self.plan.bake.bake_min,
            cover: found.cover,
            domes_per_mm2: found.domes_per_mm2,
            median_footprint_um: found.median_footprint_um,
            good_bake,
            hindrance,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_powder_for_a_cover_is_the_nearest_step_in_the_fewest_dustings() {
        let constants = Constants::default();
        let mut seen = [false; 7];
        for (own, wait_s) in [(30.0, 20.0), (6.0, 30.0), (12.0, 60.0), (60.0, 0.0)] {
            let mut plan = Plan::default();
            (plan.dust.powder_g_per_m2, plan.dust.wait_s) = (own, wait_s);
            // What the plan does already counts for nothing.
            plan.dust.dustings = 3.0;
            let baked = bake::bake(&plan.bake, plan.plate.thickness_mm, &constants.bake);
            // The cover to expect of a whole plan with that much powder.
            let cover_of = |powder_g_per_m2: f64, dustings: f64| {
                let dust = plan::Dust { powder_g_per_m2, dustings, ..plan.dust.clone() };
                baked.expected_cover(&dust::land(&dust, &constants.dust), &constants.bake)
            };
            for share in 1..20 {
                let cover = 0.04 * f64::from(share);
                let (powder, dustings) = dusting_for_cover(&plan, &constants, cover);
                assert_eq!((2.0 * powder).fract(), 0.0, "{powder} g/m² is a step of the control");
                let off = |powder: f64| (cover_of(powder, dustings) - cover).abs();
                let here = off(powder) - 1e-12;
                assert!(
                    here <= off(powder + 0.5),
                    "{cover} of {own} g/m²: more than {powder} is nearer"
                );
                assert!(
                    powder == 1.0 || here <= off(powder - 0.5),
                    "{cover} of {own} g/m²: less than {powder} is nearer"
                );
                if dustings > 1.0 {
                    let fewer = cover_of(own, dustings - 1.0);
                    assert!(
                        fewer < cover,
                        "{} dustings of {own} g/m² do for {cover}",
                        dustings - 1.0
                    );
                }
                let enough = cover_of(own, dustings) >= cover;
                assert!(enough || dustings == MOST_DUSTINGS, "{dustings} of {own} for {cover}");
                seen[dustings as usize] = true;
            }
        }
        assert_eq!(seen, [false, true, true, true, true, true, true], "numbers of dustings tried");
        // None is nearer to nothing than the least a plan may have, nor to all than the most.
        let (plan, constants) = (Plan::default(), &constants);
        assert_eq!(dusting_for_cover(&plan, constants, 0.0), (1.0, 1.0));
        assert_eq!(dusting_for_cover(&plan, constants, 1.0), (200.0, 6.0));
    }
}
