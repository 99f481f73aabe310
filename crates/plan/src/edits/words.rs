//! What gave way in an edit of the bites, in words.

use super::renumber::{Renumbering, opened};
use crate::areas::{Area, AreaWork};
use crate::states::LaterGround;
use crate::types::Plan;

fn value(number: usize) -> String {
    if number == 0 { "the paper".to_owned() } else { format!("value {number}") }
}

fn name(area: &Area, number: usize) -> String {
    if area.name.is_empty() {
        format!("area {number}")
    } else {
        format!("area {number} “{}”", area.name)
    }
}

/// Things in a row, with "and" before the last.
fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [others @ .., last] => format!("{} and {last}", others.join(", ")),
    }
}

/// Values that hold nothing of a picture, of so many; `None` when there are none.
pub(super) fn left_out(gone: &[usize], of: usize) -> Option<String> {
    let numbers: Vec<String> = gone.iter().map(ToString::to_string).collect();
    let (values, hold, are, their) = match gone {
        [] => return None,
        [_] => ("Value", "holds", "is", "its"),
        _ => ("Values", "hold", "are", "their"),
    };
    let minutes = match gone {
        [only] if *only == of => String::new(),
        _ => format!(", and {their} minutes have gone to the bite after"),
    };
    Some(format!(
        "{values} {} {hold} nothing of this picture wide enough for a brush and {are} left out{minutes}.",
        listed(&numbers)
    ))
}

/// Areas that were held at a value that is gone, and gradations that run otherwise than before.
pub(super) fn areas(numbers: &Renumbering, was: &Plan, notices: &mut Vec<String>) {
    let mut held: Vec<(u8, Vec<String>)> = Vec::new();
    let gone = |old: u8| usize::from(old) < numbers.now.len() && !numbers.survives(old.into());
    let mut gradations = Vec::new();
    for (i, area) in was.areas.iter().enumerate() {
        match area.work {
            AreaWork::Hold if gone(area.value) => {
                let name = name(area, i + 1);
                match held.iter_mut().find(|(value, _)| *value == area.value) {
                    Some((_, names)) => names.push(name),
                    None => held.push((area.value, vec![name])),
                }
            }
            AreaWork::Split => {
                let (from, to) = (numbers.of(area.value), numbers.of(area.to_value));
                let strips = |a: u8, b: u8| a.abs_diff(b) + 1;
                let (now, before) = (strips(from, to), strips(area.value, area.to_value));
                if gone(area.value) || gone(area.to_value) || now != before {
                    let ends = if from == to {
                        format!("is all of {} now", value(from.into()))
                    } else {
                        format!("runs from {} to {} now", value(from.into()), value(to.into()))
                    };
                    gradations.push(format!(
                        "The gradation in {} {ends}, in {now} {} instead of {before}.",
                        name(area, i + 1),
                        if now == 1 { "strip" } else { "strips" },
                    ));
                }
            }
            _ => {}
        }
    }
    for (old, names) in held {
        let new = usize::from(numbers.of(old));
        let now = if new == 0 {
            "kept white now".to_owned()
        } else {
            format!("held at value {new} now, the nearest that is left")
        };
        let verb = if names.len() == 1 { "is" } else { "are" };
        notices.push(format!("What was value {old} is gone: {} {verb} {now}.", listed(&names)));
    }
    notices.append(&mut gradations);
}

/// Minutes that a value lies open under a later ground.
fn minutes(ground: &LaterGround, number: usize, last: usize) -> f64 {
    let open = ground.bites.iter().filter(|bite| opened(bite, last).contains(&number));
    open.fold(0.0, |sum, bite| sum + bite.bite_min)
}

/// Places that get other minutes under a later ground than before, and what lies open there by itself.
pub(super) fn ground(
    numbers: &Renumbering,
    state: usize,
    was: &LaterGround,
    is: &LaterGround,
    notices: &mut Vec<String>,
) {
    let (last_was, last) = (numbers.now.len() - 1, numbers.before.len() - 1);
    for old in (0..=last_was).filter(|&old| !numbers.survives(old)) {
        let new = numbers.now[old];
        let (before, now) = (minutes(was, old, last_was), minutes(is, new, last));
        if before != now {
            notices.push(format!(
                "The places that had the old value {old} are {} now: under the new ground of state {state} they lie in the bath for {now} min instead of {before}.",
                value(new)
            ));
        }
    }
    for new in (1..=last).filter(|&new| numbers.now[numbers.before[new]] != new) {
        let now = minutes(is, new, last);
        if now > 0.0 {
            notices.push(format!(
                "The new value {new} lies open under the new ground of state {state} for {now} min, as {} does, from which it takes its tones.",
                value(numbers.now[numbers.before[new]])
            ));
        }
    }
    let in_all = |ground: &LaterGround| ground.bites.iter().map(|bite| bite.bite_min).sum::<f64>();
    let lost = in_all(was) - in_all(is);
    if is.bites.is_empty() {
        notices.push(format!(
            "Nothing is left for the new ground of state {state} to open, so the ground is removed. “Undo” brings it back."
        ));
    } else if lost > 0.0 {
        notices.push(format!(
            "A bite of {lost} min under the new ground of state {state} opened nothing else, and is removed with it."
        ));
    }
}
