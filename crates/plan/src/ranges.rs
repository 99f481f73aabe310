//! Limits and steps of the numbers that [`FIELDS`](crate::FIELDS) does not list: their parts of a plan are lists,
//! or need not be there.

use crate::areas::{MAX_AREAS, PLACES_PER_MM};
use crate::check::{BITE_MIN, BITES_PER_MIN};
use crate::faults::{FAULT_PLACE_MM, FAULT_RADIUS_MM, FAULT_SIZE, MAX_FAULTS};
use crate::lesson::{ANSWERS, MAX_ANSWER, MAX_ASK, MAX_PARAGRAPHS, MAX_WORDS};
use crate::lines::LINE_OPEN_L;
use crate::link::{CHAT_CHARS, MOST_CHARS, QR_MOST_CHARS};
use crate::states::{MAX_STATES, TAKE_UM, TOOL_WIDTH_MM};
use crate::strip::{LEAST_PATCHES, MOST_PATCHES};
use crate::{MAX_VALUES, MIN_VALUES};
use serde::Serialize;

/// Limits and step of one number; of words and lists, their length.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Range {
    /// Path in the plan's JSON without places in lists: `bites.bite_min`, `edition.impressions`.
    pub key: &'static str,
    /// Smallest value accepted.
    pub min: f64,
    /// Largest value accepted.
    pub max: f64,
    /// Step of the page's control; the finest difference that is kept, for minutes and places.
    pub step: f64,
}

/// Longest title, in characters.
pub(crate) const MAX_TITLE: usize = 120;
/// Longest notes, in characters.
pub(crate) const MAX_NOTES: usize = 4000;
/// Longest name of an area, in characters.
pub(crate) const MAX_AREA_NAME: usize = 60;
/// Lightness at which a value may begin, L*.
pub(crate) const THRESHOLD_L: (f64, f64) = (0.0, 100.0);
/// Most points of the curve that the picture's tones go through.
pub(crate) const MAX_TONE_POINTS: usize = 8;
/// Lightness before and after that curve, L*.
pub(crate) const TONE_L: (f64, f64) = (0.0, 100.0);
/// Narrowest and widest brush, mm.
pub(crate) const BRUSH_MM: (f64, f64) = (0.1, 100.0);
/// Widest feather, mm.
pub(crate) const FEATHER_MM: (f64, f64) = (0.0, 100.0);
/// Shortest and longest spit-bite, min.
pub(crate) const SPIT_MIN: (f64, f64) = (0.25, 30.0);
/// Places of an area, mm: an outline may well run past the plate's edge, and the largest plate and as much
/// again is the farthest there is.
pub(crate) const AREA_PLACE_MM: (f64, f64) = (-100.0, 1200.0);
/// Impressions of an edition.
pub(crate) const IMPRESSIONS: (f64, f64) = (1.0, 5000.0);
/// White of an edition's paper.
pub(crate) const EDITION_PAPER: (f64, f64) = (0.5, 0.95);
/// Sides of an edition's full sheet, mm.
pub(crate) const SHEET_MM: (f64, f64) = (50.0, 3000.0);
/// Minutes for each impression.
pub(crate) const MINUTES_EACH: (f64, f64) = (1.0, 240.0);

const fn range(key: &'static str, (min, max): (f64, f64), step: f64) -> Range {
    Range { key, min, max, step }
}

const fn up_to(key: &'static str, max: usize) -> Range {
    range(key, (0.0, max as f64), 1.0)
}

/// Every such number, once.
pub const RANGES: &[Range] = &[
    up_to("title", MAX_TITLE),
    up_to("notes", MAX_NOTES),
    range("seed", (0.0, u32::MAX as f64), 1.0),
    range("picture.thresholds_l", THRESHOLD_L, 0.5),
    up_to("picture.tone_points", MAX_TONE_POINTS),
    range("picture.tone_points.from_l", TONE_L, 0.5),
    range("picture.tone_points.to_l", TONE_L, 0.5),
    range("bites", (MIN_VALUES as f64, MAX_VALUES as f64), 1.0),
    range("bites.bite_min", BITE_MIN, 1.0 / BITES_PER_MIN),
    range("lines.open_below_l", LINE_OPEN_L, 1.0),
    up_to("areas", MAX_AREAS),
    up_to("areas.name", MAX_AREA_NAME),
    range("areas.feather_mm", FEATHER_MM, 0.5),
    range("areas.spit_min", SPIT_MIN, 0.25),
    range("areas.brush_mm", BRUSH_MM, 0.1),
    range("areas.points_mm", AREA_PLACE_MM, 1.0 / PLACES_PER_MM),
    range("strip.patches", (LEAST_PATCHES as f64, MOST_PATCHES as f64), 1.0),
    up_to("states", MAX_STATES),
    up_to("states.name", MAX_TITLE),
    range("tool.width_mm", TOOL_WIDTH_MM, 0.1),
    range("tool.take_um", TAKE_UM, 0.1),
    up_to("faults", MAX_FAULTS),
    range("faults.x_mm", FAULT_PLACE_MM, 0.1),
    range("faults.y_mm", FAULT_PLACE_MM, 0.1),
    range("faults.radius_mm", FAULT_RADIUS_MM, 0.1),
    range("faults.size", FAULT_SIZE, 0.05),
    range("edition.impressions", IMPRESSIONS, 1.0),
    range("edition.paper_reflectance", EDITION_PAPER, 0.01),
    range("edition.sheet_width_mm", SHEET_MM, 10.0),
    range("edition.sheet_height_mm", SHEET_MM, 10.0),
    range("edition.minutes_each", MINUTES_EACH, 1.0),
    up_to("lesson.title", MAX_TITLE),
    up_to("lesson.paragraphs", MAX_PARAGRAPHS),
    up_to("lesson.words", MAX_WORDS),
    up_to("lesson.ask", MAX_ASK),
    range("lesson.options", ANSWERS, 1.0),
    up_to("lesson.option", MAX_ANSWER),
    up_to("link.code", QR_MOST_CHARS),
    up_to("link.chat", CHAT_CHARS),
    up_to("link", MOST_CHARS),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        Area, AreaWork, Edition, Fault, FaultKind, LineWork, Plan, TonePoint, Tool, ToolWork, Work,
    };

    /// A sound plan in which the number with this key has this value; the key as problems name it.
    fn with(key: &str, value: f64) -> Option<(Plan, &'static str)> {
        let mut plan = Plan::default();
        let area = |work| Area {
            name: String::new(),
            work,
            value: 1,
            to_value: 0,
            feather_mm: 1.0,
            spit_min: 2.0,
            axis_mm: Vec::new(),
            shapes: Vec::new(),
        };
        let mut edition = Edition::default();
        let mut tool = ToolWork {
            tool: Tool::Scraper,
            passage: true,
            width_mm: 1.0,
            take_um: 1.0,
            points_mm: vec![[0.0, 0.0], [9.0, 0.0], [9.0, 9.0]],
        };
        let named = match key {
            "picture.thresholds_l" => {
                let levels = &mut plan.picture.thresholds_l;
                if value > 50.0 {
                    levels[0] = value;
                    "picture.thresholds_l.0"
                } else {
                    levels[6] = value;
                    "picture.thresholds_l.6"
                }
            }
            "picture.tone_points.from_l" => {
                plan.picture.tone_points.push(TonePoint { from_l: value, to_l: 50.0 });
                "picture.tone_points.0.from_l"
            }
            "picture.tone_points.to_l" => {
                plan.picture.tone_points.push(TonePoint { from_l: 50.0, to_l: value });
                "picture.tone_points.0.to_l"
            }
            "bites.bite_min" => {
                plan.bites[0].bite_min = value;
                "bites.0.bite_min"
            }
            "lines.open_below_l" => {
                plan.lines = Some(LineWork { open_below_l: value, ..LineWork::usual() });
                "lines.open_below_l"
            }
            "areas.feather_mm" => {
                plan.areas.push(Area { feather_mm: value, ..area(AreaWork::Hold) });
                "areas.0.feather_mm"
            }
            "areas.spit_min" => {
                plan.areas.push(Area { spit_min: value, ..area(AreaWork::Spit) });
                "areas.0.spit_min"
            }
            "tool.width_mm" => {
                tool.width_mm = value;
                "states.0.work.0.width_mm"
            }
            "tool.take_um" => {
                tool.take_um = value;
                "states.0.work.0.take_um"
            }
            "faults.x_mm" | "faults.y_mm" | "faults.radius_mm" | "faults.size" => {
                let mut fault = Fault::usual(FaultKind::Draught);
                let (number, named) = match key {
                    "faults.x_mm" => (&mut fault.x_mm, "faults.0.x_mm"),
                    "faults.y_mm" => (&mut fault.y_mm, "faults.0.y_mm"),
                    "faults.radius_mm" => (&mut fault.radius_mm, "faults.0.radius_mm"),
                    _ => (&mut fault.size, "faults.0.size"),
                };
                *number = value;
                plan.faults.push(fault);
                named
            }
            "edition.paper_reflectance" => {
                edition.paper_reflectance = value;
                "edition.paper_reflectance"
            }
            "edition.sheet_width_mm" => {
                edition.sheet_width_mm = value;
                "edition.sheet_width_mm"
            }
            "edition.sheet_height_mm" => {
                edition.sheet_height_mm = value;
                "edition.sheet_height_mm"
            }
            "edition.minutes_each" => {
                edition.minutes_each = value;
                "edition.minutes_each"
            }
            "edition.impressions" => {
                edition.impressions = value as u32;
                "edition.impressions"
            }
            _ => return None,
        };
        if key.starts_with("tool.") {
            plan.states.push(crate::State {
                name: String::new(),
                from_state: 1,
                work: vec![Work::Tool(tool)],
            });
        }
        if key.starts_with("edition.") {
            plan.edition = Some(edition);
        }
        Some((plan, named))
    }

    #[test]
    fn a_plan_is_sound_up_to_its_limits_and_not_a_step_beyond() {
        let mut tried = 0;
        for range in RANGES {
            let Some((least, _)) = with(range.key, range.min) else { continue };
            let (most, named) = with(range.key, range.max).expect("the same key");
            tried += 1;
            assert_eq!(least.problems(), [], "{} at its least", range.key);
            assert_eq!(most.problems(), [], "{} at its most", range.key);
            let (beyond, _) = with(range.key, range.max + range.step).expect("the same key");
            let problems = beyond.problems();
            assert!(problems.iter().any(|one| one.field == named), "{}: {problems:?}", range.key);
        }
        assert_eq!(tried, 18, "numbers that were tried");
    }

    #[test]
    fn keys_are_unlike_each_other_and_the_fields() {
        for (i, range) in RANGES.iter().enumerate() {
            assert!(RANGES[..i].iter().all(|one| one.key != range.key), "{} twice", range.key);
            assert!(crate::field(range.key).is_none(), "{} is a field", range.key);
            assert!(range.min < range.max && range.step > 0.0, "{} is a range", range.key);
        }
    }
}
