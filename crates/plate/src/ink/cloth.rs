//! The cloth: how far it sags into the pits.
//!
//! The wiping cloth is an elastic bed under constant pressure. It sinks until its overlap with the
//! metal, averaged over its contact width, comes to a fixed amount s₀:
//!
//! > G ∗ max(e* − h, 0) = s₀,  e = e* − s₀
//!
//! with h the depth of the copper, G a Gaussian of the contact width, e the cloth's level below
//! the old surface. The left side is found block by block at fixed levels: each block counts its
//! pixels by depth once, which gives its overlap at every level; those are then blurred from block
//! to block, level by level, and the first level with enough overlap is the answer. The answer is
//! smooth: it is looked for in every other block both ways ([`nodes`]).

mod counts;
mod nodes;
mod spans;

use super::blur::{Blocks, half_gaussian};
use crate::grid::{Grid, Rows, sized};
pub use counts::Shared;
use counts::{Counts, EMPTY, pixels_and_rests};
use nodes::Nodes;
use spans::{Spans, blur};
use wide::f32x4;

/// Levels are blurred this many at a time.
const LANES: usize = 16;
type Lanes = [f32x4; LANES / 4];
const NONE: Lanes = [f32x4::ZERO; LANES / 4];

/// Levels are the numbers v = h + 4 µm with five leading bits of their fraction: 0.125 µm apart down
/// to 4 µm, then twice as far in each octave of v. A level is then read straight off the bits of h.
/// With one bit more the cloth lies no nearer to where it should: the sums between levels are exact.
const SHIFT_UM: f32 = 4.0;
/// Bits of a float below those five.
const LEVEL_BITS: u32 = 18;
/// In place of a bracket.
const NOT_A_NODE: usize = usize::MAX;
/// The lowest level, µm; v stays below 1024.
const LOWEST_UM: f32 = 1019.0;
/// Depths below this one count as this one, for the cloth and for the ink under it alike, µm: by then the
/// cloth lies on the floor of whatever is wider than a grain, and the narrow holds more ink than any paper
/// takes. The cloth's overlap has room between it and the lowest level.
pub(super) const DEEPEST_UM: f32 = 1000.0;
/// Levels from 0 to the deepest.
const LEVELS: usize = 256;
/// Each pixel adds one count above this bit and the rest of its depth, in 256ths of a level, below.
const COUNT_BIT: u32 = 20;
/// Largest side of a block, pixels: its counts still fit above [`COUNT_BIT`].
const LARGEST_SIDE: usize = 62;
/// Side of a block, µm, as near as an even number of pixels allows: under a third of the contact
/// width.
const BLOCK_UM: f64 = 64.0;
/// The Gaussian is cut off at this many sigmas.
const CUT: f64 = 3.5;

/// How a cloth sags.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Cloth {
    /// Mean overlap of cloth and metal, s₀, µm.
    pub(super) overlap_um: f32,
    /// Contact width: standard deviation of the Gaussian, µm.
    pub(super) width_um: f64,
}

/// Buffers of the cloth, reused from window to window.
#[derive(Clone, Debug, Default)]
pub(super) struct ClothScratch {
    weights: Vec<f32>,
    /// Pixels counted by level, block after block.
    counts: Counts,
    /// Overlap (times pixels) and count of each block at the start of every sixteen levels.
    starts: Vec<(f32, f32)>,
    /// Blurred overlap of each block at the end of every sixteen levels, sixteen such ends at a
    /// time.
    coarse: Vec<Lanes>,
    /// Overlap of each block at the ends of sixteen levels in a row, before and after blurring.
    fine: Vec<Lanes>,
    between: Vec<Lanes>,
    line: Vec<Lanes>,
    blurred: Vec<Lanes>,
    nodes: Nodes,
    /// Which sixteen levels hold each node's answer; [`NOT_A_NODE`] for other blocks.
    bracket: Vec<usize>,
    spans: Spans,
    /// Cloth level e of each block, µm; then of each block of half the side.
    block_level_um: Vec<f32>,
    level_between_um: Vec<f32>,
    pub(super) level_um: Vec<f32>,
}

impl ClothScratch {
    /// Trades the room of the counts, which are of no use once the cloth lies still, for that of a field
    /// that is not in use.
    pub(super) fn trade(&mut self, field: &mut Vec<f32>) {
        self.counts.trade(field);
    }
}

/// Depth of a level, µm.
fn level_um(level: usize) -> f32 {
    f32::from_bits(SHIFT_UM.to_bits() + ((level as u32) << LEVEL_BITS)) - SHIFT_UM
}

/// Overlap after each of sixteen more levels of width `width_um`.
///
/// Between them everything is a whole number of 256ths of a level, and small enough for a float to
/// hold exactly.
#[inline(always)]
fn steps(overlap: f32, count: f32, entries: &[u32; LANES], width_um: f32) -> [f32; LANES] {
    let (mut seen, mut sum) = (256 * count as u32, 0);
    let sums = entries.map(|entry| {
        seen += 256 * (entry >> COUNT_BIT);
        sum += seen - (entry & ((1 << COUNT_BIT) - 1));
        sum as i32
    });
    let mut overlaps = [0.0; LANES];
    for (to, sum) in overlaps.iter_mut().zip(sums) {
        *to = overlap + sum as f32 * (width_um / 256.0);
    }
    overlaps
}

/// Overlap and count after sixteen more levels: the last of [`steps`], four lanes at a time.
#[inline(always)]
fn sixteen_steps(overlap: f32, count: f32, entries: &[u32; LANES], width_um: f32) -> (f32, f32) {
    // Whole numbers all, and few enough that pixels and rests stay apart when entries are added.
    let (quarters, _) = entries.as_chunks::<4>();
    let pixels = |entry: u32| entry >> COUNT_BIT;
    let (mut sum, mut above) = (0, 0);
    let beside = quarters[0].iter().zip(&quarters[1]).zip(quarters[2].iter().zip(&quarters[3]));
    for (lane, ((&a, &b), (&c, &d))) in beside.enumerate() {
        let all = a + b + c + d;
        sum += all;
        above +=
            pixels(all) * (LANES - lane) as u32 - 4 * (pixels(b) + 2 * pixels(c) + 3 * pixels(d));
    }
    let (here, rests) = pixels_and_rests(sum);
    let levels = LANES as f32 * count + above as i32 as f32 - rests * (1.0 / 256.0);
    (overlap + width_um * levels, count + here)
}

impl Cloth {
    /// Distance beyond which the plate has no influence on the cloth, µm.
    pub(super) fn reach_um(&self) -> f64 {
        // More than the Gaussian by the block the place lies in, its neighbour for the bilinear
        // spread, three blocks to the second node beside it, and the rounding up to whole blocks.
        CUT * self.width_um + 6.0 * BLOCK_UM
    }

    /// Finds the cloth's level over a window that has pixels: fills `scratch.level_um`, one number
    /// for each of the blocks given back.
    pub(super) fn settle(
        &self,
        depth_um: Rows<'_>,
        grid: &Grid,
        shared: Shared,
        scratch: &mut ClothScratch,
    ) -> Blocks {
        let side = (2.0 * libm::round(0.5 * BLOCK_UM / f64::from(grid.px_um)))
            .clamp(2.0, LARGEST_SIDE as f64);
        let blocks = Blocks::new(grid, side as usize);
        // The blocks themselves widen the Gaussian by the variance of their side.
        let variance = self.width_um / f64::from(grid.px_um);
        let variance = variance * variance - (side * side - 1.0) / 12.0;
        half_gaussian(libm::sqrt(variance.max(0.0)) / side, CUT, &mut scratch.weights);

        scratch.nodes.lay(&blocks);
        let deepest_um = scratch.counts.take(depth_um, &blocks, shared);
        let top_um = (deepest_um + self.overlap_um).min(LOWEST_UM);
        let top = ((top_um + SHIFT_UM).to_bits() - SHIFT_UM.to_bits()) >> LEVEL_BITS;
        // The answer lies at or below the level above the deepest place plus the overlap.
        let brackets = (top as usize + 2).min(LEVELS).div_ceil(LANES);

        self.find_brackets(&blocks, brackets, scratch);
        scratch.block_level_um.clear();
        scratch.block_level_um.resize(blocks.len(), 0.0);
        for bracket in 0..brackets {
            if scratch.spans.around(&blocks, &scratch.bracket, bracket, scratch.weights.len()) {
                self.solve_bracket(bracket, brackets, &blocks, scratch);
            }
        }
        scratch.nodes.fill(&blocks, &mut scratch.block_level_um);
        blocks.refined(
            &scratch.block_level_um,
            grid,
            &mut scratch.level_between_um,
            &mut scratch.level_um,
        )
    }

    /// Which sixteen levels hold each node's answer, from the overlap at every sixteenth level.
    fn find_brackets(&self, blocks: &Blocks, brackets: usize, scratch: &mut ClothScratch) {
        let groups = brackets.div_ceil(LANES);
        let n = blocks.len();
        sized(&mut scratch.starts, n * brackets, (0.0, 0.0));
        sized(&mut scratch.fine, n * groups, NONE);
        let scale = 1.0 / (blocks.side * blocks.side) as f32;
        for (block, starts) in scratch.starts.chunks_exact_mut(brackets).enumerate() {
            let (mut overlap, mut count) = (0.0_f32, 0.0_f32);
            let counts = scratch.counts.of(block);
            for (bracket, start) in starts.iter_mut().enumerate() {
                *start = (overlap, count);
                let spacing_um = spacing_um(bracket);
                (overlap, count) = match counts.get(bracket) {
                    Some(entries) => sixteen_steps(overlap, count, entries, spacing_um),
                    // The same without pixels.
                    None => (overlap + spacing_um * (LANES as f32 * count), count),
                };
                *lane_mut(&mut scratch.fine[bracket / LANES * n + block], bracket % LANES) =
                    overlap * scale;
            }
        }
        scratch.spans.whole(blocks);
        sized(&mut scratch.coarse, n * groups, NONE);
        scratch.bracket.clear();
        sized(&mut scratch.bracket, n, NOT_A_NODE);
        for group in (0..groups).rev() {
            let blurred = &mut scratch.coarse[group * n..][..n];
            blur(
                &scratch.fine[group * n..][..n],
                (blocks, &scratch.nodes),
                &scratch.spans,
                &scratch.weights,
                (&mut scratch.between, &mut scratch.line),
                blurred,
            );
            let lanes = LANES.min(brackets - group * LANES);
            for block in scratch.nodes.blocks(blocks) {
                let enough = |&at: &usize| lane(&blurred[block], at) >= self.overlap_um;
                if let Some(found) = (0..lanes).find(enough) {
                    scratch.bracket[block] = group * LANES + found;
                } else if scratch.bracket[block] == NOT_A_NODE {
                    scratch.bracket[block] = brackets - 1;
                }
            }
        }
    }

    /// Finds the level of all nodes whose answer lies in these sixteen levels.
    fn solve_bracket(
        &self,
        bracket: usize,
        brackets: usize,
        blocks: &Blocks,
        scratch: &mut ClothScratch,
    ) {
        let n = blocks.len();
        let spacing_um = spacing_um(bracket);
        let start_um = level_um(bracket * LANES);
        sized(&mut scratch.fine, n, NONE);
        let scale = 1.0 / (blocks.side * blocks.side) as f32;
        for (row, columns) in scratch.spans.felt.iter().enumerate() {
            for block in row * blocks.columns + columns.start..row * blocks.columns + columns.end {
                let (overlap, count) = scratch.starts[block * brackets + bracket];
                let entries = scratch.counts.of(block).get(bracket).unwrap_or(&EMPTY);
                let overlaps = steps(overlap, count, entries, spacing_um);
                let (fours, _) = overlaps.as_chunks::<4>();
                for (to, &four) in scratch.fine[block].iter_mut().zip(fours) {
                    *to = f32x4::new(four) * scale;
                }
            }
        }
        sized(&mut scratch.blurred, n, NONE);
        blur(
            &scratch.fine[..n],
            (blocks, &scratch.nodes),
            &scratch.spans,
            &scratch.weights,
            (&mut scratch.between, &mut scratch.line),
            &mut scratch.blurred,
        );
        let here = |&block: &usize| scratch.bracket[block] == bracket;
        for block in scratch.nodes.blocks(blocks).filter(here) {
            // Overlap at the sixteen levels, the one before them, and as far as known around.
            let coarse = |bracket: usize| {
                lane(&scratch.coarse[bracket / LANES * n + block], bracket % LANES)
            };
            let before = |back: usize| if back > bracket { 0.0 } else { coarse(bracket - back) };
            let ends = |at: usize| lane(&scratch.blurred[block], at);
            let found = (0..LANES).find(|&at| ends(at) >= self.overlap_um).unwrap_or(LANES - 1);
            let (low, high) = (if found == 0 { before(1) } else { ends(found - 1) }, ends(found));
            let slope_before = match found {
                0 if bracket == 0 => 0.0,
                0 => (low - before(2)) / (LANES as f32 * self::spacing_um(bracket - 1)),
                1 => (low - before(1)) / spacing_um,
                _ => (low - ends(found - 2)) / spacing_um,
            };
            let slope_after = if found + 1 < LANES {
                (ends(found + 1) - high) / spacing_um
            } else if bracket + 1 < brackets {
                (coarse(bracket + 1) - high) / (LANES as f32 * self::spacing_um(bracket + 1))
            } else {
                1.0
            };
            let share = crossing(
                low,
                high,
                slope_before * spacing_um,
                slope_after * spacing_um,
                self.overlap_um,
            );
            let level_um = start_um + (found as f32 + share) * spacing_um;
            let level_um = level_um - self.overlap_um;
            scratch.block_level_um[block] = if level_um > 0.0 { level_um } else { 0.0 };
        }
    }
}

/// Where between two levels the overlap comes to `wanted`, as a share of their distance.
///
/// Overlap against level is a convex curve: it lies on or above the lines that its neighbours'
/// slopes (per level) draw from both ends. A flat floor makes a sharp bend, which the two lines
/// meet exactly; on a smooth curve they are as good as the chord.
fn crossing(low: f32, high: f32, slope_before: f32, slope_after: f32, wanted: f32) -> f32 {
    let chord = if high > low { (wanted - low) / (high - low) } else { 1.0 };
    let from_below = if slope_before > 0.0 { (wanted - low) / slope_before } else { 1.0 };
    let from_above = if slope_after > 0.0 { 1.0 - (high - wanted) / slope_after } else { 1.0 };
    let share = if from_below < from_above { from_below } else { from_above };
    let share = if share > chord { share } else { chord };
    if share < 1.0 { share } else { 1.0 }
}

/// Distance between the levels of sixteen, µm: they all lie in one octave.
fn spacing_um(bracket: usize) -> f32 {
    level_um(bracket * LANES + 1) - level_um(bracket * LANES)
}

/// One of sixteen lanes.
#[inline(always)]
fn lane(lanes: &Lanes, at: usize) -> f32 {
    lanes[at / 4].as_array_ref()[at % 4]
}

/// The same, to be written.
#[inline(always)]
fn lane_mut(lanes: &mut Lanes, at: usize) -> &mut f32 {
    &mut lanes[at / 4].as_array_mut()[at % 4]
}
