//! A smooth field over a raster: worked out on nodes that lie fixed on the copper, and straight lines between them, so
//! that a pixel costs an addition and a multiplication, and every window has the same number at the same place.

use crate::grid::Grid;
use core::ops::Range;

/// Distance between nodes, µm: a tenth of what changes fastest.
const STEP_UM: f64 = 250.0;

/// A field over one raster. Where all nodes about a place are neutral, nothing is to be done.
#[derive(Clone, Debug, Default)]
pub(crate) struct Lattice {
    grid: Option<Grid>,
    first: (i64, i64),
    columns: usize,
    nodes: Vec<f32>,
    /// Of each row of nodes, from where to where they are not neutral.
    live: Vec<(usize, usize)>,
    line: Vec<f32>,
}

impl Lattice {
    /// Works out the nodes under a raster; `None` where all of them are `neutral`.
    #[inline(never)] // keeps the page small
    pub(crate) fn over(grid: &Grid, neutral: f32, at: &dyn Fn(f64, f64) -> f32) -> Option<Self> {
        if grid.is_empty() {
            return None;
        }
        let px_um = f64::from(grid.px_um);
        let span = |from: i64, length: usize| {
            let first = cell_of(from, px_um);
            (first, (cell_of(from + length as i64 - 1, px_um) - first) as usize + 2)
        };
        let (left, columns) = span(grid.left_px, grid.width);
        let (top, rows) = span(grid.top_px, grid.height);
        let mut nodes = Vec::with_capacity(columns * rows);
        for row in 0..rows {
            let y_um = (top + row as i64) as f64 * STEP_UM;
            nodes.extend((0..columns).map(|i| at((left + i as i64) as f64 * STEP_UM, y_um)));
        }
        let live_in = |row: &[f32]| {
            let live = |node: &f32| *node != neutral;
            let from = row.iter().position(live).unwrap_or(columns);
            (from, row.iter().rposition(live).map_or(0, |last| last + 1))
        };
        let live: Vec<_> = nodes.chunks_exact(columns).map(live_in).collect();
        let any = live.iter().any(|(from, to)| from < to);
        any.then(|| Self {
            grid: Some(*grid),
            first: (left, top),
            columns,
            nodes,
            live,
            line: vec![0.0; columns],
        })
    }

    /// The field along one row of its raster: written, and told, from where to where it is not neutral.
    #[inline(never)] // keeps the page small
    pub(crate) fn row(&mut self, y: usize, out: &mut [f32]) -> Range<usize> {
        let Some(grid) = self.grid else { return 0..0 };
        let px_um = f64::from(grid.px_um);
        let y_px = grid.top_px + y as i64;
        let cell = cell_of(y_px, px_um);
        let ty = share(y_px, cell, px_um);
        let row = (cell - self.first.1) as usize;
        let (one, next) = (self.live[row], self.live[row + 1]);
        // Cells that touch a node which is not neutral.
        let from = one.0.min(next.0).saturating_sub(1);
        let to = one.1.max(next.1).min(self.columns - 1);
        if from >= to {
            return 0..0;
        }
        let above = &self.nodes[row * self.columns..];
        for i in from..=to {
            self.line[i] = above[i] + ty * (above[i + self.columns] - above[i]);
        }
        let end_px = grid.left_px + out.len() as i64;
        let pixel_of =
            |cell: usize| first_of(self.first.0 + cell as i64, px_um).clamp(grid.left_px, end_px);
        let (mut x_px, end) = (pixel_of(from), pixel_of(to));
        let written = (x_px - grid.left_px) as usize..(end - grid.left_px) as usize;
        let mut begin = first_of(self.first.0 + from as i64, px_um);
        for at in from..to {
            let cell = self.first.0 + at as i64;
            let next = first_of(cell + 1, px_um);
            let until = next.min(end);
            let (node, slope) = (self.line[at], self.line[at + 1] - self.line[at]);
            // Counted from the cell's own first pixel, so that every window rounds alike; these turn into lanes.
            let first = node + share(begin, cell, px_um) * slope;
            let per_px = (px_um / STEP_UM) as f32 * slope;
            let skip = (x_px - begin) as i32;
            let run = &mut out[(x_px - grid.left_px) as usize..(until - grid.left_px) as usize];
            for (i, pixel) in (skip..).zip(run) {
                *pixel = first + i as f32 * per_px;
            }
            (x_px, begin) = (until, next);
        }
        written
    }

    /// The largest of its nodes, which no pixel exceeds by more than rounding.
    pub(crate) fn most(&self) -> f32 {
        self.nodes.iter().fold(f32::MIN, |most, &node| if node > most { node } else { most })
    }
}

/// How far a pixel's middle lies on the way from one node to the next.
#[inline(always)]
fn share(px: i64, cell: i64, px_um: f64) -> f32 {
    ((px as f64 + 0.5) * (px_um / STEP_UM) - cell as f64) as f32
}

/// The first pixel whose middle lies at this node or after it.
fn first_of(node: i64, px_um: f64) -> i64 {
    libm::ceil(node as f64 * (STEP_UM / px_um) - 0.5) as i64
}

/// The node before a pixel: the last one whose first pixel is no later.
#[inline(never)] // keeps the page small
fn cell_of(px: i64, px_um: f64) -> i64 {
    let mut cell = libm::floor((px as f64 + 0.5) * (px_um / STEP_UM)) as i64;
    while first_of(cell, px_um) > px {
        cell -= 1;
    }
    while first_of(cell + 1, px_um) <= px {
        cell += 1;
    }
    cell
}

#[cfg(test)]
mod tests {
    use super::{Lattice, STEP_UM};
    use crate::grid::Grid;

    fn field(x_um: f64, y_um: f64) -> f32 {
        (0.3 + 1e-4 * x_um + 2e-4 * y_um) as f32
    }

    #[test]
    fn every_window_has_the_same_numbers() {
        for px_um in [2.0, 4.0, 5.0, 4.96, 150.0, 333.3] {
            let grid = Grid { left_px: 37, top_px: 11, width: 211, height: 23, px_um };
            let part = Grid { left_px: 101, top_px: 19, width: 60, height: 4, px_um };
            let (mut wide, mut narrow) = (vec![0.0; 211], vec![0.0; 60]);
            let mut all = Lattice::over(&grid, 1.0, &field).expect("a field");
            let mut some = Lattice::over(&part, 1.0, &field).expect("a field");
            for y in 0..4 {
                all.row(y + 8, &mut wide);
                some.row(y, &mut narrow);
                assert_eq!(wide[64..124], narrow[..], "{px_um} µm, row {y}");
                let x_um = f64::from(px_um) * 101.5;
                let exact = field(x_um, f64::from(px_um) * (19.5 + y as f64));
                assert!((narrow[0] - exact).abs() < 1e-4, "{px_um} µm: {} {exact}", narrow[0]);
            }
        }
    }

    #[test]
    fn a_field_of_nothing_is_none() {
        let grid = Grid { left_px: 0, top_px: 0, width: 9, height: 9, px_um: 5.0 };
        assert!(Lattice::over(&grid, 1.0, &|_, _| 1.0).is_none(), "nothing to do");
        let far = move |x_um: f64, _: f64| if x_um > 2.0 * STEP_UM { 2.0 } else { 1.0 };
        assert!(Lattice::over(&grid, 1.0, &far).is_none(), "nor where it does not reach");
    }

    #[test]
    fn only_what_is_not_neutral_is_written() {
        let grid = Grid { left_px: 3, top_px: 0, width: 900, height: 9, px_um: 5.0 };
        let middle = |x_um: f64, _: f64| if (x_um - 2000.0).abs() < 1.0 { 2.0 } else { 1.0 };
        let mut field = Lattice::over(&grid, 1.0, &middle).expect("a field");
        let mut out = vec![-1.0; 900];
        let written = field.row(4, &mut out);
        assert_eq!(written, 347..447, "the cells on either side of the node");
        assert!(out[..347].iter().chain(&out[447..]).all(|&one| one == -1.0), "no more");
        assert!(out[written].iter().all(|&one| (1.0..=2.0).contains(&one)), "all of them");
    }
}
