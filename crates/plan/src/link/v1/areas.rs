//! Areas by hand in version 1: places as steps of a twentieth of a millimetre from the place before,
//! which postcard writes in one or two bytes each. **Frozen** as the rest.

use super::{Hundredths, Number};
use crate as now;
use crate::areas::PLACES_PER_MM;
use now::{AreaShape, AreaWork, ShapeKind};
use serde::{Deserialize, Serialize};

#[derive(Serialize, Deserialize)]
pub(super) struct Area {
    name: String,
    work: u8,
    value: u8,
    to_value: u8,
    feather_mm: Hundredths,
    spit_min: Hundredths,
    axis: Vec<i32>,
    shapes: Vec<Shape>,
}

#[derive(Serialize, Deserialize)]
struct Shape {
    /// Kind, and 4 more where it takes away.
    kind: u8,
    brush_mm: Hundredths,
    steps: Vec<i32>,
}

const WORKS: [AreaWork; 4] = [AreaWork::Hold, AreaWork::Picture, AreaWork::Split, AreaWork::Spit];
const KINDS: [ShapeKind; 3] = [ShapeKind::Brush, ShapeKind::Outline, ShapeKind::Curve];
/// Mark of a shape that takes away.
const AWAY: u8 = 4;

impl From<&crate::Area> for Area {
    fn from(area: &crate::Area) -> Self {
        Self {
            name: area.name.clone(),
            work: WORKS.iter().position(|work| *work == area.work).unwrap_or(0) as u8,
            value: area.value,
            to_value: area.to_value,
            feather_mm: Number(area.feather_mm),
            spit_min: Number(area.spit_min),
            axis: steps(&area.axis_mm),
            shapes: area
                .shapes
                .iter()
                .map(|shape| Shape {
                    kind: KINDS.iter().position(|kind| *kind == shape.kind).unwrap_or(0) as u8
                        | if shape.away { AWAY } else { 0 },
                    brush_mm: Number(shape.brush_mm),
                    steps: steps(&shape.points_mm),
                })
                .collect(),
        }
    }
}

impl Area {
    /// The area of today; `None` for a work or kind there is not.
    pub(super) fn into_area(self) -> Option<now::Area> {
        Some(now::Area {
            name: self.name,
            work: *WORKS.get(usize::from(self.work))?,
            value: self.value,
            to_value: self.to_value,
            feather_mm: self.feather_mm.0,
            spit_min: self.spit_min.0,
            axis_mm: places(&self.axis),
            shapes: self.shapes.into_iter().map(Shape::into_shape).collect::<Option<_>>()?,
        })
    }
}

impl Shape {
    fn into_shape(self) -> Option<AreaShape> {
        Some(AreaShape {
            kind: *KINDS.get(usize::from(self.kind & !AWAY))?,
            away: self.kind & AWAY != 0,
            brush_mm: self.brush_mm.0,
            points_mm: places(&self.steps),
        })
    }
}

/// Places as steps, x and y each from the one before. A checked plan's are whole twentieths.
fn steps(places_mm: &[f64]) -> Vec<i32> {
    let mut before = [0, 0];
    places_mm
        .iter()
        .enumerate()
        .map(|(i, mm)| {
            let place = (mm * PLACES_PER_MM).round() as i32;
            let step = place.wrapping_sub(before[i % 2]);
            before[i % 2] = place;
            step
        })
        .collect()
}

/// The places that steps lead to, mm.
fn places(steps: &[i32]) -> Vec<f64> {
    let mut at = [0_i32, 0];
    steps
        .iter()
        .enumerate()
        .map(|(i, step)| {
            at[i % 2] = at[i % 2].wrapping_add(*step);
            f64::from(at[i % 2]) / PLACES_PER_MM
        })
        .collect()
}
