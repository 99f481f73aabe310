//! Watching it happen: a small place of the plate at any moment of the work, from above and in the cut.
//!
//! Nothing is drawn between two known states: every moment is the plate as it would be had the work
//! stopped there. Dust that has fallen for a part of its minutes, a bake ended early, a bath left early
//! with the values stopped out so far, a stroke of the scraper pressed half as deep. The last moment of a stage is therefore the plate's own state
//! after that stage, bit for bit. Only what the plan gives no time for, wiping and printing,
//! runs over the place from left to right.
//!
//! [`Plate::stages`] lists the stages of a plan, [`Plate::moment`] looks at one moment. Places are those
//! of the print, as everywhere in [`crate::proof`].

mod before;
mod bitten;
mod moment;
mod printed;
mod rework;
mod stages;

use super::Plate;
use super::later::Line;
use super::window::mirrored;
use crate::bake::Baked;
use crate::grid::Grid;
use crate::ground::loose::LooseGrain;
use crate::ground::{Dome, Ground};
use core::mem;

pub use moment::{Moment, Numbers, Side};
pub use printed::Impression;
pub use stages::{Stage, Work};

/// What is kept from moment to moment of one plan.
#[derive(Default)]
pub struct WatchScratch {
    place: Option<Grid>,
    /// The ground that the copper and the grains kept here belong to.
    ground: usize,
    /// The place before that ground is laid.
    before: Moment,
    grains: Vec<LooseGrain>,
    impression: Option<Impression>,
    /// The later work as far as it has come, with its grounds.
    so_far: Line,
}

impl WatchScratch {
    /// Forgets everything: for another plan, or another state of it.
    pub fn clear(&mut self) {
        *self = Self::default();
    }

    /// Forgets what belongs to another place.
    fn move_to(&mut self, place: Grid) {
        if self.place != Some(place) {
            let so_far = mem::take(&mut self.so_far);
            *self = Self { place: Some(place), so_far, ..Self::default() };
        }
    }
}

impl Plate {
    /// The place under `grid`, a raster on the print, at a moment of `stage`, one of
    /// [`Plate::stages`]: `share` (0–1) of its length has passed. `grid` is moved onto the plate where it
    /// reaches over its edge, and cut to the plate's size.
    pub fn moment(
        &mut self,
        grid: &Grid,
        stage: &Stage,
        share: f64,
        kept: &mut WatchScratch,
    ) -> Moment {
        let grid = self.on_plate(grid);
        let share = share.clamp(0.0, 1.0);
        kept.move_to(grid);
        if matches!(stage.work, Work::Ink | Work::Wipe | Work::Print) {
            let impression = kept.impression.take().unwrap_or_else(|| self.pull(&grid));
            let moment = self.printing(&grid, stage.work, share, &impression);
            kept.impression = Some(impression);
            return moment;
        }
        if matches!(stage.work, Work::Wait | Work::Dust | Work::Bake | Work::Bite) {
            self.ready_ground(&grid, stage, kept);
        }
        let (pieces, strokes) = self.pieces_so_far(&grid, stage, share);
        let so_far = self.line_of_pieces(&pieces, mem::take(&mut kept.so_far));
        let whole = mem::replace(&mut self.line, so_far);
        let moment = match stage.work {
            Work::Lines => self.lines_bitten(&grid, share * stage.length),
            Work::Tool => self.worked_by_hand(&grid, strokes),
            Work::Clean => self.cleaned(&grid),
            _ => self.under_a_ground(&grid, stage, share * stage.length, kept),
        };
        kept.so_far = mem::replace(&mut self.line, whole);
        moment
    }

    /// Sees to it that the place is kept as it is before the ground of `stage` is laid: with the lines, or
    /// as far as the copper has been worked.
    fn ready_ground(&mut self, grid: &Grid, stage: &Stage, kept: &mut WatchScratch) {
        if kept.ground == stage.ground {
            return;
        }
        kept.ground = stage.ground;
        kept.grains.clear();
        let after_bites = if stage.ground == 1 { 0 } else { self.plan.bites.len() };
        let line =
            self.line_of_pieces(&self.pieces_until(stage.pieces.0), mem::take(&mut kept.so_far));
        let whole = mem::replace(&mut self.line, line);
        kept.before = self.without_resin(grid, after_bites);
        kept.so_far = mem::replace(&mut self.line, whole);
    }

    /// A moment from the wait before a ground to the last bite under it.
    fn under_a_ground(
        &mut self,
        grid: &Grid,
        stage: &Stage,
        passed: f64,
        kept: &mut WatchScratch,
    ) -> Moment {
        let before = mem::take(&mut kept.before);
        let recipe = self.recipe_of(stage);
        let moment = match stage.work {
            Work::Wait => self.waited(&before, &recipe, passed),
            Work::Dust => self.dusted(grid, &before, &recipe, passed, kept),
            Work::Bake => self.melted(grid, &before, &recipe, passed, kept),
            _ if stage.ground == 1 => self.bitten(grid, &before, stage.bite, passed),
            _ => self.bitten_again(grid, &before, stage, &recipe, passed),
        };
        kept.before = before;
        moment
    }

    /// The domes of a ground at a place after `bake_min` minutes on the hot plate, relative to the top
    /// left of `grid`, a raster on the copper; with the bake and the ground so far.
    fn melt(&self, recipe: &Recipe, grid: &Grid, bake_min: f64) -> (Vec<Dome>, Baked, Ground) {
        let plan = &self.plan;
        let bake = plan::Bake { bake_min, ..recipe.bake.clone() };
        let baked = crate::bake::bake(&bake, plan.plate.thickness_mm, &self.constants.bake);
        let landed = crate::dust::land(&recipe.dust, &self.constants.dust);
        let ground = Ground::new(&landed, &baked, recipe.seed);
        let mut domes = Vec::new();
        let px_um = f64::from(grid.px_um);
        let mut tiles = crate::ground::TileCache::new(0);
        tiles.on_plate(Some(super::size_um(plan)));
        tiles.gather(
            &ground,
            grid.left_um(),
            grid.top_um(),
            grid.width as f64 * px_um,
            grid.height as f64 * px_um,
            0.0,
            &mut domes,
        );
        (domes, baked, ground)
    }

    /// A raster moved onto the plate.
    fn on_plate(&self, grid: &Grid) -> Grid {
        let (across, down) = self.size_px(grid.px_um);
        let width = (grid.width as i64).min(across);
        let height = (grid.height as i64).min(down);
        Grid {
            left_px: grid.left_px.clamp(0, across - width),
            top_px: grid.top_px.clamp(0, down - height),
            width: width as usize,
            height: height as usize,
            px_um: grid.px_um,
        }
    }

    /// The same place on the copper.
    fn on_copper(&self, grid: &Grid) -> Grid {
        mirrored(grid, self.size_px(grid.px_um).0)
    }
}

/// How a ground is laid.
struct Recipe {
    seed: u32,
    dust: plan::Dust,
    bake: plan::Bake,
}

/// Turns a field over the copper into one over the print, row by row.
fn turn_over<T>(field: &mut [T], width: usize) {
    for row in field.chunks_exact_mut(width.max(1)) {
        row.reverse();
    }
}

/// Share of a place covered, from the shares of its pixels.
fn mean(shares: impl ExactSizeIterator<Item = f32>) -> f64 {
    let count = shares.len().max(1) as f64;
    shares.map(f64::from).sum::<f64>() / count
}
