//! Two step plates of one shop under grounds of unlike cover: how much faster a closer ground bites.
//!
//! The model has the rate v = v₀·(0.5 / open share)^m (`plate::bite::rate::open_factor`). One step plate tells v₀·(0.5 / its
//! open share)^m and no more; a second one that lies more open, or less, tells m. What both print besides, the strength
//! of the ink, its darkest black and the depth of the wipe, is one and the same. So all five are sought together.
//!
//! No shop knows its covers exactly, and a cover that is not the plan's changes both the tone at a depth and the rate: the
//! powder of each plate is sought as well, and asked to be the plan's to a twentieth (standard deviation). That widens
//! the limits by what it is worth. For it each plate has two tables, of its own powder and of a tenth more.

use super::forward::Forward;
use super::search::{Found, MOST_NOISE_L, odd_reading, rms, search};
use super::solve::{Prints, Sought};
use super::sure::{Sure, steps, sure};
use super::{Fitted, StepFit, step_plate, unfitted};
use crate::tolerance::CalibratedLimits;
use plan::{Diagnostic, Plan, Unit, quantity, sentence};
use plate::bite::{BiteConstants, rate::open_factor};
use plate::{Plate, Refused};
use serde::Serialize;
use std::collections::BTreeMap;

/// The constant that two covers tell besides those of one plate.
const POWER: &str = "bite.open_share_power";
/// Constants that are reported; the powders follow them.
pub const TOLD: usize = 5;
/// A tenth more powder.
const MORE: f64 = 1.1;
/// ln of the powder of a plate is the plan's within twice that (two standard deviations): ± 0.1.
const POWDER_LN: f64 = 0.1;
/// Plates whose open shares differ by less than this many times tell nothing.
const LEAST_TIMES: f64 = 1.2;
/// A closer plate's open share, for the example in words: against half open.
const QUARTER: f64 = 0.25;
const NAMES: [&str; 2] = ["first", "second"];

/// How the steps of two step plates darken with the five constants, and with the powder of each.
pub struct Covers {
    plates: [Steps; 2],
    sought: Vec<Sought>,
}

/// One of them.
struct Steps {
    /// With the plan's powder, and with a tenth more; each with half over the share that its ground leaves open.
    forwards: [(Forward, f64); 2],
    open_share: f64,
    powder_g_per_m2: f64,
    /// The power that the tables were calculated with.
    power: f64,
}

/// What two step plates tell.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct CoversFit {
    /// The constants: those of a step plate, and `bite.open_share_power`.
    pub constants: Vec<Fitted>,
    /// The two plates.
    pub plates: Vec<CoverSteps>,
    /// What the readings scatter round the two curves, L* (standard deviation).
    pub noise_l: f64,
    /// Values such as those read print within this of what is calculated, L* (95 %, widest of the steps).
    pub good_to_l: f64,
    /// What it comes to, in sentences: what was found, what it can't tell and what would help.
    pub verdict: Vec<String>,
    /// Constants to take into a plan, together.
    pub calibration: BTreeMap<String, f64>,
    /// Their limits, for bands.
    pub limits: CalibratedLimits,
}

/// One of the two plates, as it was read and as it is printed with the constants found.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct CoverSteps {
    /// Share of the copper under resin, 0–1.
    pub cover: f64,
    /// Powder of its plan, g/m².
    pub powder_g_per_m2: f64,
    /// The steps.
    pub steps: Vec<StepFit>,
}

impl Covers {
    /// For two step plates as they were bitten: plan and minutes of each.
    ///
    /// # Errors
    /// As [`plate::Plate::of`], and sentences: plates printed with unlike ink, or of nearly the same cover.
    pub fn new(read: [(&Plan, &[f64]); 2]) -> Result<Self, Refused> {
        let [first, second] = read;
        if first.0.ink != second.0.ink || first.0.paper != second.0.paper {
            let message = "The two step plates were printed with another ink, wipe or paper: then nothing tells bite and ink apart.";
            return Err(vec![
                Diagnostic::error("covers", "covers.ink", message)
                    .hint("Print both alike, and set both plans so."),
            ]);
        }
        let plates = [Steps::of(first.0, first.1)?, Steps::of(second.0, second.1)?];
        let [a, b] = [plates[0].open_share, plates[1].open_share];
        if a.max(b) < LEAST_TIMES * a.min(b) {
            let cover = |open_share: f64| quantity(1.0 - open_share, Unit::Percent, 0);
            let message = sentence!(
                "The two plans’ grounds cover nearly alike, {} and {}: that tells nothing of how cover hastens the bite.",
                cover(a),
                cover(b)
            );
            return Err(vec![
                Diagnostic::error("covers", "covers.alike", message).hint(
                    "Half or twice the powder is enough. Is each plan set to its own powder?",
                ),
            ]);
        }
        let powder = Sought::new("powder", 1.0, (libm::exp(-POWDER_LN), libm::exp(POWDER_LN)));
        let power = BiteConstants::CATALOGUE.iter().find(|info| info.key == POWER);
        let range = power.map_or((0.0, 1.0), |info| (info.min, info.max));
        let mut sought = plates[0].forwards[0].0.sought().to_vec();
        sought.extend([Sought::new(POWER, plates[0].power, range), powder, powder]);
        Ok(Self { plates, sought })
    }

    /// L* of the steps of both plates with these constants, in the order of [`CoversFit::constants`], and so many times the
    /// powder of each plan.
    #[must_use]
    pub fn printed(&self, constants: [f64; TOLD], powder: [f64; 2]) -> [Vec<f64>; 2] {
        let [rate, absorption, surface, overlap, power] = constants;
        let four = [rate, absorption, surface, overlap];
        [0, 1].map(|i| {
            let plate = &self.plates[i];
            let each = 0..plate.count();
            each.map(|step| plate.lightness(step, four, power, powder[i])).collect()
        })
    }
}

impl Steps {
    fn of(plan: &Plan, bite_min: &[f64]) -> Result<Self, Refused> {
        let mut plan = unfitted(plan);
        let power = BiteConstants::default().open_share_power;
        plan.calibration.insert(POWER.to_owned(), power);
        let forward = |plan: &Plan| -> Result<(Forward, f64, f64), Refused> {
            let plate: Plate = step_plate(plan, bite_min)?;
            let forward = Forward::for_wider_rates(&plate)
                .map_err(|words| vec![Diagnostic::error("covers", "covers.constant", words)])?;
            let open_share = plate.ground().profile().open_share();
            let alone = BiteConstants { open_share_power: 1.0, ..BiteConstants::default() };
            Ok((forward, open_factor(open_share, &alone), open_share))
        };
        let powder_g_per_m2 = plan.dust.powder_g_per_m2;
        let (own, half_over_open, open_share) = forward(&plan)?;
        plan.dust.powder_g_per_m2 *= MORE;
        let (more, half_over_more, _) = forward(&plan)?;
        let forwards = [(own, half_over_open), (more, half_over_more)];
        Ok(Self { forwards, open_share, powder_g_per_m2, power })
    }

    fn count(&self) -> usize {
        self.forwards[0].0.minutes.len()
    }

    /// L* of a step with the rate, absorption, surface and overlap, the power and so many times the powder.
    fn lightness(&self, step: usize, four: [f64; 4], power: f64, powder: f64) -> f64 {
        let [own, more] = &self.forwards;
        let printed = |(forward, half_over_open): &(Forward, f64)| {
            let [rate, absorption, surface, overlap] = four;
            let rate = rate * libm::pow(*half_over_open, power - self.power);
            forward.lightness(step, [rate, absorption, surface, overlap])
        };
        let own = printed(own);
        own + (printed(more) - own) * libm::log(powder) / libm::log(MORE)
    }
}

impl Prints for Covers {
    fn lightness(&self, step: usize, constants: &[f64]) -> f64 {
        let &[rate, absorption, surface, overlap, power, ref powders @ ..] = constants else {
            return f64::NAN;
        };
        let (plate, step) = self.place_of(step);
        let four = [rate, absorption, surface, overlap];
        self.plates[plate].lightness(step, four, power, powders[plate])
    }
}

/// Finds the constants from what was read of both plates, L*.
///
/// # Errors
/// Sentences: too few readings, or plates that no constants print.
pub fn fit_covers(
    covers: &Covers,
    read_l: [&[Option<f64>]; 2],
) -> Result<CoversFit, Vec<Diagnostic>> {
    let fewest = super::readings::FEWEST;
    for (i, (read, plate)) in read_l.iter().zip(&covers.plates).enumerate() {
        if read.len() != plate.count() || read.iter().flatten().count() < fewest {
            let message = sentence!(
                "Of the {} step plate there must be a reading, or a gap, for each of its {} steps, and {} readings at least.",
                NAMES[i],
                plate.count(),
                fewest
            );
            return Err(vec![Diagnostic::error("readings", "count", message)]);
        }
    }
    let mut all = read_l[0].to_vec();
    all.extend_from_slice(read_l[1]);
    let readings: Vec<(usize, f64)> =
        all.iter().enumerate().filter_map(|(step, l)| l.map(|l| (step, l))).collect();
    let found = search(covers, &covers.sought, &readings)?;
    let odd = odd_reading(covers, &covers.sought, &readings, &found)
        .map(|(step, off)| covers.odd(step - 1, off));
    let miss = rms(&found.misses);
    if miss > MOST_NOISE_L {
        let message = sentence!(
            "With no constants in their plausible range do these two plans print such steps: the nearest curves miss by {} on average.",
            quantity(miss, Unit::Lightness, 0)
        );
        let mut words = vec![Diagnostic::error("readings", "covers.no_such_plates", message).hint(
            "Is each plan the one of its plate: powder, bath, minutes? Have the plates changed places?",
        )];
        words.extend(odd);
        return Err(words);
    }
    let sure = sure(covers, &covers.sought, &readings, &found, TOLD, 0);
    Ok(covers.report(&found, sure, &all, odd))
}

impl Covers {
    /// The plate and the step on it of one of all steps, the first plate's first.
    fn place_of(&self, step: usize) -> (usize, usize) {
        let first = self.plates[0].count();
        if step < first { (0, step) } else { (1, step - first) }
    }

    /// A reading that does not go with the others.
    fn odd(&self, step: usize, off: f64) -> Diagnostic {
        let (plate, step) = self.place_of(step);
        let message = sentence!(
            "Step {} of the {} plate reads {} {} than the others would have it.",
            step + 1,
            NAMES[plate],
            quantity(off.abs(), Unit::Lightness, 0),
            if off > 0.0 { "lighter" } else { "darker" }
        );
        Diagnostic::warning("readings", "readings.odd", message)
            .hint("Look at it again, or leave it out.")
    }

    fn report(
        &self,
        found: &Found,
        sure: Sure,
        read_l: &[Option<f64>],
        odd: Option<Diagnostic>,
    ) -> CoversFit {
        let minutes = self.plates.iter().flat_map(|plate| &plate.forwards[0].0.minutes);
        let read: Vec<(f64, Option<f64>)> = minutes.copied().zip(read_l.iter().copied()).collect();
        let mut every = steps(self, &self.sought, found, sure.wide, &read);
        let read_steps = every.iter().filter(|step| step.read_l.is_some());
        let good_to_l = read_steps.fold(0.0, |most, step| f64::max(most, step.good_to_l));
        let rest = every.split_off(self.plates[0].count());
        let plates = self.plates.iter().zip([every, rest]);
        let plates: Vec<CoverSteps> = plates
            .map(|(plate, steps)| CoverSteps {
                cover: 1.0 - plate.open_share,
                powder_g_per_m2: plate.powder_g_per_m2,
                steps,
            })
            .collect();
        let mut verdict = verdict(&sure.constants[TOLD - 1], &plates, found.noise_l);
        verdict.extend(odd.map(|odd| odd.to_string()));
        CoversFit {
            constants: sure.constants,
            plates,
            noise_l: found.noise_l,
            good_to_l,
            verdict,
            calibration: sure.calibration,
            limits: sure.limits,
        }
    }
}

/// What it comes to.
fn verdict(power: &Fitted, plates: &[CoverSteps], noise_l: f64) -> Vec<String> {
    let times = |power: f64| libm::pow(0.5 / QUARTER, power);
    let percent = |plate: &CoverSteps| 100.0 * plate.cover;
    let mut words = vec![if power.told {
        format!(
            "A ground that leaves a quarter of the copper open bites {:.2} times as fast as one that leaves half (95 % limits {:.2} to {:.2}; built in {:.2}): the power of the open share is {:.2}.",
            times(power.value),
            times(power.low),
            times(power.high),
            times(power.in_force),
            power.value
        )
    } else {
        format!(
            "These two plates say little about how much faster a closer ground bites: one that leaves a quarter of the copper open may bite {:.2} to {:.2} times as fast as one that leaves half. Covers further apart than {:.0} % and {:.0} %, and more steps read more closely, tell more.",
            times(power.low),
            times(power.high),
            percent(&plates[0]),
            percent(&plates[1])
        )
    }];
    if power.at_end {
        words.push(
            "It would have to lie beyond what is plausible and is kept at the end of its range: did both plates lie in one bath, and is each plan set to its own powder?"
                .to_owned(),
        );
    }
    words.push(format!(
        "The readings scatter by {noise_l:.1} L* round the two curves. Each plan’s powder is taken to be right to a tenth; that is in the limits."
    ));
    words.push(
        "What these plates can’t tell: a bath that was warmer, fresher or more moved for one of them than its plan says looks just like an open share that counts for more or less."
            .to_owned(),
    );
    words
}
