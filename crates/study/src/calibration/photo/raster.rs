//! The picture itself: its light, pixel by pixel, and over rectangles of the plate.

use super::{Homography, wrong};
use plan::Diagnostic;
use plate::light;

/// Luminance of linear sRGB light (IEC 61966-2-1:1999).
const RED: f32 = 0.2126;
const GREEN: f32 = 0.7152;
const BLUE: f32 = 0.0722;

/// A picture in linear light, 0–1.
#[derive(Clone, Debug, PartialEq)]
pub struct Photo {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) linear: Vec<f32>,
}

impl Photo {
    /// From 8-bit sRGB with alpha, which is not looked at.
    ///
    /// # Errors
    /// A sentence when the size and the pixels do not agree or there is nothing.
    pub fn from_rgba(rgba: &[u8], width: usize, height: usize) -> Result<Self, Diagnostic> {
        if width == 0
            || height == 0
            || width.checked_mul(height).and_then(|n| n.checked_mul(4)) != Some(rgba.len())
        {
            return Err(wrong(
                "photo.broken",
                "This picture is empty or broken.",
                "Save it anew as PNG or JPEG.",
            ));
        }
        let of_code: Vec<f32> =
            (0..256).map(|code| light::linear_of_srgb(f64::from(code) / 255.0) as f32).collect();
        let linear = rgba
            .chunks_exact(4)
            .map(|p| {
                let [r, g, b] = [p[0], p[1], p[2]].map(|code| of_code[usize::from(code)]);
                RED * r + GREEN * g + BLUE * b
            })
            .collect();
        Ok(Self { width, height, linear })
    }

    /// Width and height, pixels.
    #[must_use]
    pub fn size(&self) -> (usize, usize) {
        (self.width, self.height)
    }

    pub(crate) fn holds(&self, (x, y): (f64, f64)) -> bool {
        x >= 0.0 && y >= 0.0 && x <= self.width as f64 && y <= self.height as f64
    }

    /// Light at a place, between the four nearest pixels' middles.
    pub(crate) fn at(&self, (x, y): (f64, f64)) -> f64 {
        let fx = (x - 0.5).clamp(0.0, (self.width - 1) as f64);
        let fy = (y - 0.5).clamp(0.0, (self.height - 1) as f64);
        let (left, top) = (fx as usize, fy as usize);
        let (right, under) = ((left + 1).min(self.width - 1), (top + 1).min(self.height - 1));
        let (u, v) = (fx - left as f64, fy - top as f64);
        let pixel = |x: usize, y: usize| f64::from(self.linear[y * self.width + x]);
        let above = pixel(left, top) * (1.0 - u) + pixel(right, top) * u;
        let below = pixel(left, under) * (1.0 - u) + pixel(right, under) * u;
        above * (1.0 - v) + below * v
    }

    /// Mean light over a rectangle of the plate, mm, by samples about a pixel apart.
    pub(crate) fn mean(
        &self,
        map: &Homography,
        (left, top): (f64, f64),
        (width, height): (f64, f64),
    ) -> f64 {
        let px_per_mm = map.px_per_mm(left + 0.5 * width, top + 0.5 * height);
        let count = |mm: f64| libm::ceil(mm * px_per_mm).clamp(3.0, 40.0) as usize;
        let (across, down) = (count(width), count(height));
        let mut sum = 0.0;
        for j in 0..down {
            for i in 0..across {
                let x = left + width * (i as f64 + 0.5) / across as f64;
                let y = top + height * (j as f64 + 0.5) / down as f64;
                sum += self.at(map.to_picture(x, y));
            }
        }
        sum / (across * down) as f64
    }
}

#[cfg(test)]
mod tests {
    use super::{Homography, Photo};

    /// Closed form: light that changes evenly has its mean over a rectangle in the rectangle's middle.
    #[test]
    fn the_mean_over_a_rectangle_is_the_light_in_its_middle() {
        let (width, height) = (80, 60);
        let light = |x: f64, y: f64| 0.1 + 0.008 * x + 0.004 * y;
        let middles = (0..width * height)
            .map(|i| light((i % width) as f64 + 0.5, (i / width) as f64 + 0.5) as f32);
        let photo = Photo { width, height, linear: middles.collect() };
        // A plate of 12 by 9 mm, turned, 4 and 5 pixels a mm.
        let corner = |x: f64, y: f64| (30.0 + 3.2 * x - 3.0 * y, 5.0 + 2.4 * x + 4.0 * y);
        let corners = [corner(0.0, 0.0), corner(12.0, 0.0), corner(12.0, 9.0), corner(0.0, 9.0)];
        let map = Homography::new(12.0, 9.0, &corners).expect("a plate");
        for (left, top, wide, high) in
            [(0.5, 0.5, 1.5, 1.5), (7.0, 3.0, 4.0, 2.0), (2.0, 4.0, 0.3, 4.5), (4.0, 1.0, 5.0, 0.2)]
        {
            let (x, y) = corner(left + 0.5 * wide, top + 0.5 * high);
            let (found, expected) = (photo.mean(&map, (left, top), (wide, high)), light(x, y));
            assert!((found - expected).abs() < 1e-6, "{found}, not {expected}, at {left}, {top}");
        }
        // Beyond the outermost pixels' middles it is theirs.
        let ends = [(0.0, 0.0), (1e3, 0.0), (0.0, 1e3), (1e3, 1e3)];
        for ((x, y), (right, bottom)) in ends.into_iter().zip([(0, 0), (1, 0), (0, 1), (1, 1)]) {
            let (column, row) = (right * (width - 1), bottom * (height - 1));
            assert_eq!(photo.at((x, y)), f64::from(photo.linear[row * width + column]), "{x}, {y}");
        }
    }
}
