//! Before the bath: the wait, the fall of the dust, the melt, on copper as flat or as bitten as it is.

use super::super::cut::raise_cap;
use super::super::window::{clipped, cover_disc};
use super::{Moment, Plate, Recipe, Side, WatchScratch, mean, turn_over};
use crate::bake::Baked;
use crate::bake::heat::Warming;
use crate::dust::{self, LandedDust, lands_after_s, settling_velocity_m_per_s};
use crate::grid::Grid;
use crate::ground::loose::{Ball, LooseGrain};
use crate::ground::{Dome, Ground};

/// A grain is seen falling for this share of the minutes of dusting. It really takes milliseconds.
const FALL_SHARE: f64 = 0.06;
/// Height from which it is seen falling, µm.
const FALL_UM: f64 = 70.0;
/// Minutes after which all dust has come down, whatever the box.
const ALL_DOWN_MIN: f64 = 1e5;
/// Loose grains that reach into a place are looked for this far outside it, µm.
const GRAIN_REACH_UM: f64 = 200.0;

impl Plate {
    /// The box `wait_s` seconds after stirring, the plate still outside.
    pub(super) fn waited(&self, before: &Moment, recipe: &Recipe, wait_s: f64) -> Moment {
        let mut moment = before.clone();
        let air = self.dust_of(recipe, wait_s, 0.0);
        moment.numbers.cloud_g_per_m3 = air.cloud_plate_in_g_per_m3;
        moment.numbers.airborne_um = self.airborne_um(recipe, wait_s);
        moment
    }

    /// The plate after `minutes` in the box, those of all dustings so far; the waits between them left out.
    pub(super) fn dusted(
        &self,
        grid: &Grid,
        before: &Moment,
        recipe: &Recipe,
        minutes: f64,
        kept: &mut WatchScratch,
    ) -> Moment {
        let copper = self.on_copper(grid);
        let plan = &recipe.dust;
        let solid = self.constants.dust.solid_share;
        let fall_min = FALL_SHARE * plan.dusting_min;
        let all_over = minutes >= plan.dusting_min * plan.dustings;
        // Of several dustings, how many are over, and how long the one at hand has lasted.
        let over = libm::floor(minutes / plan.dusting_min).min(plan.dustings - 1.0);
        let of_this_min = minutes - over * plan.dusting_min;
        let (mut lying, mut falling) = (Vec::new(), Vec::new());
        for grain in self.grains_at(&copper, recipe, kept) {
            let to_go_min = if all_over { 0.0 } else { self.lands_min(plan, grain) - minutes };
            if to_go_min <= 0.0 {
                lying.push(grain.lying(solid));
            } else if to_go_min < fall_min {
                let ball = grain.lying(solid);
                let above_um = (FALL_UM * to_go_min / fall_min) as f32;
                falling.push(Ball { centre_um: ball.centre_um + above_um, ..ball });
            }
        }
        let mut moment = before.clone();
        for ball in &lying {
            cover_disc(&ball.disc, &copper, &mut moment.loose);
        }
        turn_over(&mut moment.loose, grid.width);
        cut_balls(&lying, &copper, &mut moment);
        cut_balls(&falling, &copper, &mut moment);
        let landed = self.dust_of(recipe, plan.wait_s, of_this_min);
        let before_g_per_m2 = if over > 0.0 {
            over * self.dust_of(recipe, plan.wait_s, plan.dusting_min).mass_g_per_m2
        } else {
            0.0
        };
        let numbers = &mut moment.numbers;
        numbers.cloud_g_per_m3 = landed.cloud_plate_out_g_per_m3;
        numbers.airborne_um = self.airborne_um(recipe, plan.wait_s + 60.0 * of_this_min);
        numbers.landed_g_per_m2 = before_g_per_m2 + landed.mass_g_per_m2;
        numbers.cover = mean(moment.loose.iter().copied());
        numbers.grains = lying.iter().filter(|ball| is_inside(ball, &copper)).count();
        moment
    }

    /// The ground after `minutes` on the hot plate.
    pub(super) fn melted(
        &self,
        grid: &Grid,
        before: &Moment,
        recipe: &Recipe,
        minutes: f64,
        kept: &mut WatchScratch,
    ) -> Moment {
        let copper = self.on_copper(grid);
        let warming =
            Warming::new(&recipe.bake, self.plan.plate.thickness_mm, &self.constants.bake);
        let plate_c = warming.plate_c(minutes);
        let soft = plate_c >= self.constants.bake.softening_c;
        let padded = self.round_about(&copper);
        let (domes, baked, ground) = self.melt(recipe, &padded, minutes);
        let solid = self.constants.dust.solid_share;
        let balls: Vec<Ball> = self
            .grains_at(&copper, recipe, kept)
            .iter()
            .filter(|grain| !ground.has_held(grain.drop.volume_um3))
            .map(|grain| if soft { grain.melted(&baked) } else { grain.lying(solid) })
            .collect();
        let mut moment = before.clone();
        for ball in &balls {
            cover_disc(&ball.disc, &copper, &mut moment.loose);
        }
        turn_over(&mut moment.loose, grid.width);
        cut_balls(&balls, &copper, &mut moment);
        set_domes(&domes, &baked, &padded, &copper, &mut moment);
        stand_on(before, &mut moment.side);
        let both = moment.resin.iter().zip(&moment.loose).map(|(&resin, &loose)| resin.max(loose));
        let numbers = &mut moment.numbers;
        numbers.plate_c = plate_c;
        numbers.cover = mean(both);
        numbers.grains = balls.iter().filter(|ball| is_inside(ball, &copper)).count();
        moment
    }

    /// A place of the copper with a little round it: domes are counted from the corner from which the
    /// bath will count them.
    pub(super) fn round_about(&self, copper: &Grid) -> Grid {
        clipped(&copper.grown(2), self.size_px(copper.px_um))
    }

    /// The grains of a place of the copper, drawn once.
    fn grains_at<'a>(
        &self,
        copper: &Grid,
        recipe: &Recipe,
        kept: &'a mut WatchScratch,
    ) -> &'a [LooseGrain] {
        if kept.grains.is_empty() {
            let px_um = f64::from(copper.px_um);
            let landed = dust::land(&recipe.dust, &self.constants.dust);
            let (bake, thickness_mm) = (&recipe.bake, self.plan.plate.thickness_mm);
            let baked = crate::bake::bake(bake, thickness_mm, &self.constants.bake);
            Ground::new(&landed, &baked, recipe.seed).loose_at(
                (copper.left_um(), copper.top_um()),
                (copper.width as f64 * px_um, copper.height as f64 * px_um),
                GRAIN_REACH_UM,
                &mut kept.grains,
            );
        }
        &kept.grains
    }

    /// Minutes in the box after which a grain lands, in the dusting in which its turn comes.
    fn lands_min(&self, plan: &plan::Dust, grain: &LooseGrain) -> f64 {
        let constants = &self.constants.dust;
        let solid = self.constants.dust.solid_share;
        let density = constants.resin_density_kg_per_m3 * solid;
        let velocity = settling_velocity_m_per_s(grain.envelope_um(solid), density, constants);
        let span_s = (plan.wait_s, plan.wait_s + 60.0 * plan.dusting_min);
        let turn = grain.turn * plan.dustings;
        let over = libm::floor(turn);
        let after_s =
            lands_after_s(velocity, span_s, plan.box_height_m, plan.settling, turn - over);
        over * plan.dusting_min + after_s / 60.0
    }

    /// What has landed of one dusting after another wait and other minutes.
    fn dust_of(&self, recipe: &Recipe, wait_s: f64, dusting_min: f64) -> LandedDust {
        let plan = plan::Dust { wait_s, dusting_min, dustings: 1.0, ..recipe.dust.clone() };
        dust::land(&plan, &self.constants.dust)
    }

    /// Size below which lies half the weight still in the air, µm.
    fn airborne_um(&self, recipe: &Recipe, wait_s: f64) -> f64 {
        let air = self.dust_of(recipe, wait_s, ALL_DOWN_MIN);
        let mut sum = 0.0;
        for class in &air.classes {
            sum += class.mass_g_per_m2;
            if sum >= 0.5 * air.mass_g_per_m2 {
                return class.middle_um();
            }
        }
        0.0
    }
}

/// Shows the domes of a ground over `padded`, a raster on the copper, from above and in the cut, heights over the
/// copper they stand on.
pub(super) fn set_domes(
    domes: &[Dome],
    baked: &Baked,
    padded: &Grid,
    copper: &Grid,
    moment: &mut Moment,
) {
    let mut cover = vec![0.0; padded.len()];
    for dome in domes {
        cover_disc(dome, padded, &mut cover);
    }
    for row in 0..copper.height {
        let from = padded.index_of(copper, row);
        moment.resin[row * copper.width..][..copper.width]
            .copy_from_slice(&cover[from..from + copper.width]);
    }
    turn_over(&mut moment.resin, copper.width);
    let off_px = (copper.left_px - padded.left_px) as usize;
    let above_um = (copper.top_px - padded.top_px) as f32 * copper.px_um;
    let row_um = middle_um(copper) + above_um;
    let top_um = &mut moment.side.resin_um;
    for dome in domes.iter().filter(|dome| (dome.y_um - row_um).abs() < dome.radius_um) {
        let height_um = baked.height_um(dome.radius_um);
        raise_cap(dome, dome.y_um - row_um, height_um, off_px, copper.px_um, top_um);
    }
    top_um.reverse();
    let left_um = off_px as f32 * copper.px_um;
    let inside = |dome: &&Dome| {
        (0.0..copper.width as f32 * copper.px_um).contains(&(dome.x_um - left_um))
            && (0.0..copper.height as f32 * copper.px_um).contains(&(dome.y_um - above_um))
    };
    moment.numbers.domes = domes.iter().filter(inside).count();
}

/// Lets the resin of a cut stand on the copper it was laid on.
pub(super) fn stand_on(before: &Moment, side: &mut Side) {
    side.base_um.clone_from(&before.side.copper_um);
    for (top, &base) in side.resin_um.iter_mut().zip(&side.base_um) {
        *top += base;
    }
}

/// Adds the balls that the middle row cuts, as the print shows them: place, height, radius. They lie
/// on the copper that is under them.
fn cut_balls(balls: &[Ball], copper: &Grid, moment: &mut Moment) {
    let (y_um, width_um) = (middle_um(copper), copper.width as f32 * copper.px_um);
    for Ball { disc, centre_um } in balls {
        let off_um = disc.y_um - y_um;
        let half2 = disc.radius_um * disc.radius_um - off_um * off_um;
        if half2 > 0.0 {
            let x_um = width_um - disc.x_um;
            let column = ((x_um / copper.px_um).max(0.0) as usize).min(copper.width - 1);
            let height_um = centre_um + moment.side.copper_um[column];
            moment.side.balls_um.extend([x_um, height_um, half2.sqrt()]);
        }
    }
}

/// Height of the middle row of a raster, µm from its top.
fn middle_um(copper: &Grid) -> f32 {
    ((copper.height / 2) as f32 + 0.5) * copper.px_um
}

fn is_inside(ball: &Ball, copper: &Grid) -> bool {
    (0.0..copper.width as f32 * copper.px_um).contains(&ball.disc.x_um)
        && (0.0..copper.height as f32 * copper.px_um).contains(&ball.disc.y_um)
}
