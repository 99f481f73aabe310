//! Varnish that lifts at its edge: beside a border of values the bath creeps in under the stop-out, along a ragged front.

use super::noise::{smooth, step};
use super::spot::Spot;
use crate::grid::Grid;
use crate::resist::{BoundedScratch, bounded_distance_px};
use core::ops::Range;
use plan::FaultKind;

/// How far the front gets at size 1 in the middle of the place, µm.
const FAR_UM: f64 = FaultKind::VarnishLifting.full_size().amount * 1000.0;
/// Lengths on which the front is ragged, µm; plausible 500–5000 and a third of it.
const RAGGED_UM: (f64, f64) = (1600.0, 450.0);
/// Distance between the places where it is worked out, µm; on coarser rasters as many pixels apart as it takes.
const STEP_UM: f32 = 50.0;
/// A front that gets no farther than this is none, µm: borders are known to half a step.
const LEAST_UM: f32 = 30.0;

/// The values of a raster on the copper, as the picture has them.
pub(crate) type Values<'a> = &'a dyn Fn(&Grid, &mut Vec<u8>);

/// Every run of pixels within a spot under whose varnish the bath has crept, and the value that it comes from: the deepest
/// last. `size_um` is the copper's.
#[inline(never)] // keeps the page small
pub(super) fn each_lifted(
    spot: &Spot,
    grid: &Grid,
    size_um: [f64; 2],
    values: Values<'_>,
    then: &mut dyn FnMut(Range<usize>, u8),
) {
    let Some([left, right, top, bottom]) = spot.pixels(grid) else { return };
    let px_um = grid.px_um;
    // The same places whatever window asks.
    let step_um = STEP_UM * libm::ceilf(px_um / STEP_UM);
    let far = libm::ceil(FAR_UM * spot.size / f64::from(step_um)) as i64 + 1;
    let lines = |first_px: i64, (from, to): (usize, usize), size_um: f64| {
        let line = |px: i64| libm::floor(px as f64 * f64::from(px_um / step_um)) as i64;
        let last = (libm::floor(size_um / f64::from(step_um)) as i64 - 1).max(0);
        let begin = (line(first_px + from as i64) - 1 - far).clamp(0, last);
        let end = (line(first_px + to as i64) + 2 + far).clamp(begin + 1, last + 1);
        (begin, (end - begin) as usize)
    };
    let (left_px, width) = lines(grid.left_px, (left, right), size_um[0]);
    let (top_px, height) = lines(grid.top_px, (top, bottom), size_um[1]);
    let nodes = Grid { left_px, top_px, width, height, px_um: step_um };
    let mut value = Vec::new();
    values(&nodes, &mut value);
    let front_um = fronts(spot, &nodes);
    let least = value.iter().fold(u8::MAX, |least, &value| least.min(value));
    let most = value.iter().fold(0, |most, &value| most.max(value));
    let (mut scratch, mut covered, mut off) = (BoundedScratch::default(), Vec::new(), Vec::new());
    for from_value in least + 1..=most {
        if !value.contains(&from_value) {
            continue;
        }
        covered.clear();
        covered.extend(value.iter().map(|&value| u8::from(value < from_value)));
        let bound = far.clamp(1, 126) as u8;
        bounded_distance_px(&covered, width, height, bound, &mut scratch, &mut off);
        // How far beyond each place the front gets; below 0 where it does not come so far.
        for (off, &front_um) in off.iter_mut().zip(&front_um) {
            let short_um = *off * step_um - 0.5 * step_um;
            *off = (front_um - short_um).min(front_um - LEAST_UM);
        }
        let field = Beyond { nodes: &nodes, beyond_um: &off };
        for row in top..bottom {
            let from = row * grid.width;
            field.runs(grid, row, (left, right), &mut |run| {
                then(from + run.start..from + run.end, from_value);
            });
        }
    }
}

/// How far the front would get at each place of a raster, µm.
fn fronts(spot: &Spot, nodes: &Grid) -> Vec<f32> {
    let step_um = f64::from(nodes.px_um);
    let at = |place: usize| {
        let x_um = nodes.left_um() + ((place % nodes.width) as f64 + 0.5) * step_um;
        let y_um = nodes.top_um() + ((place / nodes.width) as f64 + 0.5) * step_um;
        let weight = spot.weight(x_um, y_um);
        if weight <= 0.0 {
            return 0.0;
        }
        let wide = smooth(spot.seed, x_um / RAGGED_UM.0, y_um / RAGGED_UM.0);
        let fine = smooth(spot.seed ^ 0x11f7, x_um / RAGGED_UM.1, y_um / RAGGED_UM.1);
        let ragged = step((0.65 * wide + 0.35 * fine - 0.25) / 0.55);
        (FAR_UM * spot.size * weight.sqrt() * ragged) as f32
    };
    (0..nodes.len()).map(at).collect()
}

/// How far beyond each place of a raster the front gets.
struct Beyond<'a> {
    nodes: &'a Grid,
    beyond_um: &'a [f32],
}

impl Beyond<'_> {
    /// The runs of a row's pixels, within these columns, that the front gets beyond; straight lines lie between nodes.
    fn runs(
        &self,
        grid: &Grid,
        row: usize,
        (left, right): (usize, usize),
        then: &mut dyn FnMut(Range<usize>),
    ) {
        let along = |px: i64, first: i64, count: usize| {
            let at = (px as f64 + 0.5) * f64::from(grid.px_um / self.nodes.px_um) - 0.5;
            let at = (at - first as f64).clamp(0.0, (count - 1) as f64);
            let node = (at as usize).min(count.saturating_sub(2));
            (node, (at - node as f64) as f32)
        };
        let width = self.nodes.width;
        let (above, ty) = along(grid.top_px + row as i64, self.nodes.top_px, self.nodes.height);
        let below = (above + 1).min(self.nodes.height - 1);
        let (above, below) = (&self.beyond_um[above * width..], &self.beyond_um[below * width..]);
        let line = |node: usize| above[node] + ty * (below[node] - above[node]);
        let mut begun = None;
        let mut column = left;
        while column < right {
            let (node, tx) = along(grid.left_px + column as i64, self.nodes.left_px, width);
            let (here, next) = (line(node), line((node + 1).min(width - 1)));
            let in_front = here + tx * (next - here) > 0.0;
            match (in_front, begun) {
                (true, None) => begun = Some(column),
                (false, Some(from)) => {
                    then(from..column);
                    begun = None;
                }
                _ => {}
            }
            // Nothing changes before the next node where both say the same.
            let alike = (here > 0.0) == (next > 0.0);
            let px_left = ((1.0 - tx) * self.nodes.px_um / grid.px_um) as usize;
            column += if alike { px_left.max(1) } else { 1 };
        }
        if let Some(from) = begun {
            then(from..right);
        }
    }
}
