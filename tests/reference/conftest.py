"""Checks against the outside: what the native program says, compared with an independent reckoning
of the same physics (NumPy, SciPy) or with published figures. Every check names its source.

Run by scripts/test --only reference, in an environment with the versions of requirements.txt.
"""

import json
import os
import pathlib
import subprocess

import numpy as np
import pytest

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target")) / "release" / "platewright"


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
        path.write_text(json.dumps(plan))
        return path

    def table(self, plan):
        """Everything the page shows for a plan, as the program's JSON."""
        return json.loads(self.run("table", self.plan_file(plan), "--form", "json"))

    def window(self, plan, rows, **place):
        """A window of one stage as an array of `rows` rows; `place` holds the options of `platewright window`."""
        output = self.folder / "window.f32"
        options = [word for key, value in place.items() for word in (f"--{key.replace('_', '-')}", value)]
        self.run("window", self.plan_file(plan), "--output", output, *options)
        return np.fromfile(output, dtype="<f4").reshape(rows, -1)


@pytest.fixture
def platewright(tmp_path):
    return Platewright(tmp_path)
