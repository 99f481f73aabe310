//! Large windows, printed strip by strip: no more than a strip's fields are held, and what one strip has bitten of the next is
//! kept.

use super::Looking;
use super::scratch::WindowScratch;
use crate::grid::{Grid, Rows, make_room};
use crate::ink::Keep;
use core::ops::Range;

/// Rows of a large window that are printed together: many beside what the cloth feels round them, few enough to be held.
const STRIP_ROWS: usize = 640;
/// Copper beside lines is bitten on from what their own bite left, which felt the ground's edge: as many times the undercut away
/// a border may be felt.
const FELT_TIMES: i64 = 3;
/// And so many pixels more, for the slopes about a pixel.
const FELT_PX: i64 = 8;

impl Looking<'_> {
    /// Prints a large window strip by strip, from the top, so that no more than a strip's fields are held:
    /// `then` is given each row's reflectance.
    pub(super) fn print_by_strips(&mut self, grid: &Grid, then: &mut dyn FnMut(&[f32])) {
        let mut above: Option<(Grid, Again)> = None;
        for from in (0..grid.height).step_by(STRIP_ROWS) {
            let height = STRIP_ROWS.min(grid.height - from);
            let strip = Grid { top_px: grid.top_px + from as i64, height, ..*grid };
            let around = self.around(&strip);
            let again = match &above {
                Some(above) => self.bite_below(&around, above),
                None => {
                    self.bite_window(&around, self.plate.plan().bites.len());
                    Again::NONE
                }
            };
            let next_top_px = (from + height < grid.height).then(|| {
                let below = Grid { top_px: strip.top_px + height as i64, ..strip };
                self.around(&below).top_px
            });
            let inked = self.print_bitten(&strip, &around, again, next_top_px, Keep::Nothing);
            for row in 0..height {
                then(&inked.reflectance[inked.grid.index_of(&strip, row)..][..grid.width]);
            }
            above = Some((around, again));
        }
    }

    /// Bites a window as [`Looking::bite_window`] does, when the one above it, of the same width, has just been bitten: what
    /// both have of the copper is kept, but for the rows that felt the border of the one above. Depths and planes alone are
    /// right afterwards.
    fn bite_below(&mut self, grid: &Grid, (above, was): &(Grid, Again)) -> Again {
        let plate = self.plate;
        let etch_factor = plate.constants().bite.etch_factor;
        let deepest_um = plate.session().dose_um.iter().fold(0.0_f64, |a, &b| a.max(b));
        let deepest_um = deepest_um + plate.deepest_spit_um() + plate.line_dose_um();
        let deepest_um = deepest_um * plate.faults().bath.most_factor();
        let felt = FELT_TIMES * libm::ceil(deepest_um / etch_factor / f64::from(grid.px_um)) as i64;
        let felt = felt + FELT_PX;
        let shared = above.top_px + above.height as i64 - grid.top_px;
        let kept = (shared - felt).max(0) as usize;
        // Bitten again, and not used: rows from which what follows is felt.
        let again = kept.min(felt as usize);
        let anew = Grid {
            top_px: grid.top_px + (kept - again) as i64,
            height: grid.height - kept + again,
            ..*grid
        };
        let from = (grid.top_px - above.top_px) as usize;
        self.scratch.window.keep_rows(from..from + kept, grid.width, *was);
        self.bite_window(&anew, plate.plan().bites.len());
        Again { kept_rows: kept, again_rows: again }
    }
}

/// Of a strip's copper, how many rows were kept from the one above, and how many bitten once more before the rest: those are not
/// used.
#[derive(Clone, Copy, Debug)]
pub(super) struct Again {
    pub(super) kept_rows: usize,
    again_rows: usize,
}

impl Again {
    pub(super) const NONE: Self = Self { kept_rows: 0, again_rows: 0 };

    /// Depths and planes of a strip so many pixels wide, from what is kept of the one above and what has been bitten since.
    pub(super) fn rows<'a>(
        self,
        width: usize,
        kept_um: &'a [f32],
        depth_um: &'a [f32],
        plane_um: &'a [f32],
    ) -> (Rows<'a>, Option<Rows<'a>>) {
        let (kept, again) = (self.kept_rows * width, self.again_rows * width);
        let plane_um = match plane_um.get(again..) {
            Some(plane_um) if !plane_um.is_empty() => {
                Some(Rows::of(&kept_um[kept..2 * kept], plane_um))
            }
            _ => None,
        };
        (Rows::of(&kept_um[..kept], &depth_um[again..]), plane_um)
    }
}

impl WindowScratch {
    /// Keeps rows of a strip of the copper for the one below: depths, then planes where tools have worked.
    fn keep_rows(&mut self, rows: Range<usize>, width: usize, was: Again) {
        let Self { kept_um, depth_um, plane_um, .. } = self;
        // Nearly always they have just been bitten, and none of them was kept before: the room of those serves again.
        let fresh = rows.start >= was.kept_rows;
        let mut room = if fresh { core::mem::take(kept_um) } else { Vec::new() };
        let skip = if fresh { was.kept_rows } else { 0 };
        let (depth_um, plane_um) = Again { kept_rows: was.kept_rows - skip, ..was }
            .rows(width, kept_um, depth_um, plane_um);
        let fields = [Some(depth_um), plane_um];
        room.clear();
        make_room(&mut room, rows.len() * width * fields.iter().flatten().count());
        for field in fields.into_iter().flatten() {
            rows.clone().for_each(|y| room.extend_from_slice(field.row(y - skip, width)));
        }
        *kept_um = room;
    }
}
