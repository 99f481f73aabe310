//! Counts: the pixels of every block of the copper by their depth.

use super::super::blur::{Blocks, reflected};
use super::{COUNT_BIT, DEEPEST_UM, LANES, LEVEL_BITS, LEVELS, SHIFT_UM};
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
    pub(super) fn take(&mut self, depth_um: &[f32], width: usize, blocks: &Blocks) -> f32 {
        self.filled = 0;
        self.firsts.clear();
        self.firsts.push(0);
        // Pixels side by side are often equally deep: two tables, so that none waits for another.
        let mut tables = [[0_u32; LEVELS]; 2];
        let mut deepest = 0;
        for row in 0..blocks.rows {
            self.read_band(depth_um, width, blocks, row);
            for column in 0..blocks.columns {
                let most = match self.uniform(blocks, column) {
                    Some(bits) => {
                        let level = (bits >> LEVEL_BITS) as usize % LEVELS;
                        tables[0][level] = (blocks.side * blocks.side) as u32 * entry_of(bits);
                        bits
                    }
                    None => self.count_block(blocks, column, &mut tables),
                };
                deepest = deepest.max(most);
                let levels = LANES * ((most >> LEVEL_BITS) as usize / LANES + 1);
                self.gather(&mut tables, levels);
            }
        }
        f32::from_bits(deepest + SHIFT_UM.to_bits()) - SHIFT_UM
    }

    /// Reads the pixels of one row of blocks; what lies beyond the window is reflected into it.
    fn read_band(&mut self, depth_um: &[f32], width: usize, blocks: &Blocks, row: usize) {
        let whole = blocks.columns * blocks.side;
        let before = blocks.first_column(0).unsigned_abs() as usize;
        self.band.resize(whole * blocks.side, 0);
        let lines = self.band.chunks_exact_mut(whole);
        for (line, y) in lines.zip(blocks.pixel_rows(row)) {
            let from = &depth_um[y * width..][..width];
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
        if self.entries.len() < end {
            self.entries.resize(end.max(self.entries.capacity()), 0);
        }
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
