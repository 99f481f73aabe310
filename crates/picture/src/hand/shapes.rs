//! Strokes and outlines as straight pieces, and where they lie along a row.

use super::Bounds;
use plan::{AreaShape, ShapeKind};

/// Straight pieces to each stretch of a smooth outline.
const PIECES: usize = 12;

/// A shape in straight pieces, µm as printed.
#[derive(Clone, Debug)]
pub(super) struct Flat {
    pub(super) away: bool,
    /// Half the brush's width; 0 for an outline.
    half_um: f64,
    /// From point to point; an outline's last leads back to its first.
    pieces: Vec<[f64; 4]>,
    pub(super) bounds: Bounds,
}

impl Flat {
    pub(super) fn new(shape: &AreaShape) -> Self {
        let points: Vec<[f64; 2]> =
            shape.points_mm.chunks_exact(2).map(|p| [p[0] * 1000.0, p[1] * 1000.0]).collect();
        let points = if shape.kind == ShapeKind::Curve { smooth(&points) } else { points };
        let brush = shape.kind == ShapeKind::Brush;
        let half_um = if brush { shape.brush_mm * 500.0 } else { 0.0 };
        let mut pieces: Vec<[f64; 4]> =
            points.windows(2).map(|p| [p[0][0], p[0][1], p[1][0], p[1][1]]).collect();
        match points.as_slice() {
            // A dab of the brush.
            [only] if brush => pieces.push([only[0], only[1], only[0], only[1]]),
            [first, .., last] if !brush => pieces.push([last[0], last[1], first[0], first[1]]),
            _ => {}
        }
        let mut bounds = Bounds {
            left: f64::INFINITY,
            top: f64::INFINITY,
            right: f64::NEG_INFINITY,
            bottom: f64::NEG_INFINITY,
        };
        for [x, y] in &points {
            bounds = Bounds {
                left: bounds.left.min(x - half_um),
                top: bounds.top.min(y - half_um),
                right: bounds.right.max(x + half_um),
                bottom: bounds.bottom.max(y + half_um),
            };
        }
        Self { away: shape.away, half_um, pieces, bounds }
    }

    /// The part of the shape that matters in a window; `None` when nothing of it does.
    pub(super) fn within(&self, window: &Bounds) -> Option<Self> {
        if !self.bounds.meets(window) {
            return None;
        }
        let half = self.half_um;
        let matters = |[x0, y0, x1, y1]: &[f64; 4]| {
            let beside = half > 0.0
                && (x0.max(*x1) + half < window.left || x0.min(*x1) - half > window.right);
            y0.min(*y1) - half <= window.bottom && y0.max(*y1) + half >= window.top && !beside
        };
        Some(Self { pieces: self.pieces.iter().copied().filter(matters).collect(), ..*self })
    }

    /// Gives every stretch of a row that lies inside: from, until, µm.
    pub(super) fn row(
        &self,
        y_um: f64,
        crossings: &mut Vec<(f64, i32)>,
        mut inside: impl FnMut(f64, f64),
    ) {
        if self.half_um > 0.0 {
            for piece in &self.pieces {
                if let Some((from, until)) = capsule(piece, self.half_um, y_um) {
                    inside(from, until);
                }
            }
            return;
        }
        crossings.clear();
        for [x0, y0, x1, y1] in &self.pieces {
            if (*y0 <= y_um) != (*y1 <= y_um) {
                let x = x0 + (y_um - y0) * (x1 - x0) / (y1 - y0);
                let turn = if y1 > y0 { 1 } else { -1 };
                let place = crossings.iter().position(|(other, _)| *other > x);
                crossings.insert(place.unwrap_or(crossings.len()), (x, turn));
            }
        }
        // Inside wherever the outline winds round at all, so that one crossing itself has no holes.
        let (mut winding, mut from) = (0, 0.0);
        for (x, turn) in crossings.iter() {
            if winding == 0 {
                from = *x;
            }
            winding += turn;
            if winding == 0 {
                inside(from, *x);
            }
        }
    }
}

/// The rectangle round shapes; `None` without any.
pub(super) fn bounds(shapes: &[Flat]) -> Option<Bounds> {
    shapes.iter().map(|shape| shape.bounds).reduce(|a, b| Bounds {
        left: a.left.min(b.left),
        top: a.top.min(b.top),
        right: a.right.max(b.right),
        bottom: a.bottom.max(b.bottom),
    })
}

/// The stretch of a row that a round brush covers between two points: that of the two discs and of
/// the straight band between them, which together are one.
fn capsule([x0, y0, x1, y1]: &[f64; 4], half: f64, y: f64) -> Option<(f64, f64)> {
    let (mut from, mut until) = (f64::INFINITY, f64::NEG_INFINITY);
    for (cx, cy) in [(x0, y0), (x1, y1)] {
        let off = y - cy;
        if off.abs() <= half {
            let reach = libm::sqrt(half * half - off * off);
            from = from.min(cx - reach);
            until = until.max(cx + reach);
        }
    }
    let (dx, dy) = (x1 - x0, y1 - y0);
    let length = libm::sqrt(dx * dx + dy * dy);
    if length > 0.0 {
        let (nx, ny) = (-dy / length * half, dx / length * half);
        let corners =
            [(x0 + nx, y0 + ny), (x1 + nx, y1 + ny), (x1 - nx, y1 - ny), (x0 - nx, y0 - ny)];
        for i in 0..4 {
            let ((ax, ay), (bx, by)) = (corners[i], corners[(i + 1) % 4]);
            if (ay <= y) != (by <= y) {
                let x = ax + (y - ay) * (bx - ax) / (by - ay);
                from = from.min(x);
                until = until.max(x);
            }
        }
    }
    (from <= until).then_some((from, until))
}

/// A closed smooth curve through points (Catmull & Rom 1974, as cubic Bézier stretches), in straight
/// pieces.
fn smooth(points: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let count = points.len();
    let at = |i: usize| points[i % count];
    let mut out = Vec::with_capacity(count * PIECES);
    for i in 0..count {
        let [before, from, to, after] = [at(i + count - 1), at(i), at(i + 1), at(i + 2)];
        for step in 0..PIECES {
            let t = step as f64 / PIECES as f64;
            let u = 1.0 - t;
            let coordinate = |k: usize| {
                let first = from[k] + (to[k] - before[k]) / 6.0;
                let second = to[k] - (after[k] - from[k]) / 6.0;
                u * u * u * from[k]
                    + 3.0 * u * u * t * first
                    + 3.0 * u * t * t * second
                    + t * t * t * to[k]
            };
            out.push([coordinate(0), coordinate(1)]);
        }
    }
    out
}
