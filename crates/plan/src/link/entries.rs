//! The entries of a plan that every link may hold: all numbers and choices of the catalogue, and what
//! else each plan has.
//!
//! An entry that is what [`blank`] has is not written. So an entry added later costs nothing where it
//! stands at its `unsaid`, and such a plan still opens in pages that don't know it.
//!
//! **Add an entry** at the end of [`ENTRIES`], never in between: its place is its name in every link.
//! `unsaid` is what all plans before it stood for, and stays when a default of the plan changes. **Take
//! one out** by putting [`gone`] of its name in its place. What an entry stands for never changes otherwise.

use super::LinkError;
use super::wire::{Passed, Wire};
use crate::choices::{CHOICES, Choice};
use crate::fields::field;
use crate::types::{Bite, Crop, PictureSource, Plan, TonePoint};

/// One entry.
pub(super) enum Entry {
    /// A number of [`crate::FIELDS`], exact in `1/per_unit`ths.
    Number { key: &'static str, per_unit: u32, unsaid: f64 },
    /// A choice of [`CHOICES`], as the place of its word; further words go to the end.
    Choice { key: &'static str, words: &'static [&'static str], unsaid: usize },
    /// A number that plans had once, exact in `1/per_unit`ths.
    Gone { key: &'static str, per_unit: u32 },
    /// Anything else: how it is passed, whether two plans agree in it, and what is unsaid.
    Part {
        pass: fn(&mut Wire, &mut Plan) -> Passed,
        same: fn(&Plan, &Plan) -> bool,
        unsaid: fn(&mut Plan),
    },
}

const fn number(key: &'static str, per_unit: u32, unsaid: f64) -> Entry {
    Entry::Number { key, per_unit, unsaid }
}

const fn choice(key: &'static str, words: &'static [&'static str], unsaid: usize) -> Entry {
    Entry::Choice { key, words, unsaid }
}

/// A number that plans had once: read where a link has it, and forgotten.
const fn gone(key: &'static str, per_unit: u32) -> Entry {
    Entry::Gone { key, per_unit }
}

/// Every entry, in the order of their names, which are their places. Those of a ground come first.
pub(super) const ENTRIES: &[Entry] = &[
    number("dust.median_um", 10, 60.0),
    number("dust.spread_gsd", 100, 1.8),
    gone("dust.solid_fraction", 100),
    number("dust.powder_g_per_m2", 10, 23.0),
    number("dust.box_height_m", 100, 0.6),
    number("dust.wait_s", 10, 45.0),
    number("dust.dusting_min", 100, 4.0),
    choice("dust.settling", &["stirred", "still"], 0),
    number("bake.hot_plate_c", 10, 125.0),
    number("bake.bake_min", 100, 10.0),
    choice("bake.paper_between", &["false", "true"], 1),
    number("bake.room_c", 10, 20.0),
    number("bath.strength_be", 10, 40.0),
    number("bath.temperature_c", 10, 20.0),
    choice(
        "bath.agitation",
        &["still_face_up", "still_face_down", "rocked", "feathered", "bubbled", "sprayed"],
        2,
    ),
    number("bath.volume_l", 10, 2.0),
    number("bath.copper_g_per_l", 10, 0.0),
    Entry::Part {
        pass: |wire, plan| wire.text(&mut plan.title),
        same: |a, b| a.title == b.title,
        unsaid: |plan| plan.title = "Harbour at dusk".to_owned(),
    },
    Entry::Part {
        pass: |wire, plan| wire.text(&mut plan.notes),
        same: |a, b| a.notes == b.notes,
        unsaid: |plan| plan.notes.clear(),
    },
    Entry::Part {
        pass: |wire, plan| wire.short(&mut plan.seed),
        same: |a, b| a.seed == b.seed,
        unsaid: |plan| plan.seed = 7,
    },
    Entry::Part {
        pass: source,
        same: |a, b| a.picture.source == b.picture.source,
        unsaid: |plan| plan.picture.source = PictureSource::Harbour,
    },
    Entry::Part {
        pass: |wire, plan| crop(wire, &mut plan.picture.crop),
        same: |a, b| a.picture.crop == b.picture.crop,
        unsaid: |plan| plan.picture.crop = WHOLE,
    },
    Entry::Part {
        pass: |wire, plan| {
            wire.list(
                &mut plan.bites,
                || Bite { bite_min: 0.0 },
                |wire, bite| wire.number(4, &mut bite.bite_min),
            )
        },
        same: |a, b| a.bites == b.bites,
        unsaid: |plan| {
            plan.bites =
                [1.0, 2.0, 3.0, 3.0, 4.0, 5.0, 6.0].map(|bite_min| Bite { bite_min }).to_vec();
        },
    },
    Entry::Part {
        pass: |wire, plan| {
            wire.list(&mut plan.picture.thresholds_l, || 0.0, |wire, level| wire.number(10, level))
        },
        same: |a, b| a.picture.thresholds_l == b.picture.thresholds_l,
        unsaid: |plan| {
            plan.picture.thresholds_l = vec![90.0, 80.0, 69.0, 58.0, 47.0, 37.0, 28.0];
        },
    },
    number("picture.smallest_mm", 10, 0.0),
    number("plate.width_mm", 10, 150.0),
    number("plate.height_mm", 10, 200.0),
    number("plate.thickness_mm", 100, 1.2),
    number("plate.bevel_mm", 10, 1.3),
    number("plate.corner_radius_mm", 10, 1.6),
    number("ink.base_parts", 10, 0.0),
    number("ink.reducer_parts", 10, 0.0),
    choice("ink.wipe", &["tarlatan", "hand", "hard"], 1),
    choice("ink.press", &["light", "normal", "heavy"], 1),
    choice("ink.stiffness", &["loose", "usual", "stiff"], 1),
    choice("ink.dabbed_up", &["false", "true"], 0),
    choice("ink.blankets", &["one", "two", "three"], 2),
    number("paper.reflectance", 100, 0.85),
    number("paper.margin_mm", 10, 35.0),
    number("dust.dustings", 1, 1.0),
    number("picture.exposure_stops", 10, 0.0),
    number("picture.contrast", 100, 1.0),
    Entry::Part {
        pass: |wire, plan| {
            let blank = || TonePoint { from_l: 0.0, to_l: 0.0 };
            wire.list(&mut plan.picture.tone_points, blank, |wire, point| {
                wire.number(10, &mut point.from_l)?;
                wire.number(10, &mut point.to_l)
            })
        },
        same: |a, b| a.picture.tone_points == b.picture.tone_points,
        unsaid: |plan| plan.picture.tone_points.clear(),
    },
];

const WHOLE: Crop = Crop { left: 0.0, top: 0.0, width: 1.0, height: 1.0 };

/// A part of a picture, in millionths where that is exact.
pub(super) fn crop(wire: &mut Wire, crop: &mut Crop) -> Passed {
    let Crop { left, top, width, height } = crop;
    [left, top, width, height].into_iter().try_for_each(|part| wire.number(1_000_000, part))
}

/// The user's own picture; the harbour is unsaid.
fn source(wire: &mut Wire, plan: &mut Plan) -> Passed {
    let mut name = match &plan.picture.source {
        PictureSource::File(name) => name.clone(),
        PictureSource::Harbour => String::new(),
    };
    wire.text(&mut name)?;
    plan.picture.source = PictureSource::File(name);
    Ok(())
}

fn choice_of(key: &str) -> Option<&'static Choice> {
    CHOICES.iter().find(|choice| choice.key == key)
}

/// A choice's option that goes by this word.
fn option(choice: &Choice, word: &str) -> Option<usize> {
    choice.options.iter().position(|(name, _)| *name == word)
}

impl Entry {
    /// Whether it is one of dust, bake or bath, which a later ground has, too.
    fn of_a_ground(&self) -> bool {
        match self {
            Self::Number { key, .. } | Self::Choice { key, .. } | Self::Gone { key, .. } => {
                ["dust.", "bake.", "bath."].iter().any(|part| key.starts_with(part))
            }
            Self::Part { .. } => false,
        }
    }

    fn same(&self, a: &Plan, b: &Plan) -> bool {
        match self {
            Self::Number { key, .. } => {
                field(key).is_none_or(|field| (field.get)(a).to_bits() == (field.get)(b).to_bits())
            }
            Self::Choice { key, .. } => {
                choice_of(key).is_none_or(|choice| (choice.get)(a) == (choice.get)(b))
            }
            Self::Gone { .. } => true,
            Self::Part { same, .. } => same(a, b),
        }
    }

    fn pass(&self, wire: &mut Wire, plan: &mut Plan) -> Passed {
        match self {
            Self::Number { key, per_unit, .. } => {
                let field = field(key).ok_or(LinkError::Damaged)?;
                let mut number = (field.get)(plan);
                wire.number(*per_unit, &mut number)?;
                (field.set)(plan, number);
            }
            Self::Choice { key, words, .. } => {
                let choice = choice_of(key).ok_or(LinkError::Damaged)?;
                let mut word = choice.options.get((choice.get)(plan)).map_or("", |(word, _)| word);
                wire.one_of(words, &mut word)?;
                (choice.set)(plan, option(choice, word).ok_or(LinkError::Damaged)?);
            }
            Self::Gone { per_unit, .. } => wire.number(*per_unit, &mut 0.0)?,
            Self::Part { pass, .. } => pass(wire, plan)?,
        }
        Ok(())
    }

    fn unsay(&self, plan: &mut Plan) {
        match self {
            Self::Number { key, unsaid, .. } => {
                if let Some(field) = field(key) {
                    (field.set)(plan, *unsaid);
                }
            }
            Self::Choice { key, words, unsaid } => {
                if let Some(choice) = choice_of(key)
                    && let Some(option) = option(choice, words[*unsaid])
                {
                    (choice.set)(plan, option);
                }
            }
            Self::Gone { .. } => {}
            Self::Part { unsaid, .. } => unsaid(plan),
        }
    }
}

/// The plan that a link stands for which says nothing.
pub(super) fn blank(entries: &[Entry]) -> Plan {
    let mut plan = Plan::default();
    for entry in entries {
        entry.unsay(&mut plan);
    }
    plan
}

/// Passes whatever a plan has otherwise than `from`; when reading, `plan` must be equal to it.
pub(super) fn pass(wire: &mut Wire, entries: &[Entry], plan: &mut Plan, from: &Plan) -> Passed {
    pass_these(wire, &entries.iter().collect::<Vec<_>>(), plan, from)
}

/// The same for a later ground's dust, bake and bath, which `plan` holds in place of its own.
pub(super) fn pass_ground(wire: &mut Wire, plan: &mut Plan, from: &Plan) -> Passed {
    let of_a_ground: Vec<_> = ENTRIES.iter().filter(|entry| entry.of_a_ground()).collect();
    pass_these(wire, &of_a_ground, plan, from)
}

fn pass_these(wire: &mut Wire, entries: &[&Entry], plan: &mut Plan, from: &Plan) -> Passed {
    let mut said: Vec<bool> = entries.iter().map(|entry| !entry.same(plan, from)).collect();
    wire.which(&mut said)?;
    let said = entries.iter().zip(said).filter(|(_, said)| *said);
    said.map(|(entry, _)| entry).try_for_each(|entry| entry.pass(wire, plan))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fields::FIELDS;

    #[test]
    fn every_number_and_choice_has_its_entry() {
        let keys: Vec<&str> = ENTRIES
            .iter()
            .filter_map(|entry| match entry {
                Entry::Number { key, .. } | Entry::Choice { key, .. } => Some(*key),
                Entry::Gone { .. } | Entry::Part { .. } => None,
            })
            .collect();
        let wanted = FIELDS.iter().map(|f| f.key).chain(CHOICES.iter().map(|c| c.key));
        for key in wanted.clone() {
            let times = keys.iter().filter(|of| **of == key).count();
            assert_eq!(times, 1, "entries of {key} in a link");
        }
        assert_eq!(keys.len(), wanted.count(), "entries for what the catalogue has not");
        for entry in ENTRIES {
            if let Entry::Choice { key, words, unsaid } = entry {
                let choice = choice_of(key).expect("a choice");
                assert!(unsaid < &words.len(), "what is unsaid of {key}");
                for (word, _) in choice.options {
                    assert!(words.contains(word), "{key} can't say {word}");
                }
            }
        }
    }

    /// A link's bytes of a plan's entries.
    fn written(entries: &[Entry], plan: &Plan) -> Vec<u8> {
        let mut wire = Wire::Writing(Vec::new());
        pass(&mut wire, entries, &mut plan.clone(), &blank(entries)).expect("it can be written");
        let Wire::Writing(bytes) = wire else { unreachable!("it was writing") };
        bytes
    }

    fn read(entries: &[Entry], bytes: &[u8]) -> Result<Plan, LinkError> {
        let from = blank(entries);
        let mut plan = from.clone();
        let mut wire = Wire::Reading(bytes);
        pass(&mut wire, entries, &mut plan, &from)?;
        let Wire::Reading(rest) = wire else { unreachable!("it was reading") };
        assert!(rest.is_empty(), "{rest:?} is left over");
        Ok(plan)
    }

    /// The entries there are, and a number of turns, as a later page might have it.
    fn with_turns() -> Vec<Entry> {
        let mut later: Vec<Entry> = (0..ENTRIES.len()).map(copy).collect();
        later.push(Entry::Part {
            pass: |wire, plan| {
                wire.number(1, plan.calibration.entry("turns".to_owned()).or_insert(1.0))
            },
            same: |a, b| a.calibration.get("turns") == b.calibration.get("turns"),
            unsaid: |plan| {
                plan.calibration.remove("turns");
            },
        });
        later
    }

    fn copy(at: usize) -> Entry {
        match &ENTRIES[at] {
            Entry::Number { key, per_unit, unsaid } => number(key, *per_unit, *unsaid),
            Entry::Choice { key, words, unsaid } => choice(key, words, *unsaid),
            Entry::Gone { key, per_unit } => gone(key, *per_unit),
            Entry::Part { pass, same, unsaid } => {
                Entry::Part { pass: *pass, same: *same, unsaid: *unsaid }
            }
        }
    }

    #[test]
    fn an_entry_added_later_costs_nothing_where_it_is_unsaid() {
        let mut plan = Plan { seed: 12, ..Plan::default() };
        let later = with_turns();
        assert_eq!(written(&later, &plan), written(ENTRIES, &plan), "not a byte more");
        assert_eq!(read(&later, &written(ENTRIES, &plan)).as_ref(), Ok(&plan), "an old link opens");
        plan.calibration.insert("turns".to_owned(), 3.0);
        let bytes = written(&later, &plan);
        assert_eq!(read(&later, &bytes), Ok(plan), "said, it comes back");
        assert_eq!(read(ENTRIES, &bytes), Err(LinkError::NewerPart), "an older page says so");
    }

    /// The entries there are, with another of them gone.
    fn without(key: &'static str) -> Vec<Entry> {
        let is = |entry: &Entry| matches!(entry, Entry::Number { key: of, .. } if *of == key);
        let at = ENTRIES.iter().position(is).expect("an entry");
        let mut later: Vec<Entry> = (0..ENTRIES.len()).map(copy).collect();
        later[at] = gone(key, 100);
        later
    }

    #[test]
    fn an_entry_that_goes_is_read_over() {
        let mut plan = Plan { seed: 12, notes: "kept".to_owned(), ..Plan::default() };
        plan.dust.spread_gsd = 2.35;
        plan.dust.wait_s = 70.0;
        let later = without("dust.spread_gsd");
        let back = read(&later, &written(ENTRIES, &plan)).expect("it opens");
        plan.dust.spread_gsd = Plan::default().dust.spread_gsd;
        assert_eq!(back, plan, "all but what is gone");
        assert_eq!(read(ENTRIES, &written(&later, &plan)), Ok(plan), "and the other way round");
    }

    #[test]
    fn an_entry_that_goes_keeps_its_place_in_later_grounds() {
        let of_a_ground = |entries: &[Entry]| entries.iter().filter(|e| e.of_a_ground()).count();
        let later = without("dust.spread_gsd");
        assert_eq!(of_a_ground(&later), of_a_ground(ENTRIES), "as many places as before");
    }
}
