"""Melted grains running together, against a plain brute-force version in NumPy.

The rule: of all drops that touch, the pair nearest to each other for its size merges first, each drop once a
sweep, at the common centre of mass with both volumes; sweeps follow until nothing touches that may merge.
Footprints here follow from the closed form of a spherical cap at rest.
"""

import numpy as np
import pytest
from scipy.spatial import cKDTree

REST = np.radians(55.0)
# a = (V / π g)^⅓ of a cap at rest.
RADIUS_OVER_SIZE = (np.pi * (2 - 3 * np.cos(REST) + np.cos(REST) ** 3) / (3 * np.sin(REST) ** 3)) ** (-1 / 3)
# Hot and short, so that caps are at rest and the rest angle has hardly fallen; made not to fall at all.
BAKE = {"hot_plate_c": 130.0, "bake_min": 6.0, "paper_between": True, "room_c": 20.0}
STEADY = {"bake.drift_per_min": 0.0}
CELLS = 24


def touching(centre, radius, touch):
    """All pairs nearer than `touch` times the sum of their radii, with that distance as a share."""
    pairs = cKDTree(centre).query_pairs(2 * radius.max() * touch, output_type="ndarray")
    share = np.linalg.norm(centre[pairs[:, 0]] - centre[pairs[:, 1]], axis=1) / (touch * radius[pairs].sum(1))
    return pairs[share < 1], share[share < 1]


def run_together(centre, volume, touch=1.0, largest_um=np.inf):
    """Sweeps of merging until no pair may merge."""
    while True:
        radius = RADIUS_OVER_SIZE * volume ** (1 / 3)
        pairs, share = touching(centre, radius, touch)
        pairs = pairs[np.argsort(share, kind="stable")]
        together = RADIUS_OVER_SIZE * volume[pairs].sum(1) ** (1 / 3)
        pairs = pairs[together <= largest_um]
        taken = np.zeros(len(volume), bool)
        merged = []
        for one, other in pairs:
            if not (taken[one] or taken[other]):
                taken[one] = taken[other] = True
                merged.append((one, other))
        if not merged:
            return centre, volume
        one, other = np.transpose(merged)
        both = volume[one] + volume[other]
        at = (centre[one] * volume[one, None] + centre[other] * volume[other, None]) / both[:, None]
        centre = np.concatenate([at, centre[~taken]])
        volume = np.concatenate([both, volume[~taken]])


def cover(centre, radius, side, points):
    """Share of points, away from the border, that lie under a disc."""
    near = cKDTree(centre).sparse_distance_matrix(cKDTree(points), radius.max(), output_type="coo_matrix")
    hit = np.zeros(len(points), bool)
    hit[near.col[near.data < radius[near.row]]] = True
    return hit.mean()


@pytest.mark.parametrize("powder", [30.0, 60.0, 120.0])
def test_free_domes_against_brute_force(compare, ask, powder):
    """Ten grounds for each weight of powder: same domes, same cover, same volumes."""
    # Edges that give way at 12°: domes merge whenever they touch.
    free = STEADY | {"bake.hysteresis_deg": 12.0}
    same, domes, ours_cover, their_cover, ours_left, their_left, lost, gaps = 0, 0, [], [], [], [], [], []
    rng = np.random.default_rng(1)
    for seed in range(10):
        patch = ask("patch", dust={"powder_g_per_m2": powder}, bake=BAKE, calibration=free, seed=seed, cell_x=100 * seed, cell_y=-50, cells=CELLS, margin=0)
        side = CELLS * patch["cell_um"]
        centre, volume = run_together(np.stack([patch["grain_x_um"], patch["grain_y_um"]], 1), patch["grain_um3"], largest_um=patch["largest_um"])
        radius = RADIUS_OVER_SIZE * volume ** (1 / 3)
        inside = ((centre >= 0) & (centre < side)).all(1)
        our_centre = np.stack([patch["discs"]["x_um"], patch["discs"]["y_um"]], 1)
        our_radius = patch["discs"]["radius_um"]
        apart, which = cKDTree(centre).query(our_centre)
        same += ((apart < 0.02) & (np.abs(our_radius - radius[which]) < 2e-3 * our_radius)).sum()
        domes += len(our_radius)
        ours_left.append(len(our_radius) / len(patch["grain_um3"]))
        their_left.append(inside.sum() / len(patch["grain_um3"]))
        points = rng.uniform(0, side, (20000, 2))
        ours_cover.append(cover(our_centre, our_radius, side, points))
        their_cover.append(cover(centre, radius, side, points))
        lost.append(patch["dome_um3"].sum() / patch["grain_um3"].sum())
        our_pairs, share = touching(our_centre, our_radius, 1.0)
        # Only domes that would be larger than the largest may be left touching.
        may = RADIUS_OVER_SIZE * patch["dome_um3"][our_pairs].sum(1) ** (1 / 3) <= 0.999 * patch["largest_um"]
        gaps.append((may & (share < 0.9995)).sum())
    source = "brute force, NumPy and SciPy cKDTree; cap at rest, closed form"
    # Nearness is told apart in 4096 steps and single precision: now and then another pair goes first.
    compare.within(f"share of {domes} domes that are the same", same / domes, 0.985, 1, source=source)
    compare("drops left over drops fallen, mean of 10", np.mean(ours_left), np.mean(their_left), rel=0.002, source=source)
    compare("cover, mean of 10", np.mean(ours_cover), np.mean(their_cover), abs=0.001, source=source)
    compare("cover, each of 10", ours_cover, their_cover, abs=0.008, source=source)
    compare("resin after over resin before", lost, 1, rel=1e-9, source="volume is kept")
    compare("free domes that still touch", sum(gaps), 0, source="the rule")


@pytest.mark.parametrize("hysteresis", [25.0, 30.0, 50.0])
def test_stuck_edges_against_brute_force(compare, ask, hysteresis):
    """With edges that hold, as they do by default, domes merge only once well over each other and stay overlapping."""
    pinned = STEADY | {"bake.hysteresis_deg": hysteresis}
    touch = 0.3 * 55.0 / hysteresis
    same, domes = 0, 0
    for seed in range(6):
        patch = ask("patch", bake=BAKE, calibration=pinned, seed=seed, cell_x=7, cell_y=100 * seed, cells=CELLS, margin=0)
        centre, volume = run_together(np.stack([patch["grain_x_um"], patch["grain_y_um"]], 1), patch["grain_um3"], touch, patch["largest_um"])
        our_centre = np.stack([patch["discs"]["x_um"], patch["discs"]["y_um"]], 1)
        apart, which = cKDTree(centre).query(our_centre)
        radius = RADIUS_OVER_SIZE * volume[which] ** (1 / 3)
        same += ((apart < 0.02) & (np.abs(patch["discs"]["radius_um"] / radius - 1) < 2e-3)).sum()
        domes += len(our_centre)
        assert patch["overlapping"], "pinned domes overlap"
    compare.within(f"share of {domes} pinned domes that are the same", same / domes, 0.985, 1, source="brute force, NumPy and SciPy cKDTree")
