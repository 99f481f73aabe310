//! Thumbnail of a worked state: what each piece of work takes, place by place, and
//! how copper worked like that prints.

use super::Looking;
use super::later::{Step, WorkLine};
use crate::grid::Grid;
use crate::handwork::Mark;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Takes are told apart in steps of this, µm.
const TAKE_STEP_UM: f32 = 0.5;
/// Side of the sample on which takes are tried, pixels.
const SMALL_SIDE_PX: usize = 160;
/// Places looked at along the plate's longer side to know what lies in a passage.
const LOOK_PX: f64 = 600.0;
/// Most combinations of work told apart; what comes after is taken as not worked.
const MOST_KINDS: usize = 2000;

/// Which kind of worked copper lies where.
struct Kinds {
    /// Kind of each pixel.
    kind: Vec<u16>,
    /// What each step does to a kind.
    amounts: Vec<Vec<f32>>,
}

impl WorkLine {
    /// Sorts the places of a raster on the copper by what is done to them. Strokes of one tool that
    /// follow each other count together.
    fn kinds(&self, grid: &Grid) -> Kinds {
        let mut kind = vec![0_u16; grid.len()];
        let mut levels: Vec<Vec<u16>> = vec![vec![0; self.steps.len()]];
        let mut known: BTreeMap<Vec<u16>, u16> = BTreeMap::new();
        let mut level = vec![0_u16; grid.len()];
        for (i, step) in self.steps.iter().enumerate() {
            level.fill(0);
            match &**step {
                Step::Tool { mark, take_um, .. } => {
                    mark.each_pixel(grid, |column, row, reached| {
                        let steps = take_um * reached.share / TAKE_STEP_UM;
                        level[row * grid.width + column] = libm::ceilf(steps) as u16;
                    })
                }
                Step::Ground(later) => match later.outline() {
                    None => level.fill(1),
                    Some(outline) => outline.each_pixel(grid, |column, row, _| {
                        level[row * grid.width + column] = 1;
                    }),
                },
            }
            let with_last = i > 0 && self.steps[i].same_tool(&self.steps[i - 1]);
            let mut moved: BTreeMap<(u16, u16), u16> = BTreeMap::new();
            for (kind, &level) in kind.iter_mut().zip(&level) {
                *kind = *moved.entry((*kind, level)).or_insert_with(|| {
                    let mut these = levels[usize::from(*kind)].clone();
                    these[i] = level;
                    if with_last {
                        these[i] += std::mem::take(&mut these[i - 1]);
                    }
                    let next = levels.len();
                    if next >= MOST_KINDS {
                        return 0;
                    }
                    *known.entry(these.clone()).or_insert_with(|| {
                        levels.push(these);
                        next as u16
                    })
                });
            }
        }
        let amount = |(step, &level): (&Arc<Step>, &u16)| match **step {
            Step::Tool { .. } => f32::from(level) * TAKE_STEP_UM,
            Step::Ground(_) => f32::from(level),
        };
        let amounts =
            levels.iter().map(|these| self.steps.iter().zip(these).map(amount).collect()).collect();
        Kinds { kind, amounts }
    }
}

impl Looking<'_> {
    /// For every pixel of a raster on the copper, of these values: how many times the reflectance it has
    /// from the first ground what has been done since gives it. `None` where nothing has been done.
    pub(super) fn work_ratios(&mut self, grid: &Grid, value: &[u8]) -> Option<Vec<f32>> {
        if !self.line.is_worked() {
            return None;
        }
        let kinds = self.line.kinds(grid);
        let untouched = vec![0.0; self.line.steps.len()];
        let mut known: BTreeMap<(u8, u16), f32> = BTreeMap::new();
        let mut small: Vec<Option<f64>> = vec![None; self.plate.session().dose_um.len()];
        let ratios = value.iter().zip(&kinds.kind).map(|(&v, &kind)| {
            if let Some(&ratio) = known.get(&(v, kind)) {
                return ratio;
            }
            let amounts = &kinds.amounts[usize::from(kind)];
            let ratio = if amounts.iter().all(|&amount| amount == 0.0) {
                1.0
            } else {
                let index = usize::from(v);
                let before = match small[index] {
                    Some(before) => before,
                    None => self.small_swatch(index, &untouched),
                };
                small[index] = Some(before);
                // The small sample has its own chance grains; what the work changes is true.
                (self.small_swatch(index, amounts) / before) as f32
            };
            known.insert((v, kind), ratio);
            ratio
        });
        Some(ratios.collect())
    }

    /// Mean reflectance of a small sample of one value with this work done to it.
    fn small_swatch(&mut self, value: usize, amounts: &[f32]) -> f64 {
        self.swatch_worked(value, amounts, SMALL_SIDE_PX, &mut |_| {}).swatch.reflectance
    }

    /// The commonest value inside an outline on the copper, what has been done to it, and the share of
    /// every value there.
    pub fn commonest(&self, outline: &Mark) -> Option<(usize, Vec<f32>, Vec<f64>)> {
        let plate = &self.plate.plan().plate;
        let (width_um, height_um) = (plate.width_mm * 1000.0, plate.height_mm * 1000.0);
        let px_um = (width_um.max(height_um) / LOOK_PX) as f32;
        let whole = |um: f64| (um / f64::from(px_um)) as usize;
        let grid =
            Grid { left_px: 0, top_px: 0, width: whole(width_um), height: whole(height_um), px_um };
        let mut value = Vec::new();
        self.plate.picture().fill(&grid, &mut value);
        let kinds = self.line.kinds(&grid);
        let mut counts: BTreeMap<(u8, u16), u32> = BTreeMap::new();
        let mut shares = vec![0.0; self.plate.session().dose_um.len()];
        let mut all = 0_u32;
        outline.each_pixel(&grid, |column, row, _| {
            let at = row * grid.width + column;
            *counts.entry((value[at], kinds.kind[at])).or_insert(0) += 1;
            shares[usize::from(value[at])] += 1.0;
            all += 1;
        });
        let (&(value, kind), _) = counts.iter().max_by_key(|&(_, &count)| count)?;
        shares.iter_mut().for_each(|share| *share /= f64::from(all));
        Some((usize::from(value), kinds.amounts[usize::from(kind)].clone(), shares))
    }
}
