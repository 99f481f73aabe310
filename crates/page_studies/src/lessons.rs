//! Lessons of one's own.

use page::crossing::take_part;
use plan::lesson::SharedLesson;
use plan::link;
use wasm_bindgen::prelude::*;

/// A plan's link, with or without its picture, with a lesson on it; refused in a sentence while the lesson is
/// not yet whole.
#[wasm_bindgen]
pub fn lesson_link(
    link: &str,
    #[wasm_bindgen(unchecked_param_type = "T.SharedLesson")] lesson: JsValue,
) -> Result<String, String> {
    let lesson: SharedLesson = take_part(&lesson)?;
    link::with_lesson(link, &lesson).map_err(|error| error.to_string())
}
