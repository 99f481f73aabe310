//! The bitten profile and its mean over pixels (bite.md §5, rows 11–15).

use plate::bite::{DepthCurve, ResistProfile, depth_at_um, depth_field};

/// Mean of the profile over s ± ½ pixel, by many small steps.
fn mean_over_pixel(dose_um: f64, etch_factor: f64, under_um: f64, px_um: f64) -> f64 {
    const STEPS: usize = 4000;
    let mut sum = 0.0;
    for i in 0..STEPS {
        let s = under_um + px_um * ((i as f64 + 0.5) / STEPS as f64 - 0.5);
        sum += depth_at_um(dose_um, etch_factor, s);
    }
    sum / STEPS as f64
}

#[test]
fn profile_under_the_edge() {
    // Row 11, Huygens' construction; row 12, etch factor as Allen, Horne & Stevens 1982 define it.
    for (s, want) in
        [(0.0, 12.0), (3.0, 11.619), (6.0, 10.392), (9.0, 7.937), (11.5, 3.428), (12.0, 0.0)]
    {
        let got = depth_at_um(12.0, 1.0, s);
        assert!((got - want).abs() < 1e-3, "{got} at {s} µm, not {want}");
    }
    for (s, want) in [(0.0, 12.0), (2.0, 11.619), (4.0, 10.392), (6.0, 7.937), (8.0, 0.0)] {
        let got = depth_at_um(12.0, 1.5, s);
        assert!((got - want).abs() < 1e-3, "{got} at {s} µm, etch factor 1.5, not {want}");
    }
}

#[test]
fn area_bitten_away_under_a_straight_edge() {
    // Row 13, geometry: a quarter ellipse πR²/(4·EF), here on pixels of 5 µm lying anyhow.
    for (etch_factor, want) in [(1.0, 78.54), (1.5, 52.36)] {
        for shift in [0.0_f32, 1.3, 2.5, 4.9] {
            let under: Vec<f32> = (0..20).map(|i| i as f32 * 5.0 - 20.0 + shift).collect();
            let mut depth = Vec::new();
            let curves = [DepthCurve::new(10.0, etch_factor, 5.0)];
            depth_field(&under, &[0; 20], &curves, &mut depth);
            let all: f64 = depth.iter().map(|&d| f64::from(d) * 5.0).sum();
            // The open copper, from the first pixel's outer edge to s = 0.
            let open = 10.0 * (22.5 - f64::from(shift));
            let got = all - open;
            assert!((got / want - 1.0).abs() < 0.01, "{got} µm², not {want} (shift {shift})");
        }
    }
}

#[test]
fn a_lone_dot_keeps_its_tip_until_it_floats_off() {
    // Rows 14 and 15, geometry: a dot of radius 12 at etch factor 1.
    for (dose, centre, tip) in [
        (12.0, 0.0, 12.0),
        (13.0, 5.0, 8.0),
        (15.0, 9.0, 6.0),
        (20.0, 16.0, 4.0),
        (24.0, 20.785, 3.215),
    ] {
        let got = depth_at_um(dose, 1.0, 12.0);
        assert!((got - centre).abs() < 1e-3, "centre at {got} µm after {dose}, not {centre}");
        assert!((dose - got - tip).abs() < 1e-3, "tip {} µm above the floor", dose - got);
    }
}

#[test]
fn curve_is_the_profile_averaged_over_the_pixel() {
    for px in [1.0_f32, 4.0, 5.0, 20.0] {
        for etch_factor in [1.0, 1.5, 3.0] {
            for dose in [0.0, 0.05, 0.4, 3.0, 12.0, 40.0, 90.0] {
                let curve = DepthCurve::new(dose, etch_factor, px);
                let mut before = f32::MAX;
                for i in 0..200 {
                    let s = -px + (dose as f32 / etch_factor as f32 + 2.0 * px) * i as f32 / 199.0;
                    let got = curve.depth_um(s);
                    let want = mean_over_pixel(dose, etch_factor, f64::from(s), f64::from(px));
                    let close = (f64::from(got) - want).abs() < 0.01_f64.max(1e-3 * want);
                    assert!(
                        close,
                        "{got} at {s} µm, not {want} (R {dose}, EF {etch_factor}, {px} µm)"
                    );
                    assert!(got <= dose as f32, "{got} µm is deeper than the bite of {dose}");
                    assert!(got <= before + 1e-3, "deeper further under the resin at {s} µm");
                    before = got;
                }
            }
        }
    }
}

#[test]
fn more_bite_is_never_less_deep() {
    for etch_factor in [1.0, 2.0] {
        for i in 0..120 {
            let s = -5.0 + 0.4 * i as f32;
            let mut before = 0.0;
            for dose in 0..200 {
                let depth = DepthCurve::new(f64::from(dose) * 0.25, etch_factor, 5.0).depth_um(s);
                assert!(depth >= before - 1e-3, "{depth} after {before} at {s} µm, step {dose}");
                before = depth;
            }
        }
    }
}

#[test]
fn every_pixel_gets_its_own_value() {
    let curves: Vec<DepthCurve> =
        [0.0, 1.0, 5.0, 20.0].map(|dose| DepthCurve::new(dose, 1.0, 5.0)).to_vec();
    let under: Vec<f32> = (0..500).map(|i| (i * 37 % 300) as f32 * 0.1 - 5.0).collect();
    // Runs long and short, and single pixels.
    let value: Vec<u8> = (0..500).map(|i| ((i / 90 + usize::from(i % 71 < 3)) % 4) as u8).collect();
    let mut depth = vec![9.0; 7];
    depth_field(&under, &value, &curves, &mut depth);
    assert_eq!(depth.len(), 500, "one depth per pixel");
    for i in 0..500 {
        let want = curves[usize::from(value[i])].depth_um(under[i]);
        assert_eq!(depth[i].to_bits(), want.to_bits(), "pixel {i} of value {}", value[i]);
    }
}

#[test]
fn the_histogram_gives_the_raster_s_means() {
    let under: Vec<f32> = (0..40_000)
        .map(|i| ((i * 7919 % 40_000) as f32 / 40_000.0 * 40.0 - 15.0).max(-5.0))
        .collect();
    let profile = ResistProfile::new(&under, 5.0);
    // s spread evenly over −15…25: open below 0.
    assert!((profile.open_share() - 15.0 / 40.0).abs() < 1e-3, "{} open", profile.open_share());
    for dose in [0.0, 0.5, 4.0, 11.0, 24.0] {
        let mut depth = Vec::new();
        depth_field(&under, &vec![0; under.len()], &[DepthCurve::new(dose, 1.5, 5.0)], &mut depth);
        let want = depth.iter().map(|&d| f64::from(d)).sum::<f64>() / depth.len() as f64;
        let got = profile.mean_depth_um(dose, 1.5);
        assert!((got - want).abs() < 0.002 + 1e-3 * want, "mean depth {got}, not {want} at {dose}");
        let land = profile.land_share(dose, 1.5);
        let all = (25.0 - dose / 1.5) / 40.0;
        assert!((land - all).abs() < 1.5e-3, "land {land}, not {all} at {dose}");
    }
}
