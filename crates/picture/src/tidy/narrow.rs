//! What is narrower than a brush.

use std::collections::VecDeque;

/// Rounds after which nothing more than a corner gives way, even in noise.
const ROUNDS: usize = 6;

/// Gives every cell that no disc `across` cells wide, all of its value, reaches to the nearest value that one does
/// reach. Beyond the map's edge its values go on: a brush may run off the plate.
pub(super) fn give_way(labels: &mut [u8], width: usize, height: usize, across: usize) {
    if across < 2 {
        return;
    }
    let disc = disc(across);
    for _ in 0..ROUNDS {
        let reached = reached(labels, width, height, across, &disc);
        if !reached.contains(&true) || !nearest(labels, width, height, reached) {
            return;
        }
    }
}

/// The cells of a disc in a square of `across` × `across`: those whose middle lies in it.
fn disc(across: usize) -> Vec<(usize, usize)> {
    let square = (0..across).flat_map(|y| (0..across).map(move |x| (x, y)));
    let far = |at: usize| (2 * at + 1).abs_diff(across);
    square.filter(|(x, y)| far(*x).pow(2) + far(*y).pow(2) <= across * across).collect()
}

/// Whether a disc of one value reaches each cell.
fn reached(
    labels: &[u8],
    width: usize,
    height: usize,
    across: usize,
    disc: &[(usize, usize)],
) -> Vec<bool> {
    let mut reached = vec![false; labels.len()];
    // A place of the disc's square; its top left may lie beyond the map's.
    let cell = |at: usize, within: usize, count: usize| {
        (at + within).saturating_sub(across - 1).min(count - 1)
    };
    for top in 0..height + across - 1 {
        for left in 0..width + across - 1 {
            let at =
                |(x, y): &(usize, usize)| cell(top, *y, height) * width + cell(left, *x, width);
            let value = labels[at(&disc[0])];
            if disc.iter().all(|place| labels[at(place)] == value) {
                disc.iter().for_each(|place| reached[at(place)] = true);
            }
        }
    }
    reached
}

/// Gives every cell that is not marked the value of the marked cell nearest to it, counted in steps; says whether any
/// got another value. The tip of a corner is nearest to what it is the corner of, and stays.
fn nearest(labels: &mut [u8], width: usize, height: usize, mut marked: Vec<bool>) -> bool {
    let mut changed = false;
    let mut open: VecDeque<usize> = (0..labels.len()).filter(|cell| marked[*cell]).collect();
    while let Some(cell) = open.pop_front() {
        for next in super::neighbours(cell, width, height) {
            if !marked[next] {
                changed |= labels[next] != labels[cell];
                (marked[next], labels[next]) = (true, labels[cell]);
                open.push_back(next);
            }
        }
    }
    changed
}

#[cfg(test)]
mod tests {
    use super::{disc, give_way, reached};

    const SIDE: usize = 60;

    fn narrow_places(labels: &[u8], across: usize) -> usize {
        let reached = reached(labels, SIDE, SIDE, across, &disc(across));
        reached.iter().filter(|reached| !**reached).count()
    }

    #[test]
    fn a_disc_is_as_wide_as_asked() {
        // Closed form: the middles of 4, 16 − 4 and 36 − 4 cells lie within 1, 2 and 3 of the middle.
        for (across, cells) in [(2, 4), (4, 12), (6, 32)] {
            assert_eq!(disc(across).len(), cells, "{across} across");
        }
    }

    #[test]
    fn a_hair_between_two_values_goes_and_a_broad_line_stays() {
        let mut labels: Vec<u8> =
            (0..SIDE * SIDE).map(|i| if i % SIDE < 28 { 1 } else { 4 }).collect();
        for row in labels.chunks_exact_mut(SIDE) {
            row[28..31].fill(2);
            row[45..52].fill(3);
        }
        give_way(&mut labels, SIDE, SIDE, 6);
        assert!(!labels.contains(&2), "three cells are too narrow for six");
        let broad = labels.iter().filter(|value| **value == 3).count();
        assert_eq!(broad, 7 * SIDE, "seven cells are not");
        // The hair's middle may go to either side.
        let light = labels.iter().filter(|value| **value == 1).count();
        assert!((29 * SIDE..=30 * SIDE).contains(&light), "both sides share the hair: {light}");
    }

    #[test]
    fn only_tips_of_corners_are_left_of_noise() {
        for seed in 1_u32..6 {
            let mut state = seed;
            let mut labels: Vec<u8> = (0..SIDE * SIDE)
                .map(|i| {
                    // Blocks of 3 × 3 cells.
                    if i % 3 == 0 && i / SIDE % 3 == 0 {
                        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                    }
                    (state >> 28) as u8 % 3
                })
                .collect();
            assert!(narrow_places(&labels, 4) > SIDE * SIDE / 4, "much of it is narrow");
            give_way(&mut labels, SIDE, SIDE, 4);
            let left = narrow_places(&labels, 4);
            assert!(left * 100 < labels.len(), "{left} of {} cells are narrow", labels.len());
            let settled = labels.clone();
            give_way(&mut labels, SIDE, SIDE, 4);
            assert_eq!(labels, settled, "nothing more gives way");
        }
    }
}
