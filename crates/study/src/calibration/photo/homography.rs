//! From places on the plate to places in the picture, and back.

/// A projection of a flat plate, in mm, into a picture, in pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Homography {
    to: [f64; 9],
    back: [f64; 9],
}

impl Homography {
    /// The projection that takes a plate's corners (top left, then clockwise) to these pixels; `None`
    /// when three of them lie on a line.
    ///
    /// Closed form: P. S. Heckbert, Fundamentals of Texture Mapping and Image Warping, 1989, §2.2.3.
    #[must_use]
    pub fn new(width_mm: f64, height_mm: f64, corners: &[(f64, f64); 4]) -> Option<Self> {
        let [(x0, y0), (x1, y1), (x2, y2), (x3, y3)] = *corners;
        let (dx1, dx2, sx) = (x1 - x2, x3 - x2, x0 - x1 + x2 - x3);
        let (dy1, dy2, sy) = (y1 - y2, y3 - y2, y0 - y1 + y2 - y3);
        let down = dx1 * dy2 - dx2 * dy1;
        if down.abs() < 1e-9 || down.is_nan() {
            return None;
        }
        let g = (sx * dy2 - dx2 * sy) / down;
        let h = (dx1 * sy - sx * dy1) / down;
        // From the unit square; then the plate's size goes in.
        let (w, t) = (1.0 / width_mm, 1.0 / height_mm);
        let to = [
            (x1 - x0 + g * x1) * w,
            (x3 - x0 + h * x3) * t,
            x0,
            (y1 - y0 + g * y1) * w,
            (y3 - y0 + h * y3) * t,
            y0,
            g * w,
            h * t,
            1.0,
        ];
        let [a, b, c, d, e, f, g, h, i] = to;
        // The adjoint serves as inverse: a scale cancels.
        let back = [
            e * i - f * h,
            c * h - b * i,
            b * f - c * e,
            f * g - d * i,
            a * i - c * g,
            c * d - a * f,
            d * h - e * g,
            b * g - a * h,
            a * e - b * d,
        ];
        let whole = a * back[0] + b * back[3] + c * back[6];
        (whole.abs() > 1e-12).then_some(Self { to, back })
    }

    /// The projection's numbers, row by row.
    pub(crate) fn numbers(&self) -> [f64; 9] {
        self.to
    }

    /// Where a place of the plate, mm, lies in the picture, pixels.
    #[must_use]
    pub fn to_picture(&self, x_mm: f64, y_mm: f64) -> (f64, f64) {
        let (x, y, w) = project(&self.to, x_mm, y_mm);
        (x / w, y / w)
    }

    /// Where a pixel lies on the plate, mm; `None` beyond its horizon.
    #[must_use]
    pub fn to_plate(&self, x_px: f64, y_px: f64) -> Option<(f64, f64)> {
        let (x, y, w) = project(&self.back, x_px, y_px);
        let (_, _, before) = project(&self.to, x / w, y / w);
        (before > 0.0).then_some((x / w, y / w))
    }

    /// How many pixels one mm is there, along the finer side.
    pub(crate) fn px_per_mm(&self, x_mm: f64, y_mm: f64) -> f64 {
        let (x, y) = self.to_picture(x_mm, y_mm);
        let (rx, ry) = self.to_picture(x_mm + 0.5, y_mm);
        let (ux, uy) = self.to_picture(x_mm, y_mm + 0.5);
        2.0 * libm::hypot(rx - x, ry - y).max(libm::hypot(ux - x, uy - y))
    }
}

/// Where numbers row by row take a place: x and y times w, and w.
pub(crate) fn project(m: &[f64; 9], x: f64, y: f64) -> (f64, f64, f64) {
    (m[0] * x + m[1] * y + m[2], m[3] * x + m[4] * y + m[5], m[6] * x + m[7] * y + m[8])
}

#[cfg(test)]
mod tests {
    use super::Homography;

    /// Closed form: where a picture is not skewed in depth, a mm along a side of the plate is as many pixels long as
    /// that side's image, by its mm.
    #[test]
    fn a_mm_is_as_many_pixels_as_on_the_finer_side() {
        let (width_mm, height_mm) = (40.0, 25.0);
        for (across, down, finer) in [
            // Upright, finer across and finer down; turned by a right angle and by 3 : 4 : 5; sheared.
            ((6.0, 0.0), (0.0, 4.0), 6.0),
            ((4.0, 0.0), (0.0, 7.0), 7.0),
            ((0.0, 5.0), (-3.0, 0.0), 5.0),
            ((6.0, 8.0), (-4.0, 3.0), 10.0),
            ((-3.0, 4.0), (-9.0, -12.0), 15.0),
        ] {
            let corner = |x: f64, y: f64| {
                (900.0 + x * across.0 + y * down.0, 700.0 + x * across.1 + y * down.1)
            };
            let corners = [
                corner(0.0, 0.0),
                corner(width_mm, 0.0),
                corner(width_mm, height_mm),
                corner(0.0, height_mm),
            ];
            let map = Homography::new(width_mm, height_mm, &corners).expect("a plate");
            for (x, y) in [(0.0, 0.0), (13.0, 21.0), (-6.0, 30.0)] {
                let found = map.px_per_mm(x, y);
                assert!((found - finer).abs() < 1e-6, "{found} px, not {finer}, at {x}, {y}");
            }
        }
    }
}
