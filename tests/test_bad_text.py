"""Text that would mislead, files that no page uses: a folder each, with the whole report that the department gets."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from bad_sites import folders, lay_out
from yokebook.reference import report
from yokebook.reference.approval import work_out_with_records
from yokebook.reference.unlikely_days import unlikely_days


@pytest.mark.parametrize("mistake", folders("E81", "E82", "W81", "W82"), ids=lambda folder: folder.name)
def test_a_mistake_gives_its_report(mistake: Path, tmp_path: Path) -> None:
    """The report is the one that lies beside the mistake, to the letter; an error stops the build."""
    reference = work_out_with_records(lay_out(mistake, tmp_path / "site")).reference
    reference.problems.add(*unlikely_days(reference, date(2026, 12, 1)))
    told = report.as_text(reference.problems, reference.lines_of)
    assert (mistake / "expected.txt").read_text(encoding="utf-8") == told
    assert mistake.name[:4] in {problem.code for problem in reference.problems}
    assert mistake.name.startswith("E") == reference.problems.stops_the_build
