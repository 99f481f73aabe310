//! What a fault costs: how much otherwise the plate prints with it, value by value.
//!
//! Both plates are looked at in small squares spread evenly over all that the fault can reach, every grain of them.

use super::places::{STREAK_HALF_MM, ValuesAt};
use plan::{Fault, FaultPlace, Plan, Sentence, Unit, quantity, sentence};
use serde::Serialize;

/// Side of a square, mm.
pub const SQUARE_MM: f64 = 1.0;
/// Parts of a square's side that are told apart: a quarter of a millimetre, since an eye sees single specks.
pub const SQUARE_PARTS: usize = 4;
/// Pixels that its grain is looked at in, µm.
pub const SQUARE_PX_UM: f64 = 10.0;
/// Squares at most.
const MOST_SQUARES: usize = 220;
/// A difference that is seen beside the same tone without it, L*.
const SEEN_L: f64 = 2.0;
/// Less than this is nothing.
const NOTHING_L: f64 = 0.1;
/// Fewest parts of squares from which a value's mean is told.
const FEWEST_PARTS: usize = 48;

/// What a fault does to one value.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct ValueCost {
    /// The value; 0 is the paper.
    pub value: usize,
    /// How much lighter it prints within the fault's reach, on the mean, L*; darker is below 0.
    pub mean_l: f64,
    /// The same of the quarter millimetre that differs most.
    pub most_l: f64,
}

/// What a fault costs.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct FaultCost {
    /// Every value that lies within its reach.
    pub values: Vec<ValueCost>,
    /// The largest difference, L*; darker is below 0.
    pub largest_l: f64,
    /// Where that is, mm on the print.
    pub at_x_mm: f64,
    /// The same from the top.
    pub at_y_mm: f64,
    /// Share of the plate that prints more than 2 L* otherwise.
    pub changed_share: f64,
    /// The same in words.
    pub sentence: Sentence,
}

/// The squares that are looked at for a fault: column and row of each, in squares from the top left of the print.
#[must_use]
pub fn fault_squares(plan: &Plan, fault: &Fault) -> Vec<u32> {
    let [columns, rows] = sides(plan);
    let every = columns * rows;
    let within: Vec<usize> =
        (0..every).filter(|at| reached(plan, fault, at % columns, at / columns)).collect();
    let take = within.len().min(MOST_SQUARES);
    (0..take)
        .flat_map(|i| {
            // Evenly, and with a step that does not run along the columns.
            let at = within[i * within.len() / take];
            [(at % columns) as u32, (at / columns) as u32]
        })
        .collect()
}

/// Whole squares across and down.
fn sides(plan: &Plan) -> [usize; 2] {
    [plan.plate.width_mm, plan.plate.height_mm].map(|mm| ((mm / SQUARE_MM) as usize).max(1))
}

fn reached(plan: &Plan, fault: &Fault, column: usize, row: usize) -> bool {
    let [x, y] = [column, row].map(|at| (at as f64 + 0.5) * SQUARE_MM);
    match fault.kind.place() {
        FaultPlace::Plate => true,
        FaultPlace::Edges => {
            let edge = x.min(plan.plate.width_mm - x).min(y).min(plan.plate.height_mm - y);
            edge <= fault.radius_mm
        }
        FaultPlace::Spot if fault.kind.runs_down() => {
            let down = y - fault.y_mm;
            (x - fault.x_mm).abs() <= STREAK_HALF_MM && (0.0..=fault.radius_mm).contains(&down)
        }
        FaultPlace::Spot => {
            libm::hypot(x - fault.x_mm, y - fault.y_mm) <= fault.radius_mm + SQUARE_MM
        }
    }
}

/// What a fault costs, from L* of the parts of its [`fault_squares`], row by row, on the plan's plate and on the same with the fault.
#[must_use]
pub fn fault_cost(
    plan: &Plan,
    fault: &Fault,
    map: &ValuesAt<'_>,
    before_l: &[f32],
    after_l: &[f32],
) -> FaultCost {
    let squares = fault_squares(plan, fault);
    let [columns, rows] = sides(plan);
    let reach =
        (0..columns * rows).filter(|at| reached(plan, fault, at % columns, at / columns)).count();
    let parts = SQUARE_PARTS * SQUARE_PARTS;
    let mut off: Vec<(usize, f64, [f64; 2])> = Vec::new();
    let seen = before_l.chunks_exact(parts).zip(after_l.chunks_exact(parts));
    for (at, (before, after)) in squares.chunks_exact(2).zip(seen) {
        for (part, (before, after)) in before.iter().zip(after).enumerate() {
            let middle = |square: u32, part: usize| {
                (f64::from(square) + (part as f64 + 0.5) / SQUARE_PARTS as f64) * SQUARE_MM
            };
            let place = [middle(at[0], part % SQUARE_PARTS), middle(at[1], part / SQUARE_PARTS)];
            off.push((value_at(plan, map, place), f64::from(after - before), place));
        }
    }
    let last = plan.bites.len();
    let values = (0..=last)
        .filter_map(|value| {
            let here: Vec<f64> =
                off.iter().filter(|(own, ..)| *own == value).map(|(_, off, _)| *off).collect();
            (here.len() >= FEWEST_PARTS).then(|| ValueCost {
                value,
                mean_l: here.iter().sum::<f64>() / here.len() as f64,
                most_l: farthest(&here),
            })
        })
        .collect();
    let most = off.iter().max_by(|(_, a, _), (_, b, _)| a.abs().total_cmp(&b.abs()));
    let (own, largest_l, [at_x_mm, at_y_mm]) = most.copied().unwrap_or((0, 0.0, [0.0; 2]));
    let seen = off.iter().filter(|(_, off, _)| off.abs() > SEEN_L).count();
    let part = reach as f64 / (columns * rows) as f64;
    let changed_share = part * seen as f64 / off.len().max(1) as f64;
    let sentence = worded(own, largest_l, [at_x_mm, at_y_mm], changed_share);
    FaultCost { values, largest_l, at_x_mm, at_y_mm, changed_share, sentence }
}

fn farthest(all: &[f64]) -> f64 {
    all.iter().copied().max_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap_or(0.0)
}

fn value_at(plan: &Plan, map: &ValuesAt<'_>, [x_mm, y_mm]: [f64; 2]) -> usize {
    let rows = map.values.len() / map.columns.max(1);
    let cell = |mm: f64, side_mm: f64, count: usize| {
        ((mm / side_mm * count as f64) as usize).min(count.saturating_sub(1))
    };
    let (column, row) =
        (cell(x_mm, plan.plate.width_mm, map.columns), cell(y_mm, plan.plate.height_mm, rows));
    map.values.get(row * map.columns + column).map_or(0, |&value| value.into())
}

fn worded(value: usize, largest_l: f64, [x_mm, y_mm]: [f64; 2], share: f64) -> Sentence {
    if largest_l.abs() < NOTHING_L {
        return sentence!("Nothing of it is to be seen: place and size leave the print as it is.");
    }
    let way = if largest_l > 0.0 { "lighter" } else { "darker" };
    let named = if value == 0 {
        sentence!("in the paper’s white")
    } else {
        sentence!("in value {}", value)
    };
    let mm = |mm| quantity(mm, Unit::Mm, 0);
    let most = sentence!(
        "Most of all {}, {} from the left and {} from the top: {} by {} over a quarter of a millimetre.",
        named,
        mm(x_mm),
        mm(y_mm),
        way,
        quantity(largest_l.abs(), Unit::Lightness, u8::from(largest_l.abs() < SEEN_L))
    );
    let much = if share < 0.0005 {
        sentence!(
            "Hardly any of the plate prints otherwise by more than {}.",
            quantity(SEEN_L, Unit::Lightness, 0)
        )
    } else {
        sentence!(
            "{} of the plate prints otherwise by more than {}.",
            quantity(share, Unit::Percent, u8::from(share < 0.1)),
            quantity(SEEN_L, Unit::Lightness, 0)
        )
    };
    sentence!("{} {}", most, much)
}
