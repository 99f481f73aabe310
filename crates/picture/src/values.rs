//! Which value goes where on the plate.

use crate::tone::ToneMap;
use plan::Crop;

/// Bytes of lightness for one L*.
const BYTES_PER_L: f64 = 2.55;
/// More than interpolating bytes in `f32` can round away, less than any step of a threshold.
const ROUNDING: f32 = 1e-3;
/// Pixels judged at a time.
const CHUNK: usize = 16;
/// Pixels gathered at a time where the picture's pixels are small.
const BLOCK: usize = 64;
/// Pixels between two tones above which a row is judged tone by tone instead of pixel by pixel.
const LONG_RUN: usize = 12;
/// Mark of a stretch of pixels that may hold several values.
const SEVERAL: u8 = u8::MAX;

/// A picture laid on a plate, with the thresholds that part its tones into values.
///
/// The lightness at a place is interpolated bilinearly between the middles of the picture's pixels
/// (edge pixels reach to infinity) and *then* compared with the thresholds, so borders between
/// values are smooth however far one zooms in. Value 0 is paper; value `k` means that `k`
/// thresholds lie at or above the lightness.
///
/// Every pixel's value depends on its own place only, in fixed `f64` and `f32` arithmetic: two
/// windows on the same raster agree bit for bit, natively and in the browser.
#[derive(Clone, Debug)]
pub struct ValueMap<'a> {
    tones: &'a ToneMap,
    /// Part of the map that lies on the plate.
    crop: Crop,
    /// Thresholds in bytes of lightness, descending.
    thresholds: Vec<f32>,
    plate_width_um: f64,
    plate_height_um: f64,
}

/// A place along one side of the picture: between the middles of pixels `index` and `index + 1`.
#[derive(Clone, Copy)]
struct Place {
    index: usize,
    part: f32,
}

/// Neighbouring pixels of a row that lie between the same two tones.
struct Run {
    from: usize,
    until: usize,
    index: usize,
    /// The run's value, or [`SEVERAL`].
    value: u8,
}

impl<'a> ValueMap<'a> {
    /// Lays the crop of a picture over a whole plate; `tones` has at least that part of it.
    ///
    /// `thresholds_l` as in [`plan::Picture`]: L* 0–100, descending, at most 254 of them. The plate
    /// is `plate_width_mm` × `plate_height_mm` as printed. The plan's own check covers the limits.
    #[must_use]
    pub fn new(
        tones: &'a ToneMap,
        crop: Crop,
        thresholds_l: &[f64],
        plate_width_mm: f64,
        plate_height_mm: f64,
    ) -> Self {
        let thresholds = thresholds_l.iter().map(|level| (level * BYTES_PER_L) as f32).collect();
        Self {
            tones,
            crop: tones.crop(crop),
            thresholds,
            plate_width_um: plate_width_mm * 1000.0,
            plate_height_um: plate_height_mm * 1000.0,
        }
    }

    /// Number of values beside the paper.
    #[must_use]
    pub fn values(&self) -> usize {
        self.thresholds.len()
    }

    /// The value at a place of the print, µm from the plate's top left; beyond the plate's edge the
    /// edge goes on.
    #[must_use]
    pub fn value_at(&self, x_um: f64, y_um: f64) -> u8 {
        let (column, row) = (self.column(x_um), self.row(y_um));
        let tone = |index| self.tone_between_rows(index, row);
        let (left, right) = (tone(column.index), tone(column.index + 1));
        self.passed(left + column.part * (right - left))
    }

    /// The values of a raster of square pixels, each judged at its middle.
    ///
    /// `left_um` and `top_um` place the raster's top left corner; give them as a whole number of
    /// pixels times `px_um`, then overlapping windows agree exactly. With `mirrored` the raster
    /// lies on the copper (x from the left of its bitten face) and each pixel is judged where it
    /// prints: at the plate's width less x.
    ///
    /// Writes `width` × `height` values row by row over `out`; true when they are all the same.
    #[expect(clippy::too_many_arguments, reason = "a raster is five plain numbers")]
    pub fn fill(
        &self,
        left_um: f64,
        top_um: f64,
        px_um: f32,
        width: usize,
        height: usize,
        mirrored: bool,
        out: &mut Vec<u8>,
    ) -> bool {
        let px_um = f64::from(px_um);
        let columns: Vec<Place> = (0..width)
            .map(|i| {
                let x_um = left_um + (i as f64 + 0.5) * px_um;
                self.column(if mirrored { self.plate_width_um - x_um } else { x_um })
            })
            .collect();
        let rows: Vec<Place> =
            (0..height).map(|j| self.row(top_um + (j as f64 + 0.5) * px_um)).collect();
        self.raster(&columns, &rows, out)
    }

    /// The whole plate as printed in `width_px` × `height_px` values, row by row.
    #[must_use]
    pub fn coarse(&self, width_px: usize, height_px: usize) -> Vec<u8> {
        let middles = |count: usize, length_um: f64| {
            (0..count).map(move |i| (i as f64 + 0.5) / count as f64 * length_um)
        };
        let columns: Vec<Place> =
            middles(width_px, self.plate_width_um).map(|x| self.column(x)).collect();
        let rows: Vec<Place> =
            middles(height_px, self.plate_height_um).map(|y| self.row(y)).collect();
        let mut out = Vec::new();
        self.raster(&columns, &rows, &mut out);
        out
    }

    /// Share of the plate (0–1) of the paper and of each value: one more than the thresholds,
    /// summing to 1. Counts the picture's pixels whose middle lies in the crop.
    #[must_use]
    pub fn area_shares(&self) -> Vec<f64> {
        let counts = histogram_of_part(self.tones, self.crop);
        let total: u64 = counts.iter().sum();
        let mut shares = vec![0_u64; self.thresholds.len() + 1];
        for (tone, count) in counts.iter().enumerate() {
            shares[self.passed(tone as f32) as usize] += count;
        }
        shares.iter().map(|share| *share as f64 / total as f64).collect()
    }

    fn column(&self, x_um: f64) -> Place {
        let part = (x_um / self.plate_width_um).clamp(0.0, 1.0);
        place(self.crop.left + part * self.crop.width, self.tones.width)
    }

    fn row(&self, y_um: f64) -> Place {
        let part = (y_um / self.plate_height_um).clamp(0.0, 1.0);
        place(self.crop.top + part * self.crop.height, self.tones.height)
    }

    fn tone(&self, column: usize, row: usize) -> u8 {
        let column = column.min(self.tones.width - 1);
        let row = row.min(self.tones.height - 1);
        self.tones.lightness[row * self.tones.width + column]
    }

    /// Tone of a picture column at a place between two rows, in bytes.
    fn tone_between_rows(&self, column: usize, row: Place) -> f32 {
        let above = f32::from(self.tone(column, row.index));
        let below = f32::from(self.tone(column, row.index + 1));
        above + row.part * (below - above)
    }

    /// How many thresholds lie at or above a tone: its value.
    fn passed(&self, tone: f32) -> u8 {
        self.thresholds.iter().map(|threshold| u8::from(tone <= *threshold)).sum()
    }

    /// Thresholds that may part tones between two others: fewest and most passed.
    fn passed_between(&self, a: f32, b: f32) -> (u8, u8) {
        // Equal tones interpolate exactly; others may round past the end by a hair.
        let slack = if a == b { 0.0 } else { ROUNDING };
        (self.passed(a.max(b) + slack), self.passed(a.min(b) - slack))
    }

    fn raster(&self, columns: &[Place], rows: &[Place], out: &mut Vec<u8>) -> bool {
        let (width, height) = (columns.len(), rows.len());
        // Whatever it held is written over.
        out.resize(width * height, 0);
        if width == 0 || height == 0 {
            return true;
        }
        let span = |places: &[Place]| {
            let least = places.iter().map(|place| place.index).min().unwrap_or(0);
            let most = places.iter().map(|place| place.index).max().unwrap_or(0);
            (least, most + 1)
        };
        let (first_column, last_column) = span(columns);
        let (first_row, last_row) = span(rows);
        let tone_columns = last_column - first_column + 1;
        let tone_rows = last_row - first_row + 1;
        // Wide pixels of the picture: look whether the whole raster is one value.
        if tone_columns * tone_rows * 4 < width * height {
            let (mut least, mut most) = (u8::MAX, 0);
            for row in first_row..=last_row {
                for column in first_column..=last_column {
                    let tone = self.tone(column, row);
                    (least, most) = (least.min(tone), most.max(tone));
                }
            }
            let (fewest, most) = self.passed_between(f32::from(least), f32::from(most));
            if fewest == most {
                out.fill(fewest);
                return true;
            }
        }
        let parts: Vec<f32> = columns.iter().map(|place| place.part).collect();
        if tone_columns * LONG_RUN <= width {
            self.raster_by_runs(columns, &parts, rows, out);
        } else {
            self.raster_by_pixels(columns, first_column, tone_columns, rows, out);
        }
        let one = out[0];
        out.chunks(256).all(|chunk| chunk.iter().fold(0, |differ, v| differ | (v ^ one)) == 0)
    }

    /// For pixels much smaller than the picture's: whole stretches between two tones at once.
    fn raster_by_runs(&self, columns: &[Place], parts: &[f32], rows: &[Place], out: &mut [u8]) {
        let mut runs: Vec<Run> = Vec::new();
        for (i, place) in columns.iter().enumerate() {
            match runs.last_mut() {
                Some(run) if run.index == place.index => run.until = i + 1,
                _ => runs.push(Run { from: i, until: i + 1, index: place.index, value: SEVERAL }),
            }
        }
        let mut row_index = None;
        for (row, line) in rows.iter().zip(out.chunks_exact_mut(columns.len())) {
            if row_index != Some(row.index) {
                row_index = Some(row.index);
                for run in &mut runs {
                    run.value = self.value_of_cell(run.index, row.index);
                }
            }
            for run in &runs {
                let line = &mut line[run.from..run.until];
                if run.value != SEVERAL {
                    line.fill(run.value);
                    continue;
                }
                let left = self.tone_between_rows(run.index, *row);
                let right = self.tone_between_rows(run.index + 1, *row);
                let (fewest, most) = self.passed_between(left, right);
                if fewest == most {
                    line.fill(fewest);
                } else {
                    let between = &self.thresholds[fewest as usize..most as usize];
                    let step = right - left;
                    judge(&parts[run.from..run.until], left, step, fewest, between, line);
                }
            }
        }
    }

    /// The value of everything between four neighbouring tones, or [`SEVERAL`].
    fn value_of_cell(&self, column: usize, row: usize) -> u8 {
        let tones = [(0, 0), (1, 0), (0, 1), (1, 1)].map(|(x, y)| self.tone(column + x, row + y));
        let least = tones.iter().fold(u8::MAX, |least, tone| least.min(*tone));
        let most = tones.iter().fold(0, |most, tone| most.max(*tone));
        let (fewest, most) = self.passed_between(f32::from(least), f32::from(most));
        if fewest == most { fewest } else { SEVERAL }
    }

    /// For pixels about as large as the picture's, or larger.
    fn raster_by_pixels(
        &self,
        columns: &[Place],
        first_column: usize,
        tone_columns: usize,
        rows: &[Place],
        out: &mut [u8],
    ) {
        // Each tone of the row with the step to its right neighbour; the last column repeats.
        let mut tones = vec![(0.0_f32, 0.0_f32); tone_columns];
        let places: Vec<(u32, f32)> =
            columns.iter().map(|place| ((place.index - first_column) as u32, place.part)).collect();
        for (row, line) in rows.iter().zip(out.chunks_exact_mut(columns.len())) {
            let above = self.tones.width * row.index;
            let below = self.tones.width * (row.index + 1).min(self.tones.height - 1);
            let present = tone_columns.min(self.tones.width - first_column);
            let above = &self.tones.lightness[above + first_column..][..present];
            let below = &self.tones.lightness[below + first_column..][..present];
            for ((tone, above), below) in tones.iter_mut().zip(above).zip(below) {
                let above = f32::from(*above);
                tone.0 = above + row.part * (f32::from(*below) - above);
            }
            if present < tone_columns {
                tones[present] = tones[present - 1];
            }
            for i in 1..tones.len() {
                tones[i - 1].1 = tones[i].0 - tones[i - 1].0;
            }
            for (places, line) in places.chunks(BLOCK).zip(line.chunks_mut(BLOCK)) {
                let mut block = [0.0_f32; BLOCK];
                for (at, (index, part)) in block.iter_mut().zip(places) {
                    let (tone, step) = tones[*index as usize];
                    *at = tone + *part * step;
                }
                let (first, last) = (places[0].0 as usize, places[places.len() - 1].0 as usize);
                let touched = &tones[first.min(last)..first.max(last) + 2];
                let least =
                    touched.iter().fold(f32::INFINITY, |l, t| if t.0 < l { t.0 } else { l });
                let most = touched.iter().fold(0.0, |m, t| if t.0 > m { t.0 } else { m });
                let (fewest, most) = self.passed_between(least, most);
                if fewest == most {
                    line.fill(fewest);
                } else {
                    let between = &self.thresholds[fewest as usize..most as usize];
                    judge(&block[..line.len()], 0.0, 1.0, fewest, between, line);
                }
            }
        }
    }
}

/// Judges a row of tones `first + part × step` against the thresholds that matter there.
fn judge(parts: &[f32], first: f32, step: f32, fewest: u8, thresholds: &[f32], out: &mut [u8]) {
    let whole = parts.len() - parts.len() % CHUNK;
    let (chunks, rest) = parts.split_at(whole);
    let (out_chunks, out_rest) = out.split_at_mut(whole);
    for (parts, out) in chunks.chunks_exact(CHUNK).zip(out_chunks.chunks_exact_mut(CHUNK)) {
        let mut tones = [0.0_f32; CHUNK];
        for (tone, part) in tones.iter_mut().zip(parts) {
            *tone = first + part * step;
        }
        let mut passed = [i32::from(fewest); CHUNK];
        for threshold in thresholds {
            for (passed, tone) in passed.iter_mut().zip(&tones) {
                *passed += i32::from(*tone <= *threshold);
            }
        }
        for (out, passed) in out.iter_mut().zip(&passed) {
            *out = *passed as u8;
        }
    }
    for (part, out) in rest.iter().zip(out_rest) {
        let tone = first + part * step;
        *out = fewest + thresholds.iter().map(|t| u8::from(tone <= *t)).sum::<u8>();
    }
}

/// A place at a fraction of a side of `count` pixels.
fn place(fraction: f64, count: usize) -> Place {
    let along = (fraction * count as f64 - 0.5).clamp(0.0, (count - 1) as f64);
    let index = (along as usize).min(count.saturating_sub(2));
    Place { index, part: (along - index as f64) as f32 }
}

/// Number of pixels of each byte of lightness whose middle lies in a crop of the picture (at least one
/// pixel).
pub(crate) fn cropped_histogram(tones: &ToneMap, crop: Crop) -> [u64; 256] {
    histogram_of_part(tones, tones.crop(crop))
}

/// The same for a part of the map itself.
fn histogram_of_part(tones: &ToneMap, crop: Crop) -> [u64; 256] {
    let span = |from: f64, size: f64, count: usize| {
        let edge = |at: f64| libm::floor(at * count as f64 + 0.5).clamp(0.0, count as f64) as usize;
        let first = edge(from).min(count - 1);
        (first, edge(from + size).max(first + 1))
    };
    let (left, right) = span(crop.left, crop.width, tones.width);
    let (top, bottom) = span(crop.top, crop.height, tones.height);
    let mut counts = [0_u64; 256];
    for row in top..bottom {
        let line = &tones.lightness[row * tones.width..][left..right];
        for tone in line {
            counts[*tone as usize] += 1;
        }
    }
    counts
}
