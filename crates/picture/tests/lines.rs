//! A picture of lines on the plate: dark is line, the copper is the print's mirror image.

use picture::{LineAreas, ToneMap};
use plan::{Crop, LineWork, Plan};
use plate::chain::OpenLines;
use plate::grid::Grid;
use std::sync::Arc;

#[test]
fn dark_strokes_lie_open_mirrored_on_the_copper() {
    // Black in the left quarter of the picture, lightness a byte a pixel.
    let lightness = (0..40 * 10).map(|i| if i % 40 < 10 { 0 } else { 255 }).collect();
    let tones = Arc::new(ToneMap::new(40, 10, lightness));
    let lines = |open_below_l| LineWork {
        picture: String::new(),
        crop: Crop::default(),
        open_below_l,
        bite_min: 10.0,
    };
    let mut plan = Plan::default();
    assert!(LineAreas::new(tones.clone(), &plan).is_none(), "no lines in the plan");
    (plan.plate.width_mm, plan.plate.height_mm) = (40.0, 10.0);
    let share = |plan: &Plan, left_px: i64, width: usize| {
        let areas = LineAreas::new(tones.clone(), plan).expect("lines");
        let mut open = Vec::new();
        let any =
            areas.fill(&Grid { left_px, top_px: 0, width, height: 100, px_um: 100.0 }, &mut open);
        let count = open.iter().filter(|open| **open == 1).count();
        assert_eq!(any, count > 0, "whether any lie there");
        count as f64 / (width * 100) as f64
    };
    plan.lines = Some(lines(50.0));
    assert!(
        (share(&plan, 300, 100) - 1.0).abs() < 1e-9,
        "printed left, it lies right on the copper"
    );
    assert!(share(&plan, 0, 250) < 1e-9, "and nowhere else");
    let middling = share(&plan, 0, 400);
    // Half of the way from black to white, a pixel of the picture is 1 mm wide.
    assert!((middling - 0.25).abs() < 0.003, "a quarter: {middling}");
    plan.lines = Some(lines(90.0));
    let wider = share(&plan, 0, 400) - middling;
    assert!(
        (wider - 0.4 / 40.0).abs() < 0.003,
        "up to L* 90 the edge lies 0.4 mm farther: {wider}"
    );
}
