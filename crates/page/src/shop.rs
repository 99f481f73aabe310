//! The shop: what is asked of a print shop rather than of one plate. A module of its own, fetched
//! when it is first asked for.

use plan::Plan;
use plate::bite;
use plate::constants::Constants;
use plate::proof::{OneValue, Plate};
use serde::Serialize;
use std::collections::BTreeMap;
use std::sync::Arc;
use wasm_bindgen::prelude::*;

/// Lives in a worker of its own (`www/src/reckon/shopWorker.ts`).
#[wasm_bindgen]
pub struct Shop {
    /// The plate asked about last.
    plate: Option<Plate>,
}

#[wasm_bindgen]
impl Shop {
    /// An empty shop.
    #[wasm_bindgen(constructor)]
    #[allow(clippy::new_without_default, reason = "JavaScript calls the constructor")]
    pub fn new() -> Self {
        crate::report_panics();
        Self { plate: None }
    }

    /// How a bath stands, as JSON: `plate::bite::BathState`. `calibration` is JSON, key to number.
    pub fn bath_state(
        &self,
        strength_be: f64,
        copper_g_per_l: f64,
        calibration: &str,
    ) -> Result<String, String> {
        Ok(json(&bite::bath_state(strength_be, copper_g_per_l, &constants(calibration)?.bite)))
    }

    /// Strength at which a bath was mixed, °Bé, from a reading at `temp_c` with copper in it.
    pub fn mixed_be(
        &self,
        reading_be: f64,
        temp_c: f64,
        copper_g_per_l: f64,
        calibration: &str,
    ) -> Result<f64, String> {
        Ok(bite::mixed_be(reading_be, temp_c, copper_g_per_l, &constants(calibration)?.bite))
    }

    /// Amounts and readings for the bench, as JSON: `plate::proof::Bench`. `shares` of the plate per
    /// value, paper first.
    pub fn bench(
        &mut self,
        plan: &str,
        shares: &[f64],
        floor_m2: f64,
        impressions: f64,
    ) -> Result<String, String> {
        Ok(json(&self.plate(plan, shares)?.bench(floor_m2, impressions)))
    }

    /// Minutes for the bites that remain after some have run, as JSON: `plate::proof::ToGo`.
    pub fn bites_to_go(
        &mut self,
        plan: &str,
        shares: &[f64],
        ran_min: &[f64],
        target_l: &[f64],
    ) -> Result<String, String> {
        Ok(json(&self.plate(plan, shares)?.bites_to_go(ran_min, target_l)))
    }

    /// The edition from one state of the plate (0 is the last), as JSON:
    /// `plate::proof::EditionAnswer`.
    pub fn edition(&mut self, plan: &str, shares: &[f64], state: usize) -> Result<String, String> {
        Ok(json(&self.state(plan, shares, state)?.edition()))
    }

    /// Every way that brings a passage of one state (0 is the last) to a wished L*, as JSON. `value`
    /// and `amounts` are those of the passage.
    pub fn ways(
        &mut self,
        plan: &str,
        shares: &[f64],
        state: usize,
        value: usize,
        amounts: &[f32],
        wished: f64,
    ) -> Result<String, String> {
        Ok(json(&self.state(plan, shares, state)?.ways(value, amounts, wished)))
    }
}

impl Shop {
    /// The same, with one of its states looked at.
    fn state(&mut self, plan: &str, shares: &[f64], state: usize) -> Result<&mut Plate, String> {
        let plate = self.plate(plan, shares)?;
        plate.look_at(if state == 0 { usize::MAX } else { state });
        Ok(plate)
    }

    /// The plate of a plan without its picture, of which only the shares matter here.
    fn plate(&mut self, plan: &str, shares: &[f64]) -> Result<&mut Plate, String> {
        let plan = Plan::from_json(plan).map_err(|problems| {
            problems.into_iter().map(|problem| problem.message).collect::<Vec<_>>().join(" ")
        })?;
        let areas = OneValue::new(0, shares, plan.bites.len())
            .ok_or("The shares do not belong to this plan.")?;
        let areas = Arc::new(areas);
        let plate = match self.plate.take() {
            Some(mut plate) => {
                plate.change(plan, areas).map_err(words)?;
                plate
            }
            None => Plate::new(plan, areas).map_err(words)?,
        };
        Ok(self.plate.insert(plate))
    }
}

/// The constants with a calibration in their place.
fn constants(calibration: &str) -> Result<Constants, String> {
    let entries: BTreeMap<String, f64> =
        serde_json::from_str(calibration).map_err(|error| error.to_string())?;
    Constants::calibrated(&entries).map_err(words)
}

/// Refusals as one text.
fn words(refused: Vec<(String, String)>) -> String {
    refused.into_iter().map(|(_, words)| words).collect::<Vec<_>>().join(" ")
}

fn json(answer: &impl Serialize) -> String {
    // Strings, numbers and lists of them always serialise.
    serde_json::to_string(answer).unwrap_or_default()
}
