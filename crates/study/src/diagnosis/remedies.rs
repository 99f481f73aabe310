//! What would carry a value that this ground can't: searched over what a printmaker can change, the cheapest change
//! first, and said only of a plan whose print has been calculated.

use crate::grain::{dusting_for_cover, good_bakes};
use crate::tone_response::darkest_between;
use plan::strip::step_of;
use plan::{Plan, Sentence, Severity, Unit, Wipe, field, quantity, sentence};
use plate::{Plate, Renderer, View};

/// Covers tried at the plan's own wait, and those tried with others.
const COVERS: [f64; 9] = [0.15, 0.25, 0.35, 0.45, 0.5, 0.55, 0.65, 0.75, 0.85];
const FEW_COVERS: [f64; 3] = [0.35, 0.5, 0.65];
/// Waits tried at the plan's own cover, and those tried with others, s.
const WAITS_S: [f64; 8] = [0.0, 10.0, 25.0, 50.0, 90.0, 160.0, 300.0, 600.0];
const FEW_WAITS_S: [f64; 5] = [0.0, 20.0, 60.0, 150.0, 400.0];
const BAKES_MIN: [f64; 6] = [2.0, 4.0, 7.0, 12.0, 20.0, 30.0];
/// Powders tried, in times the plan's own.
const POWDERS: [f64; 5] = [1.5, 0.7, 2.2, 0.5, 3.0];
/// How often a change that carries a value is halved towards the plan, to find a smaller one that does.
const HALVINGS: u32 = 3;

/// Doses between which the darkest is sought, µm, and how often the stretch is shortened: then it is known to a tenth
/// of itself, where L* no longer changes by what one could see.
const DOSES_UM: (f64, f64) = (3.0, 400.0);
const SHORTENED: u32 = 9;

/// Plans tried so far, with the darkest that each prints.
pub(super) struct Remedies<'a> {
    plate: &'a Plate,
    renderer: &'a mut Renderer,
    tried: Vec<(Plan, f64)>,
}

impl<'a> Remedies<'a> {
    pub(super) fn of(plate: &'a Plate, renderer: &'a mut Renderer) -> Self {
        Self { plate, renderer, tried: Vec::new() }
    }

    /// What carries a value as dark as this, in words; else how far the best goes of what was tried.
    pub(super) fn words(&mut self, wanted_l: f64) -> Sentence {
        let wanted = quantity(wanted_l, Unit::Lightness, 0);
        if let Some(found) = self.found(wanted_l) {
            return sentence!(
                "With {} it would reach {}.",
                changes(self.plate.plan(), &found),
                wanted
            );
        }
        let best = self.tried.iter().min_by(|a, b| a.1.total_cmp(&b.1));
        best.map_or_else(Sentence::default, |(plan, darkest_l)| {
            sentence!(
                "Of what was tried of ink, wipe, wait, dust, bake and powder nothing reaches it; the darkest is {}, with {}.",
                quantity(*darkest_l, Unit::Lightness, 0),
                changes(self.plate.plan(), plan)
            )
        })
    }

    /// The first plan in the order of what changes cost that prints as dark.
    fn found(&mut self, wanted_l: f64) -> Option<Plan> {
        let own = self.plate.plan().clone();
        let inks = inks(&own);
        if let Some(found) = inks.iter().find(|plan| self.carries(plan, wanted_l)) {
            return Some(found.clone());
        }
        let cover =
            self.plate.baked().expected_cover(self.plate.landed(), &self.plate.constants().bake);
        let own_wait_s = own.dust.wait_s;
        let covers = nearest_first(&COVERS, cover);
        let found = self
            .along(&covers, cover, wanted_l, |this, cover| this.dusted(&own, own_wait_s, cover));
        if found.is_some() {
            return found;
        }
        let waits_s = nearest_first(&WAITS_S, own_wait_s);
        let found = self
            .along(&waits_s, own_wait_s, wanted_l, |this, wait_s| this.dusted(&own, wait_s, cover));
        if found.is_some() {
            return found;
        }
        let mut others = self.bakes(&own);
        for wait_s in FEW_WAITS_S {
            others.extend(FEW_COVERS.map(|cover| self.dusted(&own, wait_s, cover)));
        }
        others.extend(POWDERS.iter().filter_map(|times| {
            let powder = field("dust.median_um")?;
            let mut plan = own.clone();
            plan.dust.median_um =
                libm::round(own.dust.median_um * times).clamp(powder.min, powder.max);
            Some(self.dusted(&plan, own_wait_s, cover))
        }));
        if let Some(found) = others.iter().find(|plan| self.carries(plan, wanted_l)) {
            return Some(found.clone());
        }
        // The best of all these with the strongest ink wiped least.
        let strongest = inks.last()?.ink.clone();
        others.sort_by(|a, b| self.darkest(a).total_cmp(&self.darkest(b)));
        let best = Plan { ink: strongest, ..others.first()?.clone() };
        self.carries(&best, wanted_l).then_some(best)
    }

    /// The first of `settings` that carries it, brought as near to `own` as still does.
    fn along(
        &mut self,
        settings: &[f64],
        own: f64,
        wanted_l: f64,
        plan: impl Fn(&Self, f64) -> Plan,
    ) -> Option<Plan> {
        let mut far = settings.iter().copied().find(|&setting| {
            let plan = plan(self, setting);
            self.carries(&plan, wanted_l)
        })?;
        let mut near = own;
        for _ in 0..HALVINGS {
            let middle = 0.5 * (near + far);
            let between = plan(self, middle);
            if self.carries(&between, wanted_l) {
                far = middle;
            } else {
                near = middle;
            }
        }
        Some(plan(self, far))
    }

    /// After this wait, on the control's steps, with the powder for this cover.
    fn dusted(&self, plan: &Plan, wait_s: f64, cover: f64) -> Plan {
        let mut plan = plan.clone();
        let step_s = step_of("dust.wait_s");
        plan.dust.wait_s = step_s * libm::round(wait_s / step_s);
        let constants = self.plate.constants();
        (plan.dust.powder_g_per_m2, plan.dust.dustings) =
            dusting_for_cover(&plan, constants, cover);
        plan
    }

    /// Good bakes on the plan's own hot plate.
    fn bakes(&self, own: &Plan) -> Vec<Plan> {
        let all = nearest_first(&BAKES_MIN, own.bake.bake_min);
        let all = all.into_iter().map(|bake_min| plan::Bake { bake_min, ..own.bake.clone() });
        good_bakes(own, self.plate.constants(), all.collect())
            .map(|(bake, _)| Plan { bake, ..own.clone() })
            .collect()
    }

    fn carries(&mut self, plan: &Plan, wanted_l: f64) -> bool {
        self.darkest(plan) <= wanted_l
    }

    /// The darkest that a plan prints on its first ground, L*; infinite where it is no other plan, or no sound one.
    fn darkest(&mut self, plan: &Plan) -> f64 {
        if plan == self.plate.plan() {
            return f64::INFINITY;
        }
        if let Some((_, l)) = self.tried.iter().find(|(other, _)| other == plan) {
            return *l;
        }
        let sound = plan.problems().iter().all(|problem| problem.severity != Severity::Error);
        let other = self.plate.after(&self.plate.job().with_plan(plan.clone())).ok();
        let l = match other.filter(|_| sound) {
            Some(other) => darkest_of(&other, self.renderer),
            None => return f64::INFINITY,
        };
        self.tried.push((plan.clone(), l));
        l
    }
}

fn darkest_of(plate: &Plate, renderer: &mut Renderer) -> f64 {
    let view = View::first();
    let mut looking = renderer.look(plate, &view);
    darkest_between(DOSES_UM, SHORTENED, |um| looking.lightness_at(um)).1
}

/// Neat black, another wipe, both; those that are another ink than the plan's, the strongest last.
fn inks(own: &Plan) -> Vec<Plan> {
    let neat = plan::Ink { base_parts: 0.0, reducer_parts: 0.0, ..own.ink.clone() };
    let by_hand = |ink: &plan::Ink| {
        let wipe = if ink.wipe == Wipe::Hard { Wipe::Hand } else { ink.wipe };
        plan::Ink { wipe, ..ink.clone() }
    };
    [neat.clone(), by_hand(&own.ink), by_hand(&neat)].map(|ink| Plan { ink, ..own.clone() }).into()
}

fn nearest_first(settings: &[f64], own: f64) -> Vec<f64> {
    let mut all = settings.to_vec();
    all.sort_by(|a, b| (a - own).abs().total_cmp(&(b - own).abs()));
    all
}

/// What another plan has otherwise, as one says it after “with”.
fn changes(own: &Plan, other: &Plan) -> Sentence {
    let mut all: Vec<Sentence> = Vec::new();
    let (was, is) = (&own.dust, &other.dust);
    if is.median_um != was.median_um {
        let word = if is.median_um > was.median_um { "coarser" } else { "finer" };
        all.push(sentence!("a {} powder of {}", word, quantity(is.median_um, Unit::Um, 0)));
    }
    if is.wait_s != was.wait_s {
        let word = if is.wait_s > was.wait_s { "longer" } else { "shorter" };
        all.push(sentence!("a {} wait of {} s", word, is.wait_s));
    }
    if (is.powder_g_per_m2, is.dustings) != (was.powder_g_per_m2, was.dustings) {
        let in_all = |dust: &plan::Dust| dust.powder_g_per_m2 * dust.dustings;
        let word = if in_all(is) > in_all(was) { "more" } else { "less" };
        let dustings = if is.dustings > 1.0 { "dustings" } else { "dusting" };
        let powder = quantity(is.powder_g_per_m2, Unit::GPerM2, 1);
        all.push(sentence!("{} dust ({} {} of {})", word, is.dustings, dustings, powder));
    }
    if other.bake.bake_min != own.bake.bake_min {
        let word = if other.bake.bake_min > own.bake.bake_min { "longer" } else { "shorter" };
        let minutes = quantity(other.bake.bake_min, Unit::Minutes, 1);
        all.push(sentence!("a {} bake of {}", word, minutes));
    }
    let neat = other.ink.base_parts + other.ink.reducer_parts == 0.0;
    if neat
        && (other.ink.base_parts, other.ink.reducer_parts)
            != (own.ink.base_parts, own.ink.reducer_parts)
    {
        all.push("neat black".into());
    }
    if other.ink.wipe != own.ink.wipe {
        all.push("a wipe by hand, less hard".into());
    }
    let last = all.pop().unwrap_or_default();
    all.into_iter()
        .reduce(|words, one| sentence!("{}, {}", words, one))
        .map_or_else(|| last.clone(), |words| sentence!("{} and {}", words, last.clone()))
}
