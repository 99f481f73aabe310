//! The plan: what is chosen at each step, in the order of the bench.

use crate::areas::Area;
use crate::faults::Fault;
use crate::lines::LineWork;
use crate::made_for::MadeFor;
pub use crate::parts::*;
use crate::states::{Edition, State};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Everything that is chosen for one plate. See the crate's documentation.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[serde(deny_unknown_fields)]
pub struct Plan {
    /// Format version, [`crate::FORMAT_VERSION`].
    pub platewright: u32,
    /// The model that its proofs were made with, [`crate::MODEL`]; left out in a file, this program's.
    #[serde(default = "crate::model::unsaid")]
    pub model: u32,
    /// Name of the plan, at most 120 characters.
    #[serde(default)]
    pub title: String,
    /// Free notes, at most 4000 characters.
    #[serde(default)]
    pub notes: String,
    /// Which of all possible falls of dust this plate gets. Same plan, same seed: same grains.
    #[serde(default = "default_seed")]
    pub seed: u32,
    /// The copper.
    #[serde(default)]
    pub plate: Copper,
    /// The sheet it is printed on.
    #[serde(default)]
    pub paper: Paper,
    /// Which picture, how it is cropped, and where each value begins.
    #[serde(default)]
    pub picture: Picture,
    /// Areas by hand, each laid over the picture and the areas before it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[ts(optional, as = "Option<Vec<Area>>")]
    pub areas: Vec<Area>,
    /// Lines already on the copper before the first ground.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub lines: Option<LineWork>,
    /// Powder and dust box.
    #[serde(default)]
    pub dust: Dust,
    /// Melting the dust onto the plate.
    #[serde(default)]
    pub bake: Bake,
    /// The etching bath.
    #[serde(default)]
    pub bath: Bath,
    /// One bite per value, lightest first; each darker value is also open in all bites before.
    #[serde(default = "default_bites")]
    pub bites: Vec<Bite>,
    /// Ink, wiping and press.
    #[serde(default)]
    pub ink: Ink,
    /// Work on the copper after the first proof, state by state.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[ts(optional, as = "Option<Vec<State>>")]
    pub states: Vec<State>,
    /// What went wrong at the bench; none is the perfect plate.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[ts(optional, as = "Option<Vec<Fault>>")]
    pub faults: Vec<Fault>,
    /// The edition, once one is planned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub edition: Option<Edition>,
    /// Constants of this shop that replace the built-in ones, by name (see the table of constants).
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    #[ts(optional, as = "Option<BTreeMap<String, f64>>")]
    pub calibration: BTreeMap<String, f64>,
    /// What that calibration is called, such as “brown tray, spring”.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    #[ts(optional, as = "Option<String>")]
    pub calibration_name: String,
}

/// Which picture, how it is laid on the plate, and where each value begins.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[serde(deny_unknown_fields, default)]
pub struct Picture {
    /// Where the picture comes from.
    pub source: PictureSource,
    /// Part of the picture that is used; the page keeps it to the plate's shape.
    pub crop: Crop,
    /// Stops (doublings of light) that the picture's tones are lifted by; below 0 they are darkened.
    pub exposure_stops: f64,
    /// How much farther apart tones lie about the middle (L* 50) after that; 1 leaves them.
    pub contrast: f64,
    /// Points of a curve that tones go through last, by rising lightness; without points they stay.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[ts(optional, as = "Option<Vec<TonePoint>>")]
    pub tone_points: Vec<TonePoint>,
    /// Lightness L* (0–100) at which each value begins, from light to dark: one per bite. Tones
    /// above the first stay paper; tones at or below the last get every bite. They are the picture's
    /// tones after exposure, contrast and curve.
    pub thresholds_l: Vec<f64>,
    /// Width of the narrowest place that keeps a value of its own, mm; what is narrower takes the value
    /// beside it, and borders become as smooth. 0 leaves the picture as it is.
    pub smallest_mm: f64,
    /// What the user's own picture is like, so that it is known again when it comes later.
    #[serde(skip_serializing_if = "MadeFor::is_empty")]
    #[ts(optional, as = "Option<MadeFor>")]
    pub made_for: MadeFor,
    /// Set while a link's small picture stands in for the picture: the part of the whole picture that
    /// it shows. The crop is then a part of the small one.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub stand_in: Option<Crop>,
}

fn default_seed() -> u32 {
    7
}

fn default_bites() -> Vec<Bite> {
    [1.5, 1.5, 1.5, 1.5, 2.5, 3.5, 6.0].map(|bite_min| Bite { bite_min }).to_vec()
}

impl Default for Plan {
    /// The harbour at dusk: the plan that a new user meets.
    fn default() -> Self {
        Self {
            platewright: crate::FORMAT_VERSION,
            model: crate::MODEL,
            title: "Harbour at dusk".to_owned(),
            notes: String::new(),
            seed: default_seed(),
            plate: Copper::default(),
            paper: Paper::default(),
            picture: Picture::default(),
            areas: Vec::new(),
            lines: None,
            dust: Dust::default(),
            bake: Bake::default(),
            bath: Bath::default(),
            bites: default_bites(),
            ink: Ink::default(),
            states: Vec::new(),
            faults: Vec::new(),
            edition: None,
            calibration: BTreeMap::new(),
            calibration_name: String::new(),
        }
    }
}

impl Default for Picture {
    fn default() -> Self {
        Self {
            source: PictureSource::Harbour,
            crop: Crop::default(),
            exposure_stops: 0.0,
            contrast: 1.0,
            tone_points: Vec::new(),
            thresholds_l: vec![90.0, 80.0, 69.0, 58.0, 47.0, 37.0, 28.0],
            smallest_mm: 0.0,
            made_for: MadeFor::default(),
            stand_in: None,
        }
    }
}

impl Plan {
    /// The states from the second up to state `number` (1 is the first), in the order of the work:
    /// `number`'s own line of descent. States of other branches are not among them.
    #[must_use]
    pub fn line_of(&self, number: usize) -> Vec<&State> {
        self.line_numbers(number).into_iter().map(|number| &self.states[number - 2]).collect()
    }

    /// The numbers of the states of [`Self::line_of`], each at least 2.
    #[must_use]
    pub fn line_numbers(&self, number: usize) -> Vec<usize> {
        let mut line = Vec::new();
        let mut at = number.min(self.states.len() + 1);
        while at >= 2 {
            line.push(at);
            // A sound plan always goes on from an earlier state.
            at = (self.states[at - 2].from_state as usize).min(at - 1);
        }
        line.reverse();
        line
    }
}
