//! Student's t: how wide limits must be when there are few readings.

/// ln Γ(x), x > 0.
fn ln_gamma(x: f64) -> f64 {
    libm::lgamma(x)
}

/// Regularised incomplete beta function I_x(a, b), by its continued fraction
/// (W. H. Press et al., Numerical Recipes, §6.4: Lentz's method).
fn beta_share(a: f64, b: f64, x: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if x >= 1.0 {
        return 1.0;
    }
    // The fraction is quick below the mean; above it the other side is.
    if x > (a + 1.0) / (a + b + 2.0) {
        return 1.0 - beta_share(b, a, 1.0 - x);
    }
    let front = libm::exp(
        ln_gamma(a + b) - ln_gamma(a) - ln_gamma(b) + a * libm::log(x) + b * libm::log(1.0 - x),
    ) / a;
    let away = |v: f64| if v.abs() < 1e-300 { 1e-300 } else { v };
    let (mut c, mut d) = (1.0, 1.0 / away(1.0 - (a + b) * x / (a + 1.0)));
    let mut fraction = d;
    for m in 1..200 {
        let m = f64::from(m);
        for numerator in [
            m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0)),
        ] {
            d = 1.0 / away(1.0 + numerator * d);
            c = away(1.0 + numerator / c);
            fraction *= c * d;
        }
    }
    front * fraction
}

/// The t that lies above a share (above one half) of Student's distribution with so many degrees of
/// freedom, 0.5 or more; any fraction of one will do.
#[must_use]
pub fn t_quantile(share: f64, freedom: f64) -> f64 {
    let freedom = freedom.max(0.5);
    let below = |t: f64| 1.0 - 0.5 * beta_share(0.5 * freedom, 0.5, freedom / (freedom + t * t));
    let (mut low, mut high) = (0.0, 1.0);
    while below(high) < share && high < 1e9 {
        high *= 2.0;
    }
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if below(middle) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::t_quantile;

    /// Table of Student's t, two-sided 95 %: National Institute of Standards and Technology,
    /// e-Handbook of Statistical Methods, §1.3.6.7.2.
    #[test]
    fn the_table_of_t() {
        for (freedom, t) in
            [(1.0, 12.706), (2.0, 4.303), (4.0, 2.776), (10.0, 2.228), (100.0, 1.984)]
        {
            let found = t_quantile(0.975, freedom);
            assert!((found - t).abs() < 6e-4, "{freedom} degrees of freedom: {found}, not {t}");
        }
    }

    /// Closed forms: with one degree of freedom (Cauchy's distribution) t = tan π(p − ½), with two
    /// t = √2 (2p − 1) / √(1 − (2p − 1)²).
    #[test]
    fn near_the_middle_it_is_the_closed_form() {
        for share in [0.52, 0.6, 0.7] {
            let off = 2.0 * share - 1.0;
            let one = libm::tan(core::f64::consts::FRAC_PI_2 * off);
            let two = core::f64::consts::SQRT_2 * off / libm::sqrt(1.0 - off * off);
            for (freedom, t) in [(1.0, one), (2.0, two)] {
                let found = t_quantile(share, freedom);
                assert!((found - t).abs() < 1e-9, "{share} of {freedom}: {found}, not {t}");
            }
        }
    }
}
