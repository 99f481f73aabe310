//! Light against the published definitions, and the laws of halftone and film that the model of
//! ink on paper must agree with.

use plate::light;

fn near(what: &str, got: f64, want: f64, within: f64) {
    assert!((got - want).abs() <= within, "{what}: got {got}, expected {want} ± {within}");
}

#[test]
#[allow(clippy::approx_constant, reason = "a published value, to its published digits")]
fn density_is_minus_log_of_reflectance() {
    // ISO 5-4:2009.
    let rows = [(0.85, 0.0706), (0.5, 0.301), (0.1, 1.0), (0.04, 1.3979), (0.01, 2.0)];
    for (reflectance, want) in rows {
        near("density", light::density(reflectance), want, 1e-4);
    }
    assert!(light::density(0.0).is_finite(), "no light at all still has a density");
}

#[test]
fn lightness_follows_the_standard() {
    // ISO/CIE 11664-4, the last row in its linear branch.
    let rows = [(0.85, 93.883), (0.184_187, 50.0), (0.1, 37.842), (0.04, 23.671), (0.001, 0.9033)];
    for (reflectance, want) in rows {
        near("L*", light::lightness(reflectance), want, 1e-3);
    }
    // Standard 21-step wedge, D = 0.05 + 0.15k, steps 1, 5 and 11.
    for (step, want) in [(1, 95.633), (5, 54.435), (11, 19.301)] {
        let density = 0.05 + 0.15 * f64::from(step - 1);
        near("L* of a wedge step", light::lightness(libm::pow(10.0, -density)), want, 1e-3);
    }
}

#[test]
fn lightness_and_its_inverse_undo_each_other() {
    for step in 0..=1000 {
        let lightness = f64::from(step) * 0.1;
        let back = light::lightness(light::reflectance_of_lightness(lightness));
        near("L* there and back", back, lightness, 1e-9);
    }
}

#[test]
fn screen_codes_follow_the_standard() {
    // IEC 61966-2-1:1999.
    let rows = [
        (0.85, 237),
        (0.5, 188),
        (0.184_187, 119),
        (0.1, 89),
        (0.04, 56),
        (0.0224, 41),
        (0.0, 0),
        (1.0, 255),
    ];
    for (linear, want) in rows {
        assert_eq!(light::srgb8(linear), want, "8-bit code of {linear}");
    }
    for code in 0..=255_u8 {
        let linear = light::linear_of_srgb(f64::from(code) / 255.0);
        assert_eq!(light::srgb8(linear), code, "code {code} there and back");
    }
}

#[test]
fn the_fast_table_gives_the_same_codes() {
    let table = light::Srgb8Table::new();
    for step in 0..=400_000 {
        let linear = step as f32 / 400_000.0;
        assert_eq!(table.encode(linear), light::srgb8(f64::from(linear)), "code of {linear}");
    }
    // On and beside every border between two codes.
    for code in 0..255 {
        let border = light::linear_of_srgb((f64::from(code) + 0.5) / 255.0) as f32;
        for linear in [border.next_down(), border, border.next_up()] {
            assert_eq!(
                table.encode(linear),
                light::srgb8(f64::from(linear)),
                "code beside border {code}"
            );
        }
    }
    assert_eq!(table.encode(-1.0), 0, "below black");
    assert_eq!(table.encode(7.0), 255, "above white");
    assert_eq!(table.encode(f32::NAN), 0, "NaN is black");
    // L* 50 is a reflectance of 0.184: code 119.
    let pixels = table.grey_rgba(&[0.0, 0.184_186_5, 1.0]);
    assert_eq!(pixels, [0, 0, 0, 255, 119, 119, 119, 255, 255, 255, 255, 255], "opaque grey");
}

#[test]
fn munsell_values_follow_the_polynomial() {
    // ASTM D1535-08 (Newhall, Nickerson & Judd, JOSA 33 (1943) 385).
    for (value, want) in [(1.0, 1.1799), (5.0, 19.2718), (9.0, 76.6956)] {
        near("Y of Munsell value", 100.0 * light::reflectance_of_munsell(value), want, 1e-3);
    }
    for step in 0..=100 {
        let value = f64::from(step) * 0.1;
        near(
            "value there and back",
            light::munsell_value(light::reflectance_of_munsell(value)),
            value,
            1e-9,
        );
    }
    // L*/10 lies near the Munsell value over the range of a print (the note's 0.11).
    for step in 15..=95 {
        let value = f64::from(step) * 0.1;
        let lightness = light::lightness(light::reflectance_of_munsell(value));
        near("L*/10", lightness / 10.0, value, 0.11);
    }
}

/// A. Murray, J. Franklin Inst. 221 (1936) 721.
fn murray_davies(area: f64, paper: f64, ink: f64) -> f64 {
    (1.0 - area) * paper + area * ink
}

/// J. A. C. Yule & W. J. Nielsen, TAGA Proc. 1951, 65.
fn yule_nielsen(area: f64, paper: f64, ink: f64, n: f64) -> f64 {
    let root = |r| libm::pow(r, 1.0 / n);
    libm::pow((1.0 - area) * root(paper) + area * root(ink), n)
}

#[test]
fn halftone_laws_give_their_published_numbers() {
    let r = murray_davies(0.5, 0.85, 0.04);
    near("Murray–Davies R", r, 0.445, 1e-4);
    near("Murray–Davies D", light::density(r), 0.3516, 1e-4);
    for (n, want, want_area) in [(1.8, 0.33035, 0.6415), (2.0, 0.31470, 0.6609)] {
        let r = yule_nielsen(0.5, 0.85, 0.04, n);
        near("Yule–Nielsen R", r, want, 1e-4);
        near("apparent area", (0.85 - r) / (0.85 - 0.04), want_area, 1e-4);
    }
    near(
        "n = 1 is Murray–Davies",
        yule_nielsen(0.3, 0.85, 0.04, 1.0),
        murray_davies(0.3, 0.85, 0.04),
        1e-12,
    );
    let mut last = f64::INFINITY;
    for step in 0..=10 {
        let r = yule_nielsen(0.5, 0.85, 0.04, 1.0 + 0.1 * f64::from(step));
        assert!(r < last, "R falls as n rises");
        last = r;
    }
}

/// H. Tollenaar & P. A. H. Ernst, IARIGAI 1961/62: D = D∞(1 − e^(−mw)), fitted through two points
/// whose second film is twice the first.
fn tollenaar_ernst(film: f64, density: f64, density_of_double: f64) -> (f64, f64) {
    let q = density_of_double / density - 1.0;
    (-libm::log(q) / film, density / (1.0 - q))
}

/// P. Kubelka, JOSA 38 (1948) 448: a film of thickness x over a ground.
fn kubelka_munk(k: f64, s: f64, x: f64, ground: f64) -> f64 {
    if s == 0.0 {
        return ground * libm::exp(-2.0 * k * x);
    }
    let a = 1.0 + k / s;
    let b = libm::sqrt(a * a - 1.0);
    let coth = 1.0 / libm::tanh(b * s * x);
    (1.0 - ground * (a - b * coth)) / (a - ground + b * coth)
}

/// J. L. Saunderson, JOSA 32 (1942) 727.
fn saunderson(bulk: f64, k1: f64, k2: f64) -> f64 {
    k1 + (1.0 - k1) * (1.0 - k2) * bulk / (1.0 - k2 * bulk)
}

#[test]
fn film_laws_give_their_published_numbers() {
    let (m, most) = tollenaar_ernst(1.097, 0.69, 1.01);
    near("Tollenaar–Ernst m", m, 0.70043, 1e-4);
    near("Tollenaar–Ernst D∞", most, 1.28676, 1e-4);
    near("Kubelka–Munk, endless film", kubelka_munk(0.35, 0.03, 1e3, 0.85), 0.039_535, 1e-5);
    near("Kubelka–Munk, 5 µm over paper", kubelka_munk(0.35, 0.03, 5.0, 0.85), 0.058_477, 1e-5);
    near("Saunderson", saunderson(0.4, 0.04, 0.596), 0.243_697, 1e-5);
}

#[test]
fn a_film_without_scatter_is_the_limit_of_kubelka_and_munk() {
    // The model takes the ink to absorb only: the film law must tend to that.
    for x in [0.5, 1.0, 5.0] {
        near("S → 0", kubelka_munk(0.35, 1e-8, x, 0.85), kubelka_munk(0.35, 0.0, x, 0.85), 1e-6);
    }
}

#[test]
fn densities_stand_beside_every_tenth_of_lightness() {
    let table = light::densities_of_tenths();
    assert_eq!(table.len(), 1001, "0 to 100");
    near("L* 50", table[500], 0.7347, 1e-4);
    near("white", table[1000], 0.0, 1e-12);
    assert!(table.windows(2).all(|two| two[0] > two[1]), "lighter is less dense");
}

#[test]
fn pixels_together_have_the_lightness_of_their_mean_light() {
    near("white", light::lightness_of_pixels(&[255; 8]), 100.0, 1e-9);
    near("nothing", light::lightness_of_pixels(&[]), 0.0, 0.0);
    // Half black, half white: half the light, L* 76, not the L* 54 of the mean code.
    let half = [0, 0, 0, 255, 255, 255, 255, 255];
    near("hatching", light::lightness_of_pixels(&half), 76.069, 1e-3);
    // ITU-R BT.709 and IEC 61966-2-1: green has 0.7152 of white's light.
    near("green", light::lightness_of_pixels(&[0, 255, 0, 255]), 87.737, 1e-3);
}

#[test]
fn half_the_size_is_the_mean_light_of_four() {
    let (half, width, height) = light::halved(&[0, 255, 255, 0, 128, 128], 2, 3);
    assert_eq!((width, height), (1, 2), "an odd row is rounded up");
    assert_eq!(half, [188, 128], "half the light, and the last row alone");
    for code in 0..=255 {
        assert_eq!(light::halved(&[code; 4], 2, 2).0, [code], "an even grey stays as it is");
    }
    assert_eq!(light::halved(&[7], 1, 1), (vec![7], 1, 1), "down to one pixel");
}
