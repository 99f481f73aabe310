//! Edits of areas, states and lines: any of them leaves a sound plan sound, and what was added can go
//! again without a trace.

use crate::support;

use plan::edits::{self, Edited};
use plan::{
    Area, AreaShape, AreaWork, Crop, Diagnostic, LaterBite, Plan, ShapeKind, State, Tool, ToolWork,
    Work,
};
use proptest::prelude::*;
use support::{Dice, any_area, any_plan, any_work};

fn stroke(points_mm: &[[f64; 2]]) -> Work {
    Work::Tool(ToolWork {
        tool: Tool::Scraper,
        passage: false,
        width_mm: 3.0,
        take_um: 2.0,
        points_mm: points_mm.to_vec(),
    })
}

fn state(name: &str, from_state: u32) -> State {
    State { name: name.to_owned(), from_state, work: vec![stroke(&[[10.0, 20.0]])] }
}

/// 1 ─ a (2) ─ b (3) ─ d (5), and c (4) from 1.
fn branched() -> Plan {
    let states = vec![state("a", 1), state("b", 2), state("c", 1), state("d", 3)];
    Plan { states, ..Plan::default() }
}

/// Names of the states and what each goes on from, by name.
fn family(plan: &Plan) -> Vec<(String, String)> {
    let name = |number: u32| match number {
        1 => "first".to_owned(),
        _ => plan.states[number as usize - 2].name.clone(),
    };
    plan.states.iter().map(|state| (state.name.clone(), name(state.from_state))).collect()
}

fn pairs(of: &[(&str, &str)]) -> Vec<(String, String)> {
    of.iter().map(|(a, b)| ((*a).to_owned(), (*b).to_owned())).collect()
}

#[test]
fn a_state_goes_with_all_that_go_on_from_it() {
    let edited = edits::remove_state(&branched(), 3).expect("a state");
    assert_eq!(family(&edited.plan), pairs(&[("a", "first"), ("c", "first")]), "b and d are gone");
    assert_eq!(edited.shown_state, Some(2), "what it went on from is looked at");
    assert_eq!(
        edited.notices,
        ["State 3 is removed, and what went on from it: 5. “Undo” brings them back."]
    );
    let edited = edits::remove_state(&branched(), 4).expect("a state");
    assert_eq!(
        family(&edited.plan),
        pairs(&[("a", "first"), ("b", "a"), ("d", "b")]),
        "d still goes on from b, under another number"
    );
    assert_eq!((edited.shown_state, edited.notices), (Some(1), vec![]), "c went on from the first");
    assert_eq!(edits::gone_with(&branched(), 2), [2, 3, 5], "what would go");
}

#[test]
fn a_state_put_in_and_moved_keeps_every_descent() {
    let edited = edits::insert_state(&branched(), 3, state("new", 2)).expect("room");
    let all = [("a", "first"), ("new", "a"), ("b", "a"), ("c", "first"), ("d", "b")];
    assert_eq!(family(&edited.plan), pairs(&all), "before b");
    let edited = edits::move_state(&branched(), 4, 2).expect("c goes on from the first");
    let all = [("c", "first"), ("a", "first"), ("b", "a"), ("d", "b")];
    assert_eq!(family(&edited.plan), pairs(&all), "c is state 2 now");
    assert_eq!(edited.shown_state, Some(2), "and looked at");
    let refused = edits::move_state(&branched(), 5, 2).expect_err("d goes on from b");
    assert_eq!(refused.to_string(), "State 5 goes on from state 3, so it comes after it.");
    assert_eq!((refused.field.as_str(), refused.code), ("states", "order"), "named by its place");
    let added = edits::add_state(&branched(), 3).expect("room");
    assert_eq!((added.plan.states[4].from_state, added.shown_state), (3, Some(6)), "a branch");
}

#[test]
fn work_after_the_first_proof_begins_a_state() {
    let edited = edits::add_work(&branched(), 1, usize::MAX, stroke(&[[5.0, 5.0]])).expect("room");
    assert_eq!((edited.plan.states[4].from_state, edited.shown_state), (1, Some(6)), "a new one");
    let again = edits::add_work(&edited.plan, 6, 1, stroke(&[[7.04, 5.0]])).expect("room");
    assert_eq!(again.plan.states[4].work[0], stroke(&[[7.0, 5.0]]), "first, in whole tenths");
    let moved = edits::move_work(&again.plan, 6, 1, 2).expect("both are there").plan;
    assert_eq!(moved.states[4].work[1], stroke(&[[7.0, 5.0]]), "done after the other");
    let bite = LaterBite { bite_min: 4.0, from_value: 2, to_value: 12 };
    let ground = edits::add_ground(&moved, 6, bite, Vec::new()).expect("room").plan;
    let Some(Work::Ground(laid)) = ground.states[4].work.last() else { panic!("a ground") };
    assert_eq!((&laid.dust, &laid.bath, laid.seed), (&moved.dust, &moved.bath, 13), "as the first");
}

#[test]
fn areas_come_go_and_change_places() {
    let of = |name: &str, work| Area {
        name: name.to_owned(),
        work,
        value: 2,
        to_value: 5,
        feather_mm: 0.0,
        spit_min: 2.0,
        axis_mm: Vec::new(),
        shapes: vec![AreaShape {
            kind: ShapeKind::Outline,
            away: false,
            brush_mm: 0.0,
            points_mm: vec![10.0, 20.0, 30.05, 20.0, 20.0, 41.0],
        }],
    };
    let plan = edits::add_area(&Plan::default(), 1, of("sky", AreaWork::Hold)).expect("room").plan;
    let plan = edits::add_area(&plan, 1, of("sea", AreaWork::Split)).expect("room").plan;
    assert_eq!(plan.areas[0].axis_mm, [10.0, 30.5, 30.05, 30.5], "from left to right across it");
    let moved = edits::move_area(&plan, 1, 2).expect("both are there").plan;
    assert_eq!(moved.areas[1].name, "sea", "over the sky");
    let held =
        edits::change_area(&moved, 2, Area { work: AreaWork::Hold, ..moved.areas[1].clone() });
    assert!(held.expect("there").plan.areas[1].axis_mm.is_empty(), "no direction any more");
    assert_eq!(edits::remove_area(&moved, 2).expect("there").plan.areas.len(), 1, "one is left");
}

#[test]
fn lines_are_taken_and_go() {
    let crop = Crop { left: 0.1, top: 0.0, width: 0.5, height: 1.0 };
    let plan = edits::take_lines(&Plan::default(), "pen.png", crop).expect("sound").plan;
    let lines = plan.lines.clone().expect("lines");
    assert_eq!((lines.open_below_l, lines.bite_min, lines.crop), (50.0, 30.0, crop), "as usual");
    let mut bitten = plan;
    bitten.lines = Some(plan::LineWork { bite_min: 12.5, ..lines });
    let other = edits::take_lines(&bitten, "ink.png", Crop::default()).expect("sound").plan;
    assert_eq!(other.lines.as_ref().map(|l| l.bite_min), Some(12.5), "bitten as they were");
    assert_eq!(edits::remove_lines(&other).plan, Plan::default(), "and gone");
}

#[test]
fn what_cannot_be_done_is_said() {
    let plan = branched();
    for (refused, words) in [
        (edits::remove_state(&plan, 1), "State 1 is the plate as bitten"),
        (edits::remove_state(&plan, 6), "no state 6; this plan has the states 1 to 5"),
        (edits::add_state(&plan, 0), "no state 0"),
        (edits::insert_state(&plan, 7, state("", 1)), "as number 2 to 6, not 7"),
        (edits::insert_state(&plan, 3, state("", 3)), "goes on from state 3. Choose one from 1"),
        (edits::remove_work(&plan, 2, 2), "State 2 has 1 pieces of work"),
        (edits::remove_work(&plan, 1, 1), "State 1 is the plate"),
        (edits::add_work(&plan, 2, 1, stroke(&[])), "0 points; it needs 1"),
        (edits::remove_area(&plan, 1), "no areas by hand"),
    ] {
        let said = refused.expect_err("it was done");
        assert!(said.contains(words), "{said}");
    }
    let mut full = plan;
    while full.states.len() < plan::MAX_STATES {
        full = edits::add_state(&full, 1).expect("room").plan;
    }
    let said = edits::add_state(&full, 1).expect_err("one too many");
    assert!(said.contains("it can have 13"), "{said}");
}

/// An edit of any kind at any place, which may not be possible.
fn any_edit(dice: &mut Dice, plan: &Plan) -> Result<Edited, Diagnostic> {
    let (areas, states) = (plan.areas.len(), plan.states.len());
    let area = |dice: &mut Dice| dice.below(areas + 2);
    let state = |dice: &mut Dice| dice.below(states + 3);
    match dice.below(15) {
        0 => {
            let (number, new) = (area(dice), any_area(dice, plan.bites.len()));
            edits::add_area(plan, number.max(1), new)
        }
        1 => edits::remove_area(plan, area(dice)),
        2 => edits::move_area(plan, area(dice), area(dice)),
        3 => edits::change_area(plan, area(dice), any_area(dice, plan.bites.len())),
        4 => edits::add_state(plan, state(dice)),
        5 => {
            let (number, from_state) = (state(dice), state(dice) as u32);
            edits::insert_state(plan, number, State { from_state, ..State::default() })
        }
        6 => edits::remove_state(plan, state(dice)),
        7 => edits::move_state(plan, state(dice), state(dice)),
        8 => edits::add_work(plan, state(dice), dice.below(5), any_work(dice, plan)),
        9 => edits::remove_work(plan, state(dice), dice.below(5)),
        10 => edits::move_work(plan, state(dice), dice.below(5), dice.below(5)),
        11 => edits::take_lines(plan, "pen.png", Crop::default()),
        12 => Ok(edits::remove_lines(plan)),
        13 => Ok(edits::plan_edition(plan)),
        _ => {
            let bite = LaterBite { bite_min: 2.25, from_value: 1, to_value: 12 };
            edits::add_ground(plan, state(dice), bite, Vec::new())
        }
    }
}

/// Each state's work with all it goes on from, told apart by its name.
fn descents(plan: &Plan) -> Vec<Vec<String>> {
    (2..=plan.states.len() + 1)
        .map(|number| plan.line_of(number).iter().map(|state| state.name.clone()).collect())
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_edit_of_a_sound_plan_gives_a_sound_plan(seed in any::<u64>(), count in 1..20_usize) {
        let mut dice = Dice::new(seed);
        let mut plan = any_plan(&mut dice);
        for _ in 0..count {
            match any_edit(&mut dice, &plan) {
                Ok(edited) => {
                    prop_assert_eq!(edited.plan.problems(), vec![], "still sound");
                    if let Some(shown) = edited.shown_state {
                        prop_assert!(shown >= 1 && shown <= edited.plan.states.len() + 1, "{} is there", shown);
                    }
                    plan = edited.plan;
                }
                Err(said) => prop_assert!(said.to_string().ends_with('.'), "{} is no sentence", said),
            }
        }
    }

    #[test]
    fn what_was_added_goes_without_a_trace(seed in any::<u64>()) {
        let mut dice = Dice::new(seed);
        let plan = any_plan(&mut dice);
        let number = 1 + dice.below(plan.areas.len() + 1);
        let area = any_area(&mut dice, plan.bites.len());
        if let Ok(edited) = edits::add_area(&plan, number, area) {
            let back = edits::remove_area(&edited.plan, number).expect("it is there");
            prop_assert!(back.plan == plan, "an area");
        }
        let number = 2 + dice.below(plan.states.len() + 1);
        let from_state = 1 + dice.below(number - 1) as u32;
        let put_in = State { name: "new".to_owned(), from_state, work: vec![any_work(&mut dice, &plan)] };
        if let Ok(edited) = edits::insert_state(&plan, number, put_in) {
            prop_assert_eq!(edited.shown_state, Some(number), "it is looked at");
            let back = edits::remove_state(&edited.plan, number).expect("it is there");
            prop_assert!(back.plan == plan, "a state");
            prop_assert_eq!(back.notices, Vec::<String>::new(), "alone");
        }
        let at = 1 + dice.below(plan.states.len() + 1);
        let place = 1 + dice.below(4);
        let before = if at == 1 { 0 } else { plan.states[at - 2].work.len() };
        if let Ok(edited) = edits::add_work(&plan, at, place, any_work(&mut dice, &plan)) {
            let shown = edited.shown_state.expect("a state");
            let back = edits::remove_work(&edited.plan, shown, place.min(before + 1)).expect("there").plan;
            let back = if at == 1 { edits::remove_state(&back, shown).expect("there").plan } else { back };
            prop_assert!(back == plan, "a piece of work");
        }
    }

    #[test]
    fn moving_changes_places_and_nothing_else(seed in any::<u64>()) {
        let mut dice = Dice::new(seed);
        let mut plan = any_plan(&mut dice);
        for (i, state) in plan.states.iter_mut().enumerate() {
            state.name = format!("state {i}");
        }
        let (areas, states) = (plan.areas.len(), plan.states.len());
        if areas > 0 {
            let (from, to) = (1 + dice.below(areas), 1 + dice.below(areas));
            let there = edits::move_area(&plan, from, to).expect("both are there").plan;
            prop_assert!(edits::move_area(&there, to, from).expect("back").plan == plan, "areas");
        }
        if states > 0 {
            let (from, to) = (2 + dice.below(states), 2 + dice.below(states));
            if let Ok(there) = edits::move_state(&plan, from, to) {
                let (mut was, mut is) = (descents(&plan), descents(&there.plan));
                was.sort();
                is.sort();
                prop_assert_eq!(is, was, "each state has the same work behind it");
                prop_assert!(edits::move_state(&there.plan, to, from).expect("back").plan == plan, "states");
            }
        }
    }
}
