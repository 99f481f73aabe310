//! Which part of a picture lies on the plate: the one place where a crop is brought to the plate's shape.

use plan::Crop;

/// Smallest part of a side that a plan accepts.
const MIN_PART: f64 = 0.01;
/// Smallest part of the picture's width that a frame is drawn in to.
const SMALLEST: f64 = 0.05;
/// Shapes nearer than this are one shape where a plan is judged by its crop alone.
const ALIKE: f64 = 0.03;
/// The same for a picture of lines that is laid like the plan's picture.
const LINES_ALIKE: f64 = 0.01;

/// The crops that have a plate's shape on a picture.
///
/// Everything is in fractions of the picture, 0–1. Takes any numbers; every crop it gives is one that
/// every plan accepts. Where a picture is so long and thin that less than a hundredth of a side would
/// be left, that hundredth is kept and the picture is stretched.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Width of the crop for a height of 1.
    shape: f64,
}

impl Frame {
    /// For a picture of so many pixels on a plate of so many mm, width and height. Without a shape of
    /// their own (a side of 0) they are taken for each other's.
    #[must_use]
    pub fn new(picture_px: (f64, f64), plate_mm: (f64, f64)) -> Self {
        let shape = (plate_mm.0 / plate_mm.1) * (picture_px.1 / picture_px.0);
        Self { shape: if shape.is_finite() && shape > 0.0 { shape } else { 1.0 } }
    }

    /// Width of the largest crop.
    #[must_use]
    pub fn widest_width(&self) -> f64 {
        self.shape.clamp(MIN_PART, 1.0)
    }

    /// The largest crop, in the middle of the picture.
    #[must_use]
    pub fn widest(&self) -> Crop {
        self.at((0.5, 0.5), 1.0)
    }

    /// The crop with this middle and width, or the nearest that lies in the picture.
    #[must_use]
    pub fn at(&self, middle: (f64, f64), width: f64) -> Crop {
        let widest = self.widest_width();
        let least = SMALLEST.max(MIN_PART * self.shape).min(widest);
        let width = if width.is_finite() { width.clamp(least, widest) } else { widest };
        let height = (width / self.shape).clamp(MIN_PART, 1.0);
        let place = |middle: f64, size: f64| {
            let middle = if middle.is_finite() { middle } else { 0.5 };
            (middle - size / 2.0).clamp(0.0, 1.0 - size)
        };
        Crop { left: place(middle.0, width), top: place(middle.1, height), width, height }
    }

    /// How much of the largest crop's width a crop has, 0–1.
    #[must_use]
    pub fn closeness(&self, crop: Crop) -> f64 {
        crop.width / self.widest_width()
    }

    /// A crop that fitted the frame `before`, brought to this one: same middle, and as close as before,
    /// so that a crop of all that fits stays one.
    #[must_use]
    pub fn fitted(&self, crop: Crop, before: &Self) -> Crop {
        let middle = (crop.left + crop.width / 2.0, crop.top + crop.height / 2.0);
        self.at(middle, self.widest_width() * before.closeness(crop))
    }

    /// Whether a crop has the plate's shape, to 3 %.
    #[must_use]
    pub fn fits(&self, crop: Crop) -> bool {
        (self.shape * crop.height / crop.width - 1.0).abs() < ALIKE
    }

    /// The same to 1 %, as for lines, which show it sooner when they are stretched.
    #[must_use]
    pub fn keeps_shape(&self, crop: Crop) -> bool {
        (crop.width / (self.shape * crop.height) - 1.0).abs() < LINES_ALIKE
    }
}

/// The largest part of a picture, from its middle, that has the plate's shape: picture in pixels,
/// plate in mm.
#[must_use]
pub fn crop_to_plate(
    picture_width: usize,
    picture_height: usize,
    plate_width_mm: f64,
    plate_height_mm: f64,
) -> Crop {
    let picture_px = (picture_width as f64, picture_height as f64);
    Frame::new(picture_px, (plate_width_mm, plate_height_mm)).widest()
}

/// How a picture of lines lies on the plate: as the plan's picture does where both have one shape, since
/// they are then two layers of one drawing; else as large as it can. Pictures in pixels, plate in mm.
#[must_use]
pub fn crop_of_lines(
    lines_px: (f64, f64),
    picture_px: (f64, f64),
    picture_crop: Crop,
    plate_mm: (f64, f64),
) -> Crop {
    let (across, down) = (lines_px.0 * picture_px.1, lines_px.1 * picture_px.0);
    let alike = (across - down).abs() < LINES_ALIKE * across;
    if alike { picture_crop } else { Frame::new(lines_px, plate_mm).widest() }
}

/// A plate of the picture's shape with about the area of another, in whole mm within the plate's limits.
#[must_use]
pub fn plate_like_picture(picture_px: (f64, f64), plate_mm: (f64, f64)) -> (f64, f64) {
    let shape = picture_px.0 / picture_px.1;
    let area = plate_mm.0 * plate_mm.1;
    let whole = |key: &str, mm: f64| {
        let limits = plan::FIELDS.iter().find(|field| field.key == key);
        limits.map_or(mm, |limits| libm::round(mm).clamp(limits.min, limits.max))
    };
    (
        whole("plate.width_mm", libm::sqrt(area * shape)),
        whole("plate.height_mm", libm::sqrt(area / shape)),
    )
}
