//! What next: ways on from the plate as it is, and the next plate's bites in today's bath.

use crate::calibration::forward::TOLD;
use crate::calibration::proof_plate;
use crate::inverse::{Wanted, inverse};
use crate::proof_causes::explain::{AsFound, OfPrint};
use crate::proof_causes::words::listed;
use crate::rework::{Way, Wish, plain_way};
use crate::timing::Rounding;
use crate::tone_response::{MET_L, tone_response};
use plan::{Plan, Sentence, Unit, quantity, sentence};
use plate::ink::pigment_share;
use plate::{Plate, Refused, Renderer, View};
use serde::Serialize;

/// Most parts of base in an ink that is advised.
const MOST_BASE: f64 = 400.0;
/// Parts of base are measured to this.
const BASE_STEP: f64 = 5.0;

/// One value on the way.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, ts_rs::TS)]
#[ts(rename = "NextValue")]
pub struct NextValue {
    /// Which; 0 is the paper.
    pub value: usize,
    /// How much of it: minutes under a new ground, µm taken down; 0 where all values go alike.
    pub amount: f64,
    /// L* that was wished.
    pub wished_l: f64,
    /// L* as it is, as far as the proof tells.
    pub before_l: f64,
    /// L* afterwards.
    pub after_l: f64,
}

/// A way on from the plate as it is.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Suggestion {
    /// `bite` (longer, under a new ground), `burnish`, `thin_ink`, `strong_ink`, or `print_again`.
    #[ts(type = "'bite' | 'burnish' | 'thin_ink' | 'strong_ink' | 'print_again'")]
    pub way: &'static str,
    /// Parts of base to 100 of black for an ink; 0 elsewhere.
    pub amount: f64,
    /// The values that it changes as wished.
    pub values: Vec<NextValue>,
    /// The same in a sentence.
    pub said: Sentence,
}

/// The plan's bites timed anew for today's bath, ink and wipe.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Retimed {
    /// Minutes of each bite, in whole quarters.
    pub bite_min: Vec<f64>,
    /// What every value prints: `amount` is its bite's own minutes; before, with the plan's minutes; after, with these.
    pub values: Vec<NextValue>,
    /// The same in a sentence.
    pub said: Sentence,
}

/// What can be done after a proof.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
#[ts(rename = "AfterProof")]
pub struct Next {
    /// From this plate as it is.
    pub ways: Vec<Suggestion>,
    /// With the next plate, if it needs other minutes.
    pub retimed: Option<Retimed>,
}

/// What can be done, if the plate is as a cause has it. `shares` of the plate per value, paper first, are those of the proof's picture;
/// `wished_l` is the wished print, value 1 first: the plan's own prediction where nothing is wished.
///
/// # Errors
/// As [`proof_plate`].
pub fn next(
    plan: &Plan,
    shares: &[f64],
    found: &AsFound,
    wished_l: &[f64],
    renderer: &mut Renderer,
) -> Result<Next, Refused> {
    let own_min: Vec<f64> = plan.bites.iter().map(|bite| bite.bite_min).collect();
    let planned = proof_plate(plan, &own_min, shares)?;
    let mut all_wished = printed(&planned, renderer);
    for (l, wished) in all_wished.iter_mut().skip(1).zip(wished_l) {
        *l = *wished;
    }
    // Today's bath and ink, which another plate meets as well; and the plate at hand with all that befell it.
    let mut today = plan.clone();
    today.calibration.extend(found.calibration.iter().map(|(key, value)| (key.clone(), *value)));
    let today_plate = planned.after(&planned.job().with_plan(proof_plan(&planned, &today)))?;
    let retimed = retimed(&today_plate, &own_min, &all_wished, renderer);
    // Inked, wiped and pressed as planned, on the copper as it was found.
    let mut again = plan.clone();
    let of_ink = |key: &str| key.starts_with("ink.") && TOLD.contains(&key);
    let of_copper = found.calibration.iter().filter(|(key, _)| !of_ink(key));
    again.calibration.extend(of_copper.map(|(key, value)| (key.clone(), *value)));
    let mut as_is = today;
    as_is.calibration.extend(found.this_print.iter().map(|(key, value)| (key.clone(), *value)));
    as_is.dust.powder_g_per_m2 *= found.powder_times;
    let is_plate = proof_plate(&as_is, &found.bite_min, shares)?;
    let again = is_plate.after(&is_plate.job().with_plan(proof_plan(&is_plate, &again)))?;
    let again_l = printed(&again, renderer);
    let mut ways = ways(plan, &is_plate, &all_wished, shares, renderer);
    // Ink, wiping and press are another proof's: the copper is not to blame.
    if !ways.is_empty() && found.of_print != OfPrint::Nothing {
        ways.insert(
            0,
            print_again(found.of_print, &printed(&is_plate, renderer), &again_l, &all_wished),
        );
    }
    Ok(Next { ways, retimed })
}

/// A plan's constants on a proof's plate.
fn proof_plan(plate: &Plate, plan: &Plan) -> Plan {
    Plan { calibration: plan.calibration.clone(), ..plate.plan().clone() }
}

/// L* of every value, paper first.
fn printed(plate: &Plate, renderer: &mut Renderer) -> Vec<f64> {
    let view = View::first();
    let mut looking = renderer.look(plate, &view);
    plate.session().dose_um.iter().map(|&dose_um| looking.lightness_at(dose_um)).collect()
}

fn retimed(
    today: &Plate,
    own_min: &[f64],
    wished_l: &[f64],
    renderer: &mut Renderer,
) -> Option<Retimed> {
    let before = printed(today, renderer);
    let response = tone_response(today, renderer);
    let wanted =
        Wanted { wanted_l: wished_l.get(1..)?, bitten_min: &[], rounding: Rounding::ByHand };
    let back = inverse(today, renderer, &response, &wanted);
    let bite_min: Vec<f64> = back.bites.iter().map(|bite| bite.bite_min).collect();
    if bite_min == own_min {
        return None;
    }
    let values = back.bites.iter().enumerate().map(|(i, bite)| NextValue {
        value: i + 1,
        amount: bite.bite_min,
        wished_l: bite.wanted_l,
        before_l: before.get(i + 1).copied().unwrap_or(bite.lightness),
        after_l: bite.lightness,
    });
    let values: Vec<NextValue> = values.collect();
    let most = |of: &dyn Fn(&NextValue) -> f64| values.iter().map(of).fold(0.0, f64::max);
    let before_l = most(&|one| (one.before_l - one.wished_l).abs());
    let after_l = most(&|one| (one.after_l - one.wished_l).abs());
    let (from, to): (f64, f64) = (own_min.iter().sum(), bite_min.iter().sum());
    // Where the plan's own minutes do as well there is nothing to change.
    if before_l < MET_L || after_l > before_l - 0.5 * MET_L {
        return None;
    }
    let said = sentence!(
        "In today’s bath the next plate wants {} in all instead of {}: its values then miss by {} at most, with the plan’s own minutes by {}.",
        quantity(to, Unit::Minutes, 2),
        quantity(from, Unit::Minutes, 2),
        quantity(after_l, Unit::Lightness, 1),
        quantity(before_l, Unit::Lightness, 1)
    );
    let said = if after_l > MET_L {
        said.and("The rest no bite can give in this ink.".into())
    } else {
        said
    };
    Some(Retimed { bite_min, values, said })
}

/// Ways on from the plate as it is.
fn ways(
    plan: &Plan,
    plate: &Plate,
    wished_l: &[f64],
    shares: &[f64],
    renderer: &mut Renderer,
) -> Vec<Suggestion> {
    let now = printed(plate, renderer);
    let there = |value: usize| shares.get(value).is_some_and(|share| *share > 0.0);
    let missed: Vec<usize> = (1..now.len())
        .filter(|&value| there(value) && (now[value] - wished_l[value]).abs() > MET_L)
        .collect();
    let mut all = Vec::new();
    if missed.is_empty() {
        return all;
    }
    all.extend(other_ink(plan, plate, &now, wished_l, &missed, renderer));
    let light: Vec<usize> =
        missed.iter().copied().filter(|&value| now[value] > wished_l[value]).collect();
    let dark: Vec<usize> = missed.iter().copied().filter(|value| !light.contains(value)).collect();
    for (way, values) in [("bite", light), ("burnish", dark)] {
        all.extend(by_hand(way, &values, plate, &now, wished_l, renderer));
    }
    all
}

fn print_again(of_print: OfPrint, now: &[f64], again_l: &[f64], wished_l: &[f64]) -> Suggestion {
    let what = match of_print {
        OfPrint::Ink => "with ink mixed as planned",
        OfPrint::Wiping => "wiped as planned",
        _ => "with the press set as planned",
    };
    let values = (0..now.len()).map(|value| NextValue {
        value,
        amount: 0.0,
        wished_l: wished_l[value],
        before_l: now[value],
        after_l: again_l[value],
    });
    Suggestion {
        way: "print_again",
        amount: 0.0,
        values: values.collect(),
        said: sentence!(
            "If that is the cause, the copper is as planned: pull a second proof, {}, before anything is done to the plate.",
            what
        ),
    }
}

/// The share of black in the ink that brings all values nearest to what was wished.
fn other_ink(
    plan: &Plan,
    plate: &Plate,
    now: &[f64],
    wished_l: &[f64],
    missed: &[usize],
    renderer: &mut Renderer,
) -> Option<Suggestion> {
    let (base, reducer) = (plan.ink.base_parts, plan.ink.reducer_parts);
    let mut with = |base_parts: f64| -> Option<Vec<f64>> {
        let mut other = plate.plan().clone();
        other.ink.base_parts = base_parts;
        let other = plate.after(&plate.job().with_plan(other)).ok()?;
        Some(printed(&other, renderer))
    };
    let off = |l: &[f64]| -> f64 {
        missed
            .iter()
            .map(|&value| (l[value] - wished_l[value]) * (l[value] - wished_l[value]))
            .sum()
    };
    // Along the share of black, in a twelfth at a time from the mix as it is.
    let own = pigment_share(base, reducer);
    let (mut best, mut best_base) = (now.to_vec(), base);
    // Weaker where most is too dark, stronger where most is too light and there is base to leave out.
    let too_light: f64 = missed.iter().map(|&value| now[value] - wished_l[value]).sum();
    let ways = if too_light > 0.0 { -8..=-1_i32 } else { 1..=12_i32 };
    if too_light > 0.0 && base < BASE_STEP {
        return None;
    }
    for k in ways {
        let share = own * libm::exp(f64::from(k) / -12.0);
        let parts = 100.0 * (1.0 / share - 1.0) - reducer;
        let parts = libm::round(parts / BASE_STEP) * BASE_STEP;
        if !(0.0..=MOST_BASE).contains(&parts) || parts == base {
            continue;
        }
        let l = with(parts)?;
        if off(&l) < off(&best) {
            (best, best_base) = (l, parts);
        }
    }
    // It must be worth it: half of what was missed.
    if best_base == base || off(&best) > 0.25 * off(now) {
        return None;
    }
    let stronger = best_base < base;
    let values = (0..now.len()).map(|value| NextValue {
        value,
        amount: 0.0,
        wished_l: wished_l[value],
        before_l: now[value],
        after_l: best[value],
    });
    let after_l = missed.iter().map(|&value| (best[value] - wished_l[value]).abs());
    Some(Suggestion {
        way: if stronger { "strong_ink" } else { "thin_ink" },
        amount: best_base,
        values: values.collect(),
        said: sentence!(
            "Mix the ink with {} parts of base to 100 of black instead of {}: the values that missed then come within {}.",
            quantity(best_base, Unit::Count, 0),
            quantity(base, Unit::Count, 0),
            quantity(after_l.fold(0.0, f64::max), Unit::Lightness, 1)
        ),
    })
}

/// Longer under a new ground, or lighter with the burnisher, value by value.
fn by_hand(
    way: &'static str,
    values: &[usize],
    plate: &Plate,
    now: &[f64],
    wished_l: &[f64],
    renderer: &mut Renderer,
) -> Option<Suggestion> {
    let view = View::first();
    let mut found: Vec<(NextValue, Way)> = Vec::new();
    for &value in values {
        let wish = Wish { value, amounts: &[], lightness: wished_l[value] };
        let Some(way) = plain_way(plate, &view, renderer, &wish) else { continue };
        let one = NextValue {
            value,
            amount: way.amount,
            wished_l: wished_l[value],
            before_l: now[value],
            after_l: way.reaches,
        };
        found.push((one, way));
    }
    let first = found.first()?;
    let (mut least, mut most) = (first.0.amount, first.0.amount);
    for (one, _) in &found {
        (least, most) = (least.min(one.amount), most.max(one.amount));
    }
    let numbers: Vec<usize> = found.iter().map(|(one, _)| one.value).collect();
    let names = if numbers.len() == 1 { "Value" } else { "Values" };
    let short = found.iter().any(|(_, way)| !way.enough);
    let said = if way == "bite" {
        sentence!(
            "{} {} need {} to {} more under a new ground, the others stopped out.",
            names,
            listed(&numbers),
            quantity(least, Unit::Minutes, 1),
            quantity(most, Unit::Minutes, 1)
        )
    } else {
        sentence!(
            "{} {} come lighter with the burnisher, {} to {} down.",
            names,
            listed(&numbers),
            quantity(least, Unit::Um, 1),
            quantity(most, Unit::Um, 1)
        )
    };
    let said = if short { said.and("Not all of them get there.".into()) } else { said };
    let values = found.into_iter().map(|(one, _)| one).collect();
    Some(Suggestion { way, amount: 0.0, values, said })
}
