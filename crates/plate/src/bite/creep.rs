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

/// Buffers kept between calls. Their content does not matter.
#[derive(Clone, Debug, Default)]
pub struct CreepScratch {
    /// Smallest and largest value in each block.
    block_range: Vec<(u8, u8)>,
    /// Squared reach of each pixel's open copper, µm²; far below 0 where there is none.
    seeds: Vec<f32>,
    /// The same after the columns' maximum.
    columns: Vec<f32>,
    /// One row after both.
    best: Vec<f32>,
}

/// Side of a block, px.
const BLOCK: usize = 16;
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
    let (columns, rows) = (width.div_ceil(BLOCK), height.div_ceil(BLOCK));
    let Some((least, most)) = block_ranges(value, width, columns, rows, &mut scratch.block_range)
    else {
        return;
    };
    if least == most {
        return;
    }
    let undercut_um: Vec<f32> = dose_um.iter().map(|&dose| (dose / etch_factor) as f32).collect();
    let present = &undercut_um[usize::from(least)..=usize::from(most)];
    let deepest = present.iter().fold(0.0, |a: f32, &b| a.max(b));
    let reach = libm::ceilf(deepest / px_um + 0.5) as usize;
    let reach_blocks = reach.div_ceil(BLOCK);
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
        shallowest: present.iter().fold(f32::MAX, |a, &b| a.min(b)),
        deepest,
        reach,
    };
    for row in 0..rows {
        let mut column = 0;
        // Neighbouring blocks near borders are worked in one go.
        while column < columns {
            let from = column;
            while column < columns
                && mixed(&scratch.block_range, columns, rows, column, row, reach_blocks)
            {
                column += 1;
            }
            if column > from {
                let left = from * BLOCK;
                let right = (column * BLOCK).min(width);
                let bottom = ((row + 1) * BLOCK).min(height);
                work.mend(left, right, row * BLOCK, bottom, scratch, depth);
            }
            column += 1;
        }
    }
}

/// Smallest and largest value in each block; returns those of the whole, `None` without pixels.
fn block_ranges(
    value: &[u8],
    width: usize,
    columns: usize,
    rows: usize,
    ranges: &mut Vec<(u8, u8)>,
) -> Option<(u8, u8)> {
    ranges.clear();
    ranges.resize(columns * rows, (u8::MAX, 0));
    if value.is_empty() {
        return None;
    }
    for (y, line) in value.chunks_exact(width).enumerate() {
        let of_row = &mut ranges[y / BLOCK * columns..][..columns];
        for (range, block) in of_row.iter_mut().zip(line.chunks(BLOCK)) {
            let least = block.iter().fold(u8::MAX, |a, &b| a.min(b));
            let most = block.iter().fold(0, |a, &b| a.max(b));
            *range = (range.0.min(least), range.1.max(most));
        }
    }
    Some(ranges.iter().fold((u8::MAX, 0), |a, b| (a.0.min(b.0), a.1.max(b.1))))
}

/// Whether more than one value lies in a block or within reach of it.
fn mixed(
    ranges: &[(u8, u8)],
    columns: usize,
    rows: usize,
    column: usize,
    row: usize,
    reach_blocks: usize,
) -> bool {
    let (mut least, mut most) = (u8::MAX, 0);
    for y in row.saturating_sub(reach_blocks)..(row + reach_blocks + 1).min(rows) {
        for x in column.saturating_sub(reach_blocks)..(column + reach_blocks + 1).min(columns) {
            least = least.min(ranges[y * columns + x].0);
            most = most.max(ranges[y * columns + x].1);
        }
    }
    least != most
}

/// What all blocks have in common.
struct Work<'a> {
    under_um: &'a [f32],
    value: &'a [u8],
    curves: &'a [DepthCurve],
    undercut_um: &'a [f32],
    px_um: f32,
    etch_factor: f32,
    width: usize,
    height: usize,
    /// Least and largest undercut of the values present, µm.
    shallowest: f32,
    deepest: f32,
    /// How far open copper reaches at most, px.
    reach: usize,
}

impl Work<'_> {
    /// Mends the depths of a rectangle of pixels.
    fn mend(
        &self,
        left: usize,
        right: usize,
        top: usize,
        bottom: usize,
        scratch: &mut CreepScratch,
        depth: &mut [f32],
    ) {
        let CreepScratch { seeds, columns, best, .. } = scratch;
        // The rectangle with everything in reach of it; beyond the window there is no copper.
        let (seed_top, seed_bottom) =
            (top.saturating_sub(self.reach), (bottom + self.reach).min(self.height));
        let seed_left = left.saturating_sub(self.reach);
        let seed_right = (right + self.reach).min(self.width);
        let seed_width = seed_right - seed_left;
        self.sow(seed_left, seed_right, seed_top, seed_bottom, seeds);
        let wide = right - left + 2 * self.reach;
        columns.clear();
        columns.resize(wide, NOTHING);
        best.clear();
        best.resize(right - left, NOTHING);
        let lower = |px: usize| {
            let um = (px as f32 - 0.5).max(0.0) * self.px_um;
            um * um
        };
        // Where the first seed column stands in the padded row.
        let shift = seed_left + self.reach - left;
        for y in top..bottom {
            let row = &mut columns[shift..shift + seed_width];
            row.fill(NOTHING);
            for seed_y in
                seed_top.max(y.saturating_sub(self.reach))..seed_bottom.min(y + self.reach + 1)
            {
                let from = (seed_y - seed_top) * seed_width;
                raise(row, &seeds[from..from + seed_width], lower(y.abs_diff(seed_y)));
            }
            let size = right - left;
            best.copy_from_slice(&columns[self.reach..self.reach + size]);
            for dx in 1..=self.reach {
                let dx2 = lower(dx);
                raise(best, &columns[self.reach - dx..self.reach - dx + size], dx2);
                raise(best, &columns[self.reach + dx..self.reach + dx + size], dx2);
            }
            let from = y * self.width + left;
            self.mend_row(from, best, &mut depth[from..from + size]);
        }
    }

    /// Squared reach of the open copper of each pixel, from anywhere in its square. A pixel partly
    /// open counts with what reach is left at its far side. Copper of the least value present
    /// creeps under nobody's varnish.
    fn sow(&self, left: usize, right: usize, top: usize, bottom: usize, seeds: &mut Vec<f32>) {
        seeds.clear();
        let half = 0.5 * self.px_um;
        for y in top..bottom {
            let row = y * self.width + left..y * self.width + right;
            seeds.extend(self.under_um[row.clone()].iter().zip(&self.value[row]).map(
                |(&s, &v)| {
                    let undercut = self.undercut_um[usize::from(v)];
                    let under = s + half;
                    let reach = undercut - if under > 0.0 { under } else { 0.0 };
                    let counts = (s < half) & (reach > 0.0) & (undercut > self.shallowest);
                    if counts { reach * reach } else { NOTHING }
                },
            ));
        }
    }

    /// Mends one row's depths, the first of them at pixel `from`.
    fn mend_row(&self, from: usize, best: &[f32], depth: &mut [f32]) {
        for (i, (depth, &best)) in depth.iter_mut().zip(best).enumerate() {
            let (s, v) = (self.under_um[from + i], usize::from(self.value[from + i]));
            let undercut = self.undercut_um[v];
            // Under the deepest value's own resin its curve knows better, unless a border is near.
            let mut creeps = undercut < self.deepest;
            if s > 0.0 && s - self.px_um < undercut && undercut > self.shallowest {
                let size = (self.width, self.height);
                let open = nearest_open(self.under_um, size, self.px_um, from + i, s);
                let nearest = usize::from(self.value[open]);
                if self.undercut_um[nearest] < undercut {
                    *depth = self.curves[nearest].depth_um(s);
                    creeps = true;
                }
            }
            let crept = self.etch_factor * best.max(0.0).sqrt();
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

/// Raises `row` to `seeds` − `lower` where that is more.
fn raise(row: &mut [f32], seeds: &[f32], lower: f32) {
    for (best, &seed) in row.iter_mut().zip(seeds) {
        let seen = seed - lower;
        *best = if seen > *best { seen } else { *best };
    }
}
