//! See `grown::areas`.
#![no_main]

#[path = "../../tests/support/grown.rs"]
mod grown;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| grown::areas(bytes));
