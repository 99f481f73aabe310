//! Which value goes where.

use picture::{ToneMap, ValueMap, harbour};
use plan::Crop;

const LEVELS: [f64; 3] = [80.0, 50.0, 20.0];

/// Tones that jump about: a fixed scramble of the place.
fn speckled(width: usize, height: usize) -> ToneMap {
    let lightness =
        (0..width * height).map(|i| (i.wrapping_mul(2_654_435_761) >> 9) as u8).collect();
    ToneMap::new(width, height, lightness)
}

fn fill(
    map: &ValueMap<'_>,
    at: (f64, f64),
    px: f32,
    size: (usize, usize),
    turned: bool,
) -> (Vec<u8>, bool) {
    let mut out = vec![99; 3];
    let one = map.fill(at.0, at.1, px, size.0, size.1, turned, &mut out);
    (out, one)
}

#[test]
fn a_threshold_belongs_to_the_darker_value() {
    for (tone, value) in
        [(255, 0), (205, 0), (204, 1), (128, 1), (127, 2), (52, 2), (51, 3), (0, 3)]
    {
        let tones = ToneMap::new(1, 1, vec![tone]);
        let map = ValueMap::new(&tones, Crop::default(), &LEVELS, 50.0, 50.0);
        assert_eq!(map.value_at(1e4, 1e4), value, "byte {tone} (L* {})", f64::from(tone) / 2.55);
        assert_eq!(
            fill(&map, (0.0, 0.0), 500.0, (3, 2), false),
            (vec![value; 6], true),
            "byte {tone}"
        );
    }
}

/// Closed form: between black and white pixels, L* 50 lies half way between their middles.
#[test]
fn borders_lie_where_the_interpolated_tone_passes() {
    let tones = ToneMap::new(2, 1, vec![0, 255]);
    let map = ValueMap::new(&tones, Crop::default(), &[50.0, 1.0], 100.0, 40.0);
    assert_eq!(map.value_at(49_999.0, 20_000.0), 1, "just left of the middle");
    assert_eq!(map.value_at(50_001.0, 20_000.0), 0, "just right of the middle");
    assert_eq!(map.value_at(-1e9, 0.0), 2, "beyond the left edge the edge goes on");
    assert_eq!(map.value_at(1e9, 1e9), 0, "beyond the right edge the edge goes on");
}

#[test]
fn rasters_agree_with_single_places() {
    let levels = [90.0, 80.0, 69.0, 58.0, 47.0, 37.0, 28.0];
    let crop = Crop { left: 0.1, top: 0.05, width: 0.8, height: 0.9 };
    let drawing = harbour(300, 400);
    let speckles = speckled(211, 97);
    let line = speckled(1, 31);
    for (name, tones) in [("harbour", &drawing), ("speckles", &speckles), ("one column", &line)] {
        let map = ValueMap::new(tones, crop, &levels, 30.0, 40.0);
        // From far finer than the picture's pixels to coarser; windows hang over the edges.
        for (px, left, top) in
            [(3.7_f32, -20, 900), (12.0, 1900, 700), (90.0, -3, 400), (700.0, -5, 10)]
        {
            let (width, height) = (301, 53);
            let at = (f64::from(left) * f64::from(px), f64::from(top) * f64::from(px));
            for turned in [false, true] {
                let (values, one) = fill(&map, at, px, (width, height), turned);
                for j in 0..height {
                    for i in 0..width {
                        let x = at.0 + (i as f64 + 0.5) * f64::from(px);
                        let y = at.1 + (j as f64 + 0.5) * f64::from(px);
                        let x = if turned { 30_000.0 - x } else { x };
                        let (found, single) = (values[j * width + i], map.value_at(x, y));
                        assert_eq!(
                            found, single,
                            "{name}, {px} µm, turned {turned}, pixel {i}, {j}"
                        );
                    }
                }
                assert_eq!(one, values.iter().all(|v| *v == values[0]), "{name}: one value only");
            }
        }
    }
}

#[test]
fn windows_agree_where_they_overlap() {
    let tones = speckled(400, 300);
    let map = ValueMap::new(&tones, Crop::default(), &LEVELS, 80.0, 60.0);
    for px in [4.233_f32, 63.0, 400.0] {
        let at = |k: i32| f64::from(k) * f64::from(px);
        let (whole, _) = fill(&map, (at(7), at(11)), px, (200, 90), true);
        let (part, _) = fill(&map, (at(7 + 37), at(11 + 20)), px, (23, 15), true);
        for j in 0..15 {
            let row = &whole[(j + 20) * 200 + 37..][..23];
            assert_eq!(row, &part[j * 23..][..23], "{px} µm, row {j}");
        }
    }
}

#[test]
fn shares_count_every_pixel_of_the_crop() {
    let tones = ToneMap::new(4, 2, vec![255, 255, 130, 0, 255, 60, 130, 0]);
    let right = Crop { left: 0.5, top: 0.0, width: 0.5, height: 1.0 };
    let shares = |crop| ValueMap::new(&tones, crop, &LEVELS, 50.0, 25.0).area_shares();
    assert_eq!(shares(Crop::default()), [0.375, 0.25, 0.125, 0.25], "the whole picture");
    assert_eq!(shares(right), [0.0, 0.5, 0.0, 0.5], "its right half");
}

#[test]
fn the_overview_agrees_with_single_places() {
    let tones = harbour(300, 400);
    let map = ValueMap::new(&tones, Crop::default(), &LEVELS, 150.0, 200.0);
    let overview = map.coarse(60, 80);
    for (i, value) in overview.iter().enumerate() {
        let at = |k: usize, count: f64, size: f64| (k as f64 + 0.5) / count * size;
        let single = map.value_at(at(i % 60, 60.0, 150_000.0), at(i / 60, 80.0, 200_000.0));
        assert_eq!(*value, single, "overview pixel {i}");
    }
}
