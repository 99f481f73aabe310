//! Differences between the faults of two plans.

use super::Difference;
use crate::faults::{Fault, FaultPlace};
use crate::sentence;
use crate::sentence::{Sentence, Unit, quantity};
use crate::types::Plan;

/// Adds what differs between the faults of two plans. One added or taken out in between is found as such, by the
/// equal ones at both ends.
pub(super) fn between(before: &Plan, after: &Plan, found: &mut Vec<Difference>) {
    let (was, is) = (&before.faults, &after.faults);
    let same_head = was.iter().zip(is).take_while(|(a, b)| a == b).count();
    let shorter = was.len().min(is.len()) - same_head;
    let same_tail =
        was.iter().rev().zip(is.iter().rev()).take(shorter).take_while(|(a, b)| a == b).count();
    let (old, new) = (&was[same_head..was.len() - same_tail], &is[same_head..is.len() - same_tail]);
    for i in 0..old.len().max(new.len()) {
        let number = same_head + i + 1;
        let (from, to) = (words_of(old.get(i)), words_of(new.get(i)));
        let sentence = match (old.get(i), new.get(i)) {
            (Some(a), Some(b)) if a == b => continue,
            (Some(_), Some(_)) if from == to => sentence!("fault {} otherwise shaped", number),
            (Some(_), Some(_)) => {
                sentence!("fault {} {} (was {})", number, to.clone(), from.clone())
            }
            (None, _) => sentence!("fault added: {}", to.clone()),
            (_, None) => sentence!("fault removed: {}", from.clone()),
        };
        let (key, label) = (format!("faults.{}", number - 1), format!("Fault {number}"));
        found.push(Difference::in_words(&key, &label, from, to, sentence));
    }
}

fn words_of(fault: Option<&Fault>) -> Sentence {
    fault.map_or_else(Sentence::default, in_words)
}

/// "hot spot, size 0.5, 15 mm round 75, 100 mm".
#[inline(never)] // keeps the page small
fn in_words(fault: &Fault) -> Sentence {
    let mm = |mm| quantity(mm, Unit::Mm, 4);
    let mut words = sentence!("{}, size {}", fault.kind.name(), fault.size);
    if fault.kind.has_bite() {
        words = sentence!("{}, from bite {} on", words, fault.from_bite);
    }
    match fault.kind.place() {
        FaultPlace::Plate => words,
        FaultPlace::Edges => sentence!("{}, {} inwards", words, mm(fault.radius_mm)),
        FaultPlace::Spot => sentence!(
            "{}, {} round {} from the left and {} from the top",
            words,
            mm(fault.radius_mm),
            mm(fault.x_mm),
            mm(fault.y_mm)
        ),
    }
}
