//! What is narrower than a brush.

use std::collections::VecDeque;

/// Rounds after which hardly more than a corner gives way, even in noise.
const ROUNDS: usize = 3;

/// Gives every cell that no disc `across` cells wide, all of its value, reaches to the nearest value that one does
/// reach. Beyond the map's edge its values go on: a brush may run off the plate.
pub(super) fn give_way(labels: &mut [u8], width: usize, height: usize, across: usize) {
    if across < 2 {
        return;
    }
    let disc = disc(across);
    for _ in 0..ROUNDS {
        let reached = reached(labels, width, height, &disc);
        if !reached.contains(&true) || !nearest(labels, width, height, reached) {
            return;
        }
    }
}

/// The rows of a disc in a square of `across` × `across`, each from its first cell up to the one after its last: those
/// whose middle lies in it.
fn disc(across: usize) -> Vec<(usize, usize)> {
    let far = |at: usize| (2 * at + 1).abs_diff(across);
    let row = |y: usize| {
        let outside =
            (0..across).take_while(|x| far(*x).pow(2) + far(y).pow(2) > across * across).count();
        (outside, across - outside)
    };
    (0..across).map(row).collect()
}

/// A row of the map.
struct Row {
    values: Vec<u8>,
    /// From every cell, how many cells to the right are of its value, itself counted.
    goes_on: Vec<u16>,
}

impl Row {
    fn of(values: Vec<u8>) -> Self {
        let mut goes_on = vec![1_u16; values.len()];
        for x in (0..values.len() - 1).rev() {
            if values[x] == values[x + 1] {
                goes_on[x] = goes_on[x + 1].saturating_add(1);
            }
        }
        Self { values, goes_on }
    }
}

/// Whether a disc of one value reaches each cell.
///
/// The map is widened by what a disc may stand out, so that no place of it needs asking where it lies. A row of a disc is
/// of one value where the stretch of that value to the right of its first cell is long enough.
fn reached(labels: &[u8], width: usize, height: usize, disc: &[(usize, usize)]) -> Vec<bool> {
    let out = disc.len() - 1;
    let wide = width + 2 * out;
    let padded_row = |row: usize| {
        let line = &labels[row * width..][..width];
        let (first, last) = (line[0], line[width - 1]);
        let ends = |value| std::iter::repeat_n(value, out);
        ends(first).chain(line.iter().copied()).chain(ends(last)).collect::<Vec<u8>>()
    };
    let rows: Vec<Row> = (0..height).map(|row| Row::of(padded_row(row))).collect();
    // Discs that begin and end at each cell of a row.
    let mut begin = vec![0_i16; wide * height];
    for top in 0..height + out {
        let lines: Vec<usize> =
            (0..disc.len()).map(|y| (top + y).saturating_sub(out).min(height - 1)).collect();
        let whole: Vec<_> = lines.iter().map(|line| &rows[*line]).zip(disc).collect();
        for left in 0..wide - out {
            let value = rows[lines[0]].values[left + disc[0].0];
            let fits = |(row, (from, until)): &(&Row, &(usize, usize))| {
                row.values[left + from] == value
                    && usize::from(row.goes_on[left + from]) >= until - from
            };
            if whole.iter().all(fits) {
                for (line, (from, until)) in lines.iter().zip(disc) {
                    begin[line * wide + left + from] += 1;
                    if left + until < wide {
                        begin[line * wide + left + until] -= 1;
                    }
                }
            }
        }
    }
    let mut reached = Vec::with_capacity(labels.len());
    for line in begin.chunks_exact(wide) {
        let mut over = 0;
        let discs = line.iter().map(|begin| {
            over += begin;
            over > 0
        });
        reached.extend(discs.skip(out).take(width));
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
        let reached = reached(labels, SIDE, SIDE, &disc(across));
        reached.iter().filter(|reached| !**reached).count()
    }

    #[test]
    fn a_disc_is_as_wide_as_asked() {
        // Closed form: the middles of 4, 16 − 4 and 36 − 4 cells lie within 1, 2 and 3 of the middle.
        for (across, cells) in [(2, 4), (4, 12), (6, 32)] {
            assert_eq!(
                disc(across).iter().map(|(from, until)| until - from).sum::<usize>(),
                cells,
                "{across} across"
            );
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
                    if i.is_multiple_of(3) && (i / SIDE).is_multiple_of(3) {
                        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                    }
                    (state >> 28) as u8 % 3
                })
                .collect();
            assert!(narrow_places(&labels, 4) > SIDE * SIDE / 4, "much of it is narrow");
            give_way(&mut labels, SIDE, SIDE, 4);
            let left = narrow_places(&labels, 4);
            assert!(left * 100 < labels.len(), "{left} of {} cells are narrow", labels.len());
        }
    }
}
