"""Work on bitten copper: tools and a later ground, against NumPy and SciPy on the depths and grounds that the native program writes.

Nobody has measured hand-worked aquatint; what is checked is that the program does the geometry it states (docs/physics/work.md).
"""

import numpy as np
from scipy.ndimage import binary_erosion, grey_dilation

SIDE_UM, PX_UM = 420, 1
PLACE = {"left": 12.0, "top": 7.0, "width": SIDE_UM / 1000, "height": SIDE_UM / 1000, "px": PX_UM}
EVERYWHERE = [[-5, -5], [155, -5], [155, 205], [-5, 205]]


def bitten_all_over(platewright, minutes=9.0):
    """One depth of pits on the whole plate, in a bath too large to tire."""
    plan = platewright.default_plan()
    plan["bites"] = [{"bite_min": minutes / 2}] * 2
    plan["picture"]["thresholds_l"] = [100.0, 99.0]
    plan["bath"]["volume_l"] = 100.0
    return plan


def with_work(plan, *work):
    return plan | {"states": [{"name": "", "from_state": 1, "work": list(work)}]}


def passage(tool, take_um):
    return {"tool": {"tool": tool, "passage": True, "width_mm": 0.0, "take_um": take_um, "points_mm": EVERYWHERE}}


def depth(platewright, plan, state):
    return platewright.window(plan, SIDE_UM, stage="depth", state=state, **PLACE)


def test_tools_on_real_pits(compare, platewright):
    plan = bitten_all_over(platewright)
    before = depth(platewright, plan, 1)
    for take_um in (0.5, 2.0, 5.0):
        polished = depth(platewright, with_work(plan, passage("polish", take_um)), 2)
        source = "NumPy: copper above a plane is gone, below it nothing changes"
        compare(f"depth polished down by {take_um} µm", polished, np.maximum(before, take_um), abs=1e-5, least=SIDE_UM**2, source=source)
        scraped = depth(platewright, with_work(plan, passage("scraper", take_um)), 2)
        furrow = scraped - polished
        compare.within(f"furrows under {take_um} µm scraped, least, µm", furrow.min(), -1e-5, 1e-5, source="a scraper takes at least what polish takes")
        compare.within(f"furrows under {take_um} µm scraped, deepest, µm", furrow.max(), 0.1, 0.6 + 1e-5, source="furrows up to 0.6 µm (estimate)")
    for take_um in (1.0, 3.0):
        burnished = depth(platewright, with_work(plan, passage("burnisher", take_um)), 2)
        source = "copper is only displaced: M. Lalanne, A Treatise on Etching, 1880, §53"
        compare(f"mean depth burnished by {take_um} µm", burnished.mean(), before.mean(), rel=0.02, source=source)
        land = before < 0.01
        compare(f"lands burnished by {take_um} µm", burnished[land], np.full(land.sum(), min(take_um, before.mean())), abs=0.35, least=1000, source="lands go down by what is pressed, at most to the mean")
        assert (burnished[before > before.max() - 0.01] < before.max() - 0.05).all(), "the pits' floors rise"


def test_a_later_ground_on_old_pits(compare, platewright):
    """Old pits bitten again through another ground: Huygens' construction by grey dilation (J. Serra, Image Analysis
    and Mathematical Morphology, 1982) of the old surface where the new resin leaves it open."""
    plan = bitten_all_over(platewright)
    old = depth(platewright, plan, 1)
    for seed, minutes in ((8, 3.0), (9, 9.0)):
        ground = {
            "seed": seed, "dust": plan["dust"], "bake": plan["bake"], "bath": plan["bath"], "outline_mm": [],
            "bites": [{"bite_min": minutes, "from_value": 0, "to_value": 12}],
        }
        new = depth(platewright, with_work(plan, {"ground": ground}), 2)
        # The same dust and bake at that seed lie the same as a first ground.
        cover = platewright.window(plan | {"seed": seed}, SIDE_UM, stage="cover", **PLACE)
        open_copper = cover < 0.5
        dose = np.median((new - old)[open_copper & (old > old.max() - 1e-3)])
        compare(f"dose of {minutes:.0f} min under the new ground, µm", dose, 1.0 * minutes, rel=0.02, source="1.0 µm/min (estimate)")
        reach = int(np.ceil(dose))
        # From the middle of a pixel to the nearest of an open one, which is a square.
        offset = np.maximum(np.abs(np.arange(-reach, reach + 1)) - 0.5, 0)
        radius2 = offset[:, None] ** 2 + offset**2
        hollow = np.where(radius2 <= dose**2, np.sqrt(np.maximum(dose**2 - radius2, 0)), -np.inf)
        seeds = np.where(open_copper, old, -1e9)
        reached = grey_dilation(seeds, structure=np.where(np.isfinite(hollow), hollow, -1e9), footprint=np.isfinite(hollow))
        expected = np.maximum(old, reached)
        inner = np.s_[reach + 2 : -reach - 2, reach + 2 : -reach - 2]
        source = "Huygens' construction, scipy.ndimage.grey_dilation at 1 µm"
        compare(f"depth after {minutes:.0f} min more, mean, µm", new[inner].mean(), expected[inner].mean(), rel=0.01, source=source)
        compare(f"depth after {minutes:.0f} min more, mean gap, µm", np.abs(new - expected)[inner].mean(), 0, abs=0.06 + 0.012 * dose, source=source)
        # Two pixels in from where the construction ends.
        kept = binary_erosion((cover == 1) & (np.abs(expected - old) < 1e-9), iterations=2)
        compare(f"copper under the new resin that {minutes:.0f} min do not reach, µm", new[inner][kept[inner]], old[inner][kept[inner]], abs=1e-5, least=500, source="resin keeps what lies beneath it")
