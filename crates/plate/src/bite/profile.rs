//! The ground in one curve: how much copper lies how far under the resin.

use super::depth::DepthCurve;

/// Histogram of the distance under the resin over a sample of the ground: enough to know mean
/// depth and land left at any dose, without a raster.
#[derive(Clone, Debug, PartialEq)]
pub struct ResistProfile {
    px_um: f32,
    /// Share of the sample's pixels at each distance; entries from −px upwards, [`STEPS`] to a
    /// pixel, pixels shared out between the two nearest.
    share: Vec<f64>,
}

/// Entries to a pixel.
const STEPS: f32 = 16.0;

impl ResistProfile {
    /// The profile of a raster of distances under the resin, µm, on pixels of `px_um`.
    #[must_use]
    pub fn new(under_um: &[f32], px_um: f32) -> Self {
        let mut share = Vec::new();
        let one = 1.0 / under_um.len().max(1) as f64;
        for &s in under_um {
            let place = ((s / px_um + 1.0) * STEPS).max(0.0);
            let lower = place as usize;
            let upper_part = f64::from(place - lower as f32);
            if share.len() < lower + 2 {
                share.resize(lower + 2, 0.0);
            }
            share[lower] += (1.0 - upper_part) * one;
            share[lower + 1] += upper_part * one;
        }
        Self { px_um, share }
    }

    /// Sum of each entry's share times a function of its distance, µm.
    fn mean(&self, of: impl Fn(f32) -> f64) -> f64 {
        let mut sum = 0.0;
        for (i, &share) in self.share.iter().enumerate() {
            sum += share * of((i as f32 / STEPS - 1.0) * self.px_um);
        }
        sum
    }

    /// Share of the copper that lies open, 0–1.
    #[must_use]
    pub fn open_share(&self) -> f64 {
        1.0 - self.land_share(0.0, 1.0)
    }

    /// Mean depth over an area of one value, ground and undercut included, µm.
    #[must_use]
    pub fn mean_depth_um(&self, dose_um: f64, etch_factor: f64) -> f64 {
        let curve = DepthCurve::new(dose_um, etch_factor, self.px_um);
        self.mean(|s| f64::from(curve.depth_um(s)))
    }

    /// Share of an area of one value that has kept the plate's surface, 0–1: what lies further
    /// under the resin than the undercut.
    #[must_use]
    pub fn land_share(&self, dose_um: f64, etch_factor: f64) -> f64 {
        let undercut = dose_um / etch_factor;
        let px = f64::from(self.px_um);
        self.mean(|s| ((f64::from(s) - undercut) / px + 0.5).clamp(0.0, 1.0))
    }
}
