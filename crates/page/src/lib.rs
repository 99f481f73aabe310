//! The border between the reckoning and the browser: the only crate that knows wasm-bindgen.
//!
//! It is built twice, so that the page opens light. With the feature `workshop` it holds the
//! [`Workshop`], which answers the requests of `www/src/reckon/protocol.ts`; with `shop` it holds
//! what is fetched when it is first asked for (`www/src/reckon/shopProtocol.ts`). A third build, with
//! `hand` beside `workshop`, takes the workshop's place when a plan has later states or areas by hand. Small answers cross
//! as JSON text, pictures as bytes. Nothing is reckoned here: every answer comes from the crates
//! `plan`, `picture` and `plate`.

#[cfg(feature = "workshop")]
mod answers;
#[cfg(all(feature = "workshop", feature = "hand"))]
mod lines;
#[cfg(feature = "workshop")]
pub mod links;
#[cfg(feature = "workshop")]
mod pixels;
#[cfg(feature = "workshop")]
mod png_file;
#[cfg(feature = "shop")]
pub mod shop;
#[cfg(all(feature = "workshop", feature = "hand"))]
mod states;
#[cfg(feature = "hand")]
mod watch;
#[cfg(feature = "workshop")]
mod workshop;

#[cfg(feature = "hand")]
pub use watch::MomentAnswer;
#[cfg(feature = "hand")]
pub use workshop::digests;
#[cfg(feature = "workshop")]
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
