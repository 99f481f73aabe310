//! The plate in hand: the plan, the pictures, and what they come to.

use crate::crossing::{Answer, give, take, take_plan, words};
use crate::pictures::of_lightness;
use crate::views::Image;
use js_sys::Uint8Array;
use picture::{LineAreas, PictureAreas, ToneMap};
use plan::{Diagnostic, Plan};
use plate::chain::{OpenLines, ValueAreas};
use plate::check;
use plate::{Job, Looking, Plate, Refused, Renderer, View};
use serde::Serialize;
use std::sync::Arc;
use study::timeline::TimelineScratch;
use ts_rs::TS;
use wasm_bindgen::prelude::*;

/// One worker's picture, plan, and everything computed from them.
#[wasm_bindgen]
pub struct PlateInHand {
    pub(crate) tones: Option<Arc<ToneMap>>,
    /// A picture of lines etched earlier.
    line_tones: Option<Arc<ToneMap>>,
    /// Which state is looked at, and what of lines and tone is printed.
    pub(crate) view: View,
    /// The areas in force and what they were made from, so that a change of bites keeps them.
    pub(crate) areas: Option<Arc<PictureAreas>>,
    pub(crate) plan: Plan,
    pub(crate) plate: Option<Plate>,
    pub(crate) renderer: Renderer,
    /// What watching keeps from moment to moment.
    pub(crate) watched: TimelineScratch,
    /// For samples of other plans: a plate with one value on it, and its room.
    pub(crate) lab: (Option<Plate>, Renderer),
}

/// What a request is told that comes before plan and picture.
pub(crate) const NOT_READY: &str = "The plate is not ready: send a picture and a plan first.";

/// What a plan was told; with errors among it the plan before stays.
#[derive(Serialize, TS)]
pub(crate) struct Taken {
    problems: Vec<Diagnostic>,
    /// The ground is that of the plate before.
    same_ground: bool,
}

/// The picture in hand.
#[derive(Serialize, TS)]
pub(crate) struct PictureTaken {
    width: usize,
    height: usize,
    /// Picture pixels by lightness L* 0–100, 101 bins.
    histogram: Vec<u32>,
    /// The picture as lightness, a byte a pixel, for other workers; not where it came as such.
    #[serde(skip_serializing_if = "Option::is_none", serialize_with = "bytes")]
    #[ts(optional, type = "Uint8Array<ArrayBuffer>")]
    lightness: Option<Arc<ToneMap>>,
    /// The picture in grey, as small as it was asked for, for the crop frame.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    shown: Option<Image>,
}

fn bytes<S: serde::Serializer>(tones: &Option<Arc<ToneMap>>, to: S) -> Result<S::Ok, S::Error> {
    let lightness = tones.as_ref().map_or(&[][..], |tones| &tones.lightness);
    serde_wasm_bindgen::preserve::serialize(&Uint8Array::from(lightness), to)
}

#[wasm_bindgen]
impl PlateInHand {
    /// Nothing in hand but the default plan.
    #[wasm_bindgen(constructor)]
    #[allow(clippy::new_without_default, reason = "JavaScript calls the constructor")]
    pub fn new() -> Self {
        Self {
            tones: None,
            line_tones: None,
            view: View::default(),
            areas: None,
            plan: Plan::default(),
            plate: None,
            renderer: Renderer::default(),
            watched: TimelineScratch::default(),
            lab: (None, Renderer::default()),
        }
    }

    /// Takes a plan, looked at in `state` (0 is the last). With errors among the problems the plan
    /// before stays.
    #[wasm_bindgen(unchecked_return_type = "T.Taken")]
    pub fn take_plan(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
        state: usize,
        #[wasm_bindgen(unchecked_param_type = "T.Printed")] printed: JsValue,
    ) -> Answer {
        let plan = take_plan(&plan)?;
        let printed = take(printed)?;
        let errors = check::errors(&plan);
        // The plate before is there until the next is made: what lies at one place is one ground.
        let ground = |of: &Self| of.plate.as_ref().map(|plate| std::ptr::from_ref(plate.ground()));
        let before = ground(self);
        let problems = if errors.is_empty() {
            self.view = View { printed, ..numbered(state) };
            self.prepare(plan).err().unwrap_or_default()
        } else {
            errors
        };
        give(&Taken { problems, same_ground: before.is_some() && before == ground(self) })
    }

    /// Draws the harbour and takes it as the picture, to be shown in a room of so many pixels.
    #[wasm_bindgen(unchecked_return_type = "T.PictureTaken")]
    pub fn take_harbour(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "[number, number] | null")] room_px: JsValue,
    ) -> Answer {
        let tones = picture::harbour(picture::HARBOUR_WIDTH, picture::HARBOUR_HEIGHT);
        self.take_tones(tones, true, take(room_px)?)
    }

    /// Takes a picture that another worker has read, or the store kept, as lightness; without a part it
    /// is the whole.
    #[wasm_bindgen(unchecked_return_type = "T.PictureTaken")]
    pub fn take_lightness(
        &mut self,
        lightness: Vec<u8>,
        width: usize,
        height: usize,
        #[wasm_bindgen(unchecked_param_type = "[number, number] | null")] room_px: JsValue,
        #[wasm_bindgen(unchecked_optional_param_type = "T.Crop")] part: JsValue,
    ) -> Answer {
        self.take_tones(of_lightness(lightness, width, height, part)?, false, take(room_px)?)
    }

    /// Takes a picture of lines as lightness, or none of it where there is none. They lie on the plate with
    /// the next picture or plan.
    pub fn take_lines(
        &mut self,
        lightness: Vec<u8>,
        width: usize,
        height: usize,
        #[wasm_bindgen(unchecked_optional_param_type = "T.Crop")] part: JsValue,
    ) -> Result<(), String> {
        self.line_tones = if lightness.is_empty() {
            None
        } else {
            Some(Arc::new(of_lightness(lightness, width, height, part)?))
        };
        Ok(())
    }
}

impl PlateInHand {
    /// The plate as it is looked at just now.
    pub(crate) fn look(&mut self) -> Result<Looking<'_>, String> {
        let plate = self.plate.as_ref().ok_or(NOT_READY)?;
        Ok(self.renderer.look(plate, &self.view))
    }

    /// Plate, view, and room to work in.
    pub(crate) fn parts(&mut self) -> Result<(&Plate, &View, &mut Renderer), String> {
        let plate = self.plate.as_ref().ok_or(NOT_READY)?;
        Ok((plate, &self.view, &mut self.renderer))
    }

    fn take_tones(&mut self, tones: ToneMap, lightness: bool, room_px: Option<[f64; 2]>) -> Answer {
        let (width, height, histogram) = (tones.width, tones.height, tones.histogram().to_vec());
        let tones = Arc::new(tones);
        self.tones = Some(tones.clone());
        self.areas = None;
        if self.plate.is_some() {
            self.prepare(self.plan.clone()).map_err(words)?;
        }
        let shown = room_px.map(|room_px| Image::shown(&tones, room_px));
        let lightness = lightness.then(|| tones.clone());
        give(&PictureTaken { width, height, histogram, lightness, shown })
    }

    /// Brings the plate to a plan, computing only what the change asks for.
    fn prepare(&mut self, plan: Plan) -> Result<(), Refused> {
        if let Some(tones) = &self.tones {
            let areas = match &self.areas {
                Some(areas) if areas.serves(&plan) => areas.clone(),
                before => Arc::new(PictureAreas::after(tones.clone(), &plan, before.as_deref())),
            };
            self.lay(plan.clone(), areas.clone())?;
            self.areas = Some(areas);
        }
        self.plan = plan;
        Ok(())
    }

    /// Makes the plate of a plan, sharing with the one before what is the same. The one place where the
    /// job is put together.
    pub(crate) fn lay(&mut self, plan: Plan, picture: Arc<dyn ValueAreas>) -> Result<(), Refused> {
        let lines = self.line_tones.clone().and_then(|tones| LineAreas::new(tones, &plan));
        let lines = lines.map(|lines| Arc::new(lines) as Arc<dyn OpenLines>);
        let job = Job::new(plan, picture).with_lines(lines);
        self.plate = Some(match &self.plate {
            Some(before) => self.renderer.plate_after(before, &job)?,
            None => self.renderer.plate(&job)?,
        });
        Ok(())
    }
}

/// The view of a state, counted from 1; 0 or a number beyond the last is the last.
#[must_use]
pub fn numbered(state: usize) -> View {
    View { state: (state != 0).then_some(state), ..View::default() }
}
