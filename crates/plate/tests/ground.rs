//! The ground against published numbers, closed forms and itself.
#![allow(clippy::disallowed_methods, reason = "tests may use the standard library's functions")]

use crate::first_model;
use crate::ground_support;

use ground_support::{caps, chain_ground, discs, one_size, seams};
use plate::ground::grains::{SizeStep, Sizes, size_steps};
use plate::ground::{Dome, Extent, Ground, MeltScratch, TileCache};
use plate::{bake, dust};
use std::f64::consts::PI;

/// A ground of one-size drops of 10 µm radius free to merge, n = λπa², and its cover and survivors
/// per grain over `tiles` × `tiles` tiles.
fn coalesced(n: f64, tiles: i32, seed: u32) -> (f64, f64) {
    let ground = Ground::new(&one_size(10.0, n), &caps(55.0, 0.0), seed);
    let statistics = ground.statistics(&mut TileCache::default(), tiles);
    assert!(!statistics.overlapping, "free drops leave no overlaps, n = {n}");
    (statistics.cover, statistics.domes_per_mm2 / ground.grains_per_mm2())
}

#[test]
fn full_coalescence_settles_where_it_should() {
    // dust-and-bake.md §8 rows 30 and 31 (numerical, 12 000 grains; breath figures about 0.55).
    let rows = [(0.5, 0.334), (1.0, 0.467), (1.5, 0.518), (2.0, 0.536), (3.0, 0.542)];
    for (n, expected) in rows {
        let (cover, left) = coalesced(n, if n < 2.0 { 8 } else { 4 }, 5);
        println!("n {n}: cover {cover:.4} (expected {expected}), left {left:.4}");
        // At n = 3 the 12 000 grains of the source leave some 80 domes: its one sample is uncertain
        // by 0.010 (standard deviation of 24 such samples of ours).
        let tolerance = if n < 3.0 { 0.01 } else { 0.02 };
        assert!((cover - expected).abs() < tolerance, "n {n}: cover {cover}, not {expected}");
        let survivors = if n == 0.5 { 0.361 } else { 0.130 };
        if n <= 1.0 {
            assert!((left - survivors).abs() < 0.01, "n {n}: {left} left, expected {survivors}");
        }
    }
}

/// Statistics of three grounds, their mean: domes/mm², islands/mm², cover, median footprint.
fn mean_of_three(ground: impl Fn(u32) -> Ground, overlapping: bool) -> [f64; 4] {
    let mut mean = [0.0; 4];
    for seed in 0..3 {
        let statistics = ground(seed).statistics(&mut TileCache::new(0), 3);
        assert_eq!(statistics.overlapping, overlapping, "domes overlap or not: {statistics:?}");
        assert!(statistics.rubs_off < 1e-9, "nothing rubs off this ground");
        let found = [
            statistics.domes_per_mm2,
            statistics.islands_per_mm2,
            statistics.cover,
            statistics.median_footprint_um,
        ];
        for (mean, found) in mean.iter_mut().zip(found) {
            *mean += found / 3.0;
        }
    }
    mean
}

#[test]
fn the_default_ground_is_the_one_of_the_second_model() {
    // second-model.md, default row: 352 domes per mm², cover 0.505, and 117 islands on a raster, which are 140 by
    // exact geometry (second_model/table.rs).
    let seeded = |seed| chain_ground(&plan::Plan::default(), seed);
    let [domes, islands, cover, median] = mean_of_three(seeded, true);
    assert!((domes / 352.0 - 1.0).abs() < 0.05, "{domes} domes/mm²");
    assert!((islands / 140.0 - 1.0).abs() < 0.05, "{islands} islands/mm²");
    assert!((cover - 0.505).abs() < 0.02, "cover {cover}");
    assert!((25.0..60.0).contains(&median), "median footprint {median} µm");
}

#[test]
fn with_edges_that_give_way_the_ground_is_the_one_of_the_first_chain() {
    // chain.md: 151 domes/mm² ± 8 %, cover 0.516 ± 0.02, median footprint 46.7 µm (± 10 % here:
    // the chain gives no tolerance).
    let [domes, islands, cover, median] = mean_of_three(first_model::ground, false);
    assert!((domes / 151.0 - 1.0).abs() < 0.08, "{domes} domes/mm²");
    assert!((islands / domes - 1.0).abs() < 1e-3, "{islands} islands/mm²: each dome is one");
    assert!((cover - 0.516).abs() < 0.02, "cover {cover}");
    assert!((median / 46.7 - 1.0).abs() < 0.10, "median footprint {median} µm");
}

#[test]
fn merging_keeps_every_bit_of_resin() {
    // Row 22: equal to 1e-9 relative.
    let ground = chain_ground(&plan::Plan::default(), 2);
    let mut grains = Vec::new();
    ground.grains(-7, 12, 40, &mut grains);
    let before: f64 = grains.iter().map(|grain| grain.volume_um3).sum();
    let tile = ground.patch((-7, 12), 40, 0.0, &mut MeltScratch::default());
    let after: f64 = tile.volumes_um3.iter().sum();
    assert!((after / before - 1.0).abs() < 1e-9, "{before} µm³ before, {after} µm³ after");
    assert!(tile.domes.len() * 4 < grains.len() * 3, "they did merge");
}

#[test]
fn grains_land_at_random() {
    // Poisson: variance of the counts equals the mean (closed form); index of dispersion of 60²
    // cells within 4 standard errors, √(2/cells). Quadrats of 4 × 4 cells just so: no order
    // between neighbours.
    let ground = chain_ground(&plan::Plan::default(), 9);
    let mut grains = Vec::new();
    ground.grains(-30, 1000, 60, &mut grains);
    let cell_um = ground.cell_um() as f32;
    for side in [1_usize, 4] {
        let across = 60 / side;
        let mut counts = vec![0.0_f64; across * across];
        for grain in &grains {
            let column = (grain.x_um / cell_um) as usize / side;
            let row = (grain.y_um / cell_um) as usize / side;
            counts[row * across + column] += 1.0;
        }
        let cells = counts.len() as f64;
        let mean = counts.iter().sum::<f64>() / cells;
        let variance = counts.iter().map(|c| (c - mean) * (c - mean)).sum::<f64>() / (cells - 1.0);
        let error = (2.0 / cells).sqrt();
        assert!((variance / mean - 1.0).abs() < 4.0 * error, "{side}: {variance} against {mean}");
        let expected = ground.grains_per_mm2() * (f64::from(cell_um) * side as f64 * 1e-3);
        let expected = expected * f64::from(cell_um) * side as f64 * 1e-3;
        let error = (expected / cells).sqrt();
        assert!((mean - expected).abs() < 4.0 * error, "{side}: {mean} a cell, not {expected}");
    }
}

#[test]
fn grains_have_the_sizes_that_landed() {
    // Kolmogorov–Smirnov against the landed classes: below 1.95 / √n at the level 0.001 (Massey,
    // J. Am. Stat. Assoc. 46, 68 (1951), from memory), and the resin that landed to 3 %.
    let plan = plan::Plan::default();
    let constants = plate::constants::Constants::default();
    let dust = dust::land(&plan.dust, &constants.dust);
    let ground = chain_ground(&plan, 4);
    let mut grains = Vec::new();
    ground.grains(0, 0, 128, &mut grains);
    let diameter = |volume: f64| (volume * 6.0 / PI / dust.solid_share).cbrt();
    let mut sizes: Vec<f64> = grains.iter().map(|grain| diameter(grain.volume_um3)).collect();
    sizes.sort_by(f64::total_cmp);
    let (mut sum, mut worst) = (0.0, 0.0_f64);
    for class in &dust.classes {
        sum += class.grains_per_mm2 / dust.grains_per_mm2;
        let below = sizes.partition_point(|&size| size < class.to_um) as f64 / sizes.len() as f64;
        worst = worst.max((below - sum).abs());
    }
    let limit = 1.95 / (sizes.len() as f64).sqrt();
    assert!(worst < limit, "largest distance {worst}, limit {limit}");
    let area_um2 = 128.0 * 128.0 * ground.cell_um() * ground.cell_um();
    let film_um = grains.iter().map(|grain| grain.volume_um3).sum::<f64>() / area_um2;
    let expected = dust.mass_g_per_m2 / constants.dust.resin_density_kg_per_m3 * 1e3;
    assert!((film_um / expected - 1.0).abs() < 0.03, "{film_um} µm, landed {expected} µm");
}

#[test]
fn loose_discs_obey_the_boolean_model() {
    // Rows 10–13. Chiu, Stoyan, Kendall & Mecke, Stochastic Geometry and its Applications, 3rd ed.
    // 2013, §3.2: C = 1 − e^−n, L r = 2n e^−n, χπr² = n(1 − n)e^−n; isolated grains (1 − C)⁴
    // (Poisson, closed form). Measured exactly on the discs' arcs.
    for n in [0.3, std::f64::consts::LN_2, 1.0, 1.5] {
        let found = discs::measure(n, 11);
        let (cover, perimeter) = (1.0 - (-n).exp(), 2.0 * n * (-n).exp());
        let euler = n * (1.0 - n) * (-n).exp();
        let alone = (-4.0 * n).exp();
        println!("n {n:.3}: {found:?}");
        assert!((found.cover - cover).abs() < 0.006, "n {n}: cover {} not {cover}", found.cover);
        let ratio = found.perimeter_r / perimeter;
        assert!((ratio - 1.0).abs() < 0.02, "n {n}: perimeter {ratio} of {perimeter}");
        assert!((found.euler - euler).abs() < 0.01, "n {n}: Euler {} not {euler}", found.euler);
        let off = (found.isolated - alone).abs();
        assert!(off < 0.006, "n {n}: isolated {} not {alone}", found.isolated);
    }
}

#[test]
fn loose_discs_percolate_where_published() {
    // Row 14: cover 0.67634831 ± 0.01, Mertens & Moore, Phys. Rev. E 86, 061109 (2012).
    let seeds = 24;
    let mean = (0..seeds).map(discs::percolation_cover).sum::<f64>() / f64::from(seeds);
    println!("percolates at cover {mean:.4}");
    assert!((mean - 0.676_348_31).abs() < 0.01, "percolates at cover {mean}");
}

#[test]
fn windows_agree_where_they_overlap() {
    let ground = chain_ground(&plan::Plan::default(), 1);
    let (mut one, mut other) = (Vec::new(), Vec::new());
    // Computed from scratch each, in another order, negative places included.
    for (left, top) in [(-500.0, -300.0), (2900.0, 3000.25), (148_000.0, 199_000.5)] {
        let mut caches = (TileCache::new(0), TileCache::new(1_000_000));
        let _ = caches.1.gather(&ground, left + 9000.0, top, 800.0, 800.0, 0.0, &mut other);
        let first = caches.0.gather(&ground, left, top, 2000.0, 1500.0, 30.0, &mut one);
        let second =
            caches.1.gather(&ground, left + 700.5, top + 400.0, 2000.0, 1500.0, 30.0, &mut other);
        assert!(first && second, "domes overlap here and there");
        let inside =
            |dome: &&Dome| (0.0..1299.0).contains(&dome.x_um) && (0.0..1099.0).contains(&dome.y_um);
        let moved: Vec<Dome> = one
            .iter()
            .map(|dome| Dome { x_um: dome.x_um - 700.5, y_um: dome.y_um - 400.0, ..*dome })
            .collect();
        let (mut a, mut b): (Vec<_>, Vec<_>) =
            (moved.iter().filter(inside).collect(), other.iter().filter(inside).collect());
        let order = |p: &&Dome, q: &&Dome| p.radius_um.total_cmp(&q.radius_um);
        a.sort_by(order);
        b.sort_by(order);
        assert!(a.len() > 150 && a.len() == b.len(), "{} domes and {}", a.len(), b.len());
        for (a, b) in a.iter().zip(&b) {
            assert!(a.radius_um.to_bits() == b.radius_um.to_bits(), "radii alike to the last bit");
            assert!((a.x_um - b.x_um).abs() < 5e-4, "{} and {} µm", a.x_um, b.x_um);
            assert!((a.y_um - b.y_um).abs() < 5e-4, "{} and {} µm", a.y_um, b.y_um);
        }
    }
}

#[test]
fn a_tile_is_a_function_of_recipe_and_place() {
    let ground = chain_ground(&plan::Plan::default(), 1);
    let mut bench = MeltScratch::default();
    let _ = ground.tile_with(5, 5, &mut bench);
    let tile = ground.tile_with(2, -3, &mut bench);
    assert_eq!(tile, ground.tile(2, -3), "a used bench gives the same tile");
    let again = chain_ground(&plan::Plan::default(), 1);
    assert_eq!(tile, again.tile(2, -3), "the same recipe gives the same tile");
    let others = [ground.tile(3, -3), ground.tile(2, -2), ground.tile(-3, 2)];
    let reseeded = chain_ground(&plan::Plan::default(), 2).tile(2, -3);
    for other in others.iter().chain([&reseeded]) {
        assert!(tile.domes != other.domes, "no tile repeats another");
    }
}

#[test]
fn no_seam_shows() {
    // Cover within 1 % of the mean along the borders of tiles, 1.5 m of them for each of two
    // grounds; and how many domes lie so near to another there that they should have merged, which is where two
    // tiles disagreed. With edges that give way that is any that overlap.
    let mut plan = plan::Plan::default();
    let baked = bake::bake(&plan.bake, plan.plate.thickness_mm, &bake::BakeConstants::default());
    let touch = 1.0 - baked.last_step().pinning;
    assert!((0.5..0.67).contains(&touch), "domes merge nearer than {touch} of their radii");
    let mut as_it_is = seams::Seams::default();
    for seed in [6, 7] {
        as_it_is.add(&chain_ground(&plan, seed), 16, touch as f32);
    }
    let mut gives_way = seams::Seams::default();
    for seed in [6, 7] {
        gives_way.add(&first_model::ground(seed), 16, 1.0);
    }
    // A nearly closed one, whose domes merge over and over.
    plan.dust.powder_g_per_m2 *= 4.0;
    let mut closed = seams::Seams::default();
    closed.add(&chain_ground(&plan, 6), 10, touch as f32);
    for (name, seams) in [("default", as_it_is), ("gives way", gives_way), ("closed", closed)] {
        println!("{name}: {seams:?}");
        let (mean, border) = (seams.mean(), seams.border());
        assert!(
            (border / mean - 1.0).abs() < 0.01,
            "{name}: cover {border} along borders, {mean} on the whole"
        );
        let clashes = seams.clashes_per_mm();
        assert!(
            clashes < 0.08,
            "{name}: {clashes} clashes a mm of border, which some 10 domes cross"
        );
    }
}

#[test]
fn a_proof_gone_over_again_finds_the_ground_it_began_with() {
    let ground = chain_ground(&plan::Plan::default(), 1);
    let mut cache = TileCache::new(700_000);
    let mut domes = Vec::new();
    let place = |tile: u32| f64::from(tile) * ground.tile_um() + 1000.0;
    let held = |cache: &mut TileCache, tile: u32| {
        // Nothing is left to be laid where the tile is held.
        let (from_um, to_um) = ((place(tile), 1000.0), (place(tile) + 500.0, 1500.0));
        !cache.lay_ahead(Extent::ENDLESS, &ground, from_um, to_um)
    };
    for tile in 0..130 {
        let _ = cache.gather(&ground, place(tile), 1000.0, 500.0, 500.0, 0.0, &mut domes);
    }
    assert!(cache.domes() <= 700_000, "{} domes held", cache.domes());
    assert!(held(&mut cache, 0) && held(&mut cache, 8), "what it began with is still there");
    assert!(held(&mut cache, 129) && held(&mut cache, 100), "and what is near by");
    assert!(!held(&mut cache, 40), "what lies between has made room");
}

#[test]
fn the_cache_stays_small() {
    let ground = chain_ground(&plan::Plan::default(), 1);
    let mut cache = TileCache::new(14_000);
    let mut domes = Vec::new();
    for step in 0..12 {
        let left = f64::from(step) * 3000.0;
        let _ = cache.gather(&ground, left, 0.0, 2000.0, 2000.0, 0.0, &mut domes);
        assert!(cache.len() <= 6 && cache.domes() < 46_000, "{} tiles held", cache.len());
    }
    let held = cache.len();
    let _ = cache.gather(&ground, 33_000.0, 0.0, 2000.0, 2000.0, 0.0, &mut domes);
    assert_eq!(held, cache.len(), "the same window again needs no new tile");
}

#[test]
fn statistics_of_so_many_tiles_lay_no_more() {
    let ground = chain_ground(&plan::Plan::default(), 1);
    for tiles in [1, 2] {
        let mut cache = TileCache::new(usize::MAX);
        let _ = ground.statistics(&mut cache, tiles);
        assert_eq!(cache.len(), (tiles * tiles) as usize, "{tiles} tiles square");
    }
}

#[test]
fn a_tile_is_what_its_cells_and_the_named_margin_make() {
    let ground = chain_ground(&plan::Plan::default(), 1);
    let cells = (ground.tile_um() / ground.cell_um()) as i32;
    let of = |margin_um| {
        ground.patch((2 * cells, -cells), cells, margin_um, &mut MeltScratch::default())
    };
    assert_eq!(of(ground.margin_um()), ground.tile(2, -1), "the named margin");
    assert!(of(1.0) != ground.tile(2, -1), "hardly any");
}

#[test]
fn thick_dust_is_drawn_in_cells_as_wide_as_its_domes() {
    let constants = plate::constants::Constants::default();
    let plan = plan::Plan::default();
    let baked = bake::bake(&plan.bake, plan.plate.thickness_mm, &constants.bake);
    // Worked by hand: 6.5 times the film, rounded up to 100 µm times a power of two.
    for (film_um, cell_um) in
        [(5.0, 100.0), (14.0, 100.0), (17.0, 200.0), (40.0, 400.0), (90.0, 800.0)]
    {
        let mut dust = plan.dust.clone();
        let landed_um = |dust: &plan::Dust| {
            let g_per_m2 = dust::land(dust, &constants.dust).mass_g_per_m2;
            g_per_m2 / constants.dust.resin_density_kg_per_m3 * 1e3
        };
        dust.powder_g_per_m2 *= film_um / landed_um(&dust);
        let ground = Ground::new(&dust::land(&dust, &constants.dust), &baked, 1);
        assert_eq!(ground.cell_um(), cell_um, "a film of {film_um} µm");
    }
}

#[test]
fn grains_of_one_step_are_even_in_ln_of_their_volume() {
    let step = SizeStep { per_mm2: 1.0, ln_from: 5.0, ln_width: 0.15 };
    let sizes = Sizes::new(&[step]);
    for k in 0..=16_u32 {
        let share = f64::from(k) / 16.0;
        let drawn = f64::from(sizes.draw((share * f64::from(u32::MAX)) as u32));
        let exact = libm::exp(step.ln_from + share * step.ln_width);
        assert!((drawn / exact - 1.0).abs() < 2.2e-5, "{drawn}, not {exact}, at {share}");
    }
}

#[test]
fn wide_classes_are_cut_until_the_draw_is_exact_enough() {
    let mut plan = plan::Plan::default();
    plan.dust.spread_gsd = 3.0;
    let landed = dust::land(&plan.dust, &plate::constants::Constants::default().dust);
    let steps = size_steps(&landed, 0.0);
    assert!(steps.len() > landed.classes.len(), "these classes are wider than a step");
    assert!(steps.iter().all(|step| step.ln_width <= 0.15 + 1e-9), "none is wider than 0.15");
    let grains: f64 = steps.iter().map(|step| step.per_mm2).sum();
    assert!((grains / landed.grains_per_mm2 - 1.0).abs() < 1e-9, "as many grains as landed");
    for pair in steps.windows(2) {
        let (end, next) = (pair[0].ln_from + pair[0].ln_width, pair[1].ln_from);
        assert!((end - next).abs() < 1e-9, "each step begins where the one before ends: {pair:?}");
    }
}
