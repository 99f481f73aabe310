//! The one place where a plan is checked.

use crate::diagnostic::Diagnostic;
use crate::fields::FIELDS;
use crate::sentence::{Piece, Unit, quantity};
use crate::types::{Crop, PictureSource, Plan};
use crate::{MAX_VALUES, MIN_VALUES, sentence};

mod states;

/// Longest title, in characters.
const MAX_TITLE: usize = 120;
/// Longest notes, in characters.
const MAX_NOTES: usize = 4000;
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

impl Plan {
    /// Everything wrong with the plan; empty when it can be computed as it stands.
    #[must_use]
    pub fn problems(&self) -> Vec<Diagnostic> {
        let mut found = Vec::new();
        if self.platewright != crate::FORMAT_VERSION {
            found.push(Diagnostic::error(
                "platewright",
                "format",
                sentence!(
                    "The plan's format is {}; this program reads format {}.",
                    self.platewright,
                    crate::FORMAT_VERSION
                ),
            ));
        }
        for field in FIELDS {
            let unit = Unit::of_sign(field.unit);
            let range = (field.min, field.max);
            found.extend(out_of_range(field.key, field.label, (field.get)(self), unit, range));
        }
        for (field, name, text, longest) in [
            ("title", "title", &self.title, MAX_TITLE),
            ("notes", "notes", &self.notes, MAX_NOTES),
            ("calibration_name", "calibration's name", &self.calibration_name, MAX_TITLE),
        ] {
            found.extend(too_long(field, name, text, longest));
        }
        self.check_bites(&mut found);
        self.check_picture(&mut found);
        self.check_areas(&mut found);
        self.check_made_for(&mut found);
        self.check_lines(&mut found);
        states::check(self, &mut found);
        for (key, value) in &self.calibration {
            if !value.is_finite() {
                found.push(
                    Diagnostic::error(
                        format!("calibration.{key}"),
                        "not_a_number",
                        sentence!("The constant {} is not a number.", key.as_str()),
                    )
                    .hint("Give it one, or take it out of the calibration."),
                );
            }
        }
        found
    }

    fn check_bites(&self, found: &mut Vec<Diagnostic>) {
        let count = self.bites.len();
        if !(MIN_VALUES..=MAX_VALUES).contains(&count) {
            found.push(Diagnostic::error(
                "bites",
                "count",
                sentence!(
                    "The plan has {} bites; it needs {} to {}, one for each value beside the paper.",
                    count,
                    MIN_VALUES,
                    MAX_VALUES
                ),
            ));
        }
        for (i, bite) in self.bites.iter().enumerate() {
            let key = format!("bites.{i}.bite_min");
            found.extend(bite_time(&key, &format!("Bite {}", i + 1), bite.bite_min));
        }
    }

    fn check_picture(&self, found: &mut Vec<Diagnostic>) {
        let levels = &self.picture.thresholds_l;
        if levels.len() != self.bites.len() {
            found.push(Diagnostic::error(
                "picture.thresholds_l",
                "count",
                sentence!(
                    "There are {} thresholds for {} bites; each value needs one.",
                    levels.len(),
                    self.bites.len()
                ),
            ));
        }
        for (i, level) in levels.iter().enumerate() {
            let key = format!("picture.thresholds_l.{i}");
            let label = format!("Threshold {}", i + 1);
            let wrong = out_of_range(&key, &label, *level, Unit::Lightness, (0.0, 100.0));
            if wrong.is_none() && i > 0 && levels[i - 1] <= *level {
                let lightness = |l| quantity(l, Unit::Lightness, 2);
                let message = sentence!(
                    "{} is {}, not darker than the one before it ({}).",
                    label,
                    lightness(*level),
                    lightness(levels[i - 1])
                );
                found.push(
                    Diagnostic::error(key, "order", message)
                        .hint("Thresholds go from light to dark."),
                );
            } else {
                found.extend(wrong);
            }
        }
        found.extend(crop_leaves("picture.crop", "The crop", "the picture", self.picture.crop));
        if let PictureSource::File(name) = &self.picture.source {
            found.extend(long_file_name("picture.source", "picture's file name", name));
        }
    }
}

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
