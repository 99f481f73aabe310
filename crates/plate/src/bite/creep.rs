//! Stop-out borders: the bite of a deeper value creeps on under the varnish of a lighter one.
//!
//! Every bit of open copper p, bitten to R_p in all, has hollowed out everything within its
//! undercut: depth(x) = EF·√max(0, max_p[(R_p/EF)² − |x − p|²]), whoever lies over x. Away from
//! borders the curve of the pixel's own value says the same with sub-pixel edges
//! ([`super::depth`]); here the maximum itself is taken, in the blocks near borders only. It is the
//! upper envelope of parabolas and so separates into columns and rows (Felzenszwalb & Huttenlocher,
//! Theory of Computing 8 (2012) 415), each a bounded run of plain additions and maxima.

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
const BLOCK: usize = 32;
/// No open copper: less than minus any squared distance that is looked at, µm².
const NOTHING: f32 = -1e12;
/// Open copper may lie nearer than the centre of its pixel by up to this many pixels.
const SLACK_PX: f32 = 0.75;

/// Mends the depths near borders between values.
///
/// `depth` holds each pixel's depth by its own value ([`super::depth_field`]) and is changed only
/// near borders, in two ways: where a deeper value's open copper lies within its undercut the depth
/// is raised to what creeps under the varnish; and where the nearest open copper belongs to a
/// lighter value, resin of a deeper one is no longer undercut as if it were its own.
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
    let present = &dose_um[usize::from(least)..=usize::from(most)];
    let deepest_um = present.iter().fold(0.0, |a: f64, &b| a.max(b));
    // Anything that can still matter at the far side of a pixel's width is looked at.
    let reach = libm::ceil(deepest_um / etch_factor / f64::from(px_um)) as usize + 1;
    let reach_blocks = reach.div_ceil(BLOCK);
    let curves: Vec<DepthCurve> =
        dose_um.iter().map(|&dose| DepthCurve::new(dose, etch_factor, px_um)).collect();
    let undercut_um: Vec<f32> = dose_um.iter().map(|&dose| (dose / etch_factor) as f32).collect();
    let work = Work {
        under_um,
        value,
        curves: &curves,
        undercut_um: &undercut_um,
        px_um,
        etch_factor: etch_factor as f32,
        width,
        height,
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
    /// Deepest undercut, px, rounded up and one more.
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
        let px2 = self.px_um * self.px_um;
        // Where the first seed column stands in the padded row.
        let shift = seed_left + self.reach - left;
        for y in top..bottom {
            let row = &mut columns[shift..shift + seed_width];
            row.fill(NOTHING);
            for seed_y in
                seed_top.max(y.saturating_sub(self.reach))..seed_bottom.min(y + self.reach + 1)
            {
                let dy = y.abs_diff(seed_y);
                let dy2 = (dy * dy) as f32 * px2;
                let from = (seed_y - seed_top) * seed_width;
                raise(row, &seeds[from..from + seed_width], dy2);
            }
            let size = right - left;
            best.copy_from_slice(&columns[self.reach..self.reach + size]);
            for dx in 1..=self.reach {
                let dx2 = (dx * dx) as f32 * px2;
                raise(best, &columns[self.reach - dx..self.reach - dx + size], dx2);
                raise(best, &columns[self.reach + dx..self.reach + dx + size], dx2);
            }
            let from = y * self.width + left;
            self.mend_row(from, best, &mut depth[from..from + size]);
        }
    }

    /// Squared reach of the open copper of each pixel. A pixel partly open counts with what reach
    /// is left at its centre.
    fn sow(&self, left: usize, right: usize, top: usize, bottom: usize, seeds: &mut Vec<f32>) {
        seeds.clear();
        let half = 0.5 * self.px_um;
        for y in top..bottom {
            let row = y * self.width + left..y * self.width + right;
            seeds.extend(self.under_um[row.clone()].iter().zip(&self.value[row]).map(
                |(&s, &v)| {
                    let reach = self.undercut_um[usize::from(v)] - if s > 0.0 { s } else { 0.0 };
                    if s < half && reach > 0.0 { reach * reach } else { NOTHING }
                },
            ));
        }
    }

    /// Mends one row's depths, the first of them at pixel `from`.
    fn mend_row(&self, from: usize, best: &[f32], depth: &mut [f32]) {
        let slack = SLACK_PX * self.px_um;
        let pixels = self.under_um[from..].iter().zip(&self.value[from..]);
        for ((depth, &best), (&s, &v)) in depth.iter_mut().zip(best).zip(pixels) {
            let undercut = self.undercut_um[usize::from(v)];
            if s > 0.0 && undercut > 0.0 {
                // Distance at which the pixel's own value would have to lie open to account for
                // what reaches it; if that is clearly more than s, the copper nearest to it belongs
                // to a lighter value.
                let own2 = undercut * undercut - best;
                let own = own2.max(0.0).sqrt() - slack;
                if own > s {
                    *depth = self.curves[usize::from(v)].depth_um(own);
                }
            }
            let crept = self.etch_factor * best.max(0.0).sqrt();
            if crept > *depth {
                *depth = crept;
            }
        }
    }
}

/// Raises `row` to `seeds` − `lower` where that is more.
fn raise(row: &mut [f32], seeds: &[f32], lower: f32) {
    for (best, &seed) in row.iter_mut().zip(seeds) {
        let seen = seed - lower;
        *best = if seen > *best { seen } else { *best };
    }
}
