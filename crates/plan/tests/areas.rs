//! Areas by hand: checked, in links, and in words.

use plan::{Area, AreaShape, AreaWork, Plan, ShapeKind, difference, link};

fn area() -> Area {
    Area {
        name: "sail".to_owned(),
        work: AreaWork::Hold,
        value: 4,
        to_value: 0,
        feather_mm: 0.0,
        spit_min: 0.0,
        axis_mm: Vec::new(),
        shapes: vec![AreaShape {
            kind: ShapeKind::Brush,
            away: false,
            brush_mm: 2.5,
            points_mm: vec![12.35, 40.1, 13.0, 41.25, -5.0, 60.0],
        }],
    }
}

fn with(areas: Vec<Area>) -> Plan {
    Plan { areas, ..Plan::default() }
}

fn outline() -> AreaShape {
    AreaShape {
        kind: ShapeKind::Outline,
        away: true,
        brush_mm: 0.0,
        points_mm: vec![1.0, 1.0, 2.0, 1.0, 2.0, 2.05],
    }
}

#[test]
fn a_plan_without_areas_says_nothing_of_them() {
    assert!(!Plan::default().to_json().contains("areas"), "no word of areas in the file");
}

#[test]
fn areas_travel_in_files_and_links() {
    let mut other =
        Area { work: AreaWork::Split, to_value: 7, axis_mm: vec![1.0, 2.0, 30.05, 4.0], ..area() };
    other.shapes.push(outline());
    let spit = Area { work: AreaWork::Spit, spit_min: 2.5, feather_mm: 3.75, ..area() };
    let plan = with(vec![area(), other, spit]);
    assert_eq!(plan.problems(), Vec::new(), "a sound plan");
    assert_eq!(Plan::from_json(&plan.to_json()), Ok(plan.clone()), "through a file");
    let text = link::encode(&plan, None).expect("a link");
    assert_eq!(link::decode(&text).map(|got| got.plan), Ok(plan), "through a link");
}

#[test]
fn a_long_stroke_is_short_in_a_link() {
    let mut drawn = area();
    // A hand's stroke: half a millimetre a step.
    drawn.shapes[0].points_mm = (0..1000)
        .flat_map(|i| {
            let t = f64::from(i) * 0.5;
            [t % 140.0, 60.0 + f64::from(i % 7) * 0.35]
        })
        .map(|mm| (mm * 20.0).round() / 20.0)
        .collect();
    let bare = link::encode(&Plan::default(), None).expect("a link").len();
    let full = link::encode(&with(vec![drawn]), None).expect("a link").len();
    assert!(full - bare < 2_700, "1000 points take {} characters", full - bare);
}

#[test]
fn every_fault_is_named_with_its_field() {
    let faulty: [(&str, Area); 9] = [
        ("areas.0.name", Area { name: "n".repeat(61), ..area() }),
        ("areas.0.value", Area { value: 8, ..area() }),
        ("areas.0.to_value", Area { to_value: 200, ..area() }),
        ("areas.0.feather_mm", Area { feather_mm: f64::NAN, ..area() }),
        ("areas.0.spit_min", Area { work: AreaWork::Spit, ..area() }),
        ("areas.0.axis_mm", Area { work: AreaWork::Split, ..area() }),
        ("areas.0.shapes", {
            let mut odd = area();
            odd.shapes[0].points_mm[2] = 12.377;
            odd
        }),
        ("areas.0.shapes", {
            let mut far = area();
            far.shapes[0].points_mm[2] = 4000.0;
            far
        }),
        ("areas.0.shapes", {
            let mut short = area();
            short.shapes.push(AreaShape { points_mm: vec![1.0, 1.0, 2.0, 2.0], ..outline() });
            short
        }),
    ];
    for (field, area) in faulty {
        let found = with(vec![area.clone()]).problems();
        assert_eq!(found.len(), 1, "one problem with {area:?}: {found:?}");
        assert_eq!(found[0].field, field, "{}", found[0].message);
    }
    let many = with(vec![area(); 61]).problems();
    assert_eq!(many[0].field, "areas", "too many: {}", many[0].message);
    let mut long = area();
    long.shapes[0].points_mm = vec![1.0; 24_002];
    assert_eq!(with(vec![long]).problems()[0].field, "areas", "too many points");
}

#[test]
fn differences_are_said_in_words() {
    let words = |before: &[Area], after: &[Area]| {
        difference::name_of_change(&with(before.to_vec()), &with(after.to_vec()))
    };
    let (one, white) = (area(), Area { value: 0, name: String::new(), ..area() });
    let further = {
        let mut area = area();
        area.shapes.push(AreaShape { away: false, ..outline() });
        area
    };
    let spit = Area { work: AreaWork::Spit, spit_min: 3.0, feather_mm: 5.0, ..area() };
    for (before, after, said) in [
        (vec![], vec![one.clone()], "area 1 held at value 4"),
        (vec![one.clone()], vec![], "area 1 removed (held at value 4)"),
        (vec![white.clone(), one.clone()], vec![one.clone()], "area 1 removed (kept white)"),
        (
            vec![one.clone(), white.clone()],
            vec![white.clone(), one.clone()],
            "order of the areas changed",
        ),
        (vec![one.clone()], vec![further], "area 1 drawn further"),
        (
            vec![one.clone()],
            vec![Area { name: "mast".to_owned(), ..area() }],
            "area 1 called “mast”",
        ),
        (
            vec![one.clone()],
            vec![spit],
            "area 1 spit-bitten for 3 min, feathered over 5 mm (was held at value 4)",
        ),
    ] {
        assert_eq!(words(&before, &after).to_string(), said, "the words for a change");
    }
}
