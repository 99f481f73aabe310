//! Photographs of proofs drawn here are read: the print is found, each value as it was printed within what is stated; what is no
//! print of the plan, or can't be read, is refused in words.
//!
//! The number of photographs is small here; `PHOTOGRAPHS=300 cargo test -p study proof_reading -- --nocapture` takes as
//! many and prints every figure. Bounds follow from the number.
#![allow(clippy::print_stdout, reason = "`--nocapture` shows the figures")]

use crate::chance::Chance;
use crate::photographed::{Camera, GREYS, Planned, Taken};
use rand_pcg::Pcg32;
use std::sync::OnceLock;
use study::calibration::{KnownGrey, Photo, Yardstick};
use study::proof_reading::{ProofReading, ProofShot, Raster, read};

/// Photographs in all.
fn photographs() -> usize {
    std::env::var("PHOTOGRAPHS").map_or(9, |text| text.parse().expect("a number of photographs"))
}

/// Whether every figure is printed.
fn many() -> bool {
    std::env::var("PHOTOGRAPHS").is_ok()
}

fn all_planned() -> &'static [Planned] {
    static ONCE: OnceLock<Vec<Planned>> = OnceLock::new();
    ONCE.get_or_init(Planned::all)
}

/// Longer side of the pictures, pixels.
const LONG_PX: f64 = 1100.0;

fn shot(taken: &Taken, planned: &Planned) -> ProofShot {
    let grey = |(i, &reflectance): (usize, &f64)| {
        let (x, y) = taken.camera.grey_at(planned.print.height_mm, i);
        KnownGrey { at: taken.camera.to_picture(x, y), reflectance }
    };
    let all = if taken.camera.greys { &GREYS[..] } else { &[] };
    let (wide, high) = taken.photo.size();
    let inside = |grey: &KnownGrey| {
        let (x, y) = grey.at;
        x > 0.0 && y > 0.0 && x < wide as f64 && y < high as f64
    };
    let greys = all.iter().enumerate().map(grey).filter(inside).collect();
    ProofShot { corners: None, greys }
}

/// Where the reading has a place of the plate, by how far it is off the truth, mm: at the corners, and inside.
fn off_mm(
    read: &ProofReading,
    seen: &study::proof_reading::SquaredUp,
    taken: &Taken,
    size_mm: (f64, f64),
) -> (f64, f64) {
    let (w, h) = size_mm;
    let corners = taken.camera.corners(size_mm);
    let px_per_mm = libm::hypot(corners[1].0 - corners[0].0, corners[1].1 - corners[0].1) / w;
    let off = |(x, y): (f64, f64), (u, v): (f64, f64)| libm::hypot(x - u, y - v) / px_per_mm;
    let at_corners = read.corners.iter().zip(corners).map(|(a, b)| off(*a, b)).fold(0.0, f64::max);
    let inside = (1..36).map(|i| {
        let (x, y) = (w * f64::from(i % 6) / 6.0, h * f64::from(i / 6) / 6.0);
        off(seen.to_picture(x, y), taken.camera.to_picture(x, y))
    });
    (at_corners, inside.fold(0.0, f64::max))
}

fn quantile(values: &mut [f64], share: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    values[((values.len() - 1) as f64 * share).round() as usize]
}

fn figures(name: &str, values: &mut [f64]) -> (f64, f64, f64) {
    let (middle, most) = (quantile(values, 0.5), quantile(values, 1.0));
    let nearly_all = quantile(values, 0.95);
    println!(
        "{name}: median {middle:.3}, 95 % {nearly_all:.3}, most {most:.3} of {}",
        values.len()
    );
    (middle, nearly_all, most)
}

#[test]
fn proofs_are_found_and_their_values_read() {
    let mut chance = Chance(Pcg32::new(51, 3));
    let (mut corners, mut inside, mut refused) = (Vec::new(), Vec::new(), 0);
    let [mut off_scale, mut off_blind] = [(); 2].map(|()| Vec::new());
    let (mut held, mut all, mut unread, mut slow) = ([0_usize; 2], [0_usize; 2], 0, 0.0_f64);
    let runs = photographs();
    for run in 0..runs {
        let planned = &all_planned()[run % all_planned().len()];
        let printed = planned.printed(&planned.chance_l(&mut chance), (0.0, 0.0));
        let greys = chance.share() < 0.5;
        let camera = Camera::by_chance(printed.size_mm, LONG_PX, greys, &mut chance);
        let taken = camera.take(&printed, &mut chance);
        let before = std::time::Instant::now();
        let answer = read(taken.photo.clone(), &planned.print, &shot(&taken, planned));
        slow = slow.max(before.elapsed().as_secs_f64());
        let (read, seen) = match answer {
            Ok(answer) => answer,
            Err(words) => {
                println!("{run} {} refused: {} {:?}", planned.name, words[0], taken.camera);
                refused += 1;
                continue;
            }
        };
        let off = off_mm(&read, &seen, &taken, printed.size_mm);
        if many() && off.0.max(off.1) > 0.4 {
            println!("{run} {}: {off:?} mm, {:?} {:?}", planned.name, read.alike, taken.camera);
        }
        corners.push(off.0);
        inside.push(off.1);
        assert_eq!(read.camera.by != Yardstick::Paper, greys, "{:?}", read.camera);
        for (value, printed_l) in read.values.iter().zip(&printed.lightness) {
            let Some(value) = value else {
                unread += 1;
                continue;
            };
            let off = value.lightness - printed_l;
            let by = usize::from(greys);
            held[by] += usize::from(off.abs() <= value.good_to_l);
            all[by] += 1;
            if many() && greys && off.abs() > value.good_to_l + 1.0 {
                println!("{run} {}: {off:.2} {value:?}", planned.name);
            }
            if greys { &mut off_scale } else { &mut off_blind }.push(off.abs());
        }
    }
    println!("{refused} of {runs} refused; {unread} values not read; slowest {slow:.2} s");
    let (_, corner_95, corner_most) = figures("corners, mm", &mut corners);
    let (_, inside_95, inside_most) = figures("inside, mm", &mut inside);
    let mean = |off: &[f64]| off.iter().sum::<f64>() / off.len().max(1) as f64;
    println!("values by a grey scale, mean {:.2} L*", mean(&off_scale));
    let (_, scale_95, _) = figures("values by a grey scale, L*", &mut off_scale);
    println!("values without, mean {:.2} L*", mean(&off_blind));
    figures("values without, L*", &mut off_blind);
    println!("within their limits: {held:?} of {all:?} (without, with a scale)");
    assert!(refused * 50 <= runs, "{refused} of {runs} were refused");
    assert!(corner_95 < 0.3 && inside_95 < 0.3, "{corner_95}, {inside_95} mm off");
    assert!(corner_most < 1.0 && inside_most < 1.0, "{corner_most}, {inside_most} mm off at most");
    assert!(mean(&off_scale) < 0.8 && scale_95 < 2.0, "{} L* off", mean(&off_scale));
    let share = (held[0] + held[1]) as f64 / (all[0] + all[1]) as f64;
    assert!(share > 0.9, "{share} of the values lie within their limits");
}

/// Words of a refusal.
fn said(photo: Photo, planned: &Planned, shot: &ProofShot) -> String {
    match read(photo, &planned.print, shot) {
        Ok((read, _)) => format!("read, {} alike", read.alike),
        Err(words) => words.iter().map(ToString::to_string).collect(),
    }
}

#[test]
fn other_prints_and_blank_sheets_are_refused() {
    let mut chance = Chance(Pcg32::new(52, 3));
    let runs = photographs().div_ceil(2);
    let (mut others, mut blanks, mut refused) = (0, 0, [0, 0]);
    for run in 0..runs {
        let all = all_planned();
        let (planned, other) = (&all[run % all.len()], &all[(run + 1) % all.len()]);
        let printed = planned.printed(&planned.chance_l(&mut chance), (0.0, 0.0));
        let camera = Camera::by_chance(printed.size_mm, LONG_PX, false, &mut chance);
        let taken = camera.take(&printed, &mut chance);
        let words = said(taken.photo, other, &ProofShot::default());
        others += 1;
        refused[0] +=
            usize::from(words.contains("agrees too little") || words.contains("No print"));
        if many() && words.starts_with("read") {
            println!("{} taken for {}: {words}", planned.name, other.name);
        }
        if run % 2 == 0 {
            let blank = camera.take(&printed.blank(), &mut chance);
            let words = said(blank.photo, planned, &ProofShot::default());
            blanks += 1;
            refused[1] +=
                usize::from(words.contains("No print") || words.contains("agrees too little"));
            if many() && words.starts_with("read") {
                println!("blank {}: {words}", planned.name);
            }
        }
    }
    println!(
        "refused: {} of {others} other prints, {} of {blanks} blank sheets",
        refused[0], refused[1]
    );
    assert_eq!((refused[0], refused[1]), (others, blanks), "all of them");
}

/// One print of the head, photographed plainly; the camera can be changed.
fn plainly(slope_l: (f64, f64), change: impl Fn(&mut Camera)) -> (Taken, Vec<f64>) {
    let planned = &all_planned()[1];
    let mut chance = Chance(Pcg32::new(53, 3));
    let off: Vec<f64> = planned.print.lightness.iter().map(|_| 0.0).collect();
    let printed = planned.printed(&off, slope_l);
    let mut camera = Camera::by_chance(printed.size_mm, LONG_PX, true, &mut chance);
    change(&mut camera);
    (camera.take(&printed, &mut chance), printed.lightness)
}

/// That print taken without any change, drawn once for all tests.
fn plain() -> &'static (Taken, Vec<f64>) {
    static ONCE: OnceLock<(Taken, Vec<f64>)> = OnceLock::new();
    ONCE.get_or_init(|| plainly((0.0, 0.0), |_| {}))
}

/// What is said of it.
fn plain_words() -> &'static str {
    static ONCE: OnceLock<String> = OnceLock::new();
    ONCE.get_or_init(|| {
        let (planned, (taken, _)) = (&all_planned()[1], plain());
        let (read, _) =
            read(taken.photo.clone(), &planned.print, &shot(taken, planned)).expect("readable");
        read.warnings.iter().map(ToString::to_string).collect()
    })
}

#[test]
fn a_slope_of_wiping_is_told_with_its_direction() {
    let planned = &all_planned()[1];
    let (taken, _) = plainly((0.0, -5.0), |_| {});
    let (tilted, _) =
        read(taken.photo.clone(), &planned.print, &shot(&taken, planned)).expect("readable");
    let words: String = tilted.warnings.iter().map(ToString::to_string).collect();
    assert!(words.contains("The top prints up to"), "{words}");
    let map = &tilted.evenness;
    let row = |row: usize| {
        let cells = &map.lighter_l[row * map.columns..][..map.columns];
        let read: Vec<f64> = cells.iter().flatten().copied().collect();
        read.iter().sum::<f64>() / read.len().max(1) as f64
    };
    assert!(row(0) - row(map.rows - 1) > 2.0, "{:?}", map.lighter_l);
    let words = plain_words();
    assert!(!words.contains("prints up to"), "{words}");
}

#[test]
fn blur_shine_and_prints_cut_off_are_told_with_what_to_do() {
    let planned = &all_planned()[1];
    let words =
        |taken: &Taken| match read(taken.photo.clone(), &planned.print, &shot(taken, planned)) {
            Ok((read, _)) => read.warnings.iter().map(ToString::to_string).collect::<String>(),
            Err(words) => words.iter().map(|word| format!("refused: {word}")).collect(),
        };
    let plain = plain_words();
    assert!(!plain.contains("blurred") && !plain.contains("shines"), "{plain}");
    let (blurred, _) = plainly((0.0, 0.0), |camera| camera.blur_px = 100);
    assert!(words(&blurred).contains("blurred"), "{}", words(&blurred));
    // Too blurred to be laid on its plate at all.
    let harbour = &all_planned()[0];
    let off: Vec<f64> = harbour.print.lightness.iter().map(|_| 0.0).collect();
    let printed = harbour.printed(&off, (0.0, 0.0));
    let mut chance = Chance(Pcg32::new(53, 3));
    let mut camera = Camera::by_chance(printed.size_mm, 800.0, false, &mut chance);
    camera.blur_px = 80;
    let told = said(camera.take(&printed, &mut chance).photo, harbour, &ProofShot::default());
    assert!(told.contains("too blurred"), "{told}");
    let (shining, _) = plainly((0.0, 0.0), |camera| camera.shine = Some((35.0, 95.0, 7.0)));
    assert!(words(&shining).contains("shines"), "{}", words(&shining));
    let (cut, _) = plainly((0.0, 0.0), |camera| *camera = camera.clone().moved(55.0, 0.0));
    let words = words(&cut);
    assert!(words.contains("refused") && words.contains("bare paper"), "{words}");
}

#[test]
fn corners_set_by_hand_are_kept_and_the_print_squared_up_lies_on_the_proof() {
    let planned = &all_planned()[1];
    let (taken, printed_l) = plain();
    let size_mm = (planned.print.width_mm, planned.print.height_mm);
    let exact = taken.camera.corners(size_mm);
    let px_per_mm = libm::hypot(exact[1].0 - exact[0].0, exact[1].1 - exact[0].1) / size_mm.0;
    let by_hand = |by_mm: f64| ProofShot {
        corners: Some(exact.map(|(x, y)| (x + by_mm * px_per_mm, y - by_mm * px_per_mm))),
        ..shot(taken, planned)
    };
    // A little off: moved to where the print lies. Far off: left there, and told.
    let (near, seen) = read(taken.photo.clone(), &planned.print, &by_hand(0.7)).expect("readable");
    let off = off_mm(&near, &seen, taken, size_mm);
    assert!(off.0 < 0.3 && off.1 < 0.3, "{off:?} mm off");
    let far = by_hand(4.5);
    let (kept, _) = read(taken.photo.clone(), &planned.print, &far).expect("readable");
    assert_eq!(Some(kept.corners), far.corners, "left where the hand has put them");
    assert!(
        kept.warnings.iter().any(|said| said.contains("corners were set")),
        "{:?}",
        kept.warnings
    );
    // Squared up, the middle of the largest value is as light as that was read.
    let print = &planned.print;
    let all = Raster {
        left_mm: 0.0,
        top_mm: 0.0,
        width_px: print.columns,
        height_px: print.rows(),
        px_mm: print.square_mm(),
    };
    let grey = seen.window(&all);
    let mut off = 0.0;
    for value in near.values.iter().flatten() {
        let own = |at: &usize| usize::from(print.values[*at]) == value.value;
        let l: Vec<f64> = (0..grey.len())
            .filter(own)
            .map(|at| {
                plate::light::lightness(plate::light::linear_of_srgb(f64::from(grey[at]) / 255.0))
            })
            .collect();
        let mean = l.iter().sum::<f64>() / l.len() as f64;
        off += (mean - value.lightness).abs() / near.values.len() as f64;
        assert!((value.lightness - printed_l[value.value]).abs() < 2.5, "{value:?}");
    }
    assert!(off < 2.0, "{off} L* between the squared-up print and the readings");
}
