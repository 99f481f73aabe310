//! The renderer: room to work in, and what was laid before. All of it can be thrown away at any moment
//! without changing a bit of any answer.

use super::kept::Tiles;
use super::later::{Step, WorkLine};
use super::later_ground::{Later, LaterScratch};
use super::scratch::{LinesScratch, WindowScratch};
use super::{Job, Plate, Printed, Refused, View};
use crate::grid::Grid;
use crate::ground::GroundStatistics;
use crate::ink::Inking;

/// Looks at plates.
///
/// Between two looks it keeps the domes it has laid, so that the next window of the same ground finds
/// them, and its buffers. What a look tells depends on plate and view alone.
#[derive(Default)]
pub struct Renderer {
    pub(super) tiles: Tiles,
    pub(super) window: WindowScratch,
    pub(super) lines: LinesScratch,
    pub(super) later: LaterScratch,
}

impl Renderer {
    /// [`Plate::of`] in this renderer's room: the tile that the plate's sample is cut from stays at hand.
    ///
    /// # Errors
    /// As [`Plate::of`].
    pub fn plate(&mut self, job: &Job) -> Result<Plate, Refused> {
        Plate::made(job, None, &mut self.tiles)
    }

    /// [`Plate::after`] in this renderer's room.
    ///
    /// # Errors
    /// As [`Plate::of`].
    pub fn plate_after(&mut self, before: &Plate, job: &Job) -> Result<Plate, Refused> {
        Plate::made(job, Some(before), &mut self.tiles)
    }

    /// Looks at a plate.
    pub fn look<'a>(&'a mut self, plate: &'a Plate, view: &'a View) -> Looking<'a> {
        Looking {
            plate,
            line: plate.line(view),
            inking: view.inking.as_deref().unwrap_or(plate.inking()),
            printed: view.printed,
            scratch: self,
        }
    }

    /// What a plate's first ground looks like on the whole.
    pub fn ground_statistics(&mut self, plate: &Plate) -> GroundStatistics {
        let ground = plate.ground();
        ground.statistics(self.tiles.of_first(ground.recipe()))
    }

    /// Forgets the domes kept at hand, so that the next window lays its ground anew.
    pub fn forget_ground(&mut self) {
        self.tiles.clear();
    }
}

/// A plate as it is looked at just now: which state, what of it, inked how, and room to work in.
///
/// Everything one can see is a method of it; see [`Renderer::look`].
pub struct Looking<'a> {
    pub(super) plate: &'a Plate,
    pub(super) line: &'a WorkLine,
    pub(super) inking: &'a Inking,
    pub(super) printed: Printed,
    pub(super) scratch: &'a mut Renderer,
}

impl<'a> Looking<'a> {
    /// The plate that is looked at.
    #[must_use]
    pub fn plate(&self) -> &'a Plate {
        self.plate
    }

    /// Grounds after the first under which the state has been bitten.
    #[must_use]
    pub fn later_grounds(&self) -> usize {
        self.line.grounds().count()
    }

    /// The state's last piece of work where it is a later ground.
    #[must_use]
    pub fn last_ground(&self) -> Option<&'a Later> {
        match self.line.steps.last().map(|step| &**step) {
            Some(Step::Ground(later)) => Some(later),
            _ => None,
        }
    }

    /// One of the state's pieces of work, from 0, is a tool's and reaches a raster on the copper.
    #[must_use]
    pub fn tool_reaches(&self, piece: usize, copper: &Grid) -> bool {
        let Step::Tool { mark, .. } = &*self.line.steps[piece] else { return false };
        let mut reaches = false;
        mark.each_pixel(copper, |_, _, _| reaches = true);
        reaches
    }

    /// What each piece of the state's work does at a place of one pixel on the copper: the take of a tool, µm;
    /// 1 where a later ground lies.
    #[must_use]
    pub fn amounts_at(&self, place: &Grid) -> Vec<f32> {
        self.line.amounts(place)
    }
}
