//! Later states: scraping, burnishing, wear and a new ground, against what copper must do.

use crate::common;

use common::worked::{inside, mean, new_ground, passage, plate, printed_l, with_work};
use common::{Everywhere, Seen, plate_with};
use plan::{Bite, Plan, State, Tool, ToolWork, Work};
use plate::chain::{Doses, Field, GroundRecipe, Job, Renderer, ValueAreas, View};
use plate::constants::Constants;
use plate::grid::Grid;
use plate::handwork::{LocalScratch, Mark, Wear, WorkConstants, burnish, scrape, worn_um};
use plate::light::{lightness, linear_of_srgb};

#[test]
fn scraping_never_darkens_up_to_the_darkest_bite_and_lightens_as_far_as_bare_land() {
    // Ink notes §2e and check 34: scraped bare it prints as bare land does (D .078, L* 93.3),
    // after M. Lalanne, A Treatise on Etching, 1880, §53: the hollows receive less ink.
    for value in [2, 5, 7] {
        let first = printed_l(&Plan::default(), value);
        let mut before = first;
        for take_um in [0.5, 1.0, 2.0, 4.0, 8.0, 16.0] {
            let after = printed_l(&with_work(vec![passage(Tool::Polish, take_um)]), value);
            assert!(
                after > before - 0.05,
                "value {value} fell from L* {before:.2} to {after:.2} at {take_um} µm"
            );
            before = after;
        }
        for take_um in [0.5, 2.0, 8.0] {
            let after = printed_l(&with_work(vec![passage(Tool::Scraper, take_um)]), value);
            assert!(after > first, "value {value}, {take_um} µm: L* {first:.2} to {after:.2}");
        }
    }
    let bare = printed_l(&with_work(vec![passage(Tool::Polish, 60.0)]), 5);
    let paper = printed_l(&Plan::default(), 0);
    assert!((bare - paper).abs() < 0.1, "polished bare L* {bare:.2}, land L* {paper:.2}");
    let scraped = printed_l(&with_work(vec![passage(Tool::Scraper, 60.0)]), 5);
    assert!(
        scraped < bare - 0.3 && scraped > bare - 6.0,
        "the furrows hold a little ink: L* {scraped:.2} against {bare:.2}"
    );
    let closed = with_work(vec![passage(Tool::Scraper, 60.0), passage(Tool::Burnisher, 2.0)]);
    let smooth = printed_l(&closed, 5);
    assert!(smooth > bare - 0.2, "the burnisher takes the furrows out: L* {smooth:.2}");
}

#[test]
fn scraping_meets_the_prototype() {
    // Ink notes §3: at R 10, half covered, scraped by 0/2/4/6/8/10 µm: D .919/.788/.624/.422/.227/.078.
    // Here the grain is coarser, so the shares of the first density are compared.
    let published = [0.919, 0.788, 0.624, 0.422, 0.227];
    let mut plan = Plan { bites: vec![Bite { bite_min: 5.0 }; 2], ..Plan::default() };
    plan.picture.thresholds_l = vec![60.0, 30.0];
    let density = |take_um: f64| {
        let mut plan = plan.clone();
        if take_um > 0.0 {
            plan.states = with_work(vec![passage(Tool::Polish, take_um)]).states;
        }
        // The bath stays fresh when the areas are paper, so the dose is 10 µm.
        let mut plate = plate_with(&plan, Everywhere::value(2, 2));
        -libm::log10(mean(&plate.look().print_window(&inside()).pixels))
    };
    let first = density(0.0);
    for (i, &expected) in published.iter().enumerate() {
        let share = density(2.0 * i as f64) / first;
        assert!(
            (share - expected / published[0]).abs() < 0.08,
            "scraped {} µm: {share:.3} of the density, published {:.3}",
            2 * i,
            expected / published[0]
        );
    }
}

#[test]
fn copper_is_conserved() {
    let plain = plate(&Plan::default(), 6).look().field_window(&inside(), Field::Depth).pixels;
    // The scraper: what is gone is exactly what stood above the new plane.
    let taken = 3.0_f32;
    let polished = with_work(vec![passage(Tool::Polish, f64::from(taken))]);
    let scraped = plate(&polished, 6).look().field_window(&inside(), Field::Depth).pixels;
    let above: Vec<f32> = plain.iter().map(|&h| (taken - h).max(0.0)).collect();
    let gone = mean(&scraped) - mean(&plain);
    assert!((gone - mean(&above)).abs() < 1e-6, "gone {gone} µm, stood {} µm", mean(&above));
    // The burnisher only displaces (Lalanne §53): the mean depth stays.
    for take_um in [0.5, 1.5, 3.0] {
        let plan = with_work(vec![passage(Tool::Burnisher, take_um)]);
        let pressed = plate(&plan, 6).look().field_window(&inside(), Field::Depth).pixels;
        let (was, is) = (mean(&plain), mean(&pressed));
        assert!((is / was - 1.0).abs() < 0.01, "{take_um} µm: mean depth {was:.4} to {is:.4} µm");
        let least = pressed.iter().fold(f32::MAX, |a, &b| a.min(b));
        assert!(
            f64::from(least) >= take_um - 1e-4,
            "the lands went down by {take_um} µm, one only by {least}"
        );
    }
}

#[test]
fn the_burnisher_lightens_more_than_the_scraper_for_the_same_step_down() {
    for take_um in [1.0, 2.0, 3.0] {
        let scraped = printed_l(&with_work(vec![passage(Tool::Polish, take_um)]), 5);
        let pressed = printed_l(&with_work(vec![passage(Tool::Burnisher, take_um)]), 5);
        assert!(
            pressed > scraped + 0.5,
            "{take_um} µm: burnished L* {pressed:.1}, scraped {scraped:.1}"
        );
    }
}

#[test]
fn windows_agree_about_worked_copper() {
    let stroke = |tool, points_mm: Vec<[f64; 2]>| {
        Work::Tool(ToolWork { tool, passage: false, width_mm: 3.0, take_um: 2.0, points_mm })
    };
    let plan = with_work(vec![
        stroke(Tool::Scraper, vec![[34.0, 36.0], [37.0, 36.5], [40.0, 38.0]]),
        stroke(Tool::Burnisher, vec![[35.0, 38.0], [39.0, 35.0]]),
        new_ground(3.0),
    ]);
    assert!(plan.problems().is_empty(), "{:?}", plan.problems());
    let mut plate = plate(&plan, 4);
    let whole = plate.look().field_window(&inside(), Field::Depth);
    let part = Grid { left_px: 9100, top_px: 9150, width: 120, height: 90, px_um: 4.0 };
    let alone = plate.look().field_window(&part, Field::Depth);
    for row in 0..part.height {
        let from = (row + 150) * whole.width + 100;
        for column in 0..part.width {
            let (a, b) = (whole.pixels[from + column], alone.pixels[row * part.width + column]);
            assert!((a - b).abs() < 1e-3, "at {column}, {row}: {a} in the whole, {b} alone");
        }
    }
    // Worked where the print shows it: the stroke lies left of the middle of a 150 mm plate.
    let far = Grid { left_px: (150_000 - 36_000) / 4 - 400, ..inside() };
    let untouched = Plan { states: Vec::new(), ..plan.clone() };
    let (mut worked, mut plain) = (
        common::worked::plate(
            &with_work(vec![stroke(Tool::Scraper, vec![[34.0, 36.0], [40.0, 38.0]])]),
            4,
        ),
        common::worked::plate(&untouched, 4),
    );
    assert_eq!(
        worked.look().field_window(&far, Field::Depth).pixels,
        plain.look().field_window(&far, Field::Depth).pixels,
        "the mirror place is as it was"
    );
    assert_ne!(
        worked.look().field_window(&inside(), Field::Depth).pixels,
        plain.look().field_window(&inside(), Field::Depth).pixels,
        "the place of the stroke is not"
    );
}

#[test]
fn a_new_ground_on_polished_copper_bites_as_the_first_did() {
    // Copper left paper in the first state is flat: the second ground must do what a first one
    // with the same dust does (closed form: the construction is the same on a flat surface).
    let mut plan = with_work(vec![new_ground(9.0)]);
    let later = plate(&plan, 0).look().field_window(&inside(), Field::Depth).pixels;
    plan.states.clear();
    plan.seed = 8;
    plan.bites = vec![Bite { bite_min: 9.0 }; 2];
    plan.picture.thresholds_l = vec![60.0, 30.0];
    let first = plate(&plan, 1).look().field_window(&inside(), Field::Depth).pixels;
    let worst = later.iter().zip(&first).map(|(a, b)| (a - b).abs()).fold(0.0, f32::max);
    let (a, b) = (mean(&later), mean(&first));
    assert!((a / b - 1.0).abs() < 0.01, "mean depth {a:.3} against {b:.3} µm");
    let off = later.iter().zip(&first).map(|(a, b)| f64::from((a - b).abs())).sum::<f64>();
    let off = off / later.len() as f64;
    // Under the resin's corners whole pixels stand for the open copper: half a pixel at worst.
    assert!(off < 0.03 && worst < 2.0, "off by {off:.4} µm in the mean, {worst} at worst");
}

#[test]
fn a_new_ground_makes_an_open_bite_hold_ink_again() {
    // An open bite wipes to grey (Lalanne §37); grained anew in the hollow it holds ink.
    let mut plan = Plan::default();
    plan.dust.powder_g_per_m2 = 1.0;
    plan.bites = vec![Bite { bite_min: 20.0 }, Bite { bite_min: 20.0 }];
    plan.picture.thresholds_l = vec![60.0, 30.0];
    let open = printed_l(&plan, 2);
    plan.states = with_work(vec![new_ground(9.0)]).states;
    let again = printed_l(&plan, 2);
    assert!(open > 75.0, "an open bite prints as grey: L* {open:.1}");
    assert!(again < open - 25.0, "with a new ground L* {again:.1} against {open:.1}");
    // And a middle value goes as black as a new ground alone would, a black one stays black: the lands that
    // both grounds leave are too few for more (second_model/later.rs).
    let bitten = |first: f64, second: f64| {
        let mut plan = Plan { bites: vec![Bite { bite_min: 0.5 * first }; 2], ..Plan::default() };
        plan.picture.thresholds_l = vec![60.0, 30.0];
        if second > 0.0 {
            plan.states = with_work(vec![new_ground(second)]).states;
        }
        printed_l(&plan, 2)
    };
    let (middle, darker) = (bitten(4.5, 0.0), bitten(4.5, 12.0));
    assert!(darker < middle - 20.0, "bitten again L* {darker:.1} against {middle:.1}");
    let (black, again) = (bitten(14.0, 0.0), bitten(14.0, 5.0));
    assert!((again - black).abs() < 2.0, "bitten again L* {again:.1} against {black:.1}");
}

#[test]
fn acid_gets_at_the_lands_from_old_pits_and_resin_keeps_their_floors() {
    let first = plate(&Plan::default(), 6).look().field_window(&inside(), Field::Depth).pixels;
    let plan = with_work(vec![new_ground(4.0)]);
    let mut plate = plate(&plan, 6);
    let second = plate.look().field_window(&inside(), Field::Depth).pixels;
    let deeper: Vec<f32> = second.iter().zip(&first).map(|(b, a)| b - a).collect();
    assert!(deeper.iter().all(|&d| d >= -1e-4), "no copper grows");
    let kept = deeper.iter().zip(&first).filter(|&(&d, &h)| h > 5.0 && d == 0.0).count();
    assert!(kept > first.len() / 50, "resin lies in old pits: {kept} pixels keep their depth");
    let dose_um = 4.0;
    let attacked = deeper.iter().filter(|&&d| f64::from(d) > 1.5 * dose_um).count();
    assert!(
        attacked > first.len() / 200,
        "lands beside open pits go down to the pits: {attacked} pixels"
    );
}

#[test]
fn states_branch_and_the_first_stays_what_it_was() {
    let mut plan = with_work(vec![passage(Tool::Scraper, 3.0)]);
    plan.states.push(State {
        name: "burnished instead".to_owned(),
        from_state: 1,
        work: vec![passage(Tool::Burnisher, 1.5)],
    });
    plan.states.push(State { name: String::new(), from_state: 3, work: vec![new_ground(9.0)] });
    assert!(plan.problems().is_empty(), "{:?}", plan.problems());
    let names = |number: usize| plan.line_of(number).len();
    assert_eq!([1, 2, 3, 4].map(names), [0, 1, 1, 2], "each state has its own line");
    let mut plate = plate(&plan, 5);
    assert_eq!(plate.last_state(), 4, "one state after another");
    let as_is = plate.look().print_window(&inside()).pixels;
    let windows: Vec<Vec<f32>> = (1..=4)
        .map(|number| {
            plate.view = View::of_state(number);
            plate.look().print_window(&inside()).pixels
        })
        .collect();
    assert_eq!(as_is, windows[3], "a plate is looked at as it is in the end");
    let first = common::worked::plate(&Plan::default(), 5).look().print_window(&inside()).pixels;
    assert_eq!(windows[0], first, "the first state's proof is the plan's without states");
    let l: Vec<f64> = windows.iter().map(|w| lightness(mean(w))).collect();
    assert!(l[1] > l[0] + 3.0 && l[2] > l[0] + 3.0, "both ways lighten: {l:?}");
    assert!(l[3] < l[2] - 1.0, "the new ground darkens the burnished branch: {l:?}");
    // A change of ink alone keeps the work, a change of states is seen.
    plate.view = View::of_state(2);
    let mut thinner = plan.clone();
    thinner.ink.base_parts = 50.0;
    let areas = std::sync::Arc::new(Everywhere::value(plan.bites.len(), 5));
    plate.change(&Job::new(thinner.clone(), areas));
    let mut anew = common::worked::plate(&thinner, 5);
    anew.view = View::of_state(2);
    let print = plate.look().print_window(&inside()).pixels;
    assert_eq!(print, anew.look().print_window(&inside()).pixels, "what is shared is the same");
    let pale = lightness(mean(&plate.look().print_window(&inside()).pixels));
    assert!(pale > l[1], "thinner ink on the same copper: L* {pale:.1}");
}

#[test]
fn worn_level_follows_the_closed_form() {
    // Half the copper stands level, half lies 10 µm deep: w = rate·N/½ until the floor is met.
    let c = WorkConstants::default();
    let below: Vec<f32> = (0..1000).map(|i| if i % 2 == 0 { 0.0 } else { 10.0 }).collect();
    let worn = worn_um(&below, Wear::Bare, &[0, 100, 500], &c);
    for (got, n) in worn.iter().zip([0.0, 100.0, 500.0]) {
        let expected = 2.0 * 0.003 * n;
        assert!((got - expected).abs() < 1e-9, "{n}: {got} µm, expected {expected}");
    }
    let faced = worn_um(&below, Wear::SteelFaced, &[1000], &c);
    assert!((faced[0] - 0.6).abs() < 1e-9, "steel takes a tenth: {}", faced[0]);
}

/// A plate of one value, feathered everywhere to half of its bite.
struct Feathered(Everywhere);

impl ValueAreas for Feathered {
    fn fill(&self, grid: &Grid, out: &mut Vec<u8>) -> Option<u8> {
        self.0.fill(grid, out)
    }

    fn shares(&self) -> &[f64] {
        self.0.shares()
    }

    fn soften(&self, grid: &Grid, doses: &Doses<'_>, out: &mut Vec<f32>) -> bool {
        let mut value = Vec::new();
        self.0.fill(grid, &mut value);
        let dose = |&value: &u8| 0.5 * doses.of_value_um[usize::from(value)] as f32;
        out.clear();
        out.extend(value.iter().map(dose));
        true
    }
}

#[test]
fn the_first_pass_shows_later_work_on_soft_gradations_too() {
    let plan = with_work(vec![passage(Tool::Polish, 6.0)]);
    let areas = Feathered(Everywhere::value(plan.bites.len(), 5));
    let mut plate = Seen::of(&Job::new(plan, std::sync::Arc::new(areas)));
    let first = plate.look().first_pass(150, 200);
    let at = |x: usize, y: usize| lightness(linear_of_srgb(f64::from(first[y * 150 + x]) / 255.0));
    let seen = lightness(mean(&plate.look().print_window(&inside()).pixels));
    assert!(
        (at(37, 37) - seen).abs() < 3.0,
        "L* {:.1} in the passage, printed {seen:.1}",
        at(37, 37)
    );
    assert!(at(37, 37) > at(100, 100) + 5.0, "lighter than where nothing was done");
}

#[test]
fn pressed_copper_moves_as_far_as_named() {
    // A lone ridge far from any pit has nowhere to go; a pit within 100 µm or so takes it.
    let c = WorkConstants::default();
    let grid = Grid { left_px: 0, top_px: 0, width: 500, height: 100, px_um: 4.0 };
    // Left of 1000 µm land at 0, right of it a floor at 4 µm: only copper near the step moves down it.
    let floor = |i: usize| if i % 500 < 250 { 0.0 } else { 4.0 };
    let mut depth: Vec<f32> = (0..grid.len()).map(floor).collect();
    let mut plane = vec![0.0; grid.len()];
    let mark = Mark::passage(vec![[-1e5, -1e5], [1e5, -1e5], [1e5, 1e5], [-1e5, 1e5]], 0.0, 1);
    burnish(&mark, 1.0, &grid, &c, &mut LocalScratch::default(), &mut depth, &mut plane);
    let row = &depth[50 * 500..51 * 500];
    let far = row[..160].iter().fold(0.0_f32, |a, &b| a.max(b));
    assert!(far < 1e-3, "land 350 µm from the step cannot go down: {far} µm");
    let pressed = row[..250].iter().position(|&d| d > 0.02).expect("land near the step does");
    let reach_um = 1000.0 - 4.0 * pressed as f64;
    // Copper is shared out among blocks of 100 µm and their neighbours, and between their middles: a
    // step between two blocks is felt one block and a half away.
    assert!((reach_um - 150.0).abs() < 5.0, "pressed from {reach_um} µm off the step");
}

#[test]
fn furrows_are_as_deep_and_as_far_apart_as_named() {
    // The estimates themselves, so that none moves unseen (work notes; no published figures found).
    let c = WorkConstants::default();
    // Furrows on flat copper: never deeper than 0.6 µm below the plane, some nearly so, and one
    // groove every 60 µm: a line of 6 mm across them touches the plane about 100 times.
    let grid = Grid { left_px: 0, top_px: 0, width: 6000, height: 1, px_um: 1.0 };
    let (mut depth, mut plane) = (vec![0.0; 6000], vec![0.0; 6000]);
    let mark = Mark::stroke(vec![[0.0, -50_000.0], [0.0, 50_000.0]], 40_000.0, 3);
    scrape(&mark, 2.0, c.furrow_depth_um as f32, &grid, &c, &mut depth, &mut plane);
    let below: Vec<f32> = depth.iter().zip(&plane).map(|(d, p)| d - p).collect();
    let deepest = below.iter().fold(0.0_f32, |a, &b| a.max(b));
    assert!(deepest > 0.575 && deepest <= 0.6, "the deepest furrow is {deepest} µm");
    let touches = below.windows(3).filter(|w| w[1] < w[0] && w[1] <= w[2]).count();
    assert!((98..=101).contains(&touches), "{touches} furrows in 6 mm");
    assert!(plane.iter().all(|&p| (p - 2.0).abs() < 1e-6), "the plane is 2 µm down");
}

#[test]
fn an_outline_tells_its_commonest_value_and_what_was_done_there() {
    // The right half of the copper has value 5; of it the scraper has gone over 90 to 130 mm.
    let plan = with_work(vec![passage(Tool::Scraper, 3.0)]);
    let mut plate = plate_with(&plan, Everywhere::half(plan.bites.len(), 5));
    let mut between = |from_mm: f32, to_mm: f32| {
        let [left, right] = [from_mm, to_mm].map(|mm| mm * 1000.0);
        let corners = [[left, 30e3], [right, 30e3], [right, 50e3], [left, 50e3]];
        plate.look().commonest(&Mark::passage(corners.to_vec(), 0.0, 0))
    };
    for (from_mm, to_mm, value, dark, taken_um) in [
        (5.0, 60.0, 0, 0.0, 0.0),
        (66.0, 78.0, 0, 0.25, 0.0),
        (72.0, 84.0, 5, 0.75, 0.0),
        (85.0, 120.0, 5, 1.0, 3.0),
    ] {
        let (found, amounts, shares) = between(from_mm, to_mm).expect("it lies on the plate");
        let what = format!("{from_mm} to {to_mm} mm: {found}, {amounts:?}, {shares:?}");
        assert_eq!((found, amounts), (value, vec![taken_um]), "{what}");
        // Looked at in pixels of a third of a mm.
        assert!((shares[5] - dark).abs() < 0.03, "{dark} of {what}");
        assert!((shares[0] + shares[5] - 1.0).abs() < 1e-12, "no other value: {what}");
    }
    assert_eq!(between(151.0, 160.0), None, "beside the plate");
}

#[test]
fn a_plate_worked_so_far_is_that_of_a_plan_with_no_more_work() {
    let work = vec![passage(Tool::Polish, 3.0), passage(Tool::Scraper, 1.0)];
    let whole = plate(&with_work(work.clone()), 5);
    let depth = |plate: plate::Plate| {
        let mut seen = Seen { plate, view: View::default(), renderer: Renderer::default() };
        seen.look().field_window(&inside(), Field::Depth).pixels
    };
    for done in [0, 1, 2] {
        let so_far = whole.with_work(work[..done].to_vec());
        let planned = match done {
            0 => Plan::default(),
            _ => with_work(work[..done].to_vec()),
        };
        assert!(depth(so_far) == depth(plate(&planned, 5).plate), "after {done} pieces of work");
    }
}

#[test]
fn a_later_ground_is_that_of_a_plan_with_its_dust_bake_and_seed() {
    let plan = Plan::default();
    let Work::Ground(mut later) = new_ground(3.0) else { panic!("a ground") };
    (later.dust.powder_g_per_m2, later.bake.bake_min) = (20.0, 8.0);
    let alone = Plan {
        dust: later.dust.clone(),
        bake: later.bake.clone(),
        seed: later.seed,
        ..plan.clone()
    };
    let laid = GroundRecipe::of_later(&later, &plan, &Constants::default());
    let known = GroundRecipe::of_plan(&alone).expect("a sound plan");
    assert_eq!(laid, known, "the first ground's own count for nothing");
    assert_ne!(laid, GroundRecipe::of_plan(&plan).expect("a sound plan"), "it is another");
}

#[test]
fn worn_to_the_bottom_of_its_pits_copper_goes_down_evenly() {
    // Closed form: half the copper stands 2 µm over the other, so 1 µm of the whole goes first.
    let c = WorkConstants::default();
    let below: Vec<f32> = (0..1000).map(|i| if i % 2 == 0 { 0.0 } else { 2.0 }).collect();
    let numbers =
        [500, 1000, 5000].map(|um| (f64::from(um) / 100.0 / c.wear_um_per_impression) as u32);
    for (worn, number) in worn_um(&below, Wear::Bare, &numbers, &c).iter().zip(numbers) {
        let expected = 1.0 + c.wear_um_per_impression * f64::from(number);
        assert!((worn - expected).abs() < 1e-6, "{worn} µm after {number}, not {expected}");
    }
}

#[test]
fn the_burnisher_moves_no_copper_beside_its_outline() {
    let grid = Grid { left_px: 0, top_px: 0, width: 200, height: 200, px_um: 4.0 };
    let c = WorkConstants::default();
    // A triangle: above and right of it nothing is touched. Pits of 8 µm in between lands.
    let mark = Mark::passage(vec![[0.0, 0.0], [800.0, 800.0], [0.0, 800.0]], 0.0, 0);
    let before: Vec<f32> = (0..grid.len()).map(|i| if i % 10 < 4 { 8.0 } else { 0.0 }).collect();
    let (mut depth, mut plane) = (before.clone(), vec![0.0; grid.len()]);
    burnish(&mark, 1.0, &grid, &c, &mut LocalScratch::default(), &mut depth, &mut plane);
    let mut pressed = 0;
    for (i, (after, before)) in depth.iter().zip(&before).enumerate() {
        let (column, row) = (i % 200, i / 200);
        if column > row {
            assert!(after == before && plane[i] == 0.0, "{before} is {after} at {column}, {row}");
        }
        pressed += usize::from(*before == 0.0 && *after > 0.9);
    }
    assert!(pressed > 8000, "{pressed} pixels of land have gone down by a µm");
}

#[test]
fn a_later_ground_in_an_outline_bites_each_value_as_over_the_whole_plate() {
    let ground = |outlined: bool| {
        let Work::Ground(mut ground) = new_ground(4.0) else { panic!("a ground") };
        ground.bites[0].from_value = 3;
        if outlined {
            ground.outline_mm = vec![[20.0, 20.0], [60.0, 20.0], [60.0, 60.0], [20.0, 60.0]];
        }
        with_work(vec![Work::Ground(ground)])
    };
    for (value, opened) in [(2, false), (3, true)] {
        let depth =
            |plan: &Plan| plate(plan, value).look().field_window(&inside(), Field::Depth).pixels;
        let (whole, within, first) =
            (depth(&ground(false)), depth(&ground(true)), depth(&Plan::default()));
        // Less copper lies open inside an outline, and the bath stays a little fresher.
        // Less copper lies open inside an outline, and the bath stays a little fresher.
        let off = mean(&within) - mean(&whole);
        assert!((0.0..0.02).contains(&off), "value {value}: {off} µm deeper inside the outline");
        let gained = mean(&within) - mean(&first);
        assert_eq!(gained > 1.0, opened, "value {value} is open: {opened}; {gained} µm");
    }
}

#[test]
fn a_stroke_is_as_wide_in_every_direction() {
    // Eased at its edges over the outer two fifths of its half width: full up to 600 µm from its middle.
    let grid = Grid { left_px: -100, top_px: -100, width: 200, height: 200, px_um: 20.0 };
    for (x, y) in [(1.0_f32, 0.0_f32), (0.0, 1.0), (0.6, 0.8), (-0.8, 0.6)] {
        let far = 20_000.0;
        let mark = Mark::stroke(vec![[-far * x, -far * y], [far * x, far * y]], 2000.0, 0);
        let (mut full, mut reached) = (0, 0);
        mark.each_pixel(&grid, |column, row, here| {
            let middle = |px: usize| (px as f32 - 100.0 + 0.5) * 20.0;
            let off_um = (x * middle(row) - y * middle(column)).abs();
            assert_eq!(here.share >= 1.0, off_um <= 600.0, "{} at {off_um} µm", here.share);
            assert!(here.share == 0.0 || off_um < 1000.0, "{} at {off_um} µm", here.share);
            full += usize::from(here.share >= 1.0);
            reached += usize::from(here.share > 0.0);
        });
        assert!(full > 10_000 && reached > full + 5_000, "{full} full, {reached} reached");
    }
}
