//! Tone response: how a ground darkens with the dose, down to its darkest.

use plate::chain::SURE_SHARE;
use plate::{Plate, Renderer, View};

/// Off by no more than this in L* a value counts as met (side by side a difference of about 2 is seen
/// reliably; from memory).
pub const MET_L: f64 = 2.0;

/// The table is filled until a straight line between neighbours is no further off than this half-way, L*.
const STRAIGHT_L: f64 = 0.25;
/// Where the table of a plan shows no darkest, doses this many times deeper are tried, one after another, to this
/// depth, µm; nobody bites copper for a print deeper than a third of the usual plate.
const DEEPER: f64 = 1.2;
const DEEPEST_UM: f64 = 400.0;
/// How often the stretch round the darkest is then shortened: to a fiftieth of itself.
const DEEPER_SHORTENED: u32 = 8;
/// Most doses in the table.
const MOST: usize = 90;
/// A darker wish than the darkest by no more than this is taken for the darkest, L*.
const FORGIVEN_L: f64 = 0.05;

/// Doses and what a plain area prints at each, from no bite to the darkest. It depends on the ground
/// and the ink, not on the bath.
#[derive(Clone, Debug, PartialEq)]
pub struct ToneResponse {
    dose_um: Vec<f64>,
    lightness: Vec<f64>,
    breaks_down: bool,
}

impl ToneResponse {
    /// L* of what is never bitten.
    #[must_use]
    pub fn paper_l(&self) -> f64 {
        self.lightness[0]
    }

    /// Dose, µm, and L* of the darkest.
    #[must_use]
    pub fn darkest(&self) -> (f64, f64) {
        let last = self.dose_um.len() - 1;
        (self.dose_um[last], self.lightness[last])
    }

    /// Dose, µm, and L* of the darkest that is surely short of the ground's breaking down; the darkest itself where it
    /// does not break down.
    #[must_use]
    pub fn sure(&self) -> (f64, f64) {
        let (darkest_um, darkest_l) = self.darkest();
        if !self.breaks_down {
            return (darkest_um, darkest_l);
        }
        let sure_um = SURE_SHARE * darkest_um;
        (sure_um, self.lightness_at(sure_um))
    }

    /// Whether more than the darkest dose prints lighter again.
    #[must_use]
    pub fn breaks_down(&self) -> bool {
        self.breaks_down
    }

    /// L* at a dose, µm; past the darkest it stays there.
    #[must_use]
    pub fn lightness_at(&self, dose_um: f64) -> f64 {
        let after = self.dose_um.partition_point(|&known| known < dose_um);
        if after == 0 || after == self.dose_um.len() {
            return self.lightness[after.saturating_sub(1)];
        }
        let (a, b) = (self.dose_um[after - 1], self.dose_um[after]);
        let (at_a, at_b) = (self.lightness[after - 1], self.lightness[after]);
        at_a + (at_b - at_a) * (dose_um - a) / (b - a)
    }

    /// The smallest dose, µm, that prints as dark as this; `None` when it is darker than the darkest.
    #[must_use]
    pub fn dose_for(&self, wanted_l: f64) -> Option<f64> {
        let Some(at) = self.lightness.iter().position(|&l| l <= wanted_l) else {
            let (dose_um, l) = self.darkest();
            return (l - FORGIVEN_L <= wanted_l).then_some(dose_um);
        };
        if at == 0 {
            return Some(0.0);
        }
        let (a, b) = (self.dose_um[at - 1], self.dose_um[at]);
        let (at_a, at_b) = (self.lightness[at - 1], self.lightness[at]);
        Some(a + (b - a) * (at_a - wanted_l) / (at_a - at_b))
    }
}

/// L* of a dose, where it is lowest between two ends that it falls from and rises to: by golden sections over ln of the
/// dose. `(dose, µm; L*)`.
pub(crate) fn darkest_between(
    (from_um, to_um): (f64, f64),
    shortened: u32,
    mut lightness_at: impl FnMut(f64) -> f64,
) -> (f64, f64) {
    let golden = 0.5 * (libm::sqrt(5.0) - 1.0);
    let mut at = |ln_um: f64| (ln_um, lightness_at(libm::exp(ln_um)));
    let (mut from, mut to) = (libm::log(from_um), libm::log(to_um));
    let mut less = at(to - golden * (to - from));
    let mut more = at(from + golden * (to - from));
    for _ in 0..shortened {
        if less.1 < more.1 {
            (to, more) = (more.0, less);
            less = at(to - golden * (to - from));
        } else {
            (from, less) = (less.0, more);
            more = at(from + golden * (to - from));
        }
    }
    let (ln_um, l) = if less.1 < more.1 { less } else { more };
    (libm::exp(ln_um), l)
}

/// Prints plain areas of this ground until its way down to the darkest is known.
#[must_use]
pub fn tone_response(plate: &Plate, renderer: &mut Renderer) -> ToneResponse {
    let view = View::first();
    let mut looking = renderer.look(plate, &view);
    let tones = looking.tones_by_dose();
    let mut known: Vec<(f64, f64)> =
        tones.dose_um.iter().copied().zip(tones.lightness.iter().copied()).collect();
    let mut darkest_um = tones.darkest_um;
    let last_um = |known: &[(f64, f64)]| known.last().map_or(0.0, |last| last.0);
    if darkest_um >= last_um(&known) {
        // A ground that covers much darkens on beyond what the table shows.
        let lowest = |known: &[(f64, f64)]| known.iter().fold(f64::INFINITY, |l, one| l.min(one.1));
        while known[known.len() - 1].1 <= lowest(&known) && last_um(&known) < DEEPEST_UM {
            let next_um = (last_um(&known) * DEEPER).min(DEEPEST_UM);
            known.push((next_um, looking.lightness_at(next_um)));
        }
        let [.., before, _, last] = &known[..] else { unreachable!("there are more than three") };
        darkest_um = last.0;
        if last.1 > lowest(&known) {
            let ends = (before.0, last.0);
            darkest_um = darkest_between(ends, DEEPER_SHORTENED, |um| looking.lightness_at(um)).0;
        }
    }
    let breaks_down = known.last().is_some_and(|last| darkest_um < last.0);
    known.retain(|&(dose_um, _)| dose_um < darkest_um);
    known.push((darkest_um, looking.lightness_at(darkest_um)));
    // The parabola through three points may miss the darkest by a little.
    end_at_the_darkest(&mut known);
    let mut at = 1;
    while at < known.len() && known.len() < MOST {
        let (a, b) = (known[at - 1], known[at]);
        let middle = 0.5 * (a.0 + b.0);
        let l = looking.lightness_at(middle);
        known.insert(at, (middle, l));
        // A half that follows a line this straight is straighter still, by a quarter.
        at += if (l - 0.5 * (a.1 + b.1)).abs() > STRAIGHT_L { 0 } else { 2 };
    }
    // Where copper grows no rougher, less prints as dark.
    end_at_the_darkest(&mut known);
    ToneResponse {
        dose_um: known.iter().map(|&(dose_um, _)| dose_um).collect(),
        lightness: known.iter().map(|&(_, l)| l).collect(),
        breaks_down,
    }
}

/// Leaves out what lies beyond the smallest of the doses that print darkest.
fn end_at_the_darkest(known: &mut Vec<(f64, f64)>) {
    let darkest =
        (0..known.len()).fold(0, |best, i| if known[i].1 < known[best].1 { i } else { best });
    known.truncate(darkest + 1);
}
