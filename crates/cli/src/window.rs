//! A window of any stage, as a 16-bit PNG or as raw floats.

use crate::{Outcome, Source, files, files::Asked};
use plate::chain::{Field, Renderer};
use plate::grid::Grid;
use std::path::Path;

/// Which window of which stage.
#[derive(clap::Args)]
pub(crate) struct Place {
    /// Left edge on the print, mm.
    #[arg(long, default_value_t = 0.0)]
    left: f64,
    /// Top edge on the print, mm.
    #[arg(long, default_value_t = 0.0)]
    top: f64,
    /// Width, mm.
    #[arg(long, default_value_t = 2.0)]
    width: f64,
    /// Height, mm.
    #[arg(long, default_value_t = 2.0)]
    height: f64,
    /// Size of a pixel, µm.
    #[arg(long, default_value_t = 4.0)]
    px: f32,
    /// What to show.
    #[arg(long, value_enum, default_value_t = Stage::Reflectance)]
    stage: Stage,
}

/// A stage of the chain, and the number that stands for white in a 16-bit PNG.
#[derive(Clone, Copy, clap::ValueEnum)]
enum Stage {
    /// Share of each pixel under resin; white is 1.
    Cover,
    /// Depth of copper gone, µm; white is 65.535 µm.
    Depth,
    /// Ink in the pits after wiping, µm; white is 65.535 µm.
    Held,
    /// Ink on the paper, µm; white is 65.535 µm.
    Printed,
    /// Reflectance of the print, linear; white is 1.
    Reflectance,
}

impl Stage {
    fn field(self) -> (Field, f32) {
        match self {
            Self::Cover => (Field::Cover, 1.0),
            Self::Depth => (Field::Depth, 65.535),
            Self::Held => (Field::Held, 65.535),
            Self::Printed => (Field::Printed, 65.535),
            Self::Reflectance => (Field::Reflectance, 1.0),
        }
    }
}

/// Largest window, pixels.
const MOST_PIXELS: f64 = 64e6;

/// Writes the window.
pub(crate) fn write(source: &Source, place: &Place, output: &Path) -> Outcome<()> {
    if !(place.px >= 0.5 && place.px <= 50.0) {
        return Err(format!("A pixel of {} µm is out of range; choose 0.5 to 50 µm.", place.px));
    }
    let pixels = |mm: f64| (mm * 1000.0 / f64::from(place.px)).round();
    let (width, height) = (pixels(place.width), pixels(place.height));
    if !(width >= 1.0 && height >= 1.0 && width * height <= MOST_PIXELS) {
        return Err(format!(
            "A window of {} × {} mm at {} µm is {width} × {height} pixels; choose between 1 and {MOST_PIXELS} pixels in all.",
            place.width, place.height, place.px
        ));
    }
    let grid = Grid {
        left_px: pixels(place.left) as i64,
        top_px: pixels(place.top) as i64,
        width: width as usize,
        height: height as usize,
        px_um: place.px,
    };
    let (field, white) = place.stage.field();
    let (job, renderer) = (Asked::read(source)?, &mut Renderer::default());
    let plate = job.plate(renderer)?;
    let window = renderer.look(&plate, &job.view).field_window(&grid, field);
    let bytes = if output.extension().is_some_and(|ending| ending == "f32") {
        window.pixels.iter().flat_map(|value| value.to_le_bytes()).collect()
    } else {
        let grey: Vec<u16> = window
            .pixels
            .iter()
            .map(|value| (value / white * 65535.0).clamp(0.0, 65535.0).round() as u16)
            .collect();
        picture::save::grey16_png(&grey, width as u32, height as u32, f64::from(place.px))
            .map_err(|error| files::cannot_write(output, &error))?
    };
    files::write(output, &bytes)
}
