//! Pictures: read by bands of rows as the browser decodes them, and laid on the plate.

use crate::crossing::{Answer, give, take};
use crate::views::Image;
use js_sys::Uint8Array;
use picture::{Frame, Reading, ToneMap, Toning, Window};
use plan::Crop;
use serde::Serialize;
use ts_rs::TS;
use wasm_bindgen::prelude::*;

/// A picture, or a part of one, as lightness.
#[derive(Serialize, TS)]
pub(crate) struct Tones {
    width: usize,
    height: usize,
    /// L* 0–100 scaled to 0–255, a byte a pixel, row by row.
    #[serde(with = "serde_wasm_bindgen::preserve")]
    #[ts(type = "Uint8Array<ArrayBuffer>")]
    lightness: Uint8Array,
    /// Part of the picture that this is; the whole where it is not said.
    #[ts(optional)]
    part: Option<Crop>,
}

/// A picture being read. The page hands over the rows of the window and gets its tones.
///
/// Bands of rows, so that a picture of 50 megapixels never lies in the module's memory, which would
/// keep the room of its 200 MB for good.
#[wasm_bindgen]
pub struct PictureReading {
    window: Window,
    reading: Option<Reading>,
}

/// What a reading is told that has been finished.
const ALL_READ: &str = "This picture has been read.";

#[wasm_bindgen]
impl PictureReading {
    /// Begins to read a picture of `width` × `height` pixels as a crop asks for it, or as a whole.
    #[wasm_bindgen(constructor)]
    pub fn new(
        width: usize,
        height: usize,
        #[wasm_bindgen(unchecked_param_type = "T.Crop | null")] crop: JsValue,
    ) -> Result<Self, String> {
        let crop = take::<Option<Crop>>(crop)?.unwrap_or_default();
        let window = Window::of(width.max(1), height.max(1), crop);
        let reading = Reading::new(width, height, window).map_err(|error| error.to_string())?;
        Ok(Self { window, reading: Some(reading) })
    }

    /// The pixels that are wanted: left, top, width, height.
    #[wasm_bindgen(unchecked_return_type = "[number, number, number, number]")]
    pub fn window(&self) -> Answer {
        let Window { left, top, width, height, .. } = self.window;
        give(&[left, top, width, height])
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
    #[wasm_bindgen(unchecked_return_type = "Uint8Array<ArrayBuffer>")]
    pub fn shown(&self) -> Vec<u8> {
        self.reading.as_ref().map(|reading| reading.shown().to_vec()).unwrap_or_default()
    }

    /// The tones, once all rows have been taken.
    #[wasm_bindgen(unchecked_return_type = "T.Tones")]
    pub fn finish(&mut self) -> Answer {
        let reading = self.reading.take().ok_or(ALL_READ)?;
        let tones = reading.finish().map_err(|error| error.to_string())?;
        give(&Tones {
            width: tones.width,
            height: tones.height,
            lightness: Uint8Array::from(tones.lightness.as_slice()),
            part: Some(tones.part),
        })
    }
}

/// Why a picture of this size can't be laid on a plate; nothing if it can.
#[wasm_bindgen]
pub fn unfit(name: &str, width: usize, height: usize) -> Option<String> {
    picture::unfit(name, width, height)
}

/// Why a picture of this size can't be unpacked on a device that can spare so many bytes for it; nothing if it can.
#[wasm_bindgen]
pub fn too_large(name: &str, width: usize, height: usize, most_bytes: f64) -> Option<String> {
    picture::too_large(name, width, height, most_bytes)
}

/// What is said of a large picture that was read with fewer pixels.
#[wasm_bindgen]
pub fn brought_down(name: &str, width: usize, height: usize) -> Option<String> {
    picture::brought_down(name, width, height)
}

/// A picture in grey, as it is shown small in a room of so many pixels.
#[wasm_bindgen(unchecked_return_type = "T.Image")]
pub fn shown_small(
    lightness: Vec<u8>,
    width: usize,
    height: usize,
    #[wasm_bindgen(unchecked_param_type = "[number, number]")] room_px: JsValue,
) -> Answer {
    let tones = of_lightness(lightness, width, height, JsValue::UNDEFINED)?;
    give(&Image::shown(&tones, take(room_px)?))
}

/// How a picture with this histogram (101 bins of L*) looks as a plan changes its tones.
#[wasm_bindgen(unchecked_return_type = "T.Toned")]
pub fn toned(
    #[wasm_bindgen(unchecked_param_type = "T.Picture")] picture: JsValue,
    histogram: &[u32],
) -> Answer {
    give(&Toning::of(&take::<plan::Picture>(picture)?).toned(histogram))
}

/// Points of a curve that bring a picture with this histogram to the whole range from black to white; `evened` also
/// half-way to as much of every tone.
#[wasm_bindgen(unchecked_return_type = "T.TonePoint[]")]
pub fn whole_range(histogram: &[u32], evened: bool) -> Answer {
    give(&picture::whole_range(histogram, evened))
}

/// Lightness L* of some pixels together (opaque sRGB, four bytes each): that of their mean light.
#[wasm_bindgen]
pub fn lightness_of(rgba: &[u8]) -> f64 {
    plate::light::lightness_of_pixels(rgba)
}

/// Points drawn by hand (x, y, mm) with as few as keep the others within a tolerance.
#[wasm_bindgen]
pub fn thinned(points_mm: &[f64], tolerance_mm: f64) -> Vec<f64> {
    let (points, _) = points_mm.as_chunks::<2>();
    plan::edits::thinned(points, tolerance_mm).into_flattened()
}

/// A picture that another worker has read, or the store kept.
pub(crate) fn of_lightness(
    lightness: Vec<u8>,
    width: usize,
    height: usize,
    part: JsValue,
) -> Result<ToneMap, String> {
    if lightness.is_empty() || width.checked_mul(height) != Some(lightness.len()) {
        return Err(format!(
            "{} bytes are no picture of {width} × {height} pixels.",
            lightness.len()
        ));
    }
    let part = take::<Option<Crop>>(part)?.unwrap_or_default();
    Ok(ToneMap { part, ..ToneMap::new(width, height, lightness) })
}

/// Whether a picture of `width` × `height` pixels is read as a whole for this crop.
#[wasm_bindgen]
pub fn read_whole(
    width: usize,
    height: usize,
    #[wasm_bindgen(unchecked_param_type = "T.Crop")] crop: JsValue,
) -> Result<bool, String> {
    let (width, height) = (width.max(1), height.max(1));
    Ok(Window::of(width, height, take(crop)?) == Window::whole(width, height))
}

/// The crop with this middle and width, or the nearest that lies in the picture.
#[wasm_bindgen(unchecked_return_type = "T.Crop")]
pub fn crop_at(
    #[wasm_bindgen(unchecked_param_type = "[number, number]")] picture_px: JsValue,
    #[wasm_bindgen(unchecked_param_type = "[number, number]")] plate_mm: JsValue,
    #[wasm_bindgen(unchecked_param_type = "[number, number]")] middle: JsValue,
    width: f64,
) -> Answer {
    give(&frame(picture_px, plate_mm)?.at(take(middle)?, width))
}

/// A crop that fitted one plate, brought to another: same middle, and as close as before.
#[wasm_bindgen(unchecked_return_type = "T.Crop")]
pub fn crop_fitted(
    #[wasm_bindgen(unchecked_param_type = "[number, number]")] picture_px: JsValue,
    #[wasm_bindgen(unchecked_param_type = "[number, number]")] plate_mm: JsValue,
    #[wasm_bindgen(unchecked_param_type = "T.Crop")] crop: JsValue,
    #[wasm_bindgen(unchecked_param_type = "[number, number]")] before_mm: JsValue,
) -> Answer {
    let before = frame(picture_px.clone(), before_mm)?;
    give(&frame(picture_px, plate_mm)?.fitted(take(crop)?, &before))
}

/// Width of the widest crop.
#[wasm_bindgen]
pub fn widest_width(
    #[wasm_bindgen(unchecked_param_type = "[number, number]")] picture_px: JsValue,
    #[wasm_bindgen(unchecked_param_type = "[number, number]")] plate_mm: JsValue,
) -> Result<f64, String> {
    Ok(frame(picture_px, plate_mm)?.widest_width())
}

/// Whether a crop has the plate's shape; `closely` as for lines.
#[wasm_bindgen]
pub fn crop_fits(
    #[wasm_bindgen(unchecked_param_type = "[number, number]")] picture_px: JsValue,
    #[wasm_bindgen(unchecked_param_type = "[number, number]")] plate_mm: JsValue,
    #[wasm_bindgen(unchecked_param_type = "T.Crop")] crop: JsValue,
    closely: bool,
) -> Result<bool, String> {
    let (frame, crop) = (frame(picture_px, plate_mm)?, take(crop)?);
    Ok(if closely { frame.keeps_shape(crop) } else { frame.fits(crop) })
}

/// How a picture of lines lies on the plate of a picture with this crop.
#[wasm_bindgen(unchecked_return_type = "T.Crop")]
pub fn crop_of_lines(
    #[wasm_bindgen(unchecked_param_type = "[number, number]")] lines_px: JsValue,
    #[wasm_bindgen(unchecked_param_type = "[number, number]")] picture_px: JsValue,
    #[wasm_bindgen(unchecked_param_type = "T.Crop")] crop: JsValue,
    #[wasm_bindgen(unchecked_param_type = "[number, number]")] plate_mm: JsValue,
) -> Answer {
    let (lines_px, picture_px) = (take(lines_px)?, take(picture_px)?);
    give(&picture::crop_of_lines(lines_px, picture_px, take(crop)?, take(plate_mm)?))
}

/// The part of a whole picture that a crop of its part is.
#[wasm_bindgen(unchecked_return_type = "T.Crop")]
pub fn crop_within(
    #[wasm_bindgen(unchecked_param_type = "T.Crop")] crop: JsValue,
    #[wasm_bindgen(unchecked_param_type = "T.Crop")] part: JsValue,
) -> Answer {
    give(&take::<Crop>(crop)?.within(take(part)?))
}

/// A plate of the picture's shape with about its old area: width and height, mm.
#[wasm_bindgen(unchecked_return_type = "[number, number]")]
pub fn plate_like_picture(
    #[wasm_bindgen(unchecked_param_type = "[number, number]")] picture_px: JsValue,
    #[wasm_bindgen(unchecked_param_type = "[number, number]")] plate_mm: JsValue,
) -> Answer {
    give(&picture::plate_like_picture(take(picture_px)?, take(plate_mm)?))
}

fn frame(picture_px: JsValue, plate_mm: JsValue) -> Result<Frame, String> {
    Ok(Frame::new(take(picture_px)?, take(plate_mm)?))
}
