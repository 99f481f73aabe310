//! Lines etched before the first ground: their shape against the closed form, the ink they hold, and
//! what they leave alone.

use crate::common;

use common::{Everywhere, Seen, plate_with};
use plan::{Crop, LineWork, Plan};
use plate::chain::{CutRequest, Field, Job, OpenLines, Printed};
use plate::grid::Grid;
use plate::light::{lightness, linear_of_srgb, reflectance_of_lightness};
use std::sync::Arc;

/// Lines across the plate, drawn `wide_um` wide every 800 µm; `None` is a plate without any drawn.
struct Drawn {
    wide_um: f64,
}

impl OpenLines for Drawn {
    fn fill(&self, grid: &Grid, open: &mut Vec<u8>) -> bool {
        open.clear();
        for row in 0..grid.height as i64 {
            let y_um = ((grid.top_px + row) as f64 + 0.5) * f64::from(grid.px_um);
            let line = u8::from(y_um.rem_euclid(800.0) < self.wide_um);
            open.extend(std::iter::repeat_n(line, grid.width));
        }
        open.contains(&1)
    }
}

fn lined(bite_min: f64) -> Plan {
    let lines = LineWork {
        picture: "lines.png".to_owned(),
        crop: Crop::default(),
        open_below_l: 50.0,
        bite_min,
    };
    Plan { lines: Some(lines), ..Plan::default() }
}

/// A plate of one value with lines 160 µm wide.
fn plate(plan: &Plan, value: u8) -> Seen {
    Seen::of(&job(plan, value, Some(160.0)))
}

fn job(plan: &Plan, value: u8, wide_um: Option<f64>) -> Job {
    let areas = Arc::new(Everywhere::value(plan.bites.len(), value));
    let lines = wide_um.map(|wide_um| Arc::new(Drawn { wide_um }) as Arc<dyn OpenLines>);
    Job::new(plan.clone(), areas).with_lines(lines)
}

/// 1.6 mm square: two lines.
const PLACE: Grid = Grid { left_px: 9000, top_px: 9000, width: 400, height: 400, px_um: 4.0 };

/// How far a row of [`PLACE`] lies outside the nearest line's drawn edge, µm; below 0 inside.
fn off_um(row: usize) -> f64 {
    let y_um = ((9000 + row) as f64 + 0.5) * 4.0 % 800.0;
    (y_um - 80.0).abs().min((y_um - 880.0).abs()) - 80.0
}

fn mean(values: impl Iterator<Item = f32>) -> f64 {
    let (sum, count) = values.fold((0.0, 0.0), |(s, n), v| (s + f64::from(v), n + 1.0));
    sum / count
}

fn rows(pixels: &[f32], which: impl Fn(f64) -> bool) -> f64 {
    let rows = pixels.chunks_exact(400).enumerate().filter(|(row, _)| which(off_um(*row)));
    mean(rows.flat_map(|(_, row)| row.iter().copied()))
}

#[test]
fn a_line_has_the_shape_of_its_bite_and_holds_ink_where_no_tone_is() {
    let plan = lined(40.0);
    let mut plate = plate(&plan, 0);
    plate.view.printed = Printed::Lines;
    let facts = plate.look().line_facts().expect("the plan has lines");
    // 40 min at 0.80 µm/min (strength 0.9981 of it, `bite.rate_um_per_min`, `bite.strength_at_40`).
    assert!((facts.depth_um - 40.0 * 0.9981).abs() < 0.3, "{facts:?}");
    assert!((facts.wider_um - 2.0 * facts.depth_um).abs() < 1e-9, "undercut as deep, both sides");
    let depth = plate.look().field_window(&PLACE, Field::Depth).pixels;
    for (row, line) in depth.chunks_exact(400).enumerate() {
        let off = off_um(row);
        // Closed form: h = EF √(ρ² − d²) at a distance d under the edge, ρ = R/EF, and EF is 1.
        let wanted = if off <= 0.0 {
            facts.depth_um
        } else {
            (facts.depth_um * facts.depth_um - off * off).max(0.0).sqrt()
        };
        // Steepest at the rim, where half a pixel is some µm.
        let slack = if off > 0.85 * facts.depth_um { 16.0 } else { 2.0 };
        assert!(
            line.iter().all(|h| (f64::from(*h) - wanted).abs() < slack),
            "{} µm at {off} µm off a line, not {wanted}",
            line[0]
        );
    }
    let held = plate.look().field_window(&PLACE, Field::Held).pixels;
    let (inside, outside) = (rows(&held, |off| off < -20.0), rows(&held, |off| off > 150.0));
    assert!(
        inside > 5.0 && inside > 20.0 * outside,
        "{inside} µm held in a line, {outside} beside"
    );
}

#[test]
fn a_plate_bites_lines_where_some_are_drawn_and_their_bath_bites() {
    let bitten = |plate: &plate::Plate| {
        [Printed::Both, Printed::Lines, Printed::Tone].map(|printed| plate.bites_lines(printed))
    };
    let own = plate(&lined(40.0), 0);
    assert_eq!(bitten(&own), [true, true, false], "but where the tone is printed alone");
    assert_eq!(bitten(&own.lines_left_early(0.25)), [true, true, false], "however short");
    assert_eq!(bitten(&own.lines_left_early(0.0)), [false; 3], "not before the bath");
    let mut spent = lined(40.0);
    spent.bath.copper_g_per_l = 200.0;
    assert_eq!(bitten(&plate(&spent, 0)), [false; 3], "not in a bath that is used up");
    assert_eq!(bitten(&Seen::of(&job(&lined(40.0), 0, None))), [false; 3], "none drawn");
}

#[test]
fn a_longer_line_bite_prints_darker() {
    let mut before = 100.0;
    for minutes in [2.0, 8.0, 30.0] {
        let mut plate = plate(&lined(minutes), 0);
        let print = plate.look().print_window(&PLACE).pixels;
        let line = lightness(rows(&print, |off| off < 0.0));
        let told = plate.look().line_facts().expect("lines").lightness;
        assert!(line < before - 5.0, "L* {line:.1} after {minutes} min, {before:.1} before");
        assert!((line - told).abs() < 6.0, "printed L* {line:.1}, told L* {told:.1}");
        before = line;
    }
    assert!(before < 45.0, "a deep line prints dark: L* {before:.1}");
}

#[test]
fn lines_print_through_the_tone_or_alone_and_leave_the_rest_alone() {
    let plan = lined(40.0);
    let mut lined_plate = plate(&plan, 3);
    let mut bare_plate = plate_with(&Plan::default(), Everywhere::value(plan.bites.len(), 3));
    let bare = bare_plate.look().print_window(&PLACE).pixels;
    let copper = bare_plate.look().field_window(&PLACE, Field::Depth).pixels;
    let depth = lined_plate.look().field_window(&PLACE, Field::Depth).pixels;
    let floor = rows(&depth, |off| off < -20.0);
    let (line_um, tone_um) = (40.0 * 0.9981, rows(&copper, |off| off < -20.0));
    assert!(
        floor > line_um + 0.6 * tone_um && floor < line_um + 1.8 * tone_um,
        "the tone bites on in the line, but where resin holds: {floor:.1} µm of {line_um:.1} + {tone_um:.1}"
    );
    for (i, (with, without)) in depth.iter().zip(&copper).enumerate() {
        // Farther off than line and tone reach together it is as it was, to the bit.
        assert!(off_um(i / 400) < 70.0 || with == without, "{with} µm, not {without}, at {i}");
    }
    let both = lightness(rows(&lined_plate.look().print_window(&PLACE).pixels, |off| off < 0.0));
    lined_plate.view.printed = Printed::Lines;
    let alone = lined_plate.look().print_window(&PLACE).pixels;
    assert!(lightness(rows(&alone, |off| off > 150.0)) > 90.0, "no tone where lines print alone");
    assert!(
        both < lightness(rows(&bare, |off| off < 0.0)) - 5.0,
        "lines show in the tone: {both:.1}"
    );
    // Without lines, with none drawn there, or with the tone alone: the same to the bit.
    lined_plate.view.printed = Printed::Tone;
    assert_eq!(lined_plate.look().print_window(&PLACE).pixels, bare, "the tone alone");
    lined_plate.view.printed = Printed::Both;
    lined_plate.change(&job(&plan, 3, Some(0.0)));
    assert_eq!(lined_plate.look().print_window(&PLACE).pixels, bare, "none drawn");
    lined_plate.change(&job(&plan, 3, None));
    assert_eq!(lined_plate.look().print_window(&PLACE).pixels, bare, "none");
}

#[test]
fn windows_show_the_same_lines_and_the_first_pass_has_them() {
    let mut plate = plate(&lined(40.0), 4);
    let whole = plate.look().field_window(&PLACE, Field::Depth).pixels;
    for (left, top, width, height) in [(0, 0, 151, 400), (151, 0, 249, 77), (151, 77, 249, 323)] {
        let grid = Grid {
            left_px: PLACE.left_px + left as i64,
            top_px: PLACE.top_px + top as i64,
            width,
            height,
            px_um: 4.0,
        };
        let part = plate.look().field_window(&grid, Field::Depth).pixels;
        for row in 0..height {
            let there = &whole[(top + row) * 400 + left..][..width];
            // Domes' places are rounded to an f32 of their window.
            for (here, there) in part[row * width..][..width].iter().zip(there) {
                let off_um = (here - there).abs();
                assert!(
                    off_um < 1e-3,
                    "row {row} of a window at {left}, {top}: {here}, {there} µm"
                );
            }
        }
    }
    let dark = |grey: &[u8]| grey.iter().map(|g| f64::from(*g)).sum::<f64>() / grey.len() as f64;
    let with = dark(&plate.look().first_pass(300, 400));
    plate.change(&job(&lined(40.0), 4, None));
    let without = dark(&plate.look().first_pass(300, 400));
    assert!(
        with < without - 3.0,
        "a fifth of the plate is line: mean grey {with:.1}, {without:.1} without"
    );
}

/// Samples of the copper that lay open here and there, in no order.
struct Dotted;

impl OpenLines for Dotted {
    fn fill(&self, grid: &Grid, open: &mut Vec<u8>) -> bool {
        let dot = |i: usize| {
            let (x, y) = (i % grid.width, i / grid.width);
            let at = (grid.left_px + x as i64) * 7919 + (grid.top_px + y as i64) * 104_729;
            u8::from((at as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15) >> 62 == 0)
        };
        open.clear();
        open.extend((0..grid.len()).map(dot));
        true
    }
}

/// A pixel of the first pass is as dark as its share of lines makes it: four samples of the copper print there.
#[test]
fn each_pixel_of_the_first_pass_has_its_share_of_lines() {
    let (width, height) = (75, 100);
    let copper =
        Grid { left_px: 0, top_px: 0, width: 2 * width, height: 2 * height, px_um: 1000.0 };
    let mut mask = Vec::new();
    Dotted.fill(&copper, &mut mask);
    let areas = Arc::new(Everywhere::value(7, 2));
    let mut plate = Seen::of(&Job::new(lined(40.0), areas).with_lines(Some(Arc::new(Dotted))));
    let line = reflectance_of_lightness(plate.look().line_facts().expect("lines").lightness);
    let tone_um = plate.session().dose_um[2];
    for (printed, dose_um) in
        [(Printed::Both, tone_um), (Printed::Lines, 0.0), (Printed::Tone, tone_um)]
    {
        plate.view.printed = printed;
        let tone = plate.look().swatch(dose_um).reflectance;
        assert!(line < tone, "the line prints {line}, the rest {tone}");
        let first = plate.look().first_pass(width, height);
        for (i, &code) in first.iter().enumerate() {
            let at = 2 * (i / width) * copper.width + 2 * (width - 1 - i % width);
            let under = at + copper.width;
            let open = mask[at] + mask[at + 1] + mask[under] + mask[under + 1];
            let share = if printed == Printed::Tone { 0.0 } else { f64::from(open) / 4.0 };
            let expected = tone + share * (line - tone);
            // The tone has been rounded to its code before.
            let light = |off: f64| linear_of_srgb((f64::from(code) + off) / 255.0);
            assert!(
                light(-1.1) <= expected && expected <= light(1.1),
                "{printed:?}, pixel {i}: code {code}, {open} quarters of it lines: {expected}"
            );
        }
    }
}

#[test]
fn resin_in_a_line_stands_on_its_floor_in_the_cut() {
    // Along the middle of a line.
    let along = CutRequest {
        left_um: 36_000.0,
        y_um: 36_080.0,
        width_um: 1600.0,
        after_bites: 0,
        inked: false,
    };
    let plan = lined(20.0);
    let mut plate = plate(&plan, 5);
    let with = plate.look().cut(&along);
    plate.view.printed = Printed::Tone;
    let without = plate.look().cut(&along);
    let floor_um = with.copper_um[0];
    assert!(floor_um < -5.0, "the cut runs along a line: {floor_um} µm");
    let domes = without.resin_um.iter().filter(|top| !top.is_nan()).count();
    assert!(domes > 100, "with resin in it: {domes} places");
    for (at, (with, without)) in with.resin_um.iter().zip(&without.resin_um).enumerate() {
        let same = with.is_nan() && without.is_nan();
        assert!(same || (with - (without + floor_um)).abs() < 1e-4, "at {at}: {with}, {without}");
    }
}
