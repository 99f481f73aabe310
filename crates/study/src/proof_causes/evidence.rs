//! What proofs tell of a shop's own constants, one by one, and all together.
//!
//! A proof's finding is kept as a normal distribution of ln of the constants (ln of the constants is taken to be as good as straight), found with no constant known beforehand. Together they multiply: each widened by the scatter of a day, each counted
//! for as much as it is likely that nothing but bath, ink and wiping went otherwise in it. What all of them were found beside, the
//! usual range of a constant, is taken off each and put in once.

use crate::calibration::forward::{FITTED, TOLD};
use crate::calibration::model::KNOWN_LN;
use crate::calibration::solve::Sought;
use crate::proof_causes::causes::{Asked, Cause, Tried};
use crate::tolerance::CalibratedLimits;
use nalgebra::{DMatrix, DVector};
use plan::Plan;
use plate::constants::Constants;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// 95 % limits lie so many deviations off.
const LIMITS: f64 = 1.96;
/// That ln is not as straight as it is taken to be makes deviations so many times wider: without it limits held in 222 of 240
/// synthetic shops' constants.
const BENT: f64 = 1.2;
/// Left with more than this share of its usual deviation, a constant has hardly been told.
const HARDLY: f64 = 0.6;

/// What one proof tells of the shop's constants.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
pub struct Evidence {
    /// Whose it is: a name that orders and tells proofs apart, given by whoever keeps them.
    #[serde(default)]
    pub id: String,
    /// Names of the constants.
    pub keys: Vec<String>,
    /// ln of each.
    pub mean_ln: Vec<f64>,
    /// Row by row their covariance.
    pub covariance_ln: Vec<f64>,
    /// How much it counts: how likely it is that nothing but those constants went otherwise, 0–1.
    pub weight: f64,
    /// Powder of the plan, g/m².
    pub powder_g_per_m2: f64,
    /// Minutes of its bites.
    pub bite_min: Vec<f64>,
}

/// One constant of a shop.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct LearnedConstant {
    /// Its name.
    pub key: &'static str,
    /// What it is.
    pub meaning: &'static str,
    /// Unit.
    pub unit: &'static str,
    /// The shop's own mean.
    pub value: f64,
    /// Lower 95 % limit.
    pub low: f64,
    /// Upper 95 % limit.
    pub high: f64,
    /// The value built in.
    pub built_in: f64,
    /// Whether the proofs tell it; if not, it stays near what is built in.
    pub told: bool,
}

/// What all proofs tell.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Learned {
    /// How many proofs, each for as much as it counts.
    pub proofs: f64,
    /// The constants.
    pub constants: Vec<LearnedConstant>,
    /// The same, to take into a plan.
    pub calibration: BTreeMap<String, f64>,
    /// How sure they are, for bands: of the shop's mean, a day's scatter left out.
    pub limits: CalibratedLimits,
}

/// A constant that proofs tell, in its usual range.
struct Usual {
    key: &'static str,
    sought: Sought,
    /// ln of the value built in, and how far it is usually off.
    ln: f64,
    deviation: f64,
}

fn usual() -> Vec<Usual> {
    let catalogue = Constants::catalogue();
    let found = TOLD.iter().filter_map(|key| catalogue.iter().find(|info| info.key == *key));
    found
        .map(|info| {
            let sought = Sought::new(info.key, info.default, (info.min, info.max));
            let deviation = sought.scaled(1.0);
            Usual { key: info.key, sought, ln: libm::log(info.default), deviation }
        })
        .collect()
}

impl Evidence {
    /// Of a proof whose causes have been compared, found anew as whoever knows nothing sees it.
    pub(super) fn of(plan: &Plan, asked: &Asked<'_>, tried: &[Tried]) -> Self {
        let weighed = asked.weigh_planned();
        let sought = asked.proof(&Asked::planned()).model.sought();
        let four = sought.get(..FITTED).unwrap_or(&[]);
        let scaled = |i: usize, j: usize| four[i].scaled(1.0) * four[j].scaled(1.0);
        let places = 0..four.len();
        let covariance_ln = places
            .clone()
            .flat_map(|i| places.clone().map(move |j| (i, j)))
            .map(|(i, j)| scaled(i, j) * weighed.covariance[(i, j)])
            .collect();
        let amiss = |cause: Cause| {
            matches!(
                cause,
                Cause::Minutes { .. }
                    | Cause::Ground
                    | Cause::Pressure
                    | Cause::Wiping { film: true }
                    | Cause::Otherwise { .. }
            )
        };
        let amiss: f64 =
            tried.iter().filter(|one| amiss(one.assumed.cause)).map(|one| one.share).sum();
        Self {
            id: String::new(),
            keys: four.iter().map(|one| one.key.to_owned()).collect(),
            mean_ln: weighed
                .values
                .iter()
                .take(four.len())
                .map(|value| libm::log(*value))
                .collect(),
            covariance_ln,
            weight: (1.0 - amiss).clamp(0.0, 1.0),
            powder_g_per_m2: plan.dust.powder_g_per_m2,
            bite_min: plan.bites.iter().map(|bite| bite.bite_min).collect(),
        }
    }

    /// Whether it is taken before another: by its name, then by its numbers.
    fn before(&self, other: &Self) -> bool {
        let numbers = |one: &'_ Self| -> Vec<u64> {
            one.mean_ln.iter().chain(&one.covariance_ln).map(|number| number.to_bits()).collect()
        };
        (&self.id, numbers(self)) < (&other.id, numbers(other))
    }

    /// What it adds to the information of all constants, and to information times mean: none if its numbers do not fit together.
    fn told(&self, usual: &[Usual]) -> Option<(DMatrix<f64>, DVector<f64>)> {
        let count = self.keys.len();
        if self.mean_ln.len() != count || self.covariance_ln.len() != count * count || count == 0 {
            return None;
        }
        let place = |key: &String| usual.iter().position(|one| one.key == key);
        let places: Vec<usize> = self.keys.iter().map(place).collect::<Option<_>>()?;
        let covariance = DMatrix::from_row_slice(count, count, &self.covariance_ln);
        let with = covariance.try_inverse()?;
        // The range that it was found beside is taken off: what is left is the readings' own.
        let mut told = with.clone();
        let off = DVector::from_iterator(
            count,
            self.mean_ln.iter().zip(&places).map(|(ln, &at)| ln - usual[at].ln),
        );
        let pull = &with * off;
        for (i, &at) in places.iter().enumerate() {
            told[(i, i)] -= 1.0 / (usual[at].deviation * usual[at].deviation);
        }
        // A day's scatter, without an inverse of what tells nothing of some constant.
        let day = DMatrix::identity(count, count) + KNOWN_LN * KNOWN_LN * &told;
        let day = day.try_inverse()?;
        let (told, pull) = (self.weight * (&told * &day), self.weight * (&day * pull));
        let all = usual.len();
        let (mut information, mut sum) = (DMatrix::zeros(all, all), DVector::zeros(all));
        for (i, &at) in places.iter().enumerate() {
            sum[at] += pull[i];
            for (j, &other) in places.iter().enumerate() {
                // Kept even either way, whatever the last bits.
                information[(at, other)] += 0.5 * (told[(i, j)] + told[(j, i)]);
            }
        }
        let sound = information.iter().chain(sum.iter()).all(|number: &f64| number.is_finite());
        sound.then_some((information, sum))
    }
}

/// The shop's own constants from all its proofs. In whatever order they come, the answer has the same bits: they are taken by their
/// `id`, and then by their numbers. One more or less is the list with it or without it.
#[must_use]
pub fn learn(proofs: &[Evidence]) -> Learned {
    let usual = usual();
    let all = usual.len();
    let mut ordered: Vec<&Evidence> = Vec::new();
    for proof in proofs {
        let after = |other: &&Evidence| proof.before(other);
        let place = ordered.iter().position(after).unwrap_or(ordered.len());
        ordered.insert(place, proof);
    }
    let mut information = DMatrix::zeros(all, all);
    let mut sum = DVector::zeros(all);
    let mut touched = vec![false; all];
    let mut counted = 0.0;
    for proof in ordered {
        let Some((told, pull)) = proof.told(&usual) else { continue };
        information += told;
        sum += pull;
        counted += proof.weight;
        for (touched, one) in touched.iter_mut().zip(&usual) {
            *touched |= proof.keys.iter().any(|key| key == one.key);
        }
    }
    for (i, one) in usual.iter().enumerate() {
        information[(i, i)] += 1.0 / (one.deviation * one.deviation);
    }
    let covariance = information.clone().try_inverse();
    let covariance = covariance.unwrap_or_else(|| DMatrix::identity(all, all));
    let off = &covariance * sum;
    let covariance = BENT * BENT * covariance;
    let catalogue = Constants::catalogue();
    let named: Vec<usize> = (0..all).filter(|&i| touched[i]).collect();
    let constants: Vec<LearnedConstant> = named
        .iter()
        .map(|&i| {
            let Usual { key, sought, ln, deviation } = &usual[i];
            let info = catalogue.iter().find(|info| info.key == *key);
            let own = libm::sqrt(covariance[(i, i)].max(0.0));
            let at = |ln: f64| libm::exp(ln).clamp(sought.min, sought.max);
            let value = ln + off[i];
            LearnedConstant {
                key,
                meaning: info.map_or("", |info| info.meaning),
                unit: info.map_or("", |info| info.unit),
                value: at(value),
                low: at(value - LIMITS * own),
                high: at(value + LIMITS * own),
                built_in: sought.in_force,
                told: own < HARDLY * deviation,
            }
        })
        .collect();
    let count = named.len();
    let own = DMatrix::from_fn(count, count, |i, j| covariance[(named[i], named[j])]);
    let root = own.cholesky().map_or_else(|| DMatrix::zeros(count, count), |root| root.l());
    let ln_factor = (0..count * count).map(|k| root[(k / count, k % count)]).collect();
    let mut calibration = BTreeMap::new();
    calibration.extend(constants.iter().map(|one| (one.key.to_owned(), one.value)));
    let keys = constants.iter().map(|one| one.key.to_owned()).collect();
    Learned {
        proofs: counted,
        constants,
        calibration,
        limits: CalibratedLimits { keys, ln_factor },
    }
}
