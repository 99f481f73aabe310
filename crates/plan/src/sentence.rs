//! Sentences whose quantities stay numbers until they are read: worded once, shown in the reader's units.
//!
//! ```
//! use plan::{Unit, Units, quantity, sentence};
//! let said = sentence!("The plate reaches only {}.", quantity(71.0, Unit::Celsius, 0));
//! assert_eq!(said.in_units(Units::Metric), "The plate reaches only 71 °C.");
//! assert_eq!(said.in_units(Units::Us), "The plate reaches only 160 °F.");
//! ```

use serde::{Deserialize, Serialize};
use std::borrow::Cow;
use std::fmt;

/// The system of units that somebody reads in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum Units {
    /// Millimetres, degrees Celsius, litres.
    #[default]
    Metric,
    /// Inches, degrees Fahrenheit, quarts. Weights, and grain sizes and depths in µm, stay metric: they are
    /// measured so everywhere.
    Us,
}

/// What a number counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum Unit {
    /// A plain number.
    Count,
    /// A share, kept as a number from 0 to 1, shown in per cent.
    Percent,
    /// Lightness L* (CIE 1976).
    Lightness,
    /// Micrometres.
    Um,
    /// Millimetres.
    Mm,
    /// Centimetres.
    Cm,
    /// Metres.
    M,
    /// A temperature, °C.
    Celsius,
    /// A difference of temperatures, °C.
    CelsiusApart,
    /// Litres.
    Litres,
    /// Minutes.
    Minutes,
    /// Seconds.
    Seconds,
    /// Grams.
    Grams,
    /// Grams to a litre.
    GPerL,
    /// Grams to a square metre.
    GPerM2,
    /// Grams to a cubic metre.
    GPerM3,
    /// Degrees Baumé.
    Baume,
}

/// Millimetres in an inch, exactly (international yard and pound agreement, 1959).
pub const MM_PER_IN: f64 = 25.4;
/// Litres in a US liquid quart, exactly (NIST Handbook 44, appendix C).
pub const L_PER_QT: f64 = 0.946_352_946;

/// Grams in an avoirdupois ounce, exactly (international yard and pound agreement, 1959).
pub const G_PER_OZ: f64 = 28.349_523_125;
/// Millilitres in a US teaspoon, a sixth of a fluid ounce, exactly (NIST Handbook 44, appendix C).
pub const ML_PER_TSP: f64 = 4.928_921_593_75;
/// Fahrenheit degrees to one of Celsius, and where zero lies, by definition.
const F_PER_C: f64 = 1.8;
const F_AT_0_C: f64 = 32.0;

/// How a number in a metric unit stands in a US one: `times` the number, and `plus`.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct UsUnit {
    /// The metric unit's sign.
    pub metric: &'static str,
    /// The US unit's.
    pub sign: &'static str,
    /// US units to a metric one.
    pub times: f64,
    /// Where the metric zero lies.
    pub plus: f64,
    /// Digits behind the point.
    pub decimals: u8,
}

const fn us(
    metric: &'static str,
    sign: &'static str,
    times: f64,
    plus: f64,
    decimals: u8,
) -> UsUnit {
    UsUnit { metric, sign, times, plus, decimals }
}

/// Units that US readers see otherwise. Grain sizes and depths stay in µm, and sentences keep weights in grams; for
/// bench and shop there are ounces and spoons beside them.
pub const US_UNITS: &[UsUnit] = &[
    us("mm", "in", 1.0 / MM_PER_IN, 0.0, 2),
    us("cm", "in", 10.0 / MM_PER_IN, 0.0, 1),
    us("m", "in", 1000.0 / MM_PER_IN, 0.0, 1),
    us("°C", "°F", F_PER_C, F_AT_0_C, 0),
    us("°C less", "°F less", F_PER_C, 0.0, 0),
    us("L", "qt", 1.0 / L_PER_QT, 0.0, 2),
    us("g", "oz", 1.0 / G_PER_OZ, 0.0, 2),
    us("ml", "tsp", 1.0 / ML_PER_TSP, 0.0, 1),
    us("ml", "fl oz", 1.0 / (6.0 * ML_PER_TSP), 0.0, 1),
];

impl Unit {
    /// The sign behind the number.
    #[must_use]
    pub const fn sign(self, units: Units) -> &'static str {
        match (self, units) {
            (Self::Count, _) => "",
            (Self::Percent, _) => "%",
            (Self::Lightness, _) => "L*",
            (Self::Um, _) => "µm",
            (Self::Mm | Self::Cm | Self::M, Units::Us) => "in",
            (Self::Mm, _) => "mm",
            (Self::Cm, _) => "cm",
            (Self::M, _) => "m",
            (Self::Celsius | Self::CelsiusApart, Units::Us) => "°F",
            (Self::Celsius | Self::CelsiusApart, _) => "°C",
            (Self::Litres, Units::Us) => "qt",
            (Self::Litres, _) => "L",
            (Self::Minutes, _) => "min",
            (Self::Seconds, _) => "s",
            (Self::Grams, _) => "g",
            (Self::GPerL, _) => "g/L",
            (Self::GPerM2, _) => "g/m²",
            (Self::GPerM3, _) => "g/m³",
            (Self::Baume, _) => "°Bé",
        }
    }

    /// The unit with this metric sign, as the catalogue of numbers writes it; a plain number for any other.
    #[must_use]
    pub fn of_sign(sign: &str) -> Self {
        const SIGNED: [Unit; 13] = [
            Unit::Um,
            Unit::Mm,
            Unit::Cm,
            Unit::M,
            Unit::Celsius,
            Unit::Litres,
            Unit::Minutes,
            Unit::Seconds,
            Unit::Grams,
            Unit::GPerL,
            Unit::GPerM2,
            Unit::GPerM3,
            Unit::Baume,
        ];
        SIGNED.into_iter().find(|unit| unit.sign(Units::Metric) == sign).unwrap_or(Self::Count)
    }
}

/// A number with its unit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Quantity {
    /// The number, in the metric unit; a share from 0 to 1.
    pub value: f64,
    /// What it counts.
    pub unit: Unit,
    /// Most digits behind the point in metric units.
    pub decimals: u8,
}

/// A number with its unit, shown with as many decimals at most in metric units.
#[must_use]
pub const fn quantity(value: f64, unit: Unit, decimals: u8) -> Quantity {
    Quantity { value, unit, decimals }
}

/// The number with at most so many decimals, without zeros at its end.
fn rounded(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text =
        if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    (if text == "-0" { "0" } else { text }).to_owned()
}

impl Quantity {
    /// A number and its metric sign: `76 °C`, `+10 °C`.
    fn marked(text: &str) -> Option<Self> {
        let (number, sign) = text.split_once(' ')?;
        let unit = match Unit::of_sign(sign) {
            Unit::Celsius if number.starts_with('+') => Unit::CelsiusApart,
            unit => unit,
        };
        // Whole numbers serve, and reading others would bring 18 kB of tables and code to the page.
        Some(quantity(f64::from(number.parse::<i32>().ok()?), unit, 0))
    }

    /// The number alone, in the reader's unit.
    #[must_use]
    pub fn number(self, units: Units) -> String {
        let inches = |mm: f64| {
            let inches = mm / MM_PER_IN;
            // To the thickness of a line where it is thin, to the inch for rooms.
            rounded(
                inches,
                if inches.abs() < 0.1 {
                    3
                } else if inches.abs() < 20.0 {
                    2
                } else {
                    0
                },
            )
        };
        match (self.unit, units) {
            (Unit::Percent, _) => rounded(100.0 * self.value, self.decimals.into()),
            (Unit::Mm, Units::Us) => inches(self.value),
            (Unit::Cm, Units::Us) => inches(10.0 * self.value),
            (Unit::M, Units::Us) => inches(1000.0 * self.value),
            (Unit::Celsius, Units::Us) => rounded(self.value * F_PER_C + F_AT_0_C, 0),
            (Unit::CelsiusApart, Units::Us) => rounded(self.value * F_PER_C, 0),
            (Unit::Litres, Units::Us) => rounded(self.value / L_PER_QT, 2),
            _ => rounded(self.value, self.decimals.into()),
        }
    }

    /// The number with its unit, as it stands in a sentence.
    #[must_use]
    pub fn in_units(self, units: Units) -> String {
        let number = self.number(units);
        match (self.unit, self.unit.sign(units)) {
            (_, "") => number,
            (Unit::Lightness, sign) => format!("{sign} {number}"),
            (_, sign) => format!("{number} {sign}"),
        }
    }
}

/// A part of a sentence.
#[derive(Clone, Debug, PartialEq)]
pub enum Piece {
    /// Words as they are.
    Words(Cow<'static, str>),
    /// A number with its unit, in the reader's.
    Quantity(Quantity),
    /// The number alone, where the sentence names its unit once for several.
    Number(Quantity),
    /// A sentence, or a part of one, that was put together before.
    Part(Sentence),
}

impl Default for Piece {
    fn default() -> Self {
        Self::Words(Cow::Borrowed(""))
    }
}

impl From<Quantity> for Piece {
    fn from(quantity: Quantity) -> Self {
        Self::Quantity(quantity)
    }
}
impl From<String> for Piece {
    fn from(words: String) -> Self {
        Self::Words(words.into())
    }
}
impl From<&str> for Piece {
    fn from(words: &str) -> Self {
        Self::Words(words.to_owned().into())
    }
}
macro_rules! counts {
    ($($number:ty)+) => { $(
        impl From<$number> for Piece {
            fn from(count: $number) -> Self {
                Self::Words(count.to_string().into())
            }
        }
    )+ };
}
counts! { u8 u32 u64 usize f64 }

/// Words and quantities, ready to be read in either system of units.
#[derive(Clone, Debug, Default, PartialEq, Serialize, ts_rs::TS)]
#[serde(into = "Worded")]
#[ts(as = "Worded")]
pub struct Sentence(Vec<Piece>);

/// A sentence as it crosses to the page: in both systems, so that a change of units asks for nothing.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ts_rs::TS)]
pub struct Worded {
    /// In metric units.
    pub metric: String,
    /// In US units.
    pub us: String,
}

impl Sentence {
    /// Words with a piece in the place of each `{}`; [`sentence!`](crate::sentence!) counts them when it is compiled.
    #[must_use]
    pub fn filled(template: &'static str, pieces: &mut [Piece]) -> Self {
        // A slice, not an array of each length: there are some two hundred sentences.
        let mut list = Vec::with_capacity(2 * pieces.len() + 1);
        let mut pieces = pieces.iter_mut().map(core::mem::take);
        for (i, words) in template.split("{}").enumerate() {
            if i > 0 {
                match pieces.next() {
                    Some(Piece::Part(part)) => list.extend(part.0),
                    other => list.extend(other),
                }
            }
            if !words.is_empty() {
                list.push(Piece::Words(Cow::Borrowed(words)));
            }
        }
        Self(list)
    }

    /// A sentence of a table of constants, where a quantity stands in braces with its metric sign:
    /// `softens near {76 °C}`, whole numbers alone. With a plus before it, it is a difference: `for each {+10 °C}`.
    #[must_use]
    pub fn marked(text: &'static str) -> Self {
        let mut list = Vec::new();
        for (i, words) in text.split(['{', '}']).enumerate() {
            list.push(match Quantity::marked(words).filter(|_| i % 2 == 1) {
                Some(quantity) => Piece::Quantity(quantity),
                None => Piece::Words(Cow::Borrowed(words)),
            });
        }
        Self(list)
    }

    /// The same sentence with another after it.
    #[must_use]
    pub fn and(mut self, next: Self) -> Self {
        if !self.is_empty() && !next.is_empty() {
            self.0.push(Piece::Words(Cow::Borrowed(" ")));
        }
        self.0.extend(next.0);
        self
    }

    /// Whether nothing is said.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Its quantities, in their order.
    pub fn quantities(&self) -> impl Iterator<Item = Quantity> + '_ {
        self.0.iter().filter_map(|piece| match piece {
            Piece::Words(_) | Piece::Part(_) => None,
            Piece::Quantity(quantity) | Piece::Number(quantity) => Some(*quantity),
        })
    }

    /// Whether these words are in it, in metric units.
    #[must_use]
    pub fn contains(&self, words: &str) -> bool {
        self.in_units(Units::Metric).contains(words)
    }

    /// The words, in the reader's units.
    #[must_use]
    pub fn in_units(&self, units: Units) -> String {
        let mut text = String::new();
        for piece in &self.0 {
            match piece {
                Piece::Words(words) => text.push_str(words),
                Piece::Quantity(quantity) => text.push_str(&quantity.in_units(units)),
                Piece::Number(quantity) => text.push_str(&quantity.number(units)),
                Piece::Part(part) => text.push_str(&part.in_units(units)),
            }
        }
        text
    }
}

impl fmt::Display for Sentence {
    /// In metric units.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.in_units(Units::Metric))
    }
}

impl From<Sentence> for Worded {
    fn from(sentence: Sentence) -> Self {
        Self { metric: sentence.in_units(Units::Metric), us: sentence.in_units(Units::Us) }
    }
}

impl From<String> for Sentence {
    fn from(words: String) -> Self {
        Self(vec![Piece::from(words)])
    }
}

impl From<&'static str> for Sentence {
    fn from(words: &'static str) -> Self {
        Self(vec![Piece::Words(Cow::Borrowed(words))])
    }
}

impl From<Sentence> for Piece {
    fn from(part: Sentence) -> Self {
        Self::Part(part)
    }
}

/// How many `{}` a template has; for [`sentence!`](crate::sentence!).
#[doc(hidden)]
#[must_use]
pub const fn places(template: &str) -> usize {
    let (bytes, mut i, mut count) = (template.as_bytes(), 1, 0);
    while i < bytes.len() {
        if bytes[i - 1] == b'{' && bytes[i] == b'}' {
            count += 1;
        }
        i += 1;
    }
    count
}

/// A [`Sentence`] with a number, a quantity or words in the place of each `{}`.
#[macro_export]
macro_rules! sentence {
    ($template:literal $(, $piece:expr)* $(,)?) => {{
        const {
            assert!(
                $crate::sentence::places($template) == <[&str]>::len(&[$(stringify!($piece)),*]),
                "as many places as pieces"
            )
        };
        $crate::Sentence::filled($template, &mut [$($crate::Piece::from($piece)),*])
    }};
}

/// Serialises a sentence of a table of constants; see [`Sentence::marked`].
pub(crate) fn serialize_marked<S: serde::Serializer>(
    text: &'static str,
    to: S,
) -> Result<S::Ok, S::Error> {
    Sentence::marked(text).serialize(to)
}
