//! Areas by hand: what brush and outline add to the picture's values.
//!
//! Places are in mm on the *print*, from the plate's top left as printed, in whole twentieths of a
//! millimetre: finer than any brush, and short in a link.

use crate::check::{out_of_range, too_long};
use crate::diagnostic::Diagnostic;
use crate::sentence;
use crate::sentence::Unit;
use crate::types::Plan;
use serde::{Deserialize, Serialize};

/// An area of the plate that is worked by hand. It lies over the picture and over the areas before it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[serde(deny_unknown_fields)]
pub struct Area {
    /// What it is called; may be empty. At most 60 characters.
    #[serde(default)]
    pub name: String,
    /// What is done in it.
    pub work: AreaWork,
    /// The value it is held at (`hold`; 0 is kept white), or at its start (`split`).
    #[serde(default)]
    pub value: u8,
    /// The value at its end (`split`).
    #[serde(default)]
    pub to_value: u8,
    /// Width over which the stop-out is feathered, mm: from the area's edge inwards, or about each
    /// border of a split area. For spit-bite, how far it fades towards its edge. 0 is a sharp edge.
    #[serde(default)]
    pub feather_mm: f64,
    /// Minutes that etchant is brushed on (`spit`).
    #[serde(default)]
    pub spit_min: f64,
    /// From where to where a split area runs: x, y, x, y in mm. Empty otherwise.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[ts(optional, as = "Option<Vec<f64>>")]
    pub axis_mm: Vec<f64>,
    /// What it is made of, in the order drawn.
    pub shapes: Vec<AreaShape>,
}

/// What is done in an area.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum AreaWork {
    /// Held at one value: stopped out after that bite, or from the start (0).
    Hold,
    /// As the picture has it, whatever areas lie beneath.
    Picture,
    /// A gradation by creeping the stop-out: in strips from one value to another.
    Split,
    /// Spit-bite: before the first bite etchant is brushed on, fading towards the edge.
    Spit,
}

/// One stroke or outline of an area.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[serde(deny_unknown_fields)]
pub struct AreaShape {
    /// How its points are joined.
    pub kind: ShapeKind,
    /// It takes away from the area instead of adding to it.
    #[serde(default)]
    pub away: bool,
    /// Width of the brush, mm (`brush` only).
    #[serde(default)]
    pub brush_mm: f64,
    /// Its points: x, y, x, y … in mm.
    pub points_mm: Vec<f64>,
}

/// How the points of a shape are joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum ShapeKind {
    /// A round brush drawn from point to point.
    Brush,
    /// The inside of a straight-edged outline.
    Outline,
    /// The inside of a smooth outline through the points.
    Curve,
}

/// Most areas of a plan.
pub const MAX_AREAS: usize = 60;
/// Most shapes of all areas together.
const MAX_SHAPES: usize = 1200;
/// Most points of all shapes together.
pub const MAX_AREA_POINTS: usize = 12_000;
/// Longest name, in characters.
const MAX_NAME: usize = 60;
/// Places to a millimetre.
pub(crate) const PLACES_PER_MM: f64 = 20.0;
/// Points may lie this far off the plate, mm: an outline may well run past its edge.
const OFF_PLATE_MM: f64 = 100.0;
/// Largest place there is, mm: the largest plate and as much again.
const FARTHEST_MM: f64 = 1200.0;
/// Narrowest and widest brush, mm.
const BRUSH_MM: (f64, f64) = (0.1, 100.0);
/// Widest feather, mm.
const FEATHER_MM: (f64, f64) = (0.0, 100.0);
/// Shortest and longest spit-bite, min.
const SPIT_MIN: (f64, f64) = (0.25, 30.0);

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
        let long = too_long("name", &format!("name of area {number}"), &area.name, MAX_NAME);
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
    let off = (-OFF_PLATE_MM, FARTHEST_MM);
    let far = places().find_map(|mm| out_of_range("shapes", &label, mm, Unit::Mm, off));
    far.or_else(|| {
        let odd = places().find(|mm| (mm * PLACES_PER_MM).round() / PLACES_PER_MM != *mm)?;
        let whole = (odd * PLACES_PER_MM).round() / PLACES_PER_MM;
        let message =
            sentence!("{} is {} mm; places are whole twentieths of a millimetre.", label, odd);
        let hint = sentence!("Round it to {} mm.", whole);
        Some(Diagnostic::error("shapes", "places", message).hint(hint))
    })
}
