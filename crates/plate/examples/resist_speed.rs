//! Times the kernels from domes to depth, on one core: `cargo run --release --example resist_speed`.
//!
//! A window of 1024 × 1024 pixels of 5 µm under separate discs of 46 µm at about half cover, and
//! the same number of discs thrown at random for the overlapping ground.

use plate::bite::{CreepScratch, DepthCurve, creep_under_varnish, depth_field};
use plate::ground::Dome;
use plate::resist::{BoundedScratch, ResistScratch, bounded_distance_px, distance_under_resin};
use std::time::Instant;

const SIDE_PX: usize = 1024;
const PX_UM: f32 = 5.0;
const REACH_UM: f32 = 35.0;

/// Numbers spread evenly over 0–1 (Weyl's sequence), enough to scatter discs for a timing.
struct Scatter(f64);

impl Scatter {
    fn next(&mut self) -> f32 {
        self.0 = (self.0 * 16807.0) % 2_147_483_647.0;
        (self.0 / 2_147_483_647.0) as f32
    }
}

fn scattered(separate: bool, cover: f32) -> Vec<Dome> {
    let side_um = SIDE_PX as f32 * PX_UM;
    let mut scatter = Scatter(7.0);
    let mut domes: Vec<Dome> = Vec::new();
    let mut covered = 0.0;
    let mut tries = 0;
    // In order of place, as a ground lays them.
    while covered < cover * side_um * side_um && tries < 2_000_000 {
        tries += 1;
        let dome = Dome {
            x_um: scatter.next() * side_um,
            y_um: scatter.next() * side_um,
            radius_um: 14.0 + 18.0 * scatter.next(),
        };
        let crosses = |other: &Dome| {
            let (dx, dy) = (dome.x_um - other.x_um, dome.y_um - other.y_um);
            let sum = dome.radius_um + other.radius_um;
            dx * dx + dy * dy < sum * sum
        };
        if !separate || !domes.iter().any(crosses) {
            covered += std::f32::consts::PI * dome.radius_um * dome.radius_um;
            domes.push(dome);
        }
    }
    domes.sort_by(|a, b| {
        let strip = |d: &Dome| (d.y_um / 320.0) as i32;
        strip(a).cmp(&strip(b)).then(a.x_um.total_cmp(&b.x_um))
    });
    domes
}

/// Least time of several runs, ns per pixel.
fn ns_per_px(mut run: impl FnMut()) -> f64 {
    let mut least = f64::MAX;
    for _ in 0..15 {
        let start = Instant::now();
        run();
        least = least.min(start.elapsed().as_secs_f64());
    }
    least * 1e9 / (SIDE_PX * SIDE_PX) as f64
}

#[allow(clippy::print_stdout, reason = "a timing prints its figures")]
fn main() {
    let pixels = SIDE_PX * SIDE_PX;
    let separate = scattered(true, 0.50);
    let crossing = scattered(false, 0.72);
    let (mut scratch, mut under, mut depth) = (ResistScratch::default(), Vec::new(), Vec::new());
    let lay = |domes: &[Dome], overlapping, scratch: &mut _, out: &mut _| {
        distance_under_resin(domes, overlapping, SIDE_PX, SIDE_PX, PX_UM, REACH_UM, scratch, out);
    };
    let ns = ns_per_px(|| lay(&crossing, true, &mut scratch, &mut under));
    println!("distance, overlapping: {} discs, {ns:.2} ns/px", crossing.len());
    let ns = ns_per_px(|| lay(&separate, true, &mut scratch, &mut under));
    println!("distance, separate discs as if overlapping: {ns:.2} ns/px");
    let ns = ns_per_px(|| lay(&separate, false, &mut scratch, &mut under));
    let cover = under.iter().filter(|&&s| s > 0.0).count() as f64 / pixels as f64;
    println!("distance, separate: {} discs, cover {cover:.3}, {ns:.2} ns/px", separate.len());

    let covered: Vec<u8> = under.iter().map(|&s| u8::from(s > 0.0)).collect();
    let (mut bounded, mut px) = (BoundedScratch::default(), Vec::new());
    for bound in [8, 16, 32] {
        let ns = ns_per_px(|| {
            bounded_distance_px(&covered, SIDE_PX, SIDE_PX, bound, &mut bounded, &mut px);
        });
        println!("bounded transform, {bound} px: {ns:.2} ns/px");
    }

    let dose_um = [0.0, 0.8, 2.4, 4.8, 7.2, 10.4, 14.4, 19.2];
    let curves: Vec<DepthCurve> =
        dose_um.iter().map(|&dose| DepthCurve::new(dose, 1.0, PX_UM)).collect();
    let one = vec![7; pixels];
    let ns = ns_per_px(|| depth_field(&under, &one, &curves, &mut depth));
    println!("depth, one value: {ns:.2} ns/px");
    let areas: Vec<u8> =
        (0..pixels).map(|i| ((i % SIDE_PX / 128 + i / SIDE_PX / 128) % 8) as u8).collect();
    let ns = ns_per_px(|| depth_field(&under, &areas, &curves, &mut depth));
    println!("depth, areas of 128 px: {ns:.2} ns/px");
    let mut creep = CreepScratch::default();
    let ns = ns_per_px(|| {
        creep_under_varnish(
            &under, &one, &dose_um, PX_UM, 1.0, SIDE_PX, SIDE_PX, &mut creep, &mut depth,
        );
    });
    println!("creep, one value: {ns:.2} ns/px");
    let ns = ns_per_px(|| {
        creep_under_varnish(
            &under, &areas, &dose_um, PX_UM, 1.0, SIDE_PX, SIDE_PX, &mut creep, &mut depth,
        );
    });
    println!("creep, areas of 128 px: {ns:.2} ns/px");
    let halves: Vec<u8> = (0..pixels).map(|i| if i % SIDE_PX < 500 { 7 } else { 3 }).collect();
    let ns = ns_per_px(|| {
        creep_under_varnish(
            &under, &halves, &dose_um, PX_UM, 1.0, SIDE_PX, SIDE_PX, &mut creep, &mut depth,
        );
    });
    println!("creep, one border down the middle: {ns:.2} ns/px");
}
