//! Draws the harbour as it is, and as paper and seven flat values.
//!
//! `cargo run -p picture --example harbour --release -- FOLDER [WIDTH]`

use picture::{ToneMap, ValueMap, harbour};
use std::time::Instant;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut words = std::env::args().skip(1);
    let folder = words.next().unwrap_or_else(|| ".".to_owned());
    let width: usize = words.next().map_or(Ok(900), |word| word.parse())?;
    let height = width * 4 / 3;
    let start = Instant::now();
    let tones = harbour(width, height);
    let drawn_ms = start.elapsed().as_secs_f64() * 1000.0;
    let plan = plan::Picture::default();
    let map = ValueMap::new(&tones, plan.crop, &plan.thresholds_l, 150.0, 200.0);
    save(&format!("{folder}/harbour-tones.png"), &tones)?;
    let shown = [97.0_f64, 85.0, 74.5, 63.5, 52.5, 42.0, 32.5, 20.0];
    let flat = ToneMap::new(
        width,
        height,
        map.coarse(width, height)
            .iter()
            .map(|value| (shown[*value as usize] * 2.55) as u8)
            .collect(),
    );
    save(&format!("{folder}/harbour-values.png"), &flat)?;
    let shares: Vec<String> =
        map.area_shares().iter().map(|share| format!("{:.1}", share * 100.0)).collect();
    let told = format!("drawn in {drawn_ms:.0} ms; shares, paper first, %: {}\n", shares.join(" "));
    std::io::Write::write_all(&mut std::io::stdout(), told.as_bytes())?;
    Ok(())
}

fn save(path: &str, tones: &ToneMap) -> Result<(), Box<dyn std::error::Error>> {
    let file = std::io::BufWriter::new(std::fs::File::create(path)?);
    let mut encoder = png::Encoder::new(file, tones.width as u32, tones.height as u32);
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.write_header()?.write_image_data(&tones.to_rgba())?;
    Ok(())
}
