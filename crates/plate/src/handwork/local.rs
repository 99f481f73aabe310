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
    sums: Vec<[f32; 2]>,
    spread: Vec<[f32; 2]>,
    across: Vec<(usize, usize, f32)>,
}

/// Side of the blocks over which displaced copper is shared out, pixels.
fn block_px(px_um: f32, constants: &WorkConstants) -> i64 {
    (libm::round(constants.flow_um / f64::from(px_um)) as i64).max(1)
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
    let blocks = Blocks::round([left, top, right, bottom], grid, block_px(grid.px_um, constants));
    let LocalScratch { share, wanted_um, sums, spread, across } = scratch;
    share.clear();
    share.resize(grid.len(), 0.0);
    mark.each_pixel(grid, |column, row, reached| {
        share[row * grid.width + column] = reached.share;
    });
    blocks.across(left..right, across);
    // Mean depth round about: how far the lands can go down at most.
    blocks.gather(|at| [1.0, depth_um[at]], sums, spread);
    wanted_um.clear();
    wanted_um.extend_from_slice(plane_um);
    for row in top..bottom {
        for (i, &x) in across.iter().enumerate() {
            let at = row * grid.width + left + i;
            if share[at] > 0.0 {
                let lowest = blocks.mean(spread, x, row);
                wanted_um[at] = (plane_um[at] + share[at] * take_um).min(lowest).max(plane_um[at]);
            }
        }
    }
    // Copper above the new plane, and pits below it.
    blocks.gather(
        |at| {
            let below = depth_um[at] - wanted_um[at];
            if share[at] > 0.0 { [(-below).max(0.0), below.max(0.0)] } else { [0.0; 2] }
        },
        sums,
        spread,
    );
    for row in top..bottom {
        for (i, &x) in across.iter().enumerate() {
            let at = row * grid.width + left + i;
            if share[at] > 0.0 {
                let [pressed, pits] = blocks.blend(spread, x, row);
                let kept = if pits > pressed { 1.0 - pressed / pits } else { 0.0 };
                let below = (depth_um[at] - wanted_um[at]).max(0.0);
                depth_um[at] = wanted_um[at] + kept * below;
                plane_um[at] = wanted_um[at];
            }
        }
    }
}

/// Knocks a mark up from the back: the copper rises by the mean plane round about, and by `most_um` at most.
///
/// A blow bends the copper and takes none, so pits keep what they have below the plane. It can't follow what is
/// narrower than copper moves sideways: a groove's sides rise with it, and whatever stands above the old surface
/// is taken off.
pub fn knock_up(
    mark: &Mark,
    most_um: f32,
    grid: &Grid,
    constants: &WorkConstants,
    scratch: &mut LocalScratch,
    depth_um: &mut [f32],
    plane_um: &mut [f32],
) {
    let Some([left, top, right, bottom]) = mark.span(grid) else { return };
    let blocks = Blocks::round([left, top, right, bottom], grid, block_px(grid.px_um, constants));
    let LocalScratch { sums, spread, across, .. } = scratch;
    blocks.across(left..right, across);
    blocks.gather(|at| [1.0, plane_um[at]], sums, spread);
    mark.each_pixel(grid, |column, row, reached| {
        let level_um = blocks.mean(spread, across[column - left], row);
        let lift = level_um.min(reached.share * most_um);
        let at = row * grid.width + column;
        depth_um[at] = (depth_um[at] - lift).max(0.0);
        plane_um[at] = (plane_um[at] - lift).max(0.0);
    });
}

/// Square blocks of pixels over part of a window. They lie on the plate, not on the window, so that
/// every window has the same.
struct Blocks<'a> {
    grid: &'a Grid,
    side: i64,
    first: (i64, i64),
    columns: usize,
    rows: usize,
}

impl<'a> Blocks<'a> {
    /// The blocks of a part of the window, left, top, right and bottom, and two more all round.
    fn round([left, top, right, bottom]: [usize; 4], grid: &'a Grid, side: i64) -> Self {
        let from = |px: usize, at: i64| (at + px as i64).div_euclid(side) - 2;
        let to = |px: usize, at: i64| (at + px as i64 - 1).div_euclid(side) + 3;
        let of_grid = |at: i64, size: usize| {
            (at.div_euclid(side), (at + size as i64 - 1).div_euclid(side) + 1)
        };
        let (x, y) = (of_grid(grid.left_px, grid.width), of_grid(grid.top_px, grid.height));
        let first = (from(left, grid.left_px).max(x.0), from(top, grid.top_px).max(y.0));
        let last = (to(right, grid.left_px).min(x.1), to(bottom, grid.top_px).min(y.1));
        let (columns, rows) = ((last.0 - first.0) as usize, (last.1 - first.1) as usize);
        Self { grid, side, first, columns, rows }
    }

    /// Two numbers of every pixel, summed round about each block, into `spread`.
    fn gather(
        &self,
        of: impl Fn(usize) -> [f32; 2],
        sums: &mut Vec<[f32; 2]>,
        spread: &mut Vec<[f32; 2]>,
    ) {
        self.sum(of, sums);
        self.smooth(sums, spread);
    }

    /// The mean round about a pixel of what was gathered with ones.
    #[inline]
    fn mean(&self, spread: &[[f32; 2]], x: (usize, usize, f32), row: usize) -> f32 {
        let [n, sum] = self.blend(spread, x, row);
        sum / n.max(1e-6)
    }

    /// Sums of two numbers of every pixel, block by block.
    fn sum(&self, of: impl Fn(usize) -> [f32; 2], out: &mut Vec<[f32; 2]>) {
        out.clear();
        out.resize(self.columns * self.rows, [0.0; 2]);
        let span = |block: i64, at: i64, size: usize| {
            let start = (block * self.side - at).clamp(0, size as i64);
            let end = ((block + 1) * self.side - at).clamp(0, size as i64);
            start as usize..end as usize
        };
        for (i, sums) in out.iter_mut().enumerate() {
            let x = self.first.0 + (i % self.columns) as i64;
            let y = self.first.1 + (i / self.columns) as i64;
            for row in span(y, self.grid.top_px, self.grid.height) {
                for column in span(x, self.grid.left_px, self.grid.width) {
                    let [a, b] = of(row * self.grid.width + column);
                    sums[0] += a;
                    sums[1] += b;
                }
            }
        }
    }

    /// Sums of each block and its eight neighbours, nearer ones counting more.
    fn smooth(&self, sums: &[[f32; 2]], out: &mut Vec<[f32; 2]>) {
        let (columns, rows) = (self.columns, self.rows);
        out.clear();
        for row in 0..rows {
            for column in 0..columns {
                let mut all = [0.0_f32; 2];
                for y in row.saturating_sub(1)..(row + 2).min(rows) {
                    for x in column.saturating_sub(1)..(column + 2).min(columns) {
                        let near = |same: bool| if same { 2.0 } else { 1.0 };
                        let weight = near(x == column) * near(y == row);
                        let [a, b] = sums[y * columns + x];
                        all[0] += weight * a;
                        all[1] += weight * b;
                    }
                }
                out.push(all);
            }
        }
    }

    /// The two blocks whose middles lie round a pixel, and how far it lies from the first to the second.
    fn between(&self, px: i64, first: i64, count: usize) -> (usize, usize, f32) {
        let place = (px - first * self.side) as f32 + 0.5;
        let place = (place / self.side as f32 - 0.5).clamp(0.0, (count - 1) as f32);
        let low = (place as usize).min(count.saturating_sub(2));
        (low, (low + 1).min(count - 1), place - low as f32)
    }

    fn across(&self, columns: std::ops::Range<usize>, out: &mut Vec<(usize, usize, f32)>) {
        out.clear();
        out.extend(columns.map(|column| {
            self.between(self.grid.left_px + column as i64, self.first.0, self.columns)
        }));
    }

    /// The blocks' numbers at a pixel, between the four nearest middles.
    #[inline]
    fn blend(&self, field: &[[f32; 2]], x: (usize, usize, f32), row: usize) -> [f32; 2] {
        let y = self.between(self.grid.top_px + row as i64, self.first.1, self.rows);
        let (upper, lower) = (&field[y.0 * self.columns..], &field[y.1 * self.columns..]);
        let at = |i: usize| {
            let above = upper[x.0][i] + x.2 * (upper[x.1][i] - upper[x.0][i]);
            let below = lower[x.0][i] + x.2 * (lower[x.1][i] - lower[x.0][i]);
            above + y.2 * (below - above)
        };
        [at(0), at(1)]
    }
}
