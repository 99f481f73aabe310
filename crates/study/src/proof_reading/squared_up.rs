//! The photograph squared up onto the plate: what it shows at a place of the print, the fall of the light taken off.

use crate::calibration::photo::{Lens, Paper};
use crate::calibration::{Camera, Homography, Photo};
use plate::light;

/// A raster on the print.
#[derive(Clone, Copy, Debug, PartialEq, serde::Deserialize, ts_rs::TS)]
#[ts(rename = "SquaredUpPlace")]
pub struct Raster {
    /// Left edge, mm from the print's left.
    pub left_mm: f64,
    /// Top edge, mm from the print's top.
    pub top_mm: f64,
    /// Columns.
    pub width_px: usize,
    /// Rows.
    pub height_px: usize,
    /// Side of a pixel, mm.
    pub px_mm: f64,
}

/// A photograph of which it is known where the print lies in it, how the light falls, and what the camera does.
pub struct SquaredUp {
    pub(super) photo: Photo,
    pub(super) map: Homography,
    pub(super) paper: Paper,
    pub(super) camera: Camera,
    pub(super) paper_reflectance: f64,
}

impl SquaredUp {
    /// Light of each pixel of a raster on the print as a share of what the bare paper throws back there, row by row.
    pub(super) fn shares(&self, on: &Raster) -> Vec<f32> {
        let mut shares = Vec::with_capacity(on.width_px * on.height_px);
        for row in 0..on.height_px {
            for column in 0..on.width_px {
                let x = on.left_mm + column as f64 * on.px_mm;
                let y = on.top_mm + row as f64 * on.px_mm;
                let paper = self.paper.light(x + 0.5 * on.px_mm, y + 0.5 * on.px_mm);
                let seen = self.photo.mean(&self.map, (x, y), (on.px_mm, on.px_mm));
                shares.push((seen / paper) as f32);
            }
        }
        shares
    }

    /// Where a place of the plate, mm, lies in the picture, pixels.
    #[must_use]
    pub fn to_picture(&self, x_mm: f64, y_mm: f64) -> (f64, f64) {
        self.map.to_picture(x_mm, y_mm)
    }

    /// A raster of the print as the photograph has it, in grey 8-bit sRGB, row by row: the light evened, what is known of the
    /// camera taken off, the paper as bright as the plan's, so that it can be laid on the proof. Margins show what is there.
    #[must_use]
    pub fn window(&self, on: &Raster) -> Vec<u8> {
        let encode = light::Srgb8Table::shared();
        let print = |share: &f32| self.camera.taken_off(f64::from(*share)) * self.paper_reflectance;
        self.shares(on).iter().map(|share| encode.encode(print(share) as f32)).collect()
    }

    /// The lens it was seen through.
    pub(super) fn lens_of(photo: &Photo, bend: f64) -> Lens {
        Lens::new(photo.size(), bend)
    }
}
