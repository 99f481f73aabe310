//! See `coded::miniature`.
#![no_main]

#[path = "../../tests/support/coded.rs"]
mod coded;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| coded::miniature(bytes));
