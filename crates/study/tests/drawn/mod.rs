//! Photographs of a step plate's print, drawn pixel by pixel.
#![allow(dead_code, reason = "each test file uses its own part")]

use nalgebra::{Matrix3, Vector3};
use plate::light;
use rand::RngExt;
use rand_pcg::Pcg32;
use std::sync::OnceLock;
use study::calibration::{Layout, Photo};

pub(crate) const SIZE: (usize, usize) = (1500, 820);
pub(crate) const PAPER: f64 = 0.85;

/// From mm on the plate to pixels: a camera held askew.
pub(crate) fn askew() -> Matrix3<f64> {
    Matrix3::new(8.6, 0.7, 120.0, -0.55, 8.2, 210.0, 2.2e-4, -4.5e-4, 1.0)
}

pub(crate) fn to_picture(m: &Matrix3<f64>, x: f64, y: f64) -> (f64, f64) {
    let v = m * Vector3::new(x, y, 1.0);
    (v[0] / v[2], v[1] / v[2])
}

pub(crate) fn corners(m: &Matrix3<f64>, on: &Layout) -> [(f64, f64); 4] {
    let (w, h) = (on.width_mm, on.height_mm);
    [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)].map(|(x, y)| to_picture(m, x, y))
}

/// How the picture is spoilt.
pub(crate) struct Spoilt {
    pub(crate) haze: f64,
    pub(crate) falls_off: f64,
    pub(crate) specks: bool,
    pub(crate) exposure: f64,
    /// Grain finer than a pixel.
    pub(crate) fine_grain: bool,
    /// What the camera's tone curve makes of the paper's share of light: its power.
    pub(crate) gamma: f64,
    /// Reflectances of a grey scale under the sheet: see [`scale_at`].
    pub(crate) greys: Vec<f64>,
}

impl Spoilt {
    /// Not at all: to be changed.
    pub(crate) fn not() -> Self {
        let (haze, falls_off, exposure, gamma) = (0.0, 0.0, 0.85, 1.0);
        let (specks, fine_grain, greys) = (false, true, Vec::new());
        Self { haze, falls_off, specks, exposure, fine_grain, gamma, greys }
    }
}

/// Middle of a grey's square of 8 mm, mm on the plate.
pub(crate) fn scale_at(on: &Layout, grey: usize) -> (f64, f64) {
    (20.0 + 16.0 * grey as f64, on.height_mm + 24.0)
}

pub(crate) fn draw(m: &Matrix3<f64>, on: &Layout, patches: &[f64], spoilt: &Spoilt) -> Photo {
    draw_at(m, SIZE, 5, on, patches, spoilt)
}

/// The projection and size of a picture so many times as large.
pub(crate) fn at_scale(m: &Matrix3<f64>, scale: f64) -> (Matrix3<f64>, (usize, usize)) {
    let size = |px: usize| (px as f64 * scale) as usize;
    (Matrix3::from_diagonal(&Vector3::new(scale, scale, 1.0)) * m, (size(SIZE.0), size(SIZE.1)))
}

pub(crate) fn draw_at(
    m: &Matrix3<f64>,
    (wide, high): (usize, usize),
    seed: u64,
    on: &Layout,
    patches: &[f64],
    spoilt: &Spoilt,
) -> Photo {
    static CODES: OnceLock<light::Srgb8Table> = OnceLock::new();
    let codes = CODES.get_or_init(light::Srgb8Table::new);
    let back = m.try_inverse().expect("a projection");
    let mut chance = Pcg32::new(seed, 5);
    let mut share = move || chance.random::<f64>();
    let mut rgba = Vec::with_capacity(wide * high * 4);
    for py in 0..high {
        for px in 0..wide {
            let v = back * Vector3::new(px as f64 + 0.5, py as f64 + 0.5, 1.0);
            let (x, y) = (v[0] / v[2], v[1] / v[2]);
            let on_sheet =
                x > -30.0 && x < on.width_mm + 30.0 && y > -16.0 && y < on.height_mm + 16.0;
            let inside = on.patches.iter().position(|p| {
                x >= p.left_mm
                    && x <= p.left_mm + p.width_mm
                    && y >= p.top_mm
                    && y <= p.top_mm + p.height_mm
            });
            let mut reflectance = match inside {
                Some(step) if spoilt.fine_grain => patches[step] * (0.9 + 0.2 * share()),
                // Grain: a pixel is either black or paper, in the right shares.
                Some(step) => {
                    let black = 0.022;
                    let lit = (patches[step] - black) / (PAPER - black);
                    if share() < lit { PAPER } else { black }
                }
                None if on_sheet => PAPER,
                None => {
                    let square = |grey: &usize| {
                        let (cx, cy) = scale_at(on, *grey);
                        (x - cx).abs() < 4.0 && (y - cy).abs() < 4.0
                    };
                    (0..spoilt.greys.len()).find(square).map_or(0.1, |grey| spoilt.greys[grey])
                }
            };
            // A dust speck of 1 mm on every patch, a hair on the margin.
            let near = |cx: f64, cy: f64| (x - cx) * (x - cx) + (y - cy) * (y - cy) < 0.5;
            if spoilt.specks {
                if on.patches.iter().any(|p| near(p.left_mm + 4.0, p.top_mm + 9.0)) {
                    reflectance = 0.95;
                }
                if (x + 6.0).abs() < 0.3 || near(60.0, -6.0) {
                    reflectance = 0.2;
                }
            }
            let (u, v) = (px as f64 / wide as f64, py as f64 / high as f64);
            let light = spoilt.exposure * (1.0 - spoilt.falls_off * (0.8 * u + 0.4 * v * v));
            let share = reflectance / PAPER * (1.0 - spoilt.haze) + spoilt.haze;
            let seen = light * libm::pow(share, spoilt.gamma);
            let code = codes.encode(seen as f32);
            rgba.extend([code, code, code, 255]);
        }
    }
    Photo::from_rgba(&rgba, wide, high).expect("a whole picture")
}
