//! Later states: the copper as far as its later work has come, tools and bites under later grounds.

use super::before::{domes_at, round_about, set_domes, stand_on};
use super::bitten::{cleaned, set_stopped_row};
use super::{Moment, Numbers, Stage, Work, mean, on_copper};
use plan::{LaterGround, Work as Piece};
use plate::chain::{GroundRecipe, TRIAL_SIDE_PX, turn_over};
use plate::grid::Grid;
use plate::{Looking, Plate, View};

/// Strokes and passages at a place: how many reach it, and how many of those are begun.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Strokes {
    here: usize,
    begun: usize,
}

/// The pieces of the later work of the state that is looked at.
fn pieces<'a>(plate: &'a Plate, view: &View) -> impl Iterator<Item = &'a Piece> {
    let line = plate.plan().line_of(plate.state_of(view));
    line.into_iter().flat_map(|state| &state.work)
}

/// The first of them.
pub(super) fn pieces_until(plate: &Plate, view: &View, count: usize) -> Vec<Piece> {
    pieces(plate, view).take(count).cloned().collect()
}

/// The pieces of later work done by a moment of a stage, the last of them perhaps in part.
pub(super) fn pieces_so_far(
    looking: &Looking<'_>,
    view: &View,
    grid: &Grid,
    stage: &Stage,
    share: f64,
) -> (Vec<Piece>, Strokes) {
    let plate = looking.plate();
    let until = |count| pieces_until(plate, view, count);
    let (from, to) = stage.pieces;
    match stage.work {
        Work::Tool => strokes_so_far(looking, view, grid, (from, to), share),
        Work::Bite if to > from => {
            let mut pieces = until(to);
            if let Some(Piece::Ground(ground)) = pieces.last_mut() {
                ground.bites.truncate(stage.bite);
                if let Some(bite) = ground.bites.last_mut() {
                    bite.bite_min = share * stage.length;
                }
            }
            (pieces, Strokes::default())
        }
        Work::Clean => (until(to), Strokes::default()),
        _ => (until(from), Strokes::default()),
    }
}

/// The strokes done at a place: those that do not reach it take no time.
fn strokes_so_far(
    looking: &Looking<'_>,
    view: &View,
    grid: &Grid,
    (from, to): (usize, usize),
    share: f64,
) -> (Vec<Piece>, Strokes) {
    let plate = looking.plate();
    let copper = on_copper(plate, grid);
    let here: Vec<usize> = (from..to).filter(|&at| looking.tool_reaches(at, &copper)).collect();
    let done = share * here.len() as f64;
    let whole = libm::floor(done) as usize;
    let begun = libm::ceil(done) as usize;
    let strokes = Strokes { here: here.len(), begun };
    let Some(&now) = here.get(whole) else {
        return (pieces_until(plate, view, to), strokes);
    };
    let part = done - whole as f64;
    let mut pieces = pieces_until(plate, view, now + usize::from(part > 0.0));
    if part > 0.0
        && let Some(Piece::Tool(work)) = pieces.last_mut()
    {
        work.take_um *= part;
    }
    (pieces, strokes)
}

/// The later ground that a stage belongs to.
fn later_ground<'a>(plate: &'a Plate, view: &View, stage: &Stage) -> Option<&'a LaterGround> {
    if stage.ground < 2 {
        return None;
    }
    match pieces(plate, view).nth(stage.pieces.0) {
        Some(Piece::Ground(ground)) => Some(ground),
        _ => None,
    }
}

/// What decides the ground of a stage.
pub(super) fn recipe_of(plate: &Plate, view: &View, stage: &Stage) -> GroundRecipe {
    match later_ground(plate, view, stage) {
        Some(later) => GroundRecipe::of_later(later, plate.plan(), plate.constants()),
        None => plate.ground().recipe().clone(),
    }
}

/// Minutes in the bath of a later ground before a bite of it begins.
pub(super) fn earlier_min(plate: &Plate, view: &View, stage: &Stage) -> f64 {
    later_ground(plate, view, stage)
        .map_or(0.0, |ground| ground.bites[..stage.bite - 1].iter().map(|bite| bite.bite_min).sum())
}

/// The copper as the tools have left it so far.
pub(super) fn worked_by_hand(looking: &mut Looking<'_>, grid: &Grid, strokes: Strokes) -> Moment {
    let mut moment = cleaned(looking, grid);
    moment.numbers.strokes = strokes.here;
    moment.numbers.strokes_begun = strokes.begun;
    moment
}

/// The copper in a bite under a later ground, `bath_min` minutes after the first began, of a plate that
/// has had no more work.
pub(super) fn bitten_again(
    looking: &mut Looking<'_>,
    grid: &Grid,
    before: &Moment,
    stage: &Stage,
    recipe: &GroundRecipe,
    bath_min: f64,
) -> Moment {
    let mut moment = cleaned(looking, grid);
    let plate = looking.plate();
    let copper = on_copper(plate, grid);
    let etch_factor = plate.constants().bite.etch_factor;
    let Some(later) = looking.last_ground() else { return moment };
    let padded = round_about(plate, &copper);
    // Dose of every pixel, µm, and whether it lies open in this bite.
    let mut value = Vec::new();
    plate.picture().fill(&padded, &mut value);
    let mut inside = vec![later.outline().is_none(); padded.len()];
    if let Some(outline) = later.outline() {
        outline.each_pixel(&padded, |column, row, _| inside[row * padded.width + column] = true);
    }
    let dose_um: Vec<f64> = value
        .iter()
        .zip(&inside)
        .map(|(&value, &inside)| if inside { later.dose_um()[usize::from(value)] } else { 0.0 })
        .collect();
    let (lightest, darkest) = stage.open;
    let open: Vec<bool> = value
        .iter()
        .zip(&inside)
        .map(|(&value, &inside)| inside && (lightest..=darkest).contains(&usize::from(value)))
        .collect();
    let mut domes = domes_at(plate, &recipe.ground(), &padded);
    let place = |um: f32, size: usize| ((um / padded.px_um).max(0.0) as usize).min(size - 1);
    // Undercut all round a dome floats off.
    domes.retain(|dome| {
        let at = place(dome.y_um, padded.height) * padded.width + place(dome.x_um, padded.width);
        f64::from(dome.radius_um) > dose_um[at] / etch_factor
    });
    set_domes(&domes, &recipe.baked(), &padded, &copper, &mut moment);
    stand_on(before, &mut moment.side);
    for row in 0..grid.height {
        let from = padded.index_of(&copper, row);
        for column in 0..grid.width {
            moment.stopped[row * grid.width + column] = !open[from + column];
        }
    }
    turn_over(&mut moment.stopped, grid.width);
    set_stopped_row(grid, &mut moment);
    // What lies open at the place, or has: the value bitten deepest under this ground.
    let deepest = (0..grid.height)
        .flat_map(|row| padded.index_of(&copper, row)..padded.index_of(&copper, row) + grid.width)
        .max_by(|&a, &b| dose_um[a].total_cmp(&dose_um[b]))
        .unwrap_or(0);
    moment.numbers = Numbers {
        bath_min,
        undercut_um: dose_um[deepest] / etch_factor,
        cover: mean(moment.resin.iter().copied()),
        open: mean(moment.stopped.iter().map(|&stopped| f32::from(u8::from(!stopped)))),
        lightness: prints_now(looking, &copper, usize::from(value[deepest])),
        ..moment.numbers
    };
    moment
}

/// What a value prints as worked so far in the middle of a place, L*.
fn prints_now(looking: &mut Looking<'_>, copper: &Grid, value: usize) -> f64 {
    let middle = Grid {
        left_px: copper.left_px + copper.width as i64 / 2,
        top_px: copper.top_px + copper.height as i64 / 2,
        width: 1,
        height: 1,
        ..*copper
    };
    let amounts = looking.amounts_at(&middle);
    looking.swatch_worked(value, &amounts, TRIAL_SIDE_PX, &mut |_| {}).swatch.lightness()
}
