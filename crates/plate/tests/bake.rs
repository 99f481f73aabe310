//! The bake: heat, flow, caps, steps and words, against published values and closed forms.

use crate::melting;

use core::f64::consts::PI;
use melting::{hopper_neck, milner_radius_um, peterson_cm3_per_g, pokluda_neck};
use plate::bake::cap::{Spreading, area_ratio, cap_volume_factor, footprint, radius_factor};
use plate::bake::cover::{melted_area, merged_cover, pinned_cover, spread_after_merging};
use plate::bake::flow::{Course, fluidity_per_pa_s, viscosity_pa_s};
use plate::bake::heat::Warming;
use plate::bake::{BakeConstants, Baked, bake, merge_limit_um, pinning};

fn constants() -> BakeConstants {
    BakeConstants::default()
}

fn on_paper(hot_plate_c: f64, bake_min: f64) -> plan::Bake {
    plan::Bake { hot_plate_c, bake_min, paper_between: true, room_c: 20.0 }
}

fn baked(hot_plate_c: f64, bake_min: f64, thickness_mm: f64) -> Baked {
    bake(&on_paper(hot_plate_c, bake_min), thickness_mm, &constants())
}

fn close(name: &str, found: f64, expected: f64, share: f64) {
    assert!(
        (found - expected).abs() <= share * expected.abs(),
        "{name}: found {found:e}, expected {expected:e} within {share}"
    );
}

fn near(name: &str, found: f64, expected: f64, off: f64) {
    assert!((found - expected).abs() <= off, "{name}: found {found}, expected {expected} ± {off}");
}

#[test]
fn viscosity_passes_through_the_data_sheet() {
    // A hydrogenated rosin's data sheet, softening point 98 °C: 20, 2.0 and 0.41 Pa·s.
    let hydrogenated = BakeConstants { softening_c: 98.0, ..constants() };
    for (c, eta) in [(120.0, 20.0), (140.0, 2.0), (160.0, 0.41)] {
        close(
            &format!("hydrogenated rosin at {c} °C"),
            viscosity_pa_s(c, &hydrogenated),
            eta,
            0.01,
        );
    }
    // The same fit moved to 76 °C, worked out independently. Bitumen has about 1.3e3 Pa·s at its own
    // softening point (Pfeiffer & van Doormaal 1936, from memory).
    for (c, eta) in [(76.0, 1253.0), (100.0, 15.2), (120.0, 1.66)] {
        close(&format!("rosin at {c} °C"), viscosity_pa_s(c, &constants()), eta, 0.01);
    }
    close("bitumen", viscosity_pa_s(76.0, &constants()), 1.3e3, 0.1);
}

#[test]
fn the_melt_stiffens_to_glass_where_rosin_does() {
    let (mut low, mut high) = (20.0, 76.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if viscosity_pa_s(middle, &constants()) > 1e12 { low = middle } else { high = middle }
    }
    near("own law: 10¹² Pa·s", low, 39.4, 0.3);
    // Glass transition of maritime-pine rosin, HAL hal-02009655: about 45 °C.
    near("glass transition", low, 45.0, 10.0);
    assert!(fluidity_per_pa_s(5.0, &constants()) == 0.0, "stiff far below, not a number gone wild");
}

#[test]
fn swelling_of_the_melt_may_be_left_out() {
    // J. M. Peterson, Ind. Eng. Chem. 24, 168 (1932), table V: g/cm³ of molten rosin.
    for (c, density) in [(126.5, 1.020), (152.0, 1.001), (190.0, 0.976)] {
        close(&format!("density at {c} °C"), 1.0 / peterson_cm3_per_g(c), density, 0.003);
    }
    // The bake takes the volume of the cold resin: the radius of a dome is off by less than 3 %
    // even at the hottest working plate.
    let swollen = libm::cbrt(peterson_cm3_per_g(130.0) / peterson_cm3_per_g(20.0));
    assert!(swollen > 1.0 && swollen < 1.03, "radius of a swollen dome × {swollen}");
}

#[test]
fn caps_are_spherical() {
    // Closed form.
    near("g(60°)", cap_volume_factor(60f64.to_radians()), 0.32075, 1e-5);
    near("g(90°)", cap_volume_factor(90f64.to_radians()), 2.0 / 3.0, 1e-5);
    near("g(55°)", cap_volume_factor(55f64.to_radians()), 0.28379, 1e-5);
    for degrees in 1..=175 {
        let angle = f64::from(degrees).to_radians();
        let (s, c) = (libm::sin(angle), libm::cos(angle));
        let long = (2.0 - 3.0 * c + c * c * c) / (3.0 * s * s * s);
        close(&format!("g({degrees}°)"), cap_volume_factor(angle), long, 1e-6);
    }
    // Closed form: footprint of a solid ball's cap over the ball's shadow.
    for (angle, ratio) in [(60.0, 2.5853), (90.0, 1.5874), (55.0, 2.8051)] {
        near(&format!("area ratio at {angle}°"), area_ratio(1.0, angle), ratio, 1e-4);
    }
}

#[test]
fn a_ball_begins_to_spread_about_as_milner_says() {
    // S. T. Milner, arXiv 1907.05862 (2019), worked out: 3.088 µm for a ball of 10 µm radius after a
    // dose of 1 µm.
    close("Milner", milner_radius_um(10.0, 1.0), 3.088, 0.001);
    // The bake follows the edge alone and starts from 170°: a factor of two is what one may ask of
    // it so early. (All of it is over within a second of the softening point.)
    let spreading = Spreading::new(55.0, &constants());
    let size_um = libm::cbrt(4.0 / 3.0 * PI * 1000.0);
    for dose_um in [0.3, 1.0, 3.0, 10.0, 30.0] {
        let angle = spreading.angle_deg(dose_um / size_um).to_radians();
        let ratio = size_um * radius_factor(angle) / milner_radius_um(10.0, dose_um);
        assert!(ratio > 0.5 && ratio < 2.0, "dose {dose_um} µm: {ratio} of Milner's radius");
    }
}

#[test]
fn drops_become_one_before_their_edge_follows() {
    // Pokluda, Bellehumeur & Vlachopoulos 1997: neck over first radius at γt/ηa.
    for (time, neck) in [(0.01, 0.0998), (0.1, 0.3086), (0.5, 0.6335), (1.0, 0.8200)] {
        close(&format!("Pokluda at {time}"), pokluda_neck(time), neck, 0.005);
    }
    // Early, the square root of the time (Frenkel 1945 as corrected by Eshelby 1949).
    close("early", pokluda_neck(1e-4), 1e-2, 0.005);
    // Hopper 1984 and 1990: neck over last radius at γt/ηR.
    for (time, neck) in [(0.5, 0.4726), (1.0, 0.7001), (2.0, 0.8972)] {
        close(&format!("Hopper at {time}"), hopper_neck(time), neck, 0.002);
    }
    // The bake lets a pair merge once its edge has had the time to follow: by then the two bodies
    // are one by either law, so the edge is the slower and the only one that need be watched.
    let dose_um = 100.0 / merge_limit_um(55.0, 1e-6, &constants());
    assert!(dose_um / 50.0 > 10.0, "dose over radius when two domes of 50 µm merge: {dose_um}");
    assert!(hopper_neck(dose_um / 50.0) > 0.999, "two cylinders are one");
    assert!(pokluda_neck(10.0) > 0.99 * libm::cbrt(2.0), "two spheres are one");
}

#[test]
fn caps_come_down_as_cox_and_voinov_say() {
    // Cox–Voinov with Λ = 10, rest angle 55°, integrated independently.
    let spreading = Spreading::new(55.0, &constants());
    for (angle, s) in [(120.0, 2.81), (90.0, 6.64), (75.0, 11.3), (60.0, 27.6)] {
        close(&format!("s at {angle}°"), spreading.s_at_angle_deg(angle), s, 0.02);
        near("and back", spreading.angle_deg(spreading.s_at_angle_deg(angle)), angle, 1e-3);
    }
    near("first", spreading.angle_deg(0.0), 170.0, 1e-9);
    near("rest", spreading.angle_deg(1e9), 55.0, 1e-4);
}

#[test]
fn wetting_drops_follow_tanner() {
    // Tanner, J. Phys. D 12, 1473 (1979): with a rest angle near nothing a ∝ t^(1/10) once flat.
    let wetting = Spreading::new(0.01, &constants());
    let radius = |s: f64| radius_factor(wetting.angle_deg(s).to_radians());
    let power = libm::log(radius(2e6) / radius(1e6)) / libm::log(2.0);
    near("power of time", power, 0.1, 0.002);
}

#[test]
fn the_plate_warms_as_a_lump() {
    // Lumped capacitance, closed form: ρcL/(U + h).
    for (thickness_mm, seconds) in [(1.0, 32.8), (1.29, 42.3), (1.6, 52.4)] {
        let warming = Warming::new(&on_paper(120.0, 8.0), thickness_mm, &constants());
        close(&format!("{thickness_mm} mm"), warming.time_constant_s, seconds, 0.005);
    }
    let warming = Warming::new(&on_paper(120.0, 8.0), 1.3, &constants());
    near("settles at", warming.settles_c, 110.5, 0.1);
    let warming = Warming::new(&on_paper(130.0, 8.0), 1.3, &constants());
    near("after a minute", warming.plate_c(1.0), 95.2, 0.2);
    let bare = Warming::new(
        &plan::Bake { paper_between: false, ..on_paper(120.0, 8.0) },
        1.3,
        &constants(),
    );
    assert!(bare.settles_c > 110.5 && bare.time_constant_s < 42.3, "bare copper heats faster");
    let done = baked(125.0, 10.0, 1.2);
    near("course starts in the room", done.course_c[0], 20.0, 1e-9);
    near("course ends", done.course_c[done.course_c.len() - 1], done.plate_end_c, 1e-9);
    near("course runs the whole bake", done.course_min[done.course_min.len() - 1], 10.0, 1e-9);
}

#[test]
fn the_dose_is_the_integral() {
    // Closed form: the same integral, midpoints, a hundred times finer.
    for (hot_c, minutes, thickness_mm) in
        [(60.0, 8.0, 1.3), (125.0, 10.0, 1.2), (220.0, 60.0, 0.5), (170.0, 0.5, 4.0)]
    {
        for paper_between in [true, false] {
            let c = constants();
            let plan = plan::Bake { paper_between, ..on_paper(hot_c, minutes) };
            let warming = Warming::new(&plan, thickness_mm, &c);
            let (n, mut dose) = (60_000, 0.0);
            for i in 0..n {
                let at = minutes * (f64::from(i) + 0.5) / f64::from(n);
                dose += 0.035 * fluidity_per_pa_s(warming.plate_c(at), &c) * 60.0 * minutes
                    / f64::from(n);
            }
            close(&format!("{plan:?}"), bake(&plan, thickness_mm, &c).dose_m, dose, 1e-4);
        }
    }
}

#[test]
fn grains_hold_sooner_the_hotter() {
    // Time for a grain of V^⅓ = 25 µm to come down to 90° at constant heat, worked out independently.
    let s = Spreading::new(55.0, &constants()).s_at_angle_deg(90.0);
    for (c, seconds) in [(60.0, 1170.0), (65.0, 162.0), (70.0, 31.0), (76.0, 5.9), (100.0, 0.07)] {
        let time = s * 25e-6 / (0.035 * fluidity_per_pa_s(c, &constants()));
        close(&format!("{c} °C"), time, seconds, 0.03);
    }
}

#[test]
fn hotter_and_longer_always_flows_further() {
    for thickness_mm in [0.5, 4.0] {
        for paper_between in [true, false] {
            let dose = |hot_plate_c: f64, bake_min: f64| {
                let plan = plan::Bake { paper_between, ..on_paper(hot_plate_c, bake_min) };
                let done = bake(&plan, thickness_mm, &constants());
                (done.dose_m, done.last_step().rest_angle_deg)
            };
            for step in 0..9 {
                let c = 50.0 + 20.0 * f64::from(step);
                let mut before = (0.0, 90.0);
                for minutes in [0.5, 1.0, 2.0, 5.0, 10.0, 30.0, 60.0] {
                    let now = dose(c, minutes);
                    assert!(now.0 > before.0, "dose rises with time at {c} °C, {minutes} min");
                    assert!(now.1 <= before.1, "rest angle falls at {c} °C, {minutes} min");
                    let hotter = dose(c + 5.0, minutes);
                    assert!(hotter.0 > now.0, "dose rises with heat at {c} °C, {minutes} min");
                    assert!(hotter.1 <= now.1, "rest angle falls with heat at {c} °C");
                    before = now;
                }
            }
        }
    }
}

#[test]
fn the_table_of_footprints_keeps_volume_and_shape() {
    // Closed form: each (radius, angle) is a spherical cap of its volume; and between entries the
    // table agrees with the spreading curve itself to 1e-4.
    for (rest, dose_m) in [(55.0, 6.0), (55.0, 1e-4), (54.9, 3e-4), (30.0, 1e-2), (10.0, 50.0)] {
        let table = footprint(rest, dose_m, &constants());
        let spreading = Spreading::new(rest, &constants());
        let mut before = 0.0;
        for i in 0..3000 {
            let volume = libm::exp(-4.5 + 0.01071 * f64::from(i));
            let (radius, angle) = table.of_volume(volume);
            let name = format!("rest {rest}°, dose {dose_m} m, {volume} µm³");
            let size = libm::cbrt(volume);
            let exact = spreading.angle_deg(1e6 * dose_m / size);
            close(&name, radius, size * radius_factor(exact.to_radians()), 1e-4);
            near(&name, angle, exact, 0.02);
            let cap = PI * radius * radius * radius * cap_volume_factor(angle.to_radians());
            close(&name, cap, volume, 2e-3);
            assert!(radius > before, "radius rises with volume: {name}");
            assert!(angle > rest - 1e-3 && angle < 170.001, "angle within bounds: {name}");
            before = radius;
        }
    }
}

#[test]
fn tiny_and_huge_drops_keep_the_nearest_shape() {
    let table = footprint(55.0, 6.0, &constants());
    let (radius, angle) = table.of_volume(1e-6);
    close("tiny", radius, 1e-2 * radius_factor(angle.to_radians()), 1e-4);
    let (radius, angle) = table.of_volume(1e15);
    close("huge", radius, 1e5 * radius_factor(angle.to_radians()), 1e-3);
}

#[test]
fn domes_are_as_high_as_their_caps() {
    // Closed form: πh(3a² + h²)/6 is the volume.
    for done in [baked(125.0, 10.0, 1.2), baked(70.0, 8.0, 1.3), baked(170.0, 10.0, 1.3)] {
        for volume in [30.0, 1e3, 1e4, 1e5, 1e6] {
            let radius = done.last_step().footprint.of_volume(volume).0 as f32;
            let (a, h) = (f64::from(radius), f64::from(done.height_um(radius)));
            close("volume of the cap", PI * h * (3.0 * a * a + h * h) / 6.0, volume, 2e-3);
        }
    }
    // The usual dome, 46 µm across, is about 10 µm high (worked example of the same equations).
    near("usual height", f64::from(baked(125.0, 10.0, 1.2).height_um(23.0)), 10.0, 1.0);
}

#[test]
fn steps_fall_gently_and_a_longer_bake_goes_on_from_a_shorter() {
    for hot_c in [60.0, 90.0, 125.0, 150.0, 170.0, 220.0] {
        let mut shorter: Vec<f64> = Vec::new();
        for minutes in [1.0, 5.0, 10.0, 20.0, 40.0, 60.0] {
            let done = baked(hot_c, minutes, 1.3);
            let angles: Vec<f64> = done.steps.iter().map(|s| s.rest_angle_deg).collect();
            let name = format!("{hot_c} °C, {minutes} min: {angles:?}");
            assert!(angles[0] > 54.0 && angles[0] <= 55.0, "first at rest on fresh copper: {name}");
            for pair in done.steps.windows(2) {
                let fall = pair[0].rest_angle_deg - pair[1].rest_angle_deg;
                assert!(fall > 0.0 && fall <= 6.0 + 1e-9, "steps of 6° at most: {name}");
                assert!(pair[1].pinning >= pair[0].pinning, "pins as it falls: {name}");
            }
            assert!(angles[angles.len() - 1] >= 10.0, "never flatter than the end: {name}");
            if shorter.len() > 1 {
                let kept = shorter.len() - 1;
                assert!(angles[..kept] == shorter[..kept], "goes on from {shorter:?}: {name}");
            }
            shorter = angles;
        }
    }
    let cold = baked(60.0, 8.0, 1.3);
    assert!(cold.steps.len() == 1, "no drift, one step");
    // Worked out by hand: 1 − 0.3·55°/25°, 1 − 0.3·28°/25°; at 12°, 0.3 at 28° and free at 55°.
    near("pinning at 55°", pinning(55.0, &constants()), 0.34, 1e-12);
    near("pinning at 28°", pinning(28.0, &constants()), 0.664, 1e-12);
    let gives_way = BakeConstants { hysteresis_deg: 12.0, ..constants() };
    near("pinning at 28° of 12°", pinning(28.0, &gives_way), 0.3, 1e-12);
    near("pinning at 55° of 12°", pinning(55.0, &gives_way), 0.0, 1e-12);
}

#[test]
fn drift_at_one_heat_is_exponential() {
    // Closed form: θe = 10° + 45°·e^(−kt) at a steady 120 °C, k = 1/2400 s.
    let steady = Warming { room_c: 120.0, settles_c: 120.0, time_constant_s: 1.0 };
    let course = Course::new(&steady, 40.0, &constants());
    let angle = course.rest_angle_deg(course.end(), &constants());
    near("after 40 min", angle, 10.0 + 45.0 * libm::exp(-1.0), 1e-6);
}

#[test]
fn closed_forms_of_cover_agree_with_the_worked_example() {
    // Worked example of the same equations: solid share 0.15, resting at 55°, no drift.
    for (loose, cover) in [(0.75, 0.481), (0.80, 0.501), (0.85, 0.518), (0.90, 0.531)] {
        let n = melted_area(loose, area_ratio(0.15, 55.0));
        near(&format!("loose cover {loose}, merged"), merged_cover(n), cover, 0.005);
    }
    // The same, pinned; and solid grains, which never come near one half.
    for (loose, cover) in [(0.75, 0.706), (0.80, 0.761), (0.85, 0.814), (0.90, 0.869)] {
        // The printed values include the drift of eight minutes: a little above the closed form.
        let n = melted_area(loose, area_ratio(0.15, 55.0));
        let pinned = pinned_cover(n);
        assert!(pinned < cover && pinned > cover - 0.05, "loose {loose}, pinned: {pinned}");
    }
    let solid = pinned_cover(melted_area(0.80, area_ratio(1.0, 55.0)));
    assert!(solid >= 0.97, "solid grains at loose cover 0.80 close the plate: {solid}");
    near("no growth, no change", spread_after_merging(0.5, 1.0), 0.5, 1e-12);
}

#[test]
fn flatter_caps_cover_more() {
    for loose in [0.2, 0.5, 0.8, 0.95] {
        let mut before = 1.0;
        for angle in 10..=90 {
            let n = melted_area(loose, area_ratio(0.15, f64::from(angle)));
            let cover = pinned_cover(n);
            assert!(cover < before, "pinned cover falls with the rest angle: {angle}°");
            before = cover;
        }
    }
}

#[test]
fn constants_lie_within_their_own_ranges() {
    for info in BakeConstants::CATALOGUE {
        assert!(info.default >= info.min && info.default <= info.max, "{}", info.key);
    }
}
