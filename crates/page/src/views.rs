//! What is seen of the plate in hand: windows, tiles, patches, cuts, moments. Places are in µm on the
//! *print*, x to the right and y down from its top left.

use crate::crossing::{Answer, give, take};
use crate::pixels;
use crate::plate_in_hand::{NOT_READY, PlateInHand, numbered};
use js_sys::{Float32Array, Uint8Array, Uint8ClampedArray};
use plate::chain::{CutFacts, TileRequest};
use plate::grid::Grid;
use plate::light::{halved, lightness};
use plate::{Looking, View};
use serde::{Deserialize, Serialize};
use study::proof_reading::ProofPrint;
use study::timeline::{Numbers as MomentNumbers, moment, stages};
use ts_rs::TS;
use wasm_bindgen::prelude::*;

/// A raster on the print; with `fine_um` each pixel is the mean of a whole number of finer ones.
#[derive(Clone, Copy, Deserialize, TS)]
pub(crate) struct Place {
    left_um: f64,
    top_um: f64,
    width_px: usize,
    height_px: usize,
    px_um: f64,
    #[serde(default)]
    #[ts(optional)]
    fine_um: Option<f64>,
}

impl Place {
    pub(crate) fn grid(&self) -> Grid {
        let px_um = self.px_um as f32;
        let pixel = |um: f64| (um / f64::from(px_um)).floor() as i64;
        Grid {
            left_px: pixel(self.left_um),
            top_px: pixel(self.top_um),
            width: self.width_px,
            height: self.height_px,
            px_um,
        }
    }

    fn image(&self, rgba: &[u8]) -> Image {
        Image { rgba: Uint8ClampedArray::from(rgba), width: self.width_px, height: self.height_px }
    }

    /// The print at this place.
    pub(crate) fn print(&self, plate: &mut Looking<'_>) -> Image {
        let Some(px_um) = self.fine_um else {
            return self.image(&pixels::grey_rgba(&plate.print_window(&self.grid()).pixels));
        };
        let out = |um: f64| (um / self.px_um).round() as i64;
        let grey = plate.tile_srgb8(&TileRequest {
            left_out: out(self.left_um),
            top_out: out(self.top_um),
            width_out: self.width_px,
            height_out: self.height_px,
            out_um: self.px_um,
            px_um,
        });
        self.image(&pixels::of_greys(&grey))
    }

    /// The copper at this place from above, after so many bites.
    pub(crate) fn copper(&self, plate: &mut Looking<'_>, after_bites: usize) -> Image {
        self.image(&pixels::copper_rgba(&plate.copper_window(&self.grid(), after_bites)))
    }
}

/// A window of the print, or of the copper after some bites (0 = before the first; all of them where none is named).
#[derive(Clone, Copy, Deserialize, TS)]
pub(crate) struct WindowRequest {
    place: Place,
    show: Show,
    #[serde(default)]
    #[ts(optional)]
    after_bites: Option<usize>,
}

#[derive(Clone, Copy, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
enum Show {
    Print,
    Copper,
}

impl WindowRequest {
    fn seen(&self, plate: &mut Looking<'_>) -> Image {
        match self.show {
            Show::Print => self.place.print(plate),
            Show::Copper => self.place.copper(plate, self.after_bites.unwrap_or(usize::MAX)),
        }
    }
}

/// Opaque pixels.
#[derive(Serialize, TS)]
pub(crate) struct Image {
    #[serde(with = "serde_wasm_bindgen::preserve")]
    #[ts(type = "Uint8ClampedArray<ArrayBuffer>")]
    rgba: Uint8ClampedArray,
    width: usize,
    height: usize,
}

impl Image {
    /// A picture in grey, as small as a room of so many pixels asks for.
    pub(crate) fn shown(tones: &picture::ToneMap, [wide, high]: [f64; 2]) -> Self {
        let (rgba, width, height) = tones.shown(wide, high);
        Self { rgba: Uint8ClampedArray::from(rgba.as_slice()), width, height }
    }
}

/// Greys (8-bit sRGB).
#[derive(Serialize, TS)]
pub(crate) struct Grey {
    #[serde(with = "serde_wasm_bindgen::preserve")]
    #[ts(type = "Uint8Array<ArrayBuffer>")]
    grey: Uint8Array,
    width: usize,
    height: usize,
    /// The same in half the size, and in half of that, as often as was asked for.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[ts(optional, as = "Option<Vec<Grey>>")]
    halves: Vec<Grey>,
}

impl Grey {
    fn new(grey: &[u8], width: usize, height: usize) -> Self {
        Self { grey: Uint8Array::from(grey), width, height, halves: Vec::new() }
    }
}

/// A whole proof in small squares ([`study::proof_reading::ProofPrint`]).
#[derive(Deserialize, Serialize, TS)]
pub struct ProofSquares {
    width_mm: f64,
    height_mm: f64,
    columns: usize,
    #[serde(with = "serde_wasm_bindgen::preserve")]
    #[ts(type = "Uint8Array<ArrayBuffer>")]
    values: Uint8Array,
    #[serde(with = "serde_wasm_bindgen::preserve")]
    #[ts(type = "Uint8Array<ArrayBuffer>")]
    greys: Uint8Array,
    lightness: Vec<f64>,
    paper_reflectance: f64,
    /// Screen tone of the bare paper, 0–255.
    sheet_srgb: u8,
    later_grounds: bool,
}

impl From<ProofPrint> for ProofSquares {
    fn from(print: ProofPrint) -> Self {
        Self {
            width_mm: print.width_mm,
            height_mm: print.height_mm,
            columns: print.columns,
            values: Uint8Array::from(&print.values[..]),
            greys: Uint8Array::from(&print.greys[..]),
            lightness: print.lightness,
            paper_reflectance: print.paper_reflectance,
            sheet_srgb: plate::light::srgb8(print.paper_reflectance),
            later_grounds: print.later_grounds,
        }
    }
}

impl From<ProofSquares> for ProofPrint {
    fn from(squares: ProofSquares) -> Self {
        Self {
            width_mm: squares.width_mm,
            height_mm: squares.height_mm,
            columns: squares.columns,
            values: squares.values.to_vec(),
            greys: squares.greys.to_vec(),
            lightness: squares.lightness,
            paper_reflectance: squares.paper_reflectance,
            later_grounds: squares.later_grounds,
        }
    }
}

/// The cut under a line of the print, left to right as the print shows it.
#[derive(Clone, Copy, Deserialize, TS)]
pub(crate) struct CutRequest {
    left_um: f64,
    y_um: f64,
    width_um: f64,
    after_bites: usize,
    /// Show the ink left after wiping; only after the last bite.
    inked: bool,
}

/// Heights in µm at evenly spaced places; 0 is the old surface of the copper, down is negative, NaN
/// where there is nothing.
#[derive(Serialize, TS)]
pub(crate) struct Cut {
    step_um: f32,
    #[serde(with = "serde_wasm_bindgen::preserve")]
    #[ts(type = "Float32Array<ArrayBuffer>")]
    copper_um: Float32Array,
    /// Surface that the ground is laid on: below 0 in lines etched before it.
    #[serde(with = "serde_wasm_bindgen::preserve")]
    #[ts(type = "Float32Array<ArrayBuffer>")]
    base_um: Float32Array,
    /// Top of the resin. Undercut domes are shown where they sat.
    #[serde(with = "serde_wasm_bindgen::preserve")]
    #[ts(type = "Float32Array<ArrayBuffer>")]
    resin_um: Float32Array,
    /// Surface of the ink left after wiping.
    #[serde(with = "serde_wasm_bindgen::preserve")]
    #[ts(type = "Float32Array<ArrayBuffer>")]
    ink_um: Float32Array,
    /// Which value each place belongs to.
    #[serde(with = "serde_wasm_bindgen::preserve")]
    #[ts(type = "Uint8Array<ArrayBuffer>")]
    value: Uint8Array,
    facts: CutFacts,
}

impl CutRequest {
    pub(crate) fn cut(&self, plate: &mut Looking<'_>) -> Cut {
        let cut = plate.cut(&plate::chain::CutRequest {
            left_um: self.left_um,
            y_um: self.y_um,
            width_um: self.width_um,
            after_bites: self.after_bites,
            inked: self.inked,
        });
        Cut {
            facts: cut.facts(),
            step_um: cut.step_um,
            copper_um: Float32Array::from(cut.copper_um.as_slice()),
            base_um: Float32Array::from(cut.base_um.as_slice()),
            resin_um: Float32Array::from(cut.resin_um.as_slice()),
            ink_um: Float32Array::from(cut.ink_um.as_slice()),
            value: Uint8Array::from(cut.value.as_slice()),
        }
    }
}

/// A place at a moment of the work, from above and in the cut along its middle row (µm; NaN where
/// there is nothing).
#[derive(Serialize, TS)]
pub(crate) struct Moment {
    #[serde(with = "serde_wasm_bindgen::preserve")]
    #[ts(type = "Uint8ClampedArray<ArrayBuffer>")]
    rgba: Uint8ClampedArray,
    width: usize,
    height: usize,
    step_um: f64,
    #[serde(with = "serde_wasm_bindgen::preserve")]
    #[ts(type = "Float32Array<ArrayBuffer>")]
    copper_um: Float32Array,
    /// Surface that the ground is laid on: below 0 in lines etched before it.
    #[serde(with = "serde_wasm_bindgen::preserve")]
    #[ts(type = "Float32Array<ArrayBuffer>")]
    base_um: Float32Array,
    #[serde(with = "serde_wasm_bindgen::preserve")]
    #[ts(type = "Float32Array<ArrayBuffer>")]
    resin_um: Float32Array,
    #[serde(with = "serde_wasm_bindgen::preserve")]
    #[ts(type = "Float32Array<ArrayBuffer>")]
    ink_um: Float32Array,
    /// Under side of the sheet, and the ink on it.
    #[serde(with = "serde_wasm_bindgen::preserve")]
    #[ts(type = "Float32Array<ArrayBuffer>")]
    sheet_um: Float32Array,
    #[serde(with = "serde_wasm_bindgen::preserve")]
    #[ts(type = "Float32Array<ArrayBuffer>")]
    printed_um: Float32Array,
    /// 1 where the row is stopped out, else 0.
    #[serde(with = "serde_wasm_bindgen::preserve")]
    #[ts(type = "Uint8Array<ArrayBuffer>")]
    stopped: Uint8Array,
    /// Loose grains cut by the row: place, height of the centre, radius, three numbers each.
    #[serde(with = "serde_wasm_bindgen::preserve")]
    #[ts(type = "Float32Array<ArrayBuffer>")]
    balls_um: Float32Array,
    numbers: MomentNumbers,
}

#[wasm_bindgen]
impl PlateInHand {
    /// A window of the print or the copper.
    #[wasm_bindgen(unchecked_return_type = "T.Image")]
    pub fn window(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.WindowRequest")] window: JsValue,
    ) -> Answer {
        let window: WindowRequest = take(window)?;
        give(&window.seen(&mut self.look()?))
    }

    /// The same of another state (0 is the last).
    #[wasm_bindgen(unchecked_return_type = "T.Image")]
    pub fn state_window(
        &mut self,
        state: usize,
        #[wasm_bindgen(unchecked_param_type = "T.WindowRequest")] window: JsValue,
    ) -> Answer {
        let window: WindowRequest = take(window)?;
        let view = View { state: numbered(state).state, ..self.view.clone() };
        let plate = self.plate.as_ref().ok_or(NOT_READY)?;
        give(&window.seen(&mut self.renderer.look(plate, &view)))
    }

    /// Lays one more tile of the ground round a window; false once all of it is laid.
    pub fn lay_ahead(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.WindowRequest")] window: JsValue,
    ) -> Result<bool, String> {
        let window: WindowRequest = take(window)?;
        Ok(self.look()?.lay_ahead(&window.place.grid()))
    }

    /// First true pass of the whole print: grey bytes.
    #[wasm_bindgen(unchecked_return_type = "Uint8Array<ArrayBuffer>")]
    pub fn first_pass(&mut self, width: usize, height: usize) -> Result<Vec<u8>, String> {
        Ok(self.look()?.first_pass(width, height))
    }

    /// What a photograph of the print is laid on: every value's place and tone in small squares.
    #[wasm_bindgen(unchecked_return_type = "T.ProofSquares")]
    pub fn proof_squares(&mut self) -> Answer {
        give(&ProofSquares::from(ProofPrint::of(&mut self.look()?)))
    }

    /// Every grain of one tile of the print, averaged to `out_um`, and so many `halves` of it.
    #[wasm_bindgen(unchecked_return_type = "T.Grey")]
    #[allow(clippy::too_many_arguments, reason = "a place and a size both ways, and how fine")]
    pub fn tile(
        &mut self,
        column: u32,
        row: u32,
        width_um: f64,
        height_um: f64,
        out_um: f64,
        px_um: f64,
        halves: usize,
    ) -> Answer {
        let width = (width_um / out_um).round() as usize;
        let height = (height_um / out_um).round() as usize;
        let grey = self.look()?.tile_srgb8(&TileRequest {
            left_out: i64::from(column) * width as i64,
            top_out: i64::from(row) * height as i64,
            width_out: width,
            height_out: height,
            out_um,
            px_um,
        });
        let mut tile = Grey::new(&grey, width, height);
        let mut part = (grey, width, height);
        for _ in 0..halves {
            part = halved(&part.0, part.1, part.2);
            tile.halves.push(Grey::new(&part.0, part.1, part.2));
        }
        give(&tile)
    }

    /// L* of squares of the print, every grain of them, each in `parts` × `parts` parts, row by row. A square is named by its
    /// column and row, counted in squares from the top left.
    pub fn lightness_of_squares(
        &mut self,
        squares: &[u32],
        side_um: f64,
        parts: usize,
        px_um: f64,
    ) -> Result<Vec<f32>, String> {
        let mut plate = self.look()?;
        let mut all = Vec::new();
        for at in squares.chunks_exact(2) {
            let first = |square: u32| i64::from(square) * parts as i64;
            let tile = TileRequest {
                left_out: first(at[0]),
                top_out: first(at[1]),
                width_out: parts,
                height_out: parts,
                out_um: side_um / parts as f64,
                px_um,
            };
            all.extend(plate.tile(&tile).iter().map(|&mean| lightness(mean.into()) as f32));
        }
        Ok(all)
    }

    /// A printed patch of one value.
    #[wasm_bindgen(unchecked_return_type = "T.Image")]
    pub fn patch(&mut self, value: usize, width: usize, height: usize, px_um: f32) -> Answer {
        let patch = self.look()?.patch(value, width, height, px_um);
        let rgba = Uint8ClampedArray::from(pixels::grey_rgba(&patch.pixels).as_slice());
        give(&Image { rgba, width, height })
    }

    /// The cut.
    #[wasm_bindgen(unchecked_return_type = "T.Cut")]
    pub fn cut(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.CutRequest")] cut: JsValue,
    ) -> Answer {
        let cut: CutRequest = take(cut)?;
        give(&cut.cut(&mut self.look()?))
    }

    /// Which value goes where, as printed: a byte a pixel, row by row.
    #[wasm_bindgen(unchecked_return_type = "Uint8Array<ArrayBuffer>")]
    pub fn values_map(&mut self, width: usize, height: usize) -> Result<Vec<u8>, String> {
        Ok(self.areas.as_ref().ok_or(NOT_READY)?.coarse(width, height))
    }

    /// The stages of the work up to the state that is looked at.
    #[wasm_bindgen(unchecked_return_type = "T.WatchStage[]")]
    pub fn stages(&mut self) -> Answer {
        self.watched.clear();
        let (plate, view, _) = self.parts()?;
        give(&stages(plate, view))
    }

    /// A place at a moment: `share` of a stage, by its place in [`Self::stages`], has passed.
    #[wasm_bindgen(unchecked_return_type = "T.Moment")]
    pub fn moment(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.Place")] place: JsValue,
        stage: usize,
        share: f64,
    ) -> Answer {
        let place: Place = take(place)?;
        let plate = self.plate.as_ref().ok_or(NOT_READY)?;
        let stages = stages(plate, &self.view);
        let stage = stages.get(stage).ok_or("The work has no such stage.")?;
        let (renderer, kept) = (&mut self.renderer, &mut self.watched);
        let moment = moment(plate, &self.view, renderer, &place.grid(), stage, share, kept);
        let rgba = pixels::moment_rgba(&moment);
        let side = moment.side;
        let stopped: Vec<u8> = side.stopped.iter().map(|&stopped| u8::from(stopped)).collect();
        give(&Moment {
            rgba: Uint8ClampedArray::from(rgba.as_slice()),
            width: moment.width,
            height: moment.height,
            step_um: place.px_um,
            copper_um: Float32Array::from(side.copper_um.as_slice()),
            base_um: Float32Array::from(side.base_um.as_slice()),
            resin_um: Float32Array::from(side.resin_um.as_slice()),
            ink_um: Float32Array::from(side.ink_um.as_slice()),
            sheet_um: Float32Array::from(side.sheet_um.as_slice()),
            printed_um: Float32Array::from(side.printed_um.as_slice()),
            stopped: Uint8Array::from(stopped.as_slice()),
            balls_um: Float32Array::from(side.balls_um.as_slice()),
            numbers: moment.numbers,
        })
    }
}
