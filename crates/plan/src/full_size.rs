//! What a fault's full size, 1, stands for: one number of each kind, with its unit and range. The stages reckon with it,
//! its sentence is made of it, and `docs/physics/faults.md` is held to it by a test.

use crate::faults::FaultKind;
use crate::sentence::{Piece, Sentence, Unit, quantity};
use serde::Serialize;

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

/// What the full size of a fault stands for.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct FullSize {
    /// Name: `faults.kind_with_quantity`.
    pub key: &'static str,
    /// How much, in its unit.
    pub amount: f64,
    /// Unit.
    pub unit: &'static str,
    /// Least that a shop may meet.
    pub min: f64,
    /// Most that it may meet.
    pub max: f64,
    /// How it is known.
    pub tag: Tag,
    /// The sentence, with `{}` for the amount.
    #[serde(skip)]
    pub(crate) words: &'static str,
}

impl FullSize {
    const fn new(
        key: &'static str,
        amount: f64,
        unit: &'static str,
        (min, max): (f64, f64),
        words: &'static str,
    ) -> Self {
        Self { key, amount, unit, min, max, tag: Tag::Estimated, words }
    }

    /// The amount as a share, of one in %.
    #[must_use]
    pub const fn share(&self) -> f64 {
        self.amount / 100.0
    }

    /// “At 1, the plate is 30 °C hotter in the middle of the place.”
    #[must_use]
    pub fn said(&self) -> Sentence {
        let amount = match Unit::of_sign(self.unit) {
            // Hotter or cooler by so much.
            Unit::Celsius => quantity(self.amount, Unit::CelsiusApart, 0).into(),
            Unit::Mm => quantity(self.amount, Unit::Mm, 1).into(),
            _ => Piece::from(format!("{} {}", self.amount, self.unit)),
        };
        Sentence::filled(self.words, &mut [amount])
    }

    /// “30 °C (10–60)”, as the documentation has it.
    #[must_use]
    pub fn in_short(&self) -> String {
        let Self { amount, unit, min, max, .. } = self;
        if min == max {
            return format!("{amount} {unit}");
        }
        format!("{amount} {unit} ({min}–{max})")
    }
}

const SHARE: &str = "%";

impl FaultKind {
    /// What its full size stands for.
    #[must_use]
    pub const fn full_size(self) -> FullSize {
        match self {
            Self::Draught => FullSize::new(
                "faults.draught_loss",
                85.0,
                SHARE,
                (30.0, 100.0),
                "At 1, {} of the grains are carried away in the middle of the place, where a tongue of air lies.",
            ),
            Self::Jolt => FullSize::new(
                "faults.jolt_loss",
                95.0,
                SHARE,
                (50.0, 100.0),
                "At 1, {} of the grains are gone within the patches.",
            ),
            Self::Fingerprint => FullSize::new(
                "faults.fingerprint_cover",
                50.0,
                SHARE,
                (30.0, 60.0),
                "At 1, ridges take {} of the distance from one to the next; smaller sizes leave narrower ones.",
            ),
            Self::HotSpot => FullSize::new(
                "faults.hot_spot_c",
                30.0,
                "°C",
                (10.0, 60.0),
                "At 1, the plate is {} hotter in the middle of the place.",
            ),
            Self::UnderBaked => FullSize::new(
                "faults.under_baked_c",
                70.0,
                "°C",
                (20.0, 80.0),
                "At 1, the plate is {} cooler in the middle of the place; a bake with heat to spare makes up for half of that.",
            ),
            Self::GroundPinholes => FullSize::new(
                "faults.ground_pinholes_per_cm2",
                40.0,
                "to a cm²",
                (5.0, 100.0),
                "At 1, holes lie {} in the middle of the place, 80 to 300 µm wide.",
            ),
            Self::VarnishPinholes => FullSize::new(
                "faults.varnish_pinholes_per_cm2",
                40.0,
                "to a cm²",
                (5.0, 100.0),
                "At 1, holes lie {} in the middle of the place, 80 to 300 µm wide.",
            ),
            Self::VarnishLifting => FullSize::new(
                "faults.varnish_lifting_mm",
                1.5,
                "mm",
                (0.2, 5.0),
                "At 1, the bath creeps up to {} under the varnish in the middle of the place.",
            ),
            Self::Sediment => FullSize::new(
                "faults.sediment_loss",
                45.0,
                SHARE,
                (10.0, 70.0),
                "At 1, the bite is {} shallower under the thickest mud.",
            ),
            Self::DrainingStreak => FullSize::new(
                "faults.draining_streak_gain",
                40.0,
                SHARE,
                (5.0, 50.0),
                "At 1, the bite is {} deeper in the middle of the streak.",
            ),
            Self::BareBack => FullSize::new(
                "faults.bare_back_share",
                100.0,
                SHARE,
                (100.0, 100.0),
                "At 1, {} of the back lies open.",
            ),
            Self::Drip => FullSize::new(
                "faults.drip_of_radius",
                100.0,
                SHARE,
                (100.0, 100.0),
                "At 1, the drip reaches {} as far as the place does.",
            ),
            Self::UnevenWiping => FullSize::new(
                "faults.uneven_wiping_um",
                1.0,
                "µm",
                (0.2, 3.0),
                "At 1, {} more ink is left where most is.",
            ),
            Self::EdgeTone => FullSize::new(
                "faults.edge_tone_um",
                0.8,
                "µm",
                (0.2, 3.0),
                "At 1, {} more ink is left at the very edge.",
            ),
            Self::DryPaper => FullSize::new(
                "faults.dry_paper_loss",
                55.0,
                SHARE,
                (20.0, 80.0),
                "At 1, the paper takes up {} less ink in the middle of the place.",
            ),
            Self::WetPaper => FullSize::new(
                "faults.wet_paper_loss",
                70.0,
                SHARE,
                (30.0, 95.0),
                "At 1, the paper takes up {} less ink where water stands.",
            ),
            Self::MissingBlanket => FullSize::new(
                "faults.missing_blanket_loss",
                50.0,
                SHARE,
                (10.0, 70.0),
                "At 1, {} of the ink that should split off with the paper stays in the plate.",
            ),
        }
    }
}
