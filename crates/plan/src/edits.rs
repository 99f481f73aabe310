//! Edits of a plan's lists: bites, areas by hand, states and the work in them, lines. Each gives a plan as
//! sound as the one before, or a diagnostic why it can't be done.
//!
//! # Bites
//! A value has no name but its number, counted from the lightest. Whatever else names values (areas
//! by hand, gradations, what lies open under later grounds) must follow when the numbers move, or
//! copper changes that nobody touched. All of that is done here, by one renumbering:
//!
//! * A **removed** value's places take the next lighter value, as the picture's own tones do when a
//!   threshold goes: an area held at it is held at the next lighter one (at the paper if it was the
//!   first), a gradation begins or ends there. A bite under a later ground that opened nothing but
//!   that value goes with it, and the ground with its last bite.
//! * A **new** value takes its tones from the next lighter value, and so lies open under later
//!   grounds wherever that one does. Areas stay with the values they name; a gradation that runs
//!   across the new value has one strip more.
//! * A **moved** bite changes minutes, not numbers: the places that are stopped out third are still
//!   stopped out third.
//!
//! What had to give way is told in [`Edited::notices`].

mod apply;
mod areas;
mod faults;
mod lines;
mod path;
mod renumber;
mod states;
mod words;

pub use areas::{add_area, change_area, move_area, remove_area};
pub use faults::mend_fault;
pub use lines::{remove_lines, take_lines};
pub use path::thinned;
pub use states::{
    add_ground, add_state, add_work, gone_with, insert_state, move_state, move_work, plan_edition,
    remove_state, remove_work,
};

use crate::diagnostic::Diagnostic;
use crate::sentence;
use crate::sentence::{Unit, quantity};
use crate::types::{Bite, Plan};
use crate::{BITE_MIN, MAX_VALUES, MIN_VALUES};

use apply::renumber;
use renumber::Renumbering;

/// A plan after an edit.
#[derive(Clone, Debug, PartialEq)]
pub struct Edited {
    /// The plan. It is as sound as the one before: what was out of bounds still is.
    pub plan: Plan,
    /// What gave way, a sentence or two each; empty when nothing did.
    pub notices: Vec<String>,
    /// The state to be looked at now, where states or the work in one were edited.
    pub shown_state: Option<usize>,
}

impl Edited {
    /// A plan in which nothing gave way.
    fn of(plan: Plan) -> Self {
        Self { plan, notices: Vec::new(), shown_state: None }
    }

    fn telling(plan: Plan, notices: Vec<String>) -> Self {
        Self { plan, notices, shown_state: None }
    }
}

/// The edited plan, or the first of its problems where it has more than the plan before.
fn sound(before: &Plan, after: Plan) -> Result<Edited, Diagnostic> {
    let problems = after.problems();
    if problems.len() > before.problems().len() {
        let told = before.problems();
        let new = problems.into_iter().find(|problem| !told.contains(problem));
        return Err(new.unwrap_or_else(|| {
            Diagnostic::error("", "unsound", "The plan can’t be edited so as it is.")
        }));
    }
    Ok(Edited::of(after))
}

/// How far below the darkest threshold a new darkest value begins, L*, where there is room for it.
const DARKER_BY_L: f64 = 9.0;

/// Takes out the bite of value `value` (1 is the lightest). The other bites keep their minutes, so
/// darker values lie in the bath for that much less.
///
/// # Errors
/// A diagnostic when there is no such value, or too few would be left.
pub fn remove_bite(plan: &Plan, value: usize) -> Result<Edited, Diagnostic> {
    let last = plan.bites.len();
    known(value, last)?;
    if last <= MIN_VALUES {
        let said = sentence!("A plan has at least {} values beside the paper.", MIN_VALUES);
        return Err(Diagnostic::error("bites", "count", said));
    }
    let mut next = plan.clone();
    let gone = next.bites.remove(value - 1);
    if value <= next.picture.thresholds_l.len() {
        next.picture.thresholds_l.remove(value - 1);
    }
    let mut notices = Vec::new();
    if value < last {
        notices.push(format!(
            "Bite {value} is removed: the darker values lie in the bath for {} min less.",
            gone.bite_min
        ));
    }
    renumber(&Renumbering::removed(value, last), plan, &mut next, &mut notices);
    Ok(Edited::telling(next, notices))
}

/// Takes out values that hold nothing (numbers ascending, 1 the lightest), as long as two are left. Their minutes go to
/// the next bite, so that darker values lie in the bath as long as before.
#[must_use]
pub fn leave_out(plan: &Plan, empty: &[usize]) -> Edited {
    let mut next = plan.clone();
    let (mut notices, mut gone) = (Vec::new(), Vec::new());
    for &value in empty.iter().rev() {
        let Some(bite) = next.bites.get(value.wrapping_sub(1)).copied() else { continue };
        let Ok(edited) = remove_bite(&next, value) else { break };
        next = edited.plan;
        if let Some(after) = next.bites.get_mut(value - 1) {
            after.bite_min = (after.bite_min + bite.bite_min).min(BITE_MIN.1);
        }
        gone.insert(0, value);
    }
    if let Some(said) = words::left_out(&gone, plan.bites.len()) {
        notices.push(said);
    }
    Edited::telling(next, notices)
}

/// Adds a value that becomes number `value`; one more than there are makes a new darkest one. Its bite
/// is as long as that of the next lighter value, and it takes the darker half of that value's tones, or
/// the deepest of the picture.
///
/// # Errors
/// A diagnostic when there is no such place, no room for a further value, or no tone between its
/// neighbours.
pub fn insert_bite(plan: &Plan, value: usize) -> Result<Edited, Diagnostic> {
    let last = plan.bites.len();
    if last >= MAX_VALUES {
        let said = sentence!("A plan has at most {} values beside the paper.", MAX_VALUES);
        return Err(Diagnostic::error("bites", "count", said));
    }
    if value != last + 1 {
        known(value, last)?;
    }
    let beside = value.saturating_sub(2).min(last.saturating_sub(1));
    let bite = plan.bites.get(beside).copied().unwrap_or(Bite { bite_min: 1.0 });
    let levels = &plan.picture.thresholds_l;
    let place = (value - 1).min(levels.len());
    let lighter = if place == 0 { 100.0 } else { levels[place - 1] };
    let level = match levels.get(place) {
        Some(&darker) => 0.5 * (lighter + darker),
        None => lighter - DARKER_BY_L.min(0.5 * lighter),
    };
    let darker = levels.get(place).copied().unwrap_or(-f64::EPSILON);
    let fits = |level: &f64| *level > darker && (*level < lighter || place == 0);
    let tenth = (level * 10.0).round() / 10.0;
    let Some(level) = [tenth, level].into_iter().find(fits) else {
        let l = |l| quantity(l, Unit::Lightness, 2);
        let said = sentence!(
            "There is no tone left between {} and {} for another value.",
            l(lighter),
            l(darker.max(0.0))
        );
        return Err(Diagnostic::error("picture.thresholds_l", "no_room", said)
            .hint("Move where the values beside it begin, then add it."));
    };
    let mut next = plan.clone();
    next.bites.insert(value - 1, bite);
    next.picture.thresholds_l.insert(place, level);
    let mut notices = Vec::new();
    if value <= last {
        notices.push(format!(
            "There is a new bite {value}: the darker values lie in the bath for {} min more.",
            bite.bite_min
        ));
    }
    renumber(&Renumbering::inserted(value, last), plan, &mut next, &mut notices);
    Ok(Edited::telling(next, notices))
}

/// Moves the minutes of bite `from` to the place of bite `to` (both from 1); those between make room.
/// Numbers stay: what is stopped out after the third bite still is.
///
/// # Errors
/// A diagnostic when there is no such bite.
pub fn move_bite(plan: &Plan, from: usize, to: usize) -> Result<Edited, Diagnostic> {
    let last = plan.bites.len();
    known(from, last)?;
    known(to, last)?;
    let mut next = plan.clone();
    let bite = next.bites.remove(from - 1);
    next.bites.insert(to - 1, bite);
    let (was, is) = (totals(plan), totals(&next));
    let changed: Vec<String> = (1..=last)
        .filter(|&value| was[value] != is[value])
        .map(|value| format!("value {value} for {} instead of {}", is[value], was[value]))
        .collect();
    let mut notices = Vec::new();
    if !changed.is_empty() {
        notices.push(format!(
            "Minutes in the bath, in all: {}. Each value keeps its places.",
            changed.join(", ")
        ));
    }
    Ok(Edited::telling(next, notices))
}

/// Takes another list of bites with its thresholds, as many of one as of the other. With as many values
/// as before each keeps its number. With more or fewer, whatever names a value goes to the one nearest
/// in minutes, never from a bitten value to the paper or the reverse.
#[must_use]
pub fn take_bites(plan: &Plan, bites_min: &[f64], thresholds_l: &[f64]) -> Edited {
    let mut next = plan.clone();
    next.bites = bites_min.iter().map(|&bite_min| Bite { bite_min }).collect();
    next.picture.thresholds_l = thresholds_l.to_vec();
    let mut notices = Vec::new();
    if plan.bites.len() != next.bites.len() && !plan.bites.is_empty() && !next.bites.is_empty() {
        let (was, is) = (totals(plan), totals(&next));
        renumber(&Renumbering::nearest(&was, &is), plan, &mut next, &mut notices);
    }
    Edited::telling(next, notices)
}

fn known(value: usize, last: usize) -> Result<(), Diagnostic> {
    if (1..=last).contains(&value) {
        Ok(())
    } else {
        let said = sentence!("There is no bite {}; this plan has the bites 1 to {}.", value, last);
        Err(Diagnostic::error("bites", "unknown", said))
    }
}

/// Minutes that each value lies in the bath, the paper first.
fn totals(plan: &Plan) -> Vec<f64> {
    let mut total = 0.0;
    let mut all = vec![0.0];
    for bite in &plan.bites {
        total += bite.bite_min;
        all.push(total);
    }
    all
}
