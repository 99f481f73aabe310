//! The whole proof at any resolution: streamed row by row, computed on all cores.

use crate::{Outcome, Source, files, files::Asked};
use plate::chain::{Renderer, TileRequest};
use std::collections::VecDeque;
use std::io::Write;
use std::path::Path;
use std::sync::{Mutex, mpsc};

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
    let to_do = Mutex::new(ToDo::new(columns, height.div_ceil(tile_height)));
    std::thread::scope(|scope| {
        let (sender, done) = mpsc::channel();
        for (core, renderer) in renderers.iter_mut().enumerate() {
            let (sender, to_do, plate, view) = (sender.clone(), &to_do, &plate, &job.view);
            scope.spawn(move || {
                let mut column = core * (columns - 1) / (cores - 1).max(1);
                while let Some(tile) = to_do.lock().ok().and_then(|mut all| all.next(column)) {
                    column = tile.column;
                    let (left_out, top_out) = (column * tile_width, tile.band * tile_height);
                    let grey = renderer.look(plate, view).tile_srgb8(&TileRequest {
                        left_out: left_out as i64,
                        top_out: top_out as i64,
                        width_out: tile_width.min(width - left_out),
                        height_out: tile_height.min(height - top_out),
                        out_um,
                        px_um,
                    });
                    if sender.send((tile, grey)).is_err() {
                        break;
                    }
                }
            });
        }
        drop(sender);
        // Written while the next band is being worked out, which may be begun before this one is whole.
        let mut bands: VecDeque<Band> = VecDeque::new();
        for top_out in (0..height).step_by(tile_height) {
            let band = top_out / tile_height;
            while bands.front().is_none_or(|front| front.missing > 0) {
                let (tile, grey) =
                    done.recv().map_err(|_| "A part of the plate could not be computed.")?;
                for next in band + bands.len()..=tile.band {
                    let height_out = tile_height.min(height - next * tile_height);
                    bands.push_back(Band { dots: vec![0; width * height_out], missing: columns });
                }
                bands[tile.band - band].lay(&grey, tile.column * tile_width, tile_width, width);
            }
            let Some(Band { mut dots, .. }) = bands.pop_front() else { break };
            for (row, line) in dots.chunks_exact_mut(width).enumerate() {
                let inset = corner_inset(corner, top_out + row, height).min(width);
                line[..inset].fill(paper);
                line[width - inset..].fill(paper);
            }
            stream.write_all(&dots).map_err(|e| refuse(&e))?;
        }
        Ok::<_, String>(())
    })?;
    stream.finish().map_err(|e| refuse(&e))
}

/// A tile of the proof, by its place.
struct Tile {
    column: usize,
    band: usize,
}

/// Tiles that nobody has begun, band by band from the top.
struct ToDo {
    band: usize,
    bands: usize,
    /// Which columns of the band are still to be begun.
    open: Vec<bool>,
}

impl ToDo {
    fn new(columns: usize, bands: usize) -> Self {
        Self { band: 0, bands, open: vec![true; columns] }
    }

    /// The next tile for whoever had one in this column: the nearest, so that it finds the ground again that it has laid.
    fn next(&mut self, last_column: usize) -> Option<Tile> {
        if !self.open.contains(&true) {
            self.band += 1;
            self.open.fill(true);
        }
        let open = (0..self.open.len()).filter(|&column| self.open[column]);
        let column = open.min_by_key(|column| column.abs_diff(last_column))?;
        self.open[column] = false;
        (self.band < self.bands).then_some(Tile { column, band: self.band })
    }
}

/// Rows of the proof, as far as they are worked out.
struct Band {
    dots: Vec<u8>,
    /// Tiles that have not come yet.
    missing: usize,
}

impl Band {
    /// Lays a tile into a band so many dots wide.
    fn lay(&mut self, grey: &[u8], left: usize, tile_width: usize, width: usize) {
        let tile_width = tile_width.min(width - left);
        for (row, line) in grey.chunks_exact(tile_width).enumerate() {
            self.dots[row * width + left..][..tile_width].copy_from_slice(line);
        }
        self.missing -= 1;
    }
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
    use super::{ToDo, corner_inset};

    #[test]
    fn every_tile_is_begun_once_and_each_next_one_lies_beside_the_last() {
        let (columns, bands) = (7, 3);
        let mut to_do = ToDo::new(columns, bands);
        let mut begun = vec![0; columns * bands];
        let mut last = [0, columns - 1];
        let mut far = 0;
        for turn in 0..columns * bands {
            let who = turn % 2;
            let Some(tile) = to_do.next(last[who]) else { panic!("too few tiles") };
            begun[tile.band * columns + tile.column] += 1;
            far += usize::from(tile.column.abs_diff(last[who]) > 1);
            last[who] = tile.column;
        }
        assert!(to_do.next(0).is_none() && to_do.next(3).is_none(), "there are no more");
        assert_eq!(begun, vec![1; columns * bands]);
        // Taken in turn from the left, nearly all would lie two apart.
        assert!(3 * far < columns * bands, "{far} tiles lie apart from the one before");
    }

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
