//! The shop: what is asked of a print shop rather than of one plate. A module of its own, fetched
//! when it is first asked for.

use plan::Plan;
use plan::link::qr;
use plate::bite;
use plate::chain::{GroundRecipe, OneValue};
use plate::constants::Constants;
use plate::{Job, Plate, Refused, Renderer, View};
use serde::Serialize;
use std::collections::BTreeMap;
use std::sync::Arc;
use study::amounts::{Needed, amounts};
use study::calibration::{
    self, Black, Fit, Forward, Kind, Photo, Shot, design, fit, in_lightness, layout, read_photo,
    step_plate, unfitted,
};
use study::grain::{GrainSize, GrainWish, grain_for};
use study::inverse::{self, Wanted, even_steps, inverse, picture_values};
use study::remaining_bites::{SoFar, remaining_bites};
use study::rework::{Wish, ways};
use study::timing::Rounding;
use study::tolerance::{Draws, Spread, tolerance};
use study::tone_response::{ToneResponse, tone_response};
use wasm_bindgen::prelude::*;

/// A plate in hand, and how its ground darkens.
struct InHand {
    plate: Plate,
    darkening: Option<ToneResponse>,
}

/// Lives in a worker of its own (`www/src/reckon/shopAnswers.ts`).
#[wasm_bindgen]
pub struct Shop {
    in_hand: Option<InHand>,
    renderer: Renderer,
    /// The bands being drawn, and what they were asked for.
    drawn: Option<(String, Draws)>,
    /// How the steps of a step plate darken, and for what it was calculated.
    forward: Option<(String, Forward)>,
}

#[wasm_bindgen]
impl Shop {
    /// An empty shop.
    #[wasm_bindgen(constructor)]
    #[allow(clippy::new_without_default, reason = "JavaScript calls the constructor")]
    pub fn new() -> Self {
        crate::report_panics();
        Self { in_hand: None, renderer: Renderer::default(), drawn: None, forward: None }
    }

    /// Takes a plan, as JSON, with the share of the plate per value, paper first.
    pub fn take(&mut self, plan: &str, shares: &[f64]) -> Result<(), String> {
        let plan = read(plan)?;
        let held = self.in_hand.as_ref();
        if held.is_some_and(|held| {
            *held.plate.plan() == plan && held.plate.picture().shares() == shares
        }) {
            return Ok(());
        }
        // What the bath does to the plate changes nothing in how its ground darkens.
        let same_print = |held: &InHand| {
            let own = held.plate.plan();
            own.ink == plan.ink
                && own.paper == plan.paper
                && own.calibration == plan.calibration
                && GroundRecipe::of_plan(&plan)
                    .is_ok_and(|recipe| recipe == *held.plate.ground().recipe())
        };
        let known = held.filter(|held| same_print(held));
        let darkening = known.and_then(|held| held.darkening.clone());
        let job = job(plan, shares)?;
        let plate = match held {
            Some(held) => self.renderer.plate_after(&held.plate, &job),
            None => self.renderer.plate(&job),
        };
        self.in_hand = Some(InHand { plate: plate.map_err(words)?, darkening });
        Ok(())
    }

    /// Wanted L* of each value as JSON: `even` steps, or with a histogram of the picture its own.
    pub fn wanted(&mut self, histogram: &[u32]) -> Result<String, String> {
        let (held, darkening, _) = self.darkening()?;
        let plan = held.plate.plan();
        let (paper_l, darkest_l) = (darkening.paper_l(), darkening.darkest().1);
        Ok(json(&if histogram.is_empty() {
            even_steps(paper_l, darkest_l, plan.bites.len())
        } else {
            picture_values(histogram, &plan.picture.thresholds_l, paper_l, darkest_l)
        }))
    }

    /// Minutes for wanted values, as JSON: `study::inverse::Inverse`.
    pub fn backwards(
        &mut self,
        wanted_l: &[f64],
        bitten_min: &[f64],
        timed: &str,
    ) -> Result<String, String> {
        let rounding = rounding(timed)?;
        let (held, darkening, renderer) = self.darkening()?;
        let plate = &held.plate;
        let wanted = Wanted { wanted_l, bitten_min, rounding };
        Ok(json(&inverse(plate, renderer, &darkening, &wanted)))
    }

    /// Minutes that print in the plan's bath the values that `before`, a plan that differs in bath and
    /// bites alone, printed; as JSON.
    pub fn same_values(&mut self, before: &str, timed: &str) -> Result<String, String> {
        let rounding = rounding(timed)?;
        let before = read(before)?;
        let plate = &self.in_hand.as_ref().ok_or(NOTHING_IN_HAND)?.plate;
        let before = job(before, plate.picture().shares())?;
        let before = self.renderer.plate_after(plate, &before).map_err(words)?;
        let doses_um = &before.session().dose_um[1..];
        let (exact_min, bite_min) = inverse::same_values(plate, doses_um, rounding);
        let reached = inverse::reaches(plate, doses_um, &exact_min);
        Ok(json(&SameValues { reached, exact_min, bite_min }))
    }

    /// Dust and bake for a wanted grain, as JSON. One of footprint (µm) and domes/mm² is above 0.
    pub fn grain(
        &self,
        footprint_um: f64,
        domes_per_mm2: f64,
        cover: f64,
    ) -> Result<String, String> {
        let held = self.in_hand.as_ref().ok_or(NOTHING_IN_HAND)?;
        let size = if footprint_um > 0.0 {
            GrainSize::FootprintUm(footprint_um)
        } else {
            GrainSize::DomesPerMm2(domes_per_mm2)
        };
        Ok(json(&grain_for(held.plate.plan(), GrainWish { size, cover }).map_err(words)?))
    }

    /// L* of every value, paper first, in so many prints from this number on, one after another.
    /// `spread` is `wobble`, `ranges`, or JSON with the limits of a calibration, key to deviation.
    pub fn draws(
        &mut self,
        plan: &str,
        shares: &[f64],
        spread: &str,
        from: u32,
        count: u32,
    ) -> Result<Vec<f64>, String> {
        let asked = format!("{spread} {shares:?} {plan}");
        if self.drawn.as_ref().is_none_or(|(of, _)| *of != asked) {
            let plate = self.renderer.plate(&job(read(plan)?, shares)?).map_err(words)?;
            let spread = match spread {
                "wobble" => Spread::Wobble,
                "ranges" => Spread::Ranges,
                limits => Spread::Calibrated(
                    serde_json::from_str(limits).map_err(|error| error.to_string())?,
                ),
            };
            self.drawn = Some((asked, Draws::of(&plate, spread).map_err(words)?));
        }
        let (_, of) = self.drawn.as_mut().ok_or(NOTHING_IN_HAND)?;
        let mut all = Vec::new();
        for number in from..from.saturating_add(count) {
            all.extend(of.draw(number, &mut self.renderer).map_err(words)?);
        }
        Ok(all)
    }

    /// The bands of all draws so far, as JSON.
    pub fn bands(&self, draws: &[f64], values: usize) -> String {
        json(&tolerance(draws, values))
    }

    /// A step plate of so many steps for a plan, as JSON: `study::calibration::StepPlate`.
    pub fn step_plate(&self, plan: &str, steps: usize) -> Result<String, String> {
        Ok(json(&design(&read(plan)?, steps).map_err(words)?))
    }

    /// Reads a step plate's print off a picture (8-bit sRGB with alpha), as JSON:
    /// `study::calibration::PhotoReading`. `corners` are x, y of four, `black` x, y and reflectance of a known
    /// black or nothing.
    pub fn read_photo(
        &self,
        rgba: &[u8],
        width: usize,
        steps: usize,
        corners: &[f64],
        black: &[f64],
        paper_reflectance: f64,
    ) -> Result<String, String> {
        let height = rgba.len() / 4 / width.max(1);
        let photo = Photo::from_rgba(rgba, width, height)?;
        let corners: [f64; 8] = corners.try_into().map_err(|_| "There must be four corners.")?;
        let black = match *black {
            [x, y, reflectance] => Some(Black { at: (x, y), reflectance }),
            _ => None,
        };
        let corners = [0, 2, 4, 6].map(|i| (corners[i], corners[i + 1]));
        let shot = Shot { corners, paper_reflectance, black };
        let found = read_photo(&photo, &layout(steps), &shot);
        Ok(json(&found.map_err(|all| all.join(" "))?))
    }

    /// Calculates beforehand what [`Shop::calibrate`] takes longest over, while the readings are typed.
    pub fn ready_to_calibrate(&mut self, plan: &str, bite_min: &[f64]) -> Result<(), String> {
        let asked = format!("{bite_min:?} {plan}");
        if self.forward.as_ref().is_none_or(|(known, _)| *known != asked) {
            let plate = step_plate(&unfitted(&read(plan)?), bite_min).map_err(words)?;
            self.forward = Some((asked, Forward::new(&plate)?));
        }
        Ok(())
    }

    /// The constants that a step plate tells, as JSON: what was read as L*, and `study::calibration::Fit`. A
    /// reading that is not a number was not taken.
    pub fn calibrate(
        &mut self,
        plan: &str,
        bite_min: &[f64],
        kind: &str,
        readings: &[f64],
    ) -> Result<String, String> {
        let kind = Kind::from_word(kind).ok_or("Readings can't be of that kind.")?;
        let of = read(plan)?;
        let readings: Vec<Option<f64>> =
            readings.iter().map(|&one| (!one.is_nan()).then_some(one)).collect();
        let read_l =
            in_lightness(kind, &readings, of.paper.reflectance).map_err(|all| all.join(" "))?;
        self.ready_to_calibrate(plan, bite_min)?;
        let (_, forward) = self.forward.as_ref().ok_or(NOTHING_IN_HAND)?;
        let fit = fit(forward, &read_l).map_err(|all| all.join(" "))?;
        Ok(json(&Calibrated { read_l, fit }))
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

    /// Amounts and readings for the bench, as JSON: `study::amounts::Amounts`. `shares` of the plate per
    /// value, paper first.
    pub fn bench(
        &mut self,
        plan: &str,
        shares: &[f64],
        floor_m2: f64,
        impressions: f64,
    ) -> Result<String, String> {
        self.take(plan, shares)?;
        let plate = &self.in_hand.as_ref().ok_or(NOTHING_IN_HAND)?.plate;
        // What is weighed out is for the first proof.
        let view = View::first();
        let needed = Needed { floor_m2, impressions };
        Ok(json(&amounts(plate, &view, &mut self.renderer, &needed)))
    }

    /// Minutes for the bites that remain after some have run, as JSON: `study::remaining_bites::RemainingBites`.
    pub fn bites_to_go(
        &mut self,
        plan: &str,
        shares: &[f64],
        ran_min: &[f64],
        target_l: &[f64],
    ) -> Result<String, String> {
        self.take(plan, shares)?;
        let plate = &self.in_hand.as_ref().ok_or(NOTHING_IN_HAND)?.plate;
        let so_far = SoFar { bitten_min: ran_min, target_l };
        Ok(json(&remaining_bites(plate, &mut self.renderer, &so_far)))
    }

    /// The edition from one state of the plate (0 is the last), as JSON:
    /// `study::edition::EditionAnswer`.
    pub fn edition(&mut self, plan: &str, shares: &[f64], state: usize) -> Result<String, String> {
        let (plate, view) = self.at_state(plan, shares, state)?;
        Ok(json(&study::edition(&plate, &view, &mut self.renderer)))
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
        let (plate, view) = self.at_state(plan, shares, state)?;
        let wish = Wish { value, amounts, lightness: wished };
        Ok(json(&ways(&plate, &view, &mut self.renderer, &wish)))
    }
}

impl Shop {
    /// A plan's plate, and the view of one of its states (0 is the last).
    fn at_state(
        &mut self,
        plan: &str,
        shares: &[f64],
        state: usize,
    ) -> Result<(Plate, View), String> {
        self.take(plan, shares)?;
        let plate = self.in_hand.as_ref().ok_or(NOTHING_IN_HAND)?.plate.clone();
        Ok((plate, View { state: (state != 0).then_some(state), ..View::default() }))
    }

    fn darkening(&mut self) -> Result<(&InHand, ToneResponse, &mut Renderer), String> {
        let held = self.in_hand.as_mut().ok_or(NOTHING_IN_HAND)?;
        let darkening = match &held.darkening {
            Some(known) => known.clone(),
            None => tone_response(&held.plate, &mut self.renderer),
        };
        held.darkening = Some(darkening.clone());
        Ok((held, darkening, &mut self.renderer))
    }
}

/// Digests of the solvers, for the checks: see `study::calibration::example`.
#[wasm_bindgen]
pub fn shop_digests() -> String {
    calibration::example::digests()
}

/// A whole address as a QR code: a byte a module, 1 for dark, row by row; it is square.
#[wasm_bindgen]
pub fn qr_code(address: &str) -> Result<Vec<u8>, String> {
    let code = qr(address).map_err(|error| error.to_string())?;
    Ok(code.dark.iter().map(|dark| u8::from(*dark)).collect())
}

/// What a request is told that comes before a plan.
const NOTHING_IN_HAND: &str = "The shop was asked about a plan before it was given one.";

/// What was read off a step plate, L*, and what it tells.
#[derive(Serialize)]
struct Calibrated {
    read_l: Vec<Option<f64>>,
    fit: Fit,
}

/// Minutes in another bath for the same values.
#[derive(Serialize)]
struct SameValues {
    /// Minutes as timed, and exactly.
    bite_min: Vec<f64>,
    exact_min: Vec<f64>,
    /// Whether this bath gets there at all.
    reached: bool,
}

fn read(plan: &str) -> Result<Plan, String> {
    plate::check::read(plan)
        .map_err(|problems| problems.into_iter().map(|p| p.message).collect::<Vec<_>>().join(" "))
}

/// The plate as the bath feels it.
fn job(plan: Plan, shares: &[f64]) -> Result<Job, String> {
    let areas = OneValue::new(0, shares, plan.bites.len())
        .ok_or("There must be a share of the plate for the paper and every value.")?;
    Ok(Job::new(plan, Arc::new(areas)))
}

fn rounding(timed: &str) -> Result<Rounding, String> {
    Rounding::from_word(timed).ok_or_else(|| format!("Bites can't be timed `{timed}`."))
}

/// The constants with a calibration in their place.
fn constants(calibration: &str) -> Result<Constants, String> {
    let entries: BTreeMap<String, f64> =
        serde_json::from_str(calibration).map_err(|error| error.to_string())?;
    Constants::calibrated(&entries).map_err(words)
}

/// Refusals as one text.
fn words(refused: Refused) -> String {
    refused.into_iter().map(|(_, words)| words).collect::<Vec<_>>().join(" ")
}

fn json(answer: &impl Serialize) -> String {
    // Strings, numbers and lists of them always serialise.
    serde_json::to_string(answer).unwrap_or_default()
}
