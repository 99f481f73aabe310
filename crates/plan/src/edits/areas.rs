//! Edits of the list of areas by hand, which are numbered from 1, the first laid first.
//!
//! Nothing names an area by its number, so nothing else follows; what an area shows depends on those
//! after it alone.

use super::{Edited, sound};
use crate::areas::{Area, AreaShape, AreaWork, PLACES_PER_MM};
use crate::diagnostic::Diagnostic;
use crate::sentence;
use crate::types::Plan;

/// Lays an area as number `number`; one more than there are lays it over all others. A split area
/// without a direction runs from left to right across what is drawn.
///
/// # Errors
/// A diagnostic when there is no such place in the list, or the plan would not be sound with it.
pub fn add_area(plan: &Plan, number: usize, area: Area) -> Result<Edited, Diagnostic> {
    if number != plan.areas.len() + 1 {
        known(plan, number)?;
    }
    let mut next = plan.clone();
    next.areas.insert(number - 1, directed(area, plan));
    sound(plan, next)
}

/// Puts another in the place of area `number`, with a direction where it is split and none else.
///
/// # Errors
/// As [`add_area`].
pub fn change_area(plan: &Plan, number: usize, area: Area) -> Result<Edited, Diagnostic> {
    known(plan, number)?;
    let mut next = plan.clone();
    next.areas[number - 1] = directed(area, plan);
    sound(plan, next)
}

/// Takes area `number` out; what lies beneath it shows again.
///
/// # Errors
/// A diagnostic when there is no such area.
pub fn remove_area(plan: &Plan, number: usize) -> Result<Edited, Diagnostic> {
    known(plan, number)?;
    let mut next = plan.clone();
    next.areas.remove(number - 1);
    sound(plan, next)
}

/// Lays area `from` as number `to`; those between make room.
///
/// # Errors
/// A diagnostic when there is no such area.
pub fn move_area(plan: &Plan, from: usize, to: usize) -> Result<Edited, Diagnostic> {
    known(plan, from)?;
    known(plan, to)?;
    let mut next = plan.clone();
    let area = next.areas.remove(from - 1);
    next.areas.insert(to - 1, area);
    sound(plan, next)
}

fn known(plan: &Plan, number: usize) -> Result<(), Diagnostic> {
    match plan.areas.len() {
        0 => Err(Diagnostic::error("areas", "none", "This plan has no areas by hand.")),
        last if !(1..=last).contains(&number) => {
            let said =
                sentence!("There is no area {}; this plan has the areas 1 to {}.", number, last);
            Err(Diagnostic::error("areas", "unknown", said))
        }
        _ => Ok(()),
    }
}

/// The area with a direction if it is split, and without one if it is not.
fn directed(mut area: Area, plan: &Plan) -> Area {
    if area.work != AreaWork::Split {
        area.axis_mm.clear();
    } else if area.axis_mm.is_empty() {
        area.axis_mm = across(&area.shapes, plan).to_vec();
    }
    area
}

/// From left to right through the middle of these shapes, or of the plate where there are none.
fn across(shapes: &[AreaShape], plan: &Plan) -> [f64; 4] {
    let points = || shapes.iter().flat_map(|shape| shape.points_mm.as_chunks::<2>().0);
    let ends = |i: usize, side_mm: f64| {
        let ends = points().fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), point| {
            (least.min(point[i]), most.max(point[i]))
        });
        if ends.0 <= ends.1 { ends } else { (0.0, side_mm) }
    };
    let placed = |mm: f64| (mm * PLACES_PER_MM).round() / PLACES_PER_MM;
    let ((left, right), (top, bottom)) =
        (ends(0, plan.plate.width_mm), ends(1, plan.plate.height_mm));
    let middle = placed(0.5 * (top + bottom));
    let (left, right) = (placed(left), placed(right));
    [left, middle, if right > left { right } else { left + 1.0 }, middle]
}
