//! Headlands, the town on its quay, and the lighthouse on its rocky mole.

use super::brush::{Canvas, Point, VALUE_L, ellipse, rough, smooth};
use super::noise::{chance, fractal};
use super::{HORIZON, LANTERN, SHORE};

/// A ridge from left to right, as high above the horizon as `points` say, rough at its crest.
fn ridge(canvas: &mut Canvas, points: &[Point], size: f32, wave: f32, value: usize, seed: u32) {
    let mut shape: Vec<Point> = points.iter().map(|(x, up)| (*x, HORIZON - up)).collect();
    shape = smooth(&shape);
    for (x, y) in &mut shape {
        *y += size * fractal(*x / wave, 0.0, seed);
    }
    let (first, last) = (shape[0].0, shape[shape.len() - 1].0);
    shape.extend([(last, HORIZON + 3.0), (first, HORIZON + 3.0)]);
    canvas.fill(&shape, VALUE_L[value]);
}

/// Distant land, part of the background.
pub(super) fn headlands(canvas: &mut Canvas) {
    let far = [(500.0, 0.0), (590.0, 14.0), (700.0, 34.0), (790.0, 44.0), (960.0, 58.0)];
    ridge(canvas, &far, 5.0, 30.0, 3, 60);
    let middle = [
        (-40.0, 150.0),
        (60.0, 138.0),
        (150.0, 104.0),
        (240.0, 74.0),
        (305.0, 34.0),
        (372.0, 12.0),
        (404.0, 0.0),
    ];
    ridge(canvas, &middle, 9.0, 40.0, 3, 70);
    let near =
        [(-40.0, 108.0), (40.0, 96.0), (110.0, 62.0), (190.0, 44.0), (262.0, 22.0), (330.0, 0.0)];
    ridge(canvas, &near, 8.0, 22.0, 4, 80);
}

/// A house seen from its front: left side, width, height of the wall, height of the roof, whether
/// the gable faces us, and the value of the wall.
struct House(f32, f32, f32, f32, bool, usize);

const HOUSES: [House; 9] = [
    House(-30.0, 74.0, 92.0, 40.0, false, 5),
    House(40.0, 50.0, 112.0, 44.0, true, 4),
    House(88.0, 58.0, 84.0, 30.0, false, 5),
    House(142.0, 40.0, 98.0, 36.0, true, 5),
    House(180.0, 52.0, 66.0, 28.0, false, 4),
    House(228.0, 34.0, 76.0, 30.0, true, 5),
    House(260.0, 40.0, 48.0, 22.0, false, 4),
    House(298.0, 28.0, 44.0, 22.0, true, 5),
    House(324.0, 30.0, 26.0, 14.0, false, 5),
];

/// The town and its quay wall.
pub(super) fn town(canvas: &mut Canvas) {
    let ground = SHORE - 16.0;
    for (i, house) in HOUSES.iter().enumerate() {
        let House(x, width, wall, roof, gable, value) = *house;
        let (right, eaves) = (x + width, ground - wall);
        let roof_tone = VALUE_L[6];
        if gable {
            canvas.fill(
                &[
                    (x, ground),
                    (x, eaves),
                    (x + width / 2.0, eaves - roof),
                    (right, eaves),
                    (right, ground),
                ],
                VALUE_L[value],
            );
            // The slope turned to the sun catches light along its verge.
            canvas.line((x - 3.0, eaves + 3.0), (x + width / 2.0, eaves - roof), 4.5, roof_tone);
            canvas.line(
                (x + width / 2.0, eaves - roof),
                (right + 3.0, eaves + 3.0),
                3.0,
                VALUE_L[2],
            );
        } else {
            canvas.rect((x, eaves), (right, ground), VALUE_L[value]);
            canvas.fill(
                &[
                    (x - 3.0, eaves + 2.0),
                    (x + 5.0, eaves - roof),
                    (right - 5.0, eaves - roof),
                    (right + 3.0, eaves + 2.0),
                ],
                roof_tone,
            );
            let stack = x + width * (0.25 + 0.5 * chance(i as i32, 3, 5));
            canvas.rect(
                (stack - 4.0, eaves - roof - 11.0),
                (stack + 4.0, eaves - roof + 4.0),
                VALUE_L[6],
            );
            canvas.rect(
                (stack - 5.0, eaves - roof - 13.0),
                (stack + 5.0, eaves - roof - 10.0),
                VALUE_L[7],
            );
        }
        // A strip of end wall facing the sun.
        canvas.rect((right - 3.5, eaves + 2.0), (right, ground), VALUE_L[2]);
        windows(canvas, house, ground, i as i32);
    }
    // Quay wall with its courses, steps and shadow at the water.
    let wall = [
        (-40.0, ground),
        (352.0, ground),
        (360.0, ground + 5.0),
        (366.0, SHORE + 1.0),
        (-40.0, SHORE + 1.0),
    ];
    canvas.fill(&wall, VALUE_L[6]);
    canvas.line((-40.0, ground), (352.0, ground), 2.4, VALUE_L[3]);
    canvas.line((-40.0, SHORE - 3.0), (366.0, SHORE - 3.0), 6.0, VALUE_L[7]);
    for i in 0..15 {
        let x = -10.0 + 25.0 * i as f32 + 8.0 * chance(i, 9, 5);
        canvas.line((x, ground + 3.0), (x, SHORE - 6.0), 1.3, VALUE_L[7]);
    }
}

fn windows(canvas: &mut Canvas, house: &House, ground: f32, seed: i32) {
    let House(x, width, wall, ..) = *house;
    let columns = ((width - 12.0) / 15.0).max(1.0) as i32;
    let storeys = (wall / 25.0).max(1.0) as i32;
    let pitch = (width - 4.0) / columns as f32;
    for storey in 0..storeys {
        for column in 0..columns {
            let middle = x + pitch * (column as f32 + 0.5);
            let sill = ground - wall + 19.0 + storey as f32 * (wall - 4.0) / storeys as f32;
            let lit = chance(column + 7 * storey, seed, 21) < 0.3;
            let tone = if lit { VALUE_L[0] } else { VALUE_L[7] };
            let half = if lit { 3.4 } else { 2.8 };
            canvas.rect((middle - half, sill - 10.0), (middle + half, sill), tone);
            if lit {
                canvas.rect((middle - 0.6, sill - 10.0), (middle + 0.6, sill), VALUE_L[5]);
            }
        }
    }
}

/// The mole with its rocks, the keeper's house and the lighthouse.
pub(super) fn mole(canvas: &mut Canvas) {
    // Keeper's house behind the parapet.
    let deck = SHORE - 34.0;
    canvas.rect((742.0, deck - 40.0), (812.0, deck + 4.0), VALUE_L[4]);
    canvas.rect((742.0, deck - 40.0), (752.0, deck + 4.0), VALUE_L[1]);
    canvas.fill(
        &[(737.0, deck - 38.0), (748.0, deck - 64.0), (806.0, deck - 64.0), (817.0, deck - 38.0)],
        VALUE_L[6],
    );
    canvas.rect((790.0, deck - 78.0), (799.0, deck - 60.0), VALUE_L[6]);
    canvas.rect((764.0, deck - 28.0), (772.0, deck - 15.0), VALUE_L[0]);
    canvas.rect((786.0, deck - 28.0), (794.0, deck - 15.0), VALUE_L[7]);

    lighthouse(canvas, deck);

    // Stone mole, sunk behind tumbled rocks that end in a toe at the harbour mouth.
    canvas.fill(&[(632.0, deck), (940.0, deck - 4.0), (940.0, SHORE), (618.0, SHORE)], VALUE_L[5]);
    canvas.line((630.0, deck), (940.0, deck - 4.0), 3.0, VALUE_L[2]);
    canvas.line((628.0, deck + 9.0), (940.0, deck + 6.0), 1.6, VALUE_L[6]);
    let foot = [
        (548.0, SHORE + 2.0),
        (560.0, SHORE - 7.0),
        (582.0, SHORE - 9.0),
        (600.0, SHORE - 20.0),
        (624.0, SHORE - 25.0),
        (650.0, SHORE - 17.0),
        (690.0, SHORE - 20.0),
        (730.0, SHORE - 12.0),
        (780.0, SHORE - 16.0),
        (840.0, SHORE - 11.0),
        (940.0, SHORE - 16.0),
        (940.0, SHORE + 2.0),
    ];
    canvas.fill(&rough(&foot, 5.0, 13.0, 90), VALUE_L[6]);
    for i in 0..34 {
        let x = 566.0 + 11.0 * i as f32 + 6.0 * chance(i, 1, 31);
        let y = SHORE - 3.0 - 11.0 * chance(i, 2, 31);
        let size = 5.0 + 6.0 * chance(i, 3, 31);
        let stone = [
            (x - size, y + 4.0),
            (x - 0.7 * size, y - 0.5 * size),
            (x + 0.2 * size, y - 0.7 * size),
            (x + size, y + 3.0),
        ];
        canvas.fill(&rough(&stone, 1.5, 6.0, 91), VALUE_L[7]);
        // Each rock's shoulder takes the sun from the left.
        canvas.fill(
            &[stone[0], stone[1], (x - 0.1 * size, y - 0.62 * size), (x - 0.55 * size, y + 2.0)],
            VALUE_L[4],
        );
    }
}

fn lighthouse(canvas: &mut Canvas, deck: f32) {
    let (x, light) = LANTERN;
    let (top, foot) = (light + 25.0, deck + 2.0);
    // The tower, tapering in a slight curve; shade to the right in three values.
    let half = |y: f32| {
        let t = (y - top) / (foot - top);
        15.5 + 9.0 * t * t + 3.0 * t
    };
    let strip = |from: f32, until: f32| -> Vec<Point> {
        let ys = || (0..=14).map(|i| top + (foot - top) * i as f32 / 14.0);
        let mut shape: Vec<Point> = ys().map(|y| (x + from * half(y), y)).collect();
        let mut other: Vec<Point> = ys().map(|y| (x + until * half(y), y)).collect();
        other.reverse();
        shape.extend(other);
        shape
    };
    for (from, value) in [(-1.0, 0), (0.05, 2), (0.5, 4), (0.8, 5)] {
        canvas.fill(&strip(from, 1.0), VALUE_L[value]);
    }
    // Two painted bands, one value darker at each part.
    for at in [0.26, 0.62] {
        let (y0, y1) = (top + (foot - top) * at, top + (foot - top) * (at + 0.17));
        for (from, value) in [(-1.0, 4), (0.05, 5), (0.5, 6), (0.8, 7)] {
            canvas.fill(
                &[
                    (x + from * half(y0), y0),
                    (x + half(y0), y0),
                    (x + half(y1), y1),
                    (x + from * half(y1), y1),
                ],
                VALUE_L[value],
            );
        }
    }
    for at in [0.13, 0.5, 0.86] {
        let y = top + (foot - top) * at;
        canvas.rect((x - 3.0, y - 6.0), (x + 3.0, y + 6.0), VALUE_L[7]);
    }
    canvas.fill(
        &[
            (x - 33.0, foot - 10.0),
            (x + 33.0, foot - 10.0),
            (x + 36.0, foot + 3.0),
            (x - 36.0, foot + 3.0),
        ],
        VALUE_L[5],
    );
    // Gallery with brackets and railing.
    canvas.fill(
        &[
            (x - 26.0, top - 5.0),
            (x + 26.0, top - 5.0),
            (x + 17.0, top + 9.0),
            (x - 17.0, top + 9.0),
        ],
        VALUE_L[6],
    );
    canvas.rect((x - 27.0, top - 7.0), (x + 27.0, top - 2.0), VALUE_L[7]);
    for i in -4..=4 {
        canvas.line(
            (x + 6.2 * i as f32, top - 6.0),
            (x + 6.2 * i as f32, top - 19.0),
            1.4,
            VALUE_L[7],
        );
    }
    canvas.line((x - 26.0, top - 19.0), (x + 26.0, top - 19.0), 1.8, VALUE_L[7]);
    // Lantern: lit panes between bars, dome, ball and rod.
    canvas.rect((x - 12.5, light - 14.0), (x + 12.5, top - 6.0), VALUE_L[0]);
    for bar in [-12.0, -4.2, 4.2, 12.0] {
        canvas.line((x + bar, light - 14.0), (x + bar, top - 6.0), 1.6, VALUE_L[6]);
    }
    let mut dome = ellipse((x, light - 14.0), 16.0, 16.0);
    dome.retain(|point| point.1 <= light - 13.9);
    canvas.fill(&dome, VALUE_L[6]);
    canvas.rect((x - 17.0, light - 16.0), (x + 17.0, light - 12.5), VALUE_L[7]);
    canvas.fill(&ellipse((x, light - 33.0), 3.6, 3.6), VALUE_L[7]);
    canvas.line((x, light - 33.0), (x, light - 52.0), 1.8, VALUE_L[7]);
}
