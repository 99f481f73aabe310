//! What stands in the way of a wanted value, in words, and what would carry it.

use super::super::Plate;
use super::grain::dusting_for_cover;
use super::{Darkening, MET_L};
use crate::constants::Constants;
use plan::{Plan, Wipe};

/// Values nearer than this to the one before can't be asked for: no eye tells them apart, L*.
const APART_L: f64 = 0.1;
/// A dose that stays this share short was not to be had in the longest bite.
const SHORT: f64 = 0.99;
/// What is said of a bath that is used up.
pub(in crate::proof) const DEAD_BATH: &str =
    "This bath no longer bites: its iron is used up by the copper in it.";

/// One sentence for each wanted value; empty when it comes out as asked.
pub(super) fn sentences(
    plate: &mut Plate,
    darkening: &Darkening,
    wanted_l: &[f64],
    done: usize,
    timed_l: &[f64],
    exact_um: &[f64],
) -> Vec<String> {
    let mut darkest_said: Option<String> = None;
    let (_, darkest_l) = darkening.darkest();
    let paper_l = darkening.paper_l();
    let whole = libm::round;
    (0..wanted_l.len())
        .map(|i| {
            let wanted = wanted_l[i];
            let prints = whole(timed_l[i]);
            let before = if i == 0 { paper_l } else { wanted_l[i - 1] };
            let off = (timed_l[i] - wanted).abs() > MET_L;
            if i < done {
                return match timed_l[i] - wanted {
                    d if d < -MET_L => format!("This value has been bitten already and prints L* {prints}, darker than asked. Copper does not come back."),
                    d if d > MET_L => format!("This value has been bitten and stopped out already and prints L* {prints}, lighter than asked. The nearest is to leave it."),
                    _ => String::new(),
                };
            }
            if wanted > paper_l - APART_L {
                return format!("Unbitten copper prints L* {} here: nothing is lighter. Leave these places to the paper; the nearest bitten value is L* {prints}.", whole(paper_l));
            }
            if wanted > before - APART_L {
                return format!("It is asked no darker than the value before it, which is stopped out first. The nearest is L* {prints}: ask for the values from light to dark.");
            }
            let Some(dose_um) = darkening.dose_for(wanted) else {
                return darkest_said
                    .get_or_insert_with(|| too_dark(plate, darkening, wanted_l[wanted_l.len() - 1].min(wanted), darkest_l))
                    .clone();
            };
            if exact_um[i] < SHORT * dose_um && plate.no_longer_bites() {
                return format!("{DEAD_BATH} A fresh one would carry L* {}.", whole(wanted));
            }
            if exact_um[i] < SHORT * dose_um {
                return format!("This bath does not bite so deep in {} minutes: it is too spent, too cold or too still for L* {}. The nearest is L* {prints}. A fresh or warmer bath would carry it.", plan::BITE_MIN.1, whole(wanted));
            }
            if off && timed_l[i] < wanted {
                return format!("What has been bitten already, or the shortest bite, prints darker: L* {prints} is the nearest.");
            }
            if off {
                return format!("Timed so coarsely it prints L* {prints}. Time it more finely.");
            }
            String::new()
        })
        .collect()
}

/// How dark this ground prints, and after how many minutes in such bites.
pub(super) fn darkest(plate: &Plate, darkening: &Darkening, minutes: Option<f64>) -> String {
    let l = darkening.darkest().1;
    let darkest = format!("The darkest this ground prints with this ink is L* {l:.1}");
    match minutes {
        None if plate.no_longer_bites() => format!("{darkest}. {DEAD_BATH}"),
        None => format!("{darkest}; this bath does not get there within a day."),
        Some(minutes) => {
            let after = if darkening.breaks_down() {
                "; bitten longer it breaks down and prints lighter again."
            } else {
                "."
            };
            format!("{darkest}, after about {minutes:.0} minutes in bites like these{after}")
        }
    }
}

/// Why nothing is as dark as this, and what would be.
fn too_dark(plate: &mut Plate, darkening: &Darkening, wanted_l: f64, darkest_l: f64) -> String {
    let (wanted, nearest) = (libm::round(wanted_l), libm::round(darkest_l));
    let why = if darkening.breaks_down() {
        format!(
            "This grain breaks down before L* {wanted}: the nearest is L* {nearest}, its darkest."
        )
    } else {
        format!(
            "However long it is bitten, this ground prints no darker than L* {nearest} with this ink."
        )
    };
    match carried_by(plate, wanted_l) {
        Some(remedy) => format!("{why} {remedy}"),
        None => format!(
            "{why} Neither another wait, nor more or less dust, nor neat ink wiped by hand was found to carry it."
        ),
    }
}

/// A change of the plan, and how one says that it would carry the value.
type Remedy = (Plan, String);

/// Tries what a printmaker would change, one thing after another, each by reckoning its print.
fn carried_by(plate: &Plate, wanted_l: f64) -> Option<String> {
    let expected = plate.baked.expected_cover(&plate.landed, &plate.constants.bake);
    let all = remedies(plate.plan(), &plate.constants, expected);
    all.into_iter().find_map(|(plan, words)| {
        let mut other = Plate::new(plan, plate.areas.clone()).ok()?;
        let tones = other.tones_by_dose();
        let darkest = tones.lightness.iter().fold(f64::INFINITY, |a, &l| a.min(l));
        (darkest <= wanted_l).then_some(words)
    })
}

/// “one dusting”, “two dustings” …
fn times_raised(dustings: f64) -> String {
    let word = ["one", "two", "three", "four", "five", "six"][(dustings as usize).clamp(1, 6) - 1];
    format!("{word} dusting{}", if dustings > 1.0 { "s" } else { "" })
}

fn remedies(plan: &Plan, constants: &Constants, cover: f64) -> Vec<Remedy> {
    let mut all: Vec<Remedy> = Vec::new();
    let mut offer = |change: &dyn Fn(&mut Plan), words: String| {
        let mut other = plan.clone();
        change(&mut other);
        if other != *plan && !other.problems().iter().any(|p| p.severity == plan::Severity::Error) {
            all.push((other, words));
        }
    };
    let neat = |plan: &mut Plan| (plan.ink.base_parts, plan.ink.reducer_parts) = (0.0, 0.0);
    let by_hand = |plan: &mut Plan| {
        if plan.ink.wipe == Wipe::Hard {
            plan.ink.wipe = Wipe::Hand;
        }
    };
    offer(&neat, "Neat black would carry it.".into());
    offer(&by_hand, "Wiping by hand, less hard, would carry it.".into());
    // A shorter wait with the same cover: what changes is the grain.
    for share in [0.6, 0.3, 0.0] {
        let wait_s = libm::round(plan.dust.wait_s * share / 5.0) * 5.0;
        let mut shorter = plan.clone();
        shorter.dust.wait_s = wait_s;
        let (powder, dustings) = dusting_for_cover(&shorter, constants, cover);
        offer(
            &|plan| {
                plan.dust.wait_s = wait_s;
                (plan.dust.powder_g_per_m2, plan.dust.dustings) = (powder, dustings);
            },
            format!(
                "A shorter wait of {wait_s} s would carry it, with {} of {powder} g/m² of powder.",
                times_raised(dustings)
            ),
        );
    }
    for times in [0.7, 1.5, 2.5] {
        let powder = libm::round(plan.dust.powder_g_per_m2 * times * 2.0) / 2.0;
        let more = if times > 1.0 { "More" } else { "Less" };
        offer(
            &|plan| plan.dust.powder_g_per_m2 = powder,
            format!(
                "{more} dust would carry it: {} of {powder} g/m² of powder.",
                times_raised(plan.dust.dustings)
            ),
        );
    }
    let coarser_um = libm::round(plan.dust.median_um * 1.6);
    let coarser = |plan: &mut Plan| {
        plan.dust.powder_g_per_m2 *= 1.6;
        plan.dust.median_um = coarser_um;
    };
    offer(
        &coarser,
        format!("Coarser powder of about {coarser_um} µm, and more of it, would carry it."),
    );
    offer(
        &|plan| {
            neat(plan);
            by_hand(plan);
            coarser(plan);
        },
        format!(
            "Coarser powder of about {coarser_um} µm with neat black, wiped by hand, would carry it."
        ),
    );
    all
}
