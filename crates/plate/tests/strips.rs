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

/// Rows of a strip (`chain/window.rs`), and rows of the tile: three strips and a rest.
const STRIP: usize = 640;
const HEIGHT: usize = 3 * STRIP + 300;
const WIDTH: usize = 260;

/// How far lightness of a tile is from that of its strips printed alone, and from that of the same window printed whole: of the farthest
/// pixel each, L*.
fn apart_l(plan: &Plan, soft: bool) -> (f64, f64) {
    let areas = Arc::new(Squares::new(plan.bites.len(), soft));
    let lines = plan.lines.is_some().then(|| Arc::new(Across) as Arc<dyn OpenLines>);
    let mut plate = Seen::of(&Job::new(plan.clone(), areas).with_lines(lines));
    let grid = Grid { left_px: 9000, top_px: 9000, width: WIDTH, height: HEIGHT, px_um: 5.0 };
    let tile = TileRequest {
        left_out: grid.left_px,
        top_out: grid.top_px,
        width_out: WIDTH,
        height_out: HEIGHT,
        out_um: 5.0,
        px_um: 5.0,
    };
    let in_l = |tones: &[f32]| -> Vec<f64> {
        tones.iter().map(|&tone| lightness(f64::from(tone))).collect()
    };
    let by_strips = in_l(&plate.look().tile(&tile));
    let (least, most) =
        by_strips.iter().fold((100.0_f64, 0.0_f64), |(a, b), &l| (a.min(l), b.max(l)));
    assert!(most - least > 30.0, "something is printed: L* {least:.1} to {most:.1}");
    let mut farthest = |top: usize, height: usize| {
        let window = Grid { top_px: grid.top_px + top as i64, height, ..grid };
        let alone = in_l(&plate.look().print_window(&window).pixels);
        assert_eq!(alone.len(), WIDTH * height, "a number for each pixel");
        let both = alone.iter().zip(&by_strips[top * WIDTH..]);
        both.map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
    };
    let strips = (0..HEIGHT).step_by(STRIP);
    let alone = strips.map(|top| farthest(top, STRIP.min(HEIGHT - top))).fold(0.0, f64::max);
    (alone, farthest(0, HEIGHT))
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
        let (alone, whole) = apart_l(&plan, soft);
        assert!(alone < 0.01, "{name}: {alone:.4} L* from strips printed alone");
        // What a window feels from beyond its margin, beside borders from dark to pale.
        assert!(whole < 0.4, "{name}: {whole:.3} L* from the window printed whole");
    }
}
