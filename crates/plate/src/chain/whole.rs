//! The whole proof: a first true pass at once, then every grain, tile by tile.

use super::Looking;
use super::place::{clipped, mirrored, turn_over};
use super::window::soft_doses;
use crate::grid::Grid;
use crate::light;

/// Steps of the curve from dose to tone in a first pass with soft gradations.
const CURVE_STEPS: usize = 24;

/// Rows of a first pass that are worked out together.
const BAND_ROWS: usize = 64;

/// One tile of the proof at full grain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TileRequest {
    /// Left edge on the print, in output pixels.
    pub left_out: i64,
    /// Top edge on the print, in output pixels.
    pub top_out: i64,
    /// Columns of output pixels.
    pub width_out: usize,
    /// Rows of output pixels.
    pub height_out: usize,
    /// Size of an output pixel, µm.
    pub out_um: f64,
    /// Wanted size of a pixel of grain, µm; the nearest size that divides an output pixel is used.
    pub px_um: f64,
}

impl Looking<'_> {
    /// The whole print in `width` × `height` pixels: each has the mean reflectance of its value on this
    /// ground, printed from simulated grain. Grey 8-bit sRGB, row by row from the print's top left.
    pub fn first_pass(&mut self, width: usize, height: usize) -> Vec<u8> {
        let (mut grey, grid) = self.first_pass_of_tones(width, height);
        self.lines_in_first_pass(&grid, &mut grey);
        grey
    }

    /// Which value each pixel of such a first pass has in its middle (0 is the paper), row by row from the print's
    /// top left. Gradations, lines and what tools have done do not show in it.
    #[must_use]
    pub fn values_in_first_pass(&self, width: usize, height: usize) -> Vec<u8> {
        let px_um = self.plate.plan().plate.width_mm * 1000.0 / width.max(1) as f64;
        let grid = Grid { left_px: 0, top_px: 0, width, height, px_um: px_um as f32 };
        let mut values = Vec::new();
        self.plate.picture().fill(&grid, &mut values);
        turn_over(&mut values, width);
        values
    }

    /// The same without lines, and the raster on the copper that it was taken from.
    fn first_pass_of_tones(&mut self, width: usize, height: usize) -> (Vec<u8>, Grid) {
        let plate = self.plate;
        let plate_width_um = plate.plan().plate.width_mm * 1000.0;
        let out_um = plate_width_um / width.max(1) as f64;
        // Two samples each way inside an output pixel soften the borders between values.
        let grid = Grid {
            left_px: 0,
            top_px: 0,
            width: 2 * width,
            height: 2 * height,
            px_um: (out_um / 2.0) as f32,
        };
        let mut dose_um = Vec::new();
        if self.doses_of_first_pass(&grid, &mut dose_um) {
            return (self.soft_first_pass(&grid, &dose_um), grid);
        }
        let plain = self.plain_tones();
        let encode = light::Srgb8Table::shared();
        let mut grey = vec![0; width * height];
        // Band by band, so that no more than a band's tones are held; what is worked on the copper is
        // sorted out only once.
        let rows = if self.line.is_worked() { height.max(1) } else { BAND_ROWS };
        for (index, band) in grey.chunks_mut(rows * width.max(1)).enumerate() {
            let top_px = (2 * rows * index) as i64;
            let tones =
                self.tones(&Grid { top_px, height: 2 * (band.len() / width), ..grid }, &plain);
            for (row, line) in band.chunks_mut(width).enumerate() {
                let above = &tones[2 * row * grid.width..][..grid.width];
                let below = &tones[(2 * row + 1) * grid.width..][..grid.width];
                // The copper's last column prints first.
                for (column, pixel) in line.iter_mut().rev().enumerate() {
                    let i = 2 * column;
                    let sum = above[i] + above[i + 1] + below[i] + below[i + 1];
                    *pixel = encode.encode(0.25 * sum);
                }
            }
        }
        (grey, grid)
    }

    /// Dose of every pixel of a raster where gradations or faults of the bath make it another than its value's.
    fn doses_of_first_pass(&self, grid: &Grid, dose_um: &mut Vec<f32>) -> bool {
        let plate = self.plate;
        let doses_um = &plate.session().dose_um;
        let soft = soft_doses(plate, grid, doses_um, doses_um.len() - 1, dose_um);
        let Some(mut uneven) = plate.faults().bath.factor(grid) else { return soft };
        if !soft {
            let mut value = Vec::new();
            plate.bitten_values(grid, &mut value);
            dose_um.clear();
            dose_um.extend(value.iter().map(|&value| doses_um[usize::from(value)] as f32));
        }
        let mut factor = vec![0.0; grid.width];
        for (y, row) in dose_um.chunks_exact_mut(grid.width).enumerate() {
            let there = uneven.row(y, &mut factor);
            let places = row[there.clone()].iter_mut();
            places.zip(&factor[there]).for_each(|(um, factor)| *um *= *factor);
        }
        true
    }

    /// Mean reflectance of every pixel of a raster on the copper, from its value with its
    /// [`Looking::plain_tones`] and what has been done to it since.
    fn tones(&mut self, grid: &Grid, plain: &[f32]) -> Vec<f32> {
        let mut value = Vec::new();
        self.plate.bitten_values(grid, &mut value);
        let plain = value.iter().map(|&value| plain[usize::from(value)]);
        match self.work_ratios(grid, &value) {
            Some(ratios) => plain.zip(ratios).map(|(tone, ratio)| tone * ratio).collect(),
            None => plain.collect(),
        }
    }

    /// Mean reflectance of the values, as the first bites leave them.
    fn plain_tones(&mut self) -> Vec<f32> {
        let doses_um = &self.plate.session().dose_um;
        doses_um.iter().map(|&dose_um| self.swatch(dose_um).reflectance as f32).collect()
    }

    /// The same with soft gradations: each sample's reflectance from its dose, on a curve of printed
    /// doses from nothing to the deepest. Work done since changes it as it would the value bitten most
    /// nearly as deep; where later bites ask for its own value, as it would that.
    fn soft_first_pass(&mut self, grid: &Grid, dose_um: &[f32]) -> Vec<u8> {
        let (width, height) = (grid.width / 2, grid.height / 2);
        let mut value = Vec::new();
        self.plate.picture().fill(grid, &mut value);
        if self.later_grounds() == 0 {
            let doses_um = &self.plate.session().dose_um;
            let off = |value: usize, dose: f32| (doses_um[value] - f64::from(dose)).abs();
            for (value, &dose) in value.iter_mut().zip(dose_um) {
                let nearer = |a: usize, b: usize| if off(b, dose) < off(a, dose) { b } else { a };
                *value = (1..doses_um.len()).fold(0, nearer) as u8;
            }
        }
        let ratios = self.work_ratios(grid, &value);
        let deepest = dose_um.iter().fold(0.0_f32, |a, &b| if b > a { b } else { a }).max(1e-3);
        let step = deepest / CURVE_STEPS as f32;
        let curve: Vec<f32> = (0..=CURVE_STEPS)
            .map(|i| self.swatch(f64::from(step * i as f32)).reflectance as f32)
            .collect();
        let tone = |at: usize| {
            let along = dose_um[at] / step;
            let i = (along as usize).min(CURVE_STEPS - 1);
            let soft = curve[i] + (along - i as f32) * (curve[i + 1] - curve[i]);
            ratios.as_ref().map_or(soft, |ratios| soft * ratios[at])
        };
        let encode = light::Srgb8Table::shared();
        let mut grey = vec![0; width * height];
        for (row, line) in grey.chunks_mut(width.max(1)).enumerate() {
            let (above, below) = (2 * row * grid.width, (2 * row + 1) * grid.width);
            for (column, pixel) in line.iter_mut().rev().enumerate() {
                let i = 2 * column;
                let sum =
                    tone(above + i) + tone(above + i + 1) + tone(below + i) + tone(below + i + 1);
                *pixel = encode.encode(0.25 * sum);
            }
        }
        grey
    }

    /// One tile of the proof, each output pixel the linear-light mean of all grain under it.
    /// Reflectance 0–1, `width_out` × `height_out`, row by row as printed; bare paper off the plate.
    pub fn tile(&mut self, tile: &TileRequest) -> Vec<f32> {
        let per_out = libm::round(tile.out_um / tile.px_um).max(1.0) as usize;
        let grid = Grid {
            left_px: tile.left_out * per_out as i64,
            top_px: tile.top_out * per_out as i64,
            width: tile.width_out * per_out,
            height: tile.height_out * per_out,
            px_um: (tile.out_um / per_out as f64) as f32,
        };
        let size_px = self.plate.size_px(grid.px_um);
        let copper = mirrored(&grid, size_px.0);
        let there = clipped(&copper, size_px);
        let mut means = Means::new(grid.width, per_out);
        // Off the plate it shows bare paper.
        let bare = vec![self.plate.plan().paper.reflectance as f32; grid.width];
        let above = (there.top_px - copper.top_px) as usize;
        for _ in 0..above {
            means.add(&bare);
        }
        let mut line = bare.clone();
        let left = (there.left_px - copper.left_px) as usize;
        self.print_by_strips(&there, &mut |row| {
            if row.len() == line.len() {
                means.add(row);
            } else {
                line[left..left + row.len()].copy_from_slice(row);
                means.add(&line);
            }
        });
        for _ in above + there.height..copper.height {
            means.add(&bare);
        }
        let mut means = means.done;
        means.chunks_exact_mut(tile.width_out).for_each(<[f32]>::reverse);
        means
    }

    /// The same as grey 8-bit sRGB.
    pub fn tile_srgb8(&mut self, tile: &TileRequest) -> Vec<u8> {
        let encode = light::Srgb8Table::shared();
        self.tile(tile).iter().map(|&reflectance| encode.encode(reflectance)).collect()
    }
}

/// Means of square blocks of `side` pixels; the raster is a whole number of blocks.
pub(super) fn mean_of_blocks(pixels: &[f32], width: usize, side: usize) -> Vec<f32> {
    let mut means = Means::new(width, side);
    for row in pixels.chunks_exact(width) {
        means.add(row);
    }
    means.done
}

/// The same of rows that come one by one.
struct Means {
    side: usize,
    /// Sums down the columns of the blocks at hand, and of how many rows.
    down: Vec<f32>,
    rows: usize,
    done: Vec<f32>,
}

impl Means {
    /// For rows of `width` pixels.
    fn new(width: usize, side: usize) -> Self {
        Self { side, down: vec![0.0; width], rows: 0, done: Vec::new() }
    }

    fn add(&mut self, row: &[f32]) {
        // Down first: that runs along the rows, many pixels at a time.
        for (sum, &pixel) in self.down.iter_mut().zip(row) {
            *sum += pixel;
        }
        self.rows += 1;
        if self.rows == self.side {
            let scale = 1.0 / (self.side * self.side) as f32;
            let blocks = self.down.chunks_exact(self.side);
            self.done.extend(blocks.map(|block| block.iter().sum::<f32>() * scale));
            self.down.fill(0.0);
            self.rows = 0;
        }
    }
}
