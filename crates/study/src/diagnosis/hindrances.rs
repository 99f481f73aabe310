//! What stands in the way of a wanted value, in words.

use super::DEAD_BATH;
use super::remedies::Remedies;
use crate::tone_response::{MET_L, ToneResponse};
use plan::{Diagnostic, Piece, Quantity, Sentence, Unit, quantity, sentence};
use plate::chain::{Course, SURE_SHARE};
use plate::{Plate, Renderer};

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
    let mut remedies = Remedies::of(plate, renderer);
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
                return say("wish.too_dark", too_dark(response, wanted), remedies.words(wanted));
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

/// Why nothing is as dark as this.
fn too_dark(response: &ToneResponse, wanted_l: f64) -> Sentence {
    let (wanted, nearest) = (lightness(wanted_l), lightness(response.darkest().1));
    if response.breaks_down() {
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
    }
}
