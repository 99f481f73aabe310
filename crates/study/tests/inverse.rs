//! Plans made backwards print what was asked, over many baths and grounds; what can't be had is said.

use crate::common;

use common::{Everywhere, Seen, plate_with};
use plan::{Agitation, Bite, Plan};
use plate::chain::Job;
use plate::light;
use rand::RngExt;
use rand_pcg::Pcg32;
use study::inverse::{Inverse, Wanted, even_steps, inverse, picture_values, same_values};
use study::timing::Rounding;
use study::tone_response::{MET_L, ToneResponse, tone_response};

/// Grounds and inks, and baths tried on each: 200 together.
const GROUNDS: u64 = 10;
const BATHS: u64 = 20;

struct Chance(Pcg32);

impl Chance {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0.random_range(low..high)
    }
}

fn random_ground(chance: &mut Chance, seed: u64) -> Plan {
    let mut plan = Plan { seed: seed as u32, ..Plan::default() };
    plan.bites.truncate(3);
    plan.picture.thresholds_l.truncate(3);
    // Covers of 0.3 to 0.8: a fuller ground bites its palest values in less than a quarter minute.
    plan.dust.wait_s = chance.between(15.0, 60.0);
    plan.dust.dusting_min = chance.between(2.5, 6.5);
    // A shop's own constants, anywhere near the middle of their ranges.
    for (key, low, high) in [
        ("bite.rate_um_per_min", 0.5, 1.5),
        ("ink.absorption_per_um", 0.6, 1.3),
        ("ink.surface_reflectance", 0.015, 0.035),
        ("ink.hand_overlap_um", 0.5, 1.6),
    ] {
        plan.calibration.insert(key.to_owned(), chance.between(low, high));
    }
    plan.ink.base_parts = if chance.between(0.0, 1.0) < 0.3 { 40.0 } else { 0.0 };
    plan
}

fn random_bath(chance: &mut Chance, plan: &mut Plan) {
    plan.bath.strength_be = chance.between(28.0, 45.0);
    plan.bath.temperature_c = chance.between(14.0, 28.0);
    plan.bath.copper_g_per_l = chance.between(0.0, 20.0);
    plan.bath.volume_l = chance.between(1.0, 8.0);
    plan.bath.agitation = [Agitation::Rocked, Agitation::Feathered, Agitation::StillFaceDown]
        [(chance.between(0.0, 3.0)) as usize];
}

fn response_of(seen: &mut Seen) -> ToneResponse {
    tone_response(&seen.plate, &mut seen.renderer)
}

fn back(
    seen: &mut Seen,
    response: &ToneResponse,
    wanted_l: &[f64],
    bitten_min: &[f64],
    rounding: Rounding,
) -> Inverse {
    let wanted = Wanted { wanted_l, bitten_min, rounding };
    inverse(&seen.plate, &mut seen.renderer, response, &wanted)
}

/// Runs a schedule forwards, with the chain that prints every proof.
fn forwards(plate: &mut Seen, plan: &Plan, minutes: &[f64]) -> Vec<f64> {
    let mut other = plan.clone();
    other.bites = minutes.iter().map(|&bite_min| Bite { bite_min }).collect();
    let areas = std::sync::Arc::new(Everywhere::value(minutes.len(), 2));
    plate.change(&Job::new(other, areas));
    plate.look().values().iter().skip(1).map(|value| value.lightness).collect()
}

#[test]
fn over_200_random_baths_and_grounds_the_plan_prints_what_was_asked() {
    let mut chance = Chance(Pcg32::new(8, 8));
    let (mut worst, mut asked, mut refused) = (0.0_f64, 0, 0);
    for ground in 0..GROUNDS {
        let mut plan = random_ground(&mut chance, ground);
        let mut plate = plate_with(&plan, Everywhere::value(3, 2));
        let response = response_of(&mut plate);
        let (_, darkest_l) = response.darkest();
        for _ in 0..BATHS {
            random_bath(&mut chance, &mut plan);
            plate.change(&Job::new(plan.clone(), std::sync::Arc::new(Everywhere::value(3, 2))));
            // Three values anywhere from near the paper to the darkest, at least 6 L* apart.
            let room = response.paper_l() - 4.0 - darkest_l - 2.0 * 6.0;
            let mut cuts: Vec<f64> = (0..3).map(|_| chance.between(0.0, room)).collect();
            cuts.sort_by(f64::total_cmp);
            let wanted: Vec<f64> = cuts
                .iter()
                .enumerate()
                .map(|(i, cut)| response.paper_l() - 4.0 - cut - 6.0 * i as f64)
                .collect();
            let back = back(&mut plate, &response, &wanted, &[], Rounding::ByHand);
            let minutes: Vec<f64> = back.bites.iter().map(|bite| bite.bite_min).collect();
            let printed = forwards(&mut plate, &plan, &minutes);
            for (bite, printed_l) in back.bites.iter().zip(&printed) {
                assert!(
                    (bite.lightness - printed_l).abs() < 0.3,
                    "said L* {}, printed {printed_l} on ground {ground}",
                    bite.lightness
                );
                let off = (printed_l - bite.wanted_l).abs();
                if bite.hindrance.is_none() {
                    asked += 1;
                    worst = worst.max(off);
                    assert!(
                        off <= MET_L + 0.3,
                        "asked L* {}, printed {printed_l}: {bite:?}",
                        bite.wanted_l
                    );
                } else {
                    refused += 1;
                }
            }
        }
    }
    // A fast bath bites the palest values in less than a quarter minute: those are said, and few.
    assert!(
        asked >= 540,
        "{asked} values of 600 were met and {refused} refused; the worst was {worst} off"
    );
}

#[test]
fn the_darkest_is_the_smallest_dose_that_prints_so_dark() {
    // Dust that has not melted rubs off: bare copper, bitten until it is as rough as it grows, then no darker.
    let mut plan = Plan::default();
    (plan.bake.bake_min, plan.bake.hot_plate_c) = (0.5, 60.0);
    let mut plate = plate_with(&plan, Everywhere::value(7, 2));
    assert_eq!(plate.ground_statistics().cover, 0.0, "nothing holds");
    let response = response_of(&mut plate);
    let (darkest_um, darkest_l) = response.darkest();
    // An open bite under a hand wipe has density 0.150 (the ink's table of films).
    let open = light::lightness(libm::pow(10.0, -0.150));
    assert!((darkest_l - open).abs() < 0.2, "an open bite prints L* {darkest_l}, not {open}");
    // The roughness is whole but for e^(−R/2): less than a ten-thousandth after 20 µm.
    assert!(darkest_um > 20.0, "rough after {darkest_um} µm");
    assert_eq!(response.dose_for(darkest_l), Some(darkest_um), "µm for L* {darkest_l}");
    assert_eq!(response.lightness_at(darkest_um), darkest_l, "and there it prints that");
    assert_eq!(response.lightness_at(2.0 * darkest_um), darkest_l, "past it, too");
}

#[test]
fn what_is_impossible_is_always_said_and_what_is_possible_never() {
    let mut chance = Chance(Pcg32::new(9, 9));
    for ground in 0..3 {
        let mut plan = random_ground(&mut chance, ground);
        plan.bites.truncate(2);
        plan.picture.thresholds_l.truncate(2);
        let mut plate = plate_with(&plan, Everywhere::value(2, 1));
        let response = response_of(&mut plate);
        let (_, darkest_l) = response.darkest();
        let middle = 0.5 * (response.paper_l() + darkest_l);
        let said = |plate: &mut Seen, wanted: [f64; 2]| -> Vec<bool> {
            let back = back(plate, &response, &wanted, &[], Rounding::ByHand);
            back.bites.iter().map(|bite| bite.hindrance.is_some()).collect()
        };
        assert_eq!(said(&mut plate, [middle, darkest_l]), [false, false], "both can be had");
        let below = darkest_l - chance.between(0.2, 15.0);
        assert_eq!(
            said(&mut plate, [middle, below]),
            [false, true],
            "darker than the darkest: {below}"
        );
        assert_eq!(said(&mut plate, [99.0, middle]), [true, false], "lighter than bare copper");
        assert_eq!(said(&mut plate, [middle, middle + 5.0]), [false, true], "in the wrong order");
        // 52 g/L is all that 25 °Bé can take up (bite.md §1.1): this bath bites no more.
        (plan.bath.copper_g_per_l, plan.bath.strength_be) = (60.0, 25.0);
        let mut spent = plate_with(&plan, Everywhere::value(2, 1));
        assert_eq!(
            said(&mut spent, [middle, darkest_l]),
            [true, true],
            "a spent bath never gets there"
        );
    }
}

/// The plan with what a remedy says of it.
fn with_remedy(plan: &Plan, words: &str) -> Plan {
    let after = |mark: &str| -> Option<f64> {
        let (_, rest) = words.split_once(mark)?;
        Some(rest.split([' ', ',', ')']).next().and_then(|word| word.parse().ok()).expect(mark))
    };
    let mut plan = plan.clone();
    let dust = &mut plan.dust;
    dust.wait_s = after(" wait of ").unwrap_or(dust.wait_s);
    dust.median_um = after(" powder of ").unwrap_or(dust.median_um);
    dust.dustings = after(" dust (").unwrap_or(dust.dustings);
    let powder = after(" dusting of ").or_else(|| after(" dustings of "));
    dust.powder_g_per_m2 = powder.unwrap_or(dust.powder_g_per_m2);
    plan.bake.bake_min = after(" bake of ").unwrap_or(plan.bake.bake_min);
    if words.contains("neat black") {
        (plan.ink.base_parts, plan.ink.reducer_parts) = (0.0, 0.0);
    }
    if words.contains("by hand, less hard") {
        plan.ink.wipe = plan::Wipe::Hand;
    }
    plan
}

fn darkest_of(plan: &Plan) -> f64 {
    response_of(&mut plate_with(plan, Everywhere::value(7, 7))).darkest().1
}

#[test]
fn what_is_said_to_carry_a_value_too_dark_does_carry_it() {
    let with = |change: &dyn Fn(&mut Plan)| {
        let mut plan = Plan::default();
        change(&mut plan);
        plan
    };
    // By how much the wish is too dark, and what is said first of all that would do.
    for (plan, too_dark, says) in [
        (
            with(&|plan| (plan.dust.wait_s, plan.dust.powder_g_per_m2) = (150.0, 60.0)),
            1.0,
            "dust (",
        ),
        (with(&|plan| plan.ink.base_parts = 60.0), 2.0, "With neat black it would reach"),
        (with(&|plan| plan.ink.wipe = plan::Wipe::Hard), 2.0, "With a wipe by hand, less hard it"),
        (with(&|plan| plan.dust.powder_g_per_m2 = 8.0), 2.0, "more dust ("),
        (with(&|plan| plan.dust.wait_s = 0.0), 1.0, " "),
    ] {
        let mut plate = plate_with(&plan, Everywhere::value(7, 7));
        let response = response_of(&mut plate);
        let wanted = even_steps(response.paper_l(), response.darkest().1 - too_dark, 7);
        let found = back(&mut plate, &response, &wanted, &[], Rounding::Quarters);
        let hindrance = found.bites[6].hindrance.as_ref().expect("it says why");
        assert_eq!(hindrance.code, "wish.too_dark", "{hindrance}");
        let words = hindrance.hint.to_string();
        assert!(words.starts_with("With ") && words.contains(says), "said: {words}");
        let l = darkest_of(&with_remedy(&plan, &words));
        assert!(l <= wanted[6] + 0.05, "{words} L* {l}, wanted {}", wanted[6]);
    }
}

#[test]
fn where_nothing_carries_it_the_darkest_found_is_named_and_each_row_names_its_own_wish() {
    let plan = Plan::default();
    let mut plate = plate_with(&plan, Everywhere::value(7, 7));
    let response = response_of(&mut plate);
    let mut wanted = even_steps(response.paper_l(), 5.0, 7);
    wanted[5] = response.darkest().1 - 0.5;
    let found = back(&mut plate, &response, &wanted, &[], Rounding::Quarters);
    let [before, last] = [5, 6].map(|i| found.bites[i].hindrance.as_ref().expect("too dark"));
    assert!(last.to_string().contains("before L* 5:"), "{last}");
    assert!(before.to_string().contains(&format!("before L* {:.0}:", wanted[5])), "{before}");
    assert!(before.hint.to_string().starts_with("With "), "{before}");
    let words = last.hint.to_string();
    let (_, rest) = words.split_once("the darkest is L* ").expect("how far it goes");
    let said: f64 = rest.split(',').next().and_then(|word| word.parse().ok()).expect("L*");
    let l = darkest_of(&with_remedy(&plan, &words));
    assert!((said - l).abs() <= 0.55 && l < response.darkest().1, "{words}: L* {l}");
    // And so it is: no wait and no cover goes further by what one could see.
    for wait_s in [0.0, 30.0, 90.0] {
        for powder_g_per_m2 in [12.0, 25.0, 50.0] {
            let mut other = plan.clone();
            (other.dust.wait_s, other.dust.powder_g_per_m2) = (wait_s, powder_g_per_m2);
            let l_of = darkest_of(&other);
            assert!(l_of > l - 1.0, "{wait_s} s, {powder_g_per_m2} g/m²: L* {l_of}, said {l}");
        }
    }
}

#[test]
fn the_response_is_what_the_ground_prints() {
    let mut plate = plate_with(&Plan::default(), Everywhere::value(7, 7));
    let response = response_of(&mut plate);
    let (darkest_um, darkest_l) = response.darkest();
    let mut chance = Chance(Pcg32::new(10, 10));
    for k in 0..24 {
        // Evenly in ln, from 1 % of the darkest dose.
        let share = (f64::from(k) + chance.between(0.0, 1.0)) / 24.0;
        let dose_um = darkest_um * libm::pow(100.0, share - 1.0);
        let (read, printed) = (response.lightness_at(dose_um), plate.look().lightness_at(dose_um));
        assert!((read - printed).abs() < 0.3, "{dose_um} µm print L* {printed}, read L* {read}");
        assert!(
            printed > darkest_l - 0.05,
            "{dose_um} µm print L* {printed}, the darkest {darkest_l}"
        );
        // The way back: no more than this dose prints as dark, and as dark it is.
        let back = response.dose_for(read).expect("a dose");
        assert!(back < dose_um + 1e-9, "{back} of {dose_um} µm");
        assert!((response.lightness_at(back) - read).abs() < 1e-9, "{back} µm for L* {read}");
    }
    assert_eq!(response.lightness_at(0.0), response.paper_l());
    assert!((response.paper_l() - plate.look().lightness_at(0.0)).abs() < 1e-12, "unbitten");
    assert!((darkest_l - plate.look().lightness_at(darkest_um)).abs() < 1e-12, "the darkest");
    assert_eq!(response.lightness_at(2.0 * darkest_um), darkest_l, "it stays there");
    assert_eq!(response.dose_for(response.paper_l()), Some(0.0), "paper takes no bite");
    assert_eq!(response.dose_for(darkest_l), Some(darkest_um));
    assert_eq!(response.dose_for(darkest_l - 0.04), Some(darkest_um), "taken for the darkest");
    assert_eq!(response.dose_for(darkest_l - 0.06), None, "darker than the darkest");
    let past_l = plate.look().lightness_at(1.5 * darkest_um);
    assert!(response.breaks_down() && past_l > darkest_l + 0.5, "L* {past_l} past {darkest_l}");
}

fn bitten(plan: &Plan, done: &[f64]) -> (ToneResponse, Inverse, Vec<f64>) {
    let mut plate = plate_with(plan, Everywhere::value(7, 7));
    let response = response_of(&mut plate);
    let wanted = even_steps(response.paper_l(), response.darkest().1, 7);
    let back = back(&mut plate, &response, &wanted, done, Rounding::Quarters);
    (response, back, wanted)
}

#[test]
fn bites_that_have_run_stay_and_the_rest_makes_up_for_them() {
    let plan = Plan::default();
    let (_, whole, _) = bitten(&plan, &[]);
    let first = whole.bites[0].bite_min;
    let (_, after, wanted) = bitten(&plan, &[first + 0.6]);
    assert_eq!(after.bites[0].bite_min, first + 0.6, "the bite that ran stays as it ran");
    assert!(after.bites[0].bitten, "and is marked");
    assert!(after.bites[0].lightness < wanted[0], "it prints darker than asked");
    assert!(after.bites[1].bite_min < whole.bites[1].bite_min, "the next is shorter");
    for bite in &after.bites[1..] {
        assert!((bite.lightness - bite.wanted_l).abs() < MET_L, "{bite:?}");
    }
}

#[test]
fn another_bath_prints_the_same_values() {
    let mut plan = Plan::default();
    plan.bath.volume_l = 0.8;
    let before = plate_with(&plan, Everywhere::value(7, 7));
    let doses_um = before.session().dose_um[1..].to_vec();
    let same = |plan: &Plan| {
        same_values(&plate_with(plan, Everywhere::value(7, 7)), &doses_um, Rounding::ByHand)
    };
    let (exact, timed) = same(&plan);
    let own: Vec<f64> = plan.bites.iter().map(|bite| bite.bite_min).collect();
    for (found, own) in exact.iter().zip(&own) {
        assert!(
            (found - own).abs() < 0.01,
            "the same bath takes the same minutes: {found} and {own}"
        );
    }
    assert_eq!(timed, own, "and rounds to them");
    plan.bath.temperature_c = 17.0;
    let (cold, _) = same(&plan);
    // Arrhenius, 22 kJ/mol (bite.md §2.1): e^{(22000/8.314)(1/290.15 − 1/293.15)} = 1.098; closed form.
    let times = cold[0] / own[0];
    assert!((times - 1.098).abs() < 0.01, "17 °C takes {times} times as long");
}

#[test]
fn the_pictures_values_span_paper_to_darkest() {
    let mut histogram = vec![0; 101];
    for (l, pixels) in [(95, 10), (80, 5), (60, 20), (20, 8)] {
        histogram[l] = pixels;
    }
    let wanted = picture_values(&histogram, &[90.0, 70.0, 40.0], 93.0, 18.0);
    // Linear: L = 18 + (l − 20)·75/75.
    assert_eq!(wanted, [78.0, 58.0, 18.0], "the means of the classes, in the print's range");
}

#[test]
fn rounding_is_that_of_a_person() {
    for (minutes, timed) in
        [(0.05, 0.25), (1.1, 1.0), (3.9, 4.0), (5.2, 5.0), (5.3, 5.5), (13.4, 13.0)]
    {
        assert_eq!(Rounding::ByHand.round(minutes), timed, "{minutes} min");
    }
    for (word, of_5_3, of_13_6, least) in
        [("quarters", 5.25, 13.5, 0.25), ("halves", 5.5, 13.5, 0.5), ("wholes", 5.0, 14.0, 1.0)]
    {
        let rounding = Rounding::from_word(word).expect("a rounding");
        assert_eq!(
            [5.3, 13.6, 0.0].map(|minutes| rounding.round(minutes)),
            [of_5_3, of_13_6, least]
        );
        assert_eq!(
            rounding.round(500.0),
            plan::BITE_MIN.1,
            "{word}: no longer than a plan may have"
        );
    }
    assert_eq!(Rounding::from_word("by_hand"), Some(Rounding::ByHand));
    assert_eq!(Rounding::from_word("thirds"), None);
    assert!(
        (light::density(light::reflectance_of_lightness(50.0)) - 0.7347).abs() < 1e-3,
        "L* 50 is D 0.735"
    );
}
