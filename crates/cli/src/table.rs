//! The table of values, as JSON or CSV.

use crate::{Outcome, Source, files::Asked};
use plate::Renderer;
use serde::Serialize;
use std::fmt::Write as _;
use std::io::Write as _;
use study::summary;

/// Form of the table.
#[derive(Clone, Copy, clap::ValueEnum)]
pub(crate) enum Form {
    /// Everything the page shows, as JSON.
    Json,
    /// The values, one a line.
    Csv,
}

/// Prints the table.
pub(crate) fn write(source: &Source, form: Form) -> Outcome<()> {
    let (job, renderer) = (Asked::read(source)?, &mut Renderer::default());
    let plate = job.plate(renderer)?;
    let text = match form {
        Form::Json => json(&summary(&plate, &job.view, renderer))?,
        Form::Csv => {
            let mut text = String::from(
                "value,bite_min,cumulative_min,bitten_um,mean_depth_um,land,held_um,printed_um,reflectance,lightness,density,srgb,area_share\n",
            );
            for v in renderer.look(&plate, &job.view).values() {
                // Writing to a string can't fail.
                let _ = writeln!(
                    text,
                    "{},{},{},{:.3},{:.3},{:.4},{:.3},{:.3},{:.5},{:.2},{:.4},{},{:.4}",
                    v.index,
                    v.bite_min,
                    v.cumulative_min,
                    v.bitten_um,
                    v.mean_depth_um,
                    v.land,
                    v.held_um,
                    v.printed_um,
                    v.reflectance,
                    v.lightness,
                    v.density,
                    v.srgb,
                    v.area_share
                );
            }
            text
        }
    };
    print(&text)
}

/// An answer as JSON, with an end of line.
pub(crate) fn json(answer: &(impl Serialize + ?Sized)) -> Outcome<String> {
    let text = serde_json::to_string_pretty(answer).map_err(|error| error.to_string())?;
    Ok(text + "\n")
}

/// Prints an answer as JSON.
pub(crate) fn print_json(answer: &(impl Serialize + ?Sized)) -> Outcome<()> {
    print(&json(answer)?)
}

/// Writes to standard output; a reader that has gone away is no error.
pub(crate) fn print(text: &str) -> Outcome<()> {
    match std::io::stdout().write_all(text.as_bytes()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(format!("The answer can't be written ({error})."))
        }
        _ => Ok(()),
    }
}
