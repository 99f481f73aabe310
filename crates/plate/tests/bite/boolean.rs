//! Grounds for the tests: discs thrown at random, and the plainest distance to their union.

#![allow(dead_code, reason = "each test program uses its share")]

use plate::ground::Dome;
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg32;

/// A number spread evenly over 0–1.
pub(crate) fn evenly(random: &mut Pcg32) -> f64 {
    f64::from(random.next_u32()) / 4_294_967_296.0
}

/// A number spread normally with mean 0 and deviation 1 (Box & Muller, as the worked run of the notes drew it).
pub(crate) fn normal(random: &mut Pcg32) -> f64 {
    let radius = libm::sqrt(-2.0 * libm::log(1.0 - evenly(random)));
    radius * libm::cos(std::f64::consts::TAU * evenly(random))
}

/// Mean square radius of lognormal discs, µm².
pub(crate) fn mean_square_radius(median_um: f64, sigma: f64) -> f64 {
    median_um * median_um * libm::exp(2.0 * sigma * sigma)
}

/// Discs thrown at random over a square and a margin round it so that `cover` of it is covered on
/// average: 1 − exp(−λπE[r²]).
pub(crate) fn boolean_ground(
    side_um: f64,
    median_um: f64,
    sigma: f64,
    cover: f64,
    seed: u64,
) -> Vec<Dome> {
    let margin_um = 8.0 * median_um;
    let per_um2 =
        -libm::log(1.0 - cover) / (std::f64::consts::PI * mean_square_radius(median_um, sigma));
    let whole_um = side_um + 2.0 * margin_um;
    let count = (per_um2 * whole_um * whole_um).round() as usize;
    let mut random = Pcg32::seed_from_u64(seed);
    (0..count)
        .map(|_| Dome {
            x_um: (evenly(&mut random) * whole_um - margin_um) as f32,
            y_um: (evenly(&mut random) * whole_um - margin_um) as f32,
            radius_um: (median_um * libm::exp(sigma * normal(&mut random))) as f32,
        })
        .collect()
}

/// The same, keeping only discs that touch none before them.
pub(crate) fn separate_ground(side_um: f64, median_um: f64, cover: f64, seed: u64) -> Vec<Dome> {
    let mut kept: Vec<Dome> = Vec::new();
    for dome in boolean_ground(side_um, median_um, 0.3, cover, seed) {
        let touches = |other: &Dome| {
            let (dx, dy) = (dome.x_um - other.x_um, dome.y_um - other.y_um);
            libm::hypotf(dx, dy) <= dome.radius_um + other.radius_um
        };
        if !kept.iter().any(touches) {
            kept.push(dome);
        }
    }
    kept
}
