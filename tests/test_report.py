"""Reports as text: one block a problem, the author's line with a mark under the fault."""

from __future__ import annotations

from pathlib import Path

import pytest

from bad_sites import BAD, folders, name_of
from demo_site import ROOT
from yokebook.errors import TITLES, Collector, Level, Problem
from yokebook.reference import report

PROBLEM = Problem("a.yaml", 2, 4, Level.ERROR, "E102", "a comma", "1,5 L", "a point", "1.5 L", "1.5 L")


def test_a_block_says_where_what_and_what_instead() -> None:
    """The whole text of a report with one problem."""
    expected = (
        "a.yaml, line 2, column 4: error E102, decimal comma\n"
        "  2 | a: 1,5 L\n"
        "    |    ^^^^^\n"
        "  Written:       1,5 L\n"
        "  Wrong:         a comma\n"
        "  Perhaps meant: 1.5 L\n"
        "  Allowed:       a point\n"
        "  Example:       1.5 L\n"
        "\n"
        "1 error, 0 warnings, 0 notes.\n"
    )
    assert expected == report.as_text([PROBLEM], lambda file: ["first", "a: 1,5 L"])


@pytest.mark.parametrize("column", [1, 60, 150, 399])
def test_a_long_line_is_cut_round_the_fault(column: int) -> None:
    """The mark stands under the very character, however long the line."""
    line = "".join(chr(ord("a") + n % 26) for n in range(400))
    problem = Problem("a.md", 1, column, Level.ERROR, "E501", "wrong", line[column - 1])
    _, shown, mark, *_ = report.as_text([problem], lambda file: [line]).splitlines()
    assert len(shown) <= 110
    assert line[column - 1] == shown[mark.index("^")]


@pytest.mark.parametrize("lines", [[], ["only one"]])
def test_a_line_that_is_not_there_is_left_out(lines: list[str]) -> None:
    """A file that cannot be read, or has grown shorter, does not stop the report."""
    assert "|" not in report.as_text([PROBLEM], lambda file: lines)


def test_a_problem_of_a_whole_file_names_no_line() -> None:
    """Line 0 stands for the file."""
    problem = Problem("a.yaml", 0, 0, Level.WARNING, "W301", "nothing is read")
    assert report.as_text([problem], lambda file: ["x"]).startswith("a.yaml: warning W301, ")


def test_problems_are_said_once_and_in_order() -> None:
    """Sorted by file and line, each once, however often it came."""
    collector = Collector()
    first, second = PROBLEM.moved("a.yaml", 1, 1), PROBLEM.moved("b.yaml", 1, 1)
    collector.add(second, first)
    collector.add(first)
    assert [first, second] == list(collector)
    assert collector.stops_the_build


@pytest.mark.parametrize("code", [code for code in TITLES if not code.startswith("E6")])
def test_each_code_has_a_mistake_that_shows_it(code: str) -> None:
    """A code without a folder in tests/bad is refused: its message was never read."""
    folder = BAD / name_of(code)
    assert folder in folders(code)
    assert code in (folder / "expected.txt").read_text(encoding="utf-8")


def test_each_folder_of_mistakes_has_a_code() -> None:
    """No folder is left over from a code that is gone."""
    assert {name_of(code) for code in TITLES} >= {folder.name for folder in BAD.iterdir()} - {"good"}


def test_each_code_that_the_program_gives_has_a_title() -> None:
    """No message leaves without a registered code, and no code is registered that nothing gives."""
    import re

    sources = "".join(
        path.read_text(encoding="utf-8") for path in Path(ROOT / "macros").rglob("*.py") if path.name != "errors.py"
    )
    assert set(TITLES) == set(re.findall(r'"([EWN][0-9]{3})"', sources))
