//! From readings to constants: recovered within the limits stated, at the rate stated; and nonsense refused.

use crate::chance;
use crate::hasty;

use chance::Chance;
use hasty::read_off_photograph;
use plan::{Bite, Plan};
use plate::chain::OneValue;
use plate::light;
use plate::{Job, Plate, Renderer, View};
use rand_pcg::Pcg32;
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};
use study::calibration::forward::{FITTED, TOLD};
use study::calibration::{
    Allowed, Fit, Forward, Kind, Otherwise, Reading, Tables, calibrate, design, fit,
    grey_reflectance, in_lightness, proof_plate, step_plate, unfitted,
};
use study::inverse::{Wanted, inverse};
use study::timing::Rounding;
use study::tone_response::{MET_L, tone_response};

/// The example's ground on a step plate of eight, its table calculated once for all tests.
fn forward() -> &'static Forward {
    static ONCE: OnceLock<Forward> = OnceLock::new();
    ONCE.get_or_init(|| {
        let designed = design(&Plan::default(), 8).expect("a sound plan");
        let plate = step_plate(&Plan::default(), &designed.bite_min).expect("a sound plan");
        Forward::new(&plate).expect("known constants")
    })
}

/// Constants anywhere in the middle four fifths of their ranges, evenly in ln.
fn hidden(forward: &Forward, chance: &mut Chance) -> [f64; FITTED] {
    let mut all = [0.0; FITTED];
    for (i, value) in all.iter_mut().enumerate() {
        let (low, high) = (libm::log(forward.min[i]), libm::log(forward.max[i]));
        *value = libm::exp(low + (high - low) * (0.1 + 0.8 * chance.share()));
    }
    all
}

fn printed(forward: &Forward, constants: [f64; FITTED]) -> Vec<f64> {
    (0..forward.minutes.len()).map(|step| forward.lightness(step, constants)).collect()
}

fn fitted(forward: &Forward, l: &[f64]) -> Result<Fit, Vec<plan::Diagnostic>> {
    let all: Vec<Option<f64>> = l.iter().map(|&l| Some(l)).collect();
    fit(forward, &all)
}

#[test]
fn the_table_prints_what_the_plate_prints() {
    let designed = design(&Plan::default(), 8).expect("a sound plan");
    let forward = forward();
    let mut chance = Chance(Pcg32::new(1, 8));
    for _ in 0..6 {
        let constants = hidden(forward, &mut chance);
        let mut plan = Plan::default();
        for (key, value) in forward.keys.iter().zip(constants) {
            plan.calibration.insert((*key).to_owned(), value);
        }
        let plate = step_plate(&plan, &designed.bite_min).expect("a sound plan");
        let mut renderer = Renderer::default();
        let values = renderer.look(&plate, &View::default()).values();
        for (step, value) in values.iter().skip(1).enumerate() {
            let table = forward.lightness(step, constants);
            // Long past the darkest the print turns lighter steeply.
            let allowed = if value.bitten_um > 25.0 { 0.8 } else { 0.5 };
            assert!(
                (table - value.lightness).abs() < allowed,
                "step {step} with {constants:?}: plate L* {}, table {table}",
                value.lightness
            );
        }
    }
}

#[test]
fn limits_hold_the_hidden_constants_at_the_rate_they_state() {
    let forward = forward();
    let mut chance = Chance(Pcg32::new(2, 8));
    let runs = 200;
    let (mut inside, mut values_inside, mut all) = ([0; FITTED], 0, 0);
    let mut refused = 0;
    for _ in 0..runs {
        let constants = hidden(forward, &mut chance);
        let true_l = printed(forward, constants);
        let noise = 0.5 + 1.0 * chance.share();
        let read: Vec<f64> = true_l.iter().map(|l| l + noise * chance.normal()).collect();
        let Ok(found) = fitted(forward, &read) else {
            refused += 1;
            continue;
        };
        for (i, one) in found.constants.iter().enumerate() {
            inside[i] += u32::from(one.low <= constants[i] && constants[i] <= one.high);
        }
        for (step, l) in found.steps.iter().zip(&true_l) {
            values_inside += u32::from((step.printed_l - l).abs() <= step.good_to_l);
            all += 1;
        }
    }
    // 95 % of 200 runs, less two standard errors of such a count (1.5 % each).
    for (key, inside) in forward.keys.iter().zip(inside) {
        assert!(
            inside * 100 >= 92 * runs,
            "{key}: within its 95 % limits {inside} times of {runs}"
        );
    }
    assert!(values_inside * 100 >= 93 * all, "values within their limits {values_inside} of {all}");
    assert!(refused * 100 <= 2 * runs, "{refused} of {runs} sound plates were refused");
}

#[test]
fn from_uneven_photographs_the_limits_hold_the_hidden_constants_too() {
    let forward = forward();
    let mut chance = Chance(Pcg32::new(4, 8));
    let runs = 100;
    let mut inside = [0; FITTED];
    for run in 0..runs {
        let constants = hidden(forward, &mut chance);
        let l = read_off_photograph(&printed(forward, constants), run, &mut chance);
        let Ok(found) = fitted(forward, &l) else { continue };
        for (i, one) in found.constants.iter().enumerate() {
            inside[i] += u32::from(one.low <= constants[i] && constants[i] <= one.high);
        }
    }
    for (key, inside) in forward.keys.iter().zip(inside) {
        assert!(inside >= 93, "{key}: within its 95 % limits {inside} times of {runs}");
    }
}

#[test]
fn what_is_planned_with_the_constants_found_prints_as_asked_with_the_hidden_ones() {
    let forward = forward();
    let mut chance = Chance(Pcg32::new(3, 8));
    let shares = [0.25; 4];
    let areas = || Arc::new(OneValue::new(0, &shares, 3).expect("three values"));
    let (mut met, mut all, mut worst) = (0, 0, 0.0_f64);
    for _ in 0..5 {
        let hidden_ones = hidden(forward, &mut chance);
        let read: Vec<f64> =
            printed(forward, hidden_ones).iter().map(|l| l + 0.6 * chance.normal()).collect();
        let Ok(found) = fitted(forward, &read) else { continue };
        let mut plan = Plan::default();
        plan.bites.truncate(3);
        plan.picture.thresholds_l.truncate(3);
        let mut truth = plan.clone();
        for (key, value) in forward.keys.iter().zip(hidden_ones) {
            truth.calibration.insert((*key).to_owned(), value);
        }
        plan.calibration.clone_from(&found.calibration);
        let mut renderer = Renderer::default();
        let first = Plate::of(&Job::new(plan.clone(), areas())).expect("a sound calibration");
        let real = Plate::of(&Job::new(truth.clone(), areas())).expect("a sound calibration");
        let response = tone_response(&first, &mut renderer);
        let room = response.paper_l() - 10.0 - response.darkest().1 - 8.0;
        for _ in 0..8 {
            // Another day, another bath.
            plan.bath.temperature_c = 15.0 + 12.0 * chance.share();
            plan.bath.strength_be = 34.0 + 9.0 * chance.share();
            plan.bath.copper_g_per_l = 15.0 * chance.share();
            truth.bath = plan.bath.clone();
            let plate = first.after(&Job::new(plan.clone(), areas())).expect("a sound plan");
            let wanted: Vec<f64> = (0..3)
                .map(|k| {
                    let share = (f64::from(k) + chance.share()) / 3.0;
                    response.paper_l() - 10.0 - room * share
                })
                .collect();
            let rounding = Rounding::ByHand;
            let wanted = Wanted { wanted_l: &wanted, bitten_min: &[], rounding };
            let back = inverse(&plate, &mut renderer, &response, &wanted);
            truth.bites = back.bites.iter().map(|bite| Bite { bite_min: bite.bite_min }).collect();
            let real = real.after(&Job::new(truth.clone(), areas())).expect("a sound plan");
            let values = renderer.look(&real, &View::default()).values();
            for (value, bite) in values.iter().skip(1).zip(&back.bites) {
                // What the rounding to the clock costs is said, and no fault of the fit.
                if bite.hindrance.is_some() {
                    continue;
                }
                let off = (value.lightness - bite.wanted_l).abs();
                worst = worst.max(off);
                met += u32::from(off <= MET_L + 0.3);
                all += 1;
            }
        }
    }
    assert!(all >= 90, "only {all} values could be asked");
    assert!(met * 100 >= 95 * all, "{met} of {all} printed within 2 L*; the worst was {worst} off");
}

/// Constants with the rate, strength, black and wipe so many times those in force.
fn times(forward: &Forward, factors: [f64; FITTED]) -> [f64; FITTED] {
    let mut all = forward.in_force;
    for (value, factor) in all.iter_mut().zip(factors) {
        *value *= factor;
    }
    all
}

#[test]
fn the_verdict_says_how_good_and_what_is_missing() {
    let forward = forward();
    let constants = times(forward, [1.3, 0.9, 1.2, 0.8]);
    let l = printed(forward, constants);
    let good = fitted(forward, &l).expect("a sound plate");
    assert!(good.verdict[0].starts_with("Good to ± "), "{:?}", good.verdict);
    assert!((0.2..2.0).contains(&good.good_to_l), "good to ± {} L*", good.good_to_l);
    for (one, hidden) in good.constants.iter().zip(constants) {
        assert!((one.value / hidden - 1.0).abs() < 0.12, "{one:?}, hidden {hidden}");
        assert!(one.low < hidden && hidden < one.high, "{one:?}, hidden {hidden}");
    }
    // Only the palest five: where it turns dark and where it breaks down is not seen.
    let pale: Vec<Option<f64>> = l.iter().enumerate().map(|(i, &l)| (i < 5).then_some(l)).collect();
    let short = fit(forward, &pale).expect("enough to fit");
    let words = short.verdict.join(" ");
    assert!(words.contains("add a longer bite") || words.contains("no step comes near"), "{words}");
    assert!(words.contains("says little about the darkest black"), "{words}");
    assert!(words.contains("not read"), "the darker ones are unsure: {words}");
    let black = &short.constants[2];
    assert!(!black.told && black.high / black.low > 3.0, "{black:?}");
}

#[test]
fn the_curve_goes_through_the_steps_and_between_them_bites_at_a_rate_between_theirs() {
    let forward = forward();
    let l = printed(forward, times(forward, [1.2, 1.1, 0.9, 1.3]));
    let found = fitted(forward, &l).expect("a sound plate");
    let (curve, steps) = (&found.curve, &found.steps);
    let grows = curve[1].minutes / curve[0].minutes;
    for pair in curve.windows(2) {
        assert!((pair[1].minutes / pair[0].minutes / grows - 1.0).abs() < 1e-9, "{pair:?}");
    }
    for (point, step) in
        [(&curve[0], &steps[0]), (&curve[curve.len() - 1], &steps[steps.len() - 1])]
    {
        let near = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-6;
        assert!(
            near(point.minutes, step.minutes)
                && near(point.printed_l, step.printed_l)
                && near(point.good_to_l, step.good_to_l)
                && near(point.before_l, step.before_l),
            "{point:?} is the step {step:?}"
        );
    }
    // The bath tires: minutes between two steps have bitten at a mean rate between those of the two.
    let rate = |k: usize| forward.step_dose(k, forward.in_force[0]) / forward.minutes[k];
    let mut between = 0;
    for point in curve {
        let next = forward.minutes.partition_point(|&m| m <= point.minutes);
        if next == 0 || next == forward.minutes.len() {
            continue;
        }
        let l = |rate: f64| {
            light::lightness(forward.reflectance(rate * point.minutes, forward.in_force))
        };
        let (slow, fast) = (l(rate(next)), l(rate(next - 1)));
        let allowed = slow.min(fast) - 1e-9..slow.max(fast) + 1e-9;
        assert!(allowed.contains(&point.before_l), "{point:?} lies outside {allowed:?}");
        between += 1;
    }
    assert!(between > 40, "{between} points lie between steps");
}

#[test]
fn a_step_is_as_sure_as_the_constants_that_print_it() {
    let forward = forward();
    let l = printed(forward, times(forward, [1.2, 1.1, 0.9, 1.3]));
    let found = fitted(forward, &l).expect("a sound plate");
    // What draws of the constants would print, 95 % of them: their ln is off by F·z, z normal (`CalibratedLimits`).
    let values: [f64; FITTED] = std::array::from_fn(|i| found.constants[i].value);
    for (k, step) in found.steps.iter().enumerate() {
        let mut variance = 0.0;
        for z in 0..FITTED {
            let moved = |by: f64| {
                let off =
                    |i: usize| values[i] * libm::exp(by * found.limits.ln_factor[i * FITTED + z]);
                forward.lightness(k, std::array::from_fn(off))
            };
            let slope = (moved(0.01) - moved(-0.01)) / 0.02;
            variance += slope * slope;
        }
        let good_to_l = 1.959_964 * variance.sqrt();
        assert!((step.good_to_l / good_to_l - 1.0).abs() < 0.02, "{good_to_l}: {step:?}");
    }
}

#[test]
fn each_wipe_is_told_by_its_own_constant() {
    use plan::Wipe;
    let bites = [1.5, 1.5, 3.0, 5.0, 8.0, 12.0, 20.0];
    for (wipe, key) in [
        (Wipe::Tarlatan, "ink.tarlatan_overlap_um"),
        (Wipe::Hand, "ink.hand_overlap_um"),
        (Wipe::Hard, "ink.hard_overlap_um"),
    ] {
        let mut plan = Plan::default();
        plan.ink.wipe = wipe;
        let plate = step_plate(&plan, &bites).expect("a sound plan");
        let forward = Forward::coarse(&plate).expect("known constants");
        let constants = times(&forward, [1.2, 0.9, 1.1, 1.1]);
        let found = fitted(&forward, &printed(&forward, constants)).expect("a sound plate");
        let one = &found.constants[3];
        assert_eq!(one.key, key, "the constant of this wipe");
        assert!(one.low <= constants[3] && constants[3] <= one.high, "{one:?}");
    }
}

#[test]
fn a_reading_that_does_not_belong_is_named() {
    let forward = forward();
    let mut l = printed(forward, times(forward, [0.8, 1.2, 0.9, 1.1]));
    l[3] += 9.0;
    let found = fitted(forward, &l).expect("a curve through the others");
    assert!(found.verdict.join(" ").contains("Step 4 reads L* 9 lighter"), "{:?}", found.verdict);
}

#[test]
fn a_proof_of_the_plan_itself_tells_the_constants_too() {
    let plan = Plan::default();
    let bites: Vec<f64> = plan.bites.iter().map(|bite| bite.bite_min).collect();
    let shares = [0.1, 0.2, 0.15, 0.15, 0.1, 0.1, 0.1, 0.1];
    let tables = Tables::new(&plan, &bites, &shares).expect("a sound plan");
    let hidden = times(forward(), [1.2, 0.9, 1.1, 1.0]);
    let mut real = plan.clone();
    for (key, value) in forward().keys.iter().zip(hidden) {
        real.calibration.insert((*key).to_owned(), value);
    }
    let plate = proof_plate(&real, &bites, &shares).expect("a sound plan");
    let mut renderer = Renderer::default();
    let values = renderer.look(&plate, &View::default()).values();
    let read_l = values.iter().skip(1).map(|value| Some(value.lightness)).collect();
    let told = tables.calibrate(&plan, &Reading { read_l, ..Reading::default() });
    let fit = told.fit.expect("a sound proof");
    for (one, hidden) in fit.constants.iter().zip(hidden) {
        assert!(one.low <= hidden && hidden <= one.high, "{one:?}, hidden {hidden}");
    }
    assert_eq!(fit.steps.len(), bites.len(), "each value is a step");
    assert!(told.misfit.planned > 0.5, "{:?}", told.misfit);
    let refused = |bites: &[f64], shares: &[f64]| {
        proof_plate(&plan, bites, shares)
            .err()
            .map(|words| words[0].to_string())
            .unwrap_or_default()
    };
    assert!(refused(&bites[1..], &shares).contains("each value of the plan"), "a bite is missing");
    assert!(refused(&bites, &shares[1..]).contains("a share of the plate"), "a share is missing");
}

#[test]
fn readings_out_of_order_are_refused_with_what_would_mend_them() {
    let mut l = printed(forward(), times(forward(), [0.8, 1.2, 0.9, 1.1]));
    l.swap(2, 3);
    let read_l = l.iter().map(|&l| Some(l)).collect();
    let none = BTreeMap::new();
    let told = calibrate(forward(), None, read_l, None, &Allowed::default(), &none);
    assert!(told.fit.is_none() && told.refused[0].code == "readings.out_of_order", "{told:?}");
    let first = &told.misfit.findings[0];
    assert_eq!(first.what, Otherwise::Swapped { one: 2, other: 3 }, "{first:?}");
    assert!(first.share > 0.9 && first.press == "Change them back", "{first:?}");
    assert!(first.said.contains("more than 9 in 10"), "never surer than that: {first:?}");
    // Without tables of other grounds nothing is said of the ground.
    assert!(!told.misfit.said.to_string().contains("ground"), "{:?}", told.misfit.said);
}

#[test]
fn nonsense_is_refused_with_the_reason() {
    let some = |l: &[f64]| -> Vec<Option<f64>> { l.iter().map(|&l| Some(l)).collect() };
    let said = |kind: Kind, readings: &[Option<f64>]| -> String {
        in_lightness(kind, readings, 0.85)
            .map_or_else(|words| words.iter().map(ToString::to_string).collect(), |_| String::new())
    };
    let l = |readings: &[f64]| said(Kind::Lightness, &some(readings));
    let fine = [85.0, 74.0, 60.0, 44.0, 31.0, 22.0, 20.0, 27.0];
    assert_eq!(l(&fine), "", "what a plate prints is taken");
    assert!(l(&[85.0, 74.0, 60.0, 44.0]).contains("at least 5"), "too few");
    assert!(l(&[50.0; 8]).contains("much the same"), "all equal");
    assert!(
        l(&[85.0, 74.0, 120.0, 44.0, 31.0]).contains("Step 3: L* 120 can't be"),
        "out of range"
    );
    assert!(l(&[f64::NAN, 74.0, 60.0, 44.0, 31.0]).contains("Step 1"), "not a number");
    assert!(l(&[85.0, 60.0, 74.0, 44.0, 31.0]).contains("Step 3 (L* 74) reads lighter"), "swapped");
    assert!(
        l(&[85.0, 60.0, 30.0, 50.0, 40.0, 60.0]).contains("does not recover"),
        "breaks down and recovers"
    );
    assert!(l(&[20.0, 30.0, 44.0, 60.0, 80.0]).contains("other way round"), "upside down");
    let mut turned = fine;
    turned.reverse();
    assert!(l(&turned).contains("other way round"), "upside down, and past the darkest");
    assert!(
        l(&[99.0, 74.0, 60.0, 44.0, 31.0]).contains("lighter than the paper"),
        "whiter than paper"
    );
    for (word, kind) in [
        ("lightness", Kind::Lightness),
        ("density", Kind::Density),
        ("density_over_paper", Kind::DensityOverPaper),
    ] {
        assert_eq!(Kind::from_word(word), Some(kind), "{word}");
    }
    assert_eq!(Kind::from_word("darkness"), None);
    // D = −log10 R (ISO 5-4): 0.07 is R 0.8511, L* 116·R^⅓ − 16 = 93.93.
    let densities = some(&[0.07, 0.3, 0.6, 0.9, 1.2]);
    let read = in_lightness(Kind::Density, &densities, 0.85).expect("sound");
    assert!((read[0].expect("read") - 93.93).abs() < 0.01, "{read:?}");
    assert_eq!(grey_reflectance(1.0), 0.1, "a grey by its density");
    assert!((grey_reflectance(50.0) - 0.1842).abs() < 1e-4, "and by its L*");
    let over = in_lightness(Kind::DensityOverPaper, &some(&[0.0, 0.3, 0.6, 0.9, 1.2]), 0.85);
    assert!((over.expect("sound")[0].expect("read") - 93.88).abs() < 0.01, "zero is the paper");
    assert!(
        said(Kind::Density, &some(&[0.1, 0.3, 0.6, 0.9, 3.4])).contains("density 3.4"),
        "too dense"
    );

    // Falls as it must, but no constants print it.
    let forward = forward();
    let odd: Vec<f64> = (0..8).map(|i| if i < 7 { 90.0 - f64::from(i) } else { 30.0 }).collect();
    let words = fitted(forward, &odd).expect_err("no such plate");
    let words: String = words.iter().map(ToString::to_string).collect();
    assert!(words.contains("no constants in their plausible range"), "{words}");
}

#[test]
fn a_step_plate_is_designed_for_its_ground_and_bath() {
    for steps in [6, 8, 10] {
        let made = design(&Plan::default(), steps).expect("a sound plan");
        assert_eq!(made.bite_min.len(), steps, "as many bites as asked");
        assert!(made.layout.width_mm < 180.0, "fits on a sheet of A4: {} mm", made.layout.width_mm);
        assert!(made.bite_min.iter().all(|m| (m * 4.0) % 1.0 == 0.0), "timed by hand");
        let mut in_all = 0.0;
        for (own, minutes) in made.bite_min.iter().zip(&made.minutes) {
            in_all += own;
            assert_eq!(*minutes, in_all, "minutes in all: {:?}", made.minutes);
        }
        // Each step is as many times longer than the one before, to half of what a hand times.
        let (first, last) = (made.minutes[0], made.minutes[steps - 1]);
        for (k, minutes) in made.minutes.iter().enumerate() {
            let even = first * libm::pow(last / first, k as f64 / (steps - 1) as f64);
            assert!((minutes / even - 1.0).abs() < 0.15, "step {k}: {minutes} of {even} min");
        }
        let on = &made.layout;
        for pair in on.patches.windows(2) {
            let gap = pair[1].left_mm - pair[0].left_mm - pair[0].width_mm;
            assert_eq!((gap, pair[1].top_mm), (4.0, 8.0), "between patches, and over them");
        }
        let end = on.patches[steps - 1];
        assert_eq!(on.width_mm - end.left_mm - end.width_mm, on.patches[0].left_mm, "left, right");
        assert_eq!(on.height_mm - end.top_mm - end.height_mm, end.top_mm, "over and under them");
        let plate = step_plate(&Plan::default(), &made.bite_min).expect("a sound plan");
        let (mut renderer, view) = (Renderer::default(), View::default());
        let mut looking = renderer.look(&plate, &view);
        let values = looking.values();
        let patch = 12.0 * 24.0 / (on.width_mm * on.height_mm);
        for (k, value) in values.iter().skip(1).enumerate() {
            assert!((value.area_share - patch).abs() < 1e-12, "step {k}: {}", value.area_share);
            assert_eq!(value.lightness, made.expected_l[k], "step {k} prints as expected");
        }
        let paper = 1.0 - patch * steps as f64;
        assert!((values[0].area_share - paper).abs() < 1e-12, "{paper} is left white");
        // Half as long again as the darkest, so that breaking down is seen.
        let darkest_min = looking.tone_curve().darkest_min;
        assert!((last / darkest_min / 1.5 - 1.0).abs() < 0.08, "{last} of {darkest_min} min");
        let l = &made.expected_l;
        assert!((l[0] - values[0].lightness + 8.0).abs() < 3.0, "8 below the paper: {l:?}");
        assert!((78.0..92.0).contains(&l[0]), "the first is pale: L* {}", l[0]);
        let darkest = l.iter().fold(100.0_f64, |a, &b| a.min(b));
        assert!(l[steps - 1] > darkest + 1.0, "the last is past the darkest: {l:?}");
        assert!(
            in_lightness(Kind::Lightness, &l.iter().map(|&l| Some(l)).collect::<Vec<_>>(), 0.85)
                .is_ok(),
            "what it is expected to print passes the check"
        );
    }
    let few = design(&Plan::default(), 3).expect_err("too few");
    assert!(few[0].to_string().contains("6 to 10 steps"), "{few:?}");
    let mut spent = Plan::default();
    (spent.bath.copper_g_per_l, spent.bath.strength_be) = (60.0, 25.0);
    assert!(
        design(&spent, 8).expect_err("it does not bite")[0].to_string().contains("too slowly"),
        "a spent bath"
    );
}

#[test]
fn a_new_step_plate_does_not_lean_on_an_earlier_one() {
    let mut plan = Plan::default();
    plan.calibration.insert("bake.hysteresis_deg".to_owned(), 10.0);
    let own = plan.clone();
    for key in TOLD {
        plan.calibration.insert(key.to_owned(), 1.0);
    }
    assert_eq!(unfitted(&plan), own, "only what a step plate tells is forgotten");
}
