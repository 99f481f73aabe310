//! Reading pictures, cropping them, and proposing thresholds.

use picture::{
    Frame, PictureError, ToneMap, crop_of_lines, crop_to_plate, fit_thresholds, plate_like_picture,
};
use plan::{Bite, Crop, Picture, Plan};

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
        for (width, height) in [(4000_u16, 3000_u16), (1, 1), (10_000, 20), (3, 5000)] {
            for plate in [(150.0, 200.0), (600.0, 20.0), (20.0, 600.0)] {
                let picture = (f64::from(width), f64::from(height));
                let fitted =
                    Frame::new(picture, plate).fitted(crop, &Frame::new(picture, (50.0, 100.0)));
                let mut plan = Plan::default();
                plan.picture.crop = fitted;
                assert!(plan.problems().is_empty(), "{fitted:?}: {:?}", plan.problems());
                let shape = fitted.width * picture.0 / (fitted.height * picture.1);
                let stretched = fitted.width <= 0.01 || fitted.height <= 0.01;
                let close = (shape / (plate.0 / plate.1) - 1.0).abs() < 1e-9;
                assert!(close || stretched, "{fitted:?} of {width} × {height} for {plate:?}");
            }
        }
    }
    // Of the widest crop of a plate twice as high as wide, 0.5, this is 0.6; so it is of the square one's.
    let narrow = Frame::new((1000.0, 1000.0), (50.0, 100.0));
    let square = Frame::new((1000.0, 1000.0), (100.0, 100.0));
    let small = square.fitted(odd[2], &narrow);
    assert!((small.width - 0.6).abs() < 1e-12, "closeness is kept: {small:?}");
    assert!(
        (square.closeness(small) - narrow.closeness(odd[2])).abs() < 1e-12,
        "and told: {small:?}"
    );
    assert_eq!(
        square.fitted(narrow.widest(), &narrow),
        square.widest(),
        "the widest stays the widest"
    );
    assert!((small.left + small.width / 2.0 - 0.35).abs() < 1e-12, "middle is kept: {small:?}");
}

/// So many values, and the paper, that print in equal steps of L* from white.
fn even(values: usize) -> Vec<f64> {
    (0..=values).map(|value| 100.0 - 100.0 * value as f64 / (values + 1) as f64).collect()
}

fn picture_of(tones: &[u8]) -> ToneMap {
    ToneMap::new(tones.len(), 1, tones.to_vec())
}

#[test]
fn suggested_thresholds_suit_every_plan() {
    let ramp: Vec<u8> = (0..=255).collect();
    for tones in
        [&[0_u8][..], &[255], &[128; 40], &[0, 255], &[100, 101, 102], &ramp, &[250, 250, 3]]
    {
        for values in plan::MIN_VALUES..=plan::MAX_VALUES {
            let levels =
                fit_thresholds(&picture_of(tones), &Picture::default(), &even(values)).thresholds_l;
            let bites = vec![Bite { bite_min: 1.0 }; values];
            let mut plan = Plan { bites, ..Plan::default() };
            plan.picture.thresholds_l = levels.clone();
            assert!(plan.problems().is_empty(), "{tones:?}, {values}: {levels:?}");
            assert!(levels.iter().all(|l| (l * 2.0).fract() == 0.0), "steps of 0.5: {levels:?}");
            assert!(levels[0] < 100.0, "white stays paper: {levels:?}");
        }
    }
}

/// Closed form: every tone goes to the value that prints nearest to it.
#[test]
fn an_even_ramp_is_parted_evenly() {
    let ramp: Vec<u8> = (0..=255).collect();
    let levels = fit_thresholds(&picture_of(&ramp), &Picture::default(), &even(7)).thresholds_l;
    for (i, level) in levels.iter().enumerate() {
        let even = 100.0 * (7.5 - i as f64) / 8.0;
        assert!((level - even).abs() <= 0.5, "threshold {} is {level}, not {even}", i + 1);
    }
}

#[test]
fn separate_tones_are_told_apart() {
    let picture = picture_of(&[240, 240, 150, 150, 150, 30]);
    let levels = fit_thresholds(&picture, &Picture::default(), &[100.0, 60.0, 10.0]).thresholds_l;
    // Closed form: half way between 240 and 150, and between 150 and 30, in L*.
    assert_eq!(levels, [76.5, 35.5], "half way between the tones");
}

#[test]
fn plates_and_lines_take_a_picture_s_shape() {
    // Closed form: 150 × 200 mm is 30 000 mm²; 3:2 of it is 212.1 × 141.4.
    assert_eq!(plate_like_picture((3000.0, 2000.0), (150.0, 200.0)), (212.0, 141.0), "3:2");
    assert_eq!(
        plate_like_picture((9000.0, 10.0), (600.0, 600.0)),
        (600.0, 20.0),
        "as far as plates go"
    );
    let crop = Crop { left: 0.1, top: 0.2, width: 0.5, height: 0.4 };
    let plate = (150.0, 200.0);
    let of = |lines_px| crop_of_lines(lines_px, (1000.0, 800.0), crop, plate);
    assert_eq!(of((2005.0, 1600.0)), crop, "one drawing in two layers");
    assert_eq!(
        of((1000.0, 1000.0)),
        Frame::new((1.0, 1.0), plate).widest(),
        "a drawing of its own"
    );
    let frame = Frame::new((1000.0, 1000.0), (100.0, 100.0));
    let wide = |width| Crop { width, ..crop };
    assert!(frame.fits(wide(0.41)) && !frame.fits(wide(0.42)), "within 3 %");
    assert!(frame.keeps_shape(wide(0.403)) && !frame.keeps_shape(wide(0.405)), "within 1 %");
    // By hand no closer than a twentieth, and never over the edge.
    let close = frame.at((0.99, 0.0), 0.001);
    assert_eq!((close.width, close.height, close.top), (0.05, 0.05, 0.0), "{close:?}");
    assert!((close.left - 0.95).abs() < 1e-12, "{close:?}");
}
