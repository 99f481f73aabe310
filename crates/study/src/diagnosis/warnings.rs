//! What deserves a look before copper is spent, in words.

use super::DEAD_BATH;
use plan::{Diagnostic, Piece, Quantity, Unit, quantity, sentence};
use plate::bake::Doneness;
use plate::bite::{Tiredness, rate};
use plate::chain::{ToneCurve, Value};
use plate::dust;
use plate::ground::GroundStatistics;
use plate::{Plate, View};

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

fn percent(share: f64) -> Quantity {
    quantity(share, Unit::Percent, 0)
}

fn lightness(l: f64, decimals: u8) -> Quantity {
    quantity(l, Unit::Lightness, decimals)
}

/// Everything about the plan that deserves a look, in the order of the bench. `statistics` are those of
/// the plate's ground, `values` and `curve` its table of values and its tone curve in this view.
#[must_use]
pub fn warnings(
    plate: &Plate,
    view: &View,
    statistics: &GroundStatistics,
    values: &[Value],
    curve: &ToneCurve,
) -> Vec<Diagnostic> {
    let mut list = Vec::new();
    let over_baked = ground(plate, &mut list);
    closeness(statistics, over_baked, &mut list);
    bath(plate, &mut list);
    later_baths(plate, &mut list);
    // In a dead bath all values are paper, and that has one reason.
    if !plate.no_longer_bites() {
        scale(statistics.cover, values, curve, &mut list);
    }
    for (field, what, depth_um) in deepest_bites(plate, view) {
        thickness(&field, &what, depth_um, plate.plan().plate.thickness_mm, &mut list);
    }
    list
}

/// Dust and bake; tells whether the ground is over-baked.
fn ground(plate: &Plate, list: &mut Vec<Diagnostic>) -> bool {
    let cloud = plate.landed().cloud_start_g_per_m3;
    if cloud >= dust::EXPLOSIBLE_G_PER_M3 {
        let message = sentence!(
            "{} the box holds {} of dust per m³; clouds of rosin from about {} (from memory) can explode, and static is enough to light one.",
            if plate.plan().dust.dustings > 1.0 {
                "Each time it is stirred up"
            } else {
                "When stirred up"
            },
            quantity(cloud, Unit::Grams, 0),
            quantity(dust::EXPLOSIBLE_G_PER_M3, Unit::GPerM3, 0)
        );
        // A caution about the work, not about the print: it belongs to the whole dust box.
        list.push(Diagnostic::warning("dust", "dust.explosible", message).hint(
            "No flame, spark or motor near the box, the hot plate off, fitted respirator and extraction; follow the safety sheet and whoever is responsible for the shop.",
        ));
    }
    let (doneness, said) = plate.baked().verdict(plate.landed(), &plate.constants().bake);
    let code = match doneness {
        Doneness::Good => return false,
        Doneness::Under => "bake.under",
        Doneness::Over => "bake.over",
    };
    list.push(Diagnostic::warning("bake.hot_plate_c", code, said));
    doneness == Doneness::Over
}

/// How much of the copper the ground leaves open, and how coarsely.
fn closeness(statistics: &GroundStatistics, over_baked: bool, list: &mut Vec<Diagnostic>) {
    let cover = percent(statistics.cover);
    // What closed it: too long on the heat, or too much dust.
    let closed_by = if over_baked { "bake.bake_min" } else { "dust.powder_g_per_m2" };
    let cooler = "Less powder or a cooler, shorter bake leaves it more open.";
    if statistics.cover < GOOD_COVER.0 {
        let message = sentence!(
            "The baked ground covers {} of the copper. With so little left standing the cloth reaches into the pits, and the tones come out pale and blotchy, and it breaks down before it is dark.",
            cover
        );
        list.push(
            Diagnostic::warning("dust.powder_g_per_m2", "ground.open", message)
                .hint("More powder, a shorter wait or another dusting brings it nearer to half."),
        );
    } else if statistics.cover >= CLOSED_COVER {
        let message = sentence!(
            "The ground is closed: it covers {} of the copper like a sheet of varnish, and will hardly bite, however long it lies in the bath.",
            cover
        );
        list.push(Diagnostic::warning(closed_by, "ground.closed", message).hint(
            "Clean the plate and lay the ground anew, with less powder or a cooler, shorter bake.",
        ));
    } else if statistics.cover >= CLOSING_COVER {
        let message = sentence!(
            "The ground is closing: it covers {} of the copper, its grains run together into a sheet, and only islands of copper between them bite.",
            cover
        );
        list.push(Diagnostic::warning(closed_by, "ground.closing", message).hint(cooler));
    } else if statistics.cover > GOOD_COVER.1 {
        let message = sentence!(
            "The baked ground covers {} of the copper. Little is left open for the bath, so the tones stay pale and grainy.",
            cover
        );
        list.push(Diagnostic::warning(closed_by, "ground.dense", message).hint(cooler));
    }
    let footprint = statistics.median_footprint_um;
    if footprint > VISIBLE_FOOTPRINT_UM {
        let message = sentence!(
            "The grains are about {} across, large enough to see with the naked eye.",
            quantity(footprint, Unit::Um, 0)
        );
        list.push(
            Diagnostic::warning("dust.wait_s", "ground.coarse", message)
                .hint("A longer wait or finer powder makes a finer grain."),
        );
    }
}

fn bath(plate: &Plate, list: &mut Vec<Diagnostic>) {
    let (strength_be, end) = (plate.plan().bath.strength_be, plate.session().copper_end_g_per_l);
    let constants = &plate.constants().bite;
    let freshness = percent(rate::copper_factor(strength_be, end, constants));
    let dead = |&copper: &f64| rate::is_dead(strength_be, copper, constants);
    let before = &plate.session().copper_g_per_l;
    let mut warn = |code, message| {
        list.push(Diagnostic::warning("bath.copper_g_per_l", code, message));
    };
    if let Some(bite) = before.iter().chain([&end]).position(dead) {
        let when = match bite {
            0 => sentence!("{}", DEAD_BATH),
            _ if bite == before.len() => {
                sentence!("{} That is so by the end of the last bite.", DEAD_BATH)
            }
            _ => sentence!("{} That is so from bite {} on.", DEAD_BATH, bite + 1),
        };
        warn("bath.dead", sentence!("{} More minutes make nothing darker.", when));
        hint(list, "Mix a fresh bath, or take a larger volume; used bath is hazardous waste.");
        return;
    }
    let copper = quantity(end, Unit::Grams, 0);
    match rate::tiredness(strength_be, end, constants) {
        Tiredness::Fresh => {}
        Tiredness::Spent => {
            warn(
                "bath.spent",
                sentence!(
                    "By the last bite the bath holds {} of copper per litre and bites at {} of its fresh speed.",
                    copper,
                    freshness
                ),
            );
            hint(list, "Replace it, or take a larger volume; used bath is hazardous waste.");
        }
        Tiredness::Tired => warn(
            "bath.tired",
            sentence!(
                "The bath is tiring: {} of copper per litre by the last bite, {} of its fresh speed.",
                copper,
                freshness
            ),
        ),
    }
}

/// Gives the last one its hint.
fn hint(list: &mut Vec<Diagnostic>, words: &'static str) {
    if let Some(last) = list.pop() {
        list.push(last.hint(words));
    }
}

fn later_baths(plate: &Plate, list: &mut Vec<Diagnostic>) {
    for (i, state) in plate.plan().states.iter().enumerate() {
        let dead = state.work.iter().any(|work| match work {
            plan::Work::Ground(ground) => rate::is_dead(
                ground.bath.strength_be,
                ground.bath.copper_g_per_l,
                &plate.constants().bite,
            ),
            plan::Work::Tool(_) => false,
        });
        if dead {
            let message = sentence!("State {}, under its new ground: {}", i + 2, DEAD_BATH);
            list.push(
                Diagnostic::warning("states", "bath.dead", message).hint("Mix a fresh one for it."),
            );
        }
    }
}

fn scale(cover: f64, values: &[Value], curve: &ToneCurve, list: &mut Vec<Diagnostic>) {
    for pair in values.windows(2) {
        neighbours(&pair[0], &pair[1], list);
    }
    let too_open = cover < GOOD_COVER.0;
    let darkest = quantity(curve.darkest_min, Unit::Minutes, 0);
    for value in &values[1..] {
        let field = format!("bites.{}.bite_min", value.index - 1);
        let hold = value.held_um / value.mean_depth_um.max(1e-9);
        if value.cumulative_min > curve.darkest_min {
            let message = sentence!(
                "Value {} is open for {}. This ground prints darkest at about {} and breaks down after: more minutes make it lighter.",
                value.index,
                quantity(value.cumulative_min, Unit::Minutes, 2),
                darkest
            );
            list.push(
                Diagnostic::warning(field, "value.broken_down", message)
                    .hint("Bite less, or lay a coarser ground."),
            );
        } else if value.cumulative_min > NEAR_BREAKING * curve.darkest_min {
            let message = sentence!(
                "Value {} is near the point where the ground breaks down (about {}). A few minutes too many will not make it darker.",
                value.index,
                darkest
            );
            list.push(Diagnostic::warning(field, "value.near_breaking", message));
        } else if too_open
            && hold < POOR_HOLD
            && value.mean_depth_um > HOLD_FROM_UM
            && value.area_share > 0.0
        {
            let message = sentence!(
                "Value {} is too open to hold its ink: the cloth sags between the few grains and wipes {} of it away. It prints as grey with dark edges.",
                value.index,
                percent(1.0 - hold)
            );
            list.push(Diagnostic::warning(field, "value.wiped_out", message));
        }
    }
}

/// Two values one after the other that print too much alike, or the wrong way round.
fn neighbours(lighter: &Value, darker: &Value, list: &mut Vec<Diagnostic>) {
    let step = lighter.lightness - darker.lightness;
    let apart = lightness(step.abs(), 1);
    let name = |index: usize| {
        if index == 0 { "the paper".to_owned() } else { format!("value {index}") }
    };
    let field = format!("bites.{}.bite_min", darker.index - 1);
    let (this, before) = (name(darker.index), name(lighter.index));
    if step < -CLOSE_L {
        let message = sentence!(
            "Value {} prints lighter than {} ({} against {}): the ground has broken down by then.",
            darker.index,
            before,
            lightness(darker.lightness, 0),
            Piece::Number(lightness(lighter.lightness, 0))
        );
        list.push(Diagnostic::warning(field, "values.turned", message).hint("Shorten the bites."));
    } else if step.abs() < HARD_TO_TELL_L {
        let message = sentence!(
            "By eye, {} and {} are hard to tell apart: they differ by {}, and a practised eye sees about 1 side by side.",
            this,
            before,
            apart
        );
        list.push(
            Diagnostic::warning(field, "values.alike", message)
                .hint("Change this bite, or join the two."),
        );
    } else if step.abs() < CLOSE_L {
        let message = sentence!(
            "By eye, {} and {} lie close together: they differ by {}.",
            this,
            before,
            apart
        );
        list.push(Diagnostic::warning(field, "values.close", message));
    }
}

/// Copper that is bitten through, or so deep that little is left under it.
fn thickness(field: &str, what: &str, depth_um: f64, thick_mm: f64, list: &mut Vec<Diagnostic>) {
    let share = depth_um / 1000.0 / thick_mm;
    let deep = quantity(depth_um / 1000.0, Unit::Mm, 2);
    let thick = quantity(thick_mm, Unit::Mm, 2);
    let shorten = "Shorten the bites, or take thicker copper.";
    if share >= 1.0 {
        let message = sentence!(
            "{} is bitten through: {} deep, and the plate is {} thick. There will be holes in the plate.",
            what,
            deep,
            thick
        );
        list.push(Diagnostic::warning(field, "copper.through", message).hint(shorten));
    } else if share >= WEAK_SHARE {
        let message = sentence!(
            "{} is bitten {} deep, {} of the plate’s {}: what is left may bend or tear under the press.",
            what,
            deep,
            percent(share),
            thick
        );
        list.push(Diagnostic::warning(field, "copper.weak", message).hint(shorten));
    }
}

/// The deepest bites of the plan in the state that is looked at: field, what it is, and how deep on open
/// copper, µm.
fn deepest_bites(plate: &Plate, view: &View) -> Vec<(String, String, f64)> {
    let last = plate.plan().bites.len().max(1);
    let first_um = &plate.session().dose_um;
    let dose_um = first_um.last().copied().unwrap_or(0.0);
    let mut found =
        vec![(format!("bites.{}.bite_min", last - 1), format!("Value {last}"), dose_um)];
    let lines_um = plate.line_dose_um();
    found.push(("lines.bite_min".to_owned(), "The etched line work".to_owned(), lines_um));
    let later_um = plate.later_doses_um(view);
    let (value, in_all_um) = (0..=last)
        .map(|value| (value, first_um[value] + later_um[value]))
        .fold((0, 0.0), |best, one| if one.1 > best.1 { one } else { best });
    if later_um.iter().any(|&um| um > 0.0) {
        let what = format!("Value {value} with the later bites");
        found.push(("states".to_owned(), what, in_all_um));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::{closeness, thickness};
    use plan::Diagnostic;
    use plate::ground::GroundStatistics;

    fn said(tell: impl FnOnce(&mut Vec<Diagnostic>)) -> String {
        let mut list = Vec::new();
        tell(&mut list);
        list.iter().map(ToString::to_string).collect()
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
