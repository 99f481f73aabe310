//! Edits of a plan's lists: bites, areas, states and work, lines. Values, areas, states and pieces of work are
//! counted from 1.

use crate::crossing::{Answer, give, take_part, take_plan, words};
use plan::edits::{self, Edited};
use plan::{Area, Crop, Diagnostic, LaterBite, Plan, Work};
use serde::Serialize;
use ts_rs::TS;
use wasm_bindgen::prelude::*;

/// A plan after an edit, and what gave way, in sentences.
#[derive(Serialize, TS)]
pub(crate) struct EditedPlan {
    plan: Plan,
    notices: Vec<String>,
    /// The state to be looked at, where the edit moved it.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    shown_state: Option<usize>,
}

fn edited(plan: &JsValue, edit: impl FnOnce(&Plan) -> Result<Edited, Diagnostic>) -> Answer {
    let done = edit(&take_plan(plan)?);
    give_edited(done.map_err(|refused| words(vec![refused]))?)
}

/// An edit as it crosses.
///
/// # Errors
/// What serde says of it.
pub fn give_edited(Edited { plan, notices, shown_state }: Edited) -> Answer {
    give(&EditedPlan { plan, notices, shown_state })
}

/// Declares edits that take numbers alone.
macro_rules! numbered {
    ($($(#[$doc:meta])* $name:ident($($number:ident),*);)+) => { $(
        $(#[$doc])*
        #[wasm_bindgen(unchecked_return_type = "T.EditedPlan")]
        pub fn $name(
            #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
            $($number: usize),*
        ) -> Answer {
            edited(&plan, |plan| edits::$name(plan, $($number),*))
        }
    )+ };
}

numbered! {
    /// Takes out the bite of a value.
    remove_bite(value);
    /// Puts a bite in, so that its value has this number.
    insert_bite(value);
    /// Moves a bite to the place of another.
    move_bite(value, to);
    /// Takes out an area.
    remove_area(number);
    /// Moves an area to the place of another.
    move_area(number, to);
    /// A new state that goes on from this one.
    add_state(from);
    /// Takes out a state.
    remove_state(number);
    /// Takes out a piece of a state's work.
    remove_work(state, place);
}

/// Numbers of a state and of all that go on from it.
#[wasm_bindgen(unchecked_return_type = "number[]")]
pub fn gone_with(
    #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
    number: usize,
) -> Answer {
    give(&edits::gone_with(&take_plan(&plan)?, number))
}

/// Takes another list of bites with its thresholds.
#[wasm_bindgen(unchecked_return_type = "T.EditedPlan")]
pub fn take_bites(
    #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
    bites_min: &[f64],
    thresholds_l: &[f64],
) -> Answer {
    edited(&plan, |plan| Ok(edits::take_bites(plan, bites_min, thresholds_l)))
}

/// Puts an area in, so that it has this number.
#[wasm_bindgen(unchecked_return_type = "T.EditedPlan")]
pub fn add_area(
    #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
    number: usize,
    #[wasm_bindgen(unchecked_param_type = "T.Area")] area: JsValue,
) -> Answer {
    let area: Area = take_part(&area)?;
    edited(&plan, |plan| edits::add_area(plan, number, area))
}

/// Puts another area in the place of one.
#[wasm_bindgen(unchecked_return_type = "T.EditedPlan")]
pub fn change_area(
    #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
    number: usize,
    #[wasm_bindgen(unchecked_param_type = "T.Area")] area: JsValue,
) -> Answer {
    let area: Area = take_part(&area)?;
    edited(&plan, |plan| edits::change_area(plan, number, area))
}

/// Adds work to a state; after the first proof that begins a new one.
#[wasm_bindgen(unchecked_return_type = "T.EditedPlan")]
pub fn add_work(
    #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
    state: usize,
    #[wasm_bindgen(unchecked_param_type = "T.Work")] work: JsValue,
) -> Answer {
    let work: Work = take_part(&work)?;
    edited(&plan, |plan| edits::add_work(plan, state, usize::MAX, work))
}

/// Lays a new ground as the first, within an outline (mm on the print) or over the whole plate, with its
/// first bite.
#[wasm_bindgen(unchecked_return_type = "T.EditedPlan")]
pub fn add_ground(
    #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
    state: usize,
    #[wasm_bindgen(unchecked_param_type = "T.LaterBite")] bite: JsValue,
    #[wasm_bindgen(unchecked_param_type = "[number, number][]")] outline_mm: JsValue,
) -> Answer {
    let (bite, outline_mm): (LaterBite, Vec<[f64; 2]>) =
        (take_part(&bite)?, take_part(&outline_mm)?);
    edited(&plan, |plan| edits::add_ground(plan, state, bite, outline_mm))
}

/// Plans an edition with the usual numbers.
#[wasm_bindgen(unchecked_return_type = "T.EditedPlan")]
pub fn plan_edition(#[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue) -> Answer {
    edited(&plan, |plan| Ok(edits::plan_edition(plan)))
}

/// Lays the picture of etched lines on the plate.
#[wasm_bindgen(unchecked_return_type = "T.EditedPlan")]
pub fn lay_lines(
    #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
    picture: &str,
    #[wasm_bindgen(unchecked_param_type = "T.Crop")] crop: JsValue,
) -> Answer {
    let crop: Crop = take_part(&crop)?;
    edited(&plan, |plan| edits::take_lines(plan, picture, crop))
}

/// Takes the etched lines out.
#[wasm_bindgen(unchecked_return_type = "T.EditedPlan")]
pub fn remove_lines(#[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue) -> Answer {
    edited(&plan, |plan| Ok(edits::remove_lines(plan)))
}
