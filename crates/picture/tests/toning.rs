//! Exposure, contrast and curve of a picture's tones.

use picture::{PictureAreas, ToneMap, Toning, fit_thresholds, whole_range};
use plan::{Picture, Plan, TonePoint};
use proptest::prelude::*;
use std::sync::Arc;

fn point(from_l: f64, to_l: f64) -> TonePoint {
    TonePoint { from_l, to_l }
}

/// CIE 15: Y = ((L* + 16) / 116)³ above L* 8, so that a stop more at L* 50 (Y 0.18419) is Y 0.36837, L* 67.16.
#[test]
fn a_stop_is_twice_the_light() {
    let toning = Toning::of(&Picture { exposure_stops: 1.0, ..Picture::default() });
    let light = |l: f64| libm::pow((l + 16.0) / 116.0, 3.0);
    let expected = 116.0 * libm::cbrt(2.0 * light(50.0)) - 16.0;
    assert!((expected - 67.16).abs() < 0.01, "as worked out by hand");
    assert!((toning.after_l(50.0) - expected).abs() < 1e-9, "L* {}", toning.after_l(50.0));
    assert_eq!(toning.after_l(95.0), 100.0, "more than white is white");
    assert_eq!(toning.after_l(0.0), 0.0, "no light stays none");
}

#[test]
fn contrast_is_the_slope_in_the_middle_and_leaves_the_ends() {
    for contrast in [0.25, 0.5, 1.0, 1.6, 4.0] {
        let toning = Toning::of(&Picture { contrast, ..Picture::default() });
        let slope = (toning.after_l(50.01) - toning.after_l(49.99)) / 0.02;
        assert!((slope - contrast).abs() < 1e-2 * contrast, "{slope} for {contrast}");
        assert_eq!([0.0, 50.0, 100.0].map(|l| toning.after_l(l)), [0.0, 50.0, 100.0], "{contrast}");
    }
}

#[test]
fn a_curve_goes_through_its_points_and_the_ends() {
    let points = vec![point(10.0, 0.0), point(40.0, 60.0), point(80.0, 100.0)];
    let toning = Toning::of(&Picture { tone_points: points.clone(), ..Picture::default() });
    for TonePoint { from_l, to_l } in points {
        assert!((toning.after_l(from_l) - to_l).abs() < 1e-9, "through {from_l}");
    }
    assert_eq!([0.0, 5.0].map(|l| toning.after_l(l)), [0.0, 0.0], "black up to the first");
    assert_eq!(toning.after_l(90.0), 100.0, "white from the last");
}

/// A picture of all tones: values go where toned tones pass the plan's thresholds, pixel by pixel.
#[test]
fn values_go_where_the_changed_tones_say() {
    let mut plan = Plan::default();
    plan.picture.exposure_stops = 1.3;
    plan.picture.contrast = 1.4;
    plan.picture.tone_points = vec![point(20.0, 12.0), point(70.0, 82.0)];
    let (width, height) = (256, 4);
    let lightness = (0..width * height).map(|i| (i % width) as u8).collect();
    let areas = PictureAreas::new(Arc::new(ToneMap::new(width, height, lightness)), &plan);
    let values = areas.coarse(width, height);
    let toning = Toning::of(&plan.picture);
    let mut all = Vec::new();
    for (tone, value) in values[..width].iter().enumerate() {
        let after_l = toning.after_l(tone as f64 / 2.55);
        let thresholds_l = &plan.picture.thresholds_l;
        let expected = thresholds_l.iter().filter(|level| after_l <= **level).count();
        assert_eq!(usize::from(*value), expected, "tone {tone} becomes L* {after_l}");
        all.push(*value);
    }
    all.dedup();
    assert_eq!(all, [7, 6, 5, 4, 3, 2, 1, 0], "every value is there");
}

/// A night sky: nearly all of it darker than L* 6.
fn night() -> ToneMap {
    let lightness = (0..200 * 200_u32).map(|i| match i.wrapping_mul(2_654_435_761) >> 20 & 63 {
        0 => 200,
        n => (n / 4) as u8,
    });
    ToneMap::new(200, 200, lightness.collect())
}

#[test]
fn a_night_sky_can_be_lifted_into_many_values() {
    let tones = night();
    let histogram = tones.histogram();
    let values_used = |picture: &Picture| {
        let plan = Plan { picture: picture.clone(), ..Plan::default() };
        let areas = PictureAreas::new(Arc::new(tones.clone()), &plan);
        let mut counts = [0; 13];
        areas.coarse(200, 200).iter().for_each(|value| counts[usize::from(*value)] += 1);
        counts.iter().filter(|count| **count > 400).count()
    };
    let mut picture = Picture::default();
    assert_eq!(values_used(&picture), 2, "as it is: darkest, and stars");
    picture.exposure_stops = 4.0;
    picture.tone_points = whole_range(&Toning::of(&picture).histogram(&histogram), true);
    assert!(values_used(&picture) >= 5, "lifted: {} values", values_used(&picture));
    // Values spaced for what is printed: there are as few without the lifting, and more with it.
    let spaced = |picture: &Picture| {
        let printed_l = [92.0, 85.0, 76.0, 64.0, 57.0, 45.0, 37.0, 27.0];
        let thresholds_l = fit_thresholds(&tones, picture, &printed_l).thresholds_l;
        values_used(&Picture { thresholds_l, ..picture.clone() })
    };
    assert_eq!(spaced(&Picture::default()), 2, "no spacing parts tones that print alike");
    assert!(spaced(&picture) >= 5, "spaced for the lifted tones: {}", spaced(&picture));
}

#[test]
fn the_whole_range_begins_and_ends_where_the_picture_does() {
    let mut histogram = vec![0; 101];
    histogram[20..=60].fill(1000);
    histogram[3] = 50;
    assert_eq!(whole_range(&histogram, false), [point(20.0, 0.0), point(60.0, 100.0)], "stretched");
    let even = whole_range(&histogram, true);
    assert_eq!(even.first(), Some(&point(20.0, 0.0)), "the same ends");
    assert_eq!(even.last(), Some(&point(60.0, 100.0)), "the same ends");
    // Even already: evening it moves nothing.
    for TonePoint { from_l, to_l } in even {
        assert!((to_l - 2.5 * (from_l - 20.0)).abs() < 2.0, "{from_l} leads to {to_l}");
    }
    let one = [vec![0; 40], vec![9; 1], vec![0; 60]].concat();
    assert_eq!(whole_range(&one, true), [], "one tone has no range");
}

#[test]
fn a_histogram_keeps_its_pixels() {
    let picture = Picture {
        exposure_stops: 0.7,
        tone_points: vec![point(30.0, 10.0), point(60.0, 90.0)],
        ..Picture::default()
    };
    let own: Vec<u32> = (0..101).map(|l| 3000 + 7 * l * (l % 3)).collect();
    let after = Toning::of(&picture).toned(&own).histogram;
    let sum = |of: &[u32]| of.iter().map(|count| i64::from(*count)).sum::<i64>();
    assert!((sum(&own) - sum(&after)).abs() <= 101, "{} became {}", sum(&own), sum(&after));
}

fn any_picture() -> impl Strategy<Value = Picture> {
    let points = prop::collection::vec((0.0..100.0_f64, 0.0..100.0_f64), 0..8);
    (-6.0..6.0_f64, 0.25..4.0_f64, points).prop_map(|(exposure_stops, contrast, points)| {
        let (mut from, mut to): (Vec<f64>, Vec<f64>) = points.into_iter().unzip();
        from.sort_by(f64::total_cmp);
        from.dedup_by(|a, b| *a - *b < 0.5);
        to.sort_by(f64::total_cmp);
        let tone_points = from.into_iter().zip(to).map(|(from_l, to_l)| point(from_l, to_l));
        Picture {
            exposure_stops,
            contrast,
            tone_points: tone_points.collect(),
            ..Picture::default()
        }
    })
}

proptest! {
    #[test]
    fn no_tone_passes_another(picture in any_picture()) {
        let toning = Toning::of(&picture);
        let mut before = 0.0;
        for step in 0..=1000 {
            let l = toning.after_l(f64::from(step) / 10.0);
            prop_assert!((0.0..=100.0).contains(&l), "L* {l}");
            prop_assert!(l >= before - 1e-9, "falls from {before} to {l}");
            before = l;
        }
    }

    #[test]
    fn what_lies_before_a_threshold_lies_before_it_afterwards(picture in any_picture(), after_l in 0.0..100.0_f64) {
        let toning = Toning::of(&picture);
        let own_l = toning.before_l(after_l);
        for tone in 0..=255_u8 {
            let l = f64::from(tone) / 2.55;
            let becomes = toning.after_l(l);
            // Within rounding of the threshold either side is right.
            if (becomes - after_l).abs() > 1e-7 {
                prop_assert_eq!(l <= own_l, becomes <= after_l, "L* {} becomes {}", l, becomes);
            }
        }
    }
}
