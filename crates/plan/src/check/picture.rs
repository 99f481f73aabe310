//! What is checked of the curve that a picture's tones go through.

use super::said::out_of_range;
use crate::diagnostic::Diagnostic;
use crate::ranges::{MAX_TONE_POINTS, TONE_L};
use crate::sentence;
use crate::sentence::{Unit, quantity};
use crate::types::TonePoint;

/// Points by rising lightness, none of which leads to a darker tone than the one before.
pub(super) fn tone_points(points: &[TonePoint], found: &mut Vec<Diagnostic>) {
    const KEY: &str = "picture.tone_points";
    if points.len() > MAX_TONE_POINTS {
        let message = sentence!(
            "The picture’s curve has {} points; keep it to {}.",
            points.len(),
            MAX_TONE_POINTS
        );
        found.push(Diagnostic::error(KEY, "count", message));
    }
    let lightness = |l| quantity(l, Unit::Lightness, 2);
    for (i, point) in points.iter().enumerate() {
        let key = |part: &str| format!("{KEY}.{i}.{part}");
        let label = format!("Point {} of the picture’s curve", i + 1);
        let out = [("from_l", point.from_l), ("to_l", point.to_l)]
            .map(|(part, l)| out_of_range(&key(part), &label, l, Unit::Lightness, TONE_L));
        let sound = out.iter().all(Option::is_none);
        found.extend(out.into_iter().flatten());
        let Some(before) = i.checked_sub(1).and_then(|before| points.get(before)) else { continue };
        if sound && point.from_l <= before.from_l {
            let message = sentence!(
                "{} begins at {}, not lighter than the one before it ({}).",
                label.as_str(),
                lightness(point.from_l),
                lightness(before.from_l)
            );
            found.push(
                Diagnostic::error(key("from_l"), "order", message)
                    .hint("Points go from dark to light."),
            );
        }
        if sound && point.to_l < before.to_l {
            let message = sentence!(
                "{} leads to {}, darker than the one before it ({}).",
                label.as_str(),
                lightness(point.to_l),
                lightness(before.to_l)
            );
            found.push(
                Diagnostic::error(key("to_l"), "order", message)
                    .hint("A lighter tone may not become darker than a dark one."),
            );
        }
    }
}
