//! Links made and read natively: the same text as the page's.

use crate::{Outcome, Source, files, files::Asked, table};
use picture::Toning;
use picture::miniature::{Miniature, link_with_picture};
use plan::link::encode;
use plate::check::read_link;
use std::path::{Path, PathBuf};

/// What is to be done with a link.
#[derive(clap::Subcommand)]
pub(crate) enum Work {
    /// Prints a plan's link: what stands after the `#` of the page's address.
    Make {
        #[command(flatten)]
        source: Source,
        /// Put a small picture in, as large as leaves the whole link within 2000 characters.
        #[arg(long)]
        with_picture: bool,
        /// Characters of the address that will stand before the `#`.
        #[arg(long, default_value_t = 0)]
        address_chars: usize,
    },
    /// Prints the plan in a link as a plan file.
    Read {
        /// The link, or the whole address.
        link: String,
        /// Where to write the link's small picture, as a grey PNG.
        #[arg(long)]
        small_picture: Option<PathBuf>,
    },
}

/// Makes or reads a link.
pub(crate) fn work(work: &Work) -> Outcome<()> {
    match work {
        Work::Make { source, with_picture, address_chars } => {
            make(source, *with_picture, *address_chars)
        }
        Work::Read { link, small_picture } => read(link, small_picture.as_deref()),
    }
}

fn make(source: &Source, with_picture: bool, address_chars: usize) -> Outcome<()> {
    let link = if with_picture {
        let asked = Asked::read(source)?;
        link_with_picture(&asked.tones, asked.plan(), address_chars)?
    } else {
        // A picture that is named is met with, and the plan fitted to it where that is asked for.
        let plan = match &source.plan {
            _ if source.picture.is_some() => Asked::read(source)?.plan().clone(),
            Some(path) => files::read_plan(path)?,
            None => plan::Plan::default(),
        };
        encode(&plan, None).map_err(|error| error.to_string())?
    };
    table::print(&format!("{link}\n"))
}

fn read(link: &str, small_picture: Option<&Path>) -> Outcome<()> {
    let opened = read_link(link).map_err(|error| error.to_string())?;
    for said in opened.plan.other_model().into_iter().chain(opened.said()) {
        eprintln!("{said}");
    }
    if let Some(lesson) = &opened.lesson {
        eprintln!("With it came a lesson, “{}”: the page shows it.", lesson.title);
    }
    if let Some(path) = small_picture {
        let code =
            opened.miniature.ok_or("This link holds no picture: leave out --small-picture.")?;
        let small = Miniature::decode(&code).map_err(|error| error.to_string())?;
        let tones = small.tones(&Toning::thresholds_l(&opened.plan.picture));
        let grey: Vec<u8> = tones.to_rgba().chunks_exact(4).map(|pixel| pixel[0]).collect();
        let file = std::fs::File::create(path).map_err(|e| files::cannot_write(path, &e))?;
        let mut png = png::Encoder::new(file, tones.width as u32, tones.height as u32);
        png.set_color(png::ColorType::Grayscale);
        let mut writer = png.write_header().map_err(|e| files::cannot_write(path, &e))?;
        writer.write_image_data(&grey).map_err(|e| files::cannot_write(path, &e))?;
    }
    table::print(&opened.plan.to_json())
}
