//! Cap: the shape of one dome, and how it flattens as it spreads.

use super::{BakeConstants, Footprint};
use core::f64::consts::PI;

/// Smallest and largest volume of the footprint table, µm³: from a grain of a third of a
/// micrometre to a puddle a millimetre wide.
const VOLUMES_UM3: (f64, f64) = (1e-2, 1e12);

/// Entries of the footprint table to each e-fold of the volume.
const ENTRIES_PER_E_FOLD: f64 = 64.0;

/// Intervals of the spreading curve.
const CURVE_INTERVALS: usize = 2048;

/// Length of the spreading curve: θ − θe has shrunk by e^−18 at its end.
const CURVE_LENGTH: f64 = 18.0;

/// Volume of a spherical cap over the cube of its footprint's radius and π: V = π·a³·g(θ), with
/// g = (2 − 3cosθ + cos³θ)/(3 sin³θ). `angle_rad` in 0–π, exclusive.
#[must_use]
pub fn cap_volume_factor(angle_rad: f64) -> f64 {
    // (2 + c)(1 − c)²/(3 s³) with half angles, which stays exact for flat caps.
    let t = libm::tan(0.5 * angle_rad);
    t * (3.0 + t * t) / 6.0
}

/// Radius of the footprint over the cube root of the volume, (π·g)^(−1/3).
#[must_use]
pub fn radius_factor(angle_rad: f64) -> f64 {
    1.0 / libm::cbrt(PI * cap_volume_factor(angle_rad))
}

/// Footprint of a melted grain over the shadow of the loose one, 4·(φ/6g)^(2/3): the same for all
/// sizes. `solid_share` φ is the share of the loose grain that is resin.
#[must_use]
pub fn area_ratio(solid_share: f64, angle_deg: f64) -> f64 {
    let third = libm::cbrt(solid_share / (6.0 * cap_volume_factor(angle_deg.to_radians())));
    4.0 * third * third
}

/// The spreading of a cap: its angle against s = Ω/V^(1/3), Cox–Voinov
/// dã/ds = (θ³ − θe³)/(9Λ) with ã = (π·g)^(−1/3).
#[derive(Clone, Debug, PartialEq)]
pub struct Spreading {
    first_rad: f64,
    rest_rad: f64,
    /// s at evenly spaced u, where θ = θe + (θ₀ − θe)·e^(−u).
    s: Vec<f64>,
}

impl Spreading {
    /// The spreading towards a rest angle, degrees (below the first angle).
    #[must_use]
    pub fn new(rest_angle_deg: f64, constants: &BakeConstants) -> Self {
        let mut curve = Self {
            first_rad: constants.first_angle_deg.to_radians(),
            rest_rad: rest_angle_deg.to_radians(),
            s: Vec::with_capacity(CURVE_INTERVALS + 1),
        };
        // ds/du = 9Λ·(dã/dθ)(dθ/du)/(θ³ − θe³); θ − θe cancels, so it stays finite at rest.
        let rate = |u: f64| {
            let angle = curve.angle_at(u);
            let rest = curve.rest_rad;
            let narrowing = radius_slope(angle);
            9.0 * constants.contact_line_log * narrowing
                / (angle * angle + angle * rest + rest * rest)
        };
        let step = CURVE_LENGTH / CURVE_INTERVALS as f64;
        let mut s = vec![0.0];
        let (mut sum, mut left) = (0.0, rate(0.0));
        for interval in 0..CURVE_INTERVALS {
            let from = step * interval as f64;
            let (middle, right) = (rate(from + 0.5 * step), rate(from + step));
            sum += step / 6.0 * (left + 4.0 * middle + right);
            s.push(sum);
            left = right;
        }
        curve.s = s;
        curve
    }

    /// Angle of a cap after s = Ω/V^(1/3), degrees.
    #[must_use]
    pub fn angle_deg(&self, s: f64) -> f64 {
        let above = self.s.partition_point(|&entry| entry <= s);
        self.angle_from(above, s).to_degrees()
    }

    /// s at which a cap has come down to an angle, degrees (between first and rest angle).
    #[must_use]
    pub fn s_at_angle_deg(&self, angle_deg: f64) -> f64 {
        let (start, now) = (self.first_rad - self.rest_rad, angle_deg.to_radians() - self.rest_rad);
        let place = libm::log(start / now) / CURVE_LENGTH * CURVE_INTERVALS as f64;
        let place = place.clamp(0.0, CURVE_INTERVALS as f64);
        let entry = (place as usize).min(CURVE_INTERVALS - 1);
        let share = place - entry as f64;
        self.s[entry] * (1.0 - share) + self.s[entry + 1] * share
    }

    fn angle_at(&self, u: f64) -> f64 {
        self.rest_rad + (self.first_rad - self.rest_rad) * libm::exp(-u)
    }

    /// Angle at `s`, whose next greater entry is `above`.
    fn angle_from(&self, above: usize, s: f64) -> f64 {
        if above == self.s.len() {
            return self.rest_rad;
        }
        let below = above.saturating_sub(1);
        let gap = self.s[above] - self.s[below];
        let share = if gap > 0.0 { (s - self.s[below]) / gap } else { 0.0 };
        self.angle_at(CURVE_LENGTH / CURVE_INTERVALS as f64 * (below as f64 + share))
    }
}

/// −dã/dθ, above 0.
fn radius_slope(angle_rad: f64) -> f64 {
    // ã = (π·g)^(−1/3), g = t(3 + t²)/6 with t = tan(θ/2), so dg/dθ = (1 + t²)²/4.
    let t = libm::tan(0.5 * angle_rad);
    let g = t * (3.0 + t * t) / 6.0;
    let rise = (1.0 + t * t) * (1.0 + t * t) / 4.0;
    rise / (3.0 * g * libm::cbrt(PI * g))
}

/// The footprint table at a rest angle, after a dose.
#[must_use]
pub fn footprint(rest_angle_deg: f64, dose_m: f64, constants: &BakeConstants) -> Footprint {
    let spreading = Spreading::new(rest_angle_deg, constants);
    let ln_from = libm::log(VOLUMES_UM3.0);
    let entries =
        libm::ceil((libm::log(VOLUMES_UM3.1) - ln_from) * ENTRIES_PER_E_FOLD) as usize + 1;
    let mut table = Footprint {
        ln_volume_from: ln_from,
        ln_volume_step: 1.0 / ENTRIES_PER_E_FOLD,
        radius_um: Vec::with_capacity(entries),
        angle_deg: Vec::with_capacity(entries),
    };
    // Larger grains have gone a shorter way along the curve: one walk serves the whole table.
    let mut above = spreading.s.len();
    for entry in 0..entries {
        let size_um = libm::exp((ln_from + entry as f64 * table.ln_volume_step) / 3.0);
        let s = 1e6 * dose_m / size_um;
        while above > 0 && spreading.s[above - 1] > s {
            above -= 1;
        }
        let angle = spreading.angle_from(above, s);
        table.radius_um.push((size_um * radius_factor(angle)) as f32);
        table.angle_deg.push(angle.to_degrees() as f32);
    }
    table
}
