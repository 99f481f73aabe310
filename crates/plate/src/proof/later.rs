//! Later states: the chain of work on the copper after the first proof.
//!
//! The only place where strokes and outlines, given on the print, are turned over onto the copper.

use super::summary::Swatch;
use super::{Plate, SAMPLE, SAMPLE_PX_UM, ValueAreas, WindowFields, window};
use crate::bite::{AgainScratch, ResistProfile, bite_again, rate};
use crate::constants::Constants;
use crate::grid::Grid;
use crate::ground::{Dome, Ground, TileCache};
use crate::handwork::{self as work, LocalScratch, Mark};
use crate::resist::ResistScratch;
use crate::{bake, dust};
use plan::{LaterGround, Plan, Tool, ToolWork, Work};
use std::sync::Arc;

/// Domes of one later ground kept at hand.
const LATER_DOMES_KEPT: usize = 1_000_000;
/// Longest stretch of a later bite over which the bath is taken to stay as it is, min.
const STRETCH_MIN: f64 = 2.0;
/// cm³ of copper in a layer of 1 µm over 1 cm².
const CM3_PER_CM2_UM: f64 = 1e-4;

/// One piece of work, ready for any window.
pub(super) enum Step {
    /// A tool along a mark.
    Tool { tool: Tool, mark: Mark, take_um: f32 },
    /// A later ground and its bites.
    Ground(Box<Later>),
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
    recipe: LaterGround,
    ground: Ground,
    tiles: TileCache,
    /// Distance under its resin over the sample that stands for every value.
    sample: Arc<Vec<f32>>,
    /// What is left open; `None` for the whole plate.
    outline: Option<Mark>,
    /// Bite of every value on open copper, µm; paper first.
    pub(super) dose_um: Vec<f64>,
    /// Rate at the start of each bite, µm/min.
    pub(super) rate_um_per_min: Vec<f64>,
    /// Copper given to the bath, g.
    pub(super) dissolved_g: f64,
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
#[derive(Default)]
pub(super) struct Line {
    pub(super) steps: Vec<Step>,
    /// Grounds of other lines, for when they are looked at again.
    spare: Vec<Later>,
    scratch: LaterScratch,
}

/// Burnished over and over, copper feels what lies this many times as far away; the rest is nothing.
const MOST_FELT: usize = 3;
/// Samples are cut from the plate this far from the left and top of the copper, µm.
const SAMPLE_PLACE_UM: f32 = 2000.0;
/// Most grounds kept for other lines.
const MOST_SPARE: usize = 4;

/// Number of a plan's last state.
pub(super) fn last_state(plan: &Plan) -> usize {
    plan.states.len() + 1
}

/// Both plans have the same states.
pub(super) fn same_states(a: &Plan, b: &Plan) -> bool {
    a.states == b.states
}

/// Something done to the copper of a sample after everything else.
pub(super) type Then<'a> = &'a mut dyn FnMut(&Grid, &Constants, &mut WindowFields);

/// A place on the print, mm, as one on the copper, µm.
pub(super) fn turned(plan: &Plan, [x_mm, y_mm]: [f64; 2]) -> [f32; 2] {
    [((plan.plate.width_mm - x_mm) * 1000.0) as f32, (y_mm * 1000.0) as f32]
}

/// Mark of a tool's work. `number` tells strokes apart, so that each has its own furrows.
fn mark_of(plan: &Plan, work: &ToolWork, number: u32) -> Mark {
    let points = work.points_mm.iter().map(|&point| turned(plan, point)).collect();
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
        plan: &Plan,
        recipe: &LaterGround,
        constants: &Constants,
        areas: &dyn ValueAreas,
        known: Option<Self>,
    ) -> Self {
        let (ground, mut tiles, sample) = match known {
            Some(known) => (known.ground, known.tiles, known.sample),
            None => {
                let landed = dust::land(&recipe.dust, &constants.dust);
                let baked = bake::bake(&recipe.bake, plan.plate.thickness_mm, &constants.bake);
                let ground = Ground::new(&landed, &baked, recipe.seed);
                let mut tiles = TileCache::new(LATER_DOMES_KEPT);
                let sample = Arc::new(window::sample_distances(&ground, &mut tiles));
                (ground, tiles, sample)
            }
        };
        tiles.on_plate(Some(super::size_um(plan)));
        let outline = (!recipe.outline_mm.is_empty()).then(|| {
            let points = recipe.outline_mm.iter().map(|&point| turned(plan, point)).collect();
            Mark::passage(points, 0.0, recipe.seed)
        });
        let mut later = Self {
            recipe: recipe.clone(),
            ground,
            tiles,
            sample,
            outline,
            dose_um: vec![0.0; plan.bites.len() + 1],
            rate_um_per_min: Vec::new(),
            dissolved_g: 0.0,
        };
        later.bathe(plan, constants, areas);
        later
    }

    /// Bites: each opens its range of values, the bath tires as copper goes into it. The copper is
    /// reckoned as on flat ground, which is near enough for the bath.
    fn bathe(&mut self, plan: &Plan, constants: &Constants, areas: &dyn ValueAreas) {
        let c = &constants.bite;
        let bath = &self.recipe.bath;
        let profile = ResistProfile::new(&self.sample, SAMPLE_PX_UM);
        let open_share = profile.open_share();
        let inside =
            if self.outline.is_some() { share_inside(plan, &self.recipe.outline_mm) } else { 1.0 };
        let cm2 = plan.plate.width_mm * plan.plate.height_mm / 100.0 * inside;
        let grams_per_um = cm2 * CM3_PER_CM2_UM * c.copper_g_per_cm3;
        let mut copper = bath.copper_g_per_l;
        let last = self.dose_um.len() - 1;
        for bite in &self.recipe.bites {
            self.rate_um_per_min.push(rate::rate_um_per_min(bath, copper, open_share, c));
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
                    let dose = self.dose_um[value];
                    let share = areas.shares().get(value).copied().unwrap_or(0.0);
                    let deeper = profile.mean_depth_um(dose + gained, c.etch_factor)
                        - profile.mean_depth_um(dose, c.etch_factor);
                    grams += share * grams_per_um * deeper;
                    self.dose_um[value] = dose + gained;
                }
                self.dissolved_g += grams;
                copper += grams / bath.volume_l;
            }
        }
    }

    /// The same ground from dust to domes.
    fn same_ground(&self, recipe: &LaterGround) -> bool {
        self.recipe.seed == recipe.seed
            && self.recipe.dust == recipe.dust
            && self.recipe.bake == recipe.bake
    }

    /// What is left open; `None` for the whole plate.
    pub(super) fn outline(&self) -> Option<&Mark> {
        self.outline.as_ref()
    }

    fn reach_um(&self, etch_factor: f64) -> f32 {
        (self.dose_um.iter().fold(0.0_f64, |a, &b| a.max(b)) / etch_factor) as f32
    }
}

impl Line {
    /// Bite of each value, paper first, under all grounds of this line together, µm on open copper.
    pub(super) fn doses_um(&self, values: usize) -> Vec<f64> {
        let mut all = vec![0.0; values];
        for step in &self.steps {
            if let Step::Ground(later) = step {
                for (sum, &dose_um) in all.iter_mut().zip(&later.dose_um) {
                    *sum += dose_um;
                }
            }
        }
        all
    }

    /// These pieces of work, from the second state on. Grounds of `before` that are the same are taken
    /// over; `keep` says whether the constants under them are.
    pub(super) fn new<'a>(
        plan: &Plan,
        pieces: impl IntoIterator<Item = &'a Work>,
        constants: &Constants,
        areas: &dyn ValueAreas,
        before: Self,
        keep: bool,
    ) -> Self {
        let mut known: Vec<Later> = before
            .steps
            .into_iter()
            .filter_map(|step| match step {
                Step::Ground(later) => Some(*later),
                Step::Tool { .. } => None,
            })
            .chain(before.spare)
            .filter(|_| keep)
            .collect();
        let mut steps = Vec::new();
        let mut count = 0;
        for work in pieces {
            count += 1;
            steps.push(match work {
                Work::Tool(work) => Step::Tool {
                    tool: work.tool,
                    mark: mark_of(plan, work, count),
                    take_um: work.take_um as f32,
                },
                Work::Ground(recipe) => {
                    let at = known.iter().position(|later| later.same_ground(recipe));
                    let known = at.map(|at| known.remove(at));
                    Step::Ground(Box::new(Later::new(plan, recipe, constants, areas, known)))
                }
            });
        }
        known.truncate(MOST_SPARE);
        Self { steps, spare: known, scratch: before.scratch }
    }

    /// How much round a window its copper must be known, pixels.
    pub(super) fn margin_px(&self, px_um: f32, constants: &Constants) -> usize {
        let mut margin = 0;
        for step in &self.steps {
            if let Step::Ground(later) = step {
                let reach_um = later.reach_um(constants.bite.etch_factor);
                margin += libm::ceilf(reach_um / px_um) as usize + 2;
            }
        }
        let burnished = |step: &&Step| matches!(step, Step::Tool { tool: Tool::Burnisher, .. });
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
            .map(|step| match step {
                Step::Tool { mark, take_um, .. } => take_um * share_of(mark),
                Step::Ground(later) => later.outline().map_or(1.0, share_of),
            })
            .collect()
    }

    /// Does all of the work on the depths of one window.
    pub(super) fn work_on(
        &mut self,
        grid: &Grid,
        constants: &Constants,
        fields: &mut WindowFields,
    ) {
        let Self { steps, scratch, .. } = self;
        fields.plane_um.clear();
        fields.plane_um.resize(grid.len(), 0.0);
        for step in steps {
            match step {
                Step::Tool { tool, mark, take_um } => {
                    use_tool(*tool, mark, *take_um, grid, constants, scratch, fields);
                }
                Step::Ground(later) => later.bite(grid, constants, scratch, fields),
            }
        }
    }

    /// Does to the sample of one value what all of the plate gets: bites under later grounds, and of
    /// tools what `local` says (nothing, where it is empty): for each step its take in µm.
    pub(super) fn work_on_sample(
        &mut self,
        value: usize,
        local: &[f32],
        side_px: usize,
        constants: &Constants,
        fields: &mut WindowFields,
    ) {
        let Self { steps, scratch, .. } = self;
        let grid = Grid { width: side_px, height: side_px, ..SAMPLE };
        fields.plane_um.clear();
        fields.plane_um.resize(grid.len(), 0.0);
        for (i, step) in steps.iter_mut().enumerate() {
            let amount = local.get(i).copied();
            match step {
                Step::Tool { tool, .. } => {
                    if let Some(take_um) = amount.filter(|&take_um| take_um > 0.0) {
                        let mark = everywhere(i as u32);
                        use_tool(*tool, &mark, take_um, &grid, constants, scratch, fields);
                    }
                }
                Step::Ground(later) => {
                    if amount.is_some_and(|share| share <= 0.0) {
                        continue;
                    }
                    scratch.class.clear();
                    scratch.class.resize(grid.len(), value as u8);
                    let sample: Vec<f32>;
                    let under_um = if side_px == SAMPLE.width {
                        later.sample.as_slice()
                    } else {
                        sample = corner(&later.sample, side_px);
                        &sample
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
                        &mut fields.depth_um,
                    );
                }
            }
        }
    }
}

/// The upper left corner of the sample.
pub(super) fn corner(sample: &[f32], side_px: usize) -> Vec<f32> {
    sample
        .chunks_exact(SAMPLE.width)
        .take(side_px)
        .flat_map(|row| row[..side_px].iter().copied())
        .collect()
}

/// A mark that covers the whole sample.
pub(super) fn everywhere(seed: u32) -> Mark {
    let far = 1e6;
    Mark::passage(vec![[-far, -far], [far, -far], [far, far], [-far, far]], 0.0, seed)
}

/// Works one mark into the copper of a window.
pub(super) fn use_tool(
    tool: Tool,
    mark: &Mark,
    take_um: f32,
    grid: &Grid,
    constants: &Constants,
    scratch: &mut LaterScratch,
    fields: &mut WindowFields,
) {
    let c = &constants.work;
    let (depth, plane) = (&mut fields.depth_um, &mut fields.plane_um);
    match tool {
        Tool::Scraper => {
            // A single light pass cannot leave furrows deeper than it cuts.
            let furrow_um = (c.furrow_depth_um as f32).min(take_um);
            work::scrape(mark, take_um, furrow_um, grid, c, depth, plane);
        }
        Tool::Point | Tool::Polish => work::scrape(mark, take_um, 0.0, grid, c, depth, plane),
        Tool::Burnisher => {
            work::burnish(mark, take_um, grid, c, &mut scratch.local, depth, plane);
        }
    }
}

impl Later {
    fn bite(
        &mut self,
        grid: &Grid,
        constants: &Constants,
        scratch: &mut LaterScratch,
        fields: &mut WindowFields,
    ) {
        let etch_factor = constants.bite.etch_factor;
        // Values inside the outline keep their number plus one; 0 is stopped out.
        scratch.class.clear();
        match &self.outline {
            None => scratch.class.extend(fields.value.iter().map(|&value| value + 1)),
            Some(outline) => {
                scratch.class.resize(grid.len(), 0);
                let (class, value) = (&mut scratch.class, &fields.value);
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
        window::distances(
            &mut self.tiles,
            &self.ground,
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
            &mut fields.depth_um,
        );
    }
}

impl Plate {
    /// Number of the state that is looked at: 1 is the first, before any later work.
    #[must_use]
    pub fn state(&self) -> usize {
        self.state
    }

    /// Looks at another state of the plate: windows, proofs and values are then those of it. A
    /// number beyond the last state means the last.
    pub fn look_at(&mut self, number: usize) {
        let number = number.clamp(1, self.plan.states.len() + 1);
        if number != self.state {
            self.state = number;
            self.make_line(true);
        }
    }

    /// Brings the line of work up to the state looked at.
    pub(super) fn make_line(&mut self, keep: bool) {
        let before = std::mem::take(&mut self.line);
        let areas = Arc::clone(&self.areas);
        let pieces = self.plan.line_of(self.state).into_iter().flat_map(|state| &state.work);
        self.line = Line::new(&self.plan, pieces, &self.constants, areas.as_ref(), before, keep);
    }

    /// A printed sample of one value as it is worked where samples are cut from the plate.
    pub(super) fn swatch_at_sample(&mut self, value: usize) -> Swatch {
        if !self.worked() {
            return self.swatch(self.session.dose_um[value]);
        }
        let at_px = (SAMPLE_PLACE_UM / SAMPLE_PX_UM) as i64;
        let place = Grid { left_px: at_px, top_px: at_px, width: 1, height: 1, ..SAMPLE };
        let amounts = self.line.amounts(&place);
        self.swatch_worked(value, &amounts, SAMPLE.width, &mut |_, _, _| {})
    }

    /// Grounds after the first under which the state has been bitten.
    pub(super) fn later_grounds(&self) -> usize {
        self.line.steps.iter().filter(|step| matches!(step, Step::Ground(_))).count()
    }

    /// The state has work after the first proof.
    pub(super) fn worked(&self) -> bool {
        !self.line.steps.is_empty()
    }
}
