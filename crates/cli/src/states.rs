//! Later states: the edition, and corrections in words of tone.

use crate::{Outcome, Source, files::Asked, table};
use plate::Renderer;
use serde::Serialize;

use study::rework::{Passage, Way, Wish, passage, ways};

/// Prints the edition.
pub(crate) fn edition(source: &Source) -> Outcome<()> {
    let (job, renderer) = (Asked::read(source)?, &mut Renderer::default());
    let plate = job.plate(renderer)?;
    table::print_json(&study::edition(&plate, &job.view, renderer))
}

/// A passage and the ways to the wished tone.
#[derive(Serialize)]
struct Correction {
    passage: Passage,
    ways: Vec<Way>,
}

/// Prints the ways that bring a passage to a lightness.
pub(crate) fn correct(source: &Source, outline: &str, to: f64) -> Outcome<()> {
    if !(0.0..=100.0).contains(&to) {
        return Err(format!("L* {to} is out of range; choose 0 to 100."));
    }
    let outline_mm = corners(outline)?;
    let (job, renderer) = (Asked::read(source)?, &mut Renderer::default());
    let plate = job.plate(renderer)?;
    let passage = passage(&plate, &job.view, renderer, &outline_mm).ok_or(
        "The outline holds nothing of the plate. Give at least three corners on the print, in mm.",
    )?;
    let (value, amounts) = (passage.value, passage.amounts.as_slice());
    let wish = Wish { value, amounts, lightness: to };
    let ways = ways(&plate, &job.view, renderer, &wish);
    table::print_json(&Correction { passage, ways })
}

fn corners(text: &str) -> Outcome<Vec<[f64; 2]>> {
    text.split_whitespace()
        .map(|corner| {
            let numbers = corner
                .split_once(',')
                .and_then(|(x, y)| Some([x.parse::<f64>().ok()?, y.parse::<f64>().ok()?]));
            numbers.ok_or_else(|| {
                format!("“{corner}” is no corner; write corners as x,y in mm with spaces between.")
            })
        })
        .collect()
}
