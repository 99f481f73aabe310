//! The bath book: how a bath stands between plates, and what its hydrometer really says.

use super::{BiteConstants, Tiredness, rate, strength, tiredness};
use serde::Serialize;

/// How a bath stands.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct BathState {
    /// Strength at which it was mixed, °Bé.
    pub strength_be: f64,
    /// Copper dissolved in it, g/L.
    pub copper_g_per_l: f64,
    /// Speed against the same bath fresh, 0–1.
    pub speed_share: f64,
    /// What the hydrometer reads with that copper in it, °Bé at 60 °F.
    pub hydrometer_be: f64,
    /// Copper from which it counts as tired, g/L (three quarters of its speed).
    pub tired_g_per_l: f64,
    /// Copper at which it is due to be replaced, g/L (half its speed).
    pub replace_g_per_l: f64,
    /// `fresh`, `tired` or `spent`.
    #[ts(type = "'fresh' | 'tired' | 'spent'")]
    pub tiredness: &'static str,
}

/// How a bath mixed at `strength_be` stands with this much copper dissolved in it, g/L.
#[must_use]
pub fn bath_state(strength_be: f64, copper_g_per_l: f64, constants: &BiteConstants) -> BathState {
    let loss = rate::loss_per_copper(strength_be, constants);
    BathState {
        strength_be,
        copper_g_per_l,
        speed_share: rate::copper_factor(strength_be, copper_g_per_l, constants),
        hydrometer_be: strength::hydrometer_be(strength_be, copper_g_per_l, constants),
        tired_g_per_l: (1.0 - rate::TIRED_BELOW) / loss,
        replace_g_per_l: (1.0 - rate::REPLACE_AT) / loss,
        tiredness: match tiredness(strength_be, copper_g_per_l, constants) {
            Tiredness::Fresh => "fresh",
            Tiredness::Tired => "tired",
            Tiredness::Spent => "spent",
        },
    }
}

/// Strength at which a bath was mixed, °Bé, from a reading of it at `temp_c` with this much copper
/// dissolved in it, g/L: the inverse of [`strength::hydrometer_be`], for a bath that was not read at
/// 60 °F. The copper is taken to add its weight at the same volume; the glass does not stretch.
#[must_use]
pub fn mixed_be(
    reading_be: f64,
    temp_c: f64,
    copper_g_per_l: f64,
    constants: &BiteConstants,
) -> f64 {
    let heavier = copper_g_per_l / strength::water_kg_per_m3(strength::HYDROMETER_C);
    let gravity = strength::specific_gravity(reading_be, constants) - heavier;
    strength::be_at_60_f(strength::degrees_be(gravity, constants), temp_c, constants)
}
