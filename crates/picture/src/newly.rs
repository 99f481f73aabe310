//! A plan meets a picture for the first time.

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

/// Brings a plan to a picture that is new to it: values are spaced for its tones and what is printed, hairs no brush
/// could follow give way, and values that then hold nothing, such as the grey edges of lettering, are left out.
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
    let shares = PictureAreas::new(tones, &bare).shares().to_vec();
    let empty: Vec<usize> = (1..shares.len()).filter(|value| shares[*value] < NOTHING).collect();
    leave_out(&next, &empty)
}
