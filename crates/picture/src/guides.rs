//! Stop-out guides: for each step a sheet at true size that shows what is covered already and what to
//! cover now, as SVG with a millimetre to the unit.

mod draw;
mod frame;
mod hatch;
mod layout;

use crate::areas::{PictureAreas, StopOut};
use crate::outline::Ring;
use draw::Drawn;
use layout::{Layout, Place};
use plan::{AreaWork, Plan};

/// What the guides are printed on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GuidePaper {
    /// 210 × 297 mm.
    A4,
    /// 297 × 420 mm.
    A3,
    /// 8½ × 11 in.
    Letter,
    /// One sheet for the whole plate, for a light table or a transfer.
    Whole,
}

impl GuidePaper {
    /// By its word: `a4`, `a3`, `letter`, `whole`.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "a4" => Self::A4,
            "a3" => Self::A3,
            "letter" => Self::Letter,
            "whole" => Self::Whole,
            _ => return None,
        })
    }

    /// Width and height upright, mm.
    fn upright_mm(self) -> Option<(f64, f64)> {
        match self {
            Self::A4 => Some((210.0, 297.0)),
            Self::A3 => Some((297.0, 420.0)),
            Self::Letter => Some((215.9, 279.4)),
            Self::Whole => None,
        }
    }
}

/// Which way round a guide is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GuideFace {
    /// As one looks at the bitten face of the copper: the print's mirror image.
    Copper,
    /// As printed.
    Paper,
}

/// One sheet of the guides.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Guide {
    /// What is done by it: “Stop out value 2”.
    pub name: String,
    /// When: “after bite 2, before bite 3”.
    pub when: String,
    /// After how many bites; nothing for the sheet that shows how the others join.
    pub after_bites: Option<usize>,
    /// Which sheet of the step: `A1` is its upper left; empty where there is one.
    pub sheet: String,
    /// A name for its file, without ending.
    pub file: String,
    /// Size of the sheet, mm.
    pub width_mm: f64,
    /// Height of the sheet, mm.
    pub height_mm: f64,
    /// The sheet itself.
    pub svg: String,
}

/// Cells that outlines are told on, and how far they may be off, mm: finer than any brush.
const CELL_MM: f64 = 0.1;
const TOLERANCE_MM: f64 = 0.08;

/// Soft work to be seen on a sheet: its outlines on the print and what to do there.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Soft {
    pub(crate) rings: Vec<Ring>,
    pub(crate) words: String,
}

/// The guides of every step at which something is done, or of one step, after `only` bites. Where
/// the plate is larger than the paper, a sheet that shows how the others join comes first.
#[must_use]
pub fn guides(
    areas: &PictureAreas,
    plan: &Plan,
    paper: GuidePaper,
    face: GuideFace,
    only: Option<usize>,
) -> Vec<Guide> {
    let bites = plan.bites.len();
    let wanted = |step: &usize| only.is_none_or(|only| only == *step);
    let steps: Vec<usize> = (0..bites).filter(wanted).collect();
    let layout = Layout::new(paper, plan.plate.width_mm, plan.plate.height_mm);
    let drawn: Vec<Drawn> = areas
        .stop_outs(&steps, CELL_MM, TOLERANCE_MM)
        .into_iter()
        .filter_map(|step| {
            let soft = soft_work(areas, plan, step.after_bites);
            (!step.cover.is_empty() || !soft.is_empty())
                .then(|| Drawn::new(plan, face, &layout, step, soft))
        })
        .collect();
    let mut sheets = Vec::new();
    if layout.is_tiled() && only.is_none() && !drawn.is_empty() {
        sheets.push(overview(plan, face, &layout, &drawn));
    }
    for step in &drawn {
        sheets.extend(layout.places().map(|place| sheet(step, &layout, place)));
    }
    sheets
}

fn sheet(step: &Drawn, layout: &Layout, place: Place) -> Guide {
    let sheet = if layout.is_tiled() { place.name() } else { String::new() };
    let after = step.after_bites;
    let dash = if sheet.is_empty() { "" } else { "-" };
    Guide {
        name: step.name.clone(),
        when: step.when.clone(),
        after_bites: Some(after),
        file: format!("stop-out-{after}-before-bite-{}{dash}{}", after + 1, sheet.to_lowercase()),
        sheet,
        width_mm: layout.page_mm.0,
        height_mm: layout.page_mm.1,
        svg: step.sheet(layout, place),
    }
}

fn overview(plan: &Plan, face: GuideFace, layout: &Layout, steps: &[Drawn]) -> Guide {
    Guide {
        name: "How the sheets join".to_owned(),
        when: format!("{} steps of {} sheets each", steps.len(), layout.places().count()),
        after_bites: None,
        sheet: String::new(),
        file: "how-the-sheets-join".to_owned(),
        width_mm: layout.page_mm.0,
        height_mm: layout.page_mm.1,
        svg: draw::overview(plan, face, layout, steps),
    }
}

/// Spit-bite comes before the first bite; a feathered edge is made when its area is covered.
fn soft_work(areas: &PictureAreas, plan: &Plan, after_bites: usize) -> Vec<Soft> {
    let mut all = Vec::new();
    for (number, area) in plan.areas.iter().enumerate() {
        let (low, high) = match area.work {
            AreaWork::Hold => (area.value, area.value),
            AreaWork::Split => (area.value.min(area.to_value), area.value.max(area.to_value)),
            AreaWork::Spit => (0, 0),
            AreaWork::Picture => continue,
        };
        let now = (usize::from(low)..=usize::from(high)).contains(&after_bites);
        if !now || (area.work != AreaWork::Spit && area.feather_mm <= 0.0) {
            continue;
        }
        let mut words = match area.work {
            AreaWork::Spit => format!("spit-bite first, {} min", frame::minutes(area.spit_min)),
            _ => format!("feather over {} mm", area.feather_mm),
        };
        if area.work == AreaWork::Spit && area.feather_mm > 0.0 {
            words += &format!(", fading over {} mm", area.feather_mm);
        }
        let rings = areas.hand_rings(number, CELL_MM, TOLERANCE_MM);
        all.push(Soft { rings, words });
    }
    all
}

/// The step in words: what, and when.
fn step_words(StopOut { after_bites, .. }: &StopOut) -> (String, String) {
    match after_bites {
        0 => ("Stop out the whites".to_owned(), "before bite 1".to_owned()),
        n => (format!("Stop out value {n}"), format!("after bite {n}, before bite {}", n + 1)),
    }
}
