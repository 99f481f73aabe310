//! Plans and pictures from disk.

use crate::{Outcome, Source};
use picture::{LineAreas, PictureAreas, ToneMap};
use plan::{LineWork, PictureSource, Plan};
use plate::chain::{Job, OpenLines, Plate, Refused, Renderer, View};
use std::path::Path;
use std::sync::Arc;

/// A job as it is read from the command line, and how its plate is looked at. The one place where they
/// are put together.
pub(crate) struct Asked {
    pub(crate) job: Job,
    pub(crate) view: View,
    areas: Arc<PictureAreas>,
    tones: Arc<ToneMap>,
    /// The plan begins on etched lines, and their picture was not named.
    lines_missing: bool,
}

impl Asked {
    /// Reads plan, picture and lines.
    pub(crate) fn read(source: &Source) -> Outcome<Self> {
        let (plan, tones) = read_source(source)?;
        let tones = Arc::new(tones);
        let areas = Arc::new(PictureAreas::new(tones.clone(), &plan));
        if let Some(state) = source.state
            && (state == 0 || state > plan.states.len() + 1)
        {
            let last = plan.states.len() + 1;
            return Err(format!("There is no state {state}; this plan has states 1 to {last}."));
        }
        let lines = match &source.lines {
            Some(path) => LineAreas::new(Arc::new(read_picture(path)?), &plan),
            None => None,
        };
        let lines_missing = source.lines.is_none() && plan.lines.is_some();
        let lines = lines.map(|lines| Arc::new(lines) as Arc<dyn OpenLines>);
        let printed = source.print.into();
        Ok(Self {
            job: Job::new(plan, areas.clone()).with_lines(lines),
            view: View { state: source.state, printed, inking: None },
            areas,
            tones,
            lines_missing,
        })
    }

    /// The plan.
    pub(crate) fn plan(&self) -> &Plan {
        &self.job.plan
    }

    /// The areas, to be asked for outlines.
    pub(crate) fn picture_areas(&self) -> &PictureAreas {
        &self.areas
    }

    /// Picture pixels by lightness L* 0–100.
    pub(crate) fn histogram(&self) -> Vec<u32> {
        self.tones.histogram().to_vec()
    }

    /// Computes the plate.
    pub(crate) fn plate(&self, renderer: &mut Renderer) -> Outcome<Plate> {
        if self.lines_missing {
            return Err("This plan begins on etched lines, whose picture is not in it. Name that picture with --lines.".to_owned());
        }
        renderer.plate(&self.job).map_err(words)
    }
}

/// Refusals as text, one a line.
pub(crate) fn words(refused: Refused) -> String {
    refused.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

/// Reads plan and picture; with `--fit`, the plan takes the picture's crop and thresholds.
pub(crate) fn read_source(source: &Source) -> Outcome<(Plan, ToneMap)> {
    let mut plan = match &source.plan {
        Some(path) => read_plan(path)?,
        None => Plan::default(),
    };
    let tones = match &source.picture {
        Some(path) => {
            let tones = read_picture(path)?;
            plan.picture.source =
                PictureSource::File(path.file_name().unwrap_or_default().to_string_lossy().into());
            meet(&mut plan.picture, &tones, source.fit);
            tones
        }
        None if plan.picture.source == PictureSource::Harbour => {
            picture::harbour(picture::HARBOUR_WIDTH, picture::HARBOUR_HEIGHT)
        }
        None => {
            return Err("This plan belongs to a picture that is not in it. Name the picture with --picture.".to_owned());
        }
    };
    if source.fit {
        plan.picture.crop = picture::crop_to_plate(
            tones.width,
            tones.height,
            plan.plate.width_mm,
            plan.plate.height_mm,
        );
        plan.picture.thresholds_l =
            picture::suggest_thresholds(&tones, plan.picture.crop, plan.bites.len());
    }
    if let (Some(path), None) = (&source.lines, &plan.lines) {
        let lines = read_picture(path)?;
        let (width_mm, height_mm) = (plan.plate.width_mm, plan.plate.height_mm);
        plan.lines = Some(LineWork {
            picture: path.file_name().unwrap_or_default().to_string_lossy().into(),
            crop: picture::crop_to_plate(lines.width, lines.height, width_mm, height_mm),
            ..LineWork::usual()
        });
    }
    Ok((plan, tones))
}

/// Lets a plan know its picture again, or says that it was made for another.
fn meet(plan: &mut plan::Picture, tones: &ToneMap, fit: bool) {
    let is = picture::likeness(tones);
    let known = &plan.made_for;
    if picture::same_picture(known, &is) {
        // The real one, where a link's small picture stood in for it.
        if let Some(part) = plan.stand_in.take() {
            plan.crop = plan.crop.within(part);
        }
    } else if plan.stand_in.is_some() {
        // The small picture itself.
        return;
    } else if let (Some(([width, height], _)), false) = (known.parts(), fit) {
        eprintln!(
            "This plan was made for another picture, {width} × {height} pixels. Its crop and thresholds are used as they are; --fit fits them to this one."
        );
    }
    plan.made_for = is;
}

/// Reads and checks a plan file.
pub(crate) fn read_plan(path: &Path) -> Outcome<Plan> {
    let bytes = std::fs::read(path).map_err(|error| {
        format!("The plan {} can't be read ({error}). Check the name.", path.display())
    })?;
    let text = text_of(&bytes).ok_or_else(|| {
        format!(
            "The plan {} is no text in UTF-8 or UTF-16. Choose a plan file saved by Platewright.",
            path.display()
        )
    })?;
    let plan = plate::check::read(&text).map_err(|problems| {
        problems
            .iter()
            .map(|p| if p.field.is_empty() { p.to_string() } else { format!("{}: {p}", p.field) })
            .collect::<Vec<_>>()
            .join("\n")
    })?;
    if let Some(said) = plan.other_model() {
        eprintln!("{said}");
    }
    Ok(plan)
}

/// A file's text: UTF-8, or UTF-16 as some editors save it, with a byte-order mark or without.
fn text_of(bytes: &[u8]) -> Option<String> {
    let utf16 = |rest: &[u8], unit: fn([u8; 2]) -> u16| {
        let (pairs, odd) = rest.as_chunks::<2>();
        let units: Vec<u16> = pairs.iter().map(|pair| unit(*pair)).collect();
        String::from_utf16(&units).ok().filter(|_| odd.is_empty())
    };
    match bytes {
        [0xEF, 0xBB, 0xBF, rest @ ..] => String::from_utf8(rest.to_vec()).ok(),
        [0xFF, 0xFE, rest @ ..] => utf16(rest, u16::from_le_bytes),
        [0xFE, 0xFF, rest @ ..] => utf16(rest, u16::from_be_bytes),
        // A plan begins with a brace or a space: a nought beside it is the other half of its unit.
        [0, _, ..] => utf16(bytes, u16::from_be_bytes),
        [_, 0, ..] => utf16(bytes, u16::from_le_bytes),
        _ => String::from_utf8(bytes.to_vec()).ok(),
    }
}

fn read_picture(path: &Path) -> Outcome<ToneMap> {
    let (rgba, width, height) = read_rgba(path)?;
    ToneMap::from_rgba(&rgba, width, height).map_err(|error| error.to_string())
}

/// A picture's pixels, turned upright: red, green, blue, alpha; width and height.
pub(crate) fn read_rgba(path: &Path) -> Outcome<(Vec<u8>, usize, usize)> {
    use image::ImageDecoder;
    let refuse = |error: &dyn std::fmt::Display| {
        format!(
            "{} can't be read as a picture ({error}). Use a PNG, JPEG or WebP file.",
            path.display()
        )
    };
    let reader = image::ImageReader::open(path).and_then(image::ImageReader::with_guessed_format);
    let mut decoder = reader.map_err(|e| refuse(&e))?.into_decoder().map_err(|e| refuse(&e))?;
    let orientation = decoder.orientation().map_err(|e| refuse(&e))?;
    let mut picture = image::DynamicImage::from_decoder(decoder).map_err(|e| refuse(&e))?;
    picture.apply_orientation(orientation);
    let rgba = picture.into_rgba8();
    let (width, height) = rgba.dimensions();
    Ok((rgba.into_raw(), width as usize, height as usize))
}

/// Writes a file, with a sentence if it can't be done.
pub(crate) fn write(path: &Path, bytes: &[u8]) -> Outcome<()> {
    std::fs::write(path, bytes).map_err(|error| cannot_write(path, &error))
}

/// The sentence for a file that can't be written.
pub(crate) fn cannot_write(path: &Path, error: &dyn std::fmt::Display) -> String {
    format!("{} can't be written ({error}). Choose another place.", path.display())
}
