//! Checks of the states and the edition.

use super::said::{bite_time, number, out_of_range, too_long};
use crate::diagnostic::Diagnostic;
use crate::fields::FIELDS;
use crate::ranges::{EDITION_PAPER, IMPRESSIONS, MAX_TITLE, MINUTES_EACH, SHEET_MM};
use crate::sentence::{Piece, Unit, quantity};
use crate::states::{
    Edition, LaterGround, MAX_GROUND_BITES, MAX_POINTS, MAX_POINTS_IN_ALL, MAX_STATES, MAX_WORKS,
    TAKE_UM, TOOL_WIDTH_MM, ToolWork, Work,
};
use crate::types::Plan;
use crate::{MAX_VALUES, sentence};

/// How far off the plate a tool may go, mm: strokes run out over the edge.
const OFF_PLATE_MM: f64 = 50.0;

/// Numbers of an edition: key, label, unit, least and most.
const EDITION: [(&str, &str, Unit, (f64, f64)); 5] = [
    ("impressions", "The number of impressions", Unit::Count, IMPRESSIONS),
    ("paper_reflectance", "White of the edition's paper", Unit::Count, EDITION_PAPER),
    ("sheet_width_mm", "Width of the full sheet", Unit::Mm, SHEET_MM),
    ("sheet_height_mm", "Height of the full sheet", Unit::Mm, SHEET_MM),
    ("minutes_each", "Minutes for each impression", Unit::Minutes, MINUTES_EACH),
];

pub(super) fn check(plan: &Plan, found: &mut Vec<Diagnostic>) {
    let count = plan.states.len();
    if count > MAX_STATES {
        let message =
            sentence!("The plan has {} states; it can have {}.", count + 1, MAX_STATES + 1);
        found.push(Diagnostic::error("states", "count", message).hint("Take some out."));
    }
    let mut points = 0;
    for (i, state) in plan.states.iter().enumerate() {
        let number = i + 2;
        let key = format!("states.{i}");
        let name = format!("name of state {number}");
        found.extend(too_long(&format!("{key}.name"), &name, &state.name, MAX_TITLE));
        if state.from_state < 1 || state.from_state as usize >= number {
            let message = sentence!("State {} goes on from state {}.", number, state.from_state);
            found.push(
                Diagnostic::error(format!("{key}.from_state"), "no_such_state", message)
                    .hint(sentence!("Choose one from 1 to {}.", number - 1)),
            );
        }
        if state.work.len() > MAX_WORKS {
            let message = sentence!(
                "State {} has {} pieces of work; it can have {}.",
                number,
                state.work.len(),
                MAX_WORKS
            );
            found.push(
                Diagnostic::error(format!("{key}.work"), "count", message)
                    .hint("Take some out, or begin a new state."),
            );
        }
        for (j, work) in state.work.iter().enumerate() {
            let key = format!("{key}.work.{j}");
            match work {
                Work::Tool(tool) => {
                    points += tool.points_mm.len();
                    check_tool(plan, tool, &key, found);
                }
                Work::Ground(ground) => {
                    points += ground.outline_mm.len();
                    check_ground(plan, ground, &key, found);
                }
            }
        }
    }
    if points > MAX_POINTS_IN_ALL {
        found.push(Diagnostic::error(
            "states",
            "count",
            sentence!(
                "The strokes and outlines have {} points in all; keep them to {}.",
                points,
                MAX_POINTS_IN_ALL
            ),
        ));
    }
    if let Some(edition) = &plan.edition {
        check_edition(edition, found);
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
    found: &mut Vec<Diagnostic>,
) {
    if points.len() < least || points.len() > MAX_POINTS {
        let message =
            sentence!("It has {} points; it needs {} to {}.", points.len(), least, MAX_POINTS);
        found.push(Diagnostic::error(key, "count", message));
    }
    let sides = [plan.plate.width_mm, plan.plate.height_mm];
    let far = |point: &&[f64; 2]| {
        (0..2).any(|i| !within(point[i], (-OFF_PLATE_MM, sides[i] + OFF_PLATE_MM)))
    };
    let fine = |mm: &f64| (mm * 10.0).round() / 10.0 != *mm;
    if let Some(mm) = points.iter().flatten().find(|mm| fine(mm)) {
        let message = sentence!("The place {} mm is finer than a tenth of a millimetre.", *mm);
        let hint = sentence!("Round it to {} mm.", (mm * 10.0).round() / 10.0);
        found.push(Diagnostic::error(key, "places", message).hint(hint));
    }
    if let Some([x, y]) = points.iter().find(far) {
        let place = |mm| quantity(mm, Unit::Mm, 4);
        let message = sentence!(
            "The place {}, {} lies far off the plate.",
            Piece::Number(place(*x)),
            place(*y)
        );
        let hint = sentence!("Keep within {} of it.", quantity(OFF_PLATE_MM, Unit::Mm, 0));
        found.push(Diagnostic::error(key, "off_plate", message).hint(hint));
    }
}

fn check_tool(plan: &Plan, work: &ToolWork, key: &str, found: &mut Vec<Diagnostic>) {
    let numbers = [
        ("width_mm", "The tool's width", work.width_mm, Unit::Mm, TOOL_WIDTH_MM),
        ("take_um", "What the tool takes down", work.take_um, Unit::Um, TAKE_UM),
    ];
    for (name, label, value, unit, range) in numbers {
        found.extend(out_of_range(&format!("{key}.{name}"), label, value, unit, range));
    }
    if !work.passage && work.width_mm == 0.0 {
        found.push(
            Diagnostic::error(format!("{key}.width_mm"), "no_width", "A stroke needs a width.")
                .hint(sentence!("Give it at least {}.", quantity(0.1, Unit::Mm, 1))),
        );
    }
    let least = if work.passage { 3 } else { 1 };
    check_points(plan, &work.points_mm, least, &format!("{key}.points_mm"), found);
}

fn check_ground(plan: &Plan, ground: &LaterGround, key: &str, found: &mut Vec<Diagnostic>) {
    // The same limits as the first ground's: its numbers are put into a plan and read back.
    let as_first = Plan {
        dust: ground.dust.clone(),
        bake: ground.bake.clone(),
        bath: ground.bath.clone(),
        ..Plan::default()
    };
    for field in FIELDS {
        let part = field.key.split('.').next().unwrap_or("");
        if matches!(part, "dust" | "bake" | "bath") {
            let key = format!("{key}.{}", field.key);
            found.extend(number(&key, field, (field.get)(&as_first)));
        }
    }
    if !ground.outline_mm.is_empty() {
        check_points(plan, &ground.outline_mm, 3, &format!("{key}.outline_mm"), found);
    }
    let count = ground.bites.len();
    if count == 0 || count > MAX_GROUND_BITES {
        let message =
            sentence!("A new ground has {} bites; it needs 1 to {}.", count, MAX_GROUND_BITES);
        found.push(Diagnostic::error(format!("{key}.bites"), "count", message));
    }
    for (i, bite) in ground.bites.iter().enumerate() {
        let key = format!("{key}.bites.{i}");
        let label = format!("Bite {} under the new ground", i + 1);
        found.extend(bite_time(&format!("{key}.bite_min"), &label, bite.bite_min));
        if bite.from_value > bite.to_value || bite.to_value as usize > MAX_VALUES {
            let message =
                sentence!("{} opens the values {} to {}.", label, bite.from_value, bite.to_value);
            let hint = sentence!("Choose 0 to {}, the lighter first.", MAX_VALUES);
            found.push(
                Diagnostic::error(format!("{key}.from_value"), "no_such_value", message).hint(hint),
            );
        }
    }
}

fn check_edition(edition: &Edition, found: &mut Vec<Diagnostic>) {
    let values = [
        f64::from(edition.impressions),
        edition.paper_reflectance,
        edition.sheet_width_mm,
        edition.sheet_height_mm,
        edition.minutes_each,
    ];
    for ((name, label, unit, range), value) in EDITION.into_iter().zip(values) {
        found.extend(out_of_range(&format!("edition.{name}"), label, value, unit, range));
    }
}
