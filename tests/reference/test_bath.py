"""Bath: strength, rate and session against `thermo` and `chemicals` (Laliberté's electrolytes, water, masses)
and SciPy's ODE solver.
"""

import numpy as np
import pytest
from chemicals.elements import molecular_weight
from chemicals.iapws import iapws95_rho
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from thermo.electrochem import Laliberte_density, Laliberte_density_w, Laliberte_viscosity

IRON_CHLORIDE = ["7705-08-0"]
LALIBERTE = "thermo 0.6.1 Laliberte_density: Laliberté, J. Chem. Eng. Data 54 (2009) 1725"
HYDROMETER_K, LITRE_K = 288.7055555555555, 293.15
CHLORIDE_G_PER_MOL = molecular_weight({"Fe": 1, "Cl": 3})
COPPER_G_PER_MOL = molecular_weight({"Cu": 1})
RATE_UM_PER_MIN, ACTIVATION_J_PER_MOL, GAS = 1.0, 22000.0, 8.314462618  # fitted to Mitjà 2017; Bryce & Berk 1995
OPEN_SHARE_POWER = 0.3  # estimate
MOVES = {"still_face_up": 0.5, "still_face_down": 0.8, "rocked": 1.0, "feathered": 1.3, "bubbled": 2.0, "sprayed": 16.0}  # estimates
LAYER_UM_PER_ROOT_MIN = 1.2  # estimate from Cottrell's law
COPPER_G_PER_CM3 = 8.96  # CRC Handbook (from memory)


def gravity(be):
    return 145 / (145 - be)


def weight_share(be):
    """Share of ferric chloride whose density at 60 °F is what the hydrometer says."""
    wanted = gravity(be) * Laliberte_density_w(HYDROMETER_K)
    return brentq(lambda w: Laliberte_density(HYDROMETER_K, [w], IRON_CHLORIDE) - wanted, 1e-9, 0.6, xtol=1e-14)


def grams_per_l(be):
    share = weight_share(be)
    return share * Laliberte_density(LITRE_K, [share], IRON_CHLORIDE)


def test_density_against_laliberte(compare, ask):
    share, temp_c = (grid.ravel() for grid in np.meshgrid(np.linspace(0.01, 0.48, 20), np.linspace(10, 35, 11)))
    ours = ask("density", weight_share=share, temp_c=temp_c)
    outside = [Laliberte_density(t + 273.15, [w], IRON_CHLORIDE) for w, t in zip(share, temp_c, strict=True)]
    compare("density, kg/m³", ours["kg_per_m3"], outside, rel=1e-9, least=200, source=LALIBERTE)
    water = [iapws95_rho(t + 273.15, 101325.0) for t in temp_c]
    compare("density of water, kg/m³", ours["water_kg_per_m3"], water, rel=2e-5, least=200, source="chemicals 1.5.2 iapws95_rho: IAPWS-95")
    table = ask("density", weight_share=[0.20, 0.30, 0.36, 0.40, 0.44], temp_c=[20.0] * 5)["kg_per_m3"]
    compare("density at 20, 30, 36, 40, 44 %, kg/m³", table, [1183, 1292, 1364, 1415, 1469], abs=3, source="Solvay, ferric chloride, 20 °C table (as quoted)")


def test_strength_against_chemicals(compare, ask):
    be = np.linspace(1, 47, 200)
    ours = ask("strength", be=be, copper_g_per_l=0.0)
    share = np.array([weight_share(b) for b in be])
    grams = np.array([w * Laliberte_density(LITRE_K, [w], IRON_CHLORIDE) for w in share])
    compare("specific gravity", ours["specific_gravity"], gravity(be), rel=1e-12, least=200, source="145/(145 − °Bé), closed form; Perry's Handbook, 8th ed. 2008, table 1-13")
    compare("°Bé and back", ours["back_be"], be, abs=1e-9, least=200, source="closed form")
    compare("weight %", ours["weight_percent"], 100 * share, abs=1e-6, least=200, source=LALIBERTE + ", SciPy brentq")
    compare("g/L at 20 °C", ours["grams_per_l"], grams, rel=1e-8, least=200, source=LALIBERTE)
    # Atomic masses are abridged in the program (Cl 35.45) and not in the library (35.4527).
    compare("mol/L at 20 °C", ours["mol_per_l"], grams / CHLORIDE_G_PER_MOL, rel=1e-4, least=200, source=LALIBERTE + "; chemicals 1.5.2 atomic masses")
    compare("molar masses of FeCl₃, Cu", ours["molar_masses"], [CHLORIDE_G_PER_MOL, COPPER_G_PER_MOL], rel=1e-4, source="chemicals 1.5.2 molecular_weight")
    compare("g Cu a g FeCl₃ takes up", ours["copper_per_chloride"], COPPER_G_PER_MOL / (2 * CHLORIDE_G_PER_MOL), rel=1e-4, source="2 FeCl₃ + Cu → 2 FeCl₂ + CuCl₂; chemicals 1.5.2")
    for copper in (5.0, 20.0, 50.0):
        reads = ask("strength", be=be, copper_g_per_l=copper)["reads_be"]
        heavier = gravity(be) + copper / iapws95_rho(HYDROMETER_K, 101325.0)
        compare(f"hydrometer with {copper:.0f} g/L of copper, °Bé", reads, 145 - 145 / heavier, abs=1e-3, least=200, source="same volume, so much heavier; chemicals iapws95_rho")
    published = ask("strength", be=[30.0, 36.0, 40.0, 42.0, 45.0], copper_g_per_l=0.0)["specific_gravity"]
    compare("specific gravity at 30, 36, 40, 42, 45 °Bé", published, [1.26087, 1.33028, 1.38095, 1.40777, 1.45000], abs=1e-5, source="Perry's Handbook, 8th ed. 2008, table 1-13 (as quoted)")


def test_strength_factor_against_its_physics(compare, ask):
    """A tray held by diffusion: rate ∝ C (T/η)^⅔ ν^(−1/6), with Laliberté's viscosity and density."""
    be = np.linspace(20, 46, 200)

    def feed(b):
        share = weight_share(b)
        density = Laliberte_density(LITRE_K, [share], IRON_CHLORIDE)
        thick = Laliberte_viscosity(LITRE_K, [share], IRON_CHLORIDE)
        return share * density * (LITRE_K / thick) ** (2 / 3) * (thick / density) ** (-1 / 6)

    bath = {"temperature_c": 20.0, "agitation": "rocked"}
    ours = [ask("rate", bath=bath | {"strength_be": b}, copper_g_per_l=[0.0])["strength_factor"] for b in be]
    outside = np.array([feed(b) for b in be]) / feed(40.0)
    compare("factor of strength", ours, outside, abs=0.006, least=200, source="convective diffusion, thermo 0.6.1 Laliberte_viscosity; the cubic's own fit is good to 0.005")
    y = (be - 40) / 10
    cubic = 0.9981 - 0.2434 * y - 0.0743 * y**2 + 0.0140 * y**3
    compare("factor of strength as a cubic", ours, cubic, abs=1e-9, least=200, source="the cubic fitted to that law, written out again")
    compare("strength of the fastest bite, °Bé", be[np.argmax(ours)], 27.4, abs=1.0, source="2 mol/kg: Bryce & Berk, Ind. Eng. Chem. Res. 34 (1995) 1412 (abstract)")


def factor(be, temp_c, agitation):
    """Rate in µm/min without copper, strength's factor left out."""
    warmth = np.exp(-ACTIVATION_J_PER_MOL / GAS * (1 / (temp_c + 273.15) - 1 / 293.15))
    return RATE_UM_PER_MIN * MOVES[agitation] * warmth


def test_rate(compare, ask):
    rng = np.random.default_rng(3)
    ours, outside = [], []
    for i in range(240):
        bath = {"strength_be": rng.uniform(20, 46), "temperature_c": rng.uniform(10, 35), "agitation": list(MOVES)[i % 6]}
        copper = rng.uniform(0, 130)
        open_share = rng.uniform(0.02, 1)
        told = ask("rate", bath=bath, copper_g_per_l=[copper], open_share=open_share)
        left = max(0, 1 - 2 * copper * CHLORIDE_G_PER_MOL / (COPPER_G_PER_MOL * grams_per_l(bath["strength_be"])))
        fresh = factor(bath["strength_be"], bath["temperature_c"], bath["agitation"]) * told["strength_factor"] * hastened(open_share)
        ours.append(told["um_per_min"][0] / fresh)
        outside.append(left)
    compare("rate with copper over the fresh bath's", ours, outside, abs=2e-4, least=200, source="Arrhenius, Bryce & Berk 1995; residual ferric iron, chemicals and thermo")
    warm = [ask("rate", bath={"temperature_c": t}, copper_g_per_l=[0.0])["um_per_min"][0] for t in (50.0, 30.0)]
    compare("rate at 50 °C over 30 °C", warm[0] / warm[1], 1.65, rel=0.10, source="constants of Bryce & Berk 1995: 0.3362/0.2039")
    spent = ask("rate", bath={"strength_be": 45.0}, copper_g_per_l=[0.0, 60.0])["um_per_min"]
    compare("speed left at 60 g/L in 3.75 mol/L", spent[1] / spent[0], 0.50, abs=0.02, source="Sharpe & Garn 1959 discard there; trade: when times have doubled")


def hastened(open_share):
    """How much faster a bath bites under a ground that leaves so much open, held between a tenth and all."""
    return (0.5 / np.clip(open_share, 0.1, 1)) ** OPEN_SHARE_POWER


def table_of_depth(rng):
    """A made-up rising curve of mean depth against dose, like that of a half-covered plate."""
    dose = np.concatenate([[0], np.geomspace(0.1, 200, 60)])
    open_share, width = rng.uniform(0.3, 0.7), rng.uniform(8, 25)
    return dose, dose * (1 - (1 - open_share) * np.exp(-((dose / width) ** 2)))


@pytest.mark.parametrize("agitation", list(MOVES))
def test_session_against_solve_ivp(compare, ask, agitation):
    """Dose and copper through a session, 40 random ones for each movement of the bath."""
    rng = np.random.default_rng(list(MOVES).index(agitation))
    got = {"dose": [], "copper": [], "rate": []}
    want = {"dose": [], "copper": [], "rate": []}
    for _ in range(40):
        bath = {
            "strength_be": rng.uniform(22, 45), "temperature_c": rng.uniform(12, 32), "agitation": agitation,
            "volume_l": rng.uniform(0.5, 5), "copper_g_per_l": rng.uniform(0, 40),
        }
        minutes = rng.integers(1, 40, rng.integers(2, 9)) * 0.25 / (10 if agitation == "sprayed" else 1)
        shares = rng.dirichlet(np.ones(len(minutes) + 1))
        plate_cm2 = rng.uniform(50, 900)
        dose, depth = table_of_depth(rng)
        open_share = rng.uniform(0.05, 0.95)
        ours = ask("session", bath=bath, bites_min=minutes, plate_cm2=plate_cm2, area_share=shares, open_share=open_share, at_um=dose, mean_depth_um=depth)
        told = ask("rate", bath=bath, copper_g_per_l=[0.0])
        fresh = factor(bath["strength_be"], bath["temperature_c"], agitation) * told["strength_factor"] * hastened(open_share)
        layer = LAYER_UM_PER_ROOT_MIN * fresh / (RATE_UM_PER_MIN * MOVES[agitation])
        per_copper = 2 * CHLORIDE_G_PER_MOL / (COPPER_G_PER_MOL * grams_per_l(bath["strength_be"]))
        slope = np.diff(depth) / np.diff(dose)
        state = [0.0, bath["copper_g_per_l"]]
        doses = [0.0]
        rates = []
        for k, bite_min in enumerate(minutes):
            grams_per_um = plate_cm2 * shares[k + 1:].sum() * 1e-4 * COPPER_G_PER_CM3 / bath["volume_l"]
            # The still layer takes over once k√t is less than v t.
            turn = (layer / fresh) ** 2 if agitation == "still_face_up" else np.inf

            def bites(t, y):
                speed = fresh if t < turn else layer / (2 * np.sqrt(t))
                speed *= max(0.0, 1 - per_copper * y[1])
                deepens = slope[min(np.searchsorted(dose, y[0], side="right") - 1, len(slope) - 1)]
                return [speed, grams_per_um * deepens * speed]

            rates.append(fresh * max(0.0, 1 - per_copper * state[1]))
            for stretch in ([(0, bite_min)] if turn >= bite_min else [(0, turn), (turn, bite_min)]):
                state = solve_ivp(bites, stretch, state, rtol=1e-7, atol=1e-9, method="RK45").y[:, -1]
            doses.append(state[0])
        got["dose"].extend(ours["dose_um"])
        want["dose"].extend(doses)
        got["copper"].extend([*ours["copper_g_per_l"], ours["copper_end_g_per_l"]][-1:])
        want["copper"].append(state[1])
        got["rate"].extend(ours["rate_um_per_min"])
        want["rate"].extend(rates)
    source = "SciPy solve_ivp, bath and plate as coupled rates"
    # Copper is carried on in stretches of two minutes, in which a spray bites as deep as the whole grain.
    rel = 1e-2 if agitation == "sprayed" else 1e-3
    compare("cumulative bite of every value, µm", got["dose"], want["dose"], rel=rel, abs=1e-9, least=200, source=source)
    compare("copper in the bath at the end, g/L", got["copper"], want["copper"], rel=rel, least=40, source=source)
    compare("rate at the start of each bite, µm/min", got["rate"], want["rate"], rel=rel, abs=5e-4, least=170, source=source)
