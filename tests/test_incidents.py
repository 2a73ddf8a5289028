"""Incidents: what is checked of their pages, when one may be closed, and the learning log."""

from __future__ import annotations

import re
import shutil
from datetime import date
from pathlib import Path

import pytest

from approvals import TODAY
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


def test_an_incident_opens_as_a_page_that_only_waits_for_its_words(tmp_path: Path) -> None:
    """Whatever its title: quotes, colons, signs of HTML and of Markdown; it stands open in the learning log."""
    folder = lay_out(BAD / "W773_still_the_example", tmp_path / "site")
    (folder / "content/data/scales.yaml").write_text("scale: {interval: 0.1 kg, tolerance: 0.1 kg}\n", encoding="utf-8")
    title = 'The "full" cylinder: empty & <warm>'
    path = open_incident(folder, "ran-out", title, date(2026, 3, 1), TODAY)
    assert folder / "content/pages/incidents/ran-out.md" == path
    control = work_out_with_records(folder)
    assert {"W773"} == {problem.code for problem in control.reference.problems}
    log = assemble(control).generated["incidents/index.md"]
    assert '<a href="ran-out.html">The &#34;full&#34; cylinder: empty &amp; &lt;warm&gt;</a>' in log.html
    told = "Happened on 2026-03-01; not reviewed yet; <strong>open</strong>."
    assert told in log.html
    title, page = assemble(control).html_of("incidents/ran-out.md").split("</h1>")
    assert page.lstrip().startswith(f"<p>{told}"), f"the page says below {title} how it stands"


def test_each_sentence_that_the_template_asks_is_told_until_it_is_replaced(tmp_path: Path) -> None:
    """However its lines are broken and end; the whole report. Headings, and the author's own words, stay."""
    folder = lay_out(BAD / "E773_closed_too_early", tmp_path / "site")
    shutil.rmtree(folder / "content/pages/incidents")
    path = open_incident(folder, "ran-out", "It ran out", date(2026, 3, 1), TODAY)
    reference = work_out_with_records(folder).reference
    first, *others = reference.problems
    assert [("W773", 18, 1), ("W773", 18, 108), ("W773", 23, 3), ("W773", 27, 1)] == [
        (problem.code, problem.line, problem.column) for problem in others
    ]
    assert """\
content/pages/incidents/ran-out.md, line 3, column 10: warning W773, still the example
  3 | summary: One sentence for the learning log.
    |          ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
  Written:       One sentence for the learning log.
  Wrong:         this is what yokebook incident wrote to be replaced, and readers would see it
  Allowed:       what happened, was learnt and follows, in your own words; or nothing in its place
  Example:       A cylinder stayed open overnight, and was found empty in the morning.

0 errors, 1 warning, 0 notes.
""" == report.as_text([first], reference.lines_of)
    text = path.read_text(encoding="utf-8").replace("No date of birth, no number", "No date of birth,\nno number")
    path.write_bytes(text.replace("\n", "\r\n").encode())
    told = work_out_with_records(folder).reference.problems
    assert 5 == len(list(told))
    path.write_text(answered(text), encoding="utf-8")
    assert [] == list(work_out_with_records(folder).reference.problems)


def answered(text: str) -> str:
    """Return an opened incident's page with its summary and each text below a heading written."""
    text = text.replace("One sentence for the learning log.", "It was open all night.")
    return re.sub(r"^(## .+\n)[^#]*", r"\1\nIt hissed.\n\n", text, flags=re.MULTILINE)


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


@pytest.mark.parametrize(("on", "is_late"), [("2026-03-02", False), ("2026-03-10", True)])
def test_no_incident_is_closed_before_the_issue_that_answers_it_was_approved(
    tmp_path: Path, on: str, is_late: bool
) -> None:
    """The issue and its day are told; closed on that very day it may be."""
    folder = lay_out(BAD / "E773_closed_too_early", tmp_path / "site")
    (folder / "content/pages/incidents/hissing-yoke.md").unlink()
    approve(folder, "CYL-05", on=on, incident="ran-out")
    reference = work_out_with_records(folder).reference
    expected = """\
content/pages/incidents/ran-out.md, line 7, column 16: error E773, closed too early
  7 |   procedures: [CYL-05]
    |                ^^^^^^
  Written:       CYL-05
  Wrong:         the incident is closed on 2026-03-02, and issue 1 of CYL-05, which names it, was approved on 2026-03-10
  Allowed:       closed on 2026-03-10 or later; or closed left out while it is open
  Example:       closed: 2026-03-10

1 error, 0 warnings, 0 notes.
"""
    none = "0 errors, 0 warnings, 0 notes.\n"
    assert (expected if is_late else none) == report.as_text(reference.problems, reference.lines_of)


def test_no_incident_is_closed_before_what_it_names_was_withdrawn(tmp_path: Path) -> None:
    """A withdrawal answers a review as an issue does, from its day on."""
    folder = lay_out(BAD / "E773_closed_too_early", tmp_path / "site")
    (folder / "content/pages/incidents/hissing-yoke.md").unlink()
    approve(folder, "CYL-05", on="2026-02-21", incident="ran-out")
    record = folder / "content/control/CYL-05.yaml"
    change(record, "    incident: ran-out\n", "")
    good = record.read_text(encoding="utf-8")
    wrong = "the incident is closed on 2026-03-02, and CYL-05 was withdrawn on 2026-03-10"
    for on, told in (("2026-03-02", []), ("2026-03-10", [("E773", wrong)])):
        withdrawn = f"withdrawn: {{on: {on}, reason: the machine has gone, instead: words}}\n"
        record.write_text(good + withdrawn, encoding="utf-8")
        problems = work_out_with_records(folder).reference.problems
        assert told == [(problem.code, problem.wrong) for problem in problems if problem.code.startswith("E")]


def test_nothing_is_done_before_it_happened(tmp_path: Path) -> None:
    """The whole report; between the incident and its review it may well be done."""
    folder = lay_out(BAD / "E773_closed_too_early", tmp_path / "site")
    (folder / "content/pages/incidents/ran-out.md").unlink()
    page = folder / "content/pages/incidents/hissing-yoke.md"
    change(page, "due: 2026-03-01}", "due: 2026-03-01, done: 2026-01-30}")
    reference = work_out_with_records(folder).reference
    assert """\
content/pages/incidents/hissing-yoke.md, line 8, column 86: error E772, days out of order
  8 |     - {action: Fit a plug to each empty yoke, role: approver, due: 2026-03-01, done: 2026-01-30}
    |                                                                                      ^^^^^^^^^^
  Written:       2026-01-30
  Wrong:         done lies before happened, 2026-02-03
  Allowed:       a day not before 2026-02-03
  Example:       done: 2026-02-03

1 error, 0 warnings, 0 notes.
""" == report.as_text(reference.problems, reference.lines_of)
    change(page, "done: 2026-01-30", "done: 2026-02-04")
    assert [] == list(work_out_with_records(folder).reference.problems)


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
    sign(control, proposal, signer, TODAY).write(control.folder)
    named.write_text(as_it_is, encoding="utf-8")
    closed.write_text(text, encoding="utf-8")


def test_an_incident_is_opened_once(tmp_path: Path) -> None:
    """A second of the same name is refused, and the first stays as it is."""
    path = open_incident(tmp_path, "ran-out", "It ran out", date(2026, 3, 1), TODAY)
    before = path.read_bytes()
    with pytest.raises(FileExistsError):
        open_incident(tmp_path, "ran-out", "Another", date(2026, 3, 2), TODAY)
    assert before == path.read_bytes()


def test_a_department_without_incidents_has_no_learning_log(tmp_path: Path) -> None:
    """No empty table is shown."""
    folder = lay_out(BAD / "W773_still_the_example", tmp_path / "site")
    assert "incidents/index.md" not in assemble(work_out_with_records(folder)).generated
