//! Calibrate: a step plate's design, and the constants that its print tells.

use crate::files::{self, words};
use crate::{Outcome, pictures::Picture, table};
use plate::light;
use serde::Serialize;
use std::path::PathBuf;
use study::calibration::{
    Black, Fit, Forward, Kind, Photo, PhotoReading, Shot, design, fit, in_lightness, layout,
    read_photo, step_plate, unfitted,
};

/// What is known of the step plate.
#[derive(clap::Args)]
pub(crate) struct Readings {
    /// Plan file with the ground, bath, ink and paper of the step plate; left out, the harbour example's.
    plan: Option<PathBuf>,
    /// Design a step plate of so many steps (6 to 10) and print it, instead of a fit.
    #[arg(long, conflicts_with_all = ["bites", "readings", "photo"])]
    steps: Option<usize>,
    /// Minutes of each bite (`1,1.5,3`), each step having all bites up to its own.
    #[arg(long, value_delimiter = ',')]
    bites: Vec<f64>,
    /// What each step reads, `-` for one that was not read.
    #[arg(long, value_delimiter = ',')]
    readings: Vec<String>,
    /// In what: `lightness` (L*), `density`, or `density_over_paper`.
    #[arg(long, default_value = "lightness")]
    kind: String,
    /// A picture of the print (PNG, JPEG or WebP) instead of readings.
    #[arg(long, conflicts_with = "readings", requires = "corners")]
    photo: Option<PathBuf>,
    /// The plate's corners in it, pixels: x,y of the print's top left, then clockwise (eight numbers).
    #[arg(long, value_delimiter = ',')]
    corners: Vec<f64>,
    /// A place of known darkness in it: x,y in pixels and its L* (three numbers).
    #[arg(long, value_delimiter = ',')]
    black: Vec<f64>,
    /// Print the table that the fit is calculated from, instead of the fit.
    #[arg(long)]
    table: bool,
}

/// What was read and what it tells.
#[derive(Serialize)]
struct Told {
    photo: Option<PhotoReading>,
    read_l: Vec<Option<f64>>,
    fit: Fit,
}

/// Prints the design or the fit as JSON.
pub(crate) fn write(asked: &Readings) -> Outcome<()> {
    let plan = match &asked.plan {
        Some(path) => files::read_plan(path)?,
        None => plan::Plan::default(),
    };
    if let Some(steps) = asked.steps {
        return print(&design(&plan, steps).map_err(words)?);
    }
    let plate = step_plate(&unfitted(&plan), &asked.bites).map_err(words)?;
    if asked.table {
        return print(&Forward::new(&plate)?);
    }
    let paper = plan.paper.reflectance;
    let kind = Kind::from_word(&asked.kind)
        .ok_or("Readings are `lightness`, `density` or `density_over_paper`.")?;
    let (photo, readings, kind) = match &asked.photo {
        Some(path) => {
            let read = read(asked, path, paper)?;
            let l = read.patches.iter().map(|patch| Some(patch.lightness)).collect();
            (Some(read), l, Kind::Lightness)
        }
        None => (None, numbers(&asked.readings)?, kind),
    };
    let read_l = in_lightness(kind, &readings, paper).map_err(words)?;
    // The table takes the longest: only for readings that can be.
    let forward = Forward::new(&plate)?;
    let found = fit(&forward, &read_l).map_err(words)?;
    print(&Told { photo, read_l, fit: found })
}

fn numbers(readings: &[String]) -> Outcome<Vec<Option<f64>>> {
    readings
        .iter()
        .map(|word| match word.trim() {
            "-" | "" => Ok(None),
            word => word.parse().map(Some).map_err(|_| format!("`{word}` is no reading.")),
        })
        .collect()
}

fn read(asked: &Readings, path: &std::path::Path, paper: f64) -> Outcome<PhotoReading> {
    let corners: [f64; 8] = asked
        .corners
        .clone()
        .try_into()
        .map_err(|_| "The corners are eight numbers: x,y of each, in pixels.".to_owned())?;
    let black = match asked.black[..] {
        [] => None,
        [x, y, l] => Some(Black { at: (x, y), reflectance: light::reflectance_of_lightness(l) }),
        _ => {
            return Err("The known black is three numbers: x, y in pixels, and its L*.".to_owned());
        }
    };
    let (rgba, width, height) = Picture::decode(path)?.into_rgba();
    let photo = Photo::from_rgba(&rgba, width, height).map_err(|wrong| wrong.to_string())?;
    let corners = [0, 2, 4, 6].map(|i| (corners[i], corners[i + 1]));
    let shot = Shot { corners, paper_reflectance: paper, black };
    read_photo(&photo, &layout(asked.bites.len()), &shot).map_err(words)
}

fn print(answer: &impl Serialize) -> Outcome<()> {
    let text = serde_json::to_string_pretty(answer).map_err(|error| error.to_string())?;
    table::print(&format!("{text}\n"))
}
