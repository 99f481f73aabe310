//! Dense grounds and islands: right, and in bounded time and memory.

use super::piece::{Piece, plan_of};
use plan::Plan;
use plate::ground::{Dome, Ground, TileCache, statistics};
use plate::{bake, constants::Constants, dust};

fn ground_of(plan: &Plan) -> Ground {
    let constants = Constants::default();
    let landed = dust::land(&plan.dust, &constants.dust);
    let baked = bake::bake(&plan.bake, plan.plate.thickness_mm, &constants.bake);
    Ground::new(&landed, &baked, plan.seed)
}

#[test]
fn islands_are_counted_as_a_raster_shows_them() {
    // Flood fill over the raster of distances: connected resin, by pixels of 0.75 µm.
    for times in [0.7, 1.0, 1.5] {
        let plan = plan_of(|plan| plan.dust.powder_g_per_m2 *= times);
        let (side, px_um) = (1500_usize, 0.75_f32);
        let side_um = side as f32 * px_um;
        let mut domes = Vec::new();
        let ground = ground_of(&plan);
        let overlapping = TileCache::new(0).gather(
            &ground,
            500.0,
            500.0,
            f64::from(side_um),
            f64::from(side_um),
            30.0,
            &mut domes,
        );
        // Only whole islands inside, so that both count the same.
        let inside = |dome: &Dome| {
            dome.x_um > dome.radius_um
                && dome.y_um > dome.radius_um
                && dome.x_um + dome.radius_um < side_um
                && dome.y_um + dome.radius_um < side_um
        };
        domes.retain(inside);
        let mut under_um = Vec::new();
        plate::resist::distance_under_resin(
            &domes,
            overlapping,
            side,
            side,
            px_um,
            30.0,
            &mut plate::resist::ResistScratch::default(),
            &mut under_um,
        );
        let mut open: Vec<bool> = under_um.iter().map(|&um| um <= 0.0).collect();
        let mut seen = 0.0;
        for from in 0..open.len() {
            if open[from] {
                continue;
            }
            seen += 1.0;
            let mut todo = vec![from];
            while let Some(at) = todo.pop() {
                if open[at] {
                    continue;
                }
                open[at] = true;
                let (x, y) = (at % side, at / side);
                let beside = |dx: usize, dy: usize| dx == x || dy == y;
                for dy in y.saturating_sub(1)..=(y + 1).min(side - 1) {
                    for dx in x.saturating_sub(1)..=(x + 1).min(side - 1) {
                        if beside(dx, dy) && !open[dy * side + dx] {
                            todo.push(dy * side + dx);
                        }
                    }
                }
            }
        }
        let counted = statistics::islands(&domes, side_um);
        // The raster joins islands nearer than a pixel: a few of a hundred at this size, a seventh at 4 µm.
        let off = counted / seen - 1.0;
        assert!((0.0..0.08).contains(&off), "× {times}: {counted} islands, {seen} seen");
    }
}

#[test]
fn dense_grounds_stay_right_and_workable() {
    let closed = Piece::of(plan_of(|plan| plan.dust.powder_g_per_m2 *= 4.0));
    assert!((closed.cover - 0.94).abs() < 0.02, "{}", closed.cover);
    type Change = fn(&mut Plan);
    let dense: [(&str, f64, Change); 4] = [
        ("four times, six dustings", 0.98, |p| {
            p.dust.powder_g_per_m2 *= 4.0;
            p.dust.dustings = 6.0;
        }),
        ("all there is, fine", 0.98, |p| {
            p.dust.median_um = 10.0;
            (p.dust.powder_g_per_m2, p.dust.dustings) = (200.0, 6.0);
            (p.dust.wait_s, p.dust.dusting_min) = (0.0, 60.0);
        }),
        ("all there is, coarse", 0.98, |p| {
            p.dust.median_um = 200.0;
            (p.dust.powder_g_per_m2, p.dust.dustings) = (200.0, 6.0);
            (p.dust.wait_s, p.dust.dusting_min) = (0.0, 60.0);
        }),
        ("over-baked for an hour", 0.87, |p| {
            (p.bake.hot_plate_c, p.bake.bake_min) = (220.0, 60.0);
        }),
    ];
    for (name, least, change) in dense {
        let ground = ground_of(&plan_of(change));
        let worked_mm = (ground.tile_um() + 2.0 * ground.margin_um()) * 1e-3;
        let grains = ground.grains_per_mm2() * worked_mm * worked_mm;
        assert!(grains < 250_000.0, "{name}: {grains} grains for one tile");
        let found = ground.statistics(&mut TileCache::default(), 1);
        println!("{name}: {found:?}");
        assert!(found.cover > least, "{name}: {found:?}");
        assert!(found.islands_per_mm2 < 3.0, "{name}: one sheet: {found:?}");
    }
}
