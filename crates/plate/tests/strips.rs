//! A tile is printed strip by strip; what is kept from one strip to the next shows nowhere.

use crate::common;

use common::Seen;
use common::worked::{new_ground, passage, with_work};
use plan::{Crop, LineWork, Plan, Tool};
use plate::chain::{Doses, Job, OpenLines, TileRequest, ValueAreas};
use plate::grid::Grid;
use plate::light::lightness;
use std::sync::Arc;

/// Values side by side in squares of 1.3 mm, dark beside pale, so that borders cross the borders of strips.
#[derive(Debug)]
struct Squares {
    values: usize,
    shares: Vec<f64>,
    soft: bool,
}

impl Squares {
    fn new(values: usize, soft: bool) -> Self {
        Self { values, shares: vec![1.0 / (values + 1) as f64; values + 1], soft }
    }
}

impl ValueAreas for Squares {
    fn fill(&self, grid: &Grid, out: &mut Vec<u8>) -> Option<u8> {
        out.clear();
        let square = |px: i64| ((px as f64 + 0.5) * f64::from(grid.px_um) / 1300.0) as usize;
        for row in 0..grid.height as i64 {
            let y = square(grid.top_px + row);
            let value =
                |column| ((5 * y + 3 * square(grid.left_px + column)) % (self.values + 1)) as u8;
            out.extend((0..grid.width as i64).map(value));
        }
        None
    }

    fn shares(&self) -> &[f64] {
        &self.shares
    }

    fn soften(&self, grid: &Grid, doses: &Doses<'_>, out: &mut Vec<f32>) -> bool {
        let deepest = doses.of_value_um.iter().copied().fold(0.0_f64, f64::max);
        out.clear();
        if self.soft {
            for row in 0..grid.height as i64 {
                let y_um = (grid.top_px + row) as f64 * f64::from(grid.px_um);
                let dose = deepest * (0.5 + 0.4 * libm::sin(y_um / 700.0));
                out.extend(std::iter::repeat_n(dose as f32, grid.width));
            }
        }
        self.soft
    }
}

/// Lines 160 µm wide across the plate, every 800 µm.
struct Across;

impl OpenLines for Across {
    fn fill(&self, grid: &Grid, open: &mut Vec<u8>) -> bool {
        open.clear();
        for row in 0..grid.height as i64 {
            let y_um = ((grid.top_px + row) as f64 + 0.5) * f64::from(grid.px_um);
            open.extend(std::iter::repeat_n(u8::from(y_um.rem_euclid(800.0) < 160.0), grid.width));
        }
        open.contains(&1)
    }
}

/// Lightness of every pixel of a tile five strips high, and how far the farthest is from that of the same window printed whole.
fn apart_l(plan: &Plan, soft: bool) -> f64 {
    let areas = Arc::new(Squares::new(plan.bites.len(), soft));
    let lines = plan.lines.is_some().then(|| Arc::new(Across) as Arc<dyn OpenLines>);
    let mut plate = Seen::of(&Job::new(plan.clone(), areas).with_lines(lines));
    let (width, height) = (260, 2700);
    let grid = Grid { left_px: 9000, top_px: 9000, width, height, px_um: 5.0 };
    let whole = plate.look().print_window(&grid).pixels;
    let tile = TileRequest {
        left_out: grid.left_px,
        top_out: grid.top_px,
        width_out: width,
        height_out: height,
        out_um: 5.0,
        px_um: 5.0,
    };
    let by_strips = plate.look().tile(&tile);
    assert_eq!(whole.len(), by_strips.len(), "a number for each pixel");
    let l: Vec<f64> = by_strips.iter().map(|&tone| lightness(f64::from(tone))).collect();
    let (least, most) = l.iter().fold((100.0_f64, 0.0_f64), |(a, b), &l| (a.min(l), b.max(l)));
    assert!(most - least > 30.0, "something is printed: L* {least:.1} to {most:.1}");
    for (from, height) in [(0, 640), (640, 640), (1280, 640), (1920, 640), (2560, 140)] {
        let part = plate
            .look()
            .print_window(&Grid { top_px: grid.top_px + from as i64, height, ..grid })
            .pixels;
        let a = whole[from * width..]
            .iter()
            .zip(&part)
            .map(|(&a, &b)| (lightness(f64::from(a)) - lightness(f64::from(b))).abs())
            .fold(0.0, f64::max);
        let b = by_strips[from * width..]
            .iter()
            .zip(&part)
            .map(|(&a, &b)| (lightness(f64::from(a)) - lightness(f64::from(b))).abs())
            .fold(0.0, f64::max);
        println!("{from}: whole to alone {a:.4}, strips to alone {b:.6}");
    }
    let apart = whole.iter().zip(&l).map(|(&tone, l)| (lightness(f64::from(tone)) - l).abs());
    apart.fold(0.0, f64::max)
}

#[test]
fn strips_show_nowhere() {
    let lined = Plan {
        lines: Some(LineWork {
            picture: "lines.png".to_owned(),
            crop: Crop::default(),
            open_below_l: 50.0,
            bite_min: 60.0,
        }),
        ..Plan::default()
    };
    let worked = with_work(vec![passage(Tool::Scraper, 6.0), new_ground(9.0)]);
    for (name, plan, soft) in [
        ("values", Plan::default(), false),
        ("gradations", Plan::default(), true),
        ("lines", lined, false),
        ("later work", worked, false),
    ] {
        let apart = apart_l(&plan, soft);
        println!("{name} {apart}");
        assert!(apart < 1.05, "{name}: {apart:.3} L* between strips and the whole");
    }
}
