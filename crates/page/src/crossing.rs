//! How values cross: plain JavaScript values for Rust ones and back, and refusals in words.

use plan::Problem;
use serde::Serialize;
use serde::de::DeserializeOwned;
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

/// Problems of a plan as one text.
pub(crate) fn sentences(problems: Vec<Problem>) -> String {
    problems.into_iter().map(|problem| problem.message).collect::<Vec<_>>().join(" ")
}

/// Refused constants as one text.
pub(crate) fn words(refused: Vec<(String, String)>) -> String {
    refused.into_iter().map(|(_, words)| words).collect::<Vec<_>>().join(" ")
}
