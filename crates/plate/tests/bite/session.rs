//! The session at the bath (bite.md §2.6, row 23) and what must hold for any session.

use crate::boolean::evenly;
use plan::{Agitation, Bath, Bite};
use plate::bite::session::temperature_c;
use plate::bite::{BiteConstants, HALF_OPEN, InBath, Session, minutes_to_dose, session, strength};
use rand::SeedableRng;
use rand_pcg::Pcg32;

fn bites(minutes: &[f64]) -> Vec<Bite> {
    minutes.iter().map(|&bite_min| Bite { bite_min }).collect()
}

fn run(bath: &Bath, minutes: &[f64], plate_cm2: f64, area_share: &[f64]) -> Session {
    let constants = BiteConstants::default();
    // A half-covered plate, to which the rate constant belongs.
    let (bites, depth_um) = (bites(minutes), &worked_mean_depth_um);
    session(bath, &bites, &InBath::covered(plate_cm2), area_share, HALF_OPEN, depth_um, &constants)
}

/// Mean depth of the worked run's ground (bite.md §3), straight lines between its rows, µm.
fn worked_mean_depth_um(dose_um: f64) -> f64 {
    const ROWS: [(f64, f64); 10] = [
        (0.0, 0.0),
        (0.8, 0.42),
        (1.6, 0.86),
        (3.2, 1.82),
        (4.8, 2.89),
        (6.4, 4.06),
        (9.6, 6.70),
        (12.8, 9.66),
        (16.0, 12.87),
        (38.4, 36.9),
    ];
    let upper = ROWS.iter().position(|row| row.0 >= dose_um).unwrap_or(ROWS.len() - 1).max(1);
    let (from, to) = (ROWS[upper - 1], ROWS[upper]);
    from.1 + (to.1 - from.1) * (dose_um - from.0) / (to.0 - from.0)
}

#[test]
fn copper_that_goes_into_the_bath() {
    // Row 23, copper 8.96 g/cm³: 500 cm² × 10 µm = 4.48 g. A huge bath does not tire.
    let bath = Bath { volume_l: 1e6, ..Bath::default() };
    let constants = BiteConstants::default();
    let minutes = 10.0 / constants.rate_um_per_min / constants.strength_at_40;
    let (bites, all) = (bites(&[minutes]), [0.0, 1.0]);
    let flat =
        session(&bath, &bites, &InBath::covered(500.0), &all, HALF_OPEN, &|dose| dose, &constants);
    assert!((flat.dissolved_g - 4.48).abs() < 0.01, "{} g", flat.dissolved_g);
    // 20 × 25 cm all bitten 16 µm deep gives 5.8 g.
    let plate = run(&bath, &[16.0 / constants.rate_um_per_min], 500.0, &[0.0, 1.0]);
    assert!((plate.dissolved_g - 5.8).abs() < 0.06, "{} g", plate.dissolved_g);
}

#[test]
fn a_bath_tires_plate_by_plate() {
    // bite.md §2.6, reckoned apart with one step per plate: 2 L at 40 °Bé, plates of 20 × 25 cm all
    // bitten until they are 16 µm deep, as after 20 fresh minutes at 0.8 µm/min (5.77 g each). Only the
    // share of the fresh speed is compared: the rate itself has been fitted anew since.
    let mut bath = Bath::default();
    let constants = BiteConstants::default();
    for plate in 1..=30 {
        let want = match plate {
            1 => 0.80,
            5 => 0.71,
            10 => 0.62,
            15 => 0.54,
            20 => 0.48,
            30 => 0.37,
            _ => f64::NAN,
        };
        let minutes = 16.0 / constants.rate_um_per_min;
        let done = run(&bath, &[minutes], 500.0, &[0.0, 1.0]);
        assert_eq!(done.copper_g_per_l[0], bath.copper_g_per_l, "copper before the bite");
        if want.is_finite() {
            let rate = 0.8 * done.rate_um_per_min[0] / constants.rate_um_per_min;
            assert!((rate - want).abs() < 0.02, "plate {plate}: {rate}, not {want} of 0.80");
        }
        bath.copper_g_per_l = done.copper_end_g_per_l;
    }
    assert!(
        plate::bite::tiredness(40.0, bath.copper_g_per_l, &constants)
            == plate::bite::Tiredness::Spent,
        "after thirty plates with {} g/L",
        bath.copper_g_per_l
    );
}

#[test]
fn stopping_out_goes_upwards_from_the_lightest() {
    let bath = Bath { volume_l: 1e6, ..Bath::default() };
    let done = run(&bath, &[1.0, 2.0, 3.0], 300.0, &[0.4, 0.3, 0.2, 0.1]);
    let rate = done.rate_um_per_min[0];
    for (got, minutes) in done.dose_um.iter().zip([0.0, 1.0, 3.0, 6.0]) {
        assert!((got - rate * minutes).abs() < 1e-4, "{got} µm after {minutes} min");
    }
    // The lightest value is open in the first bite only, so it is bitten to the first dose.
    let grams = 300.0
        * 8.96e-4
        * (0.3 * worked_mean_depth_um(done.dose_um[1])
            + 0.2 * worked_mean_depth_um(done.dose_um[2])
            + 0.1 * worked_mean_depth_um(done.dose_um[3]));
    assert!((done.dissolved_g - grams).abs() < 1e-9, "{} g, not {grams}", done.dissolved_g);
    let none = run(&bath, &[], 300.0, &[1.0]);
    assert_eq!(none.dose_um, [0.0], "no bites leave paper only");
}

#[test]
fn no_bath_takes_more_copper_than_it_can() {
    let constants = BiteConstants::default();
    let bath = Bath { volume_l: 0.2, agitation: Agitation::Sprayed, ..Bath::default() };
    let most = strength::grams_per_l(40.0, &constants) * strength::COPPER_PER_CHLORIDE;
    let done = run(&bath, &[60.0; 12], 3600.0, &[1.0 / 13.0; 13]);
    assert!(done.copper_end_g_per_l <= most, "{} g/L of {most}", done.copper_end_g_per_l);
    assert!(done.copper_end_g_per_l > 0.95 * most, "{} g/L only", done.copper_end_g_per_l);
    assert!(done.dose_um.is_sorted(), "doses never fall: {:?}", done.dose_um);
}

#[test]
fn a_still_layer_holds_the_bite_to_the_root_of_time() {
    // Cottrell: at most k√t in one unmoved immersion, k 0.8–1.7 µm/√min at 40 °Bé.
    let bath = Bath { volume_l: 1e6, agitation: Agitation::StillFaceUp, ..Bath::default() };
    let short = run(&bath, &[1.0], 300.0, &[0.0, 1.0]).bite_um[0];
    let half = 0.5 * BiteConstants::default().rate_um_per_min;
    assert!((short - half).abs() < 0.0025, "a minute bites at half the tray's rate: {short}");
    let (one, four) =
        (run(&bath, &[16.0], 1.0, &[]).bite_um[0], run(&bath, &[64.0], 1.0, &[]).bite_um[0]);
    assert!((four / one - 2.0).abs() < 1e-6, "four times the time, twice the bite: {one}, {four}");
    assert!((0.8..=1.7).contains(&(one / 4.0)), "k = {} µm/√min", one / 4.0);
    // Taken out and rinsed half way, the layer starts anew.
    let twice = run(&bath, &[32.0, 32.0], 1.0, &[0.0, 0.5, 0.5]).dose_um[2];
    assert!(twice > 1.3 * four, "{twice} in two immersions, {four} in one");
}

#[test]
fn a_still_layer_feels_strength_warmth_and_open_copper_as_the_rate_does() {
    // Both are fed by diffusion. The factors are those that the rate is held to (bath.rs): viscosities of
    // Laliberté 2009; 22 kJ/mol; 2^0.3.
    let constants = BiteConstants::default();
    let still = |strength_be, temperature_c| Bath {
        volume_l: 1e6,
        agitation: Agitation::StillFaceUp,
        strength_be,
        temperature_c,
        ..Bath::default()
    };
    let deep_um = |bath: &Bath, open| {
        session(
            bath,
            &bites(&[64.0]),
            &InBath::covered(1.0),
            &[],
            open,
            &worked_mean_depth_um,
            &constants,
        )
        .bite_um[0]
    };
    let minutes = |bath: &Bath, open| minutes_to_dose(bath, 0.0, 10.0, open, &constants);
    let usual = still(40.0, 20.0);
    let in_all = minutes(&usual, HALF_OPEN);
    assert!(in_all > 30.0, "10 µm are held by the layer, not the rate: {in_all} min");
    for (be, c, open, times, allowed) in [
        (27.6, 20.0, 0.5, 1.16, 0.011),
        (40.0, 30.0, 0.5, 1.35, 0.006),
        (40.0, 20.0, 0.25, 1.231, 0.001),
    ] {
        let bath = still(be, c);
        let deeper = deep_um(&bath, open) / deep_um(&usual, HALF_OPEN);
        let what = format!("{be} °Bé, {c} °C, {open} open");
        assert!((deeper - times).abs() < allowed, "{what}: {deeper} times as deep, not {times}");
        // A depth grows with the root of the minutes, so it is reached in 1/factor² of them.
        let sooner = (in_all / minutes(&bath, open)).sqrt();
        assert!((sooner - times).abs() < allowed, "{what}: {sooner} times a root of minutes");
    }
}

#[test]
fn fewer_minutes_never_bite_deeper() {
    // For a litre or more to 500 cm², as a tray needs anyway: there the fresher bath that shorter
    // early bites leave cannot make up for the minutes lost.
    let mut random = Pcg32::seed_from_u64(21);
    for _ in 0..200 {
        let agitation = [Agitation::StillFaceUp, Agitation::Rocked, Agitation::Feathered]
            [(3.0 * evenly(&mut random)) as usize];
        let bath = Bath {
            agitation,
            volume_l: 1.0 + 4.0 * evenly(&mut random),
            strength_be: 20.0 + 26.0 * evenly(&mut random),
            temperature_c: 10.0 + 25.0 * evenly(&mut random),
            copper_g_per_l: 15.0 * evenly(&mut random),
        };
        let values = 2 + (9.0 * evenly(&mut random)) as usize;
        let mut minutes: Vec<f64> =
            (0..values).map(|_| 0.25 * (1.0 + 40.0 * evenly(&mut random)).floor()).collect();
        let share = vec![1.0 / (values + 1) as f64; values + 1];
        let full = run(&bath, &minutes, 500.0, &share);
        let which = (values as f64 * evenly(&mut random)) as usize;
        minutes[which] *= evenly(&mut random);
        let less = run(&bath, &minutes, 500.0, &share);
        for (k, (less, full)) in less.dose_um.iter().zip(&full.dose_um).enumerate() {
            assert!(*less <= full + 1e-9, "value {k}: {less} µm with fewer minutes, {full} before");
        }
    }
}

#[test]
fn a_bath_that_is_not_kept_warm_comes_to_the_rooms_temperature() {
    let bath = Bath { temperature_c: 30.0, ..Bath::default() };
    let within = InBath { room_c: 16.0, ..InBath::covered(300.0) };
    let minutes = [2.0, 4.0, 8.0, 16.0];
    let run = |cooling_per_h: f64| {
        let constants = BiteConstants { cooling_per_h, ..BiteConstants::default() };
        let depth_um = &worked_mean_depth_um;
        session(&bath, &bites(&minutes), &within, &[0.2; 5], HALF_OPEN, depth_um, &constants)
    };
    let (kept, slow, quick) = (run(0.0), run(0.5), run(2.0));
    assert_eq!(kept.temperature_c, [30.0; 4], "a bath that is kept warm");
    for (one, other) in [(&kept, &slow), (&slow, &quick)] {
        assert!(other.temperature_c[3] < one.temperature_c[3], "{:?}", other.temperature_c);
        assert!(other.dose_um[4] < one.dose_um[4], "a colder bath bites less");
        assert!(other.rate_um_per_min[3] < one.rate_um_per_min[3], "and more slowly");
    }
    // Newton's law: half the difference is gone after ln 2 of its time. Ten minutes between bites count.
    let constants = BiteConstants { cooling_per_h: 2.0, ..BiteConstants::default() };
    let half_min = 60.0 * core::f64::consts::LN_2 / 2.0;
    assert!((temperature_c(&bath, half_min, 16.0, &constants) - 23.0).abs() < 1e-9, "closed form");
    let began = temperature_c(&bath, 2.0 + 4.0 + 8.0 + 30.0, 16.0, &constants);
    assert!((quick.temperature_c[3] - began).abs() < 1e-9, "with the time between bites");
    // A room as warm as the bath changes nothing; a warmer one quickens it.
    let warm = |room_c: f64| {
        let within = InBath { room_c, ..within };
        let depth_um = &worked_mean_depth_um;
        session(&bath, &bites(&minutes), &within, &[0.2; 5], HALF_OPEN, depth_um, &constants)
    };
    assert!((warm(30.0).dose_um[4] - kept.dose_um[4]).abs() < 1e-9, "nothing to come to");
    assert!(warm(35.0).dose_um[4] > kept.dose_um[4], "a hot day");
}
