"""`approve` and the register of `check` as a department uses them: what is shown, asked and written."""

from __future__ import annotations

import json
import os
import pty
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from approvals import ask_for_two, small_department
from demo_site import LATER, change

WHO = ["--role", "approver", "--name", "A. Example", "--on", "2026-03-02"]
WHY = ["--reason", "first issue of this procedure"]


@pytest.fixture(scope="module")
def warm(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A department with two pages, nothing approved, whose gas states are known."""
    folder = small_department(tmp_path_factory.mktemp("department") / "site")
    yokebook("check", cwd=folder)
    return folder


@pytest.fixture
def site(warm: Path, tmp_path: Path) -> Path:
    """The same, for a test to change."""
    return shutil.copytree(warm, tmp_path / "site")


def yokebook(*arguments: str, cwd: Path, typed: str | None = None) -> subprocess.CompletedProcess[str]:
    """Run the program as its own process; with somebody at a terminal who types, or with nobody there."""
    command = [sys.executable, "-m", "yokebook", *arguments]
    keyboard, stdin = pty.openpty() if typed is not None else (None, subprocess.DEVNULL)
    if keyboard is not None:
        os.write(keyboard, (typed or "").encode())
    try:
        return subprocess.run(
            command, cwd=cwd, stdin=stdin, capture_output=True, text=True, encoding="utf-8", check=False, timeout=300,
            env={**os.environ, **LATER},
        )  # fmt: skip
    finally:
        if keyboard is not None:
            os.close(keyboard)
            os.close(stdin)


def records(site: Path) -> set[str]:
    folder = site / "content/control"
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*.*")}


def test_approve_shows_all_that_is_approved_before_it_writes(site: Path) -> None:
    """The whole page for a first issue: words, cells, pictures; then that it is approved."""
    result = yokebook("approve", "CYL-01", *WHO, *WHY, "--yes", cwd=site)
    assert (0, "") == (result.returncode, result.stderr)
    shown, _, outcome = result.stdout.rpartition("\n\n")
    assert shown.startswith("CYL-01  Changing a cylinder on the yoke: issue 1\n")
    for part in (
        "  paragraph: Change the cylinder at 10\u00a0bar or sooner.\n",
        "  table: At least how long one cylinder of oxygen lasts, by its gauge: for cylinders stamped 4.68\u00a0L",
        "    Reading (bar) | Ventilator, 1\u00a0L/min set: up to 10.1\u00a0L/min\n    140 | 55\u00a0min\n",
        "  picture: yoke.png",
    ):
        assert part in shown
    assert "CYL-01: issue 1 is approved.\n" == outcome
    assert {"CYL-01.yaml", "approved/CYL-01-1.json"} == records(site)


def test_approve_asks_at_a_terminal_for_what_was_not_given(site: Path) -> None:
    """Role, name, day, reason, incident, and last of all whether what was shown is approved."""
    typed = "approver\nA. Example\n2026-03-02\nfirst issue of this procedure\n\ny\n"
    result = yokebook("approve", "CYL-01", cwd=site, typed=typed)
    assert 0 == result.returncode, result.stderr
    asked = [
        "In which role",
        "Your name",
        "On which day",
        "Why it was changed",
        "After which incident",
        "Approve this?",
    ]
    places = [result.stdout.index(question) for question in asked]
    assert places == sorted(places)
    assert result.stdout.index("  picture: yoke.png") < places[0], "what is approved is shown before anyone is asked"
    record = (site / "content/control/CYL-01.yaml").read_text(encoding="utf-8")
    assert "- {role: approver, name: A. Example, on: 2026-03-02}" in record


def test_who_says_no_has_approved_nothing(site: Path) -> None:
    """The last question is a real one."""
    result = yokebook("approve", "CYL-01", *WHO, *WHY, cwd=site, typed="\nn\n")
    assert 1 == result.returncode
    assert "Approve this?" in result.stdout
    assert set() == records(site)


@pytest.mark.parametrize(
    ("arguments", "expected"),
    [
        ([], "give the numbers of procedures, such as CYL-01, or --wording with a reason"),
        (["CYL-01", "--wording", "said more plainly"], "give the numbers of procedures, such as CYL-01, or --wording"),
        (["CYL-09", *WHO], "No page has the number CYL-09."),
        (["CYL-01"], "nobody is there to be asked: give --role"),
        (["CYL-01", *WHO], "nobody is there to be asked: give --reason"),
        (["CYL-01", *WHO, *WHY], "nobody is there to be asked: look at what is shown, then give --yes"),
        (
            ["CYL-01", *WHO, "--reason", "typo", "--yes"],
            "this is too short for a reason that somebody else could judge",
        ),
        (["CYL-01", "--on", "2 March"], "2 March: a date is written year-month-day. Allowed: year-month-day."),
        (
            ["CYL-01", "--on", "02/03/2026"],
            "02/03/2026: a date is written year-month-day. Allowed: year-month-day. Example: 2026-03-02",
        ),
        (["CYL-01", "--review", "2026-02-30"], "2026-02-30: there is no such day. Allowed: year-month-day."),
    ],
)
def test_wrong_use_says_what_to_give_and_writes_nothing(arguments: list[str], expected: str, site: Path) -> None:
    """Exit status 2, no traceback, no record."""
    result = yokebook("approve", *arguments, cwd=site)
    assert 2 == result.returncode
    assert expected in " ".join(result.stderr.split())
    assert "Traceback" not in result.stderr
    assert set() == records(site)


def test_nothing_is_approved_while_there_are_errors(site: Path) -> None:
    """The report says what to mend first."""
    change(site / "content/data/cylinders.yaml", "water_capacity: 2.0 L", "water_capacity: 2,0 L")
    result = yokebook("approve", "CYL-02", *WHO, *WHY, "--yes", cwd=site)
    assert 1 == result.returncode
    assert "error E102, decimal comma" in result.stdout
    assert result.stdout.endswith("\n1 error, 0 warnings, 0 notes.\nNothing was approved.\n")
    assert set() == records(site)


def test_a_folder_that_cannot_be_written_is_told_in_words(site: Path) -> None:
    """Not a traceback; a file where the folder should be stands in for a share without rights."""
    (site / "content/control").mkdir()
    (site / "content/control/approved").write_text("", encoding="utf-8")
    result = yokebook("approve", "CYL-02", *WHO, *WHY, "--yes", cwd=site)
    assert 2 == result.returncode
    assert "cannot be written" in result.stderr
    assert "Traceback" not in result.stderr


def test_check_shows_the_register_and_what_moved(site: Path) -> None:
    """A line for each procedure, then the warning with the number that moved; a draft still checks with status 0."""
    yokebook("approve", "CYL-01", "CYL-02", *WHO, *WHY, "--yes", cwd=site)
    expected = (
        "number  issue  state     in force since  review due  title\n"
        "CYL-01  1      approved  -               2027-03-02  Changing a cylinder on the yoke\n"
        "CYL-02  1      approved  -               2027-03-02  Reading the gauge\n"
        "\n"
        "0 errors, 0 warnings, 0 notes.\n"
    )
    assert (0, expected) == ((result := yokebook("check", cwd=site)).returncode, result.stdout)
    change(site / "content/data/department.yaml", "keep_back: 10 bar", "keep_back: 15 bar")
    result = yokebook("check", cwd=site)
    assert 0 == result.returncode
    assert "CYL-01  1      draft     -               2027-03-02  Changing a cylinder on the yoke\n" in result.stdout
    assert "content/pages/page.md, line 3, column 12: warning W702, not approved\n" in result.stdout
    assert "                     10\u00a0bar → 15\u00a0bar\n" in result.stdout
    assert result.stdout.endswith("  Example:       yokebook approve CYL-01\n\n0 errors, 1 warning, 0 notes.\n")


def test_check_names_the_issue_in_force_where_a_newer_one_is_approved(site: Path) -> None:
    """Staff work by issue 1 until the next edition."""
    yokebook("approve", "CYL-02", *WHO, *WHY, "--yes", cwd=site)
    (site / "content/control/editions.yaml").write_text(
        f"editions:\n  - {{number: 1, in_force: 2026-03-09, manifest: {'a' * 64}, issues: {{CYL-02: 1}}}}\n",
        encoding="utf-8",
    )
    assert "CYL-02  1      in force  2026-03-09      2027-03-02" in yokebook("check", cwd=site).stdout
    change(site / "content/pages/other.md", "in good light", "in bright light")
    later = ["--role", "approver", "--name", "A. Example", "--on", "2026-04-01", "--reason", "the lamp was renewed"]
    yokebook("approve", "CYL-02", *later, "--yes", cwd=site)
    assert "CYL-02  2      approved  2026-03-09 (issue 1)  2027-04-01" in yokebook("check", cwd=site).stdout


def test_check_as_json_has_the_register(site: Path) -> None:
    """For other programs: the same as in the text."""
    yokebook("approve", "CYL-01", *WHO, *WHY, "--yes", cwd=site)
    report = json.loads(yokebook("check", "--format", "json", cwd=site).stdout)
    assert [
        {
            "procedure": "CYL-01",
            "title": "Changing a cylinder on the yoke",
            "owner": "approver",
            "issue": 1,
            "state": "approved",
            "in_force_from": None,
            "issue_in_force": None,
            "in_force_since": None,
            "review_due": "2027-03-02",
        },
        {
            "procedure": "CYL-02",
            "title": "Reading the gauge",
            "owner": "approver",
            "issue": None,
            "state": "draft",
            "in_force_from": None,
            "issue_in_force": None,
            "in_force_since": None,
            "review_due": None,
        },
    ] == report["register"]


def test_a_second_approver_is_asked_for_no_reason(site: Path) -> None:
    """What was approved is shown again; the first one's reason stands."""
    ask_for_two(site)
    first = yokebook("approve", "CYL-01", *WHO, *WHY, "--yes", cwd=site)
    assert "CYL-01: issue 1 waits for one approval more, by somebody else in another role.\n" in first.stdout
    second = ["--role", "equipment lead", "--name", "B. Sample", "--on", "2026-03-03", "--yes"]
    result = yokebook("approve", "CYL-01", *second, cwd=site)
    title = "CYL-01  Changing a cylinder on the yoke"
    waits = f"{title}: issue 1, approved by approver A. Example, waits for one approval more."
    assert waits == result.stdout.split("\n")[0]
    assert result.stdout.endswith("\n\nCYL-01: issue 1 is approved.\n")


def test_a_review_without_change_and_a_renewal_of_words_with_nothing_to_renew(site: Path) -> None:
    """The first is written down; the second says that nothing was approved, with exit status 1."""
    yokebook("approve", "CYL-02", *WHO, *WHY, "--yes", cwd=site)
    later = ["--role", "approver", "--name", "A. Example", "--on", "2026-11-20", "--yes"]
    result = yokebook("approve", "CYL-02", "--unchanged", *later, cwd=site)
    assert (
        "CYL-02  Reading the gauge\n"
        "  Nothing moved since issue 1 was approved on 2026-03-02; due on 2027-03-02.\n"
        "\n"
        "CYL-02: the review is written down; issue 1 stands.\n"
    ) == result.stdout
    assert "CYL-02  1      approved  -               2027-11-20" in yokebook("check", cwd=site).stdout
    result = yokebook("approve", "--wording", "said more plainly now", *later, cwd=site)
    assert (1, "Nothing was approved.\n") == (result.returncode, result.stdout)


def test_pages_that_moved_by_more_than_words_are_named(site: Path) -> None:
    """A renewal of words passes them over, says why, and exits with status 1."""
    yokebook("approve", "CYL-01", "CYL-02", *WHO, *WHY, "--yes", cwd=site)
    change(site / "content/data/department.yaml", "keep_back: 10 bar", "keep_back: 15 bar")
    later = ["--role", "approver", "--name", "A. Example", "--on", "2026-04-01", "--yes"]
    result = yokebook("approve", "--wording", "said more plainly now", *later, cwd=site)
    assert 1 == result.returncode
    assert (
        "Not renewed; these want an approval of their own:\n"
        "CYL-01  Changing a cylinder on the yoke: the data moved: department.keep_back\n"
        "\n"
        "Nothing was approved.\n"
    ) == result.stdout
