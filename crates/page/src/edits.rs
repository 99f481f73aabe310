//! Edits of a plan's bites.

use crate::answers::{EditedPlan, json};
use plan::Plan;
use plan::edits::{self, Edited};
use wasm_bindgen::prelude::*;

fn answer(text: &str, edit: impl FnOnce(&Plan) -> Result<Edited, String>) -> String {
    let plan = Plan::read_unchecked(text).map_err(|problem| problem.message);
    json(&match plan.and_then(|plan| edit(&plan)) {
        Ok(Edited { plan, notices }) => EditedPlan { plan: Some(plan), notices, sentence: None },
        Err(words) => EditedPlan { plan: None, notices: Vec::new(), sentence: Some(words) },
    })
}

/// Edits the list of bites of a plan (`remove`, `insert`: value `value`; `move`: bite `value` to the
/// place of bite `to`): `{ plan, notices }` as JSON, or `{ sentence }` when it can't be done.
#[wasm_bindgen]
pub fn edit_bites(text: &str, edit: &str, value: usize, to: usize) -> String {
    answer(text, |plan| match edit {
        "remove" => edits::remove_bite(plan, value),
        "insert" => edits::insert_bite(plan, value),
        "move" => edits::move_bite(plan, value, to),
        _ => Err(format!("There is no edit `{edit}`.")),
    })
}

/// Takes another list of bites with its thresholds; answers as [`edit_bites`].
#[wasm_bindgen]
pub fn take_bites(text: &str, bites_min: &[f64], thresholds_l: &[f64]) -> String {
    answer(text, |plan| Ok(edits::take_bites(plan, bites_min, thresholds_l)))
}
