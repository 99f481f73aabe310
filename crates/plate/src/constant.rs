//! One constant of the model: its name, unit, default, plausible range, tag and source, and the macro that
//! declares a stage's. [`crate::constants`] puts those of all stages together.

use serde::Serialize;

pub use plan::Tag;

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
/// plate::stage_constants! {
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
macro_rules! stage_constants {
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
                Self { $( $field: $crate::constant::built_in(
                    concat!($stage, ".", stringify!($field)), $default,
                ) ),+ }
            }
        }

        impl $name {
            /// What is known of each constant, in the order of declaration.
            pub const CATALOGUE: &'static [$crate::constant::ConstantInfo] = &[$(
                $crate::constant::ConstantInfo {
                    key: concat!($stage, ".", stringify!($field)),
                    meaning: $meaning, unit: $unit, default: $default, min: $min, max: $max,
                    tag: $crate::constant::Tag::$tag, source: $source,
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
