//! Work stopped early, and what is looked at in between: loose grains, a ground taken off the heat, a bath left early,
//! the copper in the cut.

use crate::common;

use common::worked::{inside, mean, new_ground, passage, with_work};
use common::{Everywhere, Seen, plate_of, plate_with};
use plan::{Bake, Bite, Crop, LaterBite, LineWork, Plan, Tool, ToolWork, Work};
use plate::View;
use plate::bake;
use plate::chain::{Field, GroundRecipe};
use plate::constants::{Constants, IN_ORDER};
use plate::dust;
use plate::grid::Grid;
use plate::ground::loose::LooseGrain;
use plate::ground::{Ground, MeltScratch, TileCache};
use std::f64::consts::PI;

/// A place 0.6 × 0.4 mm across the border between the dark and the white half of the print.
const PLACE: Grid = Grid { left_px: 37_350, top_px: 20_000, width: 300, height: 200, px_um: 2.0 };

fn halves() -> Seen {
    plate_with(&Plan::default(), Everywhere::half(7, 5))
}

/// The default plan's ground after a share of its bake.
fn ground_after(share: f64) -> Ground {
    let (plan, constants) = (Plan::default(), Constants::default());
    let landed = dust::land(&plan.dust, &constants.dust);
    let bake = Bake { bake_min: share * plan.bake.bake_min, ..plan.bake.clone() };
    let baked = bake::bake(&bake, plan.plate.thickness_mm, &constants.bake);
    Ground::new(&landed, &baked, plan.seed)
}

fn loose_at(ground: &Ground, corner: (f64, f64), size: (f64, f64), reach: f64) -> Vec<LooseGrain> {
    let mut grains = Vec::new();
    ground.loose_at(corner, size, reach, &mut grains);
    grains
}

fn within(grain: &LooseGrain, (width, height): (f64, f64)) -> bool {
    let (x, y) = (f64::from(grain.drop.x_um), f64::from(grain.drop.y_um));
    (0.0..width).contains(&x) && (0.0..height).contains(&y)
}

#[test]
fn as_many_grains_lie_as_landed_and_weigh_as_much() {
    let constants = Constants::default().dust;
    let landed = dust::land(&Plan::default().dust, &constants);
    let size = (3000.0, 2000.0);
    let grains = loose_at(&ground_after(0.0), (41_000.0, 17_000.0), size, 0.0);
    let here: Vec<&LooseGrain> = grains.iter().filter(|grain| within(grain, size)).collect();
    let expected = 6.0 * landed.grains_per_mm2;
    let found = here.len() as f64;
    assert!((found - expected).abs() < 4.5 * expected.sqrt(), "{found} grains, not {expected}");
    let g_per_um3 = constants.resin_density_kg_per_m3 * 1e-15;
    let weight: f64 = here.iter().map(|grain| grain.drop.volume_um3 * g_per_um3).sum();
    let per_m2 = weight / 6e-6;
    // Few coarse grains weigh most: their number is not sure to a tenth.
    assert!((per_m2 / landed.mass_g_per_m2 - 1.0).abs() < 0.1, "{per_m2} g/m² of {landed:?}");
    // Turns are spread evenly from first to last: mean 1/2, variance 1/12.
    let turn = here.iter().map(|grain| grain.turn).sum::<f64>() / found;
    assert!((turn - 0.5).abs() < 4.0 / (12.0 * found).sqrt(), "the mean turn is {turn}");
    assert!(here.iter().all(|grain| (0.0..=1.0).contains(&grain.turn)), "turns from 0 to 1");
    let early = here.iter().filter(|grain| grain.turn < 0.1).count() as f64;
    assert!((early / found - 0.1).abs() < 0.03, "{early} of {found} in the first tenth");
}

#[test]
fn a_window_beside_shows_the_same_grains() {
    let ground = ground_after(0.0);
    let size = (900.0, 700.0);
    let (corner, off) = ((20_500.0, 9_100.0), (310.0, -170.0));
    let first = loose_at(&ground, corner, size, 0.0);
    let beside = loose_at(&ground, (corner.0 + off.0, corner.1 + off.1), size, 0.0);
    let moved = |grain: &LooseGrain, by: f64| {
        let mut grain = *grain;
        grain.drop.x_um += (by * off.0) as f32;
        grain.drop.y_um += (by * off.1) as f32;
        grain
    };
    let mut both = 0;
    for grain in first.iter().filter(|grain| within(grain, size)) {
        let there = moved(grain, -1.0);
        if within(&there, size) {
            both += 1;
            let same = |other: &&LooseGrain| {
                (other.drop.volume_um3, other.turn) == (grain.drop.volume_um3, grain.turn)
                    && (other.drop.x_um - there.drop.x_um).abs() < 0.01
                    && (other.drop.y_um - there.drop.y_um).abs() < 0.01
            };
            assert_eq!(beside.iter().filter(same).count(), 1, "{grain:?} seen from beside");
        }
    }
    assert!(both > 100, "{both} grains lie in both");
    // What reaches in from outside is there, too, however far it is looked for.
    let reach = 200.0;
    let wide = loose_at(&ground, corner, size, reach);
    let all = (size.0 + 2.0 * reach, size.1 + 2.0 * reach);
    let expected = loose_at(&ground, (corner.0 - reach, corner.1 - reach), all, 0.0);
    assert_eq!(wide.len(), expected.len(), "grains round the window");
    for low in [true, false] {
        let out = |grain: &&LooseGrain| {
            let (x, y) = (f64::from(grain.drop.x_um), f64::from(grain.drop.y_um));
            if low { x < -0.8 * reach && y < 0.0 } else { x > size.0 + 0.8 * reach && y > size.1 }
        };
        assert!(wide.iter().any(|grain| out(&grain)), "grains beyond a corner");
    }
}

#[test]
fn balls_hold_their_resin() {
    let (plan, constants) = (Plan::default(), Constants::default());
    let grains = loose_at(&ground_after(0.0), (0.0, 0.0), (500.0, 500.0), 0.0);
    let baked = bake::bake(&plan.bake, plan.plate.thickness_mm, &constants.bake);
    for grain in &grains {
        let volume = grain.drop.volume_um3;
        for solid_share in [1.0, 0.4] {
            // A ball on the copper: πd³/6, so much of it resin.
            let lying = grain.lying(solid_share);
            let radius = f64::from(lying.disc.radius_um);
            let resin = solid_share * 4.0 / 3.0 * PI * radius * radius * radius;
            assert!((resin / volume - 1.0).abs() < 1e-5, "{resin} of {volume} µm³ lying");
            assert_eq!(lying.centre_um, lying.disc.radius_um, "it touches the copper");
            assert!((0.5 * grain.envelope_um(solid_share) / radius - 1.0).abs() < 1e-6);
        }
        // Melted: a ball cut off by the copper, πh²(3r − h)/3 with its height h.
        let melted = grain.melted(&baked);
        assert_eq!((melted.disc.x_um, melted.disc.y_um), (grain.drop.x_um, grain.drop.y_um));
        let radius = f64::from(melted.disc.radius_um);
        let height = radius + f64::from(melted.centre_um);
        let resin = PI * height * height * (3.0 * radius - height) / 3.0;
        assert!((resin / volume - 1.0).abs() < 0.01, "{resin} of {volume} µm³ melted");
    }
}

#[test]
fn loose_and_in_domes_is_what_fell() {
    // On a square without a margin nothing comes from outside.
    let mut held = 0.0;
    for share in [0.2, 0.45, 0.6, 1.0] {
        let ground = ground_after(share);
        let side = 10.0 * ground.cell_um() - 1e-6;
        let grains = loose_at(&ground, (0.0, 0.0), (side, side), 0.0);
        let volume = |loose: bool| -> f64 {
            let volumes = grains.iter().map(|grain| grain.drop.volume_um3);
            volumes.filter(|&volume| !(loose && ground.has_held(volume))).sum()
        };
        let (fell, loose) = (volume(false), volume(true));
        let domes: f64 =
            ground.patch((0, 0), 10, 0.0, &mut MeltScratch::default()).volumes_um3.iter().sum();
        assert!(
            ((loose + domes) / fell - 1.0).abs() < 1e-9,
            "at {share} of the bake {loose} loose and {domes} in domes of {fell}"
        );
        assert!(domes / fell >= held, "what holds stays");
        held = domes / fell;
    }
    assert!(held > 0.9, "{held} holds after the whole bake");
}

#[test]
fn a_ground_taken_off_early_is_that_of_the_shorter_bake() {
    let mut plan = Plan::default();
    let recipe = GroundRecipe::of_plan(&plan).expect("a sound plan");
    plan.bake.bake_min *= 0.4;
    let short = GroundRecipe::of_plan(&plan).expect("a sound plan");
    assert_ne!(recipe, short);
    assert_eq!(recipe.taken_off_after(plan.bake.bake_min), short);
    assert_eq!((short.bake(), short.dust()), (&plan.bake, &plan.dust));
}

#[test]
fn a_bath_left_early_is_that_of_the_shorter_plan() {
    let plan = Plan::default();
    let plate = plate_of(&plan);
    for (bite, minutes) in [(1, 0.4), (3, 1.25), (7, 0.0)] {
        let early = plate.left_early(bite, minutes);
        let mut short = plan.clone();
        short.bites.truncate(bite);
        short.picture.thresholds_l.truncate(bite);
        short.bites[bite - 1] = Bite { bite_min: minutes };
        let expected = plate.bathed(&short.bites).dose_um;
        let found = &early.session().dose_um;
        assert_eq!(found.len(), 8, "every value has its dose");
        assert_eq!(found[..=bite], expected, "bite {bite} left after {minutes} min");
        assert!(found[bite..].iter().all(|dose| *dose == expected[bite]), "the open ones alike");
        // The bath stays fresh on bare paper: so many minutes, so much copper.
        let rate = plate.session().dose_um[1] / plan.bites[0].bite_min;
        let in_all: f64 = short.bites.iter().map(|bite| bite.bite_min).sum();
        assert!((found[bite] / (rate * in_all) - 1.0).abs() < 0.01, "{found:?} at {rate} µm/min");
    }
    let whole = plate.left_early(7, plan.bites[6].bite_min);
    assert_eq!(whole.session().dose_um, plate.session().dose_um, "left when it is over");
}

#[test]
fn lines_left_early_are_as_deep_as_a_shorter_bite() {
    let mut plan = Plan {
        lines: Some(LineWork {
            picture: "lines.png".to_owned(),
            crop: Crop::default(),
            open_below_l: 50.0,
            bite_min: 12.0,
        }),
        ..Plan::default()
    };
    let plate = plate_of(&plan);
    plan.lines.as_mut().expect("lines").bite_min = 5.0;
    let short = plate_of(&plan).line_dose_um();
    assert!(short > 1.0 && short < 0.5 * plate.line_dose_um(), "{short} µm in 5 of 12 min");
    assert_eq!(plate.lines_left_early(5.0).line_dose_um(), short);
    assert_eq!(plate.lines_left_early(12.0).line_dose_um(), plate.line_dose_um());
    assert_eq!(plate.lines_left_early(0.0).line_dose_um(), 0.0, "not begun");
}

#[test]
fn the_ink_of_a_place_is_that_of_its_windows() {
    let mut plate = halves();
    let ink = plate.look().ink_window(&PLACE);
    for (field, found) in [
        (Field::Held, &ink.held_um),
        (Field::Printed, &ink.printed_um),
        (Field::Reflectance, &ink.reflectance),
    ] {
        assert_eq!(*found, plate.look().field_window(&PLACE, field).pixels, "{field:?}");
    }
}

#[test]
fn the_cut_shows_caps_on_the_copper() {
    let mut plate = halves();
    let section = plate.look().copper_section(&PLACE, 0);
    assert_eq!(section.window, plate.look().copper_window(&PLACE, 0), "from above");
    assert_eq!(section.lowered_um, 0.0, "no tool has been there");
    // The place's domes, and along its middle row the highest of their caps: spheres through rim and top.
    let (px_um, width) = (2.0, 300);
    let left_um = 150_000.0 - px_um * (37_350.0 + f64::from(width));
    let mut domes = Vec::new();
    let (ground, size) = (plate.ground().ground(), (px_um * f64::from(width), 400.0));
    let tiles = &mut TileCache::new(0);
    tiles.gather_on(plate.extent(), ground, left_um, 40_000.0, size.0, size.1, 0.0, &mut domes);
    let mut highest = 0.0_f64;
    for (column, &found) in section.resin_um.iter().rev().enumerate() {
        let (x, y) = (px_um * (column as f64 + 0.5), 201.0);
        let top = domes.iter().filter_map(|dome| {
            let (dx, dy) = (f64::from(dome.x_um) - x, f64::from(dome.y_um) - y);
            let rim = f64::from(dome.radius_um);
            let height = f64::from(plate.baked().height_um(dome.radius_um));
            let radius = (rim * rim + height * height) / (2.0 * height);
            let off2 = dx * dx + dy * dy;
            (off2 < rim * rim).then(|| (radius * radius - off2).sqrt() - radius + height)
        });
        let top = top.fold(f64::NAN, f64::max);
        let found = f64::from(found);
        // A rim between two places of reckoning may fall on either side of a pixel's middle.
        let here = |um: f64| if um.is_nan() { 0.0 } else { um };
        assert!((here(found) - here(top)).abs() < 0.05, "column {column}: {found} µm, not {top}");
        highest = highest.max(here(found));
    }
    assert!(highest > 3.0, "domes to see: {highest} µm");
    // Values bitten as deep as half the dome's rim float off; the white half keeps its resin.
    let bitten = plate.look().copper_section(&PLACE, 7);
    let kept = |from: usize, to: usize| {
        (from..to).filter(|&column| !bitten.resin_um[column].is_nan()).count()
    };
    let whole = section.resin_um[170..].iter().filter(|um| !um.is_nan()).count();
    assert_eq!(kept(170, 300), whole, "under varnish nothing floats off");
    // After a tool the copper is bare and lies lower.
    let mut worked =
        plate_with(&with_work(vec![passage(Tool::Polish, 3.0)]), Everywhere::value(7, 5));
    let section = worked.look().copper_section(&inside(), 7);
    assert!((section.lowered_um - 3.0).abs() < 1e-5, "lowered by {}", section.lowered_um);
    assert_eq!(section.resin_um.len(), 400);
    assert!(section.resin_um.iter().all(|um| um.is_nan()), "washed off");
    assert!(mean(&section.window.cover) == 0.0 && mean(&section.window.depth_um) > 3.0);
}

#[test]
fn later_work_is_found_where_it_was_done() {
    let stroke = Work::Tool(ToolWork {
        tool: Tool::Scraper,
        passage: false,
        width_mm: 1.0,
        take_um: 1.0,
        points_mm: vec![[30.0, 30.0], [50.0, 30.0]],
    });
    let mut plan = with_work(vec![stroke, new_ground(2.0)]);
    if let Work::Ground(later) = &mut plan.states[0].work[1] {
        later.bites = vec![
            LaterBite { bite_min: 2.0, from_value: 0, to_value: 12 },
            LaterBite { bite_min: 4.0, from_value: 3, to_value: 5 },
        ];
    }
    let twice = plan.states[0].work[1].clone();
    let mut plate = plate_with(&plan, Everywhere::paper(7));
    let view = View::default();
    let doses = plate.later_doses_um(&view);
    assert_eq!(doses.len(), 8, "paper and seven values");
    for (value, dose) in doses.iter().enumerate() {
        // The bath stays nearly fresh: so many minutes, so much copper.
        let minutes = if (3..=5).contains(&value) { 6.0 } else { 2.0 };
        let expected = doses[0] * minutes / 2.0;
        assert!((dose / expected - 1.0).abs() < 0.02, "value {value}: {dose} µm, not {expected}");
    }
    assert!(doses[0] > 1.0, "2 minutes bite {} µm", doses[0]);
    let first = View { state: Some(1), ..View::default() };
    assert_eq!(plate.later_doses_um(&first), [0.0; 8], "nothing was done before the first proof");
    plan.states[0].work.push(twice);
    let again = plate_with(&plan, Everywhere::paper(7)).later_doses_um(&view);
    for (one, two) in doses.iter().zip(&again) {
        assert!((two / (2.0 * one) - 1.0).abs() < 1e-9, "the same bath again: {two} of {one} µm");
    }
    assert!(plate.look().last_ground().is_some(), "the ground came last");
    plan.states[0].work = vec![new_ground(2.0), passage(Tool::Polish, 1.0)];
    let mut polished = plate_with(&plan, Everywhere::paper(7));
    assert!(polished.look().last_ground().is_none(), "the tool came last");
    // The stroke lies 30 to 50 mm from the print's left, so 100 to 120 mm from the copper's.
    let looking = plate.look();
    let at = |x_mm: i64, y_mm: i64| Grid {
        left_px: x_mm * 100,
        top_px: y_mm * 100,
        width: 40,
        height: 40,
        px_um: 10.0,
    };
    for (x_mm, y_mm, reached) in
        [(110, 30, true), (101, 30, true), (119, 29, false), (40, 30, false), (110, 32, false)]
    {
        assert_eq!(looking.tool_reaches(0, &at(x_mm, y_mm)), reached, "{x_mm}, {y_mm} mm");
    }
    assert!(!looking.tool_reaches(1, &at(110, 30)), "a ground is no tool");
}

#[test]
fn constants_in_order_stop_at_each_other() {
    let constants = Constants::default();
    for (lower, upper) in IN_ORDER {
        let (least, most) =
            (constants.get(lower).expect("known"), constants.get(upper).expect("known"));
        let nearest = |key, value| constants.nearest_in_order(key, value);
        assert_eq!(nearest(lower, most + 1.0), most, "{lower} goes no higher than {upper}");
        assert_eq!(nearest(lower, most - 0.01), most - 0.01, "and anywhere below");
        assert_eq!(nearest(upper, least - 0.01), least, "{upper} goes no lower than {lower}");
        assert_eq!(nearest(upper, least + 1.0), least + 1.0, "and anywhere above");
    }
    assert_eq!(constants.nearest_in_order("bite.rate_um_per_min", 7.0), 7.0, "the rest is free");
}

#[test]
fn constants_that_cross_are_named_by_what_they_mean() {
    let catalogue = Constants::catalogue();
    for (lower, upper) in IN_ORDER {
        let meaning = |key: &str| {
            let info =
                catalogue.iter().find(|info| info.key == key).expect("it is in the catalogue");
            (info.meaning, info.min, info.max)
        };
        let ((of_lower, _, most), (of_upper, least, _)) = (meaning(lower), meaning(upper));
        let crossed = [(lower.to_owned(), most), (upper.to_owned(), least)].into();
        let refused = Constants::calibrated(&crossed).expect_err("they cross");
        let said = refused[0].message.to_string();
        let words = format!("{of_lower} to {most} µm and {of_upper} to {least} µm");
        assert!(said.contains(&words), "“{said}” should say “{words}”");
    }
}
