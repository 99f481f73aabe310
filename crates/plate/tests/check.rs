//! The one check of a plan, its calibration included.

use plan::Plan;
use plan::link::encode;
use plate::check::{problems, read, read_link};
use plate::constants::Constants;

fn calibrated(entries: &[(&str, f64)]) -> Plan {
    let calibration = entries.iter().map(|(key, value)| ((*key).to_owned(), *value)).collect();
    Plan { calibration, ..Plan::default() }
}

#[test]
fn every_constant_is_known_at_its_ends_and_refused_beyond() {
    let catalogue = Constants::catalogue();
    for info in &catalogue {
        // Ink left on land and on bitten copper may not cross, so the two go to their ends together.
        let other = if info.key.contains("_land_film_um") {
            info.key.replace("_land_", "_floor_")
        } else {
            info.key.replace("_floor_film_um", "_land_film_um")
        };
        let other = catalogue.iter().find(|one| one.key == other).expect("both films are known");
        for (end, with) in [(info.min, other.min), (info.max, other.max)] {
            let plan = calibrated(&[(info.key, end), (other.key, with)]);
            assert_eq!(problems(&plan), [], "{} at {end}", info.key);
        }
        let beyond = info.max.abs() * 2.0 + 1.0;
        for wrong in [-beyond, beyond, f64::NAN, f64::INFINITY] {
            let found = problems(&calibrated(&[(info.key, wrong)]));
            assert_eq!(found.len(), 1, "{} at {wrong}: {found:?}", info.key);
            assert_eq!(found[0].field, format!("calibration.{}", info.key));
        }
    }
}

#[test]
fn entries_and_constants_are_told_together() {
    let mut plan = calibrated(&[("bite.rat", 1.0), ("bite.rate_um_per_min", -1.0)]);
    plan.bake.hot_plate_c = 900.0;
    let fields: Vec<String> = problems(&plan).into_iter().map(|problem| problem.field).collect();
    let expected = ["bake.hot_plate_c", "calibration.bite.rat", "calibration.bite.rate_um_per_min"];
    assert_eq!(fields, expected);
    let refused = read(&plan.to_json()).expect_err("an impossible plan was read");
    assert_eq!(refused, problems(&plan), "a file says the same");
}

#[test]
fn a_link_is_checked_as_a_file_is() {
    let sound = calibrated(&[("bite.rate_um_per_min", 0.9)]);
    let link = encode(&sound, None).expect("a link");
    assert_eq!(read_link(&link).expect("a sound link").plan, sound);
    let wrong = encode(&calibrated(&[("bite.rat", 1.0)]), None).expect("a link");
    let said = read_link(&wrong).expect_err("an impossible plan was read").to_string();
    assert!(said.contains("“bite.rat”, which is no constant"), "{said}");
}

#[test]
fn films_that_cross_are_told_by_what_they_are() {
    let crossed = calibrated(&[("ink.hand_land_film_um", 0.3), ("ink.hand_floor_film_um", 0.1)]);
    let found = problems(&crossed);
    assert_eq!(found.len(), 1, "{found:?}");
    let said = found[0].to_string();
    for words in [
        "ink left on polished copper by a hand wipe to 0.3 µm",
        "ink left on bitten copper by a hand wipe to 0.1 µm",
    ] {
        assert!(said.contains(words), "no “{words}” in: {said}");
    }
}
