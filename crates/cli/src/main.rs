//! The native program: the same chain as the page, from a plan file.
//!
//! It makes proofs at print resolution, tables of values, and windows of any stage, for checks and
//! for reproducing a bug without a browser.

mod areas;
mod backwards;
mod calibrate;
mod constants;
mod explain;
mod faults;
mod files;
mod ground_photo;
mod guides;
mod link;
mod pictures;
mod probe;
mod proof;
mod read;
mod states;
mod strip;
mod table;
mod window;

use clap::{Parser, Subcommand};
use std::path::PathBuf;
use std::process::ExitCode;

/// What every command says when something can't be done: one plain sentence.
type Outcome<T> = Result<T, String>;

#[derive(Parser)]
#[command(
    name = "platewright",
    version,
    about = "Simulates rosin aquatint on copper, grain by grain"
)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

/// What of lines and tone is printed.
#[derive(Clone, Copy, clap::ValueEnum)]
enum Print {
    Both,
    Lines,
    Tone,
}

impl From<Print> for plate::chain::Printed {
    fn from(print: Print) -> Self {
        match print {
            Print::Both => Self::Both,
            Print::Lines => Self::Lines,
            Print::Tone => Self::Tone,
        }
    }
}

/// Plan and picture, as every command takes them.
#[derive(clap::Args)]
struct Source {
    /// Plan file; left out, the harbour example.
    plan: Option<PathBuf>,
    /// Picture (PNG, JPEG or WebP); left out, the harbour drawn by the program.
    #[arg(long)]
    picture: Option<PathBuf>,
    /// Picture of lines etched before the ground: what is dark in it is line. A plan that says nothing of
    /// lines has them bitten for 30 minutes.
    #[arg(long)]
    lines: Option<PathBuf>,
    /// What of lines and tone is printed.
    #[arg(long, value_enum, default_value_t = Print::Both)]
    print: Print,
    /// Bring the plan to a picture that is new to it, as the page does: its widest crop, values spaced for its tones,
    /// places of at least 1 mm where the plan names no width, and no value that then holds nothing.
    #[arg(long)]
    fit: bool,
    /// Number of the state to look at, 1 for the first; left out, the last.
    #[arg(long)]
    state: Option<usize>,
}

#[derive(Subcommand)]
enum Command {
    /// Prints the harbour example as a plan file, to start from.
    Plan,
    /// Checks a plan file and says what is wrong with it.
    Check {
        /// The plan file.
        plan: PathBuf,
    },
    /// Makes the whole proof as a grey PNG with its true resolution, every grain computed.
    Proof {
        #[command(flatten)]
        source: Source,
        /// Where to write the PNG.
        #[arg(short, long)]
        output: PathBuf,
        /// Resolution of the PNG, dots per inch.
        #[arg(long, default_value_t = 508.0)]
        dpi: f64,
        /// Wanted size of a pixel of grain, µm; each dot is the mean of a whole number of them.
        #[arg(long, default_value_t = 5.0)]
        px: f64,
    },
    /// Prints the table of values.
    Table {
        #[command(flatten)]
        source: Source,
        /// `json` gives everything the page shows; `csv` just the values.
        #[arg(long, value_enum, default_value_t = table::Form::Csv)]
        form: table::Form,
    },
    /// Varies one or two numbers or choices of the plan and prints how one value comes out, as CSV.
    Strip {
        #[command(flatten)]
        source: Source,
        #[command(flatten)]
        strip: strip::Choices,
    },
    /// Prints what is to be stopped out at each step, as outlines on the print.
    Areas {
        #[command(flatten)]
        source: Source,
        /// How to print them.
        #[arg(long, value_enum, default_value_t = areas::Form::Json)]
        form: areas::Form,
        /// Only the step after this many bites (0 is before the first).
        #[arg(long)]
        after: Option<usize>,
        /// Size of the cells the outlines are told on, mm.
        #[arg(long, default_value_t = 0.1)]
        cell: f64,
        /// How far an outline may be off, mm.
        #[arg(long, default_value_t = 0.1)]
        tolerance: f64,
    },
    /// Writes the stop-out guides as SVG files at true size, a sheet a file.
    Guides {
        #[command(flatten)]
        source: Source,
        #[command(flatten)]
        wish: guides::Wish,
    },
    /// Suggests how many values the picture needs, with bites, thresholds and what is left of the error, as CSV.
    Suits {
        #[command(flatten)]
        source: Source,
    },
    /// Plans backwards: minutes for wanted values, or dust and bake for a wanted grain, as JSON; or how
    /// sure the plan's values are.
    Backwards {
        #[command(flatten)]
        source: Source,
        #[command(flatten)]
        wish: backwards::Wish,
    },
    /// Reads cover, islands per mm² and their width off a picture of dust or of a melted ground; with the same place
    /// melted, how much powder lands and how firmly edges hold.
    GroundPhoto {
        #[command(flatten)]
        pictures: ground_photo::Pictures,
    },
    /// Designs a step plate, or finds from its print the constants of this shop's bath and ink, as JSON.
    Calibrate {
        #[command(flatten)]
        readings: calibrate::Readings,
    },
    /// Reads a photograph of a real proof of the plan: where it lies in the picture, what L* each value printed, and where the
    /// print is uneven, as JSON.
    Read {
        #[command(flatten)]
        source: Source,
        #[command(flatten)]
        taken: read::Taken,
    },
    /// Weighs why a proof did not print as planned, and says what next, as JSON.
    Explain {
        #[command(flatten)]
        source: Source,
        #[command(flatten)]
        readings: explain::Readings,
    },
    /// Prints the constants of a shop that its proofs tell together, from files that `explain` has written, as JSON.
    Learn {
        /// The files.
        #[arg(required = true)]
        evidence: Vec<PathBuf>,
    },
    /// Writes a window of any stage as a 16-bit PNG or as raw 32-bit floats (little-endian).
    Window {
        #[command(flatten)]
        source: Source,
        #[command(flatten)]
        place: window::Place,
        /// Where to write it; `.png`, or `.f32` for raw floats.
        #[arg(short, long)]
        output: PathBuf,
    },
    /// Answers questions to single functions of the core, one JSON object a line, for checks.
    #[command(hide = true)]
    Probe,
    /// Prints every constant of the model with its source, and how far its plausible range moves the
    /// plan's middle value (Markdown).
    Constants {
        #[command(flatten)]
        source: Source,
        /// Print what is known of them as JSON, without the plan.
        #[arg(long)]
        json: bool,
    },
    /// Lists the faults that a plan can have: what happens, what each is mistaken for, how it is avoided and mended.
    Faults {
        /// As a JSON list.
        #[arg(long)]
        json: bool,
    },
    /// Makes a link of a plan, or reads one; the same text as the page's.
    Link {
        #[command(subcommand)]
        work: link::Work,
    },
    /// Prints the edition: how each value drifts over the impressions on bare and on steel-faced copper,
    /// and what the edition takes (JSON).
    Edition {
        #[command(flatten)]
        source: Source,
    },
    /// Prints every way that brings an outlined passage to a wished lightness (JSON).
    Correct {
        #[command(flatten)]
        source: Source,
        /// Corners of the passage on the print, mm: `10,10 60,10 60,40 10,40`.
        #[arg(long)]
        outline: String,
        /// Wished lightness L*.
        #[arg(long)]
        to: f64,
    },
    /// Prints the digest of every stage of a small plate; the page's must be the same.
    #[command(hide = true)]
    Digest {
        /// Those of the solvers instead: a schedule planned backwards, a calibration.
        #[arg(long)]
        shop: bool,
    },
}

fn main() -> ExitCode {
    let done = match Arguments::parse().command {
        Command::Plan => table::print(&plan::Plan::default().to_json()),
        Command::Check { plan } => files::read_plan(&plan).and_then(|plan| {
            table::print(&format!(
                "This plan is sound: {} values, {} min in the bath.\n",
                plan.bites.len(),
                plan.bites.iter().map(|b| b.bite_min).sum::<f64>()
            ))
        }),
        Command::Proof { source, output, dpi, px } => proof::write(&source, &output, dpi, px),
        Command::Table { source, form } => table::write(&source, form),
        Command::Strip { source, strip } => strip::write(&source, &strip),
        Command::Areas { source, form, after, cell, tolerance } => {
            areas::write(&source, form, after, cell, tolerance)
        }
        Command::Guides { source, wish } => guides::write(&source, &wish),
        Command::Suits { source } => areas::suits(&source),
        Command::Backwards { source, wish } => backwards::write(&source, &wish),
        Command::Calibrate { readings } => calibrate::write(&readings),
        Command::Explain { source, readings } => explain::write(&source, &readings),
        Command::Learn { evidence } => explain::learn_from(&evidence),
        Command::GroundPhoto { pictures } => ground_photo::write(&pictures),
        Command::Read { source, taken } => read::write(&source, &taken),
        Command::Window { source, place, output } => window::write(&source, &place, &output),
        Command::Probe => probe::answer_all(),
        Command::Constants { json: true, .. } => {
            constants::list().and_then(|text| table::print(&text))
        }
        Command::Constants { source, .. } => {
            constants::table(&source).and_then(|text| table::print(&text))
        }
        Command::Faults { json } => faults::list(json).and_then(|text| table::print(&text)),
        Command::Edition { source } => states::edition(&source),
        Command::Correct { source, outline, to } => states::correct(&source, &outline, to),
        Command::Link { work } => link::work(&work),
        Command::Digest { shop: true } => table::print(&study::calibration::example::digests()),
        Command::Digest { .. } => table::print(&picture::example::digests()),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::FAILURE
        }
    }
}
