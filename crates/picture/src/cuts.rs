//! Parting 256 tones into runs, and where the borders between them lie as L*.

/// Weight of every tone beside the picture's own, as a share of all pixels. It spreads values
/// sensibly over tones that the picture lacks (a flat or two-tone picture) and is too small to
/// move any border between tones that it has.
pub(crate) const EVERY_TONE: f64 = 1e-7;

/// Thresholds that part the tones at these cuts (first tone of every run but the lowest, ascending):
/// L* from light to dark, as a plan takes them.
pub(crate) fn levels_of_cuts(cuts: &[usize], counts: &[u64; 256]) -> Vec<f64> {
    let mut levels: Vec<f64> = cuts
        .iter()
        .rev()
        .map(|cut| {
            // Anywhere between the two tones parts them; the middle between the nearest tones that
            // the picture really has keeps clear of both.
            let below = (0..*cut).rev().find(|tone| counts[*tone] > 0).unwrap_or(*cut - 1);
            let above = (*cut..256).find(|tone| counts[*tone] > 0).unwrap_or(*cut);
            let previous = cuts.iter().rev().find(|other| *other < cut).copied().unwrap_or(0);
            let next = cuts.iter().find(|other| *other > cut).copied().unwrap_or(256);
            let (below, above) = (below.max(previous), above.min(next - 1));
            round_half((below + above) as f64 / 2.0 / 2.55)
        })
        .collect();
    part(&mut levels);
    levels
}

/// L* in steps of 0.5.
fn round_half(lightness: f64) -> f64 {
    libm::floor(lightness * 2.0 + 0.5) / 2.0
}

/// Keeps thresholds at least 0.5 apart, below white (so that white stays paper) and not below 0.
fn part(levels: &mut [f64]) {
    let count = levels.len();
    let mut ceiling = 99.5;
    for (i, level) in levels.iter_mut().enumerate() {
        let floor = 0.5 * (count - 1 - i) as f64;
        *level = level.clamp(floor, ceiling);
        ceiling = *level - 0.5;
    }
}

/// Cuts 256 tones into `classes` runs, none empty, at the least sum of costs; `cost` is told the run's
/// place from the darkest (0), its first tone and the first tone after it. Gives that sum and the
/// first tone of every run but the lowest, ascending. By dynamic programming: Fisher 1958.
pub(crate) fn cheapest_cuts(
    classes: usize,
    cost: impl Fn(usize, usize, usize) -> f64,
) -> (f64, Vec<usize>) {
    // best[until]: least cost of the tones below `until` in the classes so far.
    let mut best: Vec<f64> =
        (0..=256).map(|until| if until == 0 { 0.0 } else { cost(0, 0, until) }).collect();
    let mut choices: Vec<Vec<usize>> = Vec::new();
    for class in 1..classes {
        let mut next = vec![f64::INFINITY; 257];
        let mut choice = vec![class; 257];
        for until in class + 1..=256 {
            for (from, before) in best.iter().enumerate().take(until).skip(class) {
                let total = before + cost(class, from, until);
                if total < next[until] {
                    next[until] = total;
                    choice[until] = from;
                }
            }
        }
        best = next;
        choices.push(choice);
    }
    let mut cuts = Vec::new();
    let mut until = 256;
    for choice in choices.iter().rev() {
        until = choice[until];
        cuts.push(until);
    }
    cuts.reverse();
    (best[256], cuts)
}

#[cfg(test)]
mod tests {
    use super::cheapest_cuts;

    /// Squared distance to the mean, straight from its definition.
    fn error(weights: &[f64], from: usize) -> f64 {
        let total: f64 = weights.iter().sum();
        let at = |i: usize| (from + i) as f64;
        let mean = weights.iter().enumerate().map(|(i, w)| w * at(i)).sum::<f64>() / total;
        weights.iter().enumerate().map(|(i, w)| w * (at(i) - mean) * (at(i) - mean)).sum()
    }

    /// The cuts with the least squared distance to the runs' means.
    fn least_error_cuts(weights: &[f64; 256], classes: usize) -> Vec<usize> {
        cheapest_cuts(classes, |_, from, until| error(&weights[from..until], from)).1
    }

    fn error_of_cuts(weights: &[f64; 256], cuts: &[usize]) -> f64 {
        let mut from = 0;
        let mut total = 0.0;
        for until in cuts.iter().copied().chain([256]) {
            total += error(&weights[from..until], from);
            from = until;
        }
        total
    }

    #[test]
    fn no_other_cuts_err_less() {
        for seed in 1_usize..4 {
            let mut weights = [0.0; 256];
            for (i, weight) in weights.iter_mut().enumerate() {
                let scrambled = (i * seed).wrapping_mul(2_654_435_761) >> 7 & 63;
                *weight = 1.0 + (scrambled * scrambled) as f64;
            }
            let two = error_of_cuts(&weights, &least_error_cuts(&weights, 2));
            let three = error_of_cuts(&weights, &least_error_cuts(&weights, 3));
            let (mut least_two, mut least_three) = (f64::INFINITY, f64::INFINITY);
            for a in 1..256 {
                least_two = least_two.min(error_of_cuts(&weights, &[a]));
                for b in a + 1..256 {
                    least_three = least_three.min(error_of_cuts(&weights, &[a, b]));
                }
            }
            assert!(two <= least_two * (1.0 + 1e-9), "two classes: {two}, at best {least_two}");
            assert!(three <= least_three * (1.0 + 1e-9), "three: {three}, at best {least_three}");
        }
    }

    #[test]
    fn cuts_leave_no_class_empty() {
        let mut weights = [1e-9; 256];
        weights[17] = 1.0;
        for classes in 2..=13 {
            let cuts = least_error_cuts(&weights, classes);
            assert_eq!(cuts.len(), classes - 1, "one cut fewer than classes");
            assert!(cuts[0] > 0 && cuts.is_sorted_by(|a, b| a < b), "ascending: {cuts:?}");
        }
    }
}
