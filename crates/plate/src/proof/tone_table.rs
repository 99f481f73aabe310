//! How a plain area would darken if the constants that a step plate tells were other than they are.

use super::{Plate, SAMPLE, SAMPLE_PX_UM};
use crate::bite::{self, DepthCurve, depth_field};
use crate::constants::Constants;
use crate::ink::Inking;
use plan::{Bite, Wipe};

/// Values of the constants and doses that a table is reckoned for.
#[derive(Clone, Debug, PartialEq)]
pub struct ToneTableSides {
    /// Doses, µm.
    pub dose_um: Vec<f64>,
    /// How deep the wipe presses into the copper, µm.
    pub overlap_um: Vec<f64>,
    /// Absorption of neat ink, 1/µm.
    pub absorption_per_um: Vec<f64>,
}

impl Plate {
    /// The constant that decides where this wipe leaves wide pits empty.
    #[must_use]
    pub fn overlap_key(&self) -> &'static str {
        match self.plan.ink.wipe {
            Wipe::Tarlatan => "ink.tarlatan_overlap_um",
            Wipe::Hand => "ink.hand_overlap_um",
            Wipe::Hard => "ink.hard_overlap_um",
        }
    }

    /// The value in force of a constant, by its name.
    #[must_use]
    pub fn constant(&self, key: &str) -> Option<f64> {
        self.constants.clone().get_mut(key).copied()
    }

    /// Share of the paper's own light that a plain area throws back, the upper surface's left out:
    /// (R − R_s)/(R_p − R_s), 0–1. By dose, then overlap, then absorption.
    pub fn tone_table(&mut self, sides: &ToneTableSides) -> Vec<f64> {
        let key = self.overlap_key();
        let inking = |overlap_um: f64, absorption_per_um: f64| {
            let mut all: Constants = self.constants.clone();
            if let Some(value) = all.get_mut(key) {
                *value = overlap_um;
            }
            all.ink.absorption_per_um = absorption_per_um;
            Inking::new(&self.plan.ink, &self.plan.paper, &all.ink)
        };
        let inks: Vec<Vec<Inking>> = sides
            .overlap_um
            .iter()
            .map(|&overlap| sides.absorption_per_um.iter().map(|&a| inking(overlap, a)).collect())
            .collect();
        let surface = self.constants.ink.surface_reflectance;
        let paper = self.plan.paper.reflectance;
        let etch_factor = self.constants.bite.etch_factor;
        let fields = &mut self.window;
        fields.value.clear();
        fields.value.resize(SAMPLE.len(), 0);
        let mut table = Vec::new();
        for &dose_um in &sides.dose_um {
            let curves = [DepthCurve::new(dose_um, etch_factor, SAMPLE_PX_UM)];
            depth_field(&self.sample, &fields.value, &curves, &mut fields.depth_um);
            for row in &inks {
                for (i, ink) in row.iter().enumerate() {
                    // What is held and printed does not depend on the absorption.
                    if i == 0 {
                        ink.hold(&fields.depth_um, &SAMPLE, &mut fields.ink);
                        ink.transfer(&SAMPLE, &mut fields.ink);
                    }
                    ink.reflect(&SAMPLE, &mut fields.ink, &mut fields.reflectance);
                    let sum: f64 = fields.reflectance.iter().map(|&r| f64::from(r)).sum();
                    let mean = sum / fields.reflectance.len() as f64;
                    table.push((mean - surface) / (paper - surface));
                }
            }
        }
        table
    }

    /// Cumulative dose of each bite in this plate's bath, µm, were the rate constant this, µm/min.
    #[must_use]
    pub fn doses_at_rate(&self, rate_um_per_min: f64, bite_min: &[f64]) -> Vec<f64> {
        let bites: Vec<Bite> = bite_min.iter().map(|&bite_min| Bite { bite_min }).collect();
        let plate_cm2 = self.plan.plate.width_mm * self.plan.plate.height_mm / 100.0;
        let mut constants = self.constants.bite.clone();
        constants.rate_um_per_min = rate_um_per_min;
        let etch_factor = constants.etch_factor;
        let mean_depth_um = |dose_um: f64| self.profile.mean_depth_um(dose_um, etch_factor);
        let shares = self.areas.shares();
        let (bath, open_share) = (&self.plan.bath, self.profile.open_share());
        let session =
            bite::session(bath, &bites, plate_cm2, shares, open_share, &mean_depth_um, &constants);
        session.dose_um[1..].to_vec()
    }
}
