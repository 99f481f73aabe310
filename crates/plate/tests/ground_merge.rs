//! The merge against a plain one that follows the same rule and looks at every pair.

use crate::ground_support;

use ground_support::{caps, one_size};
use plan::Plan;
use plate::bake::{self, Baked};
use plate::constants::Constants;
use plate::dust::{self, LandedDust};
use plate::ground::grains::Drop;
use plate::ground::spread::{self, Spread};
use plate::ground::{Dome, Ground, MeltScratch};

/// One drop: place, radius and volume.
#[derive(Clone, Copy, Debug)]
struct Melted {
    x_um: f32,
    y_um: f32,
    radius_um: f32,
    volume_um3: f64,
}

/// Runs two drops together at their common centre of mass.
fn together(a: &Melted, b: &Melted, spread: &Spread) -> Melted {
    let volume_um3 = a.volume_um3 + b.volume_um3;
    let middle = |p: f32, q: f32| {
        ((a.volume_um3 * f64::from(p) + b.volume_um3 * f64::from(q)) * (1.0 / volume_um3)) as f32
    };
    Melted {
        x_um: middle(a.x_um, b.x_um),
        y_um: middle(a.y_um, b.y_um),
        radius_um: spread.radius_um(volume_um3 as f32),
        volume_um3,
    }
}

/// One sweep: of all pairs that touch and may merge, those nearest for their size first, each drop
/// at most once. Returns whether any merged.
fn sweep(drops: &mut Vec<Melted>, spread: &Spread) -> bool {
    let mut pairs = Vec::new();
    for (i, a) in drops.iter().enumerate() {
        for (j, b) in drops.iter().enumerate().skip(i + 1) {
            let (dx, dy) = (a.x_um - b.x_um, a.y_um - b.y_um);
            let sum = a.radius_um + b.radius_um;
            let nearness = (dx * dx + dy * dy) / (sum * sum);
            let may =
                sum < spread.merge_limit_um && a.volume_um3 + b.volume_um3 <= spread.largest_um3;
            if nearness < spread.touch * spread.touch && may {
                pairs.push((nearness, i, j));
            }
        }
    }
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut taken = vec![false; drops.len()];
    let mut merged = Vec::new();
    for (_, i, j) in pairs {
        if !taken[i] && !taken[j] {
            (taken[i], taken[j]) = (true, true);
            merged.push(together(&drops[i], &drops[j], spread));
        }
    }
    let any = !merged.is_empty();
    merged.extend(drops.iter().zip(&taken).filter(|(_, taken)| !**taken).map(|(drop, _)| *drop));
    *drops = merged;
    any
}

/// Melts grains step by step, as plainly as it can be said. Also returns whether domes overlap.
fn melt(mut grains: Vec<Drop>, spreads: &[Spread]) -> (Vec<Melted>, bool) {
    let mut drops: Vec<Melted> = Vec::new();
    for spread in spreads {
        for drop in &mut drops {
            drop.radius_um = spread.radius_um(drop.volume_um3 as f32);
        }
        grains.retain(|grain| {
            let holds = spread.holds(grain.volume_um3 as f32);
            if holds {
                let radius_um = spread.radius_um(grain.volume_um3 as f32);
                let Drop { x_um, y_um, volume_um3 } = *grain;
                drops.push(Melted { x_um, y_um, radius_um, volume_um3 });
            }
            !holds
        });
        while sweep(&mut drops, spread) {}
    }
    let overlap = drops.iter().enumerate().any(|(i, a)| {
        drops[i + 1..].iter().any(|b| {
            let (dx, dy) = (a.x_um - b.x_um, a.y_um - b.y_um);
            let sum = a.radius_um + b.radius_um;
            dx * dx + dy * dy < sum * sum
        })
    });
    (drops, overlap)
}

/// The bake's steps as the ground prepares them; the volumes wide enough for anything.
fn spreads(dust: &LandedDust, baked: &Baked, ground: &Ground) -> Vec<Spread> {
    let steps = plate::ground::grains::size_steps(dust, 1e-6);
    let least = steps.iter().map(|step| step.from_um3()).fold(f64::INFINITY, f64::min);
    let most = steps.iter().map(|step| step.to_um3()).fold(0.0, f64::max);
    let last = &baked.steps.last().expect("a step").footprint;
    let largest_um3 = spread::volume_um3(last, ground.largest_um()).max(most);
    baked.steps.iter().map(|step| Spread::new(step, (least, largest_um3), largest_um3)).collect()
}

/// Compares both on some squares of this many cells; returns how many domes were compared.
fn compare(name: &str, dust: &LandedDust, baked: &Baked, cells: i32) -> usize {
    let ground = Ground::new(dust, baked, 3);
    assert!(!ground.pooled(), "{name}: the plain one draws every grain");
    let spreads = spreads(dust, baked, &ground);
    let (mut bench, mut grains, mut compared) = (MeltScratch::default(), Vec::new(), 0);
    for place in 0..6 {
        ground.grains(place * 50, -place, cells, &mut grains);
        let (plain, overlap) = melt(grains.clone(), &spreads);
        let tile = ground.patch((place * 50, -place), cells, 0.0, &mut bench);
        assert_eq!(tile.overlapping, overlap, "{name}: overlaps or not");
        assert_eq!(tile.domes.len(), plain.len(), "{name}: as many domes at place {place}");
        let mut fast: Vec<(Dome, f64)> =
            tile.domes.iter().copied().zip(tile.volumes_um3.iter().copied()).collect();
        fast.sort_by(|a, b| a.0.x_um.total_cmp(&b.0.x_um).then(a.0.y_um.total_cmp(&b.0.y_um)));
        let mut plain = plain;
        plain.sort_by(|a, b| a.x_um.total_cmp(&b.x_um).then(a.y_um.total_cmp(&b.y_um)));
        for ((dome, volume_um3), plain) in fast.iter().zip(&plain) {
            let same = (dome.x_um, dome.y_um, dome.radius_um, *volume_um3)
                == (plain.x_um, plain.y_um, plain.radius_um, plain.volume_um3);
            assert!(same, "{name}: {dome:?} holding {volume_um3} µm³, plainly {plain:?}");
        }
        compared += plain.len();
    }
    compared
}

/// The default plan, changed.
fn plan_of(change: impl Fn(&mut Plan)) -> (LandedDust, Baked) {
    let mut plan = Plan::default();
    change(&mut plan);
    let constants = Constants::default();
    let dust = dust::land(&plan.dust, &constants.dust);
    (dust, bake::bake(&plan.bake, plan.plate.thickness_mm, &constants.bake))
}

#[test]
fn every_dome_is_where_the_plain_merge_puts_it() {
    // Same rule, same arithmetic for each pair: equal to the last bit.
    let (dust, baked) = plan_of(|_| {});
    let compared = compare("default", &dust, &baked, 12);
    assert!(compared > 800, "{compared} domes");
}

#[test]
fn so_it_is_under_other_bakes() {
    for (hot_plate_c, bake_min) in [(64.0, 8.0), (72.0, 8.0), (150.0, 15.0), (190.0, 10.0)] {
        let (dust, baked) = plan_of(|plan| {
            plan.bake.hot_plate_c = hot_plate_c;
            plan.bake.bake_min = bake_min;
        });
        let compared = compare(&format!("{hot_plate_c} °C"), &dust, &baked, 9);
        assert!(compared > 100, "{hot_plate_c} °C: {compared} domes");
    }
}

#[test]
fn so_it_is_with_pinned_and_with_large_drops() {
    for pinning in [0.0, 0.4, 1.0] {
        let compared = compare("pinned", &one_size(10.0, 1.5), &caps(55.0, pinning), 10);
        assert!(compared > 300, "pinned {pinning}: {compared} domes");
    }
    // Few coarse grains among many fine ones: most drops are far smaller than the largest.
    let mut mixed = one_size(6.0, 0.6);
    mixed.classes.push(one_size(60.0, 0.3).classes[0]);
    let compared = compare("mixed", &mixed, &caps(55.0, 0.0), 10);
    assert!(compared > 300, "{compared} domes");
    // Domes that stop merging where they would grow too large.
    let mut limited = caps(55.0, 0.0);
    limited.steps[0].merge_limit_um = 45.0;
    let compared = compare("limited", &one_size(10.0, 1.5), &limited, 10);
    assert!(compared > 300, "{compared} domes");
}
