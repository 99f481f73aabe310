//! Which number a value has after an edit of the bites, and which it had before.

use crate::MAX_VALUES;
use crate::states::{LaterBite, LaterGround};

/// What becomes of the numbers of values, the paper (0) among them.
pub(super) struct Renumbering {
    /// For each value before, the value that its places have now.
    pub(super) now: Vec<usize>,
    /// For each value now, the value before whose openness under later grounds it has.
    pub(super) before: Vec<usize>,
}

impl Renumbering {
    /// Value `value` of `last` goes; its places join the next lighter one.
    pub(super) fn removed(value: usize, last: usize) -> Self {
        Self {
            now: (0..=last).map(|old| if old < value { old } else { old - 1 }).collect(),
            before: (0..last).map(|new| if new < value { new } else { new + 1 }).collect(),
        }
    }

    /// A new value takes number `value`, and its places from the next lighter one.
    pub(super) fn inserted(value: usize, last: usize) -> Self {
        Self {
            now: (0..=last).map(|old| if old < value { old } else { old + 1 }).collect(),
            before: (0..=last + 1).map(|new| if new < value { new } else { new - 1 }).collect(),
        }
    }

    /// Each bitten value goes to the nearest in minutes of another list; both begin with the paper.
    pub(super) fn nearest(was_min: &[f64], is_min: &[f64]) -> Self {
        let nearest = |minutes: f64, among: &[f64]| {
            (1..among.len()).fold(1, |best, at| {
                let off = |at: usize| (among[at] - minutes).abs();
                if off(at) < off(best) { at } else { best }
            })
        };
        let all = |of: &[f64], among: &[f64]| {
            (0..of.len())
                .map(|at| if at == 0 { 0 } else { nearest(of[at], among) })
                .collect::<Vec<_>>()
        };
        Self { now: all(was_min, is_min), before: all(is_min, was_min) }
    }

    /// A value that is still there, under whatever number.
    pub(super) fn survives(&self, old: usize) -> bool {
        self.before[self.now[old]] == old
    }

    /// The number now of a value before; one that the plan never had stays as it is.
    pub(super) fn of(&self, old: u8) -> u8 {
        let new = self.now.get(usize::from(old)).and_then(|&new| u8::try_from(new).ok());
        new.unwrap_or(old)
    }

    /// Renumbers what lies open under a later ground; a bite that opens nothing any more goes.
    pub(super) fn ground(&self, ground: &mut LaterGround) {
        ground.bites.retain_mut(|bite| match self.open(bite) {
            Some(open) => {
                *bite = open;
                true
            }
            None => false,
        });
    }

    /// A bite under a later ground with what lies open to it now; `None` when all of that is gone.
    fn open(&self, bite: &LaterBite) -> Option<LaterBite> {
        let (last_was, last) = (self.now.len() - 1, self.before.len() - 1);
        let was = opened(bite, last_was);
        let mut open = (0..=last).filter(|&new| was.contains(&self.before[new]));
        let from = open.next()?;
        let to = open.next_back().unwrap_or(from);
        // The largest number there is means "and all darker", and stays while that is so.
        let all_darker = bite.to_value as usize >= MAX_VALUES && to == last;
        Some(LaterBite {
            from_value: from as u32,
            to_value: if all_darker { bite.to_value } else { to as u32 },
            ..*bite
        })
    }
}

/// The values that lie open in a bite under a later ground, in a plan whose darkest is `last`.
pub(super) fn opened(bite: &LaterBite, last: usize) -> std::ops::RangeInclusive<usize> {
    (bite.from_value as usize).min(last)..=(bite.to_value as usize).min(last)
}
