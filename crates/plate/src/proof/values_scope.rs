//! What the table of values speaks of, in a sentence: which state, whose minutes, and where on the plate.

use super::Plate;
use super::later::Step;

/// The later grounds of a line of work, the first of them being the plate's second.
const ORDINALS: [&str; 5] = ["second", "third", "fourth", "fifth", "sixth"];

impl Plate {
    /// What the numbers of [`Plate::values`] hold for; empty where the plate has neither lines nor
    /// later states, so that they simply hold.
    #[must_use]
    pub fn values_scope(&self) -> String {
        let steps = &self.line.steps;
        let mut away = Vec::new();
        if self.plan.lines.is_some() {
            away.push("from the etched lines");
        }
        if steps.iter().any(|step| matches!(step, Step::Tool { .. })) {
            away.push("from wherever a tool has worked");
        }
        let away = match away.len() {
            0 => String::new(),
            _ => format!(", away {}", away.join(" and ")),
        };
        if self.plan.states.is_empty() {
            return match away.as_str() {
                "" => String::new(),
                away => format!("Tones of the ground{away}."),
            };
        }
        let state = self.state_words();
        let grounds = self.later_grounds();
        if grounds == 0 {
            return format!("{state}: minutes and tones of the first ground{away}.");
        }
        let outlined = steps
            .iter()
            .any(|step| matches!(step, Step::Ground(later) if later.outline().is_some()));
        let inside = match (outlined, grounds) {
            (false, _) => "",
            (true, 1) => ", inside the passage it was laid for",
            (true, _) => ", where all of these lie open",
        };
        let grounds = grounds_words(grounds);
        format!(
            "{state}: minutes of the first ground; depth, L* and density after the bites under the {grounds} as well{inside}{away}."
        )
    }

    fn state_words(&self) -> String {
        match self.state.checked_sub(2).and_then(|at| self.plan.states.get(at)) {
            None => "State 1, the first proof".to_owned(),
            Some(state) if state.name.is_empty() => format!("State {}", self.state),
            Some(state) => format!("State {}, “{}”", self.state, state.name),
        }
    }
}

fn grounds_words(count: usize) -> String {
    match ORDINALS.get(..count) {
        Some([only]) => format!("{only} ground"),
        Some([before @ .., last]) => format!("{} and {last} grounds", before.join(", ")),
        _ => format!("{count} later grounds"),
    }
}
