"""Pictures: what the program reads of decoded pixels, against area means in linear light reckoned by NumPy and
scikit-image, with the transfer function and lightness of `colour-science`.
"""

import warnings

import numpy as np
import pytest
import skimage
import skimage.data
from skimage.transform import downscale_local_mean

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # says that its plotting is not installed
    import colour
    from colour.colorimetry import lightness_CIE1976
    from colour.models.rgb.transfer_functions import eotf_sRGB

LIBRARY = f"colour-science {colour.__version__}"
IMAGES = f"scikit-image {skimage.__version__}"
MOST_SIDE = 2400
# A byte of lightness is rounded once; luminance is a whole number of 24 bits, of which lightness is told in 65536
# steps. A step is 0.0023 of a byte of L* in the lights and 0.035 near black.
BYTE = 0.54


def light_over_paper(rgba):
    """Luminance over white paper: alpha is the share that is covered."""
    channels = eotf_sRGB(rgba[..., :3] / 255) @ [0.2126, 0.7152, 0.0722]
    covered = rgba[..., 3] / 255
    return covered * channels + (1 - covered)


def bytes_of(light):
    return lightness_CIE1976(np.clip(light, 0, 1) * 100, 100) * 2.55


def overlaps(pixels, cells):
    """Share of each pixel in each of so many equal cells of a side, as a matrix."""
    edges = np.linspace(0, pixels, cells + 1)
    at = np.arange(pixels)
    shared = np.minimum(edges[1:, None], at + 1) - np.maximum(edges[:-1, None], at)
    return np.clip(shared, 0, None) / (pixels / cells)


def area_means(light, columns, rows):
    return overlaps(light.shape[0], rows) @ light @ overlaps(light.shape[1], columns).T


@pytest.fixture(scope="module")
def photograph():
    """The photograph that scikit-image ships, repeated to a strip more than twice as long as is read of a picture."""
    part = skimage.data.astronaut()[100:148]
    strip = np.tile(part, (1, 11, 1))[:, :5400]
    alpha = np.full(strip.shape[:2] + (1,), 255, np.uint8)
    return np.concatenate([strip, alpha], axis=2)


def read(ask, rgba, **crop):
    ours = ask("tones", width=rgba.shape[1], height=rgba.shape[0], rgba=rgba.ravel(), **({"crop": crop} if crop else {}))
    columns, rows = ours["size"].astype(int)
    return ours["lightness"].reshape(rows, columns), ours["window"].astype(int)


def test_area_means_of_a_photograph(compare, ask, photograph):
    """5400 pixels on 2400: each pixel of the map takes two whole ones and a quarter of another."""
    ours, _ = read(ask, photograph)
    assert ours.shape == (21, MOST_SIDE)
    expected = area_means(light_over_paper(photograph), MOST_SIDE, 21)
    compare("L* in bytes", ours, bytes_of(expected), abs=BYTE, least=50_000, source=f"NumPy, overlaps of pixels as a matrix; {LIBRARY} eotf_sRGB, lightness_CIE1976")


def test_whole_pixels_against_scikit_image(compare, ask, photograph):
    """4800 pixels on 2400: the mean of two by two."""
    whole = photograph[:, :4800]
    ours, _ = read(ask, whole)
    expected = downscale_local_mean(light_over_paper(whole), (2, 2))
    compare("L* in bytes", ours, bytes_of(expected), abs=BYTE, least=50_000, source=f"{IMAGES} downscale_local_mean of {LIBRARY} eotf_sRGB")


def test_a_close_crop_comes_from_the_full_picture(compare, ask, photograph):
    """A third of the strip has fewer pixels than are read of a picture: each comes as it is."""
    ours, (left, top, width, height) = read(ask, photograph, left=0.4, top=0.25, width=0.3, height=0.5)
    assert (left, width) == (2159, 1622) and (top, height) == (11, 26)
    expected = light_over_paper(photograph[top:top + height, left:left + width])
    compare("L* in bytes", ours, bytes_of(expected), abs=BYTE, least=40_000, source=f"the pixels themselves; {LIBRARY} eotf_sRGB, lightness_CIE1976")


def test_clear_parts_are_paper(compare, ask, photograph):
    """Alpha from none to full across the strip, mixed with paper before the mean is taken."""
    faded = photograph.copy()
    faded[..., 3] = (np.arange(5400) * 7 % 256)[None, :]
    ours, _ = read(ask, faded)
    expected = area_means(light_over_paper(faded), MOST_SIDE, 21)
    compare("L* in bytes", ours, bytes_of(expected), abs=BYTE, least=50_000, source=f"alpha as the share that is covered, NumPy; {LIBRARY} eotf_sRGB")
    # What the mean would be of the codes, as a browser's canvas takes it: the check above tells them apart.
    coded = area_means(faded[..., 3] / 255 * (faded[..., :3] @ [0.2126, 0.7152, 0.0722]) / 255 + 1 - faded[..., 3] / 255, MOST_SIDE, 21)
    off = np.abs(ours - bytes_of(eotf_sRGB(coded)))
    compare.within("bytes of L* between means of light and of codes, at most", off.max(), 20, 120, source="the same pixels without linear light")
