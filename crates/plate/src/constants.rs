//! Constants of the model: each with its name, unit, default, plausible range, tag and source.
//!
//! Every stage declares its own with [`constants!`](macro@crate::constants), beside the code that uses
//! them. The structs are plain data, so a shop's calibration (or a test) can replace any of them.

pub use crate::constant::{ConstantInfo, Tag, built_in};

use std::collections::BTreeMap;

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
    pub fn calibrated(calibration: &BTreeMap<String, f64>) -> Result<Self, Vec<(String, String)>> {
        let mut constants = Self::default();
        let mut refused = Vec::new();
        let catalogue = Self::catalogue();
        for (key, &value) in calibration {
            let info = catalogue.iter().find(|info| info.key == key);
            match (info, constants.get_mut(key)) {
                (Some(info), Some(slot)) if value >= info.min && value <= info.max => *slot = value,
                (Some(info), Some(_)) => refused.push((
                    key.clone(),
                    format!(
                        "The calibration sets {} to {value} {}; it must lie between {} and {}. Correct it or take it out.",
                        info.meaning, info.unit, info.min, info.max
                    ),
                )),
                _ => refused.push((
                    key.clone(),
                    format!("The calibration names “{key}”, which is no constant of this program. Take it out."),
                )),
            }
        }
        if refused.is_empty() { Ok(constants) } else { Err(refused) }
    }
}
