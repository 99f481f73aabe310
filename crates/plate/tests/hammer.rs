//! Knocking a hollow up from the back: what copper and print must do.

use crate::common;

use common::worked::{inside, mean, passage, plate, with_work};
use plan::{Plan, Tool, ToolWork, Work};
use plate::chain::Field;
use plate::grid::Grid;
use plate::handwork::{LocalScratch, Mark, WorkConstants, knock_up};
use plate::light::lightness;

/// Work within the outline of `of`, its edge soft over so many mm.
fn soft(of: Work, width_mm: f64) -> Work {
    match of {
        Work::Tool(tool) => Work::Tool(ToolWork { width_mm, ..tool }),
        ground @ Work::Ground(_) => ground,
    }
}

/// The darkest of places 0.2 mm wide from the passage's edge to its middle, L* of value 4.
fn darkest_l(plan: &Plan) -> f64 {
    let mut plate = plate(plan, 4);
    let mut looking = plate.look();
    let place =
        |i: i64| Grid { left_px: 5000 + 50 * i, top_px: 9000, width: 50, height: 400, px_um: 4.0 };
    (0..20)
        .map(|i| lightness(mean(&looking.print_window(&place(i)).pixels)))
        .fold(f64::MAX, f64::min)
}

#[test]
fn a_hollow_scraped_bare_gathers_ink_at_its_rim_until_it_is_knocked_up() {
    // Lands 30 µm down, all of its pits gone: it should print as bare copper, but for the rim.
    let hollow = soft(passage(Tool::Polish, 30.0), 2.0);
    let gathers = darkest_l(&with_work(vec![hollow.clone()]));
    let plain = darkest_l(&Plan::default());
    assert!(gathers < plain - 5.0, "the rim prints L* {gathers:.1}, the value L* {plain:.1}");
    let level = with_work(vec![hollow.clone(), soft(passage(Tool::Hammer, 200.0), 2.0)]);
    let (knocked, eased) = (darkest_l(&level), darkest_l(&with_work(vec![hollow])));
    assert!(
        knocked > plain - 1.0 && knocked > eased + 5.0,
        "knocked up, it prints L* {knocked:.1}"
    );
}

#[test]
fn pits_rise_with_their_lands_and_nothing_stands_above_the_face() {
    let field = |work: Vec<Work>| {
        let mut plate = plate(&with_work(work), 7);
        plate.look().field_window(&inside(), Field::Depth).pixels
    };
    let (scraped, risen) = (
        field(vec![passage(Tool::Polish, 3.0)]),
        field(vec![passage(Tool::Polish, 3.0), passage(Tool::Hammer, 200.0)]),
    );
    for (before, after) in scraped.iter().zip(&risen) {
        assert!((before - 3.0 - after).abs() < 1e-3, "{before} µm deep, then {after}");
        assert!(*after >= 0.0, "{after} µm: above the face");
    }
    let partly = field(vec![passage(Tool::Polish, 3.0), passage(Tool::Hammer, 1.0)]);
    for (before, after) in scraped.iter().zip(&partly) {
        assert!((before - 1.0 - after).abs() < 1e-3, "at most 1 µm: {before}, then {after}");
    }
}

/// A hammer over all of a raster of 400 × 100 pixels whose columns lie so deep, with lands so far down.
fn hammered(depth_um: impl Fn(usize) -> f32, plane_um: impl Fn(usize) -> f32) -> Vec<f32> {
    let grid = Grid { left_px: 0, top_px: 0, width: 400, height: 100, px_um: 4.0 };
    let (mut depth, mut plane): (Vec<f32>, Vec<f32>) =
        (0..grid.len()).map(|i| i % grid.width).map(|x| (depth_um(x), plane_um(x))).unzip();
    let mark = Mark::passage(vec![[-1e6, -1e6], [1e6, -1e6], [1e6, 1e6], [-1e6, 1e6]], 0.0, 0);
    let (c, mut scratch) = (WorkConstants::default(), LocalScratch::default());
    knock_up(&mark, 200.0, &grid, &c, &mut scratch, &mut depth, &mut plane);
    depth[50 * grid.width..][..grid.width].to_vec()
}

#[test]
fn a_level_plate_stays_as_it_is_bit_for_bit() {
    let pits = |x: usize| if x % 10 < 4 { 8.3 } else { 0.0 };
    assert_eq!(hammered(pits, |_| 0.0), (0..400).map(pits).collect::<Vec<f32>>());
}

#[test]
fn a_groove_narrower_than_copper_moves_is_not_filled() {
    // 40 µm wide and 10 µm deep, in the middle of a level face.
    let groove = |x: usize| if (195..205).contains(&x) { 10.0_f32 } else { 0.0 };
    let after = hammered(groove, groove);
    assert!((7.0..9.9).contains(&after[200]), "{} µm are left of 10", after[200]);
    assert!((0..195).all(|x| after[x] == 0.0), "the face beside it is level again");
}

#[test]
fn windows_agree_about_copper_knocked_up() {
    let plan = with_work(vec![
        soft(passage(Tool::Scraper, 6.0), 2.0),
        soft(passage(Tool::Hammer, 4.0), 4.0),
    ]);
    let mut plate = plate(&plan, 4);
    let edge = Grid { left_px: 5000, top_px: 9000, width: 300, height: 300, px_um: 4.0 };
    let part = Grid { left_px: 5110, top_px: 9050, width: 90, height: 70, px_um: 4.0 };
    let whole = plate.look().field_window(&edge, Field::Depth).pixels;
    let alone = plate.look().field_window(&part, Field::Depth).pixels;
    for row in 0..part.height {
        for column in 0..part.width {
            let a = whole[(row + 50) * edge.width + 110 + column];
            let b = alone[row * part.width + column];
            assert!((a - b).abs() < 1e-3, "at {column}, {row}: {a} in the whole, {b} alone");
        }
    }
}
