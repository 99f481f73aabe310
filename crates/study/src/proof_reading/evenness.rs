//! Evenness: where on the plate a print is lighter or darker than its own values are on the whole.

use super::areas::{PIECE_MM, Read};
use nalgebra::{Matrix2, Vector2};
use plan::{Diagnostic, Sentence, Unit, quantity, sentence};
use serde::Serialize;

/// Cells of a value farther off than so many of its spreads count less, by Huber's rule.
const HUBER: f64 = 1.5;
/// No value is taken to spread less, L*.
const LEAST_SPREAD_L: f64 = 0.2;
/// Weight of the neighbours at one piece's distance, sides and corners.
const SIDE: f64 = 0.5;
const CORNER: f64 = 0.25;
/// What pieces differ by for chance of the hand, L* (standard deviation; common practice, no source).
const PIECE_L: f64 = 0.4;
/// A trend over the plate is told from this on, L*, and where it is so many times its standard error.
const TREND_L: f64 = 1.5;
const SURE: f64 = 3.0;
/// A direction across counts where it is at least this part of the other.
const ALONG: f64 = 0.41;

/// How much lighter than its own values the print is, place by place.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Evenness {
    /// Columns of pieces.
    pub columns: usize,
    /// Rows of them.
    pub rows: usize,
    /// Width and height of a piece, mm.
    pub piece_mm: (f64, f64),
    /// By how much each piece is lighter than its values are on the whole, L*, row by row from the print's top left; `None` where
    /// nothing was read near.
    pub lighter_l: Vec<Option<f64>>,
    /// The same piece's standard error, L*.
    pub error_l: Vec<Option<f64>>,
    /// Difference between the lightest side or corner and the one across, along an even slope, L*; 0 where none is told.
    pub trend_l: f64,
    /// The same in a sentence.
    pub said: Sentence,
}

/// One piece: weighted sum, and weight.
#[derive(Clone, Copy, Default)]
struct Piece {
    sum: f64,
    weight: f64,
}

/// The map, and what is said of it.
pub(super) fn evenness(
    values: &[Option<Read>],
    (width_mm, height_mm): (f64, f64),
) -> (Evenness, Option<Diagnostic>) {
    let count = |mm: f64| libm::round(mm / PIECE_MM).max(1.0) as usize;
    let (columns, rows) = (count(width_mm), count(height_mm));
    let piece_mm = (width_mm / columns as f64, height_mm / rows as f64);
    let unit = |(x, y): (f64, f64)| (x / width_mm - 0.5, y / height_mm - 0.5);
    let piece_of = |(x, y): (f64, f64)| {
        let column = ((x / piece_mm.0) as usize).min(columns - 1);
        ((y / piece_mm.1) as usize).min(rows - 1) * columns + column
    };
    let found = slope(values, &unit, &piece_of, columns * rows);
    let slope = found.unwrap_or_default();
    let mut pieces = vec![Piece::default(); columns * rows];
    for read in values.iter().flatten() {
        let spread_l = read.reading.spread_l.max(LEAST_SPREAD_L);
        // A value that lies at one end is lighter or darker as a whole for it.
        let whole_l = slope.at(middle(read, &unit));
        for cell in &read.cells {
            let off = cell.lightness - read.reading.lightness + whole_l;
            let far = (off - slope.at(unit(cell.at))).abs();
            let huber = (HUBER * spread_l / far.max(1e-9)).min(1.0);
            let weight = huber / (spread_l * spread_l);
            let piece = &mut pieces[piece_of(cell.at)];
            piece.sum += weight * off;
            piece.weight += weight;
        }
    }
    // No piece is better known than the hand lets it be.
    for piece in pieces.iter_mut().filter(|piece| piece.weight > 0.0) {
        let off = piece.sum / piece.weight;
        piece.weight = 1.0 / (1.0 / piece.weight + PIECE_L * PIECE_L);
        piece.sum = off * piece.weight;
    }
    let smooth = |at: usize| {
        let (x, y) = ((at % columns) as isize, (at / columns) as isize);
        let (mut sum, mut weight, mut squares) = (0.0, 0.0, 0.0);
        for (dx, dy) in (-1..=1).flat_map(|dy| (-1..=1).map(move |dx| (dx, dy))) {
            let (x, y) = (x + dx, y + dy);
            if x < 0 || y < 0 || x >= columns as isize || y >= rows as isize {
                continue;
            }
            let part = match dx.abs() + dy.abs() {
                0 => 1.0,
                1 => SIDE,
                _ => CORNER,
            };
            let piece = &pieces[y as usize * columns + x as usize];
            sum += part * piece.sum;
            weight += part * piece.weight;
            squares += part * part * piece.weight;
        }
        (weight > 0.0).then(|| (sum / weight, libm::sqrt(squares) / weight))
    };
    let smoothed: Vec<Option<(f64, f64)>> = (0..pieces.len()).map(smooth).collect();
    let evenness = Evenness {
        columns,
        rows,
        piece_mm,
        lighter_l: smoothed.iter().map(|piece| piece.map(|(l, _)| l)).collect(),
        error_l: smoothed.iter().map(|piece| piece.map(|(_, error)| error)).collect(),
        trend_l: slope.over_l,
        said: found.as_ref().map_or_else(even, slope_words),
    };
    (evenness, found.as_ref().map(warning))
}

/// An even slope over the plate.
#[derive(Clone, Copy, Default)]
struct Slope {
    /// L* from one side of the plate to the other, to the right and downwards.
    across_l: f64,
    down_l: f64,
    /// The largest difference that it makes on the plate, L*.
    over_l: f64,
}

impl Slope {
    /// What it makes of a place, L*, 0 in the plate's middle.
    fn at(&self, (u, v): (f64, f64)) -> f64 {
        self.across_l * u + self.down_l * v
    }
}

/// Middle of a value's cells, from −0.5 to 0.5 over the plate.
fn middle(read: &Read, unit: &impl Fn((f64, f64)) -> (f64, f64)) -> (f64, f64) {
    let n = read.cells.len() as f64;
    let sum = read.cells.iter().fold((0.0, 0.0), |sum, cell| {
        let (u, v) = unit(cell.at);
        (sum.0 + u, sum.1 + v)
    });
    (sum.0 / n, sum.1 / n)
}

/// The slope, where it is more than chance: from how the cells of each value differ among themselves, since a value that lies
/// at one end alone tells nothing of it. Cells of one piece err together (the sandwich of H. White, Econometrica 48 (1980) 817).
fn slope(
    values: &[Option<Read>],
    unit: &impl Fn((f64, f64)) -> (f64, f64),
    piece_of: &impl Fn((f64, f64)) -> usize,
    pieces: usize,
) -> Option<Slope> {
    let mut cells = Vec::new();
    for read in values.iter().flatten() {
        let (mu, mv) = middle(read, unit);
        let mean =
            read.cells.iter().map(|cell| cell.lightness).sum::<f64>() / read.cells.len() as f64;
        let spread_l = read.reading.spread_l.max(LEAST_SPREAD_L);
        for cell in &read.cells {
            let (u, v) = unit(cell.at);
            let off = cell.lightness - mean;
            let weight = 1.0 / (spread_l * spread_l);
            cells.push((Vector2::new(u - mu, v - mv), off, weight, piece_of(cell.at)));
        }
    }
    let mut known = Matrix2::zeros();
    let mut told = Vector2::zeros();
    for (place, off, weight, _) in &cells {
        known += place * place.transpose() * *weight;
        told += place * (off * weight);
    }
    let inverse = known.try_inverse()?;
    let found = inverse * told;
    let mut together = vec![Vector2::zeros(); pieces];
    for (place, off, weight, piece) in &cells {
        together[*piece] += place * ((off - place.dot(&found)) * weight);
    }
    let meat = together.iter().fold(Matrix2::zeros(), |sum, one| sum + one * one.transpose());
    let covariance = inverse * meat * inverse;
    let over_l = found[0].abs() + found[1].abs();
    let along = Vector2::new(found[0].signum(), found[1].signum());
    let error = libm::sqrt(along.dot(&(covariance * along)).max(0.0));
    let sure = over_l >= TREND_L && over_l >= SURE * error;
    sure.then_some(Slope { across_l: found[0], down_l: found[1], over_l })
}

/// No slope is told.
fn even() -> Sentence {
    sentence!(
        "No side of the plate surely prints {} or more lighter than the one across.",
        quantity(TREND_L, Unit::Lightness, 1)
    )
}

/// Which end of the plate is the lighter, and by how much.
fn slope_words(slope: &Slope) -> Sentence {
    let (across, down) = (slope.across_l.abs(), slope.down_l.abs());
    let named = |right: bool, bottom: bool| {
        if across < ALONG * down {
            return if bottom { "bottom" } else { "top" };
        }
        if down < ALONG * across {
            return if right { "right" } else { "left" };
        }
        match (right, bottom) {
            (true, true) => "bottom right",
            (true, false) => "top right",
            (false, true) => "bottom left",
            (false, false) => "top left",
        }
    };
    let (right, bottom) = (slope.across_l > 0.0, slope.down_l > 0.0);
    sentence!(
        "The {} prints up to {} L* lighter than the {}: wiping, pressure, or the light on the sheet.",
        named(right, bottom),
        quantity(slope.over_l, Unit::Count, 0),
        named(!right, !bottom)
    )
}

fn warning(slope: &Slope) -> Diagnostic {
    Diagnostic::warning("photo", "proof.uneven", slope_words(slope))
        .hint("Turn the sheet round and photograph it again: what turns with it is in the print.")
}
