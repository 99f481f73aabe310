//! Places that a fault marks, pixel by pixel, told as runs: a run is one call, however long it is.

use super::spot::Spot;
use crate::grid::Grid;
use core::ops::Range;

/// Says of each pixel along a row of a part of a raster whether it is marked.
pub(super) type Marks<'a> = Box<dyn FnMut(usize, &mut [bool]) + 'a>;

/// Every run of marked pixels of a raster within the square about a spot, as places in the raster; `of` makes what marks
/// the part of it within the square, or nothing.
#[inline(never)] // keeps the page small
pub(super) fn each_run<'a>(
    spot: &Spot,
    grid: &Grid,
    of: &mut dyn FnMut(&Grid) -> Option<Marks<'a>>,
    then: &mut dyn FnMut(Range<usize>),
) {
    let Some([left, right, top, bottom]) = spot.pixels(grid) else { return };
    let part = Grid {
        left_px: grid.left_px + left as i64,
        top_px: grid.top_px + top as i64,
        width: right - left,
        height: bottom - top,
        px_um: grid.px_um,
    };
    let Some(mut mark) = of(&part) else { return };
    let mut marked = vec![false; part.width];
    for row in 0..part.height {
        marked.fill(false);
        mark(row, &mut marked);
        let first = (top + row) * grid.width + left;
        let mut from = 0;
        while let Some(begin) = marked[from..].iter().position(|&marked| marked) {
            let begin = from + begin;
            let length = marked[begin..].iter().position(|&marked| !marked);
            from = length.map_or(part.width, |length| begin + length);
            then(first + begin..first + from);
        }
    }
}
