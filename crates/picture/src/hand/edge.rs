//! How far inside an area a place lies, for feathered edges.

use super::shapes::Flat;
use super::{Bounds, Raster};

/// Cells to the width of a feather.
const CELLS_PER_FEATHER: f64 = 12.0;
/// Smallest cell, µm, and most cells along a side.
const SMALLEST_UM: f64 = 40.0;
const MOST_CELLS: f64 = 1024.0;
/// Beyond any distance there is, in squared cells.
const FAR: f32 = 1e12;

/// Distance from the area's edge inwards, on a raster of its own: exact between the middles of its
/// cells (Felzenszwalb & Huttenlocher 2012), interpolated bilinearly.
#[derive(Clone, Debug)]
pub(super) struct EdgeDistance {
    left_um: f64,
    top_um: f64,
    cell_um: f64,
    width: usize,
    height: usize,
    distance_um: Vec<f32>,
}

impl EdgeDistance {
    pub(super) fn new(shapes: &[Flat], bounds: Bounds, feather_um: f64) -> Self {
        let longest = (bounds.right - bounds.left).max(bounds.bottom - bounds.top);
        let cell_um = (feather_um / CELLS_PER_FEATHER).max(SMALLEST_UM).max(longest / MOST_CELLS);
        // Two empty cells all round.
        let cells = |from: f64, to: f64| libm::ceil((to - from) / cell_um) as usize + 4;
        let (width, height) = (cells(bounds.left, bounds.right), cells(bounds.top, bounds.bottom));
        let first = |from: f64| libm::floor(from / cell_um) as i64 - 2;
        let raster = Raster {
            left_px: first(bounds.left),
            top_px: first(bounds.top),
            width: width + 1,
            height: height + 1,
            px_um: (cell_um, cell_um),
            mirrored_um: None,
        };
        let mut squared = vec![0.0_f32; raster.width * raster.height];
        let mut crossings = Vec::new();
        for (row, line) in squared.chunks_exact_mut(raster.width).enumerate() {
            for shape in shapes {
                shape.row(raster.y_um(row), &mut crossings, |from, until| {
                    line[raster.columns(from, until)].fill(if shape.away { 0.0 } else { FAR });
                });
            }
        }
        let mut line = Vec::new();
        for row in squared.chunks_exact_mut(raster.width) {
            nearest(row, &mut line);
        }
        let mut column = vec![0.0; raster.height];
        for x in 0..raster.width {
            for (y, one) in column.iter_mut().enumerate() {
                *one = squared[y * raster.width + x];
            }
            nearest(&mut column, &mut line);
            for (y, one) in column.iter().enumerate() {
                squared[y * raster.width + x] = *one;
            }
        }
        // From the middle of the nearest cell outside; the edge runs half a cell nearer.
        let inwards = |d2: &f32| ((d2.sqrt() - 0.5).max(0.0)) * cell_um as f32;
        Self {
            left_um: raster.x_um(0),
            top_um: raster.y_um(0),
            cell_um,
            width: raster.width,
            height: raster.height,
            distance_um: squared.iter().map(inwards).collect(),
        }
    }

    /// Distance inwards at a place as printed, µm; 0 outside.
    pub(super) fn at_um(&self, x_um: f64, y_um: f64) -> f32 {
        let place = |at: f64, from: f64, size: usize| {
            let along = ((at - from) / self.cell_um).clamp(0.0, (size - 1) as f64);
            let index = (along as usize).min(size - 2);
            (index, (along - index as f64) as f32)
        };
        let (x, across) = place(x_um, self.left_um, self.width);
        let (y, down) = place(y_um, self.top_um, self.height);
        let row = |y: usize| {
            let pair = &self.distance_um[y * self.width + x..][..2];
            pair[0] + across * (pair[1] - pair[0])
        };
        let (above, below) = (row(y), row(y + 1));
        above + down * (below - above)
    }
}

/// Lowers each entry to the least of any entry plus the squared steps to it: the lower envelope of
/// parabolas.
fn nearest(line: &mut [f32], scratch: &mut Vec<(usize, f32, f32)>) {
    // Rows without an edge stay as they are.
    if line.iter().all(|one| *one >= FAR) || line.iter().all(|one| *one == 0.0) {
        return;
    }
    // Each parabola of the envelope: its place, its height, and from where on it is lowest.
    scratch.clear();
    for (at, &height) in line.iter().enumerate() {
        if height >= FAR {
            continue;
        }
        let mut from = f32::NEG_INFINITY;
        while let Some(&(other, below, since)) = scratch.last() {
            let (a, b) = (at as f32, other as f32);
            from = ((height + a * a) - (below + b * b)) / (2.0 * (a - b));
            if from > since {
                break;
            }
            scratch.pop();
            from = f32::NEG_INFINITY;
        }
        scratch.push((at, height, from));
    }
    let mut on = 0;
    for (at, one) in line.iter_mut().enumerate() {
        while on + 1 < scratch.len() && scratch[on + 1].2 < at as f32 {
            on += 1;
        }
        let (place, height, _) = scratch[on];
        let steps = at as f32 - place as f32;
        *one = steps * steps + height;
    }
}
