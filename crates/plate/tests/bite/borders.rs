//! Stop-out borders (bite.md §5, rows 16 and 17).

use crate::boolean::{boolean_ground, evenly};
use plate::bite::{CreepScratch, DepthCurve, creep_under_varnish, depth_field};
use plate::ground::Dome;
use plate::resist::{BoundedScratch, ResistScratch, bounded_distance_px, distance_under_resin};
use rand::SeedableRng;
use rand_pcg::Pcg32;

/// Depth by own value, then mended at the borders.
fn bitten(
    under: &[f32],
    value: &[u8],
    dose: &[f64],
    px: f32,
    etch_factor: f64,
    width: usize,
) -> Vec<f32> {
    let curves: Vec<DepthCurve> =
        dose.iter().map(|&dose| DepthCurve::new(dose, etch_factor, px)).collect();
    let mut depth = Vec::new();
    depth_field(under, value, &curves, &mut depth);
    let mut scratch = CreepScratch::default();
    let height = under.len() / width;
    creep_under_varnish(
        under,
        value,
        dose,
        px,
        etch_factor,
        width,
        height,
        &mut scratch,
        &mut depth,
    );
    depth
}

#[test]
fn creep_under_the_varnish_along_a_line() {
    // Row 16, geometry: bare copper, R 8 beside R 12, etch factor 1, pixels of 1 µm.
    let (width, height, border) = (100, 40, 50);
    let value: Vec<u8> =
        (0..width * height).map(|i| if i % width < border { 1 } else { 2 }).collect();
    let depth = bitten(&vec![-1.0; width * height], &value, &[0.0, 8.0, 12.0], 1.0, 1.0, width);
    for row in depth.chunks(width) {
        // Pixel centres lie half a µm off whole distances from the line.
        let at = |um: f64| f64::from(row[(border as f64 - um) as usize]);
        assert_eq!(row[border], 12.0, "the deeper value has its own depth");
        let there = 0.5 * (at(7.5) + at(8.5));
        assert!((there - 8.944).abs() < 0.04, "depth 8 µm off the line: {there}");
        for um in [0.5, 3.5, 6.5, 8.5] {
            let want = (144.0_f64 - um * um).sqrt();
            // Whole numbers of 16 bits: far less than an eye could see.
            assert!((at(um) - want).abs() < 1e-3, "{} at {um} µm, not {want}", at(um));
        }
        let crept = row[..border].iter().filter(|&&depth| depth > 8.0 + 1e-6).count();
        assert!((crept as f64 - 8.944).abs() <= 0.5, "creep ends after {crept} µm");
        assert_eq!(row[border - 12], 8.0, "beyond its reach the lighter value is its own");
    }
}

#[test]
fn one_pass_equals_the_transform_class_by_class() {
    // Row 17, Felzenszwalb & Huttenlocher 2012: quarters of µm², of which both lose no more than the
    // whole numbers do in which the one pass reckons, the 32 000th part of the deepest undercut's square each.
    let mut random = Pcg32::seed_from_u64(31);
    for (width, height) in [(70, 75), (33, 20), (9, 64)] {
        let pixels = width * height;
        let open: Vec<bool> = (0..pixels).map(|_| evenly(&mut random) < 0.12).collect();
        let under: Vec<f32> = open.iter().map(|&open| if open { -1.0 } else { 1e6 }).collect();
        let patch = |i: usize| (i % width / 11 + i / width / 13) % 4;
        let value: Vec<u8> = (0..pixels).map(|i| patch(i) as u8).collect();
        for (etch_factor, dose) in [(1.0, [0.0, 3.0, 7.0, 12.0]), (2.0, [0.0, 4.0, 6.0, 20.0])] {
            let got = bitten(&under, &value, &dose, 1.0, etch_factor, width);
            // Where no deeper value is in reach a value's own curve is left alone.
            let meets_deeper = |i: usize| {
                (0..pixels).any(|p| {
                    let undercut = dose[usize::from(value[p])] / etch_factor;
                    let (dx, dy) =
                        ((i % width).abs_diff(p % width), (i / width).abs_diff(p / width));
                    value[p] > value[i] && dx.max(dy) as f64 <= undercut + 0.5
                })
            };
            for i in (0..pixels).filter(|&i| meets_deeper(i)) {
                let mut best = 0.0_f64;
                for p in (0..pixels).filter(|&p| open[p]) {
                    // From the pixel's centre to the square that lies open.
                    let gap = |a: usize, b: usize| (a.abs_diff(b) as f64 - 0.5).max(0.0);
                    let dx = gap(i % width, p % width);
                    let dy = gap(i / width, p / width);
                    let undercut = dose[usize::from(value[p])] / etch_factor;
                    best = best.max(undercut * undercut - dx * dx - dy * dy);
                }
                let got = f64::from(got[i]) / etch_factor;
                let deepest = dose[3] / etch_factor;
                let close = 3.0 / 32_000.0 * deepest * deepest;
                assert!((got * got - best).abs() < close, "pixel {i}: {got}², not {best} µm²");
            }
        }
    }
}

/// Mean depth in strips of `strip_um` across, by a raster so fine that pixels do not matter: every
/// value's open copper transformed by itself.
fn strips_by_fine_raster(
    domes: &[Dome],
    value_at: &dyn Fn(f32) -> usize,
    dose: &[f64],
    etch_factor: f64,
    side_um: f32,
    strip_um: f32,
) -> Vec<f64> {
    let px = 0.5_f32;
    let side = (side_um / px) as usize;
    let (mut scratch, mut under) = (ResistScratch::default(), Vec::new());
    distance_under_resin(domes, true, side, side, px, 40.0, &mut scratch, &mut under);
    let mut depth = vec![0.0_f32; side * side];
    for (class, &dose) in dose.iter().enumerate().filter(|(_, dose)| **dose > 0.0) {
        let closed: Vec<u8> = (0..side * side)
            .map(|i| {
                let x = ((i % side) as f32 + 0.5) * px;
                u8::from(under[i] > 0.0 || value_at(x) != class)
            })
            .collect();
        let (mut bounded, mut far) = (BoundedScratch::default(), Vec::new());
        bounded_distance_px(&closed, side, side, 80, &mut bounded, &mut far);
        for (depth, &far) in depth.iter_mut().zip(&far) {
            let s = (f64::from(far) - 0.5).max(0.0) * f64::from(px);
            let undercut = dose / etch_factor;
            let here = etch_factor * (undercut * undercut - s * s).max(0.0).sqrt();
            *depth = depth.max(here as f32);
        }
    }
    strip_means(&depth, side, (strip_um / px) as usize)
}

fn strip_means(depth: &[f32], width: usize, strip: usize) -> Vec<f64> {
    let mut means = vec![0.0; width / strip];
    let height = depth.len() / width;
    for row in depth.chunks(width) {
        for (x, &d) in row.iter().enumerate() {
            means[x / strip] += f64::from(d) / (strip * height) as f64;
        }
    }
    means
}

#[test]
fn borders_on_a_real_ground_match_a_fine_raster() {
    let (px, side) = (4.0_f32, 150);
    let side_um = px * side as f32;
    let domes = boolean_ground(f64::from(side_um), 14.0, 0.35, 0.5, 17);
    let (mut scratch, mut under) = (ResistScratch::default(), Vec::new());
    distance_under_resin(&domes, true, side, side, px, 40.0, &mut scratch, &mut under);
    // Paper | 20 µm | 6 µm, in thirds.
    let value_at = |x: f32| {
        if x < 200.0 {
            0
        } else if x < 400.0 {
            2
        } else {
            1
        }
    };
    let value: Vec<u8> =
        (0..side * side).map(|i| value_at(((i % side) as f32 + 0.5) * px) as u8).collect();
    let dose = [0.0, 6.0, 20.0];
    for etch_factor in [1.0, 2.0] {
        let depth = bitten(&under, &value, &dose, px, etch_factor, side);
        let got = strip_means(&depth, side, 5);
        let want = strips_by_fine_raster(&domes, &value_at, &dose, etch_factor, side_um, 20.0);
        let mut unmended = Vec::new();
        let curves: Vec<DepthCurve> =
            dose.iter().map(|&dose| DepthCurve::new(dose, etch_factor, px)).collect();
        depth_field(&under, &value, &curves, &mut unmended);
        let before = strip_means(&unmended, side, 5);
        // 0.8 µm over a strip of 20 µm, 20 µm deep: the line stands within 0.8 µm, a fifth of a pixel.
        let off = |of: &[f64]| of.iter().zip(&want).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        assert!(off(&got) < 0.8, "strips off by {} µm: {got:?}, not {want:?}", off(&got));
        assert!(off(&before) > 2.0 * off(&got), "mending {} to {} µm", off(&before), off(&got));
    }
}

#[test]
fn away_from_borders_nothing_changes() {
    let (px, side) = (4.0_f32, 128);
    let domes = boolean_ground(512.0, 14.0, 0.35, 0.5, 19);
    let (mut scratch, mut under) = (ResistScratch::default(), Vec::new());
    distance_under_resin(&domes, true, side, side, px, 40.0, &mut scratch, &mut under);
    let dose = [0.0, 5.0, 16.0];
    let one = bitten(&under, &vec![2; side * side], &dose, px, 1.0, side);
    let value: Vec<u8> = (0..side * side).map(|i| if i % side < 20 { 1 } else { 2 }).collect();
    let two = bitten(&under, &value, &dose, px, 1.0, side);
    for y in 0..side {
        // Twice the undercut off the line every nearest edge is the value's own.
        for x in 32..side {
            let (a, b) = (one[y * side + x], two[y * side + x]);
            let raised = (b - a).abs();
            assert!(raised < 1e-6, "at {x}, {y}: {a} alone, {b} with a border far off");
        }
    }
}
