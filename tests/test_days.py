"""Days and the day that it is: asked of in reports and refusals by the computer's clock, never in what is built."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from approvals import SIGNER, TODAY, approve, looked_at, small_department
from bad_sites import folders, lay_out
from demo_site import change
from test_publishing import CARD, published, refused
from yokebook.cli import options
from yokebook.errors import ProblemError
from yokebook.reference import days, report
from yokebook.reference.approval import work_out_with_records
from yokebook.reference.edition_of_day import edition_of_day
from yokebook.reference.new_incident import open_incident

FIRST, SECOND = date(2026, 3, 9), date(2026, 12, 7)
EVE = SECOND - timedelta(days=1)


@pytest.fixture(scope="module")
def department(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A department with an edition in force, and one that is to be in force later, with a second issue of CYL-02."""
    site = small_department(tmp_path_factory.mktemp("department") / "site")
    (site / "content/pages/cards").mkdir()
    (site / "content/pages/cards/one.md").write_text(CARD, encoding="utf-8")
    approve(site, "CYL-01", "CYL-02", "CARD-01")
    register = "cards:\n  - {card: one, machine: theatre-1, place: left column, copy: 1, issue: 1}\n"
    (site / "content/control/cards.yaml").write_text(register, encoding="utf-8")
    published(site, site / "published", FIRST)
    change(site / "content/pages/other.md", "in good light", "in bright light")
    change(site / "content/pages/cards/one.md", "the dial", "each dial")
    approve(site, "CYL-02", "CARD-01", signer=replace(SIGNER, on=date(2026, 11, 30)))
    published(site, site / "published", SECOND)
    return site


def row(site: Path, procedure: str, day: date) -> str:
    """Return how the register on a terminal tells of a procedure on a day."""
    lines = report.register_text(looked_at(site).register, day).splitlines()
    return next(line for line in lines if line.startswith(procedure))


def test_an_issue_is_told_as_in_force_from_its_day_on(department: Path) -> None:
    """On the eve of it it is approved, and the issue before it is in force."""
    told = "CYL-02   2      {}  {}  2027-11-30  Reading the gauge"
    eve = told.format("approved, in force from 2026-12-07", "2026-03-09 (issue 1)")
    assert eve == row(department, "CYL-02", EVE)
    assert ["CYL-02", "2", "in", "force", "2026-12-07", "2027-11-30", "Reading", "the", "gauge"] == row(
        department, "CYL-02", SECOND
    ).split()
    assert "CYL-01   1      in force                            2026-03-09  " in row(department, "CYL-01", EVE)


@pytest.mark.parametrize(
    ("day", "expected"),
    [
        (date(2026, 3, 8), ("approved", "2026-12-07", None, None)),
        (EVE, ("approved", "2026-12-07", 1, "2026-03-09")),
        (SECOND, ("in force", None, 2, "2026-12-07")),
    ],
)
def test_programs_are_told_the_same(day: date, expected: tuple[object, ...], department: Path) -> None:
    """State, the day still to come, the issue of the day, and since when."""
    told = {entry["procedure"]: entry for entry in report.register_json(looked_at(department).register, day)}
    keys = ("state", "in_force_from", "issue_in_force", "in_force_since")
    assert expected == tuple(told["CYL-02"][key] for key in keys)


def test_a_withdrawal_that_an_older_version_wrote_ahead_is_told_with_its_day(department: Path) -> None:
    """Till then the issue is in force; the day itself is a day still to come."""
    record = department / "content/control/CYL-02.yaml"
    before = record.read_text(encoding="utf-8")
    withdrawn = "withdrawn: {on: 2026-12-20, reason: it has gone, instead: CYL-01}\n"
    record.write_text(f"{before}{withdrawn}", encoding="utf-8")
    try:
        assert "withdrawn from 2026-12-20  2026-12-07" in row(department, "CYL-02", SECOND)
        control = looked_at(department)
        (problem,) = days.still_to_come_in(control.records, (), SECOND)
        told = "this withdrawal: 2026-12-20 has not come yet: by the clock of this computer today is 2026-12-07"
        assert told == problem.wrong
    finally:
        record.write_text(before, encoding="utf-8")


def test_a_card_is_taken_down_when_its_new_issue_is_in_force(department: Path) -> None:
    """The report and the page are true on any day."""
    (problem,) = [one for one in work_out_with_records(department).reference.problems if one.code == "W751"]
    assert problem.wrong.endswith("what it says moved in issue 2, in force from 2026-12-07")
    assert problem.allowed.startswith("once issue 2 is in force: take this copy down, hang issue 2 there, ")


@pytest.mark.parametrize(
    ("day", "today", "told"),
    [
        (EVE, TODAY, "On 2026-12-06 edition 1 was in force, since 2026-03-09."),
        (SECOND, SECOND, "On 2026-12-07 edition 2 was in force, since 2026-12-07."),
        (
            SECOND,
            EVE,
            "On 2026-12-07 edition 2 will be in force, from 2026-12-07 on, unless it is withdrawn or another is "
            "published till then: 2026-12-07 has not come yet: by the clock of this computer today is 2026-12-06.",
        ),
    ],
)
def test_what_is_in_force_on_a_day_to_come_is_told_as_what_will_be(
    day: date, today: date, told: str, department: Path
) -> None:
    """An auditor's answer is never about a day that has not come."""
    assert told == edition_of_day(day, today, department, department / "published").told


@pytest.mark.parametrize("mistake", folders("E830"), ids=lambda folder: folder.name)
def test_a_day_still_to_come_gives_its_report(mistake: Path, tmp_path: Path) -> None:
    """In the records and in an incident, to the letter; on the day itself nothing is wrong."""
    control = work_out_with_records(lay_out(mistake, tmp_path / "site"))
    pages = [worked.page for worked in control.reference.pages.values()]
    found = [*days.still_to_come_in(control.records, pages, date(2026, 12, 1))]
    told = report.as_text(found, control.reference.lines_of)
    assert (mistake / "expected.txt").read_text(encoding="utf-8") == told
    assert [] == [*days.still_to_come_in(control.records, pages, date(2027, 3, 2))]


def test_an_approval_of_a_day_still_to_come_is_not_published(tmp_path: Path) -> None:
    """Though the edition would be in force later still."""
    site = small_department(tmp_path / "site")
    approve(site, "CYL-01", "CYL-02")
    change(site / "content/control/CYL-02.yaml", "on: 2026-03-02", "on: 2030-01-02")
    change(site / "content/control/CYL-02.yaml", "review: 2027-03-02", "review: 2031-01-02")
    wrong = "this approval: 2030-01-02 has not come yet: by the clock of this computer today is 2030-01-01"
    allowed = "2030-01-01 or earlier; where the clock is wrong, have it put right first"
    found = refused(site, tmp_path / "target", date(2030, 1, 2))
    assert [("content/control/CYL-02.yaml", "E830", wrong, allowed)] == found


def test_an_incident_is_opened_when_it_has_happened(tmp_path: Path) -> None:
    """A year typed wrongly is seen before the page is written."""
    with pytest.raises(ProblemError) as caught:
        open_incident(tmp_path, "ran-out", "It ran out", date(2030, 1, 2), TODAY)
    (problem,) = caught.value.problems
    assert ("--happened", "E830", "2030-01-02") == (problem.file, problem.code, problem.written)
    assert [] == list(tmp_path.iterdir())


def test_the_day_is_that_of_this_computers_clock(department: Path) -> None:
    """On a machine whose clock is 400 days ahead, check takes that day for today."""
    assert abs(options.today() - datetime.now().astimezone().date()) <= timedelta(days=1)
    ahead = {"PYTHONPATH": str(Path(__file__).parent / "on_another_day")}
    asks = "from yokebook.cli.options import today; print(today())"
    told = [
        subprocess.run(
            [sys.executable, "-c", asks], capture_output=True, text=True, check=True, env={**os.environ, **more}
        ).stdout.strip()
        for more in ({}, ahead)
    ]
    now, later = map(date.fromisoformat, told)
    assert timedelta(days=400) <= later - now <= timedelta(days=401)
