//! Digest: one number for the bits of every stage, to prove that they are the same everywhere.

use crate::chain::{Field, Plate, Renderer, TileRequest, View};
use crate::fnv::Fnv;
use crate::grid::Grid;

/// The digest of a row of numbers.
#[must_use]
pub fn of_numbers(numbers: &[f64]) -> u64 {
    let mut fnv = Fnv::new();
    fnv.f64s(numbers.iter().copied());
    fnv.0
}

/// Middles of the windows looked at, as shares of the plate's width and height: in the harbour one
/// lies in the dark of the quay, one where hull, water and light meet.
const PLACES: [(f64, f64); 2] = [(0.2, 0.93), (0.3, 0.68)];

/// A window of 192 pixels square at 4 µm round a place of the print.
fn window_at(plan: &plan::Plan, (across, down): (f64, f64)) -> Grid {
    let start = |mm: f64, share: f64| (mm * 1000.0 * share / 4.0) as i64 - 96;
    Grid {
        left_px: start(plan.plate.width_mm, across),
        top_px: start(plan.plate.height_mm, down),
        width: 192,
        height: 192,
        px_um: 4.0,
    }
}

/// Name and digest of every stage of a plate, in the order of the bench.
///
/// A changed digest means that some bit of that stage's outcome changed on this machine, or since
/// the committed list was made; every stage after it changes too.
pub fn stages(plate: &Plate, renderer: &mut Renderer) -> Vec<(&'static str, u64)> {
    let view = View::default();
    let mut looking = renderer.look(plate, &view);
    let mut list = Vec::new();
    let mut add = |name, fill: &mut dyn FnMut(&mut Fnv)| {
        let mut fnv = Fnv::new();
        fill(&mut fnv);
        list.push((name, fnv.0));
    };
    add("dust", &mut |fnv| {
        let landed = plate.landed();
        fnv.f64s([landed.grains_per_mm2, landed.mass_g_per_m2, landed.loose_cover]);
        fnv.f64s(
            landed
                .classes
                .iter()
                .flat_map(|c| [c.from_um, c.to_um, c.grains_per_mm2, c.mass_g_per_m2]),
        );
    });
    add("bake", &mut |fnv| {
        let baked = plate.baked();
        fnv.f64s([baked.plate_end_c, baked.dose_m]);
        fnv.f64s(baked.course_c.iter().copied());
        for step in &baked.steps {
            fnv.f64s([step.rest_angle_deg, step.pinning, step.merge_limit_um]);
            fnv.f32s(&step.footprint.radius_um);
            fnv.f32s(&step.footprint.angle_deg);
        }
    });
    let windows = PLACES.map(|place| window_at(plate.plan(), place));
    for (name, field) in [
        ("ground", Field::Cover),
        ("bite", Field::Depth),
        ("hold", Field::Held),
        ("print", Field::Printed),
        ("proof", Field::Reflectance),
    ] {
        add(name, &mut |fnv| {
            for window in &windows {
                fnv.f32s(&looking.field_window(window, field).pixels);
            }
        });
    }
    add("session", &mut |fnv| {
        let session = plate.session();
        fnv.f64s(session.rate_um_per_min.iter().chain(&session.dose_um).copied());
    });
    add("tile", &mut |fnv| {
        let out_um = 50.0;
        let tile = TileRequest {
            left_out: 0,
            top_out: 0,
            width_out: 60,
            height_out: 60,
            out_um,
            px_um: 5.0,
        };
        fnv.bytes(&looking.tile_srgb8(&tile));
    });
    add("values", &mut |fnv| {
        for value in looking.values() {
            fnv.f64s([
                value.mean_depth_um,
                value.held_um,
                value.printed_um,
                value.reflectance,
                value.lightness,
            ]);
        }
    });
    list
}
