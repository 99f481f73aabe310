//! What differs between two plans, in words: "wait 30 s → 60 s", "value 8 added".

use crate::choices::CHOICES;
use crate::fields::FIELDS;
use crate::sentence;
use crate::sentence::{Sentence, Unit, quantity};
use crate::types::{Crop, PictureSource, Plan};
use serde::Serialize;

mod areas;
mod bites;
mod faults;
mod lines;
mod states;

/// One thing that differs between two plans.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Difference {
    /// Path in the plan's JSON, such as `dust.wait_s`, `bites.2.bite_min`, `bites` (a value added
    /// or taken out) or `picture.thresholds_l`. Each comes at most once, but for `bites`.
    pub key: String,
    /// What it is called, clear without its surroundings: "Plate width", "Bite 3".
    pub label: String,
    /// How it was, with its unit; empty for something added.
    pub before: Sentence,
    /// How it is, with its unit; empty for something taken out.
    pub after: Sentence,
    /// The difference in words, beginning in lower case: "wait 30 s → 60 s".
    pub sentence: Sentence,
}

impl Difference {
    /// "label before → after".
    fn changed(
        key: &str,
        label: &str,
        before: impl Into<Sentence>,
        after: impl Into<Sentence>,
    ) -> Self {
        let (before, after) = (before.into(), after.into());
        let sentence = sentence!("{} {} → {}", lower_first(label), before.clone(), after.clone());
        Self::in_words(key, label, before, after, sentence)
    }

    /// The same with its own words.
    fn in_words(
        key: &str,
        label: &str,
        before: impl Into<Sentence>,
        after: impl Into<Sentence>,
        sentence: impl Into<Sentence>,
    ) -> Self {
        Self {
            key: key.to_owned(),
            label: label.to_owned(),
            before: before.into(),
            after: after.into(),
            sentence: sentence.into(),
        }
    }
}

/// Names that stand alone, where the label of the control leans on the heading above it.
const FULL_NAMES: &[(&str, &str)] = &[
    ("picture.exposure_stops", "Exposure of the picture"),
    ("picture.contrast", "Contrast of the picture"),
    ("plate.width_mm", "Plate width"),
    ("plate.height_mm", "Plate height"),
    ("plate.thickness_mm", "Copper thickness"),
    ("dust.median_um", "Powder size"),
    ("dust.dusting_min", "Time in the box"),
    ("bake.room_c", "Room temperature"),
    ("bath.strength_be", "Bath strength"),
    ("bath.temperature_c", "Bath temperature"),
    ("bath.volume_l", "Bath volume"),
    ("bath.agitation", "Movement of the bath"),
    ("paper.margin_mm", "Margin of the paper"),
    ("ink.stiffness", "Stiffness of the ink"),
];

/// Most characters of a title or file name that a difference quotes.
const MOST_QUOTED: usize = 40;

/// Everything that differs, in the order of the bench; empty for equal plans.
///
/// Takes any two plans, also unchecked ones. A value added or taken out in between is found as
/// such, so that the bites after it don't all seem changed.
#[must_use]
pub fn between(before: &Plan, after: &Plan) -> Vec<Difference> {
    let mut found = Vec::new();
    words(before, after, &mut found);
    picture(before, after, &mut found);
    areas::between(before, after, &mut found);
    lines::between(before, after, &mut found);
    for field in FIELDS {
        let (was, is) = ((field.get)(before), (field.get)(after));
        if differ(was, is) {
            let [was, is] = [was, is].map(|value| measured(value, field.unit));
            found.push(Difference::changed(field.key, full_name(field.key, field.label), was, is));
        }
    }
    for choice in CHOICES {
        let (was, is) = ((choice.get)(before), (choice.get)(after));
        if was != is {
            let [was, is] = [was, is].map(|option| {
                choice
                    .options
                    .get(option)
                    .map_or_else(String::new, |(_, shown)| (*shown).to_owned())
            });
            found.push(Difference::changed(
                choice.key,
                full_name(choice.key, choice.label),
                was,
                is,
            ));
        }
    }
    bites::between(before, after, &mut found);
    // Within a part of the bench, numbers before choices, as listed: a stable sort.
    found.sort_by_key(|one| bench_order(&one.key));
    states::between(before, after, &mut found);
    faults::between(before, after, &mut found);
    calibration(before, after, &mut found);
    found
}

/// A short name for a change, for "Undo …": the difference itself when there is one, otherwise how
/// many ("3 changes"). Plans that are equal give "no change".
#[must_use]
pub fn name_of_change(before: &Plan, after: &Plan) -> Sentence {
    match between(before, after).as_slice() {
        [] => "no change".into(),
        [one] => one.sentence.clone(),
        several => sentence!("{} changes", several.len()),
    }
}

/// Parts in the order of the bench, by the first word of the key.
const BENCH: [&str; 14] = [
    "platewright",
    "model",
    "title",
    "notes",
    "seed",
    "picture",
    "areas",
    "plate",
    "dust",
    "bake",
    "bath",
    "bites",
    "ink",
    "paper",
];

fn bench_order(key: &str) -> usize {
    let part = key.split('.').next().unwrap_or(key);
    BENCH.iter().position(|each| *each == part).unwrap_or(BENCH.len())
}

fn words(before: &Plan, after: &Plan, found: &mut Vec<Difference>) {
    if before.platewright != after.platewright {
        let [was, is] = [before, after].map(|plan| plan.platewright.to_string());
        found.push(Difference::changed("platewright", "Format of the plan", was, is));
    }
    if before.model != after.model {
        let [was, is] = [before, after].map(|plan| plan.model.to_string());
        found.push(Difference::changed("model", "Model of the plate", was, is));
    }
    if before.title != after.title {
        let [was, is] = [before, after].map(|plan| quoted(&plan.title));
        found.push(Difference::changed("title", "Title", was, is));
    }
    if before.notes != after.notes {
        let lengths = [before, after].map(|plan| plan.notes.chars().count());
        found.push(of_another_length("notes", "Notes", ["added", "character"], lengths));
    }
    if before.seed != after.seed {
        let [was, is] = [before, after].map(|plan| plan.seed.to_string());
        let sentence = format!("another fall of dust (number {was} → {is})");
        found.push(Difference::in_words("seed", "Fall of dust", was, is, sentence));
    }
}

fn picture(before: &Plan, after: &Plan, found: &mut Vec<Difference>) {
    let (was, is) = (&before.picture, &after.picture);
    if was.source != is.source {
        let [was, is] = [was, is].map(|picture| match &picture.source {
            PictureSource::Harbour => "harbour at dusk".to_owned(),
            PictureSource::File(name) => quoted(name),
        });
        found.push(Difference::changed("picture.source", "Picture", was, is));
    }
    if was.crop != is.crop {
        let [was, is] = [was, is].map(|picture| crop_in_words(picture.crop));
        if was == is {
            let sentence = "crop moved by a hair".to_owned();
            found.push(Difference::in_words("picture.crop", "Crop", was, is, sentence));
        } else {
            found.push(Difference::changed("picture.crop", "Crop", was, is));
        }
    }
    if was.tone_points != is.tone_points {
        let lengths = [was, is].map(|picture| picture.tone_points.len());
        let words = ["drawn", "point"];
        found.push(of_another_length(
            "picture.tone_points",
            "Curve of the picture",
            words,
            lengths,
        ));
    }
}

/// Something that is there or not, told by how much of it there is; `words` are how it comes and what is counted.
fn of_another_length(
    key: &str,
    label: &str,
    [comes, counted]: [&str; 2],
    lengths: [usize; 2],
) -> Difference {
    let name = lower_first(label);
    let [was, is] = lengths.map(|length| match length {
        0 => String::new(),
        1 => format!("1 {counted}"),
        several => format!("{several} {counted}s"),
    });
    let sentence = match (was.is_empty(), is.is_empty()) {
        (true, _) => format!("{name} {comes} ({is})"),
        (_, true) => format!("{name} removed"),
        _ if was == is => format!("{name} changed ({is})"),
        _ => format!("{name} changed ({was} → {is})"),
    };
    Difference::in_words(key, label, was, is, sentence)
}

fn crop_in_words(crop: Crop) -> String {
    if crop == Crop::default() {
        return "whole picture".to_owned();
    }
    let percent = |part: f64| format!("{}", (part * 1000.0).round() / 10.0);
    format!(
        "{} × {} % at {}, {} %",
        percent(crop.width),
        percent(crop.height),
        percent(crop.left),
        percent(crop.top)
    )
}

fn calibration(before: &Plan, after: &Plan, found: &mut Vec<Difference>) {
    let [from, to] = [before, after].map(|plan| plan.calibration_name.clone());
    if from != to {
        let sentence = match (from.as_str(), to.as_str()) {
            ("", to) => format!("calibrated with “{to}”"),
            (from, "") => format!("calibration “{from}” left out"),
            (from, to) => format!("calibration “{from}” → “{to}”"),
        };
        found.push(Difference::in_words("calibration_name", "Calibration", from, to, sentence));
    }
    let mut either = before.calibration.clone();
    for (name, value) in &after.calibration {
        either.insert(name.clone(), *value);
    }
    for name in either.keys() {
        let (was, is) = (before.calibration.get(name), after.calibration.get(name));
        let key = format!("calibration.{name}");
        let label = format!("Constant {name}");
        let [from, to] = [was, is].map(|value| value.map_or_else(String::new, f64::to_string));
        match (was, is) {
            (Some(a), Some(b)) if !differ(*a, *b) => {}
            (Some(_), Some(_)) => found.push(Difference::changed(&key, &label, from, to)),
            (None, _) => {
                let sentence = format!("constant {name} set to {to}");
                found.push(Difference::in_words(&key, &label, from, to, sentence));
            }
            (_, None) => {
                let sentence = format!("constant {name} back to its built-in value (was {from})");
                found.push(Difference::in_words(&key, &label, from, to, sentence));
            }
        }
    }
}

/// Numbers as a reader sees them: two that are no numbers are the same.
fn differ(a: f64, b: f64) -> bool {
    a != b && !(a.is_nan() && b.is_nan())
}

fn full_name(key: &str, label: &'static str) -> &'static str {
    FULL_NAMES.iter().find(|(each, _)| *each == key).map_or(label, |(_, name)| name)
}

/// A number of the catalogue with its unit, in the reader's where there are two.
fn measured(value: f64, unit: &str) -> Sentence {
    match Unit::of_sign(unit) {
        Unit::Count => with_unit(value, unit).into(),
        known => sentence!("{}", quantity(value, known, 6)),
    }
}

fn with_unit(value: f64, unit: &str) -> String {
    match unit {
        "" => value.to_string(),
        "×" => format!("×{value}"),
        _ => format!("{value} {unit}"),
    }
}

fn quoted(text: &str) -> String {
    let mut shown: String = text.chars().take(MOST_QUOTED).collect();
    if shown.len() < text.len() {
        shown.push('…');
    }
    if shown.is_empty() { "none".to_owned() } else { format!("“{shown}”") }
}

fn lower_first(label: &str) -> String {
    let mut chars = label.chars();
    chars.next().map_or_else(String::new, |first| {
        core::iter::once(first.to_ascii_lowercase()).chain(chars).collect()
    })
}
