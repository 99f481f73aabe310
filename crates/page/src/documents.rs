//! Plan files, links, what differs between two plans, and everything that never changes.

use crate::crossing::{Answer, give, take_plan};
use crate::plate_in_hand::{NOT_READY, PlateInHand};
use js_sys::Uint8Array;
use picture::Toning;
use picture::miniature::{Miniature, link_with_picture};
use plan::difference::{self, Difference};
use plan::lesson::SharedLesson;
use plan::link::{encode, qr};
use plan::{Choice, Diagnostic, Field, MadeFor, Plan, Range, Sentence, ToolInfo, UsUnit};
use plate::check::{self, read_link};
use plate::constants::{ConstantInfo, Constants};
use serde::Serialize;
use ts_rs::TS;
use wasm_bindgen::prelude::*;

/// Everything that never changes while the page is open.
#[derive(Serialize, TS)]
pub(crate) struct Catalogue {
    fields: &'static [Field],
    choices: &'static [Choice],
    tools: &'static [ToolInfo],
    constants: Vec<ConstantInfo>,
    /// What of the real plate is left out, a sentence each.
    not_modelled: &'static [&'static str],
    /// Number of the model that this program reckons with.
    model: u32,
    default_plan: Plan,
    ranges: Vec<Range>,
    us_units: &'static [UsUnit],
}

/// A plan file that was looked at.
#[derive(Serialize, TS)]
pub(crate) struct Checked {
    #[serde(skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    plan: Option<Plan>,
    problems: Vec<Diagnostic>,
}

/// What was in a link: a plan, or one sentence why not; both when a part of it can't be used.
#[derive(Serialize, TS)]
pub(crate) struct OpenedLink {
    #[serde(skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    plan: Option<Plan>,
    #[serde(skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    sentence: Option<String>,
    /// A lesson on the plan.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    lesson: Option<SharedLesson>,
    /// The small picture's lightness, a byte a pixel, row by row; empty when there is none.
    #[serde(with = "serde_wasm_bindgen::preserve")]
    #[ts(type = "Uint8Array<ArrayBuffer>")]
    lightness: Uint8Array,
    /// Columns of the small picture; 0 when there is none.
    width: usize,
}

/// What differs between two plans, and a name for the change.
#[derive(Serialize, TS)]
pub(crate) struct Differences {
    name: Sentence,
    differences: Vec<Difference>,
}

/// Every control of the page, the constants and the default plan.
#[wasm_bindgen(unchecked_return_type = "T.Catalogue")]
pub fn catalogue() -> Answer {
    give(&Catalogue {
        fields: plan::FIELDS,
        choices: plan::CHOICES,
        tools: plan::TOOLS,
        constants: Constants::catalogue(),
        not_modelled: plate::NOT_MODELLED,
        model: plan::MODEL,
        default_plan: Plan::default(),
        ranges: [plan::RANGES, &study::calibration::RANGES].concat(),
        us_units: plan::US_UNITS,
    })
}

/// Density of every tenth of L* from 0 to 100.
#[wasm_bindgen]
pub fn densities_of_tenths() -> Vec<f64> {
    plate::light::densities_of_tenths()
}

/// Checks the text of a plan file. A plan that can be read is there with its problems, too, to be mended.
#[wasm_bindgen(unchecked_return_type = "T.Checked")]
pub fn check(text: &str) -> Answer {
    give(&match Plan::read_unchecked(text) {
        Ok(plan) => Checked { problems: check::errors(&plan), plan: Some(plan) },
        Err(refused) => Checked { plan: None, problems: vec![refused] },
    })
}

/// Reads a link, or whatever was pasted for one.
#[wasm_bindgen(unchecked_return_type = "T.OpenedLink")]
pub fn open_link(text: &str) -> Answer {
    let mut tones = None;
    let mut lesson = None;
    let mut sentence;
    let plan = match read_link(text) {
        Ok(opened) => {
            sentence = opened.said();
            match opened.miniature.as_deref().map(Miniature::decode) {
                Some(Ok(small)) => {
                    tones = Some(small.tones(&Toning::thresholds_l(&opened.plan.picture)))
                }
                Some(Err(damaged)) => sentence = Some(damaged.to_string()),
                None => {}
            }
            lesson = opened.lesson;
            Some(opened.plan)
        }
        Err(error) => {
            sentence = Some(error.to_string());
            None
        }
    };
    let lightness = tones.as_ref().map_or(&[][..], |tones| &tones.lightness);
    give(&OpenedLink {
        plan,
        sentence,
        lesson,
        lightness: Uint8Array::from(lightness),
        width: tones.as_ref().map_or(0, |tones| tones.width),
    })
}

/// A plan to go on with under this program's model, and what is to be said where it was made with another.
#[derive(Serialize, TS)]
pub(crate) struct TakenUp {
    plan: Plan,
    #[serde(skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    sentence: Option<String>,
}

/// Takes a plan up under this program's model.
#[wasm_bindgen(unchecked_return_type = "T.TakenUp")]
pub fn take_up(#[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue) -> Answer {
    let mut plan = take_plan(&plan)?;
    let sentence = plan.take_up();
    give(&TakenUp { plan, sentence })
}

/// What differs between two plans, which may be unsound.
#[wasm_bindgen(unchecked_return_type = "T.Differences")]
pub fn differences(
    #[wasm_bindgen(unchecked_param_type = "T.Plan")] before: JsValue,
    #[wasm_bindgen(unchecked_param_type = "T.Plan")] after: JsValue,
) -> Answer {
    let (before, after) = (take_plan(&before)?, take_plan(&after)?);
    give(&Differences {
        name: difference::name_of_change(&before, &after),
        differences: difference::between(&before, &after),
    })
}

/// Whether two likenesses are of one picture.
#[wasm_bindgen]
pub fn same_picture(
    #[wasm_bindgen(unchecked_param_type = "T.MadeFor")] a: Vec<f64>,
    #[wasm_bindgen(unchecked_param_type = "T.MadeFor")] b: Vec<f64>,
) -> bool {
    picture::same_picture(&MadeFor(a), &MadeFor(b))
}

/// A whole address as a QR code: a byte a module, 1 for dark, row by row; it is square.
#[wasm_bindgen]
pub fn qr_code(address: &str) -> Result<Vec<u8>, String> {
    let code = qr(address).map_err(|error| error.to_string())?;
    Ok(code.dark.iter().map(|dark| u8::from(*dark)).collect())
}

#[wasm_bindgen]
impl PlateInHand {
    /// The plan in hand as a link's fragment, without `#`.
    pub fn link(&self) -> Result<String, String> {
        encode(&self.plan, None).map_err(|error| error.to_string())
    }

    /// The same with the picture in hand as a small one that leaves the whole address, whose first
    /// `address_chars` stand before the `#`, short enough for a chat.
    pub fn link_with_picture(&self, address_chars: usize) -> Result<String, String> {
        let tones = self.tones.as_ref().ok_or(NOT_READY)?;
        link_with_picture(tones, &self.plan, address_chars)
    }
}
