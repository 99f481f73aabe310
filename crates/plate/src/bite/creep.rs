//! Stop-out borders: the bite of a deeper value creeps on under the varnish of a lighter one.
//!
//! Every bit of open copper p, bitten to R_p in all, has hollowed out everything within its
//! undercut: depth(x) = EF·√max(0, max_p[(R_p/EF)² − |x − p|²]), whoever lies over x. Away from
//! borders the curve of the pixel's own value says the same with sub-pixel edges
//! ([`super::depth`]); here the maximum itself is taken, in the blocks near borders only. It is the
//! upper envelope of parabolas and so separates into columns and rows (Felzenszwalb & Huttenlocher,
//! Theory of Computing 8 (2012) 415), each a bounded run of plain additions and maxima. An open
//! pixel is open all over: |x − p| is the distance to its square, which separates just as well and
//! puts the varnish's edge where it lies, between two pixels.

use super::depth::DepthCurve;
use crate::order::{larger, smaller};

/// Buffers kept between calls. Their content does not matter.
#[derive(Clone, Debug, Default)]
pub struct CreepScratch {
    blocks: BlockRanges,
    /// Squared reach of each pixel's open copper, µm²; far below 0 where there is none.
    seeds: Vec<Lanes>,
    /// One row of the same after the columns' maximum.
    columns: Vec<f32>,
    /// One row after both.
    best: Vec<f32>,
}

/// Side of a block, px.
const BLOCK: usize = 8;
/// Pixels worked at once.
const LANES: usize = 4;
type Lanes = [f32; LANES];
/// No open copper: less than minus any squared distance that is looked at, µm².
const NOTHING: f32 = -1e12;

/// Mends the depths near borders between values.
///
/// `depth` holds each pixel's depth by its own value ([`super::depth_field`]) and is changed only
/// near borders, in two ways: resin of a deeper value whose nearest open copper belongs to a lighter
/// one is undercut by that one's bite only; and where a deeper value's open copper lies within its
/// undercut the depth is raised to what creeps under the varnish.
/// `under_um` is the distance under the resin, `value` the index of each pixel's value into
/// `dose_um` (cumulative bites, index 0 paper).
///
/// # Panics
/// When the rasters differ in size or a value has no dose.
#[allow(
    clippy::too_many_arguments,
    reason = "rasters, their size, the bite and caller-owned buffers"
)]
pub fn creep_under_varnish(
    under_um: &[f32],
    value: &[u8],
    dose_um: &[f64],
    px_um: f32,
    etch_factor: f64,
    width: usize,
    height: usize,
    scratch: &mut CreepScratch,
    depth: &mut [f32],
) {
    assert_eq!(under_um.len(), width * height, "one distance per pixel");
    assert_eq!(value.len(), width * height, "one value per pixel");
    assert_eq!(depth.len(), width * height, "one depth per pixel");
    // As long as there are bytes, so that none needs looking whether it is a value.
    let mut undercut_um = [0.0; 256];
    for (undercut, &dose) in undercut_um.iter_mut().zip(dose_um) {
        *undercut = (dose / etch_factor) as f32;
    }
    // Of the values up to each: how far their open copper reaches, px.
    let mut deepest = 0.0;
    let reach_px: Vec<usize> = undercut_um[..dose_um.len()]
        .iter()
        .map(|&undercut| {
            deepest = larger(deepest, undercut);
            libm::ceilf(deepest / px_um + 0.5) as usize
        })
        .collect();
    let CreepScratch { blocks, .. } = scratch;
    if !blocks.find(value, width, height, &reach_px) {
        return;
    }
    let curves: Vec<DepthCurve> =
        dose_um.iter().map(|&dose| DepthCurve::new(dose, etch_factor, px_um)).collect();
    let work = Work {
        under_um,
        value,
        curves: &curves,
        undercut_um: &undercut_um,
        px_um,
        etch_factor: etch_factor as f32,
        width,
        height,
    };
    let (columns, rows) = (blocks.columns, blocks.rows);
    for row in 0..rows {
        let mut column = 0;
        // Neighbours with the same values round them are worked in one go.
        while column < columns {
            let from = column;
            let range = scratch.blocks.at(column, row);
            while column < columns && scratch.blocks.at(column, row) == range {
                column += 1;
            }
            if range.0 == range.1 {
                continue;
            }
            let present = &undercut_um[usize::from(range.0)..=usize::from(range.1)];
            let near = Near {
                left: from * BLOCK,
                right: (column * BLOCK).min(width),
                top: row * BLOCK,
                bottom: ((row + 1) * BLOCK).min(height),
                shallowest: present.iter().fold(f32::MAX, |a, &b| smaller(b, a)),
                deepest: present.iter().fold(0.0, |a, &b| larger(a, b)),
                reach: reach_px[usize::from(range.1)],
            };
            work.mend(&near, scratch, depth);
        }
    }
}

/// Which values lie in each block of pixels and within reach of it.
#[derive(Clone, Debug, Default)]
struct BlockRanges {
    columns: usize,
    rows: usize,
    /// Least and greatest value, block by block.
    least: Vec<u8>,
    most: Vec<u8>,
    /// The same of the blocks round about, one ring of blocks farther each time.
    ring: [Vec<u8>; 2],
    lines: [Vec<u8>; 2],
}

impl BlockRanges {
    fn at(&self, column: usize, row: usize) -> (u8, u8) {
        let block = row * self.columns + column;
        (self.least[block], self.most[block])
    }

    /// Finds the ranges of a raster of values; false if only one value lies in it. `reach_px` is how
    /// far the copper of values up to each creeps.
    fn find(&mut self, value: &[u8], width: usize, height: usize, reach_px: &[usize]) -> bool {
        (self.columns, self.rows) = (width.div_ceil(BLOCK), height.div_ceil(BLOCK));
        let [least, most] = &mut self.ring;
        least.resize(self.columns * self.rows, 0);
        most.resize(self.columns * self.rows, 0);
        // Down the columns first: that runs along the rows, many pixels at a time.
        for (row, band) in value.chunks(BLOCK * width.max(1)).enumerate() {
            let [low, high] = &mut self.lines;
            low.clear();
            low.extend_from_slice(&band[..width]);
            high.clone_from(low);
            for line in band.chunks_exact(width).skip(1) {
                for ((low, high), &value) in low.iter_mut().zip(high.iter_mut()).zip(line) {
                    *low = value.min(*low);
                    *high = value.max(*high);
                }
            }
            let (least, most) = (&mut least[row * self.columns..], &mut most[row * self.columns..]);
            for (least, block) in least.iter_mut().zip(low.chunks(BLOCK)) {
                *least = block.iter().fold(u8::MAX, |a, &b| a.min(b));
            }
            for (most, block) in most.iter_mut().zip(high.chunks(BLOCK)) {
                *most = block.iter().fold(0, |a, &b| a.max(b));
            }
        }
        let all = (least.iter().min().copied(), most.iter().max().copied());
        let (Some(least_of_all), Some(most_of_all)) = all else { return false };
        if least_of_all == most_of_all {
            return false;
        }
        // The copper of a block `ring` blocks away lies more than ring − 1 blocks off.
        let rings = reach_px[usize::from(most_of_all)].div_ceil(BLOCK);
        for ring in 1..=rings {
            let [least, most] = &mut self.ring;
            spread(least, self.columns, &mut self.lines[0], u8::min);
            spread(most, self.columns, &mut self.lines[0], u8::max);
            if ring == 1 {
                self.least.clone_from(least);
                self.most.clone_from(most);
                continue;
            }
            let farther = least.iter().zip(&*most);
            for ((least, most), (&low, &high)) in
                self.least.iter_mut().zip(&mut self.most).zip(farther)
            {
                if reach_px[usize::from(high)] > (ring - 1) * BLOCK {
                    (*least, *most) = (low, high);
                }
            }
        }
        true
    }
}

/// Every block becomes the least (or greatest) of itself and its eight neighbours.
fn spread(field: &mut [u8], columns: usize, line: &mut Vec<u8>, of: impl Fn(u8, u8) -> u8) {
    for row in field.chunks_exact_mut(columns) {
        line.clear();
        line.extend_from_slice(row);
        for (one, &left) in row[1..].iter_mut().zip(&*line) {
            *one = of(*one, left);
        }
        for (one, &right) in row.iter_mut().zip(&line[1..]) {
            *one = of(*one, right);
        }
    }
    // What each row was before it took on the row above.
    line.clear();
    line.extend_from_slice(&field[..columns]);
    let mut rest = field;
    while rest.len() > columns {
        let (here, below) = rest.split_at_mut(columns);
        for ((here, below), was) in here.iter_mut().zip(&mut *below).zip(line.iter_mut()) {
            let next = *below;
            *here = of(*here, next);
            *below = of(next, *was);
            *was = next;
        }
        rest = below;
    }
}

/// What all blocks have in common.
struct Work<'a> {
    under_um: &'a [f32],
    value: &'a [u8],
    curves: &'a [DepthCurve],
    undercut_um: &'a [f32; 256],
    px_um: f32,
    etch_factor: f32,
    width: usize,
    height: usize,
}

/// A rectangle of pixels and the values within reach of it.
struct Near {
    left: usize,
    right: usize,
    top: usize,
    bottom: usize,
    /// Least and largest undercut of these values, µm.
    shallowest: f32,
    deepest: f32,
    /// How far their open copper reaches at most, px.
    reach: usize,
}

impl Work<'_> {
    /// Mends the depths of a rectangle of pixels.
    fn mend(&self, near: &Near, scratch: &mut CreepScratch, depth: &mut [f32]) {
        let CreepScratch { seeds, columns, best, .. } = scratch;
        let (size, reach) = (near.right - near.left, near.reach);
        // Fours of pixels in a row of seeds, and in what is wanted of it.
        let (stride, fours) = ((size + 2 * reach).div_ceil(LANES), size.div_ceil(LANES));
        self.sow(near, stride, seeds);
        columns.clear();
        columns.resize((stride + 1) * LANES, NOTHING);
        best.clear();
        best.resize(fours * LANES, NOTHING);
        let lower = |px: usize| {
            let um = (px as f32 - 0.5) * self.px_um;
            um * um
        };
        for y in near.top..near.bottom {
            // The row itself stands `reach` rows down among the seeds.
            let own = (y - near.top + reach) * stride;
            let (of_columns, _) = columns.as_chunks_mut::<LANES>();
            for (four, of_column) in of_columns[..stride].iter_mut().enumerate() {
                let mut most = seeds[own + four];
                for dy in 1..=reach {
                    let (above, below) =
                        (&seeds[own + four - dy * stride], &seeds[own + four + dy * stride]);
                    raise(&mut most, above, below, lower(dy));
                }
                *of_column = most;
            }
            let (of_rows, _) = best.as_chunks_mut::<LANES>();
            for (four, of_row) in of_rows.iter_mut().enumerate() {
                let at = |place: usize| -> Lanes {
                    let mut lanes = [0.0; LANES];
                    lanes.copy_from_slice(&columns[place..place + LANES]);
                    lanes
                };
                let own = reach + four * LANES;
                let mut most = at(own);
                for dx in 1..=reach {
                    raise(&mut most, &at(own - dx), &at(own + dx), lower(dx));
                }
                *of_row = most;
            }
            let from = y * self.width + near.left;
            self.mend_row(near, from, &best[..size], &mut depth[from..from + size]);
        }
    }

    /// Squared reach of the open copper of each pixel round the rectangle, from anywhere in its
    /// square. A pixel partly open counts with what reach is left at its far side. Copper of the
    /// least value near creeps under nobody's varnish, and beyond the window there is none.
    fn sow(&self, near: &Near, stride: usize, seeds: &mut Vec<Lanes>) {
        seeds.clear();
        seeds.resize((near.bottom - near.top + 2 * near.reach) * stride, [NOTHING; LANES]);
        let half = 0.5 * self.px_um;
        let left = near.left.saturating_sub(near.reach);
        let right = (near.right + near.reach).min(self.width);
        // Where the window's first column and row stand among the seeds.
        let (skip_x, skip_y) = (left + near.reach - near.left, near.reach);
        for (row, line) in seeds.chunks_exact_mut(stride).enumerate() {
            let y = near.top + row;
            if y < skip_y || y - skip_y >= self.height {
                continue;
            }
            let row = (y - skip_y) * self.width;
            let here = self.under_um[row + left..row + right].iter().zip(&self.value[row + left..]);
            for (seed, (&s, &v)) in line.as_flattened_mut()[skip_x..].iter_mut().zip(here) {
                let undercut = self.undercut_um[usize::from(v)];
                let reach = undercut - larger(s + half, 0.0);
                let counts = (s < half) & (reach > 0.0) & (undercut > near.shallowest);
                *seed = if counts { reach * reach } else { NOTHING };
            }
        }
    }

    /// Mends one row's depths, the first of them at pixel `from`.
    fn mend_row(&self, near: &Near, from: usize, best: &[f32], depth: &mut [f32]) {
        for (i, (depth, &best)) in depth.iter_mut().zip(best).enumerate() {
            let (s, v) = (self.under_um[from + i], usize::from(self.value[from + i]));
            let undercut = self.undercut_um[v];
            // Under the deepest value's own resin its curve knows better, unless a border is near.
            let mut creeps = undercut < near.deepest;
            if s > 0.0 && s - self.px_um < undercut && undercut > near.shallowest {
                let size = (self.width, self.height);
                let open = nearest_open(self.under_um, size, self.px_um, from + i, s);
                let nearest = usize::from(self.value[open]);
                if self.undercut_um[nearest] < undercut {
                    *depth = self.curves[nearest].depth_um(s);
                    creeps = true;
                }
            }
            let crept = self.etch_factor * larger(best, 0.0).sqrt();
            if creeps && crept > *depth {
                *depth = crept;
            }
        }
    }
}

/// The open copper nearest to a pixel `s` µm under the resin: straight down the slope of the distance
/// `under_um`, which falls by a µm for each µm on the way, and half a pixel on. The pixel itself where
/// the distance has no slope.
pub(super) fn nearest_open(
    under_um: &[f32],
    (width, height): (usize, usize),
    px_um: f32,
    pixel: usize,
    s: f32,
) -> usize {
    let (x, y) = (pixel % width, pixel / width);
    let at = |x: usize, y: usize| under_um[y * width + x];
    let (left, right) = (x.saturating_sub(1), (x + 1).min(width - 1));
    let (top, bottom) = (y.saturating_sub(1), (y + 1).min(height - 1));
    let slope_x = (at(right, y) - at(left, y)) / (right - left).max(1) as f32;
    let slope_y = (at(x, bottom) - at(x, top)) / (bottom - top).max(1) as f32;
    let steep = (slope_x * slope_x + slope_y * slope_y).sqrt();
    if steep <= 0.0 {
        return pixel;
    }
    let way = (s / px_um + 0.5) / steep;
    let to = |from: usize, slope: f32, size: usize| {
        ((from as f32 + 0.5 - slope * way).max(0.0) as usize).min(size - 1)
    };
    to(y, slope_y, height) * width + to(x, slope_x, width)
}

/// Raises four pixels to what two fours as far off on either side leave of their reach.
#[inline(always)]
fn raise(most: &mut Lanes, one: &Lanes, other: &Lanes, lower: f32) {
    for ((most, &one), &other) in most.iter_mut().zip(one).zip(other) {
        *most = larger(larger(one, other) - lower, *most);
    }
}
