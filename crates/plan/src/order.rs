//! The order of work in the bath: which stop-outs and bites a plate really needs.
//!
//! A picture need not have every value of the plan. What no place of the plate has is not stopped out, and
//! bites with nothing to stop out between them run as one. Guides, bench sheet and clock all follow this list.

use crate::areas::{Area, AreaWork};
use crate::states::{LaterGround, Work};
use crate::types::Plan;
use serde::Serialize;

/// A value that covers less of the plate than a dot of the finest brush holds nothing to work on, mm².
const LEAST_MM2: f64 = 0.01;

/// Some of a plan's values: bit 0 is the paper, bit k value k.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Values(u32);

/// One or several bites that run without a break.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct TimedBite {
    /// The bites it is made of, from 1.
    pub first: usize,
    /// The last of them. Under the first ground that is the value that is done with it.
    pub last: usize,
    /// Minutes of all of them together.
    pub bite_min: f64,
}

/// What is done in the bath, in this order: spit-bites, the whites stopped out, then bite and stop-out by
/// turns.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct BathOrder {
    /// How many bites the plan has: the list is of that plan.
    pub planned: usize,
    /// Something stays white and is stopped out before the first bite.
    pub whites: bool,
    /// Spit-bites, one to a step.
    pub spits: Vec<SpitBite>,
    /// Bites under the first ground. After each but the last its value is stopped out.
    pub bites: Vec<WordedBite>,
    /// Why bites at the end fall away, in a sentence; empty when none does.
    pub dropped: String,
    /// Numbers of the states that the last one goes on from, itself included, in the order of the work.
    pub line: Vec<usize>,
    /// The same for each later ground, in the order of states and their work.
    pub later: Vec<LaterOrder>,
}

/// An area in which etchant is brushed on before the first bite.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct SpitBite {
    /// Its name, or `area 3` by its place in the plan.
    pub name: String,
    /// Minutes that etchant is brushed on.
    pub spit_min: f64,
    /// How far it fades towards its edge, mm.
    pub fade_mm: f64,
    /// Its middle on the print, mm from the left and from the top.
    pub middle_mm: [f64; 2],
}

/// A timed bite with its words.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct WordedBite {
    /// The bite.
    pub bite: TimedBite,
    /// `Bite 3`, or `Bites 2 and 3 in one`.
    pub name: String,
    /// Why bites run as one, in a sentence; empty for one bite.
    pub joined: String,
    /// Under a later ground: what is varnished before it, in words; empty for nothing.
    pub cover: String,
    /// Under a later ground: what is freed of varnish before it, in words; empty for nothing.
    pub uncover: String,
    /// Under a later ground: what lies open in it, in words.
    pub open: String,
}

/// The bites under one later ground.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct LaterOrder {
    /// Number of the state, from 2.
    pub state: usize,
    /// Place of the ground in the state's work, from 0.
    pub work: usize,
    /// Its bites.
    pub bites: Vec<WordedBite>,
    /// Why bites fall away, in a sentence; empty when none does.
    pub dropped: String,
}

impl Values {
    /// Those from `from` to `until`, both counted.
    fn between(from: usize, until: usize) -> Self {
        let below = |value: usize| if value >= 31 { u32::MAX } else { (1 << value) - 1 };
        Self(below(until + 1) & !below(from))
    }

    /// Whether a value is among them.
    #[must_use]
    pub fn has(self, value: usize) -> bool {
        value < 32 && self.0 >> value & 1 == 1
    }

    fn without(self, others: Self) -> Self {
        Self(self.0 & !others.0)
    }

    /// `3`, `3 or 4`, `2, 3 or 5`.
    fn listed(self, joint: &str) -> String {
        let mut words = String::new();
        let mut rest = self;
        for value in (0..32).filter(|&value| self.has(value)) {
            rest.0 &= !(1 << value);
            if !words.is_empty() {
                words.push_str(if rest.0 == 0 { joint } else { ", " });
            }
            words.push_str(&value.to_string());
        }
        words
    }

    /// `the whites`, `value 2`, `the whites and values 1, 2 and 3`; empty for none.
    fn in_words(self) -> String {
        let bitten = self.without(Self(1));
        let whites = if self.has(0) { "the whites" } else { "" };
        let and = if self.has(0) && bitten.0 != 0 { " and " } else { "" };
        let values = match bitten.0.count_ones() {
            0 => "",
            1 => "value ",
            _ => "values ",
        };
        [whites, and, values, &bitten.listed(" and ")].concat()
    }
}

impl Plan {
    /// The values that a plate has of which `area_shares` (0–1, paper first) have the plan's values. Shares
    /// that are missing count as nothing.
    #[must_use]
    pub fn values_there(&self, area_shares: &[f64]) -> Values {
        let plate_mm2 = self.plate.width_mm * self.plate.height_mm;
        let mut there = Values::default();
        for (value, share) in area_shares.iter().enumerate().take(self.bites.len() + 1) {
            if share * plate_mm2 >= LEAST_MM2 {
                there.0 |= 1 << value;
            }
        }
        there
    }

    /// The bites under the first ground of a plate that has these values.
    #[must_use]
    pub fn timed_bites(&self, there: Values) -> Vec<TimedBite> {
        let mut bites = Vec::new();
        let (mut first, mut bite_min) = (1, 0.0);
        for (i, bite) in self.bites.iter().enumerate() {
            bite_min += bite.bite_min;
            if there.has(i + 1) {
                bites.push(TimedBite { first, last: i + 1, bite_min });
                (first, bite_min) = (i + 2, 0.0);
            }
        }
        bites
    }

    /// The order of work, in words, for a plate of which `area_shares` (0–1, paper first, one more than the
    /// bites) have the plan's values.
    ///
    /// Later grounds are judged by the whole plate, also where they are open in a passage only.
    #[must_use]
    pub fn bath_order(&self, area_shares: &[f64]) -> BathOrder {
        let (there, planned) = (self.values_there(area_shares), self.bites.len());
        let timed = self.timed_bites(there);
        let bites = timed.iter().map(|&bite| {
            let why =
                [&nowhere(bite.first, bite.last - 1), ", so nothing is stopped out there"].concat();
            WordedBite::of(bite, &why)
        });
        let first_idle = timed.last().map_or(1, |bite| bite.last + 1);
        let dropped = if first_idle > planned {
            String::new()
        } else {
            let fall = if first_idle == planned { " falls away." } else { " fall away." };
            [&nowhere(first_idle, planned), ": ", &bites_in_words(first_idle, planned), fall]
                .concat()
        };
        let mut spits = Vec::new();
        for (place, area) in self.areas.iter().enumerate() {
            if area.work == AreaWork::Spit {
                spits.push(SpitBite::of(area, place + 1));
            }
        }
        let mut later = Vec::new();
        for (i, state) in self.states.iter().enumerate() {
            for (work, one) in state.work.iter().enumerate() {
                if let Work::Ground(ground) = one {
                    let (bites, dropped) = later_bites(ground, there);
                    later.push(LaterOrder { state: i + 2, work, bites, dropped });
                }
            }
        }
        let line = self.line_numbers(self.states.len() + 1);
        let (whites, bites) = (there.has(0), bites.collect());
        BathOrder { planned, whites, spits, bites, dropped, line, later }
    }
}

impl SpitBite {
    fn of(area: &Area, number: usize) -> Self {
        let mut bounds = [(f64::INFINITY, f64::NEG_INFINITY); 2];
        for shape in area.shapes.iter().filter(|shape| !shape.away) {
            for (i, &at) in shape.points_mm.iter().enumerate() {
                let side = &mut bounds[i % 2];
                *side = (side.0.min(at), side.1.max(at));
            }
        }
        let middle =
            bounds.map(|(from, until)| if from <= until { (from + until) / 2.0 } else { 0.0 });
        Self {
            name: spit_name(area, number),
            spit_min: area.spit_min,
            fade_mm: area.feather_mm,
            middle_mm: middle,
        }
    }
}

/// An area's name, or `area 3` by its number in the plan.
#[must_use]
pub fn spit_name(area: &Area, number: usize) -> String {
    if area.name.is_empty() { ["area ", &number.to_string()].concat() } else { area.name.clone() }
}

impl WordedBite {
    fn of(bite: TimedBite, why_joined: &str) -> Self {
        let bites = bites_in_words(bite.first, bite.last);
        let one = bite.first == bite.last;
        Self {
            bite,
            name: ["B", &bites[1..], if one { "" } else { " in one" }].concat(),
            joined: if one {
                String::new()
            } else {
                [why_joined, ": ", &bites, " run as one."].concat()
            },
            cover: String::new(),
            uncover: String::new(),
            open: String::new(),
        }
    }
}

fn later_bites(ground: &LaterGround, there: Values) -> (Vec<WordedBite>, String) {
    let mut bites: Vec<WordedBite> = Vec::new();
    let (mut idle, mut open_before) = (Values::default(), there);
    for (i, planned) in ground.bites.iter().enumerate() {
        let number = i + 1;
        let asked = Values::between(planned.from_value as usize, planned.to_value.min(31) as usize);
        let open = Values(there.0 & asked.0);
        let mut bite = TimedBite { first: number, last: number, bite_min: planned.bite_min };
        if open.0 == 0 {
            idle.0 |= 1 << number;
            continue;
        }
        // With nothing to stop out since the bite before, the plate stays where it is.
        let before = bites.pop_if(|before| open == open_before && before.bite.last == i);
        if let Some(before) = &before {
            (bite.first, bite.bite_min) =
                (before.bite.first, before.bite.bite_min + planned.bite_min);
        }
        let worded = WordedBite::of(bite, "Nothing is stopped out between them");
        bites.push(match before {
            Some(before) => WordedBite { bite, name: worded.name, joined: worded.joined, ..before },
            None => WordedBite {
                cover: open_before.without(open).in_words(),
                uncover: open.without(open_before).in_words(),
                open: if open == there { "everything".to_owned() } else { open.in_words() },
                ..worded
            },
        });
        open_before = open;
    }
    let dropped = match idle.0.count_ones() {
        0 => String::new(),
        n => {
            let (bite, fall) = if n == 1 {
                ("bite ", ": it falls away.")
            } else {
                ("bites ", ": they fall away.")
            };
            let named = idle.listed(" and ");
            ["No place of the plate has a value that is open in ", bite, &named, fall].concat()
        }
    };
    (bites, dropped)
}

/// `bite 3`, `bites 2 and 3`, `bites 2 to 4`.
#[must_use]
pub fn bites_in_words(first: usize, last: usize) -> String {
    let (from, until) = (first.to_string(), last.to_string());
    if first >= last {
        return ["bite ", &until].concat();
    }
    ["bites ", &from, if last - first == 1 { " and " } else { " to " }, &until].concat()
}

/// That no place has the values from `first` to `last`.
fn nowhere(first: usize, last: usize) -> String {
    ["No place of the plate has value ", &Values::between(first, last).listed(" or ")].concat()
}
