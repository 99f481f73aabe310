//! Checks of the areas by hand.

use super::said::{out_of_range, too_long};
use crate::areas::{Area, AreaWork, MAX_AREA_POINTS, MAX_AREAS, PLACES_PER_MM, ShapeKind};
use crate::diagnostic::Diagnostic;
use crate::ranges::{AREA_PLACE_MM, BRUSH_MM, FEATHER_MM, MAX_AREA_NAME, SPIT_MIN};
use crate::sentence;
use crate::sentence::Unit;
use crate::types::Plan;

/// Most shapes of all areas together.
const MAX_SHAPES: usize = 1200;

impl Plan {
    /// Checks the areas, one problem to an area at most: the first.
    pub(crate) fn check_areas(&self, found: &mut Vec<Diagnostic>) {
        let points: usize = self
            .areas
            .iter()
            .flat_map(|area| &area.shapes)
            .map(|shape| shape.points_mm.len() / 2)
            .sum();
        let shapes: usize = self.areas.iter().map(|area| area.shapes.len()).sum();
        for (what, count, most) in [
            ("areas by hand", self.areas.len(), MAX_AREAS),
            ("strokes and outlines", shapes, MAX_SHAPES),
            ("points in its areas", points, MAX_AREA_POINTS),
        ] {
            if count > most {
                let message = sentence!("The plan has {} {}; it can hold {}.", count, what, most);
                found.push(
                    Diagnostic::error("areas", "count", message)
                        .hint("Join some, or draw them more simply."),
                );
            }
        }
        for (i, area) in self.areas.iter().enumerate() {
            let wrong = self.wrong_with(area, i + 1);
            found.extend(wrong.map(|wrong| wrong.within(&format!("areas.{i}"))));
        }
    }

    fn wrong_with(&self, area: &Area, number: usize) -> Option<Diagnostic> {
        let called = |what: &str| format!("{what} of area {number}");
        let long = too_long("name", &format!("name of area {number}"), &area.name, MAX_AREA_NAME);
        if long.is_some() {
            return long;
        }
        let darkest = self.bites.len();
        for (field, value) in [("value", area.value), ("to_value", area.to_value)] {
            if usize::from(value) > darkest {
                let message = sentence!(
                    "Area {} asks for value {}; this plan has the values 0 (paper) to {}.",
                    number,
                    value,
                    darkest
                );
                return Some(
                    Diagnostic::error(field, "no_such_value", message).hint("Choose one of them."),
                );
            }
        }
        let mut ranges =
            vec![("feather_mm", called("The feather"), area.feather_mm, Unit::Mm, FEATHER_MM)];
        if area.work == AreaWork::Spit {
            ranges.push((
                "spit_min",
                called("The spit-bite"),
                area.spit_min,
                Unit::Minutes,
                SPIT_MIN,
            ));
        }
        for shape in area.shapes.iter().filter(|shape| shape.kind == ShapeKind::Brush) {
            ranges.push(("shapes", called("A brush"), shape.brush_mm, Unit::Mm, BRUSH_MM));
        }
        let mut out = ranges.into_iter().filter_map(|(field, label, value, unit, range)| {
            out_of_range(field, &label, value, unit, range)
        });
        out.next().or_else(|| wrong_shapes(area, number))
    }
}

/// What is wrong with the shapes and the axis of an area.
fn wrong_shapes(area: &Area, number: usize) -> Option<Diagnostic> {
    let wanted = if area.work == AreaWork::Split { 4 } else { 0 };
    if area.axis_mm.len() != wanted || (wanted == 4 && area.axis_mm[..2] == area.axis_mm[2..]) {
        let needs = if wanted == 4 {
            "two places apart, from where to where it is split"
        } else {
            "no axis: only a split area runs from place to place"
        };
        let message = sentence!("Area {} needs {}.", number, needs);
        return Some(Diagnostic::error("axis_mm", "axis", message));
    }
    if area.shapes.iter().any(|shape| {
        shape.points_mm.len() % 2 != 0
            || shape.points_mm.len() < if shape.kind == ShapeKind::Brush { 2 } else { 6 }
    }) {
        let message = sentence!("Area {} has a shape that is not whole.", number);
        return Some(
            Diagnostic::error("shapes", "broken_shape", message)
                .hint("A stroke needs a point, an outline three, each with x and y."),
        );
    }
    let places =
        || area.shapes.iter().flat_map(|shape| &shape.points_mm).chain(&area.axis_mm).copied();
    let label = format!("A place of area {number}");
    let far = places().find_map(|mm| out_of_range("shapes", &label, mm, Unit::Mm, AREA_PLACE_MM));
    far.or_else(|| {
        let odd = places().find(|mm| (mm * PLACES_PER_MM).round() / PLACES_PER_MM != *mm)?;
        let whole = (odd * PLACES_PER_MM).round() / PLACES_PER_MM;
        let message =
            sentence!("{} is {} mm; places are whole twentieths of a millimetre.", label, odd);
        let hint = sentence!("Round it to {} mm.", whole);
        Some(Diagnostic::error("shapes", "places", message).hint(hint))
    })
}
