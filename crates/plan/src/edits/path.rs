//! Drawn paths as a plan keeps them.

use crate::states::MAX_POINTS;

/// How far a path may be off the one drawn, mm, where it has few points.
const TOLERANCE_MM: f64 = 0.1;

/// A path in whole tenths of a millimetre, with no more points than a plan may have.
pub(super) fn as_worked(points_mm: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let mut tolerance_mm = TOLERANCE_MM;
    let mut kept = thinned(points_mm, tolerance_mm);
    while kept.len() > MAX_POINTS {
        tolerance_mm *= 2.0;
        kept = thinned(points_mm, tolerance_mm);
    }
    // Adding zero makes 0 of −0.
    let tenth = |mm: f64| (mm * 10.0).round() / 10.0 + 0.0;
    kept.iter().map(|point| point.map(tenth)).collect()
}

/// The path without points that lie within `tolerance_mm` of it (Douglas & Peucker 1973).
fn thinned(points_mm: &[[f64; 2]], tolerance_mm: f64) -> Vec<[f64; 2]> {
    let mut kept = vec![false; points_mm.len()];
    let mut open = Vec::new();
    if let Some(last) = points_mm.len().checked_sub(1) {
        (kept[0], kept[last]) = (true, true);
        open.push((0, last));
    }
    while let Some((from, to)) = open.pop() {
        let farthest = (from + 1..to)
            .map(|i| (i, off_mm(points_mm[i], points_mm[from], points_mm[to])))
            .fold((0, tolerance_mm), |most, next| if next.1 > most.1 { next } else { most });
        if farthest.0 > 0 {
            kept[farthest.0] = true;
            open.extend([(from, farthest.0), (farthest.0, to)]);
        }
    }
    points_mm.iter().zip(kept).filter(|(_, kept)| *kept).map(|(point, _)| *point).collect()
}

/// How far a point lies off the line from `a` to `b`, or off `a` where both are one.
fn off_mm(point: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    let ([dx, dy], [x, y]) = ([b[0] - a[0], b[1] - a[1]], [point[0] - a[0], point[1] - a[1]]);
    let length = (dx * dx + dy * dy).sqrt();
    if length > 0.0 { (dx * y - dy * x).abs() / length } else { (x * x + y * y).sqrt() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_drawn_path_keeps_its_corners_and_few_points() {
        let line: Vec<[f64; 2]> = (0..500).map(|i| [0.1 * f64::from(i), 20.0]).collect();
        assert_eq!(as_worked(&line), [[0.0, 20.0], [49.9, 20.0]], "straight");
        let corner = [[0.0, 0.0], [5.02, 0.03], [10.04, 0.0], [10.0, 10.0]];
        assert_eq!(as_worked(&corner), [[0.0, 0.0], [10.0, 0.0], [10.0, 10.0]], "with a corner");
        let wild: Vec<[f64; 2]> =
            (0..5000).map(|i| [f64::from(i % 83), f64::from(i * 31 % 97)]).collect();
        let kept = as_worked(&wild);
        assert!(kept.len() <= MAX_POINTS && kept.len() > 1, "{} points", kept.len());
        assert_eq!(as_worked(&[[-0.01, 3.0]]), [[0.0, 3.0]], "a dab, and no −0");
        assert!(as_worked(&[]).is_empty(), "nothing");
    }
}
