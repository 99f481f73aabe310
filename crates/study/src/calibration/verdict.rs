//! What a fit comes to, in plain sentences.

use crate::calibration::answer::{Fit, Fitted};
use crate::calibration::forward::Forward;
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
                "{} is hardly told by this print{why}; it stays near its usual value, and its limits are those of its range.",
                capital(name(one.key))
            ));
        }
    }
    words
}
