//! Later states: the chain of work on the copper after the first proof.
//!
//! The only place where strokes and outlines, given on the print, are turned over onto the copper.

use super::distance::distances;
use super::kept::Tiles;
use super::{GroundRecipe, Job, LaidGround, SAMPLE, place};
use crate::bite::{AgainScratch, bite_again, rate};
use crate::constants::Constants;
use crate::grid::Grid;
use crate::ground::{Dome, Extent};
use crate::handwork::{self as work, LocalScratch, Mark};
use crate::resist::ResistScratch;
use plan::{LaterGround, Plan, Tool, ToolWork, Work};
use std::sync::Arc;

/// Longest stretch of a later bite over which the bath is taken to stay as it is, min.
const STRETCH_MIN: f64 = 2.0;
/// cm³ of copper in a layer of 1 µm over 1 cm².
const CM3_PER_CM2_UM: f64 = 1e-4;

/// One piece of work, ready for any window.
pub(super) enum Step {
    /// A tool along a mark.
    Tool { tool: Tool, mark: Mark, take_um: f32 },
    /// A later ground and its bites.
    Ground(Later),
}

impl Step {
    /// Both are work of one tool.
    pub(super) fn same_tool(&self, other: &Self) -> bool {
        matches!(
            (self, other),
            (Self::Tool { tool: a, .. }, Self::Tool { tool: b, .. }) if a == b
        )
    }
}

/// A later ground with everything that follows from it.
pub(super) struct Later {
    ground: Arc<LaidGround>,
    /// What is left open; `None` for the whole plate.
    outline: Option<Mark>,
    /// Bite of every value on open copper, µm; paper first.
    dose_um: Vec<f64>,
}

/// Buffers of the later work, kept from window to window.
#[derive(Default)]
pub(super) struct LaterScratch {
    domes: Vec<Dome>,
    distance_um: Vec<f32>,
    class: Vec<u8>,
    resist: ResistScratch,
    again: AgainScratch,
    local: LocalScratch,
}

/// The work of one line of states.
#[derive(Clone, Default)]
pub(super) struct WorkLine {
    pub(super) steps: Vec<Arc<Step>>,
}

/// The work on copper in a window, in place.
pub struct WorkedCopper<'a> {
    /// The window's raster.
    pub grid: &'a Grid,
    /// Depth of copper gone, µm, one number per pixel.
    pub depth_um: &'a mut [f32],
    /// How far tools have lowered the lands, µm, one number per pixel.
    pub plane_um: &'a mut [f32],
}

/// Burnished over and over, copper feels what lies this many times as far away; the rest is nothing.
const MOST_FELT: usize = 3;
/// Something done to the copper of a sample after everything else.
pub type Then<'a> = &'a mut dyn FnMut(&mut WorkedCopper<'_>);

/// Mark of a tool's work. `number` tells strokes apart, so that each has its own furrows.
fn mark_of(plan: &Plan, work: &ToolWork, number: u32) -> Mark {
    let points = work.points_mm.iter().map(|&point| place::turned(plan, point)).collect();
    let width_um = (work.width_mm * 1000.0) as f32;
    let seed = plan.seed ^ number.wrapping_mul(0x9e37_79b9);
    if work.passage {
        Mark::passage(points, width_um, seed)
    } else {
        Mark::stroke(points, width_um, seed)
    }
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
    fn new(
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

    /// What is left open; `None` for the whole plate.
    pub(super) fn outline(&self) -> Option<&Mark> {
        self.outline.as_ref()
    }

    fn reach_um(&self, etch_factor: f64) -> f32 {
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
    let last = plan.bites.len();
    let mut dose_um = vec![0.0; last + 1];
    for bite in &recipe.bites {
        let open = (bite.from_value as usize).min(last)..=(bite.to_value as usize).min(last);
        let stretches = libm::ceil(bite.bite_min / STRETCH_MIN).max(1.0);
        let mut fresh_before_um = 0.0;
        for stretch in 1..=stretches as u32 {
            let until_min = bite.bite_min * f64::from(stretch) / stretches;
            let fresh_um = rate::untiring_bite_um(bath, until_min, c);
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

/// The work up to each state of a job, the first (none) included. `lay` lays grounds.
pub(super) fn lines(
    job: &Job,
    constants: &Constants,
    lay: &mut dyn FnMut(GroundRecipe) -> Arc<LaidGround>,
) -> Arc<[WorkLine]> {
    let mut lines = vec![WorkLine::default()];
    for state in &job.plan.states {
        // A sound plan always goes on from an earlier state.
        let before = (state.from_state as usize).clamp(1, lines.len());
        let mut line = lines[before - 1].clone();
        for work in &state.work {
            let number = line.steps.len() as u32 + 1;
            line.steps.push(Arc::new(match work {
                Work::Tool(work) => Step::Tool {
                    tool: work.tool,
                    mark: mark_of(&job.plan, work, number),
                    take_um: work.take_um as f32,
                },
                Work::Ground(recipe) => {
                    let ground = lay(GroundRecipe::of_later(recipe, &job.plan, constants));
                    Step::Ground(Later::new(job, recipe, constants, ground))
                }
            }));
        }
        lines.push(line);
    }
    lines.into()
}

impl WorkLine {
    /// The grounds laid on the way.
    pub(super) fn grounds(&self) -> impl Iterator<Item = &Arc<LaidGround>> {
        self.steps.iter().filter_map(|step| match &**step {
            Step::Ground(later) => Some(&later.ground),
            Step::Tool { .. } => None,
        })
    }

    /// There is work after the first proof.
    pub(super) fn is_worked(&self) -> bool {
        !self.steps.is_empty()
    }

    /// There are bites under a later ground.
    pub(super) fn has_later_ground(&self) -> bool {
        self.grounds().next().is_some()
    }

    /// How much round a window its copper must be known, pixels.
    pub(super) fn margin_px(&self, px_um: f32, constants: &Constants) -> usize {
        let mut margin = 0;
        for step in &self.steps {
            if let Step::Ground(later) = &**step {
                let reach_um = later.reach_um(constants.bite.etch_factor);
                margin += libm::ceilf(reach_um / px_um) as usize + 2;
            }
        }
        let burnished =
            |step: &&Arc<Step>| matches!(***step, Step::Tool { tool: Tool::Burnisher, .. });
        let times = self.steps.iter().filter(burnished).count().min(MOST_FELT);
        margin + times * work::flow_margin_px(px_um, &constants.work)
    }

    /// What each step does at a place of one pixel: the take of a tool, µm; 1 where a ground is open.
    pub(super) fn amounts(&self, place: &Grid) -> Vec<f32> {
        let share_of = |mark: &Mark| {
            let mut share = 0.0;
            mark.each_pixel(place, |_, _, reached| share = reached.share);
            share
        };
        self.steps
            .iter()
            .map(|step| match &**step {
                Step::Tool { mark, take_um, .. } => take_um * share_of(mark),
                Step::Ground(later) => later.outline().map_or(1.0, share_of),
            })
            .collect()
    }

    /// Does all of the work on the copper of one window, whose pixels have these values.
    pub(super) fn work_on(
        &self,
        setting: &Setting<'_>,
        value: &[u8],
        copper: &mut WorkedCopper<'_>,
        room: &mut LaterRoom<'_>,
    ) {
        for step in &self.steps {
            match &**step {
                Step::Tool { tool, mark, take_um } => {
                    let local = &mut room.scratch.local;
                    use_tool(*tool, mark, *take_um, setting.constants, local, copper);
                }
                Step::Ground(later) => later.bite(setting, value, copper, room),
            }
        }
    }

    /// Does to the sample of one value what all of the plate gets: bites under later grounds, and of
    /// tools what `local` says (nothing, where it is empty): for each step its take in µm.
    pub(super) fn work_on_sample(
        &self,
        value: usize,
        local: &[f32],
        constants: &Constants,
        copper: &mut WorkedCopper<'_>,
        scratch: &mut LaterScratch,
    ) {
        let grid = copper.grid;
        for (i, step) in self.steps.iter().enumerate() {
            let amount = local.get(i).copied();
            match &**step {
                Step::Tool { tool, .. } => {
                    if let Some(take_um) = amount.filter(|&take_um| take_um > 0.0) {
                        let mark = everywhere(i as u32);
                        use_tool(*tool, &mark, take_um, constants, &mut scratch.local, copper);
                    }
                }
                Step::Ground(later) => {
                    if amount.is_some_and(|share| share <= 0.0) {
                        continue;
                    }
                    scratch.class.clear();
                    scratch.class.resize(grid.len(), value as u8);
                    let corner: Vec<f32>;
                    let under_um = if grid.width == SAMPLE.width {
                        later.ground.sample_um()
                    } else {
                        corner = later.ground.sample_corner_um(grid.width);
                        &corner
                    };
                    bite_again(
                        under_um,
                        &scratch.class,
                        &later.dose_um,
                        grid.px_um,
                        constants.bite.etch_factor,
                        grid.width,
                        grid.height,
                        &mut scratch.again,
                        copper.depth_um,
                    );
                }
            }
        }
    }
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

/// A mark that covers the whole sample.
#[must_use]
pub fn everywhere(seed: u32) -> Mark {
    let far = 1e6;
    Mark::passage(vec![[-far, -far], [far, -far], [far, far], [-far, far]], 0.0, seed)
}

/// Works one mark into the copper of a window.
pub fn use_tool(
    tool: Tool,
    mark: &Mark,
    take_um: f32,
    constants: &Constants,
    scratch: &mut LocalScratch,
    copper: &mut WorkedCopper<'_>,
) {
    let c = &constants.work;
    let WorkedCopper { grid, depth_um, plane_um } = copper;
    match tool {
        Tool::Scraper => {
            // A single light pass cannot leave furrows deeper than it cuts.
            let furrow_um = (c.furrow_depth_um as f32).min(take_um);
            work::scrape(mark, take_um, furrow_um, grid, c, depth_um, plane_um);
        }
        Tool::Point | Tool::Polish => work::scrape(mark, take_um, 0.0, grid, c, depth_um, plane_um),
        Tool::Burnisher => work::burnish(mark, take_um, grid, c, scratch, depth_um, plane_um),
    }
}

impl Later {
    fn bite(
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
            reach_um,
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
