//! Hatching as lines of its own: no printer or reader has to know patterns.

/// Distance between the lines, mm: a passage narrower than that still has its outline.
const SPACING: f64 = 1.1;
/// Sine and cosine of 45°.
const SLANT: f64 = std::f64::consts::FRAC_1_SQRT_2;

/// A straight piece: x, y, x, y in mm.
pub(super) type Piece = [f64; 4];

/// Where each line crosses the rings: line number less the first, places along it in order.
struct Crossings {
    first: i64,
    lines: Vec<Vec<f64>>,
}

impl Crossings {
    fn new<'a>(rings: impl Iterator<Item = &'a [[f64; 2]]>, low: f64, high: f64) -> Self {
        let first = libm::floor(low / SPACING) as i64;
        let count = (libm::ceil(high / SPACING) as i64 - first + 1).max(0) as usize;
        let mut lines: Vec<Vec<f64>> = vec![Vec::new(); count];
        for ring in rings {
            for (i, from) in ring.iter().enumerate() {
                let until = ring[(i + 1) % ring.len()];
                // Along the lines, and across them.
                let turned = |[x, y]: [f64; 2]| ((x + y) * SLANT, (y - x) * SLANT / SPACING);
                let ((along0, across0), (along1, across1)) = (turned(*from), turned(until));
                let (least, most) = (across0.min(across1), across0.max(across1));
                // Each crossing counts once where two sides meet on a line.
                for number in (libm::ceil(least) as i64)..(libm::ceil(most) as i64) {
                    let part = (number as f64 - across0) / (across1 - across0);
                    if let Some(line) =
                        usize::try_from(number - first).ok().and_then(|at| lines.get_mut(at))
                    {
                        let along = along0 + part * (along1 - along0);
                        line.insert(line.partition_point(|other| *other < along), along);
                    }
                }
            }
        }
        Self { first, lines }
    }
}

/// Lines at 45° within rings (inside by even and odd), cut off at a convex `edge`.
pub(super) fn hatching(rings: &[Vec<[f64; 2]>], edge: &[[f64; 2]]) -> Vec<Piece> {
    let across = |[x, y]: &[f64; 2]| (y - x) * SLANT;
    let low = edge.iter().map(across).fold(f64::INFINITY, f64::min);
    let high = edge.iter().map(across).fold(f64::NEG_INFINITY, f64::max);
    if low.partial_cmp(&high) != Some(std::cmp::Ordering::Less) {
        return Vec::new();
    }
    let inside = Crossings::new(rings.iter().map(Vec::as_slice), low, high);
    let bounds = Crossings::new(std::iter::once(edge), low, high);
    let mut pieces = Vec::new();
    for (at, (line, bound)) in inside.lines.iter().zip(&bounds.lines).enumerate() {
        let &[begin, end] = bound.as_slice() else { continue };
        let v = (inside.first + at as i64) as f64 * SPACING;
        for pair in line.chunks_exact(2) {
            let (from, until) = (pair[0].max(begin), pair[1].min(end));
            if until > from {
                let place = |u: f64| ((u - v) * SLANT, (u + v) * SLANT);
                let ((x0, y0), (x1, y1)) = (place(from), place(until));
                pieces.push([x0, y0, x1, y1]);
            }
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::{SPACING, hatching};

    fn square(from: f64, until: f64) -> Vec<[f64; 2]> {
        vec![[from, from], [until, from], [until, until], [from, until]]
    }

    #[test]
    fn lines_fill_a_square_but_its_hole_and_end_at_the_edge() {
        let rings = [square(10.0, 50.0), square(20.0, 30.0)];
        let pieces = hatching(&rings, &square(0.0, 40.0));
        // Length of all lines times their distance is the area: closed form as they get dense.
        let length: f64 = pieces
            .iter()
            .map(|[x0, y0, x1, y1]| libm::sqrt((x1 - x0) * (x1 - x0) + (y1 - y0) * (y1 - y0)))
            .sum();
        let area = 30.0 * 30.0 - 10.0 * 10.0;
        assert!((length * SPACING / area - 1.0).abs() < 0.02, "{length} mm of lines on {area} mm²");
        for [x0, y0, x1, y1] in pieces {
            let (x, y) = ((x0 + x1) / 2.0, (y0 + y1) / 2.0);
            let within = |low: f64, high: f64| x > low && x < high && y > low && y < high;
            assert!(within(10.0, 40.0) && !within(20.0, 30.0), "a line about {x}, {y}");
        }
    }
}
