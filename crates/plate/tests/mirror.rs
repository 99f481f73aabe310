//! The print is the mirror image of the plate: what lies left on the copper prints right.

use crate::common;

use common::{Everywhere, Seen, plate_with};
use plan::Plan;
use plate::chain::{CutRequest, Doses, Field, Job, TileRequest, ValueAreas};
use plate::grid::Grid;
use plate::light::{linear_of_srgb, srgb8};
use std::sync::Arc;

/// The left half of the print bitten to value 5, the right half kept white.
fn halves() -> Seen {
    plate_with(&Plan::default(), Everywhere::half(7, 5))
}

fn mean(values: impl Iterator<Item = f32>) -> f32 {
    let all: Vec<f32> = values.collect();
    all.iter().sum::<f32>() / all.len() as f32
}

#[test]
fn the_dark_half_of_the_picture_is_the_dark_half_of_the_print() {
    let mut plate = halves();
    let (width, height) = (400, 40);
    let grid = Grid { left_px: 14_800, top_px: 20_000, width, height, px_um: 5.0 };
    let print = plate.look().print_window(&grid);
    let column = |from: usize, to: usize| {
        mean((0..height).flat_map(|y| &print.pixels[y * width + from..y * width + to]).copied())
    };
    assert!(column(0, 180) < 0.3, "the left of the print is dark: {}", column(0, 180));
    assert!(column(240, 400) > 0.75, "the right of the print is white: {}", column(240, 400));
}

#[test]
fn window_tile_first_pass_and_cut_agree_on_left_and_right() {
    let mut plate = halves();
    let tile = TileRequest {
        left_out: 1400,
        top_out: 0,
        width_out: 200,
        height_out: 40,
        out_um: 50.0,
        px_um: 5.0,
    };
    let tones = plate.look().tile(&tile);
    assert!(tones[10] < 0.35 && tones[190] > 0.75, "tile: {} {}", tones[10], tones[190]);
    let first = plate.look().first_pass(150, 200);
    assert!(first[10] < 150 && first[140] > 200, "first pass: {} {}", first[10], first[140]);
    let cut = plate.look().cut(&CutRequest {
        left_um: 74_000.0,
        y_um: 90_000.0,
        width_um: 2_000.0,
        after_bites: 7,
        inked: false,
    });
    assert_eq!((cut.value[5], cut.value[cut.value.len() - 5]), (5, 0), "cut, from left to right");
    let copper = plate.look().copper_window(
        &Grid { left_px: 14_900, top_px: 20_000, width: 200, height: 10, px_um: 5.0 },
        7,
    );
    let depth = |from: usize, to: usize| {
        mean((0..10).flat_map(|y| &copper.depth_um[y * 200 + from..y * 200 + to]).copied())
    };
    assert!(
        depth(0, 80) > 2.0 && depth(140, 200) < 0.01,
        "copper: {} {}",
        depth(0, 80),
        depth(140, 200)
    );
}

/// A tile that reaches off the plate shows bare paper there, and on the plate the very bits of a tile that ends at its edge:
/// the page asks for whole tiles, the native program for what lies on the plate.
#[test]
fn a_tile_that_reaches_off_the_plate_has_the_same_bits() {
    let mut plate = halves();
    // The print's left bottom corner is dark; the plate is 3000 × 4000 dots of 50 µm.
    let cut = TileRequest {
        left_out: 0,
        top_out: 3940,
        width_out: 60,
        height_out: 60,
        out_um: 50.0,
        px_um: 5.0,
    };
    let on = plate.look().tile(&cut);
    let off =
        plate.look().tile(&TileRequest { left_out: -20, width_out: 80, height_out: 90, ..cut });
    for y in 0..60 {
        let [on, off] = [&on[60 * y..60 * (y + 1)], &off[80 * y + 20..80 * (y + 1)]];
        let bits = |row: &[f32]| row.iter().map(|tone| tone.to_bits()).collect::<Vec<_>>();
        assert_eq!(bits(on), bits(off), "row {y}");
    }
    let paper = off[..20].iter().chain(&off[80 * 60..]).copied();
    assert!(on.iter().sum::<f32>() < 0.35 * on.len() as f32, "the corner is dark");
    assert!(paper.clone().all(|tone| tone == off[0]) && off[0] > 0.8, "bare paper round it");
}

/// A window of the print is the ground at the mirrored place, column for column: the grains of the
/// print's left edge lie at the copper's right edge.
#[test]
fn a_window_shows_the_mirrored_grains() {
    let mut plate = halves();
    let wide = plate.look().field_window(
        &Grid { left_px: 2_000, top_px: 3_000, width: 256, height: 64, px_um: 4.0 },
        Field::Cover,
    );
    let part = plate.look().field_window(
        &Grid { left_px: 2_100, top_px: 3_020, width: 100, height: 20, px_um: 4.0 },
        Field::Cover,
    );
    for y in 0..20 {
        for x in 0..100 {
            let (a, b) = (part.pixels[y * 100 + x], wide.pixels[(y + 20) * 256 + x + 100]);
            assert!((a - b).abs() < 2e-3, "cover at {x}, {y}: {a} and {b}");
        }
    }
}

/// The cut's ink is the ink of the window round it, though its cloth is felt out on coarser pixels.
#[test]
fn the_inked_cut_holds_the_ink_of_the_window() {
    let mut plate = halves();
    // Across the border, where the cloth sags from the white into the dark.
    let (left_um, y_um, width_um) = (74_600.0, 90_001.0, 800.0);
    let cut =
        plate.look().cut(&CutRequest { left_um, y_um, width_um, after_bites: 7, inked: true });
    let grid = Grid { left_px: 37_300, top_px: 45_000, width: 400, height: 1, px_um: 2.0 };
    let held_um = plate.look().field_window(&grid, Field::Held).pixels;
    let (mut drawn, mut sum, mut worst) = (0, 0.0, 0.0_f32);
    for ((&copper_um, &ink_um), &held_um) in cut.copper_um.iter().zip(&cut.ink_um).zip(&held_um) {
        if !ink_um.is_nan() {
            drawn += 1;
            sum += (ink_um - copper_um - held_um).abs();
            worst = worst.max((ink_um - copper_um - held_um).abs());
        }
    }
    let mean = sum / drawn as f32;
    println!("{drawn} places hold ink, {mean} µm apart on the whole, {worst} µm at most");
    assert!(drawn > 80, "the dark half holds ink: {drawn} places");
    assert!(mean < 0.1 && worst < 0.3, "{mean} and {worst} µm apart, of films of several");
}

/// Ground laid ahead is the ground that a window would have laid.
#[test]
fn ground_laid_ahead_changes_no_window() {
    let grid = Grid { left_px: 9_000, top_px: 9_000, width: 500, height: 60, px_um: 4.0 };
    let beside = Grid { left_px: 9_500, ..grid };
    let plain = halves().look().print_window(&beside);
    let mut plate = halves();
    let first = plate.look().print_window(&grid);
    let mut tiles = 0;
    while plate.look().lay_ahead(&grid) {
        tiles += 1;
    }
    assert!((1..30).contains(&tiles), "{tiles} tiles laid round the window");
    assert_eq!(plate.look().print_window(&grid), first, "the same window again");
    assert_eq!(plate.look().print_window(&beside), plain, "the window beside it");
    assert!(!plate.look().lay_ahead(&grid), "nothing is left to lay");
    plate.renderer.forget_ground();
    assert!(plate.look().lay_ahead(&grid), "forgotten, it is laid anew");
}

/// Light is averaged as light: a dot of the proof is the plain mean of the reflectances of the grain
/// under it, not of densities or grey levels.
#[test]
fn each_dot_is_the_linear_mean_of_its_grain() {
    let mut plate = halves();
    let (dots, per_dot) = (8_usize, 10_usize);
    let tile = TileRequest {
        left_out: 700,
        top_out: 900,
        width_out: dots,
        height_out: dots,
        out_um: 50.0,
        px_um: 5.0,
    };
    let tones = plate.look().tile(&tile);
    let side = dots * per_dot;
    let grid = Grid { left_px: 7_000, top_px: 9_000, width: side, height: side, px_um: 5.0 };
    let fine = plate.look().print_window(&grid).pixels;
    for (i, tone) in tones.iter().enumerate() {
        let (row, column) = (i / dots, i % dots);
        let under = (0..per_dot * per_dot).map(|j| {
            let (y, x) = (row * per_dot + j / per_dot, column * per_dot + j % per_dot);
            fine[y * side + x]
        });
        let expected = mean(under);
        assert!((tone - expected).abs() < 1e-5, "dot {i} is {tone}, its grain {expected}");
    }
    let codes = plate.look().tile_srgb8(&tile);
    let expected: Vec<u8> = tones.iter().map(|&tone| srgb8(f64::from(tone))).collect();
    assert_eq!(codes, expected, "and its code is that of its light");
}

/// Each sample of the copper has a value of its own, in no order; where `soft`, a dose of its own, in 24ths of the deepest.
struct Scattered {
    shares: [f64; 8],
    soft: bool,
}

fn scattered(grid: &Grid, count: u64) -> impl Iterator<Item = u64> {
    let at = move |i: usize| {
        let (x, y) =
            (grid.left_px + (i % grid.width) as i64, grid.top_px + (i / grid.width) as i64);
        ((x * 7919 + y * 104_729) as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15) >> 40
    };
    (0..grid.len()).map(move |i| at(i) % count)
}

impl ValueAreas for Scattered {
    fn fill(&self, grid: &Grid, out: &mut Vec<u8>) -> Option<u8> {
        out.clear();
        out.extend(scattered(grid, 8).map(|value| value as u8));
        None
    }

    fn shares(&self) -> &[f64] {
        &self.shares
    }

    fn soften(&self, grid: &Grid, doses: &Doses<'_>, out: &mut Vec<f32>) -> bool {
        out.clear();
        if self.soft {
            let step_um = doses.of_value_um[7] / 24.0;
            out.extend(scattered(grid, 25).map(|step| (step as f64 * step_um) as f32));
        }
        self.soft
    }
}

/// A pixel of the first pass is the mean light of the four samples of the copper that print there, each as bright as a
/// plain area of its value, or of its dose.
#[test]
fn each_pixel_of_the_first_pass_is_the_mean_of_its_samples() {
    for soft in [false, true] {
        let areas = Scattered { shares: [0.125; 8], soft };
        let mut plate = Seen::of(&Job::new(Plan::default(), Arc::new(areas)));
        let deepest_um = plate.session().dose_um[7];
        let doses_um: Vec<f64> = if soft {
            (0..=24).map(|step| f64::from(step) * deepest_um / 24.0).collect()
        } else {
            plate.session().dose_um.clone()
        };
        let tones: Vec<f64> =
            doses_um.iter().map(|&dose_um| plate.look().swatch(dose_um).reflectance).collect();
        // More rows than are worked out together.
        let (width, height) = (75, 100);
        let first = plate.look().first_pass(width, height);
        assert_eq!(first.len(), width * height);
        let copper =
            Grid { left_px: 0, top_px: 0, width: 2 * width, height: 2 * height, px_um: 1000.0 };
        let samples: Vec<f64> =
            scattered(&copper, tones.len() as u64).map(|tone| tones[tone as usize]).collect();
        for (i, &code) in first.iter().enumerate() {
            let (row, column) = (2 * (i / width), 2 * (width - 1 - i % width));
            let above = row * copper.width + column;
            let under = above + copper.width;
            let mean =
                0.25 * (samples[above] + samples[above + 1] + samples[under] + samples[under + 1]);
            let light = |off: f64| linear_of_srgb((f64::from(code) + off) / 255.0);
            assert!(
                light(-0.52) <= mean && mean <= light(0.52),
                "pixel {i} (soft: {soft}) has code {code}, its samples a mean light of {mean}"
            );
        }
    }
}
