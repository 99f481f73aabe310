"""Light: density, lightness, Munsell value, screen codes, and the laws of printed tone, against
`colour-science` and closed forms.
"""

import warnings

import numpy as np
import pytest

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # says that its plotting is not installed
    import colour
    from colour.colorimetry import lightness_CIE1976, luminance_ASTMD1535, luminance_CIE1976
    from colour.models.rgb.transfer_functions import eotf_inverse_sRGB, eotf_sRGB
    from colour.notation import munsell_value_ASTMD1535

LIBRARY = f"colour-science {colour.__version__}"
SURFACE, PAPER, ABSORBS_PER_UM, EXPONENT = 0.0224, 0.85, 0.85, 1.8  # ink-and-tone defaults: estimates


@pytest.fixture(scope="module")
def greys():
    return np.unique(np.concatenate([np.linspace(0, 1, 300), np.geomspace(1e-4, 1, 100)]))


def test_reflectance_to_tones(compare, ask, greys):
    ours = ask("light", reflectance=greys)
    compare("L*", ours["lightness"], lightness_CIE1976(greys * 100, 100), abs=1e-9, least=200, source=LIBRARY + " lightness_CIE1976; ISO/CIE 11664-4")
    compare("sRGB code 0–1", ours["srgb"], eotf_inverse_sRGB(greys), abs=1e-9, least=200, source=LIBRARY + " eotf_inverse_sRGB; IEC 61966-2-1")
    seen = greys[greys >= 1e-4]
    compare("density", ask("light", reflectance=seen)["density"], -np.log10(seen), abs=1e-12, least=200, source="ISO 5-4:2009, definition")
    # The library interpolates a table of the polynomial, to about 1e-3 of a value.
    compare("Munsell value", ours["munsell"], munsell_value_ASTMD1535(greys * 100), abs=2e-3, least=200, source=LIBRARY + " munsell_value_ASTMD1535; ASTM D1535-08")


def test_tones_to_reflectance(compare, ask):
    scale = np.linspace(0, 1, 201)
    ours = ask("light_back", lightness=100 * scale, munsell=10 * scale, srgb=scale)
    compare("reflectance of an L*", ours["of_lightness"], luminance_CIE1976(100 * scale, 100) / 100, abs=1e-9, least=200, source=LIBRARY + " luminance_CIE1976")
    compare("reflectance of a Munsell value", ours["of_munsell"], luminance_ASTMD1535(10 * scale) / 100, abs=1e-9, least=200, source=LIBRARY + " luminance_ASTMD1535; ASTM D1535-08")
    compare("linear light of an sRGB code", ours["of_srgb"], eotf_sRGB(scale), abs=1e-9, least=200, source=LIBRARY + " eotf_sRGB")


def test_every_screen_code(compare, ask):
    """The 8-bit code of the middle of every code and of both sides of every border between two."""
    code = np.arange(256)
    border = eotf_sRGB((code[:-1] + 0.5) / 255)
    light = np.concatenate([eotf_sRGB(code / 255), border * (1 - 1e-6), border * (1 + 1e-6)])
    expected = np.concatenate([code, code[:-1], code[1:]])
    ours = ask("light", reflectance=light)
    compare("8-bit code", ours["srgb8"], expected, abs=0, least=200, source=LIBRARY + " eotf_sRGB, all 256 codes and their borders")
    compare("8-bit code by the quick table", ours["quick8"], expected, abs=0, least=200, source=LIBRARY + " eotf_sRGB, all 256 codes and their borders")


def test_published_tones(compare, ask):
    ours = ask("light", reflectance=[0.85, 0.184187, 0.1, 0.04])
    compare("L* of R .85, .184187, .1, .04", ours["lightness"], [93.883, 50.0, 37.842, 23.671], abs=1e-3, source="ISO/CIE 11664-4, worked by hand")
    wedge = ask("light", reflectance=10.0 ** -(0.05 + 0.15 * np.array([0, 4, 10])))
    compare("L* of wedge steps 1, 5, 11", wedge["lightness"], [95.633, 54.435, 19.301], abs=1e-3, source="step wedge D = 0.05 + 0.15 k; ISO/CIE 11664-4")


def yule_nielsen(area, paper, solid, n):
    return ((1 - area) * paper ** (1 / n) + area * solid ** (1 / n)) ** n


def test_patches_against_yule_and_nielsen(compare, ask):
    """A patch with ink of one thickness on part of it: paper and solid are tones through the ink's surface."""
    ours, murray, both = [], [], []
    for n in (1.0, 1.4, EXPONENT, 2.0):
        for thickness in (0.5, 2.0, 8.0, 40.0):
            percent = np.arange(0, 101, 7)
            patches = [[thickness] * p + [0.0] * (100 - p) for p in percent]
            solid = np.exp(-ABSORBS_PER_UM * thickness)
            tones = ask("patch_tone", printed_um=patches, calibration={"ink.patch_exponent": n} if n != EXPONENT else {})["reflectance"]
            expected = SURFACE + (PAPER - SURFACE) * yule_nielsen(percent / 100, 1.0, solid, n)
            ours.extend(tones)
            both.extend(expected)
            if n == 1.0:
                murray.extend(zip(tones, (1 - percent / 100) * PAPER + percent / 100 * (SURFACE + (PAPER - SURFACE) * solid), strict=True))
    compare("patch of two tones", ours, both, abs=2e-6, least=200, source="Yule & Nielsen, TAGA Proc. 1951, 65 (from memory), closed form")
    compare("the same at n = 1", *np.transpose(murray), abs=2e-6, source="Murray–Davies: A. Murray, J. Franklin Inst. 221 (1936) 721 (from memory), closed form")


def test_films_against_beer_and_lambert(compare, ask):
    film = np.linspace(0, 30, 200)
    for base, reducer, paper in [(0, 0, 0.85), (25, 10, 0.85), (200, 0, 0.75), (0, 100, 0.92)]:
        share = 1 / (1 + (base + reducer) / 100)
        tones = ask("patch_tone", ink={"base_parts": base, "reducer_parts": reducer}, paper={"reflectance": paper, "margin_mm": 0.0},
                    printed_um=[[y] for y in film])["reflectance"]
        expected = SURFACE + (paper - SURFACE) * np.exp(-ABSORBS_PER_UM * share * film)
        compare(f"flat film 0–30 µm, {base} base, {reducer} reducer, paper {paper}", tones, expected, abs=1e-6, least=200, source="Beer–Lambert, closed form")
    by_hand = ask("patch_tone", printed_um=[[0.0], [0.5], [1.0], [2.0], [5.0], [10.0]])["reflectance"]
    compare("density of films 0, .5, 1, 2, 5, 10 µm", -np.log10(by_hand), [0.0706, 0.2491, 0.4247, 0.7605, 1.4659, 1.6465], abs=1e-3, source="Beer–Lambert, worked by hand")


@pytest.fixture
def values(platewright):
    table = platewright.table(platewright.default_plan())["values"]
    assert len(table) >= 3, "the example has paper and several values"
    return table


def test_table_of_values(compare, values):
    seen = np.array([value["reflectance"] for value in values])
    column = lambda name: [value[name] for value in values]
    compare("density in the table", column("density"), -np.log10(seen), abs=1e-9, source="ISO 5-4:2009")
    compare("L* in the table", column("lightness"), lightness_CIE1976(seen * 100, 100), abs=1e-9, source=LIBRARY)
    compare("8-bit code in the table", column("srgb"), np.floor(255 * eotf_inverse_sRGB(seen) + 0.5), abs=0, source=LIBRARY)
    compare("shares of the plate, sum", sum(column("area_share")), 1, abs=1e-6, source="arithmetic")
