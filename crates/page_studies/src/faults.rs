//! What is to be known of faults: in words, where they show, what they cost, and exercises of guessing them. It stands in
//! this module, since the page opens without it. The picture comes as its map of values (`PlateInHand::values_map`).

use crate::studies::sound_plan;
use page::crossing::{Answer, give, take_part, take_plan, words};
use page::give_edited;
use plan::{FAULT_SIZES, Fault, FaultKind, Plan, edits};
use serde::Serialize;
use study::faults::{
    ExerciseSet, SQUARE_MM, SQUARE_PARTS, SQUARE_PX_UM, ValuesAt,
    exercise_plan as plan_of_exercises,
};
use ts_rs::TS;
use wasm_bindgen::prelude::*;

/// Every kind of fault in words, in the order of the bench.
#[wasm_bindgen(unchecked_return_type = "T.FaultInfo[]")]
pub fn faults() -> Answer {
    give(&plan::faults_in_words())
}

/// How bad a fault is from a size on, in words.
#[wasm_bindgen(unchecked_return_type = "T.FaultSize[]")]
pub fn fault_sizes() -> Answer {
    give(&FAULT_SIZES)
}

/// A fault of a kind where it shows on the plan's plate.
#[wasm_bindgen(unchecked_return_type = "T.Fault")]
pub fn fault_here(
    #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
    #[wasm_bindgen(unchecked_param_type = "T.FaultKind")] kind: JsValue,
    values: &[u8],
    columns: usize,
) -> Answer {
    let kind: FaultKind = take_part(&kind)?;
    give(&study::faults::fault_here(&take_plan(&plan)?, &ValuesAt { values, columns }, kind))
}

/// What is looked at to tell what a fault costs: for `PlateInHand::lightness_of_squares`.
#[derive(Serialize, TS)]
pub(crate) struct FaultSquares {
    /// Column and row of each.
    squares: Vec<u32>,
    side_um: f64,
    /// Parts of each one's side.
    parts: usize,
    px_um: f64,
}

/// The squares that a fault can reach, or some of them.
#[wasm_bindgen(unchecked_return_type = "T.FaultSquares")]
pub fn fault_squares(
    #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
    #[wasm_bindgen(unchecked_param_type = "T.Fault")] fault: JsValue,
) -> Answer {
    let (plan, fault): (Plan, Fault) = (sound_plan(&plan)?, take_part(&fault)?);
    let squares = study::faults::fault_squares(&plan, &fault);
    give(&FaultSquares {
        squares,
        side_um: 1000.0 * SQUARE_MM,
        parts: SQUARE_PARTS,
        px_um: SQUARE_PX_UM,
    })
}

/// What a fault costs, from L* of its squares without it and with it.
#[wasm_bindgen(unchecked_return_type = "T.FaultCost")]
pub fn fault_cost(
    #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
    #[wasm_bindgen(unchecked_param_type = "T.Fault")] fault: JsValue,
    values: &[u8],
    columns: usize,
    before_l: &[f32],
    after_l: &[f32],
) -> Answer {
    let (plan, fault): (Plan, Fault) = (sound_plan(&plan)?, take_part(&fault)?);
    let map = ValuesAt { values, columns };
    give(&study::faults::fault_cost(&plan, &fault, &map, before_l, after_l))
}

/// Adds the work that mends a fault, counted from 1, in a later state.
#[wasm_bindgen(unchecked_return_type = "T.EditedPlan")]
pub fn mend_fault(
    #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
    number: usize,
) -> Answer {
    let done = edits::mend_fault(&take_plan(&plan)?, number);
    give_edited(done.map_err(|refused| words(vec![refused]))?)
}

/// The perfect plate of every exercise.
#[wasm_bindgen(unchecked_return_type = "T.Plan")]
pub fn exercise_plan() -> Answer {
    give(&plan_of_exercises())
}

/// The code of an exercise on some kinds; refused where they are too few to guess among.
#[wasm_bindgen]
pub fn exercise_code(
    seed: u32,
    #[wasm_bindgen(unchecked_param_type = "T.FaultKind[]")] kinds: JsValue,
) -> Result<String, String> {
    let kinds: Vec<FaultKind> = take_part(&kinds)?;
    let set = ExerciseSet::new(seed, &kinds);
    Ok(set.ok_or("Choose two faults at least: with one there is nothing to guess.")?.code())
}

/// The exercise of a code, on the map of its plate.
#[wasm_bindgen(unchecked_return_type = "T.Exercise")]
pub fn exercise(code: &str, values: &[u8], columns: usize) -> Answer {
    let set = ExerciseSet::of_code(code)
        .ok_or("This link holds no exercise that this page knows: ask for it once more.")?;
    give(&set.exercise(&plan_of_exercises(), &ValuesAt { values, columns }))
}

/// The place by which a fault is judged, mm on the print.
#[wasm_bindgen(unchecked_return_type = "[number, number]")]
pub fn fault_middle(#[wasm_bindgen(unchecked_param_type = "T.Fault")] fault: JsValue) -> Answer {
    give(&study::faults::middle_mm(&take_part(&fault)?))
}
