//! Inked, wiped, printed. The plan gives these no time: each runs over the place from left to right.

use super::bitten::cleaned;
use super::{Moment, Work, mean};
use plate::chain::InkWindow;
use plate::grid::Grid;
use plate::light;
use plate::{Looking, Plate};

/// How steeply the sheet is seen to lift behind the hand, µm per µm², and how high at most, µm.
const LIFT_PER_UM: f32 = 0.004;
const LIFTED_UM: f32 = 40.0;

/// What ink there is at a place, as the print shows it; calculated once.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct PrintedPlace {
    /// The copper before inking.
    cleaned: Moment,
    /// Ink in the pits after wiping, µm.
    held_um: Vec<f32>,
    /// Ink left on the copper after printing, µm.
    left_um: Vec<f32>,
    /// Ink on the sheet, µm.
    printed_um: Vec<f32>,
    /// Reflectance of the sheet, 0–1.
    sheet: Vec<f32>,
}

/// Inks, wipes and prints a place.
pub(super) fn printed(looking: &mut Looking<'_>, grid: &Grid) -> PrintedPlace {
    let cleaned = cleaned(looking, grid);
    let InkWindow { held_um, printed_um, reflectance: sheet } = looking.ink_window(grid);
    let mut left_um = vec![0.0; held_um.len()];
    looking.plate().inking().split(&held_um, &mut left_um);
    for (left, &held) in left_um.iter_mut().zip(&held_um) {
        *left = held - *left;
    }
    PrintedPlace { cleaned, held_um, left_um, printed_um, sheet }
}

/// A moment of inking, wiping or printing, done from the left over `share` of the way.
pub(super) fn printing(
    plate: &Plate,
    grid: &Grid,
    work: Work,
    share: f64,
    done: &PrintedPlace,
) -> Moment {
    let width = grid.width;
    let front = libm::round(share * width as f64) as usize;
    let mut moment = done.cleaned.clone();
    let dabbed_um = plate.inking().dabbed_um() as f32;
    let over = |i: usize| dabbed_um + done.cleaned.depth_um[i];
    let is_done = |i: usize| i % width < front;
    for (i, ink_um) in moment.ink_um.iter_mut().enumerate() {
        *ink_um = match (work, is_done(i)) {
            (Work::Ink, false) => 0.0,
            (Work::Ink, true) | (Work::Wipe, false) => over(i),
            (Work::Wipe, true) | (_, false) => done.held_um[i],
            (_, true) => done.left_um[i],
        };
    }
    let print = work == Work::Print;
    if print {
        for (i, sheet) in moment.sheet.iter_mut().enumerate().filter(|(i, _)| is_done(*i)) {
            *sheet = done.sheet[i];
        }
    }
    let row = grid.height / 2 * width;
    let side = &mut moment.side;
    for column in 0..width {
        let ink_um = moment.ink_um[row + column];
        side.ink_um[column] = side.copper_um[column] + ink_um;
        if print {
            let behind_um = front.saturating_sub(column) as f32 * grid.px_um;
            side.sheet_um[column] = (LIFT_PER_UM * behind_um * behind_um).min(LIFTED_UM);
            let off = is_done(row + column);
            side.printed_um[column] = if off { done.printed_um[row + column] } else { 0.0 };
        }
    }
    let numbers = &mut moment.numbers;
    numbers.held_um = mean(done.held_um.iter().copied());
    numbers.printed_um = mean(done.printed_um.iter().copied());
    numbers.lightness = light::lightness(mean(done.sheet.iter().copied()));
    moment
}
