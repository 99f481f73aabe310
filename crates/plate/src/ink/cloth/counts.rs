//! Counts: the pixels of every block of the copper by their depth.

use super::super::blur::{Blocks, reflected};
use super::{COUNT_BIT, DEEPEST_UM, LANES, LEVEL_BITS, LEVELS, SHIFT_UM};
use crate::grid::{Rows, sized};
use bytemuck::allocation::cast_vec;

/// Half of what a rest is counted in: added, so that rests are rounded and not cut off.
const HALF_REST: u32 = 1 << (LEVEL_BITS - 9);

/// Bits of a depth above those of no depth: its level, and below [`LEVEL_BITS`] how far beyond it.
#[inline(always)]
fn bits_of(depth_um: f32) -> u32 {
    let depth_um = if depth_um > 0.0 { depth_um } else { 0.0 };
    let depth_um = if depth_um < DEEPEST_UM { depth_um } else { DEEPEST_UM };
    (depth_um + SHIFT_UM).to_bits() - SHIFT_UM.to_bits() + HALF_REST
}

/// What a pixel of these bits adds to the entry of its level.
#[inline(always)]
fn entry_of(bits: u32) -> u32 {
    (1 << COUNT_BIT) | (bits >> (LEVEL_BITS - 8) & 0xff)
}

/// Pixels of an entry, and the sum of the rests of their depths in 256ths of a level.
#[inline(always)]
pub(super) fn pixels_and_rests(entry: u32) -> (f32, f32) {
    // Both are far below 2³¹; signed numbers turn into floats four at a time.
    ((entry >> COUNT_BIT) as i32 as f32, (entry & ((1 << COUNT_BIT) - 1)) as i32 as f32)
}

/// Counts of pixels by level, of all blocks.
#[derive(Clone, Debug, Default)]
pub(super) struct Counts {
    /// One block's levels after another's, each as far as its own deepest sixteen.
    entries: Vec<u32>,
    /// How many entries there are: the list is as long as it ever had to be.
    filled: usize,
    /// First of every block's sixteens of entries, and their end.
    firsts: Vec<u32>,
    /// Bits of the pixels of one row of blocks.
    band: Vec<u32>,
    kept: Kept,
}

/// Whole rows of blocks of the window before, which are also those of the next.
#[derive(Clone, Debug, Default)]
struct Kept {
    /// The first of them among all of the plate's, and how deep the deepest pixel of each is, as bits.
    first_row: i64,
    deepest: Vec<u32>,
    /// Their entries, and where each block's sixteens begin and end in them.
    entries: Vec<u32>,
    firsts: Vec<u32>,
}

/// What a window shares, row by row, with the one printed before it and the one printed after it; all of them lie in the same
/// columns of the plate.
#[derive(Clone, Copy, Debug, Default)]
pub struct Shared {
    /// How many of the first rows are as the window before had them.
    pub rows_of_last: usize,
    /// Where on the plate the next window begins, px, if one follows.
    pub next_top_px: Option<i64>,
}

/// Levels below a block's deepest hold nothing.
pub(super) const EMPTY: [u32; LANES] = [0; LANES];

impl Counts {
    /// The entries of a block.
    #[inline]
    pub(super) fn of(&self, block: usize) -> &[[u32; LANES]] {
        &self.entries.as_chunks().0[self.firsts[block] as usize..self.firsts[block + 1] as usize]
    }

    /// Trades the room of the entries for that of a field that is not in use, of as many bytes a number.
    pub(super) fn trade(&mut self, field: &mut Vec<f32>) {
        let entries = core::mem::replace(&mut self.entries, cast_vec(core::mem::take(field)));
        *field = cast_vec(entries);
    }

    /// Counts the pixels of every block by level. Returns the greatest depth, µm.
    pub(super) fn take(&mut self, depth_um: Rows<'_>, blocks: &Blocks, shared: Shared) -> f32 {
        self.filled = 0;
        self.firsts.clear();
        self.firsts.push(0);
        // Pixels side by side are often equally deep: two tables, so that none waits for another.
        let mut tables = [[0_u32; LEVELS]; 2];
        let mut deepest = Vec::with_capacity(blocks.rows);
        for row in 0..blocks.rows {
            let whole = blocks.whole_rows(row);
            let known = whole.is_some_and(|pixels| pixels.end <= shared.rows_of_last);
            if known && let Some(most) = self.gather_kept(blocks.first_row + row as i64, blocks) {
                deepest.push(most);
                continue;
            }
            self.read_band(depth_um, blocks, row);
            let mut most_of_row = 0;
            for column in 0..blocks.columns {
                let most = match self.uniform(blocks, column) {
                    Some(bits) => {
                        let level = (bits >> LEVEL_BITS) as usize % LEVELS;
                        tables[0][level] = (blocks.side * blocks.side) as u32 * entry_of(bits);
                        bits
                    }
                    None => self.count_block(blocks, column, &mut tables),
                };
                most_of_row = most_of_row.max(most);
                let levels = LANES * ((most >> LEVEL_BITS) as usize / LANES + 1);
                self.gather(&mut tables, levels);
            }
            deepest.push(most_of_row);
        }
        self.keep(blocks, &deepest, shared.next_top_px);
        let deepest = deepest.into_iter().max().unwrap_or(0);
        f32::from_bits(deepest + SHIFT_UM.to_bits()) - SHIFT_UM
    }

    /// Keeps whole rows of blocks that the next window has, too.
    fn keep(&mut self, blocks: &Blocks, deepest: &[u32], next_top_px: Option<i64>) {
        let Self { entries, firsts, kept, .. } = self;
        kept.deepest.clear();
        let Some(next_top_px) = next_top_px else { return };
        let begins = |row: usize| (blocks.first_row + row as i64) * blocks.side as i64;
        let there = |&row: &usize| blocks.whole_rows(row).is_some() && begins(row) >= next_top_px;
        let Some(first) = (0..blocks.rows).find(there) else { return };
        let past = (first..blocks.rows).find(|row| !there(row)).unwrap_or(blocks.rows);
        kept.first_row = blocks.first_row + first as i64;
        kept.deepest.extend_from_slice(&deepest[first..past]);
        let (from, to) = (first * blocks.columns, past * blocks.columns);
        let start = firsts[from];
        kept.firsts.clear();
        kept.firsts.extend(firsts[from..=to].iter().map(|at| at - start));
        let kept_entries = start as usize * LANES..firsts[to] as usize * LANES;
        sized(&mut kept.entries, kept_entries.len(), 0);
        kept.entries.copy_from_slice(&entries[kept_entries]);
    }

    /// Takes over a row of blocks that was kept; returns the bits of its deepest pixel, if it was.
    fn gather_kept(&mut self, row: i64, blocks: &Blocks) -> Option<u32> {
        let at = usize::try_from(row - self.kept.first_row).ok()?;
        let deepest = *self.kept.deepest.get(at)?;
        let (from, to) = (at * blocks.columns, (at + 1) * blocks.columns);
        let start = self.kept.firsts[from] as usize;
        let entries = start * LANES..self.kept.firsts[to] as usize * LANES;
        let end = self.filled + entries.len();
        self.lengthen(end);
        self.entries[self.filled..end].copy_from_slice(&self.kept.entries[entries]);
        let before = self.filled / LANES;
        let ends = &self.kept.firsts[from + 1..=to];
        self.firsts.extend(ends.iter().map(|&end| (before + end as usize - start) as u32));
        self.filled = end;
        Some(deepest)
    }

    fn lengthen(&mut self, end: usize) {
        if self.entries.len() < end {
            self.entries.resize(end.max(self.entries.capacity()), 0);
        }
    }

    /// Reads the pixels of one row of blocks; what lies beyond the window is reflected into it.
    fn read_band(&mut self, depth_um: Rows<'_>, blocks: &Blocks, row: usize) {
        let width = blocks.width();
        let whole = blocks.columns * blocks.side;
        let before = blocks.first_column(0).unsigned_abs() as usize;
        self.band.resize(whole * blocks.side, 0);
        let lines = self.band.chunks_exact_mut(whole);
        for (line, y) in lines.zip(blocks.pixel_rows(row)) {
            let from = depth_um.row(y, width);
            for (bits, &depth_um) in line[before..].iter_mut().zip(from) {
                *bits = bits_of(depth_um);
            }
            for x in (0..before).chain(before + width..whole) {
                line[x] = bits_of(from[reflected(x as i64 - before as i64, width)]);
            }
        }
    }

    /// Bits of all pixels of a block of the band, where they are the same: much paper is.
    fn uniform(&self, blocks: &Blocks, column: usize) -> Option<u32> {
        let (whole, left) = (blocks.columns * blocks.side, column * blocks.side);
        let bits = self.band[left];
        let mut lines = self.band.chunks_exact(whole);
        // Lines whole: that is quicker than to stop at the first other pixel.
        let same = |line: &[u32]| line.iter().fold(0, |other, &b| other | (b ^ bits)) == 0;
        lines.all(|line| same(&line[left..][..blocks.side])).then_some(bits)
    }

    /// Counts one block of the band; returns the bits of its deepest pixel.
    fn count_block(&self, blocks: &Blocks, column: usize, tables: &mut [[u32; LEVELS]; 2]) -> u32 {
        let whole = blocks.columns * blocks.side;
        let [first, second] = tables;
        let mut most = 0;
        let mut add = |table: &mut [u32; LEVELS], bits: u32| {
            most = if bits > most { bits } else { most };
            table[(bits >> LEVEL_BITS) as usize & (LEVELS - 1)] += entry_of(bits);
        };
        for line in self.band.chunks_exact(whole) {
            // The side is even.
            for &[a, b] in line[column * blocks.side..][..blocks.side].as_chunks::<2>().0 {
                add(first, a);
                add(second, b);
            }
        }
        most
    }

    /// Adds the tables up to so many levels to the entries, and empties them.
    fn gather(&mut self, tables: &mut [[u32; LEVELS]; 2], levels: usize) {
        let end = self.filled + levels;
        self.lengthen(end);
        let to = self.entries[self.filled..end].as_chunks_mut::<LANES>().0;
        for (from, to) in to.iter_mut().enumerate() {
            let mut sums = EMPTY;
            for table in &mut *tables {
                let part = &mut table[from * LANES..][..LANES];
                for (sum, count) in sums.iter_mut().zip(part.iter_mut()) {
                    *sum += core::mem::take(count);
                }
            }
            *to = sums;
        }
        self.filled = end;
        self.firsts.push((end / LANES) as u32);
    }
}
