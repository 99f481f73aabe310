//! Later states: the line of work on the copper up to each, after the first proof.

use super::later_ground::{Later, LaterRoom, LaterScratch, Setting};
use super::work::{WorkedCopper, everywhere, use_tool};
use super::{GroundRecipe, Job, LaidGround, SAMPLE, place};
use crate::bite::bite_again;
use crate::constants::Constants;
use crate::grid::Grid;
use crate::handwork::{self as work, Mark};
use plan::{Plan, Tool, ToolWork, Work};
use std::sync::Arc;

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

/// The work of one line of states.
#[derive(Clone, Default)]
pub(super) struct WorkLine {
    pub(super) steps: Vec<Arc<Step>>,
}

/// Burnished over and over, copper feels what lies this many times as far away; the rest is nothing.
const MOST_FELT: usize = 3;
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

    /// Bite of each value, paper first, under all grounds of this line together, µm on open copper.
    pub(super) fn doses_um(&self, values: usize) -> Vec<f64> {
        let mut all = vec![0.0; values];
        for step in &self.steps {
            if let Step::Ground(later) = &**step {
                for (sum, &dose_um) in all.iter_mut().zip(&later.dose_um) {
                    *sum += dose_um;
                }
            }
        }
        all
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
        // These two ask how the copper lies round about.
        let asking = |step: &&Arc<Step>| {
            matches!(***step, Step::Tool { tool: Tool::Burnisher | Tool::Hammer, .. })
        };
        let times = self.steps.iter().filter(asking).count().min(MOST_FELT);
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
