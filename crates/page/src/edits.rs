//! Edits of a plan's bites.

use crate::crossing::{Answer, give, take_plan};
use plan::Plan;
use plan::edits::{self, Edited};
use serde::Serialize;
use ts_rs::TS;
use wasm_bindgen::prelude::*;

/// A plan after an edit, and what gave way, in sentences.
#[derive(Serialize, TS)]
pub(crate) struct EditedPlan {
    plan: Plan,
    notices: Vec<String>,
}

fn edited(Edited { plan, notices }: Edited) -> Answer {
    give(&EditedPlan { plan, notices })
}

/// Takes out the bite of a value (from 1, the lightest).
#[wasm_bindgen(unchecked_return_type = "T.EditedPlan")]
pub fn remove_bite(
    #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
    value: usize,
) -> Answer {
    edited(edits::remove_bite(&take_plan(&plan)?, value)?)
}

/// Puts a bite in, so that its value has this number.
#[wasm_bindgen(unchecked_return_type = "T.EditedPlan")]
pub fn insert_bite(
    #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
    value: usize,
) -> Answer {
    edited(edits::insert_bite(&take_plan(&plan)?, value)?)
}

/// Moves a bite to the place of another.
#[wasm_bindgen(unchecked_return_type = "T.EditedPlan")]
pub fn move_bite(
    #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
    value: usize,
    to: usize,
) -> Answer {
    edited(edits::move_bite(&take_plan(&plan)?, value, to)?)
}

/// Takes another list of bites with its thresholds.
#[wasm_bindgen(unchecked_return_type = "T.EditedPlan")]
pub fn take_bites(
    #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
    bites_min: &[f64],
    thresholds_l: &[f64],
) -> Answer {
    edited(edits::take_bites(&take_plan(&plan)?, bites_min, thresholds_l))
}
