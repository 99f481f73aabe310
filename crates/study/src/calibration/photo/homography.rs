//! From places on the plate to places in the picture, and back.

/// How a lens bends straight lines: a place lies farther from the middle of the picture than a straight projection has it by
/// a share that grows as the square of that distance (the first term of D. C. Brown, Photogramm. Eng. 32 (1966) 444).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Lens {
    middle: (f64, f64),
    bend: f64,
    per_px2: f64,
}

impl Lens {
    /// Of a picture of this size, pixels, with this share at its corners.
    pub(crate) fn new((width, height): (usize, usize), bend: f64) -> Self {
        let (x, y) = (0.5 * width as f64, 0.5 * height as f64);
        Self { middle: (x, y), bend, per_px2: bend / (x * x + y * y) }
    }

    /// That share.
    pub(crate) fn bend(&self) -> f64 {
        self.bend
    }

    /// Where it shows a place, pixels.
    pub(crate) fn bent(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let (dx, dy) = (x - self.middle.0, y - self.middle.1);
        let by = self.per_px2 * (dx * dx + dy * dy);
        (x + by * dx, y + by * dy)
    }

    /// By how much it moves a place for a bend of 1 more.
    pub(crate) fn moves(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let (dx, dy) = (x - self.middle.0, y - self.middle.1);
        let (mx, my) = self.middle;
        let by = (dx * dx + dy * dy) / (mx * mx + my * my).max(1.0);
        (by * dx, by * dy)
    }

    /// The place that it shows there.
    fn straightened(&self, seen: (f64, f64)) -> (f64, f64) {
        let mut at = seen;
        for _ in 0..STRAIGHTENED {
            let (x, y) = self.bent(at);
            at = (at.0 + seen.0 - x, at.1 + seen.1 - y);
        }
        at
    }
}

/// Each time what is left of a bend shrinks by some hundred times.
const STRAIGHTENED: usize = 5;

/// A projection of a flat plate, in mm, into a picture, in pixels, through a lens that may bend it a little.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Homography {
    to: [f64; 9],
    back: [f64; 9],
    lens: Lens,
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
        (whole.abs() > 1e-12).then_some(Self { to, back, lens: Lens::default() })
    }

    /// The same of corners as a lens shows them.
    pub(crate) fn through(
        width_mm: f64,
        height_mm: f64,
        corners: &[(f64, f64); 4],
        lens: Lens,
    ) -> Option<Self> {
        let straight = corners.map(|corner| lens.straightened(corner));
        Some(Self { lens, ..Self::new(width_mm, height_mm, &straight)? })
    }

    /// The projection's numbers, row by row.
    pub(crate) fn numbers(&self) -> [f64; 9] {
        self.to
    }

    /// The lens it is seen through.
    pub(crate) fn lens(&self) -> Lens {
        self.lens
    }

    /// Where a place of the plate, mm, lies in the picture, pixels.
    #[must_use]
    pub fn to_picture(&self, x_mm: f64, y_mm: f64) -> (f64, f64) {
        let (x, y, w) = project(&self.to, x_mm, y_mm);
        self.lens.bent((x / w, y / w))
    }

    /// Where a pixel lies on the plate, mm; `None` beyond its horizon.
    #[must_use]
    pub fn to_plate(&self, x_px: f64, y_px: f64) -> Option<(f64, f64)> {
        let (x_px, y_px) = self.lens.straightened((x_px, y_px));
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
