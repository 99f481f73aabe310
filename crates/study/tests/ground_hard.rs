//! Pictures as shops take them, drawn here with known answers: through loupes of all strengths, out of focus by a pixel or
//! two, saved as JPEG, of scratched copper, with glare and highlights, of white dust on bright copper. All are read within
//! ± 0.03 of cover, ± 15 % of width and of the number of islands, or refused in words; so are pictures of something else.
#![allow(clippy::print_stdout, reason = "`--nocapture` shows how far each reading is off")]

use crate::ground_drawn;

use ground_drawn::{Scene, Taken, Truth, scenes, united};
use study::calibration::{GroundPhoto, GroundReading, GroundShot, RosinTone, Scale, read_ground};

const COVER: f64 = 0.03;
const SHARE: f64 = 0.15;

fn shot(width_mm: f64) -> GroundShot {
    GroundShot { scale: Scale::Across(width_mm), frame: None, rosin: RosinTone::Found, nudge: 0.0 }
}

/// Reads the picture, prints how far it is off, and asserts that it is within the tolerance.
fn holds(what: &str, scene: &Scene, taken: &Taken) -> GroundReading {
    let (photo, width_mm) = scene.photo(taken, 3);
    match read_ground(&photo, &shot(width_mm)) {
        Ok((reading, _)) => {
            near(what, &reading, scene.truth(), taken);
            reading
        }
        Err(said) => panic!("{what}: {said}"),
    }
}

/// Prints how far a reading is off, and asserts that it is within the tolerance.
fn near(what: &str, reading: &GroundReading, truth: &Truth, taken: &Taken) {
    let found = &reading.found;
    let cover = found.cover - truth.cover;
    let islands = found.islands_per_mm2 / truth.islands_per_mm2 - 1.0;
    let seen = found.seen_per_mm2 / truth.islands_per_mm2 - 1.0;
    let width = found.median_width_um.expect("a width") / truth.median_width_um - 1.0;
    println!(
        "{what:30} cover {:.3} {cover:+.3}, islands {:5.1} {:+5.1} % (seen {:+5.1} %), width {:5.1} µm {:+5.1} %",
        truth.cover,
        truth.islands_per_mm2,
        100.0 * islands,
        100.0 * seen,
        truth.median_width_um,
        100.0 * width
    );
    assert!(cover.abs() < COVER, "{what}: cover {} is read {}", truth.cover, found.cover);
    assert!(
        islands.abs() < SHARE,
        "{what}: {} islands/mm² are read {}",
        truth.islands_per_mm2,
        found.islands_per_mm2
    );
    assert!(
        width.abs() < SHARE,
        "{what}: {} µm wide are read {:?}",
        truth.median_width_um,
        found.median_width_um
    );
    assert_eq!(reading.rosin_lighter, taken.rosin > taken.copper, "{what}: which tone is rosin");
}

#[test]
fn through_every_loupe_from_1_to_8_micrometres_a_pixel() {
    let coarse = united((5200.0, 3800.0), 70.0, 100.0, 1.4, 5);
    for (name, scene) in scenes(true).into_iter().chain([("coarse", &coarse)]) {
        let truth = scene.truth();
        for px_um in [1.0, 2.0, 4.0, 6.0, 8.0] {
            let what = format!("{name}, {px_um} µm a pixel");
            // The finest for the finest grain: of the others 1 µm would be up to 20 megapixels.
            if name != "dust" && px_um < 2.0 {
                continue;
            }
            let taken = Taken::well(px_um);
            let (photo, width_mm) = scene.photo(&taken, 3);
            match read_ground(&photo, &shot(width_mm)) {
                Ok((reading, _)) => near(&what, &reading, truth, &taken),
                // Fewer than eight pixels to an island may be refused, in words.
                Err(said) => {
                    println!("{what}: {said}");
                    assert!(truth.median_width_um < 8.0 * px_um, "{what}: {said}");
                    let fine = ["ground_photo.fine", "ground_photo.which_tone"];
                    assert!(fine.contains(&said.code), "{what}: {said}");
                }
            }
        }
    }
}

#[test]
fn soft_squeezed_scratched_shining_and_pale() {
    for (name, scene) in scenes(true) {
        let well = Taken::well(2.0);
        let dark = Taken { rosin: 90.0, copper: 180.0, ..well.clone() };
        let pale = Taken { rosin: 205.0, copper: 193.0, noise: 2.0, ..well.clone() };
        let kinds = [
            ("1 px soft", Taken { blur_um: 2.0, ..well.clone() }),
            ("2 px soft", Taken { blur_um: 4.0, ..dark.clone() }),
            ("corners at a third", Taken { vignette: 0.7, ..dark.clone() }),
            ("from one side", Taken { slope: 0.7, ..well.clone() }),
            ("JPEG 30", Taken { jpeg: 30, noise: 8.0, ..well.clone() }),
            ("burnishing lines", Taken { scratched: 1.0, ..well.clone() }),
            ("burnishing lines, dark", Taken { scratched: 1.0, ..dark.clone() }),
            ("glare", Taken { glare: 4, ..well.clone() }),
            ("glare, dark", Taken { glare: 4, ..dark.clone() }),
            ("white on bright copper", pale),
            (
                "all of it",
                Taken {
                    rosin: 190.0,
                    copper: 120.0,
                    vignette: 0.3,
                    slope: 0.2,
                    noise: 5.0,
                    blur_um: 2.0,
                    jpeg: 75,
                    scratched: 0.4,
                    glare: 2,
                    ..well
                },
            ),
        ];
        for (how, taken) in kinds {
            let reading = holds(&format!("{name}, {how}"), scene, &taken);
            let glare = reading.warnings.iter().any(|one| one.code == "ground_photo.glare");
            assert!(glare || taken.glare < 3, "{name}, {how}: glare is said");
        }
        // A lamp mirrored on every drop; dust is too fine to show it.
        if name != "dust" {
            holds(&format!("{name}, highlights"), scene, &Taken { glossy: true, ..dark });
        }
    }
}

#[test]
fn the_scale_is_told_by_a_ruler_by_a_pixel_or_by_the_width() {
    let (_, scene) = scenes(true)[1];
    let (photo, width_mm) = scene.photo(&Taken::well(2.0), 3);
    let read = |scale: Scale| {
        read_ground(&photo, &GroundShot { scale, ..shot(1.0) }).map(|(reading, _)| reading)
    };
    let across = read(Scale::Across(width_mm)).expect("readable").found;
    assert_eq!(read(Scale::Pixel(2.0)).expect("readable").found, across, "2 µm a pixel");
    // 3 : 4 : 5, 500 pixels apart: 1 mm.
    let marks = [(100.0, 700.0), (400.0, 300.0)];
    let of = |marks, mm| Scale::Ruler { marks, mm, within: true };
    let ruler = read(of(marks, 1.0)).expect("readable");
    assert!((ruler.found.px_um - 2.0).abs() < 1e-12, "{} µm a pixel", ruler.found.px_um);
    assert_eq!(ruler.found.cover, across.cover, "the same picture");
    assert!(
        ruler.warnings.iter().any(|one| one.code == "ground_photo.ruler"),
        "marks in what is read are said: {:?}",
        ruler.warnings
    );
    let beside = read(Scale::Ruler { marks, mm: 1.0, within: false }).expect("readable");
    assert!(beside.warnings.is_empty(), "a ruler in its own picture: {:?}", beside.warnings);
    let near = read(of([(100.0, 700.0), (140.0, 700.0)], 0.1)).expect_err("too near");
    assert!(near.to_string().contains("too near each other"), "{near}");
    for unknown in [0.0, -2.0, f64::NAN, f64::INFINITY, 3000.0] {
        for scale in [Scale::Across(unknown), Scale::Pixel(unknown), of(marks, unknown)] {
            let said = read(scale).expect_err("no scale").to_string();
            assert!(said.contains("scale is not known"), "{scale:?}: {said}");
        }
    }
}

#[test]
fn only_the_frame_is_read() {
    let (_, scene) = scenes(true)[2];
    let (mut grey, wide) = scene.codes(&Taken::well(2.0), 3);
    let high = grey.len() / wide;
    // A steel ruler along the lower third, black lines a tenth of a millimetre apart.
    for (at, code) in grey.iter_mut().enumerate() {
        if at / wide > high * 2 / 3 {
            *code = if at % wide % 50 < 4 { 30 } else { 220 };
        }
    }
    let photo = GroundPhoto::from_grey(grey.clone(), wide).expect("a picture");
    let low = high as f64 * 0.8;
    let scale = Scale::Ruler { marks: [(50.0, low), (1050.0, low)], mm: 2.0, within: true };
    let frame = Some([wide as f64, 0.0, 0.0, high as f64 * 0.66]);
    let (reading, mask) =
        read_ground(&photo, &GroundShot { scale, frame, ..shot(1.0) }).expect("readable");
    assert!((reading.found.px_um - 2.0).abs() < 1e-12, "{} µm", reading.found.px_um);
    assert!(reading.warnings.is_empty(), "nothing to say: {:?}", reading.warnings);
    assert_eq!((mask.corner, mask.width), ((0, 0), wide), "what was read");
    let part: Vec<u8> = grey[..mask.rosin.len()].to_vec();
    let alone = GroundPhoto::from_grey(part, wide).expect("a picture");
    let (alone, _) = read_ground(&alone, &shot(wide as f64 * 2e-3)).expect("readable");
    assert_eq!(reading.found, alone.found, "as if there were nothing else");

    // The round field of a loupe, black beside it: refused, and read within a frame.
    let (mut grey, wide) = scene.codes(&Taken::well(2.0), 3);
    for (at, code) in grey.iter_mut().enumerate() {
        let (x, y) = (at % wide, at / wide);
        let (x, y) = (x as f64 - 0.5 * wide as f64, y as f64 - 0.5 * high as f64);
        if x * x + y * y > 0.25 * (high * high) as f64 {
            *code = 8;
        }
    }
    let loupe = GroundPhoto::from_grey(grey, wide).expect("a picture");
    let whole = shot(wide as f64 * 2e-3);
    let said = read_ground(&loupe, &whole).expect_err("black corners").to_string();
    assert!(said.contains("Part of the picture is black"), "{said}");
    let (x, y, reach) = (0.5 * wide as f64, 0.5 * high as f64, 0.34 * high as f64);
    let frame = Some([x - reach, y - reach, x + reach, y + reach]);
    let (reading, mask) = read_ground(&loupe, &GroundShot { frame, ..whole }).expect("readable");
    let cover = scene.truth().cover;
    assert!((reading.found.cover - cover).abs() < 0.06, "{cover}: {reading:?}");
    assert_eq!(mask.corner.1, (y - reach).round() as usize, "where the frame lies");
    let small = GroundShot { frame: Some([10.0, 10.0, 90.0, 400.0]), ..whole };
    let said = read_ground(&loupe, &small).expect_err("too small").to_string();
    assert!(said.contains("draw the frame larger"), "{said}");
}

#[test]
fn pictures_of_something_else_are_refused() {
    let said = |what: &str, grey: Vec<u8>, width: usize| -> String {
        let photo = GroundPhoto::from_grey(grey, width).expect("a picture");
        match read_ground(&photo, &shot(4.0)) {
            Err(said) => {
                println!("{what}: {said}");
                said.to_string()
            }
            Ok((reading, _)) => panic!("{what} was read as {reading:?}"),
        }
    };
    // The harbour that the program draws, whole and in parts.
    let harbour = picture::harbour(1200, 1600);
    assert!(
        said("harbour", harbour.lightness.clone(), harbour.width)
            .contains("does not look like a ground"),
        "the whole of it"
    );
    for (x, y, wide, high) in
        [(0, 0, 600, 600), (300, 500, 600, 600), (0, 900, 1200, 700), (600, 200, 600, 500)]
    {
        let row = |row: usize| &harbour.lightness[row * harbour.width + x..][..wide];
        let part: Vec<u8> = (y..y + high).flat_map(row).copied().collect();
        said(&format!("harbour at {x}, {y}"), part, wide);
    }
    assert!(said("blank", vec![255; 800 * 600], 800).contains("two tones"), "blank");
    assert!(said("all black", vec![0; 800 * 600], 800).contains("two tones"), "black");
    let stripes = (0..800 * 600).map(|at| if at % 40 < 20 { 200 } else { 60 }).collect();
    assert!(said("stripes", stripes, 800).contains("Too few islands"), "etched lines");
    let halves = (0..800 * 600).map(|at| if at % 800 < 400 { 0 } else { 200 }).collect();
    assert!(said("half black", halves, 800).contains("is black"), "half of it black");
}
