//! A plan meets a picture for the first time.

use picture::{ToneMap, newly_met};
use plan::Plan;
use std::sync::Arc;

const PRINTED_L: [f64; 8] = [92.0, 85.0, 76.0, 64.0, 57.0, 45.0, 37.0, 27.0];

/// Large letters, black on white, with grey edges of a pixel or two: bars on 150 × 200 mm at 0.25 mm a pixel.
fn lettering() -> ToneMap {
    let (width, height) = (600, 800);
    let lightness = (0..width * height)
        .map(|i| {
            let (x, y) = (i % width, i / width);
            match (x % 120, y % 160) {
                (32..88, 30..130) => 0,
                (30..90, 28..132) => 120,
                _ => 255,
            }
        })
        .collect();
    ToneMap::new(width, height, lightness)
}

#[test]
fn values_of_nothing_but_grey_edges_are_left_out_and_darker_ones_bite_as_long() {
    let plan = Plan::default();
    let met = newly_met(Arc::new(lettering()), &plan, &PRINTED_L);
    let minutes = |plan: &Plan| plan.bites.iter().map(|bite| bite.bite_min).sum::<f64>();
    // A plan has two values at least.
    assert_eq!(met.plan.bites.len(), 2, "{:?}", met.plan.bites);
    assert_eq!(minutes(&met.plan), minutes(&plan), "the black bites as long as before");
    assert_eq!(met.plan.picture.thresholds_l.len(), 2, "each value its threshold");
    assert_eq!(met.plan.picture.smallest_mm, 1.0, "hairs give way");
    assert!(met.plan.problems().is_empty(), "{:?}", met.plan.problems());
    assert_eq!(met.notices.len(), 1, "{:?}", met.notices);
    assert!(met.notices[0].contains("nothing of this picture wide enough"), "{}", met.notices[0]);
}

/// A night with a moon: its darks are many tones, which one may want to lift.
#[test]
fn a_dark_picture_keeps_the_values_that_its_tones_may_yet_come_to() {
    let (width, height) = (300, 400);
    let tones = (0..width * height).map(|i| {
        let (x, y) = ((i % width) as i64 - 200, (i / width) as i64 - 100);
        if x * x + y * y < 1600 { 250 } else { (i / width / 8) as u8 }
    });
    let plan = Plan::default();
    let met = newly_met(Arc::new(ToneMap::new(width, height, tones.collect())), &plan, &PRINTED_L);
    assert_eq!(met.plan.bites, plan.bites, "as planned");
}

#[test]
fn a_picture_of_all_tones_keeps_every_value_and_the_width_asked_for() {
    let (width, height) = (300, 400);
    let tones = (0..width * height).map(|i| (255 * (i / width) / height) as u8).collect();
    let mut plan = Plan::default();
    plan.picture.smallest_mm = 2.5;
    let met = newly_met(Arc::new(ToneMap::new(width, height, tones)), &plan, &PRINTED_L);
    assert_eq!(met.notices, [""; 0], "nothing is left out");
    assert_eq!(met.plan.bites, plan.bites, "as planned");
    assert_eq!(met.plan.picture.smallest_mm, 2.5, "as it was chosen");
    assert_ne!(
        met.plan.picture.thresholds_l, plan.picture.thresholds_l,
        "values are spaced for it"
    );
}
