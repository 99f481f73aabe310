//! A window onto the core, for checks from outside: one question a line, one answer a line.
//!
//! Each line on standard input is a JSON object; `ask` names the question, the rest is what the
//! function behind it needs, in its own units, lists for what it is asked many times. `calibration`
//! replaces constants by name. Nothing is calculated here that the public functions of the crates
//! don't calculate.

mod lists;

use crate::{Outcome, table};
use plan::{Bake, Bath, Bite, Dust, Ink, Paper, Settling};
use plate::bake::{self, Baked};
use plate::bite::{self, CreepScratch, DepthCurve};
use plate::constants::Constants;
use plate::dust;
use plate::grid::Grid;
use plate::ground::{Dome, Ground, MeltScratch, TileCache};
use plate::ink::{InkScratch, Inking};
use plate::resist::{ResistScratch, distance_under_resin};
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::io::BufRead as _;

/// Dust and bake of a ground.
#[derive(Deserialize)]
#[serde(default)]
struct Recipe {
    dust: Dust,
    bake: Bake,
    thickness_mm: f64,
    seed: u32,
}

impl Default for Recipe {
    fn default() -> Self {
        let plan = plan::Plan::default();
        Self {
            dust: plan.dust,
            bake: plan.bake,
            thickness_mm: plan.plate.thickness_mm,
            seed: plan.seed,
        }
    }
}

/// Half-covered, as the plate to which the rate of the bite belongs.
fn half_open() -> f64 {
    bite::HALF_OPEN
}

impl Recipe {
    fn baked(&self, constants: &Constants) -> Baked {
        bake::bake(&self.bake, self.thickness_mm, &constants.bake)
    }

    fn ground(&self, constants: &Constants) -> Ground {
        Ground::new(&dust::land(&self.dust, &constants.dust), &self.baked(constants), self.seed)
    }
}

/// Domes or grains, one list for each quantity.
#[derive(Default, Serialize, Deserialize)]
struct Discs {
    x_um: Vec<f32>,
    y_um: Vec<f32>,
    radius_um: Vec<f32>,
}

impl Discs {
    fn of(domes: &[Dome]) -> Self {
        Self {
            x_um: domes.iter().map(|dome| dome.x_um).collect(),
            y_um: domes.iter().map(|dome| dome.y_um).collect(),
            radius_um: domes.iter().map(|dome| dome.radius_um).collect(),
        }
    }

    fn domes(&self) -> Vec<Dome> {
        (self.x_um.iter().zip(&self.y_um).zip(&self.radius_um))
            .map(|((&x_um, &y_um), &radius_um)| Dome { x_um, y_um, radius_um })
            .collect()
    }
}

/// Every question, with what it needs.
#[derive(Deserialize)]
#[serde(tag = "ask", rename_all = "snake_case")]
enum Question {
    Settling {
        diameter_um: Vec<f64>,
        density_kg_per_m3: Vec<f64>,
    },
    Landed {
        velocity_m_per_s: Vec<f64>,
        from_s: f64,
        to_s: f64,
        box_height_m: f64,
        settling: Settling,
    },
    Dust {
        #[serde(flatten)]
        recipe: Recipe,
    },
    Warming {
        #[serde(flatten)]
        recipe: Recipe,
        minutes: Vec<f64>,
    },
    Viscosity {
        plate_c: Vec<f64>,
    },
    Caps {
        angle_deg: Vec<f64>,
        solid_share: f64,
    },
    Spreading {
        rest_angle_deg: f64,
        s: Vec<f64>,
        to_angle_deg: Vec<f64>,
    },
    Bake {
        #[serde(flatten)]
        recipe: Recipe,
        volume_um3: Vec<f64>,
    },
    Cover {
        n: Vec<f64>,
    },
    Counts {
        mean: f64,
        words: Vec<u64>,
    },
    Sizes {
        per_mm2: Vec<f64>,
        ln_from: Vec<f64>,
        ln_width: Vec<f64>,
        words: Vec<u32>,
    },
    Patch {
        #[serde(flatten)]
        recipe: Recipe,
        cell_x: i32,
        cell_y: i32,
        cells: i32,
        margin: i32,
    },
    Domes {
        #[serde(flatten)]
        recipe: Recipe,
        left_um: f64,
        top_um: f64,
        side_um: f64,
        reach_um: f32,
    },
    CoverOf {
        discs: Discs,
        side_um: f32,
        lines: usize,
    },
    Distance {
        discs: Discs,
        overlapping: bool,
        width: usize,
        height: usize,
        px_um: f32,
        reach_um: f32,
    },
    Profile {
        under_um: Vec<f64>,
        dose_um: f64,
        etch_factor: f64,
    },
    Depth {
        under_um: Vec<f32>,
        dose_um: f64,
        etch_factor: f64,
        px_um: f32,
    },
    Borders {
        under_um: Vec<f32>,
        value: Vec<u8>,
        dose_um: Vec<f64>,
        etch_factor: f64,
        width: usize,
        px_um: f32,
    },
    Strength {
        be: Vec<f64>,
        copper_g_per_l: f64,
    },
    Density {
        weight_share: Vec<f64>,
        temp_c: Vec<f64>,
    },
    Rate {
        bath: Bath,
        copper_g_per_l: Vec<f64>,
        #[serde(default = "half_open")]
        open_share: f64,
    },
    Session {
        bath: Bath,
        bites_min: Vec<f64>,
        plate_cm2: f64,
        area_share: Vec<f64>,
        #[serde(default = "half_open")]
        open_share: f64,
        at_um: Vec<f64>,
        mean_depth_um: Vec<f64>,
    },
    Print {
        #[serde(default)]
        ink: Ink,
        #[serde(default)]
        paper: Paper,
        depth_um: Vec<f32>,
        width: usize,
        px_um: f32,
    },
    Split {
        #[serde(default)]
        ink: Ink,
        held_um: Vec<f32>,
    },
    Mix {
        base_parts: Vec<f64>,
        reducer_parts: Vec<f64>,
    },
    InkWeight {
        area_cm2: Vec<f64>,
        held_um: Vec<f64>,
    },
    PatchTone {
        #[serde(default)]
        ink: Ink,
        #[serde(default)]
        paper: Paper,
        printed_um: Vec<Vec<f32>>,
    },
    Projection {
        width_mm: f64,
        height_mm: f64,
        corners: [(f64, f64); 4],
        x_mm: Vec<f64>,
        y_mm: Vec<f64>,
    },
    /// Level of the two classes of a histogram of 256 tones.
    Otsu {
        counts: Vec<u64>,
    },
    Student {
        share: f64,
        freedom: Vec<f64>,
    },
    Light {
        reflectance: Vec<f64>,
    },
    LightBack {
        lightness: Vec<f64>,
        munsell: Vec<f64>,
        srgb: Vec<f64>,
    },
    Tones {
        width: usize,
        height: usize,
        rgba: Vec<u8>,
        #[serde(default)]
        crop: plan::Crop,
    },
    Constants,
}

/// Reads questions to the end of standard input and prints their answers.
pub(crate) fn answer_all() -> Outcome<()> {
    for (number, line) in std::io::stdin().lock().lines().enumerate() {
        let line = line.map_err(|e| format!("Line {} can't be read ({e}).", number + 1))?;
        let answer = answer(&line).map_err(|e| format!("Line {}: {e}", number + 1))?;
        table::print(&format!("{answer}\n"))?;
    }
    Ok(())
}

/// The constants to calculate with, apart from the question itself.
#[derive(Deserialize)]
struct Calibration {
    #[serde(default)]
    calibration: BTreeMap<String, f64>,
}

fn answer(line: &str) -> Outcome<Value> {
    let own: Calibration = serde_json::from_str(line).map_err(|e| e.to_string())?;
    let constants = Constants::calibrated(&own.calibration)
        .map_err(|refused| refused.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "))?;
    let question = serde_json::from_str(line).map_err(|e| e.to_string())?;
    Ok(match question {
        Question::Tones { width, height, rgba, crop } => of_tones(width, height, &rgba, crop)?,
        Question::Bake { recipe, volume_um3 } => of_bake(&recipe, &volume_um3, &constants),
        Question::Patch { recipe, cell_x, cell_y, cells, margin } => {
            of_patch(&recipe.ground(&constants), (cell_x, cell_y), cells, margin)
        }
        Question::Domes { recipe, left_um, top_um, side_um, reach_um } => {
            let ground = recipe.ground(&constants);
            let mut domes = Vec::new();
            let overlapping = TileCache::new(0)
                .gather(&ground, left_um, top_um, side_um, side_um, reach_um, &mut domes);
            json!({ "discs": Discs::of(&domes), "overlapping": overlapping })
        }
        Question::Distance { discs, overlapping, width, height, px_um, reach_um } => {
            let mut under_um = Vec::new();
            let scratch = &mut ResistScratch::default();
            distance_under_resin(
                &discs.domes(),
                overlapping,
                width,
                height,
                px_um,
                reach_um,
                scratch,
                &mut under_um,
            );
            json!({ "under_um": under_um })
        }
        Question::Borders { under_um, value, dose_um, etch_factor, width, px_um } => {
            let curves: Vec<_> =
                dose_um.iter().map(|&dose| DepthCurve::new(dose, etch_factor, px_um)).collect();
            let mut depth_um = Vec::new();
            bite::depth_field(&under_um, &value, &curves, &mut depth_um);
            let height = under_um.len() / width.max(1);
            bite::creep_under_varnish(
                &under_um,
                &value,
                &dose_um,
                px_um,
                etch_factor,
                width,
                height,
                &mut CreepScratch::default(),
                &mut depth_um,
            );
            json!({ "depth_um": depth_um })
        }
        Question::Session {
            bath,
            bites_min,
            plate_cm2,
            area_share,
            open_share,
            at_um,
            mean_depth_um,
        } => {
            let bites: Vec<_> = bites_min.iter().map(|&bite_min| Bite { bite_min }).collect();
            let depth = |dose_um: f64| straight_between(&at_um, &mean_depth_um, dose_um);
            let (open, bite) = (open_share, &constants.bite);
            let done = bite::session(
                &bath,
                &bites,
                &bite::InBath::covered(plate_cm2),
                &area_share,
                open,
                &depth,
                bite,
            );
            json!({
                "rate_um_per_min": done.rate_um_per_min, "bite_um": done.bite_um,
                "copper_g_per_l": done.copper_g_per_l, "dose_um": done.dose_um,
                "copper_end_g_per_l": done.copper_end_g_per_l, "dissolved_g": done.dissolved_g,
            })
        }
        Question::Print { ink, paper, depth_um, width, px_um } => {
            let inking = Inking::new(&ink, &paper, &constants.ink);
            let height = depth_um.len() / width.max(1);
            let grid = Grid { left_px: 0, top_px: 0, width, height, px_um };
            let (mut scratch, mut cloth_um, mut seen) =
                (InkScratch::default(), Vec::new(), Vec::new());
            inking.cloth_level_um(&depth_um, &grid, &mut scratch, &mut cloth_um);
            inking.print(&depth_um, &grid, &mut scratch, &mut seen);
            json!({
                "cloth_um": cloth_um, "held_um": scratch.held_um(), "printed_um": scratch.printed_um(),
                "reflectance": seen, "patch": inking.patch_reflectance(scratch.printed_um()),
            })
        }
        Question::Projection { width_mm, height_mm, corners, x_mm, y_mm } => {
            let map = study::calibration::Homography::new(width_mm, height_mm, &corners)
                .ok_or("These corners are no plate's.")?;
            let (x_px, y_px): (Vec<f64>, Vec<f64>) =
                x_mm.iter().zip(&y_mm).map(|(&x, &y)| map.to_picture(x, y)).unzip();
            json!({ "x_px": x_px, "y_px": y_px })
        }
        Question::Otsu { counts } => {
            let histogram = counts.try_into().map_err(|_| "A histogram has 256 counts.")?;
            json!({ "level": study::calibration::ground_photo::otsu(&histogram).map(|found| found.level) })
        }
        Question::Student { share, freedom } => {
            let t: Vec<f64> = freedom
                .iter()
                .map(|&freedom| study::calibration::t_quantile(share, freedom))
                .collect();
            json!({ "t": t })
        }
        Question::Constants => json!(Constants::catalogue()),
        plain => lists::answer(plain, &constants),
    })
}

/// What is read of a picture for a crop.
fn of_tones(width: usize, height: usize, rgba: &[u8], crop: plan::Crop) -> Outcome<Value> {
    let pixels = picture::Pixels { width, height, rgba };
    let window = picture::Window::of(width, height, crop);
    let tones = picture::read(&pixels, window).map_err(|error| error.to_string())?;
    Ok(json!({
        "window": [window.left, window.top, window.width, window.height],
        "size": [tones.width, tones.height],
        "lightness": tones.lightness,
    }))
}

/// The course of a bake, and the domes that grains of these volumes have become by its end.
fn of_bake(recipe: &Recipe, volume_um3: &[f64], constants: &Constants) -> Value {
    let baked = recipe.baked(constants);
    let (radius_um, angle_deg): (Vec<_>, Vec<_>) =
        volume_um3.iter().map(|&v| baked.last_step().footprint.of_volume(v)).unzip();
    let steps =
        |of: &dyn Fn(&bake::MeltStep) -> f64| baked.steps.iter().map(of).collect::<Vec<_>>();
    json!({
        "dose_m": baked.dose_m, "plate_end_c": baked.plate_end_c,
        "rest_angle_deg": steps(&|step| step.rest_angle_deg),
        "pinning": steps(&|step| step.pinning), "merge_limit_um": steps(&|step| step.merge_limit_um),
        "radius_um": radius_um, "angle_deg": angle_deg,
    })
}

/// A square of cells: the grains that fell on it, and the domes they became.
fn of_patch(ground: &Ground, (cell_x, cell_y): (i32, i32), cells: i32, margin: i32) -> Value {
    let mut grains = Vec::new();
    ground.grains(cell_x, cell_y, cells, &mut grains);
    let within = (cell_x + margin, cell_y + margin);
    let margin_um = f64::from(margin) * ground.cell_um();
    let patch = ground.patch(within, cells - 2 * margin, margin_um, &mut MeltScratch::default());
    json!({
        "cell_um": ground.cell_um(), "grains_per_mm2": ground.grains_per_mm2(),
        "largest_um": ground.largest_um(), "margin_um": ground.margin_um(),
        "grain_x_um": grains.iter().map(|g| g.x_um).collect::<Vec<_>>(),
        "grain_y_um": grains.iter().map(|g| g.y_um).collect::<Vec<_>>(),
        "grain_um3": grains.iter().map(|g| g.volume_um3).collect::<Vec<_>>(),
        "discs": Discs::of(&patch.domes), "dome_um3": patch.volumes_um3,
        "overlapping": patch.overlapping,
    })
}

/// Straight lines between given points; level beyond them.
fn straight_between(x: &[f64], y: &[f64], at: f64) -> f64 {
    let above = x.partition_point(|&x| x < at);
    match (above.checked_sub(1), x.get(above)) {
        (Some(below), Some(&next)) => {
            y[below] + (y[above] - y[below]) * (at - x[below]) / (next - x[below])
        }
        (None, _) => y.first().copied().unwrap_or(0.0),
        (Some(below), None) => y[below],
    }
}
