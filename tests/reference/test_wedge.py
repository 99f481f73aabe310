"""A published standard, end to end: a step wedge goes in as a picture, is bitten, printed and saved, and an
outside library reads the file back.

The wedge is the usual one, D = 0.05 + 0.15 k; of its steps 2 to 9 (D 0.20 to 1.25) lie within what this ink and
paper can print. The bites are found by interpolating the program's own tone curve; everything after that is read from the
saved file with Pillow.
"""

import numpy as np
import pytest
from PIL import Image
from scipy.interpolate import PchipInterpolator

STEPS = 0.05 + 0.15 * np.arange(1, 9)
STEP_MM, HEIGHT_MM, DPI = 8, 20, 508
LIGHTNESS = lambda density: 116 * np.cbrt(10.0**-density) - 16  # ISO/CIE 11664-4; all above its straight part
WEDGE = "step wedge D = 0.05 + 0.15 k; ISO 5-4:2009; read back by Pillow"


def screen(light):
    """IEC 61966-2-1."""
    return np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)


def light_of(code):
    return np.where(code <= 0.04045, code / 12.92, ((code + 0.055) / 1.055) ** 2.4)


def wedge_picture(path):
    """Bare paper and eight steps from left to right, as a grey sRGB picture."""
    light = np.append(1.0, 10.0**-STEPS)
    codes = np.round(255 * screen(light)).astype(np.uint8)
    Image.fromarray(np.tile(np.repeat(codes, 40), (100, 1)), "L").save(path)
    return path


def wedge_plan(platewright):
    plan = platewright.default_plan()
    plan["plate"] |= {"width_mm": float(STEP_MM * (len(STEPS) + 1)), "height_mm": float(HEIGHT_MM)}
    plan["picture"] = {
        "source": {"file": "wedge.png"}, "crop": {"left": 0.0, "top": 0.0, "width": 1.0, "height": 1.0},
        # Half way between neighbouring steps; the first half way to white.
        "thresholds_l": ((LIGHTNESS(STEPS) + LIGHTNESS(np.append(0.0, STEPS[:-1]))) / 2).round(1).tolist(),
    }
    # A slow bath: bites come in whole quarters of a minute, which should cost little density.
    plan["bath"] |= {"agitation": "still_face_down", "temperature_c": 15.0, "volume_l": 20.0}
    plan["bites"] = [{"bite_min": 1.0}] * len(STEPS)
    return plan


@pytest.fixture(scope="module")
def proof(tmp_path_factory):
    """The wedge printed: the plan's table, the file read by Pillow."""
    from conftest import Platewright

    platewright = Platewright(tmp_path_factory.mktemp("wedge"))
    picture = wedge_picture(platewright.folder / "wedge.png")
    plan = wedge_plan(platewright)
    curve = platewright.table(plan, "--picture", picture)["curve"]
    minutes, density = np.array(curve["minutes"]), np.array(curve["density"])
    rising = slice(0, int(np.argmax(density)) + 1)
    wanted = PchipInterpolator(density[rising], minutes[rising])(STEPS)
    cumulative = np.round(4 * wanted) / 4
    plan["bites"] = [{"bite_min": m} for m in np.diff(cumulative, prepend=0.0)]
    table = platewright.table(plan, "--picture", picture)
    output = platewright.folder / "proof.png"
    platewright.run("proof", platewright.plan_file(plan), "--picture", picture, "--output", output, "--dpi", DPI)
    with Image.open(output) as image:
        assert image.mode == "L", f"a grey picture, not {image.mode}"
        return table, np.asarray(image), image.info


def patches(pixels):
    """Mean light of each step, a millimetre and a half kept off its borders."""
    per_mm = DPI / 25.4
    keep = round(1.5 * per_mm)
    light = light_of(pixels / 255.0)
    edges = np.round(np.arange(len(STEPS) + 2) * STEP_MM * per_mm).astype(int)
    return np.array([light[keep:-keep, left + keep:right - keep].mean() for left, right in zip(edges[:-1], edges[1:], strict=True)])


def test_wedge_lands_on_its_own_densities(compare, proof):
    table, pixels, _ = proof
    printed = -np.log10(patches(pixels))
    # Quarters of a minute cost up to 0.01, and the table's sample of 2.4 mm stands for the patch to another 0.01.
    compare("density of the eight steps", printed[1:], STEPS, abs=0.02, source=WEDGE)
    compare("density from step to step", np.diff(printed[1:]), 0.15, abs=0.03, source=WEDGE)
    compare("L* of the eight steps", LIGHTNESS(printed[1:]), LIGHTNESS(STEPS), abs=1.2, source=WEDGE)


def test_saved_proof_gives_the_tables_lightness(compare, proof):
    table, pixels, _ = proof
    printed = LIGHTNESS(-np.log10(patches(pixels)))
    shown = [value["lightness"] for value in table["values"]]
    # One square centimetre of the plate against the sample of 2.4 mm that stands for it in the table.
    compare("L* of paper and eight values", printed, shown, abs=0.7, source="Pillow; IEC 61966-2-1, ISO/CIE 11664-4")
    # The bare copper keeps a trace of ink: Lalanne §§90–92 of wiping by hand; a film of 0.05 µm.
    film = 0.0224 + (0.85 - 0.0224) * np.exp(-0.85 * (1 - np.exp(-10 * 0.05)) * (2 * (1 - np.exp(-0.025)) + 0.5 * (0.05 - 2 * (1 - np.exp(-0.025)))))
    compare("L* of the unbitten part", printed[0], LIGHTNESS(-np.log10(film)), abs=0.15, source="closed form of a flat film, ink-and-tone §2")


def test_saved_proof_knows_its_size_and_colour(compare, proof):
    _, pixels, info = proof
    compare("pixels across and down", pixels.shape[::-1], [STEP_MM * (len(STEPS) + 1) * DPI / 25.4, HEIGHT_MM * DPI / 25.4], source="plate of 72 × 20 mm at 508 dpi")
    compare("dots per inch in the file", info["dpi"], [DPI, DPI], abs=0.01, source="Pillow, PNG pHYs")
    assert "srgb" in info, "the file says that it is sRGB"


def test_first_value_is_on_the_left(proof):
    """The wedge darkens to the right in the picture and so on the print, though the copper is its mirror image."""
    printed = patches(proof[1])
    assert (np.diff(printed) < 0).all(), f"each step is darker than the one to its left: {printed}"


def test_any_resolution(compare, platewright):
    """Fewer dots, same plate: size, resolution and mean light stay."""
    picture = wedge_picture(platewright.folder / "wedge.png")
    plan = wedge_plan(platewright)
    plan["plate"] |= {"width_mm": 40.0}
    sizes, dpis, light = [], [], []
    for dpi in (200, 400):
        output = platewright.folder / "proof.png"
        platewright.run("proof", platewright.plan_file(plan), "--picture", picture, "--output", output, "--dpi", dpi, "--px", 8)
        with Image.open(output) as image:
            sizes.append(image.width * 25.4 / image.info["dpi"][0])
            dpis.append(image.info["dpi"][0])
            light.append(light_of(np.asarray(image) / 255.0).mean())
    compare("dots per inch in the file", dpis, [200, 400], abs=0.02, source="Pillow, PNG pHYs")
    compare("width of the print, mm", sizes, 40.0, abs=25.4 / 200, source="the plan")
    compare("mean light", light, light[-1], rel=0.006, source="the same plate at 400 dpi")
