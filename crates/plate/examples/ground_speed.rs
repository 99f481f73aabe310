//! Times the ground: dust to domes, per landed grain, margins included.
//!
//! `cargo run --release -p plate --example ground_speed [tiles along a side]`

use plate::ground::{Ground, MeltScratch};
use std::time::Instant;

#[expect(clippy::print_stdout, reason = "prints what it measures")]
fn main() {
    let tiles: i32 = std::env::args().nth(1).and_then(|word| word.parse().ok()).unwrap_or(12);
    let plan = plan::Plan::default();
    let constants = plate::constants::Constants::default();
    let dust = plate::dust::land(&plan.dust, &constants.dust);
    let baked = plate::bake::bake(&plan.bake, plan.plate.thickness_mm, &constants.bake);
    let ground = Ground::new(&dust, &baked, 1);
    let mut bench = MeltScratch::default();
    let (start, mut domes, mut area, mut best) = (Instant::now(), 0, 0.0, f64::INFINITY);
    for iy in 0..tiles {
        for ix in 0..tiles {
            let began = Instant::now();
            let tile = ground.tile_with(ix, iy, &mut bench);
            best = best.min(began.elapsed().as_secs_f64());
            domes += tile.domes.len();
            area += tile
                .domes
                .iter()
                .map(|dome| f64::from(dome.radius_um * dome.radius_um))
                .sum::<f64>();
        }
    }
    let seconds = start.elapsed().as_secs_f64();
    let mm2 = ground.tile_um() * ground.tile_um() * 1e-6 * f64::from(tiles * tiles);
    let grains = ground.grains_per_mm2() * mm2;
    println!(
        "{} steps, scale {:.1} µm, tile {} µm, margin {} µm, largest {:.0} µm",
        baked.steps.len(),
        ground.scale_um(),
        ground.tile_um(),
        ground.margin_um(),
        ground.largest_um()
    );
    println!(
        "{:.0} grains/mm², {:.1} domes/mm², cover {:.4}, {:.2} ms a tile, {:.1} ns a landed grain (fastest tile {:.1})",
        ground.grains_per_mm2(),
        f64::from(domes as u32) / mm2,
        area * std::f64::consts::PI * 1e-6 / mm2,
        seconds * 1e3 / f64::from(tiles * tiles),
        seconds * 1e9 / grains,
        best * 1e9 / grains * f64::from(tiles * tiles)
    );
}
