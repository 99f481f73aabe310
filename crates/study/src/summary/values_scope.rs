//! What the table of values speaks of, in a sentence: which state, whose minutes, and where on the plate.

use plan::{Plan, Work};
use plate::{Plate, View};

/// The later grounds of a line of work, the first of them being the plate's second.
const ORDINALS: [&str; 5] = ["second", "third", "fourth", "fifth", "sixth"];

/// What the numbers of the [table of values](plate::Looking::values) hold for; empty where the plate has
/// neither lines nor later states, so that they simply hold.
#[must_use]
pub fn values_scope(plate: &Plate, view: &View) -> String {
    let (plan, state) = (plate.plan(), plate.state_of(view));
    let work: Vec<&Work> = plan.line_of(state).into_iter().flat_map(|state| &state.work).collect();
    let mut away = Vec::new();
    if plan.lines.is_some() {
        away.push("from the etched lines");
    }
    if work.iter().any(|work| matches!(work, Work::Tool(_))) {
        away.push("from wherever a tool has worked");
    }
    let away = match away.len() {
        0 => String::new(),
        _ => format!(", away {}", away.join(" and ")),
    };
    if plan.states.is_empty() {
        return match away.as_str() {
            "" => String::new(),
            away => format!("Tones of the ground{away}."),
        };
    }
    let words = state_words(plan, state);
    let grounds = work.iter().filter(|work| matches!(work, Work::Ground(_))).count();
    if grounds == 0 {
        return format!("{words}: minutes and tones of the first ground{away}.");
    }
    let outlined = work
        .iter()
        .any(|work| matches!(work, Work::Ground(ground) if !ground.outline_mm.is_empty()));
    let inside = match (outlined, grounds) {
        (false, _) => "",
        (true, 1) => ", inside the passage it was laid for",
        (true, _) => ", where all of these lie open",
    };
    let grounds = grounds_words(grounds);
    format!(
        "{words}: minutes of the first ground; depth, L* and density after the bites under the {grounds} as well{inside}{away}."
    )
}

fn state_words(plan: &Plan, state: usize) -> String {
    match state.checked_sub(2).and_then(|at| plan.states.get(at)) {
        None => "State 1, the first proof".to_owned(),
        Some(named) if named.name.is_empty() => format!("State {state}"),
        Some(named) => format!("State {state}, “{}”", named.name),
    }
}

fn grounds_words(count: usize) -> String {
    match ORDINALS.get(..count) {
        Some([only]) => format!("{only} ground"),
        Some([before @ .., last]) => format!("{} and {last} grounds", before.join(", ")),
        _ => format!("{count} later grounds"),
    }
}
