//! The edition: how each value drifts as the plate wears, and what the edition takes.

use plan::Plan;
use plate::chain::{TRIAL_SIDE_PX, WorkedCopper, everywhere};
use plate::handwork::{self as work, Wear, WorkConstants, worn_um};
use plate::ink::Inking;
use plate::light;
use plate::{Looking, Plate, Renderer, View};
use serde::Serialize;

/// A difference in L* that is seen when two impressions lie side by side (about 2; from memory).
pub const SEEN_L: f64 = 2.0;
/// Values on less of the plate than this don't decide how long it lasts.
const LEAST_SHARE: f64 = 0.005;
/// Impressions shown on the strip.
pub const STRIP: [u32; 12] = [1, 10, 25, 50, 100, 200, 300, 500, 1000, 2000, 3000, 5000];

/// One value's drift.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Drift {
    /// Its number.
    pub index: usize,
    /// Share of the plate, 0–1.
    pub area_share: f64,
    /// CIE L* of each impression of the strip, on bare copper.
    pub lightness: Vec<f64>,
    /// The same on steel-faced copper.
    pub lightness_steel: Vec<f64>,
    /// 8-bit sRGB, on the copper that the plan chooses.
    pub srgb: Vec<u8>,
    /// First impression that differs from the first by more than is seen; 0 when none does within
    /// 5000.
    pub seen_at: u32,
    /// The same on steel-faced copper.
    pub seen_at_steel: u32,
}

/// The edition in numbers.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct EditionAnswer {
    /// Numbers of the impressions.
    pub impressions: Vec<u32>,
    /// Every value's drift.
    pub values: Vec<Drift>,
    /// The value that gives out first on bare copper, and the impression from which it shows; 0 and
    /// 0 when none does within 5000.
    pub first_value: usize,
    /// See `first_value`.
    pub lasts: u32,
    /// The impression on steel-faced copper.
    pub lasts_steel: u32,
    /// Ink for the edition, g, with what is wiped off and what is spoiled.
    pub ink_g: f64,
    /// Impressions' sheets cut from one full sheet.
    pub per_sheet: u32,
    /// Full sheets to buy, with one in ten over for spoils.
    pub sheets: u32,
    /// Working hours, those for what is spoiled among them.
    pub hours: f64,
}

/// One sheet in so many is spoiled (common practice, no source).
const SPOILED_ONE_IN: u32 = 10;

/// Sheets of this plan cut from one full sheet, the better way round.
fn per_sheet(plan: &Plan, edition: &plan::Edition) -> u32 {
    let margin = 2.0 * plan.paper.margin_mm;
    let (w, h) = (plan.plate.width_mm + margin, plan.plate.height_mm + margin);
    let fit = |a: f64, b: f64| {
        let across = libm::floor(edition.sheet_width_mm / a + 1e-9);
        let down = libm::floor(edition.sheet_height_mm / b + 1e-9);
        (across * down) as u32
    };
    fit(w, h).max(fit(h, w))
}

/// How deep each pixel of one value's sample lies below the plane, µm, in the state looked at.
fn below_plane_um(looking: &mut Looking<'_>, value: usize) -> Vec<f32> {
    let sample = looking.swatch_worked(value, &[], TRIAL_SIDE_PX, &mut |_| {});
    sample.depth_um.iter().zip(sample.plane_um).map(|(d, p)| (d - p).max(0.0)).collect()
}

/// L* of one value at each number of impressions (rising).
fn worn_lightness(
    looking: &mut Looking<'_>,
    value: usize,
    wear: Wear,
    impressions: &[u32],
    constants: &WorkConstants,
) -> Vec<f64> {
    let below = below_plane_um(looking, value);
    let worn = worn_um(&below, wear, impressions, constants);
    let mark = everywhere(0);
    worn.into_iter()
        .map(|worn_um| {
            let wear_off = &mut |copper: &mut WorkedCopper<'_>| {
                let WorkedCopper { grid, depth_um, plane_um } = copper;
                work::scrape(&mark, worn_um as f32, 0.0, grid, constants, depth_um, plane_um);
            };
            looking.swatch_worked(value, &[], TRIAL_SIDE_PX, wear_off).swatch.lightness()
        })
        .collect()
}

/// The edition of the state that is looked at, on the edition's own paper: the plate wears impression by
/// impression (see [`worn_um`]) and each value is printed anew at those of [`STRIP`]. A plan without an
/// edition is answered with the usual one.
#[must_use]
pub fn edition(plate: &Plate, view: &View, renderer: &mut Renderer) -> EditionAnswer {
    let (plan, constants) = (plate.plan(), plate.constants());
    let edition = plan.edition.clone().unwrap_or_default();
    let paper = plan::Paper { reflectance: edition.paper_reflectance, ..plan.paper.clone() };
    let inking = Inking::new(&plan.ink, &paper, &constants.ink);
    let view = view.inked(inking.clone());
    let mut looking = renderer.look(plate, &view);
    let shares = plate.picture().shares();
    let values: Vec<Drift> = (0..=plan.bites.len())
        .map(|index| {
            let lightness =
                worn_lightness(&mut looking, index, Wear::Bare, &STRIP, &constants.work);
            let lightness_steel =
                worn_lightness(&mut looking, index, Wear::SteelFaced, &STRIP, &constants.work);
            let chosen = if edition.steel_faced { &lightness_steel } else { &lightness };
            Drift {
                index,
                area_share: shares[index],
                srgb: chosen
                    .iter()
                    .map(|&l| light::srgb8(light::reflectance_of_lightness(l)))
                    .collect(),
                seen_at: seen_at(&lightness),
                seen_at_steel: seen_at(&lightness_steel),
                lightness,
                lightness_steel,
            }
        })
        .collect();
    let mut held = 0.0;
    for (index, share) in shares.iter().enumerate().take(plan.bites.len() + 1) {
        held += share * looking.swatch_of(index).swatch.held_um;
    }
    let area_cm2 = plan.plate.width_mm * plan.plate.height_mm / 100.0;
    let prints = edition.impressions + edition.impressions.div_ceil(SPOILED_ONE_IN);
    let ink_g = inking.ink_grams(area_cm2, held) * f64::from(prints);

    let counts = |drift: &&Drift| drift.area_share >= LEAST_SHARE;
    let first = |of: fn(&Drift) -> u32| {
        let shown = values.iter().filter(counts).filter(|drift| of(drift) > 0);
        shown.min_by_key(|drift| of(drift)).map_or((0, 0), |drift| (drift.index, of(drift)))
    };
    let (first_value, lasts) = first(|drift| drift.seen_at);
    let (_, lasts_steel) = first(|drift| drift.seen_at_steel);
    let per_sheet = per_sheet(plan, &edition);
    EditionAnswer {
        impressions: STRIP.to_vec(),
        values,
        first_value,
        lasts,
        lasts_steel,
        ink_g,
        per_sheet,
        sheets: prints.checked_div(per_sheet).map_or(0, |_| prints.div_ceil(per_sheet)),
        hours: f64::from(prints) * edition.minutes_each / 60.0,
    }
}

/// First impression whose L* is further from the first than is seen, between two of the strip in
/// proportion; 0 when none is.
fn seen_at(lightness: &[f64]) -> u32 {
    let off = |i: usize| (lightness[i] - lightness[0]).abs();
    let Some(i) = (1..lightness.len()).find(|&i| off(i) > SEEN_L) else { return 0 };
    let part = (SEEN_L - off(i - 1)) / (off(i) - off(i - 1)).max(1e-9);
    let (from, to) = (f64::from(STRIP[i - 1]), f64::from(STRIP[i]));
    libm::ceil(from + part.clamp(0.0, 1.0) * (to - from)) as u32
}
