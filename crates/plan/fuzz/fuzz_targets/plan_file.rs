//! See `hostile::plan_file`.
#![no_main]

#[allow(dead_code, reason = "each target uses its part")]
#[path = "../../tests/support/hostile.rs"]
mod hostile;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| hostile::plan_file(bytes));
