//! Late sweeps: few drops have just merged, the others lie still.
//!
//! The drops stay sorted as they are. Those that merge lie nowhere from then on, and the merged drop
//! is added at the end and hung into its square. Each new drop looks all round, as far as it and the
//! largest drop reach.

use super::matching::ALONE;
use super::melt::{MeltScratch, keep_apart, merged};
use super::spread::Spread;

/// Side of the squares in mean distances between drops. Speed only.
const SQUARE: f32 = 1.6;

impl MeltScratch {
    /// Sweeps until nothing merges any more. The first `fresh` of the drops held have just merged.
    pub(super) fn merge_late(&mut self, fresh: usize, side_um: f32, spread: &Spread) {
        let count = self.held.len();
        let square_um = SQUARE * side_um / (count as f32).sqrt();
        self.squares.sort(&self.held, side_um, square_um, &mut self.sorted);
        let mut widest_um = self.held.widest_um();
        let late = &mut self.late;
        late.heads.clear();
        late.heads.resize(self.squares.starts.len(), ALONE);
        late.nexts.clear();
        late.fresh.clear();
        late.fresh.extend(self.squares.places(fresh));
        while !self.late.fresh.is_empty() {
            self.find_late(widest_um, spread);
            self.apart |= keep_apart(&mut self.finder, &self.sorted, widest_um, spread);
            let pairs = self.finder.pairs();
            let matched = self.matching.match_few(self.sorted.len(), pairs);
            let late = &mut self.late;
            late.fresh.clear();
            for &(one, other) in matched {
                let sorted = &mut self.sorted;
                let (place, volume_um3) = merged(sorted, one as usize, other as usize);
                let radius_um = spread.radius_um(volume_um3 as f32);
                widest_um = widest_um.max(radius_um);
                sorted.x_um[one as usize] = f32::INFINITY;
                sorted.x_um[other as usize] = f32::INFINITY;
                let square = self.squares.square(place.0, place.1);
                let index = sorted.len() as u32;
                late.fresh.push(index);
                late.nexts.push(late.heads[square]);
                late.heads[square] = index;
                sorted.push(place, radius_um, volume_um3);
            }
        }
        let late = &mut self.late;
        late.fresh.extend(
            (0_u32..)
                .zip(&self.sorted.x_um[..self.sorted.len()])
                .filter(|(_, x_um)| **x_um < f32::INFINITY)
                .map(|(at, _)| at),
        );
        self.held.clear();
        self.held.append(&self.sorted, &late.fresh);
    }

    /// Finds partners of the fresh drops.
    fn find_late(&mut self, widest_um: f32, spread: &Spread) {
        let (drops, squares, late) = (&self.sorted, &self.squares, &self.late);
        let first_added = drops.len() - late.nexts.len();
        self.finder.begin(spread.touch);
        for &index in &late.fresh {
            let at = index as usize;
            self.finder.look_round(drops, squares, at, widest_um);
            if late.nexts.is_empty() {
                continue;
            }
            let reach = 1.001 * (widest_um + drops.radius_um[at]) * spread.touch;
            let (x_um, y_um) = (drops.x_um[at], drops.y_um[at]);
            let (left, right) = (squares.line(x_um - reach), squares.line(x_um + reach));
            let (top, bottom) = (squares.line(y_um - reach), squares.line(y_um + reach));
            for row in top..=bottom {
                for &head in &late.heads[row * squares.stride()..][left..=right] {
                    let mut other = head;
                    while other != ALONE {
                        if other != index {
                            let near = drops.nearness(at, other as usize);
                            self.finder.add(index, other, near);
                        }
                        other = late.nexts[other as usize - first_added];
                    }
                }
            }
        }
    }
}
