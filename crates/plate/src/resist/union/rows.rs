//! The few rows of squared distances that are at work at a time.

use super::super::Window;

/// Rows of a window, as many as are held at once, each where those so many above it have been.
#[derive(Clone, Debug, Default)]
pub(super) struct EdgeRows {
    width: usize,
    /// One less than how many are held, which is a power of two.
    mask: usize,
    /// What a row is like that nothing has been laid in.
    blank: f32,
    entries: Vec<f32>,
}

impl EdgeRows {
    /// Makes room for at least so many rows of a window, all of them blank.
    pub(super) fn clear(&mut self, window: Window, rows: usize, blank: f32) {
        let rows = rows.min(window.height.max(1)).next_power_of_two();
        self.width = window.width;
        self.mask = rows - 1;
        self.blank = blank;
        self.entries.clear();
        self.entries.resize(rows * window.width, blank);
    }

    /// A row of the window.
    pub(super) fn row(&self, y: usize) -> &[f32] {
        &self.entries[(y & self.mask) * self.width..][..self.width]
    }

    /// The same, to be written.
    pub(super) fn row_mut(&mut self, y: usize) -> &mut [f32] {
        &mut self.entries[(y & self.mask) * self.width..][..self.width]
    }

    /// A part of a row, to be written.
    #[inline(always)]
    pub(super) fn part_mut(&mut self, y: usize, left: usize, columns: usize) -> &mut [f32] {
        &mut self.entries[(y & self.mask) * self.width + left..][..columns]
    }

    /// Makes a row blank again, for the one that will be held in its place.
    pub(super) fn forget(&mut self, y: usize) {
        let blank = self.blank;
        self.row_mut(y).fill(blank);
    }
}
