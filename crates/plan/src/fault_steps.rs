//! Where in the work each fault belongs, what mends it afterwards, and how bad a size is, in words.

use crate::faults::FaultKind;
use serde::Serialize;

/// The step of the work in which a fault happens.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum FaultStep {
    /// While the dust falls, and until it is baked.
    Dust,
    /// While the ground melts.
    Bake,
    /// While the plate is stopped out and bitten.
    Bites,
    /// While it is inked, wiped and printed.
    Ink,
}

/// What does the mending once the plate is bitten.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum FaultMend {
    /// The burnisher over the place, in a later state.
    Burnisher,
    /// A new ground over the place and another bite, in a later state.
    Ground,
    /// No state: the bites that are left.
    Bites,
    /// No state: the copper is sound, and the next print is better.
    Print,
}

impl FaultMend {
    /// Which state of the plate does it, in a sentence.
    #[must_use]
    pub fn sentence(self) -> &'static str {
        match self {
            Self::Burnisher => "A later state does it: the burnisher over the place.",
            Self::Ground => {
                "A later state does it: a new ground over the place, and one more bite."
            }
            Self::Bites => {
                "No state does it: what went wrong in the bath is made up for by the bites that are left."
            }
            Self::Print => "The copper is sound: no state is needed, only another print.",
        }
    }

    /// A later state of the plan can do it.
    #[must_use]
    pub fn is_a_state(self) -> bool {
        matches!(self, Self::Burnisher | Self::Ground)
    }
}

impl FaultKind {
    /// The step in which it happens.
    #[must_use]
    pub fn step(self) -> FaultStep {
        match self {
            Self::Draught | Self::Jolt | Self::Fingerprint | Self::GroundPinholes => {
                FaultStep::Dust
            }
            Self::HotSpot | Self::UnderBaked => FaultStep::Bake,
            Self::VarnishPinholes
            | Self::Sediment
            | Self::DrainingStreak
            | Self::BareBack
            | Self::Drip
            | Self::VarnishLifting => FaultStep::Bites,
            Self::UnevenWiping
            | Self::EdgeTone
            | Self::DryPaper
            | Self::WetPaper
            | Self::MissingBlanket => FaultStep::Ink,
        }
    }

    /// It begins at its place and runs straight down as far as its radius, rather than lying round it.
    #[must_use]
    pub fn runs_down(self) -> bool {
        self == Self::DrainingStreak
    }

    /// What mends it on a bitten plate.
    #[must_use]
    pub fn mended_by(self) -> FaultMend {
        match self {
            Self::Fingerprint
            | Self::GroundPinholes
            | Self::VarnishPinholes
            | Self::VarnishLifting
            | Self::DrainingStreak => FaultMend::Burnisher,
            Self::Draught
            | Self::Jolt
            | Self::HotSpot
            | Self::UnderBaked
            | Self::Sediment
            | Self::Drip => FaultMend::Ground,
            Self::BareBack => FaultMend::Bites,
            Self::UnevenWiping
            | Self::EdgeTone
            | Self::DryPaper
            | Self::WetPaper
            | Self::MissingBlanket => FaultMend::Print,
        }
    }
}

/// How bad a fault is from a size on, in words.
#[derive(Clone, Copy, Debug, Serialize, ts_rs::TS)]
pub struct FaultSize {
    /// From this size on, 0–1.
    pub from: f64,
    /// What one says of it.
    pub words: &'static str,
    /// The same where it is one of several to choose from.
    pub short: &'static str,
}

/// From nothing to the worst.
pub const FAULT_SIZES: [FaultSize; 6] = [
    FaultSize { from: 0.0, words: "not there at all", short: "none" },
    FaultSize { from: 0.01, words: "a trace of what it can be", short: "a trace" },
    FaultSize { from: 0.18, words: "a quarter as bad as it can be", short: "a quarter" },
    FaultSize { from: 0.38, words: "half as bad as it can be", short: "half" },
    FaultSize { from: 0.63, words: "three quarters as bad as it can be", short: "three quarters" },
    FaultSize { from: 0.88, words: "as bad as it can be", short: "the worst" },
];

#[cfg(test)]
mod tests {
    use super::{FAULT_SIZES, FaultStep};
    use crate::faults::FAULT_KINDS;

    #[test]
    fn every_step_has_faults_and_none_is_out_of_order() {
        for step in [FaultStep::Dust, FaultStep::Bake, FaultStep::Bites, FaultStep::Ink] {
            assert!(FAULT_KINDS.iter().any(|kind| kind.step() == step), "{step:?}");
        }
    }

    #[test]
    fn a_state_mends_what_is_in_the_copper_and_nothing_else() {
        for kind in FAULT_KINDS {
            let on_the_press = kind.step() == FaultStep::Ink;
            assert!(!(on_the_press && kind.mended_by().is_a_state()), "{kind:?}");
            assert!(kind.mended_by().sentence().ends_with('.'), "{kind:?}");
        }
    }

    #[test]
    fn the_words_of_a_size_go_up_from_none_to_the_worst() {
        assert!(FAULT_SIZES.windows(2).all(|pair| pair[0].from < pair[1].from), "in order");
        let worded =
            |size: f64| FAULT_SIZES.iter().rfind(|one| one.from <= size).map(|one| one.words);
        for (size, words) in [
            (0.0, "not"),
            (0.05, "trace"),
            (0.25, "quarter"),
            (0.5, "half"),
            (0.75, "three"),
            (1.0, "as bad"),
        ] {
            assert!(worded(size).is_some_and(|said| said.contains(words)), "{size}");
        }
    }
}
