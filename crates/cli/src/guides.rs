//! Stop-out guides as SVG files.

use crate::{Outcome, Source, files, files::Asked, table::print};
use picture::{GuideFace, GuidePaper, GuideWish};
use plan::Units;
use std::fmt::Write as _;
use std::path::PathBuf;

/// What the guides are printed on.
#[derive(Clone, Copy, clap::ValueEnum)]
enum Paper {
    A4,
    A3,
    Letter,
    /// One sheet for the whole plate, for a light table or a transfer.
    Whole,
}

/// How the guides are wanted.
#[derive(clap::Args)]
pub(crate) struct Wish {
    /// Folder for the files; made if it isn't there.
    #[arg(short, long)]
    output: PathBuf,
    /// The paper; a larger plate is laid on several sheets.
    #[arg(long, value_enum, default_value_t = Paper::Whole)]
    paper: Paper,
    /// As printed, instead of mirrored for the copper.
    #[arg(long)]
    right_way_round: bool,
    /// Inches on the guides and their ruler.
    #[arg(long)]
    us: bool,
    /// Only the step after this many bites (0 is before the first).
    #[arg(long)]
    after: Option<usize>,
}

/// Writes the files and prints their names.
pub(crate) fn write(source: &Source, wish: &Wish) -> Outcome<()> {
    let job = Asked::read(source)?;
    let paper = match wish.paper {
        Paper::A4 => GuidePaper::A4,
        Paper::A3 => GuidePaper::A3,
        Paper::Letter => GuidePaper::Letter,
        Paper::Whole => GuidePaper::Whole,
    };
    let face = if wish.right_way_round { GuideFace::Paper } else { GuideFace::Copper };
    let units = if wish.us { Units::Us } else { Units::Metric };
    let look = GuideWish { paper, face, units };
    let sheets = picture::guides(job.picture_areas(), job.plan(), look, wish.after);
    if sheets.is_empty() {
        return Err("Nothing is to be stopped out there.".to_owned());
    }
    std::fs::create_dir_all(&wish.output).map_err(|e| files::cannot_write(&wish.output, &e))?;
    let mut names = String::new();
    for sheet in sheets {
        let path = wish.output.join(format!("{}.svg", sheet.file));
        files::write(&path, sheet.svg.as_bytes())?;
        // Writing to a string can't fail.
        let _ = writeln!(names, "{}", path.display());
    }
    print(&names)
}
