//! Watching: every moment is the plate as it would be had the work stopped there.

use crate::common;
mod worked;

use common::{Everywhere, Seen, plate_with};
use plan::{Plan, Settling};
use plate::bake;
use plate::chain::Field;
use plate::constants::Constants;
use plate::dust;
use plate::grid::Grid;
use study::timeline::{self, Moment, Stage, TimelineScratch, Work};

/// A place 0.6 × 0.4 mm across the border between the dark and the white half of the print.
const PLACE: Grid = Grid { left_px: 37_350, top_px: 20_000, width: 300, height: 200, px_um: 2.0 };

fn halves() -> Seen {
    plate_with(&Plan::default(), Everywhere::half(7, 5))
}

fn stages_of(seen: &Seen) -> Vec<Stage> {
    timeline::stages(&seen.plate, &seen.view)
}

fn stage(plate: &Seen, work: Work, bite: usize) -> Stage {
    stages_of(plate).into_iter().find(|one| one.work == work && one.bite == bite).expect("a stage")
}

fn moment(
    seen: &mut Seen,
    grid: &Grid,
    stage: &Stage,
    share: f64,
    kept: &mut TimelineScratch,
) -> Moment {
    timeline::moment(&seen.plate, &seen.view, &mut seen.renderer, grid, stage, share, kept)
}

fn mass_of(dust: &plan::Dust) -> f64 {
    dust::land(dust, &Constants::default().dust).mass_g_per_m2
}

#[test]
fn dust_lands_as_in_a_plan_with_fewer_minutes() {
    for settling in [Settling::Stirred, Settling::Still] {
        let mut plan = Plan::default();
        plan.dust.settling = settling;
        let mut plate = plate_with(&plan, Everywhere::half(7, 5));
        // A large place at coarse pixels, so that there are grains enough to count.
        let place = Grid { left_px: 2000, top_px: 2000, width: 400, height: 300, px_um: 10.0 };
        let fall = stage(&plate, Work::Dust, 0);
        let mut kept = TimelineScratch::default();
        let mut before = 0;
        for share in [0.0, 0.1, 0.35, 0.7, 1.0] {
            let now = moment(&mut plate, &place, &fall, share, &mut kept).numbers;
            let short =
                plan::Dust { dusting_min: share * plan.dust.dusting_min, ..plan.dust.clone() };
            // Independent of how grains are told apart: the number the same box lands in that time. The finest
            // grains are left out of both by their own rules, so the shares of the whole are compared.
            let landed = dust::land(&short, &Constants::default().dust);
            let whole = dust::land(&plan.dust, &Constants::default().dust);
            let from_um = whole.classes[0].from_um;
            let per_mm2: f64 = landed
                .classes
                .iter()
                .filter(|class| class.from_um >= 0.999 * from_um)
                .map(|class| class.grains_per_mm2)
                .sum();
            let expected = per_mm2 * 12.0;
            let off = (now.grains as f64 - expected).abs();
            let deviation = expected.sqrt();
            assert!(
                off <= 4.5 * deviation + 0.01 * expected,
                "{settling:?} after {share} of the minutes {} grains, expected {expected:.0}",
                now.grains
            );
            assert!(now.grains >= before, "grains never leave");
            assert!(
                (now.landed_g_per_m2 - mass_of(&short)).abs() < 1e-12,
                "the weight is the shorter plan's"
            );
            before = now.grains;
        }
        assert!(before > 1000, "enough grains to count: {before}");
    }
}

#[test]
fn every_dusting_falls_in_its_turn() {
    let mut plan = Plan::default();
    plan.dust.dustings = 3.0;
    let mut plate = plate_with(&plan, Everywhere::half(7, 5));
    let place = Grid { left_px: 2000, top_px: 2000, width: 400, height: 300, px_um: 10.0 };
    let fall = stage(&plate, Work::Dust, 0);
    assert_eq!(fall.length, 3.0 * plan.dust.dusting_min, "minutes in the box, all three");
    let mut kept = TimelineScratch::default();
    let mut at = |share: f64| moment(&mut plate, &place, &fall, share, &mut kept).numbers;
    let one = plan::Dust { dustings: 1.0, ..plan.dust.clone() };
    let (each, all) = (mass_of(&one), mass_of(&plan.dust));
    assert!((all - 3.0 * each).abs() < 1e-12, "three times as much in all");
    let mut before = 0;
    for k in 1..=3 {
        let now = at(f64::from(k) / 3.0);
        assert!((now.landed_g_per_m2 - f64::from(k) * each).abs() < 1e-9, "after {k} dustings");
        let added = (now.grains - before) as f64;
        let expected = 12.0 * dust::land(&one, &Constants::default().dust).grains_per_mm2;
        assert!((added - expected).abs() < 4.5 * expected.sqrt(), "{added} grains, not {expected}");
        before = now.grains;
    }
    // The cloud is raised anew each time.
    let (end, begun) = (at(0.32), at(0.34));
    assert!(begun.cloud_g_per_m3 > 3.0 * end.cloud_g_per_m3, "{begun:?} after {end:?}");
}

/// A long, low place at coarse pixels, so that its middle row cuts many grains.
const STRIP: Grid = Grid { left_px: 1000, top_px: 2000, width: 1200, height: 8, px_um: 10.0 };

#[test]
fn grains_are_seen_to_fall_evenly_and_land_when_they_touch() {
    // Seen from 70 µm up, for 6 % of the minutes.
    let (from_um, falls) = (70.0, 0.06);
    let mut plate = halves();
    let fall = stage(&plate, Work::Dust, 0);
    let mut kept = TimelineScratch::default();
    let mut cut = |share: f64| -> Vec<[f32; 3]> {
        let now = moment(&mut plate, &STRIP, &fall, share, &mut kept).side.balls_um;
        now.chunks_exact(3).map(|ball| [ball[0], ball[1], ball[2]]).collect()
    };
    let lie = cut(1.0);
    assert!(lie.len() > 60, "the row cuts {} grains", lie.len());
    // How far over its place each grain of the row is, by its place and chord; those not seen yet left out.
    let mut above = |share: f64| -> Vec<Option<f64>> {
        let now = cut(share);
        assert!(now.len() <= lie.len(), "no grain comes and goes");
        let same = |a: &[f32; 3], b: &[f32; 3]| (a[0], a[2]) == (b[0], b[2]);
        lie.iter()
            .map(|end| now.iter().find(|ball| same(ball, end)).map(|b| f64::from(b[1] - end[1])))
            .collect()
    };
    assert!(above(1.0).iter().all(|above| *above == Some(0.0)), "at last all lie");
    let mut falling = 0;
    for share in [0.05, 0.2, 0.35, 0.5, 0.65, 0.8] {
        let (first, then) = (above(share), above(share + 0.02));
        for (first_um, then_um) in first.iter().zip(&then) {
            let Some(first_um) = *first_um else { continue };
            let then_um = then_um.expect("a grain once seen stays");
            assert!((0.0..=from_um).contains(&first_um), "{first_um} µm up");
            let fallen_um = from_um / falls * 0.02;
            let expected = (first_um - fallen_um).max(0.0);
            assert!((then_um - expected).abs() < 0.01, "from {first_um} to {then_um} µm");
            falling += usize::from(first_um > 0.0);
        }
    }
    assert!(falling > 10, "{falling} seen falling");
}

#[test]
fn the_air_thins_and_refines_as_the_grains_sink() {
    let c = Constants::default().dust;
    for settling in [Settling::Stirred, Settling::Still] {
        let mut plan = Plan::default();
        (plan.dust.settling, plan.dust.dustings) = (settling, 2.0);
        let mut plate = plate_with(&plan, Everywhere::half(7, 5));
        // Independent: the weight in the air is lognormal, each size thinned by its own speed; 4000 midpoints.
        let in_the_air = |after_s: f64| {
            let sigma = libm::log(plan.dust.spread_gsd);
            let sizes = (0..4000).map(|i| {
                let z = -6.0 + 12.0 * (f64::from(i) + 0.5) / 4000.0;
                let um = plan.dust.median_um * libm::exp(sigma * z);
                let density = c.resin_density_kg_per_m3 * c.solid_share;
                let velocity = dust::settling_velocity_m_per_s(um, density, &c);
                let height_m = plan.dust.box_height_m;
                let left = dust::airborne_fraction(velocity, after_s, height_m, settling);
                (um, libm::exp(-0.5 * z * z) * left * 12.0 / 4000.0 / 2.506_628_3)
            });
            let sizes: Vec<(f64, f64)> = sizes.collect();
            let all: f64 = sizes.iter().map(|(_, weight)| weight).sum();
            let mut below = 0.0;
            let half = sizes.iter().find(|(_, weight)| {
                below += weight;
                below >= 0.5 * all
            });
            (all * plan.dust.powder_g_per_m2 / plan.dust.box_height_m, half.expect("a half").0)
        };
        let (wait, fall) = (stage(&plate, Work::Wait, 0), stage(&plate, Work::Dust, 0));
        let mut kept = TimelineScratch::default();
        let (wait_s, one_s) = (plan.dust.wait_s, 60.0 * plan.dust.dusting_min);
        for (stage, share, after_s) in [
            (&wait, 0.0, 0.0),
            (&wait, 0.5, 0.5 * wait_s),
            (&wait, 1.0, wait_s),
            (&fall, 0.1, wait_s + 0.2 * one_s),
            (&fall, 0.6, wait_s + 0.2 * one_s),
        ] {
            let now = moment(&mut plate, &PLACE, stage, share, &mut kept).numbers;
            let (cloud, half_um) = in_the_air(after_s);
            let what = format!("{settling:?}, {after_s} s after stirring");
            assert!((now.cloud_g_per_m3 / cloud - 1.0).abs() < 0.003, "{what}: {cloud}, {now:?}");
            // A size class is 3 % wide.
            assert!((now.airborne_um / half_um - 1.0).abs() < 0.025, "{what}: {half_um}, {now:?}");
        }
    }
}

#[test]
fn the_numbers_told_are_those_of_the_picture() {
    let mut plate = halves();
    let mut kept = TimelineScratch::default();
    let mean = |of: &[f32]| of.iter().map(|&one| f64::from(one)).sum::<f64>() / of.len() as f64;
    let (fall, melt) = (stage(&plate, Work::Dust, 0), stage(&plate, Work::Bake, 0));
    let fallen = moment(&mut plate, &PLACE, &fall, 1.0, &mut kept);
    assert!((fallen.numbers.cover - mean(&fallen.loose)).abs() < 1e-9, "{:?}", fallen.numbers);
    let constants = Constants::default().bake;
    let plan = Plan::default();
    let warming = bake::heat::Warming::new(&plan.bake, plan.plate.thickness_mm, &constants);
    for share in [0.0, 0.3, 1.0] {
        let now = moment(&mut plate, &PLACE, &melt, share, &mut kept);
        // Closed form: T∞ + (T_room − T∞)·e^(−t/τ).
        let cold = libm::exp(-60.0 * share * plan.bake.bake_min / warming.time_constant_s);
        let plate_c = warming.settles_c + (plan.bake.room_c - warming.settles_c) * cold;
        assert!((now.numbers.plate_c - plate_c).abs() < 1e-9, "{plate_c} °C: {:?}", now.numbers);
        let both: Vec<f32> = now.resin.iter().zip(&now.loose).map(|(a, b)| a.max(*b)).collect();
        assert!((now.numbers.cover - mean(&both)).abs() < 1e-9, "at {share}: {:?}", now.numbers);
    }
    let baked = moment(&mut plate, &PLACE, &melt, 1.0, &mut kept);
    let own = plate.look().copper_section(&PLACE, 0).resin_um;
    let bits = |of: &[f32]| of.iter().map(|um| um.to_bits()).collect::<Vec<_>>();
    assert_eq!(bits(&baked.side.resin_um), bits(&own), "in the cut, too, it is the plate's ground");
    // 0.24 mm² with so many domes a mm².
    let expected = 0.24 * plate.ground_statistics().domes_per_mm2;
    let domes = baked.numbers.domes as f64;
    assert!((domes - expected).abs() < 4.0 * expected.sqrt(), "{domes} domes, not {expected}");
    // The middle row of the picture is what the cut shows.
    let row = |of: &[f32]| of[100 * 300..][..300].to_vec();
    let lifted = |share: f64| (share * 300.0) as usize;
    for (work, share) in [(Work::Ink, 0.5), (Work::Wipe, 0.5), (Work::Print, 0.5)] {
        let stage = stage(&plate, work, 0);
        let now = moment(&mut plate, &PLACE, &stage, share, &mut kept);
        for (column, (ink, depth)) in row(&now.ink_um).iter().zip(row(&now.depth_um)).enumerate() {
            let surface_um = now.side.ink_um[column];
            assert!((surface_um - (ink - depth)).abs() < 1e-5, "{work:?}, {column}: {surface_um}");
            let off = work == Work::Print && column < lifted(share);
            let sheet_um = now.side.sheet_um[column];
            assert!(off || sheet_um.is_nan() || sheet_um == 0.0, "{work:?}: lifted at {column}");
            assert!(off || now.side.printed_um[column] == 0.0, "{work:?}: printed at {column}");
        }
    }
    let (wipe, pull) = (stage(&plate, Work::Wipe, 0), stage(&plate, Work::Print, 0));
    let wiped = moment(&mut plate, &PLACE, &wipe, 1.0, &mut kept);
    let print = moment(&mut plate, &PLACE, &pull, 1.0, &mut kept);
    assert!((wiped.numbers.held_um - mean(&wiped.ink_um)).abs() < 1e-6, "{:?}", wiped.numbers);
    let lightness = plate::light::lightness(mean(&print.sheet));
    assert!((print.numbers.lightness - lightness).abs() < 1e-6, "{:?}", print.numbers);
    assert!(print.side.printed_um.iter().all(|&um| um >= 0.0), "ink on the sheet");
    let taken = mean(&wiped.ink_um) - mean(&print.ink_um);
    assert!((print.numbers.printed_um / taken - 1.0).abs() < 0.05, "{taken}: {:?}", print.numbers);
    let second = stage(&plate, Work::Bite, 2);
    let bite = moment(&mut plate, &PLACE, &second, 0.5, &mut kept);
    assert_eq!(bite.side.stopped, bite.stopped[100 * 300..][..300], "the varnish of the row");
    assert!(bite.side.base_um.iter().all(|&um| um == 0.0), "resin on polished copper");
}

#[test]
fn the_melt_ends_in_the_plates_own_domes_and_loses_no_resin() {
    let mut plate = halves();
    let (mut kept, melt) = (TimelineScratch::default(), stage(&plate, Work::Bake, 0));
    let fall = stage(&plate, Work::Dust, 0);
    let fallen = moment(&mut plate, &PLACE, &fall, 1.0, &mut kept);
    let first = moment(&mut plate, &PLACE, &melt, 0.0, &mut kept);
    assert_eq!(fallen.numbers.grains, first.numbers.grains, "every grain comes to the hot plate");
    assert_eq!(first.numbers.domes, 0, "nothing holds before it is warm");
    assert_eq!(first.loose, fallen.loose, "and they lie where they fell");
    let last = moment(&mut plate, &PLACE, &melt, 1.0, &mut kept);
    let own = plate.look().copper_window(&PLACE, 0);
    assert_eq!(last.resin, own.cover, "the last moment of the bake is the ground, bit for bit");
    assert!(last.numbers.domes > 5, "with domes to see: {}", last.numbers.domes);
    // Grains only ever take hold.
    let mut loose = first.numbers.grains;
    for share in [0.3, 0.5, 0.7, 0.85, 1.0] {
        let now = moment(&mut plate, &PLACE, &melt, share, &mut kept).numbers.grains;
        assert!(now <= loose, "{now} loose grains after {loose}");
        loose = now;
    }
}

#[test]
fn each_bite_ends_where_the_plate_stands_and_nothing_grows_back() {
    let mut plate = halves();
    let mut kept = TimelineScratch::default();
    let mut before: Option<Moment> = None;
    let bites = plate.plan().bites.len();
    for bite in 1..=bites {
        let stage = stage(&plate, Work::Bite, bite);
        for share in [0.0, 0.3, 0.6, 1.0] {
            let now = moment(&mut plate, &PLACE, &stage, share, &mut kept);
            if let Some(before) = &before {
                let deeper = now.depth_um.iter().zip(&before.depth_um).all(|(now, was)| now >= was);
                assert!(deeper, "no copper grows back, bite {bite}, {share}");
                // Places are rounded to an f32 of their window, which grows with the bath's reach.
                let fewer =
                    now.resin.iter().zip(&before.resin).all(|(now, was)| *now <= was + 1e-4);
                assert!(fewer, "no resin comes back, bite {bite}, {share}");
                assert!(
                    now.numbers.undercut_um >= before.numbers.undercut_um,
                    "the undercut grows, bite {bite}, {share}"
                );
            }
            before = Some(now);
        }
        let last = before.as_ref().expect("a moment");
        let own = plate.look().copper_window(&PLACE, bite);
        assert_eq!(
            last.depth_um, own.depth_um,
            "bite {bite} ends bit for bit at the plate's depth"
        );
        assert_eq!(last.resin, own.cover, "and with its ground");
        let minutes: f64 = plate.plan().bites[..bite].iter().map(|bite| bite.bite_min).sum();
        assert!((last.numbers.bath_min - minutes).abs() < 1e-12, "minutes in the bath");
        // The white half is stopped out throughout, the dark half lies open in its own bites only.
        let open = if bite <= 5 { 0.5 } else { 0.0 };
        assert!((last.numbers.open - open).abs() < 0.01, "bite {bite}: open {}", last.numbers.open);
    }
    let deepest = plate.session().dose_um[5];
    let last = before.expect("a moment").numbers;
    assert!((last.deepest_um - deepest).abs() < 1e-4, "as deep as value 5: {}", last.deepest_um);
    let constants = Constants::default();
    let undercut = deepest / constants.bite.etch_factor;
    assert!((last.undercut_um - undercut).abs() < 1e-12, "undercut {}", last.undercut_um);
    let printed = plate.look().values()[5].lightness;
    assert!((last.lightness - printed).abs() < 1e-9, "tells what value 5 prints: {printed}");
}

#[test]
fn ink_is_wiped_and_printed_as_on_the_plate() {
    let mut plate = halves();
    let mut kept = TimelineScratch::default();
    let mut at = |plate: &mut Seen, work, share| {
        let stage = stage(plate, work, 0);
        moment(plate, &PLACE, &stage, share, &mut kept)
    };
    let dabbed = at(&mut plate, Work::Ink, 1.0);
    assert!(
        dabbed.ink_um.iter().zip(&dabbed.depth_um).all(|(ink, depth)| ink > depth),
        "ink fills the pits and stands over them"
    );
    let wiped = at(&mut plate, Work::Wipe, 1.0);
    assert_eq!(
        wiped.ink_um,
        plate.look().field_window(&PLACE, Field::Held).pixels,
        "wiped: what is held"
    );
    let half = at(&mut plate, Work::Wipe, 0.5);
    assert!(
        (0..PLACE.len()).all(|i| {
            half.ink_um[i] == if i % PLACE.width < 150 { wiped.ink_um[i] } else { dabbed.ink_um[i] }
        }),
        "the cloth goes from left to right"
    );
    let lying = at(&mut plate, Work::Print, 0.0);
    assert!(lying.side.sheet_um.iter().all(|&um| um == 0.0), "the sheet lies on the plate");
    let print = at(&mut plate, Work::Print, 1.0);
    let own = plate.look().field_window(&PLACE, Field::Reflectance).pixels;
    assert_eq!(print.sheet, own, "printed: the proof itself, the right way round");
    let left: f64 = print.ink_um.iter().map(|&um| f64::from(um)).sum();
    let held: f64 = wiped.ink_um.iter().map(|&um| f64::from(um)).sum();
    let printed = f64::from(u32::try_from(PLACE.len()).expect("few")) * print.numbers.printed_um;
    // The sheet's ink spreads a few µm sideways, over the border of the place too.
    assert!((left + printed) / held - 1.0 < 0.02, "no ink is lost: {held} = {left} + {printed}");
    assert!((left + printed) / held - 1.0 > -0.02, "no ink is lost: {held} = {left} + {printed}");
    assert!(print.ink_um.iter().zip(&wiped.ink_um).all(|(l, h)| l <= h), "paper only takes ink");
}

#[test]
fn the_cut_is_the_middle_row_and_places_stay_on_the_plate() {
    let mut plate = halves();
    let mut kept = TimelineScratch::default();
    let bite = stage(&plate, Work::Bite, 3);
    let now = moment(&mut plate, &PLACE, &bite, 0.5, &mut kept);
    let row = &now.depth_um[100 * 300..][..300];
    assert!(now.side.copper_um.iter().zip(row).all(|(z, d)| *z == -d), "copper of the middle row");
    for (column, top) in now.side.resin_um.iter().enumerate() {
        let share = now.resin[100 * 300 + column];
        assert!(share < 0.99 || *top > 0.0, "resin stands where it is seen from above, {column}");
        assert!(share > 0.0 || top.is_nan(), "and nowhere else, {column}");
    }
    // Loose grains lie under the row they are cut by, as the print shows them.
    let fall = stage(&plate, Work::Dust, 0);
    let fallen = moment(&mut plate, &PLACE, &fall, 1.0, &mut kept);
    assert!(fallen.side.balls_um.len() >= 3, "the row cuts some grains");
    for ball in fallen.side.balls_um.chunks_exact(3) {
        let column = (ball[0] / 2.0) as i64;
        if (0..300).contains(&column) {
            let share = fallen.loose[100 * 300 + column as usize];
            assert!(share > 0.0, "a grain in the cut is seen from above at {column}");
        }
    }
    let far = Grid { left_px: -500, top_px: 10_000_000, ..PLACE };
    let stage = stage(&plate, Work::Wait, 0);
    let wait = moment(&mut plate, &far, &stage, 0.5, &mut kept);
    assert_eq!((wait.width, wait.height), (300, 200), "moved onto the plate");
    let whole = wait.numbers.cloud_g_per_m3;
    let later = moment(&mut plate, &far, &stage, 1.0, &mut kept).numbers;
    assert!(later.cloud_g_per_m3 < whole && later.airborne_um > 0.0, "the cloud thins");
}

#[test]
fn a_place_beyond_an_edge_is_the_one_at_that_edge() {
    let plan = Plan::default();
    let mut plate = halves();
    let fall = stage(&plate, Work::Dust, 0);
    // The plate in pixels of 2 µm.
    let px = |mm: f64| (mm * 500.0) as i64;
    let (right, bottom) = (px(plan.plate.width_mm) - 300, px(plan.plate.height_mm) - 200);
    let mut fallen = |left_px: i64, top_px: i64| {
        let place = Grid { left_px, top_px, ..PLACE };
        let now = moment(&mut plate, &place, &fall, 1.0, &mut TimelineScratch::default());
        (now.width, now.height, now.loose)
    };
    let mut corners = Vec::new();
    for (beyond, at) in [
        ((-500, -1), (0, 0)),
        ((right + 1, -10_000_000), (right, 0)),
        ((-1, bottom + 77), (0, bottom)),
        ((10_000_000, bottom + 1), (right, bottom)),
    ] {
        let own = fallen(at.0, at.1);
        assert!(own.2.iter().any(|share| *share > 0.0), "grains lie at {at:?}");
        assert!(fallen(beyond.0, beyond.1) == own, "{beyond:?} is the corner at {at:?}");
        corners.push(own);
    }
    assert!(corners[0] != corners[3] && corners[1] != corners[2], "and no corner is another");
}
