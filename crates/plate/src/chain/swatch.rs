//! Swatches: how a plain area of one value prints, from the sample of the ground that stands for it.

use super::scratch::WindowScratch;
use super::work::{Then, WorkedCopper};
use super::{Looking, Renderer, SAMPLE, SAMPLE_PX_UM, SAMPLE_SIDE_PX};
use crate::bite::{DepthCurve, ResistProfile, depth_field};
use crate::grid::{Grid, Rows};
use crate::ink::{Copper, InkScratch, Keep};
use crate::light;

/// Copper this little below the plane still counts as land, µm.
const STANDING_UM: f32 = 0.05;
/// Samples are cut from the plate this far from the left and top of the copper, µm.
const SAMPLE_PLACE_UM: f32 = 2000.0;

/// How a plain area prints: means over the sample.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swatch {
    /// Depth of copper gone, µm.
    pub mean_depth_um: f64,
    /// Share of the copper still at its old height, or of a worked state at the height to which tools
    /// have brought it, 0–1.
    pub land: f64,
    /// Ink in the pits after wiping, µm.
    pub held_um: f64,
    /// Ink on the paper, µm.
    pub printed_um: f64,
    /// Reflectance, 0–1.
    pub reflectance: f64,
}

impl Swatch {
    /// CIE L*, 0–100.
    #[must_use]
    pub fn lightness(&self) -> f64 {
        light::lightness(self.reflectance)
    }
}

/// A printed sample: its means, and its fields with one number per pixel.
#[derive(Clone, Copy, Debug)]
pub struct PrintedSample<'a> {
    /// The means.
    pub swatch: Swatch,
    /// Depth of copper gone, µm.
    pub depth_um: &'a [f32],
    /// How far tools have lowered the lands, µm; empty where no later work was asked for.
    pub plane_um: &'a [f32],
    /// Reflectance, 0–1.
    pub reflectance: &'a [f32],
}

/// Means of the fields of a printed piece of ground of which this share is land. The four are added up beside each other:
/// each sum waits for the addition before it, and only for that.
fn means(depth_um: &[f32], ink: &InkScratch, reflectance: &[f32], land: f64) -> Swatch {
    let (mut depth, mut held, mut printed, mut light) = (0.0, 0.0, 0.0, 0.0);
    let inks = ink.held_um().iter().zip(ink.printed_um());
    for ((&depth_um, &reflectance), (&held_um, &printed_um)) in
        depth_um.iter().zip(reflectance).zip(inks)
    {
        depth += f64::from(depth_um);
        held += f64::from(held_um);
        printed += f64::from(printed_um);
        light += f64::from(reflectance);
    }
    let [mean_depth_um, held_um, printed_um, reflectance] =
        [depth, held, printed, light].map(|sum| sum / depth_um.len().max(1) as f64);
    Swatch { mean_depth_um, land, held_um, printed_um, reflectance }
}

/// A swatch from the fields of a printed piece of plain ground.
pub(super) fn plain_swatch(
    depth_um: &[f32],
    ink: &InkScratch,
    reflectance: &[f32],
    profile: &ResistProfile,
    dose_um: f64,
    etch_factor: f64,
) -> Swatch {
    // Where nothing is bitten all of it stands, open or not.
    let land = if dose_um > 0.0 { profile.land_share(dose_um, etch_factor) } else { 1.0 };
    means(depth_um, ink, reflectance, land)
}

impl Looking<'_> {
    /// Prints a sample of plain ground, without any later work, bitten by `dose_um` µm on open copper.
    #[inline(never)] // keeps the page small: there are many callers and the work is inside
    pub fn swatch(&mut self, dose_um: f64) -> Swatch {
        self.print_plain(dose_um).swatch
    }

    /// L* that a plain area prints after a dose, µm.
    pub fn lightness_at(&mut self, dose_um: f64) -> f64 {
        self.swatch(dose_um).lightness()
    }

    fn print_plain(&mut self, dose_um: f64) -> PrintedSample<'_> {
        let (ground, inking) = (self.plate.ground(), self.inking);
        let etch_factor = self.plate.constants().bite.etch_factor;
        let curves = [DepthCurve::new(dose_um, etch_factor, SAMPLE_PX_UM)];
        let WindowScratch { value, depth_um, plane_um, ink, under_or_light: reflectance, .. } =
            &mut self.scratch.window;
        value.clear();
        value.resize(SAMPLE.len(), 0);
        depth_field(ground.sample_um(), value, &curves, depth_um);
        plane_um.clear();
        inking.print(depth_um, &SAMPLE, ink, reflectance);
        let swatch =
            plain_swatch(depth_um, ink, reflectance, ground.profile(), dose_um, etch_factor);
        PrintedSample { swatch, depth_um, plane_um, reflectance }
    }

    /// Prints a sample of one value (0 is the paper) in the state that is looked at, where no tool has
    /// worked; [`SAMPLE`] is its raster.
    ///
    /// # Panics
    /// When the plan has no such value.
    pub fn swatch_of(&mut self, value: usize) -> PrintedSample<'_> {
        if self.later_grounds() > 0 {
            return self.swatch_worked(value, &[], SAMPLE.width, &mut |_| {});
        }
        self.print_plain(self.plate.session().dose_um[value])
    }

    /// The same with tools: `amounts` says for each step of the state's work what it takes, µm (a later
    /// ground lies where it is above 0; where there are no amounts it lies everywhere, and no tool
    /// works), and `then` works on the copper last. Only the upper left `side_px` of the sample is
    /// printed.
    ///
    /// # Panics
    /// When the plan has no such value, or the sample is smaller than `side_px`.
    pub fn swatch_worked(
        &mut self,
        value: usize,
        amounts: &[f32],
        side_px: usize,
        then: Then<'_>,
    ) -> PrintedSample<'_> {
        let (plate, inking) = (self.plate, self.inking);
        let (ground, constants) = (plate.ground(), plate.constants());
        let dose_um = plate.session().dose_um[value];
        let curves = [DepthCurve::new(dose_um, constants.bite.etch_factor, SAMPLE_PX_UM)];
        let grid = Grid { width: side_px, height: side_px, ..SAMPLE };
        let Renderer { window, later, .. } = &mut *self.scratch;
        let WindowScratch {
            value: zeros,
            depth_um,
            plane_um,
            ink,
            under_or_light: reflectance,
            ..
        } = window;
        zeros.clear();
        zeros.resize(grid.len(), 0);
        if side_px == SAMPLE.width {
            depth_field(ground.sample_um(), zeros, &curves, depth_um);
        } else {
            depth_field(&ground.sample_corner_um(side_px), zeros, &curves, depth_um);
        }
        plane_um.clear();
        plane_um.resize(grid.len(), 0.0);
        let mut copper = WorkedCopper { grid: &grid, depth_um, plane_um };
        self.line.work_on_sample(value, amounts, constants, &mut copper, later);
        then(&mut copper);
        let plane = Rows::of(&[], plane_um);
        let copper = Copper { plane_um: Some(plane), ..Copper::bitten(depth_um, &grid) };
        inking.print_part(&copper, &grid, Keep::Ink, ink, reflectance);
        let standing = |(&depth, &plane): (&f32, &f32)| depth <= plane + STANDING_UM;
        let pixels = depth_um.iter().zip(&*plane_um);
        let land = pixels.filter(|&pixel| standing(pixel)).count() as f64 / grid.len() as f64;
        let swatch = means(depth_um, ink, reflectance, land);
        PrintedSample { swatch, depth_um, plane_um, reflectance }
    }

    /// A printed sample of one value as it is worked where samples are cut from the plate.
    pub(super) fn swatch_at_sample(&mut self, value: usize) -> Swatch {
        if !self.line.is_worked() {
            return self.swatch(self.plate.session().dose_um[value]);
        }
        let at_px = (SAMPLE_PLACE_UM / SAMPLE_PX_UM) as i64;
        let place = Grid { left_px: at_px, top_px: at_px, width: 1, height: 1, ..SAMPLE };
        let amounts = self.amounts_at(&place);
        self.swatch_worked(value, &amounts, SAMPLE.width, &mut |_| {}).swatch
    }
}

/// The sample's reflectance in pixels of `px_um`, repeated in mirror image over `width` × `height`.
pub(super) fn fold_out(reflectance: &[f32], width: usize, height: usize, px_um: f32) -> Vec<f32> {
    let per_pixel = (libm::roundf(px_um / SAMPLE_PX_UM).max(1.0) as usize).min(SAMPLE_SIDE_PX);
    let means = super::whole::mean_of_blocks(reflectance, SAMPLE_SIDE_PX, per_pixel);
    let side = SAMPLE_SIDE_PX / per_pixel;
    let fold = |i: usize| {
        let within = i % (2 * side);
        if within < side { within } else { 2 * side - 1 - within }
    };
    (0..width * height).map(|i| means[fold(i / width) * side + fold(i % width)]).collect()
}
