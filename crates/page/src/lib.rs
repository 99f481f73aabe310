//! The border between the core and the browser, which only this crate and `page_studies` beside it know.
//!
//! A worker of the page holds one [`PlateInHand`] and calls its methods by name; `www/src/engine/calls.ts` takes
//! the types of every call from what wasm-bindgen and [`types`] write. So a new question is written
//! in two places: here, as a method, and where the page asks it. Questions about plans and shops as a whole
//! are in `page_studies`, a module of its own with everything of this one, which the page fetches later.
//!
//! Arguments and answers are plain JavaScript values, made by `serde-wasm-bindgen`; long rows of
//! numbers cross as typed arrays. Only plan files are JSON text. A refusal is a thrown string, in words
//! for the user. Nothing is calculated here: every answer comes from the crates below.

pub mod crossing;
mod documents;
mod edits;
mod pictures;
mod pixels;
mod plate_in_hand;
mod png_file;
mod questions;
mod sample;
mod strips;
pub mod types;
pub mod views;

pub use documents::*;
pub use edits::*;
pub use pictures::*;
pub use plate_in_hand::{PlateInHand, numbered};
pub use strips::*;

use wasm_bindgen::prelude::*;

#[wasm_bindgen]
extern "C" {
    /// Set by the worker: receives the words of a panic before the instance dies.
    #[wasm_bindgen(js_name = platewrightPanic)]
    fn report_panic(words: &str);
}

/// Sends the words of a panic to the worker.
#[wasm_bindgen(start)]
fn report_panics() {
    std::panic::set_hook(Box::new(|info| report_panic(&info.to_string())));
}

/// Digests of every stage of some small plates, a line each; the native program prints the same.
#[wasm_bindgen]
pub fn digests() -> String {
    picture::example::digests()
}

/// Grey bytes as the rows of a PNG file, for the browser to pack (zlib).
#[wasm_bindgen(unchecked_return_type = "Uint8Array<ArrayBuffer>")]
pub fn png_rows(grey: &[u8], width: u32, height: u32) -> Result<Vec<u8>, String> {
    png_file::rows(grey, width, height)
        .ok_or_else(|| format!("{} bytes are no proof of {width} × {height} pixels.", grey.len()))
}

/// Packed rows as a PNG file with its true size.
#[wasm_bindgen(unchecked_return_type = "Uint8Array<ArrayBuffer>")]
pub fn png_file(packed: &[u8], width: u32, height: u32, out_um: f64) -> Vec<u8> {
    png_file::file(packed, width, height, out_um)
}
