//! Remaining bites when some have already run, and not quite as planned.

use crate::diagnosis::DEAD_BATH;
use crate::timing::{Rounding, doses_after, minutes_between};
use crate::tone_response::{MET_L, tone_response};
use plan::order::TimedBite;
use plate::{Plate, Renderer, View};
use serde::Serialize;

/// How far a session has gone, and what is wanted of it. Bites are those of the order of work
/// ([`plan::order`]), where several of the plan's may run as one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SoFar<'a> {
    /// Minutes for which the first bites have run, any fraction of one.
    pub bitten_min: &'a [f64],
    /// L* that each value of the plan should print, value 1 first; the plan's own minutes stand where an
    /// entry is missing.
    pub target_l: &'a [f64],
}

/// What the bites that remain should be. Bites are those of the order of work.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct RemainingBites {
    /// How the last bite that ran came out: `met`, or `darker` or `lighter` than was asked for.
    #[ts(type = "'met' | 'darker' | 'lighter'")]
    pub last: &'static str,
    /// Minutes for each bite that remains, in whole quarters; 0 where a value can no longer be parted
    /// from that of the last bite that ran: both are stopped out together.
    pub bite_min: Vec<f64>,
    /// For each of them how it comes out: `met`, or `darker` or `lighter` than asked for by more
    /// than an eye forgives.
    #[ts(type = "('met' | 'darker' | 'lighter')[]")]
    pub outcome: Vec<&'static str>,
    /// L* that the value of each bite prints: those already stopped out as they were bitten, the others
    /// with these minutes.
    pub lightness: Vec<f64>,
    /// The same if the bites that remain keep the plan's minutes.
    pub kept_lightness: Vec<f64>,
    /// All bites of the plan, minutes in whole quarters: those that ran as they ran, the others with these
    /// minutes. A bite of several is shared out among them as the plan does.
    pub plan_min: Vec<f64>,
    /// The same if the bites that remain keep the plan's minutes.
    pub kept_plan_min: Vec<f64>,
    /// What stands in the way of all of them; empty when nothing does.
    pub sentence: String,
}

/// Minutes for the bites that remain, so that each later value prints its target.
///
/// Bites go on to tire the bath as they really ran. A value darker than this ground can print
/// gets the minutes of the darkest it can. After an overrun values that are to print no darker than what
/// is printed already, or by less than an eye sees, are bitten no more.
#[must_use]
pub fn remaining_bites(
    plate: &Plate,
    renderer: &mut Renderer,
    so_far: &SoFar<'_>,
) -> RemainingBites {
    let SoFar { bitten_min, target_l } = *so_far;
    let plan = plate.plan();
    let order = plan.timed_bites(plan.values_there(plate.picture().shares()));
    let done = bitten_min.len().min(order.len());
    let as_planned = |bite: &TimedBite| bite.bite_min;
    let mut kept = bitten_min[..done].to_vec();
    kept.extend(order[done..].iter().map(as_planned));

    let response = tone_response(plate, renderer);
    let (darkest_um, _) = response.darkest();
    let target = |bite: &TimedBite| target_l.get(bite.last - 1).copied();
    let mut doses_um: Vec<Option<f64>> = order
        .iter()
        .map_while(target)
        .map(|l| Some(response.dose_for(l).unwrap_or(darkest_um)))
        .collect();
    let kept_lightness = lightness_after(plate, renderer, &order, &kept);
    let outcome = |lightness: &[f64], i: usize| match target(&order[i]) {
        Some(target) if lightness[i] > target + MET_L => "lighter",
        Some(target) if lightness[i] < target - MET_L => "darker",
        _ => "met",
    };
    let last = done.checked_sub(1).map_or("met", |i| outcome(&kept_lightness, i));
    if last == "darker" {
        let printed_l = kept_lightness[done - 1];
        for (dose_um, bite) in doses_um.iter_mut().zip(&order).skip(done) {
            if target(bite).is_none_or(|target| target < printed_l - MET_L) {
                break;
            }
            *dose_um = None;
        }
    }
    let minutes = minutes_of(plate, &order, &doses_um, &kept[..done], &kept);

    let lightness = lightness_after(plate, renderer, &order, &minutes);
    let outcome = (done..order.len()).map(|i| outcome(&lightness, i)).collect();
    let dead = plate.no_longer_bites() && done < order.len();
    RemainingBites {
        last,
        sentence: if dead { DEAD_BATH.to_owned() } else { String::new() },
        bite_min: minutes[done..].to_vec(),
        outcome,
        kept_lightness,
        lightness,
        plan_min: shared_out(plate, &order, &minutes, order.len()),
        kept_plan_min: shared_out(plate, &order, &kept, done),
    }
}

/// Minutes of every bite of the order: those that ran, those found for doses (none without one), and the
/// plan's own after the last that anything is asked of.
fn minutes_of(
    plate: &Plate,
    order: &[TimedBite],
    doses_um: &[Option<f64>],
    ran: &[f64],
    kept: &[f64],
) -> Vec<f64> {
    // No place feels the first of several bites that run as one: all its minutes stand with the last.
    let mut wanted = Vec::new();
    for (bite, &dose_um) in order.iter().zip(doses_um) {
        wanted.resize(bite.last - 1, None);
        wanted.push(dose_um);
    }
    let found = minutes_between(plate, &wanted, &spread(order, ran), Some(Rounding::Quarters));
    let mut minutes: Vec<f64> =
        order.iter().zip(doses_um).map(|(bite, _)| found[bite.last - 1]).collect();
    minutes.splice(..ran.len().min(minutes.len()), ran.iter().copied());
    minutes.extend_from_slice(&kept[minutes.len()..]);
    minutes
}

fn lightness_after(
    plate: &Plate,
    renderer: &mut Renderer,
    order: &[TimedBite],
    minutes: &[f64],
) -> Vec<f64> {
    let (doses_um, _) = doses_after(plate, &spread(order, minutes));
    let view = View::first();
    let mut looking = renderer.look(plate, &view);
    order.iter().map(|bite| looking.lightness_at(doses_um[bite.last - 1])).collect()
}

/// The plan's bites with the first `changed` bites of the order put in.
fn shared_out(plate: &Plate, order: &[TimedBite], minutes: &[f64], changed: usize) -> Vec<f64> {
    let mut all: Vec<f64> = plate.plan().bites.iter().map(|bite| bite.bite_min).collect();
    let (shortest, longest) = plan::BITE_MIN;
    // A plan has no bite of no minutes: those that fall away get the shortest, taken from the one before.
    let mut lent = 0.0;
    for (bite, &minutes) in order[..changed].iter().zip(minutes).rev() {
        let parts = &mut all[bite.first - 1..bite.last];
        if minutes == 0.0 {
            parts.fill(shortest);
            lent += shortest * parts.len() as f64;
            continue;
        }
        let mut rest = minutes - lent;
        lent = 0.0;
        let share = rest / bite.bite_min;
        for (i, part) in (0..).zip(parts.iter_mut()) {
            let wanted = if bite.first + i == bite.last { rest } else { *part * share };
            *part = (libm::round(4.0 * wanted) / 4.0).clamp(shortest, longest);
            rest -= *part;
        }
    }
    all
}

/// The bites of an order as the plan counts them: all minutes of several in one stand with the last.
fn spread(order: &[TimedBite], minutes: &[f64]) -> Vec<f64> {
    let mut all = Vec::new();
    for (bite, &minutes) in order.iter().zip(minutes) {
        all.resize(bite.last - 1, 0.0);
        all.push(minutes);
    }
    all
}
