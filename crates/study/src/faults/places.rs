//! Where a fault shows on a plate, and how far it usually reaches.

use plan::{Fault, FaultKind, FaultPlace, Plan};
use std::ops::RangeInclusive;

/// Which value lies where: a coarse map of the whole print, row by row.
#[derive(Clone, Copy, Debug)]
pub struct ValuesAt<'a> {
    /// A value for each cell, 0 the paper.
    pub values: &'a [u8],
    /// Cells in a row.
    pub columns: usize,
}

/// Places tried along the map's longer side.
const TRIED: usize = 48;
/// How much of its place must lie on values that show it, as a share of the best place's: of those the one nearest to the
/// plate's middle is taken, and for an exercise any.
const NEARLY_BEST: f64 = 0.85;
const GOOD: f64 = 0.9;
/// Half the width of a streak with all that it wanders, mm.
pub(super) const STREAK_HALF_MM: f64 = 3.5;
/// Where a streak is judged, from its beginning to its end: it is strongest before the half.
const STREAK_MIDDLE: f64 = 0.35;

/// A place on the print, mm, with its value and the share of what lies round it that shows the fault.
#[derive(Clone, Copy)]
struct Candidate {
    x_mm: f64,
    y_mm: f64,
    value: u8,
    share: f64,
}

/// The values on which a fault shows best, the last being the darkest: judgement, from what each does.
#[must_use]
pub fn shows_on(kind: FaultKind, last: usize) -> RangeInclusive<usize> {
    let (third, half) = (last.div_ceil(3), last.div_ceil(2));
    match kind {
        // What bites where nothing should, and what is left on clean copper.
        FaultKind::VarnishPinholes | FaultKind::UnevenWiping | FaultKind::EdgeTone => 0..=third,
        FaultKind::Fingerprint => 0..=half,
        // Deep enough to be specks, and not yet as dark all round.
        FaultKind::GroundPinholes => third..=half,
        // What keeps bath or paper away from deep places.
        FaultKind::Drip | FaultKind::DryPaper | FaultKind::WetPaper | FaultKind::MissingBlanket => {
            half..=last
        }
        FaultKind::BareBack => last..=last,
        // The rest shows where grain and depth both tell.
        _ => third..=last.saturating_sub(1).max(third),
    }
}

/// How far a fault usually reaches on a plate of this size, mm: common practice, no source.
fn usual_reach_mm(kind: FaultKind, plan: &Plan) -> f64 {
    let short = plan.plate.width_mm.min(plan.plate.height_mm);
    let reach = match kind {
        // A finger is as large as it is.
        FaultKind::Fingerprint => (0.3 * short).min(9.0),
        FaultKind::Drip => (0.1 * short).min(4.0),
        FaultKind::DrainingStreak => 0.35 * short,
        FaultKind::UnderBaked => 0.25 * short,
        FaultKind::EdgeTone => 0.08 * short,
        FaultKind::Draught => 0.18 * short,
        _ => 0.12 * short,
    };
    tenth(reach).max(0.5)
}

/// From which size on a fault is to be seen on the example's plate: tried.
pub(super) fn shows_from(kind: FaultKind) -> f64 {
    match kind {
        FaultKind::HotSpot
        | FaultKind::UnderBaked
        | FaultKind::GroundPinholes
        | FaultKind::DrainingStreak
        | FaultKind::BareBack => 1.0,
        _ => 0.0,
    }
}

fn tenth(mm: f64) -> f64 {
    libm::round(mm * 10.0) / 10.0
}

/// The place by which a fault is judged, mm on the print: its middle but for what begins there and runs down.
#[must_use]
pub fn middle_mm(fault: &Fault) -> (f64, f64) {
    let down = if fault.kind.runs_down() { STREAK_MIDDLE * fault.radius_mm } else { 0.0 };
    (fault.x_mm, fault.y_mm + down)
}

/// A fault of this kind where it shows on this plate, nearest to the plate's middle, of usual reach and size; another of
/// the same kind than the plan already has is shaped otherwise.
#[must_use]
pub fn fault_here(plan: &Plan, map: &ValuesAt<'_>, kind: FaultKind) -> Fault {
    let all = candidates(plan, map, kind);
    let best = all.iter().map(|one| one.share).fold(0.0, f64::max);
    let (mid_x, mid_y) = (plan.plate.width_mm / 2.0, plan.plate.height_mm / 2.0);
    let off = |one: &Candidate| libm::hypot(one.x_mm - mid_x, one.y_mm - mid_y);
    let chosen = all
        .iter()
        .filter(|one| one.share >= NEARLY_BEST * best)
        .min_by(|a, b| off(a).total_cmp(&off(b)))
        .copied();
    let before = plan.faults.iter().filter(|fault| fault.kind == kind).count();
    let middle = Candidate { x_mm: mid_x, y_mm: mid_y, value: plan.bites.len() as u8, share: 0.0 };
    placed(plan, kind, chosen.unwrap_or(middle), before as u32)
}

/// The same anywhere it shows well, by `chance` from 0 to 1.
pub(super) fn fault_anywhere(
    plan: &Plan,
    map: &ValuesAt<'_>,
    kind: FaultKind,
    chance: f64,
    seed: u32,
) -> Fault {
    let mut all = candidates(plan, map, kind);
    let best = all.iter().map(|one| one.share).fold(0.0, f64::max);
    all.retain(|one| one.share >= GOOD * best);
    let at = ((chance * all.len() as f64) as usize).min(all.len().saturating_sub(1));
    match all.get(at) {
        Some(&one) => placed(plan, kind, one, seed),
        None => Fault { seed, ..fault_here(plan, map, kind) },
    }
}

fn placed(plan: &Plan, kind: FaultKind, at: Candidate, seed: u32) -> Fault {
    let radius_mm = usual_reach_mm(kind, plan);
    let fault =
        Fault { x_mm: tenth(at.x_mm), y_mm: tenth(at.y_mm), radius_mm, seed, ..Fault::usual(kind) };
    let (_, y_mm) = middle_mm(&fault);
    // A drip falls about half-way through the bites of its place.
    let from_bite = if kind.has_bite() { u32::from(at.value).div_ceil(2).max(1) } else { 1 };
    let size = fault.size.max(shows_from(kind));
    Fault { y_mm: tenth(2.0 * fault.y_mm - y_mm), from_bite, size, ..fault }
}

/// Places that lie on a value which shows the fault; where no such value is, all that are bitten, or all.
fn candidates(plan: &Plan, map: &ValuesAt<'_>, kind: FaultKind) -> Vec<Candidate> {
    let rows = map.values.len() / map.columns.max(1);
    let last = plan.bites.len();
    let wished = shows_on(kind, last);
    let any = |range: &RangeInclusive<usize>| {
        map.values.iter().any(|&value| range.contains(&usize::from(value)))
    };
    let range = [wished, 1..=last, 0..=last].into_iter().find(any).unwrap_or(0..=last);
    let shows = |value: u8| range.contains(&usize::from(value));
    let (width_mm, height_mm) = (plan.plate.width_mm, plan.plate.height_mm);
    let cell_mm = width_mm / map.columns.max(1) as f64;
    let reach_mm = usual_reach_mm(kind, plan);
    // A streak is narrow, and what lies on the whole plate is looked at in one place of it.
    let around_mm = match kind {
        FaultKind::DrainingStreak => STREAK_HALF_MM,
        _ => 0.7 * reach_mm,
    };
    let around = ((around_mm / cell_mm) as usize).max(1);
    let step = (map.columns.max(rows) / TRIED).max(1);
    let mut all = Vec::new();
    for row in (step / 2..rows).step_by(step) {
        for column in (step / 2..map.columns).step_by(step) {
            let value = map.values[row * map.columns + column];
            let (x_mm, y_mm) =
                ((column as f64 + 0.5) * cell_mm, (row as f64 + 0.5) * height_mm / rows as f64);
            if !shows(value) || !lies_well(kind, [x_mm, y_mm], [width_mm, height_mm], reach_mm) {
                continue;
            }
            let (mut there, mut seen) = (0_u32, 0_u32);
            for near in row.saturating_sub(around)..(row + around + 1).min(rows) {
                let from = near * map.columns + column.saturating_sub(around);
                let to = near * map.columns + (column + around + 1).min(map.columns);
                seen += map.values[from..to].iter().filter(|&&value| shows(value)).count() as u32;
                there += (to - from) as u32;
            }
            all.push(Candidate {
                x_mm,
                y_mm,
                value,
                share: f64::from(seen) / f64::from(there.max(1)),
            });
        }
    }
    // A plate on which such a place is nowhere to be had takes any on the right value.
    if all.is_empty() && kind == FaultKind::UnderBaked {
        return candidates(plan, map, FaultKind::HotSpot);
    }
    all
}

/// Corners lie in corners, edges at edges, and the rest well within the plate.
fn lies_well(kind: FaultKind, [x, y]: [f64; 2], [width, height]: [f64; 2], reach: f64) -> bool {
    let (across, down) = (x.min(width - x), y.min(height - y));
    match (kind, kind.place()) {
        (FaultKind::UnderBaked, _) => libm::hypot(across, down) <= 0.6 * reach,
        (FaultKind::DrainingStreak, _) => y < height - 0.65 * reach && across > 4.0,
        (_, FaultPlace::Edges) => across.min(down) <= 0.4 * reach,
        _ => across.min(down) >= (0.5 * reach).min(0.2 * width.min(height)),
    }
}
