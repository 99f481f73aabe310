//! The picture's areas alone, as the plate asks for them: what the page opens with. With the feature
//! `hand` the areas by hand lie over them.

use crate::{ToneMap, ValueMap};
use plan::Plan;
use plate::grid::Grid;
use plate::proof::ValueAreas;
use std::sync::Arc;

/// A picture laid on a plan's plate: which value each place gets.
#[derive(Clone, Debug)]
pub struct PictureAreas {
    tones: Arc<ToneMap>,
    crop: plan::Crop,
    thresholds_l: Vec<f64>,
    plate_mm: (f64, f64),
    shares: Vec<f64>,
}

impl PictureAreas {
    /// Lays a picture on the plan's plate, by the plan's crop and thresholds.
    #[must_use]
    pub fn new(tones: Arc<ToneMap>, plan: &Plan) -> Self {
        let mut areas = Self {
            tones,
            crop: plan.picture.crop,
            thresholds_l: plan.picture.thresholds_l.clone(),
            plate_mm: (plan.plate.width_mm, plan.plate.height_mm),
            shares: Vec::new(),
        };
        areas.shares = areas.map().area_shares();
        areas
    }

    /// The same; there is nothing to keep of the areas before.
    #[must_use]
    pub fn after(tones: Arc<ToneMap>, plan: &Plan, _before: Option<&Self>) -> Self {
        Self::new(tones, plan)
    }

    /// The whole plate as printed in `width` × `height` values, row by row.
    #[must_use]
    pub fn coarse(&self, width: usize, height: usize) -> Vec<u8> {
        self.map().coarse(width, height)
    }

    /// True when another plan would give the same areas.
    #[must_use]
    pub fn serves(&self, plan: &Plan) -> bool {
        self.crop == plan.picture.crop
            && self.thresholds_l == plan.picture.thresholds_l
            && self.plate_mm == (plan.plate.width_mm, plan.plate.height_mm)
    }

    /// The map of values.
    #[must_use]
    pub fn map(&self) -> ValueMap<'_> {
        ValueMap::new(&self.tones, self.crop, &self.thresholds_l, self.plate_mm.0, self.plate_mm.1)
    }
}

impl ValueAreas for PictureAreas {
    fn fill(&self, grid: &Grid, out: &mut Vec<u8>) -> Option<u8> {
        let same = self.map().fill(
            grid.left_um(),
            grid.top_um(),
            grid.px_um,
            grid.width,
            grid.height,
            true,
            out,
        );
        if same { out.first().copied() } else { None }
    }

    fn shares(&self) -> &[f64] {
        &self.shares
    }
}
