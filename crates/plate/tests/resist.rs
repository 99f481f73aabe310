//! Distance under the resin against plain references and closed forms.

use crate::boolean;

use boolean::{boolean_ground, evenly, mean_square_radius, separate_ground};
use plate::ground::Dome;
use plate::resist::{BoundedScratch, ResistScratch, bounded_distance_px, distance_under_resin};
use rand::SeedableRng;
use rand_pcg::Pcg32;

/// One window, with fresh buffers.
fn under(
    domes: &[Dome],
    overlapping: bool,
    width: usize,
    height: usize,
    px_um: f32,
    reach_um: f32,
) -> Vec<f32> {
    let (mut scratch, mut out) = (ResistScratch::default(), Vec::new());
    distance_under_resin(
        domes,
        overlapping,
        width,
        height,
        px_um,
        reach_um,
        &mut scratch,
        &mut out,
    );
    out
}

/// Radius − |x − centre| of the disc that gives most.
fn deepest_under_one_disc(domes: &[Dome], x: f64, y: f64) -> f64 {
    domes
        .iter()
        .map(|d| f64::from(d.radius_um) - libm::hypot(x - f64::from(d.x_um), y - f64::from(d.y_um)))
        .fold(f64::NEG_INFINITY, f64::max)
}

/// Points of the union's edge, a few hundredths of a µm apart.
fn edge_points(domes: &[Dome], apart_um: f64) -> Vec<(f64, f64)> {
    let mut points = Vec::new();
    for (i, dome) in domes.iter().enumerate() {
        let radius = f64::from(dome.radius_um);
        let near: Vec<&Dome> = domes
            .iter()
            .enumerate()
            .filter(|&(j, other)| {
                let gap = libm::hypotf(other.x_um - dome.x_um, other.y_um - dome.y_um);
                j != i && gap < other.radius_um + dome.radius_um
            })
            .map(|(_, other)| other)
            .collect();
        let steps = (std::f64::consts::TAU * radius / apart_um).ceil() as usize;
        for step in 0..steps {
            let angle = std::f64::consts::TAU * step as f64 / steps as f64;
            let x = f64::from(dome.x_um) + radius * libm::cos(angle);
            let y = f64::from(dome.y_um) + radius * libm::sin(angle);
            let buried = near.iter().any(|other| {
                libm::hypot(x - f64::from(other.x_um), y - f64::from(other.y_um))
                    < f64::from(other.radius_um) - 1e-9
            });
            if !buried {
                points.push((x, y));
            }
        }
    }
    points
}

#[test]
fn separate_discs_give_radius_less_distance() {
    let domes = separate_ground(400.0, 20.0, 0.6, 3);
    assert!(domes.len() > 60, "a ground of {} domes", domes.len());
    // Windows wide and narrow, down to less than the lanes worked at once.
    for (width, height) in [(80, 80), (13, 40), (5, 9), (3, 70), (1, 1)] {
        let px = 5.0_f32;
        let got = under(&domes, false, width, height, px, 40.0);
        for y in 0..height {
            for x in 0..width {
                let at = |i: usize| (i as f64 + 0.5) * f64::from(px);
                let want = deepest_under_one_disc(&domes, at(x), at(y)).max(-f64::from(px));
                let got = f64::from(got[y * width + x]);
                assert!(
                    (got - want).abs() < 2e-4,
                    "{width}×{height} at {x}, {y}: {got}, not {want}"
                );
            }
        }
    }
}

#[test]
fn overlapping_discs_give_the_distance_to_the_edge_of_their_union() {
    for seed in 1..=3 {
        let mut domes = boolean_ground(160.0, 12.5, 0.35, 0.2 + 0.2 * seed as f64, seed);
        // A twin, a disc wholly under another, and one that touches from inside.
        domes.push(domes[0]);
        domes.push(Dome { radius_um: domes[1].radius_um * 0.4, ..domes[1] });
        domes.push(Dome {
            x_um: domes[2].x_um + domes[2].radius_um * 0.5,
            radius_um: domes[2].radius_um * 0.5,
            ..domes[2]
        });
        let (px, side, reach) = (4.0_f32, 32, 30.0);
        let got = under(&domes, true, side, side, px, reach);
        let edge = edge_points(&domes, 0.04);
        let mut corners = 0;
        for (i, &got) in got.iter().enumerate() {
            let x = ((i % side) as f64 + 0.5) * f64::from(px);
            let y = ((i / side) as f64 + 0.5) * f64::from(px);
            let one = deepest_under_one_disc(&domes, x, y);
            let got = f64::from(got);
            if one <= 0.0 {
                let want = one.max(-f64::from(px));
                assert!((got - want).abs() < 2e-4, "open at {x}, {y}: {got}, not {want}");
                continue;
            }
            let want =
                edge.iter().map(|&(a, b)| libm::hypot(a - x, b - y)).fold(f64::MAX, f64::min);
            if want > f64::from(reach) {
                assert!(
                    got >= f64::from(reach) - 1e-3,
                    "beyond reach at {x}, {y}: {got} < {reach}"
                );
            } else {
                // The sampled edge misses corners by up to its step.
                assert!((got - want).abs() < 0.041, "at {x}, {y}: {got}, not {want} (seed {seed})");
            }
            corners += usize::from(want > one + 0.5);
        }
        assert!(corners > 50, "only {corners} pixels where a corner is the nearest edge");
    }
}

#[test]
fn both_ways_agree_on_separate_discs() {
    let domes = separate_ground(500.0, 20.0, 0.6, 5);
    let one = under(&domes, false, 100, 100, 5.0, 60.0);
    let other = under(&domes, true, 100, 100, 5.0, 60.0);
    for (i, (a, b)) in one.iter().zip(&other).enumerate() {
        assert!((a - b).abs() < 1e-3, "pixel {i}: {a} as separate, {b} as overlapping discs");
    }
}

#[test]
fn neighbouring_pixels_differ_by_no_more_than_their_spacing() {
    for (overlapping, domes) in [
        (false, separate_ground(400.0, 20.0, 0.6, 6)),
        (true, boolean_ground(400.0, 15.0, 0.35, 0.6, 6)),
    ] {
        let (px, side) = (4.0, 100);
        let s = under(&domes, overlapping, side, side, px, 50.0);
        for y in 0..side - 1 {
            for x in 0..side - 1 {
                let here = s[y * side + x];
                for (there, apart) in [(1, px), (side, px), (side + 1, px * 2.0_f32.sqrt())] {
                    let step = (s[y * side + x + there] - here).abs();
                    assert!(step <= apart + 1e-3, "a step of {step} µm at {x}, {y}");
                }
            }
        }
    }
}

#[test]
fn a_moved_window_shows_the_same() {
    let domes = boolean_ground(300.0, 15.0, 0.35, 0.55, 8);
    let (px, side) = (4.0_f32, 75);
    let whole = under(&domes, true, side, side, px, 30.0);
    let (right, down) = (21, 34);
    let moved: Vec<Dome> = domes
        .iter()
        .map(|d| Dome {
            x_um: d.x_um - right as f32 * px,
            y_um: d.y_um - down as f32 * px,
            radius_um: d.radius_um,
        })
        .collect();
    let part = under(&moved, true, 30, 25, px, 30.0);
    for y in 0..25 {
        for x in 0..30 {
            let (a, b) = (part[y * 30 + x], whole[(y + down) * side + x + right]);
            assert!((a - b).abs() < 1e-3, "{a} in the moved window, {b} in the whole");
        }
    }
}

#[test]
fn no_resin_and_no_pixels() {
    for overlapping in [false, true] {
        let bare = under(&[], overlapping, 7, 5, 5.0, 30.0);
        assert!(bare.iter().all(|&s| s == -5.0), "bare copper is open: {bare:?}");
        let one = Dome { x_um: 0.0, y_um: 0.0, radius_um: 9.0 };
        assert!(under(&[one], overlapping, 0, 5, 5.0, 30.0).is_empty(), "no columns, no pixels");
        let closed = Dome { x_um: 10.0, y_um: 10.0, radius_um: 900.0 };
        let s = under(&[closed], overlapping, 4, 4, 5.0, 30.0);
        assert!(s.iter().all(|&s| s >= 30.0), "a closed ground lies beyond reach: {s:?}");
    }
}

/// Plain transform: every open pixel looked at.
fn bounded_by_brute_force(covered: &[u8], width: usize, i: usize) -> f64 {
    let (x, y) = ((i % width) as f64, (i / width) as f64);
    covered
        .iter()
        .enumerate()
        .filter(|&(_, &c)| c == 0)
        .map(|(j, _)| libm::hypot((j % width) as f64 - x, (j / width) as f64 - y))
        .fold(f64::MAX, f64::min)
}

#[test]
fn the_bounded_transform_is_exact_to_its_bound() {
    let mut random = Pcg32::seed_from_u64(11);
    let (mut scratch, mut got) = (BoundedScratch::default(), Vec::new());
    for (width, height) in [(1, 1), (40, 33), (7, 90), (90, 7), (33, 64)] {
        for open_share in [0.0, 0.003, 0.1] {
            let covered: Vec<u8> = (0..width * height)
                .map(|_| if evenly(&mut random) < open_share { 0 } else { 200 })
                .collect();
            for bound in [1, 16, 126] {
                bounded_distance_px(&covered, width, height, bound, &mut scratch, &mut got);
                for (i, &got) in got.iter().enumerate() {
                    let want = bounded_by_brute_force(&covered, width, i);
                    if want <= f64::from(bound) {
                        assert_eq!(got, want as f32, "{width}×{height}, bound {bound}, pixel {i}");
                    } else {
                        assert!(got > f32::from(bound), "{got} within the bound {bound}: {want}");
                    }
                }
            }
        }
    }
}

#[test]
fn the_bounded_transform_sees_the_same_ground() {
    // A raster so fine that its pixels do not matter, by a wholly different way of reckoning.
    let domes = boolean_ground(150.0, 12.5, 0.35, 0.5, 13);
    let (px, side) = (0.5_f32, 300);
    let s = under(&domes, true, side, side, px, 20.0);
    let covered: Vec<u8> = s.iter().map(|&s| u8::from(s > 0.0)).collect();
    let (mut scratch, mut raster) = (BoundedScratch::default(), Vec::new());
    bounded_distance_px(&covered, side, side, 30, &mut scratch, &mut raster);
    let (mut seen, mut off) = (0, 0);
    for y in 40..side - 40 {
        for x in 40..side - 40 {
            let (s, d) = (s[y * side + x], raster[y * side + x] * px);
            if s > 0.0 && d < 15.0 {
                assert!(s - d < 0.71 * px, "at {x}, {y}: {s} µm, raster only {d} µm");
                seen += 1;
                // Tips of open copper thinner than a pixel are missed by the raster.
                off += usize::from(d - s > px);
            }
        }
    }
    assert!(seen > 10_000 && off * 20 < seen, "{off} of {seen} pixels off by more than a pixel");
}

#[test]
fn a_boolean_ground_covers_and_edges_as_its_formula_says() {
    // bite.md rows 18 and 19. Stoyan, Kendall & Mecke, Stochastic Geometry (from memory): cover
    // 1 − exp(−λπE[r²]) and edge length per area (1 − φ)·λ·2πE[r].
    let (median, sigma, cover) = (12.5, 0.35, 0.499);
    let (px, side) = (4.0_f32, 1025);
    let domes = boolean_ground(side as f64 * f64::from(px), median, sigma, cover, 1);
    let s = under(&domes, true, side, side, px, 20.0);
    let beyond = |um: f32| {
        s.iter().map(|&s| f64::from(((s - um) / px + 0.5).clamp(0.0, 1.0))).sum::<f64>()
            / s.len() as f64
    };
    let land = beyond(0.0);
    assert!((land - cover).abs() < 0.01, "cover {land}, not {cover}");
    let per_um2 =
        -libm::log(1.0 - cover) / (std::f64::consts::PI * mean_square_radius(median, sigma));
    let mean_radius = median * libm::exp(0.5 * sigma * sigma);
    let edge = (1.0 - cover) * per_um2 * std::f64::consts::TAU * mean_radius;
    assert!((edge - 0.0461).abs() < 1e-3, "the closed form gives 0.0461 /µm, not {edge}");
    // Sub-pixel steps of the edge are resolved: half a µm on pixels of 4 µm.
    let lost = (beyond(0.0) - beyond(0.5)) / 0.5;
    assert!((lost / edge - 1.0).abs() < 0.08, "land lost per µm {lost}, edge length {edge}");
}

#[test]
fn narrow_windows_have_the_same_bits_as_wide_ones() {
    // Islands as wide as the window, so that their columns are no whole lanes of it.
    let dome = |x_um: f32, y_um: f32, radius_um: f32| Dome { x_um, y_um, radius_um };
    let domes = [dome(20.0, 18.0, 16.0), dome(34.0, 26.0, 14.0), dome(12.0, 40.0, 9.0)];
    let wide = under(&domes, true, 64, 24, 2.0, 60.0);
    for width in 1..30 {
        let narrow = under(&domes, true, width, 24, 2.0, 60.0);
        for (i, found) in narrow.iter().enumerate() {
            let (x, y) = (i % width, i / width);
            assert_eq!(*found, wide[y * 64 + x], "{width} px wide, at {x}, {y}");
        }
    }
}
