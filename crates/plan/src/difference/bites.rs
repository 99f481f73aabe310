//! Differences between two lists of values: their bites and their thresholds.

use super::{Difference, differ, with_unit};
use crate::types::Plan;

/// Longest list compared value by value; a plan has at most 12.
const MOST_VALUES: usize = 64;
/// Weight of a bite that changed, against one of a threshold that moved.
const BITE_CHANGED: u32 = 3;
const THRESHOLD_MOVED: u32 = 1;

/// One value of a plan.
#[derive(Clone, Copy)]
struct Value {
    bite_min: f64,
    /// Missing in an unchecked plan only.
    threshold_l: Option<f64>,
}

/// Adds what differs between the bites and thresholds of two plans.
pub(super) fn between(before: &Plan, after: &Plan, found: &mut Vec<Difference>) {
    let (was, is) = (values(before), values(after));
    if was.len().max(is.len()) > MOST_VALUES {
        let bites = |list: &[Value]| list.iter().map(|value| value.bite_min).collect::<Vec<_>>();
        if lists_differ(&bites(&was), &bites(&is)) {
            let [from, to] = [was.len(), is.len()].map(|count| count.to_string());
            let sentence = format!("bites changed ({from} → {to})");
            found.push(Difference::in_words("bites", "Bites", from, to, sentence));
        }
        if lists_differ(&before.picture.thresholds_l, &after.picture.thresholds_l) {
            thresholds_in_words(&[], true, before, after, found);
        }
        return;
    }
    let mut kept = Vec::new();
    let fewer = was.len().min(is.len());
    let (short, long) = if was.len() <= is.len() { (&was, &is) } else { (&is, &was) };
    let extra = extras(short, long);
    let (mut i, mut j) = (0, 0);
    for (position, is_extra) in extra.iter().enumerate() {
        if *is_extra {
            let value = long[position];
            let label = format!("Value {}", position + 1);
            let bite = with_unit(value.bite_min, "min");
            let (from, to, sentence) = if was.len() < is.len() {
                let sentence = format!("value {} added ({bite})", position + 1);
                (String::new(), bite, sentence)
            } else {
                let sentence = format!("value {} removed ({bite})", position + 1);
                (bite, String::new(), sentence)
            };
            found.push(Difference::in_words("bites", &label, from, to, sentence));
        }
        if was.len() < is.len() {
            if !is_extra {
                kept.push((i, j));
                i += 1;
            }
            j += 1;
        } else {
            if !is_extra {
                kept.push((i, j));
                j += 1;
            }
            i += 1;
        }
    }
    debug_assert_eq!(kept.len(), fewer, "every value of the shorter list has a partner");
    for (i, j) in &kept {
        let (a, b) = (was[*i].bite_min, is[*j].bite_min);
        if differ(a, b) {
            let [from, to] = [a, b].map(|minutes| with_unit(minutes, "min"));
            let sentence = format!("bite {}: {from} → {to}", j + 1);
            let key = format!("bites.{j}.bite_min");
            found.push(Difference::in_words(&key, &format!("Bite {}", j + 1), from, to, sentence));
        }
    }
    let moved: Vec<(usize, f64, f64)> = kept
        .iter()
        .filter_map(|(i, j)| match (was[*i].threshold_l, is[*j].threshold_l) {
            (Some(a), Some(b)) if differ(a, b) => Some((*j, a, b)),
            _ => None,
        })
        .collect();
    // Only an unchecked plan has thresholds without a bite, or bites without a threshold.
    let levels = [before, after].map(|plan| plan.picture.thresholds_l.as_slice());
    let odd = [0, 1].map(|i| levels[i].len() as i64 - [was.len(), is.len()][i] as i64);
    let beyond = [0, 1].map(|i| levels[i].get([was.len(), is.len()][i]..).unwrap_or(&[]));
    let others_differ = odd[0] != odd[1] || lists_differ(beyond[0], beyond[1]);
    if others_differ || !moved.is_empty() {
        thresholds_in_words(&moved, others_differ, before, after, found);
    }
}

fn thresholds_in_words(
    moved: &[(usize, f64, f64)],
    others_differ: bool,
    before: &Plan,
    after: &Plan,
    found: &mut Vec<Difference>,
) {
    let key = "picture.thresholds_l";
    if others_differ {
        let counts = [before, after].map(|plan| plan.picture.thresholds_l.len().to_string());
        let [from, to] = counts;
        let sentence = if from == to {
            "thresholds changed".to_owned()
        } else {
            format!("thresholds {from} → {to}")
        };
        found.push(Difference::in_words(key, "Thresholds", from, to, sentence));
        return;
    }
    let list = |pick: fn(&(usize, f64, f64)) -> f64| {
        let levels: Vec<String> = moved.iter().map(|each| pick(each).to_string()).collect();
        format!("L* {}", levels.join(", "))
    };
    let (from, to) = (list(|each| each.1), list(|each| each.2));
    let (label, sentence) = match moved {
        [(index, _, _)] => {
            let label = format!("Threshold {}", index + 1);
            let sentence = format!("threshold {}: {from} → {to}", index + 1);
            (label, sentence)
        }
        _ => {
            let most = moved.iter().map(|(_, a, b)| (a - b).abs()).fold(0.0, f64::max);
            let most = (most * 10.0).round() / 10.0;
            let sentence = format!("{} thresholds moved, by up to L* {most}", moved.len());
            ("Thresholds".to_owned(), sentence)
        }
    };
    found.push(Difference::in_words(key, &label, from, to, sentence));
}

fn values(plan: &Plan) -> Vec<Value> {
    let levels = &plan.picture.thresholds_l;
    plan.bites
        .iter()
        .enumerate()
        .map(|(i, bite)| Value { bite_min: bite.bite_min, threshold_l: levels.get(i).copied() })
        .collect()
}

fn lists_differ(a: &[f64], b: &[f64]) -> bool {
    a.len() != b.len() || a.iter().zip(b).any(|(a, b)| differ(*a, *b))
}

/// Which values of the longer list have no partner in the shorter, so that the partners differ
/// least; of equal ways, the one with the extra values last.
fn extras(short: &[Value], long: &[Value]) -> Vec<bool> {
    let spare = long.len() - short.len();
    // least[i][k]: least difference of short[i..] and long[i + k..].
    let mut least = vec![vec![0_u32; spare + 1]; short.len() + 1];
    for i in (0..short.len()).rev() {
        for k in (0..=spare).rev() {
            let paired = difference(short[i], long[i + k]) + least[i + 1][k];
            let skipped = if k < spare { least[i][k + 1] } else { u32::MAX };
            least[i][k] = paired.min(skipped);
        }
    }
    let (mut i, mut k) = (0, 0);
    let mut extra = Vec::with_capacity(long.len());
    while extra.len() < long.len() {
        let pairs =
            i < short.len() && least[i][k] == difference(short[i], long[i + k]) + least[i + 1][k];
        extra.push(!pairs);
        if pairs {
            i += 1;
        } else {
            k += 1;
        }
    }
    extra
}

fn difference(a: Value, b: Value) -> u32 {
    let bite = if differ(a.bite_min, b.bite_min) { BITE_CHANGED } else { 0 };
    let moved = match (a.threshold_l, b.threshold_l) {
        (Some(a), Some(b)) => differ(a, b),
        (a, b) => a.is_some() != b.is_some(),
    };
    bite + if moved { THRESHOLD_MOVED } else { 0 }
}
