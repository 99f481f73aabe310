//! See `hostile::link_payload`.
#![no_main]

#[allow(dead_code, reason = "each target uses its part")]
#[path = "../../tests/support/hostile.rs"]
mod hostile;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| hostile::link_payload(bytes));
