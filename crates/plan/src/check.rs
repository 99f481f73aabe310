//! The one place where a plan is checked.

use crate::diagnostic::Diagnostic;
use crate::fields::FIELDS;
use crate::ranges::{MAX_NOTES, MAX_TITLE, THRESHOLD_L};
use crate::sentence::{Unit, quantity};
use crate::types::{PictureSource, Plan};
use crate::{MAX_VALUES, MIN_VALUES, sentence};
use said::{bite_time, crop_leaves, long_file_name, out_of_range, too_long};

mod areas;
mod faults;
mod lines;
mod made_for;
mod picture;
mod said;
mod states;

pub use said::{BITE_MIN, BITES_PER_MIN, quarter_minutes};

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
            found.extend(said::number(field.key, field, (field.get)(self)));
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
        faults::check(self, &mut found);
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
            let wrong = out_of_range(&key, &label, *level, Unit::Lightness, THRESHOLD_L);
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
        picture::tone_points(&self.picture.tone_points, found);
        found.extend(crop_leaves("picture.crop", "The crop", "the picture", self.picture.crop));
        if let PictureSource::File(name) = &self.picture.source {
            found.extend(long_file_name("picture.source", "picture's file name", name));
        }
    }
}
