//! Plans and pictures from disk.

use crate::pictures::Picture;
use crate::{Outcome, Source};
use picture::{LineAreas, PictureAreas, ToneMap, Toning};
use plan::{Crop, LineWork, PictureSource, Plan};
use plate::chain::{Job, OpenLines, Plate, Refused, Renderer, View};
use std::path::Path;
use std::sync::Arc;

/// A job as it is read from the command line, and how its plate is looked at. The one place where they
/// are put together.
pub(crate) struct Asked {
    pub(crate) job: Job,
    pub(crate) view: View,
    /// The picture, as fine as the plan's crop asks for.
    pub(crate) tones: Arc<ToneMap>,
    areas: Arc<PictureAreas>,
    /// Pixels of the whole picture by lightness L* 0–100.
    histogram: Vec<u32>,
    line_tones: Option<Arc<ToneMap>>,
}

impl Asked {
    /// Reads plan and pictures; with `--fit`, the plan takes the picture's crop and thresholds.
    pub(crate) fn read(source: &Source) -> Outcome<Self> {
        let mut plan = match &source.plan {
            Some(path) => read_plan(path)?,
            None => Plan::default(),
        };
        if let Some(state) = source.state
            && (state == 0 || state > plan.states.len() + 1)
        {
            let last = plan.states.len() + 1;
            return Err(format!("There is no state {state}; this plan has states 1 to {last}."));
        }
        let picture = source.picture.as_deref().map(Picture::decode).transpose()?;
        let (tones, histogram, size_px) = match (&picture, &source.picture) {
            (Some(picture), Some(path)) => {
                let whole = picture.read(Crop::default())?;
                plan.picture.source = PictureSource::File(file_name(path));
                let is = picture::likeness(&whole).of_size(picture.width, picture.height);
                meet(&mut plan.picture, is, source.fit);
                if source.fit {
                    plan.picture.crop = widest(picture, &plan);
                }
                let tones = picture.read(plan.picture.crop)?;
                (tones, whole.histogram().to_vec(), picture.size_px())
            }
            _ if plan.picture.source == PictureSource::Harbour => {
                let tones = picture::harbour(picture::HARBOUR_WIDTH, picture::HARBOUR_HEIGHT);
                let size_px = (tones.width as f64, tones.height as f64);
                if source.fit {
                    let plate_mm = (plan.plate.width_mm, plan.plate.height_mm);
                    plan.picture.crop = picture::Frame::new(size_px, plate_mm).widest();
                }
                let histogram = tones.histogram().to_vec();
                (tones, histogram, size_px)
            }
            _ => {
                return Err("This plan belongs to a picture that is not in it. Name the picture with --picture.".to_owned());
            }
        };
        let line_tones = match &source.lines {
            Some(path) => {
                let lines = Picture::decode(path)?;
                let crop = lines_of(&mut plan, path, &lines, size_px);
                Some(Arc::new(lines.read(crop)?))
            }
            None => None,
        };
        let tones = Arc::new(tones);
        let (job, areas) = put_together(plan, &tones, line_tones.as_ref());
        let view = View { state: source.state, printed: source.print.into(), inking: None };
        let mut asked = Self { job, view, tones, areas, histogram, line_tones };
        if source.fit {
            asked.fit()?;
        }
        Ok(asked)
    }

    /// Brings the plan to a picture that is new to it, by what it prints; the page does the same.
    fn fit(&mut self) -> Outcome<()> {
        let renderer = &mut Renderer::default();
        let plate = self.plate(renderer)?;
        let values = renderer.look(&plate, &self.view).values();
        let printed_l: Vec<f64> = values.iter().map(|value| value.lightness).collect();
        let met = picture::newly_met(self.tones.clone(), self.plan(), &printed_l);
        met.notices.iter().for_each(|said| eprintln!("{said}"));
        let plan = met.plan;
        (self.job, self.areas) = put_together(plan, &self.tones, self.line_tones.as_ref());
        Ok(())
    }

    /// The plan.
    pub(crate) fn plan(&self) -> &Plan {
        &self.job.plan
    }

    /// The areas, to be asked for outlines.
    pub(crate) fn picture_areas(&self) -> &PictureAreas {
        &self.areas
    }

    /// Pixels of the whole picture by lightness L* 0–100, as the plan changes its tones.
    pub(crate) fn histogram(&self) -> Vec<u32> {
        Toning::of(&self.plan().picture).histogram(&self.histogram)
    }

    /// Computes the plate.
    pub(crate) fn plate(&self, renderer: &mut Renderer) -> Outcome<Plate> {
        if self.line_tones.is_none() && self.plan().lines.is_some() {
            return Err("This plan begins on etched lines, whose picture is not in it. Name that picture with --lines.".to_owned());
        }
        renderer.plate(&self.job).map_err(words)
    }
}

/// A plan with what its pictures lay on the plate.
fn put_together(
    plan: Plan,
    tones: &Arc<ToneMap>,
    line_tones: Option<&Arc<ToneMap>>,
) -> (Job, Arc<PictureAreas>) {
    let areas = Arc::new(PictureAreas::new(tones.clone(), &plan));
    let lines = line_tones.and_then(|tones| LineAreas::new(tones.clone(), &plan));
    let lines = lines.map(|lines| Arc::new(lines) as Arc<dyn OpenLines>);
    (Job::new(plan, areas.clone()).with_lines(lines), areas)
}

/// Refusals as text, one a line.
pub(crate) fn words(refused: Refused) -> String {
    refused.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

fn file_name(path: &Path) -> String {
    path.file_name().unwrap_or_default().to_string_lossy().into()
}

/// The largest crop of a picture on a plan's plate.
fn widest(picture: &Picture, plan: &Plan) -> Crop {
    let Picture { width, height, .. } = picture;
    picture::crop_to_plate(*width, *height, plan.plate.width_mm, plan.plate.height_mm)
}

/// Which part of a picture of lines lies on the plate; a plan that says nothing of lines begins to.
fn lines_of(plan: &mut Plan, path: &Path, lines: &Picture, picture_px: (f64, f64)) -> Crop {
    let plate_mm = (plan.plate.width_mm, plan.plate.height_mm);
    let picture_crop = plan.picture.crop;
    let lines = plan.lines.get_or_insert_with(|| LineWork {
        picture: file_name(path),
        crop: picture::crop_of_lines(lines.size_px(), picture_px, picture_crop, plate_mm),
        ..LineWork::usual()
    });
    lines.crop
}

/// Lets a plan know its picture again, or says that it was made for another.
fn meet(plan: &mut plan::Picture, is: plan::MadeFor, fit: bool) {
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

/// Writes a file, with a sentence if it can't be done.
pub(crate) fn write(path: &Path, bytes: &[u8]) -> Outcome<()> {
    std::fs::write(path, bytes).map_err(|error| cannot_write(path, &error))
}

/// The sentence for a file that can't be written.
pub(crate) fn cannot_write(path: &Path, error: &dyn std::fmt::Display) -> String {
    format!("{} can't be written ({error}). Choose another place.", path.display())
}
