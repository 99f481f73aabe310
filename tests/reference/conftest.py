"""Checks against the outside: what the native program says, compared with reckonings that nobody
here wrote (fluids, chemicals, thermo, SciPy, scikit-fmm, colour-science, Pillow), with plain
NumPy versions of the same physics, or with published figures. Every check names its source.

Run by scripts/test --only reference, in an environment with the versions of requirements.txt. Each run
leaves its table of quantities, our values, outside values and tolerances in
test-results/reference.md. With PLATEWRIGHT_SHIFT='{"bite.rate_um_per_min": 0.84}' the program reckons
with that constant instead of its own, and a check must fail.
"""

import json
import os
import pathlib
import subprocess

import numpy as np
import pytest

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target")) / "debug" / "platewright"
REPORT = ROOT / "test-results" / "reference.md"

SHIFT = json.loads(os.environ.get("PLATEWRIGHT_SHIFT", "{}"))

ROWS = pytest.StashKey()


class Platewright:
    """The native program, called as a user would call it."""

    def __init__(self, folder):
        self.folder = folder

    def run(self, *words):
        """What the program prints; its own sentence as the failure."""
        done = subprocess.run([PROGRAM, *map(str, words)], capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stderr
        return done.stdout

    def default_plan(self):
        """The harbour example's plan, to change and hand back."""
        return json.loads(self.run("plan"))

    def plan_file(self, plan):
        path = self.folder / "plan.json"
        path.write_text(json.dumps(plan | {"calibration": SHIFT | plan.get("calibration", {})}))
        return path

    def table(self, plan, *options):
        """Everything the page shows for a plan, as the program's JSON."""
        return json.loads(self.run("table", self.plan_file(plan), "--form", "json", *options))

    def window(self, plan, rows, **place):
        """A window of one stage as an array of `rows` rows; `place` holds the options of `platewright window`."""
        output = self.folder / "window.f32"
        options = [word for key, value in place.items() for word in (f"--{key.replace('_', '-')}", value)]
        self.run("window", self.plan_file(plan), "--output", output, *options)
        return np.fromfile(output, dtype="<f4").reshape(rows, -1)


@pytest.fixture
def platewright(tmp_path):
    return Platewright(tmp_path)


@pytest.fixture(scope="session")
def ask():
    """`platewright probe`, kept open: ask("settling", diameter_um=[…], …) gives its answer with
    lists of numbers as arrays."""
    with subprocess.Popen([PROGRAM, "probe"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as probe:

        def plain(value):
            if isinstance(value, np.ndarray):
                return value.tolist()
            if isinstance(value, dict):
                return {key: plain(inner) for key, inner in value.items()}
            return value

        def arrays(value):
            if isinstance(value, dict):
                return {key: arrays(inner) for key, inner in value.items()}
            return np.asarray(value) if isinstance(value, list) else value

        def ask(question, **needs):
            needs["calibration"] = SHIFT | needs.get("calibration", {})
            probe.stdin.write(json.dumps({"ask": question} | plain(needs)) + "\n")
            probe.stdin.flush()
            answer = probe.stdout.readline()
            assert answer, f"the probe did not answer {question}"
            return arrays(json.loads(answer))

        yield ask
        probe.stdin.close()


class Compared:
    """The rows of one test: quantity, our value, outside value, tolerance, source."""

    def __init__(self, test, rows):
        self.test = test
        self.rows = rows

    def __call__(self, quantity, ours, outside, *, source, rel=0.0, abs=0.0, least=1):
        """Our numbers against the outside's: each within rel·|outside| + abs. `least` is how many there
        must be. The report keeps the one that comes nearest to its bound."""
        ours, outside = np.broadcast_arrays(np.asarray(ours, float), np.asarray(outside, float))
        ours, outside = ours.ravel(), outside.ravel()
        assert ours.size >= least, f"{quantity}: only {ours.size} settings compared, not {least}"
        assert np.isfinite(ours).all() and np.isfinite(outside).all(), f"{quantity}: not all finite"
        allowed = rel * np.abs(outside) + abs
        off = np.abs(ours - outside)
        worst = int(np.argmax(off / np.maximum(allowed, 1e-300)))
        tolerance = " + ".join([f"{100 * rel:.3g} %"] * bool(rel > 0) + [f"{abs:.3g}"] * bool(abs > 0)) or "exact"
        self.rows.append(
            f"| {self.test} | {quantity} | {ours.size} | {ours[worst]:.7g} | {outside[worst]:.7g} | {tolerance} | {source} |"
        )
        failed = int((off > allowed).sum())
        assert not failed, (
            f"{quantity}: {failed} of {ours.size} off by more than {tolerance}; worst (number {worst}): "
            f"ours {ours[worst]:.9g}, outside {outside[worst]:.9g}. Source: {source}"
        )

    def within(self, quantity, value, low, high, *, source):
        """One of our numbers between two bounds."""
        self.rows.append(f"| {self.test} | {quantity} | 1 | {value:.7g} | {low:.6g} … {high:.6g} | between | {source} |")
        assert low <= value <= high, f"{quantity}: {value:.7g} is not in {low:.6g} … {high:.6g}. Source: {source}"


@pytest.fixture
def compare(request):
    rows = request.config.stash.setdefault(ROWS, [])
    return Compared(f"{request.path.stem.removeprefix('test_')}: {request.node.name.removeprefix('test_')}", rows)


def pytest_sessionfinish(session):
    rows = session.config.stash.get(ROWS, [])
    if rows:
        REPORT.parent.mkdir(exist_ok=True)
        REPORT.write_text(
            "# Compared with the outside\n\nOf each comparison the setting that comes nearest to its bound.\n\n"
            "| check | quantity | settings | ours | outside | tolerance | source |\n|---|---|---|---|---|---|---|\n"
            + "\n".join(rows) + "\n"
        )
