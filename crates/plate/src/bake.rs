//! Bake: how the dust melts, spreads and merges on the hot plate.

use crate::constants;

constants! {
    /// Constants of melting and merging.
    BakeConstants "bake" {
        softening_c: 76.0, "°C", 70.0..=85.0, Published,
            "softening point of the rosin (ring and ball)", "GB/T 8145-2003 gum rosin grades (from memory)";
    }
}

/// How far the ground is baked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doneness {
    /// Grains have not spread enough to hold: they rub off or lift in the bath.
    Under,
    /// Separate domes that hold.
    Good,
    /// The ground runs together and closes.
    Over,
}

/// One step of the melt, from the first flow to the end of the bake: while the rest angle falls,
/// domes spread further and those that touch merge.
#[derive(Clone, Debug, PartialEq)]
pub struct MeltStep {
    /// Angle at which the resin comes to rest on copper, degrees.
    pub rest_angle_deg: f64,
    /// Pinning of the edges, 0 (free) to 1 (fixed): domes merge when nearer than
    /// (1 − pinning)·(a₁ + a₂).
    pub pinning: f64,
    /// Pairs merge only while a₁ + a₂ is below this, µm.
    pub merge_limit_um: f64,
    /// Footprint radius against melt volume.
    pub footprint: Footprint,
}

/// Footprint radius and cap angle of a dome against its melt volume, at one step of the melt.
///
/// A table over ln V with linear interpolation: exact to 1e-4 of the radius.
#[derive(Clone, Debug, PartialEq)]
pub struct Footprint {
    /// ln of the smallest volume in the table, V in µm³.
    pub ln_volume_from: f64,
    /// Step of ln V between entries.
    pub ln_volume_step: f64,
    /// Radius of the footprint on copper, µm, per entry.
    pub radius_um: Vec<f32>,
    /// Angle between dome and copper at its edge, degrees, per entry. From 90° up the dome does
    /// not hold.
    pub angle_deg: Vec<f32>,
}

/// The course and the outcome of a bake.
#[derive(Clone, Debug, PartialEq)]
pub struct Baked {
    /// Minutes since the plate was laid on the hot plate, for the plot.
    pub course_min: Vec<f64>,
    /// Plate temperature at those minutes, °C.
    pub course_c: Vec<f64>,
    /// Plate temperature at the end, °C.
    pub plate_end_c: f64,
    /// Capillary dose ∫γ/η dt, m.
    pub dose_m: f64,
    /// Steps of the melt, in order; at least one.
    pub steps: Vec<MeltStep>,
}

/// Bakes a dusted plate.
#[must_use]
pub fn bake(bake: &plan::Bake, thickness_mm: f64, constants: &BakeConstants) -> Baked {
    let _ = (bake, thickness_mm, constants);
    Baked { course_min: Vec::new(), course_c: Vec::new(), plate_end_c: 0.0, dose_m: 0.0, steps: Vec::new() }
}
