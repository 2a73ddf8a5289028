"""Each mistake in the department's records: a folder each, with the whole report that the department gets."""

from __future__ import annotations

from pathlib import Path

import pytest

from bad_sites import folders, lay_out
from yokebook.errors import Level
from yokebook.reference import report
from yokebook.reference.approval import work_out_with_records

FAMILIES = ("E70", "E831", "W70")


@pytest.mark.parametrize("mistake", folders(*FAMILIES), ids=lambda folder: folder.name)
def test_a_mistake_in_the_records_gives_its_report(mistake: Path, tmp_path: Path) -> None:
    """The report is the one that lies beside the mistake, to the letter; errors stop the build, warnings don't."""
    reference = work_out_with_records(lay_out(mistake, tmp_path / "site")).reference
    text = report.as_text(reference.problems, reference.lines_of)
    assert (mistake / "expected.txt").read_text(encoding="utf-8") == text
    (problem,) = reference.problems
    assert mistake.name[:4] == problem.code
    assert (problem.level is Level.ERROR) == mistake.name.startswith("E") == reference.problems.stops_the_build
