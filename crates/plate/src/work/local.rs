//! What tools do to depths: scraping place by place, burnishing with what lies round about.

use super::WorkConstants;
use super::stroke::Mark;
use crate::grid::Grid;

/// Scrapes a mark into the copper: lands down by `take_um`, with furrows of at most `furrow_um`.
///
/// `depth_um` and `plane_um` are one number per pixel of `grid`. Nothing is raised, and nothing below
/// the new plane but furrows is touched.
pub fn scrape(
    mark: &Mark,
    take_um: f32,
    furrow_um: f32,
    grid: &Grid,
    constants: &WorkConstants,
    depth_um: &mut [f32],
    plane_um: &mut [f32],
) {
    let pitch_um = constants.furrow_pitch_um as f32;
    mark.each_pixel(grid, |column, row, reached| {
        let at = row * grid.width + column;
        let plane = plane_um[at] + reached.share * take_um;
        let furrow = if furrow_um > 0.0 {
            reached.share * furrow_um * mark.furrow(reached.across_um, pitch_um)
        } else {
            0.0
        };
        plane_um[at] = plane;
        depth_um[at] = depth_um[at].max(plane + furrow);
    });
}

/// Buffers of the burnisher, kept between calls. Their content does not matter.
#[derive(Clone, Debug, Default)]
pub struct LocalScratch {
    share: Vec<f32>,
    wanted_um: Vec<f32>,
    /// Per block: pixels, mean depth, copper above the new plane, pits below it.
    blocks: Vec<[f32; 4]>,
    spread: Vec<[f32; 4]>,
}

/// Side of the blocks over which displaced copper is shared out, pixels.
fn block_px(grid: &Grid, constants: &WorkConstants) -> i64 {
    (libm::round(constants.flow_um / f64::from(grid.px_um)) as i64).max(1)
}

/// How far round a window its copper must be known for the burnisher, pixels.
#[must_use]
pub fn flow_margin_px(px_um: f32, constants: &WorkConstants) -> usize {
    (3.0 * constants.flow_um / f64::from(px_um)) as usize + 3
}

/// Burnishes a mark: lands down by `take_um`, pits closed by what is displaced.
///
/// With s the new plane and ⟨⟩ the mean round about, the lands go to s and every pit keeps the
/// share 1 − ⟨max(s − h, 0)⟩/⟨max(h − s, 0)⟩ of what it had below s: the mean of h stays. Lands cannot
/// go below that mean, where the pits are gone.
pub fn burnish(
    mark: &Mark,
    take_um: f32,
    grid: &Grid,
    constants: &WorkConstants,
    scratch: &mut LocalScratch,
    depth_um: &mut [f32],
    plane_um: &mut [f32],
) {
    let Some([left, top, right, bottom]) = mark.span(grid) else { return };
    let side = block_px(grid, constants);
    // Blocks lie on the plate, not on the window, so that every window has the same.
    let first = (grid.left_px.div_euclid(side), grid.top_px.div_euclid(side));
    let last = (
        (grid.left_px + grid.width as i64 - 1).div_euclid(side),
        (grid.top_px + grid.height as i64 - 1).div_euclid(side),
    );
    let columns = (last.0 - first.0 + 1) as usize;
    let rows = (last.1 - first.1 + 1) as usize;
    let block_of = |column: usize, row: usize| {
        let x = (grid.left_px + column as i64).div_euclid(side) - first.0;
        let y = (grid.top_px + row as i64).div_euclid(side) - first.1;
        y as usize * columns + x as usize
    };
    let LocalScratch { share, wanted_um, blocks, spread } = scratch;
    share.clear();
    share.resize(grid.len(), 0.0);
    wanted_um.clear();
    wanted_um.extend_from_slice(plane_um);
    mark.each_pixel(grid, |column, row, reached| {
        let at = row * grid.width + column;
        share[at] = reached.share;
        wanted_um[at] += reached.share * take_um;
    });
    // Mean depth round about: how far the lands can go down at most.
    blocks.clear();
    blocks.resize(columns * rows, [0.0; 4]);
    for row in 0..grid.height {
        for column in 0..grid.width {
            let block = &mut blocks[block_of(column, row)];
            block[0] += 1.0;
            block[1] += depth_um[row * grid.width + column];
        }
    }
    smooth(blocks, columns, rows, spread);
    for row in top..bottom {
        for column in left..right {
            let at = row * grid.width + column;
            let [n, sum, ..] = blend(spread, columns, rows, grid, side, first, column, row);
            wanted_um[at] = wanted_um[at].min(sum / n.max(1e-6)).max(plane_um[at]);
        }
    }
    for row in top..bottom {
        for column in left..right {
            let at = row * grid.width + column;
            let below = depth_um[at] - wanted_um[at];
            let block = &mut blocks[block_of(column, row)];
            if share[at] > 0.0 {
                block[2] += (-below).max(0.0);
                block[3] += below.max(0.0);
            }
        }
    }
    smooth(blocks, columns, rows, spread);
    for row in top..bottom {
        for column in left..right {
            let at = row * grid.width + column;
            if share[at] <= 0.0 {
                continue;
            }
            let [.., pressed, pits] = blend(spread, columns, rows, grid, side, first, column, row);
            let kept = if pits > pressed { 1.0 - pressed / pits } else { 0.0 };
            let below = (depth_um[at] - wanted_um[at]).max(0.0);
            depth_um[at] = wanted_um[at] + kept * below;
            plane_um[at] = wanted_um[at];
        }
    }
}

/// Sums of each block and its eight neighbours, nearer ones counting more.
fn smooth(blocks: &[[f32; 4]], columns: usize, rows: usize, out: &mut Vec<[f32; 4]>) {
    out.clear();
    for row in 0..rows {
        for column in 0..columns {
            let mut sums = [0.0_f32; 4];
            for y in row.saturating_sub(1)..(row + 2).min(rows) {
                for x in column.saturating_sub(1)..(column + 2).min(columns) {
                    let weight =
                        if x == column { 2.0 } else { 1.0 } * if y == row { 2.0 } else { 1.0 };
                    for (sum, value) in sums.iter_mut().zip(blocks[y * columns + x]) {
                        *sum += weight * value;
                    }
                }
            }
            out.push(sums);
        }
    }
}

/// The blocks' numbers at a pixel, between the four nearest middles.
#[allow(clippy::too_many_arguments, reason = "a raster of blocks and a place in a window")]
fn blend(
    blocks: &[[f32; 4]],
    columns: usize,
    rows: usize,
    grid: &Grid,
    side: i64,
    first: (i64, i64),
    column: usize,
    row: usize,
) -> [f32; 4] {
    let place = |px: i64, first: i64, count: usize| {
        let at = (px - first * side) as f32 + 0.5;
        let at = (at / side as f32 - 0.5).clamp(0.0, (count - 1) as f32);
        let low = (at as usize).min(count.saturating_sub(2));
        (low, (low + 1).min(count - 1), at - low as f32)
    };
    let (x0, x1, fx) = place(grid.left_px + column as i64, first.0, columns);
    let (y0, y1, fy) = place(grid.top_px + row as i64, first.1, rows);
    let mut out = [0.0; 4];
    for (i, out) in out.iter_mut().enumerate() {
        let at = |x: usize, y: usize| blocks[y * columns + x][i];
        let upper = at(x0, y0) + fx * (at(x1, y0) - at(x0, y0));
        let lower = at(x0, y1) + fx * (at(x1, y1) - at(x0, y1));
        *out = upper + fy * (lower - upper);
    }
    out
}
