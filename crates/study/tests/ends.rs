//! The model's ends: plates bitten through, baths that are used up, constants that cross.

use crate::common;

use common::{Everywhere, Seen, plate_with};
use plan::{Agitation, Bite, Plan, Wipe};
use plate::chain::LONGEST_MIN;
use plate::constants::{ConstantInfo, Constants, IN_ORDER};
use plate::grid::Grid;
use plate::ink::{InkScratch, Inking};
use plate::light;
use study::inverse::{Inverse, Wanted, even_steps};
use study::sensitivity::Sensitivity;
use study::timing::Rounding;
use study::tolerance::{Draws, Spread};
use study::tone_response::ToneResponse;

fn messages(seen: &mut Seen, field: &str) -> Vec<String> {
    let summary = study::summary(&seen.plate, &seen.view, &mut seen.renderer);
    let warnings = summary.warnings.into_iter();
    warnings.filter(|w| w.field == field).map(|w| w.to_string()).collect()
}

fn response_of(seen: &mut Seen) -> ToneResponse {
    study::tone_response(&seen.plate, &mut seen.renderer)
}

fn backwards(seen: &mut Seen, response: &ToneResponse, wanted_l: &[f64]) -> Inverse {
    let wanted = Wanted { wanted_l, bitten_min: &[], rounding: Rounding::Quarters };
    study::inverse(&seen.plate, &mut seen.renderer, response, &wanted)
}

fn moved(seen: &mut Seen, constant: &ConstantInfo) -> Sensitivity {
    study::sensitivity(&seen.plate, &mut seen.renderer, constant).expect("in order")
}

#[test]
fn an_open_bite_of_any_depth_prints_as_a_shallower_one() {
    let grid = Grid { left_px: 0, top_px: 0, width: 120, height: 120, px_um: 8.0 };
    let plan = Plan::default();
    for wipe in [Wipe::Tarlatan, Wipe::Hand, Wipe::Hard] {
        let inking = Inking::new(
            &plan::Ink { wipe, ..plan.ink.clone() },
            &plan.paper,
            &Constants::default().ink,
        );
        let prints = |depth_um: f32| {
            let (mut scratch, mut light) = (InkScratch::default(), Vec::new());
            inking.print(&vec![depth_um; grid.len()], &grid, &mut scratch, &mut light);
            light::lightness(light.iter().map(|&r| f64::from(r)).sum::<f64>() / light.len() as f64)
        };
        let shallow = prints(100.0);
        for depth_um in [500.0, 1000.0, 1018.0, 1020.0, 1500.0, 4000.0, 60_000.0] {
            let deep = prints(depth_um);
            assert!(
                (deep - shallow).abs() < 0.5,
                "{wipe:?}, {depth_um} µm: L* {deep}, not {shallow}"
            );
        }
    }
}

#[test]
fn a_plate_bitten_through_is_told_and_does_not_print_black() {
    let mut plan = Plan::default();
    plan.bath.agitation = Agitation::Sprayed;
    plan.bath.temperature_c = 30.0;
    plan.bath.volume_l = 100.0;
    plan.bites =
        [20.0, 40.0, 80.0, 110.0, 120.0, 120.0, 120.0].map(|bite_min| Bite { bite_min }).to_vec();
    let mut plate = plate_with(&plan, Everywhere::paper(7));
    let values = plate.look().values();
    assert!(values[7].bitten_um > 1300.0, "deep enough to tell: {} µm", values[7].bitten_um);
    for pair in values[3..].windows(2) {
        assert!(pair[1].lightness > pair[0].lightness - 1.0, "long broken down: {pair:?}");
    }
    let said = messages(&mut plate, "bites.6.bite_min").join(" ");
    assert!(said.contains("Value 7 is bitten through"), "said: {said}");
}

#[test]
fn a_used_up_bath_no_longer_bites_and_names_no_minutes() {
    let mut plan = Plan::default();
    (plan.bath.strength_be, plan.bath.copper_g_per_l) = (22.0, 60.0);
    let mut plate = plate_with(&plan, Everywhere::value(7, 7));
    assert!(plate.no_longer_bites(), "60 g/L are more than its iron can take");
    let curve = plate.look().tone_curve();
    assert!(curve.darkest_min.is_nan(), "no minutes: {}", curve.darkest_min);
    assert!(
        curve.minutes.len() >= 2 && curve.minutes.iter().all(|&m| m <= LONGEST_MIN),
        "{:?}",
        curve.minutes
    );
    let said = messages(&mut plate, "bath.copper_g_per_l");
    assert_eq!(said.len(), 1, "once: {said:?}");
    assert!(said[0].starts_with("This bath no longer bites"), "said: {}", said[0]);
    assert_eq!(
        messages(&mut plate, "bites.3.bite_min"),
        Vec::<String>::new(),
        "the bites are not to blame"
    );
    let response = response_of(&mut plate);
    let wanted = even_steps(response.paper_l(), response.darkest().1, 7);
    let back = backwards(&mut plate, &response, &wanted);
    assert!(back.darkest_min.is_nan(), "no minutes backwards: {}", back.darkest_min);
    assert!(
        back.darkest_sentence.to_string().contains("This bath no longer bites"),
        "{}",
        back.darkest_sentence
    );
    assert!(
        back.bites[3].hindrance.as_ref().is_some_and(|h| h.contains("This bath no longer bites")),
        "{:?}",
        back.bites[3].hindrance
    );
}

#[test]
fn a_bath_that_dies_on_the_way_is_told_with_its_bite() {
    let mut plan = Plan::default();
    (plan.bath.strength_be, plan.bath.copper_g_per_l) = (30.0, 40.0);
    plan.bath.volume_l = 0.2;
    plan.bites = vec![Bite { bite_min: 120.0 }; 7];
    let mut plate = plate_with(&plan, Everywhere::value(7, 7));
    let said = messages(&mut plate, "bath.copper_g_per_l").join(" ");
    assert!(said.contains("no longer bites") && said.contains("from bite "), "said: {said}");
}

/// Table, warnings and backwards agree on when it is darkest, in a bath where minutes do not add up.
#[test]
fn a_still_bath_has_one_answer() {
    let mut plan = Plan::default();
    plan.bath.agitation = Agitation::StillFaceUp;
    plan.bath.temperature_c = 35.0;
    plan.calibration.insert("bite.still_layer_um_per_root_min".to_owned(), 1.7);
    let mut plate = plate_with(&plan, Everywhere::paper(7));
    let response = response_of(&mut plate);
    let (darkest_um, darkest_l) = response.darkest();
    // Bites that go beyond the darkest.
    plan.bites = vec![Bite { bite_min: 60.0 }; 7];
    let mut plate = plate_with(&plan, Everywhere::paper(7));
    let curve = plate.look().tone_curve();
    let doses_um = plate.session().dose_um.clone();
    let past = doses_um.iter().position(|&um| um >= darkest_um).expect("it gets there");
    assert!(
        curve.darkest_min > 60.0 * (past - 1) as f64 && curve.darkest_min <= 60.0 * past as f64,
        "darkest at {} min, in bite {past}",
        curve.darkest_min
    );
    for (index, value) in plate.look().values().iter().enumerate().skip(1) {
        let said = messages(&mut plate, &format!("bites.{}.bite_min", index - 1)).join(" ");
        let beyond = value.cumulative_min > curve.darkest_min;
        assert_eq!(said.contains("breaks down after"), beyond, "value {index}: {said}");
        // The curve passes through the table.
        let at =
            curve.minutes.iter().position(|&m| m >= value.cumulative_min).expect("on the curve");
        let (above, below) = (curve.lightness[at - 1], curve.lightness[at]);
        // Where the ground has broken down the cloth's levels are wide: L* is known to about 2 there.
        assert!(
            value.lightness < above.max(below) + 2.5 && value.lightness > above.min(below) - 2.5,
            "value {index} prints {}, the curve {above} to {below}",
            value.lightness
        );
    }
    let wanted = even_steps(response.paper_l(), darkest_l, 7);
    let back = backwards(&mut plate, &response, &wanted);
    let total: f64 = back.bites.iter().map(|bite| bite.bite_min).sum();
    assert!(
        (back.darkest_min - total).abs() < 0.02 * total,
        "{} in {total} minutes",
        back.darkest_min
    );
    // Taken into the plan, they give the same minutes there.
    plan.bites = back.bites.iter().map(|bite| Bite { bite_min: bite.bite_min }).collect();
    let taken = plate_with(&plan, Everywhere::paper(7)).look().tone_curve().darkest_min;
    assert!((taken - back.darkest_min).abs() < 0.02 * total, "{taken} and {}", back.darkest_min);
}

#[test]
fn films_that_cross_are_refused_and_never_tried() {
    for (lower, upper) in IN_ORDER {
        let catalogue = Constants::catalogue();
        let range = |key: &str| catalogue.iter().find(|info| info.key == key).expect("known");
        let (most, least) = (range(lower).max, range(upper).min);
        let crossed = [(lower.to_owned(), most), (upper.to_owned(), least)].into();
        let refused = Constants::calibrated(&crossed).expect_err("they cross");
        assert!(
            refused.len() == 1
                && refused[0].to_string().contains(lower)
                && refused[0].to_string().contains(upper),
            "both are named: {refused:?}"
        );
        let equal =
            [(lower.to_owned(), least.min(most)), (upper.to_owned(), least.max(least.min(most)))]
                .into();
        assert!(Constants::calibrated(&equal).is_ok(), "{equal:?}");
        // Moved across its whole range a constant stops at the other.
        let mut plate = plate_with(&Plan::default(), Everywhere::value(7, 7));
        for key in [lower, upper] {
            moved(&mut plate, range(key));
        }
    }
    // Prints with every constant drawn at random are in order too.
    let mut plate = plate_with(&Plan::default(), Everywhere::value(7, 7));
    let mut draws = Draws::of(&plate.plate, Spread::Ranges).expect("sound");
    let mut drawn = 0;
    for number in 0..12 {
        drawn += usize::from(draws.draw(number, &mut plate.renderer).is_ok());
    }
    assert_eq!(drawn, 12, "no draw is refused");
}

#[test]
fn a_constant_of_the_dark_values_shows_there() {
    let mut plate = plate_with(&Plan::default(), Everywhere::value(7, 7));
    let catalogue = Constants::catalogue();
    let of = |key: &str| *catalogue.iter().find(|info| info.key == key).expect("known");
    let overlap = moved(&mut plate, &of("ink.hand_overlap_um"));
    assert_eq!(overlap.values, [1, 4, 7]);
    let [pale, _, darkest] = overlap.spreads();
    let [ground_pale, ..] = moved(&mut plate, &of("ink.hand_floor_film_um")).spreads();
    assert!(darkest > 0.0 && pale >= 0.0 && ground_pale > 0.0, "{:?}", overlap.spreads());
    let surface = moved(&mut plate, &of("ink.surface_reflectance")).spreads();
    assert!(surface[2] > 3.0 * surface[0], "the darkest decides on the ink's surface: {surface:?}");
}
