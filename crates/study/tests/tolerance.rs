//! Draws: what the usual wobble and the constants' ranges leave open.

#[path = "../../plate/tests/common/mod.rs"]
mod common;

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
fn bands_hold_nine_of_ten_and_say_where_they_overlap() {
    // Two values of 0–100 and 80–180, evenly: closed form.
    let draws: Vec<f64> = (0..=100).flat_map(|i| [f64::from(i) + 80.0, f64::from(i)]).collect();
    let found = tolerance(&draws, 2);
    assert_eq!(
        (found[1].dark_l, found[1].middle_l, found[1].light_l),
        (5.0, 50.0, 95.0),
        "tails of 5 %"
    );
    assert!(found[0].at_risk, "85 is below 95");
    assert!(!found[1].at_risk, "the last has none after it");
    let apart: Vec<f64> = (0..=100).flat_map(|i| [f64::from(i) + 95.0, f64::from(i)]).collect();
    assert!(!tolerance(&apart, 2)[0].at_risk, "100 is above 95");
    assert!(tolerance(&[], 2).is_empty(), "no draws, no bands");
}
