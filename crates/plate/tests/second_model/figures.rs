//! Figures of others that the joined chain is held against, each with its source. Those that do not hold, and
//! those that other tests hold, stand in tests/reference/ROWS.md.

use super::piece::{Piece, plan_of};
use crate::common::plate_of;
use plan::Plan;

fn minutes_darkest(plan: &Plan) -> f64 {
    plate_of(plan).look().tone_curve().darkest_min
}

#[test]
fn deep_black_comes_just_before_the_open_bite_at_24_minutes() {
    // C. Mitjà, Heliogravure VIII, 2017: deep black at 24 min, 20 °C. Through gelatine, so an upper bound; the
    // rate is fitted to it.
    let mut plan = Plan::default();
    let minutes = minutes_darkest(&plan);
    assert!((minutes / 24.0 - 1.0).abs() < 0.15, "darkest at {minutes} min");
    // Just before the open bite: a third longer and the ground has broken down.
    plan.calibration.insert("bite.open_share_power".to_owned(), 0.0);
    let piece = Piece::of(plan);
    let (at, darkest) = piece.darkest();
    let longer = piece.lightness_at(&[1.35 * at])[0];
    assert!(longer > darkest + 3.0, "L* {darkest} at {at} min, {longer} a third later");
}

#[test]
fn sixty_forty_bites_a_quarter_of_an_hour_and_a_second_layer_goes_deeper() {
    // Zea Mays Printmaking, acrylic manière noire 1: a ground of 60/40, 38 °Bé, 15 min; a second layer of dots gives
    // a richer, deeper black.
    let (mut once, mut twice) = (Plan::default(), Plan::default());
    once.dust.powder_g_per_m2 *= 1.3;
    twice.dust.powder_g_per_m2 *= 2.0;
    for plan in [&mut once, &mut twice] {
        plan.bath.strength_be = 38.0;
    }
    let one = Piece::of(once.clone());
    assert!((one.cover - 0.60).abs() < 0.03, "cover {}", one.cover);
    let at_15 = one.lightness_at(&[15.0])[0];
    assert!((22.0..38.0).contains(&at_15), "a black of L* {at_15} after 15 min");
    let (one, two) = (one.darkest(), Piece::of(twice).darkest());
    assert!(two.1 < one.1, "richer with a second layer: {two:?} against {one:?}");
    assert!(two.0 > one.0, "and later: {two:?} against {one:?}");
}

#[test]
fn at_once_after_the_fan_gives_a_coarse_grain_and_a_minute_later_a_fine_one() {
    // Blaney, Photogravure, 1895: the plate in at once, 2 min, an 18 in box: a good all-round, coarse grain.
    // Photography (encyclopaedia), s.v. collotype and photo-engraving: "a minute or so" before it goes in gives a fine
    // grain, at once a coarser; the longer in the box, the finer.
    let boxed = |wait_s: f64, dusting_min: f64| {
        Piece::of(plan_of(|plan| {
            plan.dust.box_height_m = 0.45;
            (plan.dust.wait_s, plan.dust.dusting_min) = (wait_s, dusting_min);
        }))
    };
    let (at_once, minute) = (boxed(0.0, 2.0), boxed(60.0, 2.0));
    let mean_um = |piece: &Piece| piece.landed.mass_g_per_m2 / piece.landed.grains_per_mm2;
    assert!(
        at_once.footprint_um > 1.2 * minute.footprint_um,
        "{} and {} µm",
        at_once.footprint_um,
        minute.footprint_um
    );
    assert!(mean_um(&at_once) > mean_um(&minute), "heavier grains at once");
    let longer = boxed(0.0, 10.0);
    assert!(mean_um(&longer) < mean_um(&at_once), "the longer in the box, the finer");
}

#[test]
fn heated_too_long_the_resin_becomes_a_solid_coating() {
    // Photography (encyclopaedia), s.v. photo-engraving: heated too long the resin "melted and formed a solid coating";
    // Blaney 1895: an "impenetrable varnish"; Musashino Art University glossary: too much rosin closes the plate.
    // Our drift ends at a rest angle of 10°, so the example's dust comes to 0.90 (ROWS.md); what a fuller dusting
    // covers is a sheet.
    let hot = |times: f64| {
        Piece::of(plan_of(|p| {
            p.dust.powder_g_per_m2 *= times;
            (p.bake.hot_plate_c, p.bake.bake_min) = (190.0, 20.0);
        }))
    };
    let (once, fuller) = (hot(1.0).cover, hot(1.5).cover);
    println!("20 min at 190 °C: cover {once:.3}, of half as much again {fuller:.3}");
    assert!((once - 0.90).abs() < 0.02, "cover {once}");
    let hot = hot(1.5);
    assert!(hot.cover > 0.95, "cover {}", hot.cover);
    let l = hot.lightness_at(&[0.0, 10.0]);
    assert!(l[1] > l[0] - 10.0, "it hardly bites: {l:?}");
    let words = hot.baked.verdict(&hot.landed, &plate::bake::BakeConstants::default()).1;
    assert!(words.contains("varnish"), "{words}");
}

#[test]
fn a_loaded_bath_takes_three_times_as_long() {
    // Fortex, etchant FAQ: with dissolved copper 60–70 s become over 3 min. By stoichiometry the speed falls to a third
    // at about two thirds of what the bath can take.
    let constants = plate::bite::BiteConstants::default();
    let takes = |copper| 1.0 / plate::bite::rate::copper_factor(40.0, copper, &constants);
    assert!(takes(66.0) > 2.75 && takes(60.0) < 3.0, "{} times at 66 g/L", takes(66.0));
}

#[test]
fn a_weaker_bath_is_faster() {
    // Sharpe & Garn, Ind. Eng. Chem. 1959: 2.25 M ferric faster than 3.75 M (31.5 and 45 °Bé).
    let minutes = |be: f64| minutes_darkest(&plan_of(|plan| plan.bath.strength_be = be));
    let (weak, strong) = (minutes(31.5), minutes(45.0));
    assert!(weak < 0.85 * strong, "{weak} and {strong} min to the darkest");
}

#[test]
fn lines_etched_for_an_hour_are_deep() {
    // City College of San Francisco, printmaking notes: lines etched 60–90 min at 42–45 °Bé are deep; Bodleian ARCHiOx,
    // Rawl. g.21: an "extremely shallow" etched line measures 29 µm. So an hour must go well below 29 µm.
    let bath = plan::Bath { strength_be: 43.5, ..plan::Bath::default() };
    let constants = plate::bite::BiteConstants::default();
    for minutes in [60.0, 90.0] {
        let um = plate::bite::line_dose_um(&bath, minutes, &constants);
        assert!((45.0..120.0).contains(&um), "{um} µm after {minutes} min");
    }
}

#[test]
fn ink_lies_as_thick_as_measured() {
    // Kyrychok, KPI bulletin: intaglio layers of 7–30 µm in the darks. The mean over plain ground of the example's three
    // darkest values, pits and lands together, is somewhat below what the pits alone hold.
    let values = plate_of(&Plan::default()).look().values();
    for value in &values[values.len() - 3..] {
        let in_pits = value.held_um / (1.0 - value.land).max(1e-9);
        println!("value {}: {:.1} µm held in the pits", value.index, in_pits);
        assert!((5.0..30.0).contains(&in_pits), "value {}: {in_pits} µm", value.index);
    }
}

#[test]
fn a_tank_of_half_an_hour_is_just_past_the_darkest() {
    // Zea Mays Printmaking, wash-ground test 4: an acrylic spray ground, 37 °Bé, 72 °F, vertical tank, 30 min: no open
    // biting. Ours is a little past its darkest by then (ROWS.md).
    let piece = Piece::of(plan_of(|plan| {
        (plan.bath.strength_be, plan.bath.temperature_c) = (37.0, 22.0);
        plan.bath.agitation = plan::Agitation::StillFaceDown;
    }));
    let (at, darkest) = piece.darkest();
    let l = piece.lightness_at(&[30.0])[0];
    println!("darkest at {at} min, L* {darkest:.1}; after 30 min {l:.1}");
    assert!(at > 20.0 && at < 30.0, "darkest at {at} min");
    assert!(l < darkest + 5.0, "L* {l} after 30 min, {darkest} at the darkest");
}
