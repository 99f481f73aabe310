"""Shows that the tests bite: changes the code of stages and studies at random places and asks the Rust tests of
the same crate to notice.

usage: mutants.py [COUNT [SEED]]      400 places, seed 1: goes on with the record, if there is one
       mutants.py --afresh            forgets the record; the next run begins with the commit in hand
       mutants.py --again             tries on the commit in hand what was not noticed before

cargo-mutants finds the places and writes the changes. A seeded sample of them is tried, each against the tests of its
own crate until one fails: first those that are quick, and those that noticed other changes of the same file. That takes some hours on two cores, so what was tried is kept
(tests/shift/tried.txt, with the commit it was tried on) and the next run goes on there. A place that no test notices
is listed at the end, with the share that was caught; below 95 % it ends with 1. What changes nothing that anyone gets,
with the reason, stands in tests/shift/explained.txt and is counted apart.
"""

import json
import os
import pathlib
import random
import resource
import subprocess
import sys
import time
from collections import Counter

ROOT = pathlib.Path(__file__).resolve().parents[2]
TARGET = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
TOOL = TARGET / "tools"
RECORD = ROOT / "tests" / "shift" / "tried.txt"
EXPLAINED = ROOT / "tests" / "shift" / "explained.txt"
# A checkout of its own: the code is changed in place, and what was built serves the next change.
TREE = TARGET / "mutants"
BUILT = TREE / "target"
# Stages and studies, and what their answers hang on.
CRATES = ["plate", "study"]
# What only proves that bits are the same is no part of a stage.
NO_STAGE = ["**/digest.rs", "**/example.rs"]
LEAST_CAUGHT = 0.95
# A change that never ends, or takes all memory, is noticed: a test may take so many times its usual seconds of a
# processor, and so many more. Seconds of the clock would blame the machine's other work on the change.
TIMES, MORE_S = 8, 10
MOST_BYTES = 8 << 30

# A test program, and what the names of the tests of one of its files begin with.
Part = tuple[str, str]
# Of such a part: the seconds it usually takes, of a processor.
Usual = dict[Part, float]
# How often a part noticed a change of a file.
Noticed = Counter[tuple[str, Part]]
# What a part of which nothing is known yet counts for beside one that noticed once; one of the file's own name, more.
UNKNOWN, NAMESAKE = 0.1, 0.5


def tool() -> str:
    """The program, installed beside the builds where it is not there yet."""
    program = TOOL / "bin" / "cargo-mutants"
    if not program.exists():
        print("Installing cargo-mutants …", flush=True)
        install = ["cargo", "install", "--quiet", "--locked", "--root", str(TOOL), "cargo-mutants"]
        subprocess.run(install, check=True)
    return str(program)


def git(*words: str, at: pathlib.Path = ROOT) -> str:
    return subprocess.run(["git", "-C", str(at), *words], check=True, capture_output=True, text=True).stdout.strip()


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
    git("checkout", "--quiet", "--force", commit, at=TREE)


def places(program: str) -> dict[str, dict]:
    """Every place that can be changed, by name, in the order of the code."""
    ask = [program, "mutants", "--dir", str(TREE), "--list", "--json", "--diff"]
    ask += [word for one in NO_STAGE for word in ("--exclude", one)]
    ask += [word for crate in CRATES for word in ("--package", crate)]
    found = subprocess.run(ask, check=True, capture_output=True, text=True).stdout
    return {one["name"]: one for one in json.loads(found)}


def build(crate: str) -> list[str] | None:
    """The crate's test programs, or None where it does not compile."""
    cargo = ["cargo", "test", "--quiet", "--package", crate, "--profile", "mutants", "--no-run", "--message-format", "json"]
    cargo += ["--target-dir", str(BUILT)]
    done = subprocess.run(cargo, cwd=TREE, check=False, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    if done.returncode != 0:
        return None
    told = [json.loads(line) for line in done.stdout.splitlines() if line.startswith("{")]
    return [one["executable"] for one in told if one.get("executable") and one["profile"]["test"]]


def parts(program: str) -> list[Part]:
    """A test program's tests, file by file."""
    told = subprocess.run([program, "--list", "--format", "terse"], check=True, capture_output=True, text=True).stdout
    names = [line.removesuffix(": test") for line in told.splitlines() if line.endswith(": test")]
    return [(program, begin) for begin in sorted({name.split("::")[0] for name in names})]


def passes(part: Part, crate: str, most_s: float) -> tuple[bool, float]:
    """Whether a part of the tests passes, and the seconds it took of a processor."""

    def limit() -> None:
        resource.setrlimit(resource.RLIMIT_CPU, (int(most_s) + 1, int(most_s) + 1))
        resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))

    def spent() -> float:
        used = resource.getrusage(resource.RUSAGE_CHILDREN)
        return used.ru_utime + used.ru_stime

    before = spent()
    here = {**os.environ, "CARGO_MANIFEST_DIR": str(TREE / "crates" / crate)}
    silent = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    done = subprocess.run([*part], cwd=TREE / "crates" / crate, env=here, preexec_fn=limit, check=False, **silent)
    return done.returncode == 0, spent() - before


def usual(crate: str) -> Usual:
    """The parts of the crate's tests with the seconds each takes."""
    built = build(crate)
    if built is None:
        raise SystemExit(f"The tests of crates/{crate} do not build as they are.")
    took: Usual = {}
    for part in (part for program in built for part in parts(program)):
        well, took[part] = passes(part, crate, 3600)
        if not well:
            raise SystemExit(f"{part[1]} of {pathlib.Path(part[0]).name} fails as it is.")
    return took


def in_order(file: str, usual_s: Usual, noticed: Noticed) -> list[Part]:
    """The parts of a crate's tests, those first that cost least for what they are likely to notice in this file."""

    def cost(part: Part) -> float:
        likely = NAMESAKE if part[1].split("_")[0] in file else UNKNOWN
        return (usual_s[part] + 0.1) / (noticed[file, part] + likely)

    return sorted(usual_s, key=cost)


def outcome(place: dict, usual_s: dict[str, Usual], noticed: Noticed) -> str:
    """Makes a change, and says whether it compiles and whether a test notices it."""
    crate = place["package"]
    patch = ["git", "-C", str(TREE), "apply", "-p0", "-"]
    subprocess.run(patch, input=named(place), check=True, text=True)
    try:
        if build(crate) is None:
            return "unviable"
        for part in in_order(place["file"], usual_s[crate], noticed):
            if not passes(part, crate, TIMES * usual_s[crate][part] + MORE_S)[0]:
                noticed[place["file"], part] += 1
                return "caught"
        return "missed"
    finally:
        git("checkout", "--quiet", "--force", ".", at=TREE)


def named(place: dict) -> str:
    """The change as a patch: cargo-mutants puts its own words where the name of the changed file belongs."""
    old, _, rest = place["diff"].split("\n", 2)
    return f"{old}\n+++ {place['file']}\n{rest}"


def try_all(left: list[str], known: dict[str, dict], commit: str, tried: dict[str, str]) -> None:
    usual_s: dict[str, Usual] = {}
    noticed: Noticed = Counter()
    for number, name in enumerate(left, 1):
        crate = known[name]["package"]
        if crate not in usual_s:
            usual_s[crate] = usual(crate)
        began = time.monotonic()
        tried[name] = outcome(known[name], usual_s, noticed)
        keep(commit, tried)
        print(f"{number}/{len(left)} {tried[name]} in {time.monotonic() - began:.0f} s: {name}", flush=True)


def parted(name: str) -> tuple[str, int, str]:
    """The file of a place, its line, and what is changed there."""
    file, line, _, change = name.split(":", 3)
    return file, int(line), change.strip()


def explained() -> dict[tuple[str, str], str]:
    """Why a change of a file can't be noticed, by file and change."""
    lines = EXPLAINED.read_text().splitlines()[1:]
    return {(file, change): why for file, change, why in (line.split("\t") for line in lines)}


def today(name: str, known: dict[str, dict]) -> str | None:
    """A place by its name on the commit in hand: the same change in the same file, or in the folder of its parts,
    nearest to where it was."""
    if name in known:
        return name
    file, line, change = parted(name)
    alike = [one for one in known if parted(one)[2] == change]
    same = [one for one in alike if parted(one)[0] == file]
    same = same or [one for one in alike if parted(one)[0].startswith(file.removesuffix(".rs") + "/")]
    return min(same, key=lambda one: abs(parted(one)[1] - line), default=None)


def main(count: int, seed: int, again: bool) -> int:
    program = tool()
    commit, tried = begun()
    if again:
        commit = git("rev-parse", "HEAD")
    check_out(commit)
    known = places(program)
    if again:
        moved = {name: today(name, known) for name in tried}
        gone = [name for name, now in moved.items() if now is None]
        if gone:
            print("These places are no longer there, and are left out:", *gone, sep="\n  ")
        tried = {now: tried[name] for name, now in moved.items() if now is not None}
    # On another commit the seed would draw other places: there the record is the sample.
    sample = list(tried) if again else random.Random(seed).sample(list(known), min(count, len(known)))
    apart = explained()
    why = {name: apart[key] for name in sample if (key := parted(name)[::2]) in apart}
    open_again = {name for name in tried if tried[name] == "missed"} - why.keys()
    left = [name for name in sample if (name in open_again if again else name not in tried)]
    print(f"{len(sample)} of {len(known)} places of {commit[:7]}, seed {seed}; {len(left)} left to try.", flush=True)
    try_all(left, known, commit, tried)
    of_sample = {name: tried[name] for name in sample if name in tried}
    unnoticed = [name for name, what in of_sample.items() if what == "missed"]
    missed = [name for name in unnoticed if name not in why]
    caught = sum(what == "caught" for what in of_sample.values())
    print(*missed, sep="\n")
    print("Not noticed, and why not:", *(f"{name}: {why[name]}" for name in unnoticed if name in why), sep="\n  ")
    share = caught / (caught + len(missed)) if caught + len(missed) else 0.0
    unviable = len(of_sample) - caught - len(unnoticed)
    apart_from = f"{len(unnoticed) - len(missed)} change nothing; {unviable} did not compile."
    print(f"{caught} of {caught + len(missed)} noticed ({100 * share:.1f} %); {apart_from}")
    return 0 if share >= LEAST_CAUGHT else 1


if __name__ == "__main__":
    given = sys.argv[1:]
    if given == ["--afresh"]:
        RECORD.unlink(missing_ok=True)
        sys.exit(0)
    numbers = [int(one) for one in given if one != "--again"]
    sys.exit(main(*(numbers + [400, 1][len(numbers) :]), again="--again" in given))
