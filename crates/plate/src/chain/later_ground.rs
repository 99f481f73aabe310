//! A later ground: what it opens, how its bites go, and the copper that they leave.

use super::distance::distances;
use super::kept::Tiles;
use super::work::WorkedCopper;
use super::{Job, LaidGround, place};
use crate::bite::{AgainScratch, bite_again, rate};
use crate::constants::Constants;
use crate::ground::{Dome, Extent};
use crate::handwork::{LocalScratch, Mark};
use crate::resist::ResistScratch;
use plan::{LaterGround, Plan, Work};
use std::sync::Arc;

/// Longest stretch of a later bite over which the bath is taken to stay as it is, min.
const STRETCH_MIN: f64 = 2.0;
/// cm³ of copper in a layer of 1 µm over 1 cm².
const CM3_PER_CM2_UM: f64 = 1e-4;

/// A later ground with everything that follows from it.
pub struct Later {
    pub(super) ground: Arc<LaidGround>,
    /// What is left open; `None` for the whole plate.
    outline: Option<Mark>,
    /// Bite of every value on open copper, µm; paper first.
    pub(super) dose_um: Vec<f64>,
}

/// Buffers of the later work, kept from window to window.
#[derive(Default)]
pub(super) struct LaterScratch {
    domes: Vec<Dome>,
    distance_um: Vec<f32>,
    pub(super) class: Vec<u8>,
    resist: ResistScratch,
    pub(super) again: AgainScratch,
    pub(super) local: LocalScratch,
}

/// What the work of a window is told of its plate.
pub(super) struct Setting<'a> {
    pub(super) constants: &'a Constants,
    pub(super) extent: Extent,
    /// Number of later grounds in the plan.
    pub(super) grounds: usize,
}

impl<'a> Setting<'a> {
    pub(super) fn of(plan: &Plan, constants: &'a Constants, extent: Extent) -> Self {
        Self { constants, extent, grounds: grounds_in(plan) }
    }
}

/// Where later grounds are laid and bitten.
pub(super) struct LaterRoom<'a> {
    pub(super) tiles: &'a mut Tiles,
    pub(super) scratch: &'a mut LaterScratch,
}

/// Share of the plate inside an outline (the shoelace formula), 0–1.
fn share_inside(plan: &Plan, outline_mm: &[[f64; 2]]) -> f64 {
    let plate = plan.plate.width_mm * plan.plate.height_mm;
    let mut twice = 0.0;
    let mut before = outline_mm.last().copied().unwrap_or([0.0; 2]);
    for &here in outline_mm {
        twice += before[0] * here[1] - here[0] * before[1];
        before = here;
    }
    (0.5 * twice.abs() / plate).min(1.0)
}

impl Later {
    pub(super) fn new(
        job: &Job,
        recipe: &LaterGround,
        constants: &Constants,
        ground: Arc<LaidGround>,
    ) -> Self {
        let plan = &job.plan;
        let outline = (!recipe.outline_mm.is_empty()).then(|| {
            let turned = |&point| place::turned(plan, point);
            Mark::passage(recipe.outline_mm.iter().map(turned).collect(), 0.0, recipe.seed)
        });
        let dose_um = bathe(job, recipe, constants, &ground);
        Self { ground, outline, dose_um }
    }

    /// Bite of every value on open copper, µm; paper first.
    #[must_use]
    pub fn dose_um(&self) -> &[f64] {
        &self.dose_um
    }

    /// What is left open, on the copper; `None` for the whole plate.
    #[must_use]
    pub fn outline(&self) -> Option<&Mark> {
        self.outline.as_ref()
    }

    pub(super) fn reach_um(&self, etch_factor: f64) -> f32 {
        (self.dose_um.iter().fold(0.0_f64, |a, &b| a.max(b)) / etch_factor) as f32
    }
}

/// Bites under a later ground: each opens its range of values, the bath tires as copper goes into it. The
/// copper is taken as flat, which is near enough for the bath. Dose of every value, µm, paper first.
fn bathe(job: &Job, recipe: &LaterGround, constants: &Constants, ground: &LaidGround) -> Vec<f64> {
    let (plan, c, bath) = (&job.plan, &constants.bite, &recipe.bath);
    let inside =
        if recipe.outline_mm.is_empty() { 1.0 } else { share_inside(plan, &recipe.outline_mm) };
    let cm2 = plan.plate.width_mm * plan.plate.height_mm / 100.0 * inside;
    let grams_per_um = cm2 * CM3_PER_CM2_UM * c.copper_g_per_cm3;
    let mut copper = bath.copper_g_per_l;
    let open_share = ground.profile().open_share();
    let last = plan.bites.len();
    let mut dose_um = vec![0.0; last + 1];
    for bite in &recipe.bites {
        let open = (bite.from_value as usize).min(last)..=(bite.to_value as usize).min(last);
        let stretches = libm::ceil(bite.bite_min / STRETCH_MIN).max(1.0);
        let mut fresh_before_um = 0.0;
        for stretch in 1..=stretches as u32 {
            let until_min = bite.bite_min * f64::from(stretch) / stretches;
            let fresh_um = rate::untiring_bite_um(bath, until_min, open_share, c);
            let factor = rate::copper_factor(bath.strength_be, copper, c);
            let gained = factor * (fresh_um - fresh_before_um);
            fresh_before_um = fresh_um;
            let mut grams = 0.0;
            for value in open.clone() {
                let dose = dose_um[value];
                let share = job.picture.shares().get(value).copied().unwrap_or(0.0);
                let deeper = ground.profile().mean_depth_um(dose + gained, c.etch_factor)
                    - ground.profile().mean_depth_um(dose, c.etch_factor);
                grams += share * grams_per_um * deeper;
                dose_um[value] = dose + gained;
            }
            copper += grams / bath.volume_l;
        }
    }
    dose_um
}

/// Number of grounds laid in a plan's later states.
pub(super) fn grounds_in(plan: &Plan) -> usize {
    let works = plan.states.iter().flat_map(|state| &state.work);
    works.filter(|work| matches!(work, Work::Ground(_))).count()
}

impl Later {
    pub(super) fn bite(
        &self,
        setting: &Setting<'_>,
        value: &[u8],
        copper: &mut WorkedCopper<'_>,
        room: &mut LaterRoom<'_>,
    ) {
        let (grid, scratch) = (copper.grid, &mut *room.scratch);
        let etch_factor = setting.constants.bite.etch_factor;
        // Values inside the outline keep their number plus one; 0 is stopped out.
        scratch.class.clear();
        match &self.outline {
            None => scratch.class.extend(value.iter().map(|&value| value + 1)),
            Some(outline) => {
                scratch.class.resize(grid.len(), 0);
                let class = &mut scratch.class;
                outline.each_pixel(grid, |column, row, _| {
                    let at = row * grid.width + column;
                    class[at] = value[at] + 1;
                });
            }
        }
        let mut doses = vec![0.0];
        doses.extend_from_slice(&self.dose_um);
        if scratch.class.iter().all(|&class| doses[usize::from(class)] <= 0.0) {
            return;
        }
        let reach_um = self.reach_um(etch_factor) + grid.px_um;
        distances(
            room.tiles.of_later(self.ground.recipe(), setting.grounds),
            self.ground.ground(),
            setting.extent,
            grid,
            (reach_um, None),
            &mut scratch.domes,
            &mut scratch.resist,
            &mut scratch.distance_um,
            &mut |_, _| {},
        );
        bite_again(
            &scratch.distance_um,
            &scratch.class,
            &doses,
            grid.px_um,
            etch_factor,
            grid.width,
            grid.height,
            &mut scratch.again,
            copper.depth_um,
        );
    }
}
