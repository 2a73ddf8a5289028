"""An issue that answers an incident and was approved without its name: it is told, and can be named afterwards."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from approvals import SIGNER, TODAY, approve, ask_for_two, looked_at, small_department, states, told
from demo_site import change
from test_cli_approve import yokebook
from yokebook.reference.approving import RefusedError, propose, sign
from yokebook.reference.signer import Signer

INCIDENT = """---
title: A gauge read in the dark
incident:
  happened: 2026-03-05
  reviewed: 2026-03-20
  procedures: [CYL-02]
---

# A gauge read in the dark

It was dark.
"""
LATER = replace(SIGNER, on=date(2026, 4, 1), reason="asked for by the review")
WHO = ["--role", "approver", "--name", "A. Example", "--on", "2026-04-01"]
WHY = ["--reason", "asked for by the review"]
WAITS = "  Incident dark, reviewed on 2026-03-20, waits for an issue of CYL-02 that names it.\n"
NOTE = (
    "CYL-02: issue 2 is approved. It does not name dark, which waits for an issue of CYL-02; where it is the answer: "
)
NOTE += "yokebook approve CYL-02 --incident dark --reason ...\n"
FORGOTTEN = "issue 2 of CYL-02 was approved on 2026-04-01, since the review, and does not name this incident, which so "
FORGOTTEN += "cannot be closed"


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """A department in which an incident was reviewed, and the page that it names was changed since."""
    site = small_department(tmp_path / "site")
    approve(site, "CYL-01", "CYL-02")
    (site / "content/pages/incidents/dark.md").write_text(INCIDENT, encoding="utf-8")
    change(site / "content/pages/other.md", "in good light", "by a lamp")
    return site


def test_who_approves_without_the_incident_is_told(site: Path) -> None:
    """Before anything is asked, and after it was approved; check tells it too."""
    result = yokebook("approve", "CYL-02", *WHO, *WHY, "--yes", cwd=site)
    assert (0, "") == (result.returncode, result.stderr)
    assert WAITS in result.stdout
    assert result.stdout.endswith(f"\n\n{NOTE}")
    assert [("W775", FORGOTTEN)] == told(site)


def test_who_approves_at_a_terminal_is_told_before_the_question(site: Path) -> None:
    """The name that is then typed is in the record, and nothing more is said."""
    typed = "asked for by the review\ndark\ny\n"
    result = yokebook("approve", "CYL-02", *WHO, cwd=site, typed=typed)
    assert 0 == result.returncode, result.stderr
    assert result.stdout.index(WAITS) < result.stdout.index("After which incident")
    assert result.stdout.endswith("CYL-02: issue 2 is approved.\n")
    assert [] == told(site)


def test_an_incident_is_named_afterwards_in_an_issue_with_the_same_text(site: Path) -> None:
    """With it the incident can be closed; once it is named there is nothing to do a second time."""
    approve(site, "CYL-02", signer=LATER)
    with pytest.raises(RefusedError) as refused:
        approve(site, "CYL-02", signer=LATER)
    assert (
        "CYL-02 is as it was when issue 2 was approved on 2026-04-01. To write down a review that found nothing to "
        "change: yokebook approve CYL-02 --unchanged. To name the incident dark, which it answers: yokebook approve "
        "CYL-02 --incident dark ..."
    ) == str(refused.value)
    result = yokebook("approve", "CYL-02", *WHO, "--incident", "dark", *WHY, "--yes", cwd=site)
    assert (0, "") == (result.returncode, result.stderr)
    assert (
        """\
CYL-02  Reading the gauge: issue 3, as it was approved as issue 2 on 2026-04-01.
  Nothing that a reader reads moved.

CYL-02: issue 3 is approved.
"""
        == result.stdout
    )
    change(site / "content/pages/incidents/dark.md", "  procedures", "  closed: 2026-04-03\n  procedures")
    assert [] == told(site)
    assert (3, "approved") == states(site)["CYL-02"]
    again = yokebook("approve", "CYL-02", *WHO, "--incident", "dark", *WHY, "--yes", cwd=site)
    assert 2 == again.returncode
    assert "CYL-02 is as it was when issue 3 was approved on 2026-04-01." in " ".join(again.stderr.split())


def test_a_number_that_the_data_moved_is_no_answer_that_was_forgotten(site: Path) -> None:
    """It had a reason of its own; the learning log still says that nothing was changed."""
    page = site / "content/pages/incidents/dark.md"
    change(page, "[CYL-02]", "[CYL-01]")
    change(site / "content/data/department.yaml", "keep_back: 10 bar", "keep_back: 15 bar")
    approve(site, "CYL-01", signer=LATER)
    assert ["W702"] == [code for code, _ in told(site)], "of CYL-02 alone"


@pytest.mark.parametrize(
    "arguments",
    [
        ["CYL-02", "--unchanged", "--reason", "the review found nothing"],
        ["CYL-02", "--unchanged", "--incident", "dark"],
        ["--wording", "said more plainly", "--incident", "dark"],
    ],
)
def test_what_would_be_dropped_is_refused(arguments: list[str], site: Path) -> None:
    """With what to do instead, and no record is written."""
    before = (site / "content/control/CYL-02.yaml").read_bytes()
    result = yokebook("approve", *arguments, *WHO, "--yes", cwd=site)
    assert 2 == result.returncode
    assert (
        "--unchanged and --wording take no --reason and no --incident, and would drop them. To name an incident that a "
        "page answers as it stands: the same without --unchanged, with --incident and --reason"
    ) in " ".join(result.stderr.split())
    assert before == (site / "content/control/CYL-02.yaml").read_bytes()


def test_a_second_approval_cannot_name_what_the_first_did_not(site: Path) -> None:
    """It would be dropped; once both have approved, a further issue names it, and takes both again."""
    ask_for_two(site)
    lead = replace(LATER, role="equipment lead", name="B. Sample")
    approve(site, "CYL-02", signer=LATER)
    with pytest.raises(RefusedError) as refused:
        name_it(site, replace(lead, incident="dark"))
    assert (
        "CYL-02: issue 2, approved by approver A. Example, waits for one approval more, and that cannot name dark "
        "where the first did not. Allowed: --incident left out; once it has both, yokebook approve CYL-02 --incident "
        "dark --reason ... makes an issue that names it"
    ) == str(refused.value)
    approve(site, "CYL-02", signer=lead)
    assert (2, "approved") == states(site)["CYL-02"]
    name_it(site, replace(LATER, incident="dark"))
    name_it(site, replace(lead, incident="dark"))
    assert (3, "approved") == states(site)["CYL-02"]
    assert [] == [code for code, _ in told(site) if code == "W775"]


def name_it(site: Path, signer: Signer) -> None:
    """Approve CYL-02 after an incident."""
    control = looked_at(site)
    (proposal,) = propose(control, ["CYL-02"], unchanged=False, incident=signer.incident)
    sign(control, proposal, signer, TODAY).write(control.folder)
