//! One value of any plan on a plate with nothing else on it, for test strips and lessons.

use crate::crossing::{Answer, give, take, words};
use crate::plate_in_hand::PlateInHand;
use crate::views::{Cut, CutRequest, Image, Place};
use plan::strip::Patch;
use plan::{Diagnostic, Plan};
use plate::chain::{OneValue, Sample as SampleNumbers, quick_sample};
use plate::check;
use plate::{Job, View};
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use ts_rs::TS;
use wasm_bindgen::prelude::*;

/// What a sample is told that the plan cannot give.
const NO_VALUE: &str = "This plan has no such value, or too many or too few shares.";

/// A value of a plan, and the share of the plate per value, paper first: how fast the bath tires.
#[derive(Serialize, Deserialize, TS)]
pub(crate) struct OneValueOf {
    #[serde(deserialize_with = "crate::crossing::plan_within")]
    plan: Plan,
    value: usize,
    shares: Vec<f64>,
}

/// What is wanted of a sample; windows and cuts each only where named.
#[derive(Deserialize, TS)]
pub(crate) struct SampleRequest {
    of: OneValueOf,
    /// A first look only: numbers from little ground, in a few milliseconds.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    glance: bool,
    #[serde(default)]
    #[ts(optional)]
    print: Option<Place>,
    #[serde(default)]
    #[ts(optional)]
    grain: Option<Place>,
    #[serde(default)]
    #[ts(optional)]
    copper: Option<CopperPlace>,
    #[serde(default)]
    #[ts(optional)]
    cut: Option<CutRequest>,
}

/// A place of the copper after so many bites.
#[derive(Deserialize, TS)]
struct CopperPlace {
    place: Place,
    after_bites: usize,
}

/// What a sample gives; with problems nothing else.
#[derive(Default, Serialize, TS)]
pub(crate) struct Sample {
    problems: Vec<Diagnostic>,
    #[serde(skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    numbers: Option<SampleNumbers>,
    #[serde(skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    print: Option<Image>,
    #[serde(skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    grain: Option<Image>,
    #[serde(skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    copper: Option<Image>,
    #[serde(skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    cut: Option<Cut>,
}

impl From<Patch> for OneValueOf {
    fn from(Patch { plan, value, shares }: Patch) -> Self {
        Self { plan, value, shares }
    }
}

impl OneValueOf {
    fn areas(&self) -> Result<OneValue, String> {
        OneValue::new(self.value, &self.shares, self.plan.bites.len())
            .ok_or_else(|| NO_VALUE.to_owned())
    }

    fn job(&self) -> Result<Job, String> {
        Ok(Job::new(self.plan.clone(), Arc::new(self.areas()?)))
    }
}

#[wasm_bindgen]
impl PlateInHand {
    /// One value of any plan, whatever the plan in hand is; that one stays.
    #[wasm_bindgen(unchecked_return_type = "T.Sample")]
    pub fn sample(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.SampleRequest")] wanted: JsValue,
    ) -> Answer {
        let wanted: SampleRequest = take(wanted)?;
        let problems = check::errors(&wanted.of.plan);
        if !problems.is_empty() {
            return give(&Sample { problems, ..Sample::default() });
        }
        let (job, value) = (wanted.of.job()?, wanted.of.value);
        // What tools take off needs the whole sample.
        if wanted.glance && job.plan.states.is_empty() {
            let numbers = quick_sample(&job, value).map_err(words)?;
            return give(&Sample { numbers: Some(numbers), ..Sample::default() });
        }
        let (before, renderer) = &mut self.lab;
        let plate = match before {
            Some(before) => renderer.plate_after(before, &job),
            None => renderer.plate(&job),
        };
        let plate = before.insert(plate.map_err(words)?);
        let view = View::default();
        let mut seen = renderer.look(plate, &view);
        give(&Sample {
            problems,
            numbers: Some(seen.sample(value)),
            print: wanted.print.map(|place| place.print(&mut seen)),
            grain: wanted.grain.map(|place| place.print(&mut seen)),
            copper: wanted.copper.map(|at| at.place.copper(&mut seen, at.after_bites)),
            cut: wanted.cut.map(|cut| cut.cut(&mut seen)),
        })
    }

    /// Takes a plate that has nothing but one value on it as the plate in hand, to be watched. For a
    /// worker of its own, without a picture.
    pub fn take_sample(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.OneValueOf")] of: JsValue,
    ) -> Result<(), String> {
        let of: OneValueOf = take(of)?;
        let problems = check::errors(&of.plan);
        if !problems.is_empty() {
            return Err(words(problems));
        }
        let areas = Arc::new(of.areas()?);
        self.lay(of.plan, areas).map_err(words)
    }
}
