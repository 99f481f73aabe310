//! The kernels that decide how fast the page is, each on one fixed job.
//!
//! The same code is timed natively (`cargo run --release -p bench`), counted in instructions under
//! callgrind (`bench --once NAME ROUNDS`), and timed as WebAssembly in Node through the three plain
//! exports at the end. Nothing here is part of the page.

mod kernels;

pub use kernels::{KERNELS, Kernel, Prepared};

use std::cell::RefCell;
use std::ffi::CString;

thread_local! {
    static READY: RefCell<Option<Prepared>> = const { RefCell::new(None) };
}

/// Number of kernels, for callers outside Rust.
#[unsafe(no_mangle)]
pub extern "C" fn kernel_count() -> u32 {
    KERNELS.len() as u32
}

/// Prepares a kernel and returns how many units of work one run does.
#[unsafe(no_mangle)]
pub extern "C" fn prepare(kernel: u32) -> f64 {
    let prepared = (KERNELS[kernel as usize].prepare)();
    let units = prepared.units;
    READY.with(|ready| *ready.borrow_mut() = Some(prepared));
    units
}

/// Runs the prepared kernel once; the number it returns keeps the work from being optimised away.
#[unsafe(no_mangle)]
pub extern "C" fn run() -> f64 {
    READY.with(|ready| ready.borrow_mut().as_mut().map_or(0.0, |prepared| (prepared.run)()))
}

/// Digests of every stage of some small plates (see `picture::example`): text that ends in a zero
/// byte, never freed. Here because this module imports nothing, so that any engine can run it.
#[unsafe(no_mangle)]
pub extern "C" fn digests() -> *const u8 {
    CString::new(picture::example::digests()).unwrap_or_default().into_raw().cast_const().cast()
}

/// The same for the solvers (see `study::calibration::example`).
#[unsafe(no_mangle)]
pub extern "C" fn shop_digests() -> *const u8 {
    CString::new(study::calibration::example::digests())
        .unwrap_or_default()
        .into_raw()
        .cast_const()
        .cast()
}
