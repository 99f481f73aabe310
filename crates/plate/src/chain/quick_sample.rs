//! Quick sample: the numbers of a sample in a few milliseconds, from as little ground as will do.

use super::plate::bathe;
use super::sample::{Grounds, Sample, sample_of};
use super::swatch::plain_swatch;
use super::{GroundRecipe, Job, Refused};
use crate::bite::{DepthCurve, ResistProfile, depth_field};
use crate::constants::Constants;
use crate::grid::Grid;
use crate::ground::statistics::{LINES, of_square};
use crate::ground::{Dome, Ground, MeltScratch};
use crate::ink::{InkScratch, Inking};
use crate::resist::{ResistScratch, distance_under_resin};

/// Pixel size, µm.
const PX_UM: f32 = 8.0;
/// Side of the piece of ground looked at, µm, …
const SIDE_UM: f64 = 1600.0;
/// … but so little that about this many grains fall on it, …
const GRAINS: f64 = 12_000.0;
/// … and never less than this many scales of the ground.
const LEAST_SCALES: f64 = 10.0;
/// Grains within this many scales beyond it are worked too. That is less than a tile's margin: the
/// numbers of a quick sample stand only until those of the sample are there.
const MARGIN_SCALES: f64 = 2.0;
/// Farthest undercut looked for, µm.
const REACH_UM: f32 = 80.0;

/// How one value of a plan comes out, from a piece of ground 1.6 mm wide or less: within about 4 L*
/// and 0.05 of the cover of [`Looking::sample`](super::Looking::sample), in a few milliseconds whatever the dust.
///
/// # Errors
/// As [`Plate::of`](super::Plate::of).
pub fn quick_sample(job: &Job, value: usize) -> Result<Sample, Refused> {
    let plan = &job.plan;
    let constants = Constants::calibrated(&plan.calibration)?;
    let recipe = GroundRecipe::of(plan, &constants);
    let (landed, baked) = (recipe.landed(), recipe.baked());
    let ground = Ground::new(&landed, &baked, plan.seed);
    let (domes, overlapping, side_um) = piece(&ground);

    let side_px = (side_um as f32 / PX_UM) as usize;
    let raster = Grid { left_px: 0, top_px: 0, width: side_px, height: side_px, px_um: PX_UM };
    let mut distance_um = Vec::new();
    distance_under_resin(
        &domes,
        overlapping,
        side_px,
        side_px,
        PX_UM,
        REACH_UM,
        &mut ResistScratch::default(),
        &mut distance_um,
    );
    let profile = ResistProfile::new(&distance_um, PX_UM);
    let session = bathe(job, &plan.bites, &profile, &constants.bite);
    let value = value.min(plan.bites.len());
    let dose_um = session.dose_um[value];
    let etch_factor = constants.bite.etch_factor;
    let curves = [DepthCurve::new(dose_um, etch_factor, PX_UM)];
    let (mut depth_um, mut reflectance) = (Vec::new(), Vec::new());
    depth_field(&distance_um, &vec![0; raster.len()], &curves, &mut depth_um);
    let mut ink = InkScratch::default();
    let inking = Inking::new(&plan.ink, &plan.paper, &constants.ink);
    inking.print(&depth_um, &raster, &mut ink, &mut reflectance);
    let swatch = plain_swatch(&depth_um, &ink, &reflectance, &profile, dose_um, etch_factor);

    let (doneness, _) = baked.verdict(&landed, &constants.bake);
    let making = Grounds {
        landed: &landed,
        baked: &baked,
        doneness,
        statistics: of_square(&domes, side_um, LINES),
    };
    Ok(sample_of(plan, value, &session, &making, &swatch))
}

/// The domes of a small square of ground in the middle of the first tile, where the sample lies,
/// whether any overlap, and the square's side, µm.
fn piece(ground: &Ground) -> (Vec<Dome>, bool, f64) {
    let cell_um = ground.cell_um();
    let few_um = 1000.0 * libm::sqrt(GRAINS / ground.grains_per_mm2().max(1.0));
    let wanted_um = SIDE_UM.min(few_um).max(LEAST_SCALES * ground.scale_um()).min(ground.tile_um());
    let cells = libm::ceil(wanted_um / cell_um) as i32;
    let middle = libm::floor(0.5 * ground.tile_um() / cell_um) as i32;
    let from = middle - cells / 2;
    let margin_um = MARGIN_SCALES * ground.scale_um();
    let tile = ground.patch((from, from), cells, margin_um, &mut MeltScratch::default());
    (tile.domes, tile.overlapping, f64::from(cells) * cell_um)
}
