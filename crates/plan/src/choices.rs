//! Every choice made by name: wiping, agitation, press, settling, paper between.

use crate::fields::Part;
use crate::types::{Agitation, Blankets, Plan, Press, Settling, Stiffness, Wipe};
use serde::Serialize;

/// One choice made by name.
#[derive(Clone, Copy, Debug, Serialize, ts_rs::TS)]
pub struct Choice {
    /// Path in the plan's JSON, such as `ink.wipe`.
    pub key: &'static str,
    /// Name as shown.
    pub label: &'static str,
    /// What may be chosen: the word in the JSON, and the words shown.
    pub options: &'static [(&'static str, &'static str)],
    /// Part of the plan it belongs to.
    pub part: Part,
    /// What it does, in one sentence for a student; its quantities are marked, see
    /// [`Sentence::marked`](crate::Sentence::marked).
    #[serde(serialize_with = "crate::sentence::serialize_marked")]
    #[ts(as = "crate::Worded")]
    pub why: &'static str,
    /// Index of the option in force.
    #[serde(skip)]
    pub get: fn(&Plan) -> usize,
    /// Chooses an option by index; an index out of range changes nothing.
    #[serde(skip)]
    pub set: fn(&mut Plan, usize),
}

/// Settings of an enum in the order of a choice's options.
const SETTLING: [Settling; 2] = [Settling::Stirred, Settling::Still];
const PAPER_BETWEEN: [bool; 2] = [true, false];
const AGITATION: [Agitation; 6] = [
    Agitation::StillFaceUp,
    Agitation::StillFaceDown,
    Agitation::Rocked,
    Agitation::Feathered,
    Agitation::Bubbled,
    Agitation::Sprayed,
];
const WIPE: [Wipe; 3] = [Wipe::Tarlatan, Wipe::Hand, Wipe::Hard];
const PRESS: [Press; 3] = [Press::Light, Press::Normal, Press::Heavy];

const STIFFNESS: [Stiffness; 3] = [Stiffness::Loose, Stiffness::Usual, Stiffness::Stiff];
const DABBED_UP: [bool; 2] = [false, true];
const BLANKETS: [Blankets; 3] = [Blankets::Three, Blankets::Two, Blankets::One];

fn index_of<T: PartialEq>(all: &[T], one: &T) -> usize {
    all.iter().position(|each| each == one).unwrap_or(0)
}

/// Every choice made by name, in the order of the bench.
pub const CHOICES: &[Choice] = &[
    Choice {
        key: "dust.settling",
        label: "Air in the box",
        options: &[("stirred", "stirred air"), ("still", "still air")],
        part: Part::Dust,
        why: "In a box just fanned the air keeps mixing, so some coarse grains arrive late. In still air each size falls like a curtain.",
        get: |plan| index_of(&SETTLING, &plan.dust.settling),
        set: |plan, i| plan.dust.settling = *SETTLING.get(i).unwrap_or(&plan.dust.settling),
    },
    Choice {
        key: "bake.paper_between",
        label: "Under the plate",
        options: &[("true", "a sheet of paper"), ("false", "bare hot plate")],
        part: Part::Bake,
        why: "A sheet of paper under the copper spreads the heat and slows it.",
        get: |plan| index_of(&PAPER_BETWEEN, &plan.bake.paper_between),
        set: |plan, i| {
            plan.bake.paper_between = *PAPER_BETWEEN.get(i).unwrap_or(&plan.bake.paper_between);
        },
    },
    Choice {
        key: "bath.agitation",
        label: "Movement",
        options: &[
            ("still_face_up", "still, face up"),
            ("still_face_down", "still, face down"),
            ("rocked", "tray rocked"),
            ("feathered", "feathered"),
            ("bubbled", "bubbled tank"),
            ("sprayed", "spray"),
        ],
        part: Part::Bath,
        why: "Spent solution lies in the pits and slows the bite. Rocking or feathering sweeps it out.",
        get: |plan| index_of(&AGITATION, &plan.bath.agitation),
        set: |plan, i| plan.bath.agitation = *AGITATION.get(i).unwrap_or(&plan.bath.agitation),
    },
    Choice {
        key: "ink.wipe",
        label: "Wiping",
        options: &[("tarlatan", "tarlatan only"), ("hand", "hand"), ("hard", "hard")],
        part: Part::Ink,
        why: "Tarlatan alone leaves a film of plate tone. The hand takes it off. Hard wiping also pulls ink out of the pits.",
        get: |plan| index_of(&WIPE, &plan.ink.wipe),
        set: |plan, i| plan.ink.wipe = *WIPE.get(i).unwrap_or(&plan.ink.wipe),
    },
    Choice {
        key: "ink.press",
        label: "Press",
        options: &[("light", "light"), ("normal", "normal"), ("heavy", "heavy")],
        part: Part::Ink,
        why: "More pressure drives the damp paper further into the pits, so more of the ink comes away.",
        get: |plan| index_of(&PRESS, &plan.ink.press),
        set: |plan, i| plan.ink.press = *PRESS.get(i).unwrap_or(&plan.ink.press),
    },
    Choice {
        key: "ink.stiffness",
        label: "Ink",
        options: &[("loose", "loose"), ("usual", "as usual"), ("stiff", "stiff")],
        part: Part::Ink,
        why: "Stiff ink stays in the pits and on the copper: darker, with more tone. Loose ink wipes cleaner, and the cloth draws more of it out.",
        get: |plan| index_of(&STIFFNESS, &plan.ink.stiffness),
        set: |plan, i| plan.ink.stiffness = *STIFFNESS.get(i).unwrap_or(&plan.ink.stiffness),
    },
    Choice {
        key: "ink.dabbed_up",
        label: "Retroussage",
        options: &[("false", "no"), ("true", "dabbed up")],
        part: Part::Ink,
        why: "Soft muslin dabbed up and down over the wiped plate draws a little ink out of the pits and spreads it along their edges: softer and darker, muddy on close work.",
        get: |plan| index_of(&DABBED_UP, &plan.ink.dabbed_up),
        set: |plan, i| plan.ink.dabbed_up = *DABBED_UP.get(i).unwrap_or(&plan.ink.dabbed_up),
    },
    Choice {
        key: "ink.blankets",
        label: "Blankets",
        options: &[("three", "three"), ("two", "two"), ("one", "one")],
        part: Part::Ink,
        why: "Soft blankets push the damp paper into the pits. With one left out it reaches less far; set the pressure anew, or the roller rides loose.",
        get: |plan| index_of(&BLANKETS, &plan.ink.blankets),
        set: |plan, i| plan.ink.blankets = *BLANKETS.get(i).unwrap_or(&plan.ink.blankets),
    },
];
