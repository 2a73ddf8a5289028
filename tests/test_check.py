"""The whole department worked out: nothing is lost without a word."""

from __future__ import annotations

from pathlib import Path

import pytest

from bad_sites import GOOD, lay_out
from demo_site import change, copy_demo
from yokebook.calls import registry
from yokebook.calls.refusal import Refusal
from yokebook.reference import report
from yokebook.reference.whole import work_out


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The small department with one page and one call on it."""
    site = lay_out(GOOD, tmp_path / "site")
    page = site / "content/pages/page.md"
    page.parent.mkdir(parents=True)
    call = 'reserve_table(cylinder="oxygen-e", machine="theatre-1", uses=["bellows"])'
    page.write_text(f"---\ntitle: A page\n---\n\n{{{{ {call} }}}}\n\n{{{{ department.keepback }}}}\n", encoding="utf-8")
    return site


def test_a_fault_of_the_program_is_told_at_its_call_beside_all_else(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever fails within a call, the report names the call, and the other mistakes of the page are still told."""

    def fail(*_: object) -> None:
        raise ZeroDivisionError("division by zero")

    monkeypatch.setattr(registry, "run", fail)
    reference = work_out(folder)
    text = report.as_text(reference.problems, reference.lines_of)
    assert ["E602", "E521"] == [problem.code for problem in reference.problems]
    assert "content/pages/page.md, line 5, column 4: error E602, fault of the program" in text
    assert "the program failed here (ZeroDivisionError: division by zero); this is no mistake of yours" in text


def test_a_call_that_refuses_without_a_reason_still_stops_the_build(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A page never vanishes from the site without a word."""
    change(folder / "content/pages/page.md", "{{ department.keepback }}", "")
    monkeypatch.setattr(registry, "run", lambda *_: (None, list(Refusal().faults)))
    reference = work_out(folder)
    assert ["E602"] == [problem.code for problem in reference.problems]


def test_a_machine_that_could_not_be_read_is_not_called_unknown(tmp_path: Path) -> None:
    """One fault in the data gives no second one on the pages that name the machine."""
    site = copy_demo(tmp_path / "site")
    change(site / "content/data/machines.yaml", "standing_draw: 0 L/min", "standing_draw: nothing")
    reference = work_out(site)
    assert {"E101"} == {problem.code for problem in reference.problems}
