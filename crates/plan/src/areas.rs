//! Areas by hand: what brush and outline add to the picture's values.
//!
//! Places are in mm on the *print*, from the plate's top left as printed, in whole twentieths of a
//! millimetre: finer than any brush, and short in a link.

use crate::check::out_of_range;
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
    pub(crate) fn check_areas(&self, error: &mut impl FnMut(&str, String)) {
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
                error(
                    "areas",
                    format!(
                        "The plan has {count} {what}; it can hold {most}. Join some, or draw them more simply."
                    ),
                );
            }
        }
        for (i, area) in self.areas.iter().enumerate() {
            if let Some((field, message)) = self.wrong_with(area, i + 1) {
                error(&format!("areas.{i}.{field}"), message);
            }
        }
    }

    fn wrong_with(&self, area: &Area, number: usize) -> Option<(&'static str, String)> {
        let called = |what: &str| format!("{what} of area {number}");
        let length = area.name.chars().count();
        if length > MAX_NAME {
            return Some((
                "name",
                format!(
                    "The name of area {number} is {length} characters long; keep it to {MAX_NAME}."
                ),
            ));
        }
        let darkest = self.bites.len();
        for (field, value) in [("value", area.value), ("to_value", area.to_value)] {
            if usize::from(value) > darkest {
                return Some((
                    field,
                    format!(
                        "Area {number} asks for value {value}; this plan has the values 0 (paper) to {darkest}. Choose one of them."
                    ),
                ));
            }
        }
        let mut ranges =
            vec![("feather_mm", called("The feather"), area.feather_mm, "mm", FEATHER_MM)];
        if area.work == AreaWork::Spit {
            ranges.push(("spit_min", called("The spit-bite"), area.spit_min, "min", SPIT_MIN));
        }
        for shape in area.shapes.iter().filter(|shape| shape.kind == ShapeKind::Brush) {
            ranges.push(("shapes", called("A brush"), shape.brush_mm, "mm", BRUSH_MM));
        }
        for (field, label, value, unit, (least, most)) in ranges {
            if !(value >= least && value <= most) {
                return Some((field, out_of_range(&label, value, unit, least, most)));
            }
        }
        let wanted = if area.work == AreaWork::Split { 4 } else { 0 };
        if area.axis_mm.len() != wanted || (wanted == 4 && area.axis_mm[..2] == area.axis_mm[2..]) {
            return Some((
                "axis_mm",
                format!(
                    "Area {number} needs {}.",
                    if wanted == 4 {
                        "two places apart, from where to where it is split"
                    } else {
                        "no axis: only a split area runs from place to place"
                    }
                ),
            ));
        }
        if area.shapes.iter().any(|shape| {
            shape.points_mm.len() % 2 != 0
                || shape.points_mm.len() < if shape.kind == ShapeKind::Brush { 2 } else { 6 }
        }) {
            return Some((
                "shapes",
                format!(
                    "Area {number} has a shape that is not whole: a stroke needs a point, an outline three, each with x and y."
                ),
            ));
        }
        let places =
            || area.shapes.iter().flat_map(|shape| &shape.points_mm).chain(&area.axis_mm).copied();
        let far = places().find(|mm| !(*mm >= -OFF_PLATE_MM && *mm <= FARTHEST_MM));
        if let Some(mm) = far {
            return Some((
                "shapes",
                out_of_range(&called("A place"), mm, "mm", -OFF_PLATE_MM, FARTHEST_MM),
            ));
        }
        let odd = places().find(|mm| (mm * PLACES_PER_MM).round() / PLACES_PER_MM != *mm);
        odd.map(|mm| {
            (
                "shapes",
                format!(
                    "A place of area {number} is {mm} mm; places are whole twentieths of a millimetre. Round it to {} mm.",
                    (mm * PLACES_PER_MM).round() / PLACES_PER_MM
                ),
            )
        })
    }
}
