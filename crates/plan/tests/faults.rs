//! Faults in plan files, links, checks, differences and edits.

use plan::link::{decode, encode};
use plan::{FAULT_KINDS, Fault, FaultKind, FaultPlace, MAX_FAULTS, Plan, difference, edits};

fn with(faults: Vec<Fault>) -> Plan {
    Plan { faults, ..Plan::default() }
}

fn drip_before(from_bite: u32) -> Plan {
    with(vec![Fault { from_bite, ..Fault::usual(FaultKind::Drip) }])
}

#[test]
fn a_plan_without_faults_is_written_as_before() {
    let plan = Plan::default();
    assert!(!plan.to_json().contains("fault"), "nothing of them in the file");
    let back = Plan::from_json(&plan.to_json()).expect("a plan");
    assert_eq!(back, plan, "and read back");
    let link = encode(&plan, None).expect("a link");
    let faulty = encode(&drip_before(2), None).expect("a link");
    assert!(faulty.len() > link.len(), "a fault costs some characters, none costs nothing");
}

#[test]
fn every_fault_comes_back_from_file_and_link() {
    for (i, kind) in FAULT_KINDS.into_iter().enumerate() {
        let fault = Fault {
            x_mm: -3.7,
            y_mm: 10.0 + i as f64 / 3.0,
            radius_mm: 4.2,
            size: 0.35,
            seed: u32::MAX - i as u32,
            from_bite: 1 + i as u32 % 7,
            ..Fault::usual(kind)
        };
        let plan = with(vec![fault.clone(), Fault { size: 1.0, ..fault }]);
        assert_eq!(plan.problems(), [], "{kind:?} is sound");
        assert_eq!(Plan::from_json(&plan.to_json()).as_ref(), Ok(&plan), "{kind:?} in a file");
        let link = encode(&plan, None).expect("a link");
        assert_eq!(decode(&link).expect("it opens").plan, plan, "{kind:?} in a link");
    }
}

#[test]
fn a_file_may_name_no_more_than_the_kind() {
    let text = r#"{"platewright": 1, "faults": [{"kind": "hot_spot"}]}"#;
    let plan = Plan::from_json(text).expect("a plan");
    assert_eq!(plan.faults[0].kind, FaultKind::HotSpot, "the kind");
    assert_eq!(plan.faults[0].size, 0.5, "half as bad as it can be");
    assert!(Plan::from_json(&text.replace("hot_spot", "rust")).is_err(), "no such fault");
}

#[test]
fn each_unsound_number_is_named() {
    let usual = || Fault::usual(FaultKind::Jolt);
    let named = |fault: Fault| -> Vec<String> {
        with(vec![fault]).problems().into_iter().map(|problem| problem.field).collect()
    };
    assert_eq!(named(Fault { size: 1.2, ..usual() }), ["faults.0.size"], "too large");
    assert_eq!(named(Fault { size: f64::NAN, ..usual() }), ["faults.0.size"], "no number");
    assert_eq!(named(Fault { x_mm: 900.0, ..usual() }), ["faults.0.x_mm"], "far off");
    assert_eq!(named(Fault { radius_mm: 0.0, ..usual() }), ["faults.0.radius_mm"], "no reach");
    let bare = Fault { radius_mm: 0.0, ..Fault::usual(FaultKind::BareBack) };
    assert_eq!(bare.kind.place(), FaultPlace::Plate, "the whole plate's");
    assert_eq!(named(bare), [""; 0], "its reach is of no matter");
    let named: Vec<_> = drip_before(8).problems().into_iter().map(|one| one.field).collect();
    assert_eq!(named, ["faults.0.from_bite"], "after the last bite");
    let many = with(vec![usual(); MAX_FAULTS + 1]);
    assert_eq!(many.problems().len(), 1, "too many are told once");
    assert_eq!(many.problems()[0].field, "faults", "and where");
}

#[test]
fn differences_are_told_in_words() {
    let said = |before: &Plan, after: &Plan| -> Vec<String> {
        let all = difference::between(before, after);
        all.into_iter().map(|one| one.sentence.to_string()).collect()
    };
    let spot = Fault::usual(FaultKind::HotSpot);
    let bare = Fault { size: 1.0, ..Fault::usual(FaultKind::BareBack) };
    let (none, one) = (Plan::default(), with(vec![spot.clone()]));
    let both = with(vec![spot.clone(), bare]);
    let hot = "hot spot, size 0.5, 15 mm round 75 mm from the left and 100 mm from the top";
    assert_eq!(said(&none, &one), [format!("fault added: {hot}")], "added");
    assert_eq!(said(&one, &none), [format!("fault removed: {hot}")], "removed");
    assert_eq!(said(&one, &both), ["fault added: back not covered, size 1"], "at the end");
    let worse = with(vec![Fault { size: 0.8, ..spot.clone() }]);
    let words = said(&one, &worse);
    assert!(words[0].starts_with("fault 1 hot spot, size 0.8"), "{words:?}");
    let other = with(vec![Fault { seed: 5, ..spot }]);
    assert_eq!(said(&one, &other), ["fault 1 otherwise shaped"], "another seed");
    let drip = said(&none, &drip_before(3));
    assert!(drip[0].contains("from bite 3 on"), "{drip:?}");
}

#[test]
fn a_drip_goes_with_its_bite() {
    let bite = |plan: &Plan| plan.faults[0].from_bite;
    let plan = drip_before(5);
    let fewer = edits::remove_bite(&plan, 2).expect("an edit").plan;
    assert_eq!(bite(&fewer), 4, "a bite before it is gone");
    let last = edits::remove_bite(&drip_before(7), 7).expect("an edit").plan;
    assert_eq!(last.problems(), [], "its own bite is gone, and the plan is sound");
}

#[test]
fn a_state_mends_what_is_in_the_copper() {
    for kind in FAULT_KINDS {
        let plan = with(vec![Fault { x_mm: 4.0, radius_mm: 9.0, ..Fault::usual(kind) }]);
        let mended = edits::mend_fault(&plan, 1);
        if !kind.mended_by().is_a_state() {
            let refused = mended.expect_err("no state can");
            assert_eq!(refused.code, "no_state", "{kind:?}");
            continue;
        }
        let mended = mended.expect("a state can");
        assert_eq!(mended.plan.problems(), [], "{kind:?} leaves a sound plan");
        assert_eq!(mended.shown_state, Some(2), "{kind:?} begins a state");
        assert_eq!(mended.plan.faults, plan.faults, "the fault itself stays: it has happened");
        let again = edits::mend_fault(&mended.plan, 1).expect("once more");
        assert_eq!(again.plan.states.len(), 1, "in the last state, {kind:?}");
        assert_eq!(again.plan.states[0].work.len(), 2, "{kind:?}");
    }
    assert!(edits::mend_fault(&Plan::default(), 1).is_err(), "none such");
    assert!(edits::mend_fault(&Plan::default(), 0).is_err(), "none such");
}

#[test]
fn the_documentation_has_every_full_size() {
    let text = include_str!("../../../docs/physics/faults.md");
    for kind in FAULT_KINDS {
        let row = text.lines().find(|line| line.starts_with(&format!("| {} |", kind.name())));
        let row = row.unwrap_or_else(|| panic!("{kind:?} has a row"));
        let last = row.trim_end_matches(" |").rsplit(" | ").next();
        assert_eq!(last, Some(kind.full_size().in_short().as_str()), "{kind:?}: its full size");
    }
    let table = text.lines().skip_while(|line| !line.starts_with("| fault |"));
    let rows = table.take_while(|line| line.starts_with('|')).count();
    assert_eq!(rows, FAULT_KINDS.len() + 2, "a row each, the head and its line");
}
