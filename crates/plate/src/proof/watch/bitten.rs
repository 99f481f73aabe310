//! In the bath: bite by bite, values stopped out upwards from the lightest.

use super::{Moment, Numbers, Plate, mean, turn_over};
use crate::bite::Session;
use crate::grid::Grid;
use crate::light;

impl Plate {
    /// The copper `minutes` into a bite (from 1), had the bath been left then.
    pub(super) fn bitten(&mut self, grid: &Grid, bite: usize, minutes: f64) -> Moment {
        let cut_short = self.left_early(bite, minutes);
        let so_far = cut_short.dose_um.clone();
        let whole = std::mem::replace(&mut self.session, cut_short);
        let mut moment = self.copper_now(grid, self.plan.bites.len());
        let value = self.values_at(grid);
        self.session = whole;
        let deepest = value.iter().copied().max().unwrap_or(0);
        let dose_um = so_far[usize::from(deepest)];
        let open = |value: u8| usize::from(value) >= bite;
        for (stopped, &value) in moment.stopped.iter_mut().zip(&value) {
            *stopped = !open(value);
        }
        let row = grid.height / 2 * grid.width;
        moment.side.stopped = moment.stopped[row..][..grid.width].to_vec();
        let before: f64 = self.plan.bites[..bite - 1].iter().map(|bite| bite.bite_min).sum();
        moment.numbers = Numbers {
            bath_min: before + minutes,
            undercut_um: dose_um / self.constants.bite.etch_factor,
            open: mean(value.iter().map(|&value| f32::from(u8::from(open(value))))),
            lightness: light::lightness(self.swatch(dose_um).reflectance),
            ..moment.numbers
        };
        moment
    }

    /// After the last bite, ground and varnish washed off.
    pub(super) fn cleaned(&mut self, grid: &Grid) -> Moment {
        let mut moment = self.copper_now(grid, self.plan.bites.len());
        moment.resin.fill(0.0);
        moment.side.resin_um.fill(f32::NAN);
        moment.numbers.cover = 0.0;
        moment.numbers.domes = 0;
        moment.numbers.bath_min = self.plan.bites.iter().map(|bite| bite.bite_min).sum();
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

    /// Copper and resin in the session as it stands.
    fn copper_now(&mut self, grid: &Grid, after_bites: usize) -> Moment {
        let copper = self.on_copper(grid);
        let view = self.copper_window(grid, after_bites);
        let padded = self.bite_around(&copper, after_bites);
        let middle = copper.height / 2;
        let line = Grid { top_px: copper.top_px + middle as i64, height: 1, ..copper };
        let mut resin_um = self.resin_profile(&line, &padded, after_bites);
        resin_um.reverse();
        let mut moment = Self::bare(grid);
        let row = middle * grid.width;
        moment.side.copper_um =
            view.depth_um[row..][..grid.width].iter().map(|depth| -depth).collect();
        moment.side.resin_um = resin_um;
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
