//! How sure the numbers are that pictures of dust and ground tell.

use super::{GroundMeasures, Measures};

/// How far a reading is off besides what its level and its number of islands let expect (standard deviations): half
/// of what the tests of reading allow.
const COVER_OFF: f64 = 0.015;
const SHARE_OFF: f64 = 0.075;
const OUTLINE_OFF: f64 = 0.03;

/// How many islands there happen to be: the variance of the ln of a count.
fn few(islands: f64) -> f64 {
    1.0 / islands.max(1.0)
}

/// Standard deviation of a cover that was measured: the level, the method, and how few islands there are.
fn cover_off(reading: &GroundMeasures) -> f64 {
    let level = 0.25 * (reading.cover_high - reading.cover_low);
    let place = reading.cover * (1.0 - reading.cover);
    libm::sqrt(level * level + COVER_OFF * COVER_OFF + place * place * few(reading.islands))
}

/// Standard deviation of the ln of a shadow number s that a cover tells: a cover of 1 − e⁻ˢ changes by 1 − cover of
/// what s does.
pub(super) fn ln_shadow_off(reading: &GroundMeasures, shadow: f64) -> f64 {
    cover_off(reading) / ((1.0 - reading.cover) * shadow)
}

/// How far numbers miss, squared, in their deviations, where all may follow one that is off by a deviation: the inverse
/// of V + f fᵀ by J. Sherman & W. J. Morrison, Ann. Math. Stat. 21 (1950) 124.
pub(super) fn apart(miss: &Measures, follows: &Measures, variance: &Measures) -> f64 {
    let weighed =
        |a: &Measures, b: &Measures| -> f64 { (0..4).map(|i| a[i] * b[i] / variance[i]).sum() };
    let along = weighed(follows, miss);
    weighed(miss, miss) - along * along / (1.0 + weighed(follows, follows))
}

/// How sure each number is that both pictures tell together: its variance.
pub(super) fn variances(dust: &GroundMeasures, melted: &GroundMeasures) -> Measures {
    let counted = few(dust.islands) + few(melted.islands);
    let cover = cover_off(melted);
    let share = 2.0 * SHARE_OFF * SHARE_OFF + counted;
    [cover * cover, share, share, 2.0 * OUTLINE_OFF * OUTLINE_OFF + 0.25 * counted]
}

#[cfg(test)]
mod tests {
    use super::{GroundMeasures, apart, cover_off, ln_shadow_off, variances};
    use nalgebra::{SMatrix, SVector};

    /// A ground as it was read, its level open by so much on both sides.
    fn reading(cover: f64, islands: f64, level: f64) -> GroundMeasures {
        GroundMeasures {
            cover,
            cover_low: cover - level,
            cover_high: cover + level,
            islands,
            seen_per_mm2: 1.0,
            islands_per_mm2: 1.0,
            median_width_um: None,
            outline_per_mm: 1.0,
            blur_um: 1.0,
            px_um: 1.0,
        }
    }

    /// By hand, with the deviations of `COVER_OFF`, `SHARE_OFF` and `OUTLINE_OFF`: levels that leave a cover of half
    /// open by 8 % make a deviation of 2 %, 100 islands one of a tenth in their count, and of a twentieth in a length.
    #[test]
    fn few_islands_and_a_soft_level_are_less_sure() {
        let [cover, count, width, outline] =
            variances(&reading(0.5, 50.0, 0.0), &reading(0.5, 100.0, 0.04));
        for (found, by_hand) in [
            (cover, 0.02 * 0.02 + 0.015 * 0.015 + 0.25 * 0.25 * 0.01),
            (count, 2.0 * 0.075 * 0.075 + 0.02 + 0.01),
            (width, 2.0 * 0.075 * 0.075 + 0.02 + 0.01),
            (outline, 2.0 * 0.03 * 0.03 + 0.25 * 0.03),
        ] {
            assert!((found - by_hand).abs() < 1e-12, "{found}, not {by_hand}");
        }
    }

    #[test]
    fn a_shadow_number_is_as_sure_as_the_cover_that_tells_it() {
        let shadow = 0.7;
        let cover = |shadow: f64| 1.0 - libm::exp(-shadow);
        let read = reading(cover(shadow), 400.0, 0.0);
        // By the slope of the curve, from a small step of ln s.
        let step = 1e-5;
        let slope = (cover(shadow * libm::exp(step)) - cover(shadow)) / step;
        let (found, by_slope) = (ln_shadow_off(&read, shadow), cover_off(&read) / slope);
        assert!((found / by_slope - 1.0).abs() < 1e-4, "{found}, not {by_slope}");
    }

    #[test]
    fn what_follows_one_number_counts_for_less() {
        let (miss, follows) = ([0.3, -0.2, 0.5, 0.1], [0.8, -0.1, 0.4, 0.2]);
        let variance = [0.04, 0.09, 0.25, 0.01];
        let vector = |of: [f64; 4]| SVector::<f64, 4>::from(of);
        let covariance = SMatrix::<f64, 4, 4>::from_diagonal(&vector(variance))
            + vector(follows) * vector(follows).transpose();
        let inverse = covariance.try_inverse().expect("a covariance");
        let by_matrix = (vector(miss).transpose() * inverse * vector(miss))[0];
        let found = apart(&miss, &follows, &variance);
        assert!((found - by_matrix).abs() < 1e-12, "{found}, not {by_matrix}");
    }
}
