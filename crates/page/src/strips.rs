//! Test strips: the plans of their patches.

use crate::crossing::{Answer, give, take_plan};
use crate::sample::OneValueOf;
use plan::strip::{self, At, Patch, Side};
use plate::chain::GroundRecipe;
use serde::Serialize;
use ts_rs::TS;
use wasm_bindgen::prelude::*;

/// What a plan is told that has no number or choice of a key.
const NO_NUMBER: &str = "This plan has no such number; choose another.";

/// A test strip.
#[derive(Serialize, TS)]
pub(crate) struct Strip {
    /// Where the patches stand along, and down.
    columns: Vec<At<'static>>,
    rows: Vec<At<'static>>,
    /// Row by row.
    patches: Vec<OneValueOf>,
    /// Places of the patches in the order in which they are best computed: those of one ground together.
    order: Vec<usize>,
    /// Every patch has one bite instead of the schedule.
    once: bool,
    /// The patch whose plan is the plan itself.
    own: Option<usize>,
}

/// A plan with a number set, or a choice by its `word`.
#[wasm_bindgen(unchecked_return_type = "T.Plan")]
pub fn with_step(
    #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
    key: &str,
    number: f64,
    word: &str,
) -> Answer {
    let at = if word.is_empty() { At::Number(number) } else { At::Word(word) };
    give(&strip::with_step(&take_plan(&plan)?, key, at).ok_or(NO_NUMBER)?)
}

/// A test strip of a plan. Sides are from, to and patches; `down_key` is empty for a single row, `value` 0 for one
/// bite of `minutes`. `shares` are the plan's, of the plate per value.
#[wasm_bindgen(unchecked_return_type = "T.Strip")]
#[allow(clippy::too_many_arguments, reason = "numbers cross lighter than a type to be read")]
pub fn strip(
    #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
    shares: &[f64],
    key: &str,
    along: &[f64],
    down_key: &str,
    down: &[f64],
    value: usize,
    minutes: f64,
) -> Answer {
    let base = take_plan(&plan)?;
    let side = |key: &str, range: &[f64]| {
        let at = |i: usize| range.get(i).copied().unwrap_or_default();
        let count = (at(2) as usize).min(strip::MOST_PATCHES);
        Side { key: key.to_owned(), from: at(0), to: at(1), count }
    };
    let asked = strip::Strip {
        along: side(key, along),
        down: (!down_key.is_empty()).then(|| side(down_key, down)),
        value: (value > 0).then_some(value),
        minutes,
    };
    let patches = asked.patches(&base, shares).ok_or(NO_NUMBER)?;
    give(&Strip {
        columns: strip::steps(&asked.along),
        rows: asked.down.as_ref().map(strip::steps).unwrap_or_default(),
        order: by_ground(&patches),
        once: asked.once(),
        own: patches.iter().position(|patch| patch.plan == base),
        patches: patches.into_iter().map(OneValueOf::from).collect(),
    })
}

/// Places of patches, those of one ground behind each other.
fn by_ground(patches: &[Patch]) -> Vec<usize> {
    let grounds: Vec<_> = patches.iter().map(|one| GroundRecipe::of_plan(&one.plan).ok()).collect();
    let mut order = Vec::with_capacity(patches.len());
    for (first, ground) in grounds.iter().enumerate() {
        if !order.contains(&first) {
            order.extend((first..patches.len()).filter(|&at| grounds[at] == *ground));
        }
    }
    order
}
