//! The whole proof at any resolution: streamed row by row, computed on all cores.

use crate::{Outcome, Source, files, files::Asked};
use plate::chain::{Renderer, TileRequest};
use std::io::Write;
use std::path::Path;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

/// A tile, µm: wide enough that its margin costs little, narrow enough to stay in memory, and twice as high, since it is
/// printed in strips. The page has the same, so that both give the same bits.
const TILE_WIDTH_UM: f64 = 9_600.0;
const TILE_HEIGHT_UM: f64 = 19_200.0;
/// Micrometres in an inch.
const INCH_UM: f64 = 25_400.0;

/// Writes the proof as a grey PNG.
pub(crate) fn write(source: &Source, output: &Path, dpi: f64, px_um: f64) -> Outcome<()> {
    if !(25.0..=5080.0).contains(&dpi) {
        return Err(format!("A resolution of {dpi} dpi is out of range; choose 25 to 5080."));
    }
    if !(1.0..=25.0).contains(&px_um) {
        return Err(format!("A pixel of {px_um} µm is out of range; choose 1 to 25 µm."));
    }
    let job = Asked::read(source)?;
    let out_um = INCH_UM / dpi;
    let whole = |mm: f64| (mm * 1000.0 / out_um + 1e-6).floor() as usize;
    let (width, height) = (whole(job.plan().plate.width_mm), whole(job.plan().plate.height_mm));
    let shorter = job.plan().plate.width_mm.min(job.plan().plate.height_mm);
    let corner = job.plan().plate.corner_radius_mm.min(shorter / 2.0) * 1000.0 / out_um;
    let paper = plate::light::srgb8(job.plan().paper.reflectance);
    let in_dots = |um: f64| ((um / out_um).round() as usize).max(1);
    let (tile_width, tile_height) = (in_dots(TILE_WIDTH_UM), in_dots(TILE_HEIGHT_UM));
    let file = std::fs::File::create(output).map_err(|e| files::cannot_write(output, &e))?;
    let refuse = |e: &dyn std::fmt::Display| files::cannot_write(output, e);
    let mut encoder = picture::save::grey8_encoder(
        std::io::BufWriter::new(file),
        width as u32,
        height as u32,
        out_um,
    );
    encoder.set_compression(png::Compression::Fast);
    let mut header = encoder.write_header().map_err(|e| refuse(&e))?;
    let mut stream = header.stream_writer().map_err(|e| refuse(&e))?;

    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let mut renderers: Vec<_> = (0..cores).map(|_| Renderer::default()).collect();
    let plate = job.plate(&mut renderers[0])?;
    let columns = width.div_ceil(tile_width);
    for top_out in (0..height).step_by(tile_height) {
        let height_out = tile_height.min(height - top_out);
        let band = Mutex::new(vec![0_u8; width * height_out]);
        let next = AtomicUsize::new(0);
        std::thread::scope(|scope| {
            for renderer in &mut renderers {
                let (band, next, plate, view) = (&band, &next, &plate, &job.view);
                scope.spawn(move || {
                    loop {
                        let column = next.fetch_add(1, Ordering::Relaxed);
                        if column >= columns {
                            break;
                        }
                        let left_out = column * tile_width;
                        let width_out = tile_width.min(width - left_out);
                        let grey = renderer.look(plate, view).tile_srgb8(&TileRequest {
                            left_out: left_out as i64,
                            top_out: top_out as i64,
                            width_out,
                            height_out,
                            out_um,
                            px_um,
                        });
                        if let Ok(mut band) = band.lock() {
                            for (row, line) in grey.chunks_exact(width_out).enumerate() {
                                band[row * width + left_out..][..width_out].copy_from_slice(line);
                            }
                        }
                    }
                });
            }
        });
        let mut band = band
            .into_inner()
            .map_err(|_| "A part of the plate could not be computed.".to_owned())?;
        for (row, line) in band.chunks_exact_mut(width).enumerate() {
            let inset = corner_inset(corner, top_out + row, height).min(width);
            line[..inset].fill(paper);
            line[width - inset..].fill(paper);
        }
        stream.write_all(&band).map_err(|e| refuse(&e))?;
    }
    stream.finish().map_err(|e| refuse(&e))
}

/// Dots of bare paper at either end of a row, outside rounded corners of `radius` dots. The page's
/// `roundCorners` does the same.
fn corner_inset(radius: f64, row: usize, height: usize) -> usize {
    let from_edge = row.min(height - 1 - row) as f64;
    if from_edge >= radius {
        return 0;
    }
    let up = radius - from_edge - 0.5;
    (radius - (radius * radius - up * up).max(0.0).sqrt()).round() as usize
}

#[cfg(test)]
mod tests {
    use super::corner_inset;

    #[test]
    fn bare_paper_outside_the_corners_is_the_square_less_the_quarter_circle() {
        let (radius, height) = (40.0, 200);
        let bare: usize = (0..height).map(|row| 2 * corner_inset(radius, row, height)).sum();
        // Closed form: four corners of r² − π r²/4.
        let expected = (4.0 - std::f64::consts::PI) * radius * radius;
        assert!((bare as f64 - expected).abs() < 0.03 * expected, "{bare} dots of {expected:.0}");
        assert_eq!(corner_inset(radius, 100, height), 0, "none between the corners");
        assert_eq!(corner_inset(0.0, 0, height), 0, "none at square corners");
        assert_eq!(
            corner_inset(radius, 3, height),
            corner_inset(radius, 196, height),
            "alike below"
        );
    }
}
