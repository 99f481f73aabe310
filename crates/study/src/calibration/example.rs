//! One answer of each solver, as digests: the bits must be the same on every machine.

use super::{Forward, fit, step_plate};
use crate::inverse::{Wanted, even_steps, inverse};
use crate::timing::Rounding;
use crate::tone_response::tone_response;
use plan::Plan;
use plate::Renderer;
use plate::digest::of_numbers;

/// Minutes of the example's step plate, and what it reads, L*.
const BITE_MIN: [f64; 7] = [1.5, 1.5, 3.0, 5.0, 9.0, 16.0, 24.0];
const READ_L: [f64; 7] = [86.4, 76.9, 61.2, 45.0, 30.1, 23.6, 31.9];

/// Digests of a schedule found backwards, a fit and a table: a line each, `what digest`.
#[must_use]
pub fn digests() -> String {
    let mut text = String::new();
    let mut line = |what: &str, numbers: &[f64]| {
        text.push_str(&format!("{what} {:016x}\n", of_numbers(numbers)));
    };
    let mut renderer = Renderer::default();
    let Ok(plate) = step_plate(&Plan::default(), &BITE_MIN) else {
        return text;
    };
    let response = tone_response(&plate, &mut renderer);
    let wanted = even_steps(response.paper_l(), response.darkest().1, BITE_MIN.len());
    let wanted = Wanted { wanted_l: &wanted, bitten_min: &[], rounding: Rounding::ByHand };
    let back = inverse(&plate, &mut renderer, &response, &wanted);
    let numbers: Vec<f64> = back
        .bites
        .iter()
        .flat_map(|bite| [bite.exact_min, bite.bite_min, bite.lightness])
        .collect();
    line("backwards", &numbers);
    // A coarse table goes through the same sums as a fine one.
    let Ok(forward) = Forward::coarse(&plate) else {
        return text;
    };
    line("table", &[&forward.ln_light[..], &forward.ln_step_dose[..]].concat());
    match fit(&forward, &READ_L.map(Some)) {
        Ok(found) => {
            let mut numbers: Vec<f64> =
                found.constants.iter().flat_map(|one| [one.value, one.low, one.high]).collect();
            numbers.extend(found.steps.iter().flat_map(|step| [step.printed_l, step.good_to_l]));
            numbers.extend(&found.limits.ln_factor);
            line("fit", &numbers);
        }
        Err(words) => text.push_str(&format!("fit refused {words:?}\n")),
    }
    text
}
