//! Windows: every field of the chain over one place of the plate.

use super::{Doses, Plate, SAMPLE_PX_UM, SAMPLE_SIDE_PX};
use crate::bite::{Creep, CreepScratch, DepthCurve, depths, spit_dose_um};
use crate::grid::{Grid, make_room};
use crate::ground::{Dome, Ground, TileCache};
use crate::ink::{Copper, InkScratch, Keep};
use crate::resist::{ResistScratch, distance_by_bands, distance_under_resin};

/// The fields of one window on the copper; reused from window to window.
#[derive(Default)]
pub struct WindowFields {
    /// Domes that reach into the window, µm from its top left.
    pub domes: Vec<Dome>,
    /// Distance under the resin, µm (≤ 0 in the open).
    pub distance_um: Vec<f32>,
    /// Value of each pixel.
    pub value: Vec<u8>,
    /// Dose of each pixel, µm, where soft gradations lie in the window; empty where none do.
    pub dose_um: Vec<f32>,
    /// Depth of copper gone, µm.
    pub depth_um: Vec<f32>,
    /// How far tools have lowered the lands, µm; empty where none has worked.
    pub plane_um: Vec<f32>,
    /// Ink held and printed.
    pub ink: InkScratch,
    /// Reflectance of the print, still in the copper's orientation.
    pub reflectance: Vec<f32>,
    resist: ResistScratch,
    creep: CreepScratch,
    /// The reflectance has the room of the distances.
    lent: bool,
}

impl WindowFields {
    /// Lends the reflectance the room of the distances, which are of no use once the copper is bitten.
    fn lend(&mut self) {
        core::mem::swap(&mut self.distance_um, &mut self.reflectance);
        self.lent = true;
    }

    pub(super) fn take_back(&mut self) {
        if core::mem::take(&mut self.lent) {
            core::mem::swap(&mut self.distance_um, &mut self.reflectance);
        }
    }
}

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

/// Farthest undercut looked for in the sample that stands for the values, µm. Deeper bites than
/// this have broken every ground down.
const SAMPLE_REACH_UM: f32 = 160.0;

/// How far round a window the ground is laid ahead at most, µm: a window's width for those that a hand
/// moves about.
const AHEAD_UM: f32 = 2000.0;

/// Distance under the resin over the sample of the ground that stands for every value.
pub(super) fn sample_distances(ground: &Ground, tiles: &mut TileCache) -> Vec<f32> {
    let side_um = f64::from(SAMPLE_PX_UM) * SAMPLE_SIDE_PX as f64;
    // In the middle of the first tile of an ordinary ground, so that no other has to be laid.
    let left_um = libm::round((0.5 * (ground.tile_um() - side_um)).max(0.0));
    let mut domes = Vec::new();
    let overlapping =
        tiles.gather(ground, left_um, left_um, side_um, side_um, SAMPLE_REACH_UM, &mut domes);
    let mut distance_um = Vec::new();
    distance_under_resin(
        &domes,
        overlapping,
        SAMPLE_SIDE_PX,
        SAMPLE_SIDE_PX,
        SAMPLE_PX_UM,
        SAMPLE_REACH_UM,
        &mut ResistScratch::default(),
        &mut distance_um,
    );
    distance_um
}

/// The part of `grid` that lies on a plate of this size in pixels.
pub(super) fn clipped(grid: &Grid, size_px: (i64, i64)) -> Grid {
    let span = |from: i64, length: usize, size: i64| {
        let start = from.clamp(0, size);
        let end = (from + length as i64).clamp(start, size);
        (start, (end - start) as usize)
    };
    let (left_px, width) = span(grid.left_px, grid.width, size_px.0);
    let (top_px, height) = span(grid.top_px, grid.height, size_px.1);
    Grid { left_px, top_px, width, height, px_um: grid.px_um }
}

/// Keeps the part of a field over `wide` that lies over `grid`.
pub(super) fn crop<T: Copy>(field: &mut Vec<T>, wide: &Grid, grid: &Grid) {
    if wide == grid {
        return;
    }
    for row in 0..grid.height {
        let from = wide.index_of(grid, row);
        field.copy_within(from..from + grid.width, row * grid.width);
    }
    field.truncate(grid.len());
}

/// Gathers the domes over one window and finds the distance under the resin, µm, as far as `reach_um`
/// under it; after each band of rows, `then` is given all so far and the band's first pixel.
#[allow(clippy::too_many_arguments, reason = "a ground, a window and caller-owned buffers")]
pub(super) fn distances(
    tiles: &mut TileCache,
    ground: &Ground,
    grid: &Grid,
    reach_um: f32,
    domes: &mut Vec<Dome>,
    resist: &mut ResistScratch,
    distance_um: &mut Vec<f32>,
    then: &mut dyn FnMut(&[f32], usize),
) {
    let px_um = f64::from(grid.px_um);
    let (width_um, height_um) = (grid.width as f64 * px_um, grid.height as f64 * px_um);
    let (left_um, top_um) = (grid.left_um(), grid.top_um());
    let overlapping = tiles.gather(ground, left_um, top_um, width_um, height_um, reach_um, domes);
    let size = (grid.width, grid.height, grid.px_um);
    distance_by_bands(domes, overlapping, size, reach_um, resist, distance_um, then);
}

impl Plate {
    /// Bites the copper of one window: fills domes, distances, values and depths.
    ///
    /// `after_bites` stops the session early (0 is before the first bite); after the last bite the
    /// copper also gets the work of the state that is looked at.
    pub(super) fn bite_window(&mut self, grid: &Grid, after_bites: usize) {
        self.window.take_back();
        self.window.plane_um.clear();
        let after_bites = if self.prints_lines_alone() { 0 } else { after_bites };
        if !self.worked() || after_bites < self.plan.bites.len() {
            self.first_bites(grid, after_bites);
            return;
        }
        let margin = self.line.margin_px(grid.px_um, &self.constants);
        let wide = clipped(&grid.grown(margin), self.size_px(grid.px_um));
        self.first_bites(&wide, after_bites);
        self.line.work_on(&wide, &self.constants, &mut self.window);
        let fields = &mut self.window;
        crop(&mut fields.depth_um, &wide, grid);
        crop(&mut fields.plane_um, &wide, grid);
        crop(&mut fields.distance_um, &wide, grid);
        crop(&mut fields.value, &wide, grid);
        if !fields.dose_um.is_empty() {
            crop(&mut fields.dose_um, &wide, grid);
        }
    }

    /// The bites under the first ground.
    fn first_bites(&mut self, grid: &Grid, after_bites: usize) {
        let etch_factor = self.constants.bite.etch_factor;
        let doses_um: Vec<f64> = (0..self.session.dose_um.len())
            .map(|value| self.session.dose_um[value.min(after_bites)])
            .collect();
        let deepest_um = doses_um.iter().fold(0.0_f64, |a, &b| a.max(b)) + self.deepest_spit_um();
        let reach_um = (deepest_um / etch_factor) as f32 + grid.px_um;
        let curves: Vec<DepthCurve> = doses_um
            .iter()
            .map(|&dose_um| DepthCurve::new(dose_um, etch_factor, grid.px_um))
            .collect();
        let fields = &mut self.window;
        make_room(&mut fields.value, grid.len());
        let uniform = self.areas.fill(grid, &mut fields.value);
        make_room(&mut fields.depth_um, grid.len());
        fields.depth_um.resize(grid.len(), 0.0);
        let (value, depth_um) = (&fields.value, &mut fields.depth_um);
        let size = (grid.width, grid.height, grid.px_um);
        let mut creep = match uniform {
            Some(_) => None,
            None => Creep::new(value, &doses_um, size, etch_factor, &mut fields.creep),
        };
        distances(
            &mut self.tiles,
            &self.ground,
            grid,
            reach_um,
            &mut fields.domes,
            &mut fields.resist,
            &mut fields.distance_um,
            &mut |under_um, from| {
                let band = from..under_um.len();
                depths(&under_um[from..], &value[band.clone()], &curves, &mut depth_um[band]);
                if let Some(creep) = &mut creep {
                    creep.mend_so_far(under_um, depth_um);
                }
            },
        );
        self.soften_window(grid, &doses_um, after_bites);
        self.bite_lines(grid, &doses_um);
    }

    /// Gives the pixels of soft gradations the depth of their own dose. The dose changes so slowly from
    /// place to place that the bite under a dome's edge is that of the place itself.
    fn soften_window(&mut self, grid: &Grid, doses_um: &[f64], after_bites: usize) {
        let etch_factor = self.constants.bite.etch_factor;
        let mut dose_um = std::mem::take(&mut self.window.dose_um);
        dose_um.clear();
        if self.soft_doses(grid, doses_um, after_bites, &mut dose_um) {
            let fields = &mut self.window;
            for (i, dose) in dose_um.iter().enumerate() {
                if *dose != doses_um[usize::from(fields.value[i])] as f32 {
                    let curve = DepthCurve::new(f64::from(*dose), etch_factor, grid.px_um);
                    fields.depth_um[i] = curve.depth_um(fields.distance_um[i]);
                }
            }
        }
        self.window.dose_um = dose_um;
    }

    /// Deepest bite that spit-bites can add anywhere, µm.
    fn deepest_spit_um(&self) -> f64 {
        let minutes = self.areas.spit_min();
        if minutes == 0.0 {
            return 0.0;
        }
        let open = self.profile.open_share();
        spit_dose_um(&self.plan.bath, minutes, open, &self.constants.bite)
    }

    /// Dose of every pixel where soft gradations lie in a raster on the copper.
    pub(super) fn soft_doses(
        &self,
        grid: &Grid,
        doses_um: &[f64],
        after_bites: usize,
        out: &mut Vec<f32>,
    ) -> bool {
        let spit_um = |minutes: f64| {
            // Spit-bite comes first of all: before the first bite there is none yet.
            if after_bites == 0 {
                return 0.0;
            }
            let open = self.profile.open_share();
            spit_dose_um(&self.plan.bath, minutes, open, &self.constants.bite)
        };
        self.areas.soften(grid, &Doses { of_value_um: doses_um, spit_um: &spit_um }, out)
    }

    /// Prints a window of the copper, padded so that its inside does not feel its border, and returns
    /// the raster of the reflectance, and of the ink if that is to be kept. Distances are used up.
    pub(super) fn print_on_copper(&mut self, grid: &Grid, keep: Keep) -> Grid {
        let size_px = self.size_px(grid.px_um);
        let grown = |margin_um: f64| {
            let margin = libm::ceil(margin_um / f64::from(grid.px_um)) as usize;
            clipped(&grid.grown(margin), size_px)
        };
        let around = grown(self.inking.margin_um());
        let part = grown(self.inking.paper_margin_um());
        self.bite_window(&around, self.plan.bites.len());
        let fields = &mut self.window;
        fields.lend();
        let plane_um = (!fields.plane_um.is_empty()).then_some(fields.plane_um.as_slice());
        let copper = Copper { depth_um: &fields.depth_um, plane_um, grid: &around };
        self.inking.print_part(&copper, &part, keep, &mut fields.ink, &mut fields.reflectance);
        part
    }

    /// Bites a window of the copper with as much round it as the undercut reaches, and returns the
    /// raster of distances, values and depths.
    pub(super) fn bite_around(&mut self, grid: &Grid, after_bites: usize) -> Grid {
        let deepest_um = self.session.dose_um[after_bites] + self.deepest_spit_um();
        let undercut_um = deepest_um / self.constants.bite.etch_factor;
        let margin = libm::ceil(undercut_um / f64::from(grid.px_um)) as usize + 2;
        let padded = clipped(&grid.grown(margin), self.size_px(grid.px_um));
        self.bite_window(&padded, after_bites);
        padded
    }

    /// Lays one more tile of the ground round a window of the print, so that the next window beside
    /// it finds its ground laid; false once all is.
    pub fn lay_ahead(&mut self, grid: &Grid) -> bool {
        let (width, height) = self.size_px(grid.px_um);
        let copper = mirrored(grid, width);
        let ahead = grid.width.min((AHEAD_UM / grid.px_um) as usize);
        let wanted = clipped(&copper.grown(ahead), (width, height));
        let reach_um = self.inking.margin_um() + self.ground.largest_um();
        let right_um = wanted.left_um() + wanted.width as f64 * f64::from(grid.px_um);
        let bottom_um = wanted.top_um() + wanted.height as f64 * f64::from(grid.px_um);
        self.tiles.lay_ahead(
            &self.ground,
            (wanted.left_um() - reach_um, wanted.top_um() - reach_um),
            (right_um + reach_um, bottom_um + reach_um),
        )
    }

    /// A window of the print: reflectance, 0–1. `grid` is a raster on the *print* (from its top
    /// left); off the plate it shows bare paper.
    pub fn print_window(&mut self, grid: &Grid) -> PrintWindow {
        self.field_window(grid, Field::Reflectance)
    }

    /// A window of any field of the chain, laid out as on the print. Off the plate cover, depth
    /// and ink are 0 and the reflectance is the bare paper's.
    pub fn field_window(&mut self, grid: &Grid, field: Field) -> PrintWindow {
        let size_px = self.size_px(grid.px_um);
        let copper = clipped(&mirrored(grid, size_px.0), size_px);
        let outside =
            if field == Field::Reflectance { self.plan.paper.reflectance as f32 } else { 0.0 };
        let mut pixels = vec![outside; grid.len()];
        if copper.is_empty() {
            return PrintWindow { width: grid.width, height: grid.height, pixels };
        }
        let on_copper = matches!(field, Field::Cover | Field::Depth);
        let raster = if on_copper {
            self.bite_around(&copper, self.plan.bites.len())
        } else {
            let seen = field == Field::Reflectance;
            self.print_on_copper(&copper, if seen { Keep::Nothing } else { Keep::Ink })
        };
        let fields = &self.window;
        let source = match field {
            Field::Cover => &fields.distance_um,
            Field::Depth => &fields.depth_um,
            Field::Held => fields.ink.held_um(),
            Field::Printed => fields.ink.printed_um(),
            Field::Reflectance => &fields.reflectance,
        };
        let half_px_um = 0.5 * grid.px_um;
        // The first ground is washed off before any later work.
        let stays = if self.worked() { 0.0 } else { 1.0 };
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
}

/// The copper from above, laid out as on the print.
#[derive(Clone, Debug, PartialEq)]
pub struct CopperWindow {
    /// Columns.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Depth of copper gone, µm; 0 off the plate.
    pub depth_um: Vec<f32>,
    /// Share of each pixel under resin that still holds, 0–1.
    pub cover: Vec<f32>,
}

impl Plate {
    /// The copper from above after some bites (0 is before the first), with what is left of the
    /// ground. `grid` is a raster on the print.
    pub fn copper_window(&mut self, grid: &Grid, after_bites: usize) -> CopperWindow {
        let size_px = self.size_px(grid.px_um);
        let after_bites = after_bites.min(self.plan.bites.len());
        let copper = clipped(&mirrored(grid, size_px.0), size_px);
        let mut window = CopperWindow {
            width: grid.width,
            height: grid.height,
            depth_um: vec![0.0; grid.len()],
            cover: vec![0.0; grid.len()],
        };
        if copper.is_empty() {
            return window;
        }
        let padded = self.bite_around(&copper, after_bites);
        let fields = &self.window;
        let undercut_um: Vec<f32> = self
            .session
            .dose_um
            .iter()
            .enumerate()
            .map(|(value, _)| {
                self.session.dose_um[value.min(after_bites)] / self.constants.bite.etch_factor
            })
            .map(|um| um as f32)
            .collect();
        let mut cover = vec![0.0_f32; padded.len()];
        // After later work the ground is gone, and domes are given from another corner.
        let domes = if fields.plane_um.is_empty() { fields.domes.as_slice() } else { &[] };
        for dome in domes {
            cover_with(
                dome,
                &padded,
                fields,
                &undercut_um,
                self.constants.bite.etch_factor,
                &mut cover,
            );
        }
        let to_left = left_on_print(&copper, grid, size_px.0);
        for row in 0..copper.height {
            let from = padded.index_of(&copper, row);
            let to = ((copper.top_px - grid.top_px) as usize + row) * grid.width + to_left;
            for i in 0..copper.width {
                let mirror = to + copper.width - 1 - i;
                window.depth_um[mirror] = fields.depth_um[from + i];
                window.cover[mirror] = cover[from + i];
            }
        }
        window
    }

    /// A printed patch of one value, `px_um` a pixel: the sample of the ground that stands for
    /// every value, repeated in mirror image where the patch is larger than the sample.
    pub fn patch(&mut self, value: usize, width: usize, height: usize, px_um: f32) -> PrintWindow {
        self.swatch_of(value.min(self.session.dose_um.len() - 1));
        let per_pixel = (libm::roundf(px_um / SAMPLE_PX_UM).max(1.0) as usize).min(SAMPLE_SIDE_PX);
        let means =
            super::whole::mean_of_blocks(&self.window.reflectance, SAMPLE_SIDE_PX, per_pixel);
        let side = SAMPLE_SIDE_PX / per_pixel;
        let fold = |i: usize| {
            let within = i % (2 * side);
            if within < side { within } else { 2 * side - 1 - within }
        };
        let pixels =
            (0..width * height).map(|i| means[fold(i / width) * side + fold(i % width)]).collect();
        PrintWindow { width, height, pixels }
    }
}

/// Adds a dome's share of each pixel, unless it has been undercut all round and floated off.
fn cover_with(
    dome: &Dome,
    grid: &Grid,
    fields: &WindowFields,
    undercut_um: &[f32],
    etch_factor: f64,
    cover: &mut [f32],
) {
    let place =
        |um: f32, size: usize| ((um / grid.px_um) as i64).clamp(0, size as i64 - 1) as usize;
    let (x, y) = (place(dome.x_um, grid.width), place(dome.y_um, grid.height));
    let pixel = y * grid.width + x;
    let undercut = match fields.dose_um.get(pixel) {
        Some(dose) => (f64::from(*dose) / etch_factor) as f32,
        None => undercut_um[usize::from(fields.value[pixel])],
    };
    if dome.radius_um <= undercut {
        return;
    }
    cover_disc(dome, grid, cover);
}

/// Adds a disc's share of each pixel.
pub(super) fn cover_disc(dome: &Dome, grid: &Grid, cover: &mut [f32]) {
    let from = |centre_um: f32| ((centre_um - dome.radius_um) / grid.px_um - 1.0).max(0.0) as usize;
    let to = |centre_um: f32, size: usize| {
        (((centre_um + dome.radius_um) / grid.px_um + 2.0).max(0.0) as usize).min(size)
    };
    for row in from(dome.y_um)..to(dome.y_um, grid.height) {
        let dy = (row as f32 + 0.5) * grid.px_um - dome.y_um;
        for column in from(dome.x_um)..to(dome.x_um, grid.width) {
            let dx = (column as f32 + 0.5) * grid.px_um - dome.x_um;
            let inside = dome.radius_um - (dx * dx + dy * dy).sqrt();
            let share = (inside / grid.px_um + 0.5).clamp(0.0, 1.0);
            let pixel = &mut cover[row * grid.width + column];
            *pixel = pixel.max(share);
        }
    }
}

/// Column of `grid`, a raster on the print, at which the last column of `copper` prints: the paper
/// lies on the plate face to face.
fn left_on_print(copper: &Grid, grid: &Grid, plate_width_px: i64) -> usize {
    (plate_width_px - copper.left_px - copper.width as i64 - grid.left_px) as usize
}

/// A raster on the print, as the raster on the copper that prints it.
pub(super) fn mirrored(grid: &Grid, plate_width_px: i64) -> Grid {
    Grid { left_px: plate_width_px - grid.left_px - grid.width as i64, ..*grid }
}
