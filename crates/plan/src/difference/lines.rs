//! Differences between the line work of two plans.

use super::{Difference, quoted, with_unit};
use crate::lines::LineWork;
use crate::types::Plan;

/// Adds what differs between the lines under the ground.
pub(super) fn between(before: &Plan, after: &Plan, found: &mut Vec<Difference>) {
    let mut add = |key: &str, label: &str, from: String, to: String, sentence: String| {
        found.push(Difference::in_words(key, label, from, to, sentence));
    };
    match (&before.lines, &after.lines) {
        (None, Some(lines)) => {
            let to = in_words(lines);
            let sentence = format!("etched lines under the ground ({to})");
            add("lines", "Etched lines", String::new(), to, sentence);
        }
        (Some(lines), None) => {
            let sentence = "etched lines removed".to_owned();
            add("lines", "Etched lines", in_words(lines), String::new(), sentence);
        }
        (Some(was), Some(is)) if was != is => {
            if was.picture != is.picture {
                let [from, to] = [&was.picture, &is.picture].map(|name| quoted(name));
                let sentence = format!("picture of the lines {to} (was {from})");
                add("lines.picture", "Picture of the lines", from, to, sentence);
            }
            if was.bite_min != is.bite_min {
                let [from, to] = [was.bite_min, is.bite_min].map(|min| with_unit(min, "min"));
                let sentence = format!("bite of the lines {from} → {to}");
                add("lines.bite_min", "Bite of the lines", from, to, sentence);
            }
            if was.open_below_l != is.open_below_l {
                let [from, to] =
                    [was.open_below_l, is.open_below_l].map(|level| with_unit(level, "L*"));
                let sentence = format!("lines begin at {to} (was {from})");
                add("lines.open_below_l", "Where lines begin", from, to, sentence);
            }
            if was.crop != is.crop {
                let sentence = "crop of the lines changed".to_owned();
                add("lines.crop", "Crop of the lines", String::new(), String::new(), sentence);
            }
        }
        _ => {}
    }
}

fn in_words(lines: &LineWork) -> String {
    format!("{}, bitten {}", quoted(&lines.picture), with_unit(lines.bite_min, "min"))
}
