//! Where a part of the drawing lies in pixels, and how much of each a shape covers.

use super::brush::Point;

/// How units turn into pixels.
#[derive(Clone, Copy)]
pub(super) struct View {
    pub(super) px_per_unit: f32,
    pub(super) left: f32,
    pub(super) top: f32,
}

/// A rectangle of the picture's pixels.
#[derive(Clone, Copy)]
pub(super) struct Frame {
    view: View,
    left_px: i32,
    top_px: i32,
    pub(super) width: usize,
    pub(super) height: usize,
}

impl Frame {
    /// Over the units from the top left to the bottom right.
    pub(super) fn new(view: View, from: Point, until: Point) -> Self {
        let px = |unit: f32, edge: f32| libm::floorf((unit - edge) * view.px_per_unit) as i32;
        let (left_px, top_px) = (px(from.0, view.left), px(from.1, view.top));
        let width = (px(until.0, view.left) + 1 - left_px).max(1) as usize;
        let height = (px(until.1, view.top) + 1 - top_px).max(1) as usize;
        Self { view, left_px, top_px, width, height }
    }

    /// So many pixels from the picture's top left.
    pub(super) fn of_pixels(view: View, width: usize, height: usize) -> Self {
        Self { view, left_px: 0, top_px: 0, width, height }
    }

    /// One of the same size at the picture's top left.
    pub(super) fn at_corner(self) -> Self {
        Self { left_px: 0, top_px: 0, ..self }
    }

    /// Units at the middle of a pixel.
    pub(super) fn unit(&self, column: usize, row: usize) -> Point {
        let at = |index: usize, first: i32, edge: f32| {
            ((index as i32 + first) as f32 + 0.5) / self.view.px_per_unit + edge
        };
        (at(column, self.left_px, self.view.left), at(row, self.top_px, self.view.top))
    }

    /// Units across at the middle of each column.
    pub(super) fn across(&self) -> Vec<f32> {
        (0..self.width).map(|column| self.unit(column, 0).0).collect()
    }

    /// Pixels from the middle of the first one to a place across and down.
    #[inline]
    pub(super) fn px(&self, at: Point) -> Point {
        (
            (at.0 - self.view.left) * self.view.px_per_unit - self.left_px as f32 - 0.5,
            (at.1 - self.view.top) * self.view.px_per_unit - self.top_px as f32 - 0.5,
        )
    }

    /// Pixels that so many units come to.
    pub(super) fn length_px(&self, units: f32) -> f32 {
        units * self.view.px_per_unit
    }

    /// How far right and down of this frame's first pixel another's lies.
    pub(super) fn to(&self, other: &Self) -> (i32, i32) {
        (other.left_px - self.left_px, other.top_px - self.top_px)
    }

    /// Tells of every pixel that a closed shape covers, by its place in the raster and the exact area covered, 0–1.
    /// `areas` is room to work in.
    pub(super) fn cover(
        &self,
        shape: &[Point],
        areas: &mut Vec<f32>,
        mut then: impl FnMut(usize, f32),
    ) {
        let points: Vec<Point> = shape
            .iter()
            .map(|(x, y)| {
                (
                    (x - self.view.left) * self.view.px_per_unit - self.left_px as f32,
                    (y - self.view.top) * self.view.px_per_unit - self.top_px as f32,
                )
            })
            .collect();
        let (mut low, mut high) = ((f32::MAX, f32::MAX), (f32::MIN, f32::MIN));
        for (x, y) in &points {
            low = (low.0.min(*x), low.1.min(*y));
            high = (high.0.max(*x), high.1.max(*y));
        }
        let bound = |at: f32, most: usize| at.clamp(0.0, most as f32) as usize;
        let (left, top) =
            (bound(libm::floorf(low.0), self.width), bound(libm::floorf(low.1), self.height));
        let right = bound(libm::ceilf(high.0), self.width);
        let bottom = bound(libm::ceilf(high.1), self.height);
        if left >= right || top >= bottom {
            return;
        }
        let pitch = right - left + 2;
        areas.clear();
        areas.resize(pitch * (bottom - top), 0.0);
        for (i, from) in points.iter().enumerate() {
            let to = points[(i + 1) % points.len()];
            let shift = |p: Point| (p.0 - left as f32, p.1 - top as f32);
            add_edge(areas, pitch, bottom - top, shift(*from), shift(to));
        }
        for (row, line) in areas.chunks_exact(pitch).enumerate() {
            let mut sum = 0.0_f32;
            let start = (top + row) * self.width + left;
            for (k, area) in line[..right - left].iter().enumerate() {
                sum += area;
                let cover = sum.abs().min(1.0);
                if cover > 0.002 {
                    then(start + k, cover);
                }
            }
        }
    }
}

/// Adds one edge of a shape: signed area covered in each pixel and carried to all on its right.
fn add_edge(areas: &mut [f32], pitch: usize, rows: usize, a: Point, b: Point) {
    if a.1 == b.1 {
        return;
    }
    let (sign, a, b) = if a.1 < b.1 { (1.0, a, b) } else { (-1.0, b, a) };
    let slope = (b.0 - a.0) / (b.1 - a.1);
    let most = (pitch - 2) as f32;
    let first = a.1.max(0.0) as usize;
    let last = (libm::ceilf(b.1).max(0.0) as usize).min(rows);
    for row in first..last {
        let (from_y, to_y) = (a.1.max(row as f32), b.1.min(row as f32 + 1.0));
        let d = (to_y - from_y) * sign;
        let x = (a.0 + (from_y - a.1) * slope).clamp(0.0, most);
        let x_next = (a.0 + (to_y - a.1) * slope).clamp(0.0, most);
        let (x0, x1) = if x < x_next { (x, x_next) } else { (x_next, x) };
        let line = &mut areas[row * pitch..][..pitch];
        let (i, end) = (x0 as usize, libm::ceilf(x1) as usize);
        if end <= i + 1 {
            let right = 0.5 * (x0 + x1) - i as f32;
            line[i] += d * (1.0 - right);
            line[i + 1] += d * right;
            continue;
        }
        // The edge crosses several pixels of the row: what each has gathered is the integral of
        // the covered part up to its right side.
        let per_px = 1.0 / (x1 - x0);
        let (mut before, mut covered) = (0.0, 0.0);
        for (k, area) in line[i..=end].iter_mut().enumerate() {
            let until = (i + k) as f32 + 1.0;
            let inside = (until.min(x1) - x0).max(0.0);
            let gathered = 0.5 * inside * inside * per_px + (until - x1).max(0.0);
            *area += d * (gathered - before - covered);
            (covered, before) = (gathered - before, gathered);
        }
    }
}
