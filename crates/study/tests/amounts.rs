//! What goes to the bench: amounts and readings, and the bites that remain after some have run.

use crate::common;

use common::{Everywhere, Seen, plate_with};
use plan::{Agitation, Plan};
use plate::chain::{Job, OneValue};
use plate::constants::Constants;
use plate::ink::Inking;
use std::sync::Arc;
use study::amounts::{Amounts, Needed, amounts};
use study::remaining_bites::{RemainingBites, SoFar, remaining_bites};

fn near(what: &str, found: f64, wanted: f64, tolerance: f64) {
    assert!((found - wanted).abs() <= tolerance, "{what} is {found}, not {wanted} ± {tolerance}");
}

fn amounts_of(seen: &mut Seen, floor_cm: [f64; 2], impressions: f64) -> Amounts {
    let needed = Needed { floor_cm, impressions };
    amounts(&seen.plate, &seen.view, &mut seen.renderer, &needed)
}

fn bites_to_go(seen: &mut Seen, bitten_min: &[f64], target_l: &[f64]) -> RemainingBites {
    let so_far = SoFar { bitten_min, target_l };
    remaining_bites(&seen.plate, &mut seen.renderer, &so_far)
}

/// The default plan's plate, all of it the darkest value.
fn dark_plate(plan: &Plan) -> Seen {
    let values = plan.bites.len();
    plate_with(plan, Everywhere::value(values, values as u8))
}

/// The default plan's plate with every value on it, nearly all of it the darkest.
fn full_plate(plan: &Plan) -> Seen {
    plate_with(plan, Everywhere::nearly_dark(plan.bites.len()))
}

#[test]
fn powder_and_rosin_are_weighed_for_the_box_and_the_plate() {
    let mut plate = dark_plate(&Plan::default());
    let bench = amounts_of(&mut plate, [50.0, 50.0], 1.0);
    near("powder for a quarter square metre at 30 g/m², g", bench.powder_g, 7.5, 1e-12);
    assert_eq!(bench.powder_each_g, bench.powder_g, "one dusting takes all of it");
    // 150 × 200 mm is 0.03 m².
    near("rosin on the plate, g", bench.landed_g, 0.03 * plate.landed().mass_g_per_m2, 1e-12);
    // What floats over a plate's own floor after the wait, less what is left at the end.
    let landed = plate.landed();
    let fell = landed.cloud_plate_in_g_per_m3 - landed.cloud_plate_out_g_per_m3;
    near("rosin on the plate, g", bench.landed_g, 0.03 * fell * 1.0, 1e-3);
    // Every dusting is weighed out anew.
    let mut plan = Plan::default();
    plan.dust.dustings = 3.0;
    let thrice = amounts_of(&mut dark_plate(&plan), [50.0, 50.0], 1.0);
    near("powder for three dustings, g", thrice.powder_g, 22.5, 1e-12);
    near("powder for each of them, g", thrice.powder_each_g, 7.5, 1e-12);
    near("three times as much lands, g", thrice.landed_g, 3.0 * bench.landed_g, 1e-9);
}

#[test]
fn a_plate_must_lie_flat_in_its_box() {
    // The default plate is 150 × 200 mm.
    let mut plate = dark_plate(&Plan::default());
    for fits in [[50.0, 50.0], [15.0, 20.0], [20.0, 15.0]] {
        assert_eq!(amounts_of(&mut plate, fits, 1.0).box_too_small, None, "{fits:?} cm");
    }
    for small in [[14.9, 20.0], [15.0, 19.9], [19.9, 40.0].map(|cm| cm * 0.7)] {
        let said = amounts_of(&mut plate, small, 1.0).box_too_small.expect("it does not fit");
        assert!(said.to_string().contains("150 mm by 200 mm"), "{said}");
    }
    let said = amounts_of(&mut plate, [10.0, 40.0], 1.0).box_too_small.unwrap();
    assert!(said.in_units(plan::Units::Us).contains("5.91 in by 7.87 in"), "{said:?}");
}

#[test]
fn copper_passes_the_softening_point_when_the_lumped_plate_does() {
    // t = τ ln((T∞ − T_room)/(T∞ − T_soft)), closed form; τ = ρcL/(U + h), dust-and-bake.md §5.
    let plan = Plan::default();
    let (u, h) = (95.0, 10.0);
    let tau_min = 8933.0 * 385.0 * 0.0012 / (u + h) / 60.0;
    let end_c = (u * 125.0 + h * 20.0) / (u + h);
    let wanted = tau_min * libm::log((end_c - 20.0) / (end_c - 76.0));
    near(
        "minutes to 76 °C",
        amounts_of(&mut dark_plate(&plan), [50.0, 50.0], 1.0).softens_min,
        wanted,
        0.03,
    );
    let mut cold = plan;
    cold.bake.hot_plate_c = 60.0;
    assert!(
        amounts_of(&mut dark_plate(&cold), [50.0, 50.0], 1.0).softens_min.is_nan(),
        "a hot plate at 60 °C never softens the rosin"
    );
}

#[test]
fn readings_of_the_bath() {
    let mut plate = dark_plate(&Plan::default());
    let bench = amounts_of(&mut plate, [50.0, 50.0], 1.0);
    let session = plate.session();
    // bite.md §1.1, row of 40 °Bé.
    near("ferric chloride, g/L", bench.chloride_g_per_l, 509.0, 5.0);
    near("copper at half rate, g/L", bench.replace_g_per_l, 50.0, 0.5);
    near("fresh hydrometer, °Bé", bench.hydrometer_before_be, 40.0, 1e-9);
    // bite.md §1.4: +0.75 °Bé for each 10 g/L.
    let rise_be = bench.hydrometer_after_be - bench.hydrometer_before_be;
    near("rise of the hydrometer, °Bé", rise_be, 0.075 * session.copper_end_g_per_l, 0.02);
    // bite.md §2.1: 0.94 of the speed at 18 °C.
    near("times as long 2 °C colder", bench.colder_times, 1.0 / 0.94, 0.006);
    near("copper in 2 L, g", bench.bath_copper_g, session.dissolved_g, 1e-9);
    let plates = bench.plates_left + 1.0;
    assert!(
        plates * session.dissolved_g <= 2.0 * bench.replace_g_per_l
            && (plates + 1.0) * session.dissolved_g > 2.0 * bench.replace_g_per_l,
        "{} more plates of {} g in 2 L to {} g/L",
        bench.plates_left,
        session.dissolved_g,
        bench.replace_g_per_l
    );
    let mut paper = plate_with(&Plan::default(), Everywhere::paper(7));
    assert!(
        amounts_of(&mut paper, [50.0, 50.0], 1.0).plates_left.is_nan(),
        "an unbitten plate uses up no bath"
    );
}

#[test]
fn ink_is_mixed_by_volume_and_weighed() {
    let mut plan = Plan::default();
    let neat = amounts_of(&mut dark_plate(&plan), [50.0, 50.0], 1.0);
    let inking = Inking::new(&plan.ink, &plan.paper, &Constants::default().ink);
    // The inking's own grams, which tests/ink.rs holds to ink-and-tone.md row 37.
    near("neat black, g", neat.black_g, inking.ink_grams(300.0, neat.held_um), 1e-12);
    near("neat black, ml", neat.black_ml, neat.black_g / 1.2, 1e-12);
    // The first chain held 11.5 µm after 24 min at 0.8 µm/min, 19 µm deep on open copper; here the darkest
    // value is bitten nearly as deep.
    near("held, µm", neat.held_um, 10.5, 2.0);
    assert_eq!((neat.base_g, neat.reducer_ml), (0.0, 0.0), "neat black has nothing in it");

    plan.ink.base_parts = 40.0;
    plan.ink.reducer_parts = 10.0;
    let mixed = amounts_of(&mut dark_plate(&plan), [50.0, 50.0], 5.0);
    near("base to black", mixed.base_ml / mixed.black_ml, 0.40, 1e-12);
    near("reducer to black", mixed.reducer_ml / mixed.black_ml, 0.10, 1e-12);
    let together = mixed.black_ml + mixed.base_ml + mixed.reducer_ml;
    near("five impressions, ml", together, 5.0 * neat.black_ml, 1e-9);
    // Boiled oil 0.96 g/cm³ (from memory); with 1 part in 6 of 2.4 g/cm³ it is 1.2.
    near("reducer, g/ml", mixed.reducer_g / mixed.reducer_ml, 0.96, 1e-12);
    near("base, g/ml", mixed.base_g / mixed.base_ml, (5.0 * 0.96 + 2.4) / 6.0, 1e-9);
}

/// Minutes of the plan's bites and the L* of its values, paper left out.
fn planned(plate: &mut Seen) -> (Vec<f64>, Vec<f64>) {
    let minutes = plate.plan().bites.iter().map(|bite| bite.bite_min).collect();
    let lightness = plate.look().values().iter().skip(1).map(|value| value.lightness).collect();
    (minutes, lightness)
}

fn all_met(to_go: &RemainingBites, target: &[f64], done: usize) {
    for (i, wanted) in target.iter().enumerate().skip(done) {
        // Half of a quarter minute moves the palest values by less than 1 L* (chain.md).
        near(&format!("L* of value {}", i + 1), to_go.lightness[i], *wanted, 1.0);
        assert_eq!(to_go.outcome[i - done], "met", "value {}", i + 1);
    }
}

#[test]
fn bites_that_ran_as_planned_leave_the_plan_as_it_is() {
    let mut plate = full_plate(&Plan::default());
    let (minutes, target) = planned(&mut plate);
    for done in [0, 3, 6, 7] {
        let to_go = bites_to_go(&mut plate, &minutes[..done], &target);
        assert_eq!(to_go.bite_min, minutes[done..], "after {done} bites");
        assert_eq!(to_go.lightness, to_go.kept_lightness, "after {done} bites");
        all_met(&to_go, &target, done);
    }
}

#[test]
fn an_overrun_is_taken_off_the_next_bite() {
    // The bath tires, so the minutes are found in it and not by adding up.
    let mut plan = Plan::default();
    plan.bath.volume_l = 0.5;
    let mut plate = full_plate(&plan);
    let (minutes, target) = planned(&mut plate);
    // Bite 2 ran 50 s over.
    let ran = [minutes[0], minutes[1] + 50.0 / 60.0];
    let to_go = bites_to_go(&mut plate, &ran, &target);
    let given_back = minutes[2] - to_go.bite_min[0];
    assert_eq!(given_back, 0.75, "bite 3 gives 50 s back, in quarters");
    assert_eq!(to_go.bite_min[1..], minutes[3..], "the bites after it stay");
    assert!(to_go.lightness[1] < target[1] - 3.0, "value 2 is darker: {}", to_go.lightness[1]);
    all_met(&to_go, &target, 2);
    for (i, wanted) in target.iter().enumerate().skip(1) {
        let kept = to_go.kept_lightness[i];
        assert!(kept < *wanted, "value {} with the plan's minutes: {kept}", i + 1);
    }
}

#[test]
fn a_bite_cut_short_is_made_up() {
    // A still bath, face up: depth goes with the root of the minutes, so they do not add up.
    let mut plan = Plan::default();
    plan.bath.agitation = Agitation::StillFaceUp;
    let mut plate = full_plate(&plan);
    let (minutes, target) = planned(&mut plate);
    let short = [minutes[0], minutes[1], 0.5 * minutes[2]];
    let to_go = bites_to_go(&mut plate, &short, &target);
    let longer = to_go.bite_min[0] - minutes[3];
    assert!(longer > 0.4 * minutes[2], "bite 4 is longer by {longer} min");
    all_met(&to_go, &target, 3);
}

#[test]
fn what_cannot_be_met_is_said() {
    let mut plate = full_plate(&Plan::default());
    let (minutes, mut target) = planned(&mut plate);
    target[6] = 5.0;
    let black = bites_to_go(&mut plate, &minutes[..6], &target);
    assert_eq!(black.outcome[0], "lighter", "no ground prints L* 5");
    let so_far: f64 = minutes[..6].iter().sum();
    let darkest = plate.look().tone_curve().darkest_min - so_far;
    near("minutes to the darkest", black.bite_min[0], darkest, 2.5);

    let free = bites_to_go(&mut plate, &[2.0, 1.0], &[]);
    assert_eq!(free.bite_min, minutes[2..], "without wishes the plan's minutes stand");
}

#[test]
fn after_a_large_overrun_values_that_cannot_be_parted_are_named() {
    let mut plate = full_plate(&Plan::default());
    let (minutes, target) = planned(&mut plate);
    // 1½ minutes became 4¼: value 1 prints nearly as dark as value 3 was to, which is bitten for 4½.
    let ran = [minutes[0] + minutes[1] + minutes[2] - 0.25];
    let to_go = bites_to_go(&mut plate, &ran, &target);
    assert_eq!(to_go.last, "darker", "value 1 prints L* {}", to_go.lightness[0]);
    assert_eq!(to_go.bite_min[..2], [0.0, 0.0], "values 2 and 3 are stopped out with value 1");
    assert!(to_go.bite_min[2] >= minutes[3], "bite 4 goes on from there: {:?}", to_go.bite_min);
    assert_eq!(to_go.bite_min[3..], minutes[4..], "the bites after it stay");
    assert_eq!(to_go.lightness[1..3], [to_go.lightness[0]; 2], "the three print alike");
    // Value 3 prints as it was to; only nobody tells the three from each other.
    assert_eq!(to_go.outcome, ["darker", "met", "met", "met", "met", "met"]);
    // The plan has no empty bites; together they are as long as what ran.
    assert_eq!(to_go.plan_min[..3], [ran[0] - 0.5, 0.25, 0.25]);

    // Bite 4 has run meanwhile, as it should.
    let on = bites_to_go(&mut plate, &[ran[0], 0.0, 0.0, to_go.bite_min[2]], &target);
    assert_eq!(
        (on.last, &on.bite_min[..]),
        ("met", &minutes[4..]),
        "the rest stays as it was planned"
    );
    assert_eq!(on.plan_min, to_go.plan_min);

    // No bite is left that would darken anything: the plate is done.
    let all: f64 = minutes.iter().sum();
    let done = bites_to_go(&mut plate, &[minutes[0], all], &target);
    assert_eq!(done.bite_min, [0.0; 5], "all the rest prints as value 2");

    // Values that the plan wants nearly alike stay apart while nothing ran over.
    let near_alike =
        [target[0], target[0] - 1.0, target[2], target[3], target[4], target[5], target[6]];
    let kept = bites_to_go(&mut plate, &minutes[..1], &near_alike);
    assert!(kept.bite_min.iter().all(|&min| min > 0.0), "{:?}", kept.bite_min);
    assert_eq!(kept.last, "met");
    let short = bites_to_go(&mut plate, &[0.5 * minutes[0]], &target);
    assert_eq!(short.last, "lighter", "half of bite 1: L* {}", short.lightness[0]);
}

#[test]
fn bites_that_run_as_one_are_one_bite_to_go() {
    // The default bites on a plate that has paper and values 2, 5 and 6: bites 1 and 2, then 3 to 5 run as
    // one, 6 alone, and 7 falls away.
    let mut shares = vec![0.0; 8];
    (shares[0], shares[2], shares[5], shares[6]) = (0.1, 0.3, 0.3, 0.3);
    let areas = OneValue::new(6, &shares, 7).expect("sound shares");
    let mut plate = Seen::of(&Job::new(Plan::default(), Arc::new(areas)));
    let (minutes, target) = planned(&mut plate);
    let first: f64 = minutes[..2].iter().sum();
    let second: f64 = minutes[2..5].iter().sum();
    let as_planned = bites_to_go(&mut plate, &[first], &target);
    assert_eq!(as_planned.bite_min, [second, minutes[5]], "as planned it stays");
    assert_eq!(as_planned.plan_min, minutes, "and so does the plan");
    assert_eq!(as_planned.lightness.len(), 3, "one L* for each bite");
    for (i, value) in [2, 5, 6].into_iter().enumerate() {
        near("L*", as_planned.lightness[i], target[value - 1], 0.5);
    }

    // The second ran 1:20 over.
    let over = 4.0 / 3.0;
    let late = bites_to_go(&mut plate, &[first, second + over], &target);
    assert_eq!(late.bite_min.len(), 1);
    near("the last bite gives back what ran over", late.bite_min[0], minutes[5] - over, 0.25);
    assert_eq!(late.outcome, ["met"], "value 6 is met");
    let together: f64 = late.plan_min[2..5].iter().sum();
    near("what ran is shared out among the plan's bites", together, second + over, 0.125);
    assert_eq!(late.plan_min[6], minutes[6], "what fell away is left alone");
    assert_eq!(late.kept_plan_min[5], minutes[5], "kept as planned");
    assert!(late.plan_min.iter().all(|min| (4.0 * min).fract() == 0.0), "{:?}", late.plan_min);
}
