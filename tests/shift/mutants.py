"""Shows that the tests bite: changes the code of stages and studies at random places and asks the Rust tests of
the same crate to notice.

usage: mutants.py [COUNT [SEED]]            400 places, seed 1: goes on with the record, if there is one
       mutants.py --afresh [COUNT [SEED]]   forgets the record and begins with the commit in hand

cargo-mutants finds the places; a seeded sample of them is tried, each against the tests of its own crate. That takes
some hours on two cores, so what was tried is kept (tests/shift/tried.txt, with the commit it was tried on) and the
next run goes on from there, on the same commit. A place that no test notices is listed at the end, with the share
that was caught; below 95 % it ends with 1.
"""

import json
import os
import pathlib
import random
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]
TARGET = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
TOOL = TARGET / "tools"
RECORD = ROOT / "tests" / "shift" / "tried.txt"
# A checkout of its own: the code is changed in place, and what was built serves the next change.
TREE = TARGET / "mutants"
# Stages and studies, and what their answers hang on.
CRATES = ["plate", "study"]
LEAST_CAUGHT = 0.95
# Without a limit, a change that never ends would hold the run up; the tests of a crate take a tenth of this.
MOST_S = 600
WORDS = {"CaughtMutant": "caught", "Timeout": "caught", "MissedMutant": "missed", "Unviable": "unviable"}


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


def git(*words: str) -> str:
    return subprocess.run(["git", "-C", str(ROOT), *words], check=True, capture_output=True, text=True).stdout.strip()


def begun() -> tuple[str, dict[str, str]]:
    """The commit of the record, and what was tried of it; the commit in hand where there is no record."""
    if not RECORD.exists():
        return git("rev-parse", "HEAD"), {}
    head, *lines = RECORD.read_text().splitlines()
    return head.split()[-1], {name: outcome for outcome, name in (line.split("\t", 1) for line in lines)}


def keep(commit: str, tried: dict[str, str]) -> None:
    lines = [f"tried on {commit}", *(f"{outcome}\t{name}" for name, outcome in tried.items())]
    RECORD.write_text("\n".join(lines) + "\n")


def check_out(commit: str) -> None:
    """The tree of the record, without what an interrupted run left changed."""
    if not (TREE / ".git").exists():
        subprocess.run(["git", "clone", "--quiet", "--shared", "--no-checkout", str(ROOT), str(TREE)], check=True)
    subprocess.run(["git", "-C", str(TREE), "checkout", "--quiet", "--force", commit], check=True)


def asked(program: str) -> list[str]:
    """The crates, without what only proves that bits are the same, which is no part of a stage."""
    words = [program, "mutants", "--dir", str(TREE), "--no-shuffle", "--exclude", "**/digest.rs", "--exclude", "**/example.rs"]
    for crate in CRATES:
        words += ["--package", crate]
    return words


def places(program: str) -> list[str]:
    """Every place that can be changed, by name, in the order of the code."""
    found = subprocess.run([*asked(program), "--list", "--json"], check=True, capture_output=True, text=True).stdout
    return [one["name"] for one in json.loads(found)]


def outcome(program: str, at: int, of: int) -> tuple[str, str] | None:
    """Tries the place `at` of all: its name and what became of it, or None where the run was broken off."""
    results = TREE / "target"
    run = [*asked(program), "--shard", f"{at}/{of}", "--sharding", "round-robin", "--profile", "mutants"]
    run += ["--in-place", "--baseline", "skip", "--timeout", str(MOST_S), "--output", str(results), "--colors", "never"]
    subprocess.run(run, check=False, env={**os.environ, "CARGO_TARGET_DIR": str(results)})
    found = json.loads((results / "mutants.out" / "outcomes.json").read_text())["outcomes"]
    mutants = [one for one in found if isinstance(one["scenario"], dict)]
    if len(mutants) != 1 or mutants[0]["summary"] not in WORDS:
        return None
    return mutants[0]["scenario"]["Mutant"]["name"], WORDS[mutants[0]["summary"]]


def main(count: int, seed: int) -> int:
    program = tool()
    commit, tried = begun()
    check_out(commit)
    everywhere = places(program)
    sample = random.Random(seed).sample(everywhere, min(count, len(everywhere)))
    left = [name for name in sample if name not in tried]
    print(f"{len(sample)} of {len(everywhere)} places of {commit[:7]}, seed {seed}; {len(left)} left to try.", flush=True)
    for name in left:
        found = outcome(program, everywhere.index(name), len(everywhere))
        if found is None or found[0] != name:
            print(f"Not tried, the run was broken off or failed: {name}")
            return 1
        tried[name] = found[1]
        keep(commit, tried)
    of_sample = {name: tried[name] for name in sample}
    missed = [name for name, outcome in of_sample.items() if outcome == "missed"]
    caught = sum(outcome == "caught" for outcome in of_sample.values())
    print(*missed, sep="\n")
    share = caught / (caught + len(missed)) if caught + len(missed) else 0.0
    unviable = len(sample) - caught - len(missed)
    print(f"{caught} of {caught + len(missed)} noticed ({100 * share:.1f} %); {unviable} did not compile.")
    return 0 if share >= LEAST_CAUGHT else 1


if __name__ == "__main__":
    given = sys.argv[1:]
    if given[:1] == ["--afresh"]:
        RECORD.unlink(missing_ok=True)
        given = given[1:]
    numbers = [int(one) for one in given]
    sys.exit(main(*(numbers + [400, 1][len(numbers) :])))
