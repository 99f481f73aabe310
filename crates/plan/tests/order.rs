//! Which stop-outs and bites a plate really needs.

use plan::order::BathOrder;
use plan::{Area, AreaShape, AreaWork, Bite, LaterBite, LaterGround, Plan, ShapeKind, State, Work};

fn of(minutes: &[f64]) -> Plan {
    let bites = minutes.iter().map(|&bite_min| Bite { bite_min }).collect();
    Plan { bites, ..Plan::default() }
}

fn spans(order: &BathOrder) -> Vec<(usize, usize, f64)> {
    order.bites.iter().map(|bite| (bite.bite.first, bite.bite.last, bite.bite.bite_min)).collect()
}

#[test]
fn a_plate_with_every_value_is_bitten_as_planned() {
    let order = of(&[1.0, 2.0, 3.0]).bath_order(&[0.25; 4]);
    assert_eq!(spans(&order), [(1, 1, 1.0), (2, 2, 2.0), (3, 3, 3.0)]);
    assert!(order.whites && order.dropped.is_empty() && order.spits.is_empty());
    assert!(order.bites.iter().all(|bite| bite.joined.is_empty()), "nothing is joined");
    assert_eq!(order.bites[1].name, "Bite 2");
}

#[test]
fn what_no_place_has_is_passed_over_and_named() {
    let plan = of(&[1.0, 2.0, 3.0, 4.0, 5.0, 6.0]);
    let order = plan.bath_order(&[0.5, 0.0, 0.2, 0.0, 0.0, 0.3, 0.0]);
    assert_eq!(spans(&order), [(1, 2, 3.0), (3, 5, 12.0)]);
    let names: Vec<_> = order.bites.iter().map(|bite| bite.name.as_str()).collect();
    assert_eq!(names, ["Bites 1 and 2 in one", "Bites 3 to 5 in one"]);
    assert_eq!(
        order.bites[1].joined,
        "No place of the plate has value 3 or 4, so nothing is stopped out there: bites 3 to 5 run as one."
    );
    assert_eq!(order.dropped, "No place of the plate has value 6: bite 6 falls away.");

    // A speck of a thousandth of a square millimetre on the default 150 × 200 mm is no value.
    let speck = 1e-3 / (plan.plate.width_mm * plan.plate.height_mm);
    let order = plan.bath_order(&[speck, 0.4, 0.2, speck, 0.0, 0.4]);
    assert!(!order.whites, "no whites to stop out");
    assert_eq!(spans(&order), [(1, 1, 1.0), (2, 2, 2.0), (3, 5, 12.0)]);
    assert!(plan.bath_order(&[1.0]).bites.is_empty(), "a white plate has nothing to bite");
}

#[test]
fn every_spit_bite_is_a_step_of_its_own() {
    let spit = |name: &str, minutes: f64, left: f64| Area {
        name: name.to_owned(),
        work: AreaWork::Spit,
        value: 0,
        to_value: 0,
        feather_mm: 5.0,
        spit_min: minutes,
        axis_mm: Vec::new(),
        shapes: vec![AreaShape {
            kind: ShapeKind::Outline,
            away: false,
            brush_mm: 0.0,
            points_mm: vec![left, 10.0, left + 20.0, 10.0, left + 20.0, 40.0],
        }],
    };
    let mut plan = of(&[1.0, 2.0]);
    let held = Area { work: AreaWork::Hold, value: 1, ..spit("", 0.0, 90.0) };
    plan.areas = vec![spit("sky", 2.0, 10.0), held, spit("", 1.5, 60.0)];
    let order = plan.bath_order(&[0.2, 0.4, 0.4]);
    let steps: Vec<_> = order
        .spits
        .iter()
        .map(|spit| (spit.name.as_str(), spit.spit_min, spit.fade_mm, spit.middle_mm))
        .collect();
    assert_eq!(steps, [("sky", 2.0, 5.0, [20.0, 25.0]), ("area 3", 1.5, 5.0, [70.0, 25.0])]);
}

#[test]
fn later_grounds_pass_over_what_is_not_there_too() {
    let mut plan = of(&[1.0, 2.0, 3.0, 4.0]);
    let bite = |bite_min, from_value, to_value| LaterBite { bite_min, from_value, to_value };
    plan.states = vec![State {
        name: String::new(),
        from_state: 1,
        work: vec![Work::Ground(LaterGround {
            seed: 8,
            dust: plan.dust.clone(),
            bake: plan.bake.clone(),
            bath: plan.bath.clone(),
            outline_mm: Vec::new(),
            bites: vec![
                bite(1.0, 1, 4),
                bite(2.0, 3, 99),
                bite(4.0, 4, 4),
                bite(8.0, 2, 2),
                bite(16.0, 1, 1),
            ],
        })],
    }];
    let order = plan.bath_order(&[0.4, 0.3, 0.0, 0.0, 0.3]);
    let [ground] = order.later.as_slice() else { panic!("one ground: {:?}", order.later) };
    assert_eq!((ground.state, ground.work), (2, 0));
    let told: Vec<_> = ground
        .bites
        .iter()
        .map(|b| {
            (
                b.name.as_str(),
                b.bite.bite_min,
                b.cover.as_str(),
                b.uncover.as_str(),
                b.open.as_str(),
            )
        })
        .collect();
    assert_eq!(
        told,
        [
            ("Bite 1", 1.0, "the whites", "", "values 1 and 4"),
            ("Bites 2 and 3 in one", 6.0, "value 1", "", "value 4"),
            ("Bite 5", 16.0, "value 4", "value 1", "value 1"),
        ]
    );
    assert_eq!(
        ground.dropped,
        "No place of the plate has a value that is open in bite 4: it falls away."
    );
}

#[test]
fn the_line_of_work_leads_to_the_last_state() {
    let state = |from_state| State { name: String::new(), from_state, work: Vec::new() };
    let line = |from: &[u32]| {
        let states = from.iter().map(|&from| state(from)).collect();
        Plan { states, ..Plan::default() }.bath_order(&[]).line
    };
    assert_eq!(line(&[]), [0; 0], "the first proof alone");
    assert_eq!(line(&[1, 2, 3]), [2, 3, 4], "one after another");
    assert_eq!(line(&[1, 1, 3]), [3, 4], "another branch is left out");
}
