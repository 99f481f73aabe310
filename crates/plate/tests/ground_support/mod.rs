//! Grounds to test with.
#![allow(dead_code, reason = "each test uses its own part of this")]
#![expect(clippy::disallowed_methods, reason = "tests may use the standard library's functions")]

pub(crate) mod discs;
pub(crate) mod seams;

use plate::bake::{Baked, Footprint, MeltStep};
use plate::dust::{LandedDust, SizeClass};
use plate::ground::Ground;
use std::f64::consts::PI;

/// The ground of a plan, with the built-in constants.
pub(crate) fn chain_ground(plan: &plan::Plan, seed: u32) -> Ground {
    let constants = plate::constants::Constants::default();
    let dust = plate::dust::land(&plan.dust, &constants.dust);
    let baked = plate::bake::bake(&plan.bake, plan.plate.thickness_mm, &constants.bake);
    Ground::new(&dust, &baked, seed)
}

/// V = π a³ g(θ): dust-and-bake.md §5, exact for a spherical cap.
pub(crate) fn shape(angle_deg: f64) -> f64 {
    let (sin, cos) = angle_deg.to_radians().sin_cos();
    (2.0 - 3.0 * cos + cos * cos * cos) / (3.0 * sin * sin * sin)
}

/// One-size dust whose grains melt to 55° caps of radius `radius_um`, n = λπa² of them.
pub(crate) fn one_size(radius_um: f64, n: f64) -> LandedDust {
    let volume = PI * radius_um * radius_um * radius_um * shape(55.0);
    let diameter = (6.0 * volume / PI).cbrt();
    let grains_per_mm2 = n / (PI * radius_um * radius_um) * 1e6;
    LandedDust {
        classes: vec![SizeClass {
            from_um: diameter,
            to_um: diameter,
            grains_per_mm2,
            mass_g_per_m2: 0.0,
        }],
        grains_per_mm2,
        mass_g_per_m2: 0.0,
        loose_cover: 0.0,
        low_angle_cover: 0.0,
        solid_share: 1.0,
        cloud_start_g_per_m3: 0.0,
        cloud_plate_in_g_per_m3: 0.0,
        cloud_plate_out_g_per_m3: 0.0,
    }
}

/// Caps at one angle for all volumes.
pub(crate) fn caps(angle_deg: f64, pinning: f64) -> Baked {
    let (ln_volume_from, ln_volume_step, entries) = (0.0, 0.02, 1500);
    let radius = |entry: usize| {
        let volume = (ln_volume_from + ln_volume_step * entry as f64).exp();
        (volume / (PI * shape(angle_deg))).cbrt() as f32
    };
    Baked {
        course_min: Vec::new(),
        course_c: Vec::new(),
        plate_end_c: 110.0,
        dose_m: 1.0,
        steps: vec![MeltStep {
            rest_angle_deg: angle_deg,
            pinning,
            merge_limit_um: 1e9,
            footprint: Footprint {
                ln_volume_from,
                ln_volume_step,
                radius_um: (0..entries).map(radius).collect(),
                angle_deg: vec![angle_deg as f32; entries],
            },
        }],
    }
}
