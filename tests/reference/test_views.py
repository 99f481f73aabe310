"""What the native program shows of the ground: counted and measured by scikit-image on the window it writes.

The copper prints its mirror image, so the domes of the ground stand the other way round in every window.
"""

import numpy as np
from scipy.ndimage import distance_transform_edt
from scipy.spatial import cKDTree
from skimage.measure import label, perimeter_crofton, regionprops

PLATE_UM, LEFT_MM, TOP_MM, SIDE_UM = 150_000.0, 12.0, 7.0, 1600.0
# What lies round a window, as far as any bite here reaches.
MARGIN_UM = 40.0


def test_domes_in_a_window(compare, ask, platewright):
    plan = platewright.default_plan()
    size = round(SIDE_UM)
    cover = platewright.window(plan, size, stage="cover", left=LEFT_MM, top=TOP_MM, width=SIDE_UM / 1000, height=SIDE_UM / 1000, px=1)
    left_um = PLATE_UM - 1000 * LEFT_MM - SIDE_UM
    told = ask("domes", seed=plan["seed"], left_um=left_um, top_um=1000 * TOP_MM, side_um=SIDE_UM, reach_um=0.0)
    assert told["overlapping"], "some of the default domes overlap: they are left out below"
    discs = told["discs"]
    x, y, radius = SIDE_UM - discs["x_um"], discs["y_um"], discs["radius_um"]
    inside = (np.minimum(x, y) > radius + 2) & (np.maximum(x, y) < SIDE_UM - radius - 2)
    # Domes nearer than two pixels run together on the raster.
    near = cKDTree(np.stack([x, y], 1)).query_pairs(2 * radius.max() + 2, output_type="ndarray")
    close = near[np.hypot(x[near[:, 0]] - x[near[:, 1]], y[near[:, 0]] - y[near[:, 1]]) < radius[near].sum(1) + 2]
    inside[close.ravel()] = False
    # The smallest domes are a few pixels wide: left to the distances' own checks.
    inside &= radius > 5
    seen = regionprops(label(cover > 0.5), intensity_image=cover)
    centres = np.array([region.centroid[::-1] for region in seen]) + 0.5
    apart, which = cKDTree(centres).query(np.stack([x, y], 1)[inside])
    source = "scikit-image label and regionprops on the window in the file, mirrored"
    compare("domes found where the ground has them, µm off", apart, 0, abs=0.4, least=150, source=source)
    diameters = np.array([region.equivalent_diameter_area for region in seen])[which]
    compare("their diameters, µm", diameters, 2 * radius[inside], rel=0.01, abs=0.15, least=150, source=source)
    exact = 2 * np.pi * radius[inside].sum()
    alone = np.isin(label(cover > 0.5), np.array([region.label for region in seen])[which])
    # Crofton's formula in four directions reads circles true to a per cent.
    compare("their edge length, µm", perimeter_crofton(alone, directions=4), exact, rel=0.01, source="scikit-image perimeter_crofton")


def test_depths_in_a_window(compare, ask, platewright):
    """A plate bitten all over, at three lengths of bite: the window's depths against the domes drawn by NumPy at 0.5 µm,
    a quarter circle under every edge (etch factor 1). The table, from another place of the plate, tells the same land."""
    side, step, px = 1200.0, 0.5, 4
    source = "quarter circle under the edges, NumPy at 0.5 µm; Huygens' construction; etch factor 1 (estimate)"
    for minutes in (3.0, 12.0, 24.0):
        plan = platewright.default_plan()
        # Two values are the least; all but the purest white gets both bites.
        plan["bites"] = [{"bite_min": minutes / 2}] * 2
        plan["picture"]["thresholds_l"] = [100.0, 99.0]
        plan["bath"]["volume_l"] = 100.0
        depth = platewright.window(plan, round(side / px), stage="depth", left=LEFT_MM, top=TOP_MM, width=side / 1000, height=side / 1000, px=px)
        dose = depth.max()
        compare(f"dose of {minutes:.0f} min in a fresh bath, µm", dose, 0.9981 * minutes, rel=0.006, source="1.0 µm/min (estimate) half covered, a little less as the bath tires; this cover is within 0.01 of half")
        left_um = PLATE_UM - 1000 * LEFT_MM - side
        told = ask("domes", seed=plan["seed"], left_um=left_um - MARGIN_UM, top_um=1000 * TOP_MM - MARGIN_UM, side_um=side + 2 * MARGIN_UM, reach_um=0.0)
        discs = told["discs"]
        wide = np.arange(step / 2, side + 2 * MARGIN_UM, step)
        resin = np.zeros((len(wide), len(wide)), bool)
        for x, y, radius in zip(side + 2 * MARGIN_UM - discs["x_um"], discs["y_um"], discs["radius_um"], strict=True):
            columns, rows = (slice(*np.searchsorted(wide, [centre - radius, centre + radius])) for centre in (x, y))
            resin[rows, columns] |= np.hypot(wide[columns] - x, wide[rows, None] - y) < radius
        # Domes overlap: the way to the open copper is that out of their union. From pixel to pixel it is half of one too long.
        inner = slice(round(MARGIN_UM / step), round((MARGIN_UM + side) / step))
        under = (distance_transform_edt(resin) * step - step / 2)[inner, inner]
        drawn = np.sqrt(np.maximum(dose**2 - np.maximum(under, 0) ** 2, 0))
        pixels = drawn.reshape(len(depth), round(px / step), len(depth), round(px / step)).mean((1, 3))
        compare(f"depth after {minutes:.0f} min, mean, µm", depth.mean(), pixels.mean(), rel=1e-2, source=source)
        compare(f"depth after {minutes:.0f} min, mean gap over {depth.size} places, µm", np.abs(depth - pixels).mean(), 0, abs=0.02 + 0.003 * dose, source=source)
        value = platewright.table(plan)["values"][2]
        compare(f"land after {minutes:.0f} min, from the table", value["land"], (under > dose).mean(), abs=0.03, source=source + "; two places of one ground")


def test_window_and_table_agree(compare, platewright):
    """The stages of one window hang together: depth where no resin lies, ink only up to the depth, paper at the lightest."""
    plan = platewright.default_plan()
    place = {"left": 20.0, "top": 150.0, "width": 2.0, "height": 2.0, "px": 4}
    cover, depth, held, printed, seen = (platewright.window(plan, 500, stage=s, **place) for s in ("cover", "depth", "held", "printed", "reflectance"))
    table = platewright.table(plan)
    doses = np.array([value["bitten_um"] for value in table["values"]])
    compare.within("greatest depth over the deepest dose", depth.max() / doses.max(), 0.9, 1 + 1e-6, source="nothing bites deeper than open copper")
    compare.within("least of depth + film − ink held, µm", (depth + 0.25 - held).min(), 0, 1e3, source="a pit holds no more than its depth and its film")
    compare.within("ink printed over ink held, mean", printed.mean() / held.mean(), 0.3, 1, source="Walker & Fetsko: the paper never takes all")
    compare.within("darkest and lightest reflectance", seen.min(), 0.0224, seen.max(), source="ink's surface")
    compare.within("lightest reflectance", seen.max(), seen.min(), 0.85, source="bare paper")
    open_copper = cover == 0
    compare.within("share of open copper with a whole dose", np.isclose(depth[open_copper][:, None], doses, atol=1e-3).any(1).mean(), 0.95, 1, source="open copper is bitten to its value's dose, but for what creeps at borders")
