//! The foreground: a dark quay with bollard and rope, two people, creels, nets on a pole; gulls.

use super::brush::{Canvas, Point, VALUE_L, ellipse, hanging, rough, smooth};
use super::noise::{chance, noise};

/// Height of the quay's edge at a place across the picture.
fn quay_edge(x: f32) -> f32 {
    1066.0 + 0.022 * x
}

/// The quay and all that stands on it.
pub(super) fn paint(canvas: &mut Canvas) {
    let edge: Vec<Point> = (0..=60)
        .map(|i| {
            let x = -30.0 + 16.0 * i as f32;
            (x, quay_edge(x) + 2.0 * noise(x / 30.0, 0.0, 130))
        })
        .collect();
    let mut deck = edge.clone();
    deck.extend([(930.0, 1240.0), (-30.0, 1240.0)]);
    canvas.fill(&deck, VALUE_L[6]);
    // Worn coping: a light rim towards the water, its shadow, joints and flags in perspective.
    canvas.stroke(&edge, 3.5, 4.5, VALUE_L[2]);
    let inner: Vec<Point> = edge.iter().map(|(x, y)| (*x, y + 26.0)).collect();
    canvas.stroke(&inner, 2.6, 3.2, VALUE_L[7]);
    for i in 0..11 {
        let x = 20.0 + 86.0 * i as f32 + 20.0 * chance(i, 0, 33);
        canvas.line(
            (x, quay_edge(x) + 3.0),
            (x + (x - 430.0) * 0.035, quay_edge(x) + 27.0),
            2.4,
            VALUE_L[7],
        );
    }
    let shadow: Vec<Point> = [
        (-30.0, 1128.0),
        (180.0, 1120.0),
        (400.0, 1131.0),
        (640.0, 1122.0),
        (930.0, 1126.0),
        (930.0, 1240.0),
        (-30.0, 1240.0),
    ]
    .to_vec();
    canvas.fill(&rough(&shadow, 7.0, 46.0, 131), VALUE_L[7]);
    for i in 0..9 {
        let x = 40.0 + 104.0 * i as f32 + 30.0 * chance(i, 4, 33);
        let y = 1148.0 + 34.0 * chance(i, 5, 33);
        let long = 46.0 + 50.0 * chance(i, 6, 33);
        let worn = [(x - long, y), (x, y - 3.0), (x + long, y + 1.0), (x, y + 3.5)];
        canvas.fill(&rough(&worn, 1.6, 14.0, 140 + i as u32), VALUE_L[5]);
    }
    bollard(canvas, (118.0, 1096.0));
    rope(canvas, (226.0, 1132.0));
    people(canvas);
    nets(canvas);
    creels(canvas);
}

fn bollard(canvas: &mut Canvas, (x, y): Point) {
    let body = smooth(&[
        (x - 24.0, y + 12.0),
        (x - 19.0, y - 12.0),
        (x - 17.0, y - 34.0),
        (x - 27.0, y - 46.0),
        (x - 20.0, y - 57.0),
        (x, y - 61.0),
        (x + 20.0, y - 57.0),
        (x + 27.0, y - 46.0),
        (x + 17.0, y - 34.0),
        (x + 19.0, y - 12.0),
        (x + 24.0, y + 12.0),
        (x, y + 18.0),
    ]);
    canvas.fill(&body, VALUE_L[7]);
    // Light along the side and crown turned to the sun.
    let lit = smooth(&[
        (x + 12.0, y - 58.0),
        (x + 22.0, y - 49.0),
        (x + 13.0, y - 36.0),
        (x + 14.0, y - 12.0),
        (x + 19.0, y + 10.0),
    ]);
    canvas.stroke(&lit, 3.0, 5.0, VALUE_L[3]);
    for turn in 0..3 {
        let level = y - 27.0 + 8.0 * turn as f32;
        let bight = hanging((x - 19.5, level), (x + 20.0, level - 1.0), 6.0);
        canvas.stroke(&bight, 6.0, 6.0, VALUE_L[7]);
        canvas.stroke(&bight, 3.6, 3.6, VALUE_L[4]);
    }
}

/// A coil of rope lying flat, turn within turn.
fn rope(canvas: &mut Canvas, (x, y): Point) {
    canvas.fill(&ellipse((x + 3.0, y + 6.0), 74.0, 24.0), VALUE_L[7]);
    for turn in 0..5 {
        let t = turn as f32;
        let ring = ellipse((x + t, y - 2.2 * t), 66.0 - 10.5 * t, 20.0 - 3.1 * t);
        let closed: Vec<Point> = ring.iter().chain(&ring[..2]).copied().collect();
        canvas.stroke(&closed, 9.0, 9.0, VALUE_L[7]);
        canvas.stroke(&closed, 5.6, 5.6, VALUE_L[4]);
        // The side turned to the sun, then the lay of the strands.
        canvas.stroke(&ring[20..34], 2.4, 2.4, VALUE_L[2]);
        for (k, q) in ring.iter().enumerate().filter(|(k, _)| turn < 4 || k % 2 == 0) {
            let lean = if k < 18 { 2.2 } else { -2.2 };
            canvas.line((q.0 - lean, q.1 + 2.8), (q.0 + lean, q.1 - 2.8), 1.2, VALUE_L[7]);
        }
    }
    let tail = smooth(&[
        (x + 50.0, y - 2.0),
        (x + 84.0, y + 12.0),
        (x + 120.0, y + 8.0),
        (x + 150.0, y + 22.0),
        (x + 196.0, y + 16.0),
    ]);
    canvas.stroke(&tail, 8.0, 7.0, VALUE_L[7]);
    canvas.stroke(&tail, 4.8, 4.0, VALUE_L[4]);
}

/// A fisherman and a child, looking out to the light.
fn people(canvas: &mut Canvas) {
    let dark = VALUE_L[7];
    let (x, y) = (560.0, 1112.0);
    let man = smooth(&[
        (x - 17.0, y),
        (x - 15.0, y - 44.0),
        (x - 19.0, y - 66.0),
        (x - 26.0, y - 76.0),
        (x - 27.0, y - 100.0),
        (x - 23.0, y - 120.0),
        (x - 9.0, y - 128.0),
        (x + 9.0, y - 128.0),
        (x + 23.0, y - 120.0),
        (x + 27.0, y - 99.0),
        (x + 25.0, y - 76.0),
        (x + 19.0, y - 66.0),
        (x + 16.0, y - 44.0),
        (x + 18.0, y),
        (x + 5.0, y + 1.0),
        (x + 1.0, y - 42.0),
        (x - 4.0, y + 1.0),
    ]);
    canvas.fill(&man, dark);
    canvas.fill(&ellipse((x, y - 139.0), 9.5, 12.0), dark);
    // Cap with its peak, pipe.
    canvas.fill(
        &smooth(&[
            (x - 12.0, y - 142.0),
            (x - 9.0, y - 153.0),
            (x + 4.0, y - 155.0),
            (x + 12.0, y - 147.0),
            (x + 11.0, y - 141.0),
            (x - 12.0, y - 142.0),
        ]),
        dark,
    );
    canvas.fill(&[(x - 11.0, y - 144.0), (x - 19.0, y - 140.0), (x - 10.0, y - 140.0)], dark);
    canvas.line((x - 8.0, y - 134.0), (x - 19.0, y - 131.0), 2.0, dark);
    canvas.rect((x - 21.0, y - 136.0), (x - 17.5, y - 130.0), dark);
    // Light on the shoulder towards the sun.
    canvas.stroke(
        &smooth(&[
            (x - 24.5, y - 84.0),
            (x - 24.5, y - 104.0),
            (x - 20.0, y - 119.0),
            (x - 9.0, y - 125.5),
        ]),
        1.2,
        2.6,
        VALUE_L[3],
    );
    let (cx, cy) = (x + 50.0, y + 3.0);
    let child = smooth(&[
        (cx - 10.0, cy),
        (cx - 9.0, cy - 26.0),
        (cx - 17.0, cy - 30.0),
        (cx - 13.0, cy - 62.0),
        (cx - 6.0, cy - 72.0),
        (cx + 6.0, cy - 72.0),
        (cx + 13.0, cy - 62.0),
        (cx + 17.0, cy - 30.0),
        (cx + 9.0, cy - 26.0),
        (cx + 10.0, cy),
        (cx + 2.0, cy),
        (cx, cy - 25.0),
        (cx - 3.0, cy),
    ]);
    canvas.fill(&child, dark);
    canvas.fill(&ellipse((cx, cy - 81.0), 8.0, 9.5), dark);
    canvas.fill(&ellipse((cx, cy - 85.0), 13.0, 3.2), dark);
    canvas.fill(&ellipse((cx, cy - 88.0), 7.5, 6.5), dark);
    // Hand in hand.
    canvas.stroke(
        &smooth(&[
            (x + 22.0, y - 112.0),
            (x + 30.0, y - 80.0),
            (x + 34.0, y - 52.0),
            (cx - 10.0, cy - 58.0),
        ]),
        8.0,
        5.5,
        dark,
    );
    canvas.stroke(
        &[(cx - 14.0, cy - 36.0), (cx - 11.0, cy - 60.0), (cx - 5.0, cy - 69.0)],
        1.0,
        1.8,
        VALUE_L[3],
    );
}

/// Lobster creels stacked on the quay.
fn creels(canvas: &mut Canvas) {
    for (x, y, s) in [(700.0, 1124.0, 1.0), (796.0, 1130.0, 1.06), (750.0, 1082.0, 0.96)] {
        let p = |u: f32, v: f32| (x + s * u, y + s * v);
        let hoop: Vec<Point> = smooth(&[
            p(-48.0, 0.0),
            p(-47.0, -22.0),
            p(-36.0, -40.0),
            p(-14.0, -46.0),
            p(14.0, -46.0),
            p(36.0, -40.0),
            p(47.0, -22.0),
            p(48.0, 0.0),
        ]);
        canvas.fill(&hoop, VALUE_L[7]);
        for k in 0..6 {
            let u = -36.0 + 14.4 * k as f32;
            let up = -40.0 + 0.006 * u * u;
            canvas.line(p(u, -3.0), p(u * 0.96, up), 2.2 * s, VALUE_L[4]);
        }
        for v in [-14.0, -27.0] {
            canvas.stroke(&hanging(p(-43.0, v), p(43.0, v), -2.0), 1.8, 1.8, VALUE_L[4]);
        }
        canvas.stroke(&hoop, 4.6 * s, 4.6 * s, VALUE_L[7]);
        canvas.line(p(-52.0, 1.0), p(52.0, 1.0), 6.0 * s, VALUE_L[7]);
        let lit: Vec<Point> =
            smooth(&[p(-46.0, -23.0), p(-36.0, -41.0), p(-15.0, -47.5), p(8.0, -48.0)]);
        canvas.stroke(&lit, 2.4, 1.4, VALUE_L[2]);
    }
}

/// A pole at the right with a net hung out to dry.
fn nets(canvas: &mut Canvas) {
    let (foot, head) = ((832.0, 1180.0), (822.0, 712.0));
    // The net falls from a line between the pole's head and a pole outside the picture.
    let upper = |t: f32| -> Point { (824.0 + 110.0 * t, 752.0 + 8.0 * t + 110.0 * t * (1.0 - t)) };
    let lower = |t: f32| -> Point { (830.0 + 104.0 * t, 1016.0 + 20.0 * t + 90.0 * t * (1.0 - t)) };
    for k in -3..=9 {
        for lean in [0.42, -0.42] {
            // Strands run aslant; the part of each beyond the net's sides is left out.
            let t = k as f32 / 8.0 + if lean > 0.0 { 0.0 } else { 0.2 };
            let strand: Vec<Point> = (0..=20)
                .filter_map(|i| {
                    let down = i as f32 / 20.0;
                    let across = t + lean * down;
                    let (a, b) = (upper(across), lower(across));
                    let at = (a.0 + (b.0 - a.0) * down, a.1 + (b.1 - a.1) * down);
                    (0.0..=1.0).contains(&across).then_some(at)
                })
                .collect();
            if strand.len() > 1 {
                canvas.stroke(&strand, 1.7, 2.1, VALUE_L[7]);
            }
        }
    }
    for (side, width) in [(&upper as &dyn Fn(f32) -> Point, 4.0), (&lower, 5.0)] {
        let hem: Vec<Point> = (0..=12).map(|i| side(i as f32 / 12.0)).collect();
        canvas.stroke(&hem, width, width, VALUE_L[7]);
        for i in 0..6 {
            canvas.fill(&ellipse(side(0.08 + 0.15 * i as f32), 6.0, 4.4), VALUE_L[7]);
        }
    }
    canvas.stroke(&[foot, head], 15.0, 10.0, VALUE_L[7]);
    canvas.line((foot.0 - 5.6, foot.1 - 70.0), (head.0 - 3.4, head.1 + 4.0), 2.4, VALUE_L[3]);
    canvas.line((800.0, 742.0), (850.0, 737.0), 8.0, VALUE_L[7]);
}

/// A gull on the wing: middle, span, tilt of the wings and tone.
pub(super) fn gull(canvas: &mut Canvas, (x, y): Point, span: f32, tilt: f32, value: usize) {
    let half = span / 2.0;
    let p = |u: f32, v: f32| (x + half * u, y - half * (v + tilt * u));
    let wings = smooth(&[
        p(-1.0, 0.16),
        p(-0.62, 0.40),
        p(-0.3, 0.30),
        p(-0.06, 0.06),
        p(0.06, 0.06),
        p(0.3, 0.34),
        p(0.62, 0.48),
        p(1.0, 0.30),
    ]);
    let under = smooth(&[
        p(1.0, 0.30),
        p(0.6, 0.36),
        p(0.32, 0.18),
        p(0.1, -0.10),
        p(-0.1, -0.12),
        p(-0.32, 0.14),
        p(-0.6, 0.28),
        p(-1.0, 0.16),
    ]);
    let shape: Vec<Point> = wings.iter().chain(&under).copied().collect();
    canvas.fill(&shape, VALUE_L[value]);
    canvas.fill(&[p(-0.05, -0.1), p(0.28, -0.12), p(0.08, 0.06)], VALUE_L[value]);
}
