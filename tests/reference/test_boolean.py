"""Loose dust against the formulas of the Boolean model, over many seeds with confidence limits.

Everything is measured here on the grains that the program lets fall: discs with the envelopes' diameters, looked up with
a k-d tree. Expected values come from the landed size classes alone.
"""

import numpy as np
import pytest
from scipy.spatial import cKDTree

CHIU = "Chiu, Stoyan, Kendall & Mecke, Stochastic Geometry and its Applications, 3rd ed. 2013, §3.2"
SEEDS = 60
SIDE_UM = 1100.0
PERCOLATION_CELLS = 60
# Powder weights that give loose covers from a fifth, the default's, to six tenths. Grains are solid.
DUSTS = {
    "thin": {"powder_g_per_m2": 50.0},
    "half": {"powder_g_per_m2": 97.0},
    "default": {},
    "nearly one size": {"powder_g_per_m2": 150.0, "spread_gsd": 1.2, "wait_s": 20.0, "box_height_m": 1.5},
}


def moments(landed):
    """Grains per µm² and their radii with weights, ten sizes to a class, even in ln D inside it."""
    inside = (np.arange(10) + 0.5) / 10
    ln_from, ln_to = np.log(landed["from_um"]), np.log(landed["to_um"])
    radius = np.exp(ln_from[:, None] + (ln_to - ln_from)[:, None] * inside).ravel() / 2
    weight = np.repeat(landed["grains_per_mm2"], 10) / 10 * 1e-6
    return weight.sum(), radius, weight / weight.sum()


def covered(tree, points, radius, skip=None):
    """Which points lie in any disc (those numbered by `skip` left out of the search for their own point)."""
    # Few discs are as large as the largest: small ones are looked up within their own reach.
    found = np.zeros(len(points), bool)
    order = np.argsort(radius)
    for part in np.array_split(order, 6):
        if not len(part):
            continue
        reach = radius[part].max()
        pairs = cKDTree(points).sparse_distance_matrix(cKDTree(tree[part]), reach, output_type="coo_matrix")
        hit = pairs.data < radius[part][pairs.col]
        if skip is not None:
            hit &= part[pairs.col] != skip[pairs.row]
        found[pairs.row[hit]] = True
    return found


@pytest.mark.parametrize("name", DUSTS)
def test_cover_edge_and_isolated_grains(compare, ask, name):
    landed = ask("dust", dust=DUSTS[name])
    density, radius, weight = moments(landed)
    mean_r, mean_r2 = (weight * radius).sum(), (weight * radius**2).sum()
    n = density * np.pi * mean_r2
    expected = {
        "cover": 1 - np.exp(-n),
        "edge length per area, 1/µm": 2 * np.pi * density * mean_r * np.exp(-n),
        # A grain of radius r is alone when none lies within r + R of it.
        "isolated grains per µm²": density * (weight * np.exp(-density * np.pi * (radius**2 + 2 * radius * mean_r + mean_r2))).sum(),
    }
    measured = {key: [] for key in expected}
    measured["cover by lines"] = []
    rng = np.random.default_rng(2)
    cells = int(np.ceil(SIDE_UM / ask("patch", dust=DUSTS[name], cell_x=0, cell_y=0, cells=1, margin=0)["cell_um"]))
    for seed in range(SEEDS):
        patch = ask("patch", dust=DUSTS[name], seed=seed, cell_x=40 * seed, cell_y=-9, cells=cells, margin=0)
        side = cells * patch["cell_um"]
        centre = np.stack([patch["grain_x_um"], patch["grain_y_um"]], 1)
        r = (6 * patch["grain_um3"] / (np.pi)) ** (1 / 3) / 2
        # Only what lies farther in than any disc or pair of discs can reach from outside.
        margin = 2 * r.max()
        inner = side - 2 * margin
        assert inner > 0.5 * side, "the window is large against its grains"
        points = rng.uniform(margin, side - margin, (1500, 2))
        measured["cover"].append(covered(centre, points, r).mean())
        inside = ((centre > margin) & (centre < side - margin)).all(1)
        which = np.repeat(np.nonzero(inside)[0], 4)
        turn = rng.uniform(0, 2 * np.pi, len(which))
        rim = centre[which] + r[which, None] * np.stack([np.cos(turn), np.sin(turn)], 1)
        bare = ~covered(centre, rim, r, skip=which)
        measured["edge length per area, 1/µm"].append(2 * np.pi * (r[which] * bare).sum() / 4 / inner**2)
        near = cKDTree(centre).query_pairs(2 * r.max(), output_type="ndarray")
        touching = near[np.linalg.norm(centre[near[:, 0]] - centre[near[:, 1]], axis=1) < r[near].sum(1)]
        alone = inside.copy()
        alone[touching.ravel()] = False
        measured["isolated grains per µm²"].append(alone.sum() / inner**2)
        discs = {"x_um": centre[:, 0] - margin, "y_um": centre[:, 1] - margin, "radius_um": r}
        measured["cover by lines"].append(ask("cover_of", discs=discs, side_um=inner, lines=200)["cover"])
    expected["cover by lines"] = expected["cover"]
    for quantity, values in measured.items():
        mean, error = np.mean(values), np.std(values, ddof=1) / np.sqrt(SEEDS)
        # 3.3 standard errors: one case in a thousand. The mean must be sharp enough to mean something.
        assert error < 0.05 * expected[quantity], f"{quantity}: the standard error {error:.3g} is too coarse"
        compare(f"{quantity}, {SEEDS} seeds ± {error:.2g}", mean, expected[quantity], abs=3.3 * error, source=CHIU)


def test_percolation_is_reached_where_published(compare, ask):
    """Discs of one size percolate at a cover of 0.67634831: the share of seeds in which discs join the left edge to the
    right one rises through that cover."""
    from scipy.sparse import coo_matrix
    from scipy.sparse.csgraph import connected_components

    joined = {}
    one_size = {"spread_gsd": 1.1, "median_um": 40.0, "wait_s": 0.0, "box_height_m": 3.0}
    for seed in range(40):
        patch = ask("patch", dust=one_size | {"powder_g_per_m2": 10.0}, seed=seed, cell_x=0, cell_y=0, cells=PERCOLATION_CELLS, margin=0)
        side = PERCOLATION_CELLS * patch["cell_um"]
        centre = np.stack([patch["grain_x_um"], patch["grain_y_um"]], 1)
        # Their places with one radius for all, chosen for each cover.
        for cover in (0.62, 0.73):
            r = np.sqrt(-np.log(1 - cover) / (np.pi * patch["grains_per_mm2"] * 1e-6))
            pairs = cKDTree(centre).query_pairs(2 * r, output_type="ndarray")
            parts = connected_components(coo_matrix((np.ones(len(pairs)), pairs.T), (len(centre),) * 2), directed=False)[1]
            left, right = parts[centre[:, 0] < r], parts[centre[:, 0] > side - r]
            joined.setdefault(cover, []).append(bool(np.intersect1d(left, right).size))
    source = "0.67634831: Mertens & Moore, Phys. Rev. E 86 (2012) 061109"
    compare.within("share of seeds joined at cover 0.62", np.mean(joined[0.62]), 0, 0.3, source=source)
    compare.within("share of seeds joined at cover 0.73", np.mean(joined[0.73]), 0.7, 1, source=source)
