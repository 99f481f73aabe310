//! What is seen of a place: any field of the chain, laid out as on the print.

use super::Looking;
use super::place::{clipped, left_on_print, mirrored, turn_over};
use super::swatch::fold_out;
use crate::grid::Grid;
use crate::ink::Keep;

/// A window of the print, the right way round.
#[derive(Clone, Debug, PartialEq)]
pub struct PrintWindow {
    /// Columns.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// One number per pixel, row by row from the top left of the print.
    pub pixels: Vec<f32>,
}

/// Which field of the chain a window shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Field {
    /// Resin on the copper: share of the pixel covered, 0–1.
    Cover,
    /// Depth of copper gone, µm.
    Depth,
    /// Ink in the pits after wiping, µm.
    Held,
    /// Ink on the paper, µm.
    Printed,
    /// Reflectance of the print, 0–1.
    Reflectance,
}

/// The ink of a place on the plate, laid out as on the print.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct InkWindow {
    /// Ink in the pits after wiping, µm.
    pub held_um: Vec<f32>,
    /// Ink on the paper, µm.
    pub printed_um: Vec<f32>,
    /// Reflectance of the print, 0–1.
    pub reflectance: Vec<f32>,
}

impl Looking<'_> {
    /// A window of the print: reflectance, 0–1. `grid` is a raster on the *print* (from its top
    /// left); off the plate it shows bare paper.
    pub fn print_window(&mut self, grid: &Grid) -> PrintWindow {
        self.field_window(grid, Field::Reflectance)
    }

    /// A window of any field of the chain, laid out as on the print. Off the plate cover, depth
    /// and ink are 0 and the reflectance is the bare paper's.
    pub fn field_window(&mut self, grid: &Grid, field: Field) -> PrintWindow {
        let plan = self.plate.plan();
        let size_px = self.plate.size_px(grid.px_um);
        let copper = clipped(&mirrored(grid, size_px.0), size_px);
        let outside = if field == Field::Reflectance { plan.paper.reflectance as f32 } else { 0.0 };
        let mut pixels = vec![outside; grid.len()];
        if copper.is_empty() {
            return PrintWindow { width: grid.width, height: grid.height, pixels };
        }
        // The first ground is washed off before any later work.
        let stays = if self.line.is_worked() { 0.0 } else { 1.0 };
        let (raster, source) = match field {
            Field::Cover | Field::Depth => {
                let bitten = self.bite_around(&copper, plan.bites.len());
                let cover = field == Field::Cover;
                (bitten.grid, if cover { bitten.under_um } else { bitten.depth_um })
            }
            Field::Held | Field::Printed | Field::Reflectance => {
                let seen = field == Field::Reflectance;
                let keep = if seen { Keep::Nothing } else { Keep::Ink };
                let inked = self.print_on_copper(&copper, keep);
                let source = match field {
                    Field::Held => inked.ink.held_um(),
                    Field::Printed => inked.ink.printed_um(),
                    _ => inked.reflectance,
                };
                (inked.grid, source)
            }
        };
        let half_px_um = 0.5 * grid.px_um;
        let cover = |s: f32| stays * ((s + half_px_um) / grid.px_um).clamp(0.0, 1.0);
        let to_left = left_on_print(&copper, grid, size_px.0);
        for row in 0..copper.height {
            let to_row = (copper.top_px - grid.top_px) as usize + row;
            let to = &mut pixels[to_row * grid.width + to_left..][..copper.width];
            let from = &source[raster.index_of(&copper, row)..][..copper.width];
            // Face to face: the copper's first column prints last.
            for (to, &from) in to.iter_mut().rev().zip(from) {
                *to = if field == Field::Cover { cover(from) } else { from };
            }
        }
        PrintWindow { width: grid.width, height: grid.height, pixels }
    }
    /// Ink and light of a place, `grid` on the print, one number per pixel each.
    ///
    /// # Panics
    /// When `grid` reaches over the plate's edge.
    pub fn ink_window(&mut self, grid: &Grid) -> InkWindow {
        let copper = mirrored(grid, self.plate.size_px(grid.px_um).0);
        let inked = self.print_on_copper(&copper, Keep::Ink);
        let taken = |field: &[f32]| {
            let mut out = Vec::with_capacity(grid.len());
            for row in 0..grid.height {
                out.extend_from_slice(&field[inked.grid.index_of(&copper, row)..][..grid.width]);
            }
            turn_over(&mut out, grid.width);
            out
        };
        InkWindow {
            held_um: taken(inked.ink.held_um()),
            printed_um: taken(inked.ink.printed_um()),
            reflectance: taken(inked.reflectance),
        }
    }

    /// A printed patch of one value (0 is the paper; one too large is the last), reflectance 0–1 and `px_um` µm a
    /// pixel: the sample of the ground that stands for
    /// every value, repeated in mirror image where the patch is larger than the sample.
    pub fn patch(&mut self, value: usize, width: usize, height: usize, px_um: f32) -> PrintWindow {
        let value = value.min(self.plate.session().dose_um.len() - 1);
        let pixels = fold_out(self.swatch_of(value).reflectance, width, height, px_um);
        PrintWindow { width, height, pixels }
    }
}
