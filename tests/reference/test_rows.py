"""ROWS.md tells the truth: every row of the three tables is there, every test it names exists."""

import pathlib
import re

HERE = pathlib.Path(__file__).parent
ROWS = (HERE / "ROWS.md").read_text()
RUST = [HERE.parents[1] / "crates" / crate / "tests" for crate in ("plate", "study")]


def test_no_row_is_missing():
    tables = re.split(r"^## ", ROWS, flags=re.M)[1:4]
    for table, last in zip(tables, (36, 25, 37), strict=True):
        numbers = [int(n) for n in re.findall(r"^\| (\d+) \|", table, flags=re.M)]
        assert numbers == list(range(1, last + 1)), f"{table.splitlines()[0]}: rows {numbers}"


def test_every_named_test_exists():
    named = re.findall(r"`([\w/]+\.(?:rs|py)): (\w+)`", ROWS)
    assert len(named) > 98, "every row but a few names a test"
    for file, function in named:
        folders, keyword = (RUST, "fn") if file.endswith(".rs") else ([HERE], "def")
        text = "".join((folder / file).read_text() for folder in folders if (folder / file).exists())
        assert re.search(rf"^{keyword} {function}\(", text, flags=re.M), f"{file} has no test {function}"


def test_rows_without_a_test_say_why():
    for row in re.findall(r"^\| \d+ \|.*$", ROWS, flags=re.M):
        assert "`" in row or "not held: " in row, f"no test and no reason: {row}"
