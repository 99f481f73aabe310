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

mod cells;
mod corners;
mod rows;

use super::{LANES, Reaches, Window};
use crate::ground::Dome;
use crate::order::larger;
use cells::{Cells, SortedDomes};
use core::ops::Range;
use corners::lay_corners;
use rows::EdgeRows;
use wide::{CmpGt, CmpLe, f32x4};

/// Buffers kept between calls.
#[derive(Clone, Debug, Default)]
pub(super) struct UnionScratch {
    /// Square of the least distance to an arc or corner so far, µm².
    edge2: EdgeRows,
    sorted: SortedDomes,
    crossings: Vec<Crossing>,
    bars: Vec<Bar>,
    /// Centres of the window's columns, µm.
    centres: Vec<f32>,
    /// Horizontal distances, µm, or their squares, of the columns at hand.
    columns: Vec<f32>,
}

/// Another disc that crosses the one at hand.
#[derive(Clone, Copy, Debug)]
struct Crossing {
    /// Where the other stands among all, and its place and radius, µm.
    index: u32,
    x: f64,
    y: f64,
    radius: f64,
    /// Direction from this disc's centre to the other's.
    toward_x: f64,
    toward_y: f64,
    /// Cosine and sine of the angle, at this centre, from that direction to the two crossings.
    half_angle_cos: f64,
    half_angle_sin: f64,
}

/// A crossing as the rows of the disc see it: feet in directions nearer to the other centre than
/// the crossing points are buried under the other disc.
#[derive(Clone, Copy, Debug)]
struct Bar {
    toward_x: f32,
    toward_y: f32,
    cos: f32,
}

/// Rows that are finished together at least: few enough to stay near at hand until the next stage has read
/// them.
const BAND_ROWS: usize = 16;

/// Fills `out` with the signed distances, band after band of rows; after
/// each, `then` is given all rows so far and the band's first pixel.
pub(super) fn distance(
    domes: &[Dome],
    window: Window,
    (reach_um, reaches): (f32, Option<&Reaches>),
    scratch: &mut UnionScratch,
    out: &mut [f32],
    then: &mut dyn FnMut(&mut [f32], usize),
) {
    let Some(cells) = Cells::of(domes) else {
        out.fill(-window.px_um);
        then(out, 0);
        return;
    };
    if window.width < LANES {
        // Worked at the width of the lanes, which hold whole rows everywhere else.
        let wide = Window { width: LANES, ..window };
        let mut rows = vec![-window.px_um; LANES * window.height];
        distance(domes, wide, (reach_um, None), scratch, &mut rows, &mut |_, _| {});
        for (row, wide) in out.chunks_mut(window.width.max(1)).zip(rows.chunks(LANES)) {
            row.copy_from_slice(&wide[..row.len()]);
        }
        then(out, 0);
        return;
    }
    scratch.sorted.sort(domes, &cells);
    scratch.centres.clear();
    scratch.centres.extend((0..window.width).map(|x| window.centre_um(x)));
    // How far a disc and its corners reach up or down, with a pixel against rounding.
    let far_um = cells.widest_um + larger(reach_um, window.px_um) + 2.0 * window.px_um;
    let held_px = (2.0 * far_um + cells.size) / window.px_um;
    let held = held_px as usize + BAND_ROWS + 2;
    scratch.edge2.clear(window, held, reach_um * reach_um);
    let (mut done, mut blank) = (0, 0);
    for row in 0..cells.rows {
        // Whatever lies above the reach of this row of cells is finished.
        let above_um = cells.top + row as f32 * cells.size - far_um;
        let past = ((above_um / window.px_um).max(0.0) as usize).min(window.height);
        if past >= done + BAND_ROWS {
            finish(done..past, window, scratch, out, then);
            done = past;
        }
        // Rows are made open when the first discs may reach them, to be at hand for these.
        let below_um = cells.top + (row + 1) as f32 * cells.size + far_um;
        let last = row + 1 == cells.rows;
        let reached = if last { f32::MAX } else { (below_um / window.px_um).max(0.0) };
        let reached = (reached as usize).clamp(blank, window.height);
        out[blank * window.width..reached * window.width].fill(-window.px_um);
        blank = reached;
        for at in scratch.sorted.of_row(row, &cells) {
            let dome = scratch.sorted.dome(at);
            let felt_um = dome.radius_um + far_um - cells.widest_um;
            if reaches.is_some_and(|all| all.asks_nothing(window, dome.x_um, dome.y_um, felt_um)) {
                continue;
            }
            if find_crossings(at, &cells, scratch) {
                lay_disc(&dome, window, scratch, out);
                lay_corners(at, window, (reach_um, reaches), scratch);
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
        let (wide, rest) = row.as_chunks_mut::<LANES>();
        let (wide_edge2, rest_edge2) = scratch.edge2.row(y).as_chunks::<LANES>();
        // The depth under any one disc is a lower bound: rounding must not undercut it.
        for (four, edge2) in wide.iter_mut().zip(wide_edge2) {
            let s = f32x4::new(*four);
            let edge = f32x4::new(*edge2).sqrt().fast_max(s);
            *four = s.cmp_gt(f32x4::ZERO).blend(edge, s).to_array();
        }
        for (s, edge2) in rest.iter_mut().zip(rest_edge2) {
            *s = if *s > 0.0 { larger(edge2.sqrt(), *s) } else { *s };
        }
        scratch.edge2.forget(y);
    }
    then(so_far, first);
}

/// Lists the discs that cross this one. False when this one lies wholly under another.
fn find_crossings(own: usize, cells: &Cells, scratch: &mut UnionScratch) -> bool {
    let UnionScratch { sorted, crossings, .. } = scratch;
    crossings.clear();
    let (this, index) = (sorted.dome(own), sorted.index(own));
    let radius = f64::from(this.radius_um);
    sorted.near(own, cells, |at| {
        let (other, other_index) = (sorted.dome(at), sorted.index(at));
        let (x, y) = (f64::from(other.x_um), f64::from(other.y_um));
        let dx = x - f64::from(this.x_um);
        let dy = y - f64::from(this.y_um);
        let other_radius = f64::from(other.radius_um);
        let distance2 = dx * dx + dy * dy;
        let sum = radius + other_radius;
        if distance2 >= sum * sum {
            return true;
        }
        let distance = distance2.sqrt();
        if distance + radius <= other_radius {
            // Of two equal discs the later one goes.
            let equal = other_radius <= radius;
            return equal && other_index >= index;
        }
        if distance + other_radius <= radius {
            return true;
        }
        let cos =
            (radius * radius + distance2 - other_radius * other_radius) / (2.0 * radius * distance);
        crossings.push(Crossing {
            index: other_index,
            x,
            y,
            radius: other_radius,
            toward_x: dx / distance,
            toward_y: dy / distance,
            half_angle_cos: cos,
            half_angle_sin: (1.0 - cos * cos).max(0.0).sqrt(),
        });
        true
    })
}

/// Sine beyond that of a bar's half angle at which the bar surely leaves half the disc alone: far more than rounding.
const CLEAR: f64 = 0.01;

/// Which half of a disc a crossing leaves alone: −1 that above its centre, 1 that below, 0 neither.
fn half_left_alone(crossing: &Crossing) -> i8 {
    let clear = crossing.half_angle_sin + CLEAR;
    if crossing.half_angle_cos < 0.0 {
        0
    } else {
        i8::from(crossing.toward_y < -clear) - i8::from(crossing.toward_y > clear)
    }
}

/// Depth under one disc, and where its foot is bare the distance to its arc.
fn lay_disc(dome: &Dome, window: Window, scratch: &mut UnionScratch, out: &mut [f32]) {
    let reach = dome.radius_um + window.px_um;
    let Some(span) =
        window.span(dome.x_um - reach, dome.x_um + reach, dome.y_um - reach, dome.y_um + reach)
    else {
        return;
    };
    let UnionScratch { edge2, crossings, columns, bars, centres, .. } = scratch;
    columns.clear();
    columns.extend(centres[span.left..span.left + span.columns].iter().map(|x| x - dome.x_um));
    // First those that only concern rows above the centre, then those for all, then those for rows below.
    bars.clear();
    let mut ends = [0; 3];
    for (alone, end) in [1, 0, -1].into_iter().zip(&mut ends) {
        let those = crossings.iter().filter(|crossing| half_left_alone(crossing) == alone);
        bars.extend(those.map(|crossing| Bar {
            toward_x: crossing.toward_x as f32,
            toward_y: crossing.toward_y as f32,
            cos: crossing.half_angle_cos as f32,
        }));
        *end = bars.len();
    }
    let [only_above, above, all] = ends;
    let rows =
        out[span.top * window.width..span.bottom * window.width].chunks_exact_mut(window.width);
    for (y, row) in (span.top..span.bottom).zip(rows) {
        let dy = window.centre_um(y) - dome.y_um;
        let row = RowOfDisc {
            radius_um: dome.radius_um,
            dy2: dy * dy,
            dx: columns,
            s: &mut row[span.left..][..span.columns],
            edge2: edge2.part_mut(y, span.left, span.columns),
        };
        // Few bars stay in registers when each has a name.
        match &bars[if dy < 0.0 { 0..above } else { only_above..all }] {
            [] => row.lay(|_, _| f32x4::ZERO),
            [one] => {
                let one = one.at(dy);
                row.lay(|dx, far| one.hides(dx, far));
            }
            [one, other] => {
                let (one, other) = (one.at(dy), other.at(dy));
                row.lay(|dx, far| one.hides(dx, far) | other.hides(dx, far));
            }
            bars => row.lay(|dx, far| {
                bars.iter().fold(f32x4::ZERO, |hidden, bar| hidden | bar.at(dy).hides(dx, far))
            }),
        }
    }
}

/// Added to the square of a distance that does not count, µm².
const HIDDEN_UM2: f32 = 1e30;

impl Bar {
    #[inline(always)]
    fn at(&self, dy: f32) -> BarAtRow {
        BarAtRow {
            toward_x: f32x4::splat(self.toward_x),
            across_um: f32x4::splat(self.toward_y * dy),
            cos: f32x4::splat(self.cos),
        }
    }
}

/// A bar in one row, each number four times.
struct BarAtRow {
    toward_x: f32x4,
    /// toward_y·dy, µm.
    across_um: f32x4,
    cos: f32x4,
}

impl BarAtRow {
    /// Whether the feet of four pixels are buried.
    #[inline(always)]
    fn hides(&self, dx: f32x4, far: f32x4) -> f32x4 {
        (dx * self.toward_x + self.across_um).cmp_gt(far * self.cos)
    }
}

/// One row of one disc. All numbers here are numbers.
struct RowOfDisc<'a> {
    radius_um: f32,
    dy2: f32,
    dx: &'a [f32],
    s: &'a mut [f32],
    edge2: &'a mut [f32],
}

impl RowOfDisc<'_> {
    /// Raises depths, and lowers squared distances where a foot is bare.
    #[inline(always)]
    fn lay(self, hides: impl Fn(f32x4, f32x4) -> f32x4) {
        let Self { radius_um, dy2, dx, s, edge2 } = self;
        let lay = |dx: &[f32; LANES], s: &mut [f32; LANES], edge2: &mut [f32; LANES]| {
            let dx = f32x4::new(*dx);
            let far = (dx * dx + dy2).sqrt();
            let depth = f32x4::splat(radius_um) - far;
            *s = depth.fast_max(f32x4::new(*s)).to_array();
            let hidden = depth.cmp_le(f32x4::ZERO) | hides(dx, far);
            let foot2 = depth * depth + (hidden & f32x4::splat(HIDDEN_UM2));
            *edge2 = foot2.fast_min(f32x4::new(*edge2)).to_array();
        };
        let fours = s.as_chunks_mut().0.iter_mut().zip(edge2.as_chunks_mut().0);
        for ((s, edge2), dx) in fours.zip(dx.as_chunks().0) {
            lay(dx, s, edge2);
        }
        // Where the columns are no whole lanes, the last few lie in two parts, and what is done to them is done twice.
        if !dx.len().is_multiple_of(LANES)
            && let (Some(dx), Some(s), Some(edge2)) =
                (dx.last_chunk(), s.last_chunk_mut(), edge2.last_chunk_mut())
        {
            lay(dx, s, edge2);
        }
    }
}
