//! What deserves a look before copper is spent, in words.

use super::backwards::DEAD_BATH;
use super::{Plate, ToneCurve, Value};
use crate::bite::{Tiredness, rate};
use crate::dust;
use crate::ground::GroundStatistics;
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

/// Neighbouring values nearer than this in L* are hard to tell apart: side by side a practised eye sees a
/// difference of about 1, most people one of about 2 (from memory).
const HARD_TO_TELL_L: f64 = 2.0;
/// Neighbouring values nearer than this in L* are close together (chain notes: 4 L*).
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
/// From this cover on the ground runs together into a sheet, and from the second on it is one: too much
/// rosin, or too long on the heat, "closes" the plate (Musashino Art University glossary; Blaney,
/// Photogravure, 1895). Where to draw the lines is common practice, no source.
const CLOSING_COVER: f64 = 0.75;
const CLOSED_COVER: f64 = 0.9;
/// A plate bitten to this share of its thickness is weak. Common practice, no source.
const WEAK_SHARE: f64 = 0.6;

fn warn(list: &mut Vec<Warning>, field: impl Into<String>, message: String) {
    list.push(Warning { severity: "warning", field: field.into(), message });
}

/// Everything about the plan that deserves a look, in the order of the bench.
pub(super) fn warnings(
    plate: &Plate,
    statistics: &GroundStatistics,
    values: &[Value],
    curve: &ToneCurve,
) -> Vec<Warning> {
    let mut list = Vec::new();
    let over_baked = ground(plate, &mut list);
    closeness(statistics, over_baked, &mut list);
    bath(plate, &mut list);
    later_baths(plate, &mut list);
    // In a dead bath all values are paper, and that has one reason.
    if !plate.no_longer_bites() {
        scale(statistics.cover, values, curve, &mut list);
    }
    for (field, what, depth_um) in plate.deepest_bites() {
        thickness(&field, &what, depth_um, plate.plan.plate.thickness_mm, &mut list);
    }
    list
}

/// Dust and bake; tells whether the ground is over-baked.
fn ground(plate: &Plate, list: &mut Vec<Warning>) -> bool {
    let cloud = plate.landed.cloud_start_g_per_m3;
    if cloud >= dust::EXPLOSIBLE_G_PER_M3 {
        // A caution about the work, not about the print: it belongs to the whole dust box.
        warn(
            list,
            "dust",
            format!(
                "{} the box holds {cloud:.0} g of dust per m³; clouds of rosin from about {:.0} g/m³ (from memory) can explode, and static is enough to light one. No flame, spark or motor near the box, the hot plate off, fitted respirator and extraction; follow the safety sheet and whoever is responsible for the shop.",
                if plate.plan.dust.dustings > 1.0 {
                    "Each time it is stirred up"
                } else {
                    "When stirred up"
                },
                dust::EXPLOSIBLE_G_PER_M3
            ),
        );
    }
    let (doneness, sentence) = plate.baked.verdict(&plate.landed, &plate.constants.bake);
    if doneness != crate::bake::Doneness::Good {
        warn(list, "bake.hot_plate_c", sentence);
    }
    doneness == crate::bake::Doneness::Over
}

/// How much of the copper the ground leaves open, and how coarsely.
fn closeness(statistics: &GroundStatistics, over_baked: bool, list: &mut Vec<Warning>) {
    let cover = statistics.cover;
    // What closed it: too long on the heat, or too much dust.
    let closed_by = if over_baked { "bake.bake_min" } else { "dust.powder_g_per_m2" };
    if cover < GOOD_COVER.0 {
        warn(
            list,
            "dust.powder_g_per_m2",
            format!(
                "The baked ground covers {:.0} % of the copper. With so little left standing the cloth reaches into the pits, and the tones come out pale and blotchy, and it breaks down before it is dark. More powder, a shorter wait or another dusting brings it nearer to half.",
                100.0 * cover
            ),
        );
    } else if cover >= CLOSED_COVER {
        warn(
            list,
            closed_by,
            format!(
                "The ground is closed: it covers {:.0} % of the copper like a sheet of varnish, and will hardly bite, however long it lies in the bath. Clean the plate and lay the ground anew, with less powder or a cooler, shorter bake.",
                100.0 * cover
            ),
        );
    } else if cover >= CLOSING_COVER {
        warn(
            list,
            closed_by,
            format!(
                "The ground is closing: it covers {:.0} % of the copper, its grains run together into a sheet, and only islands of copper between them bite. Less powder or a cooler, shorter bake leaves it more open.",
                100.0 * cover
            ),
        );
    } else if cover > GOOD_COVER.1 {
        warn(
            list,
            closed_by,
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
    let (strength_be, end) = (plate.plan.bath.strength_be, plate.session.copper_end_g_per_l);
    let constants = &plate.constants.bite;
    let freshness = rate::copper_factor(strength_be, end, constants);
    let dead = |&copper: &f64| rate::is_dead(strength_be, copper, constants);
    let before = &plate.session.copper_g_per_l;
    if let Some(bite) = before.iter().chain([&end]).position(dead) {
        let when = match bite {
            0 => DEAD_BATH.to_owned(),
            _ if bite == before.len() => {
                format!("{DEAD_BATH} That is so by the end of the last bite.")
            }
            _ => format!("{DEAD_BATH} That is so from bite {} on.", bite + 1),
        };
        warn(
            list,
            "bath.copper_g_per_l",
            format!(
                "{when} More minutes make nothing darker. Mix a fresh bath, or take a larger volume; used bath is hazardous waste."
            ),
        );
        return;
    }
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

fn later_baths(plate: &Plate, list: &mut Vec<Warning>) {
    for (i, state) in plate.plan.states.iter().enumerate() {
        let dead = state.work.iter().any(|work| match work {
            plan::Work::Ground(ground) => rate::is_dead(
                ground.bath.strength_be,
                ground.bath.copper_g_per_l,
                &plate.constants.bite,
            ),
            plan::Work::Tool(_) => false,
        });
        if dead {
            warn(
                list,
                "states",
                format!(
                    "State {}, under its new ground: {DEAD_BATH} Mix a fresh one for it.",
                    i + 2
                ),
            );
        }
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
        } else if step.abs() < HARD_TO_TELL_L {
            warn(
                list,
                field,
                format!(
                    "By eye, {this} and {before} are hard to tell apart: their L* differs by {:.1}, and a practised eye sees about 1 side by side. Change this bite, or join the two.",
                    step.abs()
                ),
            );
        } else if step.abs() < CLOSE_L {
            warn(
                list,
                field,
                format!(
                    "By eye, {this} and {before} lie close together: their L* differs by {:.1}.",
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

/// Copper that is bitten through, or so deep that little is left under it.
fn thickness(field: &str, what: &str, depth_um: f64, thick_mm: f64, list: &mut Vec<Warning>) {
    let (deep_mm, share) = (depth_um / 1000.0, depth_um / 1000.0 / thick_mm);
    if share >= 1.0 {
        warn(
            list,
            field,
            format!(
                "{what} is bitten through: {deep_mm:.2} mm deep, and the plate is {thick_mm} mm thick. There will be holes in the plate. Shorten the bites, or take thicker copper."
            ),
        );
    } else if share >= WEAK_SHARE {
        warn(
            list,
            field,
            format!(
                "{what} is bitten {deep_mm:.2} mm deep, {:.0} % of the plate’s {thick_mm} mm: what is left may bend or tear under the press. Shorten the bites, or take thicker copper.",
                100.0 * share
            ),
        );
    }
}

impl Plate {
    /// The deepest bites of the plan in the state looked at: field, what it is, and how deep on open
    /// copper, µm.
    fn deepest_bites(&self) -> Vec<(String, String, f64)> {
        let last = self.plan.bites.len().max(1);
        let dose_um = self.session.dose_um.last().copied().unwrap_or(0.0);
        let mut found =
            vec![(format!("bites.{}.bite_min", last - 1), format!("Value {last}"), dose_um)];
        let lines_um = self.line_dose_um();
        found.push(("lines.bite_min".to_owned(), "The etched line work".to_owned(), lines_um));
        let later_um = self.line.doses_um(last + 1);
        let (value, in_all_um) = (0..=last)
            .map(|value| (value, self.session.dose_um[value] + later_um[value]))
            .fold((0, 0.0), |best, one| if one.1 > best.1 { one } else { best });
        if later_um.iter().any(|&um| um > 0.0) {
            let what = format!("Value {value} with the later bites");
            found.push(("states".to_owned(), what, in_all_um));
        }
        found
    }
}

#[cfg(test)]
mod tests {
    use super::{Warning, closeness, thickness};
    use crate::ground::GroundStatistics;

    fn said(tell: impl FnOnce(&mut Vec<Warning>)) -> String {
        let mut list = Vec::new();
        tell(&mut list);
        list.into_iter().map(|warning| warning.message).collect()
    }

    #[test]
    fn a_ground_that_closes_is_told_in_three_degrees() {
        let at = |cover| {
            let statistics = GroundStatistics {
                cover,
                domes_per_mm2: 200.0,
                islands_per_mm2: 100.0,
                median_footprint_um: 40.0,
                rubs_off: 0.0,
                overlapping: false,
                pooled: false,
            };
            said(|list| closeness(&statistics, false, list))
        };
        assert_eq!(at(0.55), "", "half is good");
        assert!(at(0.70).contains("Little is left open"), "{}", at(0.70));
        assert!(at(0.75).contains("is closing: it covers 75 %"), "{}", at(0.75));
        assert!(at(0.90).contains("is closed: it covers 90 %"), "{}", at(0.90));
        assert!(at(0.90).contains("will hardly bite"), "{}", at(0.90));
        assert!(at(0.30).contains("breaks down before it is dark"), "{}", at(0.30));
    }

    #[test]
    fn a_plate_bitten_nearly_or_quite_through_is_told() {
        let at = |um| said(|list| thickness("bites.6.bite_min", "Value 7", um, 1.2, list));
        assert_eq!(at(700.0), "", "more than two fifths are left");
        assert!(at(720.0).contains("0.72 mm deep, 60 % of the plate’s 1.2 mm"), "{}", at(720.0));
        assert!(at(1200.0).contains("bitten through"), "{}", at(1200.0));
    }
}
