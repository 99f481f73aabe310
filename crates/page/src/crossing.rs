//! How values cross: plain JavaScript values for Rust ones and back, and refusals in words.

use plan::{Diagnostic, Plan};
use serde::Serialize;
use serde::de::{DeserializeOwned, Deserializer, Error};
use wasm_bindgen::prelude::*;

/// An answer, or a sentence why there is none.
pub type Answer = Result<JsValue, String>;

/// An answer as a JavaScript value: maps as objects, nothing as `null`.
///
/// # Errors
/// What serde says of it.
pub fn give(answer: &impl Serialize) -> Answer {
    let how = serde_wasm_bindgen::Serializer::json_compatible();
    answer.serialize(&how).map_err(|error| error.to_string())
}

/// An argument from its JavaScript value.
///
/// # Errors
/// What serde says of a value of another form.
pub fn take<T: DeserializeOwned>(value: JsValue) -> Result<T, String> {
    serde_wasm_bindgen::from_value(value).map_err(|error| error.to_string())
}

/// A plan from its JavaScript value, unchecked.
///
/// By way of its text: the module then holds one reader of plans, that of plan files, instead of two
/// (25 kB of what the page opens with), and it is the quicker one.
///
/// # Errors
/// Why it is no plan.
pub fn take_plan(value: &JsValue) -> Result<Plan, String> {
    let text = js_sys::JSON::stringify(value).map_err(|_| "This is no plan.")?;
    Plan::read_unchecked(&String::from(text)).map_err(|refused| refused.to_string())
}

/// A part of a plan (an area, a piece of work) from its JavaScript value, by the same reader.
///
/// # Errors
/// Why it is no such part.
pub fn take_part<T: DeserializeOwned>(value: &JsValue) -> Result<T, String> {
    let text = js_sys::JSON::stringify(value).map_err(|_| "This is no part of a plan.")?;
    plan::part_from_json(&String::from(text))
}

/// [`take_plan`] for a field of what holds one.
///
/// # Errors
/// Those of [`take_plan`].
pub fn plan_within<'de, D: Deserializer<'de>>(from: D) -> Result<Plan, D::Error> {
    let value: JsValue = serde_wasm_bindgen::preserve::deserialize(from)?;
    take_plan(&value).map_err(Error::custom)
}

/// What stands in the way, as one text.
#[must_use]
pub fn words(refused: Vec<Diagnostic>) -> String {
    refused.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")
}
