//! Correction in words of tone: how far to go so that a passage prints as wished, by every way that can.

use super::later::{LaterScratch, everywhere, turned, use_tool};
use super::{Plate, TRIAL_SIDE_PX};
use crate::bite::{AgainScratch, BiteConstants, ResistProfile, bite_again, minutes_to_dose};
use crate::constants::Constants;
use crate::handwork::Mark;
use crate::ink::Inking;
use crate::light;
use plan::{Stiffness, Tool, Wipe};
use serde::Serialize;

/// What lies inside an outline, as the state looked at prints it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Passage {
    /// Its commonest value.
    pub value: usize,
    /// Share of every value in it, paper first.
    pub shares: Vec<f64>,
    /// What each piece of the state's work does to that place: µm of a tool, 1 where a later ground
    /// lies, 0 where it does not reach.
    pub amounts: Vec<f32>,
    /// L* of the commonest value with what has been done to it there.
    pub lightness: f64,
    /// How deep the pits lie below the lands there, µm.
    pub pit_um: f64,
    /// L* that every value would have there without tools, paper first: “a value lighter” is one of
    /// them.
    pub values_l: Vec<f64>,
}

/// One way to bring a passage to a wished tone.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Way {
    /// `scrape`, `burnish`, `polish`, `bite`, `thin_ink`, `stiff_ink`, `loose_ink`, `tarlatan`,
    /// `hand`, `hard` or `dab`.
    pub way: &'static str,
    /// How much: µm taken down, minutes under the new ground, parts of base; 0 for choices.
    pub amount: f64,
    /// Even passes of the tool; 0 where there are none.
    pub passes: f64,
    /// What the plausible ranges of the constants make of the amount.
    pub low: f64,
    /// See `low`.
    pub high: f64,
    /// The most that can be done: the pits are gone beyond it. 0 where that means nothing.
    pub most: f64,
    /// L* it reaches.
    pub reaches: f64,
    /// L* at the most.
    pub reaches_most: f64,
    /// It comes within half a step of what is seen.
    pub enough: bool,
    /// Largest change of L* anywhere else on the plate.
    pub elsewhere: f64,
    /// The value that changes so; meaningless where `elsewhere` is 0.
    pub elsewhere_value: usize,
}

/// A wished tone is met within this, L*.
const MET_L: f64 = 1.0;
/// Halvings of the search.
const HALVINGS: usize = 12;
/// Longest bite under a new ground that is offered, min.
const LONGEST_MIN: f64 = 40.0;
/// Most parts of base that are offered.
const MOST_BASE: f64 = 400.0;
/// Constants that decide how much a step down on the copper shows on paper.
const BAND: [&str; 4] =
    ["ink.absorption_per_um", "ink.hand_overlap_um", "ink.taken_up_um", "ink.surface_reflectance"];

/// Where one passage stands and what has been done to it.
struct Spot {
    value: usize,
    amounts: Vec<f32>,
}

impl Plate {
    fn outline(&self, outline_mm: &[[f64; 2]]) -> Option<Mark> {
        let points: Vec<_> = outline_mm.iter().map(|&point| turned(&self.plan, point)).collect();
        (points.len() >= 3).then(|| Mark::passage(points, 0.0, 0))
    }

    /// What lies inside an outline, mm on the print; `None` when it holds nothing of the plate.
    pub fn passage(&mut self, outline_mm: &[[f64; 2]]) -> Option<Passage> {
        let outline = self.outline(outline_mm)?;
        let (value, amounts, shares) = self.commonest(&outline)?;
        let spot = Spot { value, amounts };
        let lightness = self.trial(&spot, &mut |_, _, _| {});
        let fields = &self.window;
        let below = fields.depth_um.iter().zip(&fields.plane_um).map(|(d, p)| d - p);
        let pit_um = f64::from(below.fold(0.0_f32, f32::max));
        let values_l = (0..self.session.dose_um.len())
            .map(|value| light::lightness(self.swatch_of(value).reflectance))
            .collect();
        Some(Passage { value, shares, amounts: spot.amounts, lightness, pit_um, values_l })
    }

    /// Every way that can bring a passage to L* `wished`, the tools first; `value` and `amounts` are
    /// those of [`Plate::passage`].
    pub fn ways(&mut self, value: usize, amounts: &[f32], wished: f64) -> Vec<Way> {
        let value = value.min(self.session.dose_um.len() - 1);
        let spot = Spot { value, amounts: amounts.to_vec() };
        let now = self.trial(&spot, &mut |_, _, _| {});
        let mut ways = Vec::new();
        if wished > now {
            for (tool, way) in
                [(Tool::Scraper, "scrape"), (Tool::Burnisher, "burnish"), (Tool::Polish, "polish")]
            {
                ways.push(self.by_tool(&spot, tool, way, now, wished));
            }
        } else if !self.no_longer_bites() {
            ways.push(self.by_new_ground(&spot, wished));
        }
        self.by_printing(&spot, now, wished, &mut ways);
        ways
    }

    /// L* of a passage after some more work.
    fn trial(&mut self, spot: &Spot, then: super::later::Then<'_>) -> f64 {
        let tone = self.swatch_worked(spot.value, &spot.amounts, TRIAL_SIDE_PX, then);
        light::lightness(tone.reflectance)
    }

    fn after_tool(&mut self, spot: &Spot, tool: Tool, take_um: f64) -> f64 {
        let mut scratch = LaterScratch::default();
        self.trial(spot, &mut |grid, constants, fields| {
            let mark = everywhere(1);
            use_tool(tool, &mark, take_um as f32, grid, constants, &mut scratch, fields);
        })
    }

    /// How far down a tool must go, and how far it can.
    fn far(&mut self, spot: &Spot, tool: Tool, wished: f64) -> (f64, f64) {
        self.trial(spot, &mut |_, _, _| {});
        let fields = &self.window;
        let below = fields.depth_um.iter().zip(&fields.plane_um).map(|(d, p)| (d - p).max(0.0));
        let most_um = match tool {
            // Pressed copper goes into the pits: they are gone when the lands come to the mean.
            Tool::Burnisher => f64::from(below.sum::<f32>()) / fields.depth_um.len().max(1) as f64,
            _ => f64::from(below.fold(0.0_f32, f32::max)),
        };
        let (mut least, mut most) = (0.0, most_um);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (least + most);
            if self.after_tool(spot, tool, middle) < wished {
                least = middle;
            } else {
                most = middle;
            }
        }
        (0.5 * (least + most), most_um)
    }

    fn by_tool(
        &mut self,
        spot: &Spot,
        tool: Tool,
        way: &'static str,
        now: f64,
        wished: f64,
    ) -> Way {
        let (amount, most) = self.far(spot, tool, wished);
        let reaches = self.after_tool(spot, tool, amount);
        let reaches_most = self.after_tool(spot, tool, most);
        let (mut low, mut high) = (amount, amount);
        // The same step in L*, with each constant at either end of what is plausible.
        for info in Constants::catalogue().iter().filter(|info| BAND.contains(&info.key)) {
            for end in [info.min, info.max] {
                let kept = self.inking.clone();
                let mut constants = self.constants.clone();
                if let Some(slot) = constants.get_mut(info.key) {
                    *slot = end;
                }
                self.inking = Inking::new(&self.plan.ink, &self.plan.paper, &constants.ink);
                let from = self.trial(spot, &mut |_, _, _| {});
                let (um, _) = self.far(spot, tool, from + (wished - now));
                self.inking = kept;
                low = f64::min(low, um);
                high = f64::max(high, um);
            }
        }
        let c = &self.constants.work;
        let per_pass = match tool {
            Tool::Burnisher => c.burnisher_um_per_pass,
            Tool::Polish => c.polish_um_per_pass,
            _ => c.scraper_um_per_pass,
        };
        Way {
            way,
            amount,
            passes: amount / per_pass,
            low,
            high,
            most,
            reaches,
            reaches_most,
            enough: (reaches - wished).abs() <= MET_L,
            elsewhere: 0.0,
            elsewhere_value: 0,
        }
    }

    /// Minutes under a new ground, laid as the plan's own, with the rest of the plate stopped out.
    fn by_new_ground(&mut self, spot: &Spot, wished: f64) -> Way {
        let plan = &self.plan;
        let recipe_seed = plan.seed.wrapping_add(1);
        let ground = crate::ground::Ground::new(&self.landed, &self.baked, recipe_seed);
        let mut tiles = crate::ground::TileCache::new(0);
        let sample = super::window::sample_distances(&ground, &mut tiles);
        let open_share = ResistProfile::new(&sample, super::SAMPLE_PX_UM).open_share();
        let under_um = super::later::corner(&sample, TRIAL_SIDE_PX);
        let class = vec![0_u8; under_um.len()];
        let bath = plan.bath.clone();
        let mut again = AgainScratch::default();
        let mut at = |plate: &mut Self, dose_um: f64| {
            plate.trial(spot, &mut |grid, constants, fields| {
                bite_again(
                    &under_um,
                    &class,
                    &[dose_um],
                    grid.px_um,
                    constants.bite.etch_factor,
                    grid.width,
                    grid.height,
                    &mut again,
                    &mut fields.depth_um,
                );
            })
        };
        let minutes_to = |dose: f64, constants: &BiteConstants| {
            minutes_to_dose(&bath, bath.copper_g_per_l, dose, open_share, constants)
        };
        let per_um = minutes_to(1.0, &self.constants.bite);
        let longest_um = LONGEST_MIN / per_um.max(1e-6);
        // Darkest on a ladder of doses; the answer lies before it.
        let ladder: Vec<f64> = (0..=8).map(|i| longest_um * f64::from(i) / 8.0).collect();
        let tones: Vec<f64> = ladder.iter().map(|&dose| at(self, dose)).collect();
        let darkest =
            (0..tones.len()).fold(0, |best, i| if tones[i] < tones[best] { i } else { best });
        let (mut least, mut most) = (0.0, ladder[darkest]);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (least + most);
            if at(self, middle) > wished {
                least = middle;
            } else {
                most = middle;
            }
        }
        let dose = 0.5 * (least + most);
        let reaches = at(self, dose);
        let minutes = |dose: f64, plate: &Self| minutes_to(dose, &plate.constants.bite);
        let amount = minutes(dose, self);
        Way {
            way: "bite",
            amount,
            passes: 0.0,
            low: amount,
            high: amount,
            most: minutes(ladder[darkest], self),
            reaches,
            reaches_most: tones[darkest],
            enough: (reaches - wished).abs() <= MET_L,
            elsewhere: 0.0,
            elsewhere_value: 0,
        }
    }

    /// Ways of inking and wiping: they change the whole plate.
    fn by_printing(&mut self, spot: &Spot, now: f64, wished: f64, ways: &mut Vec<Way>) {
        let before: Vec<f64> = self.all_lightness();
        let own = self.plan.ink.clone();
        let mut choices: Vec<(&'static str, plan::Ink)> = Vec::new();
        for (name, wipe) in
            [("tarlatan", Wipe::Tarlatan), ("hand", Wipe::Hand), ("hard", Wipe::Hard)]
        {
            if wipe != own.wipe {
                choices.push((name, plan::Ink { wipe, ..own.clone() }));
            }
        }
        for (name, stiffness) in [("stiff_ink", Stiffness::Stiff), ("loose_ink", Stiffness::Loose)]
        {
            if stiffness != own.stiffness {
                choices.push((name, plan::Ink { stiffness, ..own.clone() }));
            }
        }
        if !own.dabbed_up {
            choices.push(("dab", plan::Ink { dabbed_up: true, ..own.clone() }));
        }
        for (name, ink) in choices {
            let way = self.with_ink(spot, name, 0.0, &ink, &before, wished);
            // Only what goes the wished way.
            if (way.reaches - now) * (wished - now) > 0.0 && (way.reaches - now).abs() > 0.2 {
                ways.push(way);
            }
        }
        if wished > now {
            let (mut least, mut most) = (own.base_parts, MOST_BASE);
            for _ in 0..HALVINGS {
                let middle = 0.5 * (least + most);
                self.take_ink(&plan::Ink { base_parts: middle, ..own.clone() });
                if self.trial(spot, &mut |_, _, _| {}) < wished {
                    least = middle;
                } else {
                    most = middle;
                }
            }
            let parts = libm::round(most / 5.0) * 5.0;
            let ink = plan::Ink { base_parts: parts, ..own.clone() };
            let way = self.with_ink(spot, "thin_ink", parts, &ink, &before, wished);
            ways.push(way);
        }
        self.take_ink(&own);
    }

    fn take_ink(&mut self, ink: &plan::Ink) {
        self.inking = Inking::new(ink, &self.plan.paper, &self.constants.ink);
    }

    fn all_lightness(&mut self) -> Vec<f64> {
        (0..self.session.dose_um.len())
            .map(|value| self.trial(&Spot { value, amounts: Vec::new() }, &mut |_, _, _| {}))
            .collect()
    }

    fn with_ink(
        &mut self,
        spot: &Spot,
        way: &'static str,
        amount: f64,
        ink: &plan::Ink,
        before: &[f64],
        wished: f64,
    ) -> Way {
        self.take_ink(ink);
        let reaches = self.trial(spot, &mut |_, _, _| {});
        let after = self.all_lightness();
        let own = self.plan.ink.clone();
        self.take_ink(&own);
        let moved = |value: usize| (after[value] - before[value]).abs();
        let elsewhere_value = (0..after.len())
            .filter(|&value| value != spot.value && self.areas.shares()[value] > 0.0)
            .fold(spot.value, |most, value| {
                if most == spot.value || moved(value) > moved(most) { value } else { most }
            });
        Way {
            way,
            amount,
            passes: 0.0,
            low: amount,
            high: amount,
            most: 0.0,
            reaches,
            reaches_most: reaches,
            enough: (reaches - wished).abs() <= MET_L,
            elsewhere: if elsewhere_value == spot.value { 0.0 } else { moved(elsewhere_value) },
            elsewhere_value,
        }
    }
}
