//! Questions that map lists of numbers to lists of numbers.

use super::Question;
use plan::{Ink, Paper};
use plate::bake::{cap, cover, flow, heat};
use plate::bite::{self, DepthCurve, rate, strength};
use plate::constants::Constants;
use plate::dust::{self, SizeClass};
use plate::ground::grains::{Counts, SizeStep, Sizes};
use plate::ground::statistics;
use plate::ink::Inking;
use plate::light;
use serde_json::{Value, json};

/// Dust, bake, ground and resist.
pub(super) fn answer(question: Question, constants: &Constants) -> Value {
    let each =
        |list: &[f64], of: &dyn Fn(f64) -> f64| list.iter().map(|&x| of(x)).collect::<Vec<f64>>();
    let pairs = |a: &[f64], b: &[f64], of: &dyn Fn(f64, f64) -> f64| {
        a.iter().zip(b).map(|(&a, &b)| of(a, b)).collect::<Vec<f64>>()
    };
    match question {
        Question::Settling { diameter_um, density_kg_per_m3 } => json!({
            "velocity_m_per_s": pairs(&diameter_um, &density_kg_per_m3,
                &|d, density| dust::settling_velocity_m_per_s(d, density, &constants.dust)),
            "slip": each(&diameter_um, &|d| dust::slip_factor(d, &constants.dust)),
        }),
        Question::Landed { velocity_m_per_s, from_s, to_s, box_height_m, settling } => json!({
            "landed": each(&velocity_m_per_s,
                &|v| dust::landed_fraction(v, from_s, to_s, box_height_m, settling)),
        }),
        Question::Dust { recipe } => {
            let landed = dust::land(&recipe.dust, &constants.dust);
            let list =
                |of: &dyn Fn(&SizeClass) -> f64| landed.classes.iter().map(of).collect::<Vec<_>>();
            json!({
                "from_um": list(&|c| c.from_um), "to_um": list(&|c| c.to_um),
                "grains_per_mm2": list(&|c| c.grains_per_mm2),
                "mass_g_per_m2": list(&|c| c.mass_g_per_m2),
                "all_grains_per_mm2": landed.grains_per_mm2, "all_mass_g_per_m2": landed.mass_g_per_m2,
                "loose_cover": landed.loose_cover,
                "low_angle_cover": landed.low_angle_cover,
                "cloud_g_per_m3": [landed.cloud_start_g_per_m3, landed.cloud_plate_in_g_per_m3,
                    landed.cloud_plate_out_g_per_m3],
            })
        }
        Question::Warming { recipe, minutes } => {
            let warming = heat::Warming::new(&recipe.bake, recipe.thickness_mm, &constants.bake);
            json!({
                "plate_c": each(&minutes, &|t| warming.plate_c(t)), "settles_c": warming.settles_c,
                "time_constant_s": warming.time_constant_s,
            })
        }
        Question::Viscosity { plate_c } => json!({
            "viscosity_pa_s": each(&plate_c, &|c| flow::viscosity_pa_s(c, &constants.bake)),
        }),
        Question::Caps { angle_deg, solid_share } => json!({
            "volume_factor": each(&angle_deg, &|a| cap::cap_volume_factor(a.to_radians())),
            "area_ratio": each(&angle_deg, &|a| cap::area_ratio(solid_share, a)),
        }),
        Question::Spreading { rest_angle_deg, s, to_angle_deg } => {
            let spreading = cap::Spreading::new(rest_angle_deg, &constants.bake);
            json!({
                "angle_deg": each(&s, &|s| spreading.angle_deg(s)),
                "s": each(&to_angle_deg, &|a| spreading.s_at_angle_deg(a)),
            })
        }
        Question::Cover { n } => json!({
            "pinned": each(&n, &cover::pinned_cover), "merged": each(&n, &cover::merged_cover),
        }),
        Question::Counts { mean, words } => {
            let counts = Counts::new(mean);
            json!({ "count": words.iter().map(|&word| counts.draw(word)).collect::<Vec<_>>() })
        }
        Question::Sizes { per_mm2, ln_from, ln_width, words } => {
            let steps: Vec<_> = (per_mm2.iter().zip(&ln_from).zip(&ln_width))
                .map(|((&per_mm2, &ln_from), &ln_width)| SizeStep { per_mm2, ln_from, ln_width })
                .collect();
            let sizes = Sizes::new(&steps);
            json!({ "volume_um3": words.iter().map(|&word| sizes.draw(word)).collect::<Vec<_>>() })
        }
        Question::CoverOf { discs, side_um, lines } => json!({
            "cover": statistics::cover(&discs.domes(), side_um, lines),
        }),
        Question::Profile { under_um, dose_um, etch_factor } => json!({
            "depth_um": each(&under_um, &|s| bite::depth_at_um(dose_um, etch_factor, s)),
        }),
        Question::Depth { under_um, dose_um, etch_factor, px_um } => {
            let curve = DepthCurve::new(dose_um, etch_factor, px_um);
            json!({ "depth_um": under_um.iter().map(|&s| curve.depth_um(s)).collect::<Vec<_>>() })
        }
        other => of_bath_and_light(other, constants),
    }
}

/// Bath, ink and light.
fn of_bath_and_light(question: Question, constants: &Constants) -> Value {
    let each =
        |list: &[f64], of: &dyn Fn(f64) -> f64| list.iter().map(|&x| of(x)).collect::<Vec<f64>>();
    let pairs = |a: &[f64], b: &[f64], of: &dyn Fn(f64, f64) -> f64| {
        a.iter().zip(b).map(|(&a, &b)| of(a, b)).collect::<Vec<f64>>()
    };
    let bite = &constants.bite;
    match question {
        Question::Strength { be, copper_g_per_l } => json!({
            "specific_gravity": each(&be, &|b| strength::specific_gravity(b, bite)),
            "back_be": each(&be, &|b| strength::degrees_be(strength::specific_gravity(b, bite), bite)),
            "weight_percent": each(&be, &|b| strength::weight_percent(b, bite)),
            "grams_per_l": each(&be, &|b| strength::grams_per_l(b, bite)),
            "mol_per_l": each(&be, &|b| strength::mol_per_l(b, bite)),
            "reads_be": each(&be, &|b| strength::hydrometer_be(b, copper_g_per_l, bite)),
            "molar_masses": [strength::FERRIC_CHLORIDE_G_PER_MOL, strength::COPPER_G_PER_MOL],
            "copper_per_chloride": strength::COPPER_PER_CHLORIDE,
        }),
        Question::Density { weight_share, temp_c } => json!({
            "kg_per_m3": pairs(&weight_share, &temp_c, &|w, t| strength::density_kg_per_m3(w, t, bite)),
            "water_kg_per_m3": each(&temp_c, &strength::water_kg_per_m3),
        }),
        Question::Rate { bath, copper_g_per_l, open_share } => json!({
            "um_per_min": each(&copper_g_per_l, &|c| bite::rate_um_per_min(&bath, c, open_share, bite)),
            "open_factor": rate::open_factor(open_share, bite),
            "strength_factor": rate::strength_factor(bath.strength_be, bite),
            "temperature_factor": rate::temperature_factor(bath.temperature_c, bite),
            "agitation_factor": rate::agitation_factor(bath.agitation, bite),
        }),
        Question::Split { ink, held_um } => {
            let mut taken_um = vec![0.0; held_um.len()];
            Inking::new(&ink, &Paper::default(), &constants.ink).split(&held_um, &mut taken_um);
            json!({ "taken_um": taken_um })
        }
        Question::Mix { base_parts, reducer_parts } => json!({
            "pigment_share": pairs(&base_parts, &reducer_parts, &plate::ink::pigment_share),
        }),
        Question::InkWeight { area_cm2, held_um } => {
            let inking = Inking::new(&Ink::default(), &Paper::default(), &constants.ink);
            json!({ "grams": pairs(&area_cm2, &held_um, &|a, h| inking.ink_grams(a, h)) })
        }
        Question::PatchTone { ink, paper, printed_um } => {
            let inking = Inking::new(&ink, &paper, &constants.ink);
            json!({
                "reflectance": printed_um.iter().map(|y| inking.patch_reflectance(y)).collect::<Vec<_>>(),
            })
        }
        Question::Light { reflectance } => {
            let quick = light::Srgb8Table::new();
            json!({
                "density": each(&reflectance, &light::density),
                "lightness": each(&reflectance, &light::lightness),
                "munsell": each(&reflectance, &light::munsell_value),
                "srgb": each(&reflectance, &light::srgb),
                "srgb8": reflectance.iter().map(|&r| light::srgb8(r)).collect::<Vec<_>>(),
                "quick8": reflectance.iter().map(|&r| quick.encode(r as f32)).collect::<Vec<_>>(),
            })
        }
        Question::LightBack { lightness, munsell, srgb } => json!({
            "of_lightness": each(&lightness, &light::reflectance_of_lightness),
            "of_munsell": each(&munsell, &light::reflectance_of_munsell),
            "of_srgb": each(&srgb, &light::linear_of_srgb),
        }),
        // All others have been answered before they come here.
        _ => Value::Null,
    }
}
