//! Published laws of melting that the bake does not use itself, to check it against.

use core::f64::consts::PI;

/// Radius of contact of a ball on a plate, early: a = (3πγR²t/32η)^⅓. S. T. Milner, “Early stages of
/// spreading and sintering”, arXiv 1907.05862 (2019). `dose_um` is γt/η.
pub(crate) fn milner_radius_um(ball_um: f64, dose_um: f64) -> f64 {
    libm::cbrt(3.0 * PI * ball_um * ball_um * dose_um / 32.0)
}

/// Neck of two equal spheres over their first radius, at γt/ηa₀. Pokluda, Bellehumeur &
/// Vlachopoulos, AIChE J. 43, 3253 (1997).
pub(crate) fn pokluda_neck(until: f64) -> f64 {
    let slope = |angle: f64| {
        let (s, c) = (libm::sin(angle), libm::cos(angle));
        libm::pow(2.0, -5.0 / 3.0) * c * s * libm::cbrt(2.0 - c) / ((1.0 - c) * libm::cbrt(1.0 + c))
    };
    // Early, θ² = γt/ηa₀ (Frenkel, corrected by Eshelby): start there, then Runge–Kutta.
    let from = until * 1e-6;
    let steps = 20_000;
    let mut angle = libm::sqrt(from);
    // Even steps of the square root of time: the start is steep in time itself.
    let (root_from, root_to) = (libm::sqrt(from), libm::sqrt(until));
    let h = (root_to - root_from) / f64::from(steps);
    for i in 0..steps {
        let root = root_from + h * f64::from(i);
        let rate = |root: f64, angle: f64| 2.0 * root * slope(angle);
        let k1 = rate(root, angle);
        let k2 = rate(root + 0.5 * h, angle + 0.5 * h * k1);
        let k3 = rate(root + 0.5 * h, angle + 0.5 * h * k2);
        let k4 = rate(root + h, angle + h * k3);
        angle += h / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4);
    }
    let c = libm::cos(angle);
    libm::sin(angle) * libm::cbrt(4.0 / ((1.0 + c) * (1.0 + c) * (2.0 - c)))
}

/// Complete elliptic integral of the first kind by its modulus (arithmetic–geometric mean).
fn elliptic_k(modulus: f64) -> f64 {
    let (mut a, mut b) = (1.0, libm::sqrt(1.0 - modulus * modulus));
    for _ in 0..8 {
        (a, b) = (0.5 * (a + b), libm::sqrt(a * b));
    }
    PI / (2.0 * a)
}

/// Neck of two equal cylinders over the radius they end with, at γt/ηR. R. W. Hopper, J. Am. Ceram.
/// Soc. 67, C262 (1984); J. Fluid Mech. 213, 349 (1990).
pub(crate) fn hopper_neck(until: f64) -> f64 {
    // From m = 1 down, in even steps of ln m, until the integral has reached the time.
    let step = 1e-5;
    let (mut sum, mut ln_m) = (0.0, 0.0);
    while sum < until {
        let m = libm::exp(ln_m - 0.5 * step);
        sum += 0.5 * PI * step / (libm::sqrt(1.0 + m * m) * elliptic_k(m));
        ln_m -= step;
    }
    let m = libm::exp(ln_m);
    (1.0 - m) / libm::sqrt(1.0 + m * m)
}

/// Volume of rosin by weight, cm³/g: α and β of J. M. Peterson, Ind. Eng. Chem. 24, 168 (1932); the
/// volume at 0 °C derived from his table V.
pub(crate) fn peterson_cm3_per_g(c: f64) -> f64 {
    0.9074 * (1.0 + 5.93e-4 * c + 4.38e-7 * c * c)
}
