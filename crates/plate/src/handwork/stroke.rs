//! Where a tool reaches: strokes and outlined passages as functions of place.

use crate::grid::Grid;

/// A stroke or passage on the copper, in µm from the plate's top left.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    points_um: Vec<[f32; 2]>,
    /// The points outline a passage.
    passage: bool,
    /// Half the stroke's width, or the width of the passage's soft edge, µm.
    edge_um: f32,
    /// Picks the furrows.
    seed: u32,
    /// Left, top, right and bottom of all that is reached, µm.
    bounds_um: [f32; 4],
}

/// What a mark does at one place.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Reached {
    /// How much of the tool's full depth, 0–1.
    pub share: f32,
    /// Place across the stroke, µm: furrows run along lines where it is the same.
    pub across_um: f32,
}

/// A stroke's depth falls off over this outer share of its half width.
const SOFT_SHARE: f32 = 0.4;
/// Direction of the strokes that fill a passage: a little off the upright, as an arm moves.
const PASSAGE_ACROSS: (f32, f32) = (0.96, 0.28);

/// Side of the blocks in which sides are looked up, pixels.
const BLOCK_PX: usize = 16;

fn across_passage(x: f32, y: f32) -> f32 {
    PASSAGE_ACROSS.0 * x + PASSAGE_ACROSS.1 * y
}

/// 0 at 0, 1 at 1, level at both ends.
fn eased(x: f32) -> f32 {
    let x = x.clamp(0.0, 1.0);
    x * x * (3.0 - 2.0 * x)
}

impl Mark {
    /// A stroke along `points_um`, `width_um` wide.
    #[must_use]
    pub fn stroke(points_um: Vec<[f32; 2]>, width_um: f32, seed: u32) -> Self {
        Self::new(points_um, false, 0.5 * width_um, seed)
    }

    /// A passage inside the closed outline `points_um`, full `soft_um` inside its edge.
    #[must_use]
    pub fn passage(points_um: Vec<[f32; 2]>, soft_um: f32, seed: u32) -> Self {
        Self::new(points_um, true, soft_um, seed)
    }

    fn new(points_um: Vec<[f32; 2]>, passage: bool, edge_um: f32, seed: u32) -> Self {
        let grow = if passage { 0.0 } else { edge_um };
        let mut bounds_um = [f32::MAX, f32::MAX, f32::MIN, f32::MIN];
        for &[x, y] in &points_um {
            bounds_um = [
                bounds_um[0].min(x - grow),
                bounds_um[1].min(y - grow),
                bounds_um[2].max(x + grow),
                bounds_um[3].max(y + grow),
            ];
        }
        Self { points_um, passage, edge_um, seed, bounds_um }
    }

    /// Columns and rows of `grid` that the mark may reach: left, top, right, bottom (past the last).
    /// `None` when it reaches none.
    #[must_use]
    pub fn span(&self, grid: &Grid) -> Option<[usize; 4]> {
        let px = f64::from(grid.px_um);
        let from = |um: f32, at: i64, size: usize| {
            (libm::floor(f64::from(um) / px) as i64 - at).clamp(0, size as i64) as usize
        };
        let to = |um: f32, at: i64, size: usize| {
            (libm::ceil(f64::from(um) / px) as i64 + 1 - at).clamp(0, size as i64) as usize
        };
        let [left, top, right, bottom] = self.bounds_um;
        let span = [
            from(left, grid.left_px, grid.width),
            from(top, grid.top_px, grid.height),
            to(right, grid.left_px, grid.width),
            to(bottom, grid.top_px, grid.height),
        ];
        (span[0] < span[2] && span[1] < span[3]).then_some(span)
    }

    /// What the mark does at a place on the copper, µm.
    #[must_use]
    pub fn reached(&self, x_um: f32, y_um: f32) -> Reached {
        let all = 0..self.sides();
        self.reached_by(x_um, y_um, all)
    }

    /// Calls `each` with column, row and what is reached, for every pixel of `grid` that is reached
    /// at all; block by block, so that only the sides near a block are looked at.
    pub fn each_pixel(&self, grid: &Grid, mut each: impl FnMut(usize, usize, Reached)) {
        let Some([left, top, right, bottom]) = self.span(grid) else { return };
        let centre = |pixel: f32, at: i64| (at as f32 + pixel) * grid.px_um;
        let half_diagonal = 0.71 * BLOCK_PX as f32 * grid.px_um;
        let mut near = Vec::new();
        for block_top in (top..bottom).step_by(BLOCK_PX) {
            for block_left in (left..right).step_by(BLOCK_PX) {
                let half = 0.5 * BLOCK_PX as f32;
                let x = centre(block_left as f32 + half, grid.left_px);
                let y = centre(block_top as f32 + half, grid.top_px);
                near.clear();
                let reach = self.edge_um + half_diagonal;
                near.extend((0..self.sides()).filter(|&side| {
                    let (off, ..) = self.off_side(side, x, y);
                    off <= reach * reach
                }));
                // Far from the outline a passage is all or nothing.
                let whole = near.is_empty().then(|| self.passage && self.inside(x, y));
                if whole == Some(false) {
                    continue;
                }
                for row in block_top..(block_top + BLOCK_PX).min(bottom) {
                    let y_um = centre(row as f32 + 0.5, grid.top_px);
                    for column in block_left..(block_left + BLOCK_PX).min(right) {
                        let x_um = centre(column as f32 + 0.5, grid.left_px);
                        let reached = if whole == Some(true) {
                            Reached { share: 1.0, across_um: across_passage(x_um, y_um) }
                        } else {
                            self.reached_by(x_um, y_um, near.iter().copied())
                        };
                        if reached.share > 0.0 {
                            each(column, row, reached);
                        }
                    }
                }
            }
        }
    }

    /// Sides of the outline, or legs of the path (one for a lone point).
    fn sides(&self) -> usize {
        let points = self.points_um.len();
        if self.passage || points == 1 { points } else { points.saturating_sub(1) }
    }

    /// Both ends of a side.
    fn side(&self, side: usize) -> [[f32; 2]; 2] {
        let next = (side + 1) % self.points_um.len();
        [self.points_um[side], self.points_um[next]]
    }

    /// Squared distance of a place from a side, and on which hand it lies, µm².
    fn off_side(&self, side: usize, x: f32, y: f32) -> (f32, f32) {
        let [a, b] = self.side(side);
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        let length2 = dx * dx + dy * dy;
        let along = ((x - a[0]) * dx + (y - a[1]) * dy) / length2.max(1e-6);
        let along = along.clamp(0.0, 1.0);
        let (off_x, off_y) = (x - a[0] - along * dx, y - a[1] - along * dy);
        (off_x * off_x + off_y * off_y, dx * off_y - dy * off_x)
    }

    /// Whether a place lies inside the outline: a ray to the right crosses it an odd number of times.
    fn inside(&self, x: f32, y: f32) -> bool {
        (0..self.sides()).fold(false, |inside, side| {
            let [a, b] = self.side(side);
            let crosses =
                (a[1] > y) != (b[1] > y) && x < a[0] + (b[0] - a[0]) * (y - a[1]) / (b[1] - a[1]);
            inside != crosses
        })
    }

    fn reached_by(&self, x: f32, y: f32, sides: impl Iterator<Item = usize>) -> Reached {
        let (mut nearest, mut hand) = (f32::MAX, 0.0);
        for side in sides {
            let (off, this_hand) = self.off_side(side, x, y);
            if off < nearest {
                (nearest, hand) = (off, this_hand);
            }
        }
        let distance = nearest.sqrt();
        if !self.passage {
            let inward = 1.0 - distance / self.edge_um.max(1e-3);
            let across_um = if hand < 0.0 { -distance } else { distance };
            return Reached { share: eased(inward / SOFT_SHARE), across_um };
        }
        let share = if !self.inside(x, y) {
            0.0
        } else if self.edge_um > 0.0 {
            eased(distance / self.edge_um)
        } else {
            1.0
        };
        Reached { share, across_um: across_passage(x, y) }
    }

    /// Depth of the furrows at a place across the stroke, as a share of the deepest: shallow grooves
    /// side by side, each with its own depth.
    #[must_use]
    pub fn furrow(&self, across_um: f32, pitch_um: f32) -> f32 {
        let place = across_um / pitch_um;
        let groove = libm::floorf(place);
        let within = place - groove;
        let depth = (hashed(self.seed, groove as i32) >> 8) as f32 / 16_777_216.0;
        depth * 4.0 * within * (1.0 - within)
    }
}

/// A random number for each groove: the finaliser of MurmurHash3 (A. Appleby, public domain).
fn hashed(seed: u32, groove: i32) -> u32 {
    let mut bits = seed.wrapping_mul(0x9e37_79b9) ^ (groove as u32).wrapping_mul(0x85eb_ca6b);
    bits = (bits ^ (bits >> 16)).wrapping_mul(0x85eb_ca6b);
    bits = (bits ^ (bits >> 13)).wrapping_mul(0xc2b2_ae35);
    bits ^ (bits >> 16)
}
