//! What deserves a look, said from so much on and not before: every limit from both its sides.

use crate::common;

use common::worked::{new_ground, with_work};
use common::{Everywhere, Seen, plate_of, plate_with};
use plan::{Bite, Diagnostic, Plan};
use plate::chain::{ToneCurve, Value};
use plate::ground::GroundStatistics;
use study::diagnosis::warnings;

/// What is said of a plate with these statistics and values, its curve darkest after so many minutes.
fn said(
    seen: &Seen,
    statistics: &GroundStatistics,
    values: &[Value],
    darkest_min: f64,
) -> Vec<Diagnostic> {
    let none = Vec::new;
    let curve = ToneCurve {
        minutes: none(),
        lightness: none(),
        density: none(),
        depth_um: none(),
        darkest_min,
    };
    warnings(&seen.plate, &seen.view, statistics, values, &curve)
}

fn codes(said: &[Diagnostic]) -> Vec<&'static str> {
    said.iter().map(|one| one.code).collect()
}

/// A ground that leaves half the copper open, in a fine grain.
fn half() -> GroundStatistics {
    GroundStatistics {
        cover: 0.5,
        domes_per_mm2: 350.0,
        islands_per_mm2: 140.0,
        median_footprint_um: 40.0,
        rubs_off: 0.0,
        overlapping: false,
        pooled: false,
    }
}

/// Value `index`, open for so many minutes, printing this L*; ink fills its pits.
fn value(index: usize, cumulative_min: f64, lightness: f64) -> Value {
    Value {
        index,
        bite_min: 1.0,
        cumulative_min,
        bitten_um: 10.0,
        mean_depth_um: 5.0,
        land: 0.5,
        held_um: 4.5,
        printed_um: 3.0,
        reflectance: 0.3,
        lightness,
        density: 0.5,
        srgb: 100,
        area_share: 0.2,
    }
}

/// A box that can't catch fire, and all else as it should be.
fn quiet() -> Plan {
    let mut plan = Plan::default();
    plan.dust.powder_g_per_m2 = 10.0;
    plan
}

#[test]
fn the_cloud_is_told_from_the_limit_on() {
    let cloud = |powder_g_per_m2: f64, dustings: f64| {
        let mut plan = Plan::default();
        (plan.dust.powder_g_per_m2, plan.dust.dustings) = (powder_g_per_m2, dustings);
        let values = [value(0, 0.0, 93.0)];
        said(&plate_of(&plan), &half(), &values, 30.0)
    };
    // In a box 1 m high so many g a m² of floor are so many a m³; the limit is 15 g/m³.
    assert!(codes(&cloud(14.5, 1.0)).is_empty(), "{:?}", cloud(14.5, 1.0));
    let once = cloud(15.0, 1.0);
    assert_eq!(codes(&once), ["dust.explosible"]);
    assert!(once[0].to_string().starts_with("When stirred up the box holds 15 g"), "{}", once[0]);
    let again = cloud(20.0, 2.0);
    assert!(again[0].to_string().starts_with("Each time it is stirred up the box holds 20 g"));
}

#[test]
fn the_grounds_cover_and_grain_are_told() {
    let seen = plate_of(&quiet());
    let at = |cover, median_footprint_um| {
        let ground = GroundStatistics { cover, median_footprint_um, ..half() };
        codes(&said(&seen, &ground, &[value(0, 0.0, 93.0)], 30.0)).join(" ")
    };
    for (cover, code) in [
        (0.39, "ground.open"),
        (0.41, ""),
        (0.61, ""),
        (0.63, "ground.dense"),
        (0.74, "ground.dense"),
        (0.76, "ground.closing"),
        (0.89, "ground.closing"),
        (0.91, "ground.closed"),
    ] {
        assert_eq!(at(cover, 40.0), code, "cover {cover}");
    }
    assert_eq!(at(0.5, 99.0), "");
    assert_eq!(at(0.5, 101.0), "ground.coarse");
}

#[test]
fn neighbours_are_told_by_their_difference() {
    let seen = plate_of(&quiet());
    let step = |down: f64| {
        let values = [value(0, 0.0, 93.0), value(1, 2.0, 80.0), value(2, 4.0, 80.0 - down)];
        said(&seen, &half(), &values, 30.0)
    };
    for (down, code) in [
        (4.1, None),
        (3.9, Some("values.close")),
        (2.1, Some("values.close")),
        (1.9, Some("values.alike")),
        (-1.9, Some("values.alike")),
        (-2.1, Some("values.close")),
        (-3.9, Some("values.close")),
        (-4.1, Some("values.turned")),
    ] {
        let found = step(down);
        assert_eq!(codes(&found), code.into_iter().collect::<Vec<_>>(), "{down} L* darker");
        assert!(found.iter().all(|one| one.field == "bites.1.bite_min"), "{found:?}");
    }
    let close = step(3.0)[0].to_string();
    assert!(
        close.contains("value 2 and value 1 lie close together: they differ by L* 3"),
        "{close}"
    );
    let paper = [value(0, 0.0, 93.0), value(1, 2.0, 92.0)];
    let paper = said(&seen, &half(), &paper, 30.0)[0].to_string();
    assert!(paper.contains("value 1 and the paper are hard to tell apart"), "{paper}");
    let turned = step(-5.0)[0].to_string();
    assert!(turned.contains("Value 2 prints lighter than value 1 (L* 85 against 80)"), "{turned}");
}

#[test]
fn breaking_down_is_told_by_its_minutes() {
    let seen = plate_of(&quiet());
    let open =
        |minutes: f64| said(&seen, &half(), &[value(0, 0.0, 93.0), value(1, minutes, 40.0)], 20.0);
    // Near it from 85 % of the darkest time on: 17 of 20 minutes.
    for (minutes, code) in [
        (16.9, None),
        (17.1, Some("value.near_breaking")),
        (19.9, Some("value.near_breaking")),
        (20.1, Some("value.broken_down")),
    ] {
        let found = open(minutes);
        assert_eq!(codes(&found), code.into_iter().collect::<Vec<_>>(), "{minutes} min");
        assert!(found.iter().all(|one| one.field == "bites.0.bite_min"), "{found:?}");
    }
    let said = open(25.0)[0].to_string();
    assert!(said.contains("Value 1 is open for 25 min"), "{said}");
    assert!(said.contains("darkest at about 20 min"), "{said}");
}

#[test]
fn an_open_ground_that_holds_no_ink_is_told() {
    let seen = plate_of(&quiet());
    let wiped = |change: &dyn Fn(&mut Value), cover: f64| {
        let mut values = [value(0, 0.0, 93.0), value(1, 2.0, 70.0)];
        (values[1].mean_depth_um, values[1].held_um) = (8.0, 2.0);
        change(&mut values[1]);
        let ground = GroundStatistics { cover, ..half() };
        let found = said(&seen, &ground, &values, 30.0);
        found.into_iter().find(|one| one.code == "value.wiped_out")
    };
    let told = wiped(&|_| (), 0.3).expect("a quarter of the ink is held").to_string();
    assert!(told.contains("wipes 75 % of it away"), "{told}");
    assert!(wiped(&|value| value.held_um = 3.9, 0.3).is_some(), "less than half is held");
    assert!(wiped(&|value| value.held_um = 4.1, 0.3).is_none(), "more than half is held");
    assert!(wiped(&|_| (), 0.41).is_none(), "covered enough");
    assert!(wiped(&|value| value.area_share = 0.0, 0.3).is_none(), "nowhere on the plate");
    let shallow = |mean_depth_um: f64| {
        wiped(&|value| (value.mean_depth_um, value.held_um) = (mean_depth_um, 0.3), 0.3)
    };
    assert!(shallow(3.1).is_some() && shallow(2.9).is_none(), "too thin to be judged");
}

#[test]
fn baths_are_told_as_they_tire() {
    let with = |copper_g_per_l: f64, strength_be: f64| {
        let mut plan = quiet();
        (plan.bath.copper_g_per_l, plan.bath.strength_be) = (copper_g_per_l, strength_be);
        // On bare paper hardly any copper is dissolved.
        let seen = plate_with(&plan, Everywhere::paper(7));
        said(&seen, &half(), &[value(0, 0.0, 93.0)], 30.0)
    };
    // Half the speed at 50 g/L and 40 °Bé (bite.md §1.4), falling evenly.
    // 52 g/L is all that 25 °Bé can take up (bite.md §1.1).
    for (copper, strength_be, code) in [
        (0.0, 40.0, None),
        (23.0, 40.0, None),
        (27.0, 40.0, Some("bath.tired")),
        (48.0, 40.0, Some("bath.tired")),
        (53.0, 40.0, Some("bath.spent")),
        (60.0, 25.0, Some("bath.dead")),
    ] {
        let found = with(copper, strength_be);
        assert_eq!(codes(&found), code.into_iter().collect::<Vec<_>>(), "{copper} g/L");
    }
    let spent = with(53.0, 40.0)[0].to_string();
    assert!(spent.contains("holds 53 g of copper per litre and bites at 47 %"), "{spent}");
    let dead = with(60.0, 25.0)[0].to_string();
    assert!(!dead.contains("from bite") && !dead.contains("last bite"), "from the first: {dead}");
    // Of a later ground's bath, by its state.
    let mut plan = with_work(vec![new_ground(2.0)]);
    plan.dust = quiet().dust;
    let later = |plan: &Plan| {
        let found = said(&plate_of(plan), &half(), &[value(0, 0.0, 93.0)], 30.0);
        found.iter().map(ToString::to_string).collect::<String>()
    };
    assert_eq!(later(&plan), "", "a fresh bath");
    if let plan::Work::Ground(ground) = &mut plan.states[0].work[0] {
        (ground.bath.copper_g_per_l, ground.bath.strength_be) = (60.0, 25.0);
    }
    assert!(later(&plan).starts_with("State 2, under its new ground: This bath no longer bites"));
}

#[test]
fn copper_is_told_with_all_that_was_bitten() {
    let deep = |minutes: f64, later_min: f64| {
        let mut plan =
            if later_min > 0.0 { with_work(vec![new_ground(later_min)]) } else { Plan::default() };
        plan.dust = quiet().dust;
        plan.plate.thickness_mm = 0.5;
        plan.calibration.insert("bite.rate_um_per_min".to_owned(), 2.0);
        plan.bites = vec![Bite { bite_min: 0.5 * minutes }; 2];
        plan.picture.thresholds_l.truncate(2);
        let seen = plate_of(&plan);
        let later = seen.plate.later_doses_um(&seen.view);
        let um = seen.session().dose_um[2];
        let found = said(&seen, &half(), &[value(0, 0.0, 93.0)], 30.0);
        let copper = found.into_iter().filter(|one| one.code.starts_with("copper"));
        (um, later[0], copper.map(|one| (one.field.clone(), one.code)).collect::<Vec<_>>())
    };
    // 300 µm are three fifths of 0.5 mm.
    let (um, _, said) = deep(120.0, 0.0);
    assert!((180.0..300.0).contains(&um) && said.is_empty(), "{um} µm: {said:?}");
    let weak = |field: &str| vec![(field.to_owned(), "copper.weak")];
    let (um, later, said) = deep(120.0, 60.0);
    assert!((300.0..500.0).contains(&(um + later)), "{um} and {later} µm");
    assert_eq!(said, weak("states"), "both together");
}
