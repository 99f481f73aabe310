//! Constants of the model: each with its name, unit, default, plausible range, tag and source.
//!
//! Every stage declares its own with [`constants!`](macro@crate::constants), beside the code that uses
//! them. The structs are plain data, so a shop's calibration (or a test) can replace any of them.

use serde::Serialize;
use std::collections::BTreeMap;

/// How a constant is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum Tag {
    /// Measured for this very material and quantity.
    Measured,
    /// Published, or derived from published data.
    Published,
    /// Estimated: calibrate with your own step plate.
    Estimated,
}

/// What is known of one constant.
#[derive(Clone, Copy, Debug, Serialize, ts_rs::TS)]
#[ts(rename = "Constant")]
pub struct ConstantInfo {
    /// Name: `stage.constant_with_unit`.
    pub key: &'static str,
    /// What it is, in a few words.
    pub meaning: &'static str,
    /// Unit; empty for plain numbers.
    pub unit: &'static str,
    /// Built-in value.
    pub default: f64,
    /// Smallest plausible value.
    pub min: f64,
    /// Largest plausible value.
    pub max: f64,
    /// How it is known.
    pub tag: Tag,
    /// Where it comes from.
    pub source: &'static str,
}

/// Declares a stage's constants: a struct of `f64` fields with defaults, and their catalogue.
///
/// ```
/// plate::constants! {
///     /// Constants of the bite.
///     BiteConstants "bite" {
///         rate_um_per_min: 0.80, "µm/min", 0.3..=2.5, Estimated,
///             "rate of the bite at 40 °Bé, 20 °C, fresh, rocked", "source in words";
///     }
/// }
/// assert_eq!(BiteConstants::default().rate_um_per_min, 0.80);
/// assert_eq!(BiteConstants::CATALOGUE[0].key, "bite.rate_um_per_min");
/// ```
#[macro_export]
macro_rules! constants {
    ($(#[$doc:meta])* $name:ident $stage:literal { $(
        $field:ident: $default:expr, $unit:literal, $min:literal..=$max:literal, $tag:ident,
            $meaning:literal, $source:literal;
    )+ }) => {
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq)]
        pub struct $name { $(
            #[doc = concat!($meaning, " (", $unit, "). ", $source)]
            pub $field: f64,
        )+ }

        impl Default for $name {
            fn default() -> Self {
                Self { $( $field: $crate::constants::built_in(
                    concat!($stage, ".", stringify!($field)), $default,
                ) ),+ }
            }
        }

        impl $name {
            /// What is known of each constant, in the order of declaration.
            pub const CATALOGUE: &'static [$crate::constants::ConstantInfo] = &[$(
                $crate::constants::ConstantInfo {
                    key: concat!($stage, ".", stringify!($field)),
                    meaning: $meaning, unit: $unit, default: $default, min: $min, max: $max,
                    tag: $crate::constants::Tag::$tag, source: $source,
                }
            ),+];

            /// The constant with this key, to read or replace.
            pub fn get_mut(&mut self, key: &str) -> Option<&mut f64> {
                // One loop over the names: as many comparisons in a row would take five times the room.
                let at = Self::CATALOGUE.iter().position(|info| info.key == key)?;
                [$( &mut self.$field ),+].into_iter().nth(at)
            }
        }
    };
}

/// A constant's built-in value.
///
/// With the feature `shift` the one named in `PLATEWRIGHT_OFF` is 5 % off: `scripts/shift` uses
/// that to show that the tests would notice. The page and the native program never have it.
#[doc(hidden)]
#[inline]
#[must_use]
pub fn built_in(key: &str, value: f64) -> f64 {
    if cfg!(feature = "shift") && std::env::var("PLATEWRIGHT_OFF").is_ok_and(|name| name == key) {
        value * 1.05
    } else {
        value
    }
}

/// Pairs of which the first is never larger than the second, or values would print out of order: bitten
/// copper is rough and keeps at least the film that polished copper keeps under the same wiping.
pub const IN_ORDER: [(&str, &str); 3] = [
    ("ink.tarlatan_land_film_um", "ink.tarlatan_floor_film_um"),
    ("ink.hand_land_film_um", "ink.hand_floor_film_um"),
    ("ink.hard_land_film_um", "ink.hard_floor_film_um"),
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
        let known = self
            .dust
            .get_mut(key)
            .or_else(|| self.bake.get_mut(key))
            .or_else(|| self.bite.get_mut(key))
            .or_else(|| self.ink.get_mut(key));
        known.or_else(|| self.work.get_mut(key))
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
                (Some(ConstantInfo { meaning, unit, min, max, .. }), Some(_)) => refused.push((
                    key.clone(),
                    format!(
                        "The calibration sets “{key}” ({meaning}) to {value}{0}{unit}; it must lie between {min} and {max}{0}{unit}. Leave it out, or correct it in the plan’s file.",
                        if unit.is_empty() { "" } else { " " }
                    ),
                )),
                _ => refused.push((
                    key.clone(),
                    format!("The calibration names “{key}”, which is no constant of this program. Leave it out, or correct the name in the plan’s file."),
                )),
            }
        }
        if refused.is_empty() {
            refused = constants.out_of_order(calibration);
        }
        if refused.is_empty() { Ok(constants) } else { Err(refused) }
    }

    /// One sentence for each pair of [`IN_ORDER`] that has crossed, at the one that is calibrated.
    fn out_of_order(&mut self, calibration: &BTreeMap<String, f64>) -> Vec<(String, String)> {
        let catalogue = Self::catalogue();
        let mut refused = Vec::new();
        for (lower, upper) in IN_ORDER {
            let [(least, of_lower), (most, of_upper)] = [lower, upper].map(|key| {
                let info = catalogue.iter().find(|info| info.key == key);
                (
                    self.get_mut(key).map_or(0.0, |value| *value),
                    info.map_or("", |info| info.meaning),
                )
            });
            if least > most {
                let at = if calibration.contains_key(lower) { lower } else { upper };
                refused.push((
                    at.to_owned(),
                    format!(
                        "The calibration sets {of_lower} to {least} µm and {of_upper} to {most} µm: a shallow bite would print lighter than the paper beside it. Set {upper} to {least} or more, or {lower} to {most} or less."
                    ),
                ));
            }
        }
        refused
    }

    /// The nearest to `value` that a constant may have with the others as they are (see [`IN_ORDER`]).
    #[must_use]
    pub fn nearest_in_order(&mut self, key: &str, value: f64) -> f64 {
        let mut other = |key: &str, otherwise: f64| self.get_mut(key).map_or(otherwise, |v| *v);
        IN_ORDER.iter().fold(value, |value, &(lower, upper)| match key {
            _ if key == lower => value.min(other(upper, value)),
            _ if key == upper => value.max(other(lower, value)),
            _ => value,
        })
    }
}
