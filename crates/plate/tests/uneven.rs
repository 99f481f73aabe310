//! The uneven plate: at nought the plate of today to the last bit, more with size, the same in every window, resin kept.

use crate::common::{Everywhere, Seen, plate_with};
use plan::Plan;
use plate::chain::{Field, GroundRecipe};
use plate::constants::{Constants, UNEVEN};
use plate::grid::Grid;

fn plan_with(constants: &[(&str, f64)]) -> Plan {
    let calibration = constants.iter().map(|(key, value)| ((*key).to_owned(), *value)).collect();
    Plan { calibration, ..Plan::default() }
}

fn seen(constants: &[(&str, f64)]) -> Seen {
    plate_with(&plan_with(constants), Everywhere::value(7, 4))
}

const PX_UM: f32 = 5.0;

fn window_at((x_mm, y_mm): (f64, f64), width: usize, height: usize) -> Grid {
    let px = |mm: f64| libm::round(mm * 1000.0 / f64::from(PX_UM)) as i64;
    Grid { left_px: px(x_mm), top_px: px(y_mm), width, height, px_um: PX_UM }
}

fn cover(seen: &mut Seen, at: (f64, f64)) -> f64 {
    let pixels = seen.look().field_window(&window_at(at, 400, 400), Field::Cover).pixels;
    pixels.iter().map(|&one| f64::from(one)).sum::<f64>() / pixels.len() as f64
}

#[test]
fn all_of_it_is_off_at_first() {
    let all = Constants::catalogue();
    for key in UNEVEN {
        let info = all.iter().find(|info| info.key == key).expect("a constant");
        let off = info.default == 0.0 && info.min == 0.0;
        // These say how far and how long, of what is off.
        let of_others = ["dust.wall_reach_mm", "bite.between_bites_min"].contains(&key);
        assert!(off || of_others, "{key} is {}", info.default);
    }
}

#[test]
fn at_nought_it_is_the_plate_of_today() {
    let nought = [
        ("dust.uneven_share", 0.0),
        ("dust.wall_loss", 0.0),
        ("dust.wall_reach_mm", 80.0),
        ("bake.edge_cooler_c", 0.0),
        ("bite.cooling_per_h", 0.0),
    ];
    let (mut one, mut other) = (seen(&nought), seen(&[]));
    assert_eq!(one.session(), other.session(), "the bath");
    for at in [(0.5, 0.5), (70.0, 90.0)] {
        let grid = window_at(at, 200, 200);
        for field in [Field::Cover, Field::Reflectance] {
            let pixels = [&mut one, &mut other].map(|seen| {
                let pixels = seen.look().field_window(&grid, field).pixels;
                pixels.into_iter().map(f32::to_bits).collect::<Vec<_>>()
            });
            assert_eq!(pixels[0], pixels[1], "{field:?} at {at:?}");
        }
    }
}

#[test]
fn walls_thin_the_dust_towards_the_edges_and_no_farther() {
    let mut even = seen(&[]);
    let (edge, middle) = ((1.0, 100.0), (70.0, 100.0));
    let sound = cover(&mut even, edge);
    let mut before = sound;
    for loss in [0.1, 0.3, 0.6] {
        let mut walls = seen(&[("dust.wall_loss", loss)]);
        let now = cover(&mut walls, edge);
        assert!(now < before - 0.005, "a loss of {loss}: {now} after {before}");
        assert!((cover(&mut walls, middle) - cover(&mut even, middle)).abs() < 1e-6, "the middle");
        before = now;
    }
    let mut far = seen(&[("dust.wall_loss", 0.6), ("dust.wall_reach_mm", 200.0)]);
    assert!(cover(&mut far, middle) < cover(&mut even, middle) - 0.01, "by far walls");
}

/// Resin in some tiles of a ground, µm³, and of the tile with least and with most.
fn resin(plan: &Plan) -> (f64, f64, f64) {
    let ground = GroundRecipe::of_plan(plan).expect("a sound calibration").ground();
    let across = (150_000.0 / ground.tile_um()) as i32;
    let down = (200_000.0 / ground.tile_um()) as i32;
    let step = (across / 8).max(1);
    let (mut sum, mut least, mut most) = (0.0, f64::MAX, 0.0_f64);
    for ix in (0..across).step_by(step as usize) {
        for iy in (0..down).step_by(step as usize) {
            let tile = ground.tile(ix, iy).volumes_um3.iter().sum::<f64>();
            sum += tile;
            (least, most) = (least.min(tile), most.max(tile));
        }
    }
    (sum, least, most)
}

#[test]
fn uneven_dust_is_moved_and_not_lost() {
    let mut spread = 1.0;
    for share in [0.1, 0.3, 0.5] {
        let (_, least, most) = resin(&plan_with(&[("dust.uneven_share", share)]));
        assert!(most / least > 1.05 * spread, "{share}: from {least} to {most}");
        spread = most / least;
        // On the mean of some plates it is the dust of the even one.
        let plates = (1..=8).map(|seed| {
            let plan = Plan { seed, ..plan_with(&[("dust.uneven_share", share)]) };
            resin(&plan).0 / resin(&Plan { seed, ..Plan::default() }).0
        });
        let mean = plates.sum::<f64>() / 8.0;
        assert!((mean - 1.0).abs() < 0.35 * share, "{share}: {mean} of the dust");
    }
}

#[test]
fn cooler_edges_stand_steeper_and_keep_their_resin() {
    let tile = |cooler_c: f64, at: (f64, f64)| {
        let plan = plan_with(&[("bake.edge_cooler_c", cooler_c)]);
        let ground = GroundRecipe::of_plan(&plan).expect("a sound calibration").ground();
        let place = |mm: f64| libm::floor(mm * 1000.0 / ground.tile_um()) as i32;
        ground.tile(place(at.0), place(at.1))
    };
    let area = |tile: &plate::ground::GroundTile| {
        tile.domes.iter().map(|dome| f64::from(dome.radius_um * dome.radius_um)).sum::<f64>()
    };
    let even = tile(0.0, (2.0, 100.0));
    let mut before = area(&even);
    for cooler_c in [5.0, 12.0, 20.0] {
        let edge = tile(cooler_c, (2.0, 100.0));
        assert!(area(&edge) < before, "{cooler_c} °C cooler: {} after {before}", area(&edge));
        assert_eq!(edge.volumes_um3, even.volumes_um3, "the same resin");
        before = area(&edge);
    }
    let (mild, sound) = (tile(20.0, (75.0, 100.0)), tile(0.0, (75.0, 100.0)));
    assert!((area(&mild) / area(&sound) - 1.0).abs() < 0.01, "the middle is as set");
}

#[test]
fn windows_agree_with_each_other() {
    let mut seen =
        seen(&[("dust.uneven_share", 0.4), ("dust.wall_loss", 0.5), ("bake.edge_cooler_c", 10.0)]);
    let (wide, part) = (window_at((3.0, 4.0), 320, 320), window_at((3.4, 4.6), 120, 90));
    for field in [Field::Cover, Field::Depth, Field::Reflectance] {
        let unlike = seen.unlike_within(&wide, &part, field);
        assert!(unlike <= 2, "{field:?}: {unlike} pixels differ");
    }
}

#[test]
fn another_seed_is_another_fall() {
    let of = |seed| {
        let plan = Plan { seed, ..plan_with(&[("dust.uneven_share", 0.4)]) };
        let even = Plan { seed, ..Plan::default() };
        resin(&plan).2 / resin(&even).2
    };
    assert!((of(1) - of(2)).abs() > 1e-3, "{} {}", of(1), of(2));
}
