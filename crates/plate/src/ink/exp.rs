//! A fast exponential for the many pixels of ink and light.

use crate::order::smaller;

/// The polynomial is raised to the sixteenth power, by squaring four times.
const POWER: f32 = 16.0;
/// Beyond e^−20 nothing is left.
const LARGEST: f32 = 1.25;
/// Coefficients of y, y² and y³ in q(y) with q(y)¹⁶ ≈ e^(−16y) from 0 to [`LARGEST`]: smallest greatest error
/// of the power itself (6e-6, by linear programming), q(0) = 1, and falling all the way.
const Q: [f32; 3] = [-0.999_940_6, 0.497_877_36, -0.148_581_01];

/// What is left of something that a length takes away exponentially.
#[derive(Clone, Copy, Debug)]
pub(super) struct Decay {
    per_um: f32,
}

impl Decay {
    /// e^(−rate·x), the rate in 1/µm (≥ 0).
    pub(super) fn new(rate_per_um: f32) -> Self {
        Self { per_um: rate_per_um / POWER }
    }

    /// Share left after `um` ≥ 0: within 7e-6 (what paper throws back, told to a thousandth of L*), never
    /// rising, and exactly 1 at 0.
    ///
    /// Plain arithmetic, so that loops over slices run four lanes at a time and give the same bits
    /// everywhere: e^x = (e^(x/16))¹⁶ needs neither whole parts nor bits of its argument.
    #[inline(always)]
    pub(super) fn left_after(self, um: f32) -> f32 {
        let y = smaller(um * self.per_um, LARGEST);
        let [a, b, c] = Q;
        let q = 1.0 + y * (a + y * (b + y * c));
        let q2 = q * q;
        let q4 = q2 * q2;
        let q8 = q4 * q4;
        q8 * q8
    }
}

#[cfg(test)]
mod tests {
    use super::Decay;

    #[test]
    fn stays_within_its_promise_of_the_exact_exponential() {
        let decay = Decay::new(2.0);
        let mut before = 1.0;
        for step in 0..=435_000 {
            let um = step as f32 * 1e-4;
            let found = decay.left_after(um);
            let off = (f64::from(found) - libm::exp(-2.0 * f64::from(um))).abs();
            assert!(off < 7e-6, "e^−2·{um}: off by {off:e}");
            // Rounding alone may lift it.
            assert!(found <= before * 1.000_005, "at {um} it rises from {before} to {found}");
            before = found;
        }
        assert!((decay.left_after(0.0) - 1.0).abs() < f32::MIN_POSITIVE, "nothing takes nothing");
        for beyond in [100.0, f32::INFINITY, f32::NAN] {
            let left = decay.left_after(beyond);
            assert!((0.0..1e-8).contains(&left), "after {beyond} µm {left} is left");
        }
    }
}
