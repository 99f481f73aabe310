//! Checks of the states and the edition.

use super::{BITE_MIN, MAX_TITLE, not_whole, out_of_range};
use crate::MAX_VALUES;
use crate::fields::FIELDS;
use crate::states::{
    Edition, LaterGround, MAX_GROUND_BITES, MAX_POINTS, MAX_POINTS_IN_ALL, MAX_STATES, MAX_WORKS,
    TAKE_UM, TOOL_WIDTH_MM, ToolWork, Work,
};
use crate::types::Plan;

/// How far off the plate a tool may go, mm: strokes run out over the edge.
const OFF_PLATE_MM: f64 = 50.0;

/// Numbers of an edition: key, label, unit, least, most.
const EDITION: [(&str, &str, &str, f64, f64); 5] = [
    ("impressions", "The edition", "impressions", 1.0, 5000.0),
    ("paper_reflectance", "White of the edition's paper", "", 0.5, 0.95),
    ("sheet_width_mm", "Width of the full sheet", "mm", 50.0, 3000.0),
    ("sheet_height_mm", "Height of the full sheet", "mm", 50.0, 3000.0),
    ("minutes_each", "Minutes for each impression", "min", 1.0, 240.0),
];

pub(super) fn check(plan: &Plan, error: &mut impl FnMut(&str, String)) {
    let count = plan.states.len();
    if count > MAX_STATES {
        error(
            "states",
            format!(
                "The plan has {} states; it can have {}. Take some out.",
                count + 1,
                MAX_STATES + 1
            ),
        );
    }
    let mut points = 0;
    for (i, state) in plan.states.iter().enumerate() {
        let number = i + 2;
        let key = format!("states.{i}");
        let length = state.name.chars().count();
        if length > MAX_TITLE {
            error(
                &format!("{key}.name"),
                format!(
                    "The name of state {number} is {length} characters long; keep it to {MAX_TITLE}."
                ),
            );
        }
        if state.from_state < 1 || state.from_state as usize >= number {
            error(
                &format!("{key}.from_state"),
                format!(
                    "State {number} goes on from state {}; choose one from 1 to {}.",
                    state.from_state,
                    number - 1
                ),
            );
        }
        if state.work.len() > MAX_WORKS {
            error(
                &format!("{key}.work"),
                format!(
                    "State {number} has {} pieces of work; keep it to {MAX_WORKS}, or begin a new state.",
                    state.work.len()
                ),
            );
        }
        for (j, work) in state.work.iter().enumerate() {
            let key = format!("{key}.work.{j}");
            match work {
                Work::Tool(tool) => {
                    points += tool.points_mm.len();
                    check_tool(plan, tool, &key, error);
                }
                Work::Ground(ground) => {
                    points += ground.outline_mm.len();
                    check_ground(plan, ground, &key, error);
                }
            }
        }
    }
    if points > MAX_POINTS_IN_ALL {
        error(
            "states",
            format!(
                "The strokes and outlines have {points} points in all; keep them to {MAX_POINTS_IN_ALL}."
            ),
        );
    }
    if let Some(edition) = &plan.edition {
        check_edition(edition, error);
    }
}

fn within(value: f64, (least, most): (f64, f64)) -> bool {
    value >= least && value <= most
}

fn check_points(
    plan: &Plan,
    points: &[[f64; 2]],
    least: usize,
    key: &str,
    error: &mut impl FnMut(&str, String),
) {
    if points.len() < least || points.len() > MAX_POINTS {
        error(key, format!("It has {} points; it needs {least} to {MAX_POINTS}.", points.len()));
    }
    let sides = [plan.plate.width_mm, plan.plate.height_mm];
    let far = |point: &&[f64; 2]| {
        (0..2).any(|i| !within(point[i], (-OFF_PLATE_MM, sides[i] + OFF_PLATE_MM)))
    };
    let fine = |mm: &f64| (mm * 10.0).round() / 10.0 != *mm;
    if let Some(mm) = points.iter().flatten().find(|mm| fine(mm)) {
        error(
            key,
            format!(
                "The place {mm} mm is finer than a tenth of a millimetre. Round it to {} mm.",
                (mm * 10.0).round() / 10.0
            ),
        );
    }
    if let Some([x, y]) = points.iter().find(far) {
        error(
            key,
            format!(
                "The place {x}, {y} mm lies far off the plate; keep within {OFF_PLATE_MM} mm of it."
            ),
        );
    }
}

fn check_tool(plan: &Plan, work: &ToolWork, key: &str, error: &mut impl FnMut(&str, String)) {
    let numbers = [
        ("width_mm", "The tool's width", work.width_mm, "mm", TOOL_WIDTH_MM),
        ("take_um", "What the tool takes down", work.take_um, "µm", TAKE_UM),
    ];
    for (name, label, value, unit, range) in numbers {
        if !within(value, range) {
            error(&format!("{key}.{name}"), out_of_range(label, value, unit, range.0, range.1));
        }
    }
    if !work.passage && work.width_mm == 0.0 {
        error(
            &format!("{key}.width_mm"),
            "A stroke needs a width; give it at least 0.1 mm.".to_owned(),
        );
    }
    let least = if work.passage { 3 } else { 1 };
    check_points(plan, &work.points_mm, least, &format!("{key}.points_mm"), error);
}

fn check_ground(
    plan: &Plan,
    ground: &LaterGround,
    key: &str,
    error: &mut impl FnMut(&str, String),
) {
    // The same limits as the first ground's: its numbers are put into a plan and read back.
    let as_first = Plan {
        dust: ground.dust.clone(),
        bake: ground.bake.clone(),
        bath: ground.bath.clone(),
        ..Plan::default()
    };
    for field in FIELDS {
        let part = field.key.split('.').next().unwrap_or("");
        let value = (field.get)(&as_first);
        if !matches!(part, "dust" | "bake" | "bath") {
            continue;
        }
        let key = format!("{key}.{}", field.key);
        if !within(value, (field.min, field.max)) {
            error(&key, out_of_range(field.label, value, field.unit, field.min, field.max));
        } else if let Some(message) = not_whole(field, value) {
            error(&key, message);
        }
    }
    if !ground.outline_mm.is_empty() {
        check_points(plan, &ground.outline_mm, 3, &format!("{key}.outline_mm"), error);
    }
    let count = ground.bites.len();
    if count == 0 || count > MAX_GROUND_BITES {
        error(
            &format!("{key}.bites"),
            format!("A new ground has {count} bites; it needs 1 to {MAX_GROUND_BITES}."),
        );
    }
    for (i, bite) in ground.bites.iter().enumerate() {
        let key = format!("{key}.bites.{i}");
        let minutes = bite.bite_min;
        if !within(minutes, BITE_MIN) {
            let label = format!("Bite {} under the new ground", i + 1);
            error(
                &format!("{key}.bite_min"),
                out_of_range(&label, minutes, "min", BITE_MIN.0, BITE_MIN.1),
            );
        } else if (minutes * 4.0).fract() != 0.0 {
            error(
                &format!("{key}.bite_min"),
                format!(
                    "Bite {} under the new ground is {minutes} min; bites are timed in quarter minutes.",
                    i + 1
                ),
            );
        }
        if bite.from_value > bite.to_value || bite.to_value as usize > MAX_VALUES {
            error(
                &format!("{key}.from_value"),
                format!(
                    "Bite {} under the new ground opens the values {} to {}; choose 0 to {MAX_VALUES}, the lighter first.",
                    i + 1,
                    bite.from_value,
                    bite.to_value
                ),
            );
        }
    }
}

fn check_edition(edition: &Edition, error: &mut impl FnMut(&str, String)) {
    let values = [
        f64::from(edition.impressions),
        edition.paper_reflectance,
        edition.sheet_width_mm,
        edition.sheet_height_mm,
        edition.minutes_each,
    ];
    for ((name, label, unit, least, most), value) in EDITION.into_iter().zip(values) {
        if !within(value, (least, most)) {
            error(&format!("edition.{name}"), out_of_range(label, value, unit, least, most));
        }
    }
}
