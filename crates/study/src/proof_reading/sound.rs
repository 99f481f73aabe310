//! Whether the photograph can serve: how sharp it is, where it shines, and whether all of the plate is in it.

use super::ProofPrint;
use super::areas::Read;
use crate::calibration::Photo;
use crate::calibration::photo::Paper;
use crate::registration::SHARPER;
use plan::{Diagnostic, Unit, quantity, sentence};
use plate::light;

/// A blur this wide (standard deviation) deserves a look, and one this wide is refused, mm.
const BLURRED_MM: f64 = 0.7;
const WASHED_OUT_MM: f64 = 2.0;
/// Squares beside a step of this, L*, tell how sharp the picture is.
const STEP_L: f64 = 4.0;
/// Fewest of them.
const FEWEST: usize = 200;
/// Passes of a blur by halves and quarters of the neighbours that are tried; each adds half a square's square.
const PASSES: [usize; 8] = [0, 1, 2, 4, 8, 16, 32, 48];
/// A place shines where it is lighter than its value by this, L*, and throws back at least this share of the paper's light.
const SHINES_L: f64 = 18.0;
const SHINES_SHARE: f64 = 0.8;
/// Share of the plate that shines from which on it is told, and from which on it is refused.
const SHINES: f64 = 0.005;
const SHINES_MOST: f64 = 0.2;

/// What to do about one that shines.
const NO_SHINE: &str = "Light the sheet from two sides, not from where the camera stands, or wait until the ink is dry.";
/// What to do where the plate is not all in the picture.
const ALL_OF_IT: &str = "Photograph the whole print, with 2 cm of bare paper on every side.";

/// Which of the print's corners lie outside the picture.
pub(super) fn whole(photo: &Photo, corners: &[(f64, f64); 4]) -> Result<(), Diagnostic> {
    let names = ["top left", "top right", "bottom right", "bottom left"];
    let outside = corners.iter().zip(names).find(|(corner, _)| !photo.holds(**corner));
    outside.map_or(Ok(()), |(_, name)| {
        let message = sentence!("The print’s {} corner lies outside the picture.", name);
        Err(Diagnostic::error("photo", "photo.cut_off", message).hint(ALL_OF_IT))
    })
}

/// What is said of the paper that is seen.
pub(super) fn of_paper(paper: &Paper) -> Vec<Diagnostic> {
    let mut said: Vec<Diagnostic> = paper
        .warnings()
        .into_iter()
        .map(|words| Diagnostic::warning("photo", "photo.burnt", words))
        .collect();
    let sides = ["above", "to the right of", "below", "to the left of"];
    for (_, side) in paper.without.iter().zip(sides).filter(|(without, _)| **without) {
        let message = sentence!(
            "No bare paper is seen {} the plate: how the light falls on that side is guessed.",
            side
        );
        said.push(
            Diagnostic::warning("photo", "photo.side_without_paper", message).hint(ALL_OF_IT),
        );
    }
    said
}

/// How wide the picture is blurred (standard deviation), mm; `None` where the print has too few borders to tell.
///
/// The tones that the picture shows are put in the places of the print's, and blurred until both agree best.
pub(super) fn blur_mm(print: &ProofPrint, shares: &[f32]) -> Option<f64> {
    let (columns, rows) = (print.columns, print.rows());
    let seen: Vec<f32> =
        shares.iter().map(|&share| light::lightness(f64::from(share)) as f32).collect();
    let mut tones = [(0.0_f64, 0.0_f64); 256];
    for (l, grey) in seen.iter().zip(&print.greys) {
        let tone = &mut tones[usize::from(*grey)];
        *tone = (tone.0 + f64::from(*l), tone.1 + 1.0);
    }
    let sharp: Vec<f32> = print
        .greys
        .iter()
        .map(|grey| {
            let (sum, count) = tones[usize::from(*grey)];
            (sum / count.max(1.0)) as f32
        })
        .collect();
    // Well within the plate, so that no blur reaches beyond it.
    let inner = |at: usize| {
        let (x, y) = (at % columns, at / columns);
        x >= 2 && y >= 2 && x + 2 < columns && y + 2 < rows
    };
    let step = |at: usize| {
        let across = (sharp[at + 1] - sharp[at - 1]).abs();
        across.max((sharp[at + columns] - sharp[at - columns]).abs())
    };
    let borders: Vec<usize> =
        (0..sharp.len()).filter(|&at| inner(at) && f64::from(step(at)) >= STEP_L).collect();
    if borders.len() < FEWEST {
        return None;
    }
    let mut blurred = sharp;
    let mut done = 0;
    let mut misfit = Vec::with_capacity(PASSES.len());
    for passes in PASSES {
        for _ in done..passes {
            blurred = once_blurred(&blurred, columns);
        }
        done = passes;
        let off = borders.iter().map(|&at| f64::from(seen[at] - blurred[at]));
        misfit.push(off.map(|off| off * off).sum::<f64>());
    }
    let best = (0..misfit.len()).fold(0, |best, i| if misfit[i] < misfit[best] { i } else { best });
    let variance = PASSES[best] as f64 * 0.5;
    Some(libm::sqrt(variance) * print.square_mm())
}

/// A quarter of each neighbour and half of the own, across and down.
fn once_blurred(from: &[f32], columns: usize) -> Vec<f32> {
    let rows = from.len() / columns;
    let mut across = from.to_vec();
    for (to, row) in across.chunks_exact_mut(columns).zip(from.chunks_exact(columns)) {
        for x in 1..columns.saturating_sub(1) {
            to[x] = 0.25 * (row[x - 1] + row[x + 1]) + 0.5 * row[x];
        }
    }
    let mut down = across.clone();
    for y in 1..rows.saturating_sub(1) {
        for x in 0..columns {
            let at = y * columns + x;
            down[at] = 0.25 * (across[at - columns] + across[at + columns]) + 0.5 * across[at];
        }
    }
    down
}

/// Whether it is sharp enough.
pub(super) fn sharp(blur_mm: f64) -> Result<Option<Diagnostic>, Diagnostic> {
    if blur_mm < BLURRED_MM {
        return Ok(None);
    }
    let message = sentence!(
        "The picture is blurred: borders between values are washed out over some {}.",
        quantity(2.0 * blur_mm, Unit::Mm, 1)
    );
    if blur_mm < WASHED_OUT_MM {
        return Ok(Some(Diagnostic::warning("photo", "photo.blurred", message).hint(SHARPER)));
    }
    Err(Diagnostic::error("photo", "photo.blurred", message).hint(SHARPER))
}

/// Which values have too little area of their own to be read.
pub(super) fn unread(values: &[Option<Read>]) -> Option<Diagnostic> {
    let without = (0..values.len()).filter(|&value| values[value].is_none());
    let names: Vec<String> = without.map(name).collect();
    let (last, others) = names.split_last()?;
    let all =
        if others.is_empty() { last.clone() } else { format!("{} and {last}", others.join(", ")) };
    let message = sentence!("Too little plain area for a reading: {}.", all);
    Some(Diagnostic::warning("photo", "proof.unread", message))
}

/// How a value is called.
pub(super) fn name(value: usize) -> String {
    if value == 0 { "what was not bitten".to_owned() } else { format!("value {value}") }
}

/// Whether something shines on the print.
pub(super) fn shine(
    print: &ProofPrint,
    shares: &[f32],
    values: &[Option<Read>],
    paper_reflectance: f64,
) -> Result<Option<Diagnostic>, Diagnostic> {
    let own = print.own();
    let shines = |at: usize| {
        let read = own[at].and_then(|value| values.get(usize::from(value))?.as_ref());
        let share = f64::from(shares[at]);
        let l = light::lightness(share * paper_reflectance);
        share >= SHINES_SHARE && read.is_some_and(|read| l - read.reading.lightness >= SHINES_L)
    };
    let count = (0..shares.len()).filter(|&at| shines(at)).count();
    let part = count as f64 / shares.len().max(1) as f64;
    if part < SHINES {
        return Ok(None);
    }
    let message = sentence!(
        "Something shines on the print, or lies on it: {} of the plate is as light as the paper where a value should be.",
        quantity(part, Unit::Percent, 0)
    );
    if part < SHINES_MOST {
        return Ok(Some(Diagnostic::warning("photo", "photo.shine", message).hint(NO_SHINE)));
    }
    Err(Diagnostic::error("photo", "photo.shine", message).hint(NO_SHINE))
}
