//! Watching what comes before and after the first ground: etched lines, work by hand, later grounds.

use super::{PLACE, moment, stage, stages_of};
use crate::common::{Everywhere, Seen, plate_with};
use plan::{Crop, LaterBite, LaterGround, LineWork, Plan, State, Tool, ToolWork};
use plate::chain::{Field, Job, OpenLines, Printed};
use plate::grid::Grid;
use std::sync::Arc;
use study::timeline::{TimelineScratch, Work};

/// Lines across the print, drawn 60 µm wide every 200 µm.
struct Drawn;

impl OpenLines for Drawn {
    fn fill(&self, grid: &Grid, open: &mut Vec<u8>) -> bool {
        open.clear();
        for row in 0..grid.height as i64 {
            let y_um = ((grid.top_px + row) as f64 + 0.5) * f64::from(grid.px_um);
            open.extend(std::iter::repeat_n(u8::from(y_um.rem_euclid(200.0) < 60.0), grid.width));
        }
        open.contains(&1)
    }
}

fn lined(mut plan: Plan) -> Plan {
    plan.lines = Some(LineWork {
        picture: "lines.png".to_owned(),
        crop: Crop::default(),
        open_below_l: 50.0,
        bite_min: 12.0,
    });
    plan
}

/// The plan's plate with its lines, half of it bitten to value 5.
fn lined_halves(plan: &Plan) -> Seen {
    Seen::of(&half_bitten(plan).with_lines(Some(Arc::new(Drawn))))
}

fn half_bitten(plan: &Plan) -> Job {
    Job::new(plan.clone(), Arc::new(Everywhere::half(plan.bites.len(), 5)))
}

/// Work by hand over the middle of [`PLACE`], or beside it.
fn tool(tool: Tool, passage: bool, x_mm: f64, take_um: f64) -> plan::Work {
    let points_mm = if passage {
        vec![[x_mm, 39.0], [x_mm + 2.0, 39.0], [x_mm + 2.0, 42.0], [x_mm, 42.0]]
    } else {
        vec![[x_mm, 39.0], [x_mm + 0.3, 42.0]]
    };
    plan::Work::Tool(ToolWork { tool, passage, width_mm: 0.2, take_um, points_mm })
}

/// A later ground over the whole plate, or over the left part of [`PLACE`].
fn later_ground(outlined: bool) -> plan::Work {
    let plan = Plan::default();
    let outline_mm = if outlined {
        vec![[70.0, 35.0], [75.1, 35.0], [75.1, 45.0], [70.0, 45.0]]
    } else {
        Vec::new()
    };
    plan::Work::Ground(LaterGround {
        seed: 11,
        dust: plan.dust,
        bake: plan.bake,
        bath: plan.bath,
        outline_mm,
        bites: vec![
            LaterBite { bite_min: 2.0, from_value: 0, to_value: 12 },
            LaterBite { bite_min: 3.0, from_value: 3, to_value: 5 },
        ],
    })
}

/// Three states, one from the other: two strokes and a passage of the scraper, a ground in a passage; the
/// burnisher; a ground over all.
fn with_states() -> Plan {
    let state = |from_state, work| State { name: String::new(), from_state, work };
    let states = vec![
        state(
            1,
            vec![
                tool(Tool::Scraper, false, 74.8, 1.5),
                tool(Tool::Scraper, false, 20.0, 3.0),
                tool(Tool::Scraper, true, 74.0, 2.0),
                later_ground(true),
            ],
        ),
        state(2, vec![tool(Tool::Burnisher, true, 74.5, 1.0)]),
        state(3, vec![later_ground(false)]),
    ];
    Plan { states, ..Plan::default() }
}

#[test]
fn lines_come_first_and_stay_to_the_print() {
    let plan = lined(Plan::default());
    let mut plate = lined_halves(&plan);
    let stages = stages_of(&plate);
    assert_eq!((stages[0].work, stages[0].length), (Work::Lines, 12.0), "the lines come first");
    assert_eq!(stages[1..], stages_of(&lined_halves(&Plan::default())), "then all the rest");
    let mut kept = TimelineScratch::default();
    let begun = moment(&mut plate, &PLACE, &stages[0], 0.0, &mut kept);
    assert!(begun.depth_um.iter().all(|&depth| depth == 0.0), "polished copper");
    assert!((begun.numbers.open - 0.3).abs() < 0.02, "60 of 200 µm lie open");
    let half = moment(&mut plate, &PLACE, &stages[0], 0.5, &mut kept).numbers;
    let lines = moment(&mut plate, &PLACE, &stages[0], 1.0, &mut kept);
    assert!(
        half.deepest_um > 1.0 && lines.numbers.deepest_um > half.deepest_um + 1.0,
        "they deepen"
    );
    plate.view.printed = Printed::Lines;
    let alone = plate.look().field_window(&PLACE, Field::Depth).pixels;
    assert_eq!(lines.depth_um, alone, "bitten: the lines alone, bit for bit");
    plate.view.printed = Printed::Both;
    for stage in &stages[1..4] {
        let moment = moment(&mut plate, &PLACE, stage, 1.0, &mut kept);
        assert_eq!(moment.depth_um, alone, "{:?} is done on copper with lines", stage.work);
    }
    for (at, stage) in (1..).zip(&stages[4..11]) {
        let now = moment(&mut plate, &PLACE, stage, 1.0, &mut kept);
        let own = plate.look().copper_window(&PLACE, at);
        assert_eq!(now.depth_um, own.depth_um, "bite {at} goes on from the lines");
        assert_eq!(now.resin, own.cover, "under the same ground");
    }
    for (work, field) in [(Work::Wipe, Field::Held), (Work::Print, Field::Reflectance)] {
        let stage = stage(&plate, work, 0);
        let moment = moment(&mut plate, &PLACE, &stage, 1.0, &mut kept);
        let seen = if work == Work::Wipe { &moment.ink_um } else { &moment.sheet };
        assert_eq!(
            *seen,
            plate.look().field_window(&PLACE, field).pixels,
            "{work:?} with the lines"
        );
    }
    // What the linen tester leaves out is not watched either.
    plate.view.printed = Printed::Tone;
    assert_eq!(stages_of(&plate), stages[1..], "the tone alone has no lines");
    plate.view.printed = Printed::Lines;
    let works: Vec<Work> = stages_of(&plate).iter().map(|stage| stage.work).collect();
    assert_eq!(works, [Work::Lines, Work::Ink, Work::Wipe, Work::Print], "and the lines no ground");
    kept.clear();
    let last = stages_of(&plate)[3];
    let print = moment(&mut plate, &PLACE, &last, 1.0, &mut kept);
    assert_eq!(print.sheet, plate.look().print_window(&PLACE).pixels, "printed alone");
    plate.change(&half_bitten(&plan));
    plate.view.printed = Printed::Both;
    assert_eq!(stages_of(&plate), stages[1..], "lines whose picture is not here are not bitten");
}

#[test]
fn later_work_is_watched_piece_by_piece_as_the_plate_has_it() {
    use Work::{Bake, Bite, Clean, Dust, Ink, Print, Tool as Hand, Wait, Wipe};
    let plan = lined(with_states());
    let mut plate = lined_halves(&plan);
    let stages = stages_of(&plate);
    let first = stages_of(&lined_halves(&lined(Plan::default()))).len() - 3;
    let later: Vec<(usize, Work)> =
        stages[first..].iter().map(|one| (one.state, one.work)).collect();
    let order = [
        (2, Hand),
        (2, Wait),
        (2, Dust),
        (2, Bake),
        (2, Bite),
        (2, Bite),
        (2, Clean),
        (3, Hand),
        (4, Wait),
        (4, Dust),
        (4, Bake),
        (4, Bite),
        (4, Bite),
        (4, Clean),
        (4, Ink),
        (4, Wipe),
        (4, Print),
    ];
    assert_eq!(later, order, "each state's work in turn");
    let mut kept = TimelineScratch::default();
    // The plan as far as each of these stages has come.
    let state = |from: usize, to: usize| {
        let mut so_far = plan.clone();
        so_far.states.truncate(from);
        so_far.states[from - 1].work.truncate(to);
        so_far
    };
    let bitten = |mut so_far: Plan, bites: usize| {
        if let Some(plan::Work::Ground(ground)) =
            so_far.states.last_mut().and_then(|state| state.work.last_mut())
        {
            ground.bites.truncate(bites);
        }
        so_far
    };
    let known = [
        (0, state(1, 3)),
        (3, state(1, 3)),
        (4, bitten(state(1, 4), 1)),
        (5, state(1, 4)),
        (6, state(1, 4)),
        (7, state(2, 1)),
        (9, state(2, 1)),
        (11, bitten(state(3, 1), 1)),
        (13, state(3, 1)),
    ];
    let mut before: Option<Vec<f32>> = None;
    for (at, so_far) in known {
        let stage = &stages[first + at];
        let moment = moment(&mut plate, &PLACE, stage, 1.0, &mut kept);
        let own = lined_halves(&so_far).look().field_window(&PLACE, Field::Depth).pixels;
        assert!(moment.depth_um == own, "after {:?} of state {}", stage.work, stage.state);
        if matches!(stage.work, Hand | Bite) {
            assert!(before.as_ref() != Some(&own), "{:?} has done something here", stage.work);
            before = Some(own);
        }
    }
    let print = moment(&mut plate, &PLACE, &stages[stages.len() - 1], 1.0, &mut kept);
    assert_eq!(
        print.sheet,
        plate.look().print_window(&PLACE).pixels,
        "the proof of the state in hand"
    );
    let wiped = moment(&mut plate, &PLACE, &stages[stages.len() - 2], 1.0, &mut kept);
    assert_eq!(wiped.ink_um, plate.look().field_window(&PLACE, Field::Held).pixels, "and its ink");
    // An earlier state ends with its own proof.
    plate.view.state = Some(2);
    kept.clear();
    let stages = stages_of(&plate);
    assert_eq!(stages.len(), first + 7 + 3, "no more than its own work");
    let print = moment(&mut plate, &PLACE, &stages[stages.len() - 1], 1.0, &mut kept);
    assert_eq!(print.sheet, plate.look().print_window(&PLACE).pixels, "the proof of state 2");
    plate.view.state = Some(1);
    kept.clear();
    let bite = stage(&plate, Bite, 7);
    let bitten = moment(&mut plate, &PLACE, &bite, 1.0, &mut kept);
    assert_eq!(
        bitten.depth_um,
        plate.look().field_window(&PLACE, Field::Depth).pixels,
        "the first"
    );
}

#[test]
fn strokes_go_one_after_another_and_a_later_ground_holds_like_the_first() {
    let plan = with_states();
    let mut plate = plate_with(&plan, Everywhere::half(7, 5));
    let mut kept = TimelineScratch::default();
    let stages = stages_of(&plate);
    let hand = stages.iter().find(|one| one.work == Work::Tool).expect("a tool");
    assert_eq!((hand.tool, hand.length), (Some(Tool::Scraper), 3.0), "all strokes of one tool");
    let mut before = moment(&mut plate, &PLACE, hand, 0.0, &mut kept);
    assert_eq!((before.numbers.strokes, before.numbers.strokes_begun), (2, 0), "two reach here");
    assert_eq!(before.numbers.lowered_um, 0.0, "none is begun");
    for share in [0.25, 0.5, 0.75, 1.0] {
        let now = moment(&mut plate, &PLACE, hand, share, &mut kept);
        // The point and the scraper take copper away; furrows are cut no deeper than the take.
        assert!(
            now.depth_um.iter().zip(&before.depth_um).all(|(now, was)| now >= was),
            "no copper grows under a scraper, {share}"
        );
        assert!(now.numbers.lowered_um > before.numbers.lowered_um, "the lands go down, {share}");
        assert_eq!(now.numbers.strokes_begun, if share > 0.5 { 2 } else { 1 }, "begun at {share}");
        before = now;
    }
    let far = Grid { left_px: 2000, top_px: 2000, ..PLACE };
    assert_eq!(
        moment(&mut plate, &far, hand, 0.5, &mut kept).numbers.strokes,
        0,
        "none reaches far"
    );
    // The second ground: its bake ends where its bath begins, and resin only goes from there.
    let of = |work, bite| {
        let found =
            stages.iter().find(|one| one.ground == 2 && one.work == work && one.bite == bite);
        *found.expect("a stage")
    };
    let fallen = moment(&mut plate, &PLACE, &of(Work::Dust, 0), 1.0, &mut kept);
    assert!(fallen.numbers.grains > 5, "grains lie on it: {}", fallen.numbers.grains);
    let baked = moment(&mut plate, &PLACE, &of(Work::Bake, 0), 1.0, &mut kept);
    let first = moment(&mut plate, &PLACE, &of(Work::Bite, 1), 0.0, &mut kept);
    assert_eq!(first.depth_um, baked.depth_um, "nothing is bitten yet");
    assert_eq!(first.resin, baked.resin, "and all resin holds");
    let mut before = first;
    for bite in [1, 2] {
        for share in [0.4, 1.0] {
            let now = moment(&mut plate, &PLACE, &of(Work::Bite, bite), share, &mut kept);
            assert!(
                now.depth_um.iter().zip(&before.depth_um).all(|(now, was)| now >= was),
                "no copper grows back, bite {bite}, {share}"
            );
            assert!(
                now.resin.iter().zip(&before.resin).all(|(now, was)| now <= was),
                "no resin comes back, bite {bite}, {share}"
            );
            assert!(now.numbers.undercut_um > before.numbers.undercut_um, "the undercut grows");
            before = now;
        }
        // Two thirds of the place lie inside the outline; the second bite opens values 3 to 5 alone.
        let open = if bite == 1 { 0.666 } else { 0.5 };
        assert!((before.numbers.open - open).abs() < 0.02, "bite {bite}: {}", before.numbers.open);
    }
    assert!((before.numbers.bath_min - 5.0).abs() < 1e-12, "minutes in this ground's own bath");
    assert!(before.numbers.lightness < 90.0, "tells what the value here would print");
    let clean = moment(&mut plate, &PLACE, &of(Work::Clean, 0), 1.0, &mut kept);
    assert_eq!(clean.depth_um, before.depth_um, "washed off: the same copper");
    assert!(clean.resin.iter().all(|&share| share == 0.0), "without resin");
}

#[test]
fn dust_on_bitten_copper_lies_lower_by_as_much() {
    let plan = Plan {
        states: vec![State { name: String::new(), from_state: 1, work: vec![later_ground(false)] }],
        ..Plan::default()
    };
    let values = plan.bites.len();
    let cut = |areas: Everywhere| {
        let mut seen = plate_with(&plan, areas);
        let fall =
            stages_of(&seen).into_iter().find(|one| one.work == Work::Dust && one.ground == 2);
        let kept = &mut TimelineScratch::default();
        moment(&mut seen, &PLACE, &fall.expect("a second ground"), 1.0, kept).side
    };
    let (flat, bitten) = (cut(Everywhere::paper(values)), cut(Everywhere::half(values, 5)));
    assert!(flat.copper_um.iter().all(|&um| um == 0.0), "white is not bitten");
    let pairs = flat.balls_um.chunks_exact(3).zip(bitten.balls_um.chunks_exact(3));
    let (mut count, mut low) = (0, 0);
    for (high, ball) in pairs {
        assert_eq!((high[0], high[2]), (ball[0], ball[2]), "the same grain at the same place");
        let column = ((ball[0] / PLACE.px_um).max(0.0) as usize).min(PLACE.width - 1);
        let lower_um = bitten.copper_um[column];
        assert!((ball[1] - high[1] - lower_um).abs() < 1e-3, "{lower_um} µm: {high:?}, {ball:?}");
        count += 1;
        low += usize::from(lower_um < -2.0);
    }
    assert!(flat.balls_um.len() == bitten.balls_um.len() && low > 0, "{low} of {count} lie low");
}

#[test]
fn what_a_value_would_print_is_told_of_the_middle_of_the_place() {
    // Under a later ground over copper that was scraped between these two heights, mm; the place reaches from 40 to 40.4.
    let lightness = |from_mm: f64, to_mm: f64| {
        let points_mm = vec![[70.0, from_mm], [80.0, from_mm], [80.0, to_mm], [70.0, to_mm]];
        let scraped = plan::Work::Tool(ToolWork {
            tool: Tool::Scraper,
            passage: true,
            width_mm: 0.0,
            take_um: 4.0,
            points_mm,
        });
        let work = vec![scraped, later_ground(false)];
        let states = vec![State { name: String::new(), from_state: 1, work }];
        let mut seen = plate_with(&Plan { states, ..Plan::default() }, Everywhere::half(7, 5));
        let bite = stages_of(&seen)
            .into_iter()
            .find(|one| one.work == Work::Bite && one.ground == 2)
            .expect("a bite under the later ground");
        let kept = &mut TimelineScratch::default();
        moment(&mut seen, &PLACE, &bite, 0.0, kept).numbers.lightness
    };
    let (all, middle, above) =
        (lightness(39.0, 42.0), lightness(40.1, 40.3), lightness(39.0, 40.1));
    assert!((all - middle).abs() < 0.2, "scraped at the middle alone L* {middle}, all over {all}");
    assert!((all - above).abs() > 2.0, "scraped above the middle L* {above}, all over {all}");
}
