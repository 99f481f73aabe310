//! How a plain area would darken if the constants that a step plate tells were other than they are.

use plan::{Bite, Plan, Wipe};
use plate::Plate;
use plate::bite::{DepthCurve, depth_field};
use plate::chain::{SAMPLE, SAMPLE_PX_UM};
use plate::constants::Constants;
use plate::ink::{InkScratch, Inking};

/// Values of the constants and doses that a table is calculated for.
#[derive(Clone, Debug, PartialEq)]
pub struct ToneTableSides {
    /// Doses, µm.
    pub dose_um: Vec<f64>,
    /// How deep the wipe presses into the copper, µm.
    pub overlap_um: Vec<f64>,
    /// Absorption of neat ink, 1/µm.
    pub absorption_per_um: Vec<f64>,
}

/// The constant that decides where a plan's wipe leaves wide pits empty.
#[must_use]
pub fn overlap_key(plan: &Plan) -> &'static str {
    match plan.ink.wipe {
        Wipe::Tarlatan => "ink.tarlatan_overlap_um",
        Wipe::Hand => "ink.hand_overlap_um",
        Wipe::Hard => "ink.hard_overlap_um",
    }
}

/// Share of the paper's own light that a plain area throws back, the upper surface's left out:
/// (R − R_s)/(R_p − R_s), 0–1. By dose, then overlap, then absorption.
#[must_use]
pub fn tone_table(plate: &Plate, sides: &ToneTableSides) -> Vec<f64> {
    let (plan, constants) = (plate.plan(), plate.constants());
    let key = overlap_key(plan);
    let inking = |overlap_um: f64, absorption_per_um: f64| {
        let mut all: Constants = constants.clone();
        if let Some(value) = all.get_mut(key) {
            *value = overlap_um;
        }
        all.ink.absorption_per_um = absorption_per_um;
        Inking::new(&plan.ink, &plan.paper, &all.ink)
    };
    let inks: Vec<Vec<Inking>> = sides
        .overlap_um
        .iter()
        .map(|&overlap| sides.absorption_per_um.iter().map(|&a| inking(overlap, a)).collect())
        .collect();
    let surface = constants.ink.surface_reflectance;
    let paper = plan.paper.reflectance;
    let etch_factor = constants.bite.etch_factor;
    let value = vec![0; SAMPLE.len()];
    let (mut depth_um, mut reflectance) = (Vec::new(), Vec::new());
    let mut scratch = InkScratch::default();
    let mut table = Vec::new();
    for &dose_um in &sides.dose_um {
        let curves = [DepthCurve::new(dose_um, etch_factor, SAMPLE_PX_UM)];
        depth_field(plate.ground().sample_um(), &value, &curves, &mut depth_um);
        for row in &inks {
            for (i, ink) in row.iter().enumerate() {
                // What is held and printed does not depend on the absorption.
                if i == 0 {
                    ink.hold(&depth_um, &SAMPLE, &mut scratch);
                    ink.transfer(&SAMPLE, &mut scratch);
                }
                ink.reflect(&SAMPLE, &mut scratch, &mut reflectance);
                let sum: f64 = reflectance.iter().map(|&r| f64::from(r)).sum();
                let mean = sum / reflectance.len() as f64;
                table.push((mean - surface) / (paper - surface));
            }
        }
    }
    table
}

/// Cumulative dose of each bite in a plate's bath, µm, were the rate constant this, µm/min.
#[must_use]
pub fn doses_at_rate(plate: &Plate, rate_um_per_min: f64, bite_min: &[f64]) -> Vec<f64> {
    let bites: Vec<Bite> = bite_min.iter().map(|&bite_min| Bite { bite_min }).collect();
    let mut constants = plate.constants().bite.clone();
    constants.rate_um_per_min = rate_um_per_min;
    plate.bathed_with(&bites, &constants).dose_um[1..].to_vec()
}
