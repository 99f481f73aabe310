//! Islands of a picture in two tones: their number, their widths, the length of their outlines.

use petgraph::unionfind::UnionFind;

/// Fewer pixels than this are a speck and no island.
pub(crate) const LEAST_PX: usize = 9;

/// One island.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Island {
    /// Pixels.
    pub area_px: usize,
    /// Pixels from its first column to its last, and from its first row to its last.
    pub box_px: (usize, usize),
    /// Whether it reaches the picture's border.
    pub on_border: bool,
    /// Sides of its pixels that face pixels which are not set.
    pub sides: usize,
}

/// Which island each pixel belongs to.
pub(crate) struct Labels {
    /// By pixel; `NONE` where none is.
    label: Vec<u32>,
    /// The island of each label.
    of: Vec<u32>,
    /// Islands.
    pub(crate) count: usize,
}

const NONE: u32 = u32::MAX;

impl Labels {
    /// Islands of the pixels that are set, in the order of their first pixel. Pixels touch at their sides: corners, too,
    /// would join islands that blur has brought nearly together.
    pub(crate) fn of(set: &[bool], width: usize) -> Self {
        let mut sets = UnionFind::<u32>::new_empty();
        let mut label = vec![NONE; set.len()];
        for (y, row) in set.chunks_exact(width.max(1)).enumerate() {
            for (x, _) in row.iter().enumerate().filter(|(_, set)| **set) {
                let at = y * width + x;
                let left = if x > 0 { label[at - 1] } else { NONE };
                let up = if y > 0 { label[at - width] } else { NONE };
                label[at] = match (left, up) {
                    (NONE, NONE) => sets.new_set(),
                    (NONE, one) => one,
                    (one, other) => {
                        if other != NONE && one != other {
                            sets.union(one, other);
                        }
                        one
                    }
                };
            }
        }
        // A set's label is any of its own.
        let mut of = sets.into_labeling();
        let mut place = vec![NONE; of.len()];
        let mut count = 0;
        for one in &mut of {
            let place = &mut place[*one as usize];
            if *place == NONE {
                *place = count;
                count += 1;
            }
            *one = *place;
        }
        Self { label, of, count: count as usize }
    }

    /// Pixels of islands, each with its island, row by row.
    pub(crate) fn each(&self) -> impl Iterator<Item = (usize, usize)> {
        let set = self.label.iter().enumerate().filter(|(_, label)| **label != NONE);
        set.map(|(at, &label)| (at, self.of[label as usize] as usize))
    }
}

/// Islands of the pixels that are set, in the order of their first pixel.
#[must_use]
pub fn islands(set: &[bool], width: usize) -> Vec<Island> {
    let labels = Labels::of(set, width);
    // Each with the corners of its box.
    let mut found = vec![(Island::default(), [usize::MAX, usize::MAX, 0, 0]); labels.count];
    let last = (width.max(1) - 1, (set.len() / width.max(1)).max(1) - 1);
    for (at, one) in labels.each() {
        let (x, y) = (at % width, at / width);
        let (island, [left, top, right, bottom]) = &mut found[one];
        island.area_px += 1;
        let bare = |inside: bool, at: usize| usize::from(inside && !set[at]);
        island.sides += bare(x > 0, at.wrapping_sub(1))
            + bare(x < last.0, at + 1)
            + bare(y > 0, at.wrapping_sub(width))
            + bare(y < last.1, at + width);
        island.on_border |= x == 0 || y == 0 || x == last.0 || y == last.1;
        (*left, *top) = ((*left).min(x), (*top).min(y));
        (*right, *bottom) = ((*right).max(x), (*bottom).max(y));
    }
    found
        .into_iter()
        .map(|(island, [left, top, right, bottom])| Island {
            box_px: (right - left + 1, bottom - top + 1),
            ..island
        })
        .collect()
}

/// What the islands of a picture come to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Counted {
    /// Share of the pixels, specks among them, 0–1.
    pub(crate) cover: f64,
    /// Islands in the picture, each on the border counted for half: they belong to the next picture as well.
    pub(crate) count: f64,
    /// Median diameter of a disc of the same area, pixels; `None` without an island that lies wholly inside.
    pub(crate) width_px: Option<f64>,
    /// Length of the islands' outlines, the border apart, to a pixel of the picture.
    pub(crate) outline: f64,
}

/// Counts and measures the islands of at least so many pixels that are set.
///
/// Only islands wholly in the picture are measured. The large ones lie so more seldom than the small, hence each
/// stands for as many as its box has fewer places than a point (J. Serra, *Image Analysis and Mathematical
/// Morphology*, 1982, ch. VIII: Miles and Lantuéjoul's correction).
pub(crate) fn count(set: &[bool], width: usize, least_px: usize) -> Counted {
    let height = set.len() / width;
    let all = islands(set, width);
    let islands = all.iter().filter(|island| island.area_px >= least_px);
    let count = islands.clone().map(|one| if one.on_border { 0.5 } else { 1.0 }).sum();
    let inside: Vec<(f64, f64)> = islands
        .clone()
        .filter(|island| !island.on_border)
        .map(|island| {
            let places = |of: usize, taken: usize| (of - taken.min(of - 1)) as f64 / of as f64;
            let share = places(width, island.box_px.0) * places(height, island.box_px.1);
            (libm::sqrt(island.area_px as f64 * 4.0 / core::f64::consts::PI), 1.0 / share)
        })
        .collect();
    let covered = set.iter().filter(|set| **set).count();
    // Straight rows and columns meet an outline of length L in a plane, all directions alike, 4 L/π times a pixel's width
    // in all (Crofton).
    let sides: usize = islands.map(|island| island.sides).sum();
    Counted {
        cover: covered as f64 / set.len().max(1) as f64,
        count,
        width_px: median(&inside),
        outline: sides as f64 * core::f64::consts::FRAC_PI_4 / set.len().max(1) as f64,
    }
}

/// The least value that half the weight does not exceed. (By halves: one more way to sort is 3 kB of the page.)
fn median(weighed: &[(f64, f64)]) -> Option<f64> {
    let up_to = |most: f64| -> f64 {
        weighed.iter().filter(|(value, _)| *value <= most).map(|(_, weight)| weight).sum()
    };
    let half = 0.5 * up_to(f64::INFINITY);
    let (mut low, mut high) = (0.0, weighed.iter().fold(0.0, |a, (value, _)| f64::max(a, *value)));
    for _ in 0..64 {
        let middle = 0.5 * (low + high);
        if up_to(middle) < half {
            low = middle;
        } else {
            high = middle;
        }
    }
    (!weighed.is_empty()).then_some(high)
}

#[cfg(test)]
mod tests {
    use super::count;

    /// Closed form: a square of 11 pixels has the area of a disc 12.412 wide; one on the border is half an island.
    #[test]
    fn islands_are_as_wide_as_discs_of_their_area() {
        let (width, height) = (60, 40);
        let inside = |x: usize, y: usize| (20..31).contains(&x) && (10..21).contains(&y);
        let border = |x: usize, y: usize| x < 5 && (30..35).contains(&y);
        let set: Vec<bool> = (0..width * height)
            .map(|i| inside(i % width, i / width) || border(i % width, i / width))
            .collect();
        let counted = count(&set, width, 1);
        assert_eq!(counted.count, 1.5);
        let wide = counted.width_px.expect("one lies wholly inside");
        assert!((wide - 12.412).abs() < 0.001, "{wide}");
        assert!((counted.cover - (121.0 + 25.0) / 2400.0).abs() < 1e-12, "{}", counted.cover);
        assert_eq!(count(&set, width, 26).count, 1.0, "the smaller one is left out");
    }

    /// Miles and Lantuéjoul's correction by hand, in a picture of 100 by 100: an island 2 by 90 lies wholly inside at
    /// .98 × .10 of all places, one of 20 by 20 at .80 × .80, so the tall one counts for 10.2 and three squares for 4.7.
    #[test]
    fn an_island_stands_for_those_of_its_size_that_the_border_cuts() {
        let side = 100;
        let in_box = |i: usize, left: usize, top: usize, width: usize, height: usize| {
            (left..left + width).contains(&(i % side)) && (top..top + height).contains(&(i / side))
        };
        let set: Vec<bool> = (0..side * side)
            .map(|i| in_box(i, 5, 5, 2, 90) || (0..3).any(|n| in_box(i, 30, 5 + 30 * n, 20, 20)))
            .collect();
        let wide = count(&set, side, 1).width_px.expect("all lie wholly inside");
        assert!((wide - (180.0 * 4.0 / core::f64::consts::PI).sqrt()).abs() < 1e-6, "{wide}");
    }
}
