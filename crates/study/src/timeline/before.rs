//! Before the bath: the wait, the fall of the dust, the melt.

use super::{Moment, TimelineScratch, bare, cut_balls, mean, on_copper};
use plate::Plate;
use plate::bake::heat::Warming;
use plate::bake::{self, Baked};
use plate::chain::{clipped, cover_disc, raise_cap, turn_over};
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
pub(super) fn waited(plate: &Plate, grid: &Grid, wait_s: f64) -> Moment {
    let mut moment = bare(grid);
    moment.numbers.cloud_g_per_m3 = dust_of(plate, wait_s, 0.0).cloud_plate_in_g_per_m3;
    moment.numbers.airborne_um = airborne_um(plate, wait_s);
    moment
}

/// The plate after `minutes` in the box.
pub(super) fn dusted(
    plate: &Plate,
    grid: &Grid,
    minutes: f64,
    kept: &mut TimelineScratch,
) -> Moment {
    let copper = on_copper(plate, grid);
    let plan = &plate.plan().dust;
    let solid = plan.solid_fraction;
    let fall_min = FALL_SHARE * plan.dusting_min;
    let all_over = minutes >= plan.dusting_min;
    let (mut lying, mut falling) = (Vec::new(), Vec::new());
    for grain in grains_at(plate, &copper, kept) {
        let to_go_min = if all_over { 0.0 } else { lands_min(plate, grain) - minutes };
        if to_go_min <= 0.0 {
            lying.push(grain.lying(solid));
        } else if to_go_min < fall_min {
            let ball = grain.lying(solid);
            let above_um = (FALL_UM * to_go_min / fall_min) as f32;
            falling.push(Ball { centre_um: ball.centre_um + above_um, ..ball });
        }
    }
    let mut moment = bare(grid);
    for ball in &lying {
        cover_disc(&ball.disc, &copper, &mut moment.loose);
    }
    turn_over(&mut moment.loose, grid.width);
    let (y_um, width_um) = middle_of(&copper);
    let balls_um = &mut moment.side.balls_um;
    cut_balls(&lying, y_um, width_um, balls_um);
    cut_balls(&falling, y_um, width_um, balls_um);
    let landed = dust_of(plate, plan.wait_s, minutes);
    let numbers = &mut moment.numbers;
    numbers.cloud_g_per_m3 = landed.cloud_plate_out_g_per_m3;
    numbers.airborne_um = airborne_um(plate, plan.wait_s + 60.0 * minutes);
    numbers.landed_g_per_m2 = landed.mass_g_per_m2;
    numbers.cover = mean(moment.loose.iter().copied());
    numbers.grains = lying.iter().filter(|ball| is_inside(ball, &copper)).count();
    moment
}

/// The ground after `minutes` on the hot plate.
pub(super) fn melted(
    plate: &Plate,
    grid: &Grid,
    minutes: f64,
    kept: &mut TimelineScratch,
) -> Moment {
    let copper = on_copper(plate, grid);
    let warming =
        Warming::new(&plate.plan().bake, plate.plan().plate.thickness_mm, &plate.constants().bake);
    let plate_c = warming.plate_c(minutes);
    let soft = plate_c >= plate.constants().bake.softening_c;
    // Domes as the bath will see them, counted from the same corner.
    let padded = clipped(&copper.grown(2), plate.size_px(grid.px_um));
    let (domes, baked, ground) = melt(plate, &padded, minutes);
    let solid = plate.plan().dust.solid_fraction;
    let balls: Vec<Ball> = grains_at(plate, &copper, kept)
        .iter()
        .filter(|grain| !ground.has_held(grain.drop.volume_um3))
        .map(|grain| if soft { grain.melted(&baked) } else { grain.lying(solid) })
        .collect();
    let mut moment = bare(grid);
    for ball in &balls {
        cover_disc(&ball.disc, &copper, &mut moment.loose);
    }
    turn_over(&mut moment.loose, grid.width);
    let mut cover = vec![0.0; padded.len()];
    for dome in &domes {
        cover_disc(dome, &padded, &mut cover);
    }
    for row in 0..grid.height {
        let from = padded.index_of(&copper, row);
        moment.resin[row * grid.width..][..grid.width]
            .copy_from_slice(&cover[from..from + grid.width]);
    }
    turn_over(&mut moment.resin, grid.width);
    let (y_um, width_um) = middle_of(&copper);
    cut_balls(&balls, y_um, width_um, &mut moment.side.balls_um);
    let off_px = (copper.left_px - padded.left_px) as usize;
    let row_um = y_um + (copper.top_px - padded.top_px) as f32 * grid.px_um;
    for dome in domes.iter().filter(|dome| (dome.y_um - row_um).abs() < dome.radius_um) {
        let height_um = baked.height_um(dome.radius_um);
        let top_um = &mut moment.side.resin_um;
        raise_cap(dome, dome.y_um - row_um, height_um, off_px, grid.px_um, top_um);
    }
    moment.side.resin_um.reverse();
    let (left_um, above_um) =
        (off_px as f32 * grid.px_um, (copper.top_px - padded.top_px) as f32 * grid.px_um);
    let inside = |dome: &Dome| {
        (0.0..width_um).contains(&(dome.x_um - left_um))
            && (0.0..copper.height as f32 * grid.px_um).contains(&(dome.y_um - above_um))
    };
    let both = moment.resin.iter().zip(&moment.loose).map(|(&resin, &loose)| resin.max(loose));
    let numbers = &mut moment.numbers;
    numbers.plate_c = plate_c;
    numbers.cover = mean(both);
    numbers.grains = balls.iter().filter(|ball| is_inside(ball, &copper)).count();
    numbers.domes = domes.iter().filter(|dome| inside(dome)).count();
    moment
}

/// The grains of a place of the copper, drawn once.
fn grains_at<'a>(plate: &Plate, copper: &Grid, kept: &'a mut TimelineScratch) -> &'a [LooseGrain] {
    if kept.grains.is_empty() {
        let px_um = f64::from(copper.px_um);
        plate.ground().ground().loose_at(
            (copper.left_um(), copper.top_um()),
            (copper.width as f64 * px_um, copper.height as f64 * px_um),
            GRAIN_REACH_UM,
            &mut kept.grains,
        );
    }
    &kept.grains
}

/// Minutes after the plate goes in at which a grain lands.
fn lands_min(plate: &Plate, grain: &LooseGrain) -> f64 {
    let (plan, constants) = (&plate.plan().dust, &plate.constants().dust);
    let solid = plan.solid_fraction;
    let density = constants.resin_density_kg_per_m3 * solid;
    let velocity = settling_velocity_m_per_s(grain.envelope_um(solid), density, constants);
    let span_s = (plan.wait_s, plan.wait_s + 60.0 * plan.dusting_min);
    lands_after_s(velocity, span_s, plan.box_height_m, plan.settling, grain.turn) / 60.0
}

/// What has landed after another wait and other minutes.
fn dust_of(plate: &Plate, wait_s: f64, dusting_min: f64) -> LandedDust {
    let plan = plan::Dust { wait_s, dusting_min, ..plate.plan().dust.clone() };
    dust::land(&plan, &plate.constants().dust)
}

/// Size below which lies half the weight still in the air, µm.
fn airborne_um(plate: &Plate, wait_s: f64) -> f64 {
    let air = dust_of(plate, wait_s, ALL_DOWN_MIN);
    let mut sum = 0.0;
    for class in &air.classes {
        sum += class.mass_g_per_m2;
        if sum >= 0.5 * air.mass_g_per_m2 {
            return class.middle_um();
        }
    }
    0.0
}

/// The domes at a place after `bake_min` minutes on the hot plate, relative to the top left of
/// `grid`, a raster on the copper; with the bake and the ground so far.
fn melt(plate: &Plate, grid: &Grid, bake_min: f64) -> (Vec<Dome>, Baked, Ground) {
    let plan = plate.plan();
    let bake = plan::Bake { bake_min, ..plan.bake.clone() };
    let baked = bake::bake(&bake, plan.plate.thickness_mm, &plate.constants().bake);
    let ground = Ground::new(plate.landed(), &baked, plan.seed);
    let mut domes = Vec::new();
    let px_um = f64::from(grid.px_um);
    TileCache::new(0).gather_on(
        plate.extent(),
        &ground,
        grid.left_um(),
        grid.top_um(),
        grid.width as f64 * px_um,
        grid.height as f64 * px_um,
        0.0,
        &mut domes,
    );
    (domes, baked, ground)
}

/// Height of the middle row, and the width, of a raster: µm from its top left.
fn middle_of(copper: &Grid) -> (f32, f32) {
    (((copper.height / 2) as f32 + 0.5) * copper.px_um, copper.width as f32 * copper.px_um)
}

fn is_inside(ball: &Ball, copper: &Grid) -> bool {
    (0.0..copper.width as f32 * copper.px_um).contains(&ball.disc.x_um)
        && (0.0..copper.height as f32 * copper.px_um).contains(&ball.disc.y_um)
}
