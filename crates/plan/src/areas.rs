//! Areas by hand: what brush and outline add to the picture's values.
//!
//! Places are in mm on the *print*, from the plate's top left as printed, in whole twentieths of a
//! millimetre: finer than any brush, and short in a link.

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
/// Most points of all shapes together.
pub const MAX_AREA_POINTS: usize = 12_000;
/// Places to a millimetre.
pub(crate) const PLACES_PER_MM: f64 = 20.0;
