//! Ground photo: what a picture of dust or of a melted ground tells, and what two of one place tell together.

use crate::files::{self, words};
use crate::{Outcome, pictures::Picture, table};
use serde::Serialize;
use std::path::{Path, PathBuf};
use study::calibration::{
    GroundFit, GroundPhoto, GroundReading, GroundShot, RosinTone, Scale, fit_ground, read_ground,
};

/// One picture or two, and how they were taken.
#[derive(clap::Args)]
#[command(group(clap::ArgGroup::new("scale").required(true)))]
pub(crate) struct Pictures {
    /// Picture of the dust or of a melted ground (PNG, JPEG or WebP).
    picture: PathBuf,
    /// Copper that it shows from its left edge to its right, mm.
    #[arg(long, group = "scale")]
    width_mm: Option<f64>,
    /// Size of its pixels on the copper, µm, instead.
    #[arg(long, group = "scale")]
    px_um: Option<f64>,
    /// Two marks on a ruler in it instead, and the length between them: x,y,x,y in pixels and mm (five numbers).
    #[arg(long, group = "scale", value_delimiter = ',')]
    ruler: Vec<f64>,
    /// Read only part of it: left, top, right and bottom, pixels.
    #[arg(long, value_delimiter = ',')]
    frame: Vec<f64>,
    /// Which tone the rosin has; left out, the one that bulges into the other.
    #[arg(long, value_enum, default_value_t = Tone::Found)]
    rosin: Tone,
    /// Moves the level towards more rosin (above 0) or less, in shares of the distance of the two tones.
    #[arg(long, default_value_t = 0.0, allow_negative_numbers = true)]
    nudge: f64,
    /// Picture of the same place melted, if the first is of its dust: prints what both tell together.
    #[arg(long)]
    melted: Option<PathBuf>,
    /// Copper that the second picture shows from left to right, mm; left out, its pixels are of the first one's size.
    #[arg(long, requires = "melted")]
    melted_width_mm: Option<f64>,
    /// Which tone the rosin has in the second picture.
    #[arg(long, value_enum, default_value_t = Tone::Found)]
    melted_rosin: Tone,
    /// Plan file with dust and bake as they were; left out, the harbour example's.
    #[arg(long, requires = "melted")]
    plan: Option<PathBuf>,
    /// Write what was taken for rosin in the first picture as a black and white PNG.
    #[arg(long)]
    mask: Option<PathBuf>,
}

/// Which tone the rosin has.
#[derive(Clone, Copy, clap::ValueEnum)]
enum Tone {
    Found,
    Lighter,
    Darker,
}

impl From<Tone> for RosinTone {
    fn from(tone: Tone) -> Self {
        match tone {
            Tone::Found => Self::Found,
            Tone::Lighter => Self::Lighter,
            Tone::Darker => Self::Darker,
        }
    }
}

/// What two pictures of one place tell.
#[derive(Serialize)]
struct Told {
    dust: GroundReading,
    melted: GroundReading,
    fit: GroundFit,
}

/// Prints the reading, or both and the fit, as JSON.
pub(crate) fn write(asked: &Pictures) -> Outcome<()> {
    let scale = match (asked.width_mm, asked.px_um, &asked.ruler[..]) {
        (Some(mm), ..) => Scale::Across(mm),
        (_, Some(um), _) => Scale::Pixel(um),
        (.., &[ax, ay, bx, by, mm]) => {
            Scale::Ruler { marks: [(ax, ay), (bx, by)], mm, within: true }
        }
        _ => return Err("The ruler is five numbers: x,y of each mark, and mm.".into()),
    };
    let frame = match asked.frame[..] {
        [] => None,
        [left, top, right, bottom] => Some([left, top, right, bottom]),
        _ => return Err("The frame is four numbers: left, top, right and bottom.".into()),
    };
    let shot = GroundShot { scale, frame, rosin: asked.rosin.into(), nudge: asked.nudge };
    let first = read(&asked.picture, &shot, asked.mask.as_deref())?;
    let Some(melted) = &asked.melted else {
        return table::print_json(&first);
    };
    let plan = match &asked.plan {
        Some(path) => files::read_plan(path)?,
        None => plan::Plan::default(),
    };
    let scale = asked.melted_width_mm.map_or(Scale::Pixel(first.found.px_um), Scale::Across);
    let shot = GroundShot { scale, frame: None, rosin: asked.melted_rosin.into(), nudge: 0.0 };
    let second = read(melted, &shot, None)?;
    let fit = fit_ground(&plan, &first.found, &second.found).map_err(words)?;
    table::print_json(&Told { dust: first, melted: second, fit })
}

fn read(path: &Path, shot: &GroundShot, mask_to: Option<&Path>) -> Outcome<GroundReading> {
    let (rgba, width, height) = Picture::decode(path)?.into_rgba();
    let photo = GroundPhoto::from_rgba(&rgba, width, height).map_err(|wrong| wrong.to_string())?;
    let (reading, mask) = read_ground(&photo, shot).map_err(|wrong| wrong.to_string())?;
    if let Some(to) = mask_to {
        let grey = mask.rosin.iter().map(|rosin| if *rosin { 0 } else { 255 }).collect();
        let (wide, high) = (mask.width, mask.rosin.len() / mask.width);
        let picture = image::GrayImage::from_raw(wide as u32, high as u32, grey);
        picture
            .ok_or_else(|| "The mask does not fit the picture.".to_owned())?
            .save_with_format(to, image::ImageFormat::Png)
            .map_err(|error| files::cannot_write(to, &error))?;
    }
    Ok(reading)
}
