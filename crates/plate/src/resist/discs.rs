//! Separate discs: each raises the distance within its own footprint.

use super::{LANES, Window};
use crate::ground::Dome;
use crate::order::larger;
use core::ops::Range;

/// Rows worked together: few enough to stay near at hand until the next stage has read them.
const BAND_ROWS: usize = 32;

/// Buffers kept between calls.
#[derive(Clone, Debug, Default)]
pub(super) struct DiscScratch {
    /// Squares of the horizontal distances of one disc's columns, µm².
    columns: Vec<f32>,
    /// First of each band's domes in `order`, and their end.
    starts: Vec<u32>,
    /// The domes of each band, band by band.
    order: Vec<u32>,
}

/// Fills `out` with the signed distances, band after band of rows; after each, `then` is given all rows
/// so far and the band's first pixel.
pub(super) fn distance(
    domes: &[Dome],
    window: Window,
    scratch: &mut DiscScratch,
    out: &mut [f32],
    then: &mut dyn FnMut(&mut [f32], usize),
) {
    if out.is_empty() {
        return;
    }
    sort_into_bands(domes, window, scratch);
    let DiscScratch { columns, starts, order } = scratch;
    for index in 0..window.height.div_ceil(BAND_ROWS) {
        let rows = index * BAND_ROWS..((index + 1) * BAND_ROWS).min(window.height);
        let first = rows.start * window.width;
        let so_far = &mut out[..rows.end * window.width];
        let band = &mut so_far[first..];
        band.fill(-window.px_um);
        for &dome in &order[starts[index] as usize..starts[index + 1] as usize] {
            raise(&domes[dome as usize], window, &rows, columns, band);
        }
        then(so_far, first);
    }
}

/// Bands that a dome reaches into; one too many does no harm.
fn bands_of(dome: &Dome, window: Window, bands: usize) -> Range<usize> {
    let reach = dome.radius_um + window.px_um;
    let per_band = 1.0 / (window.px_um * BAND_ROWS as f32);
    let first = ((dome.y_um - reach) * per_band) as usize;
    let past = ((dome.y_um + reach) * per_band + 1.0) as usize;
    first.min(bands)..past.min(bands)
}

/// Counting sort of the domes by the bands they reach into.
fn sort_into_bands(domes: &[Dome], window: Window, scratch: &mut DiscScratch) {
    let DiscScratch { starts, order, .. } = scratch;
    let bands = window.height.div_ceil(BAND_ROWS);
    starts.clear();
    starts.resize(bands + 1, 0);
    for dome in domes {
        for start in &mut starts[bands_of(dome, window, bands)] {
            *start += 1;
        }
    }
    let mut sum = 0;
    for start in starts.iter_mut() {
        sum += *start;
        *start = sum;
    }
    order.resize(order.len().max(sum as usize), 0);
    // From the back, so that the domes of a band keep their order.
    for (index, dome) in domes.iter().enumerate().rev() {
        for start in &mut starts[bands_of(dome, window, bands)] {
            *start -= 1;
            order[*start as usize] = index as u32;
        }
    }
}

/// Raises the distances in a band of rows to radius − |x − centre| wherever a dome gives more, µm.
fn raise(
    dome: &Dome,
    window: Window,
    rows: &Range<usize>,
    columns: &mut Vec<f32>,
    band: &mut [f32],
) {
    let radius = dome.radius_um;
    let reach = radius + window.px_um;
    let Some(span) =
        window.span(dome.x_um - reach, dome.x_um + reach, dome.y_um - reach, dome.y_um + reach)
    else {
        return;
    };
    columns.clear();
    columns.extend((span.left..span.left + span.columns).map(|x| {
        let dx = window.centre_um(x) - dome.x_um;
        dx * dx
    }));
    let (wide_columns, rest_columns) = columns.as_chunks::<LANES>();
    for y in span.top.max(rows.start)..span.bottom.min(rows.end) {
        let dy = window.centre_um(y) - dome.y_um;
        let dy2 = dy * dy;
        let from = (y - rows.start) * window.width + span.left;
        let (wide, rest) = band[from..from + span.columns].as_chunks_mut::<LANES>();
        for (four, dx2) in wide.iter_mut().zip(wide_columns) {
            for (s, &dx2) in four.iter_mut().zip(dx2) {
                *s = larger(radius - (dx2 + dy2).sqrt(), *s);
            }
        }
        // Only windows narrower than the disc have a rest.
        for (s, &dx2) in rest.iter_mut().zip(rest_columns) {
            *s = larger(radius - (dx2 + dy2).sqrt(), *s);
        }
    }
}
