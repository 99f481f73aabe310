//! Cutting a picture to the plate's shape.

use plan::Crop;

/// Smallest part of a side that a plan accepts.
const MIN_PART: f64 = 0.01;

/// The largest part of the picture, from its middle, that has the plate's shape.
///
/// Picture in pixels, plate in mm, all above zero. When a picture is so long and thin that less
/// than a hundredth of a side would be left, that hundredth is kept and the picture is stretched.
#[must_use]
pub fn crop_to_plate(
    picture_width: usize,
    picture_height: usize,
    plate_width_mm: f64,
    plate_height_mm: f64,
) -> Crop {
    fit_crop(Crop::default(), picture_width, picture_height, plate_width_mm, plate_height_mm)
}

/// The crop brought to the plate's shape: same middle and same area where the picture allows it,
/// otherwise the nearest place and size that do. The whole picture gives the largest centred crop.
///
/// Takes any crop, even one outside the picture; gives one that every plan accepts.
#[must_use]
pub fn fit_crop(
    crop: Crop,
    picture_width: usize,
    picture_height: usize,
    plate_width_mm: f64,
    plate_height_mm: f64,
) -> Crop {
    // Shape in fractions of the picture: width of the crop for a height of 1.
    let shape = (plate_width_mm / plate_height_mm) * (picture_height as f64 / picture_width as f64);
    let tame = |x: f64, otherwise: f64| if x.is_finite() { x } else { otherwise };
    let width = tame(crop.width, 1.0).clamp(MIN_PART, 1.0);
    let height = tame(crop.height, 1.0).clamp(MIN_PART, 1.0);
    let whole = width >= 1.0 && height >= 1.0;
    let fitted_height = if whole { 1.0 } else { libm::sqrt(width * height / shape) };
    let fitted_height = fitted_height.min(1.0).min(1.0 / shape);
    let fitted_height = fitted_height.max(MIN_PART).max(MIN_PART / shape).min(1.0);
    let fitted_width = (fitted_height * shape).clamp(MIN_PART, 1.0);
    let place = |from: f64, size: f64, fitted: f64| {
        (tame(from, 0.0) + (size - fitted) / 2.0).clamp(0.0, 1.0 - fitted)
    };
    Crop {
        left: place(crop.left, width, fitted_width),
        top: place(crop.top, height, fitted_height),
        width: fitted_width,
        height: fitted_height,
    }
}
