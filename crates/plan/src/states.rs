//! States: the work done on the copper between one proof and the next.
//!
//! The first state is the plate as bitten under the first ground. Each [`State`] of the plan goes
//! on from an earlier one and ends with a proof of its own. Places are in mm on the *print*, from
//! its top left, as the proof is looked at; the reckoning turns them over.

use crate::parts::{Bake, Bath, Dust};
use serde::{Deserialize, Serialize};

/// Most states beside the first.
pub const MAX_STATES: usize = 12;
/// Most pieces of work in one state.
pub const MAX_WORKS: usize = 60;
/// Most points of one stroke or outline.
pub const MAX_POINTS: usize = 200;
/// Most points in all states together.
pub const MAX_POINTS_IN_ALL: usize = 4000;
/// Width of a stroke, or of the soft edge of a passage, mm.
pub const TOOL_WIDTH_MM: (f64, f64) = (0.0, 60.0);
/// Copper that one piece of work takes down, or the hammer raises at most, µm.
pub const TAKE_UM: (f64, f64) = (0.1, 200.0);
/// Most bites under one later ground.
pub const MAX_GROUND_BITES: usize = 12;

/// One state after the first.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[serde(deny_unknown_fields)]
pub struct State {
    /// Its name, at most 120 characters; empty for none.
    #[serde(default)]
    pub name: String,
    /// Number of the state it goes on from: 1 is the first, under the first ground.
    pub from_state: u32,
    /// What is done to the copper, in this order.
    #[serde(default)]
    pub work: Vec<Work>,
}

/// One piece of work on the copper.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum Work {
    /// With a tool, along a stroke or over an outlined passage.
    Tool(ToolWork),
    /// A new ground over copper already bitten, and the bites under it.
    Ground(LaterGround),
}

/// What is worked with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum Tool {
    /// Shaves copper off the lands and leaves its own faint furrows.
    Scraper,
    /// The scraper's point, for detail: takes copper off in a narrow line.
    Point,
    /// Presses the lands down; the copper goes into the pits. Takes furrows out.
    Burnisher,
    /// Charcoal and polish: takes copper off evenly, without furrows.
    Polish,
    /// A hammer from the back: raises a hollow, lands and pits together, until its face is level again.
    Hammer,
}

/// Work with a tool.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[serde(deny_unknown_fields)]
pub struct ToolWork {
    /// The tool.
    pub tool: Tool,
    /// The points outline a passage; otherwise they are the path of one stroke.
    #[serde(default)]
    pub passage: bool,
    /// Width of the stroke, or of the passage's soft edge, mm.
    pub width_mm: f64,
    /// How far the lands go down, µm; under the hammer, how far they rise at most.
    pub take_um: f64,
    /// Path of the stroke or outline of the passage, mm from the top left of the print.
    pub points_mm: Vec<[f64; 2]>,
}

/// A later ground, and the bites under it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[serde(deny_unknown_fields)]
pub struct LaterGround {
    /// Which of all possible falls of dust.
    #[serde(default = "later_seed")]
    pub seed: u32,
    /// Powder and dust box.
    #[serde(default)]
    pub dust: Dust,
    /// Melting the dust.
    #[serde(default)]
    pub bake: Bake,
    /// The bath.
    #[serde(default)]
    pub bath: Bath,
    /// Outline of what is left open, mm on the print; empty for the whole plate.
    #[serde(default)]
    pub outline_mm: Vec<[f64; 2]>,
    /// The bites, each with what lies open in it.
    pub bites: Vec<LaterBite>,
}

/// One bite under a later ground.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[serde(deny_unknown_fields)]
pub struct LaterBite {
    /// Minutes in the bath, in whole quarters.
    pub bite_min: f64,
    /// Lightest value that lies open (0 is the paper).
    pub from_value: u32,
    /// Darkest value that lies open; a number beyond the last value means the last.
    pub to_value: u32,
}

fn later_seed() -> u32 {
    8
}

/// The edition: how many impressions, from what copper, on what sheet.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[serde(deny_unknown_fields, default)]
pub struct Edition {
    /// Impressions, proofs not counted.
    pub impressions: u32,
    /// The copper is steel-faced.
    pub steel_faced: bool,
    /// Reflectance of the edition's paper, 0–1: proofs are often pulled on another.
    pub paper_reflectance: f64,
    /// Width of a full sheet as bought, mm.
    pub sheet_width_mm: f64,
    /// Height of a full sheet as bought, mm.
    pub sheet_height_mm: f64,
    /// Minutes to ink, wipe and pull one impression.
    pub minutes_each: f64,
}

impl Default for Edition {
    fn default() -> Self {
        Self {
            impressions: 30,
            steel_faced: false,
            paper_reflectance: 0.85,
            sheet_width_mm: 760.0,
            sheet_height_mm: 560.0,
            minutes_each: 25.0,
        }
    }
}
