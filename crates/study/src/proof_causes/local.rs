//! Local causes: what may have gone wrong at one place of the plate, from where a proof is lighter or darker than its own values.
//!
//! Each kind of fault leaves its own marks: which values it moves and which way, how far its place is even or in patches, and
//! whether it keeps to the edges. What it does to each value is asked of the chain itself. For a place and a reach
//! the differences read are then as likely as a Gaussian field has them whose mean and covariance are that kind's, beside what
//! is never known: each value's own level, a slope over the plate, the unevenness of hand and light, and the scatter. Over
//! places and reaches likelihoods are added up, by Bayes' rule, with nothing local among the causes.

mod marks;

use super::causes::ProofTables;
use super::words;
use crate::calibration::misfit::in_ten;
use nalgebra::{DMatrix, DVector};
use plan::{FaultKind, Plan, Sentence};
use plate::Refused;
use serde::{Deserialize, Serialize};

/// A small square of one value on a proof.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
pub struct PlaceSeen {
    /// Which value.
    pub value: usize,
    /// Its middle, mm on the print.
    pub x_mm: f64,
    /// The same from the top.
    pub y_mm: f64,
    /// By how much it is lighter than its value is on the whole, L*.
    pub lighter_l: f64,
    /// Standard error of that for what scatters from cell to cell, L*.
    pub good_to_l: f64,
}

/// What may have gone wrong at one place.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct LocalSuspect {
    /// Which fault; `null` is something local that is like none of them.
    pub kind: Option<FaultKind>,
    /// How likely it is that there is this and no other, 0–1.
    pub share: f64,
    /// Its likeliest middle on the print, mm from the left.
    pub x_mm: f64,
    /// The same from the top.
    pub y_mm: f64,
    /// How far it then reaches, mm.
    pub radius_mm: f64,
}

/// What is told of local causes. What shares and `unseen` leave is the chance that nothing local went wrong.
#[derive(Clone, Debug, Default, PartialEq, Serialize, ts_rs::TS)]
pub struct Local {
    /// Causes of what stands out at a place, the likeliest first.
    pub suspects: Vec<LocalSuspect>,
    /// How likely it is that something local went wrong that does not stand out, 0–1.
    pub unseen: f64,
    /// The same in a sentence; nothing where nothing local stands out.
    pub said: Option<Sentence>,
}

/// A kind that shows in differences over some mm (`docs/physics/faults.md`): whether it falls off as its weight or as the root
/// of that, and how much its patches scatter about their mean, as a share of it, over which length, mm.
struct Shape {
    kind: FaultKind,
    root: bool,
    patchy: f64,
    patch_mm: f64,
}

const fn shape(kind: FaultKind, root: bool, patchy: f64, patch_mm: f64) -> Shape {
    Shape { kind, root, patchy, patch_mm }
}

const SHAPES: [Shape; 8] = [
    shape(FaultKind::Draught, true, 0.2, 4.0),
    shape(FaultKind::HotSpot, false, 0.15, 8.0),
    shape(FaultKind::UnderBaked, false, 0.15, 8.0),
    shape(FaultKind::Sediment, true, 0.65, 3.0),
    shape(FaultKind::UnevenWiping, true, 0.85, 3.5),
    shape(FaultKind::EdgeTone, false, 0.15, 4.0),
    shape(FaultKind::DryPaper, false, 0.15, 8.0),
    shape(FaultKind::WetPaper, true, 0.5, 2.0),
];

/// Of a hundred proofs, before anything is read (common practice, no source): nothing local, something too slight to stand out,
/// something like none of the kinds; the rest is shared evenly among these.
const NOTHING: f64 = 45.0;
const UNSEEN: f64 = 15.0;
const OTHERWISE: f64 = 5.0;
/// Reaches that are tried, mm, and those of an edge inwards.
const REACHES_MM: [f64; 4] = [7.0, 12.0, 20.0, 32.0];
const EDGES_MM: [f64; 3] = [6.0, 12.0, 20.0];
/// Distance of the places that are tried, mm, and how many of the likeliest are weighed.
const APART_MM: f64 = 6.0;
const MOST_PLACES: usize = 4;
/// Most squares that are weighed together.
const MOST_SQUARES: usize = 150;
/// What is never known: a value's own level, a slope from the middle to an edge, unevenness of hand and light and the length on
/// which it changes, and what is left, L* and mm (standard deviations; common practice, no source).
const LEVEL_L: f64 = 3.0;
const SLOPE_L: f64 = 1.0;
const HAND_L: f64 = 0.5;
const HAND_MM: f64 = 15.0;
const LEAST_L: f64 = 0.25;
/// What a fault does to a value is known to this share of it: the chain is asked about one size, at a few places.
const MARK_OFF: f64 = 0.2;
/// How far something like no kind moves all values alike, L* (standard deviation).
const OTHERWISE_L: f64 = 4.0;
/// What the fields leave out makes them too sure: the likelihood of anything local counts with the first power, which kind it is
/// with the second (tried on synthetic photographs).
const TEMPER: f64 = 0.6;
const TEMPER_OF_KINDS: f64 = 0.15;
/// Places that stand out by fewer standard errors than this are not weighed.
const STANDS_OUT: f64 = 4.0;
/// Fewest squares that tell anything.
const FEWEST: usize = 20;
/// From this chance on something local is told.
const TOLD: f64 = 0.5;

/// A kind weighed at a place.
struct Tried {
    kind: Option<usize>,
    ln: f64,
    at: [f64; 3],
}

/// Squares weighed together, with all that is never known.
struct Squares<'a> {
    seen: Vec<&'a PlaceSeen>,
    unknown: DMatrix<f64>,
}

/// Logarithm of the likelihood of differences about a mean with a covariance, but for its constant.
fn ln_likely(off: DVector<f64>, covariance: DMatrix<f64>) -> f64 {
    let Some(root) = covariance.cholesky() else { return f64::NEG_INFINITY };
    let ln_root: f64 = root.l_dirty().diagonal().iter().map(|one| libm::log(*one)).sum();
    -0.5 * off.dot(&root.solve(&off)) - ln_root
}

/// How alike two places are that lie so far apart.
fn alike(a: &PlaceSeen, b: &PlaceSeen, length_mm: f64) -> f64 {
    let (dx, dy) = ((a.x_mm - b.x_mm) / length_mm, (a.y_mm - b.y_mm) / length_mm);
    libm::exp(-0.5 * (dx * dx + dy * dy))
}

impl<'a> Squares<'a> {
    fn new(mut seen: Vec<&'a PlaceSeen>, (width_mm, height_mm): (f64, f64)) -> Self {
        // Every so many of too many.
        let every = seen.len().div_ceil(MOST_SQUARES).max(1);
        seen = seen.into_iter().step_by(every).collect();
        let slope =
            |at: &PlaceSeen| (2.0 * at.x_mm / width_mm - 1.0, 2.0 * at.y_mm / height_mm - 1.0);
        let unknown = DMatrix::from_fn(seen.len(), seen.len(), |i, j| {
            let (a, b) = (seen[i], seen[j]);
            let ((au, av), (bu, bv)) = (slope(a), slope(b));
            let level = if a.value == b.value { LEVEL_L * LEVEL_L } else { 0.0 };
            let own = a.good_to_l * a.good_to_l + LEAST_L * LEAST_L;
            level
                + SLOPE_L * SLOPE_L * (au * bu + av * bv)
                + HAND_L * HAND_L * alike(a, b, HAND_MM)
                + if i == j { own } else { 0.0 }
        });
        Self { seen, unknown }
    }

    fn off(&self) -> DVector<f64> {
        DVector::from_iterator(self.seen.len(), self.seen.iter().map(|at| at.lighter_l))
    }

    /// Nothing local.
    fn ln_nothing(&self) -> f64 {
        ln_likely(self.off(), self.unknown.clone())
    }

    /// A field that moves each square by `full_l` at the full size; the size is anything from 0 to 1.
    fn ln_moved(&self, full_l: &[f64], shape: &Shape) -> f64 {
        let Shape { patchy, patch_mm, .. } = *shape;
        // Mean of an even size, its variance, and the mean of its square.
        let (mean, variance, square) = (0.5, 1.0 / 12.0, 1.0 / 3.0);
        let off =
            self.off() - DVector::from_iterator(full_l.len(), full_l.iter().map(|l| mean * l));
        let mut covariance = self.unknown.clone();
        for i in 0..full_l.len() {
            for j in 0..full_l.len() {
                let patches =
                    square * patchy * patchy * alike(self.seen[i], self.seen[j], patch_mm);
                let same = self.seen[i].value == self.seen[j].value;
                let own = if same { square * MARK_OFF * MARK_OFF } else { 0.0 };
                covariance[(i, j)] += full_l[i] * full_l[j] * (variance + patches + own);
            }
        }
        ln_likely(off, covariance)
    }

    /// Something that moves all values alike, either way.
    fn ln_otherwise(&self, weight: &[f64]) -> f64 {
        let mut covariance = self.unknown.clone();
        for i in 0..weight.len() {
            for j in 0..weight.len() {
                let patches = 0.5 + 0.5 * alike(self.seen[i], self.seen[j], 6.0);
                covariance[(i, j)] += OTHERWISE_L * OTHERWISE_L * weight[i] * weight[j] * patches;
            }
        }
        ln_likely(self.off(), covariance)
    }
}

/// How much of a fault there is at a place: [1 − d²/R²]².
fn weight(at: &PlaceSeen, [x_mm, y_mm, radius_mm]: [f64; 3]) -> f64 {
    let (dx, dy) = (at.x_mm - x_mm, at.y_mm - y_mm);
    let inside = (1.0 - (dx * dx + dy * dy) / (radius_mm * radius_mm)).max(0.0);
    inside * inside
}

/// Places that differ most from their values on the whole, whatever made them; none where nothing stands out.
fn places(seen: &[PlaceSeen], (width_mm, height_mm): (f64, f64)) -> Vec<(f64, f64)> {
    let mut tried: Vec<(f64, (f64, f64))> = Vec::new();
    let steps = |mm: f64| (0..=libm::ceil(mm / APART_MM) as i64).map(|i| i as f64 * APART_MM);
    for y_mm in steps(height_mm) {
        for x_mm in steps(width_mm) {
            let mut most = 0.0_f64;
            for radius_mm in REACHES_MM {
                let (mut sum, mut squares) = (0.0, 0.0);
                for at in seen {
                    let own = weight(at, [x_mm, y_mm, radius_mm]);
                    let variance = at.good_to_l * at.good_to_l + HAND_L * HAND_L;
                    sum += own * at.lighter_l / variance;
                    squares += own * own / variance;
                }
                most = most.max(sum.abs() / libm::sqrt(squares.max(1e-9)));
            }
            tried.push((most, (x_mm, y_mm)));
        }
    }
    tried.retain(|(most, _)| *most >= STANDS_OUT);
    // The largest again and again: a sort would weigh more than all of this.
    let mut found: Vec<(f64, f64)> = Vec::new();
    while found.len() < MOST_PLACES {
        let largest = tried.iter().max_by(|a, b| a.0.total_cmp(&b.0));
        let Some(&(_, (x, y))) = largest else { break };
        found.push((x, y));
        tried.retain(|(_, (a, b))| libm::hypot(a - x, b - y) >= APART_MM - 0.1);
    }
    found
}

/// What of a proof's differences from place to place may be the work of a local fault.
///
/// # Errors
/// As [`plate::Plate::of`].
pub(super) fn local(
    plan: &Plan,
    tables: &ProofTables,
    seen: &[PlaceSeen],
) -> Result<Local, Refused> {
    let values = plan.bites.len() + 1;
    let sound =
        |at: &&PlaceSeen| at.value < values && at.lighter_l.is_finite() && at.good_to_l.is_finite();
    let seen: Vec<PlaceSeen> = seen.iter().filter(sound).copied().collect();
    if seen.len() < FEWEST {
        return Ok(Local::default());
    }
    let size_mm = (plan.plate.width_mm, plan.plate.height_mm);
    let places = places(&seen, size_mm);
    if places.is_empty() {
        return Ok(weighed(&[]));
    }
    let marks = marks::marks(plan, &tables.shares)?;
    let spots = SHAPES.len() as f64;
    let each = (100.0 - NOTHING - UNSEEN - OTHERWISE) / spots;
    let mut tried: Vec<Tried> = Vec::new();
    // Of all places that a spot may have, as many as one that is tried stands for.
    let area = APART_MM * APART_MM / (size_mm.0 * size_mm.1).max(APART_MM * APART_MM);
    for (x_mm, y_mm) in places {
        for radius_mm in REACHES_MM {
            let at = [x_mm, y_mm, radius_mm];
            let far =
                |one: &&PlaceSeen| libm::hypot(one.x_mm - x_mm, one.y_mm - y_mm) < radius_mm + 10.0;
            let squares = Squares::new(seen.iter().filter(far).collect(), size_mm);
            if squares.seen.len() < FEWEST / 2 {
                continue;
            }
            let nothing = squares.ln_nothing();
            let before = area / REACHES_MM.len() as f64;
            let weights: Vec<f64> = squares.seen.iter().map(|one| weight(one, at)).collect();
            let mut put = |kind, ln: f64, share: f64| {
                let ln = libm::log(share * before) + TEMPER * (ln - nothing);
                tried.push(Tried { kind, ln, at });
            };
            for (number, (shape, mark)) in SHAPES.iter().zip(&marks).enumerate() {
                if shape.kind == FaultKind::EdgeTone {
                    continue;
                }
                let full_l: Vec<f64> = squares
                    .seen
                    .iter()
                    .zip(&weights)
                    .map(|(one, &weight)| {
                        let weight = if shape.root { libm::sqrt(weight) } else { weight };
                        mark[one.value] * weight
                    })
                    .collect();
                put(Some(number), squares.ln_moved(&full_l, shape), each);
            }
            put(None, squares.ln_otherwise(&weights), OTHERWISE);
        }
    }
    let along = SHAPES.iter().position(|shape| shape.kind == FaultKind::EdgeTone);
    for (number, reach_mm) in along.into_iter().flat_map(|at| EDGES_MM.map(|mm| (at, mm))) {
        let from_edge = |one: &PlaceSeen| {
            let across = one.x_mm.min(size_mm.0 - one.x_mm);
            across.min(one.y_mm.min(size_mm.1 - one.y_mm)).max(0.0)
        };
        let near = |one: &&PlaceSeen| from_edge(one) < reach_mm + 10.0;
        let squares = Squares::new(seen.iter().filter(near).collect(), size_mm);
        if squares.seen.len() < FEWEST / 2 {
            continue;
        }
        let (mark, shape) = (&marks[number], &SHAPES[number]);
        let moved = |one: &&PlaceSeen| {
            let inside = (1.0 - from_edge(one) / reach_mm).max(0.0);
            mark[one.value] * inside * inside
        };
        let full_l: Vec<f64> = squares.seen.iter().map(moved).collect();
        let ln = squares.ln_moved(&full_l, shape) - squares.ln_nothing();
        let share = libm::log(each / EDGES_MM.len() as f64);
        let at = [0.0, 0.5 * size_mm.1, reach_mm];
        tried.push(Tried { kind: Some(number), ln: share + TEMPER * ln, at });
    }
    Ok(weighed(&tried))
}

/// Every kind with all its places together.
fn weighed(tried: &[Tried]) -> Local {
    let nothing = libm::log(NOTHING);
    let most = tried.iter().fold(nothing, |most, one| most.max(one.ln));
    let likely = |ln: f64| libm::exp(ln - most);
    let local: f64 = tried.iter().map(|one| likely(one.ln)).sum();
    let none = likely(nothing);
    let unseen = none * UNSEEN / NOTHING;
    let all = local + none + unseen;
    let (any, unseen) = (local / all, unseen / all);
    let mut suspects: Vec<LocalSuspect> = Vec::new();
    for kind in (0..SHAPES.len()).map(Some).chain([None]) {
        let of_kind = || tried.iter().filter(move |one| one.kind == kind);
        let Some(best) = of_kind().max_by(|a, b| a.ln.total_cmp(&b.ln)) else { continue };
        let [x_mm, y_mm, radius_mm] = best.at;
        let sum: f64 = of_kind().map(|one| likely(one.ln)).sum();
        let share = libm::pow(sum, TEMPER_OF_KINDS / TEMPER);
        let kind = kind.map(|number| SHAPES[number].kind);
        let suspect = LocalSuspect { kind, share, x_mm, y_mm, radius_mm };
        let place = suspects.iter().position(|other| other.share < share);
        suspects.insert(place.unwrap_or(suspects.len()), suspect);
    }
    let sum: f64 = suspects.iter().map(|one| one.share).sum();
    suspects.iter_mut().for_each(|one| one.share *= any / sum.max(f64::MIN_POSITIVE));
    let said = (any >= TOLD).then(|| words::local(&suspects, &in_ten(any)));
    Local { suspects, unseen, said }
}
