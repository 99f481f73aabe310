//! The search: over the wait, the minutes in the box and the bake, each with the powder that gives the wanted cover.

use super::dusting::dusting_for_cover;
use super::{GrainSize, GrainWish};
use plan::{Field, Plan, field};
use plate::bake::{self, Baked, Doneness};
use plate::constants::Constants;
use plate::dust;
use plate::ground::statistics::TABLE_TILES;
use plate::ground::{Ground, GroundStatistics, TileCache};
use std::collections::BTreeMap;

/// Off by no more than this no other setting is tried: a step of the wait moves the grain by more.
const NEAR_ENOUGH: f64 = 0.03;
/// A setting that a printmaker would rather leave is changed if the grain comes nearer by more than this.
const WORTH: f64 = 0.02;
/// What a bake that does not hold the grain counts for: more than any grain is off.
const BAD_BAKE: f64 = 10.0;
/// Laid once more with the powder corrected, where the cover is off by more than this.
const COVER_AGAIN: f64 = 0.01;
/// Bakes that stand for all good ones in the first look over the whole.
const BAKES: usize = 5;
/// A grain by which bakes are told apart, µm³: one of 40 µm.
const TYPICAL_UM3: f64 = 33_510.0;

/// What may be set, what is changed most gladly before the rest: the control's steps of the first stride of the search
/// round a place, and the most it goes to, where that is less than the plan allows. No bake is proposed that would darken the
/// rosin and fill the room with its fumes (common practice, no source).
const AXES: [(&str, i32, f64); 4] = [
    ("dust.wait_s", 16, f64::INFINITY),
    ("dust.dusting_min", 16, f64::INFINITY),
    ("bake.bake_min", 8, 30.0),
    ("bake.hot_plate_c", 8, 150.0),
];

const WAITS_S: [f64; 7] = [0.0, 15.0, 45.0, 100.0, 220.0, 450.0, 900.0];
const FEW_WAITS_S: [f64; 4] = [0.0, 40.0, 150.0, 600.0];
const BOX_MIN: [f64; 4] = [0.5, 2.0, 10.0, 60.0];
const FEW_BOX_MIN: [f64; 3] = [0.5, 4.0, 60.0];
const HOT_PLATES_C: [f64; 5] = [105.0, 115.0, 125.0, 138.0, 150.0];
const BAKES_MIN: [f64; 6] = [2.0, 4.0, 7.0, 12.0, 20.0, 30.0];

/// A ground laid on trial.
#[derive(Clone)]
pub(super) struct Trial {
    pub(super) plan: Plan,
    pub(super) statistics: GroundStatistics,
    pub(super) good_bake: bool,
    /// [`GrainWish::miss`].
    pub(super) miss: f64,
}

impl Trial {
    fn score(&self) -> f64 {
        self.miss + if self.good_bake { 0.0 } else { BAD_BAKE }
    }
}

pub(super) struct Search<'a> {
    asked: &'a Plan,
    constants: &'a Constants,
    wish: GrainWish,
    /// Cover laid against the cover expected, in the last ground laid.
    laid_per_expected: f64,
    /// What was laid, by its settings in hundredths.
    tried: BTreeMap<[i64; AXES.len()], Trial>,
    axes: [&'static Field; AXES.len()],
}

impl<'a> Search<'a> {
    pub(super) fn new(asked: &'a Plan, constants: &'a Constants, wish: GrainWish) -> Self {
        let axes = AXES.map(|(key, ..)| field(key).expect("a field of the plan"));
        Self { asked, constants, wish, laid_per_expected: 1.0, tried: BTreeMap::new(), axes }
    }

    /// The nearest grain there is: by the wait alone if that will do, else with the minutes in the box, else with the
    /// bake, too. Measured as the table measures it.
    pub(super) fn nearest(&mut self) -> Trial {
        let mut found = self.by_dust();
        if found.score() > NEAR_ENOUGH {
            let mut starts = Vec::new();
            for bake in self.bakes() {
                for dusting_min in FEW_BOX_MIN {
                    for wait_s in FEW_WAITS_S {
                        let dusted = self.dusted(dusting_min, wait_s);
                        starts.push(Plan { bake: bake.clone(), ..dusted });
                    }
                }
            }
            found = better(found, self.best_of(starts, 4, 2));
        }
        self.lay(&found.plan, TABLE_TILES)
    }

    /// The nearest by wait and powder alone, measured as the table measures it.
    pub(super) fn by_wait(&mut self) -> Trial {
        let found = self.waiting();
        self.lay(&found.plan, TABLE_TILES)
    }

    fn waiting(&mut self) -> Trial {
        let own_min = self.asked.dust.dusting_min;
        let waits = WAITS_S.map(|wait_s| self.dusted(own_min, wait_s));
        self.best_of(waits.to_vec(), 1, 1)
    }

    /// The nearest by wait and minutes in the box, with the plan's own bake.
    fn by_dust(&mut self) -> Trial {
        let found = self.waiting();
        if found.score() <= NEAR_ENOUGH || !found.good_bake {
            return found;
        }
        let mut starts = Vec::new();
        for dusting_min in BOX_MIN {
            starts.extend(FEW_WAITS_S.map(|wait_s| self.dusted(dusting_min, wait_s)));
        }
        better(found, self.best_of(starts, 2, 2))
    }

    fn dusted(&self, dusting_min: f64, wait_s: f64) -> Plan {
        let mut plan = self.asked.clone();
        (plan.dust.dusting_min, plan.dust.wait_s) = (dusting_min, wait_s);
        plan
    }

    /// Lays the grounds of all these, and goes on from the nearest of them over so many axes.
    fn best_of(&mut self, starts: Vec<Plan>, axes: usize, go_on_from: usize) -> Trial {
        let mut trials: Vec<Trial> = starts.iter().map(|plan| self.trial(plan)).collect();
        trials.sort_by(|a, b| a.score().total_cmp(&b.score()));
        trials.truncate(go_on_from);
        let ends = trials.into_iter().map(|trial| self.settle(trial, axes));
        ends.min_by(|a, b| a.score().total_cmp(&b.score())).expect("one start at least")
    }

    /// From a place to the nearest round it: strides along each axis, halved until they are the controls' own steps.
    fn settle(&mut self, from: Trial, axes: usize) -> Trial {
        let mut best = from;
        let mut halvings = 0;
        loop {
            let mut moved = false;
            let mut strides = false;
            for (axis, &(_, first, _)) in AXES.iter().enumerate().take(axes) {
                let stride = first >> halvings;
                if stride == 0 {
                    continue;
                }
                strides = true;
                for by in [stride, -stride] {
                    let trial = self.trial(&self.beside(&best.plan, axis, by));
                    if trial.score() < best.score() {
                        (best, moved) = (trial, true);
                        break;
                    }
                }
            }
            if !strides || best.score() < 1e-3 {
                return best;
            }
            halvings += u32::from(!moved);
        }
    }

    /// A plan so many steps of a control away.
    fn beside(&self, plan: &Plan, axis: usize, steps: i32) -> Plan {
        let field = self.axes[axis];
        let on = libm::round((field.get)(plan) / field.step) + f64::from(steps);
        let mut plan = plan.clone();
        (field.set)(&mut plan, (on * field.step).clamp(field.min, field.max.min(AXES[axis].2)));
        plan
    }

    /// Good bakes from the shortest to the longest by how far they spread a grain; the plan's own among them.
    fn bakes(&self) -> Vec<plan::Bake> {
        let mut all = Vec::new();
        let own_c = self.asked.bake.hot_plate_c;
        for hot_plate_c in [own_c].into_iter().chain(HOT_PLATES_C) {
            all.extend(BAKES_MIN.map(|bake_min| plan::Bake {
                hot_plate_c,
                bake_min,
                ..self.asked.bake.clone()
            }));
        }
        let spread_um = |baked: &Baked| baked.last_step().footprint.of_volume(TYPICAL_UM3).0;
        let mut good: Vec<(f64, plan::Bake)> = good_bakes(self.asked, self.constants, all)
            .map(|(bake, baked)| (spread_um(&baked), bake))
            .collect();
        good.sort_by(|a, b| a.0.total_cmp(&b.0));
        let last = good.len().saturating_sub(1);
        let mut few: Vec<plan::Bake> = Vec::new();
        for i in 0..BAKES.min(good.len()) {
            few.push(good[i * last / (BAKES - 1)].1.clone());
        }
        few.push(self.asked.bake.clone());
        few
    }

    /// The ground of these settings with the powder for the wanted cover.
    fn trial(&mut self, plan: &Plan) -> Trial {
        let key = self.axes.map(|field| libm::round(100.0 * (field.get)(plan)) as i64);
        if let Some(trial) = self.tried.get(&key) {
            return trial.clone();
        }
        let mut trial = self.lay(&self.with_powder(plan), 1);
        if (trial.statistics.cover - self.wish.cover).abs() > COVER_AGAIN {
            // More exactly, by what this very ground had; a plan may raise no more than so much.
            let again = self.with_powder(plan);
            if again != trial.plan {
                let again = self.lay(&again, 1);
                if again.score() < trial.score() {
                    trial = again;
                }
            }
        }
        self.tried.insert(key, trial.clone());
        trial
    }

    /// With the powder whose expected cover is right, by what the last ground had beside what was expected of it.
    fn with_powder(&self, plan: &Plan) -> Plan {
        let mut plan = plan.clone();
        // A dusting never raises more than the plan asked about.
        plan.dust.powder_g_per_m2 = self.asked.dust.powder_g_per_m2;
        let wanted = (self.wish.cover / self.laid_per_expected).min(0.99);
        (plan.dust.powder_g_per_m2, plan.dust.dustings) =
            dusting_for_cover(&plan, self.constants, wanted);
        plan
    }

    /// The ground of a plan, measured on so many tiles square.
    fn lay(&mut self, plan: &Plan, tiles: i32) -> Trial {
        let landed = dust::land(&plan.dust, &self.constants.dust);
        let baked = bake::bake(&plan.bake, plan.plate.thickness_mm, &self.constants.bake);
        let ground = Ground::new(&landed, &baked, plan.seed);
        let statistics = ground.statistics(&mut TileCache::new(0), tiles);
        let expected = baked.expected_cover(&landed, &self.constants.bake);
        if expected > 0.01 && statistics.cover > 0.01 {
            self.laid_per_expected = (statistics.cover / expected).clamp(0.8, 1.25);
        }
        Trial {
            good_bake: baked.verdict(&landed, &self.constants.bake).0 == Doneness::Good,
            miss: self.wish.miss(&statistics),
            statistics,
            plan: plan.clone(),
        }
    }
}

/// Those of `bakes` that hold a plan's dust as grains, with what comes of them.
pub(crate) fn good_bakes(
    plan: &Plan,
    constants: &Constants,
    bakes: Vec<plan::Bake>,
) -> impl Iterator<Item = (plan::Bake, Baked)> {
    let landed = dust::land(&plan.dust, &constants.dust);
    bakes.into_iter().filter_map(move |bake| {
        let baked = bake::bake(&bake, plan.plate.thickness_mm, &constants.bake);
        let (doneness, _) = baked.verdict(&landed, &constants.bake);
        (doneness == Doneness::Good).then_some((bake, baked))
    })
}

/// The first, which changes less, unless the other is nearer by what is worth a change.
fn better(first: Trial, other: Trial) -> Trial {
    if other.score() < first.score() - WORTH { other } else { first }
}

impl GrainWish {
    /// Size against the wish: above 1 the grain is too coarse.
    pub(super) fn coarseness(&self, found: &GroundStatistics) -> f64 {
        match self.size {
            GrainSize::FootprintUm(wanted) => found.median_footprint_um.max(1e-3) / wanted,
            GrainSize::DomesPerMm2(wanted) => wanted / found.domes_per_mm2.max(1e-6),
        }
    }
}
