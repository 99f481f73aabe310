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

/// A line with as few points as keep every one left out within `tolerance_mm` of it (Douglas & Peucker 1973);
/// both ends stay.
#[must_use]
pub fn thinned(points_mm: &[[f64; 2]], tolerance_mm: f64) -> Vec<[f64; 2]> {
    let mut kept = vec![false; points_mm.len()];
    let mut open = Vec::new();
    if let Some(last) = points_mm.len().checked_sub(1) {
        (kept[0], kept[last]) = (true, true);
        open.push((0, last));
    }
    while let Some((from, to)) = open.pop() {
        let (mut worst, mut at) = (tolerance_mm * tolerance_mm, None);
        for i in from + 1..to {
            let off = off_line(points_mm[i], points_mm[from], points_mm[to]);
            if off > worst {
                (worst, at) = (off, Some(i));
            }
        }
        if let Some(i) = at {
            kept[i] = true;
            open.extend([(from, i), (i, to)]);
        }
    }
    points_mm.iter().zip(kept).filter(|(_, kept)| *kept).map(|(point, _)| *point).collect()
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

    #[test]
    fn a_drawn_line_is_thinned_within_its_tolerance() {
        // A bow 50 mm wide and as high.
        let bow = |i: i32| [0.5 * f64::from(i), 0.02 * (0.5 * f64::from(i)) * (0.5 * f64::from(i))];
        let arc: Vec<[f64; 2]> = (0..=100).map(bow).collect();
        let thin = thinned(&arc, 0.1);
        assert!((5..20).contains(&thin.len()), "{} of 101 points", thin.len());
        assert_eq!((thin[0], thin[thin.len() - 1]), (arc[0], arc[100]), "both ends stay");
        for point in &arc {
            let off = thin.windows(2).map(|two| off_line(*point, two[0], two[1]));
            assert!(off.fold(f64::INFINITY, f64::min) <= 0.01 + 1e-12, "{point:?} is far off");
        }
        let straight: Vec<[f64; 2]> = (0..20).map(|i| [f64::from(i), 2.0]).collect();
        assert_eq!(thinned(&straight, 0.1), [[0.0, 2.0], [19.0, 2.0]], "a straight line");
        // Back where it came from: the far end is no point to leave out.
        let back = [[0.0, 0.0], [5.0, 0.0], [10.0, 0.0], [0.0, 0.0]];
        assert_eq!(thinned(&back, 0.1), [[0.0, 0.0], [10.0, 0.0], [0.0, 0.0]], "there and back");
        assert_eq!(thinned(&[[1.0, 2.0]], 0.1), [[1.0, 2.0]], "a dot");
        assert_eq!(thinned(&[], 0.1), [[0.0; 2]; 0], "nothing");
    }

    #[test]
    fn a_stroke_out_and_back_keeps_its_far_end() {
        let back = [[0.0, 0.0], [10.0, 0.0], [5.0, 0.0]];
        assert_eq!(as_worked(&back), back, "what is worked twice is worked");
    }
}
