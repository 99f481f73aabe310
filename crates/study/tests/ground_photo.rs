//! Pictures of dust and grounds with known answers, drawn here at several magnifications, of both tones, noisy, soft
//! and unevenly lit, are read within ± 0.03 of cover, ± 15 % of width and of the number; what can't be read is refused.
#![allow(clippy::print_stdout, reason = "`--nocapture` shows how far each reading is off")]

use crate::ground_drawn;

use ground_drawn::{Scene, Taken, Truth, apart, scenes};
use study::calibration::ground_photo::{islands, otsu};
use study::calibration::{GroundPhoto, GroundReading, GroundShot, RosinTone, Scale, read_ground};

const COVER: f64 = 0.03;
const SHARE: f64 = 0.15;
fn found(width_mm: f64) -> GroundShot {
    GroundShot { scale: Scale::Across(width_mm), frame: None, rosin: RosinTone::Found, nudge: 0.0 }
}

fn read(scene: &Scene, taken: &Taken) -> GroundReading {
    let (photo, width_mm) = scene.photo(taken, 3);
    match read_ground(&photo, &found(width_mm)) {
        Ok((reading, _)) => reading,
        Err(said) => panic!("{taken:?}: {said}"),
    }
}

/// Off from the truth: cover as it is, islands and width as shares.
fn off(reading: &GroundReading, truth: &Truth) -> [f64; 3] {
    [
        reading.found.cover - truth.cover,
        reading.found.islands_per_mm2 / truth.islands_per_mm2 - 1.0,
        reading.found.median_width_um.expect("a width") / truth.median_width_um - 1.0,
    ]
}

fn holds(what: &str, scene: &Scene, taken: &Taken) {
    let truth = scene.truth();
    let reading = read(scene, taken);
    let [cover, islands, width] = off(&reading, truth);
    println!(
        "{what:28} {:.3} {cover:+.3}  {:6.1} {:+5.1} %  {:5.1} µm {:+5.1} %  apart {:.1}, soft {:.1} µm",
        truth.cover,
        truth.islands_per_mm2,
        100.0 * islands,
        truth.median_width_um,
        100.0 * width,
        reading.separation,
        reading.found.blur_um
    );
    assert!(cover.abs() < COVER, "{what}: cover {} is read {}", truth.cover, reading.found.cover);
    assert!(
        islands.abs() < SHARE,
        "{what}: {} islands/mm² are read {}",
        truth.islands_per_mm2,
        reading.found.islands_per_mm2
    );
    // Gaps finer than two pixels close: as many as are seen apart are always fewer.
    assert!(
        reading.found.seen_per_mm2 < reading.found.islands_per_mm2
            && reading.found.seen_per_mm2 < truth.islands_per_mm2,
        "{what}: {reading:?}"
    );
    assert!(
        width.abs() < SHARE,
        "{what}: {} µm wide are read {:?}",
        truth.median_width_um,
        reading.found.median_width_um
    );
    assert_eq!(reading.rosin_lighter, taken.rosin > taken.copper, "{what}: which tone is rosin");
    assert!(
        (reading.found.cover_low..=reading.found.cover_high).contains(&reading.found.cover),
        "{what}: {} lies outside its limits",
        reading.found.cover
    );
}

#[test]
fn separate_discs_have_the_closed_forms() {
    let (step, radius) = (80.0, 24.0);
    let scene = apart(2400.0, 1600.0, step, radius, 5);
    let reading = read(&scene, &Taken::well(2.0));
    let cover = std::f64::consts::PI * radius * radius / (step * step);
    assert!((reading.found.cover - cover).abs() < 0.01, "{cover} is read {}", reading.found.cover);
    let per_mm2 = 1e6 / (step * step);
    assert!((reading.found.islands_per_mm2 / per_mm2 - 1.0).abs() < 0.01, "{reading:?}");
    let width = reading.found.median_width_um.expect("a width");
    assert!((width / (2.0 * radius) - 1.0).abs() < 0.02, "{width} µm");
    assert!(reading.warnings.is_empty(), "nothing to say: {:?}", reading.warnings);
    assert!(
        (reading.found.blur_um - 2.0).abs() < 1.2,
        "a sharp picture, smoothed: {} µm",
        reading.found.blur_um
    );
    assert_eq!(reading.found.islands, 600.0, "30 by 20");
    assert!((reading.found.px_um - 2.0).abs() < 1e-9, "{} µm", reading.found.px_um);
    // Round discs' outlines: 2πr each, mm to a mm².
    let outline = 2000.0 * std::f64::consts::PI * radius / (step * step);
    assert!((reading.found.outline_per_mm / outline - 1.0).abs() < 0.03, "{outline}: {reading:?}");
}

#[test]
fn softness_and_light_are_measured_too() {
    // Wide discs, whose tones the blur does not reach.
    let scene = apart(1800.0, 1200.0, 150.0, 60.0, 5);
    for blur_um in [3.0, 5.0] {
        let found = read(&scene, &Taken { blur_um, ..Taken::well(3.0) }).found;
        // Variances add: the blur's, the pixels' own width (1/12) and the smoothing by 1 : 2 : 1 (1/2), of a pixel squared.
        let expected = (blur_um * blur_um + (0.5 + 1.0 / 12.0) * 9.0).sqrt();
        let share = found.blur_um / expected;
        println!("{expected:.2} µm soft, read {share:.3} of it");
        // A little low: the means of the two tones hold a little of what lies between them.
        assert!((0.8..1.02).contains(&share), "{expected} µm soft: {found:?}");
        // Where a normal blur has gone from one half to six tenths is 0.2533 of its deviation on.
        let band = found.outline_per_mm * 1e-3 * 2.0 * 0.2533 * found.blur_um;
        let read = found.cover_high - found.cover_low;
        println!("{band:.4} of the cover is unsure, read {read:.4}");
        assert!((read / band - 1.0).abs() < 0.1, "{band} of the cover is unsure: {found:?}");
        assert!(found.cover_low < found.cover && found.cover < found.cover_high, "{found:?}");
    }
    let well = Taken::well(3.0);
    for (taken, falls_by) in [
        (well.clone(), 0.0),
        (Taken { slope: 0.5, ..well.clone() }, 0.5),
        (Taken { vignette: 0.4, ..well }, 0.4),
    ] {
        let uneven = read(&scene, &taken).uneven;
        println!("the light falls by {falls_by}, read {uneven:.3}");
        assert!((uneven - falls_by).abs() < 0.06, "the light falls by {falls_by}, read {uneven}");
    }
}

#[test]
fn well_taken_pictures_at_several_magnifications() {
    for (what, scene) in scenes(false) {
        for px_um in [1.25, 2.0, 3.0] {
            holds(&format!("{what}, {px_um} µm"), scene, &Taken::well(px_um));
        }
    }
}

#[test]
fn both_tones_uneven_light_noise_and_blur() {
    for (what, scene) in scenes(false) {
        let well = Taken::well(2.0);
        let kinds = [
            ("rosin dark", Taken { rosin: 80.0, copper: 170.0, ..well.clone() }),
            ("little contrast", Taken { rosin: 120.0, copper: 150.0, ..well.clone() }),
            ("vignette", Taken { vignette: 0.4, ..well.clone() }),
            ("light from one side", Taken { slope: 0.5, ..well.clone() }),
            ("noise", Taken { noise: 14.0, ..well.clone() }),
            ("soft", Taken { blur_um: 2.5, ..well.clone() }),
            (
                "all of it",
                Taken {
                    rosin: 90.0,
                    copper: 180.0,
                    vignette: 0.3,
                    slope: 0.3,
                    noise: 8.0,
                    blur_um: 2.0,
                    ..well
                },
            ),
        ];
        for (how, taken) in kinds {
            holds(&format!("{what}, {how}"), scene, &taken);
        }
    }
}

#[test]
fn the_level_can_be_moved_and_the_tone_said() {
    let (_, scene) = scenes(false)[2];
    let (photo, width_mm) = scene.photo(&Taken { blur_um: 3.0, ..Taken::well(2.0) }, 3);
    let cover = |nudge: f64, rosin: RosinTone| {
        let shot = GroundShot { scale: Scale::Across(width_mm), frame: None, rosin, nudge };
        read_ground(&photo, &shot).map(|(reading, mask)| {
            let set = mask.rosin.iter().filter(|rosin| **rosin).count();
            assert_eq!(
                reading.found.cover,
                set as f64 / mask.rosin.len() as f64,
                "the mask is what was read"
            );
            reading.found.cover
        })
    };
    let plain = cover(0.0, RosinTone::Found).expect("readable");
    assert!(cover(0.2, RosinTone::Found).expect("readable") > plain + 0.01, "more rosin");
    assert!(cover(-0.2, RosinTone::Found).expect("readable") < plain - 0.01, "less rosin");
    assert_eq!(cover(0.0, RosinTone::Lighter).expect("readable"), plain, "the lighter it is");
    let turned = cover(0.0, RosinTone::Darker).expect("readable");
    assert!((turned + plain - 1.0).abs() < 1e-9, "the other tone is the rest: {turned}, {plain}");
}

#[test]
fn what_can_not_be_read_is_said() {
    let (_, scene) = scenes(false)[2];
    let said = |photo: &GroundPhoto, shot: &GroundShot| match read_ground(photo, shot) {
        Err(said) => said.to_string(),
        Ok((reading, _)) => panic!("was read as {reading:?}"),
    };
    let (photo, width_mm) = scene.photo(&Taken::well(2.0), 3);
    for unknown in [0.0, -3.0, f64::NAN, f64::INFINITY, 4000.0] {
        assert!(said(&photo, &found(unknown)).contains("scale is not known"), "{unknown}");
    }
    // One tone: blank, noise alone, a ramp.
    let noise = Scene::of((2600.0, 1900.0), Vec::new());
    for taken in [
        Taken::well(2.0),
        Taken { noise: 25.0, ..Taken::well(2.0) },
        Taken { slope: 0.7, noise: 0.0, ..Taken::well(2.0) },
    ] {
        let (blank, width_mm) = noise.photo(&taken, 3);
        assert!(said(&blank, &found(width_mm)).contains("two tones"), "{taken:?}");
    }
    let flat = GroundPhoto::from_grey(vec![120; 400 * 300], 400).expect("a picture");
    assert!(said(&flat, &found(2.0)).contains("two tones"), "flat");
    let (_, dust) = scenes(false)[0];
    let (coarse, width_mm_coarse) = dust.photo(&Taken::well(5.0), 3);
    assert!(said(&coarse, &found(width_mm_coarse)).contains("too narrow"), "too coarse");
    let (soft, _) = scene.photo(&Taken { blur_um: 22.0, ..Taken::well(2.0) }, 3);
    assert!(said(&soft, &found(width_mm)).contains("out of focus"), "out of focus");
    let few = apart(700.0, 500.0, 230.0, 60.0, 2);
    let (few, few_mm) = few.photo(&Taken::well(2.0), 3);
    assert!(said(&few, &found(few_mm)).contains("islands lie in the picture"), "too few");
    let tiny = GroundPhoto::from_grey(vec![120; 100 * 100], 100).expect("a picture");
    assert!(said(&tiny, &found(1.0)).contains("160 pixels"), "too small");
    for (grey, width) in [(vec![1; 10], 3), (vec![], 3), (vec![1; 4], 0)] {
        assert!(GroundPhoto::from_grey(grey, width).is_err(), "broken");
    }
    assert!(GroundPhoto::from_rgba(&[0; 12], 2, 2).is_err(), "too few pixels");
    // Few, soft or near, but readable: said beside the reading.
    let warned = |scene: &Scene, taken: &Taken| -> String {
        read(scene, taken).warnings.iter().map(ToString::to_string).collect()
    };
    assert!(warned(scene, &Taken { blur_um: 10.0, ..Taken::well(2.0) }).contains("soft"), "soft");
    assert!(
        warned(scene, &Taken { rosin: 118.0, copper: 100.0, noise: 11.0, ..Taken::well(2.0) })
            .contains("differ little"),
        "near"
    );
    assert!(
        warned(&apart(800.0, 600.0, 100.0, 30.0, 2), &Taken::well(2.0))
            .contains("Fewer than a hundred islands"),
        "few"
    );
    assert!(
        warned(scene, &Taken { slope: 0.8, ..Taken::well(2.0) }).contains("falls off"),
        "uneven"
    );
}

/// Hand-counted.
#[test]
fn islands_touch_at_sides() {
    let rows = ["#..#.#", ".##..#", "......", "#.#.##", "#.####", "#....."];
    let set: Vec<bool> = rows.iter().flat_map(|row| row.bytes().map(|b| b == b'#')).collect();
    let all = islands(&set, 6);
    let areas: Vec<(usize, bool)> = all.iter().map(|one| (one.area_px, one.on_border)).collect();
    assert_eq!(areas, [(1, true), (1, true), (2, true), (2, false), (3, true), (7, true)]);
    assert_eq!((all[5].box_px, all[5].sides), ((4, 2), 12));
    assert_eq!(
        islands(&[false, false, false, false, true, false, false, false, false], 3).len(),
        1
    );
    assert!(
        !islands(&[false, false, false, false, true, false, false, false, false], 3)[0].on_border
    );
    assert!(islands(&[], 3).is_empty(), "nothing");
}

#[test]
fn the_level_lies_between_two_heaps() {
    let mut heaps = [0; 256];
    for (tone, count) in [(40, 100), (42, 300), (44, 100), (180, 50), (184, 50)] {
        heaps[tone] = count;
    }
    let level = otsu(&heaps).expect("two heaps");
    assert!((44..180).contains(&level.level), "{level:?}");
    assert!(
        (level.means.0 - 42.0).abs() < 1e-9 && (level.means.1 - 182.0).abs() < 1e-9,
        "{level:?}"
    );
    let mut one = [0; 256];
    one[7] = 9;
    assert!(otsu(&one).is_none() && otsu(&[0; 256]).is_none(), "one tone");
}
