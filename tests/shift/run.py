"""Shows that the tests bite: puts each named constant 5 % off and turns each sign-like choice
round, one at a time, and asks for at least one failing check.

usage: run.py            everything
       run.py KEY...     these constants only
       run.py --choices  the choices only

Checks are tried from the nearest to the farthest: the stage's own tests, the chain's, then the
reference checks. The table of constants in docs/ would notice any shift, but only because it
repeats the number, so it does not count here.
"""

import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
TARGET = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target")) / "shift"
ORDER = {
    "dust": ["dust", "chain", "ground"],
    "bake": ["bake", "bake_ground", "chain", "ground"],
    "bite": ["bite", "chain", "spit"],
    "work": ["states", "edition", "rework"],
    "ink": ["ink", "chain", "printing"],
}

# What is turned round: file, the text as it stands, the text turned round, the tests that must fail.
TURNED = {
    "the print is not mirrored": (
        "crates/plate/src/chain/place.rs",
        "plate_width_px - grid.left_px - grid.width as i64, ..*grid",
        "grid.left_px, ..*grid",
    ),
    "columns print the wrong way round": (
        "crates/plate/src/chain/fields.rs",
        "to.iter_mut().rev().zip(from)",
        "to.iter_mut().zip(from)",
    ),
    "stop-out works downwards from the darkest": (
        "crates/plate/src/bite/session.rs",
        "out.dose_um.push(dose);",
        "out.dose_um.insert(1, dose);",
    ),
    "tones are averaged as densities": (
        "crates/plate/src/chain/whole.rs",
        "block.iter().sum::<f32>() * scale",
        "libm::expf(block.iter().map(|r| libm::logf(*r / side as f32)).sum::<f32>() / side as f32)",
    ),
    "dark and light thresholds change places": (
        "crates/picture/src/values.rs",
        "u8::from(tone <= *threshold)",
        "u8::from(tone > *threshold)",
    ),
}


def cargo(*words, cwd=ROOT, env=None):
    return subprocess.run(
        ["cargo", *words], cwd=cwd, text=True, capture_output=True, env={**os.environ, "CARGO_TARGET_DIR": str(TARGET), **(env or {})}
    )


def build():
    """Test programs of the crates plate and study by the names of their files, with the feature `shift`; and the native program as it is."""
    built = cargo("test", "--release", "--no-run", "--package", "plate", "--package", "study", "--features", "plate/shift", "--message-format=json")
    if built.returncode:
        sys.exit(built.stderr)
    tests = {}
    for line in built.stdout.splitlines():
        message = json.loads(line)
        if message.get("executable") and message["target"]["kind"] == ["test"]:
            crate = pathlib.Path(message["manifest_path"]).parent
            tests |= {file.stem: message["executable"] for file in (crate / "tests").glob("*.rs")}
    native = subprocess.run(["cargo", "build", "--package", "cli"], cwd=ROOT)
    if native.returncode:
        sys.exit("the native program does not build")
    return tests, pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target")) / "debug" / "platewright"


def first_failure(text):
    """Name of the first failing test in what cargo or pytest printed."""
    cargo_says = re.search(r"^test (?!result)(\S+) \.\.\. FAILED", text, re.MULTILINE) or re.search(r"^failures:\n    (\S+)$", text, re.MULTILINE)
    pytest_says = re.search(r"^FAILED (\S+)", text, re.MULTILINE)
    said = cargo_says or pytest_says
    return said.group(1) if said else "a check"


def caught_by(info, tests):
    key = info["key"]
    env = {**os.environ, "PLATEWRIGHT_OFF": info["key"], "RUST_BACKTRACE": "0"}
    for name in ORDER[key.split(".")[0]]:
        run = subprocess.run([tests[name], f"{name}::", "--test-threads=2"], capture_output=True, text=True, env=env, cwd=ROOT / "crates/plate")
        if run.returncode:
            return f"{name}: {first_failure(run.stdout)}"
    # The reference checks shift it through the plan's calibration, which keeps to the plausible range.
    shifted = min(max(info["default"] * 1.05, info["min"]), info["max"])
    run = subprocess.run(
        [sys.executable, "-m", "pytest", "-x", "-q", "tests/reference"],
        capture_output=True, text=True, cwd=ROOT,
        env={**os.environ, "PLATEWRIGHT_SHIFT": json.dumps({key: shifted})},
    )
    return f"reference: {first_failure(run.stdout)}" if run.returncode else None


def turned_round(name=None):
    """Turns one choice round in a copy of the tree and runs the tests that should notice. Without a
    name nothing is turned round, and nothing must be noticed."""
    file, stands, turned = TURNED.get(name, ("README.md", None, None))
    with tempfile.TemporaryDirectory() as folder:
        copy = pathlib.Path(folder) / "tree"
        # Fresh dates, or cargo takes the last copy's programs for this one's.
        shutil.copytree(ROOT, copy, copy_function=shutil.copyfile, ignore=shutil.ignore_patterns("target", "node_modules", ".git", ".venv", "dist", "test-results"))
        text = (copy / file).read_text()
        if name is None:
            return notice(copy)
        if text.count(stands) != 1:
            sys.exit(f"{name}: {file} no longer holds the text that is turned round; correct {__file__}")
        (copy / file).write_text(text.replace(stands, turned))
        return notice(copy)


def notice(copy):
    env = {"CARGO_TARGET_DIR": str(TARGET)}
    # The committed digests would notice anything, so they don't count here.
    values = ["--package", "picture", "--", "values::", "tones::"]
    plate = ["--package", "plate", "--", "chain::", "mirror::", "bite::"]
    for package in (values, plate):
        run = cargo("test", "--release", "--no-fail-fast", "--test", "all", *package, cwd=copy, env=env)
        if run.returncode and "FAILED" not in run.stdout:
            sys.exit(f"the copy of the tree does not build:\n{run.stderr}")
        if run.returncode:
            return first_failure(run.stdout)
    return None


def main():
    tests, native = build()
    catalogue = json.loads(subprocess.run([native, "constants", "--json"], capture_output=True, text=True, check=True).stdout)
    only = sys.argv[1:] if sys.argv[1:] != ["--choices"] else []
    wanted = [info for info in catalogue if info["key"] in only or not sys.argv[1:]]
    survivors = []
    for info in wanted:
        key = info["key"]
        caught = caught_by(info, tests)
        print(f"{key:40} {'caught by ' + caught if caught else 'SURVIVES'}", flush=True)
        if not caught:
            survivors.append(key)
    choices = {} if only else TURNED
    if choices:
        noticed = turned_round()
        if noticed:
            sys.exit(f"the untouched copy of the tree fails {noticed}; mend that first")
        for name in choices:
            caught = turned_round(name)
            print(f"{name:40} {'caught by ' + str(caught) if caught else 'SURVIVES'}", flush=True)
            if not caught:
                survivors.append(name)
    print(f"{len(wanted)} constants and {len(choices)} choices, {len(survivors)} survivors" + (": " + ", ".join(survivors) if survivors else ""))
    sys.exit(1 if survivors else 0)


main()
