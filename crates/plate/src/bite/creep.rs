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

mod envelope;
mod ranges;
#[cfg(test)]
mod tests;

use super::depth::DepthCurve;
use crate::order::{larger, smaller};
use core::ops::Range;
use envelope::Envelope;
use ranges::{BLOCK, BlockRanges};
use wide::{CmpGt, CmpLt, f32x4};

/// Buffers kept between calls. Their content does not matter.
#[derive(Clone, Debug, Default)]
pub struct CreepScratch {
    blocks: BlockRanges,
    /// Fours of pixels of a row of blocks, row by row: which of them may be crept under, a bit each.
    creeps: Vec<u8>,
    envelope: Envelope,
}

/// Pixels worked at once.
const LANES: usize = 4;

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
        let Self { work, reach_px, scratch, .. } = self;
        let columns = scratch.blocks.columns;
        let (top, mut column) = (row * BLOCK, 0);
        scratch.creeps.clear();
        scratch.creeps.resize((bottom - top) * work.width.div_ceil(LANES), 0);
        // Neighbours with the same values round them are worked in one go, and what creeps in all with the same least
        // value: copper of any other that is in reach of one of them alone does not reach the rest.
        let mut group: Option<Near> = None;
        while column < columns {
            let from = column;
            let range = scratch.blocks.at(column, row);
            while column < columns && scratch.blocks.at(column, row) == range {
                column += 1;
            }
            if range.0 == range.1 {
                continue;
            }
            let present = &work.undercut_um[usize::from(range.0)..=usize::from(range.1)];
            let near = Near {
                left: from * BLOCK,
                right: (column * BLOCK).min(work.width),
                top,
                bottom,
                shallowest: present.iter().fold(f32::MAX, |a, &b| smaller(b, a)),
                deepest: present.iter().fold(0.0, |a, &b| larger(a, b)),
                reach: reach_px[usize::from(range.1)],
            };
            work.undercut(&near, under_um, &mut scratch.creeps, depth);
            group = match group {
                Some(left) if left.right == near.left && left.shallowest == near.shallowest => {
                    let reach = left.reach.max(near.reach);
                    Some(Near { right: near.right, reach, ..left })
                }
                other => {
                    if let Some(before) = other {
                        work.creep(&before, under_um, scratch, depth);
                    }
                    Some(near)
                }
            };
        }
        if let Some(last) = group {
            work.creep(&last, under_um, scratch, depth);
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
    /// Raises the depths of those pixels of a rectangle that may be crept under.
    fn creep(&self, near: &Near, under_um: &[f32], scratch: &mut CreepScratch, depth: &mut [f32]) {
        let CreepScratch { creeps, envelope, .. } = scratch;
        let rows = || creeps.chunks_exact(self.width.div_ceil(LANES));
        let asks = |&creeps: &u8| creeps != 0;
        let felt = Envelope::felt_fours(near.reach);
        let (mut first, mut past) = (near.left / LANES, near.left / LANES);
        for four in past..near.right.div_ceil(LANES) {
            if !rows().any(|row| asks(&row[four])) {
                continue;
            }
            // Far from the last that asks another stretch begins.
            if four > past + felt {
                self.creep_along(near, first..past, under_um, envelope, rows(), depth);
                first = four;
            }
            past = four + 1;
        }
        self.creep_along(near, first..past, under_um, envelope, rows(), depth);
    }

    /// The same of some fours of columns; `rows` tell which pixels of all.
    fn creep_along<'r>(
        &self,
        near: &Near,
        fours: Range<usize>,
        under_um: &[f32],
        envelope: &mut Envelope,
        rows: impl Iterator<Item = &'r [u8]>,
        depth: &mut [f32],
    ) {
        if fours.is_empty() {
            return;
        }
        self.sow(near, fours.clone(), under_um, envelope);
        for (row, creeps) in rows.enumerate() {
            let depth = &mut depth[(near.top + row) * self.width..][..self.width];
            let creeps = &creeps[fours.clone()];
            envelope.row(row, creeps, |four, best| {
                let crept = f32x4::splat(self.etch_factor) * best.fast_max(f32x4::ZERO).sqrt();
                let here = depth[(fours.start + four) * LANES..].iter_mut().zip(crept.to_array());
                for (lane, (depth, crept)) in here.enumerate() {
                    if creeps[four] >> lane & 1 != 0 && crept > *depth {
                        *depth = crept;
                    }
                }
            });
        }
    }

    /// Sows the open copper that some fours of columns of a rectangle feel. Copper of the least value near creeps
    /// under nobody's varnish, and beyond the window there is none.
    fn sow(&self, near: &Near, fours: Range<usize>, under_um: &[f32], envelope: &mut Envelope) {
        let rows = near.reach.saturating_sub(near.top)
            ..(self.height + near.reach - near.top).min(near.bottom - near.top + 2 * near.reach);
        envelope.clear(near.bottom - near.top, near.reach, self.px_um);
        // Values lie in areas: most fours are the one before over again.
        let mut values = [0; LANES];
        let mut open = self.open_of(values, near);
        for four in fours.start..fours.end + Envelope::felt_fours(near.reach) {
            // Counted from as far to the left as is felt, since there may be no columns so far.
            let x = four * LANES;
            let within = x >= near.reach && x - near.reach + LANES <= self.width;
            envelope.sow(self.px_um, rows.clone(), |row| {
                let row = (near.top + row - near.reach) * self.width;
                if within {
                    let from = row + x - near.reach;
                    let here = self.value[from..].first_chunk::<LANES>()?;
                    if *here != values {
                        (values, open) = (*here, self.open_of(*here, near));
                    }
                    let under_um = under_um[from..].first_chunk::<LANES>()?;
                    return open.map(|open| (f32x4::new(*under_um), open));
                }
                let (mut under, mut undercut) = ([0.0; LANES], [0.0; LANES]);
                for lane in 0..LANES {
                    let x = (x + lane).checked_sub(near.reach).filter(|&x| x < self.width);
                    if let Some(x) = x {
                        under[lane] = under_um[row + x];
                        undercut[lane] = self.open_um(self.value[row + x], near);
                    }
                }
                Some((f32x4::new(under), f32x4::new(undercut)))
            });
        }
    }

    /// Undercut of a value's open copper, µm; 0 of the least near.
    fn open_um(&self, value: u8, near: &Near) -> f32 {
        let undercut = self.undercut_um[usize::from(value)];
        if undercut > near.shallowest { undercut } else { 0.0 }
    }

    /// The same of four values, where any has some.
    fn open_of(&self, values: [u8; LANES], near: &Near) -> Option<f32x4> {
        let undercut = values.map(|value| self.open_um(value, near));
        (undercut != [0.0; LANES]).then_some(f32x4::new(undercut))
    }

    /// Mends the resin of deeper values beside the open copper of lighter ones in a rectangle, and tells which of its
    /// pixels may be crept under.
    fn undercut(&self, near: &Near, under_um: &[f32], creeps: &mut [u8], depth: &mut [f32]) {
        let fours = self.width.div_ceil(LANES);
        for (y, creeps) in (near.top..near.bottom).zip(creeps.chunks_exact_mut(fours)) {
            self.undercut_row(near, under_um, y, &mut creeps[near.left / LANES..], depth);
        }
    }

    /// The same of one row.
    fn undercut_row(
        &self,
        near: &Near,
        under_um: &[f32],
        y: usize,
        creeps: &mut [u8],
        depth: &mut [f32],
    ) {
        let fours = (near.right - near.left).div_ceil(LANES);
        for (four, creeps) in creeps[..fours].iter_mut().enumerate() {
            let x = near.left + four * LANES;
            let from = y * self.width + x;
            let here = &self.value[from..from + LANES.min(near.right - x)];
            // Most fours are of one value, and many of these in the open or deep in the resin.
            let undercut = self.undercut_um[usize::from(here[0])];
            if here.iter().all(|&v| v == here[0])
                && let Some(s) = under_um[from..].first_chunk::<LANES>()
                && (undercut <= near.shallowest || !self.is_undercut(*s, undercut))
            {
                *creeps = if undercut < near.deepest { 0xf } else { 0 };
                continue;
            }
            for (lane, &v) in here.iter().enumerate() {
                let (s, undercut) = (under_um[from + lane], self.undercut_um[usize::from(v)]);
                // Under the deepest value's own resin its curve knows better, unless a border is near.
                let mut may_be = undercut < near.deepest;
                if s > 0.0 && s - self.px_um < undercut && undercut > near.shallowest {
                    let (place, size) = ((x + lane, y), (self.width, self.height));
                    let open = nearest_open(under_um, size, self.px_um, place, s);
                    let nearest = usize::from(self.value[open]);
                    if self.undercut_um[nearest] < undercut {
                        depth[from + lane] = self.curves[nearest].depth_um(s);
                        may_be = true;
                    }
                }
                *creeps |= u8::from(may_be) << lane;
            }
        }
    }

    /// Whether any of four pixels lies under the resin, and no deeper than a pixel beyond an undercut.
    #[inline(always)]
    fn is_undercut(&self, under_um: [f32; LANES], undercut_um: f32) -> bool {
        let s = f32x4::new(under_um);
        (s.cmp_gt(f32x4::ZERO) & (s - self.px_um).cmp_lt(f32x4::splat(undercut_um))).any()
    }
}

/// The open copper nearest to a pixel `s` µm under the resin: straight down the slope of the distance
/// `under_um`, which falls by a µm for each µm on the way, and half a pixel on. The pixel itself where
/// the distance has no slope.
pub(super) fn nearest_open(
    under_um: &[f32],
    (width, height): (usize, usize),
    px_um: f32,
    (x, y): (usize, usize),
    s: f32,
) -> usize {
    let at = |x: usize, y: usize| under_um[y * width + x];
    let (left, right) = (x.saturating_sub(1), (x + 1).min(width - 1));
    let (top, bottom) = (y.saturating_sub(1), (y + 1).min(height - 1));
    let slope_x = (at(right, y) - at(left, y)) / (right - left).max(1) as f32;
    let slope_y = (at(x, bottom) - at(x, top)) / (bottom - top).max(1) as f32;
    let steep = (slope_x * slope_x + slope_y * slope_y).sqrt();
    if steep <= 0.0 {
        return y * width + x;
    }
    let way = (s / px_um + 0.5) / steep;
    let to = |from: usize, slope: f32, size: usize| {
        ((from as f32 + 0.5 - slope * way).max(0.0) as usize).min(size - 1)
    };
    to(y, slope_y, height) * width + to(x, slope_x, width)
}
