//! Before the bath: the wait, the fall of the dust, the melt, on copper as flat or as bitten as it is.

use super::{Moment, Side, TimelineScratch, mean, on_copper};
use plate::Plate;
use plate::bake::Baked;
use plate::bake::heat::Warming;
use plate::chain::{GroundRecipe, clipped, cover_disc, raise_cap, turn_over};
use plate::dust::{self, LandedDust, lands_after_s, settling_velocity_m_per_s};
use plate::grid::Grid;
use plate::ground::loose::{Ball, LooseGrain};
use plate::ground::{Dome, Ground, TileCache};

/// A grain is seen falling for this share of the minutes of dusting. It really takes milliseconds.
const FALL_SHARE: f64 = 0.06;
/// Height from which it is seen falling, µm.
const FALL_UM: f64 = 70.0;
/// Minutes after which all dust has come down, whatever the box.
const ALL_DOWN_MIN: f64 = 1e5;
/// Loose grains that reach into a place are looked for this far outside it, µm.
const GRAIN_REACH_UM: f64 = 200.0;

/// The box `wait_s` seconds after stirring, the plate still outside.
pub(super) fn waited(
    plate: &Plate,
    recipe: &GroundRecipe,
    wait_s: f64,
    kept: &TimelineScratch,
) -> Moment {
    let mut moment = kept.before.clone();
    let air = dust_of(plate, recipe, wait_s, 0.0);
    moment.numbers.cloud_g_per_m3 = air.cloud_plate_in_g_per_m3;
    moment.numbers.airborne_um = airborne_um(plate, recipe, wait_s);
    moment
}

/// The plate after `minutes` in the box, those of all dustings so far; the waits between them left out.
pub(super) fn dusted(
    plate: &Plate,
    grid: &Grid,
    recipe: &GroundRecipe,
    minutes: f64,
    kept: &mut TimelineScratch,
) -> Moment {
    let copper = on_copper(plate, grid);
    let plan = recipe.dust();
    let solid = plate.constants().dust.solid_share;
    let fall_min = FALL_SHARE * plan.dusting_min;
    let all_over = minutes >= plan.dusting_min * plan.dustings;
    // Of several dustings, how many are over, and how long the one at hand has lasted.
    let over = libm::floor(minutes / plan.dusting_min).min(plan.dustings - 1.0);
    let of_this_min = minutes - over * plan.dusting_min;
    let (mut lying, mut falling) = (Vec::new(), Vec::new());
    for grain in grains_at(&copper, recipe, &mut kept.grains) {
        let to_go_min = if all_over { 0.0 } else { lands_min(plate, plan, grain) - minutes };
        if to_go_min <= 0.0 {
            lying.push(grain.lying(solid));
        } else if to_go_min < fall_min {
            let ball = grain.lying(solid);
            let above_um = (FALL_UM * to_go_min / fall_min) as f32;
            falling.push(Ball { centre_um: ball.centre_um + above_um, ..ball });
        }
    }
    let mut moment = kept.before.clone();
    for ball in &lying {
        cover_disc(&ball.disc, &copper, &mut moment.loose);
    }
    turn_over(&mut moment.loose, grid.width);
    cut_balls(&lying, &copper, &mut moment);
    cut_balls(&falling, &copper, &mut moment);
    let landed = dust_of(plate, recipe, plan.wait_s, of_this_min);
    let before_g_per_m2 = if over > 0.0 {
        over * dust_of(plate, recipe, plan.wait_s, plan.dusting_min).mass_g_per_m2
    } else {
        0.0
    };
    let numbers = &mut moment.numbers;
    numbers.cloud_g_per_m3 = landed.cloud_plate_out_g_per_m3;
    numbers.airborne_um = airborne_um(plate, recipe, plan.wait_s + 60.0 * of_this_min);
    numbers.landed_g_per_m2 = before_g_per_m2 + landed.mass_g_per_m2;
    numbers.cover = mean(moment.loose.iter().copied());
    numbers.grains = lying.iter().filter(|ball| is_inside(ball, &copper)).count();
    moment
}

/// The ground after `minutes` on the hot plate.
pub(super) fn melted(
    plate: &Plate,
    grid: &Grid,
    recipe: &GroundRecipe,
    minutes: f64,
    kept: &mut TimelineScratch,
) -> Moment {
    let copper = on_copper(plate, grid);
    let constants = &plate.constants().bake;
    let warming = Warming::new(recipe.bake(), plate.plan().plate.thickness_mm, constants);
    let plate_c = warming.plate_c(minutes);
    let soft = plate_c >= constants.softening_c;
    let padded = round_about(plate, &copper);
    let so_far = recipe.taken_off_after(minutes);
    let (baked, ground) = (so_far.baked(), so_far.ground());
    let domes = domes_at(plate, &ground, &padded);
    let solid = plate.constants().dust.solid_share;
    let balls: Vec<Ball> = grains_at(&copper, recipe, &mut kept.grains)
        .iter()
        .filter(|grain| !ground.has_held(grain.drop.volume_um3))
        .map(|grain| if soft { grain.melted(&baked) } else { grain.lying(solid) })
        .collect();
    let mut moment = kept.before.clone();
    for ball in &balls {
        cover_disc(&ball.disc, &copper, &mut moment.loose);
    }
    turn_over(&mut moment.loose, grid.width);
    cut_balls(&balls, &copper, &mut moment);
    set_domes(&domes, &baked, &padded, &copper, &mut moment);
    stand_on(&kept.before, &mut moment.side);
    let both = moment.resin.iter().zip(&moment.loose).map(|(&resin, &loose)| resin.max(loose));
    let numbers = &mut moment.numbers;
    numbers.plate_c = plate_c;
    numbers.cover = mean(both);
    numbers.grains = balls.iter().filter(|ball| is_inside(ball, &copper)).count();
    moment
}

/// A place of the copper with a little round it: domes are counted from the corner from which the
/// bath will count them.
pub(super) fn round_about(plate: &Plate, copper: &Grid) -> Grid {
    clipped(&copper.grown(2), plate.size_px(copper.px_um))
}

/// The domes of a ground at a place, relative to the top left of `grid`, a raster on the copper.
pub(super) fn domes_at(plate: &Plate, ground: &Ground, grid: &Grid) -> Vec<Dome> {
    let mut domes = Vec::new();
    let px_um = f64::from(grid.px_um);
    TileCache::new(0).gather_on(
        plate.extent(),
        ground,
        grid.left_um(),
        grid.top_um(),
        grid.width as f64 * px_um,
        grid.height as f64 * px_um,
        0.0,
        &mut domes,
    );
    domes
}

/// The grains of a place of the copper, drawn once.
fn grains_at<'a>(
    copper: &Grid,
    recipe: &GroundRecipe,
    grains: &'a mut Vec<LooseGrain>,
) -> &'a [LooseGrain] {
    if grains.is_empty() {
        let px_um = f64::from(copper.px_um);
        recipe.ground().loose_at(
            (copper.left_um(), copper.top_um()),
            (copper.width as f64 * px_um, copper.height as f64 * px_um),
            GRAIN_REACH_UM,
            grains,
        );
    }
    grains
}

/// Minutes in the box after which a grain lands, in the dusting in which its turn comes.
fn lands_min(plate: &Plate, plan: &plan::Dust, grain: &LooseGrain) -> f64 {
    let constants = &plate.constants().dust;
    let solid = constants.solid_share;
    let density = constants.resin_density_kg_per_m3 * solid;
    let velocity = settling_velocity_m_per_s(grain.envelope_um(solid), density, constants);
    let span_s = (plan.wait_s, plan.wait_s + 60.0 * plan.dusting_min);
    let turn = grain.turn * plan.dustings;
    let over = libm::floor(turn);
    let after_s = lands_after_s(velocity, span_s, plan.box_height_m, plan.settling, turn - over);
    over * plan.dusting_min + after_s / 60.0
}

/// What has landed of one dusting after another wait and other minutes.
fn dust_of(plate: &Plate, recipe: &GroundRecipe, wait_s: f64, dusting_min: f64) -> LandedDust {
    let plan = plan::Dust { wait_s, dusting_min, dustings: 1.0, ..recipe.dust().clone() };
    dust::land(&plan, &plate.constants().dust)
}

/// Size below which lies half the weight still in the air, µm.
fn airborne_um(plate: &Plate, recipe: &GroundRecipe, wait_s: f64) -> f64 {
    let air = dust_of(plate, recipe, wait_s, ALL_DOWN_MIN);
    let mut sum = 0.0;
    for class in &air.classes {
        sum += class.mass_g_per_m2;
        if sum >= 0.5 * air.mass_g_per_m2 {
            return class.middle_um();
        }
    }
    0.0
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
