//! In the bath: lines first, then bite by bite, values stopped out upwards from the lightest.

use super::before::stand_on;
use super::{Moment, Numbers, Plate, Recipe, Stage, mean, turn_over};
use crate::bite::{Session, line_dose_um};
use crate::grid::Grid;
use crate::light;

impl Plate {
    /// The lines `minutes` into their bite; all else lies under the ground they were drawn in.
    pub(super) fn lines_bitten(&mut self, grid: &Grid, minutes: f64) -> Moment {
        let whole = self.stop_lines_after(Some(minutes));
        let mut moment = self.without_resin(grid, 0);
        self.stop_lines_after(whole);
        let mut open = self.lines_at(&self.on_copper(grid));
        turn_over(&mut open, grid.width);
        moment.stopped = open.iter().map(|&open| !open).collect();
        set_stopped_row(grid, &mut moment);
        let dose_um = line_dose_um(&self.plan.bath, minutes, &self.constants.bite);
        let numbers = &mut moment.numbers;
        numbers.bath_min = minutes;
        numbers.undercut_um = dose_um / self.constants.bite.etch_factor;
        numbers.open = mean(open.iter().map(|&open| f32::from(u8::from(open))));
        moment
    }

    /// How the ground of `stage` is laid.
    pub(super) fn recipe_of(&self, stage: &Stage) -> Recipe {
        match self.later_ground(stage) {
            Some(later) => {
                Recipe { seed: later.seed, dust: later.dust.clone(), bake: later.bake.clone() }
            }
            None => {
                let plan = &self.plan;
                Recipe { seed: plan.seed, dust: plan.dust.clone(), bake: plan.bake.clone() }
            }
        }
    }

    /// The copper `minutes` into a bite (from 1) under the first ground, had the bath been left then.
    pub(super) fn bitten(
        &mut self,
        grid: &Grid,
        before: &Moment,
        bite: usize,
        minutes: f64,
    ) -> Moment {
        let cut_short = self.left_early(bite, minutes);
        let so_far = cut_short.dose_um.clone();
        let whole = std::mem::replace(&mut self.session, cut_short);
        let mut moment = self.copper_now(grid, self.plan.bites.len());
        let value = self.values_at(grid);
        self.session = whole;
        stand_on(before, &mut moment.side);
        let deepest = value.iter().copied().max().unwrap_or(0);
        let dose_um = so_far[usize::from(deepest)];
        let open = |value: u8| usize::from(value) >= bite;
        for (stopped, &value) in moment.stopped.iter_mut().zip(&value) {
            *stopped = !open(value);
        }
        set_stopped_row(grid, &mut moment);
        let earlier: f64 = self.plan.bites[..bite - 1].iter().map(|bite| bite.bite_min).sum();
        moment.numbers = Numbers {
            bath_min: earlier + minutes,
            undercut_um: dose_um / self.constants.bite.etch_factor,
            open: mean(value.iter().map(|&value| f32::from(u8::from(open(value))))),
            lightness: light::lightness(self.swatch(dose_um).reflectance),
            ..moment.numbers
        };
        moment
    }

    /// After the last bite, ground and varnish washed off; and however the copper has been worked since.
    pub(super) fn cleaned(&mut self, grid: &Grid) -> Moment {
        self.without_resin(grid, self.plan.bites.len())
    }

    /// The copper after some bites, as if nothing lay on it.
    pub(super) fn without_resin(&mut self, grid: &Grid, after_bites: usize) -> Moment {
        let mut moment = self.copper_now(grid, after_bites);
        moment.resin.fill(0.0);
        moment.side.resin_um.fill(f32::NAN);
        moment.numbers.cover = 0.0;
        moment
    }

    /// The session had it ended `minutes` into a bite: values still open have had what there was.
    fn left_early(&self, bite: usize, minutes: f64) -> Session {
        let plan = &self.plan;
        let mut bites = plan.bites[..bite].to_vec();
        bites[bite - 1].bite_min = minutes;
        let mut session =
            Self::bathe(plan, &bites, &self.constants, self.areas.as_ref(), &self.profile);
        let so_far = session.dose_um[bite];
        session.dose_um.resize(plan.bites.len() + 1, so_far);
        session
    }

    /// Copper and resin in the session and the work as they stand; tops of the resin over the old
    /// surface of the copper.
    fn copper_now(&mut self, grid: &Grid, after_bites: usize) -> Moment {
        let copper = self.on_copper(grid);
        let view = self.copper_window(grid, after_bites);
        let padded = self.bite_around(&copper, after_bites);
        let middle = copper.height / 2;
        let line = Grid { top_px: copper.top_px + middle as i64, height: 1, ..copper };
        let mut moment = Moment::bare(grid);
        let plane_um = &self.window.plane_um;
        if !plane_um.is_empty() {
            // Worked since: the first ground is gone.
            let rows = (0..copper.height).map(|row| padded.index_of(&copper, row));
            let lowered = rows.flat_map(|from| &plane_um[from..from + copper.width]);
            moment.numbers.lowered_um = lowered.fold(0.0_f64, |most, &um| most.max(f64::from(um)));
        } else {
            moment.side.resin_um = self.resin_profile(&line, &padded, after_bites);
            moment.side.resin_um.reverse();
        }
        let row = middle * grid.width;
        moment.side.copper_um =
            view.depth_um[row..][..grid.width].iter().map(|depth| -depth).collect();
        moment.numbers.deepest_um =
            view.depth_um.iter().fold(0.0_f64, |deepest, &depth| deepest.max(f64::from(depth)));
        moment.numbers.cover = mean(view.cover.iter().copied());
        moment.depth_um = view.depth_um;
        moment.resin = view.cover;
        moment
    }

    /// Values of the place, as the print shows them.
    fn values_at(&self, grid: &Grid) -> Vec<u8> {
        let mut value = Vec::new();
        self.areas.fill(&self.on_copper(grid), &mut value);
        turn_over(&mut value, grid.width);
        value
    }
}

/// The middle row is stopped out as the place is.
pub(super) fn set_stopped_row(grid: &Grid, moment: &mut Moment) {
    let row = grid.height / 2 * grid.width;
    moment.side.stopped = moment.stopped[row..][..grid.width].to_vec();
}
