//! Samples: how one value of a plan prints on a plate that has nothing else on it, for test strips.

use super::summary::Swatch;
use super::{Plate, ValueAreas};
use crate::bake::{Baked, Doneness};
use crate::bite::Session;
use crate::dust::LandedDust;
use crate::grid::Grid;
use crate::ground::{Dome, statistics};
use crate::light;
use crate::order::ascending;
use plan::Plan;
use serde::Serialize;

/// Lines along which the cover of a piece of ground is measured.
const LINES: usize = 256;

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
    /// Share of the copper that the loose dust hides seen from above, 0–1.
    pub loose_cover: f64,
    /// Share of it hidden seen at a low angle (8°), as a printmaker judges it, 0–1.
    pub low_angle_cover: f64,
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
    /// The numbers of value `value` (0 is the paper; one too large is the last). Tone, depth and ink are
    /// those of the plate's own table of values; in a later state those of the place that samples are
    /// cut from, with all that was done there.
    pub fn sample(&mut self, value: usize) -> Sample {
        let value = value.min(self.plan.bites.len());
        let swatch = self.swatch_at_sample(value);
        // As much of the first tile as no dome of another can reach into, so that no other is laid.
        let from_um =
            (libm::ceil(self.ground.largest_um()) + 1.0).min(0.25 * self.ground.tile_um());
        let side_um = self.ground.tile_um() - 2.0 * from_um;
        let mut domes = Vec::new();
        self.tiles.gather(&self.ground, from_um, from_um, side_um, side_um, 0.0, &mut domes);
        let (doneness, _) = self.baked.verdict(&self.landed, &self.constants.bake);
        let grounds = Grounds {
            landed: &self.landed,
            baked: &self.baked,
            doneness,
            statistics: statistics_of(&domes, side_um),
        };
        sample_of(&self.plan, value, &self.session, &grounds, &swatch)
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
        doneness: super::summary::word(ground.doneness),
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

/// Cover, domes per mm² and median footprint, µm, of a square piece of ground.
pub(super) fn statistics_of(domes: &[Dome], side_um: f64) -> (f64, f64, f64) {
    let side = side_um as f32;
    let inside = 0.0..side;
    let mut footprints: Vec<f32> = domes
        .iter()
        .filter(|dome| inside.contains(&dome.x_um) && inside.contains(&dome.y_um))
        .map(|dome| 2.0 * dome.radius_um)
        .collect();
    ascending(&mut footprints, |footprint| *footprint);
    let median = footprints.get(footprints.len() / 2).copied().unwrap_or(0.0);
    (
        statistics::cover(domes, side, LINES),
        footprints.len() as f64 / (side_um * side_um * 1e-6),
        f64::from(median),
    )
}
