//! The numbers that explain a proof: the table of values, the tone curve, and what led there.

use super::WindowFields;
use super::later::corner;
use super::{Plate, SAMPLE, SAMPLE_PX_UM, Warning, warnings};
use crate::bake::Doneness;
use crate::bite::{DepthCurve, ResistProfile, depth_field};
use crate::constants::Constants;
use crate::grid::Grid;
use crate::ink::InkScratch;
use crate::ink::{Copper, Keep};
use crate::{dust, light};
use plan::order::BathOrder;
use serde::Serialize;

/// One value of the scale; index 0 is the paper, kept white by stop-out from the start.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Value {
    /// Its number: 0 for the paper, k for the k-th bite.
    pub index: usize,
    /// Minutes of its own bite.
    pub bite_min: f64,
    /// Minutes of all bites it was open in.
    pub cumulative_min: f64,
    /// Copper gone between the domes, µm.
    pub bitten_um: f64,
    /// Mean depth over the whole area, µm.
    pub mean_depth_um: f64,
    /// Share of the copper still at its old height, 0–1.
    pub land: f64,
    /// Mean ink in the pits after wiping, µm.
    pub held_um: f64,
    /// Mean ink on the paper, µm.
    pub printed_um: f64,
    /// Mean reflectance, 0–1.
    pub reflectance: f64,
    /// CIE L*, 0–100.
    pub lightness: f64,
    /// Reflection density.
    pub density: f64,
    /// 8-bit sRGB of the mean reflectance.
    pub srgb: u8,
    /// Share of the plate's area, 0–1.
    pub area_share: f64,
}

/// How this ground prints against minutes in this bath: the plan's bites as they run, the last one going
/// on. It ends where the bath gets no deeper within [`super::LONGEST_MIN`].
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ToneCurve {
    /// Minutes open.
    pub minutes: Vec<f64>,
    /// CIE L* printed.
    pub lightness: Vec<f64>,
    /// Density printed.
    pub density: Vec<f64>,
    /// Mean depth, µm.
    pub depth_um: Vec<f64>,
    /// Minutes at which it prints darkest; later the ground has broken down. Not a number (`null` in
    /// JSON) when this bath never gets there.
    pub darkest_min: f64,
}

/// What lies on the plate before it is baked.
#[derive(Clone, Debug, PartialEq, Serialize)]
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
#[derive(Clone, Debug, PartialEq, Serialize)]
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
    pub doneness: &'static str,
    /// The same in a sentence.
    pub sentence: String,
}

/// The baked ground.
#[derive(Clone, Debug, PartialEq, Serialize)]
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
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BathSummary {
    /// Rate at the start of each bite, µm/min.
    pub rate_um_per_min: Vec<f64>,
    /// Copper in the bath before each bite, g/L.
    pub copper_g_per_l: Vec<f64>,
    /// Copper in the bath after the last bite, g/L.
    pub copper_end_g_per_l: f64,
    /// Copper this plate gives to the bath, g.
    pub dissolved_g: f64,
}

/// All numbers of one plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Summary {
    /// What deserves a look, in words.
    pub warnings: Vec<Warning>,
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

/// How a plain area prints after a dose of bite, from the sample of the ground.
#[derive(Clone, Copy, Debug)]
pub(super) struct Swatch {
    pub(super) mean_depth_um: f64,
    pub(super) land: f64,
    pub(super) held_um: f64,
    pub(super) printed_um: f64,
    pub(super) reflectance: f64,
}

/// Doses on open copper, and what plain areas print at each.
pub(super) struct TonesByDose {
    /// Doses, µm, from 0.
    pub(super) dose_um: Vec<f64>,
    swatches: Vec<Swatch>,
    /// CIE L* printed.
    pub(super) lightness: Vec<f64>,
    /// Dose that prints darkest, µm.
    pub(super) darkest_um: f64,
}

/// The tone curve's doses grow by this factor from point to point.
const CURVE_RATIO: f64 = 1.32;
/// First dose of the tone curve after zero, µm.
const CURVE_FROM_UM: f64 = 0.4;
/// The tone curve goes to this dose, µm, or past the last bite if that is deeper: as far as grounds that
/// cover nine tenths take to print darkest.
const CURVE_TO_UM: f64 = 80.0;

/// Copper this little below the plane still counts as land, µm.
const STANDING_UM: f32 = 0.05;

fn mean(values: &[f32]) -> f64 {
    values.iter().map(|&v| f64::from(v)).sum::<f64>() / values.len().max(1) as f64
}

/// A swatch from the fields of a printed piece of plain ground.
pub(super) fn swatch_of(
    depth_um: &[f32],
    ink: &InkScratch,
    reflectance: &[f32],
    profile: &ResistProfile,
    dose_um: f64,
    etch_factor: f64,
) -> Swatch {
    // Where nothing is bitten all of it stands, open or not.
    let land = if dose_um > 0.0 { profile.land_share(dose_um, etch_factor) } else { 1.0 };
    Swatch {
        mean_depth_um: mean(depth_um),
        land,
        held_um: mean(ink.held_um()),
        printed_um: mean(ink.printed_um()),
        reflectance: mean(reflectance),
    }
}

impl Plate {
    /// Prints a sample of plain ground bitten by `dose_um`.
    #[inline(never)] // keeps the page small: there are many callers and the work is inside
    pub(super) fn swatch(&mut self, dose_um: f64) -> Swatch {
        let etch_factor = self.constants.bite.etch_factor;
        let curves = [DepthCurve::new(dose_um, etch_factor, SAMPLE_PX_UM)];
        let fields = &mut self.window;
        fields.value.clear();
        fields.value.resize(SAMPLE.len(), 0);
        depth_field(&self.sample, &fields.value, &curves, &mut fields.depth_um);
        fields.plane_um.clear();
        self.inking.print(&fields.depth_um, &SAMPLE, &mut fields.ink, &mut fields.reflectance);
        swatch_of(
            &fields.depth_um,
            &fields.ink,
            &fields.reflectance,
            &self.profile,
            dose_um,
            etch_factor,
        )
    }

    fn swatch_means(&self, land: f64) -> Swatch {
        let fields = &self.window;
        Swatch {
            mean_depth_um: mean(&fields.depth_um),
            land,
            held_um: mean(fields.ink.held_um()),
            printed_um: mean(fields.ink.printed_um()),
            reflectance: mean(&fields.reflectance),
        }
    }

    /// Prints a sample of one value in the state that is looked at, where no tool has worked.
    pub(super) fn swatch_of(&mut self, value: usize) -> Swatch {
        let dose_um = self.session.dose_um[value];
        if self.later_grounds() > 0 {
            return self.swatch_worked(value, &[], SAMPLE.width, &mut |_, _, _| {});
        }
        self.swatch(dose_um)
    }

    /// The same with tools: `amounts` says for each step of the line what it takes, µm (a later ground
    /// lies where it is above 0), and `then` works on the copper last. Only the upper left
    /// `side_px` of the sample is printed.
    pub(super) fn swatch_worked(
        &mut self,
        value: usize,
        amounts: &[f32],
        side_px: usize,
        then: &mut dyn FnMut(&Grid, &Constants, &mut WindowFields),
    ) -> Swatch {
        let etch_factor = self.constants.bite.etch_factor;
        let curves = [DepthCurve::new(self.session.dose_um[value], etch_factor, SAMPLE_PX_UM)];
        let grid = Grid { width: side_px, height: side_px, ..SAMPLE };
        let fields = &mut self.window;
        fields.value.clear();
        fields.value.resize(grid.len(), 0);
        if side_px == SAMPLE.width {
            depth_field(&self.sample, &fields.value, &curves, &mut fields.depth_um);
        } else {
            let part = corner(&self.sample, side_px);
            depth_field(&part, &fields.value, &curves, &mut fields.depth_um);
        }
        self.line.work_on_sample(value, amounts, side_px, &self.constants, fields);
        then(&grid, &self.constants, fields);
        let (depth_um, plane_um) = (&fields.depth_um, Some(fields.plane_um.as_slice()));
        let copper = Copper { depth_um, plane_um, grid: &grid };
        let (ink, reflectance) = (&mut fields.ink, &mut fields.reflectance);
        self.inking.print_part(&copper, &grid, Keep::Ink, ink, reflectance);
        let standing = |(&depth, &plane): (&f32, &f32)| depth <= plane + STANDING_UM;
        let pixels = fields.depth_um.iter().zip(&fields.plane_um);
        let land = pixels.filter(|&pixel| standing(pixel)).count() as f64 / grid.len() as f64;
        self.swatch_means(land)
    }

    /// The table of values: paper first, then from light to dark.
    pub fn values(&mut self) -> Vec<Value> {
        let mut cumulative_min = 0.0;
        (0..=self.plan.bites.len())
            .map(|index| {
                let bite_min = if index == 0 { 0.0 } else { self.plan.bites[index - 1].bite_min };
                cumulative_min += bite_min;
                let dose_um = self.session.dose_um[index];
                let swatch = self.swatch_of(index);
                Value {
                    index,
                    bite_min,
                    cumulative_min,
                    bitten_um: dose_um,
                    mean_depth_um: swatch.mean_depth_um,
                    land: swatch.land,
                    held_um: swatch.held_um,
                    printed_um: swatch.printed_um,
                    reflectance: swatch.reflectance,
                    lightness: light::lightness(swatch.reflectance),
                    density: light::density(swatch.reflectance),
                    srgb: light::srgb8(swatch.reflectance),
                    area_share: self.areas.shares()[index],
                }
            })
            .collect()
    }

    /// What this ground and ink print, dose by dose: the same in any bath.
    pub(super) fn tones_by_dose(&mut self) -> TonesByDose {
        let total_min: f64 = self.plan.bites.iter().map(|bite| bite.bite_min).sum();
        // As deep as a bath that never tires would go.
        let last_um = CURVE_TO_UM.max(total_min * self.session.rate_um_per_min[0] * 1.05);
        let mut dose_um = vec![0.0];
        let mut next_um = CURVE_FROM_UM;
        while next_um < last_um {
            dose_um.push(next_um);
            next_um *= CURVE_RATIO;
        }
        dose_um.push(last_um);
        let swatches: Vec<Swatch> = dose_um.iter().map(|&dose_um| self.swatch(dose_um)).collect();
        let lightness: Vec<f64> =
            swatches.iter().map(|s| light::lightness(s.reflectance)).collect();
        let darkest_um = lowest_between(&dose_um, &lightness);
        TonesByDose { dose_um, swatches, lightness, darkest_um }
    }

    /// How this ground prints against minutes in the plan's bath.
    pub fn tone_curve(&mut self) -> ToneCurve {
        let tones = self.tones_by_dose();
        let bite_min: Vec<f64> = self.plan.bites.iter().map(|bite| bite.bite_min).collect();
        let course = self.course(&bite_min, tones.dose_um[tones.dose_um.len() - 1]);
        let known = tones.dose_um.iter().map_while(|&dose_um| course.minutes_at(dose_um));
        let mut minutes: Vec<f64> = known.collect();
        let reached = minutes.len();
        let mut swatches = tones.swatches;
        let mut lightness = tones.lightness;
        swatches.truncate(reached);
        lightness.truncate(reached);
        if reached < tones.dose_um.len() {
            // The bath gets no further.
            let (dose_um, end_min) = course.end();
            let swatch = self.swatch(dose_um);
            minutes.push(end_min.max(1.0));
            lightness.push(light::lightness(swatch.reflectance));
            swatches.push(swatch);
        }
        ToneCurve {
            minutes,
            density: swatches.iter().map(|s| light::density(s.reflectance)).collect(),
            depth_um: swatches.iter().map(|s| s.mean_depth_um).collect(),
            lightness,
            darkest_min: course.minutes_at(tones.darkest_um).unwrap_or(f64::NAN),
        }
    }

    /// All numbers of the plan.
    pub fn summary(&mut self) -> Summary {
        let values = self.values();
        let curve = self.tone_curve();
        let statistics = self.ground_statistics();
        let landed = &self.landed;
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
        let (doneness, sentence) = self.baked.verdict(&self.landed, &self.constants.bake);
        let bake = BakeSummary {
            course_min: self.baked.course_min.clone(),
            course_c: self.baked.course_c.clone(),
            plate_end_c: self.baked.plate_end_c,
            softening_c: self.constants.bake.softening_c,
            doneness: word(doneness),
            sentence,
        };
        let ground = GroundSummary {
            cover: statistics.cover,
            domes_per_mm2: statistics.domes_per_mm2,
            islands_per_mm2: statistics.islands_per_mm2,
            median_footprint_um: statistics.median_footprint_um,
        };
        let bath = BathSummary {
            rate_um_per_min: self.session.rate_um_per_min.clone(),
            copper_g_per_l: self.session.copper_g_per_l.clone(),
            copper_end_g_per_l: self.session.copper_end_g_per_l,
            dissolved_g: self.session.dissolved_g,
        };
        let warnings = warnings::warnings(self, &statistics, &values, &curve);
        let sheet_srgb = light::srgb8(self.plan.paper.reflectance);
        let order = self.plan.bath_order(self.areas.shares());
        let values_scope = self.values_scope();
        let later_grounds = self.later_grounds();
        Summary {
            warnings,
            dust,
            bake,
            ground,
            bath,
            sheet_srgb,
            values,
            values_scope,
            later_grounds,
            curve,
            order,
        }
    }
}

pub(super) fn word(doneness: Doneness) -> &'static str {
    match doneness {
        Doneness::Under => "under",
        Doneness::Good => "good",
        Doneness::Over => "over",
    }
}

/// Place of the minimum: a parabola through the lowest point and its neighbours in ln x, or the
/// lowest point itself at an end.
fn lowest_between(x: &[f64], y: &[f64]) -> f64 {
    let lowest = (0..y.len()).fold(0, |best, i| if y[i] < y[best] { i } else { best });
    if lowest < 2 || lowest + 1 >= x.len() {
        return x[lowest];
    }
    let ln = |i: usize| libm::log(x[i]);
    let (a, b, c) = (ln(lowest - 1), ln(lowest), ln(lowest + 1));
    let (fa, fb, fc) = (y[lowest - 1], y[lowest], y[lowest + 1]);
    let up = (b - a) * (b - a) * (fb - fc) - (b - c) * (b - c) * (fb - fa);
    let down = (b - a) * (fb - fc) - (b - c) * (fb - fa);
    if down == 0.0 { x[lowest] } else { libm::exp(b - 0.5 * up / down) }
}
