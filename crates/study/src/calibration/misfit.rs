//! Systematic misfit told from scatter: named assumptions of what went otherwise than planned, each with its likelihood.
//!
//! Each assumption is weighed with all constants sought anew (`weigh.rs`). Beforehand as many of a hundred step plates are
//! taken to have gone so as `before` says (common practice, no source); the readings change that by Bayes' rule.

use crate::calibration::forward::FITTED;
use crate::calibration::model::{Extra, KNOWN_LN, Model};
use crate::calibration::solve::Problem;
use crate::calibration::verdict::ordinal;
use crate::calibration::weigh::{Weighed, weigh};
use nalgebra::DVector;
use plan::{Diagnostic, Sentence, Unit, quantity, sentence};
use serde::{Deserialize, Serialize};
use std::cell::Cell;

/// What may have gone otherwise than planned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ts_rs::TS)]
#[serde(tag = "what", rename_all = "snake_case")]
pub enum Otherwise {
    /// Nothing: the readings scatter.
    Planned,
    /// A camera bends or lifts the tones.
    Camera,
    /// A bite ran long or short; counted from 0.
    Bite {
        /// Which.
        bite: usize,
    },
    /// The ground has another cover than the plan's.
    Ground,
    /// Two readings have changed places.
    Swapped {
        /// One step, counted from 0.
        one: usize,
        /// The other.
        other: usize,
    },
    /// One reading is a slip.
    Slip {
        /// Which step, counted from 0.
        step: usize,
    },
}

/// An assumption that the readings speak for.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Finding {
    /// What went otherwise.
    pub what: Otherwise,
    /// How likely that is among the assumptions compared, 0–1.
    pub share: f64,
    /// The same in a sentence.
    pub said: Diagnostic,
    /// What is done about it with one press; empty when nothing can be.
    pub press: &'static str,
}

/// What the readings say of the assumptions.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Misfit {
    /// How likely it is that all went as planned and the readings scatter, 0–1.
    pub planned: f64,
    /// The same in a sentence.
    pub said: Sentence,
    /// What else is likely, the likeliest first.
    pub findings: Vec<Finding>,
}

/// Less likely than this nothing is named.
const NAMED: f64 = 0.2;
/// Most findings that are named.
const MOST: usize = 3;
/// Readings that differ by less than this are not thought to have changed places, L*.
const APART_L: f64 = 1.0;

/// Of a hundred plates, before anything is read: as planned; with a camera that bends tones, where there is one; one bite of
/// them long or short; another ground; two neighbours or any two readings swapped; one reading a slip.
mod before {
    pub(super) const PLANNED: f64 = 60.0;
    pub(super) const BITE: f64 = 14.0;
    pub(super) const GROUND: f64 = 10.0;
    pub(super) const NEIGHBOURS: f64 = 4.0;
    pub(super) const SWAPPED: f64 = 2.0;
    pub(super) const SLIP: f64 = 10.0;
}

/// Of a hundred plates in a shop with constants of its own so many are made with them, and not with another bath or ink.
const SAME_SHOP: f64 = 0.8;

/// One assumption, weighed.
struct Tried {
    what: Otherwise,
    ln: f64,
    weighed: Weighed,
}

/// Readings, and where searches begin, with constants that are free or known.
struct Asked<'a> {
    model: Model<'a>,
    readings: &'a [(usize, f64)],
    starts: Vec<DVector<f64>>,
    planned: Weighed,
    /// ln of the best so far.
    best_ln: Cell<f64>,
}

impl<'a> Asked<'a> {
    fn new(model: Model<'a>, readings: &'a [(usize, f64)]) -> Self {
        let sought = model.sought();
        let held = vec![None; sought.len()];
        let problem = Problem { prints: &model, sought: &sought, readings, noise_l: 1.0, held };
        let ends: Vec<DVector<f64>> = problem.ends().into_iter().map(|(end, _)| end).collect();
        let planned = weigh(&model, &sought, readings, &ends, f64::NEG_INFINITY);
        // Others begin where the plan's own valleys are.
        let mut starts = vec![planned.off.clone()];
        starts.extend(ends.into_iter().take(1));
        let best_ln = Cell::new(planned.ln);
        Self { model, readings, starts, planned, best_ln }
    }

    fn weigh(
        &self,
        model: &Model<'_>,
        readings: &[(usize, f64)],
        starts: &[DVector<f64>],
    ) -> Weighed {
        let weighed = weigh(model, &model.sought(), readings, starts, self.best_ln.get());
        self.best_ln.set(self.best_ln.get().max(weighed.ln));
        weighed
    }

    /// With something more that may be otherwise.
    fn with(&self, extra: Extra) -> Weighed {
        let other = self.model.with(extra);
        let place = FITTED + self.model.extras.len();
        let begin = [0.0, 0.8, -0.8].map(|off| self.planned.off.clone().insert_row(place, off));
        self.weigh(&other, self.readings, &begin)
    }

    /// With a camera that changes no tone.
    fn without_camera(&self) -> Weighed {
        let plain = Model { camera: None, ..self.model.clone() };
        let count = plain.sought().len();
        let start = |start: &DVector<f64>| start.rows(0, count).into_owned();
        let starts: Vec<DVector<f64>> = self.starts.iter().map(start).collect();
        self.weigh(&plain, self.readings, &starts)
    }

    /// With two readings in each other's place.
    fn swapped(&self, i: usize, j: usize) -> Weighed {
        let mut readings = self.readings.to_vec();
        (readings[i].1, readings[j].1) = (self.readings[j].1, self.readings[i].1);
        self.weigh(&self.model, &readings, &self.starts)
    }
}

/// Compares the assumptions. What the model already leaves open (a bite, the ground) is no longer asked. `known` are constants
/// of an earlier step plate: each assumption is weighed with them, and with others.
pub(crate) fn misfit(
    model: &Model<'_>,
    known: [Option<f64>; FITTED],
    readings: &[(usize, f64)],
) -> Misfit {
    let free = Asked::new(model.clone(), readings);
    let shop = known.iter().any(Option::is_some).then(|| {
        let known = known.map(|value| value.map(|value| (value, KNOWN_LN)));
        Asked::new(Model { known, ..model.clone() }, readings)
    });
    let all = readings.len() as f64;
    let mut tried = Vec::new();
    let mut add = |what, share: f64, how: &dyn Fn(&Asked<'_>) -> Weighed| {
        let (mut ln, mut weighed) = (libm::log(share), how(&free));
        match &shop {
            None => ln += weighed.ln,
            Some(shop) => {
                let own = how(shop);
                let (a, b) =
                    (libm::log(1.0 - SAME_SHOP) + weighed.ln, libm::log(SAME_SHOP) + own.ln);
                ln += a.max(b) + libm::log(1.0 + libm::exp(-(a - b).abs()));
                if b > a {
                    weighed = own;
                }
            }
        }
        tried.push(Tried { what, ln, weighed });
    };
    let planned = |asked: &Asked<'_>| asked.planned.clone();
    match model.camera {
        None => add(Otherwise::Planned, before::PLANNED, &planned),
        // Burnt-out paper is seen, and no matter of likelihood.
        Some(camera) if camera.burnt => add(Otherwise::Camera, before::PLANNED, &planned),
        Some(_) => {
            add(Otherwise::Planned, 0.5 * before::PLANNED, &|asked| asked.without_camera());
            add(Otherwise::Camera, 0.5 * before::PLANNED, &planned);
        }
    }
    // A bite shows in the steps that lay in it: without readings beyond it there is nothing to tell.
    let bites = model.forward.minutes.len();
    for bite in 0..bites {
        let extra = Extra::Bite(bite);
        if readings.iter().any(|&(step, _)| step >= bite) && !model.extras.contains(&extra) {
            let share = before::BITE / bites as f64;
            add(Otherwise::Bite { bite }, share, &|asked| asked.with(extra));
        }
    }
    if model.grounds.is_some() && !model.extras.contains(&Extra::Ground) {
        add(Otherwise::Ground, before::GROUND, &|asked| asked.with(Extra::Ground));
    }
    for &(step, _) in readings {
        let share = before::SLIP / all;
        add(Otherwise::Slip { step }, share, &|asked| asked.with(Extra::Slip(step)));
    }
    for (i, &(one, one_l)) in readings.iter().enumerate() {
        for (j, &(other, other_l)) in readings.iter().enumerate().skip(i + 1) {
            if (one_l - other_l).abs() < APART_L {
                continue;
            }
            let share = if j == i + 1 {
                before::NEIGHBOURS / (all - 1.0)
            } else {
                before::SWAPPED / (0.5 * (all - 1.0) * (all - 2.0))
            };
            add(Otherwise::Swapped { one, other }, share, &|asked| asked.swapped(i, j));
        }
    }
    told(model, readings, &tried, shop.is_some())
}

/// The shares, and what is worth a sentence.
fn told(model: &Model<'_>, readings: &[(usize, f64)], tried: &[Tried], shop_known: bool) -> Misfit {
    let most = tried.iter().map(|one| one.ln).fold(f64::NEG_INFINITY, f64::max);
    let sum: f64 = tried.iter().map(|one| libm::exp(one.ln - most)).sum();
    let mut misfit = Misfit { planned: 0.0, said: Sentence::default(), findings: Vec::new() };
    for one in tried {
        let share = libm::exp(one.ln - most) / sum;
        if matches!(one.what, Otherwise::Planned | Otherwise::Camera) {
            misfit.planned += share;
        }
        if share < NAMED || one.what == Otherwise::Planned {
            continue;
        }
        let (message, press) = words(model, readings, one, share);
        let field = match one.what {
            Otherwise::Slip { step } | Otherwise::Swapped { one: step, .. } => {
                format!("readings.{step}")
            }
            Otherwise::Bite { bite } => format!("bites.{bite}.bite_min"),
            Otherwise::Ground => "dust.powder_g_per_m2".to_owned(),
            Otherwise::Planned | Otherwise::Camera => "readings".to_owned(),
        };
        let said = Diagnostic::warning(field, code(one.what), message);
        let place = misfit.findings.iter().position(|other| other.share < share);
        let place = place.unwrap_or(misfit.findings.len());
        misfit.findings.insert(place, Finding { what: one.what, share, said, press });
    }
    misfit.findings.truncate(MOST);
    let all = if model.extras.is_empty() { "all" } else { "all else" };
    misfit.said = sentence!(
        "That {} went as planned, and the readings only scatter: {}.",
        all,
        in_ten(misfit.planned)
    );
    if model.grounds.is_some() && !shop_known {
        misfit.said = misfit.said.and("Whether the ground covers as planned one plate can hardly tell, since bath and ink make up for it; a later plate can, once these constants are in force.".into());
    }
    misfit
}

fn code(what: Otherwise) -> &'static str {
    match what {
        Otherwise::Planned => "fit.planned",
        Otherwise::Camera => "fit.camera",
        Otherwise::Bite { .. } => "fit.bite",
        Otherwise::Ground => "fit.ground",
        Otherwise::Swapped { .. } => "fit.swapped",
        Otherwise::Slip { .. } => "fit.slip",
    }
}

/// A share in words: never surer than nine in ten, since what was not compared may be so as well.
pub(crate) fn in_ten(share: f64) -> String {
    if share > 0.95 {
        "more than 9 in 10".to_owned()
    } else if share < 0.05 {
        "less than 1 in 10".to_owned()
    } else {
        format!("{:.0} in 10", (10.0 * share).clamp(1.0, 9.0))
    }
}

/// What is said of an assumption, and what is pressed.
fn words(
    model: &Model<'_>,
    readings: &[(usize, f64)],
    one: &Tried,
    share: f64,
) -> (Sentence, &'static str) {
    let values = &one.weighed.values;
    let found = |extra| model.with(extra).found(extra, values).unwrap_or_default();
    let likely = in_ten(share);
    match one.what {
        Otherwise::Planned => {
            (sentence!("All went as planned, and the readings scatter ({}).", likely), "")
        }
        Otherwise::Camera => {
            let (gamma, haze) =
                model.camera.map_or((1.0, 0.0), |camera| camera.found(model.of_camera(values)));
            let way = if gamma > 1.0 { "darkens" } else { "lightens" };
            let message = if haze > 0.005 && (gamma - 1.0).abs() < 0.05 {
                sentence!(
                    "Haze of {} in the picture seems to lighten its darks ({}).",
                    quantity(haze, Unit::Percent, 1),
                    likely
                )
            } else {
                sentence!(
                    "The camera’s tone curve seems to bend the tones: it {} the middle, γ {} ({}).",
                    way,
                    quantity(gamma, Unit::Count, 2),
                    likely
                )
            };
            (message, "")
        }
        Otherwise::Bite { bite } => {
            let by_min = found(Extra::Bite(bite));
            let way = if by_min < 0.0 { "short" } else { "long" };
            let decimals = u8::from(by_min.abs() < 2.0);
            let message = sentence!(
                "The {} bite seems to have run about {} {} ({}).",
                ordinal(bite),
                quantity(by_min.abs(), Unit::Minutes, decimals),
                way,
                likely
            );
            (message, "Find its minutes, too")
        }
        Otherwise::Ground => {
            let times = found(Extra::Ground);
            let cover = model.grounds.map_or(0.0, |grounds| grounds.cover(times));
            let planned = model.grounds.map_or(0.0, |grounds| grounds.planned_cover());
            let message = sentence!(
                "The ground seems to cover {} than the plan’s, about {} instead of {} ({}).",
                if cover > planned { "more" } else { "less" },
                quantity(cover, Unit::Percent, 0),
                quantity(planned, Unit::Percent, 0),
                likely
            );
            (message, "Find its cover, too")
        }
        Otherwise::Swapped { one, other } => {
            let message = sentence!(
                "The readings of steps {} and {} seem to have changed places ({}).",
                one + 1,
                other + 1,
                likely
            );
            (message, "Change them back")
        }
        Otherwise::Slip { step } => {
            let read = readings.iter().find(|(at, _)| *at == step).map_or(0.0, |(_, l)| *l);
            let off = found(Extra::Slip(step));
            let message = sentence!(
                "Step {} seems misread: {} where the others have about {} ({}).",
                step + 1,
                quantity(read, Unit::Lightness, 0),
                quantity(read - off, Unit::Lightness, 0),
                likely
            );
            (message, "Leave it out")
        }
    }
}
