//! The causes, and how likely each is.
//!
//! Constants that the plan's calibration tells are known to a day's scatter, the others within their usual ranges, as calibration has
//! them; a cause widens what it stands for. Of a hundred proofs as many are taken to have gone so as `before` says (common practice,
//! no source); the readings change that by Bayes' rule.

use crate::calibration::camera::Camera;
use crate::calibration::forward::{FITTED, Forward};
use crate::calibration::model::{Extra, Grounds, KNOWN_LN, Model};
use crate::calibration::search::USUAL_NOISE_L;
use crate::calibration::solve::{Prints, Problem, Sought};
use crate::calibration::sway::Sways;
use crate::calibration::weigh::{Weighed, weigh_scattered};
use crate::calibration::{proof_plate, unfitted};
use crate::proof_causes::local::PlaceSeen;
use crate::proof_reading::{ProofReading, ValueReading};
use nalgebra::DVector;
use plan::{Diagnostic, Plan};
use plate::Refused;
use rand::RngExt;
use rand_distr::StandardNormal;
use rand_pcg::Pcg32;
use serde::{Deserialize, Serialize};

/// Places of the constants among those sought.
pub(super) const RATE: usize = 0;
pub(super) const ABSORPTION: usize = 1;
pub(super) const SURFACE: usize = 2;
pub(super) const OVERLAP: usize = 3;

/// How each value of a plan darkens with what may go otherwise: calculated once, then read off quickly.
pub struct ProofTables {
    pub(super) forward: Forward,
    pub(super) grounds: Option<Grounds>,
    pub(super) sways: Sways,
    /// Of the plate per value, paper first.
    pub(super) shares: Vec<f64>,
}

impl ProofTables {
    /// For a plan's own plate; `shares` of it per value, paper first, are those of its picture. What the plan's calibration says of bath
    /// and ink changes nothing in them.
    ///
    /// # Errors
    /// As [`proof_plate`].
    pub fn new(plan: &Plan, shares: &[f64]) -> Result<Self, Refused> {
        let bite_min: Vec<f64> = plan.bites.iter().map(|bite| bite.bite_min).collect();
        let lay = |plan: &Plan| proof_plate(plan, &bite_min, shares);
        let own = lay(&unfitted(plan))?;
        let forward = Forward::to_compare(&own)
            .map_err(|words| vec![Diagnostic::error("calibration", "fit.constant", words)])?;
        // Where half or twice the powder is no ground, other grounds are not asked about.
        let grounds = Grounds::to_differ(plan, &own, lay).ok();
        Ok(Self { forward, grounds, sways: Sways::new(&own)?, shares: shares.to_vec() })
    }
}

/// What one value of a proof reads.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
pub struct ValueSeen {
    /// L* read.
    pub lightness: f64,
    /// How good that is, L* (standard error), the camera left out.
    pub good_to_l: f64,
}

/// What a proof reads.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ts_rs::TS)]
pub struct ProofSeen {
    /// The paper where nothing was bitten, then every value of the plan; `null` was not read.
    pub values: Vec<Option<ValueSeen>>,
    /// The camera of the picture that they were read from, or `null` where an instrument read them.
    pub camera: Option<Camera>,
    /// Where the print is lighter or darker than its own values, place by place; empty where that is not known.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[ts(optional, as = "Option<Vec<PlaceSeen>>")]
    pub places: Vec<PlaceSeen>,
}

impl ProofSeen {
    /// What a photograph tells of each value; how far its camera may be off is told apart.
    #[must_use]
    pub fn of(reading: &ProofReading) -> Self {
        let seen = |value: &ValueReading| ValueSeen {
            lightness: value.lightness,
            good_to_l: value.scatter_l,
        };
        let values = reading.values.iter().map(|value| value.as_ref().map(seen)).collect();
        Self { values, camera: Some(reading.camera), places: reading.places.clone() }
    }
}

/// What went otherwise than planned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, ts_rs::TS)]
#[serde(tag = "what", rename_all = "snake_case")]
#[ts(rename = "ProofCause")]
pub enum Cause {
    /// Nothing: the readings scatter.
    Planned,
    /// The bath bit faster or slower, or the clock ran slow or fast all over.
    Bath,
    /// A bite ran long or short (counted from 0); without one, every bite by as much.
    Minutes {
        /// Which bite.
        bite: Option<usize>,
    },
    /// The ground covers more or less.
    Ground,
    /// The ink is stronger or weaker; `black` says that its darkest black is another.
    Ink {
        /// Whether it is the darkest black.
        black: bool,
    },
    /// The wipe went deeper or less deep into the pits; `film` says that it left more or less plate tone.
    Wiping {
        /// Whether it is the plate tone.
        film: bool,
    },
    /// The press took up more or less of the ink.
    Pressure,
    /// Bath and ink together.
    BathAndInk,
    /// Something else: one value (0 is the paper) stands out, or the readings go nowhere together.
    Otherwise {
        /// Which value.
        value: Option<usize>,
    },
}

/// Causes that are told as one: which bite it was, or how the wiping went otherwise, is a detail.
pub(super) const FAMILIES: usize = 9;

impl Cause {
    /// Its family.
    pub(super) fn family(self) -> usize {
        match self {
            Self::Planned => 0,
            Self::Bath => 1,
            Self::Minutes { .. } => 2,
            Self::Ground => 3,
            Self::Ink { .. } => 4,
            Self::Wiping { .. } => 5,
            Self::Pressure => 6,
            Self::BathAndInk => 7,
            Self::Otherwise { .. } => 8,
        }
    }
}

/// Of a hundred proofs, before anything is read.
mod before {
    pub(super) const PLANNED: f64 = 40.0;
    pub(super) const BATH: f64 = 15.0;
    pub(super) const ONE_BITE: f64 = 9.0;
    pub(super) const EVERY_BITE: f64 = 2.0;
    pub(super) const GROUND: f64 = 8.0;
    pub(super) const INK: f64 = 8.0;
    pub(super) const BLACK: f64 = 1.0;
    pub(super) const WIPE: f64 = 3.0;
    pub(super) const FILM: f64 = 3.0;
    pub(super) const PRESSURE: f64 = 3.0;
    pub(super) const BATH_AND_INK: f64 = 2.0;
    pub(super) const ONE_VALUE: f64 = 4.0;
    pub(super) const NOWHERE: f64 = 2.0;
}

/// Readings that go nowhere together scatter by this, L* (common practice, no source).
const NOWHERE_L: f64 = 4.0;
/// A constant that moves the readings by less than this on average (root of the mean square) explains nothing, L*.
const MOVES_L: f64 = 1.5;
/// Draws by which the likelihood that nobody knows the constants is shared out among them.
const DRAWS: usize = 400;
/// Stream of the plan's seed that they come from.
const STREAM: u64 = 25;

/// A proof whose values print otherwise with other constants: each value of the plan is a step, bare copper comes after
/// them. Readings that are known less well count for less.
pub(super) struct Proof<'a> {
    pub(super) model: Model<'a>,
    sways: &'a Sways,
    weight: &'a [f64],
}

impl Proof<'_> {
    /// L* that a step prints, or past the last bare copper.
    pub(super) fn print_l(&self, step: usize, constants: &[f64]) -> f64 {
        if step < self.model.forward.minutes.len() {
            self.model.print_l(step, constants)
        } else {
            self.model.bare_l(self.sways, constants)
        }
    }
}

impl Prints for Proof<'_> {
    fn lightness(&self, step: usize, constants: &[f64]) -> f64 {
        let mut l = self.print_l(step, constants);
        if let Some(camera) = &self.model.camera {
            l = camera.reads(l, self.model.forward.paper, self.model.of_camera(constants));
        }
        let slip = self.model.found(Extra::Slip(step), constants).unwrap_or(0.0);
        self.weight.get(step).copied().unwrap_or(1.0) * (l + slip)
    }
}

/// One assumption of what went otherwise.
#[derive(Clone, Debug)]
pub(super) struct Assumed {
    pub(super) cause: Cause,
    before: f64,
    wide: &'static [usize],
    extra: Option<Extra>,
    usual_l: f64,
}

impl Assumed {
    fn new(cause: Cause, before: f64, wide: &'static [usize], extra: Option<Extra>) -> Self {
        Self { cause, before, wide, extra, usual_l: USUAL_NOISE_L }
    }
}

/// An assumption, weighed.
pub(super) struct Tried {
    pub(super) assumed: Assumed,
    pub(super) share: f64,
    pub(super) weighed: Weighed,
}

/// A proof's readings, and what is known of them.
pub(super) struct Asked<'a> {
    base: Model<'a>,
    sways: &'a Sways,
    weight: Vec<f64>,
    /// Step and weighted L* of each reading.
    pub(super) readings: Vec<(usize, f64)>,
    pub(super) known: [Option<f64>; FITTED],
}

/// The value of a step: steps are values less one, bare copper comes last.
pub(super) fn value_of(step: usize, bites: usize) -> usize {
    if step == bites { 0 } else { step + 1 }
}

/// The step of a value.
pub(super) fn step_of(value: usize, bites: usize) -> usize {
    if value == 0 { bites } else { value - 1 }
}

impl<'a> Asked<'a> {
    pub(super) fn new(plan: &Plan, tables: &'a ProofTables, seen: &ProofSeen) -> Self {
        let ProofTables { forward, sways, .. } = tables;
        let bites = forward.minutes.len();
        let known = forward.keys.map(|key| plan.calibration.get(key).copied());
        let base = Model {
            forward,
            grounds: tables.grounds.as_ref(),
            extras: Vec::new(),
            camera: seen.camera,
            known: known.map(|value| value.map(|value| (value, KNOWN_LN))),
            sways: Some(sways),
        };
        let mut weight = vec![1.0; bites + 1];
        let mut readings = Vec::new();
        for (step, weight) in weight.iter_mut().enumerate() {
            if let Some(Some(one)) = seen.values.get(value_of(step, bites)) {
                let own = one.good_to_l.max(0.0) / USUAL_NOISE_L;
                *weight = 1.0 / libm::sqrt(1.0 + own * own);
                readings.push((step, *weight * one.lightness));
            }
        }
        Self { base, sways, weight, readings, known }
    }

    pub(super) fn proof(&self, assumed: &Assumed) -> Proof<'_> {
        let mut model = self.base.clone();
        for &i in assumed.wide {
            let usual = 0.25 * libm::log(model.forward.max[i] / model.forward.min[i]);
            if let Some((_, off_ln)) = &mut model.known[i] {
                *off_ln = libm::sqrt(*off_ln * *off_ln + usual * usual);
            }
        }
        model.extras.extend(assumed.extra);
        Proof { model, sways: self.sways, weight: &self.weight }
    }

    /// The same with no constant known, as whoever has no calibration sees it; and ready to be added to others.
    pub(super) fn knowing_nothing(&self) -> Self {
        let mut base = Model { known: [None; FITTED], ..self.base.clone() };
        let weight = self.weight.clone();
        let mut readings = self.readings.clone();
        if let Some(camera) = &mut base.camera {
            let before = *camera;
            *camera = before.of_usual_haze();
            for (step, l) in &mut readings {
                let own = weight[*step];
                *l = own * camera.reread(*l / own, &before, base.forward.paper);
            }
        }
        Self { base, sways: self.sways, weight, readings, known: [None; FITTED] }
    }

    /// All as planned.
    pub(super) fn planned() -> Assumed {
        Assumed::new(Cause::Planned, before::PLANNED, &[], None)
    }

    /// How well that explains the readings.
    pub(super) fn weigh_planned(&self) -> Weighed {
        let proof = self.proof(&Self::planned());
        let sought = proof.model.sought();
        let readings = &self.readings;
        let held = vec![None; sought.len()];
        let problem = Problem { prints: &proof, sought: &sought, readings, noise_l: 1.0, held };
        let ends: Vec<DVector<f64>> = problem.ends().into_iter().map(|(end, _)| end).collect();
        self.weigh(&proof, &sought, &ends, f64::NEG_INFINITY, USUAL_NOISE_L)
    }

    fn weigh(
        &self,
        proof: &Proof<'_>,
        sought: &[Sought],
        starts: &[DVector<f64>],
        best_ln: f64,
        usual_l: f64,
    ) -> Weighed {
        weigh_scattered(proof, sought, &self.readings, starts, best_ln, usual_l)
    }

    /// All that may have gone otherwise. What a constant that nobody knows does is found with it anyway.
    fn assumptions(&self) -> Vec<Assumed> {
        let bites = self.base.forward.minutes.len();
        let mut all = vec![Self::planned()];
        let mut add = |cause, before, wide: &'static [usize], extra: Option<Extra>| {
            if extra.is_some() || wide.iter().all(|&i| self.known[i].is_some()) {
                all.push(Assumed::new(cause, before, wide, extra));
            } else {
                all[0].before += before;
            }
        };
        add(Cause::Bath, before::BATH, &[RATE], None);
        add(Cause::Ink { black: false }, before::INK, &[ABSORPTION], None);
        add(Cause::Ink { black: true }, before::BLACK, &[SURFACE], None);
        add(Cause::Wiping { film: false }, before::WIPE, &[OVERLAP], None);
        add(Cause::BathAndInk, before::BATH_AND_INK, &[RATE, ABSORPTION], None);
        add(Cause::Wiping { film: true }, before::FILM, &[], Some(Extra::Film));
        add(Cause::Pressure, before::PRESSURE, &[], Some(Extra::Press));
        add(Cause::Minutes { bite: None }, before::EVERY_BITE, &[], Some(Extra::EveryBite));
        // A bite shows in the values that lay in it.
        for bite in 0..bites {
            if self.readings.iter().any(|&(step, _)| step >= bite && step < bites) {
                let share = before::ONE_BITE / bites as f64;
                let cause = Cause::Minutes { bite: Some(bite) };
                add(cause, share, &[], Some(Extra::Bite(bite)));
            }
        }
        if self.base.grounds.is_some() {
            add(Cause::Ground, before::GROUND, &[], Some(Extra::Ground));
        }
        for &(step, _) in &self.readings {
            let share = before::ONE_VALUE / self.readings.len() as f64;
            let cause = Cause::Otherwise { value: Some(value_of(step, bites)) };
            add(cause, share, &[], Some(Extra::Slip(step)));
        }
        all.push(Assumed {
            usual_l: NOWHERE_L,
            ..Assumed::new(Cause::Otherwise { value: None }, before::NOWHERE, &[], None)
        });
        all
    }

    /// Weighs every assumption: each with its share of the likelihood.
    pub(super) fn compare(&self) -> Vec<Tried> {
        let planned = self.weigh_planned();
        let mut best_ln = planned.ln;
        let mut tried = Vec::new();
        for assumed in self.assumptions() {
            let weighed = if assumed.cause == Cause::Planned {
                planned.clone()
            } else {
                let proof = self.proof(&assumed);
                let sought = proof.model.sought();
                let starts = starts(&planned.off, &assumed);
                self.weigh(&proof, &sought, &starts, best_ln, assumed.usual_l)
            };
            best_ln = best_ln.max(weighed.ln);
            let share = libm::log(assumed.before) + weighed.ln;
            tried.push(Tried { assumed, share, weighed });
        }
        let most = tried.iter().map(|one| one.share).fold(f64::NEG_INFINITY, f64::max);
        let sum: f64 = tried.iter().map(|one| libm::exp(one.share - most)).sum();
        for one in &mut tried {
            one.share = libm::exp(one.share - most) / sum;
        }
        tried
    }

    /// How the share of “as planned” is parted where constants are not known: to each the likelihood that it moves the readings most.
    pub(super) fn shared_out(&self, planned: &Tried, seed: u32) -> Vec<(Cause, f64)> {
        let causes = [
            Cause::Bath,
            Cause::Ink { black: false },
            Cause::Ink { black: true },
            Cause::Wiping { film: false },
        ];
        if self.known.iter().all(Option::is_some) {
            return vec![(Cause::Planned, planned.share)];
        }
        let proof = self.proof(&planned.assumed);
        let sought = proof.model.sought();
        let Weighed { off, covariance, .. } = &planned.weighed;
        let root = covariance.clone().cholesky().map(|root| root.l());
        let mut chance = Pcg32::new(seed.into(), STREAM);
        let mut counts = [0_u32; FITTED + 1];
        for _ in 0..DRAWS {
            let normal: Vec<f64> = (0..off.len()).map(|_| chance.sample(StandardNormal)).collect();
            let mut at = off.clone();
            if let Some(root) = &root {
                at += root * DVector::from_vec(normal);
            }
            let constants: Vec<f64> =
                sought.iter().zip(at.iter()).map(|(one, &off)| one.at(off)).collect();
            let moves = |i: usize| match self.known[i] {
                Some(_) => 0.0,
                None => self.moves_l(&proof, &constants, i, sought[i].in_force),
            };
            let most = (0..FITTED).fold((FITTED, MOVES_L), |most, i| {
                let own = moves(i);
                if own > most.1 { (i, own) } else { most }
            });
            counts[most.0] += 1;
        }
        let share = |count: u32| planned.share * f64::from(count) / DRAWS as f64;
        let mut all: Vec<(Cause, f64)> =
            causes.into_iter().zip(counts).map(|(cause, count)| (cause, share(count))).collect();
        all.push((Cause::Planned, share(counts[FITTED])));
        all
    }

    /// How far one constant moves what was read, L* (root of the mean square).
    fn moves_l(&self, proof: &Proof<'_>, constants: &[f64], i: usize, in_force: f64) -> f64 {
        let mut without = constants.to_vec();
        without[i] = in_force;
        let squares: f64 = self
            .readings
            .iter()
            .map(|&(step, _)| {
                let by_l = proof.print_l(step, constants) - proof.print_l(step, &without);
                by_l * by_l
            })
            .sum();
        libm::sqrt(squares / self.readings.len().max(1) as f64)
    }
}

/// Where a search begins: where all as planned has come to, with what is wider or added to either side.
fn starts(planned: &DVector<f64>, assumed: &Assumed) -> Vec<DVector<f64>> {
    let put = |sides: &[f64]| {
        let mut off = planned.clone();
        for (&i, &side) in assumed.wide.iter().zip(sides) {
            off[i] = side;
        }
        match (assumed.extra, assumed.wide) {
            (Some(_), []) => off.insert_row(FITTED, sides[0]),
            _ => off,
        }
    };
    match assumed.wide.len() + usize::from(assumed.extra.is_some()) {
        0 => vec![planned.clone()],
        1 => [0.0, 0.8, -0.8].map(|side| put(&[side])).to_vec(),
        _ => [[0.0, 0.0], [0.8, -0.8], [-0.8, 0.8], [0.8, 0.8], [-0.8, -0.8]]
            .map(|s| put(&s))
            .to_vec(),
    }
}
