//! The sections of a link: what most plans have not.
//!
//! Each stands behind its name and its length, and only where the plan has it. A page that doesn't know
//! a section leaves it out and says so if it is **optional**, or else refuses the link as newer.
//!
//! **Add a section** to the end of [`SECTIONS`] with the next number: whether the plan has it, and how it
//! is passed, in both directions at once. What a section's bytes stand for never changes; what its
//! things get later is a section of its own.

use super::LinkError;
use super::entries::{crop, pass_ground};
use super::wire::{Passed, Wire, push_whole, take_length};
use crate::areas::{Area, AreaShape, AreaWork, PLACES_PER_MM, ShapeKind};
use crate::faults::{FAULT_KINDS, Fault, FaultKind};
use crate::lines::LineWork;
use crate::made_for::LIKENESS_CELLS;
use crate::states::{Edition, LaterBite, LaterGround, State, Tool, ToolWork, Work};
use crate::types::Plan;

/// One section.
#[derive(Clone, Copy)]
pub(super) struct Section {
    /// Its name in every link.
    pub(super) number: usize,
    /// A page that doesn't know it still shows the plan as it is meant.
    pub(super) optional: bool,
    /// Whether a plan has it.
    pub(super) there: fn(&Plan) -> bool,
    /// Passes it.
    pub(super) pass: fn(&mut Wire, &mut Plan) -> Passed,
}

/// Every section.
pub(super) const SECTIONS: &[Section] = &[
    Section { number: 1, optional: false, there: |plan| !plan.areas.is_empty(), pass: areas },
    Section { number: 2, optional: false, there: |plan| plan.lines.is_some(), pass: lines },
    Section { number: 3, optional: false, there: |plan| !plan.states.is_empty(), pass: states },
    Section { number: 4, optional: true, there: |plan| plan.edition.is_some(), pass: edition },
    Section { number: 5, optional: false, there: calibrated, pass: calibration },
    Section {
        number: 6,
        optional: true,
        there: |plan| !plan.picture.made_for.is_empty(),
        pass: made_for,
    },
    Section {
        number: 7,
        optional: true,
        there: |plan| plan.picture.stand_in.is_some(),
        pass: stand_in,
    },
    Section { number: 8, optional: false, there: |plan| !plan.faults.is_empty(), pass: faults },
];

/// Appends a section: its name, of which the lowest bit tells whether it is optional, its length and
/// its bytes.
pub(super) fn push(number: usize, optional: bool, bytes: &[u8], out: &mut Vec<u8>) {
    push_whole((2 * number + usize::from(optional)) as u64, out);
    push_whole(bytes.len() as u64, out);
    out.extend_from_slice(bytes);
}

/// Takes a section from the front of `bytes`: its number, whether it is optional, and its bytes.
pub(super) fn take<'a>(bytes: &mut &'a [u8]) -> Option<(usize, bool, &'a [u8])> {
    let name = take_length(bytes)?;
    let length = take_length(bytes)?;
    let (section, rest) = bytes.split_at_checked(length)?;
    *bytes = rest;
    Some((name / 2, name % 2 == 1, section))
}

/// Writes what a plan has of these sections.
pub(super) fn write(sections: &[Section], plan: &Plan, out: &mut Vec<u8>) -> Passed {
    let mut plan = plan.clone();
    for section in sections.iter().filter(|section| (section.there)(&plan)).collect::<Vec<_>>() {
        let mut wire = Wire::Writing(Vec::new());
        (section.pass)(&mut wire, &mut plan)?;
        if let Wire::Writing(bytes) = wire {
            push(section.number, section.optional, &bytes, out);
        }
    }
    Ok(())
}

/// Reads the sections in `bytes` into a plan; gives how many were left out because they are not known.
pub(super) fn read(
    sections: &[Section],
    mut bytes: &[u8],
    plan: &mut Plan,
) -> Result<usize, LinkError> {
    let (mut unknown, mut last) = (0, 0);
    while !bytes.is_empty() {
        let (number, optional, section) = take(&mut bytes).ok_or(LinkError::Damaged)?;
        if number <= last {
            return Err(LinkError::Damaged);
        }
        last = number;
        match sections.iter().find(|known| known.number == number) {
            Some(known) => {
                let mut wire = Wire::Reading(section);
                (known.pass)(&mut wire, plan)?;
                if !matches!(wire, Wire::Reading([])) {
                    return Err(LinkError::Damaged);
                }
            }
            None if optional => unknown += 1,
            None => return Err(LinkError::NewerPart),
        }
    }
    Ok(unknown)
}

const AREA_WORKS: [AreaWork; 4] =
    [AreaWork::Hold, AreaWork::Picture, AreaWork::Split, AreaWork::Spit];

fn areas(wire: &mut Wire, plan: &mut Plan) -> Passed {
    let blank = || Area {
        name: String::new(),
        work: AreaWork::Hold,
        value: 0,
        to_value: 0,
        feather_mm: 0.0,
        spit_min: 0.0,
        axis_mm: Vec::new(),
        shapes: Vec::new(),
    };
    wire.list(&mut plan.areas, blank, |wire, area| {
        wire.text(&mut area.name)?;
        wire.one_of(&AREA_WORKS, &mut area.work)?;
        wire.byte(&mut area.value)?;
        wire.byte(&mut area.to_value)?;
        wire.number(100, &mut area.feather_mm)?;
        wire.number(100, &mut area.spit_min)?;
        flat_places(wire, &mut area.axis_mm)?;
        let blank = || AreaShape {
            kind: ShapeKind::Brush,
            away: false,
            brush_mm: 0.0,
            points_mm: Vec::new(),
        };
        wire.list(&mut area.shapes, blank, shape)
    })
}

/// Kinds of shapes, and whether one takes away.
const SHAPES: [(ShapeKind, bool); 6] = [
    (ShapeKind::Brush, false),
    (ShapeKind::Outline, false),
    (ShapeKind::Curve, false),
    (ShapeKind::Brush, true),
    (ShapeKind::Outline, true),
    (ShapeKind::Curve, true),
];

fn shape(wire: &mut Wire, shape: &mut AreaShape) -> Passed {
    let mut kind = (shape.kind, shape.away);
    wire.one_of(&SHAPES, &mut kind)?;
    (shape.kind, shape.away) = kind;
    wire.number(100, &mut shape.brush_mm)?;
    flat_places(wire, &mut shape.points_mm)
}

/// Places of an area: x, y, x, y …
fn flat_places(wire: &mut Wire, places_mm: &mut Vec<f64>) -> Passed {
    let mut pairs = places_mm.as_chunks::<2>().0.to_vec();
    wire.places(PLACES_PER_MM, &mut pairs)?;
    *places_mm = pairs.into_iter().flatten().collect();
    Ok(())
}

fn lines(wire: &mut Wire, plan: &mut Plan) -> Passed {
    let lines = plan.lines.get_or_insert_with(LineWork::usual);
    wire.text(&mut lines.picture)?;
    crop(wire, &mut lines.crop)?;
    wire.number(10, &mut lines.open_below_l)?;
    wire.number(4, &mut lines.bite_min)
}

fn states(wire: &mut Wire, plan: &mut Plan) -> Passed {
    let first = plan.clone();
    wire.list(&mut plan.states, State::default, |wire, state| {
        wire.text(&mut state.name)?;
        wire.short(&mut state.from_state)?;
        wire.list(&mut state.work, || Work::Tool(no_tool()), |wire, one| work(wire, one, &first))
    })
}

fn no_tool() -> ToolWork {
    ToolWork {
        tool: Tool::Scraper,
        passage: false,
        width_mm: 0.0,
        take_um: 0.0,
        points_mm: Vec::new(),
    }
}

/// What is worked with, and whether it is over a passage; `None` for a new ground.
const WORKS: [Option<(Tool, bool)>; 11] = [
    None,
    Some((Tool::Scraper, false)),
    Some((Tool::Point, false)),
    Some((Tool::Burnisher, false)),
    Some((Tool::Polish, false)),
    Some((Tool::Scraper, true)),
    Some((Tool::Point, true)),
    Some((Tool::Burnisher, true)),
    Some((Tool::Polish, true)),
    Some((Tool::Hammer, false)),
    Some((Tool::Hammer, true)),
];

/// Places to a millimetre in the work on states.
const TENTHS: f64 = 10.0;

fn work(wire: &mut Wire, work: &mut Work, first: &Plan) -> Passed {
    let mut kind = match work {
        Work::Tool(tool) => Some((tool.tool, tool.passage)),
        Work::Ground(_) => None,
    };
    wire.one_of(&WORKS, &mut kind)?;
    if let Some((tool, passage)) = kind {
        let mut with = if let Work::Tool(with) = work { with.clone() } else { no_tool() };
        (with.tool, with.passage) = (tool, passage);
        wire.number(10, &mut with.width_mm)?;
        wire.number(10, &mut with.take_um)?;
        wire.places(TENTHS, &mut with.points_mm)?;
        *work = Work::Tool(with);
        return Ok(());
    }
    let mut new = match work {
        Work::Ground(new) => new.clone(),
        Work::Tool(_) => LaterGround {
            seed: 0,
            dust: first.dust.clone(),
            bake: first.bake.clone(),
            bath: first.bath.clone(),
            outline_mm: Vec::new(),
            bites: Vec::new(),
        },
    };
    ground(wire, &mut new, first)?;
    *work = Work::Ground(new);
    Ok(())
}

/// A later ground; what of its dust, bake and bath is as under the first one is not written.
fn ground(wire: &mut Wire, ground: &mut LaterGround, first: &Plan) -> Passed {
    wire.short(&mut ground.seed)?;
    let mut own = Plan {
        dust: ground.dust.clone(),
        bake: ground.bake.clone(),
        bath: ground.bath.clone(),
        ..Plan::default()
    };
    pass_ground(wire, &mut own, first)?;
    (ground.dust, ground.bake, ground.bath) = (own.dust, own.bake, own.bath);
    wire.places(TENTHS, &mut ground.outline_mm)?;
    let blank = || LaterBite { bite_min: 0.0, from_value: 0, to_value: 0 };
    wire.list(&mut ground.bites, blank, |wire, bite| {
        wire.number(4, &mut bite.bite_min)?;
        wire.short(&mut bite.from_value)?;
        wire.short(&mut bite.to_value)
    })
}

fn edition(wire: &mut Wire, plan: &mut Plan) -> Passed {
    let edition = plan.edition.get_or_insert_with(Edition::default);
    wire.short(&mut edition.impressions)?;
    wire.flag(&mut edition.steel_faced)?;
    wire.number(100, &mut edition.paper_reflectance)?;
    wire.number(10, &mut edition.sheet_width_mm)?;
    wire.number(10, &mut edition.sheet_height_mm)?;
    wire.number(10, &mut edition.minutes_each)
}

fn calibrated(plan: &Plan) -> bool {
    !plan.calibration.is_empty() || !plan.calibration_name.is_empty()
}

fn calibration(wire: &mut Wire, plan: &mut Plan) -> Passed {
    wire.text(&mut plan.calibration_name)?;
    let mut all: Vec<(String, f64)> = std::mem::take(&mut plan.calibration).into_iter().collect();
    wire.list(
        &mut all,
        || (String::new(), 0.0),
        |wire, (name, value)| {
            wire.text(name)?;
            wire.number(1_000_000, value)
        },
    )?;
    let count = all.len();
    plan.calibration = all.into_iter().collect();
    // A constant calibrated twice.
    if plan.calibration.len() == count { Ok(()) } else { Err(LinkError::Damaged) }
}

/// What the picture is like; lightness in halves.
fn made_for(wire: &mut Wire, plan: &mut Plan) -> Passed {
    let made_for = &mut plan.picture.made_for.0;
    made_for.resize(2 + LIKENESS_CELLS, 0.0);
    for (i, number) in made_for.iter_mut().enumerate() {
        if i < 2 {
            let mut side_px = *number as u32;
            wire.short(&mut side_px)?;
            *number = f64::from(side_px);
        } else {
            let mut halves = (2.0 * *number) as u8;
            wire.byte(&mut halves)?;
            *number = f64::from(halves) / 2.0;
        }
    }
    Ok(())
}

fn stand_in(wire: &mut Wire, plan: &mut Plan) -> Passed {
    crop(wire, plan.picture.stand_in.get_or_insert_default())
}

fn faults(wire: &mut Wire, plan: &mut Plan) -> Passed {
    wire.list(
        &mut plan.faults,
        || Fault::usual(FaultKind::Draught),
        |wire, fault| {
            wire.one_of(&FAULT_KINDS, &mut fault.kind)?;
            wire.number(10, &mut fault.x_mm)?;
            wire.number(10, &mut fault.y_mm)?;
            wire.number(10, &mut fault.radius_mm)?;
            wire.number(100, &mut fault.size)?;
            wire.short(&mut fault.seed)?;
            wire.short(&mut fault.from_bite)
        },
    )
}
