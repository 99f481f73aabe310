//! Test strips: the steps of what is varied in a plan, and the plans of the patches.

use crate::choices::CHOICES;
use crate::fields::{FIELDS, Part};
use crate::types::Plan;
use crate::{BITES_PER_MIN, field, vary};
use serde::{Deserialize, Serialize};

/// Fewest patches along a side.
pub const LEAST_PATCHES: usize = 2;
/// Most patches along a side.
pub const MOST_PATCHES: usize = 9;

/// Step of minutes, and of what tools take down in µm.
const QUARTER: f64 = 1.0 / BITES_PER_MIN;

/// Where a number or a choice stands.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, ts_rs::TS)]
#[serde(untagged)]
pub enum At<'a> {
    /// A number.
    Number(f64),
    /// A choice, by its word; yes and no are the words `true` and `false`.
    Word(&'a str),
}

/// One side of a strip: a number from end to end in so many patches, or a choice with all its words.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[ts(rename = "Vary")]
pub struct Side {
    /// What is varied.
    pub key: String,
    /// The first patch.
    pub from: f64,
    /// The last patch.
    pub to: f64,
    /// Patches.
    pub count: usize,
}

/// Finest difference of a number that a plan keeps.
#[must_use]
pub fn step_of(key: &str) -> f64 {
    field(key).map_or(QUARTER, |field| field.step)
}

/// The steps of a side: evenly from end to end, each as fine as the plan keeps it, none twice; of a choice all
/// its words.
#[must_use]
pub fn steps(side: &Side) -> Vec<At<'static>> {
    if let Some(choice) = CHOICES.iter().find(|choice| choice.key == side.key) {
        return choice.options.iter().map(|(word, _)| At::Word(word)).collect();
    }
    let fine = step_of(&side.key);
    let gaps = side.count.saturating_sub(1).max(1) as f64;
    let mut kept: Vec<At<'_>> = Vec::new();
    for i in 0..side.count {
        let even = side.from + (side.to - side.from) * i as f64 / gaps;
        // Without the dust of binary fractions.
        let at = At::Number(((even / fine).round() * fine * 1e4).round() / 1e4);
        if kept.last() != Some(&at) {
            kept.push(at);
        }
    }
    kept
}

/// Numbers and choices that change what a patch prints, in the order of the bench: all there are from the dust to the ink,
/// the paper's white, and how thick the copper is that is to be baked. What a picture's tones become, and how edge, corners
/// and margin are cut, no patch shows. The plate's size is the picture's: it changes a patch only as a bath tires.
pub fn offered() -> impl Iterator<Item = &'static str> {
    let numbers = FIELDS.iter().filter(|field| match field.part {
        Part::Plate => field.key == "plate.thickness_mm",
        Part::Dust | Part::Bake | Part::Bath => true,
        Part::Ink => field.key != "paper.margin_mm",
    });
    numbers.map(|field| field.key).chain(CHOICES.iter().map(|choice| choice.key))
}

/// A plan with a number or a choice set; `None` when it has no such one.
#[must_use]
pub fn with_step(plan: &Plan, key: &str, at: At<'_>) -> Option<Plan> {
    match at {
        At::Number(value) => vary::with_number(plan, key, value),
        At::Word(word) => vary::with_choice(plan, key, word),
    }
}

/// A test strip.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
#[ts(rename = "StripSettings")]
pub struct Strip {
    /// What varies along it.
    pub along: Side,
    /// What varies down the side, for a grid.
    pub down: Option<Side>,
    /// The value that is printed; nothing for one bite of `minutes`.
    pub value: Option<usize>,
    /// Minutes of the one bite.
    pub minutes: f64,
}

/// One patch of a strip.
#[derive(Clone, Debug, PartialEq)]
pub struct Patch {
    /// The plan it is printed by.
    pub plan: Plan,
    /// The value that is printed.
    pub value: usize,
    /// Share of the plate per value, paper first.
    pub shares: Vec<f64>,
}

/// The key of one bite instead of the schedule.
const MINUTES: &str = "minutes";

impl Strip {
    /// How many patches it has.
    #[must_use]
    pub fn patch_count(&self) -> usize {
        steps(&self.along).len() * self.down.as_ref().map_or(1, |down| steps(down).len())
    }

    /// Whether every patch has one bite instead of the schedule.
    #[must_use]
    pub fn once(&self) -> bool {
        let down = self.down.as_ref().is_some_and(|side| side.key == MINUTES);
        self.value.is_none() || self.along.key == MINUTES || down
    }

    /// The patches, row by row; `None` when a side varies what the plan has not. `shares` are the plan's own, of
    /// the plate per value.
    #[must_use]
    pub fn patches(&self, base: &Plan, shares: &[f64]) -> Option<Vec<Patch>> {
        let columns = steps(&self.along);
        let Some(down) = &self.down else {
            return columns.iter().map(|&at| self.patch(base, shares, at, None)).collect();
        };
        let mut patches = Vec::new();
        for row in steps(down) {
            for &at in &columns {
                patches.push(self.patch(base, shares, at, Some((&down.key, row)))?);
            }
        }
        Some(patches)
    }

    fn patch(
        &self,
        base: &Plan,
        shares: &[f64],
        along: At<'_>,
        down: Option<(&str, At<'_>)>,
    ) -> Option<Patch> {
        let taken = [Some((self.along.key.as_str(), along)), down];
        let mut plan = base.clone();
        let once = self.once();
        if once {
            // First: the others may be numbers of the schedule it replaces.
            let own = taken.iter().flatten().find(|(key, _)| *key == MINUTES);
            plan = with_step(&plan, MINUTES, own.map_or(At::Number(self.minutes), |(_, at)| *at))?;
        }
        for (key, at) in taken.into_iter().flatten() {
            if key != MINUTES {
                plan = with_step(&plan, key, at)?;
            }
        }
        let values = plan.bites.len();
        let value = if once { 1 } else { self.value.unwrap_or(1).min(values) };
        Some(Patch { value, shares: shares_of(shares, values, once), plan })
    }
}

/// Shares of the plate for a patch: the plan's own, or one bite for everything but the paper.
#[must_use]
pub fn shares_of(shares: &[f64], values: usize, once: bool) -> Vec<f64> {
    if !once && shares.len() == values + 1 {
        return shares.to_vec();
    }
    let paper = shares.first().copied().unwrap_or(0.0);
    let mut alone = vec![0.0; values + 1];
    (alone[0], alone[1]) = (paper, 1.0 - paper);
    alone
}

#[cfg(test)]
mod tests {
    use super::*;

    fn side(key: &str, from: f64, to: f64, count: usize) -> Side {
        Side { key: key.to_owned(), from, to, count }
    }

    fn numbers(side: &Side) -> Vec<f64> {
        let number = |at| match at {
            At::Number(value) => value,
            At::Word(word) => panic!("{word} is no number"),
        };
        steps(side).into_iter().map(number).collect()
    }

    #[test]
    fn steps_are_as_fine_as_the_plan_keeps_them() {
        assert_eq!(
            numbers(&side("dust.wait_s", 0.0, 100.0, 4)),
            [0.0, 35.0, 65.0, 100.0],
            "of 5 s"
        );
        assert_eq!(numbers(&side("minutes", 1.0, 2.0, 4)), [1.0, 1.25, 1.75, 2.0], "quarters");
        assert_eq!(numbers(&side("dust.wait_s", 30.0, 40.0, 9)), [30.0, 35.0, 40.0], "none twice");
        assert_eq!(
            steps(&side("ink.wipe", 0.0, 0.0, 7)),
            [At::Word("tarlatan"), At::Word("hand"), At::Word("hard")],
            "all words of a choice"
        );
    }

    #[test]
    fn patches_are_the_plan_with_their_steps() {
        let plan = Plan::default();
        let shares = [0.2, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.2];
        let along = side("dust.wait_s", 30.0, 60.0, 3);
        let down = Some(side("bites.0.bite_min", 1.0, 2.0, 2));
        let strip = Strip { along, down, value: Some(4), minutes: 8.0 };
        let patches = strip.patches(&plan, &shares).expect("patches");
        assert_eq!(patches.len(), 6, "row by row");
        assert_eq!(patches[4].plan.dust.wait_s, 45.0, "the middle one");
        assert_eq!(patches[4].plan.bites[0].bite_min, 2.0, "of the second row");
        assert_eq!(
            (patches[4].value, &patches[4].shares[..]),
            (4, &shares[..]),
            "value and shares"
        );

        let once = Strip { value: None, down: None, ..strip.clone() };
        let patch = &once.patches(&plan, &shares).expect("patches")[0];
        assert_eq!((patch.value, patch.plan.bites[0].bite_min), (1, 8.0), "one bite");
        assert_eq!(patch.shares, [0.2, 0.8, 0.0], "for everything but the paper");

        let minutes = Strip { along: side("minutes", 1.0, 3.0, 3), down: None, ..strip.clone() };
        let patches = minutes.patches(&plan, &shares).expect("patches");
        let bites: Vec<f64> = patches.iter().map(|one| one.plan.bites[0].bite_min).collect();
        assert_eq!(bites, [1.0, 2.0, 3.0], "the one bite is what varies");
        assert!(minutes.once(), "whatever value is asked for");

        // One bite comes before a bite of its schedule, however they are ordered.
        let both = Strip {
            along: side("bites.0.bite_min", 3.0, 4.0, 2),
            down: Some(side("minutes", 9.0, 10.0, 2)),
            ..once
        };
        let patch = &both.patches(&plan, &shares).expect("patches")[0].plan;
        assert_eq!((patch.bites.len(), patch.bites[0].bite_min), (2, 3.0), "the bite is kept");
        assert_eq!(patch.bites[1].bite_min, 9.0, "of the one bite's schedule");
        let none = Strip { along: side("bites.99.bite_min", 1.0, 2.0, 2), ..strip };
        assert_eq!(none.patches(&plan, &shares), None, "no such bite");
        assert_eq!(with_step(&plan, "ink.wipe", At::Word("softly")), None, "no such word");
        let turned = with_step(&plan, "ink.dabbed_up", At::Word("true")).expect("a choice");
        assert!(turned.ink.dabbed_up, "yes and no are words");
    }
}
