//! Two step plates of unlike cover tell how the open share counts: the hidden power lies within the limits stated, at the
//! rate stated, from exact readings, from readings that scatter, and from photographs; what can't be told is said.
#![allow(clippy::print_stdout, reason = "`--nocapture` shows how far each power is off")]

use crate::chance;
use crate::hasty;

use chance::Chance;
use hasty::read_off_photograph;
use plan::Plan;
use plate::constants::Constants;
use plate::{Renderer, View};
use rand_pcg::Pcg32;
use std::sync::OnceLock;
use study::calibration::covers::TOLD;
use study::calibration::{Covers, CoversFit, fit_covers, step_plate};

/// Minutes of each bite, both plates in one tray.
const BITE_MIN: [f64; 8] = [1.5, 1.5, 2.0, 4.0, 5.0, 8.0, 12.0, 14.0];
const KEYS: [&str; TOLD] = [
    "bite.rate_um_per_min",
    "ink.absorption_per_um",
    "ink.surface_reflectance",
    "ink.hand_overlap_um",
    "bite.open_share_power",
];
const POWER: usize = TOLD - 1;

/// The example's plan with so many times its powder.
fn with_powder(times: f64) -> Plan {
    let mut plan = Plan::default();
    plan.dust.powder_g_per_m2 *= times;
    plan
}

/// The example's ground and one of twice the powder, their tables calculated once for all tests.
fn covers() -> &'static Covers {
    static ONCE: OnceLock<Covers> = OnceLock::new();
    ONCE.get_or_init(|| {
        let (one, other) = (with_powder(1.0), with_powder(2.0));
        Covers::new([(&one, &BITE_MIN), (&other, &BITE_MIN)]).expect("two sound plans")
    })
}

/// Constants anywhere in the middle four fifths of their ranges: evenly in ln, the power evenly.
fn hidden(chance: &mut Chance) -> [f64; TOLD] {
    let catalogue = Constants::catalogue();
    KEYS.map(|key| {
        let info = catalogue.iter().find(|info| info.key == key).expect("a known constant");
        let place = 0.1 + 0.8 * chance.share();
        if info.min > 0.0 {
            info.min * libm::exp(place * libm::log(info.max / info.min))
        } else {
            info.min + place * (info.max - info.min)
        }
    })
}

/// What plates with such constants really print: by the chain, not by the tables of the fit.
fn printed_by_plates(constants: [f64; TOLD], powders: [f64; 2]) -> [Vec<f64>; 2] {
    powders.map(|powder| {
        let mut plan = with_powder(powder);
        for (key, value) in KEYS.iter().zip(constants) {
            plan.calibration.insert((*key).to_owned(), value);
        }
        let plate = step_plate(&plan, &BITE_MIN).expect("a sound plan");
        let mut renderer = Renderer::default();
        let values = renderer.look(&plate, &View::default()).values();
        values.iter().skip(1).map(|value| value.lightness).collect()
    })
}

fn fitted(covers: &Covers, l: &[Vec<f64>; 2]) -> Result<CoversFit, Vec<plan::Diagnostic>> {
    let [one, other] = [0, 1].map(|i| l[i].iter().map(|&l| Some(l)).collect::<Vec<Option<f64>>>());
    fit_covers(covers, [&one, &other])
}

#[test]
fn from_exact_readings_of_real_plates_the_power_is_found() {
    for (seed, power) in [(1, 0.1), (2, 0.5), (3, 0.85)] {
        let mut constants = hidden(&mut Chance(Pcg32::new(seed, 21)));
        constants[POWER] = power;
        let found = fitted(covers(), &printed_by_plates(constants, [1.0, 2.0])).expect("a fit");
        let one = &found.constants[POWER];
        println!("hidden {power}: {:.3}, {:.3} to {:.3}", one.value, one.low, one.high);
        assert_eq!(one.key, KEYS[POWER], "the constant that two covers tell");
        assert!((one.value - power).abs() < 0.1, "hidden {power}: {one:?}");
        for (one, hidden) in found.constants.iter().zip(constants) {
            assert!(one.low <= hidden && hidden <= one.high, "hidden {hidden}: {one:?}");
        }
        assert!(one.told && one.high - one.low < 0.6, "it is told: {one:?}");
        assert!(found.verdict[0].contains("times as fast"), "{:?}", found.verdict);
        let mut plan = with_powder(1.0);
        plan.calibration.clone_from(&found.calibration);
        assert!(plate::check::errors(&plan).is_empty(), "a plan takes it");
    }
}

#[test]
fn limits_hold_the_hidden_power_at_the_rate_they_state() {
    let covers = covers();
    let mut chance = Chance(Pcg32::new(5, 22));
    let runs = 100;
    let (mut inside, mut refused, mut told, mut width) = ([0; TOLD], 0, 0, 0.0);
    for _ in 0..runs {
        let constants = hidden(&mut chance);
        // Neither plate's powder is quite its plan's.
        let powder = [0.05 * chance.normal(), 0.05 * chance.normal()].map(libm::exp);
        let noise = 0.5 + chance.share();
        let read = covers
            .printed(constants, powder)
            .map(|l| l.iter().map(|l| l + noise * chance.normal()).collect());
        let Ok(found) = fitted(covers, &read) else {
            refused += 1;
            continue;
        };
        for (i, one) in found.constants.iter().enumerate() {
            inside[i] += u32::from(one.low <= constants[i] && constants[i] <= one.high);
        }
        told += u32::from(found.constants[POWER].told);
        width += (found.constants[POWER].high - found.constants[POWER].low) / f64::from(runs);
    }
    println!("inside {inside:?} of {runs}, {refused} refused, {told} told, mean width {width:.2}");
    // 95 % of 100 runs, less two standard errors of such a count (2.2 % each).
    for (key, inside) in KEYS.iter().zip(inside) {
        assert!(inside * 100 >= 90 * runs, "{key}: within its 95 % limits {inside} of {runs}");
    }
    assert!(refused * 100 <= 2 * runs, "{refused} of {runs} sound pairs were refused");
    assert!(told * 10 >= 8 * runs, "the power is told by {told} of {runs}");
    assert!(width < 0.65, "limits {width} wide on average, of a range of 1");
}

#[test]
fn from_photographs_the_limits_hold_it_too() {
    let covers = covers();
    let mut chance = Chance(Pcg32::new(6, 23));
    let runs = 30;
    let mut inside = 0;
    for run in 0..runs {
        let constants = hidden(&mut chance);
        let powder = [0.05 * chance.normal(), 0.05 * chance.normal()].map(libm::exp);
        let mut of = 0;
        let read = covers.printed(constants, powder).map(|l| {
            of += 1;
            read_off_photograph(&l, 2 * run + of, &mut chance)
        });
        let Ok(found) = fitted(covers, &read) else { continue };
        let one = &found.constants[POWER];
        inside += u64::from(one.low <= constants[POWER] && constants[POWER] <= one.high);
    }
    println!("inside {inside} of {runs}");
    // 95 % of 30 runs, less two standard errors of such a count (4 % each).
    assert!(inside * 100 >= 87 * runs, "within its 95 % limits {inside} of {runs}");
}

#[test]
fn what_two_covers_can_not_tell_is_said() {
    let said = |one: &Plan, other: &Plan| -> String {
        let made = Covers::new([(one, &BITE_MIN), (other, &BITE_MIN)]);
        made.err().expect("refused").iter().map(ToString::to_string).collect()
    };
    let words = said(&with_powder(1.0), &with_powder(1.05));
    assert!(words.contains("cover nearly alike, 49 % and 51 %"), "{words}");
    let mut thinned = with_powder(2.0);
    thinned.ink.base_parts += 1.0;
    assert!(said(&with_powder(1.0), &thinned).contains("another ink"), "other ink");

    let covers = covers();
    let constants = hidden(&mut Chance(Pcg32::new(9, 24)));
    let exact = covers.printed(constants, [1.0, 1.0]);
    let few: Vec<Option<f64>> =
        exact[1].iter().enumerate().map(|(i, &l)| (i < 4).then_some(l)).collect();
    let all: Vec<Option<f64>> = exact[0].iter().map(|&l| Some(l)).collect();
    let words = fit_covers(covers, [&all, &few]).expect_err("too few");
    assert!(words[0].to_string().contains("Of the second step plate"), "{words:?}");

    // A step that does not go with the others is named with its plate.
    let mut odd = exact.clone();
    odd[1][3] += 9.0;
    let words = fitted(covers, &odd).expect("a fit through the others").verdict.join(" ");
    assert!(words.contains("Step 4 of the second plate reads L* 9 lighter"), "{words}");

    // Palest steps alone: hardly told, and said.
    let pale = |l: &[f64]| -> Vec<Option<f64>> {
        l.iter().enumerate().map(|(i, &l)| (i < 5).then_some(l + [1.5, -1.5][i % 2])).collect()
    };
    let (one, other) = (pale(&exact[0]), pale(&exact[1]));
    let found = fit_covers(covers, [&one, &other]).expect("a fit");
    let power = &found.constants[POWER];
    println!("pale only: {power:?}");
    assert!(power.told == found.verdict[0].contains("built in"), "{power:?}: {:?}", found.verdict);
    assert!(found.verdict.iter().any(|words| words.contains("can’t tell")), "{:?}", found.verdict);
}
