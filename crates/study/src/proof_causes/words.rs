//! What causes are called, and what a proof comes to, in plain words.

use crate::calibration::misfit::in_ten;
use crate::calibration::verdict::ordinal;
use crate::proof_causes::causes::{Cause, ProofSeen};
use crate::proof_causes::explain::{Size, Suspect, ValueTold};
use crate::proof_causes::local::LocalSuspect;
use plan::{FaultKind, Sentence, Unit, quantity, sentence};

/// Less likely than this a cause is not named, and most that are.
const NAMED: f64 = 0.12;
const MOST: usize = 3;
/// Less sure than this another look is asked for.
const SURE: f64 = 0.7;
/// What differs by less than this from the plan, or from twice what the reading is good to, is as planned, L*.
const MET_L: f64 = 2.0;

/// About how much of something, as one says it.
fn about(share: f64) -> &'static str {
    match share.abs() {
        ..0.04 => "hardly",
        ..0.075 => "a twentieth",
        ..0.14 => "a tenth",
        ..0.22 => "a fifth",
        ..0.29 => "a quarter",
        ..0.41 => "a third",
        ..0.6 => "half",
        _ => "far",
    }
}

/// “about a fifth slower than planned”.
fn than(times: f64, less: &str, more: &str) -> String {
    let share = if times < 1.0 { 1.0 - times } else { times - 1.0 };
    let way = if times < 1.0 { less } else { more };
    match about(share) {
        "hardly" => format!("hardly {way} than planned"),
        "half" => format!("{way} than planned by about half"),
        "far" => format!("much {way} than planned"),
        share => format!("about {share} {way} than planned"),
    }
}

/// “21 % slower than planned (95 % limits 14 % slower to 28 % slower)”.
fn closer(size: &Size, less: &'static str, more: &'static str) -> Sentence {
    let by = |value: f64| {
        let times = value / size.planned - 1.0;
        let way = if times < 0.0 { less } else { more };
        sentence!("{} {}", quantity(times.abs(), Unit::Percent, 0), way)
    };
    sentence!("{} than planned (95 % limits {} to {})", by(size.found), by(size.low), by(size.high))
}

/// A cause as a part of a sentence, or `exactly` as a whole one with its size and limits.
pub(super) fn cause(cause: Cause, sizes: &[Size], exactly: bool) -> Sentence {
    let times = |size: &Size| size.found / size.planned.max(1e-9);
    match (cause, sizes) {
        (Cause::Bath, [rate]) if exactly => {
            sentence!("The bath bit {}.", closer(rate, "slower", "faster"))
        }
        (Cause::Bath, [rate]) => {
            sentence!("the bath bit {}", than(times(rate), "slower", "faster"))
        }
        (Cause::Ink { black: false }, [ink]) if exactly => {
            sentence!("The ink was {}.", closer(ink, "thinner", "stronger"))
        }
        (Cause::Ink { black: false }, [ink]) => {
            sentence!("the ink was mixed {}", than(times(ink), "thinner", "stronger"))
        }
        (Cause::Ink { .. }, [black]) if exactly => sentence!(
            "The ink’s darkest black throws back {}.",
            closer(black, "less light", "more light")
        ),
        (Cause::Ink { .. }, [black]) => {
            let way = if black.found > black.planned { "greyer" } else { "deeper" };
            sentence!("the ink’s darkest black was {} than planned", way)
        }
        (Cause::BathAndInk, [rate, ink]) if exactly => sentence!(
            "The bath bit {}, and the ink was {}.",
            closer(rate, "slower", "faster"),
            closer(ink, "thinner", "stronger")
        ),
        (Cause::BathAndInk, [rate, ink]) => sentence!(
            "the bath bit {} and the ink was {}, both together",
            than(times(rate), "slower", "faster"),
            than(times(ink), "thinner", "stronger")
        ),
        (Cause::Wiping { film: false }, [depth]) if exactly => {
            sentence!("The wipe pressed {} into the copper.", closer(depth, "less deep", "deeper"))
        }
        (Cause::Wiping { film: false }, [depth]) => {
            let way = if depth.found > depth.planned { "more" } else { "less" };
            sentence!("the wipe took {} out of the pits than planned", way)
        }
        (Cause::Wiping { .. }, [film]) if exactly => sentence!(
            "The wipe left {} of ink on the lands instead of {} (95 % limits {} to {}).",
            quantity(film.found, Unit::Um, 2),
            quantity(film.planned, Unit::Um, 2),
            quantity(film.low, Unit::Um, 2),
            quantity(film.high, Unit::Um, 2)
        ),
        (Cause::Wiping { .. }, [film]) => {
            let way = if film.found > film.planned { "more" } else { "less" };
            sentence!("the wipe left {} plate tone than planned", way)
        }
        (Cause::Pressure, [press]) if exactly => {
            sentence!("The press took up {}.", closer(press, "less of the ink", "more of the ink"))
        }
        (Cause::Pressure, [press]) => {
            let way = if press.found > press.planned { "harder" } else { "less hard" };
            sentence!("the press was set {} than planned", way)
        }
        (Cause::Minutes { bite: Some(bite) }, [own]) => minutes(bite, own, exactly),
        (Cause::Minutes { .. }, [by]) => {
            let way = if by.found < 0.0 { "short" } else { "long" };
            let seconds = |minutes: f64| quantity(60.0 * minutes.abs(), Unit::Seconds, 0);
            let off = |minutes: f64| {
                let way = if minutes < 0.0 { "short" } else { "long" };
                sentence!("{} {}", seconds(minutes), way)
            };
            if exactly {
                sentence!(
                    "Every bite ran {} (95 % limits {} to {}).",
                    off(by.found),
                    off(by.low),
                    off(by.high)
                )
            } else {
                sentence!("every bite ran about {} {}", seconds(by.found), way)
            }
        }
        (Cause::Ground, [cover]) => {
            let way = if cover.found > cover.planned { "more" } else { "less" };
            let share = |share: f64| quantity(share, Unit::Percent, 0);
            if exactly {
                sentence!(
                    "The ground covered {} of the copper instead of {} (95 % limits {} to {}).",
                    share(cover.found),
                    share(cover.planned),
                    share(cover.low),
                    share(cover.high)
                )
            } else {
                sentence!(
                    "the ground covered {} than planned, about {} instead of {}",
                    way,
                    share(cover.found),
                    share(cover.planned)
                )
            }
        }
        (Cause::Otherwise { value: Some(value) }, [read]) => {
            let way = if read.found > read.planned { "lighter" } else { "darker" };
            let by = quantity((read.found - read.planned).abs(), Unit::Lightness, 0);
            let name = if value == 0 { "the paper".to_owned() } else { format!("value {value}") };
            if exactly {
                sentence!(
                    "It is {} alone, which reads {} {} than the others would have it.",
                    name,
                    by,
                    way
                )
            } else {
                sentence!("it is {} alone, {} {} than the others would have it", name, by, way)
            }
        }
        (Cause::Planned, _) if exactly => {
            "All went as planned, but for a day’s scatter of bath, ink and wipe.".into()
        }
        (Cause::Planned, _) => "it is no more than a day’s scatter".into(),
        _ if exactly => "Something else, which none of the causes compared explains.".into(),
        _ => "it is something that none of these explains".into(),
    }
}

fn minutes(bite: usize, own: &Size, exactly: bool) -> Sentence {
    let by_min = own.found - own.planned;
    let way = if by_min < 0.0 { "short" } else { "long" };
    let decimals = u8::from(by_min.abs() < 3.0);
    let minutes = |minutes: f64| quantity(minutes, Unit::Minutes, 1);
    if exactly {
        sentence!(
            "The {} bite ran {} instead of {} (95 % limits {} to {}).",
            ordinal(bite),
            minutes(own.found),
            minutes(own.planned),
            minutes(own.low),
            minutes(own.high)
        )
    } else {
        let by = quantity(by_min.abs(), Unit::Minutes, decimals);
        sentence!("the {} bite ran about {} {}", ordinal(bite), by, way)
    }
}

/// Numbers in a row as one says them: “1, 3 to 5 and 7”.
pub(super) fn listed(numbers: &[usize]) -> String {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for &number in numbers {
        match runs.last_mut() {
            Some(run) if run.1 + 1 == number => run.1 = number,
            _ => runs.push((number, number)),
        }
    }
    let words: Vec<String> = runs
        .iter()
        .flat_map(|&(from, to)| match to - from {
            0 => vec![from.to_string()],
            1 => vec![from.to_string(), to.to_string()],
            _ => vec![format!("{from} to {to}")],
        })
        .collect();
    match words.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, before)) => format!("{} and {last}", before.join(", ")),
        None => String::new(),
    }
}

/// “Values 3 to 7 read 4 to 6 L* lighter than planned”.
fn off(values: &[ValueTold], seen: &ProofSeen, lighter: bool) -> Option<Sentence> {
    let by_l = |value: &ValueTold| {
        let by_l = value.read_l? - value.planned_l;
        Some(if lighter { by_l } else { -by_l })
    };
    let met_l = |value: usize| {
        let good_to_l = seen.values.get(value).copied().flatten().map_or(0.0, |one| one.good_to_l);
        f64::max(MET_L, 2.0 * good_to_l)
    };
    let off: Vec<(usize, f64)> = values
        .iter()
        .enumerate()
        .filter_map(|(value, told)| by_l(told).map(|by_l| (value, by_l)))
        .filter(|&(value, by_l)| by_l > met_l(value))
        .collect();
    let (mut least, mut most) = (f64::INFINITY, 0.0_f64);
    for &(_, by_l) in &off {
        (least, most) = (least.min(by_l), most.max(by_l));
    }
    let way = if lighter { "lighter" } else { "darker" };
    let numbers: Vec<usize> =
        off.iter().map(|(value, _)| *value).filter(|value| *value > 0).collect();
    let names = match (off.first()?.0, &numbers[..]) {
        (0, []) => "The bare copper".to_owned(),
        (0, _) => format!("The bare copper and values {}", listed(&numbers)),
        (_, [one]) => format!("Value {one}"),
        _ => format!("Values {}", listed(&numbers)),
    };
    let reads = if off.len() == 1 { "reads" } else { "read" };
    let from = quantity(least, Unit::Lightness, 0);
    Some(if libm::round(least) == libm::round(most) {
        sentence!("{} {} about {} {}", names, reads, from, way)
    } else {
        sentence!("{} {} {} to {} {}", names, reads, from, quantity(most, Unit::Count, 0), way)
    })
}

/// What is said of local causes, the likeliest first; `likely` is how likely it is that there is any.
pub(super) fn local(suspects: &[LocalSuspect], likely: &str) -> Sentence {
    let Some(first) = suspects.first() else { return "".into() };
    let mm = |mm: f64| quantity(mm, Unit::Mm, 0);
    let place = if first.kind == Some(FaultKind::EdgeTone) {
        sentence!("along the edges")
    } else {
        let (x_mm, y_mm) = (mm(first.x_mm), mm(first.y_mm));
        sentence!("about {} from the left and {} from the top", x_mm, y_mm)
    };
    let mut said = sentence!("Something local {} is likely ({}): it looks like ", place, likely);
    let named = suspects.iter().filter(|one| one.share >= NAMED).take(MOST);
    let count = named.clone().count();
    for (i, one) in named.enumerate() {
        let or = if i == 0 { "" } else { ", or " };
        let name = one.kind.map_or("none of the known faults", FaultKind::name);
        said = joined(said, sentence!("{}{} ({})", or, name, in_ten(one.share)));
    }
    if count == 0 {
        said = joined(said, first.kind.map_or("none of the known faults", FaultKind::name).into());
    }
    joined(said, ".".into())
}

/// What would tell causes apart.
fn would_tell(causes: &[&Suspect]) -> &'static str {
    let any = |cause: fn(Cause) -> bool| causes.iter().any(|one| cause(one.cause));
    let print =
        any(|cause| matches!(cause, Cause::Wiping { .. } | Cause::Pressure | Cause::Ink { .. }));
    let copper = any(|cause| {
        matches!(cause, Cause::Bath | Cause::Minutes { .. } | Cause::Ground | Cause::BathAndInk)
    });
    match (print, copper) {
        (true, true) => {
            "A second proof of this plate, inked and wiped with care, would tell print from copper; a step plate, bath from ink."
        }
        (true, false) => "A second proof of this plate, inked and wiped with care, would tell.",
        (false, true) if any(|cause| matches!(cause, Cause::Ground)) => {
            "A picture of the ground under the magnifier would tell."
        }
        (false, true) if any(|cause| matches!(cause, Cause::Minutes { .. })) => {
            "Your notes of the minutes would tell; so would a step plate in this bath."
        }
        (false, true) => "A step plate in this bath would tell.",
        (false, false) => "A second proof of this plate would tell.",
    }
}

/// What a proof comes to.
pub(super) fn said(
    values: &[ValueTold],
    suspects: &[Suspect],
    seen: &ProofSeen,
    calibrated: bool,
) -> Sentence {
    let (lighter, darker) = (off(values, seen, true), off(values, seen, false));
    let planned = suspects.iter().find(|one| one.cause == Cause::Planned);
    let likely = planned.map_or(0.0, |one| one.share);
    let head = match (lighter, darker) {
        (None, None) => sentence!(
            "Every value that was read prints as planned, to within {}",
            quantity(MET_L, Unit::Lightness, 0)
        ),
        (Some(one), None) | (None, Some(one)) => sentence!("{} than planned", one),
        (Some(light), Some(dark)) => sentence!("{} than planned. {}", light, dark),
    };
    let named: Vec<&Suspect> =
        suspects.iter().filter(|one| one.share >= NAMED).take(MOST).collect();
    let mut said = sentence!("{}: ", head);
    for (i, one) in named.iter().enumerate() {
        let or = if i == 0 { "" } else { ", or " };
        let words = cause(one.cause, &one.sizes, false);
        said = joined(said, sentence!("{}{} ({})", or, words, in_ten(one.share)));
    }
    if named.is_empty() {
        said = joined(said, "no cause stands out".into());
    }
    said = joined(said, ".".into());
    let first = suspects.first().map_or(0.0, |one| one.share);
    if first < SURE && likely < SURE {
        let others: Vec<&Suspect> =
            named.into_iter().filter(|one| one.cause != Cause::Planned).collect();
        said = said.and(would_tell(&others).into());
    }
    if !calibrated {
        said = said.and("The plan carries no calibration of this shop: its own bath and ink are among the causes, measured against the constants built in.".into());
    }
    said
}

/// One after the other, without a space.
fn joined(first: Sentence, next: Sentence) -> Sentence {
    sentence!("{}{}", first, next)
}

#[cfg(test)]
mod tests {
    use super::listed;

    #[test]
    fn numbers_are_listed_as_one_says_them() {
        assert_eq!(listed(&[3, 4, 5, 6]), "3 to 6");
        assert_eq!(listed(&[1, 3, 4, 7]), "1, 3, 4 and 7");
        assert_eq!(listed(&[2]), "2");
    }
}
