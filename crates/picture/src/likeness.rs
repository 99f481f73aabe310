//! Knowing a picture again: by its mean tones in sixteen cells, which hardly change when it is scaled,
//! saved in another format or renamed on its way from one person to another.

use crate::tone::ToneMap;
use plan::MadeFor;

/// Cells along each side.
const SIDE: usize = 4;
/// Largest difference of a cell between two copies of one picture, in L*. Of nine pictures, copies a
/// quarter as wide and saved as JPEG of quality 15 differed by 1, and no two pictures by less than 12.
const MOST_APART: f64 = 2.5;
/// Largest difference in shape between two copies, as a part of it: a small copy's sides are whole pixels.
const MOST_STRETCHED: f64 = 0.02;

/// What a picture is like: its size, and the mean lightness of sixteen cells, row by row.
#[must_use]
pub fn likeness(tones: &ToneMap) -> MadeFor {
    let rows = [0, 1, 2, 3].map(|part| shares(tones.height, part));
    let columns = [0, 1, 2, 3].map(|part| shares(tones.width, part));
    let mut is = vec![tones.width as f64, tones.height as f64];
    for in_column in &rows {
        for in_row in &columns {
            let mut sum = 0;
            for (y, of_row) in in_column {
                let row = tones.lightness.get(y * tones.width..).unwrap_or_default();
                let weighed =
                    |(x, share): &(usize, u64)| share * u64::from(*row.get(*x).unwrap_or(&0));
                sum += of_row * in_row.iter().map(weighed).sum::<u64>();
            }
            // From 255 to 200 for white, rounded; then in halves.
            let whole = 255 * (tones.width * tones.height).max(1) as u64;
            is.push(((400 * sum + whole) / (2 * whole)) as f64 / 2.0);
        }
    }
    MadeFor(is)
}

/// The pixels of one of a side's four parts, and how much of each lies in it, 0–4. Pixels on the
/// border are divided, so that a small copy's cells show the same. Together as much as the side has pixels.
fn shares(side: usize, part: usize) -> Vec<(usize, u64)> {
    let (from, to) = (part * side, (part + 1) * side);
    let share = |x: usize| (SIDE * x + SIDE).min(to) - (SIDE * x).max(from);
    (from / SIDE..to.div_ceil(SIDE)).map(|x| (x, share(x) as u64)).collect()
}

/// Whether two pictures are copies of one, whatever their size and format.
#[must_use]
pub fn same_picture(a: &MadeFor, b: &MadeFor) -> bool {
    let (Some((size_a, tones_a)), Some((size_b, tones_b))) = (a.parts(), b.parts()) else {
        return false;
    };
    let stretched = (size_a[0] * size_b[1]) / (size_a[1] * size_b[0]) - 1.0;
    stretched.abs() <= MOST_STRETCHED
        && tones_a.iter().zip(tones_b).all(|(a, b)| (a - b).abs() <= MOST_APART)
}
