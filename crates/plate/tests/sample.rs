//! Patches of a test strip: the numbers of the plate's own table, and the ways of the bench.

use crate::common;

use common::{Everywhere, Seen, plate_of, plate_with};
use plan::{Plan, Settling, Wipe};
use plate::chain::{GroundRecipe, Job, OneValue, Sample, ValueAreas, quick_sample};
use plate::grid::Grid;
use std::sync::Arc;

/// The value whose patches are looked at.
const MIDDLE: usize = 4;

fn sample_of(plan: &Plan) -> Sample {
    plate_of(plan).look().sample(MIDDLE)
}

/// One sample for each setting of the default plan.
fn strip(settings: &[f64], set: impl Fn(&mut Plan, f64)) -> Vec<Sample> {
    let patch = |&setting: &f64| {
        let mut plan = Plan::default();
        set(&mut plan, setting);
        sample_of(&plan)
    };
    settings.iter().map(patch).collect()
}

#[test]
fn a_sample_is_a_row_of_the_plates_own_table() {
    let plan = Plan::default();
    let mut plate = plate_with(&plan, Everywhere::half(7, 5));
    let values = plate.look().values();
    let cover = plate.ground_statistics().cover;
    for (index, value) in values.iter().enumerate() {
        let sample = plate.look().sample(index);
        let found = (
            sample.minutes,
            sample.depth_um,
            sample.mean_depth_um,
            sample.land,
            sample.held_um,
            sample.printed_um,
            sample.reflectance,
            sample.lightness,
            sample.density,
            sample.srgb,
        );
        let row = (
            value.cumulative_min,
            value.bitten_um,
            value.mean_depth_um,
            value.land,
            value.held_um,
            value.printed_um,
            value.reflectance,
            value.lightness,
            value.density,
            value.srgb,
        );
        assert_eq!(found, row, "value {index} of the table");
        // The statistics look at four tiles, the sample at one.
        assert!((sample.cover - cover).abs() < 0.02, "cover {} against {cover}", sample.cover);
    }
}

#[test]
fn one_value_has_the_bath_of_the_whole_picture() {
    let plan = Plan::default();
    let picture = Everywhere::half(7, 6);
    let one = OneValue::new(MIDDLE, picture.shares(), 7).expect("a value of the plan");
    let mut alone = Seen::of(&Job::new(plan.clone(), Arc::new(one)));
    let mut whole = plate_with(&plan, picture);
    assert_eq!(alone.look().sample(MIDDLE), whole.look().sample(MIDDLE), "the same patch");
    for (value, shares) in [(8, vec![0.125; 8]), (1, vec![0.5; 2]), (1, vec![-1.0; 8])] {
        let refused = OneValue::new(value, &shares, 7);
        assert_eq!(refused, None, "value {value} with {} shares", shares.len());
    }
}

#[test]
fn a_quick_sample_is_near_the_sample() {
    let mut coarse = Plan::default();
    coarse.dust.median_um = 120.0;
    coarse.dust.wait_s = 5.0;
    let mut loose = Plan::default();
    loose.bake.bake_min = 0.5;
    for plan in [Plan::default(), coarse, loose] {
        let sample = sample_of(&plan);
        let job = Job::new(plan.clone(), Arc::new(Everywhere::paper(7)));
        let quick = quick_sample(&job, MIDDLE).expect("a sound calibration");
        let (l, near_l) = (sample.lightness, quick.lightness);
        assert!((l - near_l).abs() < 4.0, "L* {near_l:.1} against {l:.1}");
        assert!((sample.cover - quick.cover).abs() < 0.05, "{} {}", quick.cover, sample.cover);
        assert_eq!(quick.doneness, sample.doneness, "the bake needs no ground");
    }
}

#[test]
fn a_quick_sample_is_cut_from_the_middle_of_the_sample() {
    // Few and coarse grains, so that no place is covered as another is.
    let mut plan = Plan::default();
    plan.dust.powder_g_per_m2 *= 0.2;
    (plan.dust.median_um, plan.dust.wait_s) = (120.0, 5.0);
    let mut covers = Vec::new();
    for seed in 1..=6 {
        plan.seed = seed;
        let ground = GroundRecipe::of_plan(&plan).expect("a sound calibration").lay();
        // The middle 1.6 of its 2.4 mm: 400 of 600 pixels.
        let rows = ground.sample_um().chunks_exact(600).skip(100).take(400);
        let covered: usize =
            rows.map(|row| row[100..500].iter().filter(|under| **under > 0.0).count()).sum();
        let cover = covered as f64 / (400.0 * 400.0);
        let job = Job::new(plan.clone(), Arc::new(Everywhere::paper(7)));
        let quick = quick_sample(&job, MIDDLE).expect("a sound calibration").cover;
        // The piece is cut at whole cells of 0.1 mm.
        assert!(
            (quick - cover).abs() < 0.015,
            "seed {seed}: {cover} is covered there, not {quick}"
        );
        covers.push(cover);
    }
    covers.sort_by(f64::total_cmp);
    assert!(covers[5] - covers[0] > 0.04, "elsewhere the cover is another: {covers:?}");
}

#[test]
fn a_longer_wait_leaves_less_and_finer_dust() {
    // Stokes settling: the coarsest fall first, so that what lands later is thinner and finer.
    let strip = strip(&[0.0, 45.0, 120.0, 300.0], |plan, wait_s| plan.dust.wait_s = wait_s);
    for pair in strip.windows(2) {
        let (early, late) = (&pair[0], &pair[1]);
        assert!(late.mass_g_per_m2 < early.mass_g_per_m2, "less dust after a longer wait");
        assert!(late.cover < early.cover, "cover {} after {}", late.cover, early.cover);
        assert!(late.median_footprint_um < early.median_footprint_um, "finer grain");
    }
}

#[test]
fn every_stage_acts_on_its_own_numbers_only() {
    let plain = sample_of(&Plan::default());
    let mut warm = Plan::default();
    warm.bath.temperature_c = 30.0;
    let warm = sample_of(&warm);
    assert_eq!(warm.cover, plain.cover, "the bath leaves the ground alone");
    assert!(warm.rate_um_per_min > plain.rate_um_per_min, "a warm bath bites faster");
    assert!(warm.lightness < plain.lightness, "and prints darker");
    let mut wiped = Plan::default();
    wiped.ink.wipe = Wipe::Tarlatan;
    let wiped = sample_of(&wiped);
    assert_eq!(wiped.mean_depth_um, plain.mean_depth_um, "wiping leaves the copper");
    assert!(wiped.lightness < plain.lightness, "plate tone darkens");
    let mut still = Plan::default();
    still.dust.settling = Settling::Still;
    let still = sample_of(&still);
    assert!(still.mass_g_per_m2 != plain.mass_g_per_m2, "the air in the box acts on the dust");
}

/// What a patch of the plan prints: its numbers and its grain.
fn printed(plan: &Plan) -> (Sample, Vec<u8>) {
    let mut plate = plate_with(plan, Everywhere::value(plan.bites.len(), MIDDLE as u8));
    // Where the page cuts its patches: 2 mm from the right and from the top.
    let left_px = ((plan.plate.width_mm - 2.0) * 100.0) as i64 - 20;
    let grid = Grid { left_px, top_px: 180, width: 40, height: 40, px_um: 10.0 };
    let pixels = plate.look().print_window(&grid).pixels;
    (plate.look().sample(MIDDLE), pixels.iter().flat_map(|light| light.to_le_bytes()).collect())
}

#[test]
fn strips_offer_what_changes_a_patch_and_nothing_else() {
    let base = Plan::default();
    let plain = printed(&base);
    let offered: Vec<&str> = plan::strip::offered().collect();
    for field in plan::FIELDS {
        let own = (field.get)(&base);
        // Some number that the plan can well have, a third of the way to an end.
        let far = if own - field.min > field.max - own { field.min } else { field.max };
        let at = own + ((far - own) / 3.0 / field.step).round() * field.step;
        let changed = plan::vary::with_number(&base, field.key, at).expect("a number of the plan");
        let size = ["plate.width_mm", "plate.height_mm"].contains(&field.key);
        let changes = printed(&changed) != plain;
        assert_eq!(
            offered.contains(&field.key),
            changes && !size,
            "{} from {own} to {at} changes the patch: {changes}",
            field.key
        );
    }
    for choice in plan::CHOICES {
        let own = (choice.get)(&base);
        let all = choice.options.iter().enumerate().filter(|(i, _)| *i != own);
        let changes = all.map(|(_, (word, _))| plan::vary::with_choice(&base, choice.key, word));
        let changes = changes.flatten().any(|plan| printed(&plan) != plain);
        assert_eq!(offered.contains(&choice.key), changes, "{} changes the patch", choice.key);
    }
}

#[test]
fn a_scraped_sample_is_the_place_it_is_cut_from() {
    let plain = Plan::default();
    let scraped = plan::vary::with_number(&plain, "scraper_um", 3.0).expect("a tool");
    let mut elsewhere = scraped.clone();
    let plan::Work::Tool(work) = &mut elsewhere.states[0].work[0] else { panic!("a tool") };
    // On the print the sample lies at the top right; this passage does not reach it.
    work.points_mm = vec![[10.0, 10.0], [100.0, 10.0], [100.0, 100.0]];
    let value = plain.bites.len();
    let sample = |plan: &Plan| {
        let mut plate = plate_with(plan, Everywhere::value(value, value as u8));
        // 2.4 mm square round the place, 2 mm from the right and from the top of the print.
        let grid = Grid { left_px: 36_700, top_px: 200, width: 600, height: 600, px_um: 4.0 };
        let seen = plate.look().print_window(&grid).pixels;
        let mean = seen.iter().map(|&r| f64::from(r)).sum::<f64>() / seen.len() as f64;
        (plate.look().sample(value), plate::light::lightness(mean))
    };
    let (before, _) = sample(&plain);
    let (after, seen_l) = sample(&scraped);
    assert!(
        after.lightness > before.lightness + 1.0 && after.held_um < 0.9 * before.held_um,
        "scraped it is lighter: {} after {}",
        after.lightness,
        before.lightness
    );
    assert!(
        (after.lightness - seen_l).abs() < 2.5,
        "and prints as its place does: L* {} and {seen_l}",
        after.lightness
    );
    let (untouched, _) = sample(&elsewhere);
    assert_eq!(
        (untouched.lightness, untouched.held_um),
        (before.lightness, before.held_um),
        "work elsewhere does not touch it"
    );
}

/// The value at `x` of the parabola through three points (Lagrange).
fn parabola(points: [(f64, f64); 3], x: f64) -> f64 {
    let term = |i: usize| {
        let (xi, yi) = points[i];
        let others = points.iter().enumerate().filter(|&(j, _)| j != i);
        others.fold(yi, |product, (_, &(xj, _))| product * (x - xj) / (xi - xj))
    };
    term(0) + term(1) + term(2)
}

#[test]
fn the_darkest_dose_is_the_vertex_of_the_darkest_three() {
    let mut fine = Plan::default();
    fine.dust.wait_s = 120.0;
    for plan in [Plan::default(), fine] {
        let mut plate = plate_of(&plan);
        let tones = plate.look().tones_by_dose();
        let l = &tones.lightness;
        let lowest = (0..l.len()).min_by(|&a, &b| l[a].total_cmp(&l[b])).expect("doses");
        assert!((2..l.len() - 1).contains(&lowest), "it breaks down before the last: {lowest}");
        let three = [lowest - 1, lowest, lowest + 1].map(|i| (libm::log(tones.dose_um[i]), l[i]));
        let vertex = libm::log(tones.darkest_um);
        assert!((three[0].0..three[2].0).contains(&vertex), "{vertex} between {three:?}");
        // To both sides of its vertex a parabola is the same.
        for off in [0.1, 0.5] {
            let (before, after) = (parabola(three, vertex - off), parabola(three, vertex + off));
            assert!((before - after).abs() < 1e-6, "{off}: {before} and {after} of {three:?}");
        }
    }
}
