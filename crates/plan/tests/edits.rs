//! Edits of the bites: whatever names a value keeps to the value it meant.

use crate::support;

use plan::edits::{insert_bite, leave_out, move_bite, remove_bite, take_bites};
use plan::{Area, AreaWork, Bite, LaterBite, LaterGround, Plan, State, Work};
use proptest::prelude::*;
use support::{Dice, any_plan};

fn ground(seed: u32, bites: &[(f64, u32, u32)]) -> Work {
    let Plan { dust, bake, bath, .. } = Plan::default();
    let bites = bites
        .iter()
        .map(|&(bite_min, from_value, to_value)| LaterBite { bite_min, from_value, to_value })
        .collect();
    Work::Ground(LaterGround { seed, dust, bake, bath, outline_mm: Vec::new(), bites })
}

fn area(work: AreaWork, value: u8, to_value: u8) -> Area {
    Area {
        name: String::new(),
        work,
        value,
        to_value,
        feather_mm: 0.0,
        spit_min: 2.0,
        axis_mm: if work == AreaWork::Split { vec![1.0, 2.0, 30.0, 4.0] } else { Vec::new() },
        shapes: Vec::new(),
    }
}

fn with_work(work: Vec<Work>) -> Plan {
    // Bites that can be told from each other, 24 minutes in all.
    let bites = [1.0, 2.0, 3.0, 3.0, 4.0, 5.0, 6.0].map(|bite_min| Bite { bite_min }).to_vec();
    let states = vec![State { name: String::new(), from_state: 1, work }];
    Plan { bites, states, ..Plan::default() }
}

fn grounds(plan: &Plan) -> impl Iterator<Item = &LaterGround> {
    plan.states.iter().flat_map(|state| &state.work).filter_map(|work| match work {
        Work::Ground(ground) => Some(ground),
        Work::Tool(_) => None,
    })
}

fn ranges(plan: &Plan) -> Vec<(u32, u32)> {
    grounds(plan).flat_map(|g| &g.bites).map(|b| (b.from_value, b.to_value)).collect()
}

#[test]
fn values_that_hold_nothing_go_and_darker_ones_bite_as_long() {
    let plan = with_work(vec![ground(1, &[(4.0, 5, 7)])]);
    let edited = leave_out(&plan, &[2, 3, 7]);
    let minutes: Vec<f64> = edited.plan.bites.iter().map(|bite| bite.bite_min).collect();
    assert_eq!(minutes, [1.0, 8.0, 4.0, 5.0], "2 and 3 went to 4, 7 to none");
    assert_eq!(ranges(&edited.plan), [(3, 4)], "5 and 6 are 3 and 4 now");
    assert_eq!(edited.plan.picture.thresholds_l, [90.0, 58.0, 47.0, 37.0], "with their tones");
    assert!(
        edited.notices[0].starts_with("Values 2, 3 and 7 hold nothing"),
        "{:?}",
        edited.notices
    );
    assert_eq!(leave_out(&plan, &[]).plan, plan, "nothing to leave out");
    let all = leave_out(&plan, &[1, 2, 3, 4, 5, 6, 7]).plan;
    assert_eq!(all.bites.len(), 2, "a plan has two values at least");
    assert!(all.problems().is_empty(), "and is sound");
}

#[test]
fn later_grounds_follow_when_a_bite_goes() {
    // Values 5 to 7 of 7, the palest taken out one after another.
    let mut plan = with_work(vec![ground(1, &[(4.0, 5, 7)])]);
    for expected in [(4, 6), (3, 5), (2, 4), (1, 3)] {
        plan = remove_bite(&plan, 1).expect("there are enough").plan;
        assert_eq!(ranges(&plan), [expected], "with {} values", plan.bites.len());
    }
    // "And all darker" stays that.
    let plan = with_work(vec![ground(1, &[(4.0, 5, 12)])]);
    assert_eq!(ranges(&remove_bite(&plan, 6).expect("enough").plan), [(5, 12)], "to the last");
}

#[test]
fn what_opened_only_the_removed_value_goes_with_it_and_is_told() {
    let plan = with_work(vec![ground(1, &[(4.0, 2, 6), (3.0, 3, 3)]), ground(2, &[(1.5, 3, 3)])]);
    let edited = remove_bite(&plan, 3).expect("enough");
    assert_eq!(ranges(&edited.plan), [(2, 5)], "the second ground is gone with its only bite");
    assert_eq!(
        edited.notices,
        [
            "Bite 3 is removed: the darker values lie in the bath for 3 min less.",
            "The places that had the old value 3 are value 2 now: under the new ground of state 2 they lie in the bath for 4 min instead of 7.",
            "A bite of 3 min under the new ground of state 2 opened nothing else, and is removed with it.",
            "The places that had the old value 3 are value 2 now: under the new ground of state 2 they lie in the bath for 0 min instead of 1.5.",
            "Nothing is left for the new ground of state 2 to open, so the ground is removed. “Undo” brings it back.",
        ],
        "each loss has its sentence"
    );
}

#[test]
fn areas_of_a_removed_value_take_the_next_lighter_and_are_told() {
    let areas = vec![
        Area { name: "sky".to_owned(), ..area(AreaWork::Hold, 3, 0) },
        area(AreaWork::Hold, 5, 0),
        area(AreaWork::Split, 3, 6),
        area(AreaWork::Hold, 3, 0),
    ];
    let mut plan = Plan { areas, ..Plan::default() };
    let edited = remove_bite(&plan, 3).expect("enough");
    let values: Vec<_> = edited.plan.areas.iter().map(|a| (a.value, a.to_value)).collect();
    assert_eq!(values, [(2, 0), (4, 0), (2, 5), (2, 0)], "the next lighter value");
    assert_eq!(
        edited.notices[1..],
        [
            "What was value 3 is gone: area 1 “sky” and area 4 are held at value 2 now, the nearest that is left.",
            "The gradation in area 3 runs from value 2 to value 5 now, in 4 strips instead of 4.",
        ],
        "what gave way"
    );
    plan.areas = vec![area(AreaWork::Hold, 1, 0), area(AreaWork::Split, 1, 0)];
    let edited = remove_bite(&plan, 1).expect("enough");
    assert_eq!(
        edited.notices[1..],
        [
            "What was value 1 is gone: area 1 is kept white now.",
            "The gradation in area 2 is all of the paper now, in 1 strip instead of 2.",
        ],
        "the lightest value falls to the paper"
    );
}

#[test]
fn a_new_value_takes_tones_and_later_bites_from_the_next_lighter() {
    let mut plan = with_work(vec![ground(1, &[(4.0, 5, 7), (2.0, 2, 3)])]);
    let darker = insert_bite(&plan, 8).expect("there is room");
    assert_eq!(darker.plan.picture.thresholds_l.last(), Some(&19.0), "9 L* darker");
    assert_eq!(darker.plan.bites[7], plan.bites[6], "as long a bite again");
    assert_eq!(ranges(&darker.plan), [(5, 8), (2, 3)], "it lies open with the value it comes from");
    assert_eq!(
        darker.notices,
        [
            "The new value 8 lies open under the new ground of state 2 for 4 min, as value 7 does, from which it takes its tones."
        ]
    );
    plan.areas = vec![area(AreaWork::Split, 2, 4), area(AreaWork::Split, 4, 1)];
    let between = insert_bite(&plan, 4).expect("there is room");
    assert_eq!(between.plan.picture.thresholds_l[3], 63.5, "half-way between 69 and 58");
    assert_eq!(ranges(&between.plan), [(6, 8), (2, 4)], "new value 4 comes from value 3");
    assert_eq!(
        between.notices[1..3],
        [
            "The gradation in area 1 runs from value 2 to value 5 now, in 4 strips instead of 3.",
            "The gradation in area 2 runs from value 5 to value 1 now, in 5 strips instead of 4.",
        ]
    );
}

#[test]
fn what_cannot_be_done_is_said() {
    let mut plan = Plan::default();
    assert!(remove_bite(&plan, 8).expect_err("none").contains("no bite 8"));
    assert!(insert_bite(&plan, 0).expect_err("none").contains("no bite 0"));
    assert!(insert_bite(&plan, 9).expect_err("none").contains("bites 1 to 7"));
    assert!(move_bite(&plan, 1, 8).expect_err("none").contains("no bite 8"));
    // The page used to add a value that began where the one before did.
    plan.picture.thresholds_l[6] = 0.0;
    assert!(insert_bite(&plan, 8).expect_err("no tone").contains("no tone left"));
    plan.bites.truncate(2);
    assert!(remove_bite(&plan, 1).expect_err("too few").contains("at least 2"));
    // A plan that is not sound may be mended by an edit, and never breaks it.
    plan.picture.thresholds_l.clear();
    assert!(insert_bite(&plan, 3).is_ok(), "no thresholds at all");
    plan.bites.clear();
    assert!(insert_bite(&plan, 1).is_ok(), "no bites at all");
}

#[test]
fn moving_a_bite_changes_minutes_and_no_number() {
    let mut plan = with_work(vec![ground(1, &[(4.0, 2, 3)])]);
    plan.areas = vec![area(AreaWork::Hold, 2, 0)];
    let edited = move_bite(&plan, 2, 5).expect("both are there");
    let minutes: Vec<f64> = edited.plan.bites.iter().map(|bite| bite.bite_min).collect();
    assert_eq!(minutes, [1.0, 3.0, 3.0, 4.0, 2.0, 5.0, 6.0]);
    assert_eq!(Plan { bites: plan.bites.clone(), ..edited.plan }, plan, "nothing else");
    assert_eq!(
        edited.notices,
        [
            "Minutes in the bath, in all: value 2 for 4 instead of 3, value 3 for 7 instead of 6, value 4 for 11 instead of 9. Each value keeps its places."
        ]
    );
}

#[test]
fn another_count_of_values_goes_by_minutes() {
    let mut plan = with_work(vec![ground(1, &[(4.0, 5, 12), (1.0, 1, 7)])]);
    plan.areas = vec![area(AreaWork::Hold, 7, 0), area(AreaWork::Split, 0, 7)];
    // In all 1, 3, 6, 9, 13, 18, 24 minutes before.
    let edited = take_bites(&plan, &[6.0, 6.0, 12.0], &[80.0, 50.0, 30.0]);
    assert_eq!(ranges(&edited.plan), [(2, 12), (1, 3)], "12 minutes are nearest to 13");
    let values: Vec<_> = edited.plan.areas.iter().map(|a| (a.value, a.to_value)).collect();
    assert_eq!(values, [(3, 0), (0, 3)], "the darkest stays the darkest");
    assert!(edited.notices.iter().any(|said| said.contains("4 strips instead of 8")), "told");
    assert_eq!(edited.plan.problems(), []);
    // As many values: each keeps its number, whatever its minutes.
    let same = take_bites(&plan, &[20.0; 7], &plan.picture.thresholds_l);
    assert_eq!((ranges(&same.plan), same.notices), (ranges(&plan), Vec::new()));
}

/// Minutes of each later ground, told apart by its seed, for one value.
fn later_minutes(plan: &Plan, value: usize) -> Vec<(u32, f64)> {
    let last = plan.bites.len();
    let open = |bite: &&LaterBite| {
        (bite.from_value as usize).min(last) <= value && value <= (bite.to_value as usize).min(last)
    };
    let minutes =
        |g: &LaterGround| g.bites.iter().filter(open).map(|bite| bite.bite_min).sum::<f64>();
    grounds(plan).map(|g| (g.seed, minutes(g))).filter(|&(_, min)| min > 0.0).collect()
}

/// What a value is to its printmaker, whatever its number.
#[derive(Clone, Debug, PartialEq)]
struct Meant {
    name: usize,
    threshold_l: Option<f64>,
    later_min: Vec<(u32, f64)>,
}

fn meant(plan: &Plan) -> Vec<Meant> {
    (0..=plan.bites.len())
        .map(|value| Meant {
            name: value,
            threshold_l: value.checked_sub(1).map(|at| plan.picture.thresholds_l[at]),
            later_min: later_minutes(plan, value),
        })
        .collect()
}

/// A sound plan with at least one later ground, each ground with a seed of its own, and gradations.
fn plan_with_grounds(seed: u64) -> Plan {
    let mut dice = Dice::new(seed);
    let mut plan = any_plan(&mut dice);
    let values = plan.bites.len();
    let bites: Vec<(f64, u32, u32)> = (0..1 + dice.below(4))
        .map(|i| {
            let from = dice.below(values + 1) as u32;
            (1.0 + i as f64, from, from + dice.below(13 - from as usize) as u32)
        })
        .collect();
    let work = vec![ground(0, &bites)];
    plan.states.push(State { name: String::new(), from_state: 1, work });
    plan.areas.push(area(
        AreaWork::Split,
        dice.below(values + 1) as u8,
        dice.below(values + 1) as u8,
    ));
    let mut number = 0;
    for work in plan.states.iter_mut().flat_map(|state| &mut state.work) {
        if let Work::Ground(ground) = work {
            ground.seed = number;
            number += 1;
        }
    }
    plan
}

/// The plan with the last value named by its number wherever a number beyond it stands for it.
fn written_out(plan: &Plan) -> Plan {
    let (mut plan, last) = (plan.clone(), plan.bites.len() as u32);
    for work in plan.states.iter_mut().flat_map(|state| &mut state.work) {
        if let Work::Ground(ground) = work {
            for bite in &mut ground.bites {
                bite.from_value = bite.from_value.min(last);
                bite.to_value = bite.to_value.min(last);
            }
        }
    }
    plan
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_surviving_value_keeps_what_it_meant(
        seed in any::<u64>(),
        edits in prop::collection::vec((0..3_u8, any::<prop::sample::Index>(), any::<prop::sample::Index>()), 1..12),
    ) {
        let mut plan = plan_with_grounds(seed);
        let mut values = meant(&plan);
        // The values that areas name: held at, or at both ends of a gradation.
        let mut named: Vec<(usize, usize)> = plan.areas.iter().map(|a| (a.value.into(), a.to_value.into())).collect();
        let mut names = values.len();
        for (kind, one, other) in edits {
            let last = plan.bites.len();
            let value = 1 + one.index(last);
            let done = match kind {
                0 => remove_bite(&plan, value),
                1 => insert_bite(&plan, 1 + one.index(last + 1)),
                _ => move_bite(&plan, value, 1 + other.index(last)),
            };
            let Ok(edited) = done else { continue };
            match kind {
                0 => {
                    let gone = values.remove(value);
                    let lighter = &values[value - 1];
                    for (a, b) in &mut named {
                        for name in [a, b] {
                            if *name == gone.name { *name = lighter.name; }
                        }
                    }
                    if gone.later_min != lighter.later_min {
                        prop_assert!(edited.notices.iter().any(|said| said.contains("places that had")), "a loss is told");
                    }
                }
                1 => {
                    let value = 1 + one.index(last + 1);
                    let later_min = values[value - 1].later_min.clone();
                    let threshold_l = Some(edited.plan.picture.thresholds_l[value - 1]);
                    values.insert(value, Meant { name: names, threshold_l, later_min });
                    names += 1;
                    let back = remove_bite(&edited.plan, value).expect("what was added can go");
                    let (back, plan) = (written_out(&back.plan), written_out(&plan));
                    prop_assert_eq!(ranges(&back), ranges(&plan), "what lies open");
                    prop_assert!(back == plan, "add, then remove");
                }
                _ => {}
            }
            plan = edited.plan;
            prop_assert_eq!(plan.problems(), vec![], "still sound");
            let now: Vec<Meant> = meant(&plan).into_iter().zip(&values).map(|(now, was)| Meant { name: was.name, ..now }).collect();
            prop_assert_eq!(&now, &values, "thresholds and later minutes");
            let names_now: Vec<(usize, usize)> = plan.areas.iter()
                .map(|a| (values[usize::from(a.value)].name, values[usize::from(a.to_value)].name)).collect();
            prop_assert_eq!(&names_now, &named, "areas and gradations");
        }
    }
}
