//! How values cross: plain JavaScript values for Rust ones and back, and refusals in words.

use plan::Diagnostic;
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

/// What stands in the way, as one text.
pub(crate) fn words(refused: Vec<Diagnostic>) -> String {
    refused.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")
}
