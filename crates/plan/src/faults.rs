//! Faults: what went wrong at the bench, as choices of the plan: where, how much, and a seed.

use serde::{Deserialize, Serialize};

/// Most faults of a plan.
pub const MAX_FAULTS: usize = 24;
/// Place of a fault, mm on the print: it may lie beside the plate and reach into it.
pub(crate) const FAULT_PLACE_MM: (f64, f64) = (-50.0, 650.0);
/// How far a fault reaches, mm.
pub(crate) const FAULT_RADIUS_MM: (f64, f64) = (0.5, 600.0);
/// How bad it is: 0 is the perfect plate.
pub(crate) const FAULT_SIZE: (f64, f64) = (0.0, 1.0);

/// One fault.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[serde(deny_unknown_fields)]
pub struct Fault {
    /// What went wrong.
    pub kind: FaultKind,
    /// Middle of its place on the print, mm from the left; of no matter where the kind has no place.
    #[serde(default)]
    pub x_mm: f64,
    /// The same from the top.
    #[serde(default)]
    pub y_mm: f64,
    /// How far it reaches from there, mm; of an edge, how far inwards; of no matter where the kind is the whole plate's.
    #[serde(default = "usual_radius_mm")]
    pub radius_mm: f64,
    /// How bad it is, from 0 (the perfect plate) to 1; what 1 stands for is said of each kind.
    #[serde(default = "usual_size")]
    pub size: f64,
    /// Which of all possible shapes it has.
    #[serde(default)]
    pub seed: u32,
    /// The bite (from 1) that it comes before, where that matters.
    #[serde(default = "first_bite", skip_serializing_if = "is_first_bite")]
    #[ts(optional, as = "Option<u32>")]
    pub from_bite: u32,
}

/// What can go wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum FaultKind {
    /// Moving air while the dust falls.
    Draught,
    /// Dust knocked off before the bake.
    Jolt,
    /// Grease of a finger: neither rosin nor varnish holds.
    Fingerprint,
    /// A place of the hot plate that is hotter.
    HotSpot,
    /// A place that stayed cooler, most often a corner.
    UnderBaked,
    /// Holes through the resin.
    GroundPinholes,
    /// Holes through the stop-out varnish.
    VarnishPinholes,
    /// Stop-out varnish that lets go at its edge.
    VarnishLifting,
    /// Mud of the bath lying on the copper.
    Sediment,
    /// A run of bath that went on biting while the plate drained.
    DrainingStreak,
    /// The back of the plate bitten as well.
    BareBack,
    /// A drip of stop-out varnish.
    Drip,
    /// Ink left here and there by the cloth.
    UnevenWiping,
    /// Ink left along the edges.
    EdgeTone,
    /// Paper too dry.
    DryPaper,
    /// Paper too wet.
    WetPaper,
    /// A blanket fewer, and the pressure left as it was.
    MissingBlanket,
}

/// Where a kind of fault lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum FaultPlace {
    /// Round a place, as far as its radius.
    Spot,
    /// Along the plate's edges, as far inwards as its radius.
    Edges,
    /// On the whole plate.
    Plate,
}

/// Every kind; in a link each is its place here, so that a new one comes last. Their order at the bench is that of
/// [`crate::faults_in_words`].
pub const FAULT_KINDS: [FaultKind; 17] = [
    FaultKind::Draught,
    FaultKind::Jolt,
    FaultKind::Fingerprint,
    FaultKind::HotSpot,
    FaultKind::UnderBaked,
    FaultKind::GroundPinholes,
    FaultKind::VarnishPinholes,
    FaultKind::Sediment,
    FaultKind::DrainingStreak,
    FaultKind::BareBack,
    FaultKind::Drip,
    FaultKind::UnevenWiping,
    FaultKind::EdgeTone,
    FaultKind::DryPaper,
    FaultKind::WetPaper,
    FaultKind::MissingBlanket,
    FaultKind::VarnishLifting,
];

impl FaultKind {
    /// How one calls it, within a sentence.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Draught => "draught while dusting",
            Self::Jolt => "dust knocked off",
            Self::Fingerprint => "greasy fingerprint",
            Self::HotSpot => "hot spot",
            Self::UnderBaked => "under-baked corner",
            Self::GroundPinholes => "pinholes in the ground",
            Self::VarnishPinholes => "pinholes in the varnish",
            Self::VarnishLifting => "varnish lifting at an edge",
            Self::Sediment => "sediment on the plate",
            Self::DrainingStreak => "streak from draining",
            Self::BareBack => "back not covered",
            Self::Drip => "drip of stop-out",
            Self::UnevenWiping => "uneven wiping",
            Self::EdgeTone => "plate tone at the edges",
            Self::DryPaper => "dry paper",
            Self::WetPaper => "over-wet paper",
            Self::MissingBlanket => "blanket missing",
        }
    }

    /// Where it lies.
    #[must_use]
    pub fn place(self) -> FaultPlace {
        match self {
            Self::EdgeTone => FaultPlace::Edges,
            Self::BareBack | Self::MissingBlanket => FaultPlace::Plate,
            _ => FaultPlace::Spot,
        }
    }

    /// It matters before which bite it comes.
    #[must_use]
    pub fn has_bite(self) -> bool {
        self == Self::Drip
    }
}

impl Fault {
    /// A fault of this kind in the middle of the default plate, half as bad as it can be.
    #[must_use]
    pub fn usual(kind: FaultKind) -> Self {
        Self {
            kind,
            x_mm: 75.0,
            y_mm: 100.0,
            radius_mm: usual_radius_mm(),
            size: usual_size(),
            seed: 0,
            from_bite: first_bite(),
        }
    }
}

fn usual_radius_mm() -> f64 {
    15.0
}

fn usual_size() -> f64 {
    0.5
}

fn first_bite() -> u32 {
    1
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde hands it over so")]
fn is_first_bite(bite: &u32) -> bool {
    *bite == first_bite()
}
