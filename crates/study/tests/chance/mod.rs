//! Chance for tests that hide something and look whether it is found.
#![allow(dead_code, reason = "each test file uses its own part")]

use rand::Rng;
use rand_pcg::Pcg32;

pub(crate) struct Chance(pub(crate) Pcg32);

impl Chance {
    /// Even, above 0 and below 1.
    pub(crate) fn share(&mut self) -> f64 {
        (f64::from(self.0.next_u32()) + 0.5) / 4_294_967_296.0
    }

    /// Normal with deviation 1 (Box & Muller 1958): the constants that these tests hide were drawn so.
    pub(crate) fn normal(&mut self) -> f64 {
        let (a, b) = (self.share(), self.share());
        libm::sqrt(-2.0 * libm::log(a)) * libm::cos(2.0 * std::f64::consts::PI * b)
    }
}
