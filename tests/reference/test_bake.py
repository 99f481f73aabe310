"""Bake: warming, viscosity, spreading of caps, against SciPy's ODE solver and quadrature run on the
same physics written out anew.

Constants are written out here with their sources, so that a wrong one in the program shows.
"""

import numpy as np
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

COPPER_J_PER_M3K = 8933.0 * 385.0  # Incropera & DeWitt, table A.1 (from memory)
PAPER_W_PER_M2K, BARE_W_PER_M2K, LOSS_W_PER_M2K = 95.0, 250.0, 10.0  # estimates
SOFTENS_C = 76.0  # ring and ball, GB/T 8145-2003 gum rosin grades (from memory)
SURFACE_N_PER_M = 0.035  # estimate
CONTACT_LOG = 10.0  # Bonn et al., Rev. Mod. Phys. 81 (2009) 739 (from memory)
FIRST_DEG, REST_DEG, REST_END_DEG = 170.0, 55.0, 10.0  # estimates
DRIFT_PER_MIN, DRIFT_J_PER_MOL = 0.025, 95000.0  # no source: calibration
HYSTERESIS_DEG, PULL_SHARE = 25.0, 0.3  # no source: calibration
COX_VOINOV = "SciPy solve_ivp on the Cox–Voinov law"


def vogel():
    """Level, slope and offset of ln η = a + b/(T − Ts + c) through the three points of a hydrogenated rosin (its
    data sheet: softening point 98 °C; 20, 2.0, 0.41 Pa·s at 120, 140, 160 °C)."""
    above = np.array([22.0, 42.0, 62.0])
    ln_eta = np.log([20.0, 2.0, 0.41])

    def slopes(offset):
        x = 1 / (above + offset)
        return (ln_eta[0] - ln_eta[1]) / (x[0] - x[1]) - (ln_eta[1] - ln_eta[2]) / (x[1] - x[2])

    offset = brentq(slopes, 20, 300, xtol=1e-12)
    slope = (ln_eta[0] - ln_eta[2]) / (1 / (above[0] + offset) - 1 / (above[2] + offset))
    return ln_eta[0] - slope / (above[0] + offset), slope, offset


LEVEL, SLOPE_K, OFFSET_K = vogel()


def viscosity(plate_c):
    above = plate_c - SOFTENS_C + OFFSET_K
    return np.exp(min(LEVEL + SLOPE_K / above, 700)) if above > 0 else np.inf


def heating(bake, thickness_mm):
    """dT/dt in K/s of the lump of copper."""
    passed = PAPER_W_PER_M2K if bake["paper_between"] else BARE_W_PER_M2K
    held = COPPER_J_PER_M3K * thickness_mm * 1e-3
    return lambda c: (passed * (bake["hot_plate_c"] - c) - LOSS_W_PER_M2K * (c - bake["room_c"])) / held


def drift_per_s(plate_c):
    hastens = 1 / (plate_c + 273.15) - 1 / 393.15
    return DRIFT_PER_MIN / 60 * np.exp(-DRIFT_J_PER_MOL / 8.314462618 * hastens)


def cap_shape(angle):
    """g in V = π a³ g: (2 − 3 cos θ + cos³ θ)/(3 sin³ θ)."""
    c, s = np.cos(angle), np.sin(angle)
    return (2 - 3 * c + c**3) / (3 * s**3)


def radius_over_size(angle):
    """a / V^⅓."""
    return (np.pi * cap_shape(angle)) ** (-1 / 3)


def spread_angle_deg(rest_deg, s_values):
    """Angle of a cap after s = Ω/V^⅓, by the law dã/ds = (θ³ − θe³)/(9Λ) for ã = a/V^⅓."""
    rest = np.radians(rest_deg)

    def fall(_, angle):
        # dg/dθ for this form of g: (1 − c)²/s⁴ · s²… differentiated by the quotient rule.
        c, s = np.cos(angle), np.sin(angle)
        over, under = 2 - 3 * c + c**3, 3 * s**3
        rise = ((3 * s - 3 * c**2 * s) * under - over * 9 * s**2 * c) / under**2
        widening = -np.pi / 3 * (np.pi * cap_shape(angle)) ** (-4 / 3) * rise
        return (angle**3 - rest**3) / (9 * CONTACT_LOG) / widening

    at, back = np.unique(s_values, return_inverse=True)
    done = solve_ivp(fall, (0, max(at[-1], 1e-9)), [np.radians(FIRST_DEG)], method="LSODA", rtol=1e-9, atol=1e-11, t_eval=at)
    return np.degrees(done.y[0])[back]


def bakes(count):
    rng = np.random.default_rng(11)
    for _ in range(count):
        bake = {
            "hot_plate_c": rng.uniform(60, 190), "bake_min": rng.uniform(0.5, 40),
            "paper_between": bool(rng.integers(2)), "room_c": rng.uniform(5, 35),
        }
        yield bake, rng.uniform(0.5, 4)


def test_heat_up_against_solve_ivp(compare, ask):
    ours, outside = [], []
    for bake, thickness in bakes(60):
        minutes = np.linspace(0, bake["bake_min"], 5)
        rate = heating(bake, thickness)
        solved = solve_ivp(lambda _, c: rate(c), (0, 60 * minutes[-1]), [bake["room_c"]], t_eval=60 * minutes, rtol=1e-10, atol=1e-9, method="LSODA")
        ours.extend(ask("warming", bake=bake, thickness_mm=thickness, minutes=minutes)["plate_c"])
        outside.extend(solved.y[0])
    compare("temperature of the copper, °C", ours, outside, abs=1e-4, least=200, source="SciPy solve_ivp; lumped heat, copper of Incropera & DeWitt A.1 (from memory)")


def test_viscosity_against_the_data_sheet(compare, ask):
    plate_c = np.linspace(45, 220, 200)
    compare("viscosity, Pa·s", ask("viscosity", plate_c=plate_c)["viscosity_pa_s"], [viscosity(c) for c in plate_c], rel=2e-3, least=200,
            source="Vogel–Fulcher–Tammann through three points of a hydrogenated rosin's data sheet, solved by SciPy brentq")
    sheet = ask("viscosity", plate_c=[120.0, 140.0, 160.0], calibration={"bake.softening_c": 85.0})["viscosity_pa_s"]
    compare("viscosity 35, 55, 75 K above softening, Pa·s", sheet, [viscosity(c - 9) for c in (120, 140, 160)], rel=2e-3, source="same; the softening point shifts the curve")


def test_caps_against_quadrature(compare, ask):
    angle = np.linspace(5, 170, 200)
    ours = ask("caps", angle_deg=angle, solid_share=0.15)

    def volume(angle_rad):
        # Discs of a sphere of radius 1/sin θ, rim at radius 1, stacked up to the cap's height.
        ball = 1 / np.sin(angle_rad)
        centre = -ball * np.cos(angle_rad)
        return quad(lambda z: np.pi * (ball**2 - (z - centre) ** 2), 0, np.tan(angle_rad / 2), epsabs=1e-13, epsrel=1e-12)[0]

    outside = np.array([volume(a) for a in np.radians(angle)])
    compare("volume of a cap over π a³", ours["volume_factor"], outside / np.pi, rel=1e-9, least=200, source="SciPy quad of a sphere's slices")
    loose = (6 / (np.pi * 0.15)) ** (1 / 3) / 2
    compare("melted footprint over loose shadow", ours["area_ratio"], (outside ** (-1 / 3) / loose) ** 2, rel=1e-9, least=200, source="same")


def test_spreading_against_solve_ivp(compare, ask):
    s = np.concatenate([[0.01, 0.1, 0.5], np.geomspace(1, 300, 27)])
    for rest in [15, 25, 35, 45, 55, 60, 65, 70]:
        ours = ask("spreading", rest_angle_deg=rest, s=s, to_angle_deg=[120.0, 90.0, rest + 5.0])
        compare(f"angle of a cap at rest at {rest}°, °", ours["angle_deg"], spread_angle_deg(rest, s), abs=0.01, least=30, source=COX_VOINOV)
        back = spread_angle_deg(rest, ours["s"])
        compare(f"dose to come down to 120°, 90°, {rest + 5}°: the angle then, °", back, [120.0, 90.0, rest + 5.0], abs=0.01, source=COX_VOINOV)


def test_bake_against_odes(compare, ask):
    """Warming, capillary dose and fall of the rest angle as one set of equations, then the caps."""
    got = {key: [] for key in ("dose", "dose by quad", "rest", "radius", "angle", "pinning", "limit")}
    want = {key: [] for key in got}
    size_um = np.array([5.0, 12.0, 25.0, 60.0])
    for number, (bake, thickness) in enumerate(bakes(220)):
        ours = ask("bake", bake=bake, thickness_mm=thickness, volume_um3=size_um**3)
        rate = heating(bake, thickness)
        end_s = 60 * bake["bake_min"]

        def course(_, y):
            return [rate(y[0]), SURFACE_N_PER_M / viscosity(y[0]), drift_per_s(y[0])]

        solved = solve_ivp(course, (0, end_s), [bake["room_c"], 0, 0], rtol=1e-9, atol=[1e-8, 1e-18, 1e-12], method="LSODA").y[:, -1]
        rest = REST_END_DEG + (REST_DEG - REST_END_DEG) * np.exp(-solved[2])
        got["dose"].append(ours["dose_m"])
        want["dose"].append(solved[1])
        got["rest"].append(ours["rest_angle_deg"][-1])
        want["rest"].append(rest)
        passed = PAPER_W_PER_M2K if bake["paper_between"] else BARE_W_PER_M2K
        tau = COPPER_J_PER_M3K * thickness * 1e-3 / (passed + LOSS_W_PER_M2K)
        settles = (passed * bake["hot_plate_c"] + LOSS_W_PER_M2K * bake["room_c"]) / (passed + LOSS_W_PER_M2K)
        flow = lambda t: SURFACE_N_PER_M / viscosity(settles + (bake["room_c"] - settles) * np.exp(-t / tau))
        got["dose by quad"].append(ours["dose_m"])
        want["dose by quad"].append(quad(flow, 0, end_s, points=np.clip([tau, 3 * tau, 8 * tau], 0, end_s), limit=200, epsrel=1e-9)[0])
        got["pinning"].append(ours["pinning"][-1])
        want["pinning"].append(np.clip(1 - PULL_SHARE * rest / HYSTERESIS_DEG, 0, 1))
        got["limit"].append(ours["merge_limit_um"][-1])
        want["limit"].append(1e6 * solved[1] * np.radians(rest) ** 3 / (9 * CONTACT_LOG))
        if number < 60:
            angle = spread_angle_deg(rest, np.minimum(1e6 * solved[1] / size_um, 1e5))
            got["angle"].extend(ours["angle_deg"])
            want["angle"].extend(angle)
            got["radius"].extend(ours["radius_um"])
            want["radius"].extend(size_um * radius_over_size(np.radians(angle)))
    law = "SciPy solve_ivp: lumped heat, Vogel viscosity, drift"
    compare("capillary dose, m", got["dose"], want["dose"], rel=3e-3, abs=1e-15, least=200, source=law)
    compare("capillary dose, m", got["dose by quad"], want["dose by quad"], rel=3e-3, abs=1e-15, least=200, source="SciPy quad of γ/η dt")
    compare("rest angle at the end, °", got["rest"], want["rest"], abs=2e-3, least=200, source=law)
    compare("pinning", got["pinning"], want["pinning"], abs=1e-4, least=200, source=law)
    compare("limit of merging, µm", got["limit"], want["limit"], rel=3e-3, abs=1e-9, least=200, source=law)
    compare("angle of a grain's cap, °", got["angle"], want["angle"], abs=0.1, least=200, source=law + "; " + COX_VOINOV)
    compare("footprint of a grain, µm", got["radius"], want["radius"], rel=1.5e-3, least=200, source=law + "; " + COX_VOINOV)


def test_closed_forms_of_cover(compare, ask):
    n = np.linspace(0, 4, 200)
    ours = ask("cover", n=n)
    compare("cover of grains that stay where they fell", ours["pinned"], 1 - np.exp(-n), abs=1e-12, least=200, source="Boolean model, Chiu et al. 2013 §3.2")
    worked = ask("cover", n=[0.5, 1.0, 1.5, 2.0, 3.0])["merged"]
    compare("cover of grains free to merge, n = 0.5 … 3", worked, [0.334, 0.467, 0.518, 0.536, 0.542], abs=0.004, source="simulation of 12 000 one-size discs; compare breath figures, about 0.55 (from memory)")
