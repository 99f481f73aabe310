//! What checks say alike: too long, out of range, badly timed, outside its picture.

use crate::diagnostic::Diagnostic;
use crate::fields::Field;
use crate::parts::Crop;
use crate::sentence;
use crate::sentence::{Piece, Unit, quantity};

/// Shortest and longest single bite, minutes.
pub const BITE_MIN: (f64, f64) = (0.25, 120.0);
/// Bites are timed in quarters of a minute.
pub const BITES_PER_MIN: f64 = 4.0;

/// The nearest time that a bite can have, minutes: whole quarters of a minute.
#[must_use]
pub fn quarter_minutes(min: f64) -> f64 {
    (min * BITES_PER_MIN).round() / BITES_PER_MIN
}

/// Smallest part of a picture that can be cropped out, as a fraction of a side.
pub(crate) const MIN_CROP: f64 = 0.01;

/// Longest file name, in characters.
const MAX_FILE_NAME: usize = 255;

/// Words of the owner's that are longer than a plan keeps.
pub(crate) fn too_long(field: &str, name: &str, text: &str, longest: usize) -> Option<Diagnostic> {
    let length = text.chars().count();
    (length > longest).then(|| {
        let message =
            sentence!("The {} is {} characters long; keep it to {}.", name, length, longest);
        Diagnostic::error(field, "too_long", message)
    })
}

/// A file name that is longer than any file has.
pub(crate) fn long_file_name(field: &str, what: &str, name: &str) -> Option<Diagnostic> {
    (name.chars().count() > MAX_FILE_NAME).then(|| {
        let message = sentence!("The {} is longer than {} characters.", what, MAX_FILE_NAME);
        Diagnostic::error(field, "too_long", message).hint("Shorten it.")
    })
}

/// A part of a picture that is not within it.
pub(crate) fn crop_leaves(
    field: &str,
    what: &str,
    picture: &str,
    crop: Crop,
) -> Option<Diagnostic> {
    let inside =
        |from: f64, size: f64| from >= 0.0 && size >= MIN_CROP && from + size <= 1.0 + 1e-9;
    if inside(crop.left, crop.width) && inside(crop.top, crop.height) {
        return None;
    }
    let message = sentence!(
        "{} (left {}, top {}, width {}, height {}) leaves {}.",
        what,
        crop.left,
        crop.top,
        crop.width,
        crop.height,
        picture
    );
    let hint = sentence!(
        "Each is a fraction of the picture between 0 and 1, at least {} wide and high.",
        MIN_CROP
    );
    Some(Diagnostic::error(field, "crop", message).hint(hint))
}

/// A bite that is too short, too long or not timed in whole quarters of a minute.
pub(crate) fn bite_time(field: &str, label: &str, bite_min: f64) -> Option<Diagnostic> {
    let minutes = |value| quantity(value, Unit::Minutes, 4);
    out_of_range(field, label, bite_min, Unit::Minutes, BITE_MIN).or_else(|| {
        (bite_min * BITES_PER_MIN != (bite_min * BITES_PER_MIN).round()).then(|| {
            let message = sentence!(
                "{} is {}; bites are timed in quarter minutes.",
                label,
                minutes(bite_min)
            );
            Diagnostic::error(field, "quarter_minutes", message)
                .hint(sentence!("Round it to {}.", minutes(quarter_minutes(bite_min))))
        })
    })
}

/// A number of the catalogue that is out of its range, or counts something and has a fraction: the box is raised twice,
/// not one and a half times.
pub(crate) fn number(key: &str, field: &Field, value: f64) -> Option<Diagnostic> {
    let unit = Unit::of_sign(field.unit);
    out_of_range(key, field.label, value, unit, (field.min, field.max)).or_else(|| {
        (field.counts() && value.fract() != 0.0).then(|| {
            let message =
                sentence!("{} is {}; it is a whole number.", field.label, quantity(value, unit, 4));
            Diagnostic::error(key, "whole_number", message)
                .hint(sentence!("Round it to {}.", quantity(value.round(), unit, 0)))
        })
    })
}

/// A number out of its range, or none at all.
pub(crate) fn out_of_range(
    field: &str,
    label: &str,
    value: f64,
    unit: Unit,
    (least, most): (f64, f64),
) -> Option<Diagnostic> {
    if value >= least && value <= most {
        return None;
    }
    let number = |value| quantity(value, unit, 4);
    // The unit is named once: before the numbers where it stands so, else behind them.
    let range: (Piece, Piece) = match unit {
        Unit::Lightness => (number(least).into(), Piece::Number(number(most))),
        _ => (Piece::Number(number(least)), number(most).into()),
    };
    let (least, most) = range;
    Some(if value.is_finite() {
        let message = sentence!(
            "{} is {}; it must lie between {} and {}.",
            label,
            number(value),
            least,
            most
        );
        Diagnostic::error(field, "out_of_range", message).hint("Choose a number in that range.")
    } else {
        let message =
            sentence!("{} is not a number; it must lie between {} and {}.", label, least, most);
        Diagnostic::error(field, "not_a_number", message).hint("Type a number in that range.")
    })
}
