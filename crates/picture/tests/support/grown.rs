//! Areas by hand grown from any bytes at all, and what must hold for them. The fuzzer calls this (see
//! `fuzz/`), and so does the test that replays what it found.

use picture::{GuideFace, GuidePaper, GuideWish, PictureAreas, ToneMap, guides};
use plan::{Area, AreaShape, AreaWork, Plan, ShapeKind, Units, link};
use plate::chain::{Doses, ValueAreas};
use plate::grid::Grid;
use std::sync::Arc;

/// Side of the plate, mm, and of a pixel, µm: 60 × 50 pixels.
const PLATE_MM: (f64, f64) = (30.0, 25.0);
const PX_UM: f32 = 500.0;

/// Bytes one after another; zeros when they have run out.
struct Bytes<'a>(&'a [u8]);

impl Bytes<'_> {
    fn next(&mut self) -> u8 {
        match self.0.split_first() {
            Some((first, rest)) => {
                self.0 = rest;
                *first
            }
            None => 0,
        }
    }

    /// From a list.
    fn one_of<T: Copy>(&mut self, all: &[T]) -> T {
        all[usize::from(self.next()) % all.len()]
    }

    /// A place near a plate of this length, mm, in whole twentieths: on it, at its edges, or off it.
    fn place(&mut self, length_mm: f64) -> f64 {
        let byte = f64::from(self.next());
        let fine = f64::from(self.next());
        ((length_mm * (byte - 40.0) / 170.0 + fine / 256.0) * 20.0).round() / 20.0
    }
}

fn shape(bytes: &mut Bytes<'_>) -> AreaShape {
    let kind = bytes.one_of(&[ShapeKind::Brush, ShapeKind::Outline, ShapeKind::Curve]);
    let away = bytes.next() % 4 == 3;
    let brush_mm =
        if kind == ShapeKind::Brush { bytes.one_of(&[0.1, 0.5, 2.0, 7.0, 100.0]) } else { 0.0 };
    let least = if kind == ShapeKind::Brush { 1 } else { 3 };
    let points = least + usize::from(bytes.next() % 12);
    let points_mm =
        (0..points).flat_map(|_| [bytes.place(PLATE_MM.0), bytes.place(PLATE_MM.1)]).collect();
    AreaShape { kind, away, brush_mm, points_mm }
}

fn area(bytes: &mut Bytes<'_>, values: u8) -> Area {
    let work = bytes.one_of(&[AreaWork::Hold, AreaWork::Picture, AreaWork::Split, AreaWork::Spit]);
    let mut area = Area {
        name: String::new(),
        work,
        value: 0,
        to_value: 0,
        feather_mm: bytes.one_of(&[0.0, 0.0, 0.1, 1.5, 6.0, 100.0]),
        spit_min: 0.0,
        axis_mm: Vec::new(),
        shapes: Vec::new(),
    };
    match work {
        AreaWork::Hold => area.value = bytes.next() % (values + 1),
        AreaWork::Picture => area.feather_mm = 0.0,
        AreaWork::Split => {
            (area.value, area.to_value) =
                (bytes.next() % (values + 1), bytes.next() % (values + 1));
            let mut ends = || [bytes.place(PLATE_MM.0), bytes.place(PLATE_MM.1)];
            area.axis_mm = [ends(), ends()].concat();
        }
        AreaWork::Spit => area.spit_min = bytes.one_of(&[0.25, 1.0, 4.5, 30.0]),
    }
    for _ in 0..=bytes.next() % 3 {
        area.shapes.push(shape(bytes));
    }
    area
}

/// Bytes as areas over a picture of slanting tones.
pub(crate) fn areas(bytes: &[u8]) {
    let mut bytes = Bytes(bytes);
    let mut plan = Plan::default();
    (plan.plate.width_mm, plan.plate.height_mm) = PLATE_MM;
    plan.picture.smallest_mm = bytes.one_of(&[0.0, 0.0, 0.7, 5.0]);
    let values = plan.bites.len() as u8;
    for _ in 0..bytes.next() % 5 {
        plan.areas.push(area(&mut bytes, values));
    }
    // What is let in can be kept and sent on; what is not says why.
    let problems = plan.problems();
    if !problems.is_empty() {
        assert!(problems.iter().all(|p| !p.message.is_empty()), "an empty sentence");
        return;
    }
    assert_eq!(Plan::from_json(&plan.to_json()).as_ref(), Ok(&plan), "kept as a file");
    let sent = link::encode(&plan, None).expect("a link");
    assert_eq!(link::decode(&sent).expect("opens").plan, plan, "sent on as a link");
    let lightness = (0..24 * 20).map(|i| ((i % 24) * 9 + (i / 24) * 3) as u8).collect();
    let grown = PictureAreas::new(Arc::new(ToneMap::new(24, 20, lightness)), &plan);
    lies_well(&grown, values);
    draws_well(&grown, &plan);
}

/// Every window shows what the whole plate shows, with values and doses that there are.
fn lies_well(grown: &PictureAreas, values: u8) {
    let sum: f64 = grown.shares().iter().sum();
    assert!((sum - 1.0).abs() < 1e-9, "the shares add up to {sum}");
    let of_value_um: Vec<f64> = (0..=values).map(|v| 9.0 * f64::from(v)).collect();
    let spit_um = |minutes: f64| 5.0 * minutes;
    let doses = Doses { of_value_um: &of_value_um, spit_um: &spit_um };
    let most = 9.0 * f32::from(values) + 5.0 * grown.spit_min() as f32 + 0.01;
    let look = |left_px: i64, top_px: i64, width: usize, height: usize| {
        let grid = Grid { left_px, top_px, width, height, px_um: PX_UM };
        let (mut seen, mut soft) = (Vec::new(), Vec::new());
        let same = grown.fill(&grid, &mut seen);
        assert_eq!(seen.len(), width * height, "a value for each pixel");
        assert!(seen.iter().all(|v| *v <= values), "a value there is");
        let even = seen.iter().all(|v| *v == seen[0]);
        assert!(same.is_none() || (even && same == Some(seen[0])), "the same everywhere, it said");
        if !grown.soften(&grid, &doses, &mut soft) {
            soft = seen.iter().map(|v| of_value_um[usize::from(*v)] as f32).collect();
        }
        assert!(soft.iter().all(|d| (0.0..=most).contains(d)), "a dose beyond {most} µm");
        (seen, soft)
    };
    let (seen, soft) = look(0, 0, 60, 50);
    for (left, top, width, height) in [(0, 0, 31, 50), (31, 0, 29, 27), (31, 27, 29, 23)] {
        let part = look(left as i64, top as i64, width, height);
        for row in 0..height {
            let (here, there) = (row * width, (top + row) * 60 + left);
            assert_eq!(
                part.0[here..here + width],
                seen[there..there + width],
                "values of a window"
            );
            let doses = part.1[here..here + width].iter().zip(&soft[there..]);
            assert!(doses.into_iter().all(|(a, b)| (a - b).abs() < 0.02), "doses of a window");
        }
    }
}

/// Guides of every step can be drawn, and what they cover is covered once.
fn draws_well(grown: &PictureAreas, plan: &Plan) {
    let area = |rings: &[picture::Ring]| -> f64 {
        rings
            .iter()
            .map(|ring| {
                let points = &ring.points_mm;
                assert!(points.len() >= 3, "a ring has three points");
                let next = |i: usize| points[(i + 1) % points.len()];
                let twice: f64 = points
                    .iter()
                    .enumerate()
                    .map(|(i, p)| p[0] * next(i)[1] - next(i)[0] * p[1])
                    .sum();
                0.5 * twice
            })
            .sum()
    };
    let steps: Vec<_> = (0..plan.bites.len()).map(|value| (value, value)).collect();
    let mut covered = 0.0;
    let mut sides = 0.0;
    for step in grown.stop_outs(&steps, 0.5, 0.0) {
        let already = area(&step.covered);
        let points: usize = step.cover.iter().chain(&step.covered).map(|r| r.points_mm.len()).sum();
        // Each corner is cut off by an eighth of a cell.
        sides += points as f64 * 0.25 / 8.0;
        assert!((already - covered).abs() <= sides + 1e-6, "{already} mm² covered, not {covered}");
        covered = already + area(&step.cover);
    }
    assert!(covered <= PLATE_MM.0 * PLATE_MM.1 + 1e-6, "more than the plate");
    assert!(grown.region(12.0, 9.0).iter().all(|ring| ring.points_mm.len() >= 3), "a region");
    let wish = GuideWish { paper: GuidePaper::A4, face: GuideFace::Copper, units: Units::Metric };
    for sheet in guides(grown, plan, wish, Some(1)) {
        assert!(!sheet.svg.contains("NaN") && !sheet.svg.contains("inf"), "a place that is none");
    }
}
