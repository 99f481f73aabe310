//! The camera: where it stands, its lens, its light and its tones.

use super::Printed;
use crate::chance::Chance;
use nalgebra::{Matrix3, Vector3};
use plate::light;
use study::calibration::Photo;

/// Reflectances of a grey scale on the table below the sheet.
pub(crate) const GREYS: [f64; 5] = [0.6, 0.35, 0.18, 0.08, 0.035];
/// The sheet reaches so far beyond the plate, mm.
const MARGIN_MM: f64 = 28.0;

/// One way of taking a picture.
#[derive(Clone, Debug)]
pub(crate) struct Camera {
    /// From mm on the plate to pixels of a straight picture.
    to: Matrix3<f64>,
    size: (usize, usize),
    /// The lens takes a place back by this share at the picture's corner.
    pub(crate) bend: f64,
    /// The light falls off to a side by this, and round a middle by this.
    falls_off: (f64, f64),
    towards: f64,
    pub(crate) exposure: f64,
    pub(crate) gamma: f64,
    pub(crate) haze: f64,
    noise: f64,
    pub(crate) blur_px: usize,
    quality: u8,
    /// Red, green and blue of the paper over its luminance.
    tint: [f64; 3],
    table: f64,
    pub(crate) greys: bool,
    /// A spot that shines: middle and radius, mm.
    pub(crate) shine: Option<(f64, f64, f64)>,
}

/// A photograph, and where it was taken from.
pub(crate) struct Taken {
    pub(crate) photo: Photo,
    pub(crate) rgba: Vec<u8>,
    pub(crate) camera: Camera,
}

impl Camera {
    /// As somebody takes a print on a table: whichever way round, by hand, under some lamp, with some camera.
    pub(crate) fn by_chance(
        (w, h): (f64, f64),
        long_px: f64,
        greys: bool,
        chance: &mut Chance,
    ) -> Self {
        let quarter = (4.0 * chance.share()) as u32 % 4;
        let turn = f64::from(quarter) * std::f64::consts::FRAC_PI_2 + 0.1 * (chance.share() - 0.5);
        let (sin, cos) = (libm::sin(turn), libm::cos(turn));
        let (across, along) = if quarter.is_multiple_of(2) { (w, h) } else { (h, w) };
        // Paper on every side, more or less of it.
        let round = 15.0 + 30.0 * chance.share();
        let (seen_w, seen_h) = (across + 2.0 * round, along + 2.0 * round);
        let px_per_mm = long_px / seen_w.max(seen_h);
        let size = ((seen_w * px_per_mm) as usize, (seen_h * px_per_mm) as usize);
        let tilt = |chance: &mut Chance| 0.25 * (chance.share() - 0.5) / (w.max(h));
        let to_middle = Matrix3::new(1.0, 0.0, -0.5 * w, 0.0, 1.0, -0.5 * h, 0.0, 0.0, 1.0);
        let turned = Matrix3::new(
            px_per_mm * cos,
            -px_per_mm * sin,
            0.0,
            px_per_mm * sin,
            px_per_mm * cos,
            0.0,
            tilt(chance),
            tilt(chance),
            1.0,
        );
        let to_picture = Matrix3::new(
            1.0,
            0.0,
            0.5 * size.0 as f64,
            0.0,
            1.0,
            0.5 * size.1 as f64,
            0.0,
            0.0,
            1.0,
        );
        let warm = 0.12 * chance.share() - 0.02;
        let gamma = libm::exp(0.086 * chance.normal());
        Self {
            to: to_picture * turned * to_middle,
            size,
            bend: 0.004 * chance.normal(),
            falls_off: (0.35 * chance.share(), 0.15 * chance.share()),
            towards: std::f64::consts::TAU * chance.share(),
            exposure: 0.55 + 0.35 * chance.share(),
            gamma,
            haze: 0.01 * chance.normal().abs(),
            noise: 0.002 + 0.008 * chance.share(),
            blur_px: (2.0 * chance.share()) as usize,
            quality: 70 + (25.0 * chance.share()) as u8,
            tint: [1.0 + warm, 1.0 - 0.2 * warm, 1.0 - 1.6 * warm],
            table: if chance.share() < 0.5 { 0.06 } else { 0.35 },
            greys,
            shine: None,
        }
    }

    /// A place of a straight picture that a place of this one shows.
    fn straight(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let (mx, my) = (0.5 * self.size.0 as f64, 0.5 * self.size.1 as f64);
        let (dx, dy) = (x - mx, y - my);
        let by = 1.0 - self.bend * (dx * dx + dy * dy) / (mx * mx + my * my);
        (mx + dx * by, my + dy * by)
    }

    /// Where it shows a place of the plate, mm.
    pub(crate) fn to_picture(&self, x: f64, y: f64) -> (f64, f64) {
        let v = self.to * Vector3::new(x, y, 1.0);
        let wanted = (v[0] / v[2], v[1] / v[2]);
        let mut at = wanted;
        for _ in 0..20 {
            let there = self.straight(at);
            at = (at.0 + wanted.0 - there.0, at.1 + wanted.1 - there.1);
        }
        at
    }

    pub(crate) fn corners(&self, (w, h): (f64, f64)) -> [(f64, f64); 4] {
        [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)].map(|(x, y)| self.to_picture(x, y))
    }

    /// Middle of a grey's square of 8 mm, mm on the plate.
    pub(crate) fn grey_at(&self, height_mm: f64, grey: usize) -> (f64, f64) {
        (10.0 + 14.0 * grey as f64, height_mm + 9.0)
    }

    /// Moved by so many mm on the plate, so that part of the print lies outside the picture.
    pub(crate) fn moved(mut self, x_mm: f64, y_mm: f64) -> Self {
        self.to *= Matrix3::new(1.0, 0.0, x_mm, 0.0, 1.0, y_mm, 0.0, 0.0, 1.0);
        self
    }

    fn reflectance(&self, print: &Printed, x: f64, y: f64) -> f64 {
        let (w, h) = print.size_mm;
        let on_sheet = x > -MARGIN_MM && x < w + MARGIN_MM && y > -MARGIN_MM && y < h + MARGIN_MM;
        if !on_sheet {
            return self.table * (1.0 + 0.2 * libm::sin(0.3 * x + 0.05 * y));
        }
        if self.greys && (h + 5.0..h + 13.0).contains(&y) {
            let square = |grey: &usize| (x - self.grey_at(h, *grey).0).abs() < 4.0;
            if let Some(grey) = (0..GREYS.len()).find(square) {
                return GREYS[grey];
            }
        }
        print.at(x, y)
    }

    /// The picture.
    pub(crate) fn take(&self, print: &Printed, chance: &mut Chance) -> Taken {
        let (wide, high) = self.size;
        let back = self.to.try_inverse().expect("a projection");
        let (sin, cos) = (libm::sin(self.towards), libm::cos(self.towards));
        let mut seen = Vec::with_capacity(wide * high);
        for at in 0..wide * high {
            let (px, py) = ((at % wide) as f64, (at / wide) as f64);
            let mut sum = 0.0;
            for (sx, sy) in [(0.25, 0.25), (0.75, 0.25), (0.25, 0.75), (0.75, 0.75)] {
                let (u, v) = self.straight((px + sx, py + sy));
                let place = back * Vector3::new(u, v, 1.0);
                let (x, y) = (place[0] / place[2], place[1] / place[2]);
                let shines = |(cx, cy, r): (f64, f64, f64)| libm::hypot(x - cx, y - cy) < r;
                // Far above white.
                let shine = if self.shine.is_some_and(shines) { 1.2 } else { 0.0 };
                sum += 0.25 * (self.reflectance(print, x, y) / print.paper + shine);
            }
            // Lamps fall off over the sheet, lenses towards the corners.
            let (u, v) = (px / wide as f64 - 0.5, py / high as f64 - 0.5);
            let light = 1.0
                - self.falls_off.0 * (0.5 + u * cos + v * sin)
                - self.falls_off.1 * (u * u + v * v);
            let share = sum * (1.0 - self.haze) + self.haze;
            seen.push(self.exposure * light * libm::pow(share, self.gamma));
        }
        for _ in 0..self.blur_px {
            seen = blurred(&seen, wide);
        }
        let codes = light::Srgb8Table::shared();
        let mut rgb = Vec::with_capacity(3 * wide * high);
        for light in seen {
            let light = light + self.noise * libm::sqrt(light) * chance.normal();
            rgb.extend(self.tint.map(|tint| codes.encode((light * tint).clamp(0.0, 1.0) as f32)));
        }
        let mut rgba = jpeg(&rgb, wide, high, self.quality);
        assert_eq!(rgba.len(), 4 * wide * high, "four bytes a pixel");
        rgba.shrink_to_fit();
        let photo = Photo::from_rgba(&rgba, wide, high).expect("a whole picture");
        Taken { photo, rgba, camera: self.clone() }
    }
}

/// A quarter of each neighbour and half of the own.
fn blurred(from: &[f64], wide: usize) -> Vec<f64> {
    let high = from.len() / wide;
    let at = |x: usize, y: usize| from[y.min(high - 1) * wide + x.min(wide - 1)];
    let weights = [0.25, 0.5, 0.25];
    (0..from.len())
        .map(|i| {
            let (x, y) = (i % wide + 1, i / wide + 1);
            let mut sum = 0.0;
            for (j, down) in weights.iter().enumerate() {
                for (k, across) in weights.iter().enumerate() {
                    sum += down * across * at((x + k).saturating_sub(2), (y + j).saturating_sub(2));
                }
            }
            sum
        })
        .collect()
}

/// Through a JPEG file and back, with alpha.
fn jpeg(rgb: &[u8], wide: usize, high: usize, quality: u8) -> Vec<u8> {
    let mut file = Vec::new();
    let encoder = jpeg_encoder::Encoder::new(&mut file, quality);
    let size = (wide.try_into().expect("narrow"), high.try_into().expect("low"));
    encoder.encode(rgb, size.0, size.1, jpeg_encoder::ColorType::Rgb).expect("a JPEG file");
    let back = zune_jpeg::JpegDecoder::new(std::io::Cursor::new(file)).decode().expect("a picture");
    back.chunks_exact(3).flat_map(|p| [p[0], p[1], p[2], 255]).collect()
}
