"""Pictures of dust and grounds against scikit-image and SciPy: the level between two tones, the islands and their
widths on the very pixels that were taken for rosin, and what is read of a picture against the discs drawn into it.
"""

import json

import numpy as np
import pytest
from PIL import Image
from scipy import ndimage
from skimage.draw import disk
from skimage.filters import threshold_otsu
from skimage.measure import label, regionprops

SKIMAGE = "scikit-image"
LEAST_PX = 9


def discs(seed, count, median_px, over=3, size=(900, 1200)):
    """Whether each pixel of a fine raster lies on one of `count` discs."""
    rng = np.random.default_rng(seed)
    fine = np.zeros([over * side for side in size], bool)
    for _ in range(count):
        centre = rng.uniform(0, 1, 2) * fine.shape
        fine[disk(centre, 0.5 * over * median_px * 1.35 ** rng.normal(), shape=fine.shape)] = True
    return fine


def photographed(fine, seed, *, over=3, rosin=200, copper=95, blur=0.7, noise=4, fall=0.0):
    """The picture: pixels of over × over of the raster, soft, noisy, lit from the left."""
    share = fine.reshape(fine.shape[0] // over, over, fine.shape[1] // over, over).mean((1, 3))
    code = copper + (rosin - copper) * ndimage.gaussian_filter(share, blur, mode="nearest")
    code = code * (1 - fall * np.linspace(0, 1, code.shape[1])) + np.random.default_rng(seed).normal(0, noise, code.shape)
    return np.clip(np.round(code), 0, 255).astype(np.uint8)


def islands(mask):
    """Islands as they are counted, with those on the border for half, and the widths of the others."""
    count, widths, weights = 0.0, [], []
    high, wide = mask.shape
    for region in regionprops(label(mask, connectivity=1)):
        if region.area < LEAST_PX:
            continue
        top, left, bottom, right = region.bbox
        border = top == 0 or left == 0 or bottom == high or right == wide
        count += 0.5 if border else 1.0
        if not border:
            widths.append(region.equivalent_diameter_area)
            weights.append(1 / ((1 - (bottom - top) / high) * (1 - (right - left) / wide)))
    order = np.argsort(widths)
    passed = np.cumsum(np.array(weights)[order])
    return count, np.array(widths)[order][np.searchsorted(passed, 0.5 * passed[-1])]


def test_level_between_two_tones(compare, ask):
    rng = np.random.default_rng(20)
    ours, outside = [], []
    for _ in range(40):
        means, share, spread = np.sort(rng.uniform(20, 235, 2)), rng.uniform(0.05, 0.95), rng.uniform(2, 30, 2)
        light = rng.uniform(0, 1, 40_000) < share
        tones = np.clip(np.round(rng.normal(means[light.astype(int)], spread[light.astype(int)])), 0, 255).astype(int)
        counts = np.bincount(tones, minlength=256)
        ours.append(ask("otsu", counts=counts)["level"])
        outside.append(threshold_otsu(hist=(counts, np.arange(256))))
    compare("level", ours, outside, least=40, source=f"{SKIMAGE} threshold_otsu")


@pytest.mark.parametrize("kind", ["dust", "half", "well covered", "dark, uneven"])
def test_islands_of_a_picture(compare, platewright, kind):
    count, median, how = {
        "dust": (700, 12, {}),
        "half": (650, 30, {}),
        "well covered": (1400, 28, {"noise": 8}),
        "dark, uneven": (650, 30, {"rosin": 80, "copper": 170, "fall": 0.3}),
    }[kind]
    fine = discs(len(kind), count, median)
    grey = photographed(fine, 3, **how)
    picture, mask_file = platewright.folder / "ground.png", platewright.folder / "mask.png"
    Image.fromarray(grey).save(picture)
    told = json.loads(platewright.run("ground-photo", picture, "--width-mm", 3.0, "--mask", mask_file))["found"]
    px_um, area_mm2 = 3000 / grey.shape[1], 3.0 * 3.0 * grey.shape[0] / grey.shape[1]
    mask = np.asarray(Image.open(mask_file)) == 0
    count, width = islands(mask)
    compare("cover of the pixels taken for rosin", told["cover"], mask.mean(), abs=1e-12, source="NumPy")
    compare("islands of those pixels", told["islands"], count, source=f"{SKIMAGE} label, regionprops")
    compare("their median width, µm", told["median_width_um"], width * px_um, rel=1e-9, source=f"{SKIMAGE} label, regionprops")
    # What was drawn.
    count, width = islands(fine)
    compare("cover", told["cover"], fine.mean(), abs=0.03, source="discs drawn with scikit-image")
    # Gaps finer than two pixels close: as many as are seen apart are fewer, and those of a sharp picture are reckoned.
    compare.within("islands per mm² seen apart", told["seen_per_mm2"], 0.5 * count / area_mm2, count / area_mm2, source="discs drawn with scikit-image")
    compare("islands per mm²", told["islands_per_mm2"], count / area_mm2, rel=0.15, source="discs drawn with scikit-image")
    compare("median width, µm", told["median_width_um"], width * px_um / 3, rel=0.15, source="discs drawn with scikit-image")
    if "fall" not in how:
        # Their own reading of the same picture, without our evening.
        smooth = ndimage.gaussian_filter(grey.astype(float), 0.7)
        theirs = smooth > threshold_otsu(smooth)
        compare("cover as scikit-image reads it", told["cover"], theirs.mean(), abs=0.01, source=f"{SKIMAGE} threshold_otsu")
