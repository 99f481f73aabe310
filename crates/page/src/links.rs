//! Plans that travel: links, and what differs between two plans, in words.

use crate::answers::{Differences, Opened, json};
use crate::workshop::{NOT_READY, Workshop};
use picture::ToneMap;
use picture::miniature::Miniature;
use plan::link::{CHAT_CHARS, encode, room_for_miniature};
use plan::{Plan, difference};
use plate::check::read_link;
use wasm_bindgen::prelude::*;

/// A plan from a link, and its small picture if one came along.
#[wasm_bindgen]
pub struct OpenedLink {
    json: String,
    tones: Option<ToneMap>,
}

#[wasm_bindgen]
impl OpenedLink {
    /// `{ plan }`, or `{ sentence }` when the link can't be opened; both when a part of it can't be used.
    pub fn json(&self) -> String {
        self.json.clone()
    }

    /// The small picture's lightness, a byte a pixel, row by row; empty when there is none.
    pub fn lightness(&self) -> Vec<u8> {
        self.tones.as_ref().map(|tones| tones.lightness.clone()).unwrap_or_default()
    }

    /// Columns of the small picture; 0 when there is none.
    pub fn width(&self) -> usize {
        self.tones.as_ref().map_or(0, |tones| tones.width)
    }
}

/// Reads a link, or whatever was pasted for one.
#[wasm_bindgen]
pub fn open_link(text: &str) -> OpenedLink {
    let opened = match read_link(text) {
        Ok(opened) => opened,
        Err(error) => {
            let answer = Opened { plan: None, sentence: Some(error.to_string()) };
            return OpenedLink { json: json(&answer), tones: None };
        }
    };
    let (mut tones, mut sentence) = (None, opened.said());
    match opened.miniature.as_deref().map(Miniature::decode) {
        Some(Ok(small)) => tones = Some(small.tones(&opened.plan.picture.thresholds_l)),
        Some(Err(damaged)) => sentence = Some(damaged.to_string()),
        None => {}
    }
    let answer = Opened { plan: Some(opened.plan), sentence };
    OpenedLink { json: json(&answer), tones }
}

/// A plan, as JSON, to go on with under this program's model, and what is to be said where it was made
/// with another: `{ plan, sentence? }` as JSON.
#[wasm_bindgen]
pub fn take_up(text: &str) -> Result<String, String> {
    let mut plan = Plan::read_unchecked(text).map_err(|refused| refused.message)?;
    let sentence = plan.take_up();
    Ok(json(&Opened { plan: Some(plan), sentence }))
}

/// Whether two `made_for` are of one picture.
#[wasm_bindgen]
pub fn same_picture(a: Vec<f64>, b: Vec<f64>) -> bool {
    picture::same_picture(&plan::MadeFor(a), &plan::MadeFor(b))
}

/// What differs between two plans, which may be unsound: `{ name, differences }` as JSON.
#[wasm_bindgen]
pub fn differences(before: &str, after: &str) -> Result<String, String> {
    let read = |text: &str| Plan::read_unchecked(text).map_err(|refused| refused.message);
    let (before, after) = (read(before)?, read(after)?);
    Ok(json(&Differences {
        name: difference::name_of_change(&before, &after),
        differences: difference::between(&before, &after),
    }))
}

#[wasm_bindgen]
impl Workshop {
    /// The plan in hand as a link's fragment, without `#`.
    pub fn link(&self) -> Result<String, String> {
        encode(&self.plan, None).map_err(|error| error.to_string())
    }

    /// The same with the picture in hand as a small one that leaves the whole address, whose first
    /// `address_chars` stand before the `#`, short enough for a chat.
    pub fn link_with_picture(&self, address_chars: usize) -> Result<String, String> {
        let tones = self.tones.as_ref().ok_or(NOT_READY)?;
        let plan = &self.plan;
        let room = room_for_miniature(plan, address_chars, CHAT_CHARS)
            .map_err(|error| error.to_string())?;
        let small = Miniature::fitting(
            tones,
            plan.picture.crop,
            &plan.picture.thresholds_l,
            plan.plate.width_mm,
            plan.plate.height_mm,
            room,
        );
        let (_, code) =
            small.ok_or("The notes fill this link: there is no room for a picture in it.")?;
        encode(plan, Some(&code)).map_err(|error| error.to_string())
    }
}
