"""Each mistake in a page: a folder each, with the whole report that the department gets."""

from __future__ import annotations

from pathlib import Path

import pytest

from bad_sites import folders, lay_out
from yokebook.reference import report
from yokebook.reference.whole import work_out


@pytest.mark.parametrize("mistake", folders("E5"), ids=lambda folder: folder.name)
def test_a_mistake_in_a_page_gives_its_report(mistake: Path, tmp_path: Path) -> None:
    """The report is the one that lies beside the mistake, to the letter, and it stops the build."""
    reference = work_out(lay_out(mistake, tmp_path / "site"))
    assert (mistake / "expected.txt").read_text(encoding="utf-8") == report.as_text(
        reference.problems, reference.lines_of
    )
    assert reference.problems.stops_the_build
