//! Separate discs: each raises the distance within its own footprint.

use super::{LANES, Window};
use crate::ground::Dome;
use crate::order::larger;

/// Raises the distances to radius − |x − centre| wherever a dome gives more, µm.
pub(super) fn raise(dome: &Dome, window: Window, columns: &mut Vec<f32>, out: &mut [f32]) {
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
    for y in span.top..span.bottom {
        let dy = window.centre_um(y) - dome.y_um;
        let dy2 = dy * dy;
        let from = y * window.width + span.left;
        let (wide, rest) = out[from..from + span.columns].as_chunks_mut::<LANES>();
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
