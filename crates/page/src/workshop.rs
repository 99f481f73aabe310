//! The workshop: what opens the page and answers it from then on.

use crate::answers::Suits;
use crate::answers::{Catalogue, Checked, Glanced, Limits, PictureTaken, json};
use crate::{pixels, png_file};
use picture::{PictureAreas, ToneMap};
use plan::{Plan, Problem, Severity};
use plate::check;
use plate::grid::Grid;
use plate::proof::{CutRequest, Doubter, OneValue, Plate, TileRequest};
use std::sync::Arc;
use wasm_bindgen::prelude::*;

/// One worker's picture, plan, and everything computed from them.
#[wasm_bindgen]
pub struct Workshop {
    pub(crate) tones: Option<Arc<ToneMap>>,
    pub(crate) plate: Option<Plate>,
    /// A picture of lines etched earlier, and what of lines and tone is printed.
    pub(crate) line_tones: Option<Arc<ToneMap>>,
    pub(crate) printed: plate::proof::Printed,
    /// The areas in force and what they were made from, so that a change of bites keeps them.
    areas: Option<Arc<PictureAreas>>,
    pub(crate) plan: Plan,
    /// Tries the constants on the plan in hand; made anew after a change.
    doubter: Option<Doubter>,
    /// What watching keeps from moment to moment.
    pub(crate) watched: plate::proof::watch::WatchScratch,
}

/// What a request is told that comes before plan and picture.
pub(crate) const NOT_READY: &str = "The plate is not ready: send a picture and a plan first.";

/// What a sample is told that the plan cannot give.
const NO_VALUE: &str = "This plan has no such value, or too many or too few shares.";

#[wasm_bindgen]
impl Workshop {
    /// An empty workshop with the default plan.
    #[wasm_bindgen(constructor)]
    #[allow(clippy::new_without_default, reason = "JavaScript calls the constructor")]
    pub fn new() -> Self {
        crate::report_panics();
        Self {
            tones: None,
            plate: None,
            line_tones: None,
            printed: plate::proof::Printed::Both,
            areas: None,
            plan: Plan::default(),
            doubter: None,
            watched: plate::proof::watch::WatchScratch::default(),
        }
    }

    /// Every control of the page, the constants and the default plan, as JSON.
    pub fn catalogue(&self) -> String {
        json(&Catalogue {
            fields: plan::FIELDS,
            choices: plan::CHOICES,
            constants: plate::constants::Constants::catalogue(),
            not_modelled: plate::NOT_MODELLED,
            default_plan: Plan::default(),
            limits: Limits {
                min_values: plan::MIN_VALUES,
                max_values: plan::MAX_VALUES,
                bite_min: plan::BITE_MIN,
            },
        })
    }

    /// Checks a plan file: `{ plan?, problems }` as JSON. A plan that can be read is there with its
    /// problems, too, to be mended.
    pub fn check(&self, text: &str) -> String {
        json(&match Plan::read_unchecked(text) {
            Ok(plan) => Checked { problems: check::errors(&plan), plan: Some(plan) },
            Err(refused) => Checked { plan: None, problems: vec![refused] },
        })
    }

    /// Takes a plan: `{ problems }` as JSON. With problems the former plan stays.
    pub fn take_plan(&mut self, text: &str) -> String {
        let problems = match check::read(text) {
            Ok(plan) => self.prepare(plan).err().unwrap_or_default(),
            Err(problems) => problems,
        };
        json(&Checked { plan: None, problems })
    }

    /// Takes a plan for a plate that has nothing but one of its values on it: `{ problems }` as JSON.
    /// `shares` of the plate per value, paper first, say how fast the bath tires. Windows and cuts
    /// are then of that plate. For a workshop of its own, without a picture.
    pub fn take_sample(
        &mut self,
        text: &str,
        value: usize,
        shares: &[f64],
    ) -> Result<String, String> {
        let plan = match check::read(text) {
            Ok(plan) => plan,
            Err(problems) => return Ok(json(&Checked { plan: None, problems })),
        };
        let areas = OneValue::new(value, shares, plan.bites.len()).ok_or(NO_VALUE)?;
        let areas = Arc::new(areas);
        match &mut self.plate {
            Some(plate) => plate.change(plan, areas),
            None => Plate::new(plan, areas).map(|plate| self.plate = Some(plate)),
        }
        .map_err(|refused| refused.into_iter().map(|(_, words)| words).collect::<String>())?;
        Ok(json(&Checked { plan: None, problems: Vec::new() }))
    }

    /// A first look at one value of any plan, from little ground: `{ problems, numbers? }` as JSON.
    /// Leaves the plate as it is.
    pub fn glance(&self, text: &str, value: usize, shares: &[f64]) -> Result<String, String> {
        let plan = match check::read(text) {
            Ok(plan) => plan,
            Err(problems) => return Ok(json(&Glanced { problems, numbers: None })),
        };
        let areas = OneValue::new(value, shares, plan.bites.len()).ok_or(NO_VALUE)?;
        // What tools take off needs the whole sample.
        let seen = if plan.states.is_empty() {
            plate::proof::glance(&plan, &areas, value)
        } else {
            Plate::new(plan, Arc::new(areas)).map(|mut plate| plate.sample(value))
        };
        let numbers = seen
            .map_err(|refused| refused.into_iter().map(|(_, words)| words).collect::<String>())?;
        Ok(json(&Glanced { problems: Vec::new(), numbers: Some(numbers) }))
    }

    /// The numbers of one value of the plate, as JSON.
    pub fn sample(&mut self, value: usize) -> Result<String, String> {
        Ok(json(&self.plate()?.sample(value)))
    }

    /// Draws the harbour and takes it as the picture: `{ width, height, histogram }` as JSON.
    pub fn take_harbour(&mut self) -> Result<String, String> {
        self.take_tones(picture::harbour(picture::HARBOUR_WIDTH, picture::HARBOUR_HEIGHT))
    }

    /// The picture in hand as grey bytes (8-bit sRGB).
    pub fn picture_grey(&self) -> Vec<u8> {
        self.tones
            .as_ref()
            .map(|tones| tones.to_rgba().chunks_exact(4).map(|p| p[0]).collect())
            .unwrap_or_default()
    }

    /// The picture in hand as lightness, one byte a pixel, for [`Self::take_lightness`] of another
    /// workshop: the harbour is drawn, or a picture read, only once.
    pub fn picture_lightness(&self) -> Vec<u8> {
        self.tones.as_ref().map(|tones| tones.lightness.clone()).unwrap_or_default()
    }

    /// What the picture in hand is like, as a plan's `made_for`.
    pub fn likeness(&self) -> Result<Vec<f64>, String> {
        Ok(picture::likeness(self.tones.as_ref().ok_or(NOT_READY)?).0)
    }

    /// Takes a picture that another workshop has read: `{ width, height, histogram }` as JSON.
    pub fn take_lightness(
        &mut self,
        lightness: Vec<u8>,
        width: usize,
        height: usize,
    ) -> Result<String, String> {
        if lightness.is_empty() || width.checked_mul(height) != Some(lightness.len()) {
            return Err(format!(
                "{} bytes are no picture of {width} × {height} pixels.",
                lightness.len()
            ));
        }
        self.take_tones(ToneMap::new(width, height, lightness))
    }

    /// All numbers of the plan, as JSON.
    pub fn summary(&mut self) -> Result<String, String> {
        Ok(json(&self.plate()?.summary()))
    }

    /// How far one constant, by its place in the catalogue, moves the plan's middle value: as JSON.
    pub fn doubt(&mut self, constant: usize) -> Result<String, String> {
        let areas = self.areas.as_ref().ok_or(NOT_READY)?;
        let constants = plate::constants::Constants::catalogue();
        let constant = constants.get(constant).ok_or("There is no such constant.")?;
        if self.doubter.is_none() {
            let doubter = Doubter::new(self.plan.clone(), areas.clone());
            self.doubter = Some(doubter.map_err(|_| NOT_READY)?);
        }
        let doubter = self.doubter.as_mut().ok_or(NOT_READY)?;
        Ok(json(&doubter.doubt(constant).map_err(|_| NOT_READY)?))
    }

    /// First true pass of the whole print: grey bytes.
    pub fn first(&mut self, width: usize, height: usize) -> Result<Vec<u8>, String> {
        Ok(self.plate()?.first_pass(width, height))
    }

    /// Every grain of one tile, averaged to `out_um`: grey bytes.
    #[allow(clippy::too_many_arguments, reason = "plain numbers cross the border cheaply")]
    pub fn tile(
        &mut self,
        left_out: i32,
        top_out: i32,
        width_out: usize,
        height_out: usize,
        out_um: f64,
        px_um: f64,
    ) -> Result<Vec<u8>, String> {
        let request = TileRequest {
            left_out: left_out.into(),
            top_out: top_out.into(),
            width_out,
            height_out,
            out_um,
            px_um,
        };
        Ok(self.plate()?.tile_srgb8(&request))
    }

    /// A window of the print as RGBA bytes.
    pub fn print_window(
        &mut self,
        left_um: f64,
        top_um: f64,
        width: usize,
        height: usize,
        px_um: f32,
    ) -> Result<Vec<u8>, String> {
        let grid = grid_at(left_um, top_um, width, height, px_um);
        Ok(pixels::grey_rgba(&self.plate()?.print_window(&grid).pixels))
    }

    /// Lays one more tile of the ground round a window; false once all of it is laid.
    pub fn lay_ahead(
        &mut self,
        left_um: f64,
        top_um: f64,
        width: usize,
        height: usize,
        px_um: f32,
    ) -> Result<bool, String> {
        Ok(self.plate()?.lay_ahead(&grid_at(left_um, top_um, width, height, px_um)))
    }

    /// A window of the copper from above after some bites, laid out as on the print: RGBA bytes.
    pub fn copper_window(
        &mut self,
        left_um: f64,
        top_um: f64,
        width: usize,
        height: usize,
        px_um: f32,
        after_bites: usize,
    ) -> Result<Vec<u8>, String> {
        let grid = grid_at(left_um, top_um, width, height, px_um);
        let copper = self.plate()?.copper_window(&grid, after_bites);
        Ok(pixels::copper_rgba(&copper))
    }

    /// A printed patch of one value: RGBA bytes.
    pub fn patch(
        &mut self,
        value: usize,
        width: usize,
        height: usize,
        px_um: f32,
    ) -> Result<Vec<u8>, String> {
        let patch = self.plate()?.patch(value, width, height, px_um);
        Ok(pixels::grey_rgba(&patch.pixels))
    }

    /// The cut: its numbers are read from the object, field by field.
    pub fn cut(
        &mut self,
        left_um: f64,
        y_um: f64,
        width_um: f64,
        after_bites: usize,
        inked: bool,
    ) -> Result<CutAnswer, String> {
        let cut = self.plate()?.cut(&CutRequest { left_um, y_um, width_um, after_bites, inked });
        Ok(CutAnswer(cut))
    }

    /// Which value goes where, as printed.
    pub fn values_map(&mut self, width: usize, height: usize) -> Result<Vec<u8>, String> {
        let areas = self.areas.as_ref().ok_or(NOT_READY)?;
        Ok(areas.coarse(width, height))
    }

    /// Grey bytes as the rows of a PNG file, for the browser to pack (zlib).
    pub fn png_rows(&self, grey: &[u8], width: u32, height: u32) -> Result<Vec<u8>, String> {
        png_file::rows(grey, width, height).ok_or_else(|| {
            format!("{} bytes are no proof of {width} × {height} pixels.", grey.len())
        })
    }

    /// Packed rows as a PNG file with its true size.
    pub fn png_file(&self, packed: &[u8], width: u32, height: u32, out_um: f64) -> Vec<u8> {
        png_file::file(packed, width, height, out_um)
    }
}

/// What only the module with areas by hand knows.
#[wasm_bindgen]
impl Workshop {
    /// Thresholds with the least error in what the plan will print: `{ thresholds_l, error_l }` as JSON.
    pub fn thresholds(&mut self) -> Result<String, String> {
        Ok(json(&self.fit()?))
    }

    /// The same, other counts of values with their errors, and the specks merged away, as JSON.
    pub fn suits(&mut self) -> Result<String, String> {
        let now = self.fit()?;
        let curve = self.plate()?.tone_curve();
        let tones = self.tones.as_ref().ok_or(NOT_READY)?;
        let crop = self.plan.picture.crop;
        let suits = picture::suits(tones, crop, &curve.minutes, &curve.lightness);
        let suggested = picture::suggested(&suits);
        let (merged, moved_share) = self.areas.as_ref().ok_or(NOT_READY)?.merged();
        Ok(json(&Suits { now, suits, suggested, merged, moved_share }))
    }

    /// The part of one value round a place of the print, mm: a list of `{ points_mm, hole }` as JSON.
    pub fn region(&self, x_mm: f64, y_mm: f64) -> Result<String, String> {
        Ok(json(&self.areas.as_ref().ok_or(NOT_READY)?.region(x_mm, y_mm)))
    }

    /// Stop-out guides: a list of `picture::Guide` as JSON. `paper` is `a4`, `a3`, `letter` or
    /// `whole`; `after` a number of bites, or below 0 for every step.
    pub fn guides(&self, paper: &str, mirrored: bool, after: i32) -> Result<String, String> {
        let areas = self.areas.as_ref().ok_or(NOT_READY)?;
        let paper = picture::GuidePaper::from_word(paper)
            .ok_or_else(|| format!("There is no paper `{paper}`."))?;
        let face = if mirrored { picture::GuideFace::Copper } else { picture::GuideFace::Paper };
        Ok(json(&picture::guides(areas, &self.plan, paper, face, usize::try_from(after).ok())))
    }
}

impl Workshop {
    fn fit(&mut self) -> Result<picture::Fit, String> {
        let printed_l: Vec<f64> = self.plate()?.values().iter().map(|v| v.lightness).collect();
        let tones = self.tones.as_ref().ok_or(NOT_READY)?;
        Ok(picture::fit_thresholds(tones, self.plan.picture.crop, &printed_l))
    }

    pub(crate) fn plate(&mut self) -> Result<&mut Plate, String> {
        self.plate.as_mut().ok_or_else(|| NOT_READY.to_owned())
    }

    pub(crate) fn take_tones(&mut self, tones: ToneMap) -> Result<String, String> {
        let answer = PictureTaken {
            width: tones.width,
            height: tones.height,
            histogram: tones.histogram().to_vec(),
        };
        self.tones = Some(Arc::new(tones));
        self.areas = None;
        if self.plate.is_some() {
            self.prepare(self.plan.clone()).map_err(|problems| {
                problems.into_iter().map(|p| p.message).collect::<Vec<_>>().join(" ")
            })?;
        }
        Ok(json(&answer))
    }

    /// Brings the plate to a plan, computing only what the change asks for.
    fn prepare(&mut self, plan: Plan) -> Result<(), Vec<Problem>> {
        if let Some(tones) = &self.tones {
            let areas = match &self.areas {
                Some(areas) if areas.serves(&plan) => areas.clone(),
                before => Arc::new(PictureAreas::after(tones.clone(), &plan, before.as_deref())),
            };
            let outcome = match &mut self.plate {
                Some(plate) => plate.change(plan.clone(), areas.clone()),
                None => {
                    Plate::new(plan.clone(), areas.clone()).map(|plate| self.plate = Some(plate))
                }
            };
            outcome.map_err(|refused| {
                let problem = |(key, message)| {
                    Problem::new(Severity::Error, format!("calibration.{key}"), message)
                };
                refused.into_iter().map(problem).collect::<Vec<_>>()
            })?;
            self.areas = Some(areas);
        }
        self.plan = plan;
        self.lay_lines();
        self.doubter = None;
        Ok(())
    }
}

/// The raster of a window asked for in µm on the print.
pub(crate) fn grid_at(left_um: f64, top_um: f64, width: usize, height: usize, px_um: f32) -> Grid {
    let pixel = |um: f64| (um / f64::from(px_um)).floor() as i64;
    Grid { left_px: pixel(left_um), top_px: pixel(top_um), width, height, px_um }
}

/// The numbers of a cut, for JavaScript.
#[wasm_bindgen]
pub struct CutAnswer(plate::proof::Cut);

#[wasm_bindgen]
impl CutAnswer {
    /// Distance between places, µm.
    pub fn step_um(&self) -> f32 {
        self.0.step_um
    }

    /// Surface of the copper, µm.
    pub fn copper_um(&self) -> Vec<f32> {
        self.0.copper_um.clone()
    }

    /// Surface that the ground was laid on, µm.
    pub fn base_um(&self) -> Vec<f32> {
        self.0.base_um.clone()
    }

    /// Top of the resin, µm, or NaN.
    pub fn resin_um(&self) -> Vec<f32> {
        self.0.resin_um.clone()
    }

    /// Surface of the ink, µm, or NaN.
    pub fn ink_um(&self) -> Vec<f32> {
        self.0.ink_um.clone()
    }

    /// Value of each place.
    pub fn value(&self) -> Vec<u8> {
        self.0.value.clone()
    }
}

/// Digests of every stage of some small plates, a line each; the native program prints the same.
#[wasm_bindgen]
pub fn digests() -> String {
    picture::example::digests()
}
