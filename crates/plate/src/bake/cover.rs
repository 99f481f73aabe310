//! Cover: closed forms of what share of the copper ends up under resin.
//!
//! `n` is the melted footprints' total area over the plate's, overlaps counted twice. These are
//! estimates for words and tests; the cover of a real ground is counted on its domes.

/// Cover where melted grains stay where they fell: 1 − e^(−n) (Boolean model: Chiu, Stoyan, Kendall
/// & Mecke, *Stochastic Geometry and its Applications*, 3rd ed. 2013, §3.2). `n` 0 or more.
#[must_use]
pub fn pinned_cover(n: f64) -> f64 {
    -libm::expm1(-n)
}

/// Cover where all that touch merge into round domes, 0.545·(1 − e^(−1.84n − 0.10n²)): fitted to
/// simulation, ±0.003 for one size and n up to 3. Drops on cold glass settle at about the same 0.55.
#[must_use]
pub fn merged_cover(n: f64) -> f64 {
    0.545 * -libm::expm1(-(1.84 * n + 0.10 * n * n))
}

/// `n` of melted grains that hid `loose_cover` (0–1, exclusive of 1) of the copper when loose:
/// −r·ln(1 − C), with the [`area_ratio`](super::cap::area_ratio) r.
#[must_use]
pub fn melted_area(loose_cover: f64, area_ratio: f64) -> f64 {
    -area_ratio * libm::log1p(-loose_cover)
}
