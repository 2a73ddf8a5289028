"""Each mistake in the data: a folder each, with the whole report that the department gets."""

from __future__ import annotations

from pathlib import Path

import pytest

from bad_sites import BAD, GOOD, folders, lay_out, name_of
from yokebook.data.load import load
from yokebook.errors import TITLES, Level, Problem
from yokebook.reference.report import as_text
from yokebook.reference.whole import lines_of

DATA = "content/data"
FAMILIES = ("E0", "E1", "E2", "E791", "E796", "E798", "E799", "E80", "W3", "W79", "N4", "N80")
LEVELS = {"E": Level.ERROR, "W": Level.WARNING, "N": Level.NOTE}


def problems_of(site: Path) -> list[Problem]:
    return load(site / DATA, DATA)[1]


@pytest.mark.parametrize("mistake", folders(*FAMILIES), ids=lambda folder: folder.name)
def test_a_mistake_in_the_data_gives_its_report(mistake: Path, tmp_path: Path) -> None:
    """The report is the one that lies beside the mistake, to the letter, and names the mistake's code."""
    site = lay_out(mistake, tmp_path / "site")
    problems = problems_of(site)
    report = as_text(problems, lambda file: lines_of(site, file))
    assert (mistake / "expected.txt").read_text(encoding="utf-8") == report
    assert mistake.name[:4] in {problem.code for problem in problems}


def test_the_good_base_has_nothing_wrong() -> None:
    """What the mistakes are laid over is without any, so that each report is about its mistake alone."""
    assert [] == problems_of(GOOD)


@pytest.mark.parametrize("code", [code for code in TITLES if code.startswith(FAMILIES)])
def test_every_code_of_the_data_has_a_folder_named_by_its_title(code: str) -> None:
    """No code without an example of its mistake."""
    assert (BAD / name_of(code) / "expected.txt").is_file()


@pytest.mark.parametrize("mistake", folders(*FAMILIES), ids=lambda folder: folder.name)
def test_a_problem_says_what_is_allowed_where_and_how_much_it_weighs(mistake: Path, tmp_path: Path) -> None:
    """Each problem has a title, a place, what is wrong, what is allowed, and the level of its letter."""
    for problem in problems_of(lay_out(mistake, tmp_path / "site")):
        assert problem.wrong
        assert problem.allowed
        assert problem.code in TITLES
        assert LEVELS[problem.code[0]] is problem.level
        assert problem.line > 0 or problem.code in ("E001", "E233", "W301"), "these are about a file as a whole"
