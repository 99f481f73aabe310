//! Watching: moments of the work at one place, for the module that knows what the hand does.

use crate::answers::json;
use crate::pixels;
use crate::workshop::{NOT_READY, Workshop};
use study::timeline::{Moment, Stage, moment, stages};
use wasm_bindgen::prelude::*;

#[wasm_bindgen]
impl Workshop {
    /// The stages of the work up to the state that is looked at, as JSON: a list of `study::timeline::Stage`.
    pub fn stages(&mut self) -> Result<String, String> {
        self.watched.clear();
        let plate = self.plate.as_ref().ok_or(NOT_READY)?;
        Ok(json(&stages(plate, &self.view)))
    }

    /// A place at a moment: `share` of a stage, by its place in [`Workshop::stages`], has passed.
    #[allow(clippy::too_many_arguments, reason = "plain numbers cross the border cheaply")]
    pub fn moment(
        &mut self,
        left_um: f64,
        top_um: f64,
        width: usize,
        height: usize,
        px_um: f32,
        stage: usize,
        share: f64,
    ) -> Result<MomentAnswer, String> {
        let grid = crate::workshop::grid_at(left_um, top_um, width, height, px_um);
        let plate = self.plate.as_ref().ok_or(NOT_READY)?;
        let stages: Vec<Stage> = stages(plate, &self.view);
        let stage = stages.get(stage).ok_or("The work has no such stage.")?;
        let (renderer, kept) = (&mut self.renderer, &mut self.watched);
        let moment = moment(plate, &self.view, renderer, &grid, stage, share, kept);
        Ok(MomentAnswer(moment))
    }
}

/// A moment, for JavaScript.
#[wasm_bindgen]
pub struct MomentAnswer(Moment);

#[wasm_bindgen]
impl MomentAnswer {
    /// Columns.
    pub fn width(&self) -> usize {
        self.0.width
    }

    /// The place from above: RGBA bytes.
    pub fn rgba(&self) -> Vec<u8> {
        pixels::moment_rgba(&self.0)
    }

    /// Surface of the copper along the middle row, µm.
    pub fn copper_um(&self) -> Vec<f32> {
        self.0.side.copper_um.clone()
    }

    /// Surface that the ground is laid on, µm.
    pub fn base_um(&self) -> Vec<f32> {
        self.0.side.base_um.clone()
    }

    /// Top of the resin, µm, or NaN.
    pub fn resin_um(&self) -> Vec<f32> {
        self.0.side.resin_um.clone()
    }

    /// Surface of the ink, µm, or NaN.
    pub fn ink_um(&self) -> Vec<f32> {
        self.0.side.ink_um.clone()
    }

    /// Under side of the sheet, µm, or NaN.
    pub fn sheet_um(&self) -> Vec<f32> {
        self.0.side.sheet_um.clone()
    }

    /// Ink on the sheet, µm.
    pub fn printed_um(&self) -> Vec<f32> {
        self.0.side.printed_um.clone()
    }

    /// 1 where the row is stopped out, else 0.
    pub fn stopped(&self) -> Vec<u8> {
        self.0.side.stopped.iter().map(|&stopped| u8::from(stopped)).collect()
    }

    /// Loose grains cut by the row: place, height of the centre, radius, µm.
    pub fn balls_um(&self) -> Vec<f32> {
        self.0.side.balls_um.clone()
    }

    /// `study::timeline::Numbers`, as JSON.
    pub fn numbers(&self) -> String {
        json(&self.0.numbers)
    }
}
