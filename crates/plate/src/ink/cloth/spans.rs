//! Spans: which nodes a blur is wanted of, and the blur of sixteen levels at once over them.

use super::super::blur::Blocks;
use super::nodes::Nodes;
use super::{Lanes, NONE};
use crate::grid::sized;
use core::ops::Range;

/// The blocks whose blurred fields are wanted, and those that they feel: in each row some columns.
#[derive(Clone, Debug, Default)]
pub(super) struct Spans {
    wanted: Vec<Range<usize>>,
    /// Blocks of a row that wanted ones feel from above and below.
    between: Vec<Range<usize>>,
    /// Blocks that those feel from the left and right.
    pub(super) felt: Vec<Range<usize>>,
}

impl Spans {
    /// All blocks.
    pub(super) fn whole(&mut self, blocks: &Blocks) {
        for rows in [&mut self.wanted, &mut self.between, &mut self.felt] {
            rows.clear();
            rows.resize(blocks.rows, 0..blocks.columns);
        }
    }

    /// The blocks in this bracket; false if there are none. Others are felt `weights` away at most.
    pub(super) fn around(
        &mut self,
        blocks: &Blocks,
        bracket_of: &[usize],
        bracket: usize,
        weights: usize,
    ) -> bool {
        // Two more, since reflecting at a border between two blocks takes from both.
        let reach = weights + 2;
        self.wanted.clear();
        self.wanted.extend(bracket_of.chunks_exact(blocks.columns).map(|row| {
            let first = row.iter().position(|&one| one == bracket).unwrap_or(0);
            let end = row.iter().rposition(|&one| one == bracket).map_or(0, |last| last + 1);
            first..end
        }));
        if self.wanted.iter().all(Range::is_empty) {
            return false;
        }
        let nothing = blocks.columns..0;
        self.between.clear();
        self.between.extend((0..blocks.rows).map(|row| {
            let near = &self.wanted[row.saturating_sub(reach)..(row + reach + 1).min(blocks.rows)];
            let all = near
                .iter()
                .filter(|one| !one.is_empty())
                .fold(nothing.clone(), |all, one| all.start.min(one.start)..all.end.max(one.end));
            if all.is_empty() { 0..0 } else { all }
        }));
        self.felt.clear();
        self.felt.extend(self.between.iter().map(|one| {
            let wide = one.start.saturating_sub(reach)..(one.end + reach).min(blocks.columns);
            if one.is_empty() { 0..0 } else { wide }
        }));
        true
    }
}

/// Blurs sixteen fields at once from block to block, with reflecting borders; only at nodes whose blur
/// is wanted they are right afterwards.
pub(super) fn blur(
    field: &[Lanes],
    (blocks, nodes): (&Blocks, &Nodes),
    spans: &Spans,
    weights: &[f32],
    (between, line): (&mut Vec<Lanes>, &mut Vec<Lanes>),
    out: &mut [Lanes],
) {
    let (columns, rows, radius) = (blocks.columns, blocks.rows, weights.len() - 1);
    let beyond = |n: usize| (-(radius as i64)..0).chain(n as i64..(n + radius) as i64);
    let toward = |a: &Lanes, b: &Lanes, share: f32| {
        let mut lanes = NONE;
        for (to, (&a, &b)) in lanes.iter_mut().zip(a.iter().zip(b)) {
            *to = a + (b - a) * share;
        }
        lanes
    };
    let beside: Vec<_> = beyond(columns).map(|i| (i, blocks.mirrored_column(i))).collect();
    line.resize(columns + 2 * radius, NONE);
    // With as many rows more above and below.
    sized(between, (rows + 2 * radius) * columns, NONE);
    let row_from = |row: i64| (radius as i64 + row) as usize * columns;
    for (row, span) in spans.between.iter().enumerate().filter(|(_, span)| !span.is_empty()) {
        let felt = spans.felt[row].clone();
        let from = &field[row * columns..][felt.clone()];
        line[radius + felt.start..radius + felt.end].copy_from_slice(from);
        for &(i, (a, b, share)) in &beside {
            line[(radius as i64 + i) as usize] =
                toward(&line[radius + a], &line[radius + b], share);
        }
        let to = &mut between[row_from(row as i64)..][..columns];
        for &i in nodes.columns_in(span) {
            to[i] = weighted(line, radius + i, 1, weights);
        }
    }
    for i in beyond(rows) {
        let (a, b, share) = blocks.mirrored_row(i);
        for &column in &nodes.columns {
            between[row_from(i) + column] = toward(
                &between[row_from(a as i64) + column],
                &between[row_from(b as i64) + column],
                share,
            );
        }
    }
    for &row in &nodes.rows {
        for &column in nodes.columns_in(&spans.wanted[row]) {
            out[row * columns + column] =
                weighted(between, row_from(row as i64) + column, columns, weights);
        }
    }
}

/// Weighted sum about one place of many, of places `stride` apart.
#[inline(always)]
fn weighted(places: &[Lanes], centre: usize, stride: usize, weights: &[f32]) -> Lanes {
    // Four sums that don't wait for each other, each in a register of its own.
    let [p, q, r, s] = places[centre];
    let own = weights[0];
    let (mut p, mut q, mut r, mut s) = (p * own, q * own, r * own, s * own);
    let (mut before, mut after) = (centre, centre);
    for &weight in &weights[1..] {
        before -= stride;
        after += stride;
        let [a, b, c, d] = places[before];
        let [e, f, g, h] = places[after];
        p += (a + e) * weight;
        q += (b + f) * weight;
        r += (c + g) * weight;
        s += (d + h) * weight;
    }
    [p, q, r, s]
}
