//! All numbers of a plan: dust, bake, ground, bath, values and the tone curve, with what deserves a look.

mod values_scope;

use crate::diagnosis::warnings;
use plan::order::BathOrder;
use plan::{Diagnostic, Sentence};
use plate::chain::{ToneCurve, Value};
use plate::{Plate, Renderer, View, dust, light};
use serde::Serialize;
pub use values_scope::values_scope;

/// What lies on the plate before it is baked.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct DustSummary {
    /// Middle of each size class, µm.
    pub size_um: Vec<f64>,
    /// Landed weight per unit of ln size, g/m².
    pub weight_per_ln: Vec<f64>,
    /// Weight, g/m².
    pub mass_g_per_m2: f64,
    /// Share of the copper hidden seen from above, 0–1.
    pub loose_cover: f64,
    /// Share of it hidden seen at a low angle (8°), as a printmaker judges it, 0–1.
    pub low_angle_cover: f64,
    /// Grains per mm².
    pub grains_per_mm2: f64,
    /// Dust in the air when stirred up, g/m³.
    pub cloud_start_g_per_m3: f64,
    /// Dust in the air when the plate goes in, g/m³.
    pub cloud_plate_in_g_per_m3: f64,
    /// Dust in the air when the plate comes out, g/m³.
    pub cloud_plate_out_g_per_m3: f64,
    /// About the least dust in air that can explode, g/m³, from memory: a caution, never a clearance.
    pub explosible_g_per_m3: f64,
}

/// The bake's course and outcome.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct BakeSummary {
    /// Minutes on the hot plate.
    pub course_min: Vec<f64>,
    /// Plate temperature, °C.
    pub course_c: Vec<f64>,
    /// Plate temperature at the end, °C.
    pub plate_end_c: f64,
    /// Softening point of the rosin, °C.
    pub softening_c: f64,
    /// `under`, `good` or `over`.
    #[ts(type = "'under' | 'good' | 'over'")]
    pub doneness: &'static str,
    /// The same in a sentence.
    pub sentence: Sentence,
}

/// The baked ground.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct GroundSummary {
    /// Share of the copper under resin, 0–1.
    pub cover: f64,
    /// Domes per mm².
    pub domes_per_mm2: f64,
    /// Islands per mm²: domes that touch are one.
    pub islands_per_mm2: f64,
    /// Median diameter of a dome's footprint, µm.
    pub median_footprint_um: f64,
}

/// The session in the bath.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct BathSummary {
    /// Rate at the start of each bite, µm/min.
    pub rate_um_per_min: Vec<f64>,
    /// Temperature of the bath at the start of each bite, °C.
    pub temperature_c: Vec<f64>,
    /// Copper in the bath before each bite, g/L.
    pub copper_g_per_l: Vec<f64>,
    /// Copper in the bath after the last bite, g/L.
    pub copper_end_g_per_l: f64,
    /// Copper this plate gives to the bath, g.
    pub dissolved_g: f64,
}

/// All numbers of one plan.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Summary {
    /// What deserves a look, in words.
    pub warnings: Vec<Diagnostic>,
    /// The dust.
    pub dust: DustSummary,
    /// The bake.
    pub bake: BakeSummary,
    /// The ground.
    pub ground: GroundSummary,
    /// The bath.
    pub bath: BathSummary,
    /// 8-bit sRGB of the bare sheet round the plate.
    pub sheet_srgb: u8,
    /// Paper and every value.
    pub values: Vec<Value>,
    /// What their numbers hold for, in a sentence; empty where they hold all over the plate.
    pub values_scope: String,
    /// Later grounds whose bites the values' tones include; the tone curve is always the first ground's.
    pub later_grounds: usize,
    /// The tone curve.
    pub curve: ToneCurve,
    /// The order of work in the bath.
    pub order: BathOrder,
}

/// All numbers of the plan, in the state that is looked at.
#[must_use]
pub fn summary(plate: &Plate, view: &View, renderer: &mut Renderer) -> Summary {
    let mut looking = renderer.look(plate, view);
    let values = looking.values();
    let curve = looking.tone_curve();
    let later_grounds = looking.later_grounds();
    let statistics = renderer.ground_statistics(plate);
    let (landed, baked, session) = (plate.landed(), plate.baked(), plate.session());
    let dust = DustSummary {
        size_um: landed.classes.iter().map(|c| libm::sqrt(c.from_um * c.to_um)).collect(),
        weight_per_ln: landed
            .classes
            .iter()
            .map(|c| c.mass_g_per_m2 / libm::log(c.to_um / c.from_um))
            .collect(),
        mass_g_per_m2: landed.mass_g_per_m2,
        loose_cover: landed.loose_cover,
        low_angle_cover: landed.low_angle_cover,
        grains_per_mm2: landed.grains_per_mm2,
        cloud_start_g_per_m3: landed.cloud_start_g_per_m3,
        cloud_plate_in_g_per_m3: landed.cloud_plate_in_g_per_m3,
        cloud_plate_out_g_per_m3: landed.cloud_plate_out_g_per_m3,
        explosible_g_per_m3: dust::EXPLOSIBLE_G_PER_M3,
    };
    let (doneness, sentence) = baked.verdict(landed, &plate.constants().bake);
    let bake = BakeSummary {
        course_min: baked.course_min.clone(),
        course_c: baked.course_c.clone(),
        plate_end_c: baked.plate_end_c,
        softening_c: plate.constants().bake.softening_c,
        doneness: doneness.word(),
        sentence,
    };
    let ground = GroundSummary {
        cover: statistics.cover,
        domes_per_mm2: statistics.domes_per_mm2,
        islands_per_mm2: statistics.islands_per_mm2,
        median_footprint_um: statistics.median_footprint_um,
    };
    let bath = BathSummary {
        rate_um_per_min: session.rate_um_per_min.clone(),
        temperature_c: session.temperature_c.clone(),
        copper_g_per_l: session.copper_g_per_l.clone(),
        copper_end_g_per_l: session.copper_end_g_per_l,
        dissolved_g: session.dissolved_g,
    };
    let warnings = warnings(plate, view, &statistics, &values, &curve);
    let sheet_srgb = light::srgb8(plate.plan().paper.reflectance);
    Summary {
        warnings,
        dust,
        bake,
        ground,
        bath,
        sheet_srgb,
        values,
        values_scope: values_scope(plate, view),
        later_grounds,
        curve,
        order: plate.plan().bath_order(plate.picture().shares()),
    }
}
