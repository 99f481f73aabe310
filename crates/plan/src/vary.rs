//! Varying: a plan with one number or choice replaced, by its key.

use crate::choices::CHOICES;
use crate::fields::field;
use crate::states::{State, Tool, ToolWork, Work};
use crate::types::{Bite, Plan};

/// A plan with another number at `key`: one of [`crate::FIELDS`]; `bites.N.bite_min` (N from 0);
/// `minutes`, whose value 1 gets one bite of so many minutes, whatever the schedule was; or
/// `scraper_um` and `burnisher_um`, which take the whole plate down by so much in one more state (0: as it
/// is). Unchecked: ask [`Plan::problems`]. `None` when the plan has no such number.
#[must_use]
pub fn with_number(plan: &Plan, key: &str, value: f64) -> Option<Plan> {
    let mut plan = plan.clone();
    if let Some(tool) = tool_of(key) {
        if value != 0.0 {
            plan.states.push(worked_all_over(&plan, tool, value));
        }
        return Some(plan);
    }
    if let Some(field) = field(key) {
        (field.set)(&mut plan, value);
    } else if key == "minutes" {
        // A plan has two values at least; the second never matters to the first.
        plan.bites = vec![Bite { bite_min: value }; crate::MIN_VALUES];
        plan.picture.thresholds_l.truncate(crate::MIN_VALUES);
    } else {
        let place = key.strip_prefix("bites.")?.strip_suffix(".bite_min")?;
        plan.bites.get_mut(place.parse::<usize>().ok()?)?.bite_min = value;
    }
    Some(plan)
}

/// The number at `key`, for the keys of [`with_number`]; `minutes` is that of all bites.
#[must_use]
pub fn number(plan: &Plan, key: &str) -> Option<f64> {
    if let Some(field) = field(key) {
        return Some((field.get)(plan));
    }
    if key == "minutes" {
        return Some(plan.bites.iter().map(|bite| bite.bite_min).sum());
    }
    if tool_of(key).is_some() {
        return Some(0.0);
    }
    let place = key.strip_prefix("bites.")?.strip_suffix(".bite_min")?;
    plan.bites.get(place.parse::<usize>().ok()?).map(|bite| bite.bite_min)
}

/// The tool whose work a key varies.
fn tool_of(key: &str) -> Option<Tool> {
    match key {
        "scraper_um" => Some(Tool::Scraper),
        "burnisher_um" => Some(Tool::Burnisher),
        _ => None,
    }
}

/// A state that goes on from the last one with a tool over the whole plate.
fn worked_all_over(plan: &Plan, tool: Tool, take_um: f64) -> State {
    let (right, bottom) = (plan.plate.width_mm, plan.plate.height_mm);
    State {
        name: String::new(),
        from_state: plan.states.len() as u32 + 1,
        work: vec![Work::Tool(ToolWork {
            tool,
            passage: true,
            width_mm: 0.0,
            take_um,
            points_mm: vec![[0.0, 0.0], [right, 0.0], [right, bottom], [0.0, bottom]],
        })],
    }
}

/// The plan with a choice made by its word; `None` when there is no such choice or word.
#[must_use]
pub fn with_choice(plan: &Plan, key: &str, word: &str) -> Option<Plan> {
    let choice = CHOICES.iter().find(|choice| choice.key == key)?;
    let option = choice.options.iter().position(|(name, _)| *name == word)?;
    let mut plan = plan.clone();
    (choice.set)(&mut plan, option);
    Some(plan)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_go_where_their_keys_say() {
        let plan = Plan::default();
        let waited = with_number(&plan, "dust.wait_s", 60.0).expect("a field");
        assert_eq!(waited.dust.wait_s, 60.0, "the wait");
        assert_eq!(number(&waited, "dust.wait_s"), Some(60.0), "and read back");
        let bitten = with_number(&plan, "bites.2.bite_min", 7.5).expect("a bite");
        assert_eq!(bitten.bites[2].bite_min, 7.5, "the third bite");
        assert_eq!(number(&bitten, "bites.2.bite_min"), Some(7.5), "and read back");
        let once = with_number(&plan, "minutes", 9.0).expect("one bite");
        assert_eq!(once.bites[0].bite_min, 9.0, "one bite instead of the schedule");
        assert_eq!(once.problems(), [], "and a sound plan");
        for key in ["dust.nothing", "bites.99.bite_min", "bites.x.bite_min", ""] {
            assert_eq!(with_number(&plan, key, 1.0), None, "{key} is no number of the plan");
            assert_eq!(number(&plan, key), None, "{key} cannot be read");
        }
    }

    #[test]
    fn tools_take_the_whole_plate_down_in_one_more_state() {
        let plan = Plan::default();
        let scraped = with_number(&plan, "scraper_um", 3.0).expect("a tool");
        let both = with_number(&scraped, "burnisher_um", 2.0).expect("another");
        assert_eq!(both.problems(), [], "sound states, one from the other");
        assert_eq!(both.line_of(3).len(), 2, "the burnisher goes on where the scraper was");
        assert_eq!(with_number(&plan, "scraper_um", 0.0), Some(plan.clone()), "nothing scraped");
        assert_eq!(number(&scraped, "scraper_um"), Some(0.0), "each goes on from the plan");
    }

    #[test]
    fn choices_are_made_by_their_words() {
        let plan = Plan::default();
        let hard = with_choice(&plan, "ink.wipe", "hard").expect("a choice");
        assert_eq!(hard.ink.wipe, crate::Wipe::Hard, "wiped hard");
        assert_eq!(with_choice(&plan, "ink.wipe", "softly"), None, "no such word");
        assert_eq!(with_choice(&plan, "ink.nothing", "hard"), None, "no such choice");
    }
}
