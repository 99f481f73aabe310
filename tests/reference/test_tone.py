"""The value table's tone figures, recomputed from its reflectances.

Sources: density ISO 5-4:2009; lightness ISO/CIE 11664-4; screen value IEC 61966-2-1.
"""

import numpy as np
import pytest


@pytest.fixture
def values(platewright):
    table = platewright.table(platewright.default_plan())["values"]
    assert len(table) >= 3, "the example has paper and several values"
    return table


def test_density_is_minus_the_logarithm_of_reflectance(values):
    for value in values:
        expected = -np.log10(value["reflectance"])
        assert value["density"] == pytest.approx(expected, abs=1e-9), f"value {value['index']}"


def test_lightness_is_the_cube_root_scale(values):
    for value in values:
        y = value["reflectance"]
        cube = np.cbrt(y) if y > (6 / 29) ** 3 else y / (3 * (6 / 29) ** 2) + 4 / 29
        assert value["lightness"] == pytest.approx(116 * cube - 16, abs=1e-9), f"value {value['index']}"


def test_screen_value_is_srgb(values):
    for value in values:
        y = value["reflectance"]
        code = 12.92 * y if y <= 0.0031308 else 1.055 * y ** (1 / 2.4) - 0.055
        assert value["srgb"] == pytest.approx(255 * code, abs=0.5 + 1e-6), f"value {value['index']}"


def test_shares_of_the_plate_add_up(values):
    assert sum(value["area_share"] for value in values) == pytest.approx(1, abs=1e-6), "every place has a value"
