//! Grain: dust and bake backwards, the wait, the powder, the dustings and the bake that give a wanted grain.

mod dusting;
mod search;

use plan::{Diagnostic, Plan, Sentence, Unit, field, quantity, sentence};
use plate::constants::Constants;
use plate::ground::GroundStatistics;
use plate::{Refused, bake, dust};
use search::{Search, Trial};
use serde::Serialize;

pub(crate) use dusting::dusting_for_cover;
pub(crate) use search::good_bakes;

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
    /// Minutes in the box, at each dusting.
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
    /// What stands in the way of the wish, and what was found to help; `None` when it is met.
    pub hindrance: Option<Diagnostic>,
}

/// Met within this share of the wanted size: a step of the controls moves it by less.
const SIZE_WITHIN: f64 = 0.05;
/// Met within this of the wanted cover.
const COVER_WITHIN: f64 = 0.04;
/// So much the cover may be off for nothing; beyond, a twentieth of it counts as a fifth of the size.
const COVER_FREE: f64 = 0.02;
const SIZE_PER_COVER: f64 = 4.0;
/// Powders tried where the plan's own will not do: that which the grain wants if it is as the powder, and some beyond.
const BEYOND: [f64; 7] = [1.0, 1.15, 1.35, 1.6, 2.0, 2.7, 3.5];

impl GrainWish {
    /// How far a ground is from it: by which share its size is off, and four times what its cover is off, but for the
    /// first 0.02. What the nearest is the nearest by.
    #[must_use]
    pub fn miss(&self, found: &GroundStatistics) -> f64 {
        let cover = (found.cover - self.cover).abs() - COVER_FREE;
        libm::log(self.coarseness(found)).abs() + SIZE_PER_COVER * cover.max(0.0)
    }

    /// Whether one would say that it is met.
    fn met(&self, found: &GroundStatistics) -> bool {
        (self.coarseness(found) - 1.0).abs() <= SIZE_WITHIN
            && (found.cover - self.cover).abs() <= COVER_WITHIN
    }
}

/// Wait, minutes in the box, powder, dustings and bake for a wanted grain, all else as in the plan: by the wait and the
/// powder alone where that will do, else whatever comes nearest.
///
/// # Errors
/// As [`plate::Plate::of`].
pub fn grain_for(plan: &Plan, wish: GrainWish) -> Result<GrainAnswer, Refused> {
    let constants = Constants::calibrated(&plan.calibration)?;
    let found = Search::new(plan, &constants, wish).nearest();
    let (Trial { plan: Plan { dust, bake, .. }, statistics, good_bake, .. }, hindrance) =
        (&found, hindrance(plan, &constants, wish, &found));
    Ok(GrainAnswer {
        wait_s: dust.wait_s,
        powder_g_per_m2: dust.powder_g_per_m2,
        dustings: dust.dustings,
        dusting_min: dust.dusting_min,
        hot_plate_c: bake.hot_plate_c,
        bake_min: bake.bake_min,
        cover: statistics.cover,
        domes_per_mm2: statistics.domes_per_mm2,
        median_footprint_um: statistics.median_footprint_um,
        good_bake: *good_bake,
        hindrance,
    })
}

/// What stands in the way, and what was found to reach it.
fn hindrance(
    asked: &Plan,
    constants: &Constants,
    wish: GrainWish,
    found: &Trial,
) -> Option<Diagnostic> {
    let Trial { plan, statistics, good_bake, .. } = found;
    let coarseness = wish.coarseness(statistics);
    let warn = |field: &str, code, message: Sentence| Diagnostic::warning(field, code, message);
    if wish.met(statistics) {
        if *good_bake {
            return None;
        }
        let landed = dust::land(&plan.dust, &constants.dust);
        let baked = bake::bake(&plan.bake, plan.plate.thickness_mm, &constants.bake);
        let words = baked.verdict(&landed, &constants.bake).1;
        return Some(warn("bake.hot_plate_c", "grain.no_good_bake", words));
    }
    let size = quantity(statistics.median_footprint_um, Unit::Um, 0);
    let cover = quantity(statistics.cover, Unit::Percent, 0);
    let message = if statistics.cover < wish.cover - COVER_WITHIN {
        sentence!("Whatever is raised, so fine a grain covers no more than {}.", cover)
    } else if statistics.cover > wish.cover + COVER_WITHIN {
        sentence!("Whatever is set, so coarse a grain covers {} at least.", cover)
    } else if coarseness < 1.0 {
        sentence!("The coarsest that this powder gives at that cover is {}.", size)
    } else {
        sentence!("The finest that this powder gives at that cover is {}.", size)
    };
    let (field, code) = if coarseness < 1.0 {
        ("dust.median_um", "grain.powder_too_fine")
    } else {
        ("dust.median_um", "grain.powder_too_coarse")
    };
    let hint = other_powder(asked, constants, wish, coarseness);
    Some(warn(field, code, message).hint(hint))
}

/// A powder with which the wish is met, found by laying its grounds, in words.
fn other_powder(plan: &Plan, constants: &Constants, wish: GrainWish, coarseness: f64) -> Sentence {
    let powder = field("dust.median_um").expect("a field of the plan");
    let word = if coarseness < 1.0 { "coarser" } else { "finer" };
    let mut powders: Vec<Plan> = Vec::new();
    for beyond in BEYOND {
        let times =
            if coarseness < 1.0 { beyond / coarseness } else { 1.0 / (beyond * coarseness) };
        let mut other = plan.clone();
        other.dust.median_um =
            libm::round(plan.dust.median_um * times).clamp(powder.min, powder.max);
        powders.push(other);
    }
    powders.dedup();
    // One that needs another wait alone goes before any that needs another bake.
    let by_wait = powders.iter().map(|other| Search::new(other, constants, wish).by_wait());
    let mut few: Vec<&Plan> = powders.iter().skip(2).step_by(2).collect();
    few.extend(powders.last());
    few.dedup();
    let by_all = few.into_iter().map(|other| Search::new(other, constants, wish).nearest());
    let found = by_wait.chain(by_all).find(|t| t.good_bake && wish.met(&t.statistics));
    if let Some(Trial { plan: Plan { dust, bake, .. }, .. }) = found {
        let wait = if dust.wait_s > 0.0 {
            sentence!("a wait of {} s", dust.wait_s)
        } else {
            "no wait".into()
        };
        return sentence!(
            "A {} powder, of {}, reaches it: with {}, {} in the box, and {} on the hot plate at {}.",
            word,
            quantity(dust.median_um, Unit::Um, 0),
            wait,
            quantity(dust.dusting_min, Unit::Minutes, 1),
            quantity(bake.bake_min, Unit::Minutes, 1),
            quantity(bake.hot_plate_c, Unit::Celsius, 0)
        );
    }
    let end = quantity(if coarseness < 1.0 { powder.max } else { powder.min }, Unit::Um, 0);
    sentence!("No {} powder was found that reaches it, as far as one of {}.", word, end)
}
