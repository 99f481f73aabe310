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

mod ranges;
mod reach;
#[cfg(test)]
mod tests;

use super::depth::DepthCurve;
use crate::order::{larger, smaller};
use ranges::{BLOCK, BlockRanges};

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
    assert_eq!(depth.len(), width * height, "one depth per pixel");
    let size = (width, height, px_um);
    if let Some(mut creep) = Creep::new(value, dose_um, size, etch_factor, scratch) {
        creep.mend_so_far(under_um, depth);
    }
}

/// The same for a window whose rows come one after another: each row of blocks is mended as soon as
/// all that it feels is there, and still at hand.
pub(crate) struct Creep<'a> {
    work: Work<'a>,
    /// Of the values up to each: how far their open copper reaches, px.
    reach_px: Vec<usize>,
    /// How many rows of pixels below a row of blocks are felt in it.
    felt_px: usize,
    scratch: &'a mut CreepScratch,
    /// First row of blocks that has not been mended.
    next: usize,
}

impl<'a> Creep<'a> {
    /// Looks where borders lie in a window of `size` (columns, rows, µm a pixel); `None` where no two
    /// values do.
    ///
    /// # Panics
    /// When there is not one value per pixel.
    pub(crate) fn new(
        value: &'a [u8],
        dose_um: &[f64],
        (width, height, px_um): (usize, usize, f32),
        etch_factor: f64,
        scratch: &'a mut CreepScratch,
    ) -> Option<Self> {
        assert_eq!(value.len(), width * height, "one value per pixel");
        let mut undercut_um = [0.0; 256];
        for (undercut, &dose) in undercut_um.iter_mut().zip(dose_um) {
            *undercut = (dose / etch_factor) as f32;
        }
        let mut deepest = 0.0;
        let reach_px: Vec<usize> = undercut_um[..dose_um.len()]
            .iter()
            .map(|&undercut| {
                deepest = larger(deepest, undercut);
                libm::ceilf(deepest / px_um + 0.5) as usize
            })
            .collect();
        if !scratch.blocks.find(value, width, height, &reach_px) {
            return None;
        }
        // The nearest open copper is looked for a pixel farther off, by the slope about a pixel.
        let felt_px = reach_px.last().map_or(0, |reach| reach + 2);
        let curve = |&dose: &f64| DepthCurve::new(dose, etch_factor, px_um);
        let work = Work {
            value,
            curves: dose_um.iter().map(curve).collect(),
            undercut_um,
            px_um,
            etch_factor: etch_factor as f32,
            width,
            height,
        };
        Some(Self { work, reach_px, felt_px, scratch, next: 0 })
    }

    /// Mends what depths it can, `under_um` being the distances of the rows that are there so far.
    pub(crate) fn mend_so_far(&mut self, under_um: &[f32], depth: &mut [f32]) {
        let (width, height) = (self.work.width, self.work.height);
        let there = under_um.len() / width;
        while self.next < self.scratch.blocks.rows {
            let bottom = ((self.next + 1) * BLOCK).min(height);
            if (bottom + self.felt_px).min(height) > there {
                break;
            }
            self.mend_blocks(self.next, bottom, under_um, depth);
            self.next += 1;
        }
    }

    /// Mends one row of blocks, which ends above row `bottom` of the pixels.
    fn mend_blocks(&mut self, row: usize, bottom: usize, under_um: &[f32], depth: &mut [f32]) {
        let columns = self.scratch.blocks.columns;
        let mut column = 0;
        // Neighbours with the same values round them are worked in one go.
        while column < columns {
            let from = column;
            let range = self.scratch.blocks.at(column, row);
            while column < columns && self.scratch.blocks.at(column, row) == range {
                column += 1;
            }
            if range.0 == range.1 {
                continue;
            }
            let present = &self.work.undercut_um[usize::from(range.0)..=usize::from(range.1)];
            let near = Near {
                left: from * BLOCK,
                right: (column * BLOCK).min(self.work.width),
                top: row * BLOCK,
                bottom,
                shallowest: present.iter().fold(f32::MAX, |a, &b| smaller(b, a)),
                deepest: present.iter().fold(0.0, |a, &b| larger(a, b)),
                reach: self.reach_px[usize::from(range.1)],
            };
            self.work.mend(&near, under_um, self.scratch, depth);
        }
    }
}

/// What all blocks have in common.
struct Work<'a> {
    value: &'a [u8],
    curves: Vec<DepthCurve>,
    /// As long as there are bytes, so that none needs looking whether it is a value.
    undercut_um: [f32; 256],
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
    fn mend(&self, near: &Near, under_um: &[f32], scratch: &mut CreepScratch, depth: &mut [f32]) {
        let CreepScratch { seeds, columns, best, .. } = scratch;
        let (size, reach) = (near.right - near.left, near.reach);
        // Fours of pixels in a row of seeds, and in what is wanted of it.
        let (stride, fours) = ((size + 2 * reach).div_ceil(LANES), size.div_ceil(LANES));
        self.sow(near, under_um, stride, seeds);
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
            self.mend_row(near, under_um, from, &best[..size], &mut depth[from..from + size]);
        }
    }

    /// Squared reach of the open copper of each pixel round the rectangle, from anywhere in its
    /// square. A pixel partly open counts with what reach is left at its far side. Copper of the
    /// least value near creeps under nobody's varnish, and beyond the window there is none.
    fn sow(&self, near: &Near, under_um: &[f32], stride: usize, seeds: &mut Vec<Lanes>) {
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
            let here = under_um[row + left..row + right].iter().zip(&self.value[row + left..]);
            for (seed, (&s, &v)) in line.as_flattened_mut()[skip_x..].iter_mut().zip(here) {
                let undercut = self.undercut_um[usize::from(v)];
                let reach = undercut - larger(s + half, 0.0);
                let counts = (s < half) & (reach > 0.0) & (undercut > near.shallowest);
                *seed = if counts { reach * reach } else { NOTHING };
            }
        }
    }

    /// Mends one row's depths, the first of them at pixel `from`.
    fn mend_row(
        &self,
        near: &Near,
        under_um: &[f32],
        from: usize,
        best: &[f32],
        depth: &mut [f32],
    ) {
        for (i, (depth, &best)) in depth.iter_mut().zip(best).enumerate() {
            let (s, v) = (under_um[from + i], usize::from(self.value[from + i]));
            let undercut = self.undercut_um[v];
            // Under the deepest value's own resin its curve knows better, unless a border is near.
            let mut creeps = undercut < near.deepest;
            if s > 0.0 && s - self.px_um < undercut && undercut > near.shallowest {
                let size = (self.width, self.height);
                let open = nearest_open(under_um, size, self.px_um, from + i, s);
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
