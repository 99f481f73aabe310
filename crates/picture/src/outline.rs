//! Outlines of values on the print: for stop-out guides, and for taking an area from the picture.

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
            rings.push(Ring { points_mm: thinned(&points, tolerance_mm), hole });
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

/// A line drawn by hand with as few points as keep every one left out within `tolerance_mm` of it (Douglas &
/// Peucker 1973); both ends stay.
#[must_use]
pub fn thinned_line(points_mm: &[[f64; 2]], tolerance_mm: f64) -> Vec<[f64; 2]> {
    if points_mm.len() < 3 {
        return points_mm.to_vec();
    }
    let keep = kept(points_mm, vec![(0, points_mm.len() - 1)], tolerance_mm);
    points_mm.iter().zip(keep).filter(|(_, keep)| *keep).map(|(point, _)| *point).collect()
}

/// Which points are kept between those that the `open` pieces begin and end with.
fn kept(points: &[[f64; 2]], mut open: Vec<(usize, usize)>, tolerance_mm: f64) -> Vec<bool> {
    let mut keep = vec![false; points.len()];
    for &(from, until) in &open {
        (keep[from], keep[until]) = (true, true);
    }
    while let Some((from, until)) = open.pop() {
        let (mut worst, mut at) = (tolerance_mm * tolerance_mm, None);
        for i in from + 1..until {
            let off = off_line(points[i], points[from], points[until]);
            if off > worst {
                (worst, at) = (off, Some(i));
            }
        }
        if let Some(i) = at {
            keep[i] = true;
            open.push((from, i));
            open.push((i, until));
        }
    }
    keep
}

/// A ring with as few points as the tolerance allows, at least three.
fn thinned(ring: &[[f64; 2]], tolerance_mm: f64) -> Vec<[f64; 2]> {
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
    let keep = kept(&closed, vec![(0, far), (far, closed.len() - 1)], tolerance_mm);
    let kept: Vec<[f64; 2]> = (0..ring.len()).filter(|i| keep[*i]).map(|i| ring[i]).collect();
    // A ring within the tolerance of a line keeps a third point.
    if kept.len() >= 3 {
        kept
    } else {
        vec![ring[0], ring[ring.len() / 3], ring[ring.len() * 2 / 3]]
    }
}

/// Squared distance of a point from the straight piece between two others.
fn off_line(p: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let length = dx * dx + dy * dy;
    let t = if length > 0.0 {
        (((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let (x, y) = (p[0] - a[0] - t * dx, p[1] - a[1] - t * dy);
    x * x + y * y
}

#[cfg(test)]
mod tests {
    use super::{off_line, outlines, thinned_line, twice_area};

    #[test]
    fn a_drawn_line_is_thinned_within_its_tolerance() {
        let arc: Vec<[f64; 2]> = (0..=90)
            .map(|degree| f64::from(degree).to_radians())
            .map(|angle| [50.0 * libm::cos(angle), 50.0 * libm::sin(angle)])
            .collect();
        let thin = thinned_line(&arc, 0.1);
        assert!((5..20).contains(&thin.len()), "{} of 91 points", thin.len());
        assert_eq!((thin[0], thin[thin.len() - 1]), (arc[0], arc[90]), "both ends stay");
        for point in &arc {
            let off = thin.windows(2).map(|two| off_line(*point, two[0], two[1]));
            assert!(off.fold(f64::INFINITY, f64::min) <= 0.01 + 1e-12, "{point:?} is far off");
        }
        let straight: Vec<[f64; 2]> = (0..20).map(|i| [f64::from(i), 2.0]).collect();
        assert_eq!(thinned_line(&straight, 0.1), [[0.0, 2.0], [19.0, 2.0]], "a straight line");
        // Back where it came from: the far end is no point to leave out.
        let back = [[0.0, 0.0], [5.0, 0.0], [10.0, 0.0], [0.0, 0.0]];
        assert_eq!(
            thinned_line(&back, 0.1),
            [[0.0, 0.0], [10.0, 0.0], [0.0, 0.0]],
            "there and back"
        );
        assert_eq!(thinned_line(&[[1.0, 2.0]], 0.1), [[1.0, 2.0]], "a dot");
        assert_eq!(thinned_line(&[], 0.1), [[0.0; 2]; 0], "nothing");
    }

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
