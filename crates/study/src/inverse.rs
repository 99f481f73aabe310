//! Inverse: from the values one wants to the minutes that give them.
//!
//! The print of a plain area depends on the bath only through its dose, and grows darker with it down
//! to one darkest dose. So the way back goes in two steps: [`ToneResponse`] tells the dose of each wanted
//! L* on this ground, and the session in the bath, run with the bites so far, the minutes of each dose.

use crate::diagnosis::hindrances;
use crate::timing::{Rounding, doses_after, minutes_to};
use crate::tone_response::ToneResponse;
use plan::{Diagnostic, Sentence};
use plate::light;
use plate::{Plate, Renderer};
use serde::Serialize;

/// What is wanted of the values, the paper left out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanted<'a> {
    /// L* of each value, lightest first, 0–100. The plan must have as many bites, since the bath feels
    /// each value's share of the plate.
    pub wanted_l: &'a [f64],
    /// Minutes (any fraction of one) for which the first bites have run; they stay so.
    pub bitten_min: &'a [f64],
    /// How finely the others are timed.
    pub rounding: Rounding,
}

/// One value asked for and what it takes.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct InverseBite {
    /// Whether this bite has run already.
    pub bitten: bool,
    /// Minutes of this bite, as timed.
    pub bite_min: f64,
    /// Minutes that would print exactly what was asked.
    pub exact_min: f64,
    /// L* asked for.
    pub wanted_l: f64,
    /// L* it prints with the minutes as timed.
    pub lightness: f64,
    /// The same as density.
    pub density: f64,
    /// L* it prints with the exact minutes: the difference is what the rounding costs.
    pub exact_l: f64,
    /// Why it does not come out as asked, and what would help; `None` when it does.
    pub hindrance: Option<Diagnostic>,
}

/// The answer to a set of wanted values.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Inverse {
    /// One for each value, lightest first, the paper left out.
    pub bites: Vec<InverseBite>,
    /// L* of what is never bitten.
    pub paper_l: f64,
    /// The darkest this ground prints in this ink, L*.
    pub darkest_l: f64,
    /// Minutes in this bath, all bites together, until then, the last of these bites going on; not a number
    /// when this bath never gets there.
    pub darkest_min: f64,
    /// The same in a sentence.
    pub darkest_sentence: Sentence,
    /// Where suggestions stop short of that, and what the rest would cost; `None` where the ground does not break down.
    pub margin_sentence: Option<Sentence>,
    /// Whether a longer bite prints lighter again.
    pub breaks_down: bool,
    /// Copper in the bath afterwards, g/L.
    pub copper_end_g_per_l: f64,
}

/// Even steps of L* from the paper to the darkest, `values` of them, the paper left out.
#[must_use]
pub fn even_steps(paper_l: f64, darkest_l: f64, values: usize) -> Vec<f64> {
    (1..=values).map(|k| paper_l + (darkest_l - paper_l) * k as f64 / values as f64).collect()
}

/// The picture's own values: the mean L* of the places that each value stands for, brought into the
/// range from paper to darkest. `histogram` counts pixels by L* 0–100, `thresholds_l` falls.
#[must_use]
pub fn picture_values(
    histogram: &[u32],
    thresholds_l: &[f64],
    paper_l: f64,
    darkest_l: f64,
) -> Vec<f64> {
    let mut sum = vec![0.0; thresholds_l.len() + 1];
    let mut count = vec![0.0; thresholds_l.len() + 1];
    for (l, &pixels) in histogram.iter().enumerate() {
        let value = thresholds_l.iter().take_while(|&&threshold| (l as f64) < threshold).count();
        sum[value] += l as f64 * f64::from(pixels);
        count[value] += f64::from(pixels);
    }
    // An empty value stands in the middle between its thresholds.
    let edge = |k: usize| match k {
        0 => 100.0,
        k => thresholds_l.get(k - 1).copied().unwrap_or(0.0),
    };
    let mean: Vec<f64> = (0..sum.len())
        .map(|k| if count[k] > 0.0 { sum[k] / count[k] } else { 0.5 * (edge(k) + edge(k + 1)) })
        .collect();
    let (lightest, deepest) = (mean[0], mean[mean.len() - 1]);
    let range = (lightest - deepest).max(1e-9);
    mean[1..].iter().map(|l| darkest_l + (l - deepest) * (paper_l - darkest_l) / range).collect()
}

/// Minutes for each bite so that value k prints `wanted_l[k - 1]`.
///
/// `response` is that of the plate's ground and ink ([`tone_response`](crate::tone_response())). A value
/// that can't be had gets the nearest that can, and a sentence that says why.
#[must_use]
pub fn inverse(
    plate: &Plate,
    renderer: &mut Renderer,
    response: &ToneResponse,
    wanted: &Wanted<'_>,
) -> Inverse {
    let Wanted { wanted_l, bitten_min, rounding } = *wanted;
    let count = wanted_l.len().min(plate.plan().bites.len());
    let wanted_l = &wanted_l[..count];
    let bitten_min = &bitten_min[..bitten_min.len().min(count)];
    let (darkest_um, darkest_l) = response.darkest();
    let doses_um: Vec<f64> =
        wanted_l.iter().map(|&l| response.dose_for(l).unwrap_or(darkest_um)).collect();
    let exact_min = minutes_to(plate, &doses_um, bitten_min, None);
    let timed_min = minutes_to(plate, &doses_um, bitten_min, Some(rounding));
    let exact_um = doses_after(plate, &exact_min).0;
    let (timed_um, copper_end_g_per_l) = doses_after(plate, &timed_min);
    let exact_l: Vec<f64> = exact_um.iter().map(|&um| response.lightness_at(um)).collect();
    let timed_l: Vec<f64> = timed_um.iter().map(|&um| response.lightness_at(um)).collect();
    let hindrances = hindrances::hindrances(
        plate,
        renderer,
        response,
        wanted_l,
        bitten_min.len(),
        &timed_l,
        &exact_um,
    );
    let bites = (0..count)
        .zip(hindrances)
        .map(|(i, hindrance)| InverseBite {
            bitten: i < bitten_min.len(),
            bite_min: timed_min[i],
            exact_min: exact_min[i],
            wanted_l: wanted_l[i],
            lightness: timed_l[i],
            density: light::density(light::reflectance_of_lightness(timed_l[i])),
            exact_l: exact_l[i],
            hindrance,
        })
        .collect();
    let course = plate.course(&timed_min, darkest_um);
    let darkest_min = course.minutes_at(darkest_um);
    Inverse {
        bites,
        paper_l: response.paper_l(),
        darkest_l,
        darkest_min: darkest_min.unwrap_or(f64::NAN),
        darkest_sentence: hindrances::darkest(plate, response, darkest_min),
        margin_sentence: hindrances::margin(response, &course),
        breaks_down: response.breaks_down(),
        copper_end_g_per_l,
    }
}

/// Whether bites of so many minutes give these doses, µm, in this plate's bath.
#[must_use]
pub fn reaches(plate: &Plate, doses_um: &[f64], bite_min: &[f64]) -> bool {
    let (found, _) = doses_after(plate, bite_min);
    found.iter().zip(doses_um).all(|(found, wanted)| *found >= 0.99 * wanted)
}

/// Minutes for each bite in this plate's bath that give the same doses, and so the same values on
/// the same ground, as another bath gave: exact, and rounded as timed. `doses_um` per value, paper
/// left out.
#[must_use]
pub fn same_values(plate: &Plate, doses_um: &[f64], rounding: Rounding) -> (Vec<f64>, Vec<f64>) {
    let minutes = |rounding| minutes_to(plate, doses_um, &[], rounding);
    (minutes(None), minutes(Some(rounding)))
}
