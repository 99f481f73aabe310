//! Areas by hand, specks, and thresholds that suit what is printed.

use picture::{PictureAreas, ToneMap, fit_thresholds, suggested, suits};
use plan::{Area, AreaShape, AreaWork, Picture, Plan, ShapeKind};
use plate::chain::{Doses, Field, Job, Renderer, ValueAreas, View};
use plate::grid::Grid;
use std::sync::Arc;

/// A 40 × 30 mm plate whose picture is one tone, value 4 of 7.
fn plain() -> (Arc<ToneMap>, Plan) {
    let mut plan = Plan::default();
    plan.plate.width_mm = 40.0;
    plan.plate.height_mm = 30.0;
    (Arc::new(ToneMap::new(8, 6, vec![140; 48])), plan)
}

fn shape(kind: ShapeKind, brush_mm: f64, points_mm: &[f64]) -> AreaShape {
    AreaShape { kind, away: false, brush_mm, points_mm: points_mm.to_vec() }
}

fn area(work: AreaWork, value: u8, shapes: Vec<AreaShape>) -> Area {
    Area {
        name: String::new(),
        work,
        value,
        to_value: 0,
        feather_mm: 0.0,
        spit_min: 0.0,
        axis_mm: Vec::new(),
        shapes,
    }
}

/// The whole plate on the copper at this pixel.
fn whole(px_um: f32) -> Grid {
    let count = |mm: f32| (mm * 1000.0 / px_um) as usize;
    Grid { left_px: 0, top_px: 0, width: count(40.0), height: count(30.0), px_um }
}

#[test]
fn windows_agree_and_the_print_is_the_mirror() {
    let (tones, mut plan) = plain();
    let mut bitten = area(
        AreaWork::Hold,
        6,
        vec![
            shape(ShapeKind::Brush, 3.0, &[5.0, 5.0, 12.35, 9.4, 14.0, 20.05]),
            shape(ShapeKind::Curve, 0.0, &[20.0, 5.0, 35.0, 6.0, 30.0, 25.0, 22.0, 18.0]),
        ],
    );
    bitten.shapes.push(AreaShape {
        away: true,
        ..shape(ShapeKind::Outline, 0.0, &[25.0, 8.0, 30.0, 8.0, 28.0, 14.0])
    });
    plan.areas.push(bitten);
    assert_eq!(plan.problems(), Vec::new(), "the plan is sound");
    let areas = PictureAreas::new(tones, &plan);
    let grid = whole(25.0);
    let (mut all, mut part) = (Vec::new(), Vec::new());
    assert_eq!(areas.fill(&grid, &mut all), None, "several values");
    for (left_px, top_px) in [(0, 0), (317, 211), (901, 400), (1203, 777)] {
        let window = Grid { left_px, top_px, width: 300, height: 250, ..grid };
        areas.fill(&window, &mut part);
        for row in 0..250 {
            for column in 0..300 {
                let (x, y) = (left_px as usize + column, top_px as usize + row);
                if x < grid.width && y < grid.height {
                    assert_eq!(part[row * 300 + column], all[y * grid.width + x], "at {x}, {y}");
                }
            }
        }
    }
    let printed = areas.coarse(grid.width, grid.height);
    for row in (0..grid.height).step_by(7) {
        for column in 0..grid.width {
            let mirror = grid.width - 1 - column;
            assert_eq!(
                printed[row * grid.width + column],
                all[row * grid.width + mirror],
                "mirror image"
            );
        }
    }
    let at = |x_mm: f64, y_mm: f64| {
        printed[(y_mm * 40.0) as usize * grid.width + (x_mm * 40.0) as usize]
    };
    assert_eq!(
        [at(5.0, 5.0), at(5.0, 6.4), at(3.2, 5.0), at(27.5, 10.0), at(27.5, 18.0)],
        [6, 6, 4, 4, 6],
        "in, in, out, taken away, in"
    );
    let stroke_share = areas.shares()[6];
    assert!(stroke_share > 0.15 && stroke_share < 0.4, "share of value 6: {stroke_share}");
}

#[test]
fn a_dab_has_the_area_of_its_disc() {
    let (tones, mut plan) = plain();
    plan.areas.push(area(AreaWork::Hold, 0, vec![shape(ShapeKind::Brush, 10.0, &[20.0, 15.0])]));
    let areas = PictureAreas::new(tones, &plan);
    let mut values = Vec::new();
    areas.fill(&whole(20.0), &mut values);
    let area_mm2 = values.iter().filter(|v| **v == 0).count() as f64 * 0.0004;
    assert!(
        (area_mm2 - 25.0 * core::f64::consts::PI).abs() < 0.1,
        "π·5² mm², closed form: {area_mm2}"
    );
}

const DOSES: [f64; 8] = [0.0, 0.8, 2.4, 4.7, 7.0, 10.0, 13.7, 18.0];

fn doses_along(areas: &PictureAreas, y_mm: f64) -> Vec<f32> {
    let px_um = 20.0;
    let grid = Grid { left_px: 0, top_px: (y_mm * 50.0) as i64, width: 2000, height: 1, px_um };
    let mut out = Vec::new();
    let doses = Doses { of_value_um: &DOSES, spit_um: &|minutes| 1.5 * minutes };
    assert!(areas.soften(&grid, &doses, &mut out), "something soft lies here");
    // As printed.
    out.reverse();
    out
}

#[test]
fn a_feather_is_an_even_gradation() {
    let (tones, mut plan) = plain();
    let square = shape(ShapeKind::Outline, 0.0, &[10.0, 5.0, 30.0, 5.0, 30.0, 25.0, 10.0, 25.0]);
    plan.areas.push(Area { feather_mm: 4.0, ..area(AreaWork::Hold, 0, vec![square.clone()]) });
    let areas = PictureAreas::new(tones.clone(), &plan);
    let line = doses_along(&areas, 15.0);
    assert_eq!(line[400], 7.0, "outside value 4's dose");
    assert_eq!(line[1000], 0.0, "white well inside");
    let falling = &line[480..750];
    assert!(falling.windows(2).all(|pair| pair[1] <= pair[0]), "falls all the way in");
    assert!(falling.windows(2).all(|pair| pair[0] - pair[1] < 0.08), "and nowhere suddenly");
    let middle = line[600];
    assert!((middle - 3.5).abs() < 0.35, "half way half the dose: {middle}");
    let mut values = Vec::new();
    areas.fill(&Grid { left_px: 0, top_px: 750, width: 2000, height: 1, px_um: 20.0 }, &mut values);
    let white = values.iter().filter(|v| **v == 0).count();
    assert!((white as i64 - 800).abs() < 12, "counted white from the feather's middle: {white}");
    // A plan whose gradation lies elsewhere asks for nothing here.
    let mut out = Vec::new();
    let far = Grid { left_px: 0, top_px: 0, width: 300, height: 200, px_um: 20.0 };
    assert!(
        !areas.soften(&far, &Doses { of_value_um: &DOSES, spit_um: &|_| 0.0 }, &mut out),
        "nothing soft in the corner"
    );
}

#[test]
fn a_spit_bite_fades_to_its_edge() {
    let (tones, mut plan) = plain();
    let dab = shape(ShapeKind::Brush, 16.0, &[20.0, 15.0]);
    plan.areas.push(Area { feather_mm: 6.0, spit_min: 4.0, ..area(AreaWork::Spit, 0, vec![dab]) });
    let areas = PictureAreas::new(tones.clone(), &plan);
    let line = doses_along(&areas, 15.0);
    assert!((line[1000] - 13.0).abs() < 1e-4, "value 4's dose and 4 × 1.5 µm more: {}", line[1000]);
    assert!((line[605] - 7.0).abs() < 0.05, "next to nothing at the edge: {}", line[605]);
    assert!(line[600..1000].windows(2).all(|pair| pair[1] >= pair[0]), "rises to the middle");
    assert!(line[1000..1400].windows(2).all(|pair| pair[1] <= pair[0]), "and falls again");
    // Through the whole chain: deeper inside, as before outside.
    let grid = |x_mm: f32| Grid {
        left_px: (x_mm * 250.0) as i64,
        top_px: 3700,
        width: 150,
        height: 150,
        px_um: 4.0,
    };
    let mut bare = plan.clone();
    bare.areas.clear();
    let mean = |plan: &Plan, x_mm: f32| {
        let areas = Arc::new(PictureAreas::new(tones.clone(), plan));
        let mut renderer = Renderer::default();
        let plate = renderer.plate(&Job::new(plan.clone(), areas)).expect("a plate");
        let depths =
            renderer.look(&plate, &View::default()).field_window(&grid(x_mm), Field::Depth).pixels;
        (depths.iter().map(|d| f64::from(*d)).sum::<f64>() / depths.len() as f64, depths)
    };
    let (inside, outside) = (mean(&plan, 19.7), mean(&plan, 2.0));
    let (inside_before, outside_before) = (mean(&bare, 19.7), mean(&bare, 2.0));
    assert!(inside.0 > inside_before.0 + 1.0, "{} µm against {} µm", inside.0, inside_before.0);
    // Domes' places are rounded to an f32 of their window, which grows with the deepest bite.
    let off_um = outside.1.iter().zip(&outside_before.1).map(|(a, b)| (a - b).abs());
    assert!(off_um.fold(0.0, f32::max) < 1e-3, "nothing changes where nothing is done");
}

#[test]
fn a_split_area_goes_in_equal_strips_and_softly_if_asked() {
    let (tones, mut plan) = plain();
    let all = shape(ShapeKind::Outline, 0.0, &[-1.0, -1.0, 41.0, -1.0, 41.0, 31.0, -1.0, 31.0]);
    let split = Area {
        to_value: 6,
        axis_mm: vec![5.0, 15.0, 35.0, 15.0],
        ..area(AreaWork::Split, 2, vec![all])
    };
    plan.areas.push(split.clone());
    let areas = PictureAreas::new(tones.clone(), &plan);
    let printed = areas.coarse(400, 1);
    let of = |mm: f64| printed[(mm * 10.0) as usize];
    assert_eq!(
        [1.0, 10.9, 11.1, 16.9, 17.1, 23.1, 29.1, 39.0].map(of),
        [2, 2, 3, 3, 4, 5, 6, 6],
        "five strips of 6 mm"
    );
    plan.areas[0] = Area { feather_mm: 6.0, ..split };
    let line = doses_along(&PictureAreas::new(tones, &plan), 15.0);
    assert!(line.windows(2).all(|pair| pair[1] >= pair[0] - 1e-6), "rises all the way");
    assert_eq!(
        (f64::from(line[0]), f64::from(line[1999])),
        (DOSES[2] as f32 as f64, DOSES[6] as f32 as f64),
        "from value 2 to 6"
    );
    assert!(line.windows(2).all(|pair| pair[1] - pair[0] < 0.05), "without a step");
}

#[test]
fn copying_from_the_picture_shows_it_again() {
    let (tones, mut plan) = plain();
    let all = shape(ShapeKind::Outline, 0.0, &[-1.0, -1.0, 41.0, -1.0, 41.0, 31.0, -1.0, 31.0]);
    plan.areas.push(area(AreaWork::Hold, 0, vec![all]));
    plan.areas.push(area(
        AreaWork::Picture,
        0,
        vec![shape(ShapeKind::Outline, 0.0, &[10.0, 10.0, 20.0, 10.0, 20.0, 20.0, 10.0, 20.0])],
    ));
    let areas = PictureAreas::new(tones, &plan);
    let shares = areas.shares();
    assert!((shares[4] - 100.0 / 1200.0).abs() < 0.003, "the picture in its square: {shares:?}");
    assert!((shares[0] - 1100.0 / 1200.0).abs() < 0.003, "white round it: {shares:?}");
    // What to stop out: before the first bite all but the square, a ring with a hole.
    let first = areas.stop_out(0, 0.1, 0.1);
    assert_eq!(
        first.cover.iter().map(|ring| ring.hole).collect::<Vec<_>>(),
        [false, true],
        "a ring and its hole"
    );
    assert!(first.covered.is_empty(), "nothing is covered yet");
    let fourth = areas.stop_out(4, 0.1, 0.1);
    assert_eq!(fourth.cover.len(), 1, "the square");
    assert!(
        fourth.cover[0].points_mm.iter().flatten().all(|mm| *mm > 9.94 && *mm < 20.06),
        "to a twentieth of a mm: {:?}",
        fourth.cover[0]
    );
    assert!(
        areas.stop_out(7, 0.1, 0.1).cover.is_empty(),
        "after the last bite there is nothing to cover"
    );
    // A fill at a place finds the same square.
    let rings = areas.region(15.0, 15.0);
    assert_eq!(rings.len(), 1, "one outline round the place: {rings:?}");
}

#[test]
fn a_tidy_map_has_no_specks_and_agrees_from_window_to_window() {
    let mut plan = Plan::default();
    plan.picture.smallest_mm = 2.0;
    let tones = Arc::new(picture::harbour(300, 400));
    let areas = PictureAreas::new(tones.clone(), &plan);
    let (merged, moved) = areas.merged();
    assert!(merged > 10, "the harbour has small lights: {merged}");
    assert!(moved > 0.0 && moved < 0.2, "little of the plate changes: {moved}");
    let shares = areas.shares();
    assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-9, "shares sum to 1");
    let before = PictureAreas::new(tones, &Plan::default());
    for (after, before) in shares.iter().zip(before.shares()) {
        assert!(
            (after - before).abs() < 0.05,
            "every value keeps about its area: {after} of {before}"
        );
    }
    let (mut all, mut part) = (Vec::new(), Vec::new());
    let grid = Grid { left_px: 1000, top_px: 1600, width: 700, height: 500, px_um: 50.0 };
    areas.fill(&grid, &mut all);
    areas.fill(&Grid { left_px: 1300, top_px: 1700, width: 200, height: 200, ..grid }, &mut part);
    for row in 0..200 {
        assert_eq!(part[row * 200..][..200], all[(row + 100) * 700 + 300..][..200], "row {row}");
    }
}

#[test]
fn no_other_thresholds_err_less() {
    // Printed levels that are not evenly spaced, and one that the ground prints out of order.
    for (seed, printed_l) in
        [(1_u32, vec![93.0, 60.0, 22.0]), (7, vec![90.0, 41.0, 47.0]), (3, vec![95.0, 88.0, 30.0])]
    {
        let mut state = seed;
        let lightness: Vec<u8> = (0..400)
            .map(|_| {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                // Few tones, so that every pair of cuts can be tried.
                ((state >> 24) as u8 / 16) * 16
            })
            .collect();
        let error_of = |a: f64, b: f64| {
            let sum: f64 = lightness
                .iter()
                .map(|tone| {
                    let l = f64::from(*tone) / 2.55;
                    let value = usize::from(l <= a) + usize::from(l <= b);
                    let off = l * printed_l[0] / 100.0 - printed_l[value];
                    off * off
                })
                .sum();
            (sum / 400.0).sqrt()
        };
        let mut least = f64::INFINITY;
        for a in 1..200 {
            for b in 0..a {
                // Between tones, never on one, and no value left without a tone.
                least = least.min(error_of(f64::from(a) * 0.5 + 0.13, f64::from(b) * 0.5 + 0.13));
            }
        }
        let tones = ToneMap::new(20, 20, lightness.clone());
        let fit = fit_thresholds(&tones, &Picture::default(), &printed_l);
        let given = error_of(fit.thresholds_l[0], fit.thresholds_l[1]);
        assert!(
            (given - fit.error_l).abs() < 1e-3,
            "it says its error: {given} and {}",
            fit.error_l
        );
        assert!(given <= least + 1e-3, "{:?}: {given}, at best {least}", fit.thresholds_l);
    }
}

#[test]
fn more_values_err_less_and_a_count_is_suggested() {
    let tones = picture::harbour(300, 400);
    let minutes: Vec<f64> = (0..40).map(f64::from).collect();
    let lightness: Vec<f64> = minutes.iter().map(|m| 20.0 + 72.0 * libm::exp(-m / 9.0)).collect();
    let all = suits(&tones, &Picture::default(), &minutes, &lightness);
    assert_eq!(all.len(), 11, "2 to 12 values");
    for pair in all.windows(2) {
        assert!(
            pair[1].error_l < pair[0].error_l + 0.05,
            "{} then {}",
            pair[0].error_l,
            pair[1].error_l
        );
    }
    let best = &all[suggested(&all)];
    assert!((4..=10).contains(&best.bites_min.len()), "{} values suggested", best.bites_min.len());
    for suit in &all {
        let mut plan = Plan::default();
        plan.bites = suit.bites_min.iter().map(|m| plan::Bite { bite_min: *m }).collect();
        plan.picture.thresholds_l = suit.thresholds_l.clone();
        assert_eq!(plan.problems(), Vec::new(), "a plan takes it as it is");
    }
}
