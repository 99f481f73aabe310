//! Constants of the model: each with its name, unit, default, plausible range, tag and source.
//!
//! Every stage declares its own with [`stage_constants!`](crate::stage_constants), beside the code that uses
//! them. The structs are plain data, so a shop's calibration (or a test) can replace any of them.

pub use crate::constant::{ConstantInfo, Tag, built_in};

use plan::{Diagnostic, sentence};
use std::collections::BTreeMap;

/// Pairs of which the first is never larger than the second, or values would print out of order: bitten
/// copper is rough and keeps at least the film that polished copper keeps under the same wiping.
pub const IN_ORDER: [(&str, &str); 3] = [
    ("ink.tarlatan_land_film_um", "ink.tarlatan_floor_film_um"),
    ("ink.hand_land_film_um", "ink.hand_floor_film_um"),
    ("ink.hard_land_film_um", "ink.hard_floor_film_um"),
];

/// Constants of a shop's own unevenness: off until it sets them, and then as it says. What nobody has measured is not drawn
/// by chance where it is off.
pub const UNEVEN: [&str; 6] = [
    "dust.uneven_share",
    "dust.wall_loss",
    "dust.wall_reach_mm",
    "bake.edge_cooler_c",
    "bite.cooling_per_h",
    "bite.between_bites_min",
];

/// The constants of all stages.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Constants {
    /// Constants of the dust box.
    pub dust: crate::dust::DustConstants,
    /// Constants of melting and merging.
    pub bake: crate::bake::BakeConstants,
    /// Constants of bath and bite.
    pub bite: crate::bite::BiteConstants,
    /// Constants of ink, wiping, press and paper.
    pub ink: crate::ink::InkConstants,
    /// Constants of scraping, burnishing and wear.
    pub work: crate::handwork::WorkConstants,
}

/// Place of a calibrated constant in the plan.
fn at(key: &str) -> String {
    format!("calibration.{key}")
}

impl Constants {
    /// What is known of every constant, stage by stage.
    #[must_use]
    pub fn catalogue() -> Vec<ConstantInfo> {
        [
            crate::dust::DustConstants::CATALOGUE,
            crate::bake::BakeConstants::CATALOGUE,
            crate::bite::BiteConstants::CATALOGUE,
            crate::ink::InkConstants::CATALOGUE,
            // Last, so that the others have the same places in the module without them.
            crate::handwork::WorkConstants::CATALOGUE,
        ]
        .concat()
    }

    /// The constant with this key, to read or replace.
    pub fn get_mut(&mut self, key: &str) -> Option<&mut f64> {
        self.dust
            .get_mut(key)
            .or_else(|| self.bake.get_mut(key))
            .or_else(|| self.bite.get_mut(key))
            .or_else(|| self.ink.get_mut(key))
            .or_else(|| self.work.get_mut(key))
    }

    /// The value of the constant with this key.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<f64> {
        self.clone().get_mut(key).copied()
    }

    /// The built-in constants with a shop's own in their place.
    ///
    /// # Errors
    /// One sentence per entry whose name is unknown or whose value leaves the plausible range.
    pub fn calibrated(calibration: &BTreeMap<String, f64>) -> Result<Self, Vec<Diagnostic>> {
        let mut constants = Self::default();
        let mut refused = Vec::new();
        let catalogue = Self::catalogue();
        for (key, &value) in calibration {
            let info = catalogue.iter().find(|info| info.key == key);
            match (info, constants.get_mut(key)) {
                (Some(info), Some(slot)) if value >= info.min && value <= info.max => *slot = value,
                (Some(ConstantInfo { meaning, unit, min, max, .. }), Some(_)) => {
                    let space = if unit.is_empty() { "" } else { " " };
                    let message = sentence!(
                        "The calibration sets “{}” ({}) to {}{}{}; it must lie between {} and {}{}{}.",
                        key.as_str(),
                        *meaning,
                        value,
                        space,
                        *unit,
                        *min,
                        *max,
                        space,
                        *unit
                    );
                    refused.push(
                        Diagnostic::error(at(key), "out_of_range", message)
                            .hint("Leave it out, or correct it in the plan’s file."),
                    );
                }
                _ => {
                    let message = sentence!(
                        "The calibration names “{}”, which is no constant of this program.",
                        key.as_str()
                    );
                    refused.push(
                        Diagnostic::error(at(key), "no_such_constant", message)
                            .hint("Leave it out, or correct the name in the plan’s file."),
                    );
                }
            }
        }
        if refused.is_empty() {
            refused = constants.out_of_order(calibration);
        }
        if refused.is_empty() { Ok(constants) } else { Err(refused) }
    }

    /// One sentence for each pair of [`IN_ORDER`] that has crossed, at the one that is calibrated.
    fn out_of_order(&self, calibration: &BTreeMap<String, f64>) -> Vec<Diagnostic> {
        let catalogue = Self::catalogue();
        let mut refused = Vec::new();
        for (lower, upper) in IN_ORDER {
            let [(least, of_lower), (most, of_upper)] = [lower, upper].map(|key| {
                let info = catalogue.iter().find(|info| info.key == key);
                (self.get(key).unwrap_or(0.0), info.map_or("", |info| info.meaning))
            });
            if least > most {
                let place = if calibration.contains_key(lower) { lower } else { upper };
                let message = sentence!(
                    "The calibration sets {} to {} µm and {} to {} µm: a shallow bite would print lighter than the paper beside it.",
                    of_lower,
                    least,
                    of_upper,
                    most
                );
                let hint = sentence!(
                    "Set {} to {} or more, or {} to {} or less.",
                    upper,
                    least,
                    lower,
                    most
                );
                refused.push(Diagnostic::error(at(place), "crossed", message).hint(hint));
            }
        }
        refused
    }

    /// The nearest to `value` that a constant may have with the others as they are (see [`IN_ORDER`]).
    #[must_use]
    pub fn nearest_in_order(&self, key: &str, value: f64) -> f64 {
        let other = |key: &str, otherwise: f64| self.get(key).unwrap_or(otherwise);
        IN_ORDER.iter().fold(value, |value, &(lower, upper)| match key {
            _ if key == lower => value.min(other(upper, value)),
            _ if key == upper => value.max(other(lower, value)),
            _ => value,
        })
    }
}
