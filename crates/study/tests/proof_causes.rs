//! Synthetic proofs with a hidden fault, or none: the cause is named, never surer than it is right; a shop learns its constants from
//! its proofs.
//!
//! The number of proofs is small here; `PROOFS=300 cargo test -p study proof_causes -- --nocapture` tries as many and prints every
//! count. Bounds follow from the number.
#![allow(clippy::print_stdout, reason = "`--nocapture` shows the counts")]

use crate::chance;
use crate::proofs;
use crate::shops::fewest;

use chance::Chance;
use nalgebra::{DMatrix, DVector};
use plan::{Bite, Plan};
use plate::Renderer;
use proofs::{
    CONSTANTS, FAULTS, Planned, another_day, any_fault, by_instrument, photographed,
    photographed_with_scale, shop, through_camera, with_fault,
};
use rand_pcg::Pcg32;
use std::collections::BTreeMap;
use std::sync::OnceLock;
use std::time::Instant;
use study::proof_causes::{Cause, Evidence, Explained, ProofSeen, explain, learn, next};

/// Proofs in all, shared out among the tests by these parts of ten.
fn proofs(parts: u32) -> u32 {
    let all = std::env::var("PROOFS").map_or(24, |text| text.parse().expect("a number of proofs"));
    all * parts / 10
}

/// Plans whose proofs are explained: as many as the number of proofs is worth.
fn plans() -> &'static [Planned] {
    static ONCE: OnceLock<Vec<Planned>> = OnceLock::new();
    ONCE.get_or_init(|| {
        let began = Instant::now();
        let count = if proofs(10) > 100 { 5 } else { 2 };
        let all: Vec<Planned> = (0..count).map(|number| Planned::new(number, true)).collect();
        println!("tables of {count} plans: {:.1} s", began.elapsed().as_secs_f64());
        all
    })
}

fn family(cause: Cause) -> &'static str {
    match cause {
        Cause::Planned => "as planned",
        Cause::Bath => "bath",
        Cause::Minutes { .. } => "minutes",
        Cause::Ground => "ground",
        Cause::Ink { .. } => "ink",
        Cause::Wiping { .. } => "wiping",
        Cause::Pressure => "pressure",
        Cause::BathAndInk => "bath and ink",
        Cause::Otherwise { .. } => "something else",
    }
}

fn explained(planned: &Planned, calibration: BTreeMap<String, f64>, seen: &ProofSeen) -> Explained {
    let tables = planned.tables.as_ref().expect("a plan whose proofs are explained");
    let plan = Plan { calibration, ..planned.plan.clone() };
    explain(&plan, tables, seen).expect("enough has been read")
}

fn calibration(constants: [f64; 4]) -> BTreeMap<String, f64> {
    CONSTANTS.iter().zip(constants).map(|((key, ..), value)| ((*key).to_owned(), value)).collect()
}

/// Shares that were stated, and how often they were right.
#[derive(Default)]
struct Reliability {
    bins: [(u32, u32, f64); 10],
    brier: f64,
    proofs: u32,
}

impl Reliability {
    fn count(&mut self, told: &Explained, truth: &str) {
        self.proofs += 1;
        for one in &told.causes {
            let right = family(one.cause) == truth;
            let bin = &mut self.bins[((10.0 * one.share) as usize).min(9)];
            bin.0 += 1;
            bin.1 += u32::from(right);
            bin.2 += one.share;
            let off = one.share - f64::from(u8::from(right));
            self.brier += off * off;
        }
    }

    /// The score, and that of shares which are the same for every proof.
    fn told(&self, name: &str, frequency: &BTreeMap<&str, u32>) -> (f64, f64) {
        let all = f64::from(self.proofs);
        let blind = 1.0
            - frequency.values().map(|&n| f64::from(n) * f64::from(n)).sum::<f64>() / (all * all);
        let brier = self.brier / all;
        println!(
            "{name}: Brier score {brier:.3} over {} proofs; {blind:.3} if nothing were read",
            self.proofs
        );
        for (i, &(count, right, sum)) in self.bins.iter().enumerate() {
            if count > 0 {
                println!(
                    "  stated {:.1} to {:.1}: {count} times, {:.2} on average, right {:.2}",
                    i as f64 / 10.0,
                    (i + 1) as f64 / 10.0,
                    sum / f64::from(count),
                    f64::from(right) / f64::from(count)
                );
            }
        }
        (brier, blind)
    }

    /// Whoever states such shares is right as often, but for chance: three deviations of it, and a twentieth for faults that
    /// are not drawn as the causes are weighed.
    fn honest(&self, name: &str) {
        for (from, to) in [(0, 2), (2, 5), (5, 8), (8, 10)] {
            let (mut count, mut right, mut sum) = (0.0, 0.0, 0.0);
            for &(n, r, s) in &self.bins[from..to] {
                (count, right, sum) = (count + f64::from(n), right + f64::from(r), sum + s);
            }
            if count < 1.0 {
                continue;
            }
            let stated = sum / count;
            let chance = 3.0 * libm::sqrt((stated * (1.0 - stated)).max(0.02) / count);
            let found = right / count;
            assert!(
                (found - stated).abs() < 0.06 + chance,
                "{name}: stated {stated:.2}, right {found:.2} of {count}"
            );
        }
    }
}

/// A fault shows where it moves what is read by so many deviations of all that moves it anyway: a day's scatter of the constants, the
/// camera that nobody knows, and the readings' own. Below, no reader could tell it from them.
const SHOWS: f64 = 3.0;

/// How far a fault moves what was read, in deviations of what moves it anyway.
fn stands_out(
    planned: &Planned,
    today: [f64; 4],
    by_l: &[f64],
    seen: &ProofSeen,
    renderer: &mut Renderer,
) -> f64 {
    let sound = planned.printed(&planned.hidden(today), renderer);
    let mut moves: Vec<Vec<f64>> = (0..4)
        .map(|i| {
            let mut other = today;
            let (_, _, _, most) = CONSTANTS[i];
            other[i] *= libm::exp(if 1.2 * other[i] < most { 0.1 } else { -0.1 });
            planned.printed(&planned.hidden(other), renderer)
        })
        .collect();
    let paper = planned.plan.paper.reflectance;
    let camera = |gamma: f64, haze: f64| -> Vec<f64> {
        sound.iter().map(|&l| through_camera(l, paper, gamma, haze)).collect()
    };
    moves.extend([camera(libm::exp(0.086), 0.0), camera(1.0, 0.01)]);
    let read: Vec<usize> = (0..sound.len()).filter(|&value| seen.values[value].is_some()).collect();
    let count = read.len();
    let mut covariance = DMatrix::identity(count, count) * (1.15 * 1.15);
    for moved in &moves {
        let off = DVector::from_fn(count, |i, _| moved[read[i]] - sound[read[i]]);
        covariance += &off * off.transpose();
    }
    let off = DVector::from_fn(count, |i, _| by_l[read[i]]);
    let inverse = covariance.try_inverse().expect("positive definite");
    libm::sqrt((off.transpose() * inverse * &off)[(0, 0)])
}

#[test]
fn the_true_cause_is_among_the_first_two_and_shares_are_as_often_right() {
    let mut chance = Chance(Pcg32::new(51, 8));
    let mut renderer = Renderer::default();
    let mut reliability = Reliability::default();
    let mut frequency: BTreeMap<&str, u32> = BTreeMap::new();
    // How far each fault stands out, and whether it was first and among the first two.
    let mut told_so: Vec<(f64, bool, bool)> = Vec::new();
    // Of each fault: all, first, among the first two; and the same of those that show.
    let mut counts: BTreeMap<&str, [u32; 6]> = BTreeMap::new();
    let (mut within, mut sized, mut seconds) = (0, 0, 0.0_f64);
    let plans = plans();
    for run in 0..proofs(10) {
        let planned = &plans[run as usize % plans.len()];
        let known = shop(&mut chance);
        let today = another_day(known, 0.1, &mut chance);
        let fault = any_fault(&mut chance);
        let (hidden, slips, cause) = with_fault(fault, planned, today, &mut chance);
        let sound = planned.printed(&planned.hidden(today), &mut renderer);
        let printed = planned.printed(&hidden, &mut renderer);
        let seen = photographed(planned, &printed, &slips, &mut chance);
        let began = Instant::now();
        let told = explained(planned, calibration(known), &seen);
        seconds += began.elapsed().as_secs_f64();
        let truth = family(cause);
        reliability.count(&told, truth);
        *frequency.entry(truth).or_default() += 1;
        let place = told.causes.iter().position(|one| family(one.cause) == truth);
        let place = place.expect("every cause is listed");
        let by_l: Vec<f64> = printed
            .iter()
            .zip(&sound)
            .zip(&slips)
            .map(|((l, sound), slip)| l - sound + slip)
            .collect();
        let stands_out = stands_out(planned, today, &by_l, &seen, &mut renderer);
        if fault != "none" {
            told_so.push((stands_out, place == 0, place < 2));
        }
        let count = counts.entry(fault).or_default();
        let shows = stands_out >= SHOWS || fault == "none";
        for (i, counted) in [true, place == 0, place < 2].into_iter().enumerate() {
            count[i] += u32::from(counted);
            count[i + 3] += u32::from(counted && shows);
        }
        if let (Cause::Bath, [rate]) = (cause, &told.causes[place].sizes[..]) {
            sized += 1;
            within +=
                u32::from(rate.low <= hidden.constants[0] && hidden.constants[0] <= rate.high);
        }
        if run < 12 {
            println!("{fault} ({stands_out:.1}): {}", told.said);
        }
    }
    for (fault, _) in FAULTS {
        let Some(count) = counts.get(fault) else { continue };
        println!(
            "{fault}: {} proofs, first {}, first two {}; shows in {}, first {}, first two {}",
            count[0], count[1], count[2], count[3], count[4], count[5]
        );
    }
    let of = |least: f64| {
        let shows: Vec<_> = told_so.iter().filter(|one| one.0 >= least).collect();
        let all = shows.len() as u32;
        let first = shows.iter().filter(|one| one.1).count();
        let two = shows.iter().filter(|one| one.2).count() as u32;
        println!("of {all} faults that stand out by {least}: first {first}, first two {two}");
        (all, two)
    };
    for least in [0.0, 2.0, 3.0] {
        of(least);
    }
    let (all, two) = of(SHOWS);
    println!(
        "95 % limits of a bath’s rate hold {within} of {sized}; {:.2} s a proof",
        seconds / f64::from(reliability.proofs)
    );
    let (brier, blind) = reliability.told("calibrated shops", &frequency);
    reliability.honest("calibrated shops");
    assert!(brier < 0.75 * blind, "Brier score {brier}, {blind} if nothing were read");
    assert!(two >= fewest(all, 0.9), "{two} of {all} among the first two");
    assert!(within >= fewest(sized, 0.9), "{within} of {sized} within their limits");
}

/// Who moves the readings most, where nobody knows the shop's constants: what is off by nature takes the place of a fault.
fn main_mover(
    planned: &Planned,
    constants: [f64; 4],
    seen: &ProofSeen,
    renderer: &mut Renderer,
) -> &'static str {
    let with = planned.printed(&planned.hidden(constants), renderer);
    let mut most = ("as planned", 1.5);
    for (i, name) in ["bath", "ink", "ink", "wiping"].into_iter().enumerate() {
        let mut other = constants;
        other[i] = CONSTANTS[i].2;
        let without = planned.printed(&planned.hidden(other), renderer);
        let squares: Vec<f64> = (0..with.len())
            .filter(|&value| seen.values[value].is_some())
            .map(|value| (with[value] - without[value]) * (with[value] - without[value]))
            .collect();
        let moves_l = libm::sqrt(squares.iter().sum::<f64>() / squares.len() as f64);
        if moves_l > most.1 {
            most = (name, moves_l);
        }
    }
    most.0
}

#[test]
fn without_a_calibration_shares_are_as_often_right() {
    let mut chance = Chance(Pcg32::new(54, 8));
    let mut renderer = Renderer::default();
    let mut reliability = Reliability::default();
    let mut frequency: BTreeMap<&str, u32> = BTreeMap::new();
    let (mut first, mut two) = (0, 0);
    let plans = plans();
    let runs = proofs(5);
    for run in 0..runs {
        let planned = &plans[run as usize % plans.len()];
        let own = shop(&mut chance);
        // What the shop's own bath, ink and wipe are is a fault already.
        let fault = match any_fault(&mut chance) {
            other @ ("one bite" | "ground" | "plate tone" | "one value") => other,
            _ => "none",
        };
        let (hidden, slips, cause) = with_fault(fault, planned, own, &mut chance);
        let printed = planned.printed(&hidden, &mut renderer);
        let seen = photographed(planned, &printed, &slips, &mut chance);
        let told = explained(planned, BTreeMap::new(), &seen);
        let truth = match cause {
            Cause::Planned => main_mover(planned, own, &seen, &mut renderer),
            cause => family(cause),
        };
        reliability.count(&told, truth);
        *frequency.entry(truth).or_default() += 1;
        let place = told.causes.iter().position(|one| family(one.cause) == truth);
        first += u32::from(place == Some(0));
        two += u32::from(place.is_some_and(|place| place < 2));
        if run < 6 {
            println!("{fault}, {truth}: {}", told.said);
        }
    }
    println!("no calibration: of {runs} first {first}, among the first two {two}");
    let (brier, blind) = reliability.told("no calibration", &frequency);
    reliability.honest("no calibration");
    assert!(brier < blind, "Brier score {brier}, {blind} if nothing were read");
}

/// How well a shop's constants are learned.
#[derive(Default)]
struct Lessons {
    shops: u32,
    /// Shops whose sixth plan is met to 2 L*: by the mean of its values' errors, and by every value.
    mean: u32,
    every: u32,
    /// Values of all shops, and those that are met.
    values: u32,
    met: u32,
    constants: u32,
    within: u32,
}

impl Lessons {
    /// `likely` is what of the values of another plan is to be met.
    fn told(&self, name: &str, likely: f64) {
        println!(
            "{name}: of {} shops the sixth plan is met to 2 L* in {} by the mean of its values, in {} by every value; {} of {} values are; limits of constants hold {} of {}",
            self.shops, self.mean, self.every, self.met, self.values, self.within, self.constants
        );
        // Values of one shop go together, as if there were two to a shop.
        let share = f64::from(self.met) / f64::from(self.values);
        let least = f64::from(fewest(2 * self.shops, likely)) / f64::from(2 * self.shops);
        assert!(share >= least, "{name}: {share} of the values, {least} at least");
        let least = fewest(self.shops, 0.9);
        assert!(self.mean >= least, "{name}: {} of {} shops", self.mean, self.shops);
        let least = fewest(self.constants, 0.88);
        assert!(self.within >= least, "{name}: {} limits of {}", self.within, self.constants);
    }
}

#[test]
fn a_shop_learns_from_five_proofs_of_five_plans() {
    let [mut chance, mut scales] = [52, 56].map(|seed| Chance(Pcg32::new(seed, 8)));
    let mut renderer = Renderer::default();
    let sixth = Planned::new(5, false);
    let plans = plans();
    let [mut photographs, mut with_scale, mut instruments] = [(); 3].map(|()| Lessons::default());
    for _ in 0..proofs(2) {
        let own = shop(&mut chance);
        let mut evidence: [Vec<Evidence>; 3] = [const { Vec::new() }; 3];
        for number in 0..5 {
            let planned = &plans[number % plans.len()];
            let today = another_day(own, 0.05, &mut chance);
            let printed = planned.printed(&planned.hidden(today), &mut renderer);
            let slips = vec![0.0; printed.len()];
            let by_camera = photographed(planned, &printed, &slips, &mut chance);
            let by_hand = by_instrument(&printed, &mut chance);
            let by_scale = photographed_with_scale(planned, &printed, &mut scales);
            for (kept, seen) in evidence.iter_mut().zip([by_camera, by_scale, by_hand]) {
                let told = explained(planned, BTreeMap::new(), &seen);
                kept.push(Evidence { id: format!("proof {number}"), ..told.evidence });
            }
        }
        let printed = sixth.printed(&sixth.hidden(own), &mut renderer);
        let all = [&mut photographs, &mut with_scale, &mut instruments];
        for (lessons, evidence) in all.into_iter().zip(evidence) {
            let learned = learn(&evidence);
            let found = CONSTANTS.map(|(key, ..)| learned.calibration[key]);
            let predicted = sixth.printed(&sixth.hidden(found), &mut renderer);
            let off: Vec<f64> =
                printed.iter().zip(&predicted).map(|(a, b)| (a - b).abs()).collect();
            let met = off.iter().filter(|off| **off <= 2.0).count();
            lessons.shops += 1;
            lessons.mean += u32::from(off.iter().sum::<f64>() <= 2.0 * off.len() as f64);
            lessons.every += u32::from(met == off.len());
            lessons.values += off.len() as u32;
            lessons.met += met as u32;
            for ((one, hidden), (key, ..)) in learned.constants.iter().zip(own).zip(CONSTANTS) {
                assert_eq!(one.key, key, "in the order of the model");
                lessons.constants += 1;
                lessons.within += u32::from(one.low <= hidden && hidden <= one.high);
            }
        }
    }
    // What nobody knows of a camera's curve is 4 % on average over five of them, which alone is 1.5 L* in the middle.
    photographs.told("photographs by cameras that nobody knows", 0.83);
    with_scale.told("photographs with a grey scale in them", 0.92);
    instruments.told("read by an instrument", 0.95);
    let least = fewest(instruments.shops, 0.9);
    assert!(instruments.every >= least, "{} of {}", instruments.every, instruments.shops);
    assert!(instruments.met >= photographs.met, "an instrument tells more");
}

#[test]
fn evidence_comes_and_goes_without_a_trace_and_in_any_order() {
    let planned = &plans()[0];
    let mut chance = Chance(Pcg32::new(53, 8));
    let mut renderer = Renderer::default();
    let own = shop(&mut chance);
    let printed = planned.printed(&planned.hidden(own), &mut renderer);
    let slips = vec![0.0; printed.len()];
    let mut all: Vec<Evidence> = Vec::new();
    for number in 0..3 {
        let seen = photographed(planned, &printed, &slips, &mut chance);
        let told = explained(planned, BTreeMap::new(), &seen).evidence;
        all.push(Evidence { id: format!("{number}"), ..told });
    }
    let together = learn(&all);
    let two = learn(&all[..2]);
    assert_ne!(together.calibration, two.calibration, "each counts");
    all.rotate_left(1);
    assert_eq!(learn(&all), together, "in another order");
    all.retain(|one| one.id != "2");
    assert_eq!(learn(&all), two, "the third taken away again");
    let wide = |learned: &study::proof_causes::Learned| -> f64 {
        learned.constants.iter().map(|one| libm::log(one.high / one.low)).sum()
    };
    assert!(wide(&together) < wide(&two) && wide(&two) < wide(&learn(&all[..1])), "ever surer");
    assert!(learn(&[]).calibration.is_empty(), "nothing from nothing");
    let none = Evidence { weight: 0.0, ..all[0].clone() };
    for one in learn(&[none]).constants {
        assert!((one.value / one.built_in - 1.0).abs() < 1e-9, "what does not count moves nothing");
    }
    let odd = Evidence { mean_ln: vec![f64::NAN; 4], ..all[0].clone() };
    assert_eq!(learn(&[odd, all[0].clone()]).calibration, learn(&all[..1]).calibration);
}

#[test]
fn a_slow_bath_is_told_and_the_next_plate_timed_for_it() {
    let planned = &plans()[0];
    let mut renderer = Renderer::default();
    let built_in = CONSTANTS.map(|(_, _, value, _)| value);
    let mut hidden = planned.hidden(built_in);
    let sound = planned.printed(&hidden, &mut renderer);
    hidden.constants[0] = 0.7;
    let slow = planned.printed(&hidden, &mut renderer);
    let good = |l: &f64| Some(study::proof_causes::ValueSeen { lightness: *l, good_to_l: 0.3 });
    let seen =
        ProofSeen { values: slow.iter().map(good).collect(), camera: None, ..ProofSeen::default() };
    let told = explained(planned, calibration(built_in), &seen);
    println!("{}", told.said);
    let first = &told.causes[0];
    assert!(first.cause == Cause::Bath && first.share > 0.6, "{:?} {}", first.cause, first.share);
    println!("{}", first.said);
    assert!((first.sizes[0].found - 0.7).abs() < 0.04, "{:?}", first.sizes);
    assert!(told.said.contains("lighter than planned: the bath bit about a"), "{}", told.said);
    assert!(told.said.contains("slower than planned"), "{}", told.said);
    assert!(first.moves_l[4] > 4.0 && first.moves_l[0].abs() < 1.0, "{:?}", first.moves_l);
    let sum: f64 = told.causes.iter().map(|one| one.share).sum();
    assert!((sum - 1.0).abs() < 1e-9, "shares add up: {sum}");
    // Timed anew, the next plate in this bath prints as planned, by the chain itself.
    let began = Instant::now();
    let plan = Plan { calibration: calibration(built_in), ..planned.plan.clone() };
    let next =
        next(&plan, &planned.shares, &first.as_found, &[], &mut renderer).expect("a sound plan");
    println!("next: {:.2} s", began.elapsed().as_secs_f64());
    for way in &next.ways {
        println!("{}: {} {:?}", way.way, way.said, way.values);
    }
    let retimed = next.retimed.expect("other minutes");
    println!("{}", retimed.said);
    hidden.bite_min.clone_from(&retimed.bite_min);
    let printed = planned.printed(&hidden, &mut renderer);
    for (value, (printed, sound)) in printed.iter().zip(&sound).enumerate() {
        assert!((printed - sound).abs() < 2.0, "value {value} prints {printed}, wished {sound}");
    }
    let bites: Vec<Bite> = retimed.bite_min.iter().map(|&bite_min| Bite { bite_min }).collect();
    let edited = Plan { bites, ..planned.plan.clone() };
    assert!(edited.problems().is_empty(), "a plan that can be had");
    let bite = next.ways.iter().find(|way| way.way == "bite").expect("longer under a new ground");
    assert!(
        bite.values.iter().all(|one| one.amount > 0.0 && one.after_l < one.before_l),
        "{bite:?}"
    );
    // As planned, nothing is to be done.
    let seen = ProofSeen {
        values: sound.iter().map(good).collect(),
        camera: None,
        ..ProofSeen::default()
    };
    let told = explained(planned, calibration(built_in), &seen);
    assert_eq!(told.causes[0].cause, Cause::Planned);
    let plan = Plan { calibration: calibration(built_in), ..planned.plan.clone() };
    let next = study::proof_causes::next(
        &plan,
        &planned.shares,
        &told.causes[0].as_found,
        &[],
        &mut renderer,
    )
    .expect("a sound plan");
    assert!(next.ways.is_empty() && next.retimed.is_none(), "{next:?}");
}

#[test]
fn plate_tone_is_told_from_copper_and_every_cause_has_its_next() {
    let planned = &plans()[1];
    let mut chance = Chance(Pcg32::new(55, 8));
    let mut renderer = Renderer::default();
    let built_in = CONSTANTS.map(|(_, _, value, _)| value);
    let mut hidden = planned.hidden(built_in);
    hidden.others.insert("ink.hand_land_film_um", 0.3);
    hidden.others.insert("ink.hand_floor_film_um", 0.5);
    let printed = planned.printed(&hidden, &mut renderer);
    let seen = by_instrument(&printed, &mut chance);
    let told = explained(planned, calibration(built_in), &seen);
    println!("{}", told.said);
    let first = &told.causes[0];
    assert_eq!(first.cause, Cause::Wiping { film: true }, "{}", told.said);
    assert!(first.moves_l[0] < -5.0, "bare copper greyest of all: {:?}", first.moves_l);
    let plan = Plan { calibration: calibration(built_in), ..planned.plan.clone() };
    for one in told.causes.iter().filter(|one| one.share > 1e-9) {
        let found = &one.as_found;
        let next = next(&plan, &planned.shares, found, &[], &mut renderer).expect("a sound plan");
        if one.cause == first.cause {
            let again = next.ways.first().expect("another proof");
            assert_eq!(again.way, "print_again", "the copper is not to blame");
            for value in &again.values {
                assert!((value.after_l - value.wished_l).abs() < 3.0, "{value:?}");
            }
        }
    }
}
