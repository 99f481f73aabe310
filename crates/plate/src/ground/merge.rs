//! Merge: drops that overlap deeply run together, two by two.
//!
//! Drops spread at the same time, so of all that touch, the pair nearest to each other for their
//! size touched first. In one sweep each drop runs together with at most one other, pairs with the
//! smallest distance / (a₁ + a₂) choosing first; a merged drop lies at the common centre of mass
//! and holds both volumes. Sweeps follow until no pair is left that may merge. This order
//! reproduces the check values of dust-and-bake.md §8 (rows 30, 31); merging the smallest pairs
//! first leaves too few drops and too little cover, laying drops one after another too many.
//!
//! Early sweeps, in which much merges, sort all drops into squares (`squares`) and
//! find all pairs. Late ones leave the drops where they are and look only around those that have
//! just merged (`late`): two drops left over by the sweep before do not touch.

use super::matching::ALONE;
use super::melt::{MeltScratch, keep_apart, merged};
use super::squares::lengthen;
use super::{Dome, GroundTile, spread::Spread};
use crate::order::larger;

/// Share of the drops, %, that count as no larger than usual. Speed only.
const USUAL: usize = 97;

/// Sweeps are late while fewer than one in this many drops has just merged. Speed only.
const LATE: usize = 5;

/// Drops by which it is tried first whether any overlap. Speed only.
const FEW: usize = 100;

/// Less than one by more than rounding.
const A_LITTLE_LESS: f32 = 0.999;

impl MeltScratch {
    /// Melts the grains on a square of copper of this side step by step; the domes stay on the
    /// bench.
    ///
    /// Grains at an angle of 90° or more do not hold: they take no part in the step, and those left
    /// after the last are lost. What has once merged holds.
    pub(super) fn melt(&mut self, side_um: f32, spreads: &[Spread]) {
        self.held.clear();
        let mut touch_before = 0.0;
        for spread in spreads {
            let wider = self.widen(spread);
            let held_before = self.held.len();
            self.take_hold(spread);
            let mut fresh = self.held.len();
            // Drops that none joined and that reach no farther than when the last of them had merged still touch nobody.
            let none_joined = fresh == held_before && !self.apart;
            if none_joined && wider * spread.touch < A_LITTLE_LESS * touch_before {
                self.put_in_order(side_um, spread.touch);
                fresh = 0;
            }
            (self.apart, touch_before) = (false, spread.touch);
            while fresh > 0 && spread.touch > 0.0 {
                if fresh * LATE < self.held.len() {
                    self.merge_late(fresh, side_um, spread);
                    break;
                }
                fresh = self.sweep(side_um, spread);
            }
        }
        self.touching = match spreads.last() {
            Some(last) if self.apart || last.touch < 1.0 => self.any_touch(side_um),
            _ => false,
        };
    }

    /// Gives the drops that already hold the footprint of this step; returns how many times as wide one has become at most.
    fn widen(&mut self, spread: &Spread) -> f32 {
        let (count, held) = (self.held.len(), &mut self.held);
        let mut most = 0.0;
        for (radius_um, &volume) in held.radius_um[..count].iter_mut().zip(&held.volume_um3) {
            let before_um = *radius_um;
            *radius_um = spread.radius_um(volume as f32);
            most = larger(*radius_um / before_um, most);
        }
        most
    }

    /// Lays down the grains that hold from this step on.
    fn take_hold(&mut self, spread: &Spread) {
        let held = &mut self.held;
        if spread.all_hold() {
            let start = held.len();
            held.resize(start + self.grains.len());
            let rows = held.rows_mut(start);
            for (at, grain) in self.grains.iter().enumerate() {
                rows.x_um[at] = grain.x_um;
                rows.y_um[at] = grain.y_um;
                rows.volume_um3[at] = grain.volume_um3;
                rows.radius_um[at] = spread.radius_um(grain.volume_um3 as f32);
            }
            self.grains.clear();
        } else {
            self.grains.retain(|grain| {
                let volume = grain.volume_um3 as f32;
                let holds = spread.holds(volume);
                if holds {
                    let place = (grain.x_um, grain.y_um);
                    held.push(place, spread.radius_um(volume), grain.volume_um3);
                }
                !holds
            });
        }
    }

    /// Sorts the held drops; returns the radius that counts as usual, µm.
    fn sort(&mut self, side_um: f32, touch: f32) -> f32 {
        let usual_um = self.held.usual_um(USUAL);
        // A little more than two of them reach, so that rounding parts no pair.
        let square_um = 2.002 * usual_um * touch;
        self.squares.sort(&self.held, side_um, square_um, &mut self.sorted);
        usual_um
    }

    /// Leaves the held drops as a sweep does in which none merges.
    fn put_in_order(&mut self, side_um: f32, touch: f32) {
        let count = self.held.len();
        self.sort(side_um, touch);
        core::mem::swap(&mut self.held, &mut self.sorted);
        self.held.resize(count);
    }

    /// Sorts the held drops and finds all pairs that touch.
    fn find_pairs(&mut self, side_um: f32, touch: f32) {
        let usual_um = self.sort(side_um, touch);
        self.finder.begin(touch);
        self.finder.find_all(&self.sorted, &self.squares, usual_um);
    }

    /// One sweep over all drops. Returns how many have merged; they come first among those held.
    fn sweep(&mut self, side_um: f32, spread: &Spread) -> usize {
        self.find_pairs(side_um, spread.touch);
        let widest_um = self.held.widest_um();
        self.apart |= keep_apart(&mut self.finder, &self.sorted, widest_um, spread);
        let count = self.held.len();
        let mates = self.matching.match_up(count, self.finder.pairs());
        let (fresh, alone) = split(mates, &mut self.leading, &mut self.alone);
        let (held, sorted) = (&mut self.held, &self.sorted);
        held.resize(fresh);
        let rows = held.rows_mut(0);
        for (at, &one) in self.leading[..fresh].iter().enumerate() {
            let (place, volume_um3) = merged(sorted, one as usize, mates[one as usize] as usize);
            rows.x_um[at] = place.0;
            rows.y_um[at] = place.1;
            rows.volume_um3[at] = volume_um3;
            rows.radius_um[at] = spread.radius_um(volume_um3 as f32);
        }
        held.append(sorted, &self.alone[..alone]);
        fresh
    }

    /// Whether any two of the held drops overlap.
    fn any_touch(&mut self, side_um: f32) -> bool {
        // Where many do, some do in a small part.
        let held = &self.held;
        let part_um = side_um / libm::sqrtf(held.len() as f32 / FEW as f32);
        let within = |&at: &usize| held.x_um[at] < part_um && held.y_um[at] < part_um;
        let few: Vec<usize> = (0..held.len()).filter(within).take(2 * FEW).collect();
        let nearness = |one: usize| {
            few.iter()
                .take_while(move |&&at| at != one)
                .map(move |&other| held.nearness(one, other))
        };
        if few.iter().any(|&one| nearness(one).any(|nearness| nearness < 1.0)) {
            return true;
        }
        self.find_pairs(side_um, 1.0);
        !self.finder.pairs().is_empty()
    }

    /// Adds the domes whose centre lies in the square of side `size_um` from (`from_um`,
    /// `from_um`) to `tile`, relative to that square.
    pub(super) fn take(&self, from_um: f32, size_um: f32, tile: &mut GroundTile) {
        let drops = &self.held;
        for index in 0..drops.len() {
            let (x_um, y_um) = (drops.x_um[index] - from_um, drops.y_um[index] - from_um);
            if (0.0..size_um).contains(&x_um) && (0.0..size_um).contains(&y_um) {
                tile.domes.push(Dome { x_um, y_um, radius_um: drops.radius_um[index] });
                tile.volumes_um3.push(drops.volume_um3[index]);
            }
        }
        tile.overlapping = self.touching;
    }
}

/// Lists, in their order, the drops that lead a pair (of two mates the first) and those without a
/// mate; returns how many there are of each.
fn split(mates: &[u32], leading: &mut Vec<u32>, alone: &mut Vec<u32>) -> (usize, usize) {
    let count = mates.len();
    lengthen(leading, count, 0);
    lengthen(alone, count, 0);
    let (leading, alone) = (&mut leading[..count], &mut alone[..count]);
    let (mut leaders, mut singles) = (0, 0);
    for (index, &mate) in (0_u32..).zip(mates) {
        leading[leaders] = index;
        alone[singles] = index;
        leaders += usize::from((mate > index) & (mate != ALONE));
        singles += usize::from(mate == ALONE);
    }
    (leaders, singles)
}
