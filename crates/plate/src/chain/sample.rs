//! Samples: how one value of a plan prints on a plate that has nothing else on it, for test strips.

use super::{Looking, Swatch, ValueAreas};
use crate::bake::{Baked, Doneness};
use crate::bite::Session;
use crate::dust::LandedDust;
use crate::grid::Grid;
use crate::ground::TileCache;
use crate::ground::statistics::{LINES, of_square};
use crate::light;
use plan::Plan;
use serde::Serialize;

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
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
#[ts(rename = "SampleNumbers")]
pub struct Sample {
    /// Minutes in the bath, all bites it was open in.
    pub minutes: f64,
    /// Share of the copper under resin, 0–1.
    pub cover: f64,
    /// Domes per mm².
    pub domes_per_mm2: f64,
    /// Median diameter of a dome's footprint, µm.
    pub median_footprint_um: f64,
    /// Share of the copper that the loose dust hides seen from above, 0–1.
    pub loose_cover: f64,
    /// Share of it hidden seen at a low angle (8°), as a printmaker judges it, 0–1.
    pub low_angle_cover: f64,
    /// Weight of the dust, g/m².
    pub mass_g_per_m2: f64,
    /// Plate temperature at the end of the bake, °C.
    pub plate_end_c: f64,
    /// How the bake comes out: `under`, `good` or `over`.
    #[ts(type = "'under' | 'good' | 'over'")]
    #[ts(type = "'under' | 'good' | 'over'")]
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

impl Looking<'_> {
    /// The numbers of value `value` (0 is the paper; one too large is the last). Tone, depth and ink are
    /// those of the plate's own table of values; in a later state those of the place that samples are
    /// cut from, with all that was done there.
    pub fn sample(&mut self, value: usize) -> Sample {
        let plate = self.plate;
        let value = value.min(plate.plan().bites.len());
        let swatch = self.swatch_at_sample(value);
        // As much of the first tile as no dome of another can reach into, so that no other is laid.
        let (laid, ground) = (plate.ground(), plate.ground().perfect());
        let from_um = (libm::ceil(ground.largest_um()) + 1.0).min(0.25 * ground.tile_um());
        let side_um = ground.tile_um() - 2.0 * from_um;
        let mut domes = Vec::new();
        let elsewhere = &mut TileCache::default();
        let tiles = match laid.is_faulty() {
            true => elsewhere,
            false => self.scratch.tiles.of_first(laid.recipe()),
        };
        let copper = plate.extent();
        tiles.gather_on(copper, ground, from_um, from_um, side_um, side_um, 0.0, &mut domes);
        let (doneness, _) = laid.baked().verdict(laid.landed(), &plate.constants().bake);
        let grounds = Grounds {
            landed: laid.landed(),
            baked: laid.baked(),
            doneness,
            statistics: of_square(&domes, side_um, LINES),
        };
        sample_of(plate.plan(), value, plate.session(), &grounds, &swatch)
    }
}

/// What lies on the copper before the bath.
pub(super) struct Grounds<'a> {
    pub(super) landed: &'a LandedDust,
    pub(super) baked: &'a Baked,
    pub(super) doneness: Doneness,
    /// Cover, domes per mm², median footprint in µm.
    pub(super) statistics: (f64, f64, f64),
}

/// The numbers of one value from what they follow from.
pub(super) fn sample_of(
    plan: &Plan,
    value: usize,
    session: &Session,
    ground: &Grounds,
    swatch: &Swatch,
) -> Sample {
    let (cover, domes_per_mm2, median_footprint_um) = ground.statistics;
    Sample {
        minutes: plan.bites[..value].iter().map(|bite| bite.bite_min).sum(),
        cover,
        domes_per_mm2,
        median_footprint_um,
        loose_cover: ground.landed.loose_cover,
        low_angle_cover: ground.landed.low_angle_cover,
        mass_g_per_m2: ground.landed.mass_g_per_m2,
        plate_end_c: ground.baked.plate_end_c,
        doneness: ground.doneness.word(),
        rate_um_per_min: session.rate_um_per_min[0],
        depth_um: session.dose_um[value],
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
