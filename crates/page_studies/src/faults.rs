//! What is to be known of faults. It stands in this module, since the page opens without it.

use page::crossing::{Answer, give};
use wasm_bindgen::prelude::*;

/// Every kind of fault in words, in the order of the bench.
#[wasm_bindgen(unchecked_return_type = "T.FaultInfo[]")]
pub fn faults() -> Answer {
    give(&plan::faults_in_words())
}
