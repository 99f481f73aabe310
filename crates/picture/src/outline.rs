//! Outlines of values on the print: for stop-out guides, and for taking an area from the picture.

use plan::edits::thinned;

/// One closed outline, mm as printed.
#[derive(Clone, Debug, PartialEq, serde::Serialize, ts_rs::TS)]
pub struct Ring {
    /// Its points, x and y; the last leads back to the first.
    pub points_mm: Vec<[f64; 2]>,
    /// It bounds a hole in the ring round it.
    pub hole: bool,
}

/// Which way one walks round the inside, which lies to the right: east, south, west, north.
const STEPS: [(i64, i64); 4] = [(1, 0), (0, 1), (-1, 0), (0, -1)];

/// The outlines of all cells of a map whose value is `inside`, with what lies within on the right hand
/// (clockwise as seen; holes the other way round). Cells that touch only at a corner are apart.
///
/// `cell_mm` is a cell's width and height. Points lie midway along the cells' sides (marching
/// squares) and are then thinned out so that no point left out lies farther than `tolerance_mm` from
/// the line that is left (Douglas & Peucker 1973).
#[must_use]
pub fn outlines(
    values: &[u8],
    width: usize,
    height: usize,
    cell_mm: (f64, f64),
    inside: impl Fn(u8) -> bool,
    tolerance_mm: f64,
) -> Vec<Ring> {
    let within = |x: i64, y: i64| {
        x >= 0
            && y >= 0
            && x < width as i64
            && y < height as i64
            && inside(values[y as usize * width + x as usize])
    };
    // Upper sides already walked.
    let mut walked = vec![false; width * height];
    let mut rings = Vec::new();
    for y in 0..height as i64 {
        for x in 0..width as i64 {
            if !within(x, y) || within(x, y - 1) || walked[y as usize * width + x as usize] {
                continue;
            }
            let mut points = Vec::new();
            let (mut at, mut way) = ((x, y), 0);
            loop {
                let (dx, dy) = STEPS[way];
                if way == 0 {
                    walked[at.1 as usize * width + at.0 as usize] = true;
                }
                points.push([
                    (at.0 as f64 + 0.5 * dx as f64) * cell_mm.0,
                    (at.1 as f64 + 0.5 * dy as f64) * cell_mm.1,
                ]);
                at = (at.0 + dx, at.1 + dy);
                // The cells ahead, on the right hand (where the inside is) and on the left.
                let (right, left) = match way {
                    0 => ((at.0, at.1), (at.0, at.1 - 1)),
                    1 => ((at.0 - 1, at.1), (at.0, at.1)),
                    2 => ((at.0 - 1, at.1 - 1), (at.0 - 1, at.1)),
                    _ => ((at.0, at.1 - 1), (at.0 - 1, at.1 - 1)),
                };
                way = if !within(right.0, right.1) {
                    (way + 1) % 4
                } else if within(left.0, left.1) {
                    (way + 3) % 4
                } else {
                    way
                };
                if at == (x, y) && way == 0 {
                    break;
                }
            }
            let hole = twice_area(&points) < 0.0;
            rings.push(Ring { points_mm: ring_thinned(&points, tolerance_mm), hole });
        }
    }
    rings
}

/// Twice the area within a ring; below 0 when it runs anticlockwise as seen.
pub(crate) fn twice_area(points: &[[f64; 2]]) -> f64 {
    (0..points.len())
        .map(|i| {
            let ([x0, y0], [x1, y1]) = (points[i], points[(i + 1) % points.len()]);
            x0 * y1 - x1 * y0
        })
        .sum()
}

/// A ring with as few points as the tolerance allows, at least three.
fn ring_thinned(ring: &[[f64; 2]], tolerance_mm: f64) -> Vec<[f64; 2]> {
    // Two fixed ends: the first point and the one farthest from it.
    let square = |a: [f64; 2], b: [f64; 2]| {
        let (dx, dy) = (a[0] - b[0], a[1] - b[1]);
        dx * dx + dy * dy
    };
    let far = (0..ring.len()).fold(0, |best, i| {
        if square(ring[i], ring[0]) > square(ring[best], ring[0]) { i } else { best }
    });
    let mut closed = ring.to_vec();
    closed.push(ring[0]);
    let mut kept = thinned(&closed[..=far], tolerance_mm);
    kept.extend(thinned(&closed[far..], tolerance_mm).into_iter().skip(1));
    kept.pop();
    // A ring within the tolerance of a line keeps a third point.
    if kept.len() >= 3 {
        kept
    } else {
        vec![ring[0], ring[ring.len() / 3], ring[ring.len() * 2 / 3]]
    }
}

#[cfg(test)]
mod tests {
    use super::{outlines, twice_area};

    #[test]
    fn a_ring_with_an_island_in_its_hole() {
        let side = 40;
        let mut values = vec![0_u8; side * side];
        for y in 5..35 {
            for x in 5..35 {
                let (hole, island) = (
                    (10..30).contains(&x) && (10..30).contains(&y),
                    (18..22).contains(&x) && (18..22).contains(&y),
                );
                values[y * side + x] = u8::from(!hole || island);
            }
        }
        let rings = outlines(&values, side, side, (0.5, 0.5), |v| v == 1, 0.1);
        assert_eq!(rings.len(), 3, "outside, hole and island");
        assert_eq!(rings.iter().filter(|ring| ring.hole).count(), 1, "one hole");
        let area: f64 = rings.iter().map(|ring| twice_area(&ring.points_mm) / 2.0).sum();
        let cells = values.iter().filter(|v| **v == 1).count() as f64 * 0.25;
        // Each of the 12 corners is cut off by an eighth of a cell's square, outwards or inwards.
        assert!((area - cells).abs() < 0.5, "area {area} mm² of {cells} mm²");
        for ring in &rings {
            assert!(ring.points_mm.len() <= 8, "straight sides need few points: {ring:?}");
        }
    }

    #[test]
    fn corners_that_touch_are_apart_and_edges_of_the_plate_are_closed() {
        let values = [1, 0, 0, 1];
        let rings = outlines(&values, 2, 2, (1.0, 1.0), |v| v == 1, 0.01);
        assert_eq!(rings.len(), 2, "two cells touching at a corner");
        let all = outlines(&[1; 12], 4, 3, (1.0, 1.0), |_| true, 0.01);
        assert_eq!(all.len(), 1, "the whole plate is one ring");
        assert!((twice_area(&all[0].points_mm) / 2.0 - 11.5).abs() < 1e-9, "less its four corners");
    }

    #[test]
    fn a_disc_keeps_to_its_tolerance() {
        let side = 200;
        let middle = 100.0;
        let values: Vec<u8> = (0..side * side)
            .map(|i| {
                let (x, y) = ((i % side) as f64 + 0.5 - middle, (i / side) as f64 + 0.5 - middle);
                u8::from(x * x + y * y < 80.0 * 80.0)
            })
            .collect();
        let rings = outlines(&values, side, side, (0.1, 0.1), |v| v == 1, 0.1);
        assert_eq!(rings.len(), 1, "one disc");
        assert!(rings[0].points_mm.len() < 60, "thinned to {}", rings[0].points_mm.len());
        for [x, y] in &rings[0].points_mm {
            let off = libm::sqrt((x - 10.0) * (x - 10.0) + (y - 10.0) * (y - 10.0)) - 8.0;
            assert!(off.abs() < 0.11, "a point {off} mm off the circle of 8 mm");
        }
    }
}
