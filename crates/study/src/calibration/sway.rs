//! How a print darkens with what no step plate tells apart: a thicker film of ink left by the wipe (plate tone), and the pressure.
//!
//! Both change how much ink lies on the paper after a dose, whatever the bath. Their effect is calculated once along the dose, with the
//! constants in force, and taken to go evenly with its size in ln of the light.

use crate::calibration::forward::{cubic, even_in_ln, place, weighted};
use crate::calibration::tone_table::{ToneTableSides, overlap_key, tone_table};
use plan::{Press, Wipe};
use plate::{Plate, Refused};

/// A film that is thicker by this all over is the unit, µm: half the way from a hand wipe to tarlatan alone.
pub(crate) const FILM_UM: f64 = 0.15;
/// A press that takes up so many times the share of the ink is the unit: from usual to light, and from heavy to usual.
pub(crate) const PRESS_TIMES: f64 = 0.75;
/// Doses of the tables, µm.
const DOSES: (f64, f64, usize) = (0.5, 300.0, 22);

/// ln of the light that a unit of each makes more, by the dose.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Sways {
    dose_um: Vec<f64>,
    /// Film, then pressure.
    ln: [Vec<f64>; 2],
    /// ln of the light of bare copper as planned, and of a unit of each more.
    bare_ln: f64,
    bare: [f64; 2],
}

/// Names of the constants of the film that a plan's wipe leaves: on polished copper, and on bitten copper.
pub(crate) fn film_keys(wipe: Wipe) -> [&'static str; 2] {
    match wipe {
        Wipe::Tarlatan => ["ink.tarlatan_land_film_um", "ink.tarlatan_floor_film_um"],
        Wipe::Hand => ["ink.hand_land_film_um", "ink.hand_floor_film_um"],
        Wipe::Hard => ["ink.hard_land_film_um", "ink.hard_floor_film_um"],
    }
}

/// Name of the constant of a plan's press.
pub(crate) fn press_key(press: Press) -> &'static str {
    match press {
        Press::Light => "ink.split_light",
        Press::Normal => "ink.split_normal",
        Press::Heavy => "ink.split_heavy",
    }
}

impl Sways {
    /// For a plate as it was bitten.
    ///
    /// # Errors
    /// As [`Plate::of`].
    pub(crate) fn new(plate: &Plate) -> Result<Self, Refused> {
        let (from, to, count) = DOSES;
        let dose_um = even_in_ln(from, to, count);
        let constants = plate.constants();
        let in_force = |key: &str| constants.get(key).unwrap_or(0.0);
        let mut doses = vec![0.0];
        doses.extend(&dose_um);
        let sides = ToneTableSides {
            dose_um: doses,
            overlap_um: vec![in_force(overlap_key(plate.plan()))],
            absorption_per_um: vec![constants.ink.absorption_per_um],
        };
        let ln = |plate: &Plate| -> Vec<f64> {
            tone_table(plate, &sides).iter().map(|light| libm::log(light.max(1e-9))).collect()
        };
        let own = ln(plate);
        let with = |keys: &[&str], change: &dyn Fn(f64) -> f64| -> Result<Vec<f64>, Refused> {
            let mut plan = plate.plan().clone();
            for &key in keys {
                plan.calibration.insert(key.to_owned(), change(in_force(key)));
            }
            let other = ln(&plate.after(&plate.job().with_plan(plan))?);
            Ok(other.iter().zip(&own).map(|(other, own)| other - own).collect())
        };
        let ink = &plate.plan().ink;
        let mut film = with(&film_keys(ink.wipe), &|um| um + FILM_UM)?;
        let mut press = with(&[press_key(ink.press)], &|share| share * PRESS_TIMES)?;
        let bare = [film.remove(0), press.remove(0)];
        Ok(Self { dose_um, ln: [film, press], bare_ln: own[0], bare })
    }

    /// What so many units of each add to ln of the light after a dose, µm.
    pub(crate) fn ln(&self, dose_um: f64, units: [f64; 2]) -> f64 {
        let count = self.dose_um.len();
        let weights = cubic(place(&self.dose_um, dose_um.max(1e-3)), count);
        let of = |i: usize| units[i] * weighted(count, weights, |k| self.ln[i][k]);
        of(0) + of(1)
    }

    /// ln of the light of bare copper with so many units of each.
    pub(crate) fn bare_ln(&self, units: [f64; 2]) -> f64 {
        self.bare_ln + units[0] * self.bare[0] + units[1] * self.bare[1]
    }
}
