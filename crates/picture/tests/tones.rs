//! Reading pictures, cropping them, and proposing thresholds.

use picture::{PictureError, ToneMap, crop_to_plate, fit_crop, suggest_thresholds};
use plan::{Bite, Crop, Plan};

fn lightness(pixel: [u8; 4]) -> f64 {
    let tones = ToneMap::from_rgba(&pixel, 1, 1).expect("one pixel is a picture");
    f64::from(tones.lightness[0]) / 2.55
}

/// L* of sRGB colours: IEC 61966-2-1 decoding, Rec. 709 luminance, CIE 15 lightness. The values
/// are those of the published CIELAB coordinates of the sRGB primaries (D65): red 53.24,
/// green 87.73, blue 32.30; grey 119 is 50.03. The byte rounds to 0.2.
#[test]
fn known_colours_have_their_lightness() {
    for (colour, expected) in [
        ([0, 0, 0], 0.0),
        ([255, 255, 255], 100.0),
        ([119, 119, 119], 50.03),
        ([255, 0, 0], 53.24),
        ([0, 255, 0], 87.73),
        ([0, 0, 255], 32.30),
    ] {
        let found = lightness([colour[0], colour[1], colour[2], 255]);
        assert!((found - expected).abs() < 0.21, "L* of {colour:?} is {found}, not {expected}");
    }
}

/// Closed form: half-clear black over white throws back 1 − 128/255 of the light.
#[test]
fn clear_parts_are_paper() {
    assert_eq!(lightness([0, 0, 0, 0]), 100.0, "clear black is paper");
    assert_eq!(lightness([255, 255, 255, 128]), 100.0, "half-clear white is paper");
    let luminance: f64 = 1.0 - 128.0 / 255.0;
    let expected = 116.0 * libm::cbrt(luminance) - 16.0;
    let found = lightness([0, 0, 0, 128]);
    assert!((found - expected).abs() < 0.21, "half-clear black is {found}, not {expected}");
}

#[test]
fn every_grey_reads_back_and_gets_no_darker_with_light() {
    let greys: Vec<u8> = (0..=255).flat_map(|g| [g, g, g, 255]).collect();
    let tones = ToneMap::from_rgba(&greys, 256, 1).expect("a row of greys");
    assert!(tones.lightness.is_sorted(), "lightness rises with the code");
    for (code, back) in tones.to_rgba().chunks(4).enumerate() {
        // A byte of L* is up to two codes of sRGB in the lights.
        assert!(code.abs_diff(back[0] as usize) <= 2, "grey {code} comes back as {}", back[0]);
    }
    assert_eq!(tones.histogram().iter().sum::<u32>(), 256, "every pixel is counted once");
    // Closed form: code 253 is L* 99.31, code 254 is L* 99.65.
    assert_eq!(tones.histogram()[100], 2, "codes 254 and 255 round to L* 100");
}

#[test]
fn unusable_pictures_are_refused_in_plain_words() {
    let empty = ToneMap::from_rgba(&[], 0, 7).expect_err("no columns");
    assert_eq!(empty, PictureError::Empty { width: 0, height: 7 }, "named as empty");
    let short = ToneMap::from_rgba(&[0; 12], 2, 2).expect_err("three pixels for four");
    assert_eq!(
        short.to_string(),
        "The picture is said to be 2 × 2 pixels but holds 12 bytes instead of 16. Save it again in its program, then choose it here.",
        "says what, where and what to do"
    );
    for (width, height) in [(10_000, 5_001), (usize::MAX, 2)] {
        let large = ToneMap::from_rgba(&[], width, height).expect_err("too large");
        assert_eq!(large, PictureError::TooLarge { width, height }, "named as too large");
    }
}

#[test]
fn crops_take_the_plate_s_shape_and_stay_inside() {
    // Closed form: a 3:4 plate takes 9/16 of the width of a 4:3 picture.
    let crop = crop_to_plate(4000, 3000, 150.0, 200.0);
    assert_eq!((crop.top, crop.height), (0.0, 1.0), "full height");
    assert!((crop.width - 0.5625).abs() < 1e-12, "width {}", crop.width);
    assert!((crop.left - 0.21875).abs() < 1e-12, "left {}", crop.left);

    let odd = [
        Crop { left: 0.9, top: 0.9, width: 0.4, height: 0.1 },
        Crop { left: -3.0, top: f64::NAN, width: 0.0, height: 9.0 },
        Crop { left: 0.2, top: 0.1, width: 0.3, height: 0.6 },
        Crop::default(),
    ];
    for crop in odd {
        for (width, height) in [(4000, 3000), (1, 1), (10_000, 20), (3, 5000)] {
            for plate in [(150.0, 200.0), (600.0, 20.0), (20.0, 600.0)] {
                let fitted = fit_crop(crop, width, height, plate.0, plate.1);
                let mut plan = Plan::default();
                plan.picture.crop = fitted;
                assert!(plan.problems().is_empty(), "{fitted:?}: {:?}", plan.problems());
                let shape = fitted.width * width as f64 / (fitted.height * height as f64);
                let stretched = fitted.width <= 0.01 || fitted.height <= 0.01;
                let close = (shape / (plate.0 / plate.1) - 1.0).abs() < 1e-9;
                assert!(close || stretched, "{fitted:?} of {width} × {height} for {plate:?}");
            }
        }
    }
    let small = fit_crop(odd[2], 1000, 1000, 100.0, 100.0);
    assert!((small.width * small.height - 0.18).abs() < 1e-12, "area is kept: {small:?}");
    assert!((small.left + small.width / 2.0 - 0.35).abs() < 1e-12, "middle is kept: {small:?}");
}

fn picture_of(tones: &[u8]) -> ToneMap {
    ToneMap { width: tones.len(), height: 1, lightness: tones.to_vec() }
}

#[test]
fn suggested_thresholds_suit_every_plan() {
    let ramp: Vec<u8> = (0..=255).collect();
    for tones in
        [&[0_u8][..], &[255], &[128; 40], &[0, 255], &[100, 101, 102], &ramp, &[250, 250, 3]]
    {
        for values in plan::MIN_VALUES..=plan::MAX_VALUES {
            let levels = suggest_thresholds(&picture_of(tones), Crop::default(), values);
            let bites = vec![Bite { bite_min: 1.0 }; values];
            let mut plan = Plan { bites, ..Plan::default() };
            plan.picture.thresholds_l = levels.clone();
            assert!(plan.problems().is_empty(), "{tones:?}, {values}: {levels:?}");
            assert!(levels.iter().all(|l| (l * 2.0).fract() == 0.0), "steps of 0.5: {levels:?}");
            assert!(levels[0] < 100.0, "white stays paper: {levels:?}");
        }
    }
}

/// Closed form: equal weights on every tone are parted into equal runs.
#[test]
fn an_even_ramp_is_parted_evenly() {
    let ramp: Vec<u8> = (0..=255).collect();
    let levels = suggest_thresholds(&picture_of(&ramp), Crop::default(), 7);
    for (i, level) in levels.iter().enumerate() {
        let even = 100.0 * (7 - i) as f64 / 8.0;
        assert!((level - even).abs() <= 0.5, "threshold {} is {level}, not {even}", i + 1);
    }
}

#[test]
fn separate_tones_are_told_apart() {
    let levels =
        suggest_thresholds(&picture_of(&[240, 240, 150, 150, 150, 30]), Crop::default(), 2);
    // Closed form: half way between 240 and 150, and between 150 and 30, in L*.
    assert_eq!(levels, [76.5, 35.5], "half way between the tones");
}
