//! The parts of a plan: plate, dust, bake, bath, ink, paper and their choices.

use serde::{Deserialize, Serialize};

/// The copper plate.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[serde(deny_unknown_fields, default)]
pub struct Copper {
    /// Width in mm, as printed (left to right on paper).
    pub width_mm: f64,
    /// Height in mm.
    pub height_mm: f64,
    /// Thickness of the copper in mm; a thicker plate heats more slowly.
    pub thickness_mm: f64,
    /// Width of the bevel filed round the plate's edge, mm.
    pub bevel_mm: f64,
    /// Radius of the plate's rounded corners, mm.
    pub corner_radius_mm: f64,
}

/// The printing paper.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[serde(deny_unknown_fields, default)]
pub struct Paper {
    /// Reflectance of the bare sheet, 0–1.
    pub reflectance: f64,
    /// Width of the sheet's margin round the plate, in mm.
    pub margin_mm: f64,
}

/// Where the picture comes from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum PictureSource {
    /// The harbour at dusk, drawn by the program.
    Harbour,
    /// The user's own picture; only its name is kept in the plan.
    File(String),
}

/// A rectangle in fractions of the picture's width and height (0–1), from its top left.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[serde(deny_unknown_fields, default)]
pub struct Crop {
    /// Left edge.
    pub left: f64,
    /// Top edge.
    pub top: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
}

/// A point of the curve that a picture's tones go through, L* 0–100.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[serde(deny_unknown_fields)]
pub struct TonePoint {
    /// Lightness before the curve.
    pub from_l: f64,
    /// Lightness after it.
    pub to_l: f64,
}

/// Powder and dust box.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[serde(deny_unknown_fields, default)]
pub struct Dust {
    /// Mass-median diameter of the loose grains, µm.
    pub median_um: f64,
    /// Geometric standard deviation of the grain sizes (by mass).
    pub spread_gsd: f64,
    /// Powder raised into the air, g per m² of box floor, at each dusting.
    pub powder_g_per_m2: f64,
    /// Height the dust falls through, m.
    pub box_height_m: f64,
    /// Wait between stirring up the dust and putting the plate in, s, at each dusting.
    pub wait_s: f64,
    /// Minutes the plate lies in the box, at each dusting.
    pub dusting_min: f64,
    /// How many times the box is raised and the plate put in before the one bake: a whole number.
    pub dustings: f64,
    /// How the air in the box moves while the dust falls.
    pub settling: Settling,
    /// Solid share of a grain, which plan files of the first model name: read over.
    #[serde(skip_serializing)]
    #[ts(skip)]
    pub solid_fraction: serde::de::IgnoredAny,
}

/// How the air in the box moves while the dust falls.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum Settling {
    /// The air keeps turning over, as in a box just fanned.
    Stirred,
    /// The air is still from the start.
    Still,
}

/// Melting the dust onto the plate.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[serde(deny_unknown_fields, default)]
pub struct Bake {
    /// Setting of the hot plate, °C.
    pub hot_plate_c: f64,
    /// Minutes on the hot plate.
    pub bake_min: f64,
    /// A sheet of paper lies between hot plate and copper.
    pub paper_between: bool,
    /// Room temperature, °C.
    pub room_c: f64,
}

/// The etching bath: ferric chloride.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[serde(deny_unknown_fields, default)]
pub struct Bath {
    /// Strength when mixed, °Bé (modulus 145).
    pub strength_be: f64,
    /// Temperature, °C.
    pub temperature_c: f64,
    /// How the bath moves over the plate.
    pub agitation: Agitation,
    /// Volume, L.
    pub volume_l: f64,
    /// Copper already dissolved in it, g/L.
    pub copper_g_per_l: f64,
}

/// How the bath moves over the plate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum Agitation {
    /// Still, the plate face up.
    StillFaceUp,
    /// Still, the plate on edge or face down.
    StillFaceDown,
    /// The tray is rocked.
    Rocked,
    /// Brushed with a feather all the while.
    Feathered,
    /// Air bubbled through a tank.
    Bubbled,
    /// Sprayed in a machine.
    Sprayed,
}

/// One bite.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[serde(deny_unknown_fields)]
pub struct Bite {
    /// Minutes in the bath, in whole quarters.
    pub bite_min: f64,
}

/// Ink, wiping and press.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[serde(deny_unknown_fields, default)]
pub struct Ink {
    /// Parts of transparent base by volume, to 100 parts of black.
    pub base_parts: f64,
    /// Parts of reducer (oil) by volume, to 100 parts of black.
    pub reducer_parts: f64,
    /// How the plate is wiped.
    pub wipe: Wipe,
    /// How hard the press is set.
    pub press: Press,
    /// How stiff the ink is.
    pub stiffness: Stiffness,
    /// The wiped plate is dabbed with soft muslin, which draws a little ink out of the pits.
    pub dabbed_up: bool,
    /// Blankets on the press bed.
    pub blankets: Blankets,
}

/// How stiff the ink is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum Stiffness {
    /// Loose: wipes easily, and the cloth draws more of it out.
    Loose,
    /// As usual.
    #[default]
    Usual,
    /// Stiff: stays in the pits, and as a thicker film on the copper.
    Stiff,
}

/// Blankets between roller and paper.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum Blankets {
    /// One.
    One,
    /// Two.
    Two,
    /// Three, as usual.
    #[default]
    Three,
}

/// How the plate is wiped.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum Wipe {
    /// Tarlatan only: plate tone stays.
    Tarlatan,
    /// Tarlatan, then the palm of the hand.
    Hand,
    /// Wiped hard, or too long.
    Hard,
}

/// How hard the press is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum Press {
    /// Light.
    Light,
    /// Normal.
    Normal,
    /// Heavy, or a second pass.
    Heavy,
}

impl Default for Copper {
    fn default() -> Self {
        Self {
            width_mm: 150.0,
            height_mm: 200.0,
            thickness_mm: 1.2,
            bevel_mm: 1.3,
            corner_radius_mm: 1.6,
        }
    }
}

impl Default for Paper {
    fn default() -> Self {
        Self { reflectance: 0.85, margin_mm: 35.0 }
    }
}

impl Default for Crop {
    /// The whole picture.
    fn default() -> Self {
        Self { left: 0.0, top: 0.0, width: 1.0, height: 1.0 }
    }
}

impl Default for Dust {
    fn default() -> Self {
        Self {
            median_um: 60.0,
            spread_gsd: 1.8,
            powder_g_per_m2: 30.0,
            box_height_m: 1.0,
            wait_s: 30.0,
            dusting_min: 5.0,
            dustings: 1.0,
            settling: Settling::Stirred,
            solid_fraction: serde::de::IgnoredAny,
        }
    }
}

impl Default for Bake {
    fn default() -> Self {
        Self { hot_plate_c: 125.0, bake_min: 10.0, paper_between: true, room_c: 20.0 }
    }
}

impl Default for Bath {
    fn default() -> Self {
        Self {
            strength_be: 40.0,
            temperature_c: 20.0,
            agitation: Agitation::Rocked,
            volume_l: 2.0,
            copper_g_per_l: 0.0,
        }
    }
}

impl Default for Ink {
    fn default() -> Self {
        Self {
            base_parts: 0.0,
            reducer_parts: 0.0,
            wipe: Wipe::Hand,
            press: Press::Normal,
            stiffness: Stiffness::Usual,
            dabbed_up: false,
            blankets: Blankets::Three,
        }
    }
}
