//! Windows of the copper: bitten, worked, inked and printed over one raster.

use super::distance::distances;
use super::later_ground::{LaterRoom, Setting};
use super::lines::LinedCopper;
use super::place::{clipped, crop};
use super::scratch::WindowScratch;
use super::strips::Again;
use super::work::WorkedCopper;
use super::{Doses, Looking, Plate, Printed, Renderer};
use crate::bite::{Creep, DepthCurve, depths};
use crate::grid::{Grid, make_room};
use crate::ground::Dome;
use crate::ink::{Copper, InkScratch, Keep, Shared};

/// A window of bitten copper: one number per pixel of `grid`.
pub(super) struct Bitten<'a> {
    pub(super) grid: Grid,
    /// Domes that reach into the window, µm from its top left; of a worked state, from another corner.
    pub(super) domes: &'a [Dome],
    /// Distance under the resin, µm (≤ 0 in the open).
    pub(super) under_um: &'a [f32],
    /// Value of each pixel.
    pub(super) value: &'a [u8],
    /// Dose of each pixel, µm, where soft gradations lie in the window; empty where none do.
    pub(super) dose_um: &'a [f32],
    /// Depth of copper gone, µm.
    pub(super) depth_um: &'a [f32],
    /// How far tools have lowered the lands, µm; empty where nothing has been done later.
    pub(super) plane_um: &'a [f32],
}

/// A printed window, still in the copper's orientation: one number per pixel of `grid`.
pub(super) struct Inked<'a> {
    pub(super) grid: Grid,
    /// Ink held and printed, where it was kept.
    pub(super) ink: &'a InkScratch,
    /// Reflectance, 0–1.
    pub(super) reflectance: &'a [f32],
}

impl WindowScratch {
    fn bitten(&self, grid: &Grid) -> Bitten<'_> {
        Bitten {
            grid: *grid,
            domes: &self.domes,
            under_um: &self.under_or_light,
            value: &self.value,
            dose_um: &self.dose_um,
            depth_um: &self.depth_um,
            plane_um: &self.plane_um,
        }
    }
}

/// How far round a window the ground is laid ahead at most, µm: a window's width for those that a hand
/// moves about.
const AHEAD_UM: f32 = 2000.0;

impl Looking<'_> {
    /// Bites the copper of one window.
    ///
    /// `after_bites` stops the session early (0 is before the first bite); after the last bite the
    /// copper also gets the work of the state that is looked at.
    pub(super) fn bite_window(&mut self, grid: &Grid, after_bites: usize) -> Bitten<'_> {
        let (plate, line) = (self.plate, self.line);
        self.scratch.window.plane_um.clear();
        let after_bites = if plate.prints_lines_alone(self.printed) { 0 } else { after_bites };
        if !line.is_worked() || after_bites < plate.plan().bites.len() {
            self.first_bites(grid, after_bites);
            return self.scratch.window.bitten(grid);
        }
        let margin = line.margin_px(grid.px_um, plate.constants());
        let wide = clipped(&grid.grown(margin), plate.size_px(grid.px_um));
        self.first_bites(&wide, after_bites);
        let Renderer { tiles, window: fields, later: scratch, .. } = &mut *self.scratch;
        // What varnish did under the first ground is washed off before any later one.
        if plate.faults().bath.covers() {
            plate.picture().fill(&wide, &mut fields.value);
        }
        fields.plane_um.resize(wide.len(), 0.0);
        let (depth_um, plane_um) = (&mut fields.depth_um[..], &mut fields.plane_um[..]);
        let mut copper = WorkedCopper { grid: &wide, depth_um, plane_um };
        let setting = Setting::of(plate.plan(), plate.constants(), plate.extent());
        line.work_on(&setting, &fields.value, &mut copper, &mut LaterRoom { tiles, scratch });
        crop(&mut fields.depth_um, &wide, grid);
        crop(&mut fields.plane_um, &wide, grid);
        crop(&mut fields.under_or_light, &wide, grid);
        crop(&mut fields.value, &wide, grid);
        if !fields.dose_um.is_empty() {
            crop(&mut fields.dose_um, &wide, grid);
        }
        fields.bitten(grid)
    }

    /// The bites under the first ground.
    fn first_bites(&mut self, grid: &Grid, after_bites: usize) {
        let plate = self.plate;
        let etch_factor = plate.constants().bite.etch_factor;
        let of_value = &plate.session().dose_um;
        let doses_um: Vec<f64> =
            (0..of_value.len()).map(|value| of_value[value.min(after_bites)]).collect();
        let deepest_um = doses_um.iter().fold(0.0_f64, |a, &b| a.max(b)) + plate.deepest_spit_um();
        let faults = &plate.faults().bath;
        let mut uneven = faults.factor(grid);
        let most = uneven.as_ref().map_or(1.0, |uneven| uneven.most().max(1.0));
        let reach_um = most * (deepest_um / etch_factor) as f32 + grid.px_um;
        let curves: Vec<DepthCurve> = doses_um
            .iter()
            .map(|&dose_um| DepthCurve::new(dose_um, etch_factor, grid.px_um))
            .collect();
        let lined = plate.bites_lines(self.printed);
        let Renderer { tiles, window: fields, .. } = &mut *self.scratch;
        make_room(&mut fields.value, grid.len());
        let uniform = plate.bitten_values(grid, &mut fields.value);
        fields.dose_um.clear();
        let soft = soft_doses(plate, grid, &doses_um, after_bites, &mut fields.dose_um);
        make_room(&mut fields.depth_um, grid.len());
        fields.depth_um.resize(grid.len(), 0.0);
        fields.stretched.clear();
        if uneven.is_some() {
            fields.factor.resize(grid.len(), 1.0);
        }
        let (value, depth_um) = (&fields.value, &mut fields.depth_um);
        let (factor, stretched) = (&mut fields.factor, &mut fields.stretched);
        let size = (grid.width, grid.height, grid.px_um);
        let mut creep = match uniform {
            Some(_) => None,
            None => Creep::new(value, &doses_um, size, etch_factor, &mut fields.creep),
        };
        // Where depths of whole values are all that is wanted, distances need go no farther than each does.
        let depths_alone = !(fields.tells_all || soft || lined || uneven.is_some());
        let reaches = creep.as_ref().filter(|_| depths_alone).map(|creep| {
            creep.reaches(&mut fields.reaches);
            &fields.reaches
        });
        distances(
            tiles.of_first(plate.ground().recipe()),
            plate.ground().ground(),
            plate.extent(),
            grid,
            (reach_um, reaches),
            &mut fields.domes,
            &mut fields.resist,
            &mut fields.under_or_light,
            &mut |under_um, from| {
                if let Some(uneven) = &mut uneven {
                    // So many times as long in the bath bites to the same shape so many times as large.
                    for row in (from..under_um.len()).step_by(grid.width) {
                        let line = &mut factor[row..row + grid.width];
                        let there = uneven.row(row / grid.width, line);
                        let there = row + there.start..row + there.end;
                        let under_um = under_um[there.clone()].iter_mut();
                        under_um.zip(&factor[there.clone()]).for_each(|(um, by)| *um /= *by);
                        if !there.is_empty() {
                            stretched.push(there);
                        }
                    }
                }
                let band = from..under_um.len();
                depths(&under_um[from..], &value[band.clone()], &curves, &mut depth_um[band]);
                if let Some(creep) = &mut creep {
                    creep.mend_so_far(under_um, depth_um);
                }
            },
        );
        if soft {
            fields.soften(etch_factor, grid.px_um, &doses_um);
        }
        fields.stretch(&doses_um, lined);
        self.bite_lines(grid, &doses_um);
    }

    /// Bites the lines into a window of the copper, and the plan's bites on from them. The window's
    /// depths are those of polished copper when it is called.
    fn bite_lines(&mut self, grid: &Grid, doses_um: &[f64]) {
        if self.printed == Printed::Tone || grid.is_empty() {
            return;
        }
        let plate = self.plate;
        let (Some(open), dose_um) = (&plate.job().lines, plate.line_dose_um()) else { return };
        if dose_um <= 0.0 {
            return;
        }
        let Renderer { lines, window: fields, .. } = &mut *self.scratch;
        let mut copper = LinedCopper {
            grid,
            under_um: &fields.under_or_light,
            value: &fields.value,
            dose_um: &fields.dose_um,
            depth_um: &mut fields.depth_um,
        };
        let etch_factor = plate.constants().bite.etch_factor;
        lines.bite(open.as_ref(), dose_um, etch_factor, doses_um, &mut copper);
    }

    /// Prints a window of the copper, padded so that its inside does not feel its border. The ink is
    /// only there if it is to be kept.
    pub(super) fn print_on_copper(&mut self, grid: &Grid, keep: Keep) -> Inked<'_> {
        let around = self.around(grid);
        self.bite_window(&around, self.plate.plan().bites.len());
        self.print_bitten(grid, &around, Again::NONE, None, keep)
    }

    /// A window with as much round it as ink and light feel.
    pub(super) fn around(&self, grid: &Grid) -> Grid {
        self.grown(grid, self.inking.margin_um())
    }

    fn grown(&self, grid: &Grid, margin_um: f64) -> Grid {
        let margin = libm::ceil(margin_um / f64::from(grid.px_um)) as usize;
        clipped(&grid.grown(margin), self.plate.size_px(grid.px_um))
    }

    /// Prints what has been bitten `around` a window.
    pub(super) fn print_bitten(
        &mut self,
        grid: &Grid,
        around: &Grid,
        again: Again,
        next_top_px: Option<i64>,
        keep: Keep,
    ) -> Inked<'_> {
        let inking = self.inking;
        let part = self.grown(grid, inking.paper_margin_um());
        let WindowScratch { depth_um, plane_um, kept_um, ink, under_or_light: reflectance, .. } =
            &mut self.scratch.window;
        let (depth_um, plane_um) = again.rows(around.width, kept_um, depth_um, plane_um);
        let faults = Some(&self.plate.faults().press);
        let shared = Shared { rows_of_last: again.kept_rows, next_top_px };
        let copper = Copper { depth_um, plane_um, grid: around, faults, shared };
        inking.print_part(&copper, &part, keep, ink, reflectance);
        Inked { grid: part, ink, reflectance }
    }

    /// Bites a window of the copper with as much round it as the undercut reaches.
    pub(super) fn bite_around(&mut self, grid: &Grid, after_bites: usize) -> Bitten<'_> {
        let plate = self.plate;
        let deepest_um = plate.session().dose_um[after_bites] + plate.deepest_spit_um();
        let deepest_um = deepest_um * plate.faults().bath.most_factor();
        let undercut_um = deepest_um / plate.constants().bite.etch_factor;
        let margin = libm::ceil(undercut_um / f64::from(grid.px_um)) as usize + 2;
        let padded = clipped(&grid.grown(margin), plate.size_px(grid.px_um));
        self.scratch.window.tells_all = true;
        self.bite_window(&padded, after_bites);
        self.scratch.window.tells_all = false;
        self.scratch.window.bitten(&padded)
    }

    /// Lays one more tile of the ground round a window of the print, so that the next window beside
    /// it finds its ground laid; false once all is.
    pub fn lay_ahead(&mut self, grid: &Grid) -> bool {
        let plate = self.plate;
        let (width, height) = plate.size_px(grid.px_um);
        let copper = super::mirrored(grid, width);
        let ahead = grid.width.min((AHEAD_UM / grid.px_um) as usize);
        let wanted = clipped(&copper.grown(ahead), (width, height));
        let ground = plate.ground().ground();
        let reach_um = self.inking.margin_um() + ground.largest_um();
        let right_um = wanted.left_um() + wanted.width as f64 * f64::from(grid.px_um);
        let bottom_um = wanted.top_um() + wanted.height as f64 * f64::from(grid.px_um);
        self.scratch.tiles.of_first(plate.ground().recipe()).lay_ahead(
            plate.extent(),
            ground,
            (wanted.left_um() - reach_um, wanted.top_um() - reach_um),
            (right_um + reach_um, bottom_um + reach_um),
        )
    }
}

impl WindowScratch {
    /// Stretches what has been bitten where faults of the bath made it deeper or shallower; where more than depths is looked
    /// at, distances and each pixel's dose with it.
    fn stretch(&mut self, doses_um: &[f64], lined: bool) {
        let Self { factor, stretched, dose_um, value, depth_um, .. } = self;
        let by = |field: &mut [f32]| {
            for there in &*stretched {
                let factors = &factor[there.clone()];
                let places = field[there.clone()].iter_mut();
                places.zip(factors).for_each(|(um, factor)| *um *= *factor);
            }
        };
        by(depth_um);
        if stretched.is_empty() || !(self.tells_all || lined) {
            return;
        }
        if dose_um.is_empty() {
            dose_um.extend(value.iter().map(|&value| doses_um[usize::from(value)] as f32));
        }
        by(dose_um);
        by(&mut self.under_or_light);
    }

    /// Gives the pixels of soft gradations the depth of their own dose. The dose changes so slowly from
    /// place to place that the bite under a dome's edge is that of the place itself.
    fn soften(&mut self, etch_factor: f64, px_um: f32, doses_um: &[f64]) {
        let Self { dose_um, value, depth_um, under_or_light: under_um, .. } = self;
        for (i, dose) in dose_um.iter().enumerate() {
            if *dose != doses_um[usize::from(value[i])] as f32 {
                let curve = DepthCurve::new(f64::from(*dose), etch_factor, px_um);
                depth_um[i] = curve.depth_um(under_um[i]);
            }
        }
    }
}

/// Dose of every pixel where soft gradations lie in a raster on the copper.
pub(super) fn soft_doses(
    plate: &Plate,
    grid: &Grid,
    doses_um: &[f64],
    after_bites: usize,
    out: &mut Vec<f32>,
) -> bool {
    let faults = &plate.faults().bath;
    // Spit-bite comes first of all: before the first bite there is none yet.
    let spit_um = |minutes| if after_bites == 0 { 0.0 } else { plate.spit_um(minutes) };
    let soft =
        plate.picture().soften(grid, &Doses { of_value_um: doses_um, spit_um: &spit_um }, out);
    if soft {
        faults.cover_doses(grid, &plate.values(), doses_um, out);
    }
    soft
}
