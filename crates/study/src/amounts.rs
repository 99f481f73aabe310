//! Amounts: what goes to the bench beside the plan itself: amounts to weigh out, readings to expect.

use plan::{Sentence, Unit, quantity, sentence};
use plate::bite::{rate, strength};
use plate::{Plate, Renderer, View};
use serde::Serialize;

/// Density of plate oil or reducer, g/cm³: boiled linseed oil (from memory).
const REDUCER_G_PER_CM3: f64 = 0.96;
/// Density of transparent base, g/cm³: that oil with about a sixth by volume of aluminium
/// hydroxide at 2.4 g/cm³ (by mixture, densities from memory).
const BASE_G_PER_CM3: f64 = 1.2;
/// How much colder the bath is taken to be in [`Amounts::colder_times`], °C.
const COLDER_C: f64 = 2.0;
/// cm³ in a film of 1 µm over 1 cm².
const CM3_PER_CM2_UM: f64 = 1e-4;

/// What the amounts are for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Needed {
    /// Width and depth of the dust box's floor, cm.
    pub floor_cm: [f64; 2],
    /// Number of impressions.
    pub impressions: f64,
}

/// Amounts and readings that follow from a plan.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Amounts {
    /// Powder to weigh out, g, for all dustings: the plan's g/m² times the floor of the box, so many times.
    pub powder_g: f64,
    /// Powder to stir up in the box at each dusting, g.
    pub powder_each_g: f64,
    /// What is to be said where the plate does not lie flat on the floor of the box.
    pub box_too_small: Option<Sentence>,
    /// Rosin that comes to lie on the plate, g.
    pub landed_g: f64,
    /// Minutes on the hot plate until the copper passes the rosin's softening point; not a number
    /// when it never does.
    pub softens_min: f64,
    /// Ferric chloride in a litre of the fresh bath, g.
    pub chloride_g_per_l: f64,
    /// What the hydrometer reads before this plate, °Bé.
    pub hydrometer_before_be: f64,
    /// What it reads after this plate, °Bé.
    pub hydrometer_after_be: f64,
    /// How much colder the bath is taken to be next, °C.
    pub colder_c: f64,
    /// How many times as long each bite would take in it.
    pub colder_times: f64,
    /// Copper in the whole bath after this plate, g.
    pub bath_copper_g: f64,
    /// Dissolved copper at which the bath is due to be replaced, g/L (see
    /// [`rate::REPLACE_AT`]).
    pub replace_g_per_l: f64,
    /// Further plates like this one until then.
    pub plates_left: f64,
    /// Ink on the plate after wiping, mean over the whole plate, µm.
    pub held_um: f64,
    /// Black for the impressions asked for, with what is wiped off again, cm³.
    pub black_ml: f64,
    /// The same, g.
    pub black_g: f64,
    /// Transparent base, cm³.
    pub base_ml: f64,
    /// The same, g.
    pub base_g: f64,
    /// Reducer, cm³.
    pub reducer_ml: f64,
    /// The same, g.
    pub reducer_g: f64,
}

/// Amounts for a plate, box and number of impressions.
///
/// The ink is what the pits hold and what is dabbed on and wiped off again, as films over the
/// plate; the mix goes by volume, as the plan has it.
#[must_use]
pub fn amounts(plate: &Plate, view: &View, renderer: &mut Renderer, needed: &Needed) -> Amounts {
    let Needed { floor_cm, impressions } = *needed;
    let floor_m2 = floor_cm[0] * floor_cm[1] * 1e-4;
    let held_um: f64 =
        renderer.look(plate, view).values().iter().map(|v| v.area_share * v.held_um).sum();
    let (plan, constants) = (plate.plan(), plate.constants());
    let plate_cm2 = plan.plate.width_mm * plan.plate.height_mm / 100.0;

    let bath = &plan.bath;
    let hydrometer = |copper| strength::hydrometer_be(bath.strength_be, copper, &constants.bite);
    let replace_g_per_l =
        (1.0 - rate::REPLACE_AT) / rate::loss_per_copper(bath.strength_be, &constants.bite);
    let after_g_per_l = plate.session().copper_end_g_per_l;
    let to_dissolve_g = (replace_g_per_l - after_g_per_l).max(0.0) * bath.volume_l;
    let plates_left = if plate.session().dissolved_g > 0.0 {
        libm::floor(to_dissolve_g / plate.session().dissolved_g)
    } else {
        f64::NAN
    };

    let film_um = held_um + constants.ink.waste_film_um;
    let mixed_ml = plate_cm2 * CM3_PER_CM2_UM * film_um * impressions;
    let part_ml = mixed_ml / (100.0 + plan.ink.base_parts + plan.ink.reducer_parts);
    let black_ml = 100.0 * part_ml;
    let base_ml = plan.ink.base_parts * part_ml;
    let reducer_ml = plan.ink.reducer_parts * part_ml;
    Amounts {
        powder_g: plan.dust.dustings * plan.dust.powder_g_per_m2 * floor_m2,
        powder_each_g: plan.dust.powder_g_per_m2 * floor_m2,
        box_too_small: box_too_small(plan.plate.width_mm, plan.plate.height_mm, floor_cm),
        landed_g: plate.landed().mass_g_per_m2 * plate_cm2 * 1e-4,
        softens_min: first_above(
            &plate.baked().course_min,
            &plate.baked().course_c,
            constants.bake.softening_c,
        ),
        chloride_g_per_l: strength::grams_per_l(bath.strength_be, &constants.bite),
        hydrometer_before_be: hydrometer(bath.copper_g_per_l),
        hydrometer_after_be: hydrometer(after_g_per_l),
        colder_c: COLDER_C,
        colder_times: rate::temperature_factor(bath.temperature_c, &constants.bite)
            / rate::temperature_factor(bath.temperature_c - COLDER_C, &constants.bite),
        bath_copper_g: after_g_per_l * bath.volume_l,
        replace_g_per_l,
        plates_left,
        held_um,
        black_ml,
        black_g: black_ml * constants.ink.density_g_per_cm3,
        base_ml,
        base_g: base_ml * BASE_G_PER_CM3,
        reducer_ml,
        reducer_g: reducer_ml * REDUCER_G_PER_CM3,
    }
}

/// What is to be said where a plate does not lie flat on a floor, whichever way it is turned.
fn box_too_small(width_mm: f64, height_mm: f64, floor_cm: [f64; 2]) -> Option<Sentence> {
    let [plate, floor] =
        [[width_mm, height_mm], floor_cm.map(|cm| 10.0 * cm)].map(|[a, b]| [a.min(b), a.max(b)]);
    if plate[0] <= floor[0] && plate[1] <= floor[1] {
        return None;
    }
    let mm = |length: f64| quantity(length, Unit::Mm, 0);
    Some(sentence!(
        "The plate, {} by {}, does not lie flat on a floor of {} by {}: this job takes a larger box.",
        mm(width_mm),
        mm(height_mm),
        mm(10.0 * floor_cm[0]),
        mm(10.0 * floor_cm[1])
    ))
}

/// The first place where `y` rises to `level`, between the points of a line.
fn first_above(x: &[f64], y: &[f64], level: f64) -> f64 {
    let Some(i) = y.iter().position(|&y| y >= level) else { return f64::NAN };
    if i == 0 {
        return x[0];
    }
    x[i - 1] + (x[i] - x[i - 1]) * (level - y[i - 1]) / (y[i] - y[i - 1])
}
