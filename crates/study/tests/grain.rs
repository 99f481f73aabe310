//! A wanted grain: the answer beside everything that could be set, laid on a grid.

use plan::{Bake, Dust, Plan};
use plate::bake::{self, Doneness};
use plate::constants::Constants;
use plate::ground::statistics::TABLE_TILES;
use plate::ground::{Ground, GroundStatistics, TileCache};
use plate::{Job, Plate, Renderer, dust};
use std::sync::{Arc, OnceLock};
use study::grain::{GrainAnswer, GrainSize, GrainWish, grain_for};

fn of_size(size_um: f64, cover: f64) -> GrainWish {
    GrainWish { size: GrainSize::FootprintUm(size_um), cover }
}

fn with(plan: &Plan, answer: &GrainAnswer) -> Plan {
    let mut plan = plan.clone();
    plan.dust = Dust {
        wait_s: answer.wait_s,
        powder_g_per_m2: answer.powder_g_per_m2,
        dustings: answer.dustings,
        dusting_min: answer.dusting_min,
        ..plan.dust
    };
    plan.bake.hot_plate_c = answer.hot_plate_c;
    plan.bake.bake_min = answer.bake_min;
    plan
}

/// The statistics of a ground, and whether its bake is good.
fn laid(plan: &Plan, tiles: i32) -> (GroundStatistics, bool) {
    let constants = Constants::default();
    let landed = dust::land(&plan.dust, &constants.dust);
    let baked = bake::bake(&plan.bake, plan.plate.thickness_mm, &constants.bake);
    let good = baked.verdict(&landed, &constants.bake).0 == Doneness::Good;
    let ground = Ground::new(&landed, &baked, plan.seed);
    (ground.statistics(&mut TileCache::new(0), tiles), good)
}

/// Size and cover of one wait, time in the box and bake with ever more powder.
type Course = Vec<(GroundStatistics, bool)>;

/// Finer and closer than the usual powder gives it: a long search, done once for all tests.
const FINE_AND_CLOSE: (f64, f64) = (14.0, 0.7);

fn fine_and_close() -> &'static GrainAnswer {
    static ONCE: OnceLock<GrainAnswer> = OnceLock::new();
    let (size_um, cover) = FINE_AND_CLOSE;
    ONCE.get_or_init(|| grain_for(&Plan::default(), of_size(size_um, cover)).expect("sound"))
}

/// Beyond a wished cover by so much and 0.02 a ground is 1 or more off, whatever its grain: further powder is not tried.
const FAR_BEYOND: f64 = 0.25;

/// Every so many seconds, minutes and bakes, each with the powder a plan may raise, up to far more than covers so much.
fn grid(
    plan: &Plan,
    waits_s: &[f64],
    boxes_min: &[f64],
    bakes: &[(f64, f64)],
    most_cover: f64,
) -> Vec<Course> {
    let mut courses = Vec::new();
    for &(hot_plate_c, bake_min) in bakes {
        for &dusting_min in boxes_min {
            for &wait_s in waits_s {
                let mut course = Course::new();
                for i in 0..14 {
                    let in_all = 4.0 * libm::pow(1.55, f64::from(i));
                    let dustings = libm::ceil(in_all / 200.0).min(6.0);
                    let powder_g_per_m2 = (in_all / dustings).min(200.0);
                    let mut plan = plan.clone();
                    plan.bake = Bake { hot_plate_c, bake_min, ..plan.bake };
                    plan.dust =
                        Dust { wait_s, dusting_min, powder_g_per_m2, dustings, ..plan.dust };
                    let one = laid(&plan, 1);
                    course.push(one);
                    if one.0.cover > most_cover + 0.02 + FAR_BEYOND {
                        break;
                    }
                }
                courses.push(course);
            }
        }
    }
    courses
}

/// The nearest that the grid has to a wish, with the powder between its steps as it would be.
fn nearest(courses: &[Course], wish: GrainWish) -> f64 {
    let mut nearest = f64::INFINITY;
    for pair in courses.iter().flat_map(|course| course.windows(2)) {
        let [(less, less_good), (more, more_good)] = pair else { unreachable!() };
        if !less_good || !more_good {
            continue;
        }
        for share in [0.0, 0.25, 0.5, 0.75, 1.0] {
            let mut between = *less;
            let mix = |a: f64, b: f64| a + share * (b - a);
            between.cover = mix(less.cover, more.cover);
            between.median_footprint_um = mix(less.median_footprint_um, more.median_footprint_um);
            between.domes_per_mm2 = mix(less.domes_per_mm2, more.domes_per_mm2);
            nearest = nearest.min(wish.miss(&between));
        }
    }
    assert!(nearest < 1.0, "what was not laid is further off: {nearest}");
    nearest
}

#[test]
fn the_answer_is_as_near_as_an_exhaustive_grid_comes() {
    let plan = Plan::default();
    let waits_s = [0.0, 30.0, 120.0, 900.0];
    // The plan's own bake, one that just holds, and one that spreads the domes as far as is proposed.
    let bakes = [(125.0, 10.0), (95.0, 2.0), (150.0, 30.0)];
    let courses = grid(&plan, &waits_s, &[0.5, 5.0, 60.0], &bakes, FINE_AND_CLOSE.1);
    let wishes =
        [(14.0, 0.25), (90.0, 0.25), (40.0, 0.5), (90.0, 0.5), FINE_AND_CLOSE, (55.0, 0.7)];
    for (size_um, cover) in wishes {
        let wish = of_size(size_um, cover);
        let answer = if (size_um, cover) == FINE_AND_CLOSE {
            fine_and_close().clone()
        } else {
            grain_for(&plan, wish).expect("a sound plan")
        };
        // Told of the plan as it is taken: what the table shows then.
        let (taken, good) = laid(&with(&plan, &answer), TABLE_TILES);
        assert_eq!(
            (answer.median_footprint_um, answer.cover, answer.domes_per_mm2, answer.good_bake),
            (taken.median_footprint_um, taken.cover, taken.domes_per_mm2, good),
            "{size_um} µm at {cover}"
        );
        let (ours, grid) = (wish.miss(&taken), nearest(&courses, wish));
        assert!(
            ours <= grid + 0.05,
            "{size_um} µm at {cover}: {ours:.3} off, the grid {grid:.3}: {answer:?}"
        );
        let met = (taken.median_footprint_um / size_um - 1.0).abs() <= 0.05
            && (taken.cover - cover).abs() <= 0.04;
        assert_eq!(answer.hindrance.is_none(), met && good, "{answer:?}");
    }
}

#[test]
fn what_is_near_already_keeps_its_bake_and_its_minutes_in_the_box() {
    let plan = Plan::default();
    let (now, _) = laid(&plan, TABLE_TILES);
    let answer = grain_for(&plan, of_size(now.median_footprint_um, now.cover)).expect("sound");
    let kept = with(&plan, &answer);
    assert_eq!((kept.bake, kept.dust.dusting_min), (plan.bake.clone(), plan.dust.dusting_min));
    assert!((answer.wait_s - plan.dust.wait_s).abs() <= 5.0, "{answer:?}");
    assert_eq!(answer.hindrance, None);
    // By count, too.
    let wish = GrainWish { size: GrainSize::DomesPerMm2(now.domes_per_mm2), cover: now.cover };
    let answer = grain_for(&plan, wish).expect("sound");
    assert!((answer.domes_per_mm2 / now.domes_per_mm2 - 1.0).abs() < 0.05, "{answer:?}");
    // The table of the plan as it is taken says the same.
    let taken = with(&plan, &answer);
    let picture = plate::chain::OneValue::new(0, &[0.125; 8], 7).expect("eight values");
    let plate = Plate::of(&Job::new(taken, Arc::new(picture))).expect("sound");
    assert_eq!(Renderer::default().ground_statistics(&plate).domes_per_mm2, answer.domes_per_mm2);
}

#[test]
fn another_powder_that_is_said_to_reach_it_does() {
    let plan = Plan::default();
    let mut seen = [false; 2];
    let coarse = grain_for(&plan, of_size(150.0, 0.5)).expect("sound");
    let (fine_um, close) = FINE_AND_CLOSE;
    for (size_um, cover, word, first) in
        [(150.0, 0.5, "coarser", &coarse), (fine_um, close, "finer", fine_and_close())]
    {
        let wish = of_size(size_um, cover);
        let hindrance = first.hindrance.clone().expect("out of reach");
        let hint = hindrance.hint.to_string();
        let Some(of) = hint.strip_prefix(&format!("A {word} powder, of ")) else {
            panic!("{size_um} µm: {hindrance}, {hint}");
        };
        let median_um: f64 = of.split(' ').next().and_then(|word| word.parse().ok()).expect("µm");
        let mut other = plan.clone();
        other.dust.median_um = median_um;
        let answer = grain_for(&other, wish).expect("sound");
        assert_eq!(answer.hindrance, None, "{hint}: {answer:?}");
        // As it is said, with whatever powder has the cover.
        let number = |before: &str| -> f64 {
            let (words, _) = hint.split_once(before).expect(before);
            words.rsplit(' ').next().and_then(|word| word.parse().ok()).expect("a number")
        };
        let (no_wait, waits) = (hint.contains("with no wait, "), hint.contains("with a wait of "));
        assert!(no_wait != waits, "{hint}");
        other.dust.wait_s = if waits { number(" s, ") } else { 0.0 };
        other.dust.dusting_min = number(" min in the box");
        other.bake.bake_min = number(" min on the hot plate");
        other.bake.hot_plate_c = number(" °C.");
        let courses = grid(
            &other,
            &[other.dust.wait_s],
            &[other.dust.dusting_min],
            &[(other.bake.hot_plate_c, other.bake.bake_min)],
            cover,
        );
        assert!(nearest(&courses, wish) < 0.05, "{hint}");
        seen[usize::from(word == "finer")] = true;
    }
    assert_eq!(seen, [true, true]);
    // As coarse as no powder is.
    let hindrance = grain_for(&plan, of_size(300.0, 0.3)).expect("sound").hindrance;
    let hint = hindrance.expect("out of reach").hint.to_string();
    assert!(hint.starts_with("No coarser powder was found"), "{hint}");
}

#[test]
fn a_bake_that_does_not_hold_is_changed_and_one_that_does_is_not() {
    let mut plan = Plan::default();
    plan.bake.bake_min = 0.5;
    let (_, good) = laid(&plan, 1);
    assert!(!good, "a bake that is no bake");
    let answer = grain_for(&plan, of_size(40.0, 0.5)).expect("sound");
    assert!(answer.good_bake && answer.bake_min > 0.5, "{answer:?}");
    assert_eq!(answer.hindrance, None, "{answer:?}");
}
