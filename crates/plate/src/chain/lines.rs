//! Lines that were etched before the first ground: they hold resin under it and ink in the proof.
//!
//! A line is copper that lay open under an etching ground while the rest was covered, so its depth
//! is that of a bite beside varnish ([`crate::bite::creep`]): flat-floored where it was drawn, and
//! hollowed out under the ground's edge as far as the undercut reaches. The ground then falls
//! into the lines as anywhere. Near them the bites go on from copper that is not flat
//! ([`crate::bite::again`]); farther off than any bite reaches nothing is changed by them, and the plain
//! calculation stands.

use super::place::crop;
use super::scratch::{LinesScratch, WindowScratch};
use super::{Looking, OpenLines, Plate, Printed, SAMPLE, SAMPLE_PX_UM};
use crate::bite::{DepthCurve, bite_again, creep_under_varnish};
use crate::grid::Grid;
use crate::light;
use serde::Serialize;

/// What the line bite makes of a line.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct LineFacts {
    /// Depth of its floor, µm.
    pub depth_um: f64,
    /// How much wider it is than drawn, µm.
    pub wider_um: f64,
    /// How the middle of a line drawn 0.2 mm wide prints, L*.
    pub lightness: f64,
}

/// A window of copper that lines are bitten into.
pub(super) struct LinedCopper<'a> {
    pub(super) grid: &'a Grid,
    /// Distance under the resin, µm.
    pub(super) under_um: &'a [f32],
    /// Value of each pixel.
    pub(super) value: &'a [u8],
    /// Dose of each pixel, µm, where there are soft gradations; else empty.
    pub(super) dose_um: &'a [f32],
    /// Depth of copper gone, µm.
    pub(super) depth_um: &'a mut [f32],
}

/// Side of the parts that are bitten anew, pixels: lines are thin, and what lies between them need not be.
const PART_PX: usize = 48;
/// Pixels more than the undercut that a bite looks at round a place.
const MORE_PX: usize = 3;
/// Width of the line that stands for all in the facts, and from one to the next, µm.
const LINE_UM: f32 = 200.0;
const APART_UM: f32 = 1200.0;

impl Plate {
    /// The plate has lines, and they are printed.
    #[must_use]
    pub fn bites_lines(&self, printed: Printed) -> bool {
        self.job().lines.is_some() && printed != Printed::Tone && self.line_dose_um() > 0.0
    }

    /// The plate's lines alone are printed.
    #[must_use]
    pub fn prints_lines_alone(&self, printed: Printed) -> bool {
        printed == Printed::Lines && self.plan().lines.is_some()
    }

    /// The plate had the lines' bite been stopped after so many minutes.
    #[must_use]
    pub fn lines_left_early(&self, minutes: f64) -> Self {
        let mut plan = self.plan().clone();
        if let Some(lines) = &mut plan.lines {
            lines.bite_min = minutes;
        }
        self.of_job(self.job().with_plan(plan))
    }
}

impl Looking<'_> {
    /// What the plan's line bite comes to; `None` where the plan has no lines.
    pub fn line_facts(&mut self) -> Option<LineFacts> {
        self.plate.plan().lines.as_ref()?;
        let dose_um = self.plate.line_dose_um();
        let lightness = light::lightness(self.line_reflectance(dose_um));
        let etch_factor = self.plate.constants().bite.etch_factor;
        Some(LineFacts { depth_um: dose_um, wider_um: 2.0 * dose_um / etch_factor, lightness })
    }

    /// Mean reflectance over a line of [`LINE_UM`], bitten by so much and printed.
    fn line_reflectance(&mut self, dose_um: f64) -> f64 {
        let etch_factor = self.plate.constants().bite.etch_factor;
        let curve = DepthCurve::new(dose_um, etch_factor, SAMPLE_PX_UM);
        let off_um = |column: usize| {
            let x_um = (column as f32 + 0.5) * SAMPLE_PX_UM % APART_UM;
            (x_um - 0.5 * APART_UM).abs() - 0.5 * LINE_UM
        };
        let WindowScratch { depth_um, ink, under_or_light: reflectance, .. } =
            &mut self.scratch.window;
        depth_um.clear();
        depth_um.extend((0..SAMPLE.len()).map(|i| curve.depth_um(off_um(i % SAMPLE.width))));
        self.inking.print(depth_um, &SAMPLE, ink, reflectance);
        let (mut sum, mut count) = (0.0, 0_u32);
        for (i, reflectance) in reflectance.iter().enumerate() {
            if off_um(i % SAMPLE.width) < 0.0 {
                (sum, count) = (sum + f64::from(*reflectance), count + 1);
            }
        }
        sum / f64::from(count.max(1))
    }

    /// Lays the lines over a first pass of the print, by their share of each pixel.
    pub(super) fn lines_in_first_pass(&mut self, grid: &Grid, grey: &mut [u8]) {
        let dose_um = self.plate.line_dose_um();
        let Some(open) = self.plate.job().lines.as_ref().filter(|_| dose_um > 0.0) else { return };
        if self.printed == Printed::Tone {
            return;
        }
        if self.printed == Printed::Lines {
            let bare = self.swatch(0.0).reflectance;
            grey.fill(light::srgb8(bare));
        }
        let mut mask = std::mem::take(&mut self.scratch.lines.mask);
        if open.fill(grid, &mut mask) {
            let line = self.line_reflectance(dose_um) as f32;
            let linear: Vec<f32> = (0..=255)
                .map(|code| light::linear_of_srgb(f64::from(code) / 255.0) as f32)
                .collect();
            let encode = light::Srgb8Table::shared();
            let width = grid.width / 2;
            for (row, to) in grey.chunks_mut(width.max(1)).enumerate() {
                let [above, below] =
                    [2 * row, 2 * row + 1].map(|y| &mask[y * grid.width..][..grid.width]);
                for (column, pixel) in to.iter_mut().rev().enumerate() {
                    let i = 2 * column;
                    let count = above[i] + above[i + 1] + below[i] + below[i + 1];
                    if count > 0 {
                        let share = 0.25 * f32::from(count);
                        let tone = linear[usize::from(*pixel)];
                        *pixel = encode.encode(tone + share * (line.min(tone) - tone));
                    }
                }
            }
        }
        self.scratch.lines.mask = mask;
    }
}

impl LinesScratch {
    /// Bites the lines into a window, and the plan's bites on from them. The window's depths are those of
    /// polished copper when it is called.
    pub(super) fn bite(
        &mut self,
        open: &dyn OpenLines,
        dose_um: f64,
        etch_factor: f64,
        doses_um: &[f64],
        copper: &mut LinedCopper<'_>,
    ) {
        let grid = copper.grid;
        if !self.lay(open, grid, dose_um, etch_factor) {
            return;
        }
        let deepest_um = doses_um.iter().fold(0.0_f64, |a, &b| a.max(b));
        let reach = libm::ceil(deepest_um / etch_factor / f64::from(grid.px_um)) as usize + 1;
        spread(&self.depth_um, grid.width, reach, &mut self.near);
        for top in (0..grid.height).step_by(PART_PX) {
            for left in (0..grid.width).step_by(PART_PX) {
                let (right, bottom) =
                    ((left + PART_PX).min(grid.width), (top + PART_PX).min(grid.height));
                let any = (top..bottom).any(|row| {
                    self.near[row * grid.width + left..][..right - left].contains(&true)
                });
                if !any {
                    continue;
                }
                // As much round it as the bite reaches.
                let more = reach + MORE_PX;
                let (x0, y0) = (left.saturating_sub(more), top.saturating_sub(more));
                let (x1, y1) = ((right + more).min(grid.width), (bottom + more).min(grid.height));
                let (width, height) = (x1 - x0, y1 - y0);
                let part = &mut self.part;
                cut_out(copper.under_um, grid.width, (x0, y0), (width, height), &mut part.under_um);
                cut_out(copper.value, grid.width, (x0, y0), (width, height), &mut part.value);
                cut_out(&self.depth_um, grid.width, (x0, y0), (width, height), &mut part.depth_um);
                bite_again(
                    &part.under_um,
                    &part.value,
                    doses_um,
                    grid.px_um,
                    etch_factor,
                    width,
                    height,
                    &mut self.again,
                    &mut part.depth_um,
                );
                for row in top..bottom {
                    for column in left..right {
                        let at = row * grid.width + column;
                        if !self.near[at] {
                            continue;
                        }
                        let own = doses_um[usize::from(copper.value[at])] as f32;
                        let soft = copper.dose_um.get(at).is_some_and(|dose| *dose != own);
                        // A soft dose changes from place to place: there the bite is laid on the line.
                        copper.depth_um[at] = if soft {
                            self.depth_um[at] + copper.depth_um[at]
                        } else {
                            part.depth_um[(row - y0) * width + column - x0]
                        };
                    }
                }
            }
        }
    }

    /// Depth of the lines over a window, into `depth_um`; false where there are none.
    fn lay(&mut self, open: &dyn OpenLines, grid: &Grid, dose_um: f64, etch_factor: f64) -> bool {
        let reach = libm::ceil(dose_um / etch_factor / f64::from(grid.px_um)) as usize + 2;
        let wide = grid.grown(reach);
        if !open.fill(&wide, &mut self.mask) {
            return false;
        }
        self.depth_um.clear();
        self.depth_um.extend(self.mask.iter().map(|&open| f32::from(open) * dose_um as f32));
        // No resin: only the ground that the lines were drawn through, as varnish beside them.
        self.part.under_um.clear();
        self.part.under_um.resize(wide.len(), -grid.px_um);
        creep_under_varnish(
            &self.part.under_um,
            &self.mask,
            &[0.0, dose_um],
            grid.px_um,
            etch_factor,
            wide.width,
            wide.height,
            &mut self.creep,
            &mut self.depth_um,
        );
        crop(&mut self.depth_um, &wide, grid);
        self.depth_um.iter().any(|depth| *depth > 0.0)
    }
}

/// Pixels with copper gone within so many pixels of them, in rows and columns.
fn spread(depth_um: &[f32], width: usize, reach: usize, near: &mut Vec<bool>) {
    near.clear();
    near.extend(depth_um.iter().map(|depth| *depth > 0.0));
    let height = near.len() / width.max(1);
    let mut line = Vec::new();
    let mut along = |near: &mut [bool], first: usize, step: usize, count: usize| {
        line.clear();
        line.extend((0..count).map(|i| near[first + i * step]));
        // How many pixels ago the last one was, from either end.
        for backwards in [false, true] {
            let mut ago = usize::MAX;
            for i in 0..count {
                let i = if backwards { count - 1 - i } else { i };
                ago = if line[i] { 0 } else { ago.saturating_add(1) };
                if ago <= reach {
                    near[first + i * step] = true;
                }
            }
        }
    };
    for row in 0..height {
        along(near, row * width, 1, width);
    }
    for column in 0..width {
        along(near, column, width, height);
    }
}

/// A rectangle of a raster.
fn cut_out<T: Copy>(
    from: &[T],
    from_width: usize,
    (left, top): (usize, usize),
    (width, height): (usize, usize),
    out: &mut Vec<T>,
) {
    out.clear();
    for row in top..top + height {
        out.extend_from_slice(&from[row * from_width + left..][..width]);
    }
}
