//! Reading pictures: alpha, crop and area means in linear light.

use picture::{MOST_SIDE, PictureError, Pixels, Reading, ToneMap, ValueMap, Window, read};
use plan::Crop;
use plate::light::{lightness, linear_of_srgb};
use proptest::prelude::*;

/// Luminance of a pixel over white paper, straight from the standards.
fn luminance([red, green, blue, alpha]: [u8; 4]) -> f64 {
    let linear = |code: u8| linear_of_srgb(f64::from(code) / 255.0);
    let own = 0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue);
    let covered = f64::from(alpha) / 255.0;
    covered * own + (1.0 - covered)
}

/// Bytes of lightness that a mean luminance may become: it is a whole number of 24 bits, then one of
/// 65536 steps, then a byte.
fn near(byte: u8, luminance: f64) -> bool {
    let exact = |luminance: f64| lightness(luminance.clamp(0.0, 1.0)) * 2.55;
    let step = 1.5 / 65536.0;
    let found = f64::from(byte);
    found >= exact(luminance - step) - 0.501 && found <= exact(luminance + step) + 0.501
}

/// Any bytes, the same every time.
fn noise(bytes: usize, seed: u32) -> Vec<u8> {
    let mut state = seed.wrapping_mul(0x9E37_79B9) | 1;
    let mut next = || {
        state ^= state << 13;
        state ^= state >> 17;
        state ^= state << 5;
        (state >> 11) as u8
    };
    (0..bytes).map(|_| next()).collect()
}

#[test]
fn a_small_picture_keeps_its_own_pixels() {
    let (width, height) = (MOST_SIDE, 3);
    let rgba = noise(4 * width * height, 7);
    let crop = Crop { left: 0.4, top: 0.1, width: 0.2, height: 0.5 };
    let tones = read(&Pixels { width, height, rgba: &rgba }, Window::of(width, height, crop));
    assert_eq!(
        tones,
        ToneMap::from_rgba(&rgba, width, height),
        "pixel by pixel, whatever the crop"
    );
}

/// Closed form: of hatching half black and half white half of the light comes back, L* 76.07.
#[test]
fn hatching_reads_as_its_mean_light() {
    let (width, height) = (2 * MOST_SIDE, 4);
    let rgba: Vec<u8> = [[0, 0, 0, 255], [255; 4]].concat().repeat(width * height / 2);
    let pixels = Pixels { width, height, rgba: &rgba };
    let tones = read(&pixels, Window::whole(width, height)).expect("a picture");
    assert_eq!((tones.width, tones.height), (MOST_SIDE, 2), "half as large");
    let expected = (76.07 * 2.55_f64).round() as u8;
    assert!(tones.lightness.iter().all(|tone| *tone == expected), "{:?}", &tones.lightness[..4]);
}

/// A crop of half the width has all the pixels of a picture twice [`MOST_SIDE`] wide, and the same
/// values lie in the same places as when the map is the whole picture.
#[test]
fn a_close_crop_lies_on_the_plate_as_the_whole_picture_would() {
    let (width, height) = (2 * MOST_SIDE, 60);
    let rgba: Vec<u8> = (0..width * height)
        .flat_map(|at| {
            let grey = ((at % width) * 7 % 256).midpoint(4 * (at / width)) as u8;
            [grey, grey, grey, 255]
        })
        .collect();
    let whole = ToneMap::from_rgba(&rgba, width, height).expect("a picture");
    let crop = Crop { left: 0.31, top: 0.25, width: 0.4, height: 0.5 };
    let pixels = Pixels { width, height, rgba: &rgba };
    let close = read(&pixels, Window::of(width, height, crop)).expect("a part");
    assert!(close.width < whole.width && close.height < height, "only a part is read");
    let values =
        |tones| ValueMap::new(tones, crop, &[70.0, 45.0, 20.0], 192.0, 3.0).coarse(1920, 30);
    let (of_close, of_whole) = (values(&close), values(&whole));
    assert!(of_close.contains(&0) && of_close.contains(&3), "values from light to dark");
    assert_eq!(of_close, of_whole, "the same values");
}

#[test]
fn portions_do_not_matter_and_every_row_is_asked_for() {
    let (width, height) = (9, MOST_SIDE + 41);
    let rgba = noise(4 * width * height, 3);
    let window = Window::whole(width, height);
    let at_once = read(&Pixels { width, height, rgba: &rgba }, window).expect("a picture");
    let mut reading = Reading::new(width, height, window).expect("a picture");
    for rows in rgba.chunks(4 * width * 17) {
        reading.rows(rows).expect("whole rows");
    }
    assert_eq!(reading.clone().finish().expect("all rows"), at_once, "row by row, the same");
    assert!(reading.rows(&rgba[..4 * width]).is_err(), "a row too many");
    let mut short = Reading::new(width, height, window).expect("a picture");
    assert!(short.rows(&rgba[..10]).is_err(), "not a whole row");
    assert!(short.finish().is_err(), "no rows at all");
    let empty = Reading::new(0, 7, window).err();
    assert_eq!(empty, Some(PictureError::Empty { width: 0, height: 7 }), "no columns");
    assert!(Reading::new(usize::MAX, 2, window).is_err(), "more than can be summed");
}

/// Closed form: half the light of white is sRGB code 188; clear parts are paper in colour, too.
#[test]
fn the_small_picture_in_colour_has_the_mean_light() {
    let row = |pair: [[u8; 4]; 2]| pair.concat().repeat(20);
    let rgba = [
        row([[255, 0, 0, 255], [0, 0, 0, 255]]),
        row([[255, 0, 255, 255], [0, 0, 255, 255]]),
        row([[9, 8, 7, 0], [200, 0, 0, 0]]),
    ]
    .concat();
    let mut reading = Reading::new(40, 3, Window::whole(40, 3)).expect("a picture");
    reading.show(20, 3);
    reading.rows(&rgba).expect("all rows");
    let shown = reading.shown();
    assert_eq!(shown.len(), 4 * 20 * 3, "as large as was asked for");
    assert_eq!(shown[..4], [188, 0, 0, 255], "half the red light");
    assert_eq!(shown[4 * 20..][..4], [188, 0, 255, 255], "blue beside it");
    assert_eq!(shown[4 * 59..], [255; 4], "paper");
    assert_eq!(
        reading.finish().expect("tones").lightness.len(),
        40 * 3,
        "the tones are as they were"
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    /// The window lies in the picture, holds what the crop touches, and its map is no finer than it.
    #[test]
    fn a_window_holds_its_crop(
        (width, height) in (1_usize..20_000, 1_usize..20_000),
        (left, top, across, down) in (0.0..1.0_f64, 0.0..1.0_f64, 0.0..1.0_f64, 0.0..1.0_f64),
    ) {
        let crop = Crop { left, top, width: across * (1.0 - left), height: down * (1.0 - top) };
        let window = Window::of(width, height, crop);
        prop_assert!(window.width > 0 && window.left + window.width <= width, "{window:?}");
        prop_assert!(window.height > 0 && window.top + window.height <= height, "{window:?}");
        let within = |from: f64, size: f64, first: usize, count: usize, side: usize| {
            first as f64 <= from * side as f64 + 1e-6
                && (first + count) as f64 >= (from + size) * side as f64 - 1e-6
        };
        prop_assert!(within(crop.left, crop.width, window.left, window.width, width), "{window:?}");
        prop_assert!(within(crop.top, crop.height, window.top, window.height, height), "{window:?}");
        prop_assert!(window.columns >= 1 && window.columns <= window.width.min(MOST_SIDE + 4), "{window:?}");
        prop_assert!(window.rows >= 1 && window.rows <= window.height.min(MOST_SIDE + 4), "{window:?}");
    }

    /// Every pixel of the map is the mean light under it, reckoned here straight from its definition.
    #[test]
    fn every_pixel_is_the_mean_light_under_it(
        width in MOST_SIDE + 1..4 * MOST_SIDE, height in 1_usize..7, seed in any::<u32>(),
        clear in any::<bool>(),
    ) {
        let mut rgba = noise(4 * width * height, seed);
        if !clear {
            rgba.iter_mut().skip(3).step_by(4).for_each(|alpha| *alpha = 255);
        }
        let light: Vec<f64> = rgba.as_chunks().0.iter().map(|pixel| luminance(*pixel)).collect();
        let tones = read(&Pixels { width, height, rgba: &rgba }, Window::whole(width, height))
            .expect("a picture");
        let spans = |pixels: usize, map: usize, at: usize| {
            let side = pixels as f64 / map as f64;
            let (from, until) = (at as f64 * side, (at + 1) as f64 * side);
            (from as usize..(until.ceil() as usize).min(pixels))
                .map(move |x| (x, (until.min((x + 1) as f64) - from.max(x as f64)).max(0.0) / side))
                .collect::<Vec<_>>()
        };
        for row in 0..tones.height {
            for column in (0..tones.width).step_by(97) {
                let mut mean = 0.0;
                for (y, of_row) in spans(height, tones.height, row) {
                    for (x, of_column) in spans(width, tones.width, column) {
                        mean += of_row * of_column * light[y * width + x];
                    }
                }
                let byte = tones.lightness[row * tones.width + column];
                prop_assert!(near(byte, mean), "{byte} at {column}, {row} for a light of {mean}");
            }
        }
    }

    /// An alpha of 0 is paper, whatever colour lies under it.
    #[test]
    fn what_is_clear_is_paper(colours in prop::collection::vec(any::<[u8; 3]>(), 1..40)) {
        let rgba: Vec<u8> = colours.iter().flat_map(|[r, g, b]| [*r, *g, *b, 0]).collect();
        let (width, height) = (colours.len(), 1);
        let tones = read(&Pixels { width, height, rgba: &rgba }, Window::whole(width, height));
        prop_assert!(tones.expect("a picture").lightness.iter().all(|tone| *tone == 255));
    }
}
