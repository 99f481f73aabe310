//! Each kernel's job: fixed input from the default plan, one run, and its units of work.

use picture::{PictureAreas, harbour};
use plan::Plan;
use plate::bite::{DepthCurve, depth_field};
use plate::chain::{Job, Plate, Renderer, TileRequest, View};
use plate::constants::Constants;
use plate::grid::Grid;
use plate::ground::{Dome, Ground, TileCache};
use plate::ink::{Copper, InkScratch, Inking, Keep};
use plate::resist::{BoundedScratch, ResistScratch, bounded_distance_px, distance_under_resin};
use plate::{bake, dust};
use std::sync::Arc;

/// A kernel ready to run.
pub struct Prepared {
    /// Units of work in one run (pixels, grains or windows).
    pub units: f64,
    /// Does the work once; returns a number that depends on all of it.
    pub run: Box<dyn FnMut() -> f64>,
}

/// One kernel.
pub struct Kernel {
    /// Name in the table.
    pub name: &'static str,
    /// Unit of work.
    pub unit: &'static str,
    /// Target per unit, ns.
    pub target_ns: f64,
    /// Makes its input.
    pub prepare: fn() -> Prepared,
}

/// All kernels, in the order of the bench.
pub const KERNELS: &[Kernel] = &[
    Kernel {
        name: "dust to domes",
        unit: "landed grain",
        target_ns: 150.0,
        prepare: dust_to_domes,
    },
    Kernel { name: "distance under the resin", unit: "px", target_ns: 5.0, prepare: distance },
    Kernel {
        name: "bounded distance transform, 16 px",
        unit: "px",
        target_ns: 5.0,
        prepare: bounded,
    },
    Kernel {
        name: "one value, depth to reflectance",
        unit: "px",
        target_ns: 15.0,
        prepare: one_value,
    },
    Kernel {
        name: "window of 2 × 2 mm at 4 µm", unit: "window", target_ns: 10e6, prepare: window
    },
    Kernel {
        name: "bake changed, to a window of 2 × 2 mm",
        unit: "window",
        target_ns: 60e6,
        prepare: bake_changed,
    },
    Kernel {
        name: "proof of 4 cm² at 5 µm, many values, ground kept",
        unit: "px",
        target_ns: 30.0,
        prepare: among_borders,
    },
    Kernel {
        name: "proof of 1 cm² at 5 µm, all",
        unit: "px",
        target_ns: 41.0,
        prepare: || part(1),
    },
    Kernel {
        name: "proof of 4 cm² at 5 µm, all",
        unit: "px",
        target_ns: 41.0,
        prepare: || part(2),
    },
    Kernel {
        name: "proof of 16 cm² at 5 µm, all",
        unit: "px",
        target_ns: 41.0,
        prepare: || part(4),
    },
    Kernel {
        name: "proof of 64 cm² at 5 µm, all",
        unit: "px",
        target_ns: 41.0,
        prepare: || part(8),
    },
];

const SIDE_PX: usize = 1024;
const PX_UM: f32 = 5.0;
/// How deep under the resin distances are wanted, µm.
const REACH_UM: f32 = 60.0;

fn ground() -> Ground {
    let (plan, constants) = (Plan::default(), Constants::default());
    let landed = dust::land(&plan.dust, &constants.dust);
    let baked = bake::bake(&plan.bake, plan.plate.thickness_mm, &constants.bake);
    Ground::new(&landed, &baked, plan.seed)
}

/// Domes over the raster, and whether any overlap.
fn domes() -> (Vec<Dome>, bool) {
    let side_um = SIDE_PX as f64 * f64::from(PX_UM);
    let mut domes = Vec::new();
    let mut cache = TileCache::new(1_000_000);
    let overlapping = cache.gather(&ground(), 0.0, 0.0, side_um, side_um, REACH_UM, &mut domes);
    (domes, overlapping)
}

fn distances() -> Vec<f32> {
    let mut out = Vec::new();
    let (domes, overlapping) = domes();
    distance_under_resin(
        &domes,
        overlapping,
        SIDE_PX,
        SIDE_PX,
        PX_UM,
        REACH_UM,
        &mut ResistScratch::default(),
        &mut out,
    );
    out
}

fn sum(values: &[f32]) -> f64 {
    values.iter().step_by(97).map(|&value| f64::from(value)).sum()
}

fn dust_to_domes() -> Prepared {
    let ground = ground();
    let tile_mm2 = ground.tile_um() * ground.tile_um() * 1e-6;
    let units = ground.grains_per_mm2() * tile_mm2 * 4.0;
    let (mut cache, mut out) = (TileCache::new(1_000_000), Vec::new());
    let mut place = 0;
    let run = move || {
        place += 2;
        cache.clear();
        let side_um = 2.0 * ground.tile_um();
        // The middle of four tiles square: just these four are made.
        let edge_um = ground.largest_um() + 1.0;
        let left_um = f64::from(place) * ground.tile_um() + edge_um;
        cache.gather(
            &ground,
            left_um,
            edge_um,
            side_um - 2.0 * edge_um,
            side_um - 2.0 * edge_um,
            0.0,
            &mut out,
        );
        out.len() as f64
    };
    Prepared { units, run: Box::new(run) }
}

fn distance() -> Prepared {
    let (domes, overlapping) = domes();
    let (mut scratch, mut out) = (ResistScratch::default(), Vec::new());
    let size = SIDE_PX;
    let run = move || {
        distance_under_resin(
            &domes,
            overlapping,
            size,
            size,
            PX_UM,
            REACH_UM,
            &mut scratch,
            &mut out,
        );
        sum(&out)
    };
    Prepared { units: (SIDE_PX * SIDE_PX) as f64, run: Box::new(run) }
}

fn bounded() -> Prepared {
    let covered: Vec<u8> = distances().iter().map(|&s| u8::from(s > 0.0)).collect();
    let (mut scratch, mut out) = (BoundedScratch::default(), Vec::new());
    let run = move || {
        bounded_distance_px(&covered, SIDE_PX, SIDE_PX, 16, &mut scratch, &mut out);
        sum(&out)
    };
    Prepared { units: (SIDE_PX * SIDE_PX) as f64, run: Box::new(run) }
}

fn one_value() -> Prepared {
    let distances = distances();
    let (plan, constants) = (Plan::default(), Constants::default());
    let inking = Inking::new(&plan.ink, &plan.paper, &constants.ink);
    let curves = [DepthCurve::new(14.3, constants.bite.etch_factor, PX_UM)];
    let grid = Grid { left_px: 0, top_px: 0, width: SIDE_PX, height: SIDE_PX, px_um: PX_UM };
    let value = vec![0_u8; SIDE_PX * SIDE_PX];
    let (mut scratch, mut depth_um, mut reflectance) =
        (InkScratch::default(), Vec::new(), Vec::new());
    let run = move || {
        depth_field(&distances, &value, &curves, &mut depth_um);
        let copper = Copper::bitten(&depth_um, &grid);
        inking.print_part(&copper, &grid, Keep::Nothing, &mut scratch, &mut reflectance);
        sum(&reflectance)
    };
    Prepared { units: (SIDE_PX * SIDE_PX) as f64, run: Box::new(run) }
}

/// The harbour's job.
fn job(plan: Plan) -> Job {
    let areas = Arc::new(PictureAreas::new(Arc::new(harbour(600, 800)), &plan));
    Job::new(plan, areas)
}

/// The harbour's plate and what looks at it; a kernel without one would measure nothing.
fn plate() -> (Plate, Renderer) {
    let mut renderer = Renderer::default();
    match renderer.plate(&job(Plan::default())) {
        Ok(plate) => (plate, renderer),
        Err(refused) => panic!("the default plan is refused: {refused:?}"),
    }
}

fn window() -> Prepared {
    let ((plate, mut renderer), view) = (plate(), View::default());
    let grid = Grid { left_px: 15_500, top_px: 33_000, width: 500, height: 500, px_um: 4.0 };
    let run = move || sum(&renderer.look(&plate, &view).print_window(&grid).pixels);
    Prepared { units: 1.0, run: Box::new(run) }
}

/// From a change of the bake to the window that the linen tester shows: the page's target less its own
/// share.
fn bake_changed() -> Prepared {
    let ((mut plate, mut renderer), view) = (plate(), View::default());
    let mut job = job(Plan::default());
    let grid = Grid { left_px: 11_000, top_px: 31_700, width: 500, height: 500, px_um: 4.0 };
    let run = move || {
        let bake = &mut job.plan.bake;
        bake.bake_min = if bake.bake_min > 9.75 { 9.5 } else { 10.0 };
        match renderer.plate_after(&plate, &job) {
            Ok(changed) => {
                plate = changed;
                sum(&renderer.look(&plate, &view).print_window(&grid).pixels)
            }
            Err(refused) => panic!("the default plan is refused: {refused:?}"),
        }
    };
    Prepared { units: 1.0, run: Box::new(run) }
}

/// The boats at full grain, where many values meet, in tiles of 8 mm: the ground is kept.
fn among_borders() -> Prepared {
    let ((plate, mut renderer), view) = (plate(), View::default());
    let run = move || {
        let tile = |i: i64| TileRequest {
            left_out: (i % 3 + 6) * 160,
            top_out: (i / 3 + 14) * 160,
            width_out: 160,
            height_out: 160,
            out_um: 50.0,
            px_um: 5.0,
        };
        let mut looking = renderer.look(&plate, &view);
        (0..6).map(|i| sum(&looking.tile(&tile(i)))).sum()
    };
    Prepared { units: 6.0 * 1600.0 * 1600.0, run: Box::new(run) }
}

/// A part of the harbour at full grain, its ground laid anew, in tiles of 10 mm: the margins round
/// it weigh the less the larger it is.
fn part(tiles_across: i64) -> Prepared {
    let ((plate, mut renderer), view) = (plate(), View::default());
    let run = move || {
        renderer.forget_ground();
        let mut total = 0.0;
        for tile in 0..tiles_across * tiles_across {
            let request = TileRequest {
                left_out: (tile % tiles_across + 3) * 200,
                top_out: (tile / tiles_across + 6) * 200,
                width_out: 200,
                height_out: 200,
                out_um: 50.0,
                px_um: 5.0,
            };
            total += sum(&renderer.look(&plate, &view).tile(&request));
        }
        total
    };
    Prepared { units: (tiles_across * tiles_across) as f64 * 2000.0 * 2000.0, run: Box::new(run) }
}
