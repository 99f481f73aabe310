//! Faults: where they are put they show, what they cost is what the copper prints, and every exercise can be solved.

use crate::common::{Everywhere, plate_with};
use picture::{HARBOUR_HEIGHT, HARBOUR_WIDTH, PictureAreas, harbour};
use plan::{FAULT_KINDS, Fault, FaultKind, FaultPlace, Plan};
use plate::chain::TileRequest;
use plate::grid::Grid;
use plate::light::lightness;
use plate::{Job, Plate, Renderer, View};
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};
use study::faults::{
    ExerciseSet, FaultCost, SQUARE_MM, SQUARE_PARTS, SQUARE_PX_UM, ValuesAt, exercise_plan,
    fault_cost, fault_here, fault_squares, middle_mm, shows_on,
};
use study::timeline::{self, TimelineScratch, Work};

const COLUMNS: usize = 96;
const ROWS: usize = 128;

fn areas(plan: &Plan) -> Arc<PictureAreas> {
    static TONES: OnceLock<Arc<picture::ToneMap>> = OnceLock::new();
    let tones = TONES.get_or_init(|| Arc::new(harbour(HARBOUR_WIDTH, HARBOUR_HEIGHT)));
    Arc::new(PictureAreas::new(tones.clone(), plan))
}

fn map() -> Vec<u8> {
    areas(&Plan::default()).coarse(COLUMNS, ROWS)
}

fn value_at(map: &[u8], plan: &Plan, (x, y): (f64, f64)) -> usize {
    let column = (x / plan.plate.width_mm * COLUMNS as f64) as usize;
    let row = (y / plan.plate.height_mm * ROWS as f64) as usize;
    map[row.min(ROWS - 1) * COLUMNS + column.min(COLUMNS - 1)].into()
}

/// A plan's plate without a fault, and room to look at it and at what is made of it.
struct Sound {
    plate: Plate,
    areas: Arc<PictureAreas>,
    renderer: Renderer,
    /// L* of the parts of squares that were looked at, by column and row: many faults reach the same.
    seen: BTreeMap<[u32; 2], Vec<f32>>,
}

impl Sound {
    fn of(plan: &Plan) -> Self {
        let areas = areas(plan);
        let plate = Plate::of(&Job::new(plan.clone(), areas.clone())).expect("a sound plan");
        Self { plate, areas, renderer: Renderer::default(), seen: BTreeMap::new() }
    }

    /// What a fault costs on it.
    fn cost(&mut self, fault: &Fault, map: &ValuesAt<'_>) -> FaultCost {
        let plan = self.plate.plan().clone();
        let squares = fault_squares(&plan, fault);
        let mut before = Vec::new();
        for at in squares.chunks_exact(2) {
            let look = || lightness_of(&self.plate, &mut self.renderer, at);
            before.extend_from_slice(self.seen.entry([at[0], at[1]]).or_insert_with(look));
        }
        let faulty = Plan { faults: vec![fault.clone()], ..plan.clone() };
        let job = Job::new(faulty, self.areas.clone());
        let faulty = self.renderer.plate_after(&self.plate, &job).expect("a sound plan");
        let after = lightness_of(&faulty, &mut self.renderer, &squares);
        fault_cost(&plan, fault, map, &before, &after)
    }
}

/// L* of the parts of some squares.
fn lightness_of(plate: &Plate, renderer: &mut Renderer, squares: &[u32]) -> Vec<f32> {
    let view = View::default();
    let mut looking = renderer.look(plate, &view);
    let mut all = Vec::new();
    for at in squares.chunks_exact(2) {
        let tile = TileRequest {
            left_out: i64::from(at[0]) * SQUARE_PARTS as i64,
            top_out: i64::from(at[1]) * SQUARE_PARTS as i64,
            width_out: SQUARE_PARTS,
            height_out: SQUARE_PARTS,
            out_um: 1000.0 * SQUARE_MM / SQUARE_PARTS as f64,
            px_um: SQUARE_PX_UM,
        };
        all.extend(looking.tile(&tile).iter().map(|&mean| lightness(mean.into()) as f32));
    }
    all
}

#[test]
fn each_is_put_where_it_shows() {
    let (plan, values) = (Plan::default(), map());
    let map = ValuesAt { values: &values, columns: COLUMNS };
    for kind in FAULT_KINDS {
        let fault = fault_here(&plan, &map, kind);
        let faulty = Plan { faults: vec![fault.clone()], ..plan.clone() };
        assert_eq!(faulty.problems(), [], "{kind:?} leaves a sound plan");
        let value = value_at(&values, &plan, middle_mm(&fault));
        assert!(
            shows_on(kind, plan.bites.len()).contains(&value),
            "{kind:?} lies on value {value}"
        );
    }
}

#[test]
fn no_fault_costs_nothing_and_more_of_it_costs_more() {
    let (plan, values) = (Plan::default(), map());
    let map = ValuesAt { values: &values, columns: COLUMNS };
    let fault = fault_here(&plan, &map, FaultKind::Draught);
    let mut sound = Sound::of(&plan);
    let mut of = |size: f64| sound.cost(&Fault { size, ..fault.clone() }, &map);
    let (none, half, all) = (of(0.0), of(0.5), of(1.0));
    assert_eq!(none.largest_l, 0.0, "the perfect plate");
    assert_eq!(none.changed_share, 0.0, "none of it");
    assert!(
        none.sentence.in_units(plan::Units::Metric).starts_with("Nothing of it"),
        "and told so"
    );
    assert!(half.changed_share > 0.0 && all.changed_share > half.changed_share, "{half:?} {all:?}");
    let words = all.sentence.in_units(plan::Units::Metric);
    assert!(
        words.contains(" of the plate prints otherwise by more than")
            && words.contains("mm from the left"),
        "{words}"
    );
    assert!(
        all.sentence.in_units(plan::Units::Us).contains(" in from the left"),
        "in inches as well"
    );
}

#[test]
fn a_second_of_a_kind_is_shaped_otherwise() {
    let (mut plan, values) = (Plan::default(), map());
    let map = ValuesAt { values: &values, columns: COLUMNS };
    plan.faults.push(fault_here(&plan, &map, FaultKind::Jolt));
    let second = fault_here(&plan, &map, FaultKind::Jolt);
    assert_ne!(second.seed, plan.faults[0].seed, "another shape");
}

#[test]
fn every_plate_has_room_for_every_fault() {
    // One value everywhere, a plate of a stamp's size, and no map at all.
    for kind in FAULT_KINDS {
        for values in [vec![0_u8; 12], vec![7; 12], vec![]] {
            let mut plan = Plan::default();
            (plan.plate.width_mm, plan.plate.height_mm) = (20.0, 30.0);
            let fault = fault_here(&plan, &ValuesAt { values: &values, columns: 3 }, kind);
            plan.faults.push(fault);
            assert_eq!(plan.problems(), [], "{kind:?} on {values:?}");
        }
    }
}

#[test]
fn each_kind_of_a_set_comes_up_where_it_shows() {
    let (plan, values) = (exercise_plan(), map());
    let map = ValuesAt { values: &values, columns: COLUMNS };
    for kinds in [&FAULT_KINDS[..], &FAULT_KINDS[2..7], &FAULT_KINDS[11..13]] {
        let count = kinds.len() as u32;
        // Any whole run of exercises has each of them once.
        for run in [0, 5] {
            let mut seen = Vec::new();
            for seed in run * count..(run + 1) * count {
                let set = ExerciseSet::new(seed, kinds).expect("enough kinds");
                let one = set.exercise(&plan, &map);
                assert_eq!(one, set.exercise(&plan, &map), "the same again");
                assert_eq!(one.kinds, kinds, "all of the set to guess among");
                let value = value_at(&values, &plan, (one.shows_x_mm, one.shows_y_mm));
                let shows = shows_on(one.fault.kind, plan.bites.len());
                assert!(shows.contains(&value), "{:?} lies on value {value}", one.fault.kind);
                for (shown, look) in
                    [(one.shows_x_mm, one.look_x_mm), (one.shows_y_mm, one.look_y_mm)]
                {
                    assert!((shown - look).abs() < one.look_mm / 2.0, "in sight: {one:?}");
                }
                let faulty = Plan { faults: vec![one.fault.clone()], ..plan.clone() };
                assert_eq!(faulty.problems(), [], "a sound plan");
                seen.push(one.fault.kind);
            }
            assert!(kinds.iter().all(|kind| seen.contains(kind)), "{seen:?}");
        }
    }
}

#[test]
fn exercises_are_to_be_seen() {
    let (plan, values) = (exercise_plan(), map());
    let map = ValuesAt { values: &values, columns: COLUMNS };
    let mut sound = Sound::of(&plan);
    for seed in 0..FAULT_KINDS.len() as u32 {
        let set = ExerciseSet::new(seed, &FAULT_KINDS).expect("enough kinds");
        let fault = set.exercise(&plan, &map).fault;
        let cost = sound.cost(&fault, &map);
        let least = if fault.kind == FaultKind::BareBack { 1.0 } else { 4.0 };
        assert!(cost.largest_l.abs() > least, "{fault:?}: {cost:?}");
        assert!(!cost.values.is_empty() && cost.changed_share <= 1.0, "{cost:?}");
        let off = libm::hypot(cost.at_x_mm - fault.x_mm, cost.at_y_mm - fault.y_mm);
        if fault.kind.place() == FaultPlace::Spot {
            assert!(off <= fault.radius_mm + 2.0, "it differs most within its reach: {fault:?}");
        }
    }
}

#[test]
fn a_code_holds_seed_and_set_and_gives_nothing_away() {
    for (seed, kinds) in
        [(0, &FAULT_KINDS[..]), (71, &FAULT_KINDS[3..9]), (u32::MAX, &FAULT_KINDS[14..])]
    {
        let set = ExerciseSet::new(seed, kinds).expect("enough kinds");
        let code = set.code();
        assert_eq!(ExerciseSet::of_code(&code).as_ref(), Some(&set), "{code}");
        let plain =
            |letter: u8| letter.is_ascii_digit() || letter.is_ascii_lowercase() || letter == b'-';
        assert!(code.bytes().all(plain), "it stands in any address: {code}");
        for kind in kinds {
            for word in kind.name().split(' ') {
                assert!(!code.contains(word) || word.len() < 3, "{code} tells of {word}");
            }
        }
    }
    assert_eq!(ExerciseSet::new(1, &FAULT_KINDS[..1]), None, "one alone is no question");
    for wrong in [
        "",
        "-",
        "2",
        "2-",
        "-3",
        "2-2",
        "2-3",
        "zzzzzzzzzzzzz-4",
        "2-zzzzzzzzzzzz",
        "2-3-4",
        "ö-3",
    ] {
        assert_eq!(ExerciseSet::of_code(wrong), None, "“{wrong}”");
    }
}

#[test]
fn the_work_watched_has_them_as_well() {
    let middle = Grid { left_px: 14_800, top_px: 19_800, width: 400, height: 400, px_um: 5.0 };
    let stage_of = |kind: FaultKind| match kind {
        FaultKind::Jolt => (Work::Dust, 0),
        FaultKind::UnderBaked | FaultKind::HotSpot => (Work::Bake, 0),
        FaultKind::UnevenWiping => (Work::Wipe, 0),
        _ => (Work::Bite, 7),
    };
    let seen_at_end = |faults: Vec<Fault>, (work, bite): (Work, usize)| {
        let plan = Plan { faults, ..Plan::default() };
        let mut seen = plate_with(&plan, Everywhere::value(7, 5));
        let all = timeline::stages(&seen.plate, &seen.view);
        let stage = all.iter().find(|one| one.work == work && (bite == 0 || one.bite == bite));
        let stage = stage.expect("a stage");
        let mut kept = TimelineScratch::default();
        let (plate, view, renderer) = (&seen.plate, &seen.view, &mut seen.renderer);
        // In words: what is nowhere is no number, and such are never equal.
        format!("{:?}", timeline::moment(plate, view, renderer, &middle, stage, 1.0, &mut kept))
    };
    let kinds = [
        FaultKind::Jolt,
        FaultKind::HotSpot,
        FaultKind::Sediment,
        FaultKind::Drip,
        FaultKind::UnevenWiping,
    ];
    for kind in kinds {
        let fault = Fault { size: 1.0, radius_mm: 30.0, seed: 3, ..Fault::usual(kind) };
        let perfect = seen_at_end(vec![], stage_of(kind));
        let none = Fault { size: 0.0, ..fault.clone() };
        assert!(seen_at_end(vec![none], stage_of(kind)) == perfect, "{kind:?} of size 0");
        assert!(seen_at_end(vec![fault], stage_of(kind)) != perfect, "{kind:?} is to be watched");
    }
}
