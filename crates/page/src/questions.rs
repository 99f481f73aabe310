//! What is asked about the plate in hand in numbers.

use crate::crossing::{Answer, give, take, words};
use crate::edits::give_edited;
use crate::plate_in_hand::{NOT_READY, PlateInHand};
use plate::chain::SURE_SHARE;
use plate::constants::Constants;
use serde::Serialize;
use study::rework::passage;
use study::{sensitivity, summary};
use ts_rs::TS;
use wasm_bindgen::prelude::*;

/// What suits the picture: thresholds for the values as they are, and other counts of values.
#[derive(Serialize, TS)]
pub(crate) struct Suits {
    now: picture::Fit,
    suits: Vec<picture::Suit>,
    /// Place in `suits` of the count worth taking.
    suggested: usize,
    /// Share of the minutes to the darkest print that the bites make use of.
    sure_share: f64,
    /// Specks merged away, and the share of the plate that has another value for it.
    merged: usize,
    moved_share: f64,
}

#[wasm_bindgen]
impl PlateInHand {
    /// What the picture in hand is like, for the plan to know it again.
    #[wasm_bindgen(unchecked_return_type = "T.MadeFor")]
    pub fn likeness(&self) -> Answer {
        give(&picture::likeness(self.tones.as_ref().ok_or(NOT_READY)?))
    }

    /// All numbers of the plan.
    #[wasm_bindgen(unchecked_return_type = "T.Summary")]
    pub fn summary(&mut self) -> Answer {
        let (plate, view, renderer) = self.parts()?;
        give(&summary(plate, view, renderer))
    }

    /// How far one constant, by its place in the catalogue, moves the plan's values.
    #[wasm_bindgen(unchecked_return_type = "T.Sensitivity")]
    pub fn doubt(&mut self, constant: usize) -> Answer {
        let constants = Constants::catalogue();
        let constant = constants.get(constant).ok_or("There is no such constant.")?;
        let (plate, _, renderer) = self.parts()?;
        give(&sensitivity(plate, renderer, constant).map_err(words)?)
    }

    /// What the line bite comes to, or nothing without lines.
    #[wasm_bindgen(unchecked_return_type = "T.LineFacts | null")]
    pub fn line_facts(&mut self) -> Answer {
        give(&self.look()?.line_facts())
    }

    /// What lies inside an outline (corners in mm on the print), or nothing.
    #[wasm_bindgen(unchecked_return_type = "T.Passage | null")]
    pub fn passage(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "[number, number][]")] outline_mm: JsValue,
    ) -> Answer {
        let outline_mm: Vec<[f64; 2]> = take(outline_mm)?;
        let (plate, view, renderer) = self.parts()?;
        give(&passage(plate, view, renderer, &outline_mm))
    }

    /// Thresholds with the least error in what the plan will print.
    #[wasm_bindgen(unchecked_return_type = "T.ThresholdFit")]
    pub fn thresholds(&mut self) -> Answer {
        give(&self.fit()?)
    }

    /// The plan brought to a picture that is new to it.
    #[wasm_bindgen(unchecked_return_type = "T.EditedPlan")]
    pub fn newly_met(&mut self) -> Answer {
        let printed_l = self.printed_l()?;
        let tones = self.tones.clone().ok_or(NOT_READY)?;
        give_edited(picture::newly_met(tones, &self.plan, &printed_l))
    }

    /// The same, other counts of values with their errors, and the specks merged away.
    #[wasm_bindgen(unchecked_return_type = "T.Suits")]
    pub fn suits(&mut self) -> Answer {
        let now = self.fit()?;
        let curve = self.look()?.tone_curve();
        let tones = self.tones.as_ref().ok_or(NOT_READY)?;
        let suits = picture::suits(tones, &self.plan.picture, &curve.minutes, &curve.lightness);
        let suggested = picture::suggested(&suits);
        let (merged, moved_share) = self.areas.as_ref().ok_or(NOT_READY)?.merged();
        give(&Suits { now, suits, suggested, sure_share: SURE_SHARE, merged, moved_share })
    }

    /// Rings round the part of one value at a place of the print, mm.
    #[wasm_bindgen(unchecked_return_type = "T.Ring[]")]
    pub fn region(&self, x_mm: f64, y_mm: f64) -> Answer {
        give(&self.areas.as_ref().ok_or(NOT_READY)?.region(x_mm, y_mm))
    }

    /// Stop-out guides of the step after so many bites; below 0 of every step.
    #[wasm_bindgen(unchecked_return_type = "T.Guide[]")]
    pub fn guides(
        &self,
        #[wasm_bindgen(unchecked_param_type = "T.GuidePaper")] paper: JsValue,
        mirrored: bool,
        #[wasm_bindgen(unchecked_param_type = "T.Units")] units: JsValue,
        after: i32,
    ) -> Answer {
        let areas = self.areas.as_ref().ok_or(NOT_READY)?;
        let face = if mirrored { picture::GuideFace::Copper } else { picture::GuideFace::Paper };
        let wish = picture::GuideWish { paper: take(paper)?, face, units: take(units)? };
        give(&picture::guides(areas, &self.plan, wish, usize::try_from(after).ok()))
    }
}

impl PlateInHand {
    /// L* of the bare sheet and of each value, as the plan prints them.
    fn printed_l(&mut self) -> Result<Vec<f64>, String> {
        Ok(self.look()?.values().iter().map(|value| value.lightness).collect())
    }

    fn fit(&mut self) -> Result<picture::Fit, String> {
        let printed_l = self.printed_l()?;
        let tones = self.tones.as_ref().ok_or(NOT_READY)?;
        Ok(picture::fit_thresholds(tones, &self.plan.picture, &printed_l))
    }
}
