//! A picture of lines, laid on the plate: where copper lay open when they were bitten.

use crate::{ToneMap, ValueMap};
use plan::{LineWork, Plan};
use plate::chain::OpenLines;
use plate::grid::Grid;
use std::sync::Arc;

/// The lines of a plan, as the plate asks for them. What is as dark as the plan says, or darker, is line.
#[derive(Clone, Debug)]
pub struct LineAreas {
    tones: Arc<ToneMap>,
    lines: LineWork,
    plate_mm: (f64, f64),
}

impl LineAreas {
    /// Lays a picture of lines on the plan's plate; `None` where the plan has no lines.
    #[must_use]
    pub fn new(tones: Arc<ToneMap>, plan: &Plan) -> Option<Self> {
        let lines = plan.lines.clone()?;
        Some(Self { tones, lines, plate_mm: (plan.plate.width_mm, plan.plate.height_mm) })
    }
}

impl OpenLines for LineAreas {
    fn fill(&self, grid: &Grid, open: &mut Vec<u8>) -> bool {
        let level = [self.lines.open_below_l];
        let map =
            ValueMap::new(&self.tones, self.lines.crop, &level, self.plate_mm.0, self.plate_mm.1);
        let same = map.fill(
            grid.left_um(),
            grid.top_um(),
            grid.px_um,
            grid.width,
            grid.height,
            true,
            open,
        );
        if same { open.first() == Some(&1) } else { true }
    }
}
