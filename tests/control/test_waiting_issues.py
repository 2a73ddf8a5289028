"""An issue that waits for its second approval while the page moves on: what overtakes it, and what it counts for."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from approvals import SIGNER, TODAY, approve, ask_for_two, looked_at, small_department, states, told
from demo_site import change
from test_publishing import SECOND, published, refused
from yokebook.control.records import ProcedureRecord
from yokebook.errors import Problem
from yokebook.reference import approving
from yokebook.reference.approving import RefusedError, What
from yokebook.reference.signer import Signer

LEAD = replace(SIGNER, role="equipment lead", name="B. Sample")
MISREAD = "the light was misread"


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """A department that asks for two approvals, both pages approved as issue 1 by both."""
    site = small_department(tmp_path / "site")
    ask_for_two(site)
    for signer in (SIGNER, LEAD):
        approve(site, "CYL-01", "CYL-02", signer=signer)
    return site


@pytest.fixture
def waiting(site: Path) -> Path:
    """The same with issue 2 of CYL-02 approved by one of two."""
    reword(site, "in a good light")
    approve(site, "CYL-02", signer=by(SIGNER, MISREAD))
    return site


@pytest.fixture
def given_up(waiting: Path) -> Path:
    """The same with the page put back to the text of issue 1."""
    reword(waiting, "in good light")
    return waiting


def reword(site: Path, words: str) -> None:
    """Let the page of CYL-02 say otherwise in which light the gauge is read."""
    page = site / "content/pages/other.md"
    head, _, _ = page.read_text(encoding="utf-8").partition("from the front, ")
    page.write_text(f"{head}from the front, {words}.\n", encoding="utf-8")


def by(signer: Signer, reason: str, day: int = 1) -> Signer:
    return replace(signer, on=date(2026, 4, day), reason=reason)


def record_of(site: Path) -> ProcedureRecord:
    return looked_at(site).records.procedures["CYL-02"]


def shown(site: Path) -> tuple[str, ...]:
    """Return what approving CYL-02 shows first."""
    (proposal,) = approving.propose(looked_at(site), ["CYL-02"], unchanged=False)
    return proposal.lines


def warning(site: Path) -> Problem:
    (problem,) = looked_at(site).problems
    assert "W702" == problem.code
    return problem


GAVE_WAY = (
    "  Issue 2, approved by approver A. Example, never had its second approval; it stays in the record, "
    "and issue 3 takes its place."
)


def test_a_page_that_is_as_it_was_again_is_told_beside_the_issue_that_waits(given_up: Path) -> None:
    """Both ways out are named: the text of issue 2 with its second approval, or the page as it is as issue 3."""
    problem = warning(given_up)
    assert (
        "issue 2 waits for one approval more, and the page is again as it was when issue 1 was approved on 2026-03-02",
        "the page as it was approved as issue 2, and its second approval; or an approval of the page as it is, "
        "which becomes issue 3; till then it is a draft",
        "yokebook approve CYL-02",
    ) == (problem.wrong, problem.allowed, problem.example)


def test_a_change_that_was_given_up_ends_in_an_issue_with_the_old_text(given_up: Path, tmp_path: Path) -> None:
    """Two people approve it as any issue, it is published, and the one that waited stays in the record as it was."""
    (half,) = record_of(given_up).issues[1:]
    assert (
        "CYL-02  Reading the gauge: issue 3, as it was approved as issue 1 on 2026-03-02.",
        GAVE_WAY,
        "  Nothing that a reader reads moved.",
    ) == shown(given_up)
    approve(given_up, "CYL-02", signer=by(SIGNER, "the old words are clear", 2))
    assert [("W702", "issue 3 waits for one approval more, in another role than approver")] == told(given_up)
    approve(given_up, "CYL-02", signer=by(LEAD, "", 3))
    assert [] == told(given_up)
    first, second, third = record_of(given_up).issues
    assert replace_overtaken(half) == second
    assert (first.digest, False, 2) == (third.digest, third.overtaken, len(third.approvals))
    assert looked_at(given_up).as_approved("CYL-02", second) is not None, "what the one approved is kept too"
    published(given_up, tmp_path / "target", SECOND)
    assert (3, "in force") == states(given_up)["CYL-02"]


def replace_overtaken(issue: object) -> object:
    """Return an issue of the records as it is once another has taken its place."""
    return issue.model_copy(update={"overtaken": True})  # type: ignore[attr-defined]


def test_another_text_overtakes_an_issue_that_waits_too(waiting: Path) -> None:
    """Its number, its approval and what was approved are never taken for another text."""
    kept = waiting / "content/control/approved/CYL-02-2.json"
    before = kept.read_bytes()
    reword(waiting, "in daylight")
    problem = warning(waiting)
    assert (
        "issue 2 waits for one approval more, and the page moved since; "
        "against issue 1, approved on 2026-03-02: the author's text\n"
        "  Paragraph, under “Reading the gauge”:\n"
        "    Read it from the front, in [-good light-]{+daylight+}."
    ) == problem.wrong
    assert shown(waiting)[:2] == (
        "CYL-02  Reading the gauge: issue 3, after issue 1 of 2026-03-02. Moved: the author's text.",
        GAVE_WAY,
    )
    approve(waiting, "CYL-02", signer=by(LEAD, "by daylight it is read best"))
    approve(waiting, "CYL-02", signer=by(SIGNER, ""))
    assert [(1, False), (2, True), (3, False)] == [(one.number, one.overtaken) for one in record_of(waiting).issues]
    assert before == kept.read_bytes()
    assert (3, "approved") == states(waiting)["CYL-02"]


def test_a_first_issue_that_waits_is_overtaken_as_well(site: Path) -> None:
    """With no approved issue before it, what moved is told against what the one person approved."""
    page = site / "content/pages/third.md"
    page.write_text("---\ntitle: A third\nprocedure: CYL-03\nowner: approver\n---\n\n# A third\n\nOld.\n", "utf-8")
    approve(site, "CYL-03")
    change(page, "Old.", "New.")
    problem = warning(site)
    assert (
        "issue 1 waits for one approval more, and the page moved since; "
        "against issue 1, approved on 2026-03-02: the author's text\n"
        "  Paragraph, under “A third”:\n"
        "    [-Old-]{+New+}."
    ) == problem.wrong
    approve(site, "CYL-03")
    approve(site, "CYL-03", signer=LEAD)
    assert (2, "approved") == states(site)["CYL-03"]


def test_no_review_is_written_into_an_issue_that_waits(given_up: Path) -> None:
    """Whether the page is as that issue has it or not: the message says what to do."""
    expected = (
        "CYL-02: issue 2 waits for one approval more, and a review without change is one of an issue that has them "
        "all. To approve the page as it is now: yokebook approve CYL-02"
    )
    for words in ("in good light", "in a good light"):
        reword(given_up, words)
        before = (given_up / "content/control/CYL-02.yaml").read_bytes()
        with pytest.raises(RefusedError) as refusal:
            approve(given_up, "CYL-02", signer=by(SIGNER, ""), unchanged=True)
        assert expected == str(refusal.value)
        assert before == (given_up / "content/control/CYL-02.yaml").read_bytes()


def test_an_issue_that_was_overtaken_counts_as_approved_nowhere(given_up: Path, tmp_path: Path) -> None:
    """Neither in the register nor for an incident; nor once the department asks for one approver less."""
    incident = given_up / "content/pages/incidents/misread-dial.md"
    front = "incident: {happened: 2026-02-03, reviewed: 2026-02-20, closed: 2026-06-01, procedures: [CYL-02]}"
    incident.write_text(f"---\ntitle: A dial was misread\n{front}\n---\n", encoding="utf-8")
    record = given_up / "content/control/CYL-02.yaml"
    change(record, f"reason: {MISREAD}", f"reason: {MISREAD}\n    incident: misread-dial")
    change(incident, ", closed: 2026-06-01", "")
    for signer in (SIGNER, LEAD):
        approve(given_up, "CYL-02", signer=by(signer, "the old words are clear", 2))
    control = looked_at(given_up)
    assert ["approved", "draft", "superseded"] == [
        one.state for listed in control.register for one in listed.history if "CYL-02" == listed.standing.procedure
    ]
    change(incident, "2026-02-20,", "2026-02-20, closed: 2026-06-01,")
    wrong = "the incident is closed, and no issue of CYL-02 approved since its review names it"
    assert [wrong] == [found[2] for found in refused(given_up, tmp_path / "target", SECOND)]
    change(given_up / "content/data/department.yaml", "approvals: 2\n", "")
    assert [wrong] == [found[2] for found in refused(given_up, tmp_path / "target", SECOND)]


def test_readers_are_told_the_reasons_of_approved_issues_alone(site: Path, tmp_path: Path) -> None:
    """The reason of a change that was given up is no reason for what changed."""
    root = tmp_path / "target"
    published(site, root)
    reword(site, "in bright light")
    approve(site, "CYL-02", signer=by(SIGNER, "bright light was asked for"))
    reword(site, "in daylight")
    for signer in (SIGNER, LEAD):
        approve(site, "CYL-02", signer=by(signer, "by daylight it is read best", 2))
    published(site, root, SECOND)
    (page,) = (root / "editions/0002").glob("what-changed*.html")
    told_to_readers = page.read_text(encoding="utf-8")
    assert "by daylight it is read best" in told_to_readers
    assert "bright light was asked for" not in told_to_readers


def in_other_words(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the program say one of its words otherwise, as a new version might."""
    from yokebook.calls import result

    plain = result.Table.result

    def said(table: result.Table, name: str, arguments: object) -> result.Result:
        caption = table.caption.replace("by its gauge", "as read on its gauge")
        return plain(replace(table, caption=caption), name, arguments)  # type: ignore[arg-type]

    monkeypatch.setattr(result.Table, "result", said)


def test_a_renewal_of_words_gets_its_second_approval_as_such(site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The second person is shown that the issue waits, and told that it is approved; the first one's reason stands."""
    in_other_words(monkeypatch)
    said = []
    for signer in (by(SIGNER, "the captions say it more plainly"), by(LEAD, "another reason than the first")):
        control = looked_at(site)
        (proposal,), refused_ones = approving.propose_wording(control)
        approving.sign(control, proposal, signer, TODAY).write(control.folder)
        said.append((proposal.what, proposal.lines[0], approving.outcome(control, proposal, signer), refused_ones))
    title = "CYL-01  Changing a cylinder on the yoke"
    assert [
        (What.WORDING, f"{title}: issue 2, the program's own words renewed.",
         "issue 2 waits for one approval more, by somebody else in another role.", []),
        (What.SECOND, f"{title}: issue 2, approved by approver A. Example, waits for one approval more.",
         "issue 2 is approved.", []),
    ] == said  # fmt: skip
    issue = looked_at(site).records.procedures["CYL-01"].newest
    assert (2, True, "the captions say it more plainly") == (len(issue.approvals), issue.wording, issue.reason)
    assert (2, "approved") == states(site)["CYL-01"]


def test_words_are_renewed_over_a_change_that_was_given_up(site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A renewal follows the last issue that was approved, not the one that only waited."""
    page = site / "content/pages/page.md"
    change(page, "or sooner", "or earlier")
    approve(site, "CYL-01", signer=by(SIGNER, "said as staff say it"))
    change(page, "or earlier", "or sooner")
    in_other_words(monkeypatch)
    for signer in (SIGNER, LEAD):
        control = looked_at(site)
        (proposal,), _ = approving.propose_wording(control)
        signed = by(signer, "the captions say it more plainly", 2)
        approving.sign(control, proposal, signed, TODAY).write(control.folder)
    issues = looked_at(site).records.procedures["CYL-01"].issues
    assert [(1, False), (2, True), (3, False)] == [(one.number, one.overtaken) for one in issues]
    assert issues[-1].wording
    assert (3, "approved") == states(site)["CYL-01"]
