//! The picture's areas and those by hand, as the plate asks for them.

use crate::hand::{Hand, Raster};
use crate::outline::{Ring, outlines};
use crate::tidy::{TidyMap, shares};
use crate::{ToneMap, Toning, ValueMap};
use plan::{Area, Plan};
use plate::chain::{Doses, ValueAreas};
use plate::grid::Grid;
use std::sync::Arc;

/// A picture laid on a plan's plate, and the areas by hand over it: which value each place gets.
#[derive(Clone, Debug)]
pub struct PictureAreas {
    tones: Arc<ToneMap>,
    crop: plan::Crop,
    /// Where each value begins, by the picture's own tones.
    thresholds_l: Vec<f64>,
    plate_mm: (f64, f64),
    smallest_mm: f64,
    by_hand: Vec<Area>,
    /// The picture's values without specks, where the plan asks for it.
    tidy: Option<Arc<TidyMap>>,
    hand: Hand,
    shares: Vec<f64>,
}

/// What is to be stopped out at one step, as outlines on the print.
#[derive(Clone, Debug, Default, PartialEq, serde::Serialize, ts_rs::TS)]
pub struct StopOut {
    /// After how many bites: 0 is before the first.
    pub after_bites: usize,
    /// What to cover now.
    pub cover: Vec<Ring>,
    /// What is covered already.
    pub covered: Vec<Ring>,
}

/// Cells along the plate's longer side from which the shares of areas by hand are told.
const SHARE_CELLS: f64 = 600.0;
/// Most cells along a side of the map that outlines are drawn from.
const MOST_CELLS: f64 = 4000.0;
/// Points that an area taken from the picture may have, and how much the tolerance grows meanwhile.
const MOST_POINTS: usize = 1500;
const COARSER: f64 = 1.5;

impl PictureAreas {
    /// Lays a picture on the plan's plate, by the plan's crop and thresholds, and its areas over it.
    #[must_use]
    pub fn new(tones: Arc<ToneMap>, plan: &Plan) -> Self {
        Self::after(tones, plan, None)
    }

    /// The same, keeping what it can of the areas before: a stroke by hand doesn't ask for the picture's
    /// specks to be merged anew. `before` must be of the same picture.
    #[must_use]
    pub fn after(tones: Arc<ToneMap>, plan: &Plan, before: Option<&Self>) -> Self {
        let mut areas = Self {
            tones,
            crop: plan.picture.crop,
            thresholds_l: Toning::thresholds_l(&plan.picture),
            plate_mm: (plan.plate.width_mm, plan.plate.height_mm),
            smallest_mm: plan.picture.smallest_mm,
            by_hand: plan.areas.clone(),
            tidy: None,
            hand: Hand::new(&plan.areas),
            shares: Vec::new(),
        };
        if areas.smallest_mm > 0.0 {
            areas.tidy = before
                .filter(|before| before.same_picture(plan))
                .and_then(|before| before.tidy.clone())
                .or_else(|| {
                    Some(Arc::new(TidyMap::new(&areas.map(), areas.plate_mm, areas.smallest_mm)))
                });
        }
        let values = areas.thresholds_l.len();
        areas.shares = if !areas.hand.is_empty() {
            let (width, height) = areas.cells(SHARE_CELLS);
            shares(&areas.coarse(width, height), values)
        } else if let Some(tidy) = &areas.tidy {
            tidy.area_shares(values)
        } else {
            areas.map().area_shares()
        };
        areas
    }

    /// True when another plan would give the same areas.
    #[must_use]
    pub fn serves(&self, plan: &Plan) -> bool {
        self.same_picture(plan) && self.by_hand == plan.areas
    }

    fn same_picture(&self, plan: &Plan) -> bool {
        self.crop == plan.picture.crop
            && self.thresholds_l == Toning::thresholds_l(&plan.picture)
            && self.plate_mm == (plan.plate.width_mm, plan.plate.height_mm)
            && self.smallest_mm == plan.picture.smallest_mm
    }

    /// The picture's own map of values, with its specks and without areas by hand.
    #[must_use]
    pub fn map(&self) -> ValueMap<'_> {
        ValueMap::new(&self.tones, self.crop, &self.thresholds_l, self.plate_mm.0, self.plate_mm.1)
    }

    /// How many specks of the picture were merged away, and the share of the plate (0–1) that has
    /// another value for it.
    #[must_use]
    pub fn merged(&self) -> (usize, f64) {
        self.tidy.as_ref().map_or((0, 0.0), |tidy| (tidy.merged(), tidy.moved_share()))
    }

    /// The whole plate as printed, areas by hand and all, in `width` × `height` values, row by row.
    #[must_use]
    pub fn coarse(&self, width: usize, height: usize) -> Vec<u8> {
        let raster = self.as_printed(width, height);
        let mut values = match &self.tidy {
            None => self.map().coarse(width, height),
            Some(tidy) => {
                let mut values = Vec::new();
                tidy_values(tidy, &raster, &mut values);
                values
            }
        };
        self.hand.lay(&raster, &mut values);
        values
    }

    /// Cells of equal sides, as near as may be, of which `longest` lie along the plate's longer side.
    fn cells(&self, longest: f64) -> (usize, usize) {
        let cell = self.plate_mm.0.max(self.plate_mm.1) / longest;
        let count = |mm: f64| (libm::round(mm / cell) as usize).max(1);
        (count(self.plate_mm.0), count(self.plate_mm.1))
    }

    /// What is to be stopped out after `after_bites` bites (0: the whites, before the first), told on
    /// cells of about `cell_mm`, with outlines true to `tolerance_mm`. After the last bite nothing is.
    #[must_use]
    pub fn stop_out(&self, after_bites: usize, cell_mm: f64, tolerance_mm: f64) -> StopOut {
        self.stop_outs(&[(after_bites, after_bites)], cell_mm, tolerance_mm).remove(0)
    }

    /// The same for several steps, each of which covers the values from its first to its last.
    #[must_use]
    pub fn stop_outs(
        &self,
        steps: &[(usize, usize)],
        cell_mm: f64,
        tolerance_mm: f64,
    ) -> Vec<StopOut> {
        let (width, height, cell) = self.fine_cells(cell_mm);
        let values = self.coarse(width, height);
        let rings = |inside: &dyn Fn(usize) -> bool| {
            outlines(&values, width, height, cell, |v| inside(usize::from(v)), tolerance_mm)
        };
        let darkest = self.thresholds_l.len();
        let step = |&(first, last): &(usize, usize)| StopOut {
            after_bites: last,
            cover: if last >= darkest {
                Vec::new()
            } else {
                rings(&|v| (first..=last).contains(&v))
            },
            covered: rings(&|v| v < first),
        };
        steps.iter().map(step).collect()
    }

    /// Outlines of an area by hand, by its place in the plan, whatever lies over it.
    pub(crate) fn hand_rings(&self, number: usize, cell_mm: f64, tolerance_mm: f64) -> Vec<Ring> {
        let (width, height, cell) = self.fine_cells(cell_mm);
        let raster = self.as_printed(width, height);
        let mut values = vec![0; width * height];
        let mut area = self.by_hand[number].clone();
        (area.work, area.value, area.feather_mm) = (plan::AreaWork::Hold, 1, 0.0);
        Hand::new(&[area]).lay(&raster, &mut values);
        outlines(&values, width, height, cell, |v| v == 1, tolerance_mm)
    }

    /// Cells of about this size on the plate, and their width and height, mm.
    fn fine_cells(&self, cell_mm: f64) -> (usize, usize, (f64, f64)) {
        let longest = self.plate_mm.0.max(self.plate_mm.1);
        let (width, height) = self.cells((longest / cell_mm).clamp(1.0, MOST_CELLS));
        (width, height, (self.plate_mm.0 / width as f64, self.plate_mm.1 / height as f64))
    }

    /// The connected part of one value round a place of the print, mm: its outlines with at most
    /// some 1500 points, in whole twentieths of a millimetre. Empty off the plate.
    #[must_use]
    pub fn region(&self, x_mm: f64, y_mm: f64) -> Vec<Ring> {
        let (width, height) = self.cells(1200.0);
        let cell = (self.plate_mm.0 / width as f64, self.plate_mm.1 / height as f64);
        let (column, row) = (libm::floor(x_mm / cell.0), libm::floor(y_mm / cell.1));
        if !(column >= 0.0 && row >= 0.0 && column < width as f64 && row < height as f64) {
            return Vec::new();
        }
        let mut values = self.coarse(width, height);
        let start = row as usize * width + column as usize;
        let value = values[start];
        // What was reached is marked with a value there is not.
        let mut open = vec![start];
        values[start] = u8::MAX;
        while let Some(at) = open.pop() {
            let x = at % width;
            for next in [
                (x > 0).then(|| at - 1),
                (x + 1 < width).then_some(at + 1),
                at.checked_sub(width),
                (at + width < values.len()).then_some(at + width),
            ]
            .into_iter()
            .flatten()
            {
                if values[next] == value {
                    values[next] = u8::MAX;
                    open.push(next);
                }
            }
        }
        let mut tolerance = 0.75 * cell.0.max(cell.1);
        loop {
            let mut rings = outlines(&values, width, height, cell, |v| v == u8::MAX, tolerance);
            // Pinholes no brush could leave open.
            rings.retain(|ring| {
                crate::outline::twice_area(&ring.points_mm).abs() > 4.0 * tolerance * tolerance
            });
            if rings.iter().map(|ring| ring.points_mm.len()).sum::<usize>() <= MOST_POINTS {
                for place in rings.iter_mut().flat_map(|ring| &mut ring.points_mm).flatten() {
                    *place = libm::round(*place * 20.0) / 20.0;
                }
                return rings;
            }
            tolerance *= COARSER;
        }
    }

    /// The picture's values of a raster, and the value when it is the same everywhere.
    fn fill_picture(&self, grid: &Grid, raster: &Raster, out: &mut Vec<u8>) -> Option<u8> {
        if let Some(tidy) = &self.tidy {
            tidy_values(tidy, raster, out);
            return uniform(out);
        }
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

    /// The whole plate as printed.
    fn as_printed(&self, width: usize, height: usize) -> Raster {
        Raster {
            left_px: 0,
            top_px: 0,
            width,
            height,
            px_um: (
                self.plate_mm.0 * 1000.0 / width.max(1) as f64,
                self.plate_mm.1 * 1000.0 / height.max(1) as f64,
            ),
            mirrored_um: None,
        }
    }

    fn on_copper(&self, grid: &Grid) -> Raster {
        let px_um = f64::from(grid.px_um);
        Raster {
            left_px: grid.left_px,
            top_px: grid.top_px,
            width: grid.width,
            height: grid.height,
            px_um: (px_um, px_um),
            mirrored_um: Some(self.plate_mm.0 * 1000.0),
        }
    }
}

fn tidy_values(tidy: &TidyMap, raster: &Raster, out: &mut Vec<u8>) {
    let columns: Vec<f64> = (0..raster.width).map(|column| raster.x_um(column)).collect();
    let rows: Vec<f64> = (0..raster.height).map(|row| raster.y_um(row)).collect();
    tidy.raster(&columns, &rows, out);
}

fn uniform(values: &[u8]) -> Option<u8> {
    let first = *values.first()?;
    let same =
        values.chunks(256).all(|chunk| chunk.iter().fold(0, |differ, v| differ | (v ^ first)) == 0);
    same.then_some(first)
}

impl ValueAreas for PictureAreas {
    fn fill(&self, grid: &Grid, out: &mut Vec<u8>) -> Option<u8> {
        let raster = self.on_copper(grid);
        let same = self.fill_picture(grid, &raster, out);
        if self.hand.lay(&raster, out) { uniform(out) } else { same }
    }

    fn shares(&self) -> &[f64] {
        &self.shares
    }

    fn spit_min(&self) -> f64 {
        self.by_hand
            .iter()
            .filter(|area| area.work == plan::AreaWork::Spit)
            .map(|area| area.spit_min)
            .sum()
    }

    fn soften(&self, grid: &Grid, doses: &Doses<'_>, out: &mut Vec<f32>) -> bool {
        let raster = self.on_copper(grid);
        if !self.hand.is_soft(&raster) {
            return false;
        }
        let mut picture = Vec::new();
        self.fill_picture(grid, &raster, &mut picture);
        self.hand.doses(&raster, &picture, doses, out);
        true
    }
}
