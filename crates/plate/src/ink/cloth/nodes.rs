//! Nodes: the blocks on which the cloth's level is solved, and what lies between them.
//!
//! The level is smooth over the contact width, three blocks and more, so that every other block both ways
//! says all of it.

use super::super::blur::Blocks;
use core::ops::Range;

/// The blocks of a window on which the level is solved: every other one of the plate both ways, and
/// whatever lies at the window's border.
#[derive(Clone, Debug, Default)]
pub(super) struct Nodes {
    /// Their columns, from left to right.
    pub(super) columns: Vec<usize>,
    /// Their rows, from top to bottom.
    pub(super) rows: Vec<usize>,
}

impl Nodes {
    /// Lays them over a window.
    pub(super) fn lay(&mut self, blocks: &Blocks) {
        let (odd_column, odd_row) = blocks.odd();
        let fill = |to: &mut Vec<usize>, n: usize, odd: bool| {
            to.clear();
            let even = |i: usize| i.is_multiple_of(2) != odd;
            to.extend((0..n).filter(|&i| even(i) || i == 0 || i + 1 == n));
        };
        fill(&mut self.columns, blocks.columns, odd_column);
        fill(&mut self.rows, blocks.rows, odd_row);
    }

    /// The nodes' blocks, row by row.
    pub(super) fn blocks(&self, blocks: &Blocks) -> impl Iterator<Item = usize> + '_ {
        let columns = blocks.columns;
        self.rows.iter().flat_map(move |row| self.columns.iter().map(move |c| row * columns + c))
    }

    /// Those of the columns that lie in a span.
    pub(super) fn columns_in(&self, span: &Range<usize>) -> &[usize] {
        let before = |end: usize| self.columns.partition_point(|&column| column < end);
        &self.columns[before(span.start)..before(span.end)]
    }

    /// Fills a field that is known at the nodes: cubic (Catmull–Rom) half way between them.
    pub(super) fn fill(&self, blocks: &Blocks, field: &mut [f32]) {
        let (columns, rows) = (blocks.columns, blocks.rows);
        for &row in &self.rows {
            let line = &mut field[row * columns..][..columns];
            for between in gaps(&self.columns) {
                let [a, b, c, d] = around(between, columns).map(|column| line[column]);
                line[between] = half_way(a, b, c, d);
            }
        }
        for between in gaps(&self.rows) {
            let [a, b, c, d] = around(between, rows).map(|row| row * columns);
            for column in 0..columns {
                let [a, b, c, d] = [a, b, c, d].map(|row| field[row + column]);
                field[between * columns + column] = half_way(a, b, c, d);
            }
        }
    }
}

/// The places that no node holds.
fn gaps(nodes: &[usize]) -> impl Iterator<Item = usize> + '_ {
    nodes.windows(2).filter(|pair| pair[1] - pair[0] == 2).map(|pair| pair[0] + 1)
}

/// The two nodes before a gap and the two after it; the border's where there are no more.
fn around(gap: usize, n: usize) -> [usize; 4] {
    [gap.saturating_sub(3), gap - 1, gap + 1, (gap + 3).min(n - 1)]
}

fn half_way(a: f32, b: f32, c: f32, d: f32) -> f32 {
    0.5625 * (b + c) - 0.0625 * (a + d)
}
