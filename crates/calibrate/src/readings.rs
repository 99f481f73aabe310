//! What is read off the print, and when it can't be true.

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

/// Fewest steps that must have been read.
pub const FEWEST: usize = 5;
/// Readings that differ by less than this in all are all the same, L*.
const ALIKE_L: f64 = 6.0;
/// A turn the wrong way by no more than this is put down to reading, L*.
const FORGIVEN_L: f64 = 3.0;
/// Lighter than the paper by more than this is no reading of a print, L*.
const ABOVE_PAPER_L: f64 = 2.0;
/// Densest reading believed.
const DENSEST: f64 = 2.6;

/// Readings as L*. Steps that were not read are `None`.
///
/// # Errors
/// Sentences: what can't be, and what to do.
pub fn in_lightness(
    kind: Kind,
    readings: &[Option<f64>],
    paper_reflectance: f64,
) -> Result<Vec<Option<f64>>, Vec<String>> {
    let mut wrong = Vec::new();
    let (name, least, most) = match kind {
        Kind::Lightness => ("L*", 0.0, 100.0),
        Kind::Density | Kind::DensityOverPaper => ("density", -0.1, DENSEST),
    };
    let read: Vec<Option<f64>> = readings
        .iter()
        .enumerate()
        .map(|(i, reading)| {
            let value = (*reading)?;
            if !(value >= least && value <= most) {
                wrong.push(format!("Step {}: {name} {value} can't be: it lies between {} and {most}. Look at the reading again.", i + 1, f64::max(least, 0.0)));
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

/// What no step plate prints, in sentences.
fn nonsense(read: &[Option<f64>], paper_l: f64) -> Vec<String> {
    let known: Vec<(usize, f64)> =
        read.iter().enumerate().filter_map(|(i, l)| l.map(|l| (i + 1, l))).collect();
    if known.len() < FEWEST {
        return vec![format!(
            "{} steps have been read; at least {FEWEST} are needed to tell the constants apart.",
            known.len()
        )];
    }
    let l: Vec<f64> = known.iter().map(|(_, l)| *l).collect();
    let darkest = (0..l.len()).fold(0, |best, i| if l[i] < l[best] { i } else { best });
    let lightest = (0..l.len()).fold(0, |best, i| if l[i] > l[best] { i } else { best });
    if l[lightest] - l[darkest] < ALIKE_L {
        return vec![
            "All steps read much the same: nothing can be told from them. Were they read off the right places?".to_owned(),
        ];
    }
    let mut wrong: Vec<String> = known
        .iter()
        .filter(|(_, l)| *l > paper_l + ABOVE_PAPER_L)
        .map(|(step, l)| {
            format!("Step {step} reads L* {:.0}, lighter than the paper itself (L* {paper_l:.0}). Look at the reading, or at the paper’s reflectance in the plan.", l)
        })
        .collect();
    if darkest == 0 && lightest == l.len() - 1 {
        wrong.push("The steps grow lighter from first to last: the shortest bite comes first. Enter them the other way round, or turn the corners of the picture.".to_owned());
        return wrong;
    }
    // Darker and darker down to the darkest, and lighter and lighter after it.
    let mut extreme = 0;
    for i in 1..l.len() {
        let falling = i <= darkest;
        let off = if falling { l[i] - l[extreme] } else { l[extreme] - l[i] };
        if off > FORGIVEN_L {
            let ((before, was), (step, is)) = (known[extreme], known[i]);
            wrong.push(if falling {
                format!("Step {step} (L* {is:.0}) reads lighter than step {before} (L* {was:.0}), which was bitten for less, and later steps are darker again: that can’t be. Have two readings changed places?")
            } else {
                format!("Step {step} (L* {is:.0}) reads darker than step {before} (L* {was:.0}) after the print had begun to turn lighter: a ground that breaks down does not recover. Have two readings changed places?")
            });
            return wrong;
        }
        let further = if falling { l[i] < l[extreme] } else { l[i] > l[extreme] };
        if further || i == darkest {
            extreme = i;
        }
    }
    wrong
}
