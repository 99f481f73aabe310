//! Choices of printing beside wiping and press: stiffness of the ink, dabbing up, blankets.

use plan::{Blankets, Ink, Paper, Stiffness};
use plate::grid::Grid;
use plate::ink::{InkConstants, InkScratch, Inking};

fn inking(ink: &Ink) -> Inking {
    Inking::new(ink, &Paper::default(), &InkConstants::default())
}

fn grid(width: usize, height: usize) -> Grid {
    Grid { left_px: 0, top_px: 0, width, height, px_um: 4.0 }
}

/// The law of Walker and Fetsko (TAGA Proc. 1955), k 10 /µm, b 2 µm.
fn taken(held_um: f64, share: f64) -> f64 {
    let up = 2.0 * (1.0 - libm::exp(-held_um / 2.0));
    (1.0 - libm::exp(-10.0 * held_um)) * (up + share * (held_um - up))
}

#[test]
fn fewer_blankets_leave_more_ink_in_the_pits() {
    for (blankets, share) in [(Blankets::Three, 0.5), (Blankets::Two, 0.45), (Blankets::One, 0.375)]
    {
        let held = [1.0_f32, 5.0, 20.0];
        let mut out = [0.0_f32; 3];
        inking(&Ink { blankets, ..Ink::default() }).split(&held, &mut out);
        for (&held, &out) in held.iter().zip(&out) {
            let expected = taken(f64::from(held), share);
            let off = (f64::from(out) - expected).abs();
            assert!(off < 2e-3, "{blankets:?}: of {held} µm {out} go, not {expected:.4}");
        }
    }
}

#[test]
fn stiff_ink_stays_as_a_film_and_in_the_pits() {
    // Flat copper keeps the film; stripes with half land hold the cloth at s₀(1/a − 1) = s₀ (ink
    // notes, check 19). Usual hand wipe: film .05, s₀ .8 µm.
    let flat = vec![0.0_f32; 200 * 200];
    let stripes: Vec<f32> = (0..200 * 200).map(|i| if i % 20 < 10 { 0.0 } else { 12.0 }).collect();
    for (stiffness, film, overlap) in [
        (Stiffness::Loose, 0.05 * 0.8, 0.8 * 1.25),
        (Stiffness::Usual, 0.05, 0.8),
        (Stiffness::Stiff, 0.05 * 1.4, 0.8 * 0.75),
    ] {
        let inking = inking(&Ink { stiffness, ..Ink::default() });
        let mut scratch = InkScratch::default();
        inking.hold(&flat, &grid(200, 200), &mut scratch);
        let held = f64::from(scratch.held_um()[100 * 200 + 100]);
        assert!((held - film).abs() < 1e-4, "{stiffness:?}: film {held} µm, not {film}");
        let mut level = Vec::new();
        inking.cloth_level_um(&stripes, &grid(200, 200), &mut scratch, &mut level);
        let level = f64::from(level[100 * 200 + 100]);
        assert!((level - overlap).abs() < 0.02, "{stiffness:?}: cloth {level} µm, not {overlap}");
    }
}

#[test]
fn dabbing_keeps_the_ink_and_spreads_a_share_of_it() {
    // A broad band of pits beside polished copper.
    let (width, height) = (500, 300);
    let pit = |i: usize| if i % width < 250 && i % 4 < 2 { 8.0 } else { 0.0 };
    let depth: Vec<f32> = (0..width * height).map(pit).collect();
    let run = |dabbed_up: bool| {
        let inking = inking(&Ink { dabbed_up, ..Ink::default() });
        let (mut scratch, mut light) = (InkScratch::default(), Vec::new());
        inking.print(&depth, &grid(width, height), &mut scratch, &mut light);
        (scratch.held_um().to_vec(), light)
    };
    let ((plain, plain_light), (dabbed, dabbed_light)) = (run(false), run(true));
    let sum = |field: &[f32]| field.iter().map(|&v| f64::from(v)).sum::<f64>();
    let ratio = sum(&dabbed) / sum(&plain);
    assert!((ratio - 1.0).abs() < 1e-3, "ink after dabbing / before: {ratio}");
    assert!(sum(&dabbed_light) < sum(&plain_light), "dabbed up the print is darker");
    let row = 150 * width;
    // Every row is the same, so the spread ink is that of one row (σ 150 µm, reflected at the ends).
    let spread = |x: usize| {
        let (mut sum, mut all) = (0.0, 0.0);
        for k in -150..=150_i64 {
            let off = k as f64 * 4.0 / 150.0;
            let weight = libm::exp(-0.5 * off * off);
            let at = (x as i64 + k).rem_euclid(2 * width as i64) as usize;
            let at = if at < width { at } else { 2 * width - 1 - at };
            sum += weight * f64::from(plain[row + at]);
            all += weight;
        }
        sum / all
    };
    for off_um in [100.0, 150.0] {
        let x = 250 + (off_um / 4.0) as usize;
        let film = f64::from(plain[row + x]);
        let got = f64::from(dabbed[row + x]) - film;
        let expected = 0.04 * (spread(x) - film);
        assert!(
            (got / expected - 1.0).abs() < 0.03,
            "{off_um} µm off the band: {got:.5} µm more, expected {expected:.5}"
        );
    }
}

#[test]
fn margins_hold_what_cloth_light_and_muslin_spread() {
    // All but 0.3 % of a Gaussian lies within three deviations, 95 % within two.
    for light_spread_um in [50.0, 66.0] {
        let constants = InkConstants { light_spread_um, ..InkConstants::default() };
        let of = |ink: &Ink| Inking::new(ink, &Paper::default(), &constants);
        let plain = of(&Ink::default());
        assert!((plain.cloth_margin_um() - 3.0 * 200.0).abs() < 1e-9, "the cloth's 200 µm");
        let light_um = plain.margin_um() - plain.cloth_margin_um();
        assert!((light_um - 2.0 * light_spread_um).abs() < 1e-9, "{light_um} µm for the light");
        // The muslin's deviation is 150 µm.
        let dabbed = of(&Ink { dabbed_up: true, ..Ink::default() });
        let more = [
            dabbed.margin_um() - plain.margin_um(),
            dabbed.paper_margin_um() - plain.paper_margin_um(),
        ];
        assert!(more.iter().all(|more| (more - 450.0).abs() < 1e-9), "{more:?} µm more");
        assert!(dabbed.reach_um() >= plain.reach_um() + 450.0, "and to the last bit no less");
        assert_eq!(dabbed.cloth_margin_um(), plain.cloth_margin_um(), "the cloth has gone before");
    }
}
