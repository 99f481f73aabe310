//! Plates worked after the first proof.
#![allow(dead_code, reason = "each test file uses its own part")]

use super::{Everywhere, Seen, plate_with};
use plan::{LaterBite, LaterGround, Plan, State, Tool, ToolWork, Work};
use plate::grid::Grid;
use plate::light::lightness;

/// The default plan with its values, and one state after the first.
pub(crate) fn with_work(work: Vec<Work>) -> Plan {
    let state = State { name: String::new(), from_state: 1, work };
    Plan { states: vec![state], ..Plan::default() }
}

/// A tool over a rectangle of the print, mm, as much of it as a window needs.
pub(crate) fn passage(tool: Tool, take_um: f64) -> Work {
    let points_mm = vec![[20.0, 20.0], [60.0, 20.0], [60.0, 60.0], [20.0, 60.0]];
    Work::Tool(ToolWork { tool, passage: true, width_mm: 0.0, take_um, points_mm })
}

/// A new ground over the whole plate that opens all values for so many minutes.
pub(crate) fn new_ground(minutes: f64) -> Work {
    let plan = Plan::default();
    Work::Ground(LaterGround {
        seed: 8,
        dust: plan.dust,
        bake: plan.bake,
        bath: plan.bath,
        outline_mm: Vec::new(),
        bites: vec![LaterBite { bite_min: minutes, from_value: 0, to_value: 12 }],
    })
}

/// A window well inside the passage: 1.6 mm square.
pub(crate) fn inside() -> Grid {
    Grid { left_px: 9000, top_px: 9000, width: 400, height: 400, px_um: 4.0 }
}

pub(crate) fn mean(values: &[f32]) -> f64 {
    values.iter().map(|&v| f64::from(v)).sum::<f64>() / values.len() as f64
}

pub(crate) fn plate(plan: &Plan, value: u8) -> Seen {
    plate_with(plan, Everywhere::value(plan.bites.len(), value))
}

pub(crate) fn printed_l(plan: &Plan, value: u8) -> f64 {
    lightness(mean(&plate(plan, value).look().print_window(&inside()).pixels))
}
