//! What deserves a look before copper is spent, in words.

use plate::Plate;
use plate::bite::{Tiredness, rate};
use plate::chain::{ToneCurve, Value};
use plate::dust;
use plate::ground::GroundStatistics;
use serde::Serialize;

/// Something about the plan that deserves a look.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Warning {
    /// Always `warning`: the plan can be computed as it stands.
    pub severity: &'static str,
    /// Path of the plan's field it concerns, such as `bites.2.bite_min`.
    pub field: String,
    /// One or two sentences.
    pub message: String,
}

/// Neighbouring values nearer than this in L* look the same (side by side a difference of about 2
/// is seen reliably; from memory).
const SAME_L: f64 = 2.0;
/// Neighbouring values nearer than this in L* are hard to tell apart (chain notes: 4 L*).
const CLOSE_L: f64 = 4.0;
/// The ground is near breaking from this share of the darkest time on.
const NEAR_BREAKING: f64 = 0.85;
/// Pits hold ink poorly when less than this share of their depth stays filled.
const POOR_HOLD: f64 = 0.5;
/// Bites shallower than this are too thin for the hold to be judged, µm.
const HOLD_FROM_UM: f64 = 3.0;
/// Cover between these two carries a full range of values ("about half": common practice; 40–60 %
/// for bites to 20 µm).
const GOOD_COVER: (f64, f64) = (0.40, 0.62);
/// Grain is plain to the naked eye from about this spacing on, µm (0.1 mm at reading distance; from
/// memory).
const VISIBLE_FOOTPRINT_UM: f64 = 100.0;

fn warn(list: &mut Vec<Warning>, field: impl Into<String>, message: String) {
    list.push(Warning { severity: "warning", field: field.into(), message });
}

/// Everything about the plan that deserves a look, in the order of the bench. `statistics` are those of
/// the plate's ground, `values` and `curve` its table of values and its tone curve.
#[must_use]
pub fn warnings(
    plate: &Plate,
    statistics: &GroundStatistics,
    values: &[Value],
    curve: &ToneCurve,
) -> Vec<Warning> {
    let mut list = Vec::new();
    ground(plate, statistics, &mut list);
    bath(plate, &mut list);
    scale(statistics.cover, values, curve, &mut list);
    list
}

fn ground(plate: &Plate, statistics: &GroundStatistics, list: &mut Vec<Warning>) {
    let cloud = plate.landed().cloud_start_g_per_m3;
    if cloud >= dust::EXPLOSIBLE_G_PER_M3 {
        // A caution about the work, not about the print: it belongs to the whole dust box.
        warn(
            list,
            "dust",
            format!(
                "When stirred up the box holds {cloud:.0} g of dust per m³; clouds of rosin from about {:.0} g/m³ can explode. No flame, spark or motor near the box, the hot plate elsewhere, respirator and extraction; follow the safety sheet and whoever is responsible for the shop.",
                dust::EXPLOSIBLE_G_PER_M3
            ),
        );
    }
    let (doneness, sentence) = plate.baked().verdict(plate.landed(), &plate.constants().bake);
    if doneness != plate::bake::Doneness::Good {
        warn(list, "bake.hot_plate_c", sentence);
    }
    let cover = statistics.cover;
    if cover < GOOD_COVER.0 {
        warn(
            list,
            "dust.powder_g_per_m2",
            format!(
                "The baked ground covers {:.0} % of the copper. With so little left standing the cloth reaches into the pits, and the tones come out pale and blotchy. More powder, a shorter wait or more minutes in the box brings it nearer to half.",
                100.0 * cover
            ),
        );
    } else if cover > GOOD_COVER.1 {
        warn(
            list,
            "bake.bake_min",
            format!(
                "The baked ground covers {:.0} % of the copper. Little is left open for the bath, so the tones stay pale and grainy. Less powder or a cooler, shorter bake leaves it more open.",
                100.0 * cover
            ),
        );
    }
    let footprint = statistics.median_footprint_um;
    if footprint > VISIBLE_FOOTPRINT_UM {
        warn(
            list,
            "dust.wait_s",
            format!(
                "The grains are about {footprint:.0} µm across, large enough to see with the naked eye. A longer wait or finer powder makes a finer grain."
            ),
        );
    }
}

fn bath(plate: &Plate, list: &mut Vec<Warning>) {
    let (strength_be, end) = (plate.plan().bath.strength_be, plate.session().copper_end_g_per_l);
    let constants = &plate.constants().bite;
    let freshness = rate::copper_factor(strength_be, end, constants);
    match rate::tiredness(strength_be, end, constants) {
        Tiredness::Fresh => {}
        Tiredness::Spent => warn(
            list,
            "bath.copper_g_per_l",
            format!(
                "By the last bite the bath holds {end:.0} g of copper per litre and bites at {:.0} % of its fresh speed. Replace it, or take a larger volume; used bath is hazardous waste.",
                100.0 * freshness
            ),
        ),
        Tiredness::Tired => warn(
            list,
            "bath.copper_g_per_l",
            format!(
                "The bath is tiring: {end:.0} g of copper per litre by the last bite, {:.0} % of its fresh speed.",
                100.0 * freshness
            ),
        ),
    }
}

fn scale(cover: f64, values: &[Value], curve: &ToneCurve, list: &mut Vec<Warning>) {
    for pair in values.windows(2) {
        let (lighter, darker) = (&pair[0], &pair[1]);
        let step = lighter.lightness - darker.lightness;
        let name = |index: usize| {
            if index == 0 { "the paper".to_owned() } else { format!("value {index}") }
        };
        let field = format!("bites.{}.bite_min", darker.index - 1);
        let (this, before) = (name(darker.index), name(lighter.index));
        if step < -CLOSE_L {
            warn(
                list,
                field,
                format!(
                    "Value {} prints lighter than {before} (L* {:.0} against {:.0}): the ground has broken down by then. Shorten the bites.",
                    darker.index, darker.lightness, lighter.lightness
                ),
            );
        } else if step.abs() < SAME_L {
            warn(
                list,
                field,
                format!(
                    "By eye, {this} and {before} will look the same: their L* differs by {:.1}. Change this bite, or join the two.",
                    step.abs()
                ),
            );
        } else if step.abs() < CLOSE_L {
            warn(
                list,
                field,
                format!(
                    "By eye, {this} and {before} will be hard to tell apart: their L* differs by {:.1}.",
                    step.abs()
                ),
            );
        }
    }
    let too_open = cover < GOOD_COVER.0;
    for value in &values[1..] {
        let field = format!("bites.{}.bite_min", value.index - 1);
        let hold = value.held_um / value.mean_depth_um.max(1e-9);
        if value.cumulative_min > curve.darkest_min {
            warn(
                list,
                field,
                format!(
                    "Value {} is open for {} min. This ground prints darkest at about {:.0} min and breaks down after: more minutes make it lighter. Bite less, or lay a coarser ground.",
                    value.index, value.cumulative_min, curve.darkest_min
                ),
            );
        } else if value.cumulative_min > NEAR_BREAKING * curve.darkest_min {
            warn(
                list,
                field,
                format!(
                    "Value {} is near the point where the ground breaks down (about {:.0} min). A few minutes too many will not make it darker.",
                    value.index, curve.darkest_min
                ),
            );
        } else if too_open
            && hold < POOR_HOLD
            && value.mean_depth_um > HOLD_FROM_UM
            && value.area_share > 0.0
        {
            warn(
                list,
                field,
                format!(
                    "Value {} is too open to hold its ink: the cloth sags between the few grains and wipes {:.0} % of it away. It prints as grey with dark edges.",
                    value.index,
                    100.0 * (1.0 - hold)
                ),
            );
        }
    }
}
