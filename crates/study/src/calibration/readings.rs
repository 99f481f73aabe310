//! What is read off the print, and when it can't be true.

use plan::{Diagnostic, Range, Unit, quantity, sentence};
use plate::light;

/// In what the readings are given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
#[ts(rename = "ReadingKind")]
pub enum Kind {
    /// CIE L*.
    Lightness,
    /// Reflection density, the densitometer set to zero on its own white.
    Density,
    /// Reflection density, the densitometer set to zero on the print's paper.
    DensityOverPaper,
}

impl Kind {
    /// From its word: `lightness`, `density` or `density_over_paper`.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        match word {
            "lightness" => Some(Self::Lightness),
            "density" => Some(Self::Density),
            "density_over_paper" => Some(Self::DensityOverPaper),
            _ => None,
        }
    }
}

/// Reflectance of a grey given by its L* or its density: no print or card has so little L* that the two could be mistaken.
#[must_use]
pub fn grey_reflectance(value: f64) -> f64 {
    if value <= super::DENSITY.max {
        libm::pow(10.0, -value)
    } else {
        light::reflectance_of_lightness(value)
    }
}

/// Fewest steps that must have been read.
pub const FEWEST: usize = 5;
/// Readings that differ by less than this in all are all the same, L*.
const ALIKE_L: f64 = 6.0;
/// A turn the wrong way by no more than this is put down to reading, L*.
const FORGIVEN_L: f64 = 3.0;
/// Readings that rise from first to last by more than this share of all they span run the wrong way.
const TURNED: f64 = 0.5;
/// Lighter than the paper by more than this is no reading of a print, L*.
const ABOVE_PAPER_L: f64 = 2.0;

/// Readings as L*. Steps that were not read are `None`.
///
/// # Errors
/// What can't be, each at its step (`readings.0` is the first).
pub fn in_lightness(
    kind: Kind,
    readings: &[Option<f64>],
    paper_reflectance: f64,
) -> Result<Vec<Option<f64>>, Vec<Diagnostic>> {
    let read = in_any_order(kind, readings, paper_reflectance)?;
    match disorder(&read) {
        None => Ok(read),
        Some(wrong) => Err(vec![wrong]),
    }
}

/// The same without asking whether the steps grow darker and darker: see [`disorder`].
///
/// # Errors
/// As [`in_lightness`].
pub fn in_any_order(
    kind: Kind,
    readings: &[Option<f64>],
    paper_reflectance: f64,
) -> Result<Vec<Option<f64>>, Vec<Diagnostic>> {
    let mut wrong = Vec::new();
    let (name, Range { min: least, max: most, .. }) = match kind {
        Kind::Lightness => ("L*", super::LIGHTNESS),
        Kind::Density | Kind::DensityOverPaper => ("density", super::DENSITY),
    };
    let read: Vec<Option<f64>> = readings
        .iter()
        .enumerate()
        .map(|(i, reading)| {
            let value = (*reading)?;
            if !(value >= least && value <= most) {
                let message = sentence!(
                    "Step {}: {} {} can't be: it lies between {} and {}.",
                    i + 1,
                    name,
                    value,
                    f64::max(least, 0.0),
                    most
                );
                wrong.push(
                    Diagnostic::error(step(i + 1), "out_of_range", message)
                        .hint("Look at the reading again."),
                );
                return None;
            }
            Some(match kind {
                Kind::Lightness => value,
                Kind::Density => light::lightness(libm::pow(10.0, -value)),
                Kind::DensityOverPaper => {
                    light::lightness(paper_reflectance * libm::pow(10.0, -value))
                }
            })
        })
        .collect();
    wrong.extend(nonsense(&read, light::lightness(paper_reflectance)));
    if wrong.is_empty() { Ok(read) } else { Err(wrong) }
}

/// Field of a step, counted from 1.
fn step(number: usize) -> String {
    format!("readings.{}", number - 1)
}

/// What no step plate prints.
fn nonsense(read: &[Option<f64>], paper_l: f64) -> Vec<Diagnostic> {
    let lightness = |l| quantity(l, Unit::Lightness, 0);
    let known: Vec<(usize, f64)> =
        read.iter().enumerate().filter_map(|(i, l)| l.map(|l| (i + 1, l))).collect();
    if known.len() < FEWEST {
        let message = sentence!(
            "{} steps have been read; at least {} are needed to tell the constants apart.",
            known.len(),
            FEWEST
        );
        return vec![Diagnostic::error("readings", "count", message)];
    }
    let l: Vec<f64> = known.iter().map(|(_, l)| *l).collect();
    let [darkest, lightest] = ends(&l);
    if l[lightest] - l[darkest] < ALIKE_L {
        let message = "All steps read much the same: nothing can be told from them.";
        return vec![
            Diagnostic::error("readings", "readings.alike", message)
                .hint("Were they read off the right places?"),
        ];
    }
    let mut wrong: Vec<Diagnostic> = known
        .iter()
        .filter(|(_, l)| *l > paper_l + ABOVE_PAPER_L)
        .map(|&(number, l)| {
            let message = sentence!(
                "Step {} reads {}, lighter than the paper itself ({}).",
                number,
                lightness(l),
                lightness(paper_l)
            );
            Diagnostic::error(step(number), "readings.above_paper", message)
                .hint("Look at the reading, or at the paper’s reflectance in the plan.")
        })
        .collect();
    if turned(&l) {
        let message = "The steps grow lighter from first to last: the shortest bite comes first.";
        wrong.push(
            Diagnostic::error("readings", "readings.turned", message)
                .hint("Enter them the other way round, or turn the corners of the picture."),
        );
    }
    wrong
}

/// Whether the readings run from the longest bite to the shortest: the palest last, the darkest in the first half, and the
/// first much darker than the last, as no plate prints.
pub(crate) fn turned(l: &[f64]) -> bool {
    let [darkest, lightest] = ends(l);
    let last = l.len().max(1) - 1;
    lightest == last && 2 * darkest < last && l[last] - l[0] > TURNED * (l[lightest] - l[darkest])
}

/// Places of the darkest and the lightest reading, the first of those that are alike.
fn ends(l: &[f64]) -> [usize; 2] {
    let best = |better: fn(f64, f64) -> bool| {
        (0..l.len()).fold(0, |best, i| if better(l[i], l[best]) { i } else { best })
    };
    [best(|a, b| a < b), best(|a, b| a > b)]
}

/// A step that grows lighter or darker where no plate does, if there is one.
#[must_use]
pub fn disorder(read: &[Option<f64>]) -> Option<Diagnostic> {
    let lightness = |l| quantity(l, Unit::Lightness, 0);
    let known: Vec<(usize, f64)> =
        read.iter().enumerate().filter_map(|(i, l)| l.map(|l| (i + 1, l))).collect();
    let l: Vec<f64> = known.iter().map(|(_, l)| *l).collect();
    let [darkest, _] = ends(&l);
    // Darker and darker down to the darkest, and lighter and lighter after it.
    let mut extreme = 0;
    for i in 1..l.len() {
        let falling = i <= darkest;
        let off = if falling { l[i] - l[extreme] } else { l[extreme] - l[i] };
        if off > FORGIVEN_L {
            let ((before, was), (number, is)) = (known[extreme], known[i]);
            let message = if falling {
                sentence!(
                    "Step {} ({}) reads lighter than step {} ({}), which was bitten for less, and later steps are darker again: that can’t be.",
                    number,
                    lightness(is),
                    before,
                    lightness(was)
                )
            } else {
                sentence!(
                    "Step {} ({}) reads darker than step {} ({}) after the print had begun to turn lighter: a ground that breaks down does not recover.",
                    number,
                    lightness(is),
                    before,
                    lightness(was)
                )
            };
            return Some(
                Diagnostic::error(step(number), "readings.out_of_order", message)
                    .hint("Have two readings changed places?"),
            );
        }
        let further = if falling { l[i] < l[extreme] } else { l[i] > l[extreme] };
        if further || i == darkest {
            extreme = i;
        }
    }
    None
}
