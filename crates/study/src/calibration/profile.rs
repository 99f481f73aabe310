//! Limits of each constant: how far it can go, the others following, before the readings object.
//!
//! The Jacobian at the solution gives the first guess. Since tone is no straight line in the constants,
//! the limit is then sought where the cost has really risen by t² (D. M. Bates & D. G. Watts, Nonlinear
//! Regression Analysis and Its Applications, 1988, ch. 6: profile t).

use crate::calibration::solve::Problem;
use nalgebra::DVector;

/// Corrections of the first guess.
const CORRECTIONS: usize = 5;
/// Near enough to t.
const NEAR: f64 = 0.03;
/// Farther than this many usual deviations no constant is sought.
const FARTHEST: f64 = 3.0;

/// Lower and upper limit of each constant that a deviation is given of, in usual deviations off its value in force; and whether they
/// hold two valleys. `off` is the
/// solution, `others` where other searches ended, `deviation` that of each constant by the Jacobian.
pub(crate) fn limits(
    problem: &Problem<'_>,
    off: &DVector<f64>,
    others: &[DVector<f64>],
    deviation: &[f64],
    t: f64,
) -> (Vec<(f64, f64)>, bool) {
    let free = problem.free();
    let least = problem.cost(off);
    let mut all = Vec::with_capacity(deviation.len());
    for (i, &deviation) in deviation.iter().enumerate() {
        let at = match free.iter().position(|&one| one == i) {
            Some(place) => off[place],
            None => problem.sought[i].off(problem.constants(off)[i]),
        };
        all.push((
            limit(problem, off, i, at, -deviation, least, t),
            limit(problem, off, i, at, deviation, least, t),
        ));
    }
    let mut two = false;
    // Another valley that the readings hardly object to belongs within the limits as well.
    for other in others.iter().filter(|other| problem.cost(other) < least + t * t) {
        for (place, &i) in free.iter().enumerate().filter(|(_, i)| **i < deviation.len()) {
            two |= other[place] < all[i].0 - deviation[i] || other[place] > all[i].1 + deviation[i];
            all[i].0 = all[i].0.min(other[place] - deviation[i]);
            all[i].1 = all[i].1.max(other[place] + deviation[i]);
        }
    }
    (all, two)
}

fn limit(
    problem: &Problem<'_>,
    off: &DVector<f64>,
    i: usize,
    at: f64,
    deviation: f64,
    least: f64,
    t: f64,
) -> f64 {
    let mut away = (t * deviation).clamp(-FARTHEST, FARTHEST);
    if away.abs() < 1e-9 {
        return at;
    }
    let free = problem.free();
    let mut held = problem.held.clone();
    // The others begin where they are, and follow.
    let mut rest = DVector::from_iterator(
        free.iter().filter(|&&one| one != i).count(),
        free.iter().zip(off.iter()).filter(|(one, _)| **one != i).map(|(_, &off)| off),
    );
    for _ in 0..CORRECTIONS {
        held[i] = Some(problem.sought[i].at(at + away));
        let other = Problem { held: held.clone(), ..*problem };
        rest = other.solve(rest).0;
        let moved = at + away;
        let rise = other.cost(&rest) + moved * moved
            - least
            - if free.contains(&i) { 0.0 } else { at * at };
        let reached = libm::sqrt(rise.max(0.0));
        if (reached - t).abs() < NEAR * t {
            break;
        }
        // t grows about evenly with the way gone.
        away = (away * (t / reached.max(0.25 * t)).clamp(0.5, 2.0)).clamp(-FARTHEST, FARTHEST);
    }
    at + away
}

#[cfg(test)]
mod tests {
    use super::limits;
    use crate::calibration::solve::{Prints, Problem, Sought};
    use nalgebra::DVector;

    /// Prints alike with a constant and with its opposite.
    struct Alike;

    impl Prints for Alike {
        fn lightness(&self, step: usize, constants: &[f64]) -> f64 {
            50.0 + 10.0 * (step as f64 + 1.0) * constants[0] * constants[0]
        }
    }

    #[test]
    fn another_valley_is_told_and_belongs_within_the_limits_on_either_side() {
        let sought = [Sought::even("bite.rate_um_per_min", 0.0, 1.0, (-3.0, 3.0))];
        let readings = [(0, 60.0), (1, 70.0)];
        let problem = Problem {
            prints: &Alike,
            sought: &sought,
            readings: &readings,
            noise_l: 1.0,
            held: vec![None],
        };
        let at = |off: f64| DVector::from_element(1, off);
        for side in [1.0, -1.0] {
            let (found, two) = limits(&problem, &at(side), &[at(-side)], &[0.05], 2.0);
            let (least, most) = found[0];
            assert!(two, "{side}: the other is told");
            assert!(least < -1.0 && most > 1.0, "{side}: both lie within {least} to {most}");
            let (found, two) = limits(&problem, &at(side), &[], &[0.05], 2.0);
            let (least, most) = found[0];
            assert!(!two && least < side && side < most && most - least < 1.0, "{side} alone");
        }
    }
}
