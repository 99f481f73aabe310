//! How much of a picture a link can carry: `miniature OUT_FOLDER [PICTURE.png …]`.
//!
//! For the harbour and each picture (8-bit grey or RGB), with suggested thresholds, prints the
//! largest miniature for several numbers of bytes and how well it stands for the picture, and
//! writes the values as printed, before and after, as PNG.

#![allow(clippy::print_stdout, reason = "an example prints")]

use picture::miniature::Miniature;
use picture::{ToneMap, ValueMap, crop_to_plate, fit_thresholds, harbour};
use std::error::Error;
use std::fs::File;
use std::path::Path;
use std::time::Instant;

const FINE_WIDTH: usize = 600;

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let folder = arguments.next().ok_or("name a folder to write to")?;
    let folder = Path::new(&folder);
    let plan = plan::Plan::default();
    show(folder, "harbour", &harbour(900, 1200), (150.0, 200.0), Some(plan.picture.thresholds_l))?;
    for path in arguments {
        let tones = read(&path)?;
        let name = Path::new(&path).file_stem().ok_or("no file")?.to_string_lossy().into_owned();
        let plate = if tones.width > tones.height { (200.0, 150.0) } else { (150.0, 150.0) };
        show(folder, &name, &tones, plate, None)?;
    }
    Ok(())
}

fn show(
    folder: &Path,
    name: &str,
    tones: &ToneMap,
    (width_mm, height_mm): (f64, f64),
    thresholds: Option<Vec<f64>>,
) -> Result<(), Box<dyn Error>> {
    let crop = crop_to_plate(tones.width, tones.height, width_mm, height_mm);
    let levels = thresholds.unwrap_or_else(|| {
        let picture = plan::Picture { crop, ..plan::Picture::default() };
        fit_thresholds(tones, &picture, &[100.0, 88.0, 75.0, 63.0, 50.0, 38.0, 25.0, 13.0])
            .thresholds_l
    });
    let (fine_w, fine_h) = (FINE_WIDTH, (FINE_WIDTH as f64 * height_mm / width_mm) as usize);
    let before = ValueMap::new(tones, crop, &levels, width_mm, height_mm).coarse(fine_w, fine_h);
    write(&folder.join(format!("{name}.png")), &before, fine_w, levels.len())?;
    for bytes in [700, 1000, 1300, 1400] {
        let start = Instant::now();
        let fitting = Miniature::fitting(tones, crop, &levels, width_mm, height_mm, bytes);
        let (miniature, code) = fitting.ok_or("nothing fits")?;
        let fitted = start.elapsed();
        let start = Instant::now();
        let back = Miniature::decode(&code)?.tones(&levels);
        let opened = start.elapsed();
        let after = ValueMap::new(&back, plan::Crop::default(), &levels, width_mm, height_mm)
            .coarse(fine_w, fine_h);
        println!(
            "{name}: {bytes} bytes: {} × {}, {} bytes, {:.2} bits a pixel; {}; made in {fitted:.1?}, opened in {opened:.1?}",
            miniature.width,
            miniature.height,
            code.len(),
            code.len() as f64 * 8.0 / miniature.values.len() as f64,
            likeness(&before, &after)
        );
        write(&folder.join(format!("{name}-{bytes}.png")), &after, fine_w, levels.len())?;
    }
    for side in [40, 48, 56, 64, 72, 80, 96, 112] {
        let m = Miniature::of(tones, crop, &levels, width_mm, height_mm, side);
        println!("{name}: side {side}: {} bytes", m.encode().len());
        std::fs::write(folder.join(format!("{name}-{}x{}.raw", m.width, m.height)), &m.values)?;
    }
    Ok(())
}

fn likeness(before: &[u8], after: &[u8]) -> String {
    let apart: Vec<u32> =
        before.iter().zip(after).map(|(a, b)| u32::from(a.abs_diff(*b))).collect();
    let mean = f64::from(apart.iter().sum::<u32>()) / apart.len() as f64;
    let same = apart.iter().filter(|d| **d == 0).count() as f64 / apart.len() as f64;
    format!("{mean:.3} values off in the mean, {:.1} % right", same * 100.0)
}

fn read(path: &str) -> Result<ToneMap, Box<dyn Error>> {
    let mut reader = png::Decoder::new(std::io::BufReader::new(File::open(path)?)).read_info()?;
    let mut pixels = vec![0; reader.output_buffer_size().ok_or("too large")?];
    let frame = reader.next_frame(&mut pixels)?;
    let channels = match frame.color_type {
        png::ColorType::Grayscale => 1,
        png::ColorType::Rgb => 3,
        _ => return Err("grey or RGB only".into()),
    };
    let rgba: Vec<u8> = pixels[..frame.buffer_size()]
        .chunks_exact(channels)
        .flat_map(|p| [p[0], p[channels / 2], p[channels - 1], 255])
        .collect();
    Ok(ToneMap::from_rgba(&rgba, frame.width as usize, frame.height as usize)?)
}

fn write(path: &Path, values: &[u8], width: usize, darkest: usize) -> Result<(), Box<dyn Error>> {
    let file = File::create(path)?;
    let mut encoder = png::Encoder::new(file, width as u32, (values.len() / width) as u32);
    encoder.set_color(png::ColorType::Grayscale);
    let grey: Vec<u8> =
        values.iter().map(|v| 245 - (usize::from(*v) * 225 / darkest) as u8).collect();
    encoder.write_header()?.write_image_data(&grey)?;
    Ok(())
}
