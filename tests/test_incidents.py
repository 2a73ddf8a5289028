"""Incidents: what is checked of their pages, when one may be closed, and the learning log."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from bad_sites import BAD, folders, lay_out
from demo_site import change
from yokebook.reference import report
from yokebook.reference.approval import work_out_with_records
from yokebook.reference.approving import propose, sign
from yokebook.reference.assembling import assemble
from yokebook.reference.new_incident import open_incident
from yokebook.reference.signer import Signer


@pytest.mark.parametrize("mistake", folders("E77", "W77"), ids=lambda folder: folder.name)
def test_a_mistake_gives_its_report(mistake: Path, tmp_path: Path) -> None:
    """The report is the one that lies beside the mistake, to the letter."""
    reference = work_out_with_records(lay_out(mistake, tmp_path / "site")).reference
    told = report.as_text(reference.problems, reference.lines_of)
    assert (mistake / "expected.txt").read_text(encoding="utf-8") == told
    assert mistake.name[:4] in {problem.code for problem in reference.problems}


def test_an_incident_opens_as_a_page_that_has_nothing_wrong(tmp_path: Path) -> None:
    """Whatever its title: quotes, colons, signs of HTML and of Markdown; it stands open in the learning log."""
    folder = lay_out(BAD / "W773_still_the_example", tmp_path / "site")
    (folder / "content/data/scales.yaml").write_text("scale: {interval: 0.1 kg, tolerance: 0.1 kg}\n", encoding="utf-8")
    title = 'The "full" cylinder: empty & <warm>'
    path = open_incident(folder, "ran-out", title, date(2026, 3, 1))
    assert folder / "content/pages/incidents/ran-out.md" == path
    control = work_out_with_records(folder)
    assert [] == list(control.reference.problems)
    log = assemble(control).generated["incidents/index.md"]
    assert '<a href="ran-out.html">The &#34;full&#34; cylinder: empty &amp; &lt;warm&gt;</a>' in log.html
    told = "Happened on 2026-03-01; not reviewed yet; <strong>open</strong>."
    assert told in log.html
    title, page = assemble(control).html_of("incidents/ran-out.md").split("</h1>")
    assert page.lstrip().startswith(f"<p>{told}"), f"the page says below {title} how it stands"


@pytest.mark.parametrize(
    ("on", "incident", "answers"),
    [("2026-02-21", "ran-out", True), ("2026-02-19", "ran-out", False), ("2026-02-21", "another", False)],
    ids=["approved after the review, naming it", "approved before the review", "approved after another incident"],
)
def test_only_an_issue_approved_after_the_review_that_names_it_answers(
    tmp_path: Path, on: str, incident: str, answers: bool
) -> None:
    """Closing is refused for anything less, and the learning log says which issue answered."""
    folder = lay_out(BAD / "E773_closed_too_early", tmp_path / "site")
    page = folder / "content/pages/incidents/hissing-yoke.md"
    page.rename(page.with_name("another.md"))
    change(page.with_name("another.md"), "  closed: 2026-03-02\n", "")
    approve(folder, "CYL-05", on=on, incident=incident)
    reference = work_out_with_records(folder).reference
    assert ([] if answers else ["E773"]) == [problem.code for problem in reference.problems]
    if answers:
        log = assemble(work_out_with_records(folder)).generated["incidents/index.md"].html
        assert '<a href="../leaving.html">CYL-05 Leaving with a patient</a>: issue 1' in log


def approve(folder: Path, number: str, *, on: str, incident: str) -> None:
    """Approve a procedure of a department, whatever its incidents lack so far."""
    closed = folder / "content/pages/incidents/ran-out.md"
    text = closed.read_text(encoding="utf-8")
    # The review of the one that is named was on the day of the approval, till its page was set right.
    named = folder / f"content/pages/incidents/{incident}.md"
    closed.write_text(text.replace("  closed: 2026-03-02\n", ""), encoding="utf-8")
    as_it_is = named.read_text(encoding="utf-8")
    change(named, "reviewed: 2026-02-20", f"reviewed: {on}")
    control = work_out_with_records(folder)
    (proposal,) = propose(control, [number], unchanged=False)
    signer = Signer("approver", "A. Example", date.fromisoformat(on), "asked for by the review", incident)
    sign(control, proposal, signer).write(control.folder)
    named.write_text(as_it_is, encoding="utf-8")
    closed.write_text(text, encoding="utf-8")


def test_an_incident_is_opened_once(tmp_path: Path) -> None:
    """A second of the same name is refused, and the first stays as it is."""
    path = open_incident(tmp_path, "ran-out", "It ran out", date(2026, 3, 1))
    before = path.read_bytes()
    with pytest.raises(FileExistsError):
        open_incident(tmp_path, "ran-out", "Another", date(2026, 3, 2))
    assert before == path.read_bytes()


def test_a_department_without_incidents_has_no_learning_log(tmp_path: Path) -> None:
    """No empty table is shown."""
    folder = lay_out(BAD / "W773_still_the_example", tmp_path / "site")
    assert "incidents/index.md" not in assemble(work_out_with_records(folder)).generated
