//! Edits of a plan's lists: bites, areas, states and work, lines.

use crate::answers::{EditedPlan, json};
use plan::edits::{self, Edited};
use plan::{Area, Crop, LaterGround, Plan, Work};
use serde::de::DeserializeOwned;
use wasm_bindgen::prelude::*;

fn answer(text: &str, edit: impl FnOnce(&Plan) -> Result<Edited, String>) -> String {
    let plan = Plan::read_unchecked(text).map_err(|problem| problem.message);
    json(&match plan.and_then(|plan| edit(&plan)) {
        Ok(Edited { plan, notices, shown_state }) => {
            EditedPlan { plan: Some(plan), notices, shown_state, sentence: None }
        }
        Err(words) => {
            EditedPlan { plan: None, notices: Vec::new(), shown_state: None, sentence: Some(words) }
        }
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

/// Edits a list of a plan, counted from 1, by the function of this name in [`edits`]: areas and states by
/// `number` or from `number` to `to`, work by the state `number` and its place `to`. `thing` is what comes in, as
/// JSON: an area, a piece of work, or a later ground of which outline and first bite count. Answers as
/// [`edit_bites`], with the state to be looked at in `shown_state`.
#[wasm_bindgen]
pub fn edit_list(text: &str, edit: &str, number: usize, to: usize, thing: &str) -> String {
    answer(text, |plan| match edit {
        "add_area" => edits::add_area(plan, number, read::<Area>(thing)?),
        "change_area" => edits::change_area(plan, number, read::<Area>(thing)?),
        "remove_area" => edits::remove_area(plan, number),
        "move_area" => edits::move_area(plan, number, to),
        "add_state" => edits::add_state(plan, number),
        "remove_state" => edits::remove_state(plan, number),
        "add_work" => edits::add_work(plan, number, usize::MAX, read::<Work>(thing)?),
        "add_ground" => {
            let LaterGround { bites, outline_mm, .. } = read(thing)?;
            let bite = *bites.first().ok_or("A new ground needs a bite.")?;
            edits::add_ground(plan, number, bite, outline_mm)
        }
        "remove_work" => edits::remove_work(plan, number, to),
        "plan_edition" => Ok(edits::plan_edition(plan)),
        "remove_lines" => Ok(edits::remove_lines(plan)),
        _ => Err(format!("There is no edit `{edit}`.")),
    })
}

/// Takes a picture's name and the part of it that lies on the plate (left, top, width, height) for the plan's lines;
/// answers as [`edit_bites`].
#[wasm_bindgen]
pub fn take_lines(
    text: &str,
    picture: &str,
    left: f64,
    top: f64,
    width: f64,
    height: f64,
) -> String {
    answer(text, |plan| edits::take_lines(plan, picture, Crop { left, top, width, height }))
}

fn read<T: DeserializeOwned>(thing: &str) -> Result<T, String> {
    serde_json::from_str(thing).map_err(|error| error.to_string())
}
