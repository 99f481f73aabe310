//! Read: what a real proof printed, by a photograph of it.

use crate::files::{self, Asked, words};
use crate::pictures::Picture;
use crate::{Outcome, Source, explain, table};
use plate::Renderer;
use serde::Serialize;
use std::path::{Path, PathBuf};
use study::calibration::{KnownGrey, Photo, grey_reflectance};
use study::proof_causes::ProofSeen;
use study::proof_reading::{ProofPrint, ProofReading, ProofShot, Raster, SquaredUp, read};

/// The photograph, and what is known of it.
#[derive(clap::Args)]
pub(crate) struct Taken {
    /// Photograph or scan of the proof (PNG, JPEG or WebP), with bare paper all round the plate.
    #[arg(long)]
    photo: PathBuf,
    /// The plate's corners in it, pixels, if they are not to be found: x,y of the print's top left, then clockwise (eight
    /// numbers).
    #[arg(long, value_delimiter = ',')]
    corners: Vec<f64>,
    /// Known greys in it: x,y in pixels and L* or density of each (three numbers a grey). One must be dark; two and more tell the
    /// camera's tone curve.
    #[arg(long, alias = "black", value_delimiter = ',')]
    greys: Vec<f64>,
    /// Write the photograph squared up onto the plate, its light evened, as a grey PNG.
    #[arg(long)]
    squared_up: Option<PathBuf>,
    /// Pixels to a mm of that.
    #[arg(long, default_value_t = 8.0, requires = "squared_up")]
    px_per_mm: f64,
}

/// What the photograph tells.
#[derive(Serialize)]
struct Told {
    reading: ProofReading,
    /// Why, and what next; nothing of a later state, which is not explained.
    told: Option<explain::Told>,
}

/// Prints the reading as JSON.
pub(crate) fn write(source: &Source, taken: &Taken) -> Outcome<()> {
    let corners = match taken.corners[..] {
        [] => None,
        [ax, ay, bx, by, cx, cy, dx, dy] => Some([(ax, ay), (bx, by), (cx, cy), (dx, dy)]),
        _ => return Err("The corners are eight numbers: x,y of each, in pixels.".to_owned()),
    };
    let shot = ProofShot { corners, greys: known_greys(&taken.greys)? };
    let asked = Asked::read(source)?;
    let mut renderer = Renderer::default();
    let plate = asked.plate(&mut renderer)?;
    let print = ProofPrint::of(&mut renderer.look(&plate, &asked.view));
    let (rgba, width, height) = Picture::decode(&taken.photo)?.into_rgba();
    let photo = Photo::from_rgba(&rgba, width, height).map_err(|wrong| wrong.to_string())?;
    let (reading, seen) = read(photo, &print, &shot).map_err(words)?;
    if let Some(to) = &taken.squared_up {
        square_up(&seen, &print, taken.px_per_mm, to)?;
    }
    let first = asked.view.state == Some(1) || asked.job.plan.states.is_empty();
    let told = if first { Some(explain::told(&asked, &ProofSeen::of(&reading))?) } else { None };
    table::print_json(&Told { reading, told })
}

/// Greys from their numbers: x and y in pixels, and L* or density.
pub(crate) fn known_greys(numbers: &[f64]) -> Outcome<Vec<KnownGrey>> {
    let (greys, rest) = numbers.as_chunks::<3>();
    if !rest.is_empty() {
        return Err(
            "A known grey is three numbers: x, y in pixels, and its L* or density.".to_owned()
        );
    }
    let grey = |&[x, y, l]: &[f64; 3]| KnownGrey { at: (x, y), reflectance: grey_reflectance(l) };
    Ok(greys.iter().map(grey).collect())
}

fn square_up(seen: &SquaredUp, print: &ProofPrint, px_per_mm: f64, to: &Path) -> Outcome<()> {
    if !(0.1..=100.0).contains(&px_per_mm) {
        return Err("Pixels to a mm are 0.1 to 100.".to_owned());
    }
    let px = |mm: f64| (mm * px_per_mm).max(1.0) as usize;
    let (width_px, height_px) = (px(print.width_mm), px(print.height_mm));
    let px_mm = 1.0 / px_per_mm;
    let grey = seen.window(&Raster { left_mm: 0.0, top_mm: 0.0, width_px, height_px, px_mm });
    image::GrayImage::from_raw(width_px as u32, height_px as u32, grey)
        .ok_or_else(|| "The squared-up print does not fit its size.".to_owned())?
        .save_with_format(to, image::ImageFormat::Png)
        .map_err(|error| files::cannot_write(to, &error))
}
