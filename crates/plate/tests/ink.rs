//! Ink against closed forms, published laws and its own equations worked out plainly.

mod prints;
mod reference;

use plan::{Ink, Paper, Press, Wipe};
use plate::grid::Grid;
use plate::ink::{Copper, InkConstants, InkScratch, Inking, Keep, pigment_share};
use plate::light;
use reference::{DiscGround, Random};

fn near(what: &str, got: f64, want: f64, within: f64) {
    assert!((got - want).abs() <= within, "{what}: got {got}, expected {want} ± {within}");
}

fn grid(width: usize, height: usize, px_um: f32) -> Grid {
    Grid { left_px: 0, top_px: 0, width, height, px_um }
}

fn mean(field: &[f32]) -> f64 {
    field.iter().map(|&v| f64::from(v)).sum::<f64>() / field.len() as f64
}

/// Neat ink, normal press.
fn wiped(wipe: Wipe) -> Inking {
    Inking::new(&Ink { wipe, ..Ink::default() }, &Paper::default(), &InkConstants::default())
}

fn hand() -> Inking {
    wiped(Wipe::Hand)
}

/// Parts of base that leave this share of pigment.
fn thinned(share: f64) -> Inking {
    let ink = Ink { base_parts: 100.0 * (1.0 / share - 1.0), reducer_parts: 0.0, ..Ink::default() };
    Inking::new(&ink, &Paper::default(), &InkConstants::default())
}

struct Print {
    held_um: Vec<f32>,
    printed_um: Vec<f32>,
    reflectance: Vec<f32>,
    /// Density of the whole as one patch.
    density: f64,
}

fn print(inking: &Inking, depth_um: &[f32], grid: &Grid) -> Print {
    let mut scratch = InkScratch::default();
    let mut reflectance = Vec::new();
    inking.print(depth_um, grid, &mut scratch, &mut reflectance);
    let density = light::density(inking.patch_reflectance(scratch.printed_um()));
    Print {
        held_um: scratch.held_um().to_vec(),
        printed_um: scratch.printed_um().to_vec(),
        reflectance,
        density,
    }
}

fn cloth(inking: &Inking, depth_um: &[f32], grid: &Grid) -> Vec<f32> {
    let mut level_um = Vec::new();
    inking.cloth_level_um(depth_um, grid, &mut InkScratch::default(), &mut level_um);
    level_um
}

/// Stripes down the plate: `land` of every `period` pixels stand, the rest is `depth_um` deep.
fn stripes(grid: &Grid, land: usize, period: usize, depth_um: f32) -> Vec<f32> {
    (0..grid.len()).map(|i| if i % grid.width % period < land { 0.0 } else { depth_um }).collect()
}

/// One slot down the middle of the plate.
fn slot(grid: &Grid, slot_um: f32, depth_um: f32) -> Vec<f32> {
    let middle_um = grid.width as f32 * grid.px_um / 2.0;
    (0..grid.len())
        .map(|i| {
            let x_um = ((i % grid.width) as f32 + 0.5) * grid.px_um;
            if (x_um - middle_um).abs() < slot_um / 2.0 { depth_um } else { 0.0 }
        })
        .collect()
}

fn disc_field(cover: f64, bite_um: f64, seed: u64) -> (Grid, Vec<f32>) {
    let (side, depth_um) = DiscGround::new(1200.0, 2.0, cover, seed).bitten(bite_um, 4.0);
    (grid(side, side, 4.0), depth_um)
}

// ---- light through ink --------------------------------------------------------------------

#[test]
fn flat_films_follow_beer_and_lambert() {
    // Closed form R_s + (R_p − R_s)e^(−Kcw).
    let films_um = [0.0, 0.5, 1.0, 2.0, 5.0, 10.0];
    let neat = [0.0706, 0.2491, 0.4247, 0.7605, 1.4659, 1.6465];
    let thin = [0.0706, 0.1869, 0.3022, 0.5280, 1.1270, 1.5901];
    for i in 0..films_um.len() {
        let film = [films_um[i] as f32; 4];
        near(
            "D of a flat film, neat",
            light::density(hand().patch_reflectance(&film)),
            neat[i],
            1e-3,
        );
        near(
            "D of a flat film, c .65",
            light::density(thinned(0.65).patch_reflectance(&film)),
            thin[i],
            1e-3,
        );
    }
}

#[test]
fn pigment_share_counts_parts_to_a_hundred_of_black() {
    near("neat", pigment_share(0.0, 0.0), 1.0, 0.0);
    near("25 + 10 parts to 100", pigment_share(25.0, 10.0), 1.0 / 1.35, 1e-12);
}

#[test]
fn full_spread_is_the_square_of_the_mean() {
    // With n = 2 the power mean is ⟨T⟩², the other published limit.
    let constants = InkConstants { patch_exponent: 2.0, ..InkConstants::default() };
    let inking = Inking::new(&Ink::default(), &Paper::default(), &constants);
    let printed: Vec<f32> = (0..50).map(|i| i as f32 * 0.2).collect();
    let per_um = f64::from((0.5 * 0.85) as f32);
    let t = printed.iter().map(|&y| libm::exp(-per_um * f64::from(y))).sum::<f64>() / 50.0;
    let (rs, rp) = (f64::from(0.0224_f32), f64::from(0.85_f32));
    near("R̄", inking.patch_reflectance(&printed), rs + (rp - rs) * t * t, 1e-12);
}

#[test]
fn a_patch_of_two_tones_obeys_yule_and_nielsen() {
    // Yule & Nielsen, TAGA Proc. 1951, above the constant surface reflectance.
    let inking = hand();
    let printed: Vec<f32> = (0..100).map(|i| if i < 30 { 4.0 } else { 0.0 }).collect();
    let (rs, rp) = (f64::from(0.0224_f32), f64::from(0.85_f32));
    let ink = (rp - rs) * libm::exp(-2.0 * f64::from((0.5 * 0.85) as f32) * 4.0);
    let root = |r| libm::pow(r, 1.0 / 1.8);
    let want = rs + libm::pow(0.7 * root(rp - rs) + 0.3 * root(ink), 1.8);
    near("R̄", inking.patch_reflectance(&printed), want, 1e-9);
}

// ---- transfer -----------------------------------------------------------------------------

#[test]
fn ink_splits_as_walker_and_fetsko_have_it() {
    // W. C. Walker & J. M. Fetsko, TAGA Proc. 1955, with k 10, b 2, f 0.5.
    let held = [1.0_f32, 5.0, 10.0, 20.0, 40.0];
    let want = [0.8934, 3.4179, 5.9933, 11.0, 21.0];
    let mut taken = [0.0; 5];
    hand().split(&held, &mut taken);
    for i in 0..5 {
        near("ink taken", f64::from(taken[i]), want[i], 1e-3);
    }
}

#[test]
fn the_paper_takes_more_of_more_but_never_more_than_there_is() {
    for (press, share) in [(Press::Light, 0.35), (Press::Normal, 0.5), (Press::Heavy, 0.6)] {
        let ink = Ink { press, ..Ink::default() };
        let inking = Inking::new(&ink, &Paper::default(), &InkConstants::default());
        let held: Vec<f32> = (0..40_000).map(|i| i as f32 * 0.005).collect();
        let mut taken = vec![0.0; held.len()];
        inking.split(&held, &mut taken);
        for i in 0..held.len() {
            assert!(
                taken[i] >= 0.0 && taken[i] <= held[i],
                "{press:?}: {} of {}",
                taken[i],
                held[i]
            );
            assert!(i == 0 || taken[i] > taken[i - 1], "{press:?}: grows at {}", held[i]);
            let exact = reference::walker_fetsko(f64::from(held[i]), 10.0, 2.0, share);
            near("against the plain formula", f64::from(taken[i]), exact, 1e-4);
        }
        let last = held.len() - 1;
        near("share of thick ink", f64::from(taken[last] / held[last]), share, 0.01);
    }
}

// ---- the cloth ----------------------------------------------------------------------------

#[test]
fn cloth_lies_on_plain_plate_and_on_any_flat_floor() {
    // Closed form: e = d on a flat floor of depth d.
    let grid = grid(300, 200, 4.0);
    for depth_um in [0.0_f32, 0.03, 1.0, 3.97, 4.0, 20.0, 21.37, 59.9, 123.4, 200.0] {
        for wipe in [Wipe::Tarlatan, Wipe::Hand, Wipe::Hard] {
            let level = cloth(&wiped(wipe), &vec![depth_um; grid.len()], &grid);
            // The levels' spacing does not matter here; their 256ths do.
            let within = 1e-3_f64.max(f64::from(depth_um) * 1e-4);
            for &e in [level[0], level[grid.len() / 2], level[grid.len() - 1]].iter() {
                near("cloth on a flat floor", f64::from(e), f64::from(depth_um), within);
            }
        }
    }
}

#[test]
fn cloth_on_stripes_sags_by_the_closed_form() {
    // e = s₀(1/a − 1) between vertical walls that leave a share a of land.
    let grid = grid(800, 64, 4.0);
    for (land, want) in [(10, 0.8), (5, 2.4), (2, 7.2), (1, 15.2)] {
        let level = cloth(&hand(), &stripes(&grid, land, 20, 30.0), &grid);
        for column in 200..600 {
            near("cloth on stripes", f64::from(level[32 * 800 + column]), want, 0.02);
        }
    }
}

#[test]
fn stripes_print_by_the_closed_form() {
    // Half land, vertical walls 10 µm deep, no spread of ink: worked out by hand from §2.
    let constants = InkConstants { ink_spread_um: 0.0, ..InkConstants::default() };
    let inking = Inking::new(&Ink::default(), &Paper::default(), &constants);
    let grid = grid(800, 64, 4.0);
    let print = print(&inking, &stripes(&grid, 10, 20, 10.0), &grid);
    near("held", mean(&print.held_um), 4.625, 0.005);
    near("printed", mean(&print.printed_um), 2.8047, 0.003);
    near("R", inking.patch_reflectance(&print.printed_um), 0.28733, 0.003);
    near("D", print.density, 0.5416, 0.005);
}

#[test]
fn cloth_in_a_slot_sags_by_the_closed_form_and_empties_wide_ones() {
    // At the middle of a slot the land counts a = erfc(w / 2√2σ): e = s₀(1/a − 1) until that is
    // the depth, at w* = 2√2 σ erfc⁻¹(s₀/(d + s₀)).
    let grid = grid(900, 32, 4.0);
    let middle = 16 * 900 + 450;
    for slot_um in [200.0, 400.0, 600.0, 800.0] {
        let level = cloth(&hand(), &slot(&grid, slot_um, 50.0), &grid);
        let land = libm::erfc(f64::from(slot_um) / (2.0 * std::f64::consts::SQRT_2 * 200.0));
        let want = 0.8 * (1.0 / land - 1.0);
        near("cloth in a slot", f64::from(level[middle]), want, 0.05 * want + 0.01);
    }
    for (depth_um, widest_um) in [(10.0_f32, 714.0_f32), (50.0, 966.0)] {
        let level = |slot_um: f32| {
            f64::from(cloth(&hand(), &slot(&grid, slot_um, depth_um), &grid)[middle])
        };
        let depth_um = f64::from(depth_um);
        assert!(
            level(widest_um - 32.0) < 0.95 * depth_um,
            "narrower than w* holds ink in the middle"
        );
        // Past w* the cloth lies on the floor, pressed in by what the land does not carry; so near
        // the bend the interpolation between blocks still swings a little.
        let wide_um = widest_um + 34.0;
        let land = libm::erfc(f64::from(wide_um) / (2.0 * std::f64::consts::SQRT_2 * 200.0));
        near("cloth past w*", level(wide_um), (1.0 - land) * depth_um, 0.03 * depth_um);
    }
}

#[test]
fn a_wide_hollow_holds_ink_only_along_its_edges() {
    // M. Lalanne, A Treatise on Etching (1880) §37: ink has no hold in a wide flat hollow.
    let grid = grid(900, 32, 4.0);
    let fill = |slot_um: f32| {
        let depth_um = slot(&grid, slot_um, 50.0);
        let held = print(&hand(), &depth_um, &grid).held_um;
        let in_slot: Vec<f32> =
            (16 * 900..17 * 900).filter(|&i| depth_um[i] > 0.0).map(|i| held[i]).collect();
        (f64::from(held[16 * 900 + 450]) / 50.0, mean(&in_slot) / 50.0)
    };
    let (middle, _) = fill(400.0);
    assert!(middle > 0.93, "a slot of 400 µm is full in the middle: {middle}");
    let (middle, whole) = fill(1200.0);
    assert!(middle < 0.02, "a slot of 1200 µm is empty in the middle: {middle}");
    assert!(whole > 0.4, "but holds ink along its edges: {whole}");
}

#[test]
fn the_cloth_keeps_within_its_accuracy_on_real_grounds() {
    // Against the balance solved by halving at full resolution, places all over the field.
    for (cover, bite_um) in
        [(0.5, 2.0), (0.5, 6.0), (0.5, 15.0), (0.3, 10.0), (0.7, 10.0), (0.9, 15.0)]
    {
        let (side, depth_um) = DiscGround::new(1280.0, 2.0, cover, 11).bitten(bite_um, 4.0);
        let grid = grid(side, side, 4.0);
        for (wipe, s0) in [(Wipe::Hand, 0.8), (Wipe::Tarlatan, 0.4), (Wipe::Hard, 1.6)] {
            let level = cloth(&wiped(wipe), &depth_um, &grid);
            let mut random = Random::new(3);
            let (mut sum, mut want_sum) = (0.0, 0.0);
            for _ in 0..24 {
                let column = (random.share() * grid.width as f64) as usize;
                let row = (random.share() * grid.height as f64) as usize;
                let want = reference::cloth_level(&depth_um, grid.width, (column, row), 50.0, s0);
                let got = f64::from(level[row * grid.width + column]);
                // Blocks of 64 µm catch the grain a little unevenly where the cloth hangs deep.
                let within = 0.03 + 0.015 * want;
                near(&format!("cloth, cover {cover}, bite {bite_um}, {wipe:?}"), got, want, within);
                sum += got;
                want_sum += want;
            }
            near("mean level", sum / 24.0, want_sum / 24.0, 0.01 + 0.005 * want_sum / 24.0);
        }
    }
}

#[test]
fn biting_everything_deeper_lowers_the_cloth_as_much() {
    // e(h + const) = e + const: a new ground in an old hollow holds ink.
    let (grid, depth_um) = disc_field(0.5, 6.0, 5);
    let deeper: Vec<f32> = depth_um.iter().map(|h| h + 30.0).collect();
    let (shallow, deep) = (cloth(&hand(), &depth_um, &grid), cloth(&hand(), &deeper, &grid));
    for (a, b) in shallow.iter().zip(&deep) {
        near("e(h + 30) − e(h)", f64::from(b - a), 30.0, 0.1);
    }
}

// ---- each kernel against its plain form ---------------------------------------------------

#[test]
fn every_step_agrees_with_its_plain_form() {
    for px_um in [2.0_f32, 4.0, 10.0] {
        let (side, depth_um) = DiscGround::new(600.0, 1.0, 0.5, 2).bitten(8.0, f64::from(px_um));
        let grid = grid(side, side, px_um);
        let level = cloth(&hand(), &depth_um, &grid);
        let print = print(&hand(), &depth_um, &grid);
        let held: Vec<f64> = depth_um
            .iter()
            .zip(&level)
            .map(|(&h, &e)| reference::held(h.into(), e.into(), 0.05, 0.25))
            .collect();
        let taken: Vec<f64> =
            held.iter().map(|&t| reference::walker_fetsko(t, 10.0, 2.0, 0.5)).collect();
        let printed = reference::blurred(&taken, side, 6.0 / f64::from(px_um));
        let passed: Vec<f64> = printed.iter().map(|y| libm::exp(-0.5 * 0.85 * y)).collect();
        let around = reference::blurred(&passed, side, 50.0 / f64::from(px_um));
        for i in 0..grid.len() {
            near("held", f64::from(print.held_um[i]), held[i], 1e-4);
            near("printed", f64::from(print.printed_um[i]), printed[i], 0.02);
            let reflectance = 0.0224 + (0.85 - 0.0224) * passed[i] * around[i];
            near("reflectance", f64::from(print.reflectance[i]), reflectance, 0.004);
        }
        let plain =
            passed.iter().zip(&around).map(|(t, a)| 0.0224 + (0.85 - 0.0224) * t * a).sum::<f64>();
        near("mean reflectance", mean(&print.reflectance), plain / grid.len() as f64, 2e-4);
    }
}

#[test]
fn printing_row_by_row_is_printing_step_by_step() {
    let (grid, depth_um) = disc_field(0.45, 22.0, 11);
    let dabbed = Ink { dabbed_up: true, ..Ink::default() };
    let dabbed = Inking::new(&dabbed, &Paper::default(), &InkConstants::default());
    for (width, height) in [(grid.width, grid.height), (61, 37), (40, 3), (5, 1), (1, 9)] {
        let part = Grid { width, height, ..grid };
        let depth_um: Vec<f32> = depth_um
            .chunks(grid.width)
            .take(height)
            .flat_map(|row| &row[..width])
            .copied()
            .collect();
        let (mut scratch, mut plain) = (InkScratch::default(), Vec::new());
        hand().hold(&depth_um, &part, &mut scratch);
        let held_um = scratch.held_um().to_vec();
        hand().transfer(&part, &mut scratch);
        hand().reflect(&part, &mut scratch, &mut plain);
        let printed = print(&hand(), &depth_um, &part);
        assert_eq!(printed.held_um, held_um, "{width} × {height}");
        assert_eq!(printed.printed_um, scratch.printed_um(), "{width} × {height}");
        assert_eq!(printed.reflectance, plain, "{width} × {height}");
        // The same where nothing is kept, in the room of a larger window before it, and dabbed up.
        let mut seen = vec![0.5; 3 * grid.len()];
        let copper = Copper::bitten(&depth_um, &part);
        for (inking, wanted) in
            [(hand(), plain), (dabbed.clone(), print(&dabbed, &depth_um, &part).reflectance)]
        {
            inking.print_part(&copper, &part, Keep::Nothing, &mut scratch, &mut seen);
            assert_eq!(seen, wanted, "{width} × {height}, nothing kept");
        }
    }
}

#[test]
fn windows_of_a_plate_agree_to_the_last_bit_inside() {
    // Pits given by their place on the plate.
    let depth = |x: i64, y: i64| {
        let cell = Random::new((x.div_euclid(9) * 7919 + y.div_euclid(7) * 104_729) as u64).share();
        (cell * 14.0) as f32
    };
    let field = |g: &Grid| -> Vec<f32> {
        (0..g.height as i64)
            .flat_map(|y| (0..g.width as i64).map(move |x| (x, y)))
            .map(|(x, y)| depth(x + g.left_px, y + g.top_px))
            .collect()
    };
    let inking = hand();
    for px_um in [4.0_f32, 5.0, 6.35] {
        let wanted = Grid { left_px: 1031, top_px: 517, width: 70, height: 40, px_um };
        let compare = |margin_um: f64, within: f32| {
            let margin = (margin_um / f64::from(px_um)).ceil() as usize;
            let a = wanted.grown(margin);
            let b = Grid {
                left_px: a.left_px - 101,
                top_px: a.top_px - 57,
                width: a.width + 213,
                height: a.height + 99,
                px_um,
            };
            let (print_a, print_b) =
                (print(&inking, &field(&a), &a), print(&inking, &field(&b), &b));
            for y in 0..wanted.height {
                for x in 0..wanted.width {
                    let at = |g: &Grid| {
                        (wanted.top_px - g.top_px) as usize * g.width
                            + y * g.width
                            + (wanted.left_px - g.left_px) as usize
                            + x
                    };
                    let (ra, rb) = (print_a.reflectance[at(&a)], print_b.reflectance[at(&b)]);
                    assert!((ra - rb).abs() <= within, "({x}, {y}) at {px_um} µm: {ra} and {rb}");
                }
            }
        };
        compare(inking.reach_um(), 0.0);
        compare(inking.margin_um(), 2e-4);
    }
}

// ---- what must come out by itself ---------------------------------------------------------

#[test]
fn ink_for_a_plate_is_weighed() {
    // Arithmetic of §1.5: 1.2 g/cm³ × 600 cm² × (8 + 15) µm.
    near("ink for 20 × 30 cm", hand().ink_grams(600.0, 8.0), 1.656, 1e-3);
}

#[test]
fn every_constant_lies_in_its_range() {
    for info in InkConstants::CATALOGUE {
        assert!(info.min <= info.default && info.default <= info.max, "{} out of range", info.key);
        assert!(!info.source.is_empty() && !info.meaning.is_empty(), "{} has a source", info.key);
    }
}
