//! Later states: the copper as far as its later work has come, tools and bites under later grounds.

use super::super::later::{Line, Step};
use super::super::{SAMPLE, TRIAL_SIDE_PX};
use super::before::{set_domes, stand_on};
use super::bitten::set_stopped_row;
use super::{Moment, Numbers, Plate, Recipe, Stage, Work, mean, turn_over};
use crate::grid::Grid;
use crate::light;
use plan::{LaterGround, Work as Piece};

/// Strokes and passages at a place: how many reach it, and how many of those are begun.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Strokes {
    here: usize,
    begun: usize,
}

impl Plate {
    /// The first pieces of the later work of the state that is looked at.
    pub(super) fn pieces_until(&self, count: usize) -> Vec<Piece> {
        let line = self.plan.line_of(self.state);
        line.into_iter().flat_map(|state| &state.work).take(count).cloned().collect()
    }

    /// The pieces of later work done by a moment of a stage, the last of them perhaps in part.
    pub(super) fn pieces_so_far(
        &self,
        grid: &Grid,
        stage: &Stage,
        share: f64,
    ) -> (Vec<Piece>, Strokes) {
        let (from, to) = stage.pieces;
        match stage.work {
            Work::Tool => self.strokes_so_far(grid, (from, to), share),
            Work::Bite if to > from => {
                let mut pieces = self.pieces_until(to);
                if let Some(Piece::Ground(ground)) = pieces.last_mut() {
                    ground.bites.truncate(stage.bite);
                    if let Some(bite) = ground.bites.last_mut() {
                        bite.bite_min = share * stage.length;
                    }
                }
                (pieces, Strokes::default())
            }
            Work::Clean => (self.pieces_until(to), Strokes::default()),
            _ => (self.pieces_until(from), Strokes::default()),
        }
    }

    /// The strokes done at a place: those that do not reach it take no time.
    fn strokes_so_far(
        &self,
        grid: &Grid,
        (from, to): (usize, usize),
        share: f64,
    ) -> (Vec<Piece>, Strokes) {
        let copper = self.on_copper(grid);
        let here: Vec<usize> = (from..to)
            .filter(|&at| match &self.line.steps[at] {
                Step::Tool { mark, .. } => {
                    let mut reaches = false;
                    mark.each_pixel(&copper, |_, _, _| reaches = true);
                    reaches
                }
                Step::Ground(_) => false,
            })
            .collect();
        let done = share * here.len() as f64;
        let whole = libm::floor(done) as usize;
        let begun = libm::ceil(done) as usize;
        let strokes = Strokes { here: here.len(), begun };
        let Some(&now) = here.get(whole) else {
            return (self.pieces_until(to), strokes);
        };
        let part = done - whole as f64;
        let mut pieces = self.pieces_until(now + usize::from(part > 0.0));
        if part > 0.0
            && let Some(Piece::Tool(work)) = pieces.last_mut()
        {
            work.take_um *= part;
        }
        (pieces, strokes)
    }

    /// The line of work of these pieces, with what it can take over from another.
    pub(super) fn line_of_pieces(&self, pieces: &[Piece], other: Line) -> Line {
        Line::new(&self.plan, pieces, &self.constants, self.areas.as_ref(), other, true)
    }

    /// The later ground that a stage belongs to.
    pub(super) fn later_ground(&self, stage: &Stage) -> Option<&LaterGround> {
        if stage.ground < 2 {
            return None;
        }
        let line = self.plan.line_of(self.state);
        match line.into_iter().flat_map(|state| &state.work).nth(stage.pieces.0) {
            Some(Piece::Ground(ground)) => Some(ground),
            _ => None,
        }
    }

    /// The copper as the tools have left it so far.
    pub(super) fn worked_by_hand(&mut self, grid: &Grid, strokes: Strokes) -> Moment {
        let mut moment = self.cleaned(grid);
        moment.numbers.strokes = strokes.here;
        moment.numbers.strokes_begun = strokes.begun;
        moment
    }

    /// The copper `minutes` into a bite under a later ground, had the bath been left then. The line of
    /// work is cut short there already.
    pub(super) fn bitten_again(
        &mut self,
        grid: &Grid,
        before: &Moment,
        stage: &Stage,
        recipe: &Recipe,
        minutes: f64,
    ) -> Moment {
        let mut moment = self.cleaned(grid);
        let copper = self.on_copper(grid);
        let etch_factor = self.constants.bite.etch_factor;
        let Some(Step::Ground(later)) = self.line.steps.last() else { return moment };
        let padded = self.round_about(&copper);
        // Dose of every pixel, µm, and whether it lies open in this bite.
        let mut value = Vec::new();
        self.areas.fill(&padded, &mut value);
        let mut inside = vec![later.outline().is_none(); padded.len()];
        if let Some(outline) = later.outline() {
            outline
                .each_pixel(&padded, |column, row, _| inside[row * padded.width + column] = true);
        }
        let dose_um: Vec<f64> = value
            .iter()
            .zip(&inside)
            .map(|(&value, &inside)| if inside { later.dose_um[usize::from(value)] } else { 0.0 })
            .collect();
        let (lightest, darkest) = stage.open;
        let open: Vec<bool> = value
            .iter()
            .zip(&inside)
            .map(|(&value, &inside)| inside && (lightest..=darkest).contains(&usize::from(value)))
            .collect();
        let (mut domes, baked, _) = self.melt(recipe, &padded, recipe.bake.bake_min);
        let place = |um: f32, size: usize| ((um / padded.px_um).max(0.0) as usize).min(size - 1);
        // Undercut all round a dome floats off.
        domes.retain(|dome| {
            let at =
                place(dome.y_um, padded.height) * padded.width + place(dome.x_um, padded.width);
            f64::from(dome.radius_um) > dose_um[at] / etch_factor
        });
        set_domes(&domes, &baked, &padded, &copper, &mut moment);
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
            .flat_map(|row| {
                padded.index_of(&copper, row)..padded.index_of(&copper, row) + grid.width
            })
            .max_by(|&a, &b| dose_um[a].total_cmp(&dose_um[b]))
            .unwrap_or(0);
        let earlier: f64 = self.later_ground(stage).map_or(0.0, |ground| {
            ground.bites[..stage.bite - 1].iter().map(|bite| bite.bite_min).sum()
        });
        moment.numbers = Numbers {
            bath_min: earlier + minutes,
            undercut_um: dose_um[deepest] / etch_factor,
            cover: mean(moment.resin.iter().copied()),
            open: mean(moment.stopped.iter().map(|&stopped| f32::from(u8::from(!stopped)))),
            lightness: self.prints_now(&copper, usize::from(value[deepest])),
            ..moment.numbers
        };
        moment
    }

    /// What a value prints as worked so far in the middle of a place, L*.
    fn prints_now(&mut self, copper: &Grid, value: usize) -> f64 {
        let middle = Grid {
            left_px: copper.left_px + copper.width as i64 / 2,
            top_px: copper.top_px + copper.height as i64 / 2,
            width: 1,
            height: 1,
            ..*copper
        };
        let amounts = self.line.amounts(&middle);
        let side_px = TRIAL_SIDE_PX.min(SAMPLE.width);
        let swatch = self.swatch_worked(value, &amounts, side_px, &mut |_, _, _| {});
        light::lightness(swatch.reflectance)
    }
}
