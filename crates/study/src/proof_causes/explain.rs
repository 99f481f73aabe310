//! What explains a proof that did not print as planned: causes with their shares, sizes and limits, and what each moves.

use crate::calibration::forward::FITTED;
use crate::calibration::misfit::in_ten;
use crate::calibration::model::Extra;
use crate::calibration::solve::Sought;
use crate::calibration::sway::{FILM_UM, PRESS_TIMES, film_keys, press_key};
use crate::proof_causes::causes::{
    ABSORPTION, Asked, Cause, FAMILIES, OVERLAP, Proof, ProofSeen, ProofTables, RATE, SURFACE,
    Tried, step_of,
};
use crate::proof_causes::evidence::Evidence;
use crate::proof_causes::local::{Local, local};
use crate::proof_causes::words;
use plan::{Diagnostic, Plan, Sentence, sentence};
use plate::Refused;
use plate::constants::Constants;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Fewest values that must have been read.
const FEWEST: usize = 3;
/// 95 % limits lie so many deviations off.
const LIMITS: f64 = 1.96;

/// Something that went otherwise, and how sure that is.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
#[ts(rename = "CauseSize")]
pub struct Size {
    /// What: the name of a constant, or of a field of the plan; `readings.3` is the reading of value 3.
    pub of: String,
    /// As planned: µm/min and the like; a share; minutes; L*.
    pub planned: f64,
    /// As found.
    pub found: f64,
    /// Lower 95 % limit.
    pub low: f64,
    /// Upper 95 % limit.
    pub high: f64,
}

/// What of the print, rather than the copper, went otherwise.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum OfPrint {
    /// Nothing: the copper did, or nobody knows.
    #[default]
    Nothing,
    /// The ink.
    Ink,
    /// The wiping.
    Wiping,
    /// The pressure.
    Pressure,
}

/// The plate as a cause would have it: what to lay in a plan's place so that it prints what was read.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ts_rs::TS)]
pub struct AsFound {
    /// Constants of bath and ink, which another plate on the same day meets as well.
    pub calibration: BTreeMap<String, f64>,
    /// Constants of film and pressure, which were this print's alone.
    pub this_print: BTreeMap<String, f64>,
    /// What another proof of the same copper need not have.
    pub of_print: OfPrint,
    /// Minutes of each bite.
    pub bite_min: Vec<f64>,
    /// How many times the plan's powder lay there.
    pub powder_times: f64,
}

/// A cause, as the readings have it.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Suspect {
    /// What went otherwise.
    pub cause: Cause,
    /// How likely that is among the causes compared, 0–1.
    pub share: f64,
    /// The same as one says it: “7 in 10”.
    pub likely: String,
    /// How far it went otherwise; nothing for [`Cause::Planned`].
    pub sizes: Vec<Size>,
    /// By how much it moves what each value prints, L*, the paper first.
    pub moves_l: Vec<f64>,
    /// L* that each value would have printed with it, the paper first, the camera's part taken off.
    pub prints_l: Vec<f64>,
    /// The same in a sentence, with its limits.
    pub said: Sentence,
    /// The plate that it makes.
    pub as_found: AsFound,
}

/// One value: planned, read and explained.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct ValueTold {
    /// L* planned, with the constants of the plan's calibration.
    pub planned_l: f64,
    /// L* read.
    pub read_l: Option<f64>,
    /// L* of the print by that reading, what the likeliest cause makes of the camera taken off.
    pub true_l: Option<f64>,
    /// L* with the likeliest cause.
    pub explained_l: f64,
}

/// Why a proof did not print as planned.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Explained {
    /// All values, the paper first.
    pub values: Vec<ValueTold>,
    /// All causes, the likeliest first; their shares add up to 1.
    pub causes: Vec<Suspect>,
    /// What it comes to, in plain words.
    pub said: Sentence,
    /// What may have gone wrong at one place of the plate.
    pub local: Local,
    /// What this proof tells of the shop's own constants, to be kept.
    pub evidence: Evidence,
}

/// Explains a proof of a plan. `tables` are those of the plan; what its calibration says of bath and ink is known to a day's scatter.
/// Shares of causes are never surer than the readings are: what is not known of constants, camera and scatter is in them.
///
/// # Errors
/// Sentences: too few values read, or not as many as the plan has.
pub fn explain(plan: &Plan, tables: &ProofTables, seen: &ProofSeen) -> Result<Explained, Refused> {
    let refuse = |message: Sentence| Err(vec![Diagnostic::error("readings", "count", message)]);
    let bites = tables.forward.minutes.len();
    if seen.values.len() != bites + 1 {
        return refuse(sentence!(
            "There must be a reading, or a gap, for the paper and each of the {} values.",
            bites
        ));
    }
    let asked = Asked::new(plan, tables, seen);
    if asked.readings.len() < FEWEST {
        return refuse(sentence!(
            "{} values have been read; at least {} are needed to tell causes apart.",
            asked.readings.len(),
            FEWEST
        ));
    }
    let tried = asked.compare();
    let suspects = suspects(plan, tables, &asked, &tried);
    let nothing_known = asked.knowing_nothing();
    let evidence = Evidence::of(plan, &nothing_known, &tried);
    let values = values(&asked, &tried, &suspects, seen);
    let calibrated = asked.known.iter().any(Option::is_some);
    let said = words::said(&values, &suspects, seen, calibrated);
    let local = local(plan, tables, &seen.places)?;
    let said = local.said.iter().fold(said, |said, more| said.and(more.clone()));
    Ok(Explained { values, causes: suspects, said, local, evidence })
}

/// The likeliest of a family's assumptions.
fn likeliest<'b>(tried: &'b [Tried], cause: Cause) -> Option<&'b Tried> {
    let of_family = tried.iter().filter(|one| one.assumed.cause.family() == cause.family());
    of_family.fold(None, |best: Option<&'b Tried>, one| match best {
        Some(best) if best.share >= one.share => Some(best),
        _ => Some(one),
    })
}

fn suspects(plan: &Plan, tables: &ProofTables, asked: &Asked<'_>, tried: &[Tried]) -> Vec<Suspect> {
    let Some((planned, others)) = tried.split_first() else { return Vec::new() };
    // Of each family its share, and the likeliest way it may have gone.
    let mut ways: Vec<(Cause, f64, &Tried)> = Vec::new();
    for (cause, share) in asked.shared_out(planned, plan.seed) {
        ways.push((cause, share, planned));
    }
    ways.extend(others.iter().map(|one| (one.assumed.cause, one.share, one)));
    let mut all: Vec<Suspect> = Vec::new();
    for family in 0..FAMILIES {
        let of_family = || ways.iter().filter(move |way| way.0.family() == family);
        let share = of_family().map(|way| way.1).sum();
        if let Some(best) = of_family().max_by(|a, b| a.1.total_cmp(&b.1)) {
            // Put where it belongs: a sort would weigh more than all of this.
            let place = all.iter().position(|other| other.share < share).unwrap_or(all.len());
            all.insert(place, suspect(plan, tables, asked, (share, best.0, best.2)));
        }
    }
    all
}

/// Value, deviation in the number's own way, and limits of something sought.
fn limits(one: &Sought, off: f64, variance: f64) -> [f64; 3] {
    let deviation = LIMITS * libm::sqrt(variance.max(0.0));
    [one.at(off), one.at(off - deviation), one.at(off + deviation)]
}

fn suspect(
    plan: &Plan,
    tables: &ProofTables,
    asked: &Asked<'_>,
    (share, cause, one): (f64, Cause, &Tried),
) -> Suspect {
    let proof = asked.proof(&one.assumed);
    let sought = proof.model.sought();
    let (off, covariance) = (&one.weighed.off, &one.weighed.covariance);
    let constants = &one.weighed.values;
    let bites = tables.forward.minutes.len();
    let found = |i: usize| limits(&sought[i], off[i], covariance[(i, i)]);
    let size = |of: String, planned: f64, [found, a, b]: [f64; 3]| Size {
        of,
        planned,
        found,
        low: a.min(b),
        high: a.max(b),
    };
    let constant = |i: usize| size(sought[i].key.to_owned(), sought[i].in_force, found(i));
    // What is found beside the constants comes after them.
    let extra = || found(FITTED);
    let all_constants = Constants::calibrated(&plan.calibration).unwrap_or_default();
    let in_force = |key: &str| all_constants.get(key).unwrap_or(0.0);
    let own_min = |bite: usize| plan.bites.get(bite).map_or(0.0, |bite| bite.bite_min);
    let film = film_keys(plan.ink.wipe);
    let press = press_key(plan.ink.press);
    let sizes = match cause {
        Cause::Planned | Cause::Otherwise { value: None } => Vec::new(),
        Cause::Bath => vec![constant(RATE)],
        Cause::Ink { black } => vec![constant(if black { SURFACE } else { ABSORPTION })],
        Cause::Wiping { film: false } => vec![constant(OVERLAP)],
        Cause::BathAndInk => vec![constant(RATE), constant(ABSORPTION)],
        Cause::Wiping { film: true } => {
            let planned = in_force(film[0]);
            let at = extra().map(|units| (planned + FILM_UM * units).max(0.0));
            vec![size(film[0].to_owned(), planned, at)]
        }
        Cause::Pressure => {
            let planned = in_force(press);
            let at = extra().map(|units| (planned * libm::pow(PRESS_TIMES, units)).min(1.0));
            vec![size(press.to_owned(), planned, at)]
        }
        Cause::Minutes { bite: Some(bite) } => {
            let at = extra().map(|by_min| (own_min(bite) + by_min).max(0.0));
            vec![size(format!("bites.{bite}.bite_min"), own_min(bite), at)]
        }
        Cause::Minutes { bite: None } => vec![size("bites".to_owned(), 0.0, extra())],
        Cause::Ground => tables.grounds.as_ref().map_or_else(Vec::new, |grounds| {
            let at = extra().map(|times| grounds.cover(times));
            vec![size("dust.powder_g_per_m2".to_owned(), grounds.planned_cover(), at)]
        }),
        Cause::Otherwise { value: Some(value) } => {
            let expected = proof.print_l(step_of(value, bites), constants);
            let at = extra().map(|by_l| expected + by_l);
            vec![size(format!("readings.{value}"), expected, at)]
        }
    };
    let without = undone(&proof, cause, &sought, constants);
    let print = |constants: &[f64]| -> Vec<f64> {
        (0..=bites).map(|value| proof.print_l(step_of(value, bites), constants)).collect()
    };
    let prints_l = print(constants);
    let moves_l =
        prints_l.iter().zip(print(&without)).map(|(with, without)| with - without).collect();
    let units = |extra: Extra| proof.model.found(extra, constants);
    let of_print = match cause {
        Cause::Ink { .. } => OfPrint::Ink,
        Cause::Wiping { .. } => OfPrint::Wiping,
        Cause::Pressure => OfPrint::Pressure,
        _ => OfPrint::Nothing,
    };
    let mut as_found = AsFound { powder_times: 1.0, of_print, ..AsFound::default() };
    for (one, &value) in sought.iter().zip(constants).take(FITTED) {
        as_found.calibration.insert(one.key.to_owned(), value.clamp(one.min, one.max));
    }
    // No farther than a plan may say.
    let catalogue = Constants::catalogue();
    let mut put = |key: &str, value: f64| {
        if let Some(info) = catalogue.iter().find(|info| info.key == key) {
            as_found.this_print.insert(key.to_owned(), value.clamp(info.min, info.max));
        }
    };
    if let Some(units) = units(Extra::Film) {
        for key in film {
            put(key, in_force(key) + FILM_UM * units);
        }
    }
    if let Some(units) = units(Extra::Press) {
        put(press, in_force(press) * libm::pow(PRESS_TIMES, units));
    }
    if let Some(times) = units(Extra::Ground) {
        as_found.powder_times = times;
    }
    let minutes = |step: usize| proof.model.minutes(step, constants);
    let own = |step: usize| minutes(step) - if step == 0 { 0.0 } else { minutes(step - 1) };
    let (least, most) = plan::BITE_MIN;
    as_found.bite_min = (0..bites).map(|step| own(step).clamp(least, most)).collect();
    let said = words::cause(cause, &sizes, true);
    Suspect { cause, share, likely: in_ten(share), sizes, moves_l, prints_l, said, as_found }
}

/// The constants with a cause undone: what it stands for as planned.
fn undone(proof: &Proof<'_>, cause: Cause, sought: &[Sought], constants: &[f64]) -> Vec<f64> {
    let mut without = constants.to_vec();
    let mut put = |i: usize| {
        if let (Some(slot), Some(one)) = (without.get_mut(i), sought.get(i)) {
            *slot = one.in_force;
        }
    };
    match cause {
        Cause::Bath => put(RATE),
        Cause::Ink { black } => put(if black { SURFACE } else { ABSORPTION }),
        Cause::Wiping { film: false } => put(OVERLAP),
        Cause::BathAndInk => {
            put(RATE);
            put(ABSORPTION);
        }
        _ if !proof.model.extras.is_empty() => put(FITTED),
        _ => {}
    }
    without
}

fn values(
    asked: &Asked<'_>,
    tried: &[Tried],
    suspects: &[Suspect],
    seen: &ProofSeen,
) -> Vec<ValueTold> {
    let Some(first) = suspects.first() else { return Vec::new() };
    let Some(one) = likeliest(tried, first.cause).or_else(|| tried.first()) else {
        return Vec::new();
    };
    let proof = asked.proof(&one.assumed);
    let bites = proof.model.forward.minutes.len();
    let in_force: Vec<f64> = proof.model.sought().iter().map(|one| one.in_force).collect();
    let read_as = |l: f64| proof.model.read_as(l, &one.weighed.values);
    let seen = seen.values.iter();
    seen.zip(&first.prints_l)
        .enumerate()
        .map(|(value, (seen, &explained_l))| ValueTold {
            planned_l: proof.print_l(step_of(value, bites), &in_force),
            read_l: seen.map(|seen| seen.lightness),
            true_l: seen.map(|seen| read_as(seen.lightness)),
            explained_l,
        })
        .collect()
}
