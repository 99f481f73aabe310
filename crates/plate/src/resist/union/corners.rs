//! Corners: where two circles cross in the open.

use super::super::{LANES, Reaches, Window};
use super::rows::EdgeRows;
use super::{Crossing, UnionScratch};
use crate::order::{larger, smaller};
use wide::f32x4;

/// Corners nearer than this to a third disc's edge count as bare, µm.
const HAIR_UM: f64 = 1e-4;

/// Distances to the bare corners of one disc with those listed after it.
pub(super) fn lay_corners(
    own: usize,
    window: Window,
    (reach_um, reaches): (f32, Option<&Reaches>),
    scratch: &mut UnionScratch,
) {
    let UnionScratch { edge2, sorted, crossings, centres, .. } = scratch;
    let (this, index) = (sorted.dome(own), sorted.index(own));
    let (x, y) = (f64::from(this.x_um), f64::from(this.y_um));
    let radius = f64::from(this.radius_um);
    for crossing in crossings.iter().filter(|crossing| crossing.index > index) {
        let (cos, sin) = (crossing.half_angle_cos, crossing.half_angle_sin);
        let outward = [1.0, -1.0].map(|side| {
            (
                cos * crossing.toward_x - side * sin * crossing.toward_y,
                cos * crossing.toward_y + side * sin * crossing.toward_x,
            )
        });
        let corners = outward.map(|(out_x, out_y)| (x + radius * out_x, y + radius * out_y));
        let bare = corners.map(|corner| is_bare(corner, crossing, crossings));
        // Of two bare corners each is the nearest only on its own side of the line through the centres,
        // within the triangle that it makes with them.
        let reach_um = if bare[0] && bare[1] {
            smaller(larger(this.radius_um, crossing.radius as f32), reach_um)
        } else {
            reach_um
        };
        for ((corner, (out_x, out_y)), bare) in corners.into_iter().zip(outward).zip(bare) {
            if !bare {
                continue;
            }
            let inward = (-out_x as f32, -out_y as f32);
            let other_inward = (
                ((crossing.x - corner.0) / crossing.radius) as f32,
                ((crossing.y - corner.1) / crossing.radius) as f32,
            );
            // From the disc's centre, which every window knows to the last bit.
            let off_um = ((radius * out_x) as f32, (radius * out_y) as f32);
            let centre_um = (this.x_um, this.y_um);
            let place = Corner { centre_um, off_um, inward, other_inward };
            let asked_um = reaches.map_or(reach_um, |reaches| {
                let (x_um, y_um) = place.at();
                smaller(reaches.near_um(window, x_um, y_um), reach_um)
            });
            if asked_um > 0.0 {
                lay_corner(&place, window, asked_um, centres, edge2);
            }
        }
    }
}

/// No third disc lies over a corner of this disc with the one it crosses.
fn is_bare(corner: (f64, f64), crossing: &Crossing, crossings: &[Crossing]) -> bool {
    !crossings.iter().any(|third| {
        let (dx, dy) = (corner.0 - third.x, corner.1 - third.y);
        let inside = third.radius - HAIR_UM;
        dx * dx + dy * dy < inside * inside && third.index != crossing.index
    })
}

/// A bare corner: where it lies from the centre of one of its discs, and which way both centres lie from it.
struct Corner {
    centre_um: (f32, f32),
    off_um: (f32, f32),
    inward: (f32, f32),
    other_inward: (f32, f32),
}

impl Corner {
    fn at(&self) -> (f32, f32) {
        (self.centre_um.0 + self.off_um.0, self.centre_um.1 + self.off_um.1)
    }
}

/// Lowers the squared distances to one corner. It is the nearest edge only within the wedge
/// between the directions to the two centres, so no more is gone over than the wedge's rectangle.
fn lay_corner(
    corner: &Corner,
    window: Window,
    reach_um: f32,
    centres: &[f32],
    edge2: &mut EdgeRows,
) {
    let &Corner { centre_um, off_um, inward: one, other_inward: other } = corner;
    let (corner_x, corner_y) = corner.at();
    let turn = one.0 * other.1 - one.1 * other.0;
    // How far the wedge goes each way, as a share of the reach: all of it where that way lies between both
    // directions, or as far as the farther of the two. What is given are both by that axis, and by the one a
    // quarter turn on.
    let side = |one: (f32, f32), other: (f32, f32)| {
        if one.1 * turn <= 0.0 && other.1 * turn >= 0.0 {
            1.0
        } else {
            larger(larger(one.0, other.0), 0.0)
        }
    };
    let right = side(one, other);
    let left = side((-one.0, -one.1), (-other.0, -other.1));
    let down = side((one.1, -one.0), (other.1, -other.0));
    let up = side((-one.1, one.0), (-other.1, other.0));
    // A little more each way, against rounding.
    let slack = 0.125 * window.px_um;
    let Some(span) = window.span(
        corner_x - reach_um * left - slack,
        corner_x + reach_um * right + slack,
        corner_y - reach_um * up - slack,
        corner_y + reach_um * down + slack,
    ) else {
        return;
    };
    let centres = &centres[span.left..span.left + span.columns];
    for y in span.top..span.bottom {
        let dy = window.centre_um(y) - centre_um.1 - off_um.1;
        let dy2 = dy * dy;
        let edge2 = edge2.part_mut(y, span.left, span.columns);
        let lay = |edge2: &mut [f32; LANES], centres: &[f32; LANES]| {
            let dx = f32x4::new(*centres) - centre_um.0 - off_um.0;
            *edge2 = (dx * dx + dy2).fast_min(f32x4::new(*edge2)).to_array();
        };
        for (four, centres) in edge2.as_chunks_mut().0.iter_mut().zip(centres.as_chunks().0) {
            lay(four, centres);
        }
        // Where the columns are no whole lanes, the last few lie in two parts, and what is done to them is done twice.
        if span.columns % LANES > 0
            && let (Some(four), Some(centres)) = (edge2.last_chunk_mut(), centres.last_chunk())
        {
            lay(four, centres);
        }
    }
}
