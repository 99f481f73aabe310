//! Wiping and press: ink left here and there, and paper that takes up less.

use super::lattice::Lattice;
use super::noise::{smooth, step};
use super::spot::Spot;
use crate::grid::Grid;
use plan::{Fault, FaultKind, Plan};

/// Most ink that uneven wiping of size 1 leaves beside what it should, µm.
const LEFT_UM: f64 = FaultKind::UnevenWiping.full_size().amount;
/// Size of its clouds, µm; plausible 3000–30 000.
const CLOUD_UM: f64 = 8000.0;
/// Ink left at the very edge at size 1, µm.
const EDGE_UM: f64 = FaultKind::EdgeTone.full_size().amount;
/// Share of the ink that paper too dry does not take up at size 1.
const DRY_LOSS: f64 = FaultKind::DryPaper.full_size().share();
/// The same where water stands on it.
const WET_LOSS: f64 = FaultKind::WetPaper.full_size().share();
/// Size of the places where water stands, µm; plausible 1000–10 000.
const WATER_UM: f64 = 4000.0;
/// Share of what splits off with the paper that is lost with a blanket at size 1. The constants
/// `ink.two_blankets` and `ink.one_blanket` are those of a pressure set anew.
const BLANKET_LOSS: f64 = FaultKind::MissingBlanket.full_size().share();

/// What of a plan's faults happens while it is wiped and printed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PressFaults {
    clouds: Vec<Spot>,
    edges: Vec<Spot>,
    dry: Vec<Spot>,
    wet: Vec<Spot>,
    /// Right and lower edge of the plate, µm.
    size_um: [f64; 2],
    blanket: f64,
}

impl PressFaults {
    #[inline(never)] // keeps the page small
    pub(super) fn of(plan: &Plan, on_copper: &[Fault]) -> Self {
        let mut faults = Self::default();
        for fault in on_copper {
            let Some(spot) = Spot::of(fault) else { continue };
            match fault.kind {
                FaultKind::UnevenWiping => faults.clouds.push(spot),
                FaultKind::EdgeTone => faults.edges.push(spot),
                FaultKind::DryPaper => faults.dry.push(spot),
                FaultKind::WetPaper => faults.wet.push(spot),
                _ => continue,
            }
            faults.size_um = [plan.plate.width_mm * 1000.0, plan.plate.height_mm * 1000.0];
        }
        faults.blanket = super::worst(plan, FaultKind::MissingBlanket);
        faults
    }

    /// How much of what splits off with the paper is left under the press as it is set, 0–1.
    pub(crate) fn pressed(&self) -> f64 {
        1.0 - BLANKET_LOSS * self.blanket
    }

    /// Ink left beside what wiping should leave over a raster on the copper, µm; `None` where there is none.
    pub(crate) fn left(&self, grid: &Grid) -> Option<Lattice> {
        if self.clouds.is_empty() && self.edges.is_empty() {
            return None;
        }
        Lattice::over(grid, 0.0, &|x_um, y_um| self.left_at(x_um, y_um) as f32)
    }

    /// Share of the ink that the paper takes up, against sound paper; `None` where it is sound.
    pub(crate) fn taken(&self, grid: &Grid) -> Option<Lattice> {
        if self.dry.is_empty() && self.wet.is_empty() {
            return None;
        }
        Lattice::over(grid, 1.0, &|x_um, y_um| self.taken_at(x_um, y_um) as f32)
    }

    fn left_at(&self, x_um: f64, y_um: f64) -> f64 {
        let mut left_um = 0.0;
        for spot in &self.clouds {
            let weight = spot.weight(x_um, y_um);
            if weight > 0.0 {
                let wide = smooth(spot.seed, x_um / CLOUD_UM, y_um / CLOUD_UM);
                // Clouds are drawn out the way that the cloth last went.
                let (along, across) = (x_um + y_um, x_um - y_um);
                let drawn = smooth(spot.seed ^ 0x77, along / CLOUD_UM, 4.0 * across / CLOUD_UM);
                let cloud = step((0.65 * wide + 0.35 * drawn - 0.3) / 0.5);
                left_um += LEFT_UM * spot.size * weight.sqrt() * cloud;
            }
        }
        for spot in &self.edges {
            let near = |um: f64, size_um: f64| um.min(size_um - um).max(0.0);
            let in_um = near(x_um, self.size_um[0]).min(near(y_um, self.size_um[1]));
            let inside = 1.0 - in_um / spot.radius_um;
            if inside > 0.0 {
                let uneven = 0.6 + 0.4 * smooth(spot.seed, x_um / CLOUD_UM, y_um / CLOUD_UM);
                left_um += EDGE_UM * spot.size * inside * inside * uneven;
            }
        }
        left_um
    }

    fn taken_at(&self, x_um: f64, y_um: f64) -> f64 {
        let mut taken = 1.0;
        for spot in &self.dry {
            taken *= 1.0 - DRY_LOSS * spot.size * spot.weight(x_um, y_um);
        }
        for spot in &self.wet {
            let weight = spot.weight(x_um, y_um);
            if weight > 0.0 {
                let water = smooth(spot.seed, x_um / WATER_UM, y_um / WATER_UM);
                let stands = step((water + 0.4 * weight.sqrt() - 0.6) / 0.25);
                taken *= 1.0 - WET_LOSS * spot.size * weight.sqrt() * stands;
            }
        }
        taken
    }
}
