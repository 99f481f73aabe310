//! Faults: what went wrong at the bench, as functions of place on the copper.
//!
//! Each fault of a plan goes through the chain where it happens: [`GroundFaults`] take grains and domes away or
//! spread them otherwise, [`BathFaults`] change how deep a place is bitten and what lies open, [`PressFaults`] what ink is
//! left and taken up. All of them are functions of place and seed, so that every window of the plate shows the same; where
//! a fault does not reach, and at size 0 everywhere, nothing is touched, to the last bit.
//!
//! How bad a fault is at size 1 is common practice, no source: a shop will know worse and better. The numbers and their ranges
//! are [`plan::FullSize`]; `docs/physics/faults.md` has the formulas.

mod bath;
mod ground;
mod holes;
mod lattice;
mod lifting;
mod marks;
mod noise;
mod press;
mod spot;
mod uneven;

pub(crate) use ground::Reached;
pub(crate) use lattice::Lattice;

pub use bath::BathFaults;
pub use ground::{GroundFaults, SpotHeat};
pub use press::PressFaults;
pub use uneven::Uneven;

use plan::{Fault, FaultKind, Plan};

/// The faults of a plan, in places on its copper.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Faults {
    /// While the plate lies in the bath.
    pub bath: BathFaults,
    /// While it is wiped and printed.
    pub press: PressFaults,
}

impl Faults {
    /// Those of a plan, which lie so on its copper; those that come before the bath are its [`GroundFaults`].
    #[must_use]
    pub fn of(plan: &Plan, on_copper: &[Fault]) -> Self {
        Self { bath: BathFaults::of(plan, on_copper), press: PressFaults::of(plan, on_copper) }
    }
}

/// Share of the plate's back that lies open in the bath, 0–1.
#[must_use]
pub fn bare_back(plan: &Plan) -> f64 {
    worst(plan, FaultKind::BareBack) * FaultKind::BareBack.full_size().share()
}

/// The largest size of a kind that is the whole plate's; 0 where the plan has none.
fn worst(plan: &Plan, kind: FaultKind) -> f64 {
    let sizes = plan.faults.iter().filter(|fault| fault.kind == kind).map(|fault| fault.size);
    sizes.fold(0.0, f64::max)
}
