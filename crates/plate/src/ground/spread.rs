//! Spread: how wide a drop of a given volume lies, looked up fast.
//!
//! The footprint tables of the bake run over ln V; here they are laid out over the bits of V
//! itself, 32 entries to an octave, so that a look-up needs no logarithm. Between entries the
//! radius runs straight in V: off by less than 3e-5 of itself for a ∝ V^⅓.

use crate::bake::{Footprint, MeltStep};

/// Bits of V below the index of an entry: 5 bits of the mantissa, 32 entries to an octave.
const LOW_BITS: u32 = 18;

/// A drop holds below this angle at its edge, degrees: dust-and-bake.md §7 item 5.
pub(crate) const HOLDS_BELOW_DEG: f32 = 90.0;

/// One step of the melt, ready for the bench.
#[derive(Clone, Debug)]
pub struct Spread {
    /// Bits of the smallest volume, shifted.
    base: u32,
    radius_um: Vec<f32>,
    angle_deg: Vec<f32>,
    all_hold: bool,
    /// Domes merge when nearer than this times the sum of their radii: 1 − pinning.
    pub touch: f32,
    /// Domes merge while the sum of their radii is below this, µm.
    pub merge_limit_um: f32,
    /// Domes merge while they hold less than this together, µm³.
    pub largest_um3: f64,
    /// Radius of a dome of half that volume, µm: two smaller ones may always merge.
    pub half_of_largest_um: f32,
}

impl Spread {
    /// Prepares a step for volumes in `range` (smallest and largest, µm³) and merged domes of at
    /// most `largest_um3`.
    #[must_use]
    pub fn new(step: &MeltStep, range: (f64, f64), largest_um3: f64) -> Self {
        let base = (range.0 as f32).to_bits() >> LOW_BITS;
        let top = ((range.1 as f32).to_bits() >> LOW_BITS) + 2;
        let volumes = (base..=top).map(|index| f64::from(f32::from_bits(index << LOW_BITS)));
        let (mut radii, mut angles) = (Vec::new(), Vec::new());
        for volume in volumes {
            radii.push(radius_um(&step.footprint, volume));
            angles.push(angle_deg(&step.footprint, volume));
        }
        let mut spread = Self {
            base,
            radius_um: radii,
            all_hold: angles.iter().all(|&angle| angle < HOLDS_BELOW_DEG),
            angle_deg: angles,
            touch: (1.0 - step.pinning) as f32,
            merge_limit_um: step.merge_limit_um as f32,
            largest_um3,
            half_of_largest_um: 0.0,
        };
        spread.half_of_largest_um = spread.radius_um((0.5 * largest_um3) as f32);
        spread
    }

    /// Radius of the footprint of a drop, µm.
    #[inline]
    #[must_use]
    pub fn radius_um(&self, volume_um3: f32) -> f32 {
        self.look_up(&self.radius_um, volume_um3)
    }

    /// Drops of all volumes hold.
    #[must_use]
    pub fn all_hold(&self) -> bool {
        self.all_hold
    }

    /// A drop of this volume holds on the copper.
    #[inline]
    #[must_use]
    pub fn holds(&self, volume_um3: f32) -> bool {
        self.all_hold || self.look_up(&self.angle_deg, volume_um3) < HOLDS_BELOW_DEG
    }

    /// Angle at the edge of a drop, degrees.
    #[must_use]
    pub fn edge_deg(&self, volume_um3: f32) -> f32 {
        self.look_up(&self.angle_deg, volume_um3)
    }

    #[inline]
    fn look_up(&self, table: &[f32], volume_um3: f32) -> f32 {
        let bits = volume_um3.to_bits();
        let index = (bits >> LOW_BITS).saturating_sub(self.base) as usize;
        let index = index.min(table.len() - 2);
        let t = (bits & ((1 << LOW_BITS) - 1)) as f32 * (1.0 / (1 << LOW_BITS) as f32);
        table[index] + t * (table[index + 1] - table[index])
    }
}

/// Entry before `volume_um3` and how far beyond it, in entries.
fn place(footprint: &Footprint, volume_um3: f64) -> (usize, f64) {
    let at = (libm::log(volume_um3) - footprint.ln_volume_from) / footprint.ln_volume_step;
    let last = footprint.radius_um.len().saturating_sub(2) as f64;
    let index = libm::floor(at).clamp(0.0, last);
    (index as usize, at - index)
}

/// Radius at a volume, µm. Outside the table the shape of the cap stays: a ∝ V^⅓.
#[must_use]
pub fn radius_um(footprint: &Footprint, volume_um3: f64) -> f32 {
    let table = &footprint.radius_um;
    let (index, t) = place(footprint, volume_um3);
    match table.get(index..index + 2) {
        Some(&[low, high]) if (0.0..=1.0).contains(&t) => {
            (f64::from(low) + t * f64::from(high - low)) as f32
        }
        Some(&[low, high]) => {
            let (edge, beyond) = if t < 0.0 { (low, t) } else { (high, t - 1.0) };
            let stretch = libm::exp(beyond * footprint.ln_volume_step / 3.0);
            (f64::from(edge) * stretch) as f32
        }
        _ => 0.0,
    }
}

/// Angle at a volume, degrees. Outside the table that of the nearest entry.
#[must_use]
pub fn angle_deg(footprint: &Footprint, volume_um3: f64) -> f32 {
    let (index, t) = place(footprint, volume_um3);
    match footprint.angle_deg.get(index..index + 2) {
        Some(&[low, high]) => (f64::from(low) + t.clamp(0.0, 1.0) * f64::from(high - low)) as f32,
        _ => 180.0,
    }
}

/// Volume of the dome with this radius, µm³ (the radius grows with the volume).
#[must_use]
pub fn volume_um3(footprint: &Footprint, wanted_um: f64) -> f64 {
    let (mut low, mut high) = (-30.0, 60.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        let radius = f64::from(radius_um(footprint, libm::exp(middle)));
        if radius < wanted_um { low = middle } else { high = middle }
    }
    libm::exp(0.5 * (low + high))
}
