//! Exercises: one fault of a set, the same for everybody who has the link.

use super::places::{ValuesAt, fault_anywhere, middle_mm, shows_from};
use plan::{FAULT_KINDS, Fault, FaultKind, Plan};
use rand::RngExt;
use rand_pcg::Pcg32;
use serde::Serialize;

/// Fewest kinds to guess among.
pub const FEWEST_KINDS: usize = 2;
/// The stream of random numbers that exercises draw from.
const STREAM: u64 = 0x6661_756c;
/// A small bath, so that a back that lies open is felt.
const BATH_L: f64 = 0.2;
/// How bad the fault of an exercise is at least: it is to be found.
const EXERCISE_SIZE: f64 = 0.7;
/// What is looked at to begin with, mm across, and how far the fault lies off its middle at most, as a share of that.
const LOOK_MM: f64 = 56.0;
const OFF_MIDDLE: f64 = 0.22;
/// Letters of a code: no two that are taken for each other.
const LETTERS: &[u8; 32] = b"23456789abcdefghjkmnpqrstuvwxyz0";

/// Which kinds may come up, and which of the exercises on them it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ExerciseSet {
    /// The number of the exercise.
    pub seed: u32,
    /// In the order of the bench.
    pub kinds: Vec<FaultKind>,
}

/// One exercise.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Exercise {
    /// What went wrong.
    pub fault: Fault,
    /// What one may guess among, in the order of the bench.
    pub kinds: Vec<FaultKind>,
    /// Where it shows, mm on the print.
    pub shows_x_mm: f64,
    /// The same from the top.
    pub shows_y_mm: f64,
    /// Middle of what is looked at to begin with, mm on the print.
    pub look_x_mm: f64,
    /// The same from the top.
    pub look_y_mm: f64,
    /// How wide that is, mm.
    pub look_mm: f64,
    /// The code of the next one of the same set.
    pub next: String,
}

/// The perfect plate of every exercise.
#[must_use]
pub fn exercise_plan() -> Plan {
    let mut plan = Plan::default();
    plan.bath.volume_l = BATH_L;
    plan
}

impl ExerciseSet {
    /// A set of these kinds, each once; nothing where there are too few to guess among.
    #[must_use]
    pub fn new(seed: u32, wanted: &[FaultKind]) -> Option<Self> {
        let kinds: Vec<_> = FAULT_KINDS.into_iter().filter(|kind| wanted.contains(kind)).collect();
        (kinds.len() >= FEWEST_KINDS).then_some(Self { seed, kinds })
    }

    /// The code that stands in a link. It holds seed and set and does not tell the answer.
    #[must_use]
    pub fn code(&self) -> String {
        let mask = FAULT_KINDS
            .iter()
            .enumerate()
            .filter(|(_, kind)| self.kinds.contains(kind))
            .fold(0_u64, |mask, (place, _)| mask | 1 << place);
        format!("{}-{}", letters(self.seed.into()), letters(mask))
    }

    /// The set of a code.
    #[must_use]
    pub fn of_code(code: &str) -> Option<Self> {
        let (seed, mask) = code.split_once('-')?;
        let (seed, mask) = (u32::try_from(number(seed)?).ok()?, number(mask)?);
        // A kind that this program does not know is no reason to ask another question than the link's.
        if mask >> FAULT_KINDS.len() != 0 {
            return None;
        }
        let kinds: Vec<_> = (0..FAULT_KINDS.len())
            .filter(|place| mask >> place & 1 == 1)
            .map(|place| FAULT_KINDS[place])
            .collect();
        Self::new(seed, &kinds)
    }

    /// The kind that comes up. So many exercises one after another as there are kinds have each of them once.
    #[must_use]
    pub fn kind(&self) -> FaultKind {
        let count = self.kinds.len() as u32;
        let mut order = self.kinds.clone();
        let mut chance = Pcg32::new((self.seed / count).into(), STREAM);
        for last in (1..order.len()).rev() {
            order.swap(last, chance.random_range(0..=last as u32) as usize);
        }
        order[(self.seed % count) as usize]
    }

    /// The exercise on a plan's plate.
    #[must_use]
    pub fn exercise(&self, plan: &Plan, map: &ValuesAt<'_>) -> Exercise {
        let mut chance = Pcg32::new(self.seed.into(), STREAM + 1);
        let place: f64 = chance.random();
        let least = EXERCISE_SIZE.max(shows_from(self.kind()));
        let size = least + (1.0 - least) * chance.random::<f64>();
        let shape = chance.random_range(0..10_000);
        let mut fault = fault_anywhere(plan, map, self.kind(), place, shape);
        fault.size = libm::round(size * 20.0) / 20.0;
        let (x, y) = middle_mm(&fault);
        let off = |by: f64| OFF_MIDDLE * LOOK_MM * (2.0 * by - 1.0);
        let (off_x, off_y) = (off(chance.random()), off(chance.random()));
        let within = |mm: f64, side: f64| {
            let half = LOOK_MM.min(side) / 2.0;
            mm.max(half).min(side - half)
        };
        Exercise {
            fault,
            kinds: self.kinds.clone(),
            shows_x_mm: x,
            shows_y_mm: y,
            look_x_mm: within(x + off_x, plan.plate.width_mm),
            look_y_mm: within(y + off_y, plan.plate.height_mm),
            look_mm: LOOK_MM,
            next: Self { seed: self.seed.wrapping_add(1), kinds: self.kinds.clone() }.code(),
        }
    }
}

/// A number in letters, the lowest first.
fn letters(mut number: u64) -> String {
    let mut text = String::new();
    loop {
        text.push(char::from(LETTERS[(number & 31) as usize]));
        number >>= 5;
        if number == 0 {
            return text;
        }
    }
}

fn number(text: &str) -> Option<u64> {
    if text.is_empty() || text.len() > 12 {
        return None;
    }
    text.bytes().rev().try_fold(0_u64, |sum, letter| {
        let digit = LETTERS.iter().position(|&one| one == letter.to_ascii_lowercase())?;
        Some(sum << 5 | digit as u64)
    })
}
