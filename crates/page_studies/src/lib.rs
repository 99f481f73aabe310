//! The border of what takes long: questions about plans and shops as a whole.
//!
//! Built as a module of its own with everything that `page` has, since a study lays plates, too. The page opens
//! with `page` alone and fetches this one when the first study is asked (in the single file it stands for both).

mod faults;
mod lessons;
mod proofs;
mod shop;
mod studies;

pub use faults::*;
pub use lessons::*;
pub use page::*;
pub use studies::Studies;

use wasm_bindgen::prelude::*;

/// Digests of the solvers: see `study::calibration::example`.
#[wasm_bindgen]
pub fn shop_digests() -> String {
    study::calibration::example::digests()
}

/// A TypeScript module with every type that crosses the border, of both modules.
///
/// # Panics
/// When two different types have one name; `xtask wasm` runs it, never the page.
#[must_use]
pub fn typescript() -> String {
    let mut declared = types::declared();
    page::declare![
        declared,
        plan::FaultInfo,
        plan::FaultSize,
        study::faults::FaultCost,
        FaultSquares,
        study::faults::Exercise,
        studies::PlateOf,
        studies::SameValues,
        shop::ProofRead,
        study::calibration::Calibrated,
        shop::GroundSeen,
        shop::CoverPlate,
        study::calibration::CoversFit,
        study::calibration::GroundFit,
        plate::bite::BathState,
        study::inverse::Inverse,
        study::tolerance::Band,
        study::tolerance::Hold,
        study::amounts::Amounts,
        study::edition::EditionAnswer,
        study::grain::GrainAnswer,
        study::timing::Rounding,
        study::tolerance::Spread,
        study::remaining_bites::RemainingBites,
        study::rework::Way,
        study::calibration::Kind,
        study::calibration::PhotoReading,
        study::registration::PrintFound,
        shop::ProofFound,
        study::proof_reading::Raster,
        study::calibration::StepPlate,
        study::proof_causes::Explained,
        study::proof_causes::Next,
        study::proof_causes::Learned,
    ];
    declared.module()
}
