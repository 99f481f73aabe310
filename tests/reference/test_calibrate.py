"""Calibration from a step plate: the squaring up against scikit-image, Student's t against SciPy, and the
fit with its limits against SciPy's least squares on the program's own table, read off with SciPy's splines.
"""

import json

import numpy as np
from scipy import interpolate, optimize, stats
from skimage.transform import ProjectiveTransform

BITES = [1.5, 1.5, 2.5, 4.0, 6.0, 9.0, 15.0, 26.0]
# What a bath a third faster, with a weaker ink, prints on the example's ground, read to a tenth with an error of half an L*.
HIDDEN = {"bite.rate_um_per_min": 1.07, "ink.absorption_per_um": 0.72, "ink.surface_reflectance": 0.027, "ink.hand_overlap_um": 0.9}
ERRORS = [0.4, -0.6, 0.1, 0.5, -0.3, -0.5, 0.6, -0.2]


def test_projections_are_those_of_four_corners(compare, ask):
    """Random plates seen askew, at random places on them."""
    rng = np.random.default_rng(12)
    for _ in range(12):
        width, height = rng.uniform(60, 200), rng.uniform(30, 90)
        square = np.array([[0, 0], [width, 0], [width, height], [0, height]])
        corners = square * rng.uniform(4, 20) + rng.uniform(-80, 80, (4, 2)) + 200
        x, y = rng.uniform(-10, width + 10, 30), rng.uniform(-10, height + 10, 30)
        told = ask("projection", width_mm=width, height_mm=height, corners=corners, x_mm=x, y_mm=y)
        outside = ProjectiveTransform.from_estimate(square, corners)(np.stack([x, y], 1))
        source = "scikit-image ProjectiveTransform"
        compare("pixel of a place, across", told["x_px"], outside[:, 0], rel=1e-6, abs=1e-6, least=30, source=source)
        compare("pixel of a place, down", told["y_px"], outside[:, 1], rel=1e-6, abs=1e-6, least=30, source=source)


def test_limits_of_few_readings(compare, ask):
    freedom = np.array([0.7, 1, 1.5, 2, 3.3, 4, 6.5, 11, 40, 300])
    compare("Student's t, 97.5 %", ask("student", share=0.975, freedom=freedom)["t"], stats.t.ppf(0.975, freedom), rel=1e-8, least=10, source="SciPy stats.t.ppf")


class Outside:
    """The same problem, put together from the table and SciPy."""

    def __init__(self, table, read):
        self.read = np.array(read)
        self.usual = 0.25 * np.log(np.array(table["max"]) / table["min"])
        self.in_force = np.array(table["in_force"])
        self.sides = sides = [np.log(table[key]) for key in ("dose_um", "overlap_um", "absorption_per_um")]
        light = np.reshape(table["ln_light"], [len(side) for side in sides])
        self.ln_light = interpolate.RegularGridInterpolator(sides, light, method="cubic")
        rates = np.log(table["rate_um_per_min"])
        doses = np.reshape(table["ln_step_dose"], (len(read), len(rates)))
        self.ln_dose = interpolate.CubicSpline(rates, doses, axis=1)
        self.rates = rates[0], rates[-1]
        self.paper = table["paper"]
        self.noise = 1.0

    def printed(self, off):
        rate, absorption, surface, overlap = self.in_force * np.exp(off * self.usual)
        ln_dose = self.ln_dose(np.clip(np.log(rate), *self.rates))
        places = np.stack([ln_dose, np.full_like(ln_dose, np.log(overlap)), np.full_like(ln_dose, np.log(absorption))], 1)
        # Beyond the table it stays level.
        places = np.clip(places, [side[0] for side in self.sides], [side[-1] for side in self.sides])
        light = surface + (self.paper - surface) * np.exp(self.ln_light(places))
        return np.where(light > 216 / 24389, 116 * np.cbrt(light) - 16, 24389 / 27 * light)

    def residuals(self, off):
        return np.append((self.printed(off) - self.read) / self.noise, off)

    def solve(self):
        """Noise and constants in turn: the scatter, and three readings' worth of 0.8 L*."""
        off = np.zeros(4)
        for _ in range(30):
            found = optimize.least_squares(self.residuals, off, xtol=1e-12, ftol=1e-12)
            off = found.x
            slopes = found.jac[: len(self.read)]
            data = slopes.T @ slopes
            self.freedom = len(self.read) - np.trace(data @ np.linalg.inv(data + np.eye(4))) + 3
            miss = np.sum((self.printed(off) - self.read) ** 2)
            self.noise = max(0.4, np.sqrt((miss + 3 * 0.8**2) / self.freedom))
        self.off, self.least = off, 2 * found.cost

    def limit(self, i, way):
        """Where the cost, all others following, has risen by t²."""
        t = stats.t.ppf(0.975, self.freedom)
        others = [k for k in range(4) if k != i]

        def rise(away):
            def rest(part):
                off = np.empty(4)
                off[i], off[others] = self.off[i] + way * away, part
                return self.residuals(off)

            return 2 * optimize.least_squares(rest, self.off[others]).cost - self.least - t * t

        away = optimize.brentq(rise, 0, 2.4, rtol=1e-4)
        return self.in_force[i] * np.exp((self.off[i] + way * away) * self.usual[i])


def test_constants_and_limits_are_those_of_least_squares(compare, platewright):
    plan = platewright.default_plan()
    plan["plate"] |= {"width_mm": 140.0, "height_mm": 40.0}
    plan["bites"] = [{"bite_min": minutes} for minutes in BITES]
    plan["picture"]["thresholds_l"] = [90.0 - 9 * i for i in range(len(BITES))]
    values = platewright.table(plan | {"calibration": HIDDEN})["values"][1:]
    read = [round(value["lightness"] + error, 1) for value, error in zip(values, ERRORS)]

    file = platewright.plan_file(platewright.default_plan())
    bites = ",".join(map(str, BITES))
    told = json.loads(platewright.run("calibrate", file, "--bites", bites, "--readings", ",".join(map(str, read))))["fit"]
    outside = Outside(json.loads(platewright.run("calibrate", file, "--bites", bites, "--table")), read)
    outside.solve()

    source = "SciPy least_squares on the program's table, with SciPy's cubic splines"
    constants = told["constants"]
    ours = np.array([one["value"] for one in constants])
    compare("constants found", ours, outside.in_force * np.exp(outside.off * outside.usual), rel=0.02, least=4, source=source)
    compare("scatter of the readings, L*", told["noise_l"], outside.noise, rel=0.03, source=source)
    compare("degrees of freedom", told["freedom"], outside.freedom, abs=0.05, source=source)
    limits = np.array([[outside.limit(i, -1), outside.limit(i, 1)] for i in range(4)])
    width = np.diff(np.log(limits), axis=1).ravel()
    for side, key in enumerate(("low", "high")):
        off = np.log([one[key] for one in constants]) - np.log(limits[:, side])
        compare(f"95 % limits, {key}: off in widths of the limits", off / width, 0, abs=0.06, least=4, source="SciPy brentq on the cost, the others following")
    for one in constants:
        hidden = HIDDEN[one["key"]]
        compare.within(f"{one['key']}, hidden in {one['low']:.4g} … {one['high']:.4g}", hidden, one["low"], one["high"], source="the hidden constant")
