//! The border between the reckoning and the browser: the only crate that knows wasm-bindgen.
//!
//! One module holds all of it: the [`Workshop`] answers about the plate in hand, the
//! [`shop::Shop`] about plans and shops as a whole. Small answers cross as JSON text, pictures as
//! bytes. Nothing is calculated here: every answer comes from the crates `plan`, `picture`, `plate`
//! and `calibrate`.

mod answers;
pub mod edits;
mod lines;
pub mod links;
pub mod pictures;
mod pixels;
mod png_file;
pub mod shop;
mod states;
mod watch;
mod workshop;

pub use watch::MomentAnswer;
pub use workshop::digests;
pub use workshop::{CutAnswer, Workshop};

use wasm_bindgen::prelude::*;

#[wasm_bindgen]
extern "C" {
    /// Set by the worker: receives the words of a panic before the instance dies.
    #[wasm_bindgen(js_name = platewrightPanic)]
    fn report_panic(words: &str);
}

/// Sends the words of a panic to the worker.
fn report_panics() {
    std::panic::set_hook(Box::new(|info| report_panic(&info.to_string())));
}
