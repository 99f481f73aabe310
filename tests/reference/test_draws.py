"""Random draws of the ground against SciPy's distributions: numbers, sizes and places of grains.

Seeds are fixed, so a test that passes passes for ever; the bounds are those of one case in a thousand
over the whole of each comparison.
"""

import numpy as np
import pytest
from scipy import stats

# How dust lies: the default, a thin fine one, a coarse one of almost one size.
DUSTS = {
    "default": {},
    "thin and fine": {"median_um": 40.0, "powder_g_per_m2": 5.0, "wait_s": 90.0},
    "coarse, one size": {"median_um": 90.0, "spread_gsd": 1.15, "powder_g_per_m2": 8.0, "wait_s": 5.0, "box_height_m": 2.0},
}
CELLS = 20


def fall(ask, dust, seed, cell_x=0, cell_y=0):
    """The grains of a square of cells, and how many lie in each cell."""
    patch = ask("patch", dust=dust, seed=seed, cell_x=cell_x, cell_y=cell_y, cells=CELLS, margin=0)
    x, y = patch["grain_x_um"] / patch["cell_um"], patch["grain_y_um"] / patch["cell_um"]
    counts = np.histogram2d(y, x, bins=np.arange(CELLS + 1))[0]
    return patch, x, y, counts


def test_numbers_are_poisson_quantiles(compare, ask):
    """The number at each of 40 quantiles for 25 means: SciPy's inverse of the distribution."""
    rng = np.random.default_rng(8)
    ours, outside = [], []
    for mean in np.geomspace(0.02, 5000, 25):
        words = rng.integers(0, 2**64, 40, dtype=np.uint64)
        share = words.astype(float) / 2.0**64
        count = stats.poisson.ppf(share, mean)
        # A word within rounding of a border between two numbers may go to either side.
        gap = np.minimum(np.abs(stats.poisson.cdf(count, mean) - share), np.abs(stats.poisson.cdf(count - 1, mean) - share))
        safe = gap > 1e-11
        ours.extend(ask("counts", mean=mean, words=words)["count"][safe])
        outside.extend(count[safe])
    compare("number at a quantile", ours, outside, least=900, source="SciPy stats.poisson.ppf")


def test_sizes_are_quantiles_of_the_classes(compare, ask):
    """Volumes at 300 quantiles of a made-up set of classes, even in ln V inside each."""
    rng = np.random.default_rng(9)
    weight, width = rng.uniform(0.2, 3, 40), rng.uniform(0.05, 0.15, 40)
    start = 3 + np.concatenate([[0], np.cumsum(width)[:-1]])
    words = rng.integers(0, 2**32, 300)
    ours = ask("sizes", per_mm2=weight, ln_from=start, ln_width=width, words=words)["volume_um3"]
    classes = stats.rv_histogram((weight, np.append(start, start[-1] + width[-1])), density=False)
    compare("volume at a quantile, µm³", ours, np.exp(classes.ppf(words / 2.0**32)), rel=5e-5, least=300, source="SciPy stats.rv_histogram over ln V")


@pytest.mark.parametrize("name", DUSTS)
def test_sizes_follow_what_landed(compare, ask, name):
    """Kolmogorov–Smirnov of the drawn volumes against the landed classes, for ten seeds."""
    landed = ask("dust", dust=DUSTS[name])
    share = np.pi / 6
    ln_edges = np.log(share) + 3 * np.log(np.append(landed["from_um"], landed["to_um"][-1]))
    classes = stats.rv_histogram((landed["grains_per_mm2"], ln_edges), density=False)
    drawn = [fall(ask, DUSTS[name], seed)[0]["grain_um3"] for seed in range(10)]
    p = [stats.kstest(np.log(v), classes.cdf).pvalue for v in drawn]
    whole = np.concatenate(drawn)
    compare.within("least of ten chances of so large a gap", min(p), 1e-4, 1, source="SciPy kstest, landed size classes")
    compare.within(f"chance of so large a gap, all {whole.size} grains", stats.kstest(np.log(whole), classes.cdf).pvalue, 1e-3, 1, source="SciPy kstest, landed size classes")


@pytest.mark.parametrize("name", DUSTS)
def test_places_are_a_poisson_process(compare, ask, name):
    """Number per mm², spread of the counts, evenness within cells and independence between them, 12 seeds."""
    source = "SciPy; Poisson process, Chiu et al., Stochastic Geometry, 3rd ed. 2013, §2.4"
    landed = ask("dust", dust=DUSTS[name])
    total, dispersion, cells, across, down, beside = 0, 0.0, 0, [], [], []
    for seed in range(12):
        patch, x, y, counts = fall(ask, DUSTS[name], seed, cell_x=-7 * seed, cell_y=3 * seed)
        mean = patch["grains_per_mm2"] * (patch["cell_um"] / 1000) ** 2
        total += counts.sum()
        dispersion += ((counts - mean) ** 2 / mean).sum()
        cells += counts.size
        across.append(x % 1)
        down.append(y % 1)
        beside.append(np.corrcoef(counts[:, :-1].ravel(), counts[:, 1:].ravel())[0, 1])
        beside.append(np.corrcoef(counts[:-1].ravel(), counts[1:].ravel())[0, 1])
    compare("grains per mm², drawn and landed", patch["grains_per_mm2"], landed["all_grains_per_mm2"], rel=1e-5, source="the landed dust")
    expected = stats.poisson(mean * cells)
    compare.within("grains in all", total, *expected.ppf([5e-4, 1 - 5e-4]), source=source)
    # Variances of cells with a known mean: chi-square with as many degrees, widened for small means (kurtosis 1/mean).
    spread = np.sqrt(cells * (2 + 1 / mean))
    compare.within("dispersion of the counts", dispersion / cells, 1 - 3.3 * spread / cells, 1 + 3.3 * spread / cells, source="index of dispersion; " + source)
    for axis, places in (("across", across), ("down", down)):
        compare.within(f"evenness within cells, {axis}: chance", stats.kstest(np.concatenate(places), stats.uniform.cdf).pvalue, 1e-3, 1, source="SciPy kstest")
    limit = 3.3 / np.sqrt(len(beside) * CELLS * (CELLS - 1))
    compare.within("correlation of neighbouring cells", np.mean(beside), -limit, limit, source=source)


def test_seeds_and_places_differ(compare, ask):
    """Counts of cells under different seeds, and far apart, are not related."""
    grids = np.array([fall(ask, {}, seed, cell_x=x)[3].ravel() for seed in range(5) for x in (0, 1000, -1000)])
    links = np.corrcoef(grids)[np.triu_indices(len(grids), 1)]
    limit = 4.0 / CELLS
    compare.within("largest correlation of two of 15 squares", np.abs(links).max(), 0, limit, source="normal law of correlations, 105 pairs at 4 standard errors")
