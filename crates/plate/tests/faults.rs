//! Faults: nothing at size 0, more with size, only where they are, the same in every window, and nothing lost that
//! should not be.

use crate::common::{Everywhere, Seen, plate_with};
use plan::{FAULT_KINDS, Fault, FaultKind, FaultPlace, Plan};
use plate::chain::{CutRequest, Field, GroundRecipe, TileRequest};
use plate::grid::Grid;
use plate::ground::GroundTile;

/// Where the tests' faults lie on the print, mm: off the middle, so that a mirror image would be noticed.
const AT_MM: (f64, f64) = (40.0, 60.0);
const RADIUS_MM: f64 = 12.0;
const FIELDS: [Field; 5] =
    [Field::Cover, Field::Depth, Field::Held, Field::Printed, Field::Reflectance];

fn fault(kind: FaultKind, size: f64) -> Fault {
    let (x_mm, y_mm) = AT_MM;
    let fault = Fault { x_mm, y_mm, radius_mm: RADIUS_MM, size, seed: 3, ..Fault::usual(kind) };
    Fault { from_bite: if kind.has_bite() { 3 } else { 1 }, ..fault }
}

fn plan_with(faults: Vec<Fault>) -> Plan {
    Plan { faults, ..Plan::default() }
}

/// The value that shows a fault best: varnish tells on what is stopped out, the rest on a middle tone.
fn telling_value(kind: FaultKind) -> u8 {
    match kind {
        FaultKind::VarnishPinholes => 1,
        FaultKind::Drip => 6,
        _ => 4,
    }
}

/// The picture that shows a fault best: one value, or where borders matter two, with the border through the fault's place.
fn picture(kind: FaultKind) -> Everywhere {
    match kind {
        FaultKind::VarnishLifting => Everywhere::parted(7, telling_value(kind), AT_MM.0),
        _ => Everywhere::value(7, telling_value(kind)),
    }
}

fn plate(kind: FaultKind, size: f64) -> Seen {
    plate_with(&plan_with(vec![fault(kind, size)]), picture(kind))
}

fn perfect(kind: FaultKind) -> Seen {
    plate_with(&Plan::default(), picture(kind))
}

/// A window of the print with its middle at a place, mm.
fn window_at((x_mm, y_mm): (f64, f64), side: usize, px_um: f32) -> Grid {
    let first = |mm: f64| libm::round(mm * 1000.0 / f64::from(px_um)) as i64 - side as i64 / 2;
    Grid { left_px: first(x_mm), top_px: first(y_mm), width: side, height: side, px_um }
}

/// The middle of the fault's place; of one that lies along the edges, a place on its edge.
fn here(kind: FaultKind) -> (f64, f64) {
    if kind.place() == FaultPlace::Edges { (1.0, 60.0) } else { AT_MM }
}

fn bits(pixels: &[f32]) -> Vec<u32> {
    pixels.iter().map(|pixel| pixel.to_bits()).collect()
}

fn mean(pixels: &[f32]) -> f64 {
    pixels.iter().map(|&pixel| f64::from(pixel)).sum::<f64>() / pixels.len() as f64
}

/// How much a coarse look at the fault's place differs from the perfect plate: the mean of what each dot is off.
fn off(seen: &mut Seen, perfect: &mut Seen, kind: FaultKind) -> f64 {
    let (x_mm, y_mm) = here(kind);
    let from = |mm: f64| ((mm - 5.0).max(0.0) * 10.0) as i64;
    let tile = TileRequest {
        left_out: from(x_mm),
        top_out: from(y_mm),
        width_out: 100,
        height_out: 100,
        out_um: 100.0,
        px_um: 10.0,
    };
    let (one, other) = (seen.look().tile(&tile), perfect.look().tile(&tile));
    let off: Vec<f32> = one.iter().zip(&other).map(|(a, b)| (a - b).abs()).collect();
    mean(&off)
}

#[test]
fn at_size_nought_all_is_perfect_to_the_last_bit() {
    let plan = plan_with(FAULT_KINDS.map(|kind| fault(kind, 0.0)).to_vec());
    let mut seen = plate_with(&plan, Everywhere::half(7, 5));
    let mut perfect = plate_with(&Plan::default(), Everywhere::half(7, 5));
    assert_eq!(seen.session(), perfect.session(), "the bath");
    for at in [AT_MM, (75.0, 100.0), (1.0, 1.0)] {
        for field in FIELDS {
            let grid = window_at(at, 160, 5.0);
            let one = seen.look().field_window(&grid, field).pixels;
            let other = perfect.look().field_window(&grid, field).pixels;
            assert_eq!(bits(&one), bits(&other), "{field:?} at {at:?}");
        }
    }
    assert_eq!(seen.look().values(), perfect.look().values(), "the table of values");
    assert_eq!(seen.look().first_pass(60, 80), perfect.look().first_pass(60, 80), "a first pass");
}

#[test]
fn each_grows_with_its_size() {
    for kind in FAULT_KINDS {
        let mut perfect = perfect(kind);
        let mut before = 0.0;
        for size in [0.2, 0.5, 1.0] {
            let off = off(&mut plate(kind, size), &mut perfect, kind);
            assert!(off > 1.2 * before, "{kind:?} at {size}: {off} after {before}");
            before = off;
        }
        // A bath of two litres hardly feels one back.
        let least = if kind == FaultKind::BareBack { 5e-4 } else { 0.002 };
        assert!(before > least, "{kind:?} shows at its worst: {before}");
    }
}

#[test]
fn elsewhere_nothing_changes() {
    for kind in FAULT_KINDS.into_iter().filter(|kind| kind.place() != FaultPlace::Plate) {
        let (mut seen, mut perfect) = (plate(kind, 1.0), perfect(kind));
        // Just beside the place, and far off; the print's mirror image would have it at 110 mm.
        for at in [(40.0 + RADIUS_MM + 2.0, 60.0), (40.0, 60.0 - RADIUS_MM - 2.0), (110.0, 60.0)] {
            for field in FIELDS {
                let grid = window_at(at, 200, 5.0);
                let one = seen.look().field_window(&grid, field).pixels;
                let other = perfect.look().field_window(&grid, field).pixels;
                let unlike = one.iter().zip(&other).filter(|(a, b)| a.to_bits() != b.to_bits());
                assert_eq!(unlike.count(), 0, "{kind:?}: {field:?} at {at:?}");
            }
        }
        let inside = off(&mut seen, &mut perfect, kind);
        assert!(inside > 0.0, "{kind:?} is where the plan says");
    }
}

#[test]
fn a_value_prints_as_on_the_perfect_plate() {
    // Samples, tables and statistics stand for the ground as a whole: faults here and there leave them.
    let whole = |kind: &FaultKind| kind.place() == FaultPlace::Plate;
    let kinds = FAULT_KINDS.into_iter().filter(|kind| !whole(kind));
    let plan =
        plan_with(kinds.map(|kind| Fault { radius_mm: 300.0, ..fault(kind, 1.0) }).collect());
    let mut seen = plate_with(&plan, Everywhere::value(7, 4));
    let mut perfect = perfect(FaultKind::Sediment);
    assert_eq!(seen.look().values(), perfect.look().values(), "the table of values");
    assert_eq!(seen.ground_statistics(), perfect.ground_statistics(), "the ground");
    assert_eq!(seen.look().sample(4), perfect.look().sample(4), "a sample");
}

/// Everything that can go wrong at once.
fn all_at_once() -> Plan {
    plan_with(FAULT_KINDS.map(|kind| fault(kind, 0.7)).to_vec())
}

#[test]
fn windows_agree_with_each_other() {
    let mut seen = plate_with(&all_at_once(), Everywhere::parted(7, 5, AT_MM.0 + 0.3));
    for px_um in [4.0, 5.0] {
        let wide = window_at(AT_MM, 320, px_um);
        let part = Grid {
            left_px: wide.left_px + 87,
            top_px: wide.top_px + 141,
            width: 120,
            height: 90,
            px_um,
        };
        for field in FIELDS {
            let unlike = seen.unlike_within(&wide, &part, field);
            assert!(unlike <= 2, "{field:?} at {px_um} µm: {unlike} pixels differ");
        }
    }
}

#[test]
fn tiles_are_the_same_however_they_are_cut() {
    let mut seen = plate_with(&all_at_once(), Everywhere::half(7, 5));
    let request = |left_out, top_out, width_out, height_out| TileRequest {
        left_out,
        top_out,
        width_out,
        height_out,
        out_um: 50.0,
        px_um: 10.0,
    };
    // Tall enough to be printed in strips.
    let whole = seen.look().tile(&request(760, 1000, 80, 300));
    let part = seen.look().tile(&request(780, 1120, 40, 60));
    for (row, part) in part.chunks_exact(40).enumerate() {
        let from = (120 + row) * 80 + 20;
        for (a, b) in part.iter().zip(&whole[from..from + 40]) {
            assert!((a - b).abs() < 1e-3, "row {row}: {a} {b}");
        }
    }
}

/// Domes of the ground about a place of the print.
fn tile_of_ground(plan: &Plan) -> GroundTile {
    let ground = GroundRecipe::of_plan(plan).expect("a sound calibration").ground();
    let at = |mm: f64| libm::floor(mm * 1000.0 / ground.tile_um()) as i32;
    ground.tile(at(plan.plate.width_mm - AT_MM.0), at(AT_MM.1))
}

#[test]
fn dust_is_lost_and_never_found() {
    let resin = |tile: &GroundTile| tile.volumes_um3.iter().sum::<f64>();
    let perfect = resin(&tile_of_ground(&Plan::default()));
    for kind in [
        FaultKind::Draught,
        FaultKind::Jolt,
        FaultKind::Fingerprint,
        FaultKind::GroundPinholes,
        FaultKind::UnderBaked,
    ] {
        let mut before = perfect;
        for size in [0.3, 0.6, 1.0] {
            let tile = tile_of_ground(&plan_with(vec![fault(kind, size)]));
            let left = resin(&tile);
            assert!(left <= before, "{kind:?} at {size}: {left} µm³ after {before}");
            assert_eq!(tile.domes.len(), tile.volumes_um3.len(), "a volume each");
            before = left;
        }
        assert!(before < 0.995 * perfect || kind == FaultKind::UnderBaked, "{kind:?}: {before}");
    }
}

#[test]
fn resin_runs_wider_in_a_hot_spot_and_none_is_lost() {
    let perfect = tile_of_ground(&Plan::default());
    let hot = tile_of_ground(&plan_with(vec![fault(FaultKind::HotSpot, 1.0)]));
    let cool = tile_of_ground(&plan_with(vec![fault(FaultKind::UnderBaked, 0.4)]));
    assert_eq!(hot.volumes_um3, perfect.volumes_um3, "the same resin in the same domes");
    let area = |tile: &GroundTile| {
        tile.domes.iter().map(|dome| dome.radius_um * dome.radius_um).sum::<f32>()
    };
    assert!(area(&hot) > 1.05 * area(&perfect), "{} {}", area(&hot), area(&perfect));
    assert!(area(&cool) < 0.95 * area(&perfect), "{} {}", area(&cool), area(&perfect));
}

#[test]
fn a_hot_spot_covers_as_a_hotter_plate_does() {
    // In the middle of the place the domes are as wide as a bake hotter by its degrees makes domes of their resin.
    let cover = |plan: &Plan| {
        let mut seen = plate_with(plan, Everywhere::paper(7));
        mean(&seen.look().field_window(&window_at(AT_MM, 300, 4.0), Field::Cover).pixels)
    };
    let mut hotter = Plan::default();
    hotter.bake.hot_plate_c += 15.0;
    let (spot, all) = (cover(&plan_with(vec![fault(FaultKind::HotSpot, 0.5)])), cover(&hotter));
    let usual = cover(&Plan::default());
    // Domes that merge late on a hot plate cover a little less than those that only spread.
    assert!(spot > usual && (spot - all).abs() < 0.06, "{usual}: {spot} for {all}");
}

#[test]
fn mud_and_streaks_bite_so_many_times_as_deep() {
    let depth = |seen: &mut Seen, at| {
        mean(&seen.look().field_window(&window_at(at, 200, 4.0), Field::Depth).pixels)
    };
    let perfect = depth(&mut perfect(FaultKind::Sediment), AT_MM);
    let least = (0..20)
        .map(|i| {
            let at = (AT_MM.0 - 5.0 + 0.5 * f64::from(i), AT_MM.1);
            depth(&mut plate(FaultKind::Sediment, 1.0), at)
        })
        .fold(f64::MAX, f64::min);
    assert!((0.4..0.75).contains(&(least / perfect)), "under mud: {least} of {perfect}");
    let streak = plate(FaultKind::DrainingStreak, 1.0);
    let mut streak = streak;
    let most = (0..12)
        .map(|i| depth(&mut streak, (AT_MM.0 - 3.0 + 0.5 * f64::from(i), AT_MM.1 + 4.0)))
        .fold(0.0, f64::max);
    assert!((1.1..1.4).contains(&(most / perfect)), "in the streak: {most} of {perfect}");
}

#[test]
fn a_bare_back_gives_its_copper_to_the_bath() {
    let session = |size: f64| {
        let plan = plan_with(vec![fault(FaultKind::BareBack, size)]);
        let seen = plate_with(&plan, Everywhere::value(7, 7));
        (seen.session().clone(), plan.bath.volume_l, seen.constants().bite.copper_g_per_cm3)
    };
    let (whole, litres, density) = session(1.0);
    let gained = (whole.copper_end_g_per_l - whole.copper_g_per_l[0]) * litres;
    assert!((gained - whole.dissolved_g).abs() < 1e-9, "what the plate gave is in the bath");
    let (perfect, ..) = session(0.0);
    let deepest = |session: &plate::bite::Session| session.dose_um[7];
    assert!(deepest(&whole) < deepest(&perfect), "and it tires");
    // All of the back lies open: 300 cm² as deep as open copper is bitten.
    let back_g = 300.0 * deepest(&whole) * 1e-4 * density;
    assert!(whole.dissolved_g - back_g > 0.0, "the front gives its own");
    assert!(whole.dissolved_g < perfect.dissolved_g + back_g, "no more than both");
    let (half, ..) = session(0.5);
    assert!(deepest(&half) < deepest(&perfect) && deepest(&half) > deepest(&whole), "by halves");
}

#[test]
fn under_a_drip_nothing_is_bitten_after_it_fell() {
    let mut seen = plate(FaultKind::Drip, 1.0);
    let before_um = seen.session().dose_um[2];
    let full_um = seen.session().dose_um[6];
    let deepest = |seen: &mut Seen, at| {
        let pixels = seen.look().field_window(&window_at(at, 100, 4.0), Field::Depth).pixels;
        f64::from(pixels.iter().fold(0.0_f32, |a, &b| a.max(b)))
    };
    assert!((deepest(&mut seen, AT_MM) - before_um).abs() < 1e-3, "two bites and no more");
    let beside = (AT_MM.0 + RADIUS_MM + 1.0, AT_MM.1);
    assert!((deepest(&mut seen, beside) - full_um).abs() < 1e-3, "all six beside it");
    let cut = seen.look().cut(&CutRequest {
        left_um: AT_MM.0 * 1000.0,
        y_um: AT_MM.1 * 1000.0,
        width_um: 600.0,
        after_bites: 7,
        inked: false,
    });
    assert!(cut.value.iter().all(|&value| value == 2), "the cut tells it, too");
}

#[test]
fn varnish_that_does_not_hold_bites_the_lights() {
    for kind in [FaultKind::VarnishPinholes, FaultKind::Fingerprint] {
        let plan = plan_with(vec![fault(kind, 1.0)]);
        let mut seen = plate_with(&plan, Everywhere::paper(7));
        let pixels = seen.look().field_window(&window_at(AT_MM, 1000, 8.0), Field::Depth).pixels;
        let share = pixels.iter().filter(|&&um| um > 1.0).count() as f64 / pixels.len() as f64;
        let most = if kind == FaultKind::Fingerprint { 0.6 } else { 0.05 };
        assert!(share > 0.0005 && share < most, "{kind:?} opens {share} of the paper");
        let mut perfect = plate_with(&Plan::default(), Everywhere::paper(7));
        let white = perfect.look().field_window(&window_at(AT_MM, 200, 8.0), Field::Depth).pixels;
        assert!(white.iter().all(|&um| um == 0.0), "sound varnish holds");
    }
}

#[test]
fn varnish_that_lifts_is_bitten_on_beside_its_border_alone() {
    let mut seen = plate(FaultKind::VarnishLifting, 1.0);
    let full_um = seen.session().dose_um[4];
    let far_mm = FaultKind::VarnishLifting.full_size().amount;
    // The border runs through the fault's place; to its right all is stopped out.
    let mut fronts = Vec::new();
    for line in 0..60 {
        let y_mm = AT_MM.1 + 0.25 * f64::from(line - 30);
        let grid = Grid { height: 1, ..window_at((AT_MM.0 + 1.0, y_mm), 600, 5.0) };
        let pixels = seen.look().field_window(&grid, Field::Depth).pixels;
        assert!(
            pixels.iter().all(|&um| f64::from(um) < full_um + 1e-3),
            "no deeper than beside it"
        );
        let last = pixels.iter().rposition(|&um| um > 1.0).expect("the value itself is bitten");
        // The window begins half a mm before the border.
        fronts.push(last as f64 * 0.005 - 0.5);
    }
    let most = fronts.iter().fold(0.0_f64, |a, &b| a.max(b));
    let least = fronts.iter().fold(f64::MAX, |a, &b| a.min(b));
    assert!(most > 0.5 * far_mm && most < far_mm + 0.1, "{most} of {far_mm} mm");
    assert!(least < 0.4 * most, "ragged: from {least} to {most} mm");
    // Where no border is, nothing lifts.
    let plan = plan_with(vec![fault(FaultKind::VarnishLifting, 1.0)]);
    let mut white = plate_with(&plan, Everywhere::paper(7));
    let pixels = white.look().field_window(&window_at(AT_MM, 200, 8.0), Field::Depth).pixels;
    assert!(pixels.iter().all(|&um| um == 0.0), "sound away from borders");
}

#[test]
fn the_paper_takes_no_more_ink_than_there_is() {
    for kind in [
        FaultKind::UnevenWiping,
        FaultKind::EdgeTone,
        FaultKind::DryPaper,
        FaultKind::WetPaper,
        FaultKind::MissingBlanket,
    ] {
        let (mut seen, mut perfect) = (plate(kind, 1.0), perfect(kind));
        let at = if kind == FaultKind::EdgeTone { (2.0, 60.0) } else { AT_MM };
        let grid = window_at(at, 240, 5.0);
        let (ink, sound) = (seen.look().ink_window(&grid), perfect.look().ink_window(&grid));
        assert!(mean(&ink.printed_um) <= mean(&ink.held_um), "{kind:?}: printed of what is held");
        for (held, usual) in ink.held_um.iter().zip(&sound.held_um) {
            assert!(held >= usual, "{kind:?} takes none away");
        }
        let leaves = matches!(kind, FaultKind::UnevenWiping | FaultKind::EdgeTone);
        let more = mean(&ink.printed_um) - mean(&sound.printed_um);
        assert!(if leaves { more > 0.0 } else { more < 0.0 }, "{kind:?}: {more} µm more on paper");
    }
}

#[test]
fn another_seed_is_another_shape() {
    for kind in [FaultKind::Draught, FaultKind::Sediment, FaultKind::UnevenWiping] {
        let print = |seed| {
            let plan = plan_with(vec![Fault { seed, ..fault(kind, 1.0) }]);
            let mut seen = plate_with(&plan, Everywhere::value(7, 4));
            seen.look().print_window(&window_at((43.0, 57.0), 120, 5.0)).pixels
        };
        assert_eq!(bits(&print(1)), bits(&print(1)), "{kind:?}: the same again");
        assert_ne!(bits(&print(1)), bits(&print(2)), "{kind:?}: another");
    }
}
