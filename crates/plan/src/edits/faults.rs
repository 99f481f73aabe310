//! Mending a fault: the state that does it, laid over the fault's own place.

use super::Edited;
use super::states::{add_ground, add_work};
use crate::MAX_VALUES;
use crate::diagnostic::Diagnostic;
use crate::fault_steps::FaultMend;
use crate::faults::Fault;
use crate::sentence;
use crate::states::{LaterBite, Tool, ToolWork, Work};
use crate::tools::TOOLS;
use crate::types::Plan;

/// Twelve directions, evenly round.
const ROUND: [[f64; 2]; 12] = {
    const H: f64 = 0.866_025_403_784_438_6;
    [
        [1.0, 0.0],
        [H, 0.5],
        [0.5, H],
        [0.0, 1.0],
        [-0.5, H],
        [-H, 0.5],
        [-1.0, 0.0],
        [-H, -0.5],
        [-0.5, -H],
        [0.0, -1.0],
        [0.5, -H],
        [H, -0.5],
    ]
};
/// Half the width of what is worked over a streak, mm: it wanders (see the docs of faults).
const STREAK_HALF_MM: f64 = 4.0;
/// Minutes under a new ground to begin with, as where the hand lays one.
const MENDING_MIN: f64 = 4.0;

/// Adds the work that mends fault `number` (from 1) to the plan's last state; after the first proof that begins one.
///
/// # Errors
/// A diagnostic when there is no such fault, no state mends it, or there is no room for more work.
pub fn mend_fault(plan: &Plan, number: usize) -> Result<Edited, Diagnostic> {
    let Some(fault) = plan.faults.get(number.wrapping_sub(1)) else {
        let said = sentence!("There is no fault {}; this plan has {}.", number, plan.faults.len());
        return Err(Diagnostic::error("faults", "unknown", said));
    };
    let last_state = plan.states.len() + 1;
    let outline_mm = outline(plan, fault);
    match fault.kind.mended_by() {
        FaultMend::Burnisher => {
            let take_um = TOOLS
                .iter()
                .find(|info| info.tool == Tool::Burnisher)
                .map_or(1.0, |info| info.take_um);
            let width_mm = (fault.radius_mm / 4.0).clamp(0.5, 3.0);
            let work = ToolWork {
                tool: Tool::Burnisher,
                passage: true,
                width_mm,
                take_um,
                points_mm: outline_mm,
            };
            add_work(plan, last_state, usize::MAX, Work::Tool(work))
        }
        FaultMend::Ground => {
            let bite =
                LaterBite { bite_min: MENDING_MIN, from_value: 1, to_value: MAX_VALUES as u32 };
            add_ground(plan, last_state, bite, outline_mm)
        }
        FaultMend::Bites | FaultMend::Print => {
            Err(Diagnostic::error("faults", "no_state", fault.kind.mended_by().sentence()))
        }
    }
}

/// Round the place of a fault, mm on the print, kept on the plate.
fn outline(plan: &Plan, fault: &Fault) -> Vec<[f64; 2]> {
    let (width_mm, height_mm) = (plan.plate.width_mm, plan.plate.height_mm);
    let tenth = |mm: f64| (mm * 10.0).round() / 10.0;
    let on_plate =
        |x: f64, y: f64| [tenth(x.min(width_mm).max(0.0)), tenth(y.min(height_mm).max(0.0))];
    let (x, y, r) = (fault.x_mm, fault.y_mm, fault.radius_mm);
    if fault.kind.runs_down() {
        let (left, right) = (x - STREAK_HALF_MM, x + STREAK_HALF_MM);
        return vec![
            on_plate(left, y),
            on_plate(right, y),
            on_plate(right, y + r),
            on_plate(left, y + r),
        ];
    }
    ROUND.iter().map(|[across, down]| on_plate(x + r * across, y + r * down)).collect()
}
