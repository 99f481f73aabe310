//! A plan meets a picture for the first time.

use crate::values::cropped_histogram;
use crate::{PictureAreas, ToneMap, fit_thresholds};
use plan::Plan;
use plan::edits::{Edited, leave_out};
use plate::chain::ValueAreas;
use std::sync::Arc;

/// Narrowest place that a plan begins with for a picture of its owner's, mm: a small brush makes it (common practice,
/// no source).
const NARROWEST_MM: f64 = 1.0;
/// Share of the plate below which a value holds nothing to speak of: 6 mm² of 150 × 200 mm.
const NOTHING: f64 = 0.0002;

/// Bytes of lightness that one flat tone takes, with what compressing the picture does to it: some 3 L*.
const FLAT: usize = 9;
/// Share of the picture that lies in a few flat tones where it is lettering or the like.
const MOSTLY: f64 = 0.85;

/// Brings a plan to a picture that is new to it: values are spaced for its tones and what is printed, and hairs no brush
/// could follow give way. Of a picture of flat tones, such as lettering, values that then hold nothing are left out: they
/// were its grey edges. Any other picture keeps them, for its tones may yet be spread.
///
/// `printed_l` is L* of the bare sheet and of each value as the plan prints them.
#[must_use]
pub fn newly_met(tones: Arc<ToneMap>, plan: &Plan, printed_l: &[f64]) -> Edited {
    let mut next = plan.clone();
    next.picture.thresholds_l = fit_thresholds(&tones, &plan.picture, printed_l).thresholds_l;
    if next.picture.smallest_mm == 0.0 {
        next.picture.smallest_mm = NARROWEST_MM;
    }
    // What the picture itself holds: areas by hand are not its own.
    let bare = Plan { areas: Vec::new(), ..next.clone() };
    let shares = PictureAreas::new(tones.clone(), &bare).shares().to_vec();
    let empty: Vec<usize> = (1..shares.len()).filter(|value| shares[*value] < NOTHING).collect();
    let held = shares.iter().filter(|share| **share >= NOTHING).count();
    let counts = cropped_histogram(&tones, plan.picture.crop);
    leave_out(&next, if in_flat_tones(&counts, held) { &empty } else { &[] })
}

/// Whether most pixels lie in no more than so many flat tones.
fn in_flat_tones(counts: &[u64; 256], tones: usize) -> bool {
    let mut left = *counts;
    let total: u64 = left.iter().sum();
    let mut flat = 0;
    for _ in 0..tones {
        let within = |from: &usize| left[*from..from + FLAT].iter().sum::<u64>();
        let Some(from) = (0..=256 - FLAT).max_by_key(within) else { break };
        flat += within(&from);
        left[from..from + FLAT].fill(0);
    }
    flat as f64 >= MOSTLY * total as f64
}
