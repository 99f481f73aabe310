//! Watching: every moment is the plate as it would be had the work stopped there.

#[path = "../../plate/tests/common/mod.rs"]
mod common;

use common::{Everywhere, Seen, plate_with};
use plan::{Plan, Settling};
use plate::bake;
use plate::chain::Field;
use plate::constants::Constants;
use plate::dust;
use plate::grid::Grid;
use plate::ground::{Ground, MeltScratch};
use study::timeline::{self, Moment, Stage, TimelineScratch, Work};

/// A place 0.6 × 0.4 mm across the border between the dark and the white half of the print.
const PLACE: Grid = Grid { left_px: 37_350, top_px: 20_000, width: 300, height: 200, px_um: 2.0 };

fn halves() -> Seen {
    plate_with(&Plan::default(), Everywhere::half(7, 5))
}

fn stage(plate: &Seen, work: Work, bite: usize) -> Stage {
    timeline::stages(plate.plan())
        .into_iter()
        .find(|one| one.work == work && one.bite == bite)
        .expect("a stage")
}

fn moment(
    seen: &mut Seen,
    grid: &Grid,
    stage: &Stage,
    share: f64,
    kept: &mut TimelineScratch,
) -> Moment {
    timeline::moment(&seen.plate, &mut seen.renderer, grid, stage, share, kept)
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
fn lands_after_undoes_the_share_landed() {
    // Closed form: the share landed by the moment of a turn is that turn.
    for settling in [Settling::Stirred, Settling::Still] {
        for velocity in [1e-5, 0.01, 0.2] {
            let (from, to, height) = (20.0, 140.0, 0.6);
            let landed = |until| dust::landed_fraction(velocity, from, until, height, settling);
            for turn in [0.0, 0.2, 0.5, 0.999] {
                let after = dust::lands_after_s(velocity, (from, to), height, settling, turn);
                if landed(to) > 0.0 {
                    let share = landed(from + after) / landed(to);
                    assert!((share - turn).abs() < 1e-6, "{settling:?} {velocity} {turn}: {share}");
                }
            }
        }
    }
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
    // On a square without a margin nothing comes from outside: resin in domes and loose grains is what fell.
    let plan = Plan::default();
    let constants = Constants::default();
    let landed = dust::land(&plan.dust, &constants.dust);
    for share in [0.2, 0.45, 0.6, 1.0] {
        let bake = plan::Bake { bake_min: share * plan.bake.bake_min, ..plan.bake.clone() };
        let baked = bake::bake(&bake, plan.plate.thickness_mm, &constants.bake);
        let ground = Ground::new(&landed, &baked, plan.seed);
        let mut grains = Vec::new();
        let side = 10.0 * ground.cell_um() - 1e-6;
        ground.loose_at((0.0, 0.0), (side, side), 0.0, &mut grains);
        let fell: f64 = grains.iter().map(|grain| grain.drop.volume_um3).sum();
        let loose: f64 = grains
            .iter()
            .map(|grain| grain.drop.volume_um3)
            .filter(|&volume| !ground.has_held(volume))
            .sum();
        let domes: f64 =
            ground.patch((0, 0), 10, 0.0, &mut MeltScratch::default()).volumes_um3.iter().sum();
        assert!(
            ((loose + domes) / fell - 1.0).abs() < 1e-9,
            "at {share} of the bake {loose} loose and {domes} in domes of {fell}"
        );
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
