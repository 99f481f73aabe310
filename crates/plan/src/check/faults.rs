//! Checks of the faults.

use super::said::out_of_range;
use crate::diagnostic::Diagnostic;
use crate::faults::{FAULT_PLACE_MM, FAULT_RADIUS_MM, FAULT_SIZE, FaultPlace, MAX_FAULTS};
use crate::sentence;
use crate::sentence::Unit;
use crate::types::Plan;

pub(super) fn check(plan: &Plan, found: &mut Vec<Diagnostic>) {
    let count = plan.faults.len();
    if count > MAX_FAULTS {
        let message = sentence!("The plan has {} faults; it can have {}.", count, MAX_FAULTS);
        found.push(Diagnostic::error("faults", "count", message).hint("Take some out."));
    }
    for (i, fault) in plan.faults.iter().enumerate() {
        let key = |part: &str| format!("faults.{i}.{part}");
        let label = |what: &str| format!("{what} of fault {}", i + 1);
        let name = label("The size");
        found.extend(out_of_range(&key("size"), &name, fault.size, Unit::Count, FAULT_SIZE));
        let place = fault.kind.place();
        if place != FaultPlace::Plate {
            let (name, mm) = (label("The reach"), fault.radius_mm);
            found.extend(out_of_range(&key("radius_mm"), &name, mm, Unit::Mm, FAULT_RADIUS_MM));
        }
        if place == FaultPlace::Spot {
            for (part, what, mm) in [
                ("x_mm", "The place from the left", fault.x_mm),
                ("y_mm", "The place from the top", fault.y_mm),
            ] {
                found.extend(out_of_range(&key(part), &label(what), mm, Unit::Mm, FAULT_PLACE_MM));
            }
        }
        let bites = plan.bites.len();
        if fault.kind.has_bite() && !(1..=bites).contains(&(fault.from_bite as usize)) {
            let message = sentence!(
                "Fault {} comes before bite {}; the plan has {}.",
                i + 1,
                fault.from_bite,
                bites
            );
            found.push(
                Diagnostic::error(key("from_bite"), "no_such_bite", message)
                    .hint(sentence!("Choose one from 1 to {}.", bites)),
            );
        }
    }
}
