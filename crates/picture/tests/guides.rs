//! The stop-out guides: which sheets there are and what they say. That they print true is measured in
//! `tests/browser/guides.test.mjs`.

use picture::{GuideFace, GuidePaper, GuideWish, PictureAreas, ToneMap, guides};
use plan::{Area, AreaShape, AreaWork, Plan, ShapeKind, Units};
use std::sync::Arc;

fn square(work: AreaWork, value: u8, from: f64, until: f64) -> Area {
    Area {
        name: String::new(),
        work,
        value,
        to_value: 0,
        feather_mm: 4.0,
        spit_min: 1.5,
        axis_mm: Vec::new(),
        shapes: vec![AreaShape {
            kind: ShapeKind::Outline,
            away: false,
            brush_mm: 0.0,
            points_mm: vec![from, from, until, from, until, until, from, until],
        }],
    }
}

fn wish(paper: GuidePaper, face: GuideFace) -> GuideWish {
    GuideWish { paper, face, units: Units::Metric }
}

#[test]
fn guides_in_inches_say_inches_and_carry_four_of_them() {
    let areas = vec![square(AreaWork::Hold, 3, 60.0, 90.0)];
    let plan = Plan { areas, ..Plan::default() };
    let areas = PictureAreas::new(Arc::new(ToneMap::new(4, 4, vec![0; 16])), &plan);
    let us = GuideWish { units: Units::Us, ..wish(GuidePaper::Letter, GuideFace::Copper) };
    let all = guides(&areas, &plan, us, None);
    let svg = &all[0].svg;
    assert!(!svg.contains(" mm"), "no millimetre is left: {svg}");
    // 150 × 200 mm; an inch is 25.4 mm.
    assert!(svg.contains("copper 5.91 × 7.87 in"), "{}", &svg[..900]);
    assert!(svg.contains("h101.6\"") && svg.contains(">4 in</text>"), "four inches long");
    assert!(svg.contains("feather over 0.16 in"), "{svg}");
}

#[test]
fn each_step_at_which_something_is_done_has_its_sheets() {
    // Black all over, so that nothing is stopped out but what is held by hand.
    let black = Arc::new(ToneMap::new(4, 4, vec![0; 16]));
    let mut plan = Plan { title: "Rock & <mist>".to_owned(), ..Plan::default() };
    plan.areas = vec![square(AreaWork::Spit, 0, 20.0, 50.0), square(AreaWork::Hold, 3, 60.0, 90.0)];
    let areas = PictureAreas::new(black, &plan);
    let sheets = |paper, only| guides(&areas, &plan, wish(paper, GuideFace::Copper), only);
    let all = sheets(GuidePaper::A4, None);
    let steps: Vec<_> = all.iter().map(|sheet| sheet.after_bites).collect();
    assert_eq!(steps, [Some(0), Some(3)], "spit-bite before the first bite, a square after three");
    let told: Vec<_> = all.iter().map(|one| (one.name.as_str(), one.when.as_str())).collect();
    assert_eq!(
        told,
        [
            ("Spit-bite: area 1", "before the whites are stopped out"),
            ("Stop out value 3", "after bites 1 to 3, before bites 4 to 7 in one (13.5 min)"),
        ],
        "values that the plate does not have are passed over"
    );
    for (sheet, words) in
        [(&all[0], "brush etchant on, 1.5 min, fading over 4 mm"), (&all[1], "feather over 4 mm")]
    {
        assert!(sheet.svg.contains(words), "{} says “{words}”", sheet.name);
        assert!(sheet.svg.contains("Rock &amp; &lt;mist&gt;"), "its title can't break out");
        assert!(sheet.svg.contains("Mirrored, for the copper"), "which way round");
        assert!(sheet.sheet.is_empty(), "one sheet a step");
    }
    assert!(sheets(GuidePaper::A4, Some(5)).is_empty(), "nothing after five bites");

    // On letter paper the plate's 200 mm and 6 mm round it fit upright; a plate of 260 mm does not.
    plan.plate.height_mm = 260.0;
    let areas = PictureAreas::new(Arc::new(ToneMap::new(4, 4, vec![0; 16])), &plan);
    let tiled = guides(&areas, &plan, wish(GuidePaper::Letter, GuideFace::Paper), None);
    let names: Vec<_> = tiled.iter().map(|sheet| sheet.file.as_str()).collect();
    assert_eq!(
        names,
        [
            "how-the-sheets-join",
            "spit-bite-1-a1",
            "spit-bite-1-b1",
            "stop-out-3-before-bite-4-a1",
            "stop-out-3-before-bite-4-b1"
        ],
        "how they join, then each step's sheets"
    );
    assert!(tiled.iter().all(|sheet| sheet.svg.contains("Right way round")), "as printed");
}

#[test]
fn guides_are_drawn_for_the_values_that_the_plate_has_alone() {
    // White letters on black: of seven values the plate has paper and the darkest.
    let two = Arc::new(ToneMap::new(2, 2, vec![255, 255, 0, 0]));
    let plan = Plan::default();
    let areas = PictureAreas::new(two, &plan);
    let all = guides(&areas, &plan, wish(GuidePaper::Whole, GuideFace::Copper), None);
    let told: Vec<_> = all.iter().map(|one| (one.name.as_str(), one.when.as_str())).collect();
    assert_eq!(told, [("Stop out the whites", "before bites 1 to 7 in one (18 min)")]);
}
