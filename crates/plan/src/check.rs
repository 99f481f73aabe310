//! The one place where a plan is checked.

use crate::fields::{FIELDS, Field};
use crate::types::{PictureSource, Plan};
use crate::{MAX_VALUES, MIN_VALUES};
use serde::Serialize;

mod states;

/// How grave a problem is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// The plan can't be computed.
    Error,
    /// The plan can be computed, but something deserves a look.
    Warning,
}

/// Something wrong with a plan, in words for its owner.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Problem {
    /// How grave it is.
    pub severity: Severity,
    /// Path of the field in the plan's JSON, such as `dust.wait_s` or `bites.2.bite_min`; empty
    /// when it concerns the whole plan.
    pub field: String,
    /// What is wrong, where, and what to do: one or two sentences.
    pub message: String,
}

impl Problem {
    /// A problem with its place and words.
    pub fn new(severity: Severity, field: impl Into<String>, message: impl Into<String>) -> Self {
        Self { severity, field: field.into(), message: message.into() }
    }
}

/// Longest title, in characters.
const MAX_TITLE: usize = 120;
/// Longest notes, in characters.
const MAX_NOTES: usize = 4000;
/// Shortest and longest single bite, minutes.
pub const BITE_MIN: (f64, f64) = (0.25, 120.0);
/// Smallest part of a picture that can be cropped out, as a fraction of a side.
pub(crate) const MIN_CROP: f64 = 0.01;

impl Plan {
    /// Everything wrong with the plan; empty when it can be computed as it stands.
    #[must_use]
    pub fn problems(&self) -> Vec<Problem> {
        let mut found = Vec::new();
        let mut error = |field: &str, message: String| {
            found.push(Problem::new(Severity::Error, field, message))
        };

        if self.platewright != crate::FORMAT_VERSION {
            error(
                "platewright",
                format!(
                    "The plan's format is {}; this program reads format {}.",
                    self.platewright,
                    crate::FORMAT_VERSION
                ),
            );
        }
        for field in FIELDS {
            let value = (field.get)(self);
            if !(value >= field.min && value <= field.max) {
                error(
                    field.key,
                    out_of_range(field.label, value, field.unit, field.min, field.max),
                );
            } else if let Some(message) = not_whole(field, value) {
                error(field.key, message);
            }
        }
        for (field, name, text, longest) in [
            ("title", "title", &self.title, MAX_TITLE),
            ("notes", "notes", &self.notes, MAX_NOTES),
            ("calibration_name", "calibration's name", &self.calibration_name, MAX_TITLE),
        ] {
            let length = text.chars().count();
            if length > longest {
                let message =
                    format!("The {name} is {length} characters long; keep it to {longest}.");
                error(field, message);
            }
        }
        self.check_bites(&mut error);
        self.check_picture(&mut error);
        self.check_areas(&mut error);
        self.check_made_for(&mut error);
        self.check_lines(&mut error);
        states::check(self, &mut error);
        for (key, value) in &self.calibration {
            if !value.is_finite() {
                error(
                    &format!("calibration.{key}"),
                    format!(
                        "The constant {key} is not a number. Give it one, or take it out of the calibration."
                    ),
                );
            }
        }
        found
    }

    fn check_bites(&self, error: &mut impl FnMut(&str, String)) {
        let count = self.bites.len();
        if !(MIN_VALUES..=MAX_VALUES).contains(&count) {
            error(
                "bites",
                format!(
                    "The plan has {count} bites; it needs {MIN_VALUES} to {MAX_VALUES}, one for each value beside the paper."
                ),
            );
        }
        for (i, bite) in self.bites.iter().enumerate() {
            let key = format!("bites.{i}.bite_min");
            let minutes = bite.bite_min;
            if !(minutes >= BITE_MIN.0 && minutes <= BITE_MIN.1) {
                error(
                    &key,
                    out_of_range(
                        &format!("Bite {}", i + 1),
                        minutes,
                        "min",
                        BITE_MIN.0,
                        BITE_MIN.1,
                    ),
                );
            } else if (minutes * 4.0).fract() != 0.0 {
                error(
                    &key,
                    format!(
                        "Bite {} is {minutes} min; bites are timed in quarter minutes. Round it to {} min.",
                        i + 1,
                        (minutes * 4.0).round() / 4.0
                    ),
                );
            }
        }
    }

    fn check_picture(&self, error: &mut impl FnMut(&str, String)) {
        let levels = &self.picture.thresholds_l;
        if levels.len() != self.bites.len() {
            error(
                "picture.thresholds_l",
                format!(
                    "There are {} thresholds for {} bites; each value needs one.",
                    levels.len(),
                    self.bites.len()
                ),
            );
        }
        for (i, level) in levels.iter().enumerate() {
            let key = format!("picture.thresholds_l.{i}");
            let label = format!("Threshold {}", i + 1);
            if !(*level >= 0.0 && *level <= 100.0) {
                error(&key, out_of_range(&label, *level, "L*", 0.0, 100.0));
            } else if i > 0 && levels[i - 1] <= *level {
                error(
                    &key,
                    format!(
                        "{label} is L* {level}, not darker than the one before it (L* {}). Thresholds go from light to dark.",
                        levels[i - 1]
                    ),
                );
            }
        }
        let crop = self.picture.crop;
        let inside =
            |from: f64, size: f64| from >= 0.0 && size >= MIN_CROP && from + size <= 1.0 + 1e-9;
        if !inside(crop.left, crop.width) || !inside(crop.top, crop.height) {
            error(
                "picture.crop",
                format!(
                    "The crop (left {}, top {}, width {}, height {}) leaves the picture. Each is a fraction of the picture between 0 and 1, at least {MIN_CROP} wide and high.",
                    crop.left, crop.top, crop.width, crop.height
                ),
            );
        }
        if let PictureSource::File(name) = &self.picture.source
            && name.chars().count() > 255
        {
            error(
                "picture.source",
                "The picture's file name is longer than 255 characters. Shorten it.".to_owned(),
            );
        }
    }
}

/// A sentence where a number that counts something has a fraction: a box is raised twice, not one and a
/// half times.
pub(crate) fn not_whole(field: &Field, value: f64) -> Option<String> {
    (field.key == "dust.dustings" && value.fract() != 0.0).then(|| {
        format!(
            "{} is {value}; the box is raised a whole number of times. Round it to {}.",
            field.label,
            value.round()
        )
    })
}

pub(crate) fn out_of_range(label: &str, value: f64, unit: &str, min: f64, max: f64) -> String {
    let space = if unit.is_empty() { "" } else { " " };
    if value.is_finite() {
        format!(
            "{label} is {value}{space}{unit}; it must lie between {min} and {max}{space}{unit}. Choose a number in that range."
        )
    } else {
        format!(
            "{label} is not a number; it must lie between {min} and {max}{space}{unit}. Type a number in that range."
        )
    }
}
