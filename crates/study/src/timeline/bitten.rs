//! In the bath: bite by bite, values stopped out upwards from the lightest.

use super::{Moment, Numbers, bare, mean, on_copper};
use plate::chain::turn_over;
use plate::grid::Grid;
use plate::{Looking, Plate};

/// The copper `minutes` into a bite (from 1) of a plate that left the bath then.
pub(super) fn bitten(looking: &mut Looking<'_>, grid: &Grid, bite: usize, minutes: f64) -> Moment {
    let plate = looking.plate();
    let mut moment = copper_now(looking, grid);
    let value = values_at(plate, grid);
    let deepest = value.iter().copied().max().unwrap_or(0);
    let dose_um = plate.session().dose_um[usize::from(deepest)];
    let open = |value: u8| usize::from(value) >= bite;
    for (stopped, &value) in moment.stopped.iter_mut().zip(&value) {
        *stopped = !open(value);
    }
    let row = grid.height / 2 * grid.width;
    moment.side.stopped = moment.stopped[row..][..grid.width].to_vec();
    let before: f64 = plate.plan().bites[..bite - 1].iter().map(|bite| bite.bite_min).sum();
    moment.numbers = Numbers {
        bath_min: before + minutes,
        undercut_um: dose_um / plate.constants().bite.etch_factor,
        open: mean(value.iter().map(|&value| f32::from(u8::from(open(value))))),
        lightness: looking.lightness_at(dose_um),
        ..moment.numbers
    };
    moment
}

/// After the last bite, ground and varnish washed off.
pub(super) fn cleaned(looking: &mut Looking<'_>, grid: &Grid) -> Moment {
    let mut moment = copper_now(looking, grid);
    moment.resin.fill(0.0);
    moment.side.resin_um.fill(f32::NAN);
    moment.numbers.cover = 0.0;
    moment.numbers.domes = 0;
    moment.numbers.bath_min = looking.plate().plan().bites.iter().map(|bite| bite.bite_min).sum();
    moment
}

/// Copper and resin after the last bite.
fn copper_now(looking: &mut Looking<'_>, grid: &Grid) -> Moment {
    let bites = looking.plate().plan().bites.len();
    let (view, resin_um) = looking.copper_section(grid, bites);
    let mut moment = bare(grid);
    let row = grid.height / 2 * grid.width;
    moment.side.copper_um = view.depth_um[row..][..grid.width].iter().map(|depth| -depth).collect();
    moment.side.resin_um = resin_um;
    moment.numbers.deepest_um =
        view.depth_um.iter().fold(0.0_f64, |deepest, &depth| deepest.max(f64::from(depth)));
    moment.numbers.cover = mean(view.cover.iter().copied());
    moment.depth_um = view.depth_um;
    moment.resin = view.cover;
    moment
}

/// Values of the place, as the print shows them.
fn values_at(plate: &Plate, grid: &Grid) -> Vec<u8> {
    let mut value = Vec::new();
    plate.picture().fill(&on_copper(plate, grid), &mut value);
    turn_over(&mut value, grid.width);
    value
}
