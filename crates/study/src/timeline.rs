//! Timeline: a small place of the plate at any moment of the work, from above and in the cut.
//!
//! Nothing is drawn between two known states: every moment is the plate as it would be had the work
//! stopped there. Dust that has fallen for a part of its minutes, a bake ended early, a bath left early
//! with the values stopped out so far. The last moment of a stage is therefore the plate's own state
//! after that stage, bit for bit. Only what the plan gives no time for, wiping and printing,
//! runs over the place from left to right.
//!
//! [`stages`] lists the stages of a plan, [`moment`] looks at one moment. Places are those of the print,
//! as everywhere in [`plate::chain`].

mod before;
mod bitten;
mod printed;

use plan::Plan;
use plate::chain::mirrored;
use plate::grid::Grid;
use plate::ground::loose::{Ball, LooseGrain};
use plate::{Plate, Renderer, View};
use serde::Serialize;

use printed::PrintedPlace;

/// A kind of work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Work {
    /// The coarse grains fall while the plate waits outside; seconds.
    Wait,
    /// Dust falls on the plate; minutes.
    Dust,
    /// The ground melts; minutes on the hot plate.
    Bake,
    /// One bite; minutes in the bath.
    Bite,
    /// Ground and varnish are washed off.
    Clean,
    /// Ink is dabbed on, from left to right.
    Ink,
    /// The cloth wipes, from left to right.
    Wipe,
    /// The sheet is lifted off, from left to right.
    Print,
}

/// One stage of the work.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Stage {
    /// What is done.
    pub work: Work,
    /// Which bite, from 1; 0 when it is none.
    pub bite: usize,
    /// How long it takes: seconds for the wait, minutes for dust, bake and bites, else 1, the way across.
    pub length: f64,
}

/// A place at a moment, laid out as on the print. NaN where there is nothing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Moment {
    /// Columns.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Depth of copper gone, µm, pixel by pixel.
    pub depth_um: Vec<f32>,
    /// Share of each pixel under resin that holds, 0–1.
    pub resin: Vec<f32>,
    /// Share of each pixel under loose grains, 0–1.
    pub loose: Vec<f32>,
    /// Pixels stopped out by now.
    pub stopped: Vec<bool>,
    /// Ink on the copper, µm.
    pub ink_um: Vec<f32>,
    /// Reflectance of the sheet where it is turned up already, 0–1; else NaN.
    pub sheet: Vec<f32>,
    /// The cut along the middle row of the place.
    pub side: Side,
    /// What the sentences tell.
    pub numbers: Numbers,
}

/// Heights along the middle row, µm over the old surface of the copper; NaN where there is nothing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Side {
    /// Surface of the copper.
    pub copper_um: Vec<f32>,
    /// Top of the resin that holds.
    pub resin_um: Vec<f32>,
    /// Surface of the ink.
    pub ink_um: Vec<f32>,
    /// Under side of the sheet.
    pub sheet_um: Vec<f32>,
    /// Ink on the sheet, µm thick.
    pub printed_um: Vec<f32>,
    /// Stopped out by now.
    pub stopped: Vec<bool>,
    /// Loose grains cut by the row: place, height of the centre, radius, in µm, three numbers each.
    pub balls_um: Vec<f32>,
}

/// Numbers of a moment; each is told only in the stages that have it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Numbers {
    /// Dust in the air, g/m³.
    pub cloud_g_per_m3: f64,
    /// Half the weight in the air is in grains finer than this, µm.
    pub airborne_um: f64,
    /// Dust on the plate, g/m².
    pub landed_g_per_m2: f64,
    /// Temperature of the copper, °C.
    pub plate_c: f64,
    /// Share of the place under dust or resin, 0–1.
    pub cover: f64,
    /// Grains lying loose at the place.
    pub grains: usize,
    /// Domes that hold at the place.
    pub domes: usize,
    /// Minutes in the bath up to now.
    pub bath_min: f64,
    /// Deepest copper at the place, µm.
    pub deepest_um: f64,
    /// How far the acid has gone in under the resin, µm.
    pub undercut_um: f64,
    /// Share of the place that lies open in this bite, 0–1.
    pub open: f64,
    /// Mean ink on the copper and on the sheet, µm.
    pub held_um: f64,
    /// Mean ink on the sheet, µm.
    pub printed_um: f64,
    /// What the deepest value here would print if it were stopped out now, or what the place has
    /// printed: L*.
    pub lightness: f64,
}

/// What is kept from moment to moment of one plan and place.
#[derive(Clone, Debug, Default)]
pub struct TimelineScratch {
    place: Option<Grid>,
    grains: Vec<LooseGrain>,
    printed: Option<PrintedPlace>,
}

impl TimelineScratch {
    /// Forgets everything: for another plan.
    pub fn clear(&mut self) {
        *self = Self::default();
    }
}

/// The stages of a plan's work, from the dust box to the first print of the first state.
#[must_use]
pub fn stages(plan: &Plan) -> Vec<Stage> {
    let dust = &plan.dust;
    let stage = |work, length| Stage { work, bite: 0, length };
    let mut stages = vec![
        stage(Work::Wait, dust.wait_s),
        stage(Work::Dust, dust.dusting_min),
        stage(Work::Bake, plan.bake.bake_min),
    ];
    stages.extend((1..).zip(&plan.bites).map(|(bite, minutes)| Stage {
        work: Work::Bite,
        bite,
        length: minutes.bite_min,
    }));
    stages.extend([Work::Clean, Work::Ink, Work::Wipe, Work::Print].map(|work| stage(work, 1.0)));
    stages
}

/// The place under `grid`, a raster on the print, at a moment of `stage`, one of the plan's [`stages`]:
/// `share` (0–1) of its length has passed. `grid` is moved onto the plate where it reaches over its edge, and cut to
/// the plate's size. `kept` serves moments of one plate and place.
pub fn moment(
    plate: &Plate,
    renderer: &mut Renderer,
    grid: &Grid,
    stage: &Stage,
    share: f64,
    kept: &mut TimelineScratch,
) -> Moment {
    let grid = on_plate(plate, grid);
    if kept.place != Some(grid) {
        kept.clear();
        kept.place = Some(grid);
    }
    let share = share.clamp(0.0, 1.0);
    let passed = share * stage.length;
    // Later states are worked on copper that has been printed.
    let view = View::first();
    match stage.work {
        Work::Wait => before::waited(plate, &grid, passed),
        Work::Dust => before::dusted(plate, &grid, passed, kept),
        Work::Bake => before::melted(plate, &grid, passed, kept),
        Work::Bite => {
            let left = plate.left_early(stage.bite, passed);
            bitten::bitten(&mut renderer.look(&left, &view), &grid, stage.bite, passed)
        }
        Work::Clean => bitten::cleaned(&mut renderer.look(plate, &view), &grid),
        Work::Ink | Work::Wipe | Work::Print => {
            let done = kept
                .printed
                .get_or_insert_with(|| printed::printed(&mut renderer.look(plate, &view), &grid));
            printed::printing(plate, &grid, stage.work, share, done)
        }
    }
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

/// Bare, polished copper.
fn bare(grid: &Grid) -> Moment {
    let nothing = vec![f32::NAN; grid.width];
    Moment {
        width: grid.width,
        height: grid.height,
        depth_um: vec![0.0; grid.len()],
        resin: vec![0.0; grid.len()],
        loose: vec![0.0; grid.len()],
        stopped: vec![false; grid.len()],
        ink_um: vec![0.0; grid.len()],
        sheet: vec![f32::NAN; grid.len()],
        side: Side {
            copper_um: vec![0.0; grid.width],
            resin_um: nothing.clone(),
            ink_um: nothing.clone(),
            sheet_um: nothing,
            printed_um: vec![0.0; grid.width],
            stopped: vec![false; grid.width],
            balls_um: Vec::new(),
        },
        numbers: Numbers::default(),
    }
}

/// The balls that a row of the copper cuts, as the print shows them: place, height, radius.
fn cut_balls(balls: &[Ball], y_um: f32, width_um: f32, out: &mut Vec<f32>) {
    for Ball { disc, centre_um } in balls {
        let off_um = disc.y_um - y_um;
        let half2 = disc.radius_um * disc.radius_um - off_um * off_um;
        if half2 > 0.0 {
            out.extend([width_um - disc.x_um, *centre_um, half2.sqrt()]);
        }
    }
}

/// Share of a place covered, from the shares of its pixels.
fn mean(shares: impl ExactSizeIterator<Item = f32>) -> f64 {
    let count = shares.len().max(1) as f64;
    shares.map(f64::from).sum::<f64>() / count
}
