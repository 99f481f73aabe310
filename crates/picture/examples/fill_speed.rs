//! Times reading pictures, laying values on a raster, and drawing the harbour.
//!
//! `cargo run -p picture --example fill_speed --release`

use picture::{ToneMap, ValueMap, harbour};
use std::fmt::Write as _;
use std::time::Instant;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut told = String::new();
    let best = |work: &mut dyn FnMut()| {
        (0..7).fold(f64::INFINITY, |best, _| {
            let start = Instant::now();
            work();
            best.min(start.elapsed().as_secs_f64())
        })
    };
    let drawn = best(&mut || drop(harbour(900, 1200)));
    writeln!(told, "harbour 900 × 1200: {:.0} ms", drawn * 1e3)?;

    let (width, height) = (4000, 3000);
    let noisy: Vec<u8> = (0..width * height * 4)
        .map(|i: usize| (i.wrapping_mul(2_654_435_761) >> 13) as u8)
        .collect();
    let read = best(&mut || drop(ToneMap::from_rgba(&noisy, width, height)));
    writeln!(told, "12 Mpx read: {:.0} ms", read * 1e3)?;

    let plan = plan::Picture::default();
    let drawing = harbour(1200, 1600);
    let busy = ToneMap::new(3000, 4000, noisy[..12_000_000].to_vec());
    let flat = ToneMap::new(900, 1200, vec![150; 900 * 1200]);
    let mut out = Vec::new();
    for (name, tones, left_um, top_um) in [
        ("harbour, water and dinghy", &drawing, 95_000.0, 140_000.0),
        ("harbour, sky", &drawing, 40_000.0, 30_000.0),
        ("12 Mpx of noise", &busy, 40_000.0, 40_000.0),
        ("one tone", &flat, 40_000.0, 40_000.0),
    ] {
        let map = ValueMap::new(tones, plan.crop, &plan.thresholds_l, 150.0, 200.0);
        let seconds = best(&mut || {
            map.fill(left_um, top_um, 5.0, 2048, 2048, true, &mut out);
        });
        writeln!(told, "fill, {name}: {:.2} ns/px", seconds * 1e9 / (2048.0 * 2048.0))?;
    }
    std::io::Write::write_all(&mut std::io::stdout(), told.as_bytes())?;
    Ok(())
}
