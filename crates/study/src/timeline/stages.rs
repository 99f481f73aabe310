//! The stages of a plate's work, in their order.

use plan::{Plan, Tool, Work as Piece};
use plate::{Plate, View};
use serde::Serialize;

/// A kind of work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, ts_rs::TS)]
#[ts(rename = "StageWork")]
#[serde(rename_all = "snake_case")]
pub enum Work {
    /// The lines are bitten through the ground they were drawn in; minutes in the bath.
    Lines,
    /// The coarse grains fall while the plate waits outside; seconds.
    Wait,
    /// Dust falls on the plate; minutes.
    Dust,
    /// The ground melts; minutes on the hot plate.
    Bake,
    /// One bite; minutes in the bath.
    Bite,
    /// Ground and varnish are washed off.
    Clean,
    /// Strokes and passages of one tool, one after another.
    Tool,
    /// Ink is dabbed on, from left to right.
    Ink,
    /// The cloth wipes, from left to right.
    Wipe,
    /// The sheet is lifted off, from left to right.
    Print,
}

/// One stage of the work.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, ts_rs::TS)]
#[ts(rename = "WatchStage")]
pub struct Stage {
    /// What is done.
    pub work: Work,
    /// The state it belongs to, from 1.
    pub state: usize,
    /// Which ground of the plate it belongs to, from 1; 0 when it is none's.
    pub ground: usize,
    /// Which bite under that ground, from 1; 0 when it is none.
    pub bite: usize,
    /// Lightest and darkest value that lie open in a bite.
    pub open: (usize, usize),
    /// What is worked with by hand.
    pub tool: Option<Tool>,
    /// How long it takes: seconds for the wait, minutes for dust, bake and bites, strokes and passages
    /// for a tool, else 1, the way across.
    pub length: f64,
    /// Pieces of later work done before it, and when it is over.
    #[serde(skip)]
    pub(super) pieces: (usize, usize),
}

impl Stage {
    fn new(work: Work, state: usize, ground: usize, length: f64) -> Self {
        Self { work, state, ground, bite: 0, open: (0, 0), tool: None, length, pieces: (0, 0) }
    }
}

/// The stages of a plate's work up to the print of the state that is looked at: lines etched before, the
/// first ground, then each state's work. What is not printed ([`View::printed`]) is left out.
#[must_use]
pub fn stages(plate: &Plate, view: &View) -> Vec<Stage> {
    let (plan, state) = (plate.plan(), plate.state_of(view));
    let mut stages = Vec::new();
    if plate.bites_lines(view.printed) {
        let minutes = plan.lines.as_ref().map_or(0.0, |lines| lines.bite_min);
        stages.push(Stage::new(Work::Lines, 1, 0, minutes));
    }
    if !plate.prints_lines_alone(view.printed) {
        let last = plan.bites.len();
        let bites = plan.bites.iter().enumerate();
        let bites: Vec<_> = bites.map(|(i, bite)| (bite.bite_min, (i + 1, last))).collect();
        ground_stages(&plan.dust, &plan.bake, &bites, (1, 1), &mut stages);
        later_stages(plan, state, &mut stages);
    }
    stages.extend([Work::Ink, Work::Wipe, Work::Print].map(|work| Stage::new(work, state, 0, 1.0)));
    stages
}

fn ground_stages(
    dust: &plan::Dust,
    bake: &plan::Bake,
    bites: &[(f64, (usize, usize))],
    (state, ground): (usize, usize),
    stages: &mut Vec<Stage>,
) {
    let stage = |work, length| Stage::new(work, state, ground, length);
    stages.extend([
        stage(Work::Wait, dust.wait_s),
        stage(Work::Dust, dust.dusting_min * dust.dustings),
        stage(Work::Bake, bake.bake_min),
    ]);
    stages.extend((1..).zip(bites).map(|(bite, &(minutes, open))| Stage {
        bite,
        open,
        ..stage(Work::Bite, minutes)
    }));
    stages.push(stage(Work::Clean, 1.0));
}

fn later_stages(plan: &Plan, state: usize, stages: &mut Vec<Stage>) {
    let last = plan.bites.len();
    let (mut piece, mut ground) = (0, 1);
    for state in plan.line_numbers(state) {
        let mut held = None;
        for work in &plan.states[state - 2].work {
            let from = stages.len();
            match work {
                Piece::Tool(work) if held == Some(work.tool) => {
                    // The same tool goes on.
                    if let Some(stage) = stages.last_mut() {
                        stage.length += 1.0;
                        stage.pieces.1 = piece + 1;
                    }
                }
                Piece::Tool(work) => {
                    held = Some(work.tool);
                    let tool = Some(work.tool);
                    stages.push(Stage { tool, ..Stage::new(Work::Tool, state, 0, 1.0) });
                }
                Piece::Ground(recipe) => {
                    held = None;
                    ground += 1;
                    let open = |value: u32| (value as usize).min(last);
                    let bites: Vec<_> = recipe
                        .bites
                        .iter()
                        .map(|b| (b.bite_min, (open(b.from_value), open(b.to_value))))
                        .collect();
                    ground_stages(&recipe.dust, &recipe.bake, &bites, (state, ground), stages);
                }
            }
            for stage in &mut stages[from..] {
                stage.pieces = (piece, piece + 1);
            }
            piece += 1;
        }
    }
}
