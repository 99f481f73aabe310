"""Distance under the resin and depth of the bite on real simulated grounds, against SciPy's exact distance
transform, scikit-fmm's eikonal solver and plain NumPy.
"""

import numpy as np
import pytest
import skfmm
from scipy.integrate import quad
from scipy.ndimage import distance_transform_edt
from scipy.spatial import cKDTree

# Bakes that leave separate domes, their edges giving way, and ones that leave overlapping domes.
GROUNDS = {
    "default, seed 7": (7, {}, True),
    "separate, seed 1": (1, {}, False),
    "separate, a cooler bake, seed 3": (3, {"hot_plate_c": 95.0, "bake_min": 8.0}, False),
    "stuck edges, seed 5": (5, {"hot_plate_c": 78.0, "bake_min": 8.0}, True),
    "stuck edges, seed 6": (6, {"hot_plate_c": 75.0, "bake_min": 8.0}, True),
    "over-baked, seed 2": (2, {"hot_plate_c": 150.0, "bake_min": 18.0}, True),
}
SIDE_UM, REACH_UM = 400.0, 60.0


def domes(ask, name, side_um=SIDE_UM, reach_um=2 * REACH_UM):
    seed, bake, overlapping = GROUNDS[name]
    full = {"hot_plate_c": 125.0, "bake_min": 10.0, "paper_between": True, "room_c": 20.0} | bake
    gives_way = {} if overlapping else {"bake.hysteresis_deg": 12.0}
    found = ask("domes", seed=seed, bake=full, calibration=gives_way, left_um=5000.0, top_um=7000.0, side_um=side_um, reach_um=reach_um)
    assert found["overlapping"] == overlapping, f"{name}: domes overlap: {found['overlapping']}"
    return found["discs"]


def level(discs, x, y):
    """Largest radius − |x − centre| over the discs: above 0 under resin, whichever discs overlap."""
    deepest = np.full((len(y), len(x)), -1e3)
    for cx, cy, r in zip(discs["x_um"], discs["y_um"], discs["radius_um"], strict=True):
        # Beyond a disc's own width of it others are deeper, or it is open copper.
        left, right = np.searchsorted(x, [cx - r - 30, cx + r + 30])
        top, bottom = np.searchsorted(y, [cy - r - 30, cy + r + 30])
        here = deepest[top:bottom, left:right]
        np.maximum(here, r - np.hypot(x[left:right] - cx, (y[top:bottom] - cy)[:, None]), out=here)
    return deepest


def ours(ask, discs, overlapping, px_um):
    size = round(SIDE_UM / px_um)
    told = ask("distance", discs=discs, overlapping=overlapping, width=size, height=size, px_um=px_um, reach_um=REACH_UM)
    return told["under_um"].reshape(size, size)


def axis(step_um, from_um, to_um):
    return np.arange(from_um + step_um / 2, to_um, step_um)


@pytest.mark.parametrize("name", GROUNDS)
def test_distance_against_scipy(compare, ask, name):
    """SciPy's exact transform of the same domes drawn nine times finer."""
    discs, overlapping = domes(ask, name), GROUNDS[name][2]
    px_um, per = 4.0, 9
    fine_um = px_um / per
    fine = axis(fine_um, -REACH_UM, SIDE_UM + REACH_UM)
    covered = level(discs, fine, fine) > 0
    skip = round(REACH_UM / fine_um)
    s = ours(ask, discs, overlapping, px_um)
    # Every ninth fine pixel has its centre at a coarse one's.
    to_centres = (distance_transform_edt(covered) * fine_um)[skip:, skip:][per // 2::per, per // 2::per][: len(s), : len(s)]
    under = (to_centres > fine_um) & (to_centres < REACH_UM - 1)
    # The nearest open pixel's centre lies up to a pixel beyond the edge, on average a fifth of one.
    source = f"SciPy distance_transform_edt at {fine_um:.2f} µm"
    low, high = s - to_centres > -fine_um, s - to_centres < 0.02
    # Slits narrower than a fine pixel, where discs overlap, are not on the raster: there it sees resin. The rims below are
    # the sharper check of those.
    compare.within("share of places within a pixel", (low & high)[under].mean(), 0.8 if overlapping else 1, 1, source=source)
    compare.within("share of places no farther from the edge than on the raster", high[under].mean(), 1, 1, source=source)
    near = under & low & high
    compare(f"mean distance of {near.sum()} places, µm", s[near].mean(), to_centres[near].mean() - 0.19 * fine_um, abs=0.12 if overlapping else 0.03, source=source)
    compare("cover", np.clip(s / px_um + 0.5, 0, 1).mean(), covered[skip:-skip, skip:-skip].mean(), abs=0.003, source=f"NumPy raster at {fine_um:.2f} µm")


@pytest.mark.parametrize("name", GROUNDS)
def test_distance_against_bare_rims(compare, ask, name):
    """No raster: points every 0.1 µm along every rim that lies bare, the nearest found with SciPy's k-d tree."""
    discs, overlapping = domes(ask, name), GROUNDS[name][2]
    centre, radius = np.stack([discs["x_um"], discs["y_um"]], 1), discs["radius_um"]
    rims = []
    tree, widest = cKDTree(centre), radius.max()
    for own in range(len(radius)):
        near = [other for other in tree.query_ball_point(centre[own], radius[own] + widest) if other != own]
        turn = np.arange(0, 2 * np.pi, 0.1 / radius[own])
        rim = centre[own] + radius[own] * np.stack([np.cos(turn), np.sin(turn)], 1)
        bare = (np.linalg.norm(rim[:, None] - centre[near], axis=2) >= radius[near]).all(1)
        rims.append(rim[bare])
    px_um = 4.0
    s = ours(ask, discs, overlapping, px_um)
    x, y = np.meshgrid(axis(px_um, 0, SIDE_UM), axis(px_um, 0, SIDE_UM))
    to_rim = cKDTree(np.concatenate(rims)).query(np.stack([x, y], 2))[0]
    under = (s > 0) & (to_rim < REACH_UM - 1)
    # A point of the rim lies within 0.05 µm of any, and the tips of slits within 0.1 µm of a point.
    compare("distance under the resin, µm", s[under], to_rim[under], abs=0.1, least=1000, source="SciPy cKDTree on rims sampled every 0.1 µm")


@pytest.mark.parametrize("name", GROUNDS)
def test_distance_against_fast_marching(compare, ask, name):
    """scikit-fmm, second order, from the level set of the discs."""
    discs, overlapping = domes(ask, name), GROUNDS[name][2]
    px_um = 0.5
    side = slice(0, round(200 / px_um))
    fine = axis(px_um, -REACH_UM, 200 + REACH_UM)
    far = skfmm.distance(np.maximum(level(discs, fine, fine), -20), dx=px_um, order=2)
    skip = round(REACH_UM / px_um)
    outside = far[skip:-skip, skip:-skip]
    s = ours(ask, discs, overlapping, px_um)[side, side]
    under = (outside > 0.5) & (outside < REACH_UM - 2)
    off = np.abs(s - outside)[under]
    source = "scikit-fmm distance, order 2, 0.5 µm"
    # Fast marching errs by part of a pixel at the corners and slits of overlapping discs.
    compare(f"distance under the resin, mean gap over {under.sum()} places, µm", off.mean(), 0, abs=0.15 if overlapping else 0.03, source=source)
    compare("the same, 95 % of places, µm", np.quantile(off, 0.95), 0, abs=0.4 if overlapping else 0.06, source=source)


@pytest.mark.parametrize("name", ["default, seed 7", "stuck edges, seed 5", "over-baked, seed 2"])
@pytest.mark.parametrize("etch_factor", [1.0, 1.7])
def test_depth_against_an_eikonal_front(compare, ask, name, etch_factor):
    """The bite as a front: scikit-fmm in three dimensions, from the open copper only, the resin a wall. Depth counts
    less by the etch factor, as its definition says."""
    discs = domes(ask, name)
    step, side = 0.5, 90.0
    flat = axis(step, 0, side)
    depth = np.arange(-0.5, 13 / step) * step
    open_copper = level(discs, flat, flat) <= 0
    phi = np.broadcast_to(depth[:, None, None], (len(depth), len(flat), len(flat))).copy()
    walls = (phi < 0) & ~open_copper
    # Under the resin nothing is bitten at the start: far copper, its upper neighbour a wall.
    front = skfmm.distance(np.ma.MaskedArray(phi, walls), dx=[step / etch_factor, step, step])
    front = front.filled(1e3)[1:]
    inner = slice(20, -20)
    size = round(side / step)
    told = ask("distance", discs=discs, overlapping=GROUNDS[name][2], width=size, height=size, px_um=step, reach_um=REACH_UM)
    s = told["under_um"].reshape(size, size)
    for dose in (3.0, 6.0, 10.0):
        undercut = dose / etch_factor
        bitten = np.zeros((size, size))
        below, above = front[:-1], front[1:]
        # The deepest place each column's front has passed, between two samples.
        for k in range(len(below)):
            passed = (below[k] <= undercut) & (above[k] > undercut)
            share = (undercut - below[k]) / (above[k] - below[k])
            bitten = np.where(passed, depth[1 + k] + share * step, bitten)
        curve = ask("depth", under_um=s.ravel(), dose_um=dose, etch_factor=etch_factor, px_um=step)["depth_um"].reshape(size, size)
        source = "scikit-fmm distance in 3-D, 0.5 µm, as Huygens' front; etch factor: Allen, Horne & Stevens, J. PCMI, January 1982"
        # Slits between overlapping discs that are narrower than the grid bite in the program only.
        gap = np.abs(curve - bitten)[inner, inner]
        compare(f"mean depth at {dose:.0f} µm, etch factor {etch_factor}", curve[inner, inner].mean(), bitten[inner, inner].mean(), rel=0.04 if GROUNDS[name][2] else 0.006, abs=0.01, source=source)
        compare(f"depth at {dose:.0f} µm, etch factor {etch_factor}, mean gap over {gap.size} places", gap.mean(), 0, abs=0.015 * dose if GROUNDS[name][2] else 0.03, source=source)


def test_profile_against_quadrature(compare, ask):
    """The quarter ellipse, and its mean over a pixel that the edge may cut."""
    ours, outside, plain, ellipse = [], [], [], []
    for dose in (0.5, 2.0, 8.0, 30.0):
        for etch_factor in (1.0, 1.5, 3.0):
            undercut = dose / etch_factor
            s = np.linspace(-6, 1.3 * undercut + 6, 20)

            def profile(x):
                return etch_factor * np.sqrt(max(undercut**2 - max(x, 0.0) ** 2, 0.0))

            for px_um in (2.0, 4.0):
                ours.extend(ask("depth", under_um=s, dose_um=dose, etch_factor=etch_factor, px_um=px_um)["depth_um"])
                for x in s:
                    bends = [b for b in (0.0, undercut) if x - px_um / 2 < b < x + px_um / 2]
                    outside.append(quad(profile, x - px_um / 2, x + px_um / 2, points=bends or None, epsabs=1e-9)[0] / px_um)
            plain.extend(ask("profile", under_um=s, dose_um=dose, etch_factor=etch_factor)["depth_um"])
            ellipse.extend(profile(x) for x in s)
    compare("depth at a place under the edge, µm", plain, ellipse, abs=1e-9, least=200, source="Huygens' construction; Allen, Horne & Stevens 1982")
    # The segment's area is a short fit, right to a third of a nanometre here.
    compare("mean depth over a pixel, µm", ours, outside, rel=2e-5, abs=3e-4, least=400, source="SciPy quad of the quarter ellipse")


@pytest.mark.parametrize("name", ["default, seed 7", "stuck edges, seed 6", "over-baked, seed 2"])
def test_borders_against_a_union_of_balls(compare, ask, name):
    """Three values side by side, the border running as a wave: every open bit of copper bites a ball of its own dose
    out of the copper, whoever lies over it. Plain NumPy, pixel by pixel at 0.25 µm."""
    discs = domes(ask, name)
    dose, px_um, fine_um, side = np.array([0.0, 3.0, 6.0, 9.0]), 2.0, 0.25, 120.0
    margin = 12.0
    fine = axis(fine_um, 0, side)

    def values(x, y):
        wave = x + 6 * np.sin(y / 17)
        return np.searchsorted([30.0, 60.0, 90.0], wave) % 4

    # The coarse raster is what the program is told; the fine one follows it exactly.
    coarse = axis(px_um, 0, side)
    value = values(coarse[None, :], coarse[:, None]).astype(int)
    per = round(px_um / fine_um)
    fine_value = np.repeat(np.repeat(value, per, 0), per, 1)
    reach2 = np.where(level(discs, fine, fine) <= 0, dose[fine_value] ** 2, -1e6)
    steps = int(dose.max() / fine_um) + 1
    padded = np.pad(reach2, steps, constant_values=-1e6)
    best = np.full_like(reach2, 0.0)
    size = len(fine)
    for dy in range(-steps, steps + 1):
        for dx in range(-steps, steps + 1):
            far2 = (dx**2 + dy**2) * fine_um**2
            if far2 < dose.max() ** 2:
                np.maximum(best, padded[steps + dy:steps + dy + size, steps + dx:steps + dx + size] - far2, out=best)
    outside = np.sqrt(best).reshape(size // per, per, size // per, per).mean((1, 3))
    told = ask("distance", discs=discs, overlapping=GROUNDS[name][2], width=len(coarse), height=len(coarse), px_um=px_um, reach_um=REACH_UM)
    ours = ask("borders", under_um=told["under_um"], value=value.ravel(), dose_um=dose, etch_factor=1.0, width=len(coarse), px_um=px_um)
    depth = ours["depth_um"].reshape(value.shape)
    inner = slice(round(margin / px_um), -round(margin / px_um))
    gap = np.abs(depth - outside)[inner, inner]
    source = "union of balls, NumPy at 0.25 µm; Huygens' construction"
    compare("mean depth, µm", depth[inner, inner].mean(), outside[inner, inner].mean(), rel=0.01, source=source)
    compare(f"mean gap over {gap.size} places, µm", gap.mean(), 0, abs=0.06, source=source)
    border = np.zeros_like(value, bool)
    for shift in range(-4, 5):
        border |= np.roll(value, shift, 1) != value
    near = np.abs(depth - outside)[inner, inner][border[inner, inner]]
    compare(f"mean gap within 8 µm of a border ({near.size} places), µm", near.mean(), 0, abs=0.09, source=source)
