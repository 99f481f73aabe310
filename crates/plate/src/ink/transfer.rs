//! Wiping and the press: what the pits hold, and what the paper takes of it.

use super::cloth::DEEPEST_UM;
use super::exp::Decay;
use crate::order::smaller;

/// The film of ink that wiping leaves, µm.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Film {
    /// On polished copper.
    pub(super) land_um: f32,
    /// On bitten copper.
    pub(super) floor_um: f32,
    /// Depth over which bitten copper grows rough, µm.
    pub(super) rough_um: f32,
}

impl Film {
    /// Ink held along one row: the pit below the cloth, or the film where the cloth touches.
    ///
    /// > t = max(h − e, film),  film = t₀ + (t_f − t₀)·(1 − e^(−h/ℓ))
    ///
    /// All in µm: `depth_um` and `cloth_um` (≥ 0) per pixel, `held_um` is written.
    pub(super) fn hold(&self, depth_um: &[f32], cloth_um: &[f32], held_um: &mut [f32]) {
        let (land, rise) = (self.land_um, self.floor_um - self.land_um);
        let smooth = Decay::new(1.0 / self.rough_um);
        for ((held, &depth), &cloth) in held_um.iter_mut().zip(depth_um).zip(cloth_um) {
            let film = land + rise * (1.0 - smooth.left_after(depth));
            let pit = smaller(depth, DEEPEST_UM) - cloth;
            *held = if pit > film { pit } else { film };
        }
    }

    /// The same on copper that tools have worked: they leave it smooth, so that only what lies deeper
    /// than their `plane_um` is rough.
    pub(super) fn hold_worked(
        &self,
        depth_um: &[f32],
        plane_um: &[f32],
        cloth_um: &[f32],
        held_um: &mut [f32],
    ) {
        let (land, rise) = (self.land_um, self.floor_um - self.land_um);
        let smooth = Decay::new(1.0 / self.rough_um);
        let copper = depth_um.iter().zip(plane_um);
        for ((held, (&depth, &plane)), &cloth) in held_um.iter_mut().zip(copper).zip(cloth_um) {
            let below = depth - plane;
            let below = if below > 0.0 { below } else { 0.0 };
            let film = land + rise * (1.0 - smooth.left_after(below));
            let pit = smaller(depth, DEEPEST_UM) - cloth;
            *held = if pit > film { pit } else { film };
        }
    }
}

/// The law by which a film of ink splits between copper and paper.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Split {
    /// How fast contact becomes whole with the thickness of the ink, 1/µm.
    pub(super) contact_per_um: f32,
    /// Thickness that the paper takes up whole, µm.
    pub(super) taken_up_um: f32,
    /// Share of the rest that goes with the paper, 0–1.
    pub(super) share: f32,
}

impl Split {
    /// Ink taken by the paper along one row, before it spreads.
    ///
    /// > y = (1 − e^(−kt))·(b(1 − e^(−t/b)) + f(t − b(1 − e^(−t/b))))
    ///
    /// W. C. Walker & J. M. Fetsko, "A concept of ink transfer in printing", TAGA Proc. 1955.
    pub(super) fn transfer(&self, held_um: &[f32], taken_um: &mut [f32]) {
        let (whole, share) = (self.taken_up_um, self.share);
        let (apart, above) = (Decay::new(self.contact_per_um), Decay::new(1.0 / whole));
        for (taken, &held) in taken_um.iter_mut().zip(held_um) {
            let up = whole * (1.0 - above.left_after(held));
            let touching = 1.0 - apart.left_after(held);
            *taken = touching * (up + share * (held - up));
        }
    }
}
