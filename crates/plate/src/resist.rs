//! Resist: distance under the resin, pixel by pixel.
//!
//! Rules of the module:
//!
//! 1. The distance s is signed, in µm, at pixel centres: positive under resin, where it is the
//!    Euclidean distance to the nearest open copper; negative in the open, never below −1 pixel
//!    (only pixels on an edge need it, to be bitten by the part that lies open).
//! 2. Domes stand on round footprints, so no raster decides where their edges run: everything is
//!    calculated from centres and radii, and an edge that moves by a tenth of a pixel shows.
//! 3. A ground whose domes have run together wholly is a set of separate discs: s is the largest
//!    radius − |x − centre| (`discs`). In a ground with pinned edges discs overlap: the nearest
//!    open copper is then either straight out from a centre, or the tip of a corner where two
//!    discs cross (`union`). A raster distance transform with an edge correction was weighed and
//!    left: it blurs exactly these corners, and costs more.
//! 4. [`bounded`] is the plain transform of a yes/no raster, for measuring and for comparison.

pub mod bounded;
mod discs;
mod reach;
mod union;

pub use bounded::{BoundedScratch, bounded_distance_px};
pub(crate) use reach::Reaches;

use crate::grid::make_room;
use crate::ground::Dome;

/// Buffers kept between calls. Their content does not matter.
#[derive(Clone, Debug, Default)]
pub struct ResistScratch {
    discs: discs::DiscScratch,
    union: union::UnionScratch,
}

/// Signed distance under the resin, µm, for a window of `width` × `height` pixels whose top left
/// corner is the origin of the domes' places; pixel (0, 0) spans 0 to `px_um` both ways.
///
/// `out[y·width + x]` is exact everywhere for separate discs, and exact up to `reach_um` where
/// `overlapping` domes are allowed for (a value of at least `reach_um` beyond it). Without resin
/// all is open. Domes that reach into the window must all be given, and of an overlapping ground
/// also those that reach within `reach_um` of it.
///
/// # Panics
/// When `px_um` is not above 0.
#[allow(clippy::too_many_arguments, reason = "a window, its domes and caller-owned buffers")]
pub fn distance_under_resin(
    domes: &[Dome],
    overlapping: bool,
    width: usize,
    height: usize,
    px_um: f32,
    reach_um: f32,
    scratch: &mut ResistScratch,
    out: &mut Vec<f32>,
) {
    let size = (width, height, px_um);
    distance_by_bands(domes, overlapping, size, (reach_um, None), scratch, out, &mut |_, _| {});
}

/// The same for a window of `size` (columns, rows, µm a pixel). After each band of rows, `then` is given
/// all rows so far and the band's first pixel: it finds them still at hand, and may change them. Where `reaches` are given,
/// distances beyond them may come out larger than they are, and those not asked for are of no use.
///
/// # Panics
/// When a pixel's size is not above 0.
pub(crate) fn distance_by_bands(
    domes: &[Dome],
    overlapping: bool,
    (width, height, px_um): (usize, usize, f32),
    (reach_um, reaches): (f32, Option<&Reaches>),
    scratch: &mut ResistScratch,
    out: &mut Vec<f32>,
    then: &mut dyn FnMut(&mut [f32], usize),
) {
    assert!(px_um > 0.0, "a pixel has a size");
    make_room(out, width * height);
    out.resize(width * height, -px_um);
    let window = Window { width, height, px_um };
    if overlapping {
        union::distance(domes, window, (reach_um, reaches), &mut scratch.union, out, then);
    } else {
        discs::distance(domes, window, &mut scratch.discs, out, then);
    }
}

/// Size of the raster.
#[derive(Clone, Copy, Debug)]
struct Window {
    width: usize,
    height: usize,
    px_um: f32,
}

/// Pixels of a window that a rectangle touches.
#[derive(Clone, Copy, Debug)]
struct Span {
    left: usize,
    columns: usize,
    top: usize,
    /// One past the last row.
    bottom: usize,
}

/// Lanes worked at once.
const LANES: usize = 4;

impl Window {
    /// Pixels with their centre in the rectangle; the columns are rounded up to whole lanes where
    /// the window is wide enough. `None` when there are none.
    fn span(self, left_um: f32, right_um: f32, top_um: f32, bottom_um: f32) -> Option<Span> {
        let per_um = 1.0 / self.px_um;
        // Rounded up, and rounded down and one more, in whole numbers.
        let first = |from: f32| {
            let at = from * per_um - 0.5;
            let whole = at as i32;
            (whole + i32::from(at > whole as f32)).max(0) as usize
        };
        let past = |to: f32, size: usize| {
            let at = to * per_um - 0.5;
            if at < 0.0 { 0 } else { (at as i32 as usize + 1).min(size) }
        };
        let (left, right) = (first(left_um), past(right_um, self.width));
        let (top, bottom) = (first(top_um), past(bottom_um, self.height));
        if left >= right || top >= bottom {
            return None;
        }
        let columns = (right - left).next_multiple_of(LANES).min(self.width);
        Some(Span { left: left.min(self.width - columns), columns, top, bottom })
    }

    /// Centre of a pixel column or row, µm.
    #[inline(always)]
    fn centre_um(self, pixel: usize) -> f32 {
        (pixel as i32 as f32 + 0.5) * self.px_um
    }
}
