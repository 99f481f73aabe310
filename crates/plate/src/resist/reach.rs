//! How far under the resin distances are asked for, place by place.

use super::Window;
use crate::grid::{make_room, spread};
use crate::order::larger;

/// Distances that are asked for in square blocks of a window: none at all where nothing is bitten, and elsewhere no farther
/// than the bite there goes.
#[derive(Clone, Debug, Default)]
pub(crate) struct Reaches {
    columns: usize,
    rows: usize,
    block_px: usize,
    /// How far distances are asked for in each block, µm; 0 where they are not.
    here_um: Vec<f32>,
    /// The greatest of these of the blocks round each, all that ask for a distance to something in it.
    near_um: Vec<f32>,
    line: Vec<f32>,
}

impl Reaches {
    /// Makes room for a window of blocks `block_px` wide; what each asks for is still to be said.
    pub(crate) fn blocks(
        &mut self,
        (width, height): (usize, usize),
        block_px: usize,
    ) -> impl Iterator<Item = &mut [f32]> {
        self.block_px = block_px;
        (self.columns, self.rows) = (width.div_ceil(block_px), height.div_ceil(block_px));
        let blocks = self.columns * self.rows;
        for field in [&mut self.here_um, &mut self.near_um] {
            make_room(field, blocks);
            field.resize(blocks, 0.0);
        }
        self.here_um.chunks_exact_mut(self.columns.max(1))
    }

    /// Finds what is asked for near by, once every block's own reach is known.
    pub(crate) fn spread(&mut self, px_um: f32) {
        let Self { columns, here_um, near_um, line, .. } = self;
        near_um.copy_from_slice(here_um);
        let farthest_um = here_um.iter().fold(0.0, |a, &b| larger(b, a));
        // A block's neighbours one pixel off are read with it.
        let rings = libm::ceilf((farthest_um / px_um + 1.0) / self.block_px as f32) as usize;
        for _ in 0..rings {
            spread(near_um, *columns, line, larger);
        }
    }

    /// How far distances to something at a place are asked for at most, µm; beyond the window what the block there asks
    /// that lies nearest.
    pub(super) fn near_um(&self, window: Window, x_um: f32, y_um: f32) -> f32 {
        let (column, row) = self.block_at(window, x_um, y_um);
        self.near_um[row * self.columns + column]
    }

    /// No distance is asked for in a square.
    pub(super) fn asks_nothing(&self, window: Window, x_um: f32, y_um: f32, half_um: f32) -> bool {
        let (left, top) = self.block_at(window, x_um - half_um, y_um - half_um);
        let (right, bottom) = self.block_at(window, x_um + half_um, y_um + half_um);
        (top..=bottom).all(|row| {
            let row = row * self.columns;
            self.here_um[row + left..=row + right].iter().all(|&um| um <= 0.0)
        })
    }

    #[inline(always)]
    fn block_at(&self, window: Window, x_um: f32, y_um: f32) -> (usize, usize) {
        let per_um = 1.0 / (window.px_um * self.block_px as f32);
        let block = |um: f32, blocks: usize| ((um * per_um) as i32).clamp(0, blocks as i32 - 1);
        (block(x_um, self.columns) as usize, block(y_um, self.rows) as usize)
    }
}
