//! Calibrate: a step plate's design, and the constants that its print tells.

use crate::files::{self, Asked, words};
use crate::read::known_greys;
use crate::{Outcome, Print, Source, pictures::Picture, table};
use plate::chain::ValueAreas;
use serde::Serialize;
use std::path::PathBuf;
use study::calibration::{
    Allowed, Calibrated, Forward, Kind, Photo, PhotoReading, Reading, Shot, Tables, design,
    in_any_order, layout, read_photo, step_plate, unfitted,
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
    /// Known greys in it: x,y in pixels and L* or density of each (three numbers a grey). One must be dark; two and more tell the camera's
    /// tone curve.
    #[arg(long, alias = "black", value_delimiter = ',')]
    greys: Vec<f64>,
    /// The readings are those of a proof of the plan itself, a value a step.
    #[arg(long, conflicts_with_all = ["steps", "photo"])]
    proof: bool,
    /// With it: the plan's picture (PNG, JPEG or WebP), if it is not the harbour drawn by the program.
    #[arg(long, requires = "proof")]
    picture: Option<PathBuf>,
    /// Bites whose minutes are found with the constants, 1 for the first.
    #[arg(long, value_delimiter = ',')]
    loose_bites: Vec<usize>,
    /// Find the ground's cover with the constants, too.
    #[arg(long)]
    loose_ground: bool,
    /// Print the table that the fit is calculated from, instead of the fit.
    #[arg(long)]
    table: bool,
}

/// What was read and what it tells.
#[derive(Serialize)]
struct Told {
    photo: Option<PhotoReading>,
    #[serde(flatten)]
    told: Calibrated,
}

/// Prints the design or the fit as JSON.
pub(crate) fn write(asked: &Readings) -> Outcome<()> {
    let plan = match &asked.plan {
        Some(path) => files::read_plan(path)?,
        None => plan::Plan::default(),
    };
    if let Some(steps) = asked.steps {
        return table::print_json(&design(&plan, steps).map_err(words)?);
    }
    let (bites, shares) = if asked.proof { of_proof(asked, &plan)? } else { Default::default() };
    let bites = if asked.bites.is_empty() { &bites } else { &asked.bites };
    if asked.table {
        let plate = step_plate(&unfitted(&plan), bites).map_err(words)?;
        return table::print_json(&Forward::new(&plate)?);
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
    // A plan of which no plate can be laid comes before what is wrong with its readings.
    if !asked.proof {
        step_plate(&unfitted(&plan), bites).map_err(words)?;
    }
    let read_l = in_any_order(kind, &readings, paper).map_err(words)?;
    let camera = photo.as_ref().map(|photo| photo.camera);
    let allowed = Allowed {
        bites: asked.loose_bites.iter().filter_map(|bite| bite.checked_sub(1)).collect(),
        ground: asked.loose_ground,
    };
    // The tables take the longest: only for readings that can be.
    let tables = Tables::new(&plan, bites, &shares).map_err(words)?;
    let told = tables.calibrate(&plan, &Reading { read_l, camera, allowed });
    if told.fit.is_none() {
        let amiss = told.misfit.findings.into_iter().map(|finding| finding.said);
        return Err(words(told.refused.into_iter().chain(amiss).collect()));
    }
    table::print_json(&Told { photo, told })
}

/// Minutes of the plan's own bites, and the shares of its plate per value.
fn of_proof(asked: &Readings, plan: &plan::Plan) -> Outcome<(Vec<f64>, Vec<f64>)> {
    let source = Source {
        plan: asked.plan.clone(),
        picture: asked.picture.clone(),
        lines: None,
        print: Print::Both,
        fit: false,
        state: None,
    };
    let shares = Asked::read(&source)?.picture_areas().shares().to_vec();
    Ok((plan.bites.iter().map(|bite| bite.bite_min).collect(), shares))
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
    let greys = known_greys(&asked.greys)?;
    let (rgba, width, height) = Picture::decode(path)?.into_rgba();
    let photo = Photo::from_rgba(&rgba, width, height).map_err(|wrong| wrong.to_string())?;
    let corners = [0, 2, 4, 6].map(|i| (corners[i], corners[i + 1]));
    let shot = Shot { corners, paper_reflectance: paper, greys };
    read_photo(&photo, &layout(asked.bites.len()), &shot).map_err(words)
}
