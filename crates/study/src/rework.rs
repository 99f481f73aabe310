//! Rework in words of tone: how far to go so that a passage prints as wished, by every way that can.

use plan::{Stiffness, Tool, Wipe};
use plate::bite::{AgainScratch, bite_again, minutes_to_dose};
use plate::chain::{
    GroundRecipe, PrintedSample, TRIAL_SIDE_PX, Then, everywhere, turned, use_tool,
};
use plate::constants::Constants;
use plate::handwork::{LocalScratch, Mark};
use plate::ink::Inking;
use plate::{Plate, Renderer, View};
use serde::Serialize;

/// What lies inside an outline, as the state looked at prints it.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
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
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Way {
    /// `scrape`, `burnish`, `polish`, `bite`, `thin_ink`, `stiff_ink`, `loose_ink`, `tarlatan`,
    /// `hand`, `hard` or `dab`.
    #[ts(
        type = "'scrape' | 'burnish' | 'polish' | 'bite' | 'thin_ink' | 'stiff_ink' | 'loose_ink' | 'tarlatan' | 'hand' | 'hard' | 'dab'"
    )]
    #[ts(
        type = "'scrape' | 'burnish' | 'polish' | 'bite' | 'thin_ink' | 'stiff_ink' | 'loose_ink' | 'tarlatan' | 'hand' | 'hard' | 'dab'"
    )]
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

/// An outline on the print, mm, as one on the copper.
fn outline(plate: &Plate, outline_mm: &[[f64; 2]]) -> Option<Mark> {
    let points: Vec<_> = outline_mm.iter().map(|&point| turned(plate.plan(), point)).collect();
    (points.len() >= 3).then(|| Mark::passage(points, 0.0, 0))
}

/// What lies inside an outline, mm on the print; `None` when it holds nothing of the plate.
pub fn passage(
    plate: &Plate,
    view: &View,
    renderer: &mut Renderer,
    outline_mm: &[[f64; 2]],
) -> Option<Passage> {
    let mut looking = renderer.look(plate, view);
    let (value, amounts, shares) = looking.commonest(&outline(plate, outline_mm)?)?;
    let sample = looking.swatch_worked(value, &amounts, TRIAL_SIDE_PX, &mut |_| {});
    let lightness = sample.swatch.lightness();
    let below = sample.depth_um.iter().zip(sample.plane_um).map(|(d, p)| d - p);
    let pit_um = f64::from(below.fold(0.0_f32, f32::max));
    let values = 0..plate.session().dose_um.len();
    let values_l = values.map(|value| looking.swatch_of(value).swatch.lightness()).collect();
    Some(Passage { value, shares, amounts, lightness, pit_um, values_l })
}

/// What a passage should become.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wish<'a> {
    /// The passage's commonest value: [`Passage::value`].
    pub value: usize,
    /// What has been done to it: [`Passage::amounts`].
    pub amounts: &'a [f32],
    /// L* it should print, 0–100.
    pub lightness: f64,
}

/// Every way that can bring a passage to a wished L*, the tools first.
#[must_use]
pub fn ways(plate: &Plate, view: &View, renderer: &mut Renderer, wish: &Wish<'_>) -> Vec<Way> {
    let wished = wish.lightness;
    let value = wish.value.min(plate.session().dose_um.len() - 1);
    let spot = Spot { value, amounts: wish.amounts.to_vec() };
    let mut trials = Trials { plate, view, renderer };
    let now = trials.trial(view, &spot, &mut |_| {});
    let mut ways = Vec::new();
    if wished > now {
        for (tool, way) in
            [(Tool::Scraper, "scrape"), (Tool::Burnisher, "burnish"), (Tool::Polish, "polish")]
        {
            ways.push(trials.by_tool(&spot, tool, way, now, wished, &BAND));
        }
    } else if !plate.no_longer_bites() {
        ways.push(trials.by_new_ground(&spot, wished));
    }
    trials.by_printing(&spot, now, wished, &mut ways);
    ways
}

/// The plainest way alone: minutes under a new ground where a passage is to print darker, the burnisher where it is to print lighter;
/// without what the ranges of the constants make of it. `None` where the bath no longer bites.
#[must_use]
pub fn plain_way(
    plate: &Plate,
    view: &View,
    renderer: &mut Renderer,
    wish: &Wish<'_>,
) -> Option<Way> {
    let wished = wish.lightness;
    let value = wish.value.min(plate.session().dose_um.len() - 1);
    let spot = Spot { value, amounts: wish.amounts.to_vec() };
    let mut trials = Trials { plate, view, renderer };
    let now = trials.trial(view, &spot, &mut |_| {});
    if wished > now {
        Some(trials.by_tool(&spot, Tool::Burnisher, "burnish", now, wished, &[]))
    } else {
        (!plate.no_longer_bites()).then(|| trials.by_new_ground(&spot, wished))
    }
}

/// Tries what might be done to a plate.
struct Trials<'a> {
    plate: &'a Plate,
    view: &'a View,
    renderer: &'a mut Renderer,
}

impl Trials<'_> {
    /// The plate's view with another ink.
    fn with(&self, ink: &plan::Ink, constants: &Constants) -> View {
        self.view.inked(Inking::new(ink, &self.plate.plan().paper, &constants.ink))
    }

    /// L* of a passage after some more work.
    fn trial(&mut self, view: &View, spot: &Spot, then: Then<'_>) -> f64 {
        let mut looking = self.renderer.look(self.plate, view);
        looking.swatch_worked(spot.value, &spot.amounts, TRIAL_SIDE_PX, then).swatch.lightness()
    }

    fn after_tool(&mut self, view: &View, spot: &Spot, tool: Tool, take_um: f64) -> f64 {
        let (mut scratch, constants) = (LocalScratch::default(), self.plate.constants());
        self.trial(view, spot, &mut |copper| {
            use_tool(tool, &everywhere(1), take_um as f32, constants, &mut scratch, copper);
        })
    }

    /// How far down a tool must go, and how far it can.
    fn far(&mut self, view: &View, spot: &Spot, tool: Tool, wished: f64) -> (f64, f64) {
        let mut looking = self.renderer.look(self.plate, view);
        let PrintedSample { depth_um, plane_um, .. } =
            looking.swatch_worked(spot.value, &spot.amounts, TRIAL_SIDE_PX, &mut |_| {});
        let below = depth_um.iter().zip(plane_um).map(|(d, p)| (d - p).max(0.0));
        let most_um = match tool {
            // Pressed copper goes into the pits: they are gone when the lands come to the mean.
            Tool::Burnisher => f64::from(below.sum::<f32>()) / depth_um.len().max(1) as f64,
            _ => f64::from(below.fold(0.0_f32, f32::max)),
        };
        let (mut least, mut most) = (0.0, most_um);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (least + most);
            if self.after_tool(view, spot, tool, middle) < wished {
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
        band: &[&str],
    ) -> Way {
        let (plan, own) = (self.plate.plan(), self.view);
        let (amount, most) = self.far(own, spot, tool, wished);
        let reaches = self.after_tool(own, spot, tool, amount);
        let reaches_most = self.after_tool(own, spot, tool, most);
        let (mut low, mut high) = (amount, amount);
        // The same step in L*, with each constant at either end of what is plausible.
        for info in Constants::catalogue().iter().filter(|info| band.contains(&info.key)) {
            for end in [info.min, info.max] {
                let mut constants = self.plate.constants().clone();
                if let Some(slot) = constants.get_mut(info.key) {
                    *slot = end;
                }
                let view = self.with(&plan.ink, &constants);
                let from = self.trial(&view, spot, &mut |_| {});
                let (um, _) = self.far(&view, spot, tool, from + (wished - now));
                low = f64::min(low, um);
                high = f64::max(high, um);
            }
        }
        let per_pass = tool.info().pass.and_then(|key| self.plate.constants().get(key));
        Way {
            way,
            amount,
            passes: per_pass.map_or(0.0, |um| amount / um),
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
        let (plan, constants) = (self.plate.plan(), self.plate.constants());
        let mut other = plan.clone();
        other.seed = plan.seed.wrapping_add(1);
        let ground = GroundRecipe::of(&other, constants).lay();
        let open_share = ground.profile().open_share();
        let under_um = ground.sample_corner_um(TRIAL_SIDE_PX);
        let class = vec![0_u8; under_um.len()];
        let bath = &plan.bath;
        let mut again = AgainScratch::default();
        let mut at = |dose_um: f64| {
            self.trial(self.view, spot, &mut |copper| {
                bite_again(
                    &under_um,
                    &class,
                    &[dose_um],
                    copper.grid.px_um,
                    constants.bite.etch_factor,
                    copper.grid.width,
                    copper.grid.height,
                    &mut again,
                    copper.depth_um,
                );
            })
        };
        let minutes = |dose_um| {
            minutes_to_dose(bath, bath.copper_g_per_l, dose_um, open_share, &constants.bite)
        };
        let per_um = minutes(1.0);
        let longest_um = LONGEST_MIN / per_um.max(1e-6);
        // Darkest on a ladder of doses; the answer lies before it.
        let ladder: Vec<f64> = (0..=8).map(|i| longest_um * f64::from(i) / 8.0).collect();
        let tones: Vec<f64> = ladder.iter().map(|&dose| at(dose)).collect();
        let darkest =
            (0..tones.len()).fold(0, |best, i| if tones[i] < tones[best] { i } else { best });
        let (mut least, mut most) = (0.0, ladder[darkest]);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (least + most);
            if at(middle) > wished {
                least = middle;
            } else {
                most = middle;
            }
        }
        let dose = 0.5 * (least + most);
        let reaches = at(dose);
        let amount = minutes(dose);
        Way {
            way: "bite",
            amount,
            passes: 0.0,
            low: amount,
            high: amount,
            most: minutes(ladder[darkest]),
            reaches,
            reaches_most: tones[darkest],
            enough: (reaches - wished).abs() <= MET_L,
            elsewhere: 0.0,
            elsewhere_value: 0,
        }
    }

    /// Ways of inking and wiping: they change the whole plate.
    fn by_printing(&mut self, spot: &Spot, now: f64, wished: f64, ways: &mut Vec<Way>) {
        let plate = self.plate;
        let (own, constants) = (&plate.plan().ink, plate.constants());
        let before: Vec<f64> = self.all_lightness(self.view);
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
                let ink = plan::Ink { base_parts: middle, ..own.clone() };
                let view = self.with(&ink, constants);
                if self.trial(&view, spot, &mut |_| {}) < wished {
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
    }

    fn all_lightness(&mut self, view: &View) -> Vec<f64> {
        (0..self.plate.session().dose_um.len())
            .map(|value| self.trial(view, &Spot { value, amounts: Vec::new() }, &mut |_| {}))
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
        let view = self.with(ink, self.plate.constants());
        let reaches = self.trial(&view, spot, &mut |_| {});
        let after = self.all_lightness(&view);
        let moved = |value: usize| (after[value] - before[value]).abs();
        let elsewhere_value = (0..after.len())
            .filter(|&value| value != spot.value && self.plate.picture().shares()[value] > 0.0)
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
