//! What is asked of plans, baths and shops as a whole, rather than of the plate in hand.

use page::crossing::{Answer, give, take, take_plan, words};
use page::numbered;
use plan::Plan;
use plate::bite;
use plate::chain::{GroundRecipe, OneValue};
use plate::check;
use plate::constants::Constants;
use plate::{Job, Plate, Renderer, View};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::sync::Arc;
use study::amounts::{Needed, amounts};
use study::calibration::{GroundMeasures, Tables};
use study::grain::{GrainSize, GrainWish, grain_for};
use study::inverse::{self, Wanted, even_steps, inverse, picture_values};
use study::proof_causes::ProofTables;
use study::proof_reading::SquaredUp;
use study::remaining_bites::{SoFar, remaining_bites};
use study::rework::{Wish, ways};
use study::timing::Rounding;
use study::tolerance::{Draws, Spread, tolerance};
use study::tone_response::{ToneResponse, tone_response};
use ts_rs::TS;
use wasm_bindgen::prelude::*;

/// A plan, and the shares of its plate per value, paper first.
#[derive(Clone, Deserialize, PartialEq, TS)]
pub(crate) struct PlateOf {
    #[serde(deserialize_with = "page::crossing::plan_within")]
    plan: Plan,
    shares: Vec<f64>,
}

/// A plan, minutes of its bites, and shares of a proof's plate.
pub(crate) type TablesOf = (Plan, Vec<f64>, Vec<f64>);

/// A plan in hand, its plate, and how its ground answers the bath.
struct InHand {
    of: PlateOf,
    plate: Plate,
    response: Option<ToneResponse>,
}

/// Answers in workers of its own (`www/src/engine/studies.ts`), and keeps what the next question may ask
/// again.
#[wasm_bindgen]
pub struct Studies {
    in_hand: Option<InHand>,
    pub(crate) renderer: Renderer,
    /// The prints being drawn, and what they were asked for.
    drawn: Option<(PlateOf, Spread, Draws)>,
    /// How the steps of a step plate or the values of a proof darken, and for what it was calculated.
    pub(crate) tables: Option<(TablesOf, Tables)>,
    /// How the values of a proof darken with what may have gone otherwise, and for what plan and shares it was calculated.
    pub(crate) proof_tables: Option<((Plan, Vec<f64>), ProofTables)>,
    /// What was read of a picture of the dust and of one of the melted ground.
    pub(crate) grounds: [Option<GroundMeasures>; 2],
    /// The photograph of a proof that was read last, squared up.
    pub(crate) proof: Option<SquaredUp>,
}

/// Minutes in another bath for the same values.
#[derive(Serialize, TS)]
pub(crate) struct SameValues {
    /// Minutes as timed, and exactly.
    bite_min: Vec<f64>,
    exact_min: Vec<f64>,
    /// Whether this bath gets there at all.
    reached: bool,
}

#[wasm_bindgen]
impl Studies {
    /// Nothing in hand.
    #[wasm_bindgen(constructor)]
    #[allow(clippy::new_without_default, reason = "JavaScript calls the constructor")]
    pub fn new() -> Self {
        Self {
            in_hand: None,
            renderer: Renderer::default(),
            drawn: None,
            tables: None,
            proof_tables: None,
            grounds: [None; 2],
            proof: None,
        }
    }

    /// Wanted L* of each value: even steps, or with a histogram of the picture its own; down to what is surely short of the
    /// ground's breaking down, or to the very darkest.
    #[wasm_bindgen(unchecked_return_type = "number[]")]
    pub fn wanted(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.PlateOf")] of: JsValue,
        histogram: &[u32],
        to_the_end: bool,
    ) -> Answer {
        let (held, response, _) = self.response(of)?;
        let plan = &held.of.plan;
        let (_, darkest_l) = if to_the_end { response.darkest() } else { response.sure() };
        let paper_l = response.paper_l();
        give(&if histogram.is_empty() {
            even_steps(paper_l, darkest_l, plan.bites.len())
        } else {
            picture_values(histogram, &plan.picture.thresholds_l, paper_l, darkest_l)
        })
    }

    /// Minutes for wanted values, after bites that have run so long.
    #[wasm_bindgen(unchecked_return_type = "T.Inverse")]
    pub fn backwards(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.PlateOf")] of: JsValue,
        wanted_l: &[f64],
        bitten_min: &[f64],
        #[wasm_bindgen(unchecked_param_type = "T.Rounding")] timed: JsValue,
    ) -> Answer {
        let rounding: Rounding = take(timed)?;
        let (held, response, renderer) = self.response(of)?;
        let wanted = Wanted { wanted_l, bitten_min, rounding };
        give(&inverse(&held.plate, renderer, &response, &wanted))
    }

    /// Minutes that print in the plan's bath the values that `before`, a plan that differs in bath and
    /// bites alone, printed.
    #[wasm_bindgen(unchecked_return_type = "T.SameValues")]
    pub fn same_values(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.PlateOf")] of: JsValue,
        #[wasm_bindgen(unchecked_param_type = "T.Plan")] before: JsValue,
        #[wasm_bindgen(unchecked_param_type = "T.Rounding")] timed: JsValue,
    ) -> Answer {
        let rounding: Rounding = take(timed)?;
        let before = sound_plan(&before)?;
        let (held, renderer) = self.hold(of)?;
        let before = job(before, &held.of.shares)?;
        let before = renderer.plate_after(&held.plate, &before).map_err(words)?;
        let doses_um = &before.session().dose_um[1..];
        let (exact_min, bite_min) = inverse::same_values(&held.plate, doses_um, rounding);
        let reached = inverse::reaches(&held.plate, doses_um, &exact_min);
        give(&SameValues { bite_min, exact_min, reached })
    }

    /// Dust and bake for a wanted grain. One of footprint (µm) and domes/mm² is above 0.
    #[wasm_bindgen(unchecked_return_type = "T.GrainAnswer")]
    pub fn grain(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
        footprint_um: f64,
        domes_per_mm2: f64,
        cover: f64,
    ) -> Answer {
        let size = if footprint_um > 0.0 {
            GrainSize::FootprintUm(footprint_um)
        } else {
            GrainSize::DomesPerMm2(domes_per_mm2)
        };
        give(&grain_for(&sound_plan(&plan)?, GrainWish { size, cover }).map_err(words)?)
    }

    /// L* of every value, paper first, in so many prints from this number on, one after another.
    pub fn draws(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.PlateOf")] of: JsValue,
        #[wasm_bindgen(unchecked_param_type = "T.Spread")] spread: JsValue,
        from: u32,
        count: u32,
    ) -> Result<Vec<f64>, String> {
        let spread = take::<Spread>(spread)?;
        self.draw_for(of, Some(spread))?;
        let (_, _, prints) = self.drawn.as_mut().ok_or(NOTHING_IN_HAND)?;
        let mut all = Vec::new();
        for number in from..from.saturating_add(count) {
            all.extend(prints.draw(number, &mut self.renderer).map_err(words)?);
        }
        Ok(all)
    }

    /// What the printmaker's own hand decides of that.
    #[wasm_bindgen(unchecked_return_type = "T.Hold[]")]
    pub fn holds(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.PlateOf")] of: JsValue,
    ) -> Answer {
        self.draw_for(of, None)?;
        let (_, _, prints) = self.drawn.as_ref().ok_or(NOTHING_IN_HAND)?;
        give(&prints.holds(&mut self.renderer).map_err(words)?)
    }

    /// The bands of all draws so far.
    #[wasm_bindgen(unchecked_return_type = "T.Band[]")]
    pub fn bands(&self, draws: &[f64], values: usize) -> Answer {
        give(&tolerance(draws, values))
    }

    /// How a bath stands, with a calibration's constants.
    #[wasm_bindgen(unchecked_return_type = "T.BathState")]
    pub fn bath_state(
        &self,
        strength_be: f64,
        copper_g_per_l: f64,
        #[wasm_bindgen(unchecked_param_type = "Record<string, number>")] calibration: JsValue,
    ) -> Answer {
        give(&bite::bath_state(strength_be, copper_g_per_l, &constants(calibration)?.bite))
    }

    /// Strength at which a bath was mixed, °Bé, from a reading at `temp_c` with copper in it.
    pub fn mixed_be(
        &self,
        reading_be: f64,
        temp_c: f64,
        copper_g_per_l: f64,
        #[wasm_bindgen(unchecked_param_type = "Record<string, number>")] calibration: JsValue,
    ) -> Result<f64, String> {
        Ok(bite::mixed_be(reading_be, temp_c, copper_g_per_l, &constants(calibration)?.bite))
    }

    /// Amounts and readings for the bench, with a dust box of this floor.
    #[wasm_bindgen(unchecked_return_type = "T.Amounts")]
    pub fn bench(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.PlateOf")] of: JsValue,
        floor_wide_cm: f64,
        floor_deep_cm: f64,
        impressions: f64,
    ) -> Answer {
        let (held, renderer) = self.hold(of)?;
        // What is weighed out is for the first proof.
        let needed = Needed { floor_cm: [floor_wide_cm, floor_deep_cm], impressions };
        give(&amounts(&held.plate, &View::first(), renderer, &needed))
    }

    /// Minutes for the bites that remain after some have run; L* wanted, value 1 first.
    #[wasm_bindgen(unchecked_return_type = "T.RemainingBites")]
    pub fn bites_to_go(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.PlateOf")] of: JsValue,
        ran_min: &[f64],
        target_l: &[f64],
    ) -> Answer {
        let (held, renderer) = self.hold(of)?;
        let so_far = SoFar { bitten_min: ran_min, target_l };
        give(&remaining_bites(&held.plate, renderer, &so_far))
    }

    /// The edition from one state of the plate (0 is the last).
    #[wasm_bindgen(unchecked_return_type = "T.EditionAnswer")]
    pub fn edition(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.PlateOf")] of: JsValue,
        state: usize,
    ) -> Answer {
        let (held, renderer) = self.hold(of)?;
        give(&study::edition(&held.plate, &numbered(state), renderer))
    }

    /// Every way that brings a passage of one state (0 is the last) to a wished L*. `value` and
    /// `amounts` are those of the passage.
    #[wasm_bindgen(unchecked_return_type = "T.Way[]")]
    pub fn ways(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.PlateOf")] of: JsValue,
        state: usize,
        value: usize,
        amounts: &[f32],
        wished: f64,
    ) -> Answer {
        let (held, renderer) = self.hold(of)?;
        let wish = Wish { value, amounts, lightness: wished };
        give(&ways(&held.plate, &numbered(state), renderer, &wish))
    }
}

impl Studies {
    /// Has prints of a plan in hand, to be drawn with this spread; with none, those there are will do, whatever theirs.
    fn draw_for(&mut self, of: JsValue, spread: Option<Spread>) -> Result<(), String> {
        let of = sound_plate(of)?;
        let others = |kind: &Spread| spread.as_ref().is_some_and(|spread| spread != kind);
        if self.drawn.as_ref().is_none_or(|(plate, kind, _)| *plate != of || others(kind)) {
            let spread = spread.unwrap_or(Spread::Wobble);
            let job = job(of.plan.clone(), &of.shares)?;
            let plate = self.renderer.plate(&job).map_err(words)?;
            let prints = Draws::of(&plate, spread.clone()).map_err(words)?;
            self.drawn = Some((of, spread, prints));
        }
        Ok(())
    }

    /// Takes a plan in hand.
    fn hold(&mut self, of: JsValue) -> Result<(&mut InHand, &mut Renderer), String> {
        let of = sound_plate(of)?;
        let held = match self.in_hand.take() {
            Some(held) if held.of == of => held,
            before => of.in_hand(before, &mut self.renderer)?,
        };
        Ok((self.in_hand.insert(held), &mut self.renderer))
    }

    fn response(&mut self, of: JsValue) -> Result<(&InHand, ToneResponse, &mut Renderer), String> {
        let (held, renderer) = self.hold(of)?;
        let response = match &held.response {
            Some(known) => known.clone(),
            None => tone_response(&held.plate, renderer),
        };
        held.response = Some(response.clone());
        Ok((held, response, renderer))
    }
}

impl PlateOf {
    /// Its plate, sharing with the one before what is the same.
    fn in_hand(self, before: Option<InHand>, renderer: &mut Renderer) -> Result<InHand, String> {
        let plan = &self.plan;
        let job = job(plan.clone(), &self.shares)?;
        // What the bath does to the plate changes nothing in how its ground answers it.
        let same_print = |held: &InHand| {
            let own = held.plate.plan();
            own.ink == plan.ink
                && own.paper == plan.paper
                && own.calibration == plan.calibration
                && GroundRecipe::of_plan(plan)
                    .is_ok_and(|recipe| recipe == *held.plate.ground().recipe())
        };
        let (plate, response) = match before {
            Some(held) => {
                let plate = renderer.plate_after(&held.plate, &job).map_err(words)?;
                let kept = same_print(&held);
                (plate, held.response.filter(|_| kept))
            }
            None => (renderer.plate(&job).map_err(words)?, None),
        };
        Ok(InHand { of: self, plate, response })
    }
}

/// What a request is told that comes before a plan.
const NOTHING_IN_HAND: &str = "A study was asked about a plan before it was given one.";

/// A plan that can be computed, or what is wrong with it.
pub(crate) fn sound_plan(value: &JsValue) -> Result<Plan, String> {
    let plan = take_plan(value)?;
    checked(&plan)?;
    Ok(plan)
}

/// The same with its shares.
fn sound_plate(value: JsValue) -> Result<PlateOf, String> {
    let of: PlateOf = take(value)?;
    checked(&of.plan)?;
    Ok(of)
}

pub(crate) fn checked(plan: &Plan) -> Result<(), String> {
    let errors = check::errors(plan);
    if errors.is_empty() { Ok(()) } else { Err(words(errors)) }
}

/// The plate as the bath feels it.
fn job(plan: Plan, shares: &[f64]) -> Result<Job, String> {
    let areas = OneValue::new(0, shares, plan.bites.len())
        .ok_or("There must be a share of the plate for the paper and every value.")?;
    Ok(Job::new(plan, Arc::new(areas)))
}

/// The constants with a calibration in their place.
fn constants(calibration: JsValue) -> Result<Constants, String> {
    let entries: BTreeMap<String, f64> = take(calibration)?;
    Constants::calibrated(&entries).map_err(words)
}
