//! Dust: what falls onto the plate in the box.

use crate::constants;

constants! {
    /// Constants of the dust box.
    DustConstants "dust" {
        resin_density_kg_per_m3: 1070.0, "kg/m³", 1050.0..=1100.0, Published,
            "density of solid rosin", "CAMEO (MFA Boston), “Rosin”, after Gettens & Stout, Painting Materials";
    }
}

/// The grains of one size class that landed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SizeClass {
    /// Smallest envelope diameter of the class, µm.
    pub from_um: f64,
    /// Largest envelope diameter of the class, µm.
    pub to_um: f64,
    /// Grains landed per mm².
    pub grains_per_mm2: f64,
    /// Weight landed, g per m².
    pub mass_g_per_m2: f64,
}

/// What lies on the plate when it comes out of the box.
#[derive(Clone, Debug, PartialEq)]
pub struct LandedDust {
    /// Size classes, ascending, without gaps.
    pub classes: Vec<SizeClass>,
    /// All grains, per mm².
    pub grains_per_mm2: f64,
    /// All dust, g per m².
    pub mass_g_per_m2: f64,
    /// Share of the copper hidden by loose grains as the eye sees it, 0–1.
    pub loose_cover: f64,
    /// Share of a loose grain that is resin, 0–1 (from the plan).
    pub solid_fraction: f64,
    /// Dust in the air when stirred up, g/m³.
    pub cloud_start_g_per_m3: f64,
    /// Dust still in the air when the plate goes in, g/m³.
    pub cloud_plate_in_g_per_m3: f64,
    /// Dust still in the air when the plate comes out, g/m³.
    pub cloud_plate_out_g_per_m3: f64,
}

/// What lands on the plate.
#[must_use]
pub fn land(dust: &plan::Dust, constants: &DustConstants) -> LandedDust {
    let _ = (dust, constants);
    LandedDust { classes: Vec::new(), grains_per_mm2: 0.0, mass_g_per_m2: 0.0, loose_cover: 0.0, solid_fraction: 0.15,
        cloud_start_g_per_m3: 0.0, cloud_plate_in_g_per_m3: 0.0, cloud_plate_out_g_per_m3: 0.0 }
}
