//! Stop-out guides: for each step a sheet at true size that shows what is covered already and what to
//! cover now, as SVG with a millimetre to the unit.

mod draw;
mod frame;
mod hatch;
mod layout;

use crate::areas::PictureAreas;
use crate::outline::Ring;
use draw::Drawn;
use layout::{Layout, Place};
use plan::order::{TimedBite, bites_in_words, spit_name};
use plan::{AreaWork, Plan, Unit, Units, quantity};
use plate::chain::ValueAreas as _;

/// What the guides are printed on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
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

/// How guides are wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GuideWish {
    /// What they are printed on.
    pub paper: GuidePaper,
    /// Which way round.
    pub face: GuideFace,
    /// Units of their words and of the ruler on them.
    pub units: Units,
}

/// One sheet of the guides.
#[derive(Clone, Debug, PartialEq, serde::Serialize, ts_rs::TS)]
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

/// One step of the work that has guides.
struct Step {
    /// What is done: “Stop out value 2”.
    name: String,
    /// When: “after bite 2, before bite 3 (4 min)”.
    when: String,
    /// A name for its file, without the sheet's.
    file: String,
    /// Values stopped out, from the first to the last; nothing for a spit-bite.
    values: Option<(usize, usize)>,
    /// Place in the plan of the area to be spit-bitten.
    spit: Option<usize>,
}

impl Step {
    fn after_bites(&self) -> usize {
        self.values.map_or(0, |(_, last)| last)
    }
}

/// The steps in the order of the work, as the bench sheet numbers them (`plan::order`).
fn steps(areas: &PictureAreas, plan: &Plan) -> Vec<Step> {
    let there = plan.values_there(areas.shares());
    let bites = plan.timed_bites(there);
    let mut steps = Vec::new();
    for (place, area) in plan.areas.iter().enumerate() {
        if area.work == AreaWork::Spit {
            steps.push(Step {
                name: ["Spit-bite: ", &spit_name(area, place + 1)].concat(),
                when: "before the whites are stopped out".to_owned(),
                file: ["spit-bite-", &(steps.len() + 1).to_string()].concat(),
                values: None,
                spit: Some(place),
            });
        }
    }
    for (i, next) in bites.iter().enumerate() {
        let before = ["before ", &with_minutes(next)].concat();
        let (name, when, values) = match i.checked_sub(1).map(|i| bites[i]) {
            Some(done) => (
                ["Stop out value ", &done.last.to_string()].concat(),
                ["after ", &bites_in_words(done.first, done.last), ", ", &before].concat(),
                (done.first, done.last),
            ),
            None if there.has(0) => ("Stop out the whites".to_owned(), before, (0, 0)),
            None => continue,
        };
        steps.push(Step {
            name,
            when,
            file: format!("stop-out-{}-before-bite-{}", values.1, next.first),
            values: Some(values),
            spit: None,
        });
    }
    steps
}

/// `bite 3 (4 min)`, `bites 3 and 4 in one (9 min)`.
fn with_minutes(bite: &TimedBite) -> String {
    let in_one = if bite.first == bite.last { "" } else { " in one" };
    let minutes = frame::minutes(bite.bite_min);
    [&bites_in_words(bite.first, bite.last), in_one, " (", &minutes, " min)"].concat()
}

/// The guides of every step at which something is done, or of those after `only` bites (before the
/// first there may be several). Where the plate is larger than the paper, a sheet that shows how the
/// others join comes first.
#[must_use]
pub fn guides(
    areas: &PictureAreas,
    plan: &Plan,
    wish: GuideWish,
    only: Option<usize>,
) -> Vec<Guide> {
    let mut steps = steps(areas, plan);
    steps.retain(|step| only.is_none_or(|only| only == step.after_bites()));
    let layout = Layout::new(wish.paper, plan.plate.width_mm, plan.plate.height_mm);
    let values: Vec<_> = steps.iter().filter_map(|step| step.values).collect();
    let mut stop_outs = if values.is_empty() {
        Vec::new()
    } else {
        areas.stop_outs(&values, CELL_MM, TOLERANCE_MM)
    }
    .into_iter();
    let drawn: Vec<Drawn> = steps
        .into_iter()
        .map(|step| {
            let soft = soft_work(areas, plan, wish.units, &step);
            let rings = step.values.and_then(|_| stop_outs.next());
            Drawn::new(plan, wish, &layout, step, rings.unwrap_or_default(), soft)
        })
        .collect();
    let mut sheets = Vec::new();
    if layout.is_tiled() && only.is_none() && !drawn.is_empty() {
        sheets.push(overview(plan, wish, &layout, &drawn));
    }
    for step in &drawn {
        sheets.extend(layout.places().map(|place| sheet(step, &layout, place)));
    }
    sheets
}

fn sheet(step: &Drawn, layout: &Layout, place: Place) -> Guide {
    let sheet = if layout.is_tiled() { place.name() } else { String::new() };
    let dash = if sheet.is_empty() { "" } else { "-" };
    Guide {
        name: step.name.clone(),
        when: step.when.clone(),
        after_bites: Some(step.after_bites),
        file: format!("{}{dash}{}", step.file, sheet.to_ascii_lowercase()),
        sheet,
        width_mm: layout.page_mm.0,
        height_mm: layout.page_mm.1,
        svg: step.sheet(layout, place),
    }
}

fn overview(plan: &Plan, wish: GuideWish, layout: &Layout, steps: &[Drawn]) -> Guide {
    Guide {
        name: "How the sheets join".to_owned(),
        when: format!("{} steps of {} sheets each", steps.len(), layout.places().count()),
        after_bites: None,
        sheet: String::new(),
        file: "how-the-sheets-join".to_owned(),
        width_mm: layout.page_mm.0,
        height_mm: layout.page_mm.1,
        svg: draw::overview(plan, wish, layout, steps),
    }
}

/// The area of a spit-bite; areas with a feathered edge, which is made when they are covered.
fn soft_work(areas: &PictureAreas, plan: &Plan, units: Units, step: &Step) -> Vec<Soft> {
    let wide = |mm| quantity(mm, Unit::Mm, 1).in_units(units);
    let mut all = Vec::new();
    for (number, area) in plan.areas.iter().enumerate() {
        let words = if step.spit == Some(number) {
            let fading = if area.feather_mm > 0.0 {
                format!(", fading over {}", wide(area.feather_mm))
            } else {
                String::new()
            };
            format!("brush etchant on, {} min{fading}", frame::minutes(area.spit_min))
        } else {
            let (low, high) = match area.work {
                AreaWork::Hold => (area.value, area.value),
                AreaWork::Split => (area.value.min(area.to_value), area.value.max(area.to_value)),
                AreaWork::Spit | AreaWork::Picture => continue,
            };
            let now = step.values.is_some_and(|(first, last)| {
                first <= usize::from(high) && usize::from(low) <= last
            });
            if !now || area.feather_mm <= 0.0 {
                continue;
            }
            format!("feather over {}", wide(area.feather_mm))
        };
        all.push(Soft { rings: areas.hand_rings(number, CELL_MM, TOLERANCE_MM), words });
    }
    all
}
