//! Strength and rate of the bath (bite.md §5, rows 1–10 and 24).

use plan::{Agitation, Bath};
use plate::bite::{
    BiteConstants, HALF_OPEN, Tiredness, bath_state, minutes_to_dose, mixed_be, rate, strength,
    tiredness,
};

fn close(got: f64, want: f64, tolerance: f64, what: &str) {
    assert!((got - want).abs() <= tolerance, "{what}: {got}, not {want} ± {tolerance}");
}

#[test]
fn specific_gravity_of_the_hydrometer() {
    // Perry's Chemical Engineers' Handbook, 8th ed., 2008, table 1-13.
    let constants = BiteConstants::default();
    for (be, sg) in
        [(30.0, 1.26087), (36.0, 1.33028), (40.0, 1.38095), (42.0, 1.40777), (45.0, 1.45000)]
    {
        let got = strength::specific_gravity(be, &constants);
        close(got, sg, 1e-5, "specific gravity");
        close(strength::degrees_be(got, &constants), be, 1e-9, "°Bé back again");
    }
}

#[test]
fn density_at_20_c() {
    // Solvay's table of ferric chloride at 20 °C.
    let constants = BiteConstants::default();
    for (percent, g_per_cm3) in
        [(20.0, 1.183), (30.0, 1.292), (36.0, 1.364), (40.0, 1.415), (44.0, 1.469)]
    {
        let got = strength::density_kg_per_m3(percent / 100.0, 20.0, &constants) / 1000.0;
        close(got, g_per_cm3, 0.003, "density");
    }
    // Water: CRC Handbook (from memory), 0.99821 g/cm³ at 20 °C, 0.99990 at 60 °F (15.56 °C 0.99901).
    close(strength::water_kg_per_m3(20.0), 998.21, 0.02, "water at 20 °C");
    close(strength::water_kg_per_m3(15.556), 999.01, 0.02, "water at 60 °F");
}

#[test]
#[allow(clippy::approx_constant, reason = "3.14 mol/L is a strength, not π")]
fn moles_and_grams_per_litre() {
    let constants = BiteConstants::default();
    // Laliberté, J. Chem. Eng. Data 54 (2009) 1725, with Perry's gravity.
    for (be, mol, grams) in [(40.0, 3.14, 509.0), (42.0, 3.38, 548.0)] {
        close(strength::mol_per_l(be, &constants), mol, 0.01 * mol, "mol/L");
        close(strength::grams_per_l(be, &constants), grams, 0.01 * grams, "g/L");
    }
    // Coombs, Printed Circuits Handbook (from memory): the two solutions of Sharpe & Garn.
    for (be, mol, percent) in [(31.5, 2.25, 28.0), (45.0, 3.75, 42.0)] {
        close(strength::mol_per_l(be, &constants), mol, 0.04, "mol/L");
        close(strength::weight_percent(be, &constants), percent, 0.5, "weight %");
    }
    // A trade data sheet: 47–49 °Bé is 45.5–47 % by weight.
    close(strength::weight_percent(48.0, &constants), 46.25, 0.9, "weight % at 48 °Bé");
}

#[test]
fn copper_a_bath_can_take() {
    // Stoichiometry with IUPAC's atomic masses; trade figure for 530 g/L: about 100 g/L.
    close(strength::COPPER_PER_CHLORIDE, 0.195_88, 1e-4, "g copper per g of ferric chloride");
    close(530.0 * strength::COPPER_PER_CHLORIDE, 103.8, 0.2, "limit of 530 g/L");
    let constants = BiteConstants::default();
    let limit = strength::grams_per_l(40.0, &constants) * strength::COPPER_PER_CHLORIDE;
    close(rate::copper_factor(40.0, limit, &constants), 0.0, 1e-9, "factor at the limit");
    assert_eq!(rate::copper_factor(40.0, 2.0 * limit, &constants), 0.0, "never below nothing");
}

#[test]
fn strength_and_speed() {
    let constants = BiteConstants::default();
    let factor = |be| rate::strength_factor(be, &constants);
    let fastest = (200..=460)
        .map(|tenths| f64::from(tenths) / 10.0)
        .max_by(|&a, &b| factor(a).total_cmp(&factor(b)))
        .expect("a range of strengths");
    // Bryce & Berk, Ind. Eng. Chem. Res. 34 (1995) 1412: fastest at about 2 mol/kg, 27.4 °Bé.
    close(fastest, 27.4, 3.0, "strength of the fastest bite");
    // Sharpe & Garn, Ind. Eng. Chem. 51 (1959) 293: 2.25 mol/L bites faster than 3.75.
    close(factor(31.5) / factor(45.0), 1.325, 0.175, "31.5 against 45 °Bé");
    // C(T/η)^⅔ν^−⅙ with viscosities of Laliberté 2009, reckoned apart; fit error 0.005.
    for (be, want) in [
        (20.0, 1.07),
        (25.0, 1.15),
        (27.6, 1.16),
        (30.0, 1.15),
        (33.0, 1.13),
        (36.0, 1.08),
        (38.0, 1.04),
        (40.0, 1.0),
        (42.0, 0.95),
        (45.0, 0.86),
    ] {
        close(factor(be), want, 0.011, "factor of strength");
    }
}

#[test]
fn temperature_and_speed() {
    let constants = BiteConstants::default();
    let factor = |c| rate::temperature_factor(c, &constants);
    // First-order constants of Bryce & Berk 1995 at 30 and 50 °C: 0.3362/0.2039.
    close(factor(50.0) / factor(30.0), 1.65, 0.165, "50 against 30 °C");
    // Closed form with 22 kJ/mol.
    for (c, want) in
        [(15.0, 0.86), (18.0, 0.94), (20.0, 1.0), (22.0, 1.06), (25.0, 1.16), (30.0, 1.35)]
    {
        close(factor(c), want, 0.006, "factor of temperature");
    }
}

#[test]
fn tired_baths() {
    let constants = BiteConstants::default();
    // Sharpe & Garn discarded 3.75 mol/L at 60 g/L of copper; trade: replace when times double.
    let factor = 1.0 - 2.0 * 60.0 / (63.546 * 3.75);
    close(factor, 0.496, 0.001, "closed form");
    close(rate::copper_factor(45.0, 60.0, &constants), 0.496, 0.02, "3.75 mol/L at 60 g/L");
    close(rate::copper_factor(40.0, 50.0, &constants), 0.50, 0.01, "40 °Bé at 50 g/L");
    assert_eq!(tiredness(40.0, 20.0, &constants), Tiredness::Fresh, "20 g/L");
    assert_eq!(tiredness(40.0, 26.0, &constants), Tiredness::Tired, "26 g/L");
    assert_eq!(tiredness(40.0, 50.0, &constants), Tiredness::Spent, "50 g/L");
    // Constant volume: about 0.75 °Bé for each 10 g/L at 40 °Bé.
    let reads = strength::hydrometer_be(40.0, 10.0, &constants);
    close(reads - 40.0, 0.75, 0.02, "a tired bath reads stronger");
}

#[test]
fn a_tray_bites_far_below_the_bare_reaction() {
    // Bryce & Berk 1995: 13.7 µm/min for each mol/kg at 30 °C, stirred. A tray at 20 °C and 40 °Bé
    // (3.6 mol/kg) stays below a twentieth of that.
    let constants = BiteConstants::default();
    let rate = rate::rate_um_per_min(&Bath::default(), 0.0, HALF_OPEN, &constants);
    close(rate, 1.0, 0.003, "rate of the default bath");
    assert!(rate < 13.7 * 3.6 / 20.0, "{rate} µm/min is no tray held back by its fluid");
}

#[test]
fn minutes_that_make_up_for_a_tired_bath() {
    // Row 24, closed form: 20 fresh minutes at 24 g/L and 40 °Bé.
    let (bath, constants) = (Bath::default(), BiteConstants::default());
    let dose = 20.0 * rate::rate_um_per_min(&bath, 0.0, HALF_OPEN, &constants);
    let rate = rate::rate_um_per_min(&bath, 24.0, HALF_OPEN, &constants);
    close(rate / constants.rate_um_per_min, 0.76, 0.004, "share of the rate at 24 g/L");
    let minutes = |copper, dose_um| minutes_to_dose(&bath, copper, dose_um, HALF_OPEN, &constants);
    close(minutes(24.0, dose), 26.3, 0.3, "minutes at 24 g/L");
    assert_eq!(minutes(24.0, 0.0), 0.0, "nothing takes no time");
    assert!(minutes(1e3, 1.0).is_infinite(), "a spent bath never ends");
}

#[test]
fn movement_orders_the_baths() {
    let constants = BiteConstants::default();
    let rates = [
        Agitation::StillFaceUp,
        Agitation::StillFaceDown,
        Agitation::Rocked,
        Agitation::Feathered,
        Agitation::Bubbled,
        Agitation::Sprayed,
    ]
    .map(|agitation| {
        let bath = Bath { agitation, ..Bath::default() };
        rate::rate_um_per_min(&bath, 0.0, HALF_OPEN, &constants)
    });
    assert!(rates.is_sorted(), "more movement, faster bite: {rates:?}");
    // Spray machines: 30–35 µm/min at about 50 °C (trade), so 13–20 at 20 °C by Arrhenius.
    close(rates[5], 16.5, 3.5, "spray");
}

#[test]
fn less_open_copper_bites_faster() {
    // second-model.md §4: v = v₀·(0.5 / open share)^m, m 0.3, the open share held between 0.1 and 1. The
    // direction is printed-circuit practice: more open copper etches slower.
    let constants = BiteConstants::default();
    let factor = |open| rate::open_factor(open, &constants);
    close(factor(0.5), 1.0, 1e-12, "half open");
    close(factor(0.25), 1.231, 0.001, "a quarter open: 2^0.3");
    close(factor(0.1), 1.621, 0.001, "a tenth open: 5^0.3");
    assert_eq!(factor(0.02), factor(0.1), "no faster below a tenth");
    close(factor(1.0), 0.812, 0.001, "all open: 0.5^0.3");
    let even = BiteConstants { open_share_power: 0.0, ..constants };
    for open in [0.0, 0.2, 0.7, 1.0] {
        assert_eq!(rate::open_factor(open, &even), 1.0, "m = 0 knows no open share");
    }
    let held = BiteConstants { open_share_power: 1.0, ..BiteConstants::default() };
    close(rate::open_factor(0.25, &held), 2.0, 1e-12, "diffusion alone: as the open share");
    // Every movement of the bath feels it alike, the still layer too: both are fed by diffusion.
    for agitation in [Agitation::StillFaceUp, Agitation::Rocked, Agitation::Sprayed] {
        let bath = Bath { agitation, ..Bath::default() };
        for dose in [0.5, 20.0] {
            let minutes = |open| minutes_to_dose(&bath, 0.0, dose, open, &BiteConstants::default());
            assert!(minutes(0.2) < minutes(0.5), "{agitation:?}, {dose} µm: sooner when less open");
            assert!(minutes(0.5) < minutes(0.9), "{agitation:?}, {dose} µm: later when more open");
        }
    }
}

#[test]
fn a_reading_is_corrected_for_copper_and_warmth() {
    let constants = BiteConstants::default();
    for (be, copper) in [(38.0, 0.0), (40.0, 20.0), (42.0, 45.0)] {
        let reading = strength::hydrometer_be(be, copper, &constants);
        let mixed = mixed_be(reading, 140.0 / 9.0, copper, &constants);
        assert!(
            (mixed - be).abs() < 1e-6,
            "{be} °Bé with {copper} g/L reads {reading}, back {mixed}"
        );
    }
    // The same bath warmer is lighter, so a warm reading stands for a stronger bath: 1 °C moves
    // ferric chloride by 0.04 to 0.05 °Bé (density 0.0006 g/cm³ per °C, Laliberté 2009).
    let warm = mixed_be(40.0, 140.0 / 9.0 + 10.0, 0.0, &constants) - 40.0;
    assert!((0.25..0.7).contains(&warm), "10 °C warmer adds {warm} °Bé");
    let state = bath_state(40.0, 50.0, &constants);
    // bite.md §1.4: half the speed at 50 g/L and 40 °Bé.
    assert!((state.speed_share - 0.5).abs() < 0.01, "{state:?}");
    assert!((state.replace_g_per_l - 50.0).abs() < 0.6, "{state:?}");
    // Three quarters of it at half the copper, for the speed falls evenly; the words change there.
    close(state.tired_g_per_l, 0.5 * state.replace_g_per_l, 1e-9, "tired");
    for (copper, word) in [
        (0.0, "fresh"),
        (state.tired_g_per_l - 0.1, "fresh"),
        (state.tired_g_per_l + 0.1, "tired"),
        (state.replace_g_per_l - 0.1, "tired"),
        (state.replace_g_per_l + 0.1, "spent"),
    ] {
        let state = bath_state(40.0, copper, &constants);
        assert_eq!(state.tiredness, word, "{copper} g/L");
        assert_eq!((state.strength_be, state.copper_g_per_l), (40.0, copper));
        let reads = strength::hydrometer_be(40.0, copper, &constants);
        assert_eq!(state.hydrometer_be, reads, "{copper} g/L");
    }
}
