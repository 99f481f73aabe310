//! Domes by square cells, for what lies near one of them.

use super::super::LANES;
use crate::ground::Dome;
use crate::order::{larger, smaller};
use core::ops::Range;
use wide::{CmpLt, f32x4};

/// Square cells over all domes.
pub(super) struct Cells {
    left: f32,
    pub(super) top: f32,
    pub(super) size: f32,
    columns: usize,
    pub(super) rows: usize,
    /// Radius of the widest disc, µm.
    pub(super) widest_um: f32,
}

impl Cells {
    pub(super) fn of(domes: &[Dome]) -> Option<Self> {
        let first = domes.first()?;
        let (mut left, mut right, mut top, mut bottom) =
            (first.x_um, first.x_um, first.y_um, first.y_um);
        let mut radius = first.radius_um;
        for dome in domes {
            left = smaller(dome.x_um, left);
            right = larger(dome.x_um, right);
            top = smaller(dome.y_um, top);
            bottom = larger(dome.y_um, bottom);
            radius = larger(dome.radius_um, radius);
        }
        // Most discs are far smaller than the widest and look no farther than both reach; many more cells
        // than domes would only cost memory.
        let sparse = libm::sqrtf((right - left) * (bottom - top) / domes.len() as f32);
        let size = larger(larger(0.5 * radius, sparse), 1e-3);
        Some(Self {
            left,
            top,
            size,
            columns: ((right - left) / size) as usize + 1,
            rows: ((bottom - top) / size) as usize + 1,
            widest_um: radius,
        })
    }

    fn column(&self, x_um: f32) -> usize {
        (((x_um - self.left) / self.size) as usize).min(self.columns - 1)
    }

    fn row(&self, y_um: f32) -> usize {
        (((y_um - self.top) / self.size) as usize).min(self.rows - 1)
    }
}

/// A little more than discs reach together, so that rounding parts no pair.
const A_LITTLE_MORE: f32 = 1.001;

/// All domes, cell by cell; places and radii side by side, so that four are compared at once.
#[derive(Clone, Debug, Default)]
pub(super) struct SortedDomes {
    /// Start of each cell.
    starts: Vec<u32>,
    /// Where each dome stood before.
    order: Vec<u32>,
    /// Each with a few more, which are never taken for domes.
    x_um: Vec<f32>,
    y_um: Vec<f32>,
    radius_um: Vec<f32>,
}

impl SortedDomes {
    /// Counting sort of the domes by cell.
    pub(super) fn sort(&mut self, domes: &[Dome], cells: &Cells) {
        let cell_of = |dome: &Dome| cells.row(dome.y_um) * cells.columns + cells.column(dome.x_um);
        let Self { starts, order, x_um, y_um, radius_um } = self;
        starts.clear();
        starts.resize(cells.columns * cells.rows + 1, 0);
        for dome in domes {
            starts[cell_of(dome) + 1] += 1;
        }
        for cell in 1..starts.len() {
            starts[cell] += starts[cell - 1];
        }
        order.resize(domes.len(), 0);
        for field in [&mut *x_um, &mut *y_um, &mut *radius_um] {
            field.resize(domes.len() + LANES, 0.0);
        }
        let mut next = starts.clone();
        for (index, dome) in domes.iter().enumerate() {
            let slot = &mut next[cell_of(dome)];
            let at = *slot as usize;
            order[at] = index as u32;
            (x_um[at], y_um[at], radius_um[at]) = (dome.x_um, dome.y_um, dome.radius_um);
            *slot += 1;
        }
    }

    /// The domes of one row of cells.
    pub(super) fn of_row(&self, row: usize, cells: &Cells) -> Range<usize> {
        let first = row * cells.columns;
        self.starts[first] as usize..self.starts[first + cells.columns] as usize
    }

    /// A dome.
    #[inline(always)]
    pub(super) fn dome(&self, at: usize) -> Dome {
        Dome { x_um: self.x_um[at], y_um: self.y_um[at], radius_um: self.radius_um[at] }
    }

    /// Where a dome stood before.
    #[inline(always)]
    pub(super) fn index(&self, at: usize) -> u32 {
        self.order[at]
    }

    /// Gives all other domes that touch one, and few that only come near, until `take` has had enough and
    /// says false; whether it never did.
    #[inline(always)]
    pub(super) fn near(
        &self,
        own: usize,
        cells: &Cells,
        mut take: impl FnMut(usize) -> bool,
    ) -> bool {
        let this = self.dome(own);
        let reach_um = A_LITTLE_MORE * (this.radius_um + cells.widest_um);
        let (left, right) =
            (cells.column(this.x_um - reach_um), cells.column(this.x_um + reach_um));
        for row in cells.row(this.y_um - reach_um)..=cells.row(this.y_um + reach_um) {
            let cell = row * cells.columns;
            let (mut from, past) =
                (self.starts[cell + left] as usize, self.starts[cell + right + 1] as usize);
            while from < past {
                let mut touching = self.touching(from, &this);
                while touching != 0 {
                    let at = from + touching.trailing_zeros() as usize;
                    touching &= touching - 1;
                    if at < past && at != own && !take(at) {
                        return false;
                    }
                }
                from += LANES;
            }
        }
        true
    }

    /// Which of four domes touch another, or nearly: a bit each.
    #[inline(always)]
    fn touching(&self, from: usize, this: &Dome) -> u32 {
        let four = |field: &[f32]| match field[from..].first_chunk::<LANES>() {
            Some(four) => f32x4::new(*four),
            None => f32x4::ZERO,
        };
        let (dx, dy) = (four(&self.x_um) - this.x_um, four(&self.y_um) - this.y_um);
        let sum = (four(&self.radius_um) + this.radius_um) * A_LITTLE_MORE;
        (dx * dx + dy * dy).cmp_lt(sum * sum).move_mask() as u32
    }
}
