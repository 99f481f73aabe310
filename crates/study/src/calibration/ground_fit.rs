//! Two pictures of one place, dust and melted ground, to how much powder lands and how firmly edges hold.
//!
//! The plan's own dust, as much of it as the first picture shows, is baked with every hysteresis Δ of its plausible
//! range; a piece of each ground is drawn as sharp as the second picture and read as that was. What is compared is the
//! cover and, against the dust's own, number, width and outline of the islands: so a powder coarser or finer than the
//! plan's counts little.
//!
//! Below about 16° touching domes always run together, and above about 25° hardly any do: grounds of either kind look
//! alike, so that a picture can tell no more than that, and no more is needed.

mod sure;

use super::ground_photo::{Counted, GroundMeasures, LEAST_PX, binomial, count, refuse};
use crate::tolerance::CalibratedLimits;
use plan::Plan;
use plate::Refused;
use plate::constants::Constants;
use plate::ground::{Dome, Ground, TileCache};
use plate::{bake, dust};
use serde::Serialize;
use sure::{apart, ln_shadow_off, variances};

/// The constant that is found.
const KEY: &str = "bake.hysteresis_deg";
/// Grounds laid, at even ratios of Δ from one end of its range to the other, and values between that are tried.
const GROUNDS: usize = 13;
const TRIED: usize = 240;
/// Side of the piece of ground that is drawn, µm, and its finest pixels, µm.
const SIDE_UM: f64 = 3000.0;
const FINEST_PX_UM: f64 = 2.0;
const MOST_SMOOTHINGS: usize = 24;
/// Change of the dust by which the ground's answer to it is measured.
const MORE: f64 = 1.1;
/// χ² of one constant's 95 % limits, and what no Δ explains (four numbers, one time in 10 000).
const WITHIN: f64 = 3.84;
const NEVER: f64 = 23.5;
/// Grains this much wider or narrower than the plan's are said.
const OTHER_GRAIN: f64 = 1.2;
/// Limits that hold more than this share of the range tell hardly anything.
const HARDLY: f64 = 0.8;
/// Limits this near an end of the range, as a share of it, are that end.
const END: f64 = 0.02;
/// Deviations to a 95 % limit.
const NORMAL: f64 = 1.959_964;

/// Which of its limits are told, and not just the end of its range.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
#[ts(rename = "HysteresisTold")]
pub enum Told {
    /// Neither, or hardly.
    Not,
    /// The lower.
    AtLeast,
    /// The upper.
    AtMost,
    /// Both.
    Between,
}

/// What two pictures of one place tell.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct GroundFit {
    /// Powder raised that would let so much land in the plan's box, g/m².
    pub powder_g_per_m2: f64,
    /// The same over the plan's.
    pub powder_factor: f64,
    /// Width of the grains in the picture over that of the plan's.
    pub grain_factor: f64,
    /// Contact-angle hysteresis found, and its 95 % limits, degrees.
    pub hysteresis_deg: f64,
    /// …
    pub low_deg: f64,
    /// …
    pub high_deg: f64,
    /// The one in force, degrees.
    pub in_force_deg: f64,
    /// What the pictures tell of it.
    pub told: Told,
    /// Cover and islands per mm² that the model lays with so much dust: with the hysteresis found …
    pub cover: f64,
    /// …
    pub islands_per_mm2: f64,
    /// … and with the one in force.
    pub cover_before: f64,
    /// …
    pub islands_per_mm2_before: f64,
    /// What it comes to, in sentences.
    pub verdict: Vec<&'static str>,
    /// Limits of the constant, `bake.hysteresis_deg`, for bands.
    pub limits: CalibratedLimits,
}

/// Cover, ln of islands per mm², of their median width, µm, and of the length of their outlines, 1/mm.
type Measures = [f64; 4];

/// Finds how much powder lands and the hysteresis from what was read of the dust and of the same place melted.
///
/// # Errors
/// As [`plate::Plate::of`], and sentences: pictures changed round, too few islands, more dust than a plan may have, or
/// a ground that no hysteresis explains.
pub fn fit_ground(
    plan: &Plan,
    dust_read: &GroundMeasures,
    melted: &GroundMeasures,
) -> Result<GroundFit, Refused> {
    let refuse = |code, message, hint| vec![refuse(code, message, hint)];
    if melted.cover <= dust_read.cover {
        return Err(refuse(
            "ground_fit.turned",
            "The melted ground covers no more than the dust, and grains spread when they melt.",
            "Have the pictures changed places, or was one tone taken for the other?",
        ));
    }
    let (Some(dust_width), Some(melted_width)) =
        (dust_read.median_width_um, melted.median_width_um)
    else {
        return Err(refuse(
            "ground_fit.few",
            "Too few islands lie wholly in the pictures.",
            "Show more of the plate, or take a ground that has not closed.",
        ));
    };
    let constants = Constants::calibrated(&plan.calibration)?;
    let landed = dust::land(&plan.dust, &constants.dust);
    let shadow_read = -libm::log1p(-dust_read.cover);
    if landed.shadow_number() <= 0.0 {
        let message = "With the plan’s dust nothing lands: nothing can be compared.";
        return Err(refuse(
            "ground_fit.no_dust",
            message,
            "Set box, wait and powder as they were.",
        ));
    }
    let powder_factor = shadow_read / landed.shadow_number();
    let powder_g_per_m2 = plan.dust.powder_g_per_m2 * powder_factor;

    let trial = Trial { plan, constants: &constants, melted };
    let loose = trial.dust(powder_factor, dust_read);
    let Some(of_dust) = measures(&loose) else {
        let message = "The plan’s grains are too fine to be seen in such pictures.";
        return Err(refuse("ground_fit.fine", message, "Set grain size and wait as they were."));
    };
    // Widths go with the grain, numbers with one over its square: both tell it, half each.
    let wider = libm::log(dust_width) - of_dust[2];
    let fewer = 0.5 * (of_dust[1] - libm::log(dust_read.seen_per_mm2));
    let grain_factor = libm::exp(0.5 * (wider + fewer));
    // Against the dust's own: what the picture's grains would give were they as wide as the plan's.
    let read = [
        melted.cover,
        libm::log(melted.seen_per_mm2 / dust_read.seen_per_mm2) + of_dust[1],
        libm::log(melted_width / dust_width) + of_dust[2],
        libm::log(melted.outline_per_mm / dust_read.outline_per_mm) + of_dust[3],
    ];
    let info = bake::BakeConstants::CATALOGUE.iter().find(|info| info.key == KEY);
    let (least, most) = info.map_or((12.0, 60.0), |info| (info.min, info.max));
    let in_force_deg = constants.bake.hysteresis_deg;
    let at = |turn: f64| least * libm::exp(turn * libm::log(most / least));
    let lay = |degrees: f64, factor: f64| {
        measures(&trial.ground(degrees, factor)).ok_or_else(|| {
            refuse(
                "ground_fit.closed",
                "With so much dust the model’s ground closes: nothing can be compared.",
                "Take pictures of a thinner ground.",
            )
        })
    };
    let laid: Vec<Measures> = (0..GROUNDS)
        .map(|i| lay(at(i as f64 / (GROUNDS - 1) as f64), powder_factor))
        .collect::<Result<_, _>>()?;
    let before = lay(in_force_deg, powder_factor)?;
    let more = lay(in_force_deg, powder_factor * MORE)?;

    // How sure each number is, and how far all follow the dust, which is not known exactly either.
    let variance = variances(dust_read, melted);
    let ln_dust_off = ln_shadow_off(dust_read, shadow_read);
    let follows: Measures =
        std::array::from_fn(|i| (more[i] - before[i]) / libm::log(MORE) * ln_dust_off);
    let misfit =
        |model: &Measures| apart(&std::array::from_fn(|i| read[i] - model[i]), &follows, &variance);
    let between = |turn: f64| -> Measures {
        let place = turn * (GROUNDS - 1) as f64;
        let i = (place as usize).min(GROUNDS - 2);
        let u = place - i as f64;
        std::array::from_fn(|k| laid[i][k] * (1.0 - u) + laid[i + 1][k] * u)
    };
    // The value is asked, weakly, to lie near the one in force, as those that a step plate tells; its limits are not.
    let pull = |turn: f64| {
        let off = 4.0 * (turn - libm::log(in_force_deg / least) / libm::log(most / least));
        off * off
    };
    let turns: Vec<(f64, f64)> = (0..=TRIED)
        .map(|i| i as f64 / TRIED as f64)
        .map(|turn| (turn, misfit(&between(turn))))
        .collect();
    let lowest = |cost: &dyn Fn(&(f64, f64)) -> f64| {
        turns.iter().fold((turns[0], f64::INFINITY), |best, one| {
            let cost = cost(one);
            if cost < best.1 { (*one, cost) } else { best }
        })
    };
    let nearest = lowest(&|one| one.1).1;
    let best = lowest(&|one| one.1 + pull(one.0)).0;
    let found = between(best.0);
    // What the model lays is counted as the picture was, and reckoned as sharp as that.
    let sharp = melted.islands_per_mm2 / melted.seen_per_mm2;
    let per_mm2 =
        |measures: &Measures| libm::exp(measures[1] - of_dust[1]) * dust_read.seen_per_mm2 * sharp;
    if nearest > NEVER {
        return Err(refuse(
            "ground_fit.never",
            "With no hysteresis does this plan’s bake make such a ground of such dust.",
            "Set hot plate, minutes and powder as they were; are both pictures of one place, with their own widths?",
        ));
    }
    let near =
        || turns.iter().filter(|(_, misfit)| *misfit <= nearest + WITHIN).map(|(turn, _)| *turn);
    let (low, high) = (near().fold(1.0, f64::min), near().fold(0.0, f64::max));
    let degrees = |turn: f64| libm::round(10.0 * at(turn)) / 10.0;
    let told = match (low > END, high < 1.0 - END) {
        (false, false) => Told::Not,
        _ if high - low > HARDLY => Told::Not,
        (true, false) => Told::AtLeast,
        (false, true) => Told::AtMost,
        (true, true) => Told::Between,
    };
    Ok(GroundFit {
        powder_g_per_m2,
        powder_factor,
        grain_factor,
        hysteresis_deg: degrees(best.0),
        low_deg: degrees(low),
        high_deg: degrees(high),
        in_force_deg,
        told,
        cover: found[0],
        islands_per_mm2: per_mm2(&found),
        cover_before: before[0],
        islands_per_mm2_before: per_mm2(&before),
        verdict: verdict(told, grain_factor),
        limits: CalibratedLimits {
            keys: vec![KEY.to_owned()],
            ln_factor: vec![0.5 * libm::log(at(high) / at(low)) / NORMAL],
        },
    })
}

/// What it comes to.
fn verdict(told: Told, grain_factor: f64) -> Vec<&'static str> {
    let mut words = vec![match told {
        Told::Not => {
            "This picture says little about how firmly edges hold: grounds of nearly any Δ look like this one. A fuller ground, half covered or more, and sharper pictures of more islands tell more."
        }
        Told::AtLeast => {
            "Edges hold at least as firmly as the lower limit: above about 25° such grounds look alike, and print alike."
        }
        Told::AtMost => {
            "Edges hold no more firmly than the upper limit: below about 16° touching domes always run together."
        }
        Told::Between => "The pictures tell how firmly edges hold, within these limits.",
    }];
    if !(1.0 / OTHER_GRAIN..=OTHER_GRAIN).contains(&grain_factor) {
        words.push("The grains in the picture are another size than the plan’s, by more than a fifth: look at grain size and wait in the plan.");
    }
    words
}

/// A plan's ground with other dust and other hysteresis, drawn as a picture shows it.
struct Trial<'a> {
    plan: &'a Plan,
    constants: &'a Constants,
    melted: &'a GroundMeasures,
}

/// A piece of ground as a picture of it was counted.
struct Drawn {
    counted: Counted,
    px_um: f64,
    area_mm2: f64,
}

impl Trial<'_> {
    fn recipe(&self, hysteresis_deg: f64, factor: f64) -> (Ground, f64) {
        let mut dust = self.plan.dust.clone();
        dust.powder_g_per_m2 *= factor;
        let landed = dust::land(&dust, &self.constants.dust);
        let bake_constants = bake::BakeConstants { hysteresis_deg, ..self.constants.bake.clone() };
        let baked = bake::bake(&self.plan.bake, self.plan.plate.thickness_mm, &bake_constants);
        (Ground::new(&landed, &baked, self.plan.seed), landed.solid_share)
    }

    /// The dust as it fell.
    fn dust(&self, factor: f64, as_taken: &GroundMeasures) -> Drawn {
        let (ground, solid_share) = self.recipe(self.constants.bake.hysteresis_deg, factor);
        let mut grains = Vec::new();
        ground.loose_at((0.0, 0.0), (SIDE_UM, SIDE_UM), ground.margin_um(), &mut grains);
        let discs: Vec<Dome> = grains.iter().map(|grain| grain.lying(solid_share).disc).collect();
        drawn(&discs, as_taken)
    }

    /// The ground that it melts to.
    fn ground(&self, hysteresis_deg: f64, factor: f64) -> Drawn {
        let (ground, _) = self.recipe(hysteresis_deg, factor);
        let mut domes = Vec::new();
        TileCache::new(0).gather(&ground, 0.0, 0.0, SIDE_UM, SIDE_UM, 0.0, &mut domes);
        drawn(&domes, self.melted)
    }
}

/// Discs drawn as softly as in a picture, with its pixels or finer ones than the finest, and counted; specks as small as
/// those of the picture are none.
fn drawn(discs: &[Dome], taken: &GroundMeasures) -> Drawn {
    let drawn_px_um = taken.px_um.max(FINEST_PX_UM);
    let side = (SIDE_UM / drawn_px_um) as usize;
    let mut set = vec![false; side * side];
    let px = drawn_px_um as f32;
    for disc in discs {
        let (x, y, r) = (disc.x_um / px - 0.5, disc.y_um / px - 0.5, disc.radius_um / px);
        let from = |at: f32| at.ceil().max(0.0) as usize;
        let to = |at: f32| ((at.floor() + 1.0).max(0.0) as usize).min(side);
        for row in from(y - r)..to(y + r) {
            let dy = row as f32 - y;
            let half = (r * r - dy * dy).max(0.0).sqrt();
            let (left, right) = (from(x - half), to(x + half));
            if left < right {
                set[row * side + left..row * side + right].fill(true);
            }
        }
    }
    // Each smoothing adds half a square pixel to the square of the deviation.
    let blur_px = taken.blur_um / drawn_px_um;
    let mut soft: Vec<f32> = set.iter().map(|set| f32::from(u8::from(*set))).collect();
    for _ in 0..(libm::round(2.0 * blur_px * blur_px) as usize).min(MOST_SMOOTHINGS) {
        binomial(&mut soft, side);
    }
    for (set, soft) in set.iter_mut().zip(&soft) {
        *set = *soft > 0.5;
    }
    let share = taken.px_um / drawn_px_um;
    let least_px = libm::ceil(LEAST_PX as f64 * share * share) as usize;
    let counted = count(&set, side, least_px);
    let side_mm = side as f64 * drawn_px_um * 1e-3;
    Drawn { counted, px_um: drawn_px_um, area_mm2: side_mm * side_mm }
}

fn measures(drawn: &Drawn) -> Option<Measures> {
    let width_um = drawn.counted.width_px? * drawn.px_um;
    let per_mm2 = drawn.counted.count / drawn.area_mm2;
    let outline_per_mm = drawn.counted.outline / drawn.px_um * 1000.0;
    let cover = drawn.counted.cover;
    Some([cover, libm::log(per_mm2), libm::log(width_um), libm::log(outline_per_mm)])
}
