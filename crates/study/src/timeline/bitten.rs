//! In the bath: lines first, then bite by bite, values stopped out upwards from the lightest.

use super::before::stand_on;
use super::{Moment, Numbers, mean, on_copper};
use plate::chain::{CopperSection, turn_over};
use plate::grid::Grid;
use plate::{Looking, Plate, Renderer, View};

/// The lines `minutes` into their bite; all else lies under the ground they were drawn in.
pub(super) fn lines_bitten(
    plate: &Plate,
    view: &View,
    renderer: &mut Renderer,
    grid: &Grid,
    minutes: f64,
) -> Moment {
    let left = plate.lines_left_early(minutes);
    let mut moment = without_resin(&mut renderer.look(&left, view), grid, 0);
    let mut open = Vec::new();
    let copper = on_copper(plate, grid);
    if !plate.job().lines.as_ref().is_some_and(|lines| lines.fill(&copper, &mut open)) {
        open.clear();
        open.resize(grid.len(), 0);
    }
    turn_over(&mut open, grid.width);
    moment.stopped = open.iter().map(|&open| open == 0).collect();
    set_stopped_row(grid, &mut moment);
    let numbers = &mut moment.numbers;
    numbers.bath_min = minutes;
    numbers.undercut_um = left.line_dose_um() / plate.constants().bite.etch_factor;
    numbers.open = mean(open.iter().map(|&open| f32::from(u8::from(open > 0))));
    moment
}

/// The copper `minutes` into a bite (from 1) under the first ground, of a plate that left the bath then.
pub(super) fn bitten(
    looking: &mut Looking<'_>,
    grid: &Grid,
    before: &Moment,
    bite: usize,
    minutes: f64,
) -> Moment {
    let plate = looking.plate();
    let mut moment = copper_now(looking, grid, plate.plan().bites.len());
    stand_on(before, &mut moment.side);
    let value = values_at(plate, grid);
    let deepest = value.iter().copied().max().unwrap_or(0);
    let dose_um = plate.session().dose_um[usize::from(deepest)];
    let open = |value: u8| usize::from(value) >= bite;
    for (stopped, &value) in moment.stopped.iter_mut().zip(&value) {
        *stopped = !open(value);
    }
    set_stopped_row(grid, &mut moment);
    let earlier: f64 = plate.plan().bites[..bite - 1].iter().map(|bite| bite.bite_min).sum();
    moment.numbers = Numbers {
        bath_min: earlier + minutes,
        undercut_um: dose_um / plate.constants().bite.etch_factor,
        open: mean(value.iter().map(|&value| f32::from(u8::from(open(value))))),
        lightness: looking.lightness_at(dose_um),
        ..moment.numbers
    };
    moment
}

/// After the last bite, ground and varnish washed off; and however the copper has been worked since.
pub(super) fn cleaned(looking: &mut Looking<'_>, grid: &Grid) -> Moment {
    let bites = looking.plate().plan().bites.len();
    without_resin(looking, grid, bites)
}

/// The copper after some bites, as if nothing lay on it.
pub(super) fn without_resin(looking: &mut Looking<'_>, grid: &Grid, after_bites: usize) -> Moment {
    let mut moment = copper_now(looking, grid, after_bites);
    moment.resin.fill(0.0);
    moment.side.resin_um.fill(f32::NAN);
    moment.numbers.cover = 0.0;
    moment
}

/// Copper and resin in the session and the work as they stand; tops of the resin over the copper they
/// were laid on.
fn copper_now(looking: &mut Looking<'_>, grid: &Grid, after_bites: usize) -> Moment {
    let CopperSection { window, resin_um, lowered_um } = looking.copper_section(grid, after_bites);
    let mut moment = Moment::bare(grid);
    let row = grid.height / 2 * grid.width;
    moment.side.copper_um =
        window.depth_um[row..][..grid.width].iter().map(|depth| -depth).collect();
    moment.side.resin_um = resin_um;
    moment.numbers.lowered_um = lowered_um;
    moment.numbers.deepest_um =
        window.depth_um.iter().fold(0.0_f64, |deepest, &depth| deepest.max(f64::from(depth)));
    moment.numbers.cover = mean(window.cover.iter().copied());
    moment.depth_um = window.depth_um;
    moment.resin = window.cover;
    moment
}

/// Values that the place is bitten as, laid out as the print shows them.
fn values_at(plate: &Plate, grid: &Grid) -> Vec<u8> {
    let mut value = Vec::new();
    plate.bitten_values(&on_copper(plate, grid), &mut value);
    turn_over(&mut value, grid.width);
    value
}

/// The middle row is stopped out as the place is.
pub(super) fn set_stopped_row(grid: &Grid, moment: &mut Moment) {
    let row = grid.height / 2 * grid.width;
    moment.side.stopped = moment.stopped[row..][..grid.width].to_vec();
}
