//! Differences between the states of two plans, and between their editions.

use super::{Difference, with_unit};
use crate::states::{Edition, State, Work};
use crate::types::Plan;

/// Adds what differs between states and editions.
pub(super) fn between(before: &Plan, after: &Plan, found: &mut Vec<Difference>) {
    let (was, is) = (&before.states, &after.states);
    for i in 0..was.len().max(is.len()) {
        let label = format!("State {}", i + 2);
        let key = format!("states.{i}");
        match (was.get(i), is.get(i)) {
            (Some(a), Some(b)) if *a != *b => {
                let (from, to) = (state_in_words(a), state_in_words(b));
                let sentence = sentence(a, b, i + 2);
                found.push(Difference::in_words(&key, &label, from, to, sentence));
            }
            (None, Some(b)) => {
                let to = state_in_words(b);
                let sentence = format!("state {} added ({to})", i + 2);
                found.push(Difference::in_words(&key, &label, String::new(), to, sentence));
            }
            (Some(a), None) => {
                let sentence = format!("state {} removed", i + 2);
                let from = state_in_words(a);
                found.push(Difference::in_words(&key, &label, from, String::new(), sentence));
            }
            _ => {}
        }
    }
    if before.edition != after.edition {
        let [from, to] = [before, after]
            .map(|plan| plan.edition.as_ref().map_or_else(String::new, edition_in_words));
        let sentence = match (from.is_empty(), to.is_empty()) {
            (true, _) => format!("edition planned ({to})"),
            (_, true) => "edition removed".to_owned(),
            _ if from == to => "edition changed".to_owned(),
            _ => format!("edition {from} → {to}"),
        };
        found.push(Difference::in_words("edition", "Edition", from, to, sentence));
    }
}

/// What changed inside a state: the one piece of work that came or went, where that is all.
fn sentence(a: &State, b: &State, number: usize) -> String {
    if a.from_state != b.from_state {
        return format!("state {number} goes on from state {} → {}", a.from_state, b.from_state);
    }
    let (short, long, verb) =
        if a.work.len() < b.work.len() { (a, b, "added") } else { (b, a, "removed") };
    if long.work.len() == short.work.len() + 1
        && let Some(at) = (0..long.work.len())
            .find(|&i| short.work.get(i).is_none_or(|work| *work != long.work[i]))
        && short.work[at..] == long.work[at + 1..]
    {
        return format!("state {number}: {} {verb}", work_in_words(&long.work[at]));
    }
    format!("state {number} changed ({} → {})", state_in_words(a), state_in_words(b))
}

fn state_in_words(state: &State) -> String {
    match state.work.as_slice() {
        [] => "no work".to_owned(),
        [one] => work_in_words(one),
        several => format!("{} pieces of work", several.len()),
    }
}

fn work_in_words(work: &Work) -> String {
    match work {
        Work::Tool(work) => {
            let tool = work.tool.info().name;
            let how = if work.passage { "over a passage" } else { "stroke" };
            format!("{tool}, {how}, {}", with_unit(work.take_um, "µm"))
        }
        Work::Ground(ground) => {
            let minutes: f64 = ground.bites.iter().map(|bite| bite.bite_min).sum();
            format!("new ground, {} in the bath", with_unit(minutes, "min"))
        }
    }
}

fn edition_in_words(edition: &Edition) -> String {
    let copper = if edition.steel_faced { "steel-faced" } else { "bare copper" };
    format!("{} impressions, {copper}", edition.impressions)
}
