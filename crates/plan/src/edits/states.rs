//! Edits of the states and of the work in them.
//!
//! States are numbered from 1, the first proof; each later one names the state it goes on from, and
//! that number follows when states come and go. Work is numbered from 1 within its state.

use super::path::as_worked;
use super::{Edited, sound};
use crate::diagnostic::Diagnostic;
use crate::sentence;
use crate::states::{LaterBite, LaterGround, State, Work};
use crate::types::Plan;

/// Puts in a state as number `number`; one more than there are makes it the last. It goes on from an
/// earlier one, by the numbers as they are before.
///
/// # Errors
/// A diagnostic when there is no such place in the list, or the plan would not be sound with it.
pub fn insert_state(plan: &Plan, number: usize, state: State) -> Result<Edited, Diagnostic> {
    let last = plan.states.len() + 1;
    if !(2..=last + 1).contains(&number) {
        let said = sentence!("A state can be put in as number 2 to {}, not {}.", last + 1, number);
        return Err(Diagnostic::error("states", "place", said));
    }
    let mut next = plan.clone();
    for later in &mut next.states {
        if later.from_state as usize >= number {
            later.from_state += 1;
        }
    }
    next.states.insert(number - 2, state);
    shown(plan, next, number)
}

/// Begins a state without work that goes on from state `from`.
///
/// # Errors
/// As [`insert_state`].
pub fn add_state(plan: &Plan, from: usize) -> Result<Edited, Diagnostic> {
    known(plan, from)?;
    let state = State { from_state: from as u32, ..State::default() };
    insert_state(plan, plan.states.len() + 2, state)
}

/// Takes a state out, with all that go on from it.
///
/// # Errors
/// A diagnostic when there is no such state, or it is the first.
pub fn remove_state(plan: &Plan, number: usize) -> Result<Edited, Diagnostic> {
    later(plan, number)?;
    let going = gone_with(plan, number);
    let kept: Vec<usize> =
        (2..=plan.states.len() + 1).filter(|number| !going.contains(number)).collect();
    let from = plan.states[number - 2].from_state as usize;
    let at = kept.iter().position(|kept| *kept == from).map_or(1, |place| place + 2);
    let mut edited = shown(plan, in_order(plan, &kept), at)?;
    if let [_, others @ ..] = &going[..]
        && let Some((last, others)) = others.split_last()
    {
        let others: String = others.iter().map(|number| format!("{number}, ")).collect();
        edited.notices.push(format!(
            "State {number} is removed, and what went on from it: {others}{last}. “Undo” brings them back."
        ));
    }
    Ok(edited)
}

/// A state and all that go on from it, near or far, in their order.
#[must_use]
pub fn gone_with(plan: &Plan, number: usize) -> Vec<usize> {
    let mut gone = vec![number];
    for (i, state) in plan.states.iter().enumerate() {
        if gone.contains(&(state.from_state as usize)) {
            gone.push(i + 2);
        }
    }
    gone
}

/// Gives state `from` the number `to`; those between make room.
///
/// # Errors
/// A diagnostic when there is no such state, or one would come before the state it goes on from.
pub fn move_state(plan: &Plan, from: usize, to: usize) -> Result<Edited, Diagnostic> {
    later(plan, from)?;
    later(plan, to)?;
    let mut order: Vec<usize> = (2..=plan.states.len() + 1).collect();
    let moved = order.remove(from - 2);
    order.insert(to - 2, moved);
    for (place, number) in order.iter().enumerate() {
        let before = plan.states[number - 2].from_state as usize;
        if before != 1 && !order[..place].contains(&before) {
            let said =
                sentence!("State {} goes on from state {}, so it comes after it.", *number, before);
            return Err(Diagnostic::error("states", "order", said));
        }
    }
    shown(plan, in_order(plan, &order), to)
}

/// Does a piece of work in a state, as number `place` or as the last one where there are fewer. After the
/// first proof it begins a new state. A drawn path is brought to whole tenths of a millimetre, and to no
/// more points than a plan may have.
///
/// # Errors
/// A diagnostic when there is no such state, or the plan would not be sound with it.
pub fn add_work(plan: &Plan, state: usize, place: usize, work: Work) -> Result<Edited, Diagnostic> {
    known(plan, state)?;
    let mut begun;
    let (plan_with, state) = if state == 1 {
        begun = plan.clone();
        begun.states.push(State { from_state: 1, ..State::default() });
        (&begun, plan.states.len() + 2)
    } else {
        (plan, state)
    };
    let mut next = plan_with.clone();
    let all = &mut next.states[state - 2].work;
    all.insert((place.max(1) - 1).min(all.len()), worked(work));
    shown(plan, next, state)
}

/// Lays a new ground in a state as [`add_work`] does, its dust, bake and bath as under the first one and
/// its grains elsewhere, with one bite inside an outline (empty for the whole plate).
///
/// # Errors
/// As [`add_work`].
pub fn add_ground(
    plan: &Plan,
    state: usize,
    bite: LaterBite,
    outline_mm: Vec<[f64; 2]>,
) -> Result<Edited, Diagnostic> {
    let ground = LaterGround {
        seed: plan.seed.wrapping_add(state as u32),
        dust: plan.dust.clone(),
        bake: plan.bake.clone(),
        bath: plan.bath.clone(),
        outline_mm,
        bites: vec![bite],
    };
    add_work(plan, state, usize::MAX, Work::Ground(ground))
}

/// Takes a piece of work out.
///
/// # Errors
/// A diagnostic when there is none such.
pub fn remove_work(plan: &Plan, state: usize, place: usize) -> Result<Edited, Diagnostic> {
    work_known(plan, state, place)?;
    let mut next = plan.clone();
    next.states[state - 2].work.remove(place - 1);
    shown(plan, next, state)
}

/// Does a piece of work earlier or later in its state.
///
/// # Errors
/// A diagnostic when there is none such.
pub fn move_work(plan: &Plan, state: usize, from: usize, to: usize) -> Result<Edited, Diagnostic> {
    work_known(plan, state, from)?;
    work_known(plan, state, to)?;
    let mut next = plan.clone();
    let all = &mut next.states[state - 2].work;
    let work = all.remove(from - 1);
    all.insert(to - 1, work);
    shown(plan, next, state)
}

/// Plans an edition as usual, where there is none yet.
#[must_use]
pub fn plan_edition(plan: &Plan) -> Edited {
    let edition = plan.edition.clone().unwrap_or_default();
    Edited::of(Plan { edition: Some(edition), ..plan.clone() })
}

/// Work with its path as a plan keeps it.
fn worked(mut work: Work) -> Work {
    match &mut work {
        Work::Tool(tool) => tool.points_mm = as_worked(&tool.points_mm),
        Work::Ground(ground) => ground.outline_mm = as_worked(&ground.outline_mm),
    }
    work
}

/// The plan with these of its states, in this order.
fn in_order(plan: &Plan, numbers: &[usize]) -> Plan {
    let now = |old: u32| {
        let place = numbers.iter().position(|number| *number == old as usize);
        place.map_or(1, |place| place as u32 + 2)
    };
    let states = numbers.iter().map(|number| {
        let state = &plan.states[number - 2];
        State { from_state: now(state.from_state), ..state.clone() }
    });
    Plan { states: states.collect(), ..plan.clone() }
}

fn shown(plan: &Plan, next: Plan, state: usize) -> Result<Edited, Diagnostic> {
    Ok(Edited { shown_state: Some(state), ..sound(plan, next)? })
}

fn known(plan: &Plan, number: usize) -> Result<(), Diagnostic> {
    let last = plan.states.len() + 1;
    if (1..=last).contains(&number) {
        Ok(())
    } else {
        let said =
            sentence!("There is no state {}; this plan has the states 1 to {}.", number, last);
        Err(Diagnostic::error("states", "unknown", said))
    }
}

fn later(plan: &Plan, number: usize) -> Result<(), Diagnostic> {
    known(plan, number)?;
    if number == 1 {
        let said = "State 1 is the plate as bitten under the first ground; it stays.";
        return Err(Diagnostic::error("states", "first", said));
    }
    Ok(())
}

fn work_known(plan: &Plan, state: usize, place: usize) -> Result<(), Diagnostic> {
    later(plan, state)?;
    let count = plan.states[state - 2].work.len();
    if (1..=count).contains(&place) {
        Ok(())
    } else {
        let said = sentence!(
            "State {} has {} pieces of work; there is none numbered {}.",
            state,
            count,
            place
        );
        Err(Diagnostic::error(format!("states.{}.work", state - 2), "unknown", said))
    }
}
