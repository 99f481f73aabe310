//! Ground: real domes at real places on the plate.

use crate::{bake::Baked, dust::LandedDust};

/// One dome of melted resin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dome {
    /// Centre, µm from the left of the tile or window it is given in.
    pub x_um: f32,
    /// Centre, µm from the top of the tile or window it is given in.
    pub y_um: f32,
    /// Radius of its footprint on the copper, µm.
    pub radius_um: f32,
}

/// The recipe of a ground: enough to compute the domes at any place of the plate.
#[derive(Clone, Debug)]
pub struct Ground {}

impl Ground {
    /// The ground of one fall of dust, baked.
    #[must_use]
    pub fn new(dust: &LandedDust, baked: &Baked, seed: u32) -> Self {
        let _ = (dust, baked, seed);
        Self {}
    }
}
