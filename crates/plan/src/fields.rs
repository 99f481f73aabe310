//! Every number of a plan, once: label, unit, limits, step and why it matters.

use crate::types::Plan;
use serde::Serialize;

/// Which part of the plan a number belongs to, in the order of the bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// Picture and plate.
    Plate,
    /// Powder and dust box.
    Dust,
    /// Melting the dust.
    Bake,
    /// The etching bath.
    Bath,
    /// Ink, wiping, press and paper.
    Ink,
}

/// One number of the plan.
#[derive(Clone, Copy, Debug, Serialize, ts_rs::TS)]
pub struct Field {
    /// Path in the plan's JSON, such as `dust.wait_s`.
    pub key: &'static str,
    /// Name as shown.
    pub label: &'static str,
    /// Unit as shown; empty for plain numbers.
    pub unit: &'static str,
    /// Smallest value accepted.
    pub min: f64,
    /// Largest value accepted.
    pub max: f64,
    /// Step of the page's control, and the finest difference a link keeps.
    pub step: f64,
    /// Value in the default plan.
    pub default: f64,
    /// Part of the plan it belongs to.
    pub part: Part,
    /// What it does, in one sentence for a student; its quantities are marked, see
    /// [`Sentence::marked`](crate::Sentence::marked).
    #[serde(serialize_with = "crate::sentence::serialize_marked")]
    #[ts(as = "crate::Worded")]
    pub why: &'static str,
    /// Reads it.
    #[serde(skip)]
    pub get: fn(&Plan) -> f64,
    /// Writes it, unchecked.
    #[serde(skip)]
    pub set: fn(&mut Plan, f64),
}

macro_rules! fields {
    ($( $part:ident $($path:ident).+ : $label:literal, $unit:literal, $min:literal..=$max:literal
        step $step:literal default $default:literal; $why:literal )+) => {
        /// Every number of a plan except the bites and thresholds, which are lists.
        pub const FIELDS: &[Field] = &[$( Field {
            key: fields!(@key $($path).+),
            label: $label, unit: $unit, min: $min, max: $max, step: $step, default: $default,
            part: Part::$part, why: $why,
            get: |plan| plan.$($path).+,
            set: |plan, value| plan.$($path).+ = value,
        } ),+];
    };
    (@key $a:ident . $b:ident) => { concat!(stringify!($a), ".", stringify!($b)) };
}

fields! {
    Plate plate.width_mm: "Width", "mm", 20.0..=600.0 step 0.1 default 150.0;
        "Width of the plate as you look at the print."
    Plate plate.height_mm: "Height", "mm", 20.0..=600.0 step 0.1 default 200.0;
        "Height of the plate."
    Plate plate.thickness_mm: "Copper", "mm", 0.5..=4.0 step 0.1 default 1.2;
        "Thicker copper takes longer to come up to heat on the hot plate."
    Plate plate.bevel_mm: "Bevel", "mm", 0.0..=10.0 step 0.1 default 1.3;
        "Width of the bevel filed round the plate. It presses the plate mark into the paper; a sharp edge would cut paper and blanket."
    Plate plate.corner_radius_mm: "Corner radius", "mm", 0.0..=30.0 step 0.1 default 1.6;
        "How far the plate's corners are rounded, on the plate and in its mark on the paper."
    Plate picture.exposure_stops: "Exposure", "stops", -6.0..=6.0 step 0.1 default 0.0;
        "Lifts the whole picture as twice the light would at each stop; below 0 it is darkened. For pictures taken in too little light, or too much."
    Plate picture.contrast: "Contrast", "×", 0.25..=4.0 step 0.05 default 1.0;
        "How far apart the middle tones lie. Above 1 the darks grow darker and the lights lighter; below 1 all comes nearer to a middle grey."
    Plate picture.smallest_mm: "Narrowest place", "mm", 0.0..=20.0 step 0.1 default 0.0;
        "Width of the narrowest place a brush can stop out. What is narrower takes the value beside it, and borders become as smooth. 0 leaves the picture as it is."
    Dust dust.median_um: "Powder", "µm", 10.0..=200.0 step 1.0 default 60.0;
        "Half of the powder's weight is in grains wider than this. Coarser powder gives coarser grain."
    Dust dust.spread_gsd: "Spread of sizes", "×", 1.1..=3.0 step 0.05 default 1.8;
        "How unequal the grains are: about two thirds of the weight lies within the median divided and multiplied by this."
    Dust dust.powder_g_per_m2: "Rosin stirred up", "g/m²", 1.0..=200.0 step 0.5 default 30.0;
        "Weight of powder stirred into the air for each square metre of box floor, at each dusting. More powder, more cover."
    Dust dust.box_height_m: "Box height", "m", 0.1..=3.0 step 0.05 default 1.0;
        "Height the dust falls through. In a tall box the coarse grains are still falling when the plate goes in."
    Dust dust.wait_s: "Wait", "s", 0.0..=900.0 step 5.0 default 30.0;
        "Time between stirring and putting the plate in. The coarsest grains fall first, so a longer wait leaves a finer, thinner dust."
    Dust dust.dusting_min: "In the box", "min", 0.5..=60.0 step 0.5 default 5.0;
        "How long the plate lies in the falling dust. Longer gives more cover and adds the finest grains."
    Dust dust.dustings: "Dustings", "", 1.0..=6.0 step 1.0 default 1.0;
        "How many times the box is raised and the plate put in before the one bake. A fine dust after a long wait is thin: several dustings bring it to cover."
    Bake bake.hot_plate_c: "Hot plate", "°C", 40.0..=220.0 step 1.0 default 125.0;
        "Setting of the hot plate. The copper settles some degrees below it. Rosin softens near {76 °C}."
    Bake bake.bake_min: "Bake", "min", 0.5..=60.0 step 0.5 default 10.0;
        "Minutes on the hot plate. Most of it is the copper warming up; far too long lets the resin flow into one sheet."
    Bake bake.room_c: "Room", "°C", 0.0..=40.0 step 1.0 default 20.0;
        "Temperature of the room and of the cold plate."
    Bath bath.strength_be: "Strength", "°Bé", 20.0..=46.0 step 0.5 default 40.0;
        "Hydrometer reading of the fresh bath. Between 25 and 40 °Bé it matters less than temperature and movement."
    Bath bath.temperature_c: "Temperature", "°C", 10.0..=35.0 step 0.5 default 20.0;
        "A cold bath bites more slowly: about a quarter slower for each {+10 °C}."
    Bath bath.volume_l: "Volume", "L", 0.2..=100.0 step 0.1 default 2.0;
        "A small bath tires sooner as copper dissolves in it."
    Bath bath.copper_g_per_l: "Copper in the bath", "g/L", 0.0..=60.0 step 0.5 default 0.0;
        "Copper from earlier plates. A tired bath bites slowly, though the hydrometer reads stronger."
    Ink ink.base_parts: "Transparent base", "parts", 0.0..=400.0 step 5.0 default 0.0;
        "Parts of transparent base by volume to 100 of black. It lightens every value."
    Ink ink.reducer_parts: "Reducer", "parts", 0.0..=100.0 step 5.0 default 0.0;
        "Parts of oil or reducer by volume to 100 of black. It loosens and lightens the ink."
    Ink paper.reflectance: "Paper white", "", 0.5..=0.95 step 0.01 default 0.85;
        "Share of the light that the bare sheet throws back."
    Ink paper.margin_mm: "Margin", "mm", 0.0..=150.0 step 1.0 default 35.0;
        "Bare paper round the plate mark."
}

impl Field {
    /// Whether it counts something and has no fraction: a plain number in whole steps.
    #[must_use]
    pub fn counts(&self) -> bool {
        self.unit.is_empty() && self.step == 1.0
    }
}

/// The field with this key, if there is one.
#[must_use]
pub fn field(key: &str) -> Option<&'static Field> {
    FIELDS.iter().find(|field| field.key == key)
}
