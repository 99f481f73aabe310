//! The table of values and the tone curve: what the plan's ground prints in its bath.

use super::{Looking, Swatch};
use crate::light;
use serde::Serialize;

/// One value of the scale; index 0 is the paper, kept white by stop-out from the start.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Value {
    /// Its number: 0 for the paper, k for the k-th bite.
    pub index: usize,
    /// Minutes of its own bite.
    pub bite_min: f64,
    /// Minutes of all bites it was open in.
    pub cumulative_min: f64,
    /// Copper gone between the domes, µm.
    pub bitten_um: f64,
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
    /// Share of the plate's area, 0–1.
    pub area_share: f64,
}

/// Share of the way to the darkest, in minutes or in dose, that suggestions make use of: beyond it the ground is near
/// breaking down, and a bath a little warmer than planned would carry it over (common practice, no source).
pub const SURE_SHARE: f64 = 0.85;

/// How this ground prints against minutes in this bath: the plan's bites as they run, the last one going
/// on. It ends where the bath gets no deeper within [`super::LONGEST_MIN`].
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct ToneCurve {
    /// Minutes open.
    pub minutes: Vec<f64>,
    /// CIE L* printed.
    pub lightness: Vec<f64>,
    /// Density printed.
    pub density: Vec<f64>,
    /// Mean depth, µm.
    pub depth_um: Vec<f64>,
    /// Minutes at which it prints darkest; later the ground has broken down. Not a number (`null` in
    /// JSON) when this bath never gets there.
    pub darkest_min: f64,
}

/// Doses on open copper, and what plain areas print at each.
#[derive(Clone, Debug, PartialEq)]
pub struct TonesByDose {
    /// Doses, µm, from 0.
    pub dose_um: Vec<f64>,
    swatches: Vec<Swatch>,
    /// CIE L* printed.
    pub lightness: Vec<f64>,
    /// Dose that prints darkest, µm.
    pub darkest_um: f64,
}

/// The tone curve's doses grow by this factor from point to point.
const CURVE_RATIO: f64 = 1.32;
/// First dose of the tone curve after zero, µm.
const CURVE_FROM_UM: f64 = 0.4;
/// The tone curve goes to this dose, µm, or past the last bite if that is deeper: as far as grounds that
/// cover nine tenths take to print darkest.
const CURVE_TO_UM: f64 = 80.0;

impl Looking<'_> {
    /// The table of values in the state that is looked at: paper first, then one for each bite of the plan,
    /// from light to dark.
    pub fn values(&mut self) -> Vec<Value> {
        let plate = self.plate;
        let plan = plate.plan();
        let mut cumulative_min = 0.0;
        (0..=plan.bites.len())
            .map(|index| {
                let bite_min = if index == 0 { 0.0 } else { plan.bites[index - 1].bite_min };
                cumulative_min += bite_min;
                let dose_um = plate.session().dose_um[index];
                let swatch = self.swatch_of(index).swatch;
                Value {
                    index,
                    bite_min,
                    cumulative_min,
                    bitten_um: dose_um,
                    mean_depth_um: swatch.mean_depth_um,
                    land: swatch.land,
                    held_um: swatch.held_um,
                    printed_um: swatch.printed_um,
                    reflectance: swatch.reflectance,
                    lightness: swatch.lightness(),
                    density: light::density(swatch.reflectance),
                    srgb: light::srgb8(swatch.reflectance),
                    area_share: plate.picture().shares()[index],
                }
            })
            .collect()
    }

    /// What this ground and ink print, dose by dose: the same in any bath. Later work counts for nothing.
    pub fn tones_by_dose(&mut self) -> TonesByDose {
        let plate = self.plate;
        let total_min: f64 = plate.plan().bites.iter().map(|bite| bite.bite_min).sum();
        // As deep as a bath that never tires would go.
        let last_um = CURVE_TO_UM.max(total_min * plate.session().rate_um_per_min[0] * 1.05);
        let mut dose_um = vec![0.0];
        let mut next_um = CURVE_FROM_UM;
        while next_um < last_um {
            dose_um.push(next_um);
            next_um *= CURVE_RATIO;
        }
        dose_um.push(last_um);
        let swatches: Vec<Swatch> = dose_um.iter().map(|&dose_um| self.swatch(dose_um)).collect();
        let lightness: Vec<f64> = swatches.iter().map(Swatch::lightness).collect();
        let darkest_um = lowest_between(&dose_um, &lightness);
        TonesByDose { dose_um, swatches, lightness, darkest_um }
    }

    /// How this ground prints against minutes in the plan's bath, from no bite to past the last; its lists are
    /// equally long. Later work counts for nothing.
    pub fn tone_curve(&mut self) -> ToneCurve {
        let tones = self.tones_by_dose();
        let bite_min: Vec<f64> = self.plate.plan().bites.iter().map(|bite| bite.bite_min).collect();
        let course = self.plate.course(&bite_min, tones.dose_um[tones.dose_um.len() - 1]);
        let known = tones.dose_um.iter().map_while(|&dose_um| course.minutes_at(dose_um));
        let mut minutes: Vec<f64> = known.collect();
        let reached = minutes.len();
        let mut swatches = tones.swatches;
        let mut lightness = tones.lightness;
        swatches.truncate(reached);
        lightness.truncate(reached);
        if reached < tones.dose_um.len() {
            // The bath gets no further.
            let (dose_um, end_min) = course.end();
            let swatch = self.swatch(dose_um);
            minutes.push(end_min.max(1.0));
            lightness.push(swatch.lightness());
            swatches.push(swatch);
        }
        ToneCurve {
            minutes,
            density: swatches.iter().map(|s| light::density(s.reflectance)).collect(),
            depth_um: swatches.iter().map(|s| s.mean_depth_um).collect(),
            lightness,
            darkest_min: course.minutes_at(tones.darkest_um).unwrap_or(f64::NAN),
        }
    }
}

/// Place of the minimum: a parabola through the lowest point and its neighbours in ln x, or the
/// lowest point itself at an end.
fn lowest_between(x: &[f64], y: &[f64]) -> f64 {
    let lowest = (0..y.len()).fold(0, |best, i| if y[i] < y[best] { i } else { best });
    if lowest < 2 || lowest + 1 >= x.len() {
        return x[lowest];
    }
    let ln = |i: usize| libm::log(x[i]);
    let (a, b, c) = (ln(lowest - 1), ln(lowest), ln(lowest + 1));
    let (fa, fb, fc) = (y[lowest - 1], y[lowest], y[lowest + 1]);
    let up = (b - a) * (b - a) * (fb - fc) - (b - c) * (b - c) * (fb - fa);
    let down = (b - a) * (fb - fc) - (b - c) * (fb - fa);
    if down == 0.0 { x[lowest] } else { libm::exp(b - 0.5 * up / down) }
}

#[cfg(test)]
mod tests {
    use super::lowest_between;

    /// Closed form: of a parabola in ln x any three points have the same lowest place.
    #[test]
    fn the_lowest_place_of_a_parabola_in_ln_is_exact() {
        let x: Vec<f64> =
            (0..12).map(|i| libm::exp(0.3 * f64::from(i) + 0.01 * f64::from(i * i))).collect();
        for ln_lowest in [1.0, 1.7, 2.2, 3.1] {
            let y: Vec<f64> = x
                .iter()
                .map(|&x| 20.0 + 3.0 * (libm::log(x) - ln_lowest) * (libm::log(x) - ln_lowest))
                .collect();
            let found = libm::log(lowest_between(&x, &y));
            assert!((found - ln_lowest).abs() < 1e-9, "{found}, not {ln_lowest}");
        }
        // At an end it is the end.
        let falls: Vec<f64> = x.iter().map(|x| -x).collect();
        assert_eq!(lowest_between(&x, &falls), x[11]);
    }
}
