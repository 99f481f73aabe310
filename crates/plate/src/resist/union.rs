//! Overlapping discs: distance from under the resin to the edge of their union.
//!
//! The edge is made of arcs, those parts of the circles that lie in no other disc, and of corners,
//! where two circles cross in the open. From a point under the resin the nearest edge is
//! either the point straight out from the centre of a disc over it, if that foot lies on an arc,
//! or a corner. So s is the least of radius − |x − centre| over the discs whose foot is bare, and
//! of |x − corner|. In the open s is minus the distance to the nearest disc.
//!
//! Discs are laid from the top of the window to its foot, so that only those rows are held squared which
//! the discs still to come may reach. In which order they are laid changes no bit.

mod rows;

use super::{LANES, Window};
use crate::ground::Dome;
use crate::order::{larger, smaller};
use core::ops::Range;
use rows::EdgeRows;
use wide::{CmpGt, CmpLe, f32x4};

/// Buffers kept between calls.
#[derive(Clone, Debug, Default)]
pub(super) struct UnionScratch {
    /// Square of the least distance to an arc or corner so far, µm².
    edge2: EdgeRows,
    /// Domes sorted into square cells: start of each cell in `order`.
    cell_start: Vec<u32>,
    order: Vec<u32>,
    crossings: Vec<Crossing>,
    bars: Vec<Bar>,
    /// Horizontal distances, µm, or their squares, of the columns at hand.
    columns: Vec<f32>,
}

/// Another disc that crosses the one at hand.
#[derive(Clone, Copy, Debug)]
struct Crossing {
    index: u32,
    /// Direction from this disc's centre to the other's.
    toward_x: f64,
    toward_y: f64,
    /// Cosine of the angle, at this centre, from that direction to the two crossings.
    half_angle_cos: f64,
}

/// A crossing as one row of the disc sees it: feet in directions nearer to the other centre than
/// the crossing points are buried under the other disc.
#[derive(Clone, Copy, Debug)]
struct Bar {
    toward_x: f32,
    toward_y: f32,
    cos: f32,
    /// toward_y·dy of the row at hand, µm.
    across_um: f32,
}

/// Corners nearer than this to a third disc's edge count as bare, µm.
const HAIR_UM: f64 = 1e-4;

/// Square cells over all domes.
struct Cells {
    left: f32,
    top: f32,
    size: f32,
    columns: usize,
    rows: usize,
    /// Radius of the widest disc, µm.
    widest_um: f32,
}

impl Cells {
    fn of(domes: &[Dome]) -> Option<Self> {
        let first = domes.first()?;
        let (mut left, mut right, mut top, mut bottom) =
            (first.x_um, first.x_um, first.y_um, first.y_um);
        let mut radius = first.radius_um;
        for dome in domes {
            left = smaller(dome.x_um, left);
            right = larger(dome.x_um, right);
            top = smaller(dome.y_um, top);
            bottom = larger(dome.y_um, bottom);
            radius = larger(dome.radius_um, radius);
        }
        // Most discs are far smaller than the widest and look no farther than both reach; many more cells
        // than domes would only cost memory.
        let sparse = libm::sqrtf((right - left) * (bottom - top) / domes.len() as f32);
        let size = larger(larger(0.5 * radius, sparse), 1e-3);
        Some(Self {
            left,
            top,
            size,
            columns: ((right - left) / size) as usize + 1,
            rows: ((bottom - top) / size) as usize + 1,
            widest_um: radius,
        })
    }

    fn column(&self, x_um: f32) -> usize {
        (((x_um - self.left) / self.size) as usize).min(self.columns - 1)
    }

    fn row(&self, y_um: f32) -> usize {
        (((y_um - self.top) / self.size) as usize).min(self.rows - 1)
    }
}

/// Rows that are finished together at least: few enough to stay near at hand until the next stage has read
/// them.
const BAND_ROWS: usize = 16;

/// Fills `out`, which holds −1 pixel everywhere, with the signed distances, band after band of rows; after
/// each, `then` is given all rows so far and the band's first pixel.
pub(super) fn distance(
    domes: &[Dome],
    window: Window,
    reach_um: f32,
    scratch: &mut UnionScratch,
    out: &mut [f32],
    then: &mut dyn FnMut(&mut [f32], usize),
) {
    let Some(cells) = Cells::of(domes) else {
        then(out, 0);
        return;
    };
    if window.width < LANES {
        // Worked at the width of the lanes, which hold whole rows everywhere else.
        let wide = Window { width: LANES, ..window };
        let mut rows = vec![-window.px_um; LANES * window.height];
        distance(domes, wide, reach_um, scratch, &mut rows, &mut |_, _| {});
        for (row, wide) in out.chunks_mut(window.width.max(1)).zip(rows.chunks(LANES)) {
            row.copy_from_slice(&wide[..row.len()]);
        }
        then(out, 0);
        return;
    }
    sort_into_cells(domes, &cells, scratch);
    // How far a disc and its corners reach up or down, with a pixel against rounding.
    let far_um = cells.widest_um + larger(reach_um, window.px_um) + 2.0 * window.px_um;
    let held_px = (2.0 * far_um + cells.size) / window.px_um;
    let held = held_px as usize + BAND_ROWS + 2;
    scratch.edge2.clear(window, held, reach_um * reach_um);
    let mut done = 0;
    for row in 0..cells.rows {
        // Whatever lies above the reach of this row of cells is finished.
        let above_um = cells.top + row as f32 * cells.size - far_um;
        let past = ((above_um / window.px_um).max(0.0) as usize).min(window.height);
        if past >= done + BAND_ROWS {
            finish(done..past, window, scratch, out, then);
            done = past;
        }
        let (first, end) = (row * cells.columns, (row + 1) * cells.columns);
        for at in scratch.cell_start[first]..scratch.cell_start[end] {
            let index = scratch.order[at as usize] as usize;
            if find_crossings(domes, index, &cells, scratch) {
                lay_disc(&domes[index], window, scratch, out);
                lay_corners(domes, index, window, reach_um, scratch);
            }
        }
    }
    finish(done..window.height, window, scratch, out, then);
}

/// Puts depths under single discs and distances to edges together in some rows, none of which a disc still to
/// be laid reaches.
fn finish(
    rows: Range<usize>,
    window: Window,
    scratch: &mut UnionScratch,
    out: &mut [f32],
    then: &mut dyn FnMut(&mut [f32], usize),
) {
    let first = rows.start * window.width;
    let so_far = &mut out[..rows.end * window.width];
    for (y, row) in rows.zip(so_far[first..].chunks_exact_mut(window.width)) {
        for (s, edge2) in row.iter_mut().zip(scratch.edge2.row(y)) {
            // The depth under any one disc is a lower bound: rounding must not undercut it.
            let edge = larger(edge2.sqrt(), *s);
            *s = if *s > 0.0 { edge } else { *s };
        }
        scratch.edge2.forget(y);
    }
    then(so_far, first);
}

/// Counting sort of the domes by cell.
fn sort_into_cells(domes: &[Dome], cells: &Cells, scratch: &mut UnionScratch) {
    let cell_of = |dome: &Dome| cells.row(dome.y_um) * cells.columns + cells.column(dome.x_um);
    let starts = &mut scratch.cell_start;
    starts.clear();
    starts.resize(cells.columns * cells.rows + 1, 0);
    for dome in domes {
        starts[cell_of(dome) + 1] += 1;
    }
    for cell in 1..starts.len() {
        starts[cell] += starts[cell - 1];
    }
    scratch.order.clear();
    scratch.order.resize(domes.len(), 0);
    // Filled from the back, each start ends where its cell begins once more.
    let mut next = starts.clone();
    for (index, dome) in domes.iter().enumerate() {
        let slot = &mut next[cell_of(dome)];
        scratch.order[*slot as usize] = index as u32;
        *slot += 1;
    }
}

/// Lists the discs that cross this one. False when this one lies wholly under another.
fn find_crossings(domes: &[Dome], index: usize, cells: &Cells, scratch: &mut UnionScratch) -> bool {
    scratch.crossings.clear();
    let this = &domes[index];
    let radius = f64::from(this.radius_um);
    // A little more, so that rounding parts no pair.
    let reach_um = 1.001 * (this.radius_um + cells.widest_um);
    let (left, right) = (cells.column(this.x_um - reach_um), cells.column(this.x_um + reach_um));
    for y in cells.row(this.y_um - reach_um)..=cells.row(this.y_um + reach_um) {
        let (first, past) = (y * cells.columns + left, y * cells.columns + right + 1);
        let listed = scratch.cell_start[first] as usize..scratch.cell_start[past] as usize;
        for &other_index in &scratch.order[listed] {
            if other_index as usize == index {
                continue;
            }
            let other = &domes[other_index as usize];
            let dx = f64::from(other.x_um) - f64::from(this.x_um);
            let dy = f64::from(other.y_um) - f64::from(this.y_um);
            let other_radius = f64::from(other.radius_um);
            let distance2 = dx * dx + dy * dy;
            let sum = radius + other_radius;
            if distance2 >= sum * sum {
                continue;
            }
            let distance = distance2.sqrt();
            if distance + radius <= other_radius {
                // Of two equal discs the later one goes.
                let equal = other_radius <= radius;
                if !equal || (other_index as usize) < index {
                    return false;
                }
                continue;
            }
            if distance + other_radius <= radius {
                continue;
            }
            scratch.crossings.push(Crossing {
                index: other_index,
                toward_x: dx / distance,
                toward_y: dy / distance,
                half_angle_cos: (radius * radius + distance2 - other_radius * other_radius)
                    / (2.0 * radius * distance),
            });
        }
    }
    true
}

/// Depth under one disc, and where its foot is bare the distance to its arc.
fn lay_disc(dome: &Dome, window: Window, scratch: &mut UnionScratch, out: &mut [f32]) {
    let reach = dome.radius_um + window.px_um;
    let Some(span) =
        window.span(dome.x_um - reach, dome.x_um + reach, dome.y_um - reach, dome.y_um + reach)
    else {
        return;
    };
    let UnionScratch { edge2, crossings, columns, bars, .. } = scratch;
    columns.clear();
    columns.extend((span.left..span.left + span.columns).map(|x| window.centre_um(x) - dome.x_um));
    bars.clear();
    bars.extend(crossings.iter().map(|crossing| Bar {
        toward_x: crossing.toward_x as f32,
        toward_y: crossing.toward_y as f32,
        cos: crossing.half_angle_cos as f32,
        across_um: 0.0,
    }));
    // Where the columns are no whole lanes, the last few lie in two parts, and what is done to them is done twice.
    let rest = span.columns % LANES;
    let parts = [0..span.columns - rest, span.columns - LANES..span.columns];
    let parts = &parts[..if rest == 0 { 1 } else { 2 }];
    for y in span.top..span.bottom {
        let dy = window.centre_um(y) - dome.y_um;
        for bar in bars.iter_mut() {
            bar.across_um = bar.toward_y * dy;
        }
        let out = &mut out[y * window.width + span.left..];
        let edge2 = &mut edge2.row_mut(y)[span.left..];
        for part in parts {
            let (columns, _) = columns[part.clone()].as_chunks::<LANES>();
            let (out, _) = out[part.clone()].as_chunks_mut::<LANES>();
            let (edge2, _) = edge2[part.clone()].as_chunks_mut::<LANES>();
            for ((s, edge2), dx) in out.iter_mut().zip(edge2).zip(columns) {
                lay_pixels(dome.radius_um, dy * dy, bars, dx, s, edge2);
            }
        }
    }
}

/// Added to the square of a distance that does not count, µm².
const HIDDEN_UM2: f32 = 1e30;

/// A few pixels beside each other, of one row of one disc. All numbers here are numbers.
#[inline(always)]
fn lay_pixels(
    radius_um: f32,
    dy2: f32,
    bars: &[Bar],
    dx: &[f32; LANES],
    s: &mut [f32; LANES],
    edge2: &mut [f32; LANES],
) {
    let dx = f32x4::new(*dx);
    let far = (dx * dx + dy2).sqrt();
    let depth = f32x4::splat(radius_um) - far;
    *s = depth.fast_max(f32x4::new(*s)).to_array();
    let mut hidden = depth.cmp_le(f32x4::ZERO);
    for bar in bars {
        hidden |= (dx * bar.toward_x + bar.across_um).cmp_gt(far * bar.cos);
    }
    let foot2 = depth * depth + (hidden & f32x4::splat(HIDDEN_UM2));
    *edge2 = foot2.fast_min(f32x4::new(*edge2)).to_array();
}

/// Distances to the bare corners of one disc with those listed after it.
fn lay_corners(
    domes: &[Dome],
    index: usize,
    window: Window,
    reach_um: f32,
    scratch: &mut UnionScratch,
) {
    let this = &domes[index];
    let (x, y) = (f64::from(this.x_um), f64::from(this.y_um));
    let radius = f64::from(this.radius_um);
    let UnionScratch { edge2, crossings, columns, .. } = scratch;
    for crossing in crossings.iter().filter(|crossing| crossing.index as usize > index) {
        let cos = crossing.half_angle_cos;
        let sin = (1.0 - cos * cos).max(0.0).sqrt();
        let outward = [1.0, -1.0].map(|side| {
            (
                cos * crossing.toward_x - side * sin * crossing.toward_y,
                cos * crossing.toward_y + side * sin * crossing.toward_x,
            )
        });
        let corners = outward.map(|(out_x, out_y)| (x + radius * out_x, y + radius * out_y));
        let bare = corners.map(|corner| is_bare(corner, domes, crossing, crossings));
        let other = &domes[crossing.index as usize];
        // Of two bare corners each is the nearest only on its own side of the line through the centres,
        // within the triangle that it makes with them.
        let reach_um = if bare[0] && bare[1] {
            smaller(larger(this.radius_um, other.radius_um), reach_um)
        } else {
            reach_um
        };
        for ((corner, (out_x, out_y)), bare) in corners.into_iter().zip(outward).zip(bare) {
            if !bare {
                continue;
            }
            let inward = (-out_x as f32, -out_y as f32);
            let other_radius = f64::from(other.radius_um);
            let other_inward = (
                ((f64::from(other.x_um) - corner.0) / other_radius) as f32,
                ((f64::from(other.y_um) - corner.1) / other_radius) as f32,
            );
            // From the disc's centre, which every window knows to the last bit.
            let off_um = ((radius * out_x) as f32, (radius * out_y) as f32);
            let centre_um = (this.x_um, this.y_um);
            let place = Corner { centre_um, off_um, inward, other_inward };
            lay_corner(&place, window, reach_um, columns, edge2);
        }
    }
}

/// No third disc lies over a corner of this disc with the one it crosses.
fn is_bare(
    corner: (f64, f64),
    domes: &[Dome],
    crossing: &Crossing,
    crossings: &[Crossing],
) -> bool {
    !crossings.iter().filter(|third| third.index != crossing.index).any(|third| {
        let dome = &domes[third.index as usize];
        let dx = corner.0 - f64::from(dome.x_um);
        let dy = corner.1 - f64::from(dome.y_um);
        let inside = f64::from(dome.radius_um) - HAIR_UM;
        dx * dx + dy * dy < inside * inside
    })
}

/// A bare corner: where it lies from the centre of one of its discs, and which way both centres lie from it.
struct Corner {
    centre_um: (f32, f32),
    off_um: (f32, f32),
    inward: (f32, f32),
    other_inward: (f32, f32),
}

/// Lowers the squared distances to one corner. It is the nearest edge only within the wedge
/// between the directions to the two centres, so no more is gone over than the wedge's rectangle.
fn lay_corner(
    corner: &Corner,
    window: Window,
    reach_um: f32,
    columns: &mut Vec<f32>,
    edge2: &mut EdgeRows,
) {
    let &Corner { centre_um, off_um, inward: one, other_inward: other } = corner;
    let (corner_x, corner_y) = (centre_um.0 + off_um.0, centre_um.1 + off_um.1);
    let turn = one.0 * other.1 - one.1 * other.0;
    let within = |x: f32, y: f32| {
        (one.0 * y - one.1 * x) * turn >= 0.0 && (x * other.1 - y * other.0) * turn >= 0.0
    };
    // How far the wedge goes each way, as a share of the reach.
    let side = |axis: (f32, f32)| {
        if within(axis.0, axis.1) {
            1.0
        } else {
            let along = |d: (f32, f32)| d.0 * axis.0 + d.1 * axis.1;
            larger(larger(along(one), along(other)), 0.0)
        }
    };
    // A pixel's width more each way, against rounding.
    let slack = window.px_um;
    let Some(span) = window.span(
        corner_x - reach_um * side((-1.0, 0.0)) - slack,
        corner_x + reach_um * side((1.0, 0.0)) + slack,
        corner_y - reach_um * side((0.0, -1.0)) - slack,
        corner_y + reach_um * side((0.0, 1.0)) + slack,
    ) else {
        return;
    };
    columns.clear();
    columns.extend((span.left..span.left + span.columns).map(|x| {
        let dx = window.centre_um(x) - centre_um.0 - off_um.0;
        dx * dx
    }));
    let (wide_columns, rest_columns) = columns.as_chunks::<LANES>();
    for y in span.top..span.bottom {
        let dy = window.centre_um(y) - centre_um.1 - off_um.1;
        let dy2 = dy * dy;
        let edge2 = &mut edge2.row_mut(y)[span.left..span.left + span.columns];
        let (wide, rest) = edge2.as_chunks_mut::<LANES>();
        for (four, dx2) in wide.iter_mut().zip(wide_columns) {
            for (least, &dx2) in four.iter_mut().zip(dx2) {
                *least = smaller(dx2 + dy2, *least);
            }
        }
        for (least, &dx2) in rest.iter_mut().zip(rest_columns) {
            *least = smaller(dx2 + dy2, *least);
        }
    }
}
