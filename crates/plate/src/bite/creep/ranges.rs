//! Ranges: which values lie near each block of pixels, so that only blocks near borders are worked.

use crate::grid::spread;

/// Side of a block, px.
pub(super) const BLOCK: usize = 8;

/// Which values lie in each block of pixels and within reach of it.
#[derive(Clone, Debug, Default)]
pub(super) struct BlockRanges {
    pub(super) columns: usize,
    pub(super) rows: usize,
    /// Greatest value in each block.
    own_most: Vec<u8>,
    /// Least and greatest value within reach, block by block.
    least: Vec<u8>,
    most: Vec<u8>,
    /// The same of the blocks themselves and round about, one ring of blocks farther each time; the greatest as what
    /// they lack to 255, so that both spread alike.
    ring: [Vec<u8>; 2],
    lines: [Vec<u8>; 2],
}

impl BlockRanges {
    /// Least and greatest value within reach of a block.
    pub(super) fn at(&self, column: usize, row: usize) -> (u8, u8) {
        let block = row * self.columns + column;
        (self.least[block], self.most[block])
    }

    /// Greatest value in each block of a row.
    pub(super) fn greatest_in(&self, row: usize) -> &[u8] {
        &self.own_most[row * self.columns..][..self.columns]
    }

    /// Finds the ranges of a raster of values; false if only one value lies in it. `reach_px` is how
    /// far the copper of values up to each creeps.
    pub(super) fn find(
        &mut self,
        value: &[u8],
        width: usize,
        height: usize,
        reach_px: &[usize],
    ) -> bool {
        (self.columns, self.rows) = (width.div_ceil(BLOCK), height.div_ceil(BLOCK));
        let [least, lack] = &mut self.ring;
        least.resize(self.columns * self.rows, 0);
        lack.resize(self.columns * self.rows, 0);
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
            let (least, lack) = (&mut least[row * self.columns..], &mut lack[row * self.columns..]);
            for (least, block) in least.iter_mut().zip(low.chunks(BLOCK)) {
                *least = block.iter().fold(u8::MAX, |a, &b| a.min(b));
            }
            for (lack, block) in lack.iter_mut().zip(high.chunks(BLOCK)) {
                *lack = !block.iter().fold(0, |a, &b| a.max(b));
            }
        }
        let all = (least.iter().min().copied(), lack.iter().min().copied());
        let (Some(least_of_all), Some(least_lack)) = all else { return false };
        let most_of_all = !least_lack;
        if least_of_all == most_of_all {
            return false;
        }
        self.own_most.clear();
        self.own_most.extend(lack.iter().map(|&lack| !lack));
        // The copper of a block `ring` blocks away lies more than ring − 1 blocks off.
        let rings = reach_px[usize::from(most_of_all)].div_ceil(BLOCK);
        for ring in 1..=rings {
            let [least, lack] = &mut self.ring;
            for field in [&mut *least, &mut *lack] {
                spread(field, self.columns, &mut self.lines[0], u8::min);
            }
            let farther = least.iter().zip(&*lack).map(|(&least, &lack)| (least, !lack));
            if ring == 1 {
                (self.least, self.most) = farther.unzip();
                continue;
            }
            for ((least, most), (low, high)) in
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
