//! Differences between two lists of areas by hand.

use super::Difference;
use crate::sentence;
use crate::sentence::{Sentence, Unit, quantity};
use crate::types::Plan;
use crate::{Area, AreaWork};

/// Adds what differs between the areas of two plans. An area added or taken out in between is found
/// as such, by the equal ones at both ends.
pub(super) fn between(before: &Plan, after: &Plan, found: &mut Vec<Difference>) {
    let (was, is) = (&before.areas, &after.areas);
    let same_head = was.iter().zip(is).take_while(|(a, b)| a == b).count();
    let shorter = was.len().min(is.len()) - same_head;
    let same_tail =
        was.iter().rev().zip(is.iter().rev()).take(shorter).take_while(|(a, b)| a == b).count();
    let (old, new) = (&was[same_head..was.len() - same_tail], &is[same_head..is.len() - same_tail]);
    if old.len() == new.len() && old.len() > 1 && same_but_for_order(old, new) {
        add(
            found,
            same_head,
            "order of the areas changed".into(),
            Sentence::default(),
            Sentence::default(),
        );
        return;
    }
    for i in 0..old.len().max(new.len()) {
        let number = same_head + i + 1;
        match (old.get(i), new.get(i)) {
            (Some(a), Some(b)) if a != b => {
                let (from, to) = (in_words(a), in_words(b));
                let sentence = if a.name != b.name {
                    let name = if b.name.is_empty() { "no name" } else { b.name.as_str() };
                    sentence!("area {} called “{}”", number, name)
                } else if from != to {
                    sentence!("area {} {} (was {})", number, to.clone(), from.clone())
                } else {
                    sentence!("area {} {}", number, drawn(a, b))
                };
                add(found, number - 1, sentence, from, to);
            }
            (Some(a), None) => add(
                found,
                number - 1,
                sentence!("area {} removed ({})", number, in_words(a)),
                in_words(a),
                Sentence::default(),
            ),
            (None, Some(b)) => {
                add(
                    found,
                    number - 1,
                    sentence!("area {} {}", number, in_words(b)),
                    Sentence::default(),
                    in_words(b),
                );
            }
            _ => {}
        }
    }
}

fn add(
    found: &mut Vec<Difference>,
    index: usize,
    sentence: Sentence,
    from: Sentence,
    to: Sentence,
) {
    let (key, label) = (format!("areas.{index}"), format!("Area {}", index + 1));
    found.push(Difference::in_words(&key, &label, from, to, sentence));
}

fn same_but_for_order(old: &[Area], new: &[Area]) -> bool {
    old.iter().all(|area| {
        let count = |list: &[Area]| list.iter().filter(|other| *other == area).count();
        count(old) == count(new)
    })
}

/// What is done in an area: "held at value 4".
fn in_words(area: &Area) -> Sentence {
    let words: Sentence = match area.work {
        AreaWork::Hold if area.value == 0 => "kept white".into(),
        AreaWork::Hold => sentence!("held at value {}", area.value),
        AreaWork::Picture => "as in the picture".into(),
        AreaWork::Split => sentence!("split from value {} to {}", area.value, area.to_value),
        AreaWork::Spit => sentence!("spit-bitten for {} min", area.spit_min),
    };
    if area.feather_mm > 0.0 {
        let feather = quantity(area.feather_mm, Unit::Mm, 3);
        return sentence!("{}, feathered over {}", words, feather);
    }
    words
}

/// How the drawing of an area changed.
fn drawn(before: &Area, after: &Area) -> &'static str {
    let (was, is) = (&before.shapes, &after.shapes);
    if is.len() > was.len() {
        if is.last().is_some_and(|shape| shape.away) { "made smaller" } else { "drawn further" }
    } else if is.len() < was.len() {
        "drawn less far"
    } else {
        "drawn anew"
    }
}
