"""Ink: the cloth's level and the whole step from depth to reflectance, against a plain version at full
resolution in SciPy on depths of real grounds.

Constants are written out here, so that a wrong one in the program shows.
"""

import numpy as np
import pytest
from scipy.fft import dctn, idctn
from scipy.ndimage import gaussian_filter

CLOTH_UM, INK_SPREAD_UM, LIGHT_SPREAD_UM = 200.0, 6.0, 50.0  # estimates; Kyrychok; Arney
# Overlap of cloth and metal, film on polished and on bitten copper, µm: estimates.
WIPES = {"tarlatan": (0.4, 0.30, 0.50), "hand": (0.8, 0.05, 0.25), "hard": (1.6, 0.02, 0.10)}
SPLITS = {"light": 0.35, "normal": 0.50, "heavy": 0.60}
CONTACT_PER_UM, TAKEN_UP_UM, ROUGH_UM = 10.0, 2.0, 2.0
ABSORBS_PER_UM, SURFACE = 0.85, 0.0224
PLAIN = "plain NumPy/SciPy version at full resolution"


def blurred(field, sigma_px):
    """Gaussian blur with reflected borders, as gaussian_filter(mode="reflect") but never cut off: by cosine transform."""
    waves = [np.exp(-0.5 * (np.pi * np.arange(n) / n * sigma_px) ** 2) for n in field.shape]
    return idctn(dctn(field, type=2) * waves[0][:, None] * waves[1], type=2)


def cloth(depth, overlap_um, px_um):
    """Level e with G ∗ max(e + s₀ − h, 0) = s₀, place by place: the left side at many levels, straight lines between."""

    def overlap(level):
        return blurred(np.maximum(level - depth, 0), CLOTH_UM / px_um)

    # First where the answers lie, by halves for the least and the greatest of them; then closely.
    ends = []
    for reached in (np.any, np.all):
        low, high = depth.min(), depth.max() + overlap_um + 0.1
        while high - low > 0.02:
            middle = (low + high) / 2
            low, high = (low, middle) if reached(overlap(middle) >= overlap_um) else (middle, high)
        ends.append((low, high))
    first, last = ends[0][0], ends[1][1]
    levels = np.linspace(first, last, max(2, int(np.ceil((last - first) / 0.12)) + 1))
    level = np.full(depth.shape, np.nan)
    before = overlap(levels[0])
    for low, high in zip(levels[:-1], levels[1:], strict=True):
        now = overlap(high)
        reached = np.isnan(level) & (now >= overlap_um)
        share = (overlap_um - before[reached]) / (now - before)[reached]
        level[reached] = low + share * (high - low) - overlap_um
        before = now
    return np.maximum(level, 0)


def walker_fetsko(held, share):
    up = TAKEN_UP_UM * (1 - np.exp(-held / TAKEN_UP_UM))
    return (1 - np.exp(-CONTACT_PER_UM * held)) * (up + share * (held - up))


def printed(depth, px_um, wipe, press, pigment=1.0, paper=0.85):
    """Everything after the bite."""
    overlap, land, floor = WIPES[wipe]
    level = cloth(depth, overlap, px_um)
    film = land + (floor - land) * (1 - np.exp(-depth / ROUGH_UM))
    held = np.maximum(depth - level, film)
    ink = gaussian_filter(walker_fetsko(held, SPLITS[press]), INK_SPREAD_UM / px_um, mode="reflect", truncate=3.0)
    passed = np.exp(-0.5 * ABSORBS_PER_UM * pigment * ink)
    seen = SURFACE + (paper - SURFACE) * passed * blurred(passed, LIGHT_SPREAD_UM / px_um)
    return {"cloth_um": level, "held_um": held, "printed_um": ink, "reflectance": seen}


@pytest.fixture(scope="module")
def grounds(ask):
    """Distances under the resin of real grounds, 1.2 mm wide on pixels of 6 µm: five seeds. The domes stand apart and are
    coarse enough to hold the cloth after every bite below."""
    dust = {"median_um": 90.0, "powder_g_per_m2": 60.0, "box_height_m": 2.0}
    constants = {"bake.hysteresis_deg": 12.0}
    px_um, size = 6.0, 200
    found = []
    for seed in range(5):
        told = ask("domes", seed=seed, dust=dust, calibration=constants, left_um=3000.0, top_um=0.0, side_um=px_um * size, reach_um=80.0)
        s = ask("distance", discs=told["discs"], overlapping=told["overlapping"], width=size, height=size, px_um=px_um, reach_um=60.0)
        found.append(s["under_um"])
    return px_um, size, found


def depth_of(ask, under_um, dose_um, px_um, size):
    return ask("depth", under_um=under_um, dose_um=dose_um, etch_factor=1.0, px_um=px_um)["depth_um"].reshape(size, size)


def test_blur_is_scipys(compare):
    field = np.random.default_rng(0).uniform(size=(60, 90))
    compare("the cosine transform's blur", blurred(field, 7.0), gaussian_filter(field, 7.0, mode="reflect", truncate=8.0), abs=1e-6, least=5000,
            source="SciPy gaussian_filter, mode reflect")


def test_whole_step_against_a_plain_version(compare, ask, grounds):
    """216 prints: grounds, doses from a pale to an over-bitten value, wipes, presses, mixes and papers."""
    px_um, size, found = grounds
    mean = {key: ([], []) for key in ("cloth_um", "held_um", "printed_um", "reflectance")}
    gaps = {key: [] for key in mean}
    number = 0
    for dose in (0.8, 2.4, 4.8, 9.6, 14.4, 19.2, 25.6, 36.0):
        for wipe in WIPES:
            for press in SPLITS:
                for base, paper in ((0.0, 0.85), (50.0, 0.85), (0.0, 0.78)):
                    depth = depth_of(ask, found[number % 5], dose, px_um, size)[50:150, 50:150]
                    number += 1
                    ours = ask("print", ink={"wipe": wipe, "press": press, "base_parts": base, "reducer_parts": 0.0},
                               paper={"reflectance": paper, "margin_mm": 0.0}, depth_um=depth.ravel(), width=100, px_um=px_um)
                    outside = printed(depth, px_um, wipe, press, 1 / (1 + base / 100), paper)
                    for key in mean:
                        field = ours[key].reshape(depth.shape)
                        mean[key][0].append(field.mean())
                        mean[key][1].append(outside[key].mean())
                        gaps[key].append(np.abs(field - outside[key]).mean())
    # Blocks of 64 µm under the cloth and of 20 µm for the light stand for full resolution in the program.
    compare("mean level of the cloth, µm", *mean["cloth_um"], rel=0.01, abs=0.02, least=200, source=PLAIN + "; Gaussian by cosine transform")
    compare("mean ink held, µm", *mean["held_um"], rel=0.005, abs=0.01, least=200, source=PLAIN)
    compare("mean ink printed, µm", *mean["printed_um"], rel=0.005, abs=0.005, least=200, source=PLAIN + "; Walker & Fetsko, TAGA Proc. 1955 (from memory)")
    compare("mean reflectance", *mean["reflectance"], rel=0.006, abs=0.0005, least=200, source=PLAIN)
    density = [-np.log10(values) for values in mean["reflectance"]]
    compare("density", *density, abs=0.006, least=200, source=PLAIN)
    # Levels are 0.06 µm apart in shallow pits and up to 2 % of their depth in deep ones.
    allowed = 0.06 + 0.01 * np.array(mean["cloth_um"][1])
    compare("mean gap of the cloth's level over 0.06 µm + 1 % of the level", gaps["cloth_um"] / allowed, 0, abs=1, least=200, source=PLAIN)
    # Largest where the ground has broken down: there a hair of cloth decides whether a wide floor holds ink at all.
    compare("mean gap of reflectance, place by place", gaps["reflectance"], 0, abs=0.0035, least=200, source=PLAIN)


def test_cloth_place_by_place(compare, ask, grounds):
    """A value beside another, so that the cloth slopes: every place of three windows."""
    px_um, size, found = grounds
    for dose_left, dose_right, wipe in ((4.0, 14.0, "hand"), (0.0, 19.2, "tarlatan"), (9.6, 30.0, "hard")):
        left, right = (depth_of(ask, found[0], dose, px_um, size) for dose in (dose_left, dose_right))
        depth = np.where(np.arange(size) < size // 2, left, right)
        ours = ask("print", ink={"wipe": wipe, "press": "normal", "base_parts": 0.0, "reducer_parts": 0.0}, depth_um=depth.ravel(), width=size, px_um=px_um)
        outside = printed(depth, px_um, wipe, "normal")
        where = f"{dose_left:.0f} µm beside {dose_right:.0f} µm, {wipe}"
        compare(f"level of the cloth, µm, {where}", ours["cloth_um"], outside["cloth_um"].ravel(), rel=0.03, abs=0.12, least=size * size, source=PLAIN)
        compare(f"reflectance, {where}", ours["reflectance"], outside["reflectance"].ravel(), abs=0.012, least=size * size, source=PLAIN)


def test_films_on_flat_copper(compare, ask):
    """On a flat floor of any depth the cloth lies on the copper, and what it leaves is the film."""
    for wipe, (overlap, land, floor) in WIPES.items():
        ours, level, flat = [], [], np.concatenate([[0], np.geomspace(0.02, 60, 69)])
        for depth in flat:
            told = ask("print", ink={"wipe": wipe, "press": "normal", "base_parts": 0.0, "reducer_parts": 0.0}, depth_um=[depth] * 64, width=8, px_um=5.0)
            ours.append(told["held_um"].mean())
            level.append(told["cloth_um"].mean())
        compare(f"film on flat copper, µm, {wipe}", ours, land + (floor - land) * (1 - np.exp(-flat / ROUGH_UM)), abs=5e-4, least=70, source="closed form, ink-and-tone §2")
        compare(f"level of the cloth there, µm, {wipe}", level, flat, abs=2e-3, least=70, source="closed form, ink-and-tone §2")


def test_cloth_on_stripes(compare, ask):
    """Upright walls, a share a of land: the cloth sags by s₀ (1/a − 1)."""
    for wipe, (overlap, _, _) in WIPES.items():
        sags, expected = [], []
        for land, period in ((4, 8), (3, 8), (2, 8), (1, 8), (5, 6), (2, 3)):
            depth = np.where(np.arange(48) % period < land, 0.0, 40.0)
            told = ask("print", ink={"wipe": wipe, "press": "normal", "base_parts": 0.0, "reducer_parts": 0.0}, depth_um=np.tile(depth, 48), width=48, px_um=4.0)
            sags.append(np.median(told["cloth_um"]))
            expected.append(overlap * (period / land - 1))
        compare(f"sag of the cloth on stripes, µm, {wipe}", sags, expected, rel=0.015, abs=0.01, source="closed form s₀ (1/a − 1)")


def test_ink_splits_as_walker_and_fetsko(compare, ask):
    held = np.concatenate([[0], np.geomspace(0.005, 60, 239)])
    # The exponentials of the ink are right to 7e-6: a fiftieth of a nanometre of ink, a thousandth of L*.
    for press, share in SPLITS.items():
        taken = ask("split", ink={"wipe": "hand", "press": press, "base_parts": 0.0, "reducer_parts": 0.0}, held_um=held)["taken_um"]
        compare(f"ink taken by the paper, µm, press {press}", taken, walker_fetsko(held, share), abs=2e-5, least=200, source="Walker & Fetsko, TAGA Proc. 1955 (from memory), closed form")
    taken = ask("split", held_um=[1.0, 5.0, 10.0, 20.0, 40.0])["taken_um"]
    compare("the same at 1, 5, 10, 20, 40 µm, worked by hand", taken, [0.8934, 3.4179, 5.9933, 11.0, 21.0], abs=1e-3, source="Walker & Fetsko, TAGA Proc. 1955 (from memory)")


def test_mixes_and_weights(compare, ask):
    base, reducer = (grid.ravel() for grid in np.meshgrid(np.linspace(0, 400, 20), np.linspace(0, 100, 11)))
    compare("share of black", ask("mix", base_parts=base, reducer_parts=reducer)["pigment_share"], 100 / (100 + base + reducer), rel=1e-12, least=200, source="parts by volume, arithmetic")
    area, held = (grid.ravel() for grid in np.meshgrid(np.linspace(4, 3600, 20), np.linspace(0, 30, 11)))
    compare("ink for a print, g", ask("ink_weight", area_cm2=area, held_um=held)["grams"], 1.2 * area * 1e-4 * (held + 15.0), rel=1e-12, least=200,
            source="1.2 g/cm³ and 15 µm wiped off (estimates), arithmetic")
