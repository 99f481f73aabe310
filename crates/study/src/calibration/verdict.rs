//! What a fit comes to, in plain sentences.

use crate::calibration::answer::{Fit, Fitted};
use crate::calibration::camera::Yardstick;
use crate::calibration::forward::{FITTED, Forward};
use crate::calibration::model::{Extra, Model};
use crate::calibration::search::Found;
use crate::calibration::solve::Sought;
use plan::{Diagnostic, Unit, quantity, sentence};

/// Correlated by more than this, and neither well known, two constants have not been told apart.
const TOGETHER: f64 = 0.9;
/// Limits wider than this ratio are not well known.
const WIDE: f64 = 1.5;
/// The deepest step must go this far to the darkest, or lie this much beyond it, to tell what it tells.
const NEAR_DARKEST: f64 = 0.8;
const PAST_DARKEST: f64 = 1.2;
/// The palest step must be this pale, L* below the paper.
const PALE_L: f64 = 20.0;

/// How one calls a constant.
fn name(key: &str) -> &'static str {
    match key {
        "bite.rate_um_per_min" => "the rate of the bite",
        "ink.absorption_per_um" => "the strength of the ink",
        "ink.surface_reflectance" => "the darkest black",
        _ => "the breaking down",
    }
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        core::iter::once(first.to_ascii_uppercase()).chain(letters).collect()
    })
}

/// One reading that does not go with the others.
pub(crate) fn odd(step: usize, off: f64) -> Diagnostic {
    let way = if off > 0.0 { "lighter" } else { "darker" };
    let message = sentence!(
        "Step {} reads {} {} than the others would have it.",
        step,
        quantity(off.abs(), Unit::Lightness, 0),
        way
    );
    Diagnostic::warning(format!("readings.{}", step - 1), "readings.odd", message)
        .hint("Look at it again, or leave it out.")
}

/// How one calls a step, a bite or a value.
pub(crate) fn ordinal(place: usize) -> String {
    const WORDS: [&str; 12] = [
        "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth",
        "tenth", "eleventh", "twelfth",
    ];
    WORDS.get(place).map_or_else(|| format!("{}th", place + 1), |word| (*word).to_owned())
}

/// What was sought beside the constants, and what the camera was found to do.
pub(crate) fn taken(model: &Model<'_>, sought: &[Sought], found: &Found, wide: f64) -> Vec<String> {
    let mut words = Vec::new();
    for (i, extra) in model.extras.iter().enumerate() {
        let place = FITTED + i;
        let at = found.constants[place];
        let deviation = libm::sqrt(found.covariance[(place, place)].max(0.0));
        let to = wide * sought[place].scaled(deviation);
        match (*extra, model.grounds) {
            (Extra::Bite(bite), _) => {
                let than = if at < 0.0 { "shorter" } else { "longer" };
                words.push(format!(
                    "The {} bite is counted as {:.1} min {than} than noted, give or take {to:.1}: found with the constants, and in their limits.",
                    ordinal(bite),
                    at.abs()
                ));
            }
            (Extra::Ground, Some(grounds)) => {
                let covers = [at * libm::exp(-to), at, at * libm::exp(to)]
                    .map(|times| 100.0 * grounds.cover(times));
                words.push(format!(
                    "The ground is counted as covering {:.0} % ({:.0} to {:.0} %), not the plan’s {:.0} %: found with the constants, and in their limits.",
                    covers[1], covers[0].min(covers[2]), covers[0].max(covers[2]), 100.0 * grounds.planned_cover()
                ));
            }
            _ => {}
        }
    }
    if let Some(camera) = &model.camera {
        words.push(
            match camera.by {
                Yardstick::Paper => "Nothing but the paper in the picture tells what the camera does to tones: a tone curve (γ 0.85 to 1.2) and up to 2 % of haze are allowed for, and the limits are as wide as that makes them. A grey scale beside the print would narrow them.",
                Yardstick::Black => "The known black tells the camera’s haze, but not its tone curve: γ 0.85 to 1.2 is allowed for, and the limits are as wide as that makes them. Two or more known greys would narrow them.",
                Yardstick::Scale => "The camera’s tone curve and haze were found from the known greys; what they leave open is in the limits.",
            }
            .to_owned(),
        );
        if camera.burnt {
            words.push("The paper is burnt out in the picture: up to a third of a stop above white is allowed for. A picture exposed for less says more.".to_owned());
        }
    }
    words
}

/// All of it.
pub(crate) fn sentences(
    forward: &Forward,
    readings: &[(usize, f64)],
    fit: &Fit,
    odd_one: Option<(usize, f64)>,
    two: bool,
) -> Vec<String> {
    let mut words = vec![format!(
        "Good to ± {:.1} L*: values like those read, on this ground and in this bath and ink, print within that of what is calculated 95 times of 100. The readings scatter by {:.1} L* round the curve.",
        fit.good_to_l.max(0.1),
        fit.noise_l
    )];
    if fit.unread_to_l > 2.0 * fit.good_to_l.max(1.0) {
        words.push(format!(
            "The steps that were not read are only sure to ± {:.0} L*.",
            fit.unread_to_l
        ));
    }
    words.extend(odd_one.map(|(step, off)| odd(step, off).to_string()));
    let deepest = readings
        .iter()
        .map(|&(step, _)| forward.step_dose(step, fit.constants[0].value))
        .fold(0.0, f64::max);
    let at = [0, 1, 2, 3].map(|i| fit.constants[i].value);
    let (darkest_um, _) = forward.darkest(at);
    let palest = readings.iter().map(|&(_, l)| l).fold(0.0, f64::max);
    let remedy = if deepest < NEAR_DARKEST * darkest_um {
        "add a longer bite"
    } else if plate::light::lightness(forward.paper) - palest > PALE_L {
        "add a shorter bite"
    } else if deepest < PAST_DARKEST * darkest_um {
        "add a bite well past the darkest"
    } else {
        "read more steps, or the same ones more closely"
    };
    if two {
        words.push(format!("Two quite different sets of constants print these steps nearly alike, and the limits hold both: {remedy}."));
    }
    let wide = |one: &Fitted| one.high / one.low > WIDE;
    let find = |key: &str| fit.constants.iter().find(|one| one.key == key);
    for pair in &fit.pairs {
        if let (Some(a), Some(b)) = (find(pair.a), find(pair.b))
            && pair.correlation.abs() > TOGETHER
            && wide(a)
            && wide(b)
        {
            words.push(format!(
                "{} and {} can’t be told apart with this plate: {remedy}.",
                capital(name(pair.a)),
                name(pair.b)
            ));
        }
    }
    for one in &fit.constants {
        if one.at_end {
            words.push(format!(
                "{} would have to lie beyond what is plausible and is kept at {} {}: look at the minutes, the warmth and strength of the bath, and the wipe in the plan.",
                capital(name(one.key)), one.value, one.unit
            ));
        } else if !one.told {
            let why = match one.key {
                "ink.surface_reflectance" if deepest < NEAR_DARKEST * darkest_um => {
                    ": no step comes near the darkest"
                }
                "bite.rate_um_per_min" | "ink.absorption_per_um" | "ink.surface_reflectance" => "",
                _ if deepest < PAST_DARKEST * darkest_um => ": no step goes past the darkest",
                _ => "",
            };
            words.push(format!(
                "This print says little about {}{why}; it stays near its usual value, and its limits are those of its range.",
                name(one.key)
            ));
        }
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calibration::answer::Pair;

    const KEYS: [&str; 4] = [
        "bite.rate_um_per_min",
        "ink.absorption_per_um",
        "ink.surface_reflectance",
        "ink.hand_overlap_um",
    ];

    fn even_in_ln(from: f64, to: f64, count: usize) -> Vec<f64> {
        let at = |i: usize| i as f64 / (count - 1) as f64;
        (0..count).map(|i| from * libm::exp(libm::log(to / from) * at(i))).collect()
    }

    /// Steps of 1, 2, 3 … minutes in a bath that never tires, on a ground whose ln of light is a parabola in ln of the
    /// dose, darkest at so many µm, whatever the ink: the cubics between its entries are exact.
    fn forward(darkest_um: f64) -> Forward {
        let minutes: Vec<f64> = (1..=40).map(f64::from).collect();
        let rates = even_in_ln(0.25, 4.0, 5);
        let doses = even_in_ln(0.25, 300.0, 30);
        let ln_light = |dose: &f64| {
            let off = libm::log(dose / darkest_um);
            [0.1 * off * off - 3.0; 16]
        };
        Forward {
            keys: KEYS,
            in_force: [1.0; 4],
            min: [0.25; 4],
            max: [4.0; 4],
            paper: 0.8,
            ln_step_dose: minutes
                .iter()
                .flat_map(|min| rates.iter().map(move |rate| libm::log(min * rate)))
                .collect(),
            minutes,
            rate_um_per_min: rates,
            ln_light: doses.iter().flat_map(ln_light).collect(),
            dose_um: doses,
            overlap_um: even_in_ln(0.2, 2.0, 4),
            absorption_per_um: even_in_ln(0.2, 2.0, 4),
            darkest_um,
        }
    }

    /// All told, well known and far from the ends.
    fn fit() -> Fit {
        let constants = KEYS.map(|key| Fitted {
            key,
            meaning: "",
            unit: "µm",
            value: if key == KEYS[2] { 0.02 } else { 1.0 },
            low: 0.9,
            high: 1.1,
            in_force: 1.0,
            told: true,
            at_end: false,
        });
        Fit {
            constants: constants.to_vec(),
            steps: Vec::new(),
            curve: Vec::new(),
            noise_l: 0.74,
            freedom: 4.0,
            good_to_l: 1.26,
            unread_to_l: 1.0,
            pairs: Vec::new(),
            verdict: Vec::new(),
            calibration: Default::default(),
            limits: Default::default(),
        }
    }

    /// Of a plate that is darkest at 20 µm, read up to the step of so many µm, the palest so far below the paper.
    fn said(fit: &Fit, deepest_um: usize, pale_l: f64, two: bool) -> Vec<String> {
        // Doses are tried 5 % apart: this is one of them.
        let forward = forward(libm::pow(1.05, 61.0));
        let paper_l = plate::light::lightness(forward.paper);
        let readings = [(0, paper_l - pale_l), (deepest_um - 1, 20.0), (4, 30.0)];
        sentences(&forward, &readings, fit, None, two)
    }

    #[test]
    fn each_constant_has_a_name_of_its_own() {
        let names: std::collections::BTreeSet<&str> = KEYS.iter().map(|key| name(key)).collect();
        assert_eq!(names.len(), KEYS.len(), "{names:?}");
    }

    #[test]
    fn what_would_help_follows_from_how_far_the_steps_reach() {
        // Darkest at 19.6 µm: four fifths of it are 15.7 µm, six fifths 23.5 µm.
        for (deepest_um, pale_l, remedy) in [
            (10, 5.0, "add a longer bite"),
            (15, 30.0, "add a longer bite"),
            (16, 20.5, "add a shorter bite"),
            (16, 19.5, "add a bite well past the darkest"),
            (23, 19.5, "add a bite well past the darkest"),
            (24, 19.5, "read more steps, or the same ones more closely"),
            (24, 20.5, "add a shorter bite"),
        ] {
            let words = said(&fit(), deepest_um, pale_l, true);
            assert_eq!(words.len(), 2, "{words:?}");
            let ends = format!("the limits hold both: {remedy}.");
            assert!(words[1].ends_with(&ends), "{deepest_um} µm, {pale_l} L* pale: {words:?}");
        }
        // The rate found is what the doses follow from.
        let mut fast = fit();
        fast.constants[0].value = 2.0;
        assert!(
            said(&fast, 12, 5.0, true)[1]
                .ends_with("read more steps, or the same ones more closely.")
        );
    }

    #[test]
    fn how_good_it_is_comes_first() {
        let words = said(&fit(), 30, 5.0, false);
        assert_eq!(words.len(), 1, "nothing else to say: {words:?}");
        assert!(words[0].starts_with("Good to ± 1.3 L*:"), "{words:?}");
        assert!(words[0].ends_with("scatter by 0.7 L* round the curve."), "{words:?}");
        // Never said to be better than a tenth.
        let sure = Fit { good_to_l: 0.02, unread_to_l: 1.9, ..fit() };
        let words = said(&sure, 30, 5.0, false);
        assert!(words.len() == 1 && words[0].starts_with("Good to ± 0.1 L*:"), "{words:?}");
        // Steps not read are named from twice as unsure on, and from 2 L*.
        for (good_to_l, unread_to_l, named) in
            [(0.4, 2.1, true), (0.4, 1.9, false), (3.0, 6.1, true), (3.0, 5.9, false)]
        {
            let words = said(&Fit { good_to_l, unread_to_l, ..fit() }, 30, 5.0, false);
            assert_eq!(words.len() == 2, named, "{good_to_l}, {unread_to_l}: {words:?}");
            assert!(!named || words[1].contains("only sure to ±"), "{words:?}");
        }
    }

    #[test]
    fn only_what_is_wide_and_goes_together_is_not_told_apart() {
        let pair = |correlation| {
            let mut pair = fit();
            pair.pairs = vec![Pair { a: KEYS[1], b: KEYS[3], correlation }];
            for i in [1, 3] {
                (pair.constants[i].low, pair.constants[i].high) = (0.7, 1.1);
            }
            pair
        };
        for correlation in [0.93, -0.93] {
            let words = said(&pair(correlation), 10, 5.0, false);
            let expected = "The strength of the ink and the breaking down can’t be told apart with this plate: add a longer bite.";
            assert_eq!(words[1..], [expected.to_owned()]);
            for narrow in [1, 3] {
                let mut one = pair(correlation);
                one.constants[narrow].low = 0.8;
                assert_eq!(said(&one, 10, 5.0, false).len(), 1, "constant {narrow} is well known");
            }
        }
        assert_eq!(said(&pair(0.87), 10, 5.0, false).len(), 1, "hardly together");
    }

    #[test]
    fn a_constant_that_is_not_told_is_named_with_the_reason() {
        let untold = |i: usize, deepest_um| {
            let mut fit = fit();
            fit.constants[i].told = false;
            said(&fit, deepest_um, 5.0, false)[1..].concat()
        };
        for (i, deepest_um, words) in [
            (0, 10, ""),
            (1, 10, ""),
            (2, 15, ": no step comes near the darkest"),
            (2, 16, ""),
            (3, 23, ": no step goes past the darkest"),
            (3, 24, ""),
        ] {
            let said = untold(i, deepest_um);
            let start = format!("This print says little about {}{words}; it stays", name(KEYS[i]));
            assert!(said.starts_with(&start), "constant {i} at {deepest_um} µm: {said}");
        }
        let mut end = fit();
        (end.constants[3].at_end, end.constants[3].told) = (true, false);
        let words = said(&end, 10, 5.0, false);
        assert_eq!(words.len(), 2, "the end says enough: {words:?}");
        assert!(words[1].contains("is kept at 1 µm"), "{words:?}");
    }

    #[test]
    fn an_odd_reading_is_named_as_it_lies() {
        let said = odd(3, 6.2);
        assert_eq!(said.field, "readings.2", "counted from 0");
        assert!(said.to_string().contains("Step 3 reads L* 6 lighter"), "{said}");
        assert!(odd(3, -6.2).to_string().contains("Step 3 reads L* 6 darker"));
        let words = sentences(&forward(20.0), &[(29, 20.0)], &fit(), Some((3, 6.2)), false);
        assert_eq!(words[1], said.to_string());
    }
}
