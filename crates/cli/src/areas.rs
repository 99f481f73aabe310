//! What to stop out at each step, and which values suit the picture.

use crate::{Outcome, Source, files::Asked, table::print};
use picture::{Ring, StopOut};
use plate::chain::Renderer;
use std::fmt::Write as _;

/// Form of the outlines.
#[derive(Clone, Copy, clap::ValueEnum)]
pub(crate) enum Form {
    /// A list of steps with their rings, mm on the print.
    Json,
    /// One drawing, a group to a step, in mm as printed.
    Svg,
}

/// Prints the outlines of every step, or of one.
pub(crate) fn write(
    source: &Source,
    form: Form,
    after: Option<usize>,
    cell_mm: f64,
    tolerance_mm: f64,
) -> Outcome<()> {
    if !(0.02..=5.0).contains(&cell_mm) || !(0.0..=5.0).contains(&tolerance_mm) {
        return Err("Choose cells of 0.02 to 5 mm and a tolerance of 0 to 5 mm.".to_owned());
    }
    let job = Asked::read(source)?;
    let last = job.plan().bites.len() - 1;
    let steps = match after {
        Some(step) if step > last => {
            return Err(format!(
                "This plan is stopped out after 0 to {last} bites; after {step} nothing is left to cover."
            ));
        }
        Some(step) => step..=step,
        None => 0..=last,
    };
    let outlines: Vec<StopOut> =
        steps.map(|step| job.picture_areas().stop_out(step, cell_mm, tolerance_mm)).collect();
    print(&match form {
        Form::Json => serde_json::to_string(&outlines).map_err(|e| e.to_string())? + "\n",
        Form::Svg => svg(&outlines, job.plan().plate.width_mm, job.plan().plate.height_mm),
    })
}

fn svg(steps: &[StopOut], width: f64, height: f64) -> String {
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {width} {height}\" fill-rule=\"evenodd\">\n<title>As printed: the plate is its mirror image</title>\n"
    );
    for step in steps {
        // Writing to a string can't fail.
        let _ = writeln!(text, "<g id=\"after-{}\">", step.after_bites);
        for (what, rings) in [("covered", &step.covered), ("cover", &step.cover)] {
            let _ = writeln!(text, "<path class=\"{what}\" d=\"{}\"/>", path(rings));
        }
        text.push_str("</g>\n");
    }
    text.push_str("</svg>\n");
    text
}

fn path(rings: &[Ring]) -> String {
    let mut d = String::new();
    for ring in rings {
        for (i, [x, y]) in ring.points_mm.iter().enumerate() {
            let _ = write!(d, "{}{x:.2} {y:.2}", if i == 0 { "M" } else { "L" });
        }
        d.push('Z');
    }
    d
}

/// Prints the table of counts.
pub(crate) fn suits(source: &Source) -> Outcome<()> {
    let (job, renderer) = (Asked::read(source)?, &mut Renderer::default());
    let plate = job.plate(renderer)?;
    let curve = renderer.look(&plate, &job.view).tone_curve();
    let picture = &job.plan().picture;
    let suits = picture::suits(&job.tones, picture, &curve.minutes, &curve.lightness);
    let best = picture::suggested(&suits);
    let mut text = String::from("values,suggested,error_l,closest_l,bites_min,thresholds_l\n");
    let list = |numbers: &[f64]| numbers.iter().map(f64::to_string).collect::<Vec<_>>().join(" ");
    for (i, suit) in suits.iter().enumerate() {
        let _ = writeln!(
            text,
            "{},{},{:.2},{:.1},{},{}",
            suit.bites_min.len(),
            i == best,
            suit.error_l,
            suit.closest_l,
            list(&suit.bites_min),
            list(&suit.thresholds_l)
        );
    }
    print(&text)
}
