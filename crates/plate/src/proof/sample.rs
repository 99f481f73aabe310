//! Samples: how one value of a plan prints on a plate that has nothing else on it, for test strips.

use super::{Plate, ValueAreas};
use crate::grid::Grid;
use crate::light;
use serde::Serialize;

/// Ground tiles (square) that a sample's numbers are taken from.
const TILES: i32 = 1;

/// One value wherever one looks.
#[derive(Clone, Debug, PartialEq)]
pub struct OneValue {
    value: u8,
    shares: Vec<f64>,
}

impl OneValue {
    /// `value` everywhere; `shares` of the plate per value, paper first, as the bath feels them.
    /// `None` unless there is a share for each of the `values` and the paper, and `value` is one of
    /// them.
    #[must_use]
    pub fn new(value: usize, shares: &[f64], values: usize) -> Option<Self> {
        let sound = shares.iter().all(|share| (0.0..=1.0).contains(share));
        (sound && shares.len() == values + 1 && value <= values)
            .then(|| Self { value: value as u8, shares: shares.to_vec() })
    }
}

impl ValueAreas for OneValue {
    fn fill(&self, grid: &Grid, out: &mut Vec<u8>) -> Option<u8> {
        out.clear();
        out.resize(grid.len(), self.value);
        Some(self.value)
    }

    fn shares(&self) -> &[f64] {
        &self.shares
    }
}

/// The numbers of one patch of a test strip.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Sample {
    /// Minutes in the bath, all bites it was open in.
    pub minutes: f64,
    /// Share of the copper under resin, 0–1.
    pub cover: f64,
    /// Domes per mm².
    pub domes_per_mm2: f64,
    /// Median diameter of a dome's footprint, µm.
    pub median_footprint_um: f64,
    /// Cover of the loose dust as the eye sees it, 0–1.
    pub loose_cover: f64,
    /// Weight of the dust, g/m².
    pub mass_g_per_m2: f64,
    /// Plate temperature at the end of the bake, °C.
    pub plate_end_c: f64,
    /// How the bake comes out: `under`, `good` or `over`.
    pub doneness: &'static str,
    /// Rate of the first bite, µm/min.
    pub rate_um_per_min: f64,
    /// Copper gone between the domes, µm.
    pub depth_um: f64,
    /// Mean depth over the whole area, µm.
    pub mean_depth_um: f64,
    /// Share of the copper still at its old height, 0–1.
    pub land: f64,
    /// Mean ink in the pits after wiping, µm.
    pub held_um: f64,
    /// Mean ink on the paper, µm.
    pub printed_um: f64,
    /// Mean reflectance, 0–1.
    pub reflectance: f64,
    /// CIE L*, 0–100.
    pub lightness: f64,
    /// Reflection density.
    pub density: f64,
    /// 8-bit sRGB of the mean reflectance.
    pub srgb: u8,
}

impl Plate {
    /// The numbers of value `value` (0 is the paper; one too large is the last).
    pub fn sample(&mut self, value: usize) -> Sample {
        let value = value.min(self.plan.bites.len());
        let depth_um = self.session.dose_um[value];
        let swatch = self.swatch(depth_um);
        let (ground, tiles) = (&self.ground, &mut self.tiles);
        let statistics = ground.statistics(tiles, TILES);
        let (doneness, _) = self.baked.verdict(&self.landed, &self.constants.bake);
        Sample {
            minutes: self.plan.bites[..value].iter().map(|bite| bite.bite_min).sum(),
            cover: statistics.cover,
            domes_per_mm2: statistics.domes_per_mm2,
            median_footprint_um: statistics.median_footprint_um,
            loose_cover: self.landed.loose_cover,
            mass_g_per_m2: self.landed.mass_g_per_m2,
            plate_end_c: self.baked.plate_end_c,
            doneness: super::summary::word(doneness),
            rate_um_per_min: self.session.rate_um_per_min[0],
            depth_um,
            mean_depth_um: swatch.mean_depth_um,
            land: swatch.land,
            held_um: swatch.held_um,
            printed_um: swatch.printed_um,
            reflectance: swatch.reflectance,
            lightness: light::lightness(swatch.reflectance),
            density: light::density(swatch.reflectance),
            srgb: light::srgb8(swatch.reflectance),
        }
    }
}
