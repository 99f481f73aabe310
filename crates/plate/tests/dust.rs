//! The dust box: speeds, shares that land, and what lies on the plate.

use plan::{Dust, Settling};
use plate::dust::{
    DustConstants, EXPLOSIBLE_G_PER_M3, LandedDust, airborne_fraction, hidden_at, land,
    landed_fraction, lands_after_s, settling_velocity_m_per_s, slip_factor,
};

fn constants() -> DustConstants {
    DustConstants::default()
}

fn close(name: &str, found: f64, expected: f64, share: f64) {
    assert!(
        (found - expected).abs() <= share * expected.abs(),
        "{name}: found {found:e}, expected {expected:e} within {share}"
    );
}

fn velocity(diameter_um: f64, density: f64) -> f64 {
    settling_velocity_m_per_s(diameter_um, density, &constants())
}

/// Stokes' law with slip, the closed form that holds for fine grains.
fn stokes(diameter_um: f64, density: f64) -> f64 {
    let c = constants();
    let d = diameter_um * 1e-6;
    (density - c.air_density_kg_per_m3) * 9.80665 * d * d / (18.0 * c.air_viscosity_pa_s)
        * slip_factor(diameter_um, &c)
}

#[test]
fn unit_density_spheres_sink_as_tabulated() {
    // Hinds, Aerosol Technology, 2nd ed. 1999, table A11 (from memory): 3.48e-5, 3.06e-3, 0.249 m/s.
    close("Stokes with slip, 1 µm", stokes(1.0, 1000.0), 3.50e-5, 0.01);
    close("1 µm", velocity(1.0, 1000.0), 3.48e-5, 0.01);
    close("10 µm", velocity(10.0, 1000.0), 3.05e-3, 0.01);
    close("10 µm against Hinds", velocity(10.0, 1000.0), 3.06e-3, 0.01);
    close("100 µm", velocity(100.0, 1000.0), 0.248, 0.02);
    close("100 µm against Hinds", velocity(100.0, 1000.0), 0.249, 0.02);
}

#[test]
fn rosin_spheres_sink_as_the_drag_law_says() {
    // Own formula (Schiller & Naumann 1933 with Davies' slip) worked out independently; then the
    // `v_terminal` of the Python package fluids 1.3.1 (no slip), times the slip.
    for (d, own, fluids) in [
        (5.0, 8.292e-4, 8.028e-4),
        (20.0, 1.284e-2, 1.284e-2),
        (50.0, 7.612e-2, 7.810e-2),
        (100.0, 0.2636, 0.2703),
        (150.0, 0.4986, 0.4901),
    ] {
        close(&format!("{d} µm"), velocity(d, 1070.0), own, 0.01);
        let slip = slip_factor(d, &constants());
        close(&format!("{d} µm against fluids"), velocity(d, 1070.0), fluids * slip, 0.04);
    }
}

#[test]
fn the_velocity_solves_its_own_equation() {
    // Closed form: weight less lift equals the drag, 3πμdv(1 + 0.15 Re^0.687) over the slip.
    let c = constants();
    for step in 0..60 {
        let d = 0.5 * libm::pow(1.15, f64::from(step));
        for density in [60.0, 160.0, 1070.0] {
            let v = velocity(d, density);
            let re = c.air_density_kg_per_m3 * v * d * 1e-6 / c.air_viscosity_pa_s;
            let drag = v * (1.0 + c.drag_rise * libm::pow(re, c.drag_power));
            close(&format!("{d} µm, {density} kg/m³"), drag, stokes(d, density), 1e-12);
        }
    }
}

#[test]
fn stokes_is_too_fast_for_coarse_grains() {
    // Schiller & Naumann 1933.
    close("Stokes over true, 100 µm", stokes(100.0, 1070.0) / velocity(100.0, 1070.0), 1.22, 0.02);
}

#[test]
fn slip_follows_davies() {
    // Davies 1945; Seinfeld & Pandis 2006, table 9.3, give 1.164 and 1.016 at 298 K.
    for (d, davies, seinfeld) in [(1.0, 1.167, 1.164), (10.0, 1.017, 1.016)] {
        let slip = slip_factor(d, &constants());
        assert!((slip - davies).abs() < 0.005, "slip at {d} µm: {slip}, Davies {davies}");
        assert!((slip - seinfeld).abs() < 0.005, "slip at {d} µm: {slip}, S&P {seinfeld}");
    }
}

#[test]
fn half_a_minute_clears_half_a_metre_of_coarse_grains() {
    // Closed form: the coarsest grain left in still air falls the box's height in the wait.
    let (mut low, mut high) = (1.0, 200.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if airborne_fraction(velocity(middle, 1070.0), 30.0, 0.5, Settling::Still) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    close("coarsest grain left", low, 22.8, 0.02);
}

#[test]
fn most_lands_of_one_size_and_less_of_others() {
    // t₁ = 11 t₀. Stirred: e^(−x) − e^(−11x) is largest at x = ln 11/10 (Hinds 1999, §3.8).
    let of = |x: f64, settling| landed_fraction(x, 1.0, 11.0, 1.0, settling);
    let best = (1..100_000)
        .map(|i| f64::from(i) * 1e-5)
        .max_by(|&a, &b| of(a, Settling::Stirred).total_cmp(&of(b, Settling::Stirred)))
        .unwrap();
    assert!((best - 0.2398).abs() < 1e-3, "stirred: most lands at {best}");
    assert!((of(best, Settling::Stirred) - 0.7153).abs() < 1e-3, "stirred share");
    // Still: largest where the last grains just arrive, closed form 10/11 at x = 1/11.
    let still = of(1.0 / 11.0, Settling::Still);
    assert!((still - 10.0 / 11.0).abs() < 1e-9, "still: {still}");
    assert!(of(1.01 / 11.0, Settling::Still) < still, "still, faster grains");
    assert!(of(0.99 / 11.0, Settling::Still) < still, "still, slower grains");
}

#[test]
fn lands_after_undoes_the_share_landed() {
    // Closed form: the share landed by the moment of a turn is that turn.
    for settling in [Settling::Stirred, Settling::Still] {
        for velocity in [1e-5, 0.01, 0.2] {
            let (from, to, height) = (20.0, 140.0, 0.6);
            let landed = |until| landed_fraction(velocity, from, until, height, settling);
            for turn in [0.0, 0.2, 0.5, 0.999] {
                let after = lands_after_s(velocity, (from, to), height, settling, turn);
                if landed(to) > 0.0 {
                    let share = landed(from + after) / landed(to);
                    assert!((share - turn).abs() < 1e-6, "{settling:?} {velocity} {turn}: {share}");
                }
            }
        }
    }
}

#[test]
fn the_usual_dust_looks_like_four_fifths_at_a_low_angle() {
    // second-model.md §1 and its default row (independent computation): n 0.215 hides 0.19 from above and
    // 0.79 at 8°; 588 grains per mm².
    let landed = land(&Dust::default(), &constants());
    close("shadow number", landed.shadow_number(), 0.215, 0.01);
    close("seen from above", landed.loose_cover, 0.193, 0.01);
    close("seen at 8°", landed.low_angle_cover, 0.787, 0.01);
    // The finest, which hide a ten-thousandth, are left out here.
    close("grains per mm²", landed.grains_per_mm2, 588.0, 0.025);
    // Closed form: 30 g/m² in a box 1 m high.
    close("cloud when stirred", landed.cloud_start_g_per_m3, 30.0, 1e-12);
    // A working cloud starts well above the limit of RI 5971.
    assert!(landed.cloud_start_g_per_m3 > EXPLOSIBLE_G_PER_M3, "the cloud can explode at first");
    assert!(landed.cloud_plate_in_g_per_m3 < EXPLOSIBLE_G_PER_M3, "and no longer at the end");
}

#[test]
fn a_low_eye_sees_more_of_the_dust() {
    // second-model.md §1: spheres seen a degrees above the plate hide 1 − exp(−n / sin a); n = 0.215.
    for (angle_deg, hidden) in [(90.0, 0.19), (10.0, 0.71), (8.0, 0.79), (6.0, 0.87)] {
        let found = hidden_at(angle_deg, 0.215);
        assert!((found - hidden).abs() < 0.006, "at {angle_deg}°: {found}, not {hidden}");
    }
    // The same counted: rays that slant down to random places on a plate, and balls lying on it.
    let mut seed = 7_u64;
    let mut chance = || {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 11) as f64 / (1_u64 << 53) as f64
    };
    let (side, radius, angle) = (200.0, 1.0, 8.0_f64.to_radians());
    let n = 0.215;
    let balls: Vec<(f64, f64)> = (0..(n * side * side / core::f64::consts::PI) as usize)
        .map(|_| (chance() * side, chance() * side))
        .collect();
    let (sin, cos) = (libm::sin(angle), libm::cos(angle));
    let (mut hidden, rays) = (0, 4000);
    for _ in 0..rays {
        // Away from the borders, as far as a shadow reaches.
        let (x, y) = (20.0 + chance() * (side - 40.0), 20.0 + chance() * (side - 40.0));
        hidden += usize::from(balls.iter().any(|ball| {
            // Distance of the ball's centre, one radius high, from the ray up along x.
            let (dx, dy) = (ball.0 - x, ball.1 - y);
            let along = dx * cos + radius * sin;
            let away2 = dx * dx + dy * dy + radius * radius - along * along;
            along > 0.0 && away2 < radius * radius
        }));
    }
    let share = f64::from(hidden as u32) / f64::from(rays);
    assert!((share - hidden_at(8.0, n)).abs() < 0.03, "{share} of the rays are stopped");
}

#[test]
fn every_dusting_lands_alike() {
    // Closed form: k dustings land k times what one lands, so k times the shadow; each raises its own cloud.
    for dust in boxes() {
        let once = land(&dust, &constants());
        for dustings in [2.0, 6.0] {
            let more = land(&Dust { dustings, ..dust.clone() }, &constants());
            let name = format!("{dustings} dustings of {dust:?}");
            close(&name, more.mass_g_per_m2, dustings * once.mass_g_per_m2, 1e-9);
            close(&name, more.grains_per_mm2, dustings * once.grains_per_mm2, 1e-9);
            let bare = libm::pow(1.0 - once.loose_cover, dustings);
            assert!((1.0 - more.loose_cover - bare).abs() < 1e-9, "cover of {name}");
            assert!(more.low_angle_cover >= once.low_angle_cover, "low angle of {name}");
            assert_eq!(more.classes.len(), once.classes.len(), "the same sizes: {name}");
            let clouds = |landed: &LandedDust| {
                [
                    landed.cloud_start_g_per_m3,
                    landed.cloud_plate_in_g_per_m3,
                    landed.cloud_plate_out_g_per_m3,
                ]
            };
            assert_eq!(clouds(&more), clouds(&once), "no denser a cloud: {name}");
        }
    }
}

#[test]
fn fluffy_grains_sink_more_slowly_and_hide_more() {
    let solid = land(&Dust::default(), &constants());
    let fluffy = DustConstants { solid_share: 0.3, ..constants() };
    let landed = land(&Dust::default(), &fluffy);
    assert!(landed.loose_cover > 1.5 * solid.loose_cover, "{} hidden", landed.loose_cover);
    assert_eq!((solid.solid_share, landed.solid_share), (1.0, 0.3), "told to what comes after");
}

/// A range of boxes and powders, the usual one among them.
fn boxes() -> Vec<Dust> {
    let mut all = Vec::new();
    for median_um in [15.0, 60.0, 160.0] {
        for spread_gsd in [1.1, 1.8, 3.0] {
            for box_height_m in [0.1, 0.6, 3.0] {
                for wait_s in [0.0, 45.0, 300.0] {
                    for settling in [Settling::Stirred, Settling::Still] {
                        all.push(Dust {
                            median_um,
                            spread_gsd,
                            box_height_m,
                            wait_s,
                            settling,
                            ..Dust::default()
                        });
                    }
                }
            }
        }
    }
    all
}

#[test]
fn classes_add_up_to_the_whole() {
    for dust in boxes() {
        let landed = land(&dust, &constants());
        let name = format!("{dust:?}");
        let mass: f64 = landed.classes.iter().map(|c| c.mass_g_per_m2).sum();
        let grains: f64 = landed.classes.iter().map(|c| c.grains_per_mm2).sum();
        assert!((mass - landed.mass_g_per_m2).abs() <= 1e-9 * mass, "weight of {name}");
        assert!((grains - landed.grains_per_mm2).abs() <= 1e-9 * grains, "number of {name}");
        for pair in landed.classes.windows(2) {
            close(&format!("no gaps: {name}"), pair[1].from_um, pair[0].to_um, 1e-12);
        }
        for class in &landed.classes {
            assert!(class.from_um < class.to_um, "ascending: {name}");
            assert!(class.grains_per_mm2.is_finite() && class.mass_g_per_m2 >= 0.0, "sane: {name}");
        }
        assert!(landed.classes.len() <= 200, "not too many classes: {name}");
        // Conservation: what lands is what left the air above the plate, but for dropped tails.
        let left_air =
            (landed.cloud_plate_in_g_per_m3 - landed.cloud_plate_out_g_per_m3) * dust.box_height_m;
        assert!((mass - left_air).abs() <= 2e-4 * left_air, "balance of {name}: {mass} {left_air}");
        assert!(landed.cloud_plate_in_g_per_m3 <= landed.cloud_start_g_per_m3 * 1.0001, "{name}");
    }
}

#[test]
fn the_classes_agree_with_a_plain_finer_sum() {
    // Closed form: the integrals over a lognormal, with 40 000 midpoints instead of classes.
    for dust in [
        Dust::default(),
        Dust { spread_gsd: 2.5, ..Dust::default() },
        Dust { settling: Settling::Still, box_height_m: 1.5, ..Dust::default() },
    ] {
        let landed = land(&dust, &constants());
        let (sigma, n) = (libm::log(dust.spread_gsd), 40_000);
        let density = 1070.0;
        let end_s = dust.wait_s + 60.0 * dust.dusting_min;
        let (mut mass, mut shadow) = (0.0, 0.0);
        for i in 0..n {
            let z = -9.0 + 14.0 * (f64::from(i) + 0.5) / f64::from(n);
            let d = dust.median_um * libm::exp(z * sigma);
            let raised =
                dust.powder_g_per_m2 * libm::exp(-0.5 * z * z) * 0.398_942_28 * 14.0 / f64::from(n);
            let lands = landed_fraction(
                velocity(d, density),
                dust.wait_s,
                end_s,
                dust.box_height_m,
                dust.settling,
            );
            mass += raised * lands;
            // Shadow of a weight of spheres: 3/(2ρd).
            shadow += raised * 1e-3 * lands * 1.5 / (density * d * 1e-6);
        }
        // In still air the sizes end at an edge, which falls within a class.
        let within = if dust.settling == Settling::Still { 6e-4 } else { 2e-4 };
        close("weight", landed.mass_g_per_m2, mass, within);
        close("loose cover", landed.loose_cover, 1.0 - libm::exp(-shadow), 5e-4);
    }
}

fn mean_um(landed: &LandedDust) -> f64 {
    let weighted: f64 = landed.classes.iter().map(|c| c.mass_g_per_m2 * c.middle_um()).sum();
    weighted / landed.mass_g_per_m2
}

#[test]
fn waiting_thins_and_refines_the_dust() {
    for dust in boxes() {
        let sooner = land(&dust, &constants());
        let later = land(&Dust { wait_s: dust.wait_s + 30.0, ..dust.clone() }, &constants());
        assert!(
            later.loose_cover <= sooner.loose_cover * (1.0 + 1e-12),
            "cover falls with wait: {dust:?}"
        );
        assert!(
            later.mass_g_per_m2 <= sooner.mass_g_per_m2 * (1.0 + 1e-12),
            "weight falls with wait: {dust:?}"
        );
        if !later.classes.is_empty() {
            assert!(mean_um(&later) <= mean_um(&sooner) * 1.0001, "finer with wait: {dust:?}");
        }
    }
}

#[test]
fn longer_in_the_box_never_lowers_cover() {
    for dust in boxes() {
        let short = land(&dust, &constants());
        let long =
            land(&Dust { dusting_min: dust.dusting_min * 2.0, ..dust.clone() }, &constants());
        assert!(long.loose_cover >= short.loose_cover * 0.9999, "cover: {dust:?}");
        assert!(long.mass_g_per_m2 >= short.mass_g_per_m2 * 0.9999, "weight: {dust:?}");
    }
}

#[test]
fn a_taller_box_gives_coarser_dust() {
    for dust in boxes() {
        let low = land(&dust, &constants());
        let tall =
            land(&Dust { box_height_m: dust.box_height_m * 1.5, ..dust.clone() }, &constants());
        if !low.classes.is_empty() {
            assert!(mean_um(&tall) >= mean_um(&low) * 0.9999, "coarser when taller: {dust:?}");
        }
    }
}

#[test]
fn more_powder_is_in_proportion() {
    // Closed form: everything but the cover is linear in the powder, the cover is 1 − e^(−n).
    for dust in boxes() {
        let once = land(&dust, &constants());
        let powder_g_per_m2 = 2.0 * dust.powder_g_per_m2;
        let twice = land(&Dust { powder_g_per_m2, ..dust.clone() }, &constants());
        close("grains", twice.grains_per_mm2, 2.0 * once.grains_per_mm2, 1e-9);
        let bare = (1.0 - once.loose_cover) * (1.0 - once.loose_cover);
        assert!((1.0 - twice.loose_cover - bare).abs() < 1e-9, "cover: {dust:?}");
    }
}

#[test]
fn nothing_lands_when_all_has_fallen() {
    let dust = Dust {
        median_um: 200.0,
        spread_gsd: 1.1,
        box_height_m: 0.1,
        wait_s: 900.0,
        settling: Settling::Still,
        ..Dust::default()
    };
    let landed = land(&dust, &constants());
    assert!(landed.classes.is_empty(), "no classes");
    assert!(landed.loose_cover == 0.0 && landed.mass_g_per_m2 == 0.0, "bare copper");
    assert!(landed.grains_per_mm2 == 0.0, "no grains");
}

#[test]
fn constants_lie_within_their_own_ranges() {
    for info in DustConstants::CATALOGUE {
        assert!(info.default >= info.min && info.default <= info.max, "{}", info.key);
    }
}
