//! Times each step of the ink on a made-up ground: `cargo run --release -p plate --example ink_speed`.
#![allow(clippy::print_stdout, reason = "a program that prints what it measured")]

use plate::grid::Grid;
use plate::ink::{InkConstants, InkScratch, Inking};
use std::time::Instant;

/// Nanoseconds this thread has run, where the system tells (so that other work on the machine does
/// not count); else nanoseconds by the clock.
fn now_ns(start: Instant) -> f64 {
    std::fs::read_to_string("/proc/thread-self/schedstat")
        .ok()
        .and_then(|line| line.split(' ').next()?.parse().ok())
        .unwrap_or_else(|| start.elapsed().as_secs_f64() * 1e9)
}

/// Pits between discs at scattered places, at most `deepest_um` deep.
fn pits(grid: &Grid, deepest_um: f32) -> Vec<f32> {
    let mut depth_um = vec![deepest_um; grid.len()];
    let (width_um, height_um) = (grid.width as f32 * grid.px_um, grid.height as f32 * grid.px_um);
    let mut state = 1_u64;
    let mut share = || {
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 40) as f32 / (1_u64 << 24) as f32
    };
    for _ in 0..(width_um * height_um * 450e-6) as usize {
        let (x_um, y_um, radius_um) =
            (share() * width_um, share() * height_um, 12.0 + 16.0 * share());
        let reach_um = radius_um + 0.01;
        let rows = ((y_um - reach_um).max(0.0) / grid.px_um) as usize
            ..(((y_um + reach_um) / grid.px_um) as usize + 1).min(grid.height);
        for row in rows {
            let from = ((x_um - reach_um).max(0.0) / grid.px_um) as usize;
            let to = (((x_um + reach_um) / grid.px_um) as usize + 1).min(grid.width);
            for column in from..to {
                let dx = (column as f32 + 0.5) * grid.px_um - x_um;
                let dy = (row as f32 + 0.5) * grid.px_um - y_um;
                let under_um = radius_um - (dx * dx + dy * dy).sqrt();
                if under_um > 0.0 {
                    let room = deepest_um * deepest_um - under_um * under_um;
                    let depth = &mut depth_um[row * grid.width + column];
                    *depth = depth.min(room.max(0.0).sqrt());
                }
            }
        }
    }
    depth_um
}

/// How often each step runs.
const ROUNDS: usize = 20;

fn main() {
    let start = Instant::now();
    let inking =
        Inking::new(&plan::Ink::default(), &plan::Paper::default(), &InkConstants::default());
    let mut scratch = InkScratch::default();
    let mut reflectance = Vec::new();
    println!("ns per pixel, one core, mean of 20 rounds");
    println!("  px µm  deepest µm   hold  transfer  reflect   all   (cloth alone)  mean R");
    for px_um in [4.0, 5.0] {
        let grid = Grid { left_px: 0, top_px: 0, width: 1024, height: 1024, px_um };
        for deepest_um in [2.0, 6.0, 15.0, 30.0] {
            let depth_um = pits(&grid, deepest_um);
            let mut mean_ns = [0.0; 4];
            let mut level_um = Vec::new();
            for _ in 0..ROUNDS {
                let mut time = |step: usize, work: &mut dyn FnMut()| {
                    let before = now_ns(start);
                    work();
                    mean_ns[step] += (now_ns(start) - before) / (ROUNDS * grid.len()) as f64;
                };
                time(0, &mut || inking.hold(&depth_um, &grid, &mut scratch));
                time(1, &mut || inking.transfer(&grid, &mut scratch));
                time(2, &mut || inking.reflect(&grid, &mut scratch, &mut reflectance));
                time(3, &mut || {
                    inking.cloth_level_um(&depth_um, &grid, &mut scratch, &mut level_um)
                });
            }
            let mean = reflectance.iter().map(|&r| f64::from(r)).sum::<f64>() / grid.len() as f64;
            println!(
                "{px_um:7} {deepest_um:11} {:6.2} {:9.2} {:8.2} {:5.2} {:15.2}  {mean:.4}",
                mean_ns[0],
                mean_ns[1],
                mean_ns[2],
                mean_ns[0] + mean_ns[1] + mean_ns[2],
                mean_ns[3],
            );
        }
    }
}
