//! How values cross: plain JavaScript values for Rust ones and back, and refusals in words.

use plan::{Diagnostic, Plan};
use serde::Serialize;
use serde::de::{DeserializeOwned, Deserializer, Error};
use wasm_bindgen::prelude::*;

/// An answer, or a sentence why there is none.
pub(crate) type Answer = Result<JsValue, String>;

/// An answer as a JavaScript value: maps as objects, nothing as `null`.
pub(crate) fn give(answer: &impl Serialize) -> Answer {
    let how = serde_wasm_bindgen::Serializer::json_compatible();
    answer.serialize(&how).map_err(|error| error.to_string())
}

/// An argument from its JavaScript value.
pub(crate) fn take<T: DeserializeOwned>(value: JsValue) -> Result<T, String> {
    serde_wasm_bindgen::from_value(value).map_err(|error| error.to_string())
}

/// A plan from its JavaScript value, unchecked.
///
/// By way of its text: the module then holds one reader of plans, that of plan files, instead of two
/// (25 kB of what the page opens with), and it is the quicker one.
pub(crate) fn take_plan(value: &JsValue) -> Result<Plan, String> {
    let text = js_sys::JSON::stringify(value).map_err(|_| "This is no plan.")?;
    Plan::read_unchecked(&String::from(text)).map_err(|refused| refused.to_string())
}

/// [`take_plan`] for a field of what holds one.
pub(crate) fn plan_within<'de, D: Deserializer<'de>>(from: D) -> Result<Plan, D::Error> {
    let value: JsValue = serde_wasm_bindgen::preserve::deserialize(from)?;
    take_plan(&value).map_err(Error::custom)
}

/// What stands in the way, as one text.
pub(crate) fn words(refused: Vec<Diagnostic>) -> String {
    refused.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")
}
