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

mod eights;
mod ranges;
mod reach;
#[cfg(test)]
mod tests;

use super::depth::DepthCurve;
use crate::order::{larger, smaller};
use bytemuck::cast;
use eights::{Eights, eight, padded, whole};
use ranges::{BLOCK, BlockRanges};
use wide::{CmpGt, CmpLt, f32x4, i16x8};

/// Buffers kept between calls. Their content does not matter.
#[derive(Clone, Debug, Default)]
pub struct CreepScratch {
    blocks: BlockRanges,
    /// One row of squared reaches: what each pixel's open copper has.
    seeds: Vec<i16>,
    /// The rows' maxima of these, one column of eights after another.
    rows: Vec<i16x8>,
    /// What each pixel farther off takes away.
    lower: Vec<i16x8>,
    /// Each value near that may creep under another's varnish, and its undercut.
    creeping: Vec<[i16x8; 2]>,
}

/// Pixels worked at once: as wide as a block.
const LANES: usize = BLOCK;
/// The deepest undercut near, in the whole numbers of 16 bits in which lengths are compared, eight
/// pixels at a time.
const DEEPEST: f32 = 32767.0;
/// Its square, of which 15 bits are kept: beside an undercut of 20 µm, what creeps 1 µm deep is right
/// to a hundredth of a µm, and what is deeper to less.
const DEEPEST_SQUARED: f32 = DEEPEST * DEEPEST / 32768.0;

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
                range,
                left: from * BLOCK,
                right: (column * BLOCK).min(self.work.width),
                top: row * BLOCK,
                bottom,
                shallowest: present.iter().fold(f32::MAX, |a, &b| smaller(b, a)),
                deepest: present.iter().fold(0.0, |a, &b| larger(a, b)),
                reach: self.reach_px[usize::from(range.1)],
            };
            if near.deepest > near.shallowest {
                self.work.mend(&near, under_um, self.scratch, depth);
            }
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
    range: (u8, u8),
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
        let CreepScratch { seeds, rows, lower, creeping, .. } = scratch;
        let reach = near.reach;
        let eights = (near.right - near.left).div_ceil(LANES);
        let felt = near.bottom - near.top + 2 * reach;
        let units = DEEPEST / near.deepest;
        // Copper of the least value near creeps under nobody's varnish.
        creeping.clear();
        creeping.extend((near.range.0..=near.range.1).filter_map(|value| {
            let undercut = self.undercut_um[usize::from(value)];
            let creeps = undercut > near.shallowest;
            creeps.then(|| [i16x8::splat(i16::from(value)), whole(undercut * units)])
        }));
        lower.clear();
        lower.extend((1..=reach).map(|px| {
            let least = (px as f32 - 0.5) * self.px_um / near.deepest;
            // Rounded down, as what it is taken from.
            i16x8::splat((smaller(least * least, 1.0) * DEEPEST_SQUARED) as i16)
        }));
        let ef = self.etch_factor;
        let measures = Eights {
            creeping,
            units: f32x4::splat(units),
            half_px: f32x4::splat(0.5 * self.px_um * units),
            less_px: f32x4::splat(-self.px_um * units),
            px: i16x8::splat(libm::rintf(smaller(self.px_um * units, DEEPEST)) as i16),
            depth_gain: f32x4::splat(ef * ef * near.deepest * near.deepest / DEEPEST_SQUARED),
        };
        seeds.clear();
        seeds.resize((eights + 1) * LANES + 2 * reach, 0);
        rows.clear();
        rows.resize(eights * felt, i16x8::ZERO);
        // Beyond the window there is no open copper.
        let first = reach.saturating_sub(near.top);
        let last = felt.min(self.height + reach - near.top);
        for row in first..last {
            self.sow(near, &measures, under_um, near.top + row - reach, seeds);
            for eight in 0..eights {
                let about = &seeds[eight * LANES..][..LANES + 2 * reach];
                let mut most = i16x8::from_slice_unaligned(&about[reach..]);
                let left = about[..reach + LANES - 1].windows(LANES).rev();
                let right = about[reach + 1..].windows(LANES);
                for ((left, right), &lower) in left.zip(right).zip(&*lower) {
                    let (left, right) =
                        (i16x8::from_slice_unaligned(left), i16x8::from_slice_unaligned(right));
                    most = most.max(left.max(right) - lower);
                }
                rows[eight * felt + row] = most;
            }
        }
        for (column, about) in rows.chunks_exact(felt).enumerate() {
            let x = near.left + column * LANES;
            for (row, about) in about.windows(2 * reach + 1).enumerate() {
                let mut most = about[reach];
                let (above, below) = (about[..reach].iter().rev(), &about[reach + 1..]);
                for ((&above, &below), &lower) in above.zip(below).zip(&*lower) {
                    most = most.max(above.max(below) - lower);
                }
                self.mend_eight(near, &measures, under_um, (x, near.top + row), most, depth);
            }
        }
    }

    /// Squared reach of the open copper of one row of pixels round the rectangle, from anywhere in
    /// their squares. A pixel partly open counts with what reach is left at its far side.
    fn sow(&self, near: &Near, eights: &Eights, under_um: &[f32], y: usize, seeds: &mut [i16]) {
        let left = near.left.saturating_sub(near.reach);
        // Whole eights, as far as the window goes: what lies farther off is not looked at.
        let right = near.right + near.reach;
        let right = (left + (right - left).next_multiple_of(LANES)).min(self.width);
        let here = y * self.width + left..y * self.width + right;
        let seeds = &mut seeds[left + near.reach - near.left..];
        let (under_um, under_rest) = under_um[here.clone()].as_chunks();
        let (value, value_rest) = self.value[here].as_chunks();
        let (seeds, seeds_rest) = seeds[..right - left].as_chunks_mut();
        for ((seeds, under_um), value) in seeds.iter_mut().zip(under_um).zip(value) {
            *seeds = eights.seeds(under_um, value);
        }
        if !seeds_rest.is_empty() {
            let rest = eights.seeds(&padded(under_rest), &padded(value_rest));
            seeds_rest.copy_from_slice(&rest[..seeds_rest.len()]);
        }
    }

    /// Mends the depths of up to eight pixels side by side, of which `most` is left of what reaches
    /// them.
    #[inline(always)]
    fn mend_eight(
        &self,
        near: &Near,
        eights: &Eights,
        under_um: &[f32],
        (x, y): (usize, usize),
        most: i16x8,
        depth: &mut [f32],
    ) {
        let at = y * self.width + x;
        let count = LANES.min(near.right - x);
        let (s, value) = (eight(under_um, at, count), eight(self.value, at, count));
        let mut new = eight(depth, at, count);
        let undercut = eights.undercuts(&value);
        // Resin of a deeper value whose nearest open copper may be another's.
        let under = i16x8::from_i32x8_saturate(cast(s)).cmp_gt(i16x8::ZERO);
        let within = eights.whole(&s, eights.less_px).cmp_lt(undercut);
        let mut asking = (under & within & undercut.cmp_gt(i16x8::ZERO)).move_mask();
        while asking != 0 {
            let i = asking.trailing_zeros() as usize % LANES;
            asking &= asking - 1;
            let size = (self.width, self.height);
            let open = nearest_open(under_um, size, self.px_um, (x + i, y), s[i]);
            let nearest = usize::from(self.value[open]);
            if self.undercut_um[nearest] < self.undercut_um[usize::from(value[i])] {
                let crept_um: [f32; LANES] = cast(eights.crept_um(most));
                new[i] = larger(crept_um[i], self.curves[nearest].depth_um(s[i]));
            }
        }
        // Under the deepest value's own resin its curve knows better, unless a border is near.
        let creeps = most & undercut.cmp_lt(i16x8::splat(DEEPEST as i16));
        let mut new: [f32x4; 2] = cast(new);
        for (new, crept_um) in new.iter_mut().zip(eights.crept_um(creeps)) {
            *new = new.fast_max(crept_um);
        }
        let new: [f32; LANES] = cast(new);
        let depth = &mut depth[at..at + count];
        match depth.first_chunk_mut() {
            Some(depth) => *depth = new,
            None => depth.iter_mut().zip(new).for_each(|(depth, new)| *depth = new),
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
    (x, y): (usize, usize),
    s: f32,
) -> usize {
    let pixel = y * width + x;
    let (slope_x, slope_y) = if (1..width - 1).contains(&x) && (1..height - 1).contains(&y) {
        let rise = |step: usize| under_um[pixel + step] - under_um[pixel - step];
        (0.5 * rise(1), 0.5 * rise(width))
    } else {
        let at = |x: usize, y: usize| under_um[y * width + x];
        let (left, right) = (x.saturating_sub(1), (x + 1).min(width - 1));
        let (top, bottom) = (y.saturating_sub(1), (y + 1).min(height - 1));
        (
            (at(right, y) - at(left, y)) / (right - left).max(1) as f32,
            (at(x, bottom) - at(x, top)) / (bottom - top).max(1) as f32,
        )
    };
    let steep = (slope_x * slope_x + slope_y * slope_y).sqrt();
    if steep <= 0.0 {
        return pixel;
    }
    let way = (s / px_um + 0.5) / steep;
    let to = |from: usize, slope: f32, size: usize| {
        (larger(from as i32 as f32 + 0.5 - slope * way, 0.0) as i32 as usize).min(size - 1)
    };
    to(y, slope_y, height) * width + to(x, slope_x, width)
}
