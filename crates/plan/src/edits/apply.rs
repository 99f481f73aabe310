//! The one place where numbers of values are changed for others.

use super::renumber::Renumbering;
use super::words;
use crate::areas::Area;
use crate::states::Work;
use crate::types::Plan;

/// Renumbers whatever in `plan` names a value (its bites and thresholds are those of the new list
/// already; `was` is the plan before) and tells what gave way.
pub(super) fn renumber(
    numbers: &Renumbering,
    was: &Plan,
    plan: &mut Plan,
    notices: &mut Vec<String>,
) {
    for area in &mut plan.areas {
        *area = Area {
            value: numbers.of(area.value),
            to_value: numbers.of(area.to_value),
            ..area.clone()
        };
    }
    words::areas(numbers, was, notices);
    let last = plan.bites.len() as u32;
    for fault in plan.faults.iter_mut().filter(|fault| fault.kind.has_bite()) {
        let bite = u8::try_from(fault.from_bite).map_or(0, |bite| numbers.of(bite));
        fault.from_bite = u32::from(bite).clamp(1, last.max(1));
    }
    for (i, state) in plan.states.iter_mut().enumerate() {
        state.work.retain_mut(|work| match work {
            Work::Tool(_) => true,
            Work::Ground(ground) => {
                let old = ground.clone();
                numbers.ground(ground);
                words::ground(numbers, i + 2, &old, ground, notices);
                !ground.bites.is_empty()
            }
        });
    }
}
