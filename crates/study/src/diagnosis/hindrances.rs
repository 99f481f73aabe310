//! What stands in the way of a wanted value, in words, and what would carry it.

use super::DEAD_BATH;
use crate::grain::dusting_for_cover;
use crate::tone_response::{MET_L, ToneResponse};
use plan::{Diagnostic, Piece, Plan, Quantity, Sentence, Unit, Wipe, quantity, sentence};
use plate::chain::{Course, SURE_SHARE};
use plate::constants::Constants;
use plate::{Plate, Renderer, View};

/// Values nearer than this to the one before can't be asked for: no eye tells them apart, L*.
const APART_L: f64 = 0.1;
/// A dose that stays this share short was not to be had in the longest bite.
const SHORT: f64 = 0.99;

/// What stands in the way of each wanted value; `None` where it comes out as asked. The field is that of
/// its bite.
pub(crate) fn hindrances(
    plate: &Plate,
    renderer: &mut Renderer,
    response: &ToneResponse,
    wanted_l: &[f64],
    done: usize,
    timed_l: &[f64],
    exact_um: &[f64],
) -> Vec<Option<Diagnostic>> {
    let mut darkest_said: Option<(Sentence, Sentence)> = None;
    let (_, darkest_l) = response.darkest();
    let paper_l = response.paper_l();
    (0..wanted_l.len())
        .map(|i| {
            let wanted = wanted_l[i];
            let prints = lightness(timed_l[i]);
            let before = if i == 0 { paper_l } else { wanted_l[i - 1] };
            let off = (timed_l[i] - wanted).abs() > MET_L;
            let say = |code, message: Sentence, hint: Sentence| {
                Some(Diagnostic::warning(format!("bites.{i}.bite_min"), code, message).hint(hint))
            };
            if i < done {
                return match timed_l[i] - wanted {
                    d if d < -MET_L => say(
                        "wish.bitten_darker",
                        sentence!("This value has been bitten already and prints {}, darker than asked.", prints),
                        "Copper does not come back.".into(),
                    ),
                    d if d > MET_L => say(
                        "wish.bitten_lighter",
                        sentence!("This value has been bitten and stopped out already and prints {}, lighter than asked.", prints),
                        "The nearest is to leave it.".into(),
                    ),
                    _ => None,
                };
            }
            if wanted > paper_l - APART_L {
                return say(
                    "wish.lighter_than_paper",
                    sentence!("Unbitten copper prints {} here: nothing is lighter.", lightness(paper_l)),
                    sentence!("Leave these places to the paper; the nearest bitten value is {}.", prints),
                );
            }
            if wanted > before - APART_L {
                return say(
                    "wish.out_of_order",
                    "It is asked no darker than the value before it, which is stopped out first.".into(),
                    sentence!("The nearest is {}: ask for the values from light to dark.", prints),
                );
            }
            let Some(dose_um) = response.dose_for(wanted) else {
                let deepest_l = wanted_l[wanted_l.len() - 1].min(wanted);
                let (message, hint) = darkest_said
                    .get_or_insert_with(|| too_dark(plate, renderer, response, deepest_l, darkest_l))
                    .clone();
                return say("wish.too_dark", message, hint);
            };
            if exact_um[i] < SHORT * dose_um && plate.no_longer_bites() {
                return say(
                    "bath.dead",
                    DEAD_BATH.into(),
                    sentence!("A fresh one would reach {}.", lightness(wanted)),
                );
            }
            if exact_um[i] < SHORT * dose_um {
                return say(
                    "wish.bath_too_slow",
                    sentence!(
                        "This bath does not bite so deep in {} minutes: it is too spent, too cold or too still for {}. The nearest is {}.",
                        plan::BITE_MIN.1,
                        lightness(wanted),
                        prints
                    ),
                    "A fresh or warmer bath would reach it.".into(),
                );
            }
            if off && timed_l[i] < wanted {
                return say(
                    "wish.bites_too_long",
                    sentence!("What has been bitten already, or the shortest bite, prints darker: {} is the nearest.", prints),
                    Sentence::default(),
                );
            }
            if off {
                return say(
                    "wish.timed_coarsely",
                    sentence!("Timed so coarsely it prints {}.", prints),
                    "Time it more finely.".into(),
                );
            }
            None
        })
        .collect()
}

fn lightness(l: f64) -> Quantity {
    quantity(l, Unit::Lightness, 0)
}

/// How dark this ground prints, and after how many minutes in such bites.
pub(crate) fn darkest(plate: &Plate, response: &ToneResponse, minutes: Option<f64>) -> Sentence {
    let l = quantity(response.darkest().1, Unit::Lightness, 1);
    let darkest = sentence!("The darkest this ground prints with this ink is {}", l);
    match minutes {
        None if plate.no_longer_bites() => sentence!("{}. {}", darkest, DEAD_BATH),
        None => sentence!("{}; this bath does not get there within a day.", darkest),
        Some(minutes) => {
            let after = if response.breaks_down() {
                "; bitten longer it breaks down and prints lighter again."
            } else {
                "."
            };
            let minutes = Piece::Number(quantity(minutes, Unit::Minutes, 0));
            sentence!("{}, after about {} minutes in bites like these{}", darkest, minutes, after)
        }
    }
}

/// Where suggestions stop short of the ground's breaking down, and what the rest would cost.
pub(crate) fn margin(response: &ToneResponse, course: &Course) -> Option<Sentence> {
    let ((sure_um, sure_l), (darkest_um, darkest_l)) = (response.sure(), response.darkest());
    if !response.breaks_down() {
        return None;
    }
    let stops = sentence!(
        "Suggestions stop at {}, {} of the way to that depth: beyond, the ground is near breaking down",
        quantity(sure_l, Unit::Lightness, 1),
        quantity(SURE_SHARE, Unit::Percent, 0)
    );
    let minutes = course.minutes_at(darkest_um).zip(course.minutes_at(sure_um));
    Some(match minutes {
        None => sentence!("{}.", stops),
        Some((to_the_end, sure)) => sentence!(
            "{}. The last {} L* would take about {} more.",
            stops,
            Piece::Number(quantity(sure_l - darkest_l, Unit::Count, 1)),
            quantity(to_the_end - sure, Unit::Minutes, 0)
        ),
    })
}

/// Why nothing is as dark as this, and what would be.
fn too_dark(
    plate: &Plate,
    renderer: &mut Renderer,
    response: &ToneResponse,
    wanted_l: f64,
    darkest_l: f64,
) -> (Sentence, Sentence) {
    let (wanted, nearest) = (lightness(wanted_l), lightness(darkest_l));
    let why = if response.breaks_down() {
        sentence!(
            "This grain breaks down before {}: the nearest is {}, its darkest.",
            wanted,
            nearest
        )
    } else {
        sentence!(
            "However long it is bitten, this ground prints no darker than {} with this ink.",
            nearest
        )
    };
    let remedy = carried_by(plate, renderer, wanted_l).unwrap_or_else(|| {
        "Neither another wait, nor more or less dust, nor neat ink wiped by hand was found to reach it.".into()
    });
    (why, remedy)
}

/// A change of the plan, and how one says that it would carry the value.
type Remedy = (Plan, Sentence);

/// Tries what a printmaker would change, one thing after another, each by calculating its print.
fn carried_by(plate: &Plate, renderer: &mut Renderer, wanted_l: f64) -> Option<Sentence> {
    let expected = plate.baked().expected_cover(plate.landed(), &plate.constants().bake);
    let all = remedies(plate.plan(), plate.constants(), expected);
    all.into_iter().find_map(|(plan, words)| {
        let other = plate.after(&plate.job().with_plan(plan)).ok()?;
        let tones = renderer.look(&other, &View::first()).tones_by_dose();
        let darkest = tones.lightness.iter().fold(f64::INFINITY, |a, &l| a.min(l));
        (darkest <= wanted_l).then_some(words)
    })
}

/// “dusting”, or more of them.
fn dustings_word(dustings: f64) -> &'static str {
    if dustings > 1.0 { "dustings" } else { "dusting" }
}

fn remedies(plan: &Plan, constants: &Constants, cover: f64) -> Vec<Remedy> {
    let mut all: Vec<Remedy> = Vec::new();
    let mut offer = |change: &dyn Fn(&mut Plan), words: Sentence| {
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
    offer(&neat, "Neat black would reach it.".into());
    offer(&by_hand, "Wiping by hand, less hard, would reach it.".into());
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
            sentence!(
                "A shorter wait of {} s would reach it, with {} {} of {} of powder.",
                wait_s,
                dustings,
                dustings_word(dustings),
                quantity(powder, Unit::GPerM2, 1)
            ),
        );
    }
    for times in [0.7, 1.5, 2.5] {
        let powder = libm::round(plan.dust.powder_g_per_m2 * times * 2.0) / 2.0;
        let more = if times > 1.0 { "More" } else { "Less" };
        offer(
            &|plan| plan.dust.powder_g_per_m2 = powder,
            sentence!(
                "{} dust would reach it: {} {} of {} of powder.",
                more,
                plan.dust.dustings,
                dustings_word(plan.dust.dustings),
                quantity(powder, Unit::GPerM2, 1)
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
        sentence!("Coarser powder of about {} µm, and more of it, would reach it.", coarser_um),
    );
    offer(
        &|plan| {
            neat(plan);
            by_hand(plan);
            coarser(plan);
        },
        sentence!(
            "Coarser powder of about {} µm with neat black, wiped by hand, would reach it.",
            coarser_um
        ),
    );
    all
}

#[cfg(test)]
mod tests {
    use super::remedies;
    use plan::Plan;
    use plate::constants::Constants;

    /// Worked by hand: 0.7, 1.5 and 2.5 times 30 g/m²; 0.6, 0.3 and none of 30 s, in steps of 5.
    #[test]
    fn dust_and_waits_that_are_offered_are_round_and_told_as_they_are() {
        let plan = Plan::default();
        assert_eq!((plan.dust.powder_g_per_m2, plan.dust.wait_s), (30.0, 30.0));
        let all = remedies(&plan, &Constants::default(), 0.5);
        let told = |more: &str| -> Vec<(&Plan, String)> {
            let all = all.iter().map(|(other, words)| (other, words.to_string()));
            all.filter(|(_, words)| words.starts_with(more)).collect()
        };
        let powders = [("Less dust", vec!["21"]), ("More dust", vec!["45", "75"])];
        for (more, expected) in powders {
            let found = told(more);
            assert_eq!(found.len(), expected.len(), "{found:?}");
            for ((other, words), powder) in found.into_iter().zip(expected) {
                let mut own = plan.clone();
                own.dust.powder_g_per_m2 = powder.parse().expect("a number");
                assert_eq!(*other, own, "nothing else is changed: {words}");
                assert!(words.contains(&format!("1 dusting of {powder}")), "{words}");
            }
        }
        let waits = told("A shorter wait");
        let found: Vec<f64> = waits.iter().map(|(other, _)| other.dust.wait_s).collect();
        assert_eq!(found, [20.0, 10.0, 0.0]);
        for (other, words) in waits {
            assert!(words.contains(&format!("wait of {} s", other.dust.wait_s)), "{words}");
        }
    }
}
