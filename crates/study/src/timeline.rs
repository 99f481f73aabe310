//! Timeline: a small place of the plate at any moment of the work, from above and in the cut.
//!
//! Nothing is drawn between two known states: every moment is the plate as it would be had the work
//! stopped there. Dust that has fallen for a part of its minutes, a bake ended early, a bath left early
//! with the values stopped out so far, a stroke of the scraper pressed half as deep. The last moment of a
//! stage is therefore the plate's own state after that stage, bit for bit. Only what the plan gives no
//! time for, wiping and printing, runs over the place from left to right.
//!
//! [`stages`] lists the stages of a plan, [`moment`] looks at one moment. Places are those of the print,
//! as everywhere in [`plate::chain`].

mod before;
mod bitten;
mod moment;
mod printed;
mod rework;
mod stages;

use plate::chain::mirrored;
use plate::grid::Grid;
use plate::ground::loose::LooseGrain;
use plate::{Plate, Renderer, View};

pub use moment::{Moment, Numbers, Side};
use printed::PrintedPlace;
pub use stages::{Stage, Work, stages};

/// What is kept from moment to moment of one plate and view.
#[derive(Clone, Debug, Default)]
pub struct TimelineScratch {
    place: Option<Grid>,
    /// The ground that the copper and the grains kept here belong to.
    ground: usize,
    /// The place before that ground is laid.
    before: Moment,
    grains: Vec<LooseGrain>,
    printed: Option<PrintedPlace>,
}

impl TimelineScratch {
    /// Forgets everything: for another plan, or another view of it.
    pub fn clear(&mut self) {
        *self = Self::default();
    }
}

/// The place under `grid`, a raster on the print, at a moment of `stage`, one of [`stages`] in this view:
/// `share` (0–1) of its length has passed. `grid` is moved onto the plate where it reaches over its edge, and cut to
/// the plate's size. `kept` serves moments of one plate and view.
pub fn moment(
    plate: &Plate,
    view: &View,
    renderer: &mut Renderer,
    grid: &Grid,
    stage: &Stage,
    share: f64,
    kept: &mut TimelineScratch,
) -> Moment {
    let grid = on_plate(plate, grid);
    let share = share.clamp(0.0, 1.0);
    if kept.place != Some(grid) {
        kept.clear();
        kept.place = Some(grid);
    }
    if matches!(stage.work, Work::Ink | Work::Wipe | Work::Print) {
        let done = kept
            .printed
            .get_or_insert_with(|| printed::printed(&mut renderer.look(plate, view), &grid));
        return printed::printing(plate, &grid, stage.work, share, done);
    }
    let (pieces, strokes) =
        rework::pieces_so_far(&renderer.look(plate, view), view, &grid, stage, share);
    // What is done so far is all there is.
    let so_far = plate.with_work(pieces);
    let all = View { state: None, ..view.clone() };
    let passed = share * stage.length;
    match stage.work {
        Work::Lines => bitten::lines_bitten(&so_far, &all, renderer, &grid, passed),
        Work::Tool => rework::worked_by_hand(&mut renderer.look(&so_far, &all), &grid, strokes),
        Work::Clean => bitten::cleaned(&mut renderer.look(&so_far, &all), &grid),
        _ => {
            ready_ground(plate, view, renderer, &grid, stage, kept);
            let recipe = rework::recipe_of(plate, view, stage);
            match stage.work {
                Work::Wait => before::waited(plate, &recipe, passed, kept),
                Work::Dust => before::dusted(plate, &grid, &recipe, passed, kept),
                Work::Bake => before::melted(plate, &grid, &recipe, passed, kept),
                _ if stage.ground == 1 => {
                    let left = so_far.left_early(stage.bite, passed);
                    let looking = &mut renderer.look(&left, &all);
                    bitten::bitten(looking, &grid, &kept.before, stage.bite, passed)
                }
                _ => {
                    let earlier_min = rework::earlier_min(plate, view, stage);
                    let bath_min = earlier_min + passed;
                    let looking = &mut renderer.look(&so_far, &all);
                    rework::bitten_again(looking, &grid, &kept.before, stage, &recipe, bath_min)
                }
            }
        }
    }
}

/// Sees to it that the place is kept as it is before the ground of `stage` is laid: with the lines, or as
/// far as the copper has been worked.
fn ready_ground(
    plate: &Plate,
    view: &View,
    renderer: &mut Renderer,
    grid: &Grid,
    stage: &Stage,
    kept: &mut TimelineScratch,
) {
    if kept.ground == stage.ground {
        return;
    }
    kept.ground = stage.ground;
    kept.grains.clear();
    let after_bites = if stage.ground == 1 { 0 } else { plate.plan().bites.len() };
    let so_far = plate.with_work(rework::pieces_until(plate, view, stage.pieces.0));
    let all = View { state: None, ..view.clone() };
    kept.before = bitten::without_resin(&mut renderer.look(&so_far, &all), grid, after_bites);
}

/// A raster moved onto the plate.
fn on_plate(plate: &Plate, grid: &Grid) -> Grid {
    let (across, down) = plate.size_px(grid.px_um);
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
fn on_copper(plate: &Plate, grid: &Grid) -> Grid {
    mirrored(grid, plate.size_px(grid.px_um).0)
}

/// Share of a place covered, from the shares of its pixels.
fn mean(shares: impl ExactSizeIterator<Item = f32>) -> f64 {
    let count = shares.len().max(1) as f64;
    shares.map(f64::from).sum::<f64>() / count
}
