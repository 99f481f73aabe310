//! Printing a window: wiped, pressed and looked through row by row.

use super::blur::{Blocks, blurred_row, half_gaussian, reflected};
use super::cloth::{ClothScratch, Shared};
use super::optics::{Optics, OpticsScratch};
use super::{INK_SPREAD_CUT, Inking};
use crate::faults::{Lattice, PressFaults};
use crate::grid::{Grid, Rows, make_room};

/// The copper of a window.
#[derive(Clone, Copy, Debug)]
pub struct Copper<'a> {
    /// Depth of copper gone, µm (finite, ≥ 0), one number per pixel of `grid`.
    pub depth_um: Rows<'a>,
    /// How far tools have lowered the lands, µm ([`crate::handwork`]), where any have worked.
    pub plane_um: Option<Rows<'a>>,
    /// Where it lies.
    pub grid: &'a Grid,
    /// What goes wrong while it is wiped and printed.
    pub faults: Option<&'a PressFaults>,
    /// What it shares with the windows printed before and after it.
    pub shared: Shared,
}

impl<'a> Copper<'a> {
    /// Copper on which no tool has worked.
    #[must_use]
    pub fn bitten(depth_um: &'a [f32], grid: &'a Grid) -> Self {
        Self {
            depth_um: depth_um.into(),
            plane_um: None,
            grid,
            faults: None,
            shared: Shared::default(),
        }
    }
}

/// What a print leaves in its scratch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Keep {
    /// The ink held and printed.
    Ink,
    /// Nothing but what the next print can use.
    Nothing,
}

/// A row of a field, or the only row there is.
fn row_of(field: &mut [f32], row: usize, width: usize) -> &mut [f32] {
    let from = if field.len() == width { 0 } else { row * width };
    &mut field[from..][..width]
}

/// Fields and buffers of the ink, reused from window to window.
#[derive(Clone, Debug, Default)]
pub struct InkScratch {
    pub(super) held_um: Vec<f32>,
    pub(super) taken_um: Vec<f32>,
    pub(super) printed_um: Vec<f32>,
    pub(super) cloth: ClothScratch,
    pub(super) optics: OpticsScratch,
    pub(super) weights: Vec<f32>,
    pub(super) line: Vec<f32>,
    /// A row of the cloth's blocks, and of its level from pixel to pixel.
    pub(super) nodes: Vec<f32>,
    pub(super) row: Vec<f32>,
}

impl InkScratch {
    /// Ink held by the copper after wiping, µm, of the last window, where it was kept.
    #[must_use]
    pub fn held_um(&self) -> &[f32] {
        &self.held_um
    }

    /// Ink on the paper, µm, of the last window, where it was kept.
    #[must_use]
    pub fn printed_um(&self) -> &[f32] {
        &self.printed_um
    }
}

/// Adds the ink that faults leave along a row.
fn leave_ink(left: &mut Option<Lattice>, row: usize, line: &mut Vec<f32>, held_um: &mut [f32]) {
    if let Some(left) = left {
        line.resize(held_um.len(), 0.0);
        let there = left.row(row, line);
        let places = held_um[there.clone()].iter_mut();
        places.zip(&line[there]).for_each(|(held, more)| *held += *more);
    }
}

/// Takes away from what the paper takes up along a row what faults of it do.
fn take_up_less(
    share: &mut Option<Lattice>,
    row: usize,
    line: &mut Vec<f32>,
    taken_um: &mut [f32],
) {
    if let Some(share) = share {
        line.resize(taken_um.len(), 0.0);
        let there = share.row(row, line);
        let places = taken_um[there.clone()].iter_mut();
        places.zip(&line[there]).for_each(|(taken, share)| *taken *= *share);
    }
}

impl Inking {
    /// Prints a window of the copper: `depth_um` of copper gone (finite, ≥ 0), one number per pixel
    /// of `grid`, to `reflectance` 0–1. Ink held and printed are left in `scratch`.
    pub fn print(
        &self,
        depth_um: &[f32],
        grid: &Grid,
        scratch: &mut InkScratch,
        reflectance: &mut Vec<f32>,
    ) {
        self.print_part(&Copper::bitten(depth_um, grid), grid, Keep::Ink, scratch, reflectance);
    }

    /// The same for the part of a window that is wanted (with the margin of
    /// [`Inking::paper_margin_um`]): the cloth feels all of the copper, but ink and light are only
    /// calculated over `part`, which must lie inside it. `reflectance`, and the fields in `scratch` if
    /// they are to be kept, are one number per pixel of `part`.
    ///
    /// Wiped, pressed and looked through row by row, so that a row is still at hand when the next step
    /// needs it: the outcome is that of [`Inking::hold`], [`Inking::transfer`] and [`Inking::reflect`]
    /// one after the other, to the last bit.
    pub fn print_part(
        &self,
        copper: &Copper<'_>,
        part: &Grid,
        keep: Keep,
        scratch: &mut InkScratch,
        reflectance: &mut Vec<f32>,
    ) {
        let (width, height) = (part.width, part.height);
        // One row serves for all where the ink is not kept; dabbing up needs all it holds.
        let rows = |all: bool| if all { part.len() } else { width };
        let keep_held = keep == Keep::Ink || self.dab.is_some();
        make_room(&mut scratch.held_um, rows(keep_held));
        make_room(&mut scratch.printed_um, rows(keep == Keep::Ink));
        scratch.held_um.resize(rows(keep_held), 0.0);
        scratch.printed_um.resize(rows(keep == Keep::Ink), 0.0);
        if part.is_empty() {
            reflectance.clear();
            return;
        }
        // The counts borrow the buffer of the reflectance: they are not needed once the cloth is settled.
        scratch.cloth.trade(reflectance);
        let blocks =
            self.cloth.settle(copper.depth_um, copper.grid, copper.shared, &mut scratch.cloth);
        scratch.cloth.trade(reflectance);
        let mut left = copper.faults.and_then(|faults| faults.left(part));
        let mut share = copper.faults.and_then(|faults| faults.taken(part));
        let mut line_of_faults = Vec::new();
        if let Some(dab) = &self.dab {
            self.hold_rows(copper, part, &blocks, scratch);
            for (y, held_um) in scratch.held_um.chunks_exact_mut(width).enumerate() {
                leave_ink(&mut left, y, &mut line_of_faults, held_um);
            }
            dab.up(part, scratch);
        }
        let InkScratch { held_um, taken_um, printed_um, cloth, optics, weights, line, nodes, row } =
            scratch;
        half_gaussian(self.spread_um / f64::from(part.px_um), INK_SPREAD_CUT, weights);
        let radius = weights.len() - 1;
        // As many rows of what the paper takes as its spread reaches over, in turn.
        let held_rows = (2 * radius + 1).min(height);
        taken_um.resize(held_rows * width, 0.0);
        make_room(reflectance, part.len());
        reflectance.resize(part.len(), 0.0);
        let place = |row: i64| reflected(row, height) % held_rows;
        let mut taken = 0;
        let light = Optics::blocks(part, optics);
        for y in 0..height {
            while taken < height.min(y + radius + 1) {
                let held_um = row_of(held_um, taken, width);
                if self.dab.is_none() {
                    self.hold_row(copper, part, taken, (&blocks, cloth, nodes, row), held_um);
                    leave_ink(&mut left, taken, &mut line_of_faults, held_um);
                }
                let taken_up = &mut taken_um[taken % held_rows * width..][..width];
                self.split(held_um, taken_up);
                take_up_less(&mut share, taken, &mut line_of_faults, taken_up);
                taken += 1;
            }
            let printed_um = row_of(printed_um, y, width);
            blurred_row(taken_um, width, y, &place, weights, line, printed_um);
            let so_far = &mut reflectance[..(y + 1) * width];
            self.optics.transmit(printed_um, &mut so_far[y * width..]);
            Optics::average(so_far, &light, optics);
        }
        self.optics.throw_back(reflectance, part, &light, optics);
    }

    /// Ink held along one row of `part`, under a cloth that has settled: its blocks and level, and
    /// scratch.
    fn hold_row<'a>(
        &self,
        copper: &Copper<'a>,
        part: &Grid,
        row: usize,
        (blocks, cloth, nodes, cloth_um): (&Blocks, &ClothScratch, &mut Vec<f32>, &mut Vec<f32>),
        held_um: &mut [f32],
    ) {
        let grid = copper.grid;
        let left = (part.left_px - grid.left_px) as usize;
        let y = (part.top_px - grid.top_px) as usize + row;
        cloth_um.resize(part.width, 0.0);
        blocks.spread_row(&cloth.level_um, (y, left), nodes, cloth_um);
        let here = |field: &Rows<'a>| &field.row(y, grid.width)[left..left + part.width];
        let depth_um = here(&copper.depth_um);
        match &copper.plane_um {
            None => self.film.hold(depth_um, cloth_um, held_um),
            Some(plane_um) => self.film.hold_worked(depth_um, here(plane_um), cloth_um, held_um),
        }
    }

    /// The same along all rows: fills [`InkScratch::held_um`], one number per pixel of `part`.
    fn hold_rows(
        &self,
        copper: &Copper<'_>,
        part: &Grid,
        blocks: &Blocks,
        scratch: &mut InkScratch,
    ) {
        let InkScratch { held_um, cloth, nodes, row, .. } = scratch;
        for (y, held_um) in held_um.chunks_exact_mut(part.width).enumerate() {
            self.hold_row(copper, part, y, (blocks, cloth, nodes, row), held_um);
        }
    }

    /// Inks and wipes: fills [`InkScratch::held_um`].
    pub fn hold(&self, depth_um: &[f32], grid: &Grid, scratch: &mut InkScratch) {
        scratch.held_um.resize(grid.len(), 0.0);
        if grid.is_empty() {
            return;
        }
        let copper = Copper::bitten(depth_um, grid);
        let blocks = self.cloth.settle(copper.depth_um, grid, copper.shared, &mut scratch.cloth);
        self.hold_rows(&copper, grid, &blocks, scratch);
    }
}
