//! Minutes in the bath and what they come to: the one answer to "when is it darkest".
//!
//! The bath tires, and under a still one every immersion starts anew, so minutes mean something only
//! along a session: the bites one after another, the last one going on for as long as it takes.

use super::Plate;
use crate::bite::rate;
use plan::Bite;

/// Longest time in the bath that is looked at, all bites together: a day, and as long as the longest
/// plan, min.
pub const LONGEST_MIN: f64 = 1440.0;

/// The bite of what is never stopped out, along a session.
#[derive(Clone, Debug, PartialEq)]
pub struct Course(Vec<(f64, f64)>);

impl Course {
    /// Minutes until a dose, µm; `None` when the bath does not get there within [`LONGEST_MIN`].
    #[must_use]
    pub fn minutes_at(&self, dose_um: f64) -> Option<f64> {
        if dose_um <= 0.0 {
            return Some(0.0);
        }
        let after = self.0.iter().position(|&(_, known_um)| known_um >= dose_um)?;
        let ((from_min, from_um), (to_min, to_um)) = (self.0[after - 1], self.0[after]);
        Some(from_min + (to_min - from_min) * (dose_um - from_um) / (to_um - from_um))
    }

    /// Deepest dose known, µm, and its minutes.
    #[must_use]
    pub fn end(&self) -> (f64, f64) {
        self.0.last().map_or((0.0, 0.0), |&(minutes, dose_um)| (dose_um, minutes))
    }
}

impl Plate {
    /// How the bite goes on in bites of so many minutes, the last one as long as it takes to `to_um`.
    #[must_use]
    pub fn course(&self, bite_min: &[f64], to_um: f64) -> Course {
        let mut bites = bite_min.to_vec();
        loop {
            let timed: Vec<Bite> = bites.iter().map(|&bite_min| Bite { bite_min }).collect();
            let session = self.bathed(&timed);
            let (total, dose_um) = session.course.last().copied().unwrap_or_default();
            // Within a bath that stands still nothing more is to be had.
            if dose_um >= to_um || total >= LONGEST_MIN || self.no_longer_bites() {
                return Course(session.course);
            }
            match bites.last_mut() {
                Some(last) => *last += (LONGEST_MIN - total).min(total.max(60.0)),
                None => bites.push(60.0),
            }
        }
    }

    /// Whether the plan's bath is used up before the first bite.
    #[must_use]
    pub fn no_longer_bites(&self) -> bool {
        let bath = &self.plan().bath;
        rate::is_dead(bath.strength_be, bath.copper_g_per_l, &self.constants().bite)
    }
}
