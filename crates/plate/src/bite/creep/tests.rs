//! Rows one after another come to the same as all at once.

use super::{Creep, CreepScratch, creep_under_varnish};
use crate::resist::{ResistScratch, distance_under_resin};
use crate::{bite::DepthCurve, bite::depths, ground::Dome};

/// Numbers without a pattern, 0–1.
fn share(i: usize) -> f32 {
    (i as u32).wrapping_mul(2_654_435_761).rotate_left(13).wrapping_mul(2_246_822_519) as f32
        / u32::MAX as f32
}

#[test]
fn rows_in_bands_are_mended_as_in_one_go() {
    let (width, height, px_um, etch_factor) = (170, 137, 4.0, 1.3);
    let dose_um = [0.0, 4.0, 9.0, 22.0];
    let domes: Vec<Dome> = (0..90)
        .map(|i| Dome {
            x_um: share(3 * i) * width as f32 * px_um,
            y_um: share(3 * i + 1) * height as f32 * px_um,
            radius_um: 8.0 + 24.0 * share(3 * i + 2),
        })
        .collect();
    let mut under_um = Vec::new();
    let mut resist = ResistScratch::default();
    distance_under_resin(&domes, true, width, height, px_um, 60.0, &mut resist, &mut under_um);
    // Fields of a few dozen pixels, with borders that run with and across the bands.
    let field = |i: usize| (i % width + 7) / 41 + 5 * ((i / width + i % width / 9) / 37);
    let value: Vec<u8> =
        (0..width * height).map(|i| (4.0 * share(field(i) + 100)) as u8 % 4).collect();
    let curves = dose_um.map(|dose| DepthCurve::new(dose, etch_factor, px_um));
    let mut by_own = vec![0.0; width * height];
    depths(&under_um, &value, &curves, &mut by_own);

    let mut scratch = CreepScratch::default();
    let mut whole = by_own.clone();
    creep_under_varnish(
        &under_um,
        &value,
        &dose_um,
        px_um,
        etch_factor,
        width,
        height,
        &mut scratch,
        &mut whole,
    );
    assert_ne!(whole, by_own, "something creeps");
    for band_rows in [1, 8, 32, 100] {
        let mut depth = by_own.clone();
        let size = (width, height, px_um);
        let creep = Creep::new(&value, &dose_um, size, etch_factor, &mut scratch);
        let mut creep = creep.expect("there are borders");
        let mut rows = 0;
        while rows < height {
            rows = (rows + band_rows).min(height);
            creep.mend_so_far(&under_um[..rows * width], &mut depth);
        }
        assert_eq!(depth, whole, "bands of {band_rows} rows");
    }
}

#[test]
fn what_creeps_is_the_deepest_of_all_circles() {
    // Open copper, a deeper value to the right of column 61 and below row 44.
    let (width, height, px_um) = (83, 70, 4.0);
    for (dose_um, etch_factor) in [([1.0, 4.0, 22.0], 1.0), ([0.5, 1.5, 90.0], 1.5)] {
        let value: Vec<u8> = (0..width * height)
            .map(|i| if i % width > 61 && i / width > 44 { 2 } else { 1 })
            .collect();
        let under_um = vec![-3.0; width * height];
        let mut depth = vec![dose_um[1] as f32; width * height];
        let scratch = &mut CreepScratch::default();
        creep_under_varnish(
            &under_um,
            &value,
            &dose_um,
            px_um,
            etch_factor,
            width,
            height,
            scratch,
            &mut depth,
        );
        let undercut_um = dose_um[2] / etch_factor;
        for (i, &got) in depth.iter().enumerate().filter(|(i, _)| value[*i] == 1) {
            let (x, y) = (i % width, i / width);
            let away = |px: usize| f64::from(px_um) * (px as f64 - 0.5).max(0.0);
            let (x_um, y_um) = (away(62_usize.saturating_sub(x)), away(45_usize.saturating_sub(y)));
            let left = undercut_um * undercut_um - x_um * x_um - y_um * y_um;
            let want = dose_um[1].max(etch_factor * left.max(0.0).sqrt());
            assert!((f64::from(got) - want).abs() < 0.05, "{got} µm at {x}, {y}, not {want}");
        }
    }
}
