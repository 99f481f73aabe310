//! States and the edition: what is refused, and how differences are told.

use plan::{Edition, LaterBite, LaterGround, Plan, State, Tool, ToolWork, Work, difference};

fn stroke() -> ToolWork {
    ToolWork {
        tool: Tool::Scraper,
        passage: false,
        width_mm: 6.0,
        take_um: 2.0,
        points_mm: vec![[10.0, 10.0], [40.0, 12.5]],
    }
}

fn ground() -> LaterGround {
    let plan = Plan::default();
    LaterGround {
        seed: 8,
        dust: plan.dust,
        bake: plan.bake,
        bath: plan.bath,
        outline_mm: Vec::new(),
        bites: vec![LaterBite { bite_min: 4.0, from_value: 5, to_value: 12 }],
    }
}

fn with(work: Vec<Work>) -> Plan {
    Plan { states: vec![State { name: String::new(), from_state: 1, work }], ..Plan::default() }
}

/// The one problem of a plan.
fn problem(plan: &Plan) -> (String, String) {
    let mut problems = plan.problems();
    assert_eq!(problems.len(), 1, "one problem: {problems:?}");
    let problem = problems.remove(0);
    (problem.field.clone(), problem.to_string())
}

#[test]
fn sound_work_is_let_in() {
    let plan = with(vec![Work::Tool(stroke()), Work::Ground(ground())]);
    assert_eq!(plan.problems(), [], "a stroke and a ground");
    assert_eq!(Plan::from_json(&plan.to_json()), Ok(plan), "kept as a file");
    assert!(
        !Plan::default().to_json().contains("states"),
        "a plan without states says nothing of them"
    );
}

#[test]
fn each_unsound_number_is_named_with_a_remedy() {
    let tool = |change: fn(&mut ToolWork)| {
        let mut work = stroke();
        change(&mut work);
        with(vec![Work::Tool(work)])
    };
    let bite = |change: fn(&mut LaterGround)| {
        let mut work = ground();
        change(&mut work);
        with(vec![Work::Ground(work)])
    };
    let state = |change: fn(&mut Plan)| {
        let mut plan = with(vec![Work::Tool(stroke())]);
        change(&mut plan);
        plan
    };
    let cases = [
        (tool(|w| w.take_um = 0.0), "states.0.work.0.take_um", "200 µm"),
        (tool(|w| w.take_um = f64::NAN), "states.0.work.0.take_um", "not a number"),
        (tool(|w| w.width_mm = 61.0), "states.0.work.0.width_mm", "60 mm"),
        (tool(|w| w.width_mm = 0.0), "states.0.work.0.width_mm", "0.1 mm"),
        (tool(|w| w.points_mm.clear()), "states.0.work.0.points_mm", "1 to 200"),
        (tool(|w| w.passage = true), "states.0.work.0.points_mm", "3 to 200"),
        (tool(|w| w.points_mm[0][0] = 10.04), "states.0.work.0.points_mm", "10 mm"),
        (tool(|w| w.points_mm[1][1] = 900.0), "states.0.work.0.points_mm", "off the plate"),
        (bite(|g| g.bites.clear()), "states.0.work.0.bites", "1 to 12"),
        (bite(|g| g.bites[0].bite_min = 0.3), "states.0.work.0.bites.0.bite_min", "quarter"),
        (
            bite(|g| g.bites[0].from_value = 13),
            "states.0.work.0.bites.0.from_value",
            "lighter first",
        ),
        (bite(|g| g.dust.wait_s = -1.0), "states.0.work.0.dust.wait_s", "900 s"),
        (bite(|g| g.bath.strength_be = 90.0), "states.0.work.0.bath.strength_be", "46 °Bé"),
        (state(|p| p.states[0].from_state = 2), "states.0.from_state", "1 to 1"),
        (state(|p| p.states[0].from_state = 0), "states.0.from_state", "1 to 1"),
        (state(|p| p.states[0].name = "n".repeat(121)), "states.0.name", "120"),
        (
            state(|p| p.edition = Some(Edition { impressions: 0, ..Edition::default() })),
            "edition.impressions",
            "5000",
        ),
    ];
    for (plan, field, part) in cases {
        let (at, message) = problem(&plan);
        assert_eq!(at, field, "{message}");
        assert!(message.contains(part), "{field}: {message}");
    }
    let many = state(|p| p.states = vec![p.states[0].clone(); 13]);
    assert_eq!(problem(&many).0, "states", "too many states");
}

#[test]
fn a_line_of_descent_leaves_other_branches_out() {
    let mut plan = with(vec![Work::Tool(stroke())]);
    for (from_state, name) in [(1, "a"), (3, "b"), (2, "c")] {
        plan.states.push(State { name: name.to_owned(), from_state, work: Vec::new() });
    }
    let line = |number| plan.line_of(number).iter().map(|s| s.name.as_str()).collect::<Vec<_>>();
    assert_eq!(line(1), [""; 0], "the first state has no later work");
    assert_eq!(line(4), ["a", "b"], "state 4 goes on from 3, which goes on from 1");
    assert_eq!(line(5), ["", "c"], "state 5 goes on from 2");
}

#[test]
fn every_tool_goes_into_a_link_and_comes_back() {
    let strokes = plan::TOOLS.iter().flat_map(|info| [false, true].map(|passage| (info, passage)));
    let work: Vec<Work> = strokes
        .map(|(info, passage)| {
            let points_mm = vec![[10.0, 10.0], [40.0, 12.5], [20.0, 30.0]];
            let ToolWork { take_um, .. } = stroke();
            let (tool, width_mm) = (info.tool, info.width_mm);
            Work::Tool(ToolWork { tool, passage, width_mm, take_um, points_mm })
        })
        .collect();
    let plan = with(work);
    assert!(plan.problems().is_empty(), "{:?}", plan.problems());
    let back =
        plan::link::decode(&plan::link::encode(&plan, None).expect("short enough")).expect("read");
    assert_eq!(back.plan.states, plan.states);
}

#[test]
fn differences_are_told_in_words() {
    let before = with(vec![Work::Tool(stroke())]);
    let told = |after: &Plan| -> Vec<String> {
        difference::between(&before, after).into_iter().map(|d| d.sentence.to_string()).collect()
    };
    let mut burnished = before.clone();
    burnished.states[0].work.push(Work::Tool(ToolWork {
        tool: Tool::Burnisher,
        take_um: 0.5,
        ..stroke()
    }));
    assert_eq!(told(&burnished), ["state 2: burnisher, stroke, 0.5 µm added"], "one more stroke");
    assert_eq!(told(&Plan::default()), ["state 2 removed"], "a state gone");
    let mut again = before.clone();
    again.states.push(State {
        name: String::new(),
        from_state: 2,
        work: vec![Work::Ground(ground())],
    });
    assert_eq!(told(&again), ["state 3 added (new ground, 4 min in the bath)"], "a state more");
    let mut edition = before.clone();
    edition.edition = Some(Edition::default());
    assert_eq!(told(&edition), ["edition planned (30 impressions, bare copper)"], "an edition");
    let mut ink = before.clone();
    ink.ink.blankets = plan::Blankets::Two;
    assert_eq!(told(&ink), ["blankets three → two"], "a blanket left out");
}
