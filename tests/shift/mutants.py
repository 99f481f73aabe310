"""Shows that the tests bite: changes the code of stages and studies at random places and asks the Rust tests of
the same crate to notice.

usage: mutants.py [COUNT [SEED]]      400 places, seed 1

cargo-mutants finds the places; a seeded sample of them is tried, each against the tests of its own crate. A place
that no test notices is listed at the end, with the share that was caught; below 95 % it ends with 1. Takes some
hours on two cores.
"""

import json
import os
import pathlib
import random
import re
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
TARGET = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
TOOL = TARGET / "tools"
# Stages and studies, and what their answers hang on.
CRATES = ["plate", "study"]
LEAST_CAUGHT = 0.95


def tool() -> str:
    """The program, installed beside the builds where it is not there yet."""
    program = TOOL / "bin" / "cargo-mutants"
    if not program.exists():
        print("Installing cargo-mutants …", flush=True)
        subprocess.run(
            ["cargo", "install", "--quiet", "--locked", "--root", str(TOOL), "cargo-mutants"],
            check=True,
        )
    return str(program)


def places(program: str) -> list[str]:
    """Every place that can be changed, by name, in the order of the code."""
    asked = [program, "mutants", "--list", "--json", "--dir", str(ROOT)]
    for crate in CRATES:
        asked += ["--package", crate]
    found = subprocess.run(asked, check=True, capture_output=True, text=True).stdout
    # What only proves that bits are the same is no part of a stage.
    return [one["name"] for one in json.loads(found) if "/digest.rs" not in one["name"] and "/example.rs" not in one["name"]]


def main(count: int, seed: int) -> int:
    program = tool()
    everywhere = places(program)
    sample = random.Random(seed).sample(everywhere, min(count, len(everywhere)))
    print(f"{len(sample)} of {len(everywhere)} places, seed {seed}.", flush=True)
    results = ROOT / "test-results" / "mutants"
    results.mkdir(parents=True, exist_ok=True)
    with tempfile.NamedTemporaryFile("w", suffix=".toml") as config:
        names = ",\n".join(json.dumps(f"^{re.escape(name)}$") for name in sample)
        config.write(f"examine_re = [\n{names}\n]\n")
        config.flush()
        run = [program, "mutants", "--config", config.name, "--dir", str(ROOT), "--output", str(results), "--no-shuffle"]
        for crate in CRATES:
            run += ["--package", crate]
        subprocess.run(run, check=False)
    outcomes = json.loads((results / "mutants.out" / "outcomes.json").read_text())
    caught = outcomes["caught"] + outcomes["timeout"]
    tried = caught + outcomes["missed"]
    print((results / "mutants.out" / "missed.txt").read_text(), end="")
    share = caught / tried if tried else 0.0
    print(f"{caught} of {tried} noticed ({100 * share:.1f} %); {outcomes['unviable']} did not compile.")
    return 0 if share >= LEAST_CAUGHT else 1


if __name__ == "__main__":
    given = [int(one) for one in sys.argv[1:]]
    sys.exit(main(*(given + [400, 1][len(given) :])))
