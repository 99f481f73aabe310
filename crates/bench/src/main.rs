//! Times every kernel natively and prints a JSON line each, for `scripts/bench`.
//!
//! `bench --once NAME ROUNDS` prepares one kernel and runs it ROUNDS times without timing, so that
//! the difference of two instruction counts is the cost of the rounds alone.

#![allow(clippy::print_stdout, reason = "its whole purpose is to print figures")]

use bench::KERNELS;
use std::time::Instant;

/// Shortest time over which a kernel is measured, s.
const LONG_ENOUGH_S: f64 = 1.0;

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    if let [once, name, rounds] = arguments.as_slice()
        && once == "--once"
    {
        let rounds: u32 = rounds.parse().unwrap_or(1);
        for kernel in KERNELS.iter().filter(|kernel| kernel.name == name.as_str()) {
            let mut prepared = (kernel.prepare)();
            let total: f64 = (0..rounds).map(|_| (prepared.run)()).sum();
            println!("{{\"units\": {}, \"sum\": {total}}}", prepared.units);
        }
        return;
    }
    for kernel in KERNELS {
        let mut prepared = (kernel.prepare)();
        (prepared.run)();
        let mut best_ns = f64::INFINITY;
        let begun = Instant::now();
        while begun.elapsed().as_secs_f64() < LONG_ENOUGH_S {
            let start = Instant::now();
            (prepared.run)();
            best_ns = best_ns.min(start.elapsed().as_secs_f64() * 1e9);
        }
        println!(
            "{{\"name\": \"{}\", \"unit\": \"{}\", \"target_ns\": {}, \"ns\": {}}}",
            kernel.name,
            kernel.unit,
            kernel.target_ns,
            best_ns / prepared.units
        );
    }
}
