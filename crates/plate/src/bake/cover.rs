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

/// Cover at which domes settle that merge whenever they touch, whatever the dust. Fitted to simulation;
/// breath figures settle at about 0.55 too (from memory).
pub const MERGED_AT_MOST: f64 = 0.545;

/// Pinning from which domes hide as much as if all lay where they fell: what those take away that still
/// merge, the others give back that no longer overlap them. Fitted to simulation, ±0.02 for cover up to 0.94.
pub const AS_FALLEN_FROM: f64 = 0.34;

/// Cover where all that touch merge into round domes, 0.545·(1 − e^(−1.84n − 0.10n²)): fitted to
/// simulation, ±0.003 for one size and n up to 3.
#[must_use]
pub fn merged_cover(n: f64) -> f64 {
    MERGED_AT_MOST * -libm::expm1(-(1.84 * n + 0.10 * n * n))
}

/// Cover of domes that had merged to `merged` (0–1, exclusive of 1) and then spread over one another
/// till each covers `growth` times as much. Merged domes stand evenly, so they close faster than a
/// random fall: −ln(1 − C) grows as the square. Within 0.03 of simulation for growth 1 to 2.7.
#[must_use]
pub fn spread_after_merging(merged: f64, growth: f64) -> f64 {
    -libm::expm1(libm::log1p(-merged) * growth * growth)
}

/// `n` of melted grains that hid `loose_cover` (0–1, exclusive of 1) of the copper when loose:
/// −r·ln(1 − C), with the [`area_ratio`](super::cap::area_ratio) r.
#[must_use]
pub fn melted_area(loose_cover: f64, area_ratio: f64) -> f64 {
    -area_ratio * libm::log1p(-loose_cover)
}
