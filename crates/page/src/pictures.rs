//! Pictures: read by bands of rows as the browser decodes them, and laid on the plate.
//!
//! Sizes and crops cross as bare numbers: a size as width and height, a crop as left, top, width and
//! height in fractions of the picture.

use crate::Workshop;
use picture::{Frame, Reading, ToneMap, Window};
use plan::Crop;
use std::sync::Arc;
use wasm_bindgen::prelude::*;

/// A picture being read. The page hands over the rows of the window and gets its tones.
///
/// Bands of rows, so that a picture of 50 megapixels never lies in the module's memory, which would
/// keep the room of its 200 MB for good.
#[wasm_bindgen]
pub struct PictureReading {
    window: Window,
    reading: Option<Reading>,
}

#[wasm_bindgen]
impl PictureReading {
    /// Begins to read a picture of `width` × `height` pixels as a crop asks for it.
    #[wasm_bindgen(constructor)]
    pub fn new(width: usize, height: usize, crop: &[f64]) -> Result<Self, String> {
        crate::report_panics();
        let window = Window::of(width.max(1), height.max(1), crop_of(crop));
        let reading = Reading::new(width, height, window).map_err(|error| error.to_string())?;
        Ok(Self { window, reading: Some(reading) })
    }

    /// The pixels that are wanted: left, top, width, height.
    pub fn window(&self) -> Vec<u32> {
        let Window { left, top, width, height, .. } = self.window;
        [left, top, width, height].map(|side| side as u32).to_vec()
    }

    /// Takes the window's next rows as RGBA bytes (not premultiplied), any number of whole ones.
    pub fn rows(&mut self, rgba: &[u8]) -> Result<(), String> {
        self.reading.as_mut().ok_or(ALL_READ)?.rows(rgba).map_err(|error| error.to_string())
    }

    /// Has the window brought to a small picture in colour, too. To be called before the first rows.
    pub fn show(&mut self, columns: usize, rows: usize) {
        if let Some(reading) = &mut self.reading {
            reading.show(columns, rows);
        }
    }

    /// The small picture as opaque RGBA bytes, before the reading is finished.
    pub fn shown(&self) -> Vec<u8> {
        self.reading.as_ref().map(|reading| reading.shown().to_vec()).unwrap_or_default()
    }

    /// The tones, once all rows have been taken.
    pub fn finish(&mut self) -> Result<PictureTones, String> {
        let reading = self.reading.take().ok_or(ALL_READ)?;
        Ok(PictureTones(reading.finish().map_err(|error| error.to_string())?))
    }
}

/// What a reading is told that has been finished.
const ALL_READ: &str = "This picture has been read.";

/// What was read of a picture.
#[wasm_bindgen]
pub struct PictureTones(ToneMap);

#[wasm_bindgen]
impl PictureTones {
    /// Columns.
    pub fn width(&self) -> usize {
        self.0.width
    }

    /// Rows.
    pub fn height(&self) -> usize {
        self.0.height
    }

    /// The part of the picture that this is.
    pub fn part(&self) -> Vec<f64> {
        numbers(self.0.part)
    }

    /// Lightness, a byte a pixel.
    pub fn lightness(&self) -> Vec<u8> {
        self.0.lightness.clone()
    }
}

/// Whether a picture of `width` × `height` pixels is read as a whole for this crop.
#[wasm_bindgen]
pub fn read_whole(width: usize, height: usize, crop: &[f64]) -> bool {
    let (width, height) = (width.max(1), height.max(1));
    Window::of(width, height, crop_of(crop)) == Window::whole(width, height)
}

#[wasm_bindgen]
impl Workshop {
    /// Takes a part of a picture as lightness: `{ width, height, histogram }` as JSON.
    pub fn take_part(
        &mut self,
        lightness: Vec<u8>,
        width: usize,
        height: usize,
        part: &[f64],
    ) -> Result<String, String> {
        self.take_tones(part_of(lightness, width, height, part)?)
    }

    /// The same of a picture of lines.
    pub fn take_lines_part(
        &mut self,
        lightness: Vec<u8>,
        width: usize,
        height: usize,
        part: &[f64],
    ) -> Result<(), String> {
        self.line_tones = Some(Arc::new(part_of(lightness, width, height, part)?));
        Ok(())
    }
}

fn part_of(
    lightness: Vec<u8>,
    width: usize,
    height: usize,
    part: &[f64],
) -> Result<ToneMap, String> {
    if lightness.is_empty() || width.checked_mul(height) != Some(lightness.len()) {
        return Err(format!(
            "{} bytes are no picture of {width} × {height} pixels.",
            lightness.len()
        ));
    }
    Ok(ToneMap { part: crop_of(part), ..ToneMap::new(width, height, lightness) })
}

/// The crop with this middle and width, or the nearest that lies in the picture.
#[wasm_bindgen]
pub fn crop_at(picture_px: &[f64], plate_mm: &[f64], middle: &[f64], width: f64) -> Vec<f64> {
    numbers(frame(picture_px, plate_mm).at(pair(middle), width))
}

/// A crop that fitted one plate, brought to another: same middle, and as close as before.
#[wasm_bindgen]
pub fn crop_fitted(
    picture_px: &[f64],
    plate_mm: &[f64],
    crop: &[f64],
    before_mm: &[f64],
) -> Vec<f64> {
    let before = frame(picture_px, before_mm);
    numbers(frame(picture_px, plate_mm).fitted(crop_of(crop), &before))
}

/// Width of the widest crop.
#[wasm_bindgen]
pub fn widest_width(picture_px: &[f64], plate_mm: &[f64]) -> f64 {
    frame(picture_px, plate_mm).widest_width()
}

/// Whether a crop has the plate's shape; `closely` as for lines.
#[wasm_bindgen]
pub fn crop_fits(picture_px: &[f64], plate_mm: &[f64], crop: &[f64], closely: bool) -> bool {
    let (frame, crop) = (frame(picture_px, plate_mm), crop_of(crop));
    if closely { frame.keeps_shape(crop) } else { frame.fits(crop) }
}

/// How a picture of lines lies on the plate of a picture with this crop.
#[wasm_bindgen]
pub fn crop_of_lines(
    lines_px: &[f64],
    picture_px: &[f64],
    crop: &[f64],
    plate_mm: &[f64],
) -> Vec<f64> {
    let (lines_px, picture_px) = (pair(lines_px), pair(picture_px));
    numbers(picture::crop_of_lines(lines_px, picture_px, crop_of(crop), pair(plate_mm)))
}

/// The part of a whole picture that a crop of its part is.
#[wasm_bindgen]
pub fn crop_within(crop: &[f64], part: &[f64]) -> Vec<f64> {
    numbers(crop_of(crop).within(crop_of(part)))
}

/// A plate of the picture's shape with about its old area: width and height, mm.
#[wasm_bindgen]
pub fn plate_like_picture(picture_px: &[f64], plate_mm: &[f64]) -> Vec<f64> {
    let (width, height) = picture::plate_like_picture(pair(picture_px), pair(plate_mm));
    vec![width, height]
}

fn frame(picture_px: &[f64], plate_mm: &[f64]) -> Frame {
    Frame::new(pair(picture_px), pair(plate_mm))
}

/// Two numbers; what is missing is no number, which every function here takes.
fn pair(of: &[f64]) -> (f64, f64) {
    let at = |i| of.get(i).copied().unwrap_or(f64::NAN);
    (at(0), at(1))
}

/// A crop; the whole picture where it is none.
fn crop_of(of: &[f64]) -> Crop {
    match *of {
        [left, top, width, height] => Crop { left, top, width, height },
        _ => Crop::default(),
    }
}

fn numbers(crop: Crop) -> Vec<f64> {
    vec![crop.left, crop.top, crop.width, crop.height]
}
