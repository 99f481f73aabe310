//! What must hold as behaviour: second-model.md, one line of it a test.

use super::piece::{Piece, plan_of};
use crate::common::plate_of;
use plan::Plan;
use plate::bake;
use plate::constants::Constants;
use plate::dust;
use plate::ground::{Ground, MeltScratch};

fn piece(change: impl Fn(&mut Plan)) -> Piece {
    Piece::of(plan_of(change))
}

fn powder(times: f64) -> Piece {
    piece(|plan| plan.dust.powder_g_per_m2 *= times)
}

#[test]
fn cover_rises_with_powder_and_with_dustings_without_a_ceiling() {
    for (what, covers) in [
        ("powder", [0.5, 1.0, 1.5, 2.0, 3.0, 4.0].map(|times| powder(times).cover)),
        (
            "dustings",
            [1.0, 2.0, 3.0, 4.0, 5.0, 6.0].map(|k| piece(|plan| plan.dust.dustings = k).cover),
        ),
    ] {
        println!("{what}: {covers:.3?}");
        assert!(covers.is_sorted(), "more {what}, more cover: {covers:?}");
        assert!(covers[5] > 0.92, "{what} closes the plate: {covers:?}");
    }
}

/// Domes per mm², and the share of the resin that has come to its rest on the copper, of a piece of 3 mm.
fn domes(hot_plate_c: f64, bake_min: f64) -> (f64, f64) {
    let plan = plan_of(|plan| {
        (plan.bake.hot_plate_c, plan.bake.bake_min) = (hot_plate_c, bake_min);
    });
    let constants = Constants::default();
    let landed = dust::land(&plan.dust, &constants.dust);
    let baked = bake::bake(&plan.bake, plan.plate.thickness_mm, &constants.bake);
    let ground = Ground::new(&landed, &baked, plan.seed);
    let tile = ground.patch((0, 0), 30, 250.0, &mut MeltScratch::default());
    let footprint = &baked.last_step().footprint;
    let at_rest = |um: f64| {
        let volume = core::f64::consts::PI / 6.0 * um * um * um;
        footprint.of_volume(volume).1 < baked.last_step().rest_angle_deg + 5.0
    };
    let all: f64 = landed.classes.iter().map(|class| class.mass_g_per_m2).sum();
    let melted: f64 = landed
        .classes
        .iter()
        .filter(|class| at_rest(class.middle_um()))
        .map(|class| class.mass_g_per_m2)
        .sum();
    (tile.domes.len() as f64 / 9.0, melted / all)
}

#[test]
fn two_bakes_that_differ_by_little_have_nearly_as_many_domes() {
    // A tenth of a minute, or 2 °C: no more than a third, except where the grain is still melting.
    let by_minutes: Vec<_> = (5..=60).map(|i| (125.0, 0.1 * f64::from(i))).collect();
    let by_heat: Vec<_> = (30..=110).map(|i| (2.0 * f64::from(i), 10.0)).collect();
    for ladder in [by_minutes, by_heat] {
        let mut before: Option<(f64, f64)> = None;
        let mut compared = 0;
        for &(hot_plate_c, bake_min) in &ladder {
            let now = domes(hot_plate_c, bake_min);
            println!(
                "{hot_plate_c} °C, {bake_min:.1} min: {:.0} domes/mm², {:.2} melted",
                now.0, now.1
            );
            if let Some(before) = before.filter(|before| before.1 > 0.95) {
                let ratio = now.0 / before.0;
                let within = (2.0 / 3.0..=4.0 / 3.0).contains(&ratio);
                assert!(
                    within,
                    "{hot_plate_c} °C, {bake_min:.1} min: {ratio:.2} times as many domes"
                );
                compared += 1;
            }
            before = Some(now);
        }
        assert!(compared > 30, "{compared} steps compared");
    }
}

#[test]
fn a_closed_plate_prints_pale() {
    let half = piece(|_| ());
    let closed = powder(3.1);
    assert!((closed.cover - 0.90).abs() < 0.015, "cover {}", closed.cover);
    let (half_l, closed_l) = (half.lightness_at(&[9.0])[0], closed.lightness_at(&[9.0])[0]);
    println!("after nine minutes: L* {half_l:.1} half covered, {closed_l:.1} at 0.9");
    assert!(closed_l > half_l + 12.0, "in the same bath: {closed_l} and {half_l}");
    let (half_l, closed_l) = (half.lightness(&[9.0])[0], closed.lightness(&[9.0])[0]);
    println!("9 µm deep: L* {half_l:.1} half covered, {closed_l:.1} at 0.9");
    // second-model.md says 27; its table has 72 and 45, each ± 3.
    assert!(closed_l > half_l + 24.0, "27 at the same depth: {closed_l} and {half_l}");
    let shut = powder(6.6);
    assert!((0.965..0.995).contains(&shut.cover), "cover {}", shut.cover);
    let l = shut.lightness_at(&[0.0, 9.0, 20.0]);
    println!("cover {:.3}: L* {l:.1?} after 0, 9 and 20 min", shut.cover);
    // What little lies open bites 1.6 times as fast.
    assert!(l[1] > l[0] - 13.0, "at 0.98 it hardly bites: {l:?}");
    assert!(l[1] > half.lightness_at(&[9.0])[0] + 33.0, "far from the usual ground: {l:?}");
}

#[test]
fn a_thin_ground_is_darkest_sooner_and_paler() {
    let (thin, half) = (powder(0.5), piece(|_| ()));
    assert!((thin.cover - 0.30).abs() < 0.03, "cover {}", thin.cover);
    let (thin, half) = (thin.darkest(), half.darkest());
    println!("darkest: {thin:?} at cover 0.3, {half:?} at 0.5");
    assert!(thin.0 < half.0 - 3.0, "{} min and {} min", thin.0, half.0);
    assert!(thin.1 > half.1 + 5.0, "L* {} and {}", thin.1, half.1);
}

#[test]
fn the_example_is_darkest_where_a_printmaker_finds_it() {
    let curve = plate_of(&Plan::default()).look().tone_curve();
    let darkest_l = curve.lightness.iter().fold(f64::INFINITY, |a, &l| a.min(l));
    println!("darkest at {:.1} min, L* {darkest_l:.1}", curve.darkest_min);
    assert!((20.0..=28.0).contains(&curve.darkest_min), "{} min", curve.darkest_min);
    assert!((20.0..=30.0).contains(&darkest_l), "L* {darkest_l}");
}

#[test]
fn the_shortest_bites_differ_from_paper() {
    // Common practice: palest tint from 10–30 s.
    let l = piece(|_| ()).lightness_at(&[0.0, 0.25, 0.5]);
    println!("paper, 15 s, 30 s: L* {l:.2?}");
    assert!(l[0] - l[1] >= 0.7, "15 s: {l:?}");
    assert!(l[0] - l[2] >= 1.5, "30 s: {l:?}");
}

#[test]
fn coarser_powder_alone_gives_a_coarser_grain() {
    let footprints =
        [30.0, 45.0, 60.0, 80.0, 110.0].map(|um| piece(|p| p.dust.median_um = um).footprint_um);
    println!("{footprints:.1?}");
    assert!(footprints.is_sorted(), "{footprints:?}");
}

#[test]
fn a_longer_wait_at_equal_cover_gives_a_finer_grain_that_breaks_down_sooner() {
    let pieces = [(30.0, 1.0), (60.0, 2.0), (120.0, 5.0)]
        .map(|(wait_s, k)| piece(|p| (p.dust.wait_s, p.dust.dustings) = (wait_s, k)));
    let darkest = pieces.each_ref().map(Piece::darkest);
    for i in 1..3 {
        let (sooner, later) = (&pieces[i - 1], &pieces[i]);
        println!(
            "{:.0} µm, {:?}; {:.0} µm, {:?}",
            sooner.footprint_um,
            darkest[i - 1],
            later.footprint_um,
            darkest[i]
        );
        assert!((sooner.cover - later.cover).abs() < 0.03, "{} and {}", sooner.cover, later.cover);
        assert!(later.footprint_um < sooner.footprint_um, "finer after a longer wait");
        assert!(darkest[i].0 < darkest[i - 1].0, "darkest earlier: {darkest:?}");
        assert!(darkest[i].1 > darkest[i - 1].1, "and paler: {darkest:?}");
    }
}

#[test]
fn the_openness_of_the_ground_hastens_the_bath_but_changes_no_tone_by_depth() {
    let with = |power: f64| {
        let mut plan = Plan::default();
        plan.dust.powder_g_per_m2 *= 2.0;
        plan.calibration.insert("bite.open_share_power".to_owned(), power);
        let plate = plate_of(&plan);
        plate.session().rate_um_per_min[0]
    };
    let (even, usual, held) = (with(0.0), with(0.3), with(1.0));
    let open = powder(2.0).open_share();
    println!("open {open:.3}: {even:.3}, {usual:.3}, {held:.3} µm/min");
    assert!((usual / even - (0.5 / open).powf(0.3)).abs() < 0.03, "m 0.3: {usual} over {even}");
    assert!((held / even - 0.5 / open).abs() < 0.12, "m 1: {held} over {even}");
}
