//! Draws: what the usual wobble and the constants' ranges leave open.

use crate::common;

use common::Everywhere;
use plan::Plan;
use plate::{Job, Plate, Renderer};
use std::sync::Arc;
use study::tolerance::{CalibratedLimits, Draws, Spread, tolerance};

fn small_plan() -> Plan {
    let mut plan = Plan::default();
    plan.bites.truncate(3);
    plan.picture.thresholds_l.truncate(3);
    plan
}

fn bands_of(plan: &Plan, spread: Spread) -> Draws {
    let areas = Arc::new(Everywhere::value(plan.bites.len(), 1));
    let plate = Plate::of(&Job::new(plan.clone(), areas)).expect("a sound plan");
    Draws::of(&plate, spread).expect("a sound plan")
}

fn draws(of: &mut Draws, numbers: std::ops::Range<u32>) -> Vec<f64> {
    let mut renderer = Renderer::default();
    numbers.flat_map(|number| of.draw(number, &mut renderer).expect("a sound draw")).collect()
}

#[test]
fn a_draw_is_the_same_whoever_makes_it_and_whenever() {
    let plan = small_plan();
    let mut one = bands_of(&plan, Spread::Wobble);
    let mut other = bands_of(&plan, Spread::Wobble);
    let whole = draws(&mut one, 0..6);
    let late = draws(&mut other, 3..6);
    assert_eq!(whole[3 * 4..], late, "draws 3 to 5, to the last bit");
    assert!(whole.chunks(4).all(|draw| draw[0] == whole[0]), "the paper never wobbles");
    assert!(whole[1] != whole[5], "the values do");
}

#[test]
fn ranges_are_wider_than_the_wobble_and_a_calibration_narrower_than_ranges() {
    let plan = small_plan();
    let width = |spread: Spread| {
        let found = tolerance(&draws(&mut bands_of(&plan, spread), 0..24), 4);
        found[2].light_l - found[2].dark_l
    };
    let limits =
        CalibratedLimits { keys: vec!["bite.rate_um_per_min".to_owned()], ln_factor: vec![0.025] };
    let (wobble, calibrated, ranges) =
        (width(Spread::Wobble), width(Spread::Calibrated(limits)), width(Spread::Ranges));
    // chain.md: near 3 min the print darkens by about 6 L* a minute, so ±10 s twice, ±1 °C (3 %)
    // and the cover leave about ±2.
    assert!((1.0..7.0).contains(&wobble), "the wobble leaves {wobble} L*");
    assert!(
        calibrated < 0.6 * ranges && ranges > 2.0 * wobble,
        "{wobble}, {calibrated}, {ranges} L*"
    );
}

#[test]
fn constants_that_hang_together_are_drawn_together() {
    let plan = small_plan();
    let keys = vec!["bite.rate_um_per_min".to_owned(), "ink.absorption_per_um".to_owned()];
    let width = |ln_factor: Vec<f64>| {
        let limits = CalibratedLimits { keys: keys.clone(), ln_factor };
        let found = tolerance(&draws(&mut bands_of(&plan, Spread::Calibrated(limits)), 0..24), 4);
        found[2].light_l - found[2].dark_l
    };
    // A faster bath with paler ink prints much the same; a faster bath with stronger ink does not.
    let (against, along) = (width(vec![0.2, 0.0, -0.2, 0.0]), width(vec![0.2, 0.0, 0.2, 0.0]));
    assert!(against < 0.6 * along, "{against} and {along} L*");
}

#[test]
fn a_constant_whose_range_begins_at_0_is_drawn_together_with_the_others_too() {
    let plan = small_plan();
    let keys = vec!["ink.hand_land_film_um".to_owned(), "ink.absorption_per_um".to_owned()];
    // The paper shows nothing but the film that the hand leaves, so no wobble; its factor is in µm, the ink's in ln.
    let plain = common::values_of(&plan)[0].lightness;
    let off = |ink_ln: f64| {
        let ln_factor = vec![0.01, 0.0, ink_ln, 0.0];
        let limits = CalibratedLimits { keys: keys.clone(), ln_factor };
        let all = draws(&mut bands_of(&plan, Spread::Calibrated(limits)), 0..3);
        all.chunks(4).map(|draw| (draw[0] - plain).abs()).collect::<Vec<f64>>()
    };
    // A thicker film of paler ink prints much the same; one of stronger ink does not.
    for (against, along) in off(-0.3).into_iter().zip(off(0.3)) {
        assert!(along > 0.05 && against < 0.75 * along, "{against} and {along} L* off {plain}");
    }
}

#[test]
fn what_the_hand_decides_is_told_with_what_a_firmer_one_would_gain() {
    let plan = small_plan();
    let holds = bands_of(&plan, Spread::Wobble).holds(&mut Renderer::default()).expect("sound");
    assert_eq!(holds.len(), 3, "warmth, time and cover");
    let most = |of: &[f64]| of.iter().copied().fold(0.0, f64::max);
    let moves: Vec<f64> = holds.iter().map(|hold| most(&hold.moves_l)).collect();
    assert!(moves.is_sorted_by(|a, b| a >= b), "what moves most comes first: {moves:?}");
    for hold in &holds {
        let told = hold.sentence.to_string();
        assert_eq!(hold.moves_l[0], 0.0, "{told}: the paper stays");
        assert!((0.1..5.0).contains(&most(&hold.moves_l)), "{told}: {:?}", hold.moves_l);
        for value in 1..4 {
            // Independent errors add as squares: closed form.
            let square = |l: f64| l * l;
            let all: f64 = holds.iter().map(|one| square(one.moves_l[value])).sum();
            assert!((square(hold.usual_l[value]) - all).abs() < 1e-9, "{told}: together");
            let held = all - 0.75 * square(hold.moves_l[value]);
            assert!(
                (square(hold.held_l[value]) - held).abs() < 1e-9,
                "{told}: held twice as close"
            );
        }
    }
    // As many seconds to either side as the draws have, over one bite: the first value's slope.
    let timed = holds.iter().find(|hold| hold.sentence.to_string().contains("each bite"));
    let timed = timed.expect("time is among them");
    let with = |off_s: f64| {
        let mut plan = plan.clone();
        plan.bites[0].bite_min += off_s / 60.0;
        draws_of(&plan)[1]
    };
    let slope = 0.5 * (with(-10.0) - with(10.0));
    assert!((timed.moves_l[1] - slope).abs() < 0.02, "{} is not {slope}", timed.moves_l[1]);
}

/// L* of a plan's values, with nothing off.
fn draws_of(plan: &Plan) -> Vec<f64> {
    let areas = Arc::new(Everywhere::value(plan.bites.len(), 1));
    let plate = Plate::of(&Job::new(plan.clone(), areas)).expect("a sound plan");
    let mut renderer = Renderer::default();
    let view = plate::View::first();
    let mut looking = renderer.look(&plate, &view);
    plate.session().dose_um.iter().map(|dose_um| looking.lightness_at(*dose_um)).collect()
}

#[test]
fn bands_hold_nine_of_ten_and_tell_in_how_many_prints_two_values_are_alike() {
    // Two values of 0–100 and 80–180, evenly: closed form.
    let draws: Vec<f64> = (0..=100).flat_map(|i| [f64::from(i) + 80.0, f64::from(i)]).collect();
    let found = tolerance(&draws, 2);
    assert_eq!(
        (found[1].dark_l, found[1].middle_l, found[1].light_l),
        (5.0, 50.0, 95.0),
        "tails of 5 %"
    );
    assert!(found[0].dark_l < found[1].light_l, "the bands overlap");
    assert!(!found[0].at_risk, "and in every print the two are 80 apart");
    assert_eq!(found[0].alike_share, 0.0, "in none of them alike");
    // 1.5 apart in 25 prints of 100, and 6 in the others: a practised eye tells 2.
    let some = |i: i32| if i % 4 == 0 { 1.5 } else { 6.0 };
    let near: Vec<f64> = (0..100).flat_map(|i| [50.0 + some(i), 50.0]).collect();
    let found = tolerance(&near, 2);
    assert_eq!((found[0].alike_share, found[0].at_risk), (0.25, true), "one print of four");
    assert_eq!((found[1].alike_share, found[1].at_risk), (0.0, false), "none is darker");
    assert!(tolerance(&[], 2).is_empty(), "no draws, no bands");
}
