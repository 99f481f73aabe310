"""Dust: how fast grains sink, what lands, against `fluids` (drag, air) and SciPy.

Air and gravity are written out here, so that a wrong constant in the program shows.
"""

import fluids
import numpy as np
import pytest
from scipy.integrate import simpson, solve_ivp
from scipy.interpolate import CubicSpline
from scipy.optimize import brentq
from scipy.stats import norm

AIR_KG_PER_M3, AIR_PA_S, FREE_PATH_UM = 1.2041, 1.8133e-5, 0.0664
RESIN_KG_PER_M3 = 1070.0
DAVIES = "slip: C. N. Davies, Proc. Phys. Soc. 57 (1945) 259"


def slip(diameter_um):
    """Cunningham's factor with Davies' constants."""
    knudsen = 2 * FREE_PATH_UM / diameter_um
    return 1 + knudsen * (1.257 + 0.400 * np.exp(-1.10 / knudsen))


def sinks(diameter_um, density):
    """Speed at which weight equals drag by `fluids` (Clift & Gauvin 1970),
    lessened by the slip."""
    diameter = diameter_um * 1e-6
    weight = np.pi / 6 * diameter**3 * (density - AIR_KG_PER_M3) * 9.80665

    def miss(speed):
        reynolds = AIR_KG_PER_M3 * speed * diameter / AIR_PA_S
        drag = fluids.drag_sphere(reynolds, Method="Clift_Gauvin") * np.pi / 8 * AIR_KG_PER_M3 * (speed * diameter) ** 2
        return drag / slip(diameter_um) - weight

    return brentq(miss, 1e-12, 100, xtol=1e-16, rtol=1e-12)


@pytest.fixture(scope="module")
def spheres():
    diameter, density = np.meshgrid(np.geomspace(0.5, 200, 24), np.linspace(80, 1100, 12))
    return diameter.ravel(), density.ravel()


def test_air_is_the_standard_atmosphere(compare, ask):
    told = {c["key"]: c["default"] for c in ask("constants")}
    atmosphere = fluids.ATMOSPHERE_1976
    density = atmosphere.density(293.15, 101325.0)
    viscosity = atmosphere.viscosity(293.15)
    # Kinetic theory: λ = μ/p · √(πRT/2M).
    free_path = viscosity / 101325.0 * np.sqrt(np.pi * 8.314462618 * 293.15 / (2 * 0.0289644)) * 1e6
    source = "fluids.ATMOSPHERE_1976 at 20 °C, 101.325 kPa"
    compare("density of air, kg/m³", told["dust.air_density_kg_per_m3"], density, rel=1e-4, source=source)
    compare("viscosity of air, Pa·s", told["dust.air_viscosity_pa_s"], viscosity, rel=1e-4, source=source)
    compare("free path of air, µm", told["dust.air_free_path_um"], free_path, rel=0.025, source="kinetic theory, closed form; Davies 1945 gives 0.066")


def test_settling_against_fluids(compare, ask, spheres):
    diameter, density = spheres
    ours = ask("settling", diameter_um=diameter, density_kg_per_m3=density)
    # Clift & Gauvin's constants (0.152, 0.677) differ a little from Schiller & Naumann's (0.15, 0.687).
    same_law = [sinks(d, r) for d, r in zip(diameter, density, strict=True)]
    compare("settling speed, m/s (Clift & Gauvin's drag)", ours["velocity_m_per_s"], same_law, rel=0.006, least=200,
            source="fluids 1.3.1 drag_sphere, SciPy brentq; " + DAVIES)
    # The library's own choice of drag (Barati et al. 2014); published correlations differ by 3–4 %.
    other_law = [
        fluids.v_terminal(D=d * 1e-6, rhop=r, rho=AIR_KG_PER_M3, mu=AIR_PA_S) * slip(d) for d, r in zip(diameter, density, strict=True)
    ]
    compare("settling speed, m/s (the library's own choice of drag)", ours["velocity_m_per_s"], other_law, rel=0.04, least=200,
            source="fluids 1.3.1 v_terminal; " + DAVIES)


def test_slip_against_davies_and_seinfeld(compare, ask):
    diameter = np.geomspace(0.05, 200, 200)
    ours = ask("settling", diameter_um=diameter, density_kg_per_m3=np.ones(200))["slip"]
    compare("slip", ours, slip(diameter), rel=1e-9, least=200, source=DAVIES)
    table = ask("settling", diameter_um=[1.0, 10.0], density_kg_per_m3=[1.0, 1.0])["slip"]
    compare("slip at 1 and 10 µm", table, [1.164, 1.016], abs=0.005, source="Seinfeld & Pandis, Atmospheric Chemistry and Physics, 2006, table 9.3 (298 K)")


def test_unit_density_spheres(compare, ask):
    ours = ask("settling", diameter_um=[1.0, 10.0, 100.0], density_kg_per_m3=[1000.0] * 3)["velocity_m_per_s"]
    compare("settling speed at 1, 10, 100 µm, 1000 kg/m³, m/s", ours, [3.48e-5, 3.06e-3, 0.249], rel=0.01,
            source="W. C. Hinds, Aerosol Technology, 2nd ed. 1999, appendix A11 (from memory)")


def test_what_lands_against_an_ode(compare, ask):
    """A box's air thins as dC/dt = −vC/H when it turns over; when still, each size falls in step."""
    velocity = np.geomspace(1e-4, 0.4, 20)
    for from_s, to_s, height in [(0, 60, 0.3), (30, 330, 0.5), (45, 285, 0.6), (60, 400, 1.0), (90, 900, 1.5), (5, 20, 0.1),
                                 (120, 240, 0.8), (10, 3600, 2.0), (300, 600, 0.6), (45, 285, 3.0)]:
        air = solve_ivp(lambda _, c: -velocity / height * c, (0, to_s), np.ones(20), t_eval=[from_s, to_s], rtol=1e-9, atol=1e-12, method="LSODA").y
        place = {"velocity_m_per_s": velocity, "from_s": from_s, "to_s": to_s, "box_height_m": height}
        source = "SciPy solve_ivp; law of stirred settling, Hinds 1999 §3.8 (from memory)"
        compare(f"landed {from_s}–{to_s} s, {height} m, stirred", ask("landed", settling="stirred", **place)["landed"], air[:, 0] - air[:, 1], abs=1e-7, least=20, source=source)
        still = (np.minimum(velocity * to_s, height) - np.minimum(velocity * from_s, height)) / height
        compare(f"landed {from_s}–{to_s} s, {height} m, still", ask("landed", settling="still", **place)["landed"], still, abs=1e-12, least=20, source="closed form")


def test_landed_dust_against_a_fine_sum(compare, ask):
    """Weight, cover and number of what lands, summed by SciPy over a lognormal powder with speeds of `fluids`."""
    rng = np.random.default_rng(4)
    share_solid = [0.3, 0.5, 0.75, 1.0]
    speeds = {}
    for share in share_solid:
        diameter = np.geomspace(0.01, 1500, 90)
        speed = [sinks(d, RESIN_KG_PER_M3 * share) for d in diameter]
        speeds[share] = CubicSpline(np.log(diameter), np.log(speed))
    got = {"mass": [], "cover": [], "low": [], "grains": [], "cloud": []}
    want = {"mass": [], "cover": [], "low": [], "grains": [], "cloud": []}
    for i in range(280):
        share = share_solid[i % 4]
        dust = {
            "median_um": rng.uniform(15, 150), "spread_gsd": rng.uniform(1.15, 2.4), "dustings": float(rng.integers(1, 7)),
            "powder_g_per_m2": rng.uniform(2, 60), "box_height_m": rng.uniform(0.2, 2), "wait_s": rng.uniform(0, 300),
            "dusting_min": rng.uniform(0.5, 15), "settling": ["stirred", "still"][i // 4 % 2],
        }
        ours = ask("dust", dust=dust, calibration={"dust.solid_share": share})
        sigma = np.log(dust["spread_gsd"])
        ln_d = np.linspace(np.log(ours["from_um"][0]), np.log(ours["to_um"][-1]), 8001) if len(ours["from_um"]) else None
        if ln_d is None or ours["loose_cover"] < 1e-4:
            continue
        fallen = np.exp(speeds[share](ln_d)) / dust["box_height_m"]
        out_s = dust["wait_s"] + 60 * dust["dusting_min"]
        air = (lambda t: np.exp(-fallen * t)) if dust["settling"] == "stirred" else (lambda t: np.maximum(1 - fallen * t, 0))
        raised = dust["powder_g_per_m2"] * norm.pdf(ln_d, np.log(dust["median_um"]), sigma)
        mass = dust["dustings"] * raised * (air(dust["wait_s"]) - air(out_s))
        diameter_m = np.exp(ln_d) * 1e-6
        grains = mass / (1e3 * RESIN_KG_PER_M3 * share * np.pi / 6 * diameter_m**3)
        want["mass"].append(simpson(mass, x=ln_d))
        want["grains"].append(simpson(grains, x=ln_d) * 1e-6)
        shadow = simpson(grains * np.pi / 4 * diameter_m**2, x=ln_d)
        want["cover"].append(-np.expm1(-shadow))
        want["low"].append(-np.expm1(-shadow / np.sin(np.radians(8))))
        want["cloud"].append(dust["powder_g_per_m2"] / dust["box_height_m"])
        got["mass"].append(ours["all_mass_g_per_m2"])
        got["grains"].append(ours["all_grains_per_mm2"])
        got["cover"].append(ours["loose_cover"])
        got["low"].append(ours["low_angle_cover"])
        got["cloud"].append(ours["cloud_g_per_m3"][0])
    source = "SciPy simpson over a lognormal, speeds of fluids 1.3.1"
    compare("weight landed, g/m²", got["mass"], want["mass"], rel=1.1e-2, abs=1e-6, least=200, source=source)
    compare("loose cover", got["cover"], want["cover"], rel=1.1e-2, abs=1e-6, least=200, source=source + "; Boolean model, Chiu et al. 2013 §3.2")
    compare("hidden at 8°", got["low"], want["low"], rel=1.1e-2, abs=1e-6, least=200, source=source + "; shadows of spheres, πr²/sin 8°")
    compare("grains landed per mm²", got["grains"], want["grains"], rel=1.1e-2, abs=1e-6, least=200, source=source)
    compare("cloud at the start, g/m³", got["cloud"], want["cloud"], rel=1e-12, least=200, source="arithmetic")
