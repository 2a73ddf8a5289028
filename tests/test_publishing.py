"""Publishing and withdrawing a department's reference: what is refused, what is written, what is seen as stale."""

from __future__ import annotations

import errno
import os
import re
import shutil
import signal
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from functools import partial
from pathlib import Path
from tempfile import gettempdir

import pytest

from approvals import SIGNER, TODAY, approve, ask_for_two, looked_at, small_department, states
from demo_site import change
from fake_editions import QuickDisk, assert_finished
from killed import in_a_process
from site_contents import content_of
from yokebook.control import writing
from yokebook.control.carried import digest_of
from yokebook.control.disk import Disk
from yokebook.control.standing import Withdrawal
from yokebook.control.target import Target
from yokebook.control.verification import Finding, Kind
from yokebook.errors import Level, Problem
from yokebook.pages.addresses import page_address
from yokebook.reference import comparing, publishing, verification, withdrawing
from yokebook.reference.approval import work_out_with_records
from yokebook.reference.edition_of_day import edition_of_day
from yokebook.reference.issues_told import department
from yokebook.reference.new_incident import open_incident
from yokebook.reference.pages_as_read import lists_of_words
from yokebook.reference.publishing import Order, Outcome, finish
from yokebook.reference.report import as_text
from yokebook.reference.start import starter
from yokebook.reference.whole import Reference

FIRST, SECOND = date(2026, 3, 9), date(2026, 5, 4)


def build_without_a_host(reference: Reference, folder: Path) -> None:
    """Make an edition as the host does, but for its looks: pages, pictures, lists of numbers and of words."""
    files = {page_address(path): worked.html for path, worked in reference.pages.items()}
    files |= {page_address(path): page.html for path, page in reference.generated.items()}
    files |= {f"numbers/{name}": text for name, text in reference.lists_of_numbers()}
    files |= {f"words/{name}": text for name, text in lists_of_words(reference)}
    files.setdefault("index.html", "<h1>Start</h1>")
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8", newline="\n")
    for name in {name for worked in reference.pages.values() for name in worked.files}:
        (folder / name).write_bytes((reference.folder / "content/pages" / name).read_bytes())


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """A department with two pages, both approved."""
    site = small_department(tmp_path / "site")
    approve(site, "CYL-01", "CYL-02")
    return site


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """Where editions are published."""
    return tmp_path / "target"


def publish(site: Path, root: Path, in_force: date = FIRST, *, only_check: bool = False) -> Outcome:
    order = Order(site, site / "site", Target(root, QuickDisk()), in_force, TODAY, "a@b", lambda _: None)
    return publishing.publish(order, build_without_a_host, only_check=only_check)


def published(site: Path, root: Path, in_force: date = FIRST) -> Outcome:
    outcome = publish(site, root, in_force)
    assert not outcome.problems.stops_the_build, report(outcome)
    return outcome


def report(outcome: Outcome) -> str:
    return as_text(outcome.problems, outcome.lines_of)


def refused(site: Path, root: Path, in_force: date = FIRST) -> list[tuple[str, str, str, str]]:
    """Return what stops a publish, and assert that it wrote nothing."""
    before = content_of(root) if root.exists() else {}
    outcome = publish(site, root, in_force)
    assert before == (content_of(root) if root.exists() else {})
    return [(each.file, each.code, each.wrong, each.allowed) for each in outcome.problems if each.code.startswith("E")]


def renew(site: Path) -> None:
    """Change a word of a page and approve it anew."""
    change(site / "content/pages/other.md", "in good light", "in a good light")
    approve(site, "CYL-02", signer=replace(SIGNER, on=date(2026, 4, 1), reason="the light was misread"))


def add_a_page(site: Path) -> None:
    """Write a page without a number: something new for readers, which nobody has to approve."""
    count = len(list((site / "content/pages").glob("more*.md")))
    page = f"---\ntitle: More {count}\n---\n\n# More {count}\n\nWords.\n"
    (site / f"content/pages/more-{count}.md").write_text(page, encoding="utf-8")


def withdraw(site: Path, root: Path, what: str | int, instead: str, on: date = date(2026, 6, 1)) -> list[Problem]:
    told = Withdrawal(on, "The machine has gone", instead)
    return withdrawn(site, root, what, told).problems


def withdrawn(
    site: Path, root: Path, what: str | int, told: Withdrawal, *, corrects: bool = False, today: date = TODAY
) -> withdrawing.Outcome:
    given = site, Target(root, QuickDisk()), told, "a@b", today, "A. Example, approver"
    return withdrawing.withdraw(withdrawing.Order(*given, corrects=corrects), what)


def test_the_first_edition(site: Path, root: Path) -> None:
    """It stands in the target with its list and pointers, and the department's own record; its pages are in force."""
    outcome = published(site, root)
    assert [
        "Edition 1, in force from 2026-03-09",
        "  CYL-01  issue 1, new: Changing a cylinder on the yoke",
        "  CYL-02  issue 1, new: Reading the gauge",
    ] == outcome.lines
    editions = assert_finished(root)
    assert [outcome.edition] == list(editions.editions)
    assert outcome.edition
    told = {number: digest_of(record.newest) for number, record in looked_at(site).records.procedures.items()}
    assert f"""\
# Written by the program, and kept with the pages. Never published; not to be changed by hand.
editions:
  - number: 1
    in_force: 2026-03-09
    manifest: {outcome.edition.manifest}
    issues: {{CYL-01: 1, CYL-02: 1}}
    records:
      CYL-01: {told["CYL-01"]}
      CYL-02: {told["CYL-02"]}
""" == (site / "content/control/editions.yaml").read_text(encoding="utf-8")
    assert {"CYL-01": (1, "in force"), "CYL-02": (1, "in force")} == states(site)
    assert [] == verification.verify(Target(root), site)


def test_an_edition_says_in_its_own_pages_what_it_is(site: Path, root: Path) -> None:
    """The registers in it already count it, and tell what changed since the one before."""
    published(site, root)
    renew(site)
    outcome = published(site, root, SECOND)
    assert [
        "Edition 2, in force from 2026-05-04",
        "  CYL-01  issue 1, unchanged: Changing a cylinder on the yoke",
        "  CYL-02  issue 2, issue 1 before: Reading the gauge",
    ] == outcome.lines
    assert "2026-05-04" in (root / "editions/0002/register.html").read_text(encoding="utf-8")
    assert "the light was misread" in (root / "editions/0002/what-changed.html").read_text(encoding="utf-8")
    assert [] == verification.verify(Target(root), site)


def test_check_writes_nothing(site: Path, root: Path) -> None:
    """It says what would be published, edition by edition, and leaves target and records alone."""
    before = content_of(site / "content")
    outcome = publish(site, root, only_check=True)
    assert "Edition 1, in force from 2026-03-09" == outcome.lines[0]
    assert outcome.edition is None
    assert not root.exists()
    assert before == content_of(site / "content")


NEVER = "this page was never approved"
APPROVED = "a page that was approved just as it is now"
TILL_THEN = "a page as it was approved, or an approval of the page as it is; till then it is a draft"


def test_a_page_that_was_never_approved_is_refused(tmp_path: Path, root: Path) -> None:
    """Each is named, at its number."""
    site = small_department(tmp_path / "site")
    assert [
        ("content/pages/other.md", "E616", NEVER, APPROVED),
        ("content/pages/page.md", "E616", NEVER, APPROVED),
    ] == refused(site, root)
    outcome = publish(site, root)
    assert report(outcome).startswith("""\
content/pages/other.md, line 3, column 12: error E616, not approved as it is
  3 | procedure: CYL-02
    |            ^^^^^^
  Written:       CYL-02
  Wrong:         this page was never approved
  Allowed:       a page that was approved just as it is now
  Example:       yokebook approve CYL-02
""")


@pytest.mark.parametrize(
    ("file", "old", "new", "parts"),
    [
        ("content/pages/page.md", "or sooner", "or earlier", "the author's text"),
        ("content/data/department.yaml", "keep_back: 10 bar", "keep_back: 15 bar", "what is worked out on it"),
    ],
)
def test_a_page_that_moved_is_refused(file: str, old: str, new: str, parts: str, site: Path, root: Path) -> None:
    """Words and numbers alike: a number that moved wants an approval, and with it a reason."""
    change(site / file, old, new)
    ((file_of_page, code, wrong, allowed),) = refused(site, root)
    assert ("content/pages/page.md", "E616", TILL_THEN) == (file_of_page, code, allowed)
    assert f"the page moved since issue 1 was approved on 2026-03-02: {parts}" == wrong.split("\n")[0]
    assert "W702" not in [problem.code for problem in publish(site, root).problems]


def test_an_issue_that_waits_for_its_second_approval_is_refused(tmp_path: Path, root: Path) -> None:
    """One signature of two is a draft."""
    site = small_department(tmp_path / "site")
    ask_for_two(site)
    approve(site, "CYL-01", "CYL-02")
    approve(site, "CYL-01", signer=replace(SIGNER, role="equipment lead", name="B. Example"))
    wrong = "issue 1 waits for one approval more, in another role than approver"
    assert [("content/pages/other.md", "E616", wrong, TILL_THEN)] == refused(site, root)


def test_a_computed_number_on_a_page_without_a_number_is_refused(site: Path, root: Path) -> None:
    """Nothing covers it; a number that its author typed is part of the page's words."""
    (site / "content/pages/index.md").write_text(
        '---\ntitle: Start\n---\n\n# Start\n\nKeep {{ typed(text="5 bar", why="a rule of the house") }}.\n\n'
        "Keep back {{ department.keep_back }}.\n",
        encoding="utf-8",
    )
    wrong = "this number is computed, and the page has no number under which it could be approved"
    allowed = "procedure: with a number of its own in the front matter, and an owner"
    assert [("content/pages/index.md", "E617", wrong, allowed)] == refused(site, root)


def test_what_is_wrong_with_the_department_stops_it_first(site: Path, root: Path) -> None:
    """The report is that of check."""
    change(site / "content/data/department.yaml", "keep_back: 10 bar", "keep_back: 10")
    assert ["E104"] == [code for _, code, _, _ in refused(site, root)]


def test_a_call_that_was_left_over_is_refused(site: Path, root: Path) -> None:
    """Whatever went wrong between the page and its HTML."""

    def build(reference: Reference, folder: Path) -> None:
        build_without_a_host(reference, folder)
        (folder / "other.html").write_text("<h1>One</h1>\n<p>{{ department.keep_back }}</p>", encoding="utf-8")

    order = Order(site, site / "site", Target(root), FIRST, TODAY, "a@b", lambda _: None)
    (problem,) = publishing.publish(order, build).problems
    assert ("other.html", 2, 4, "E618") == (problem.file, problem.line, problem.column, problem.code)
    assert "a call was left here instead of what it gives; this is no mistake of yours" == problem.wrong
    assert not root.exists()


def test_a_build_that_fails_publishes_nothing(site: Path, root: Path) -> None:
    """The host's problem is told."""
    failure = Problem("mkdocs.yml", 0, 0, Level.ERROR, "E601", "the host says no")
    order = Order(site, site / "site", Target(root), FIRST, TODAY, "a@b", lambda _: None)
    assert [failure] == list(publishing.publish(order, lambda _, __: failure).problems)
    assert not root.exists()


def test_a_local_disk_that_is_full_is_told(site: Path, root: Path) -> None:
    """While the pages are made: no trace, and nothing in the target."""

    def build(_: Reference, __: Path) -> None:
        raise OSError(errno.ENOSPC, "no space left on device")

    order = Order(site, site / "site", Target(root), FIRST, TODAY, "a@b", lambda _: None)
    (problem,) = publishing.publish(order, build).problems
    wrong = "the disk of this machine, on which an edition is made first, refused (no space left on device)"
    allowed = "room in this folder, and the right to write there; or TMPDIR set to another folder; then run it again"
    assert (gettempdir(), "E613", wrong, allowed) == (problem.file, problem.code, problem.wrong, problem.allowed)
    assert not root.exists()


def test_records_that_cannot_be_written_are_told_after_the_fact(
    site: Path, root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The edition is published, the withdrawal made; finishing writes the records."""

    def refuse(*_: object) -> None:
        raise OSError(errno.EROFS, "read-only file system")

    with monkeypatch.context() as patched:
        patched.setattr(writing, "write_whole", refuse)
        (problem,) = publish(site, root).problems
        wrong = "the department's own record cannot be written (read-only file system)"
        assert ("content/control/editions.yaml", "E613", wrong) == (problem.file, problem.code, problem.wrong)
        assert [] != withdraw(site, root, "CYL-02", "CYL-01")
    assert {"CYL-02"} == set(assert_finished(root).withdrawn)
    assert [] == finish(site, Target(root, QuickDisk()), "a@b")
    assert {"CYL-01": (1, "in force"), "CYL-02": (1, "withdrawn")} == states(site)


def test_a_day_before_the_last_edition_is_refused(site: Path, root: Path) -> None:
    """Editions are in force one after the other; two may begin on one day."""
    published(site, root)
    wrong = "edition 1 is in force from 2026-03-09, and this one would be in force from 2026-03-08"
    allowed = "2026-03-09 or later; where the day of edition 1 was a slip, that edition withdrawn first"
    assert [("--in-force", "E615", wrong, allowed)] == refused(site, root, date(2026, 3, 8))
    (problem,) = [each for each in publish(site, root, date(2026, 3, 8)).problems if each.code == "E615"]
    assert f"yokebook withdraw {root} --edition 1 --on 2026-03-08 ..." == problem.example
    add_a_page(site)
    published(site, root)


def test_an_old_copy_of_the_folder_is_refused(tmp_path: Path, site: Path, root: Path) -> None:
    """The newest edition holds an issue of which the copy knows nothing."""
    published(site, root)
    copy = shutil.copytree(site, tmp_path / "copy")
    renew(site)
    published(site, root, SECOND)
    add_a_page(copy)
    wrong = f"edition 2 in {root} holds CYL-02 issue 2, of which nothing is known here"
    allowed = "the newest copy of this folder: somebody published from another one"
    records = "content/control/editions.yaml"
    assert [(records, "E614", wrong, allowed)] == refused(copy, root, SECOND)
    assert [(records, "E614", wrong)] == [
        (each.file, each.code, each.wrong) for each in withdraw(copy, root, 1, "words")
    ]
    assert [(records, "E614", wrong)] == [
        (each.file, each.code, each.wrong) for each in finish(copy, Target(root), "a@b")
    ]


def test_another_target_than_that_of_the_records_is_refused(tmp_path: Path, site: Path, root: Path) -> None:
    """Numbers of editions are counted in one place."""
    published(site, root)
    wrong = f"edition 1 is in force from 2026-03-09 by this record, and {tmp_path / 'stick'} does not have it"
    allowed = "the folder in which it was published; or its list put back from a backup"
    assert [("content/control/editions.yaml", "E614", wrong, allowed)] == refused(site, tmp_path / "stick", SECOND)


def test_records_that_a_killed_run_left_behind_are_brought_up(site: Path, root: Path) -> None:
    """By the next publish, and by finish; check alone writes nothing."""
    published(site, root)
    record = site / "content/control/editions.yaml"
    good = record.read_bytes()
    record.unlink()
    publish(site, root, SECOND, only_check=True)
    assert not record.exists()
    assert [
        Finding("content/control/editions.yaml", Kind.UNFINISHED, "a run was stopped: yokebook publish --finish")
    ] == (verification.verify(Target(root), site))
    assert [] == finish(site, Target(root, QuickDisk()), "a@b")
    assert good == record.read_bytes()
    record.unlink()
    wrong = (
        "edition 1 is in force from 2026-03-09 and holds these very issues: it was published, and only what leads to "
    )
    wrong += "it, or the department's own record, was left undone"
    assert [(str(root), "E622", wrong, f"yokebook publish {root} --finish")] == refused(site, root)
    record.unlink()
    add_a_page(site)
    published(site, root, SECOND)
    assert 2 == len(looked_at(site).records.editions)


class MortalDisk(QuickDisk):
    """A disk on which the process is killed once a file has its new name."""

    def __init__(self, last: str) -> None:
        self.last = last

    def replace(self, path: Path, into: Path) -> None:
        super().replace(path, into)
        if into.name == self.last:
            os.kill(os.getpid(), signal.SIGKILL)


def publish_on(disk: Disk, site: Path, root: Path) -> None:
    order = Order(site, site / "site", Target(root, disk), SECOND, TODAY, "a@b", lambda _: None)
    publishing.publish(order, build_without_a_host)


def withdraw_on(disk: Disk, site: Path, root: Path) -> None:
    told = Withdrawal(SECOND, "The machine has gone", "CYL-01")
    withdrawing.withdraw(withdrawing.Order(site, Target(root, disk), told, "a@b", TODAY), "CYL-02")


PUBLISHED = {"CYL-01": (1, "in force"), "CYL-02": (2, "in force")}
WITHDRAWN = {"CYL-01": (1, "in force"), "CYL-02": (1, "withdrawn")}


@pytest.mark.parametrize(
    ("work", "last", "expected"),
    [
        (publish_on, "editions.js", PUBLISHED),
        (publish_on, "index.html", PUBLISHED),
        (withdraw_on, "editions.js", WITHDRAWN),
        (withdraw_on, "cyl-02.html", WITHDRAWN),
    ],
)
def test_a_run_killed_before_its_records_are_written_is_made_good_by_the_next(
    work: Callable[[Disk, Path, Path], None],
    last: str,
    expected: dict[str, tuple[int, str]],
    site: Path,
    root: Path,
) -> None:
    """Once the list has been replaced it counts; what leads to it and the department's records follow."""
    published(site, root)
    if work is publish_on:
        renew(site)
    records = content_of(site / "content/control")
    assert not in_a_process(partial(work, MortalDisk(last), site, root))
    assert records == content_of(site / "content/control"), "killed before the records"
    assert [] != verification.verify(Target(root), site)
    add_a_page(site)
    published(site, root, date(2026, 5, 5))
    assert_finished(root)
    assert expected == states(site)
    assert [] == verification.verify(Target(root), site)


def here(site: Path, root: Path) -> Path:
    return site


def in_content(site: Path, root: Path) -> Path:
    return site / "content/pages/published"


def in_draft(site: Path, root: Path) -> Path:
    return site / "site/published"


def a_file(site: Path, root: Path) -> Path:
    root.write_text("", encoding="utf-8")
    return root


def a_draft(site: Path, root: Path) -> Path:
    (root / "editions/draft").mkdir(parents=True)
    return root


def something_else(site: Path, root: Path) -> Path:
    root.mkdir()
    (root / "index.html").touch()
    return root


@pytest.mark.parametrize(
    ("place", "wrong"),
    [
        (here, "what is published would lie among what the department keeps to itself"),
        (in_content, "what is published would lie among what the department keeps to itself"),
        (in_draft, "build empties this folder each time, and every edition would be lost"),
        (a_file, "this is a file"),
        (a_draft, "this is a draft that build made"),
        (something_else, "it holds index.html and no editions.js: this is another folder, or the list was lost"),
    ],
)
def test_a_folder_that_cannot_be_a_target_is_refused(
    place: Callable[[Path, Path], Path], wrong: str, site: Path, root: Path
) -> None:
    """Before anything is worked out."""
    target = place(site, root)
    before = content_of(site)
    (problem,) = publish(site, target).problems
    assert (str(target), "E610", wrong) == (problem.file, problem.code, problem.wrong)
    assert before == content_of(site)


def test_a_procedure_is_withdrawn(site: Path, root: Path) -> None:
    """In the target, where readers are told at once, and in the records, where who decided it stands too."""
    published(site, root)
    assert [] == withdraw(site, root, "CYL-02", "CYL-01")
    editions = assert_finished(root)
    assert {"CYL-02": Withdrawal(date(2026, 6, 1), "The machine has gone", "CYL-01")} == editions.withdrawn
    assert "Withdrawn." in (root / "go/cyl-02.html").read_text(encoding="utf-8")
    record = (site / "content/control/CYL-02.yaml").read_text(encoding="utf-8")
    assert "by: " in record.partition("withdrawn:")[2]
    assert "A. Example, approver" in record
    assert not [name for name, content in content_of(root).items() if b"A. Example, approver" in content]
    assert {"CYL-01": (1, "in force"), "CYL-02": (1, "withdrawn")} == states(site)
    assert [] == verification.verify(Target(root), site)


def test_a_withdrawn_procedure_stays_withdrawn_in_the_next_edition(site: Path, root: Path) -> None:
    """Whether its page is kept or taken out."""
    published(site, root)
    withdraw(site, root, "CYL-02", "CYL-01")
    assert "  CYL-02  withdrawn on 2026-06-01: Reading the gauge" in published(site, root, SECOND).lines
    (site / "content/pages/other.md").unlink()
    assert "CYL-02" not in " ".join(published(site, root, SECOND).lines)
    assert {"CYL-02"} == set(assert_finished(root).withdrawn)
    assert "It was withdrawn on 2026-06-01." in (root / "go/cyl-02.html").read_text(encoding="utf-8")


def test_a_withdrawal_that_was_killed_before_its_record_is_brought_up(site: Path, root: Path) -> None:
    """The next publish writes it into the procedure's record before it works anything out."""
    published(site, root)
    record = site / "content/control/CYL-02.yaml"
    before = record.read_bytes()
    withdraw(site, root, "CYL-02", "CYL-01")
    record.write_bytes(before)
    published(site, root, SECOND)
    assert {"CYL-01": (1, "in force"), "CYL-02": (1, "withdrawn")} == states(site)
    register = (root / "editions/0002/register.html").read_text(encoding="utf-8")
    assert "withdrawn" in register


def test_an_edition_is_withdrawn(site: Path, root: Path) -> None:
    """The pointers say why and lead to the one before; what is published next is in force as ever."""
    published(site, root)
    renew(site)
    published(site, root, SECOND)
    assert [] == withdraw(site, root, 2, "edition 1")
    editions = assert_finished(root)
    assert editions.current
    assert Withdrawal(date(2026, 6, 1), "The machine has gone", "edition 1") == editions.current.withdrawn
    assert "editions/0001/page.html" in (root / "go/cyl-01.html").read_text(encoding="utf-8")
    kept = looked_at(site).records.editions[1].withdrawn
    assert kept
    assert ("edition 1", "A. Example, approver") == (kept.instead, kept.by)
    published(site, root, date(2026, 7, 1))
    assert 3 == len(assert_finished(root).editions)
    kept = looked_at(site).records.editions[1].withdrawn
    assert kept
    assert "A. Example, approver" == kept.by
    assert [] == verification.verify(Target(root), site)


NOT_IN_USE = "the newest edition has no procedure {} in use"
OTHERWISE = "this looks like the number of a procedure, and is written otherwise"
NOT_THERE = "edition 1 is not there, is this very one, or was withdrawn"
TO_COME = "2030-01-02 has not come yet: by the clock of this computer today is 2030-01-01; and readers are told of a "
TO_COME += "withdrawal as soon as it is given"
TOO_EARLY = "on (2026-01-01) lies before the approval of issue 1 (2026-03-02)"


@pytest.mark.parametrize(
    ("what", "instead", "on", "code", "wrong"),
    [
        ("CYL-03", "words", "2026-06-01", "E621", "no procedure has the number CYL-03"),
        ("CYL-02", "CYL-02", "2026-06-01", "E628", NOT_IN_USE.format("CYL-02")),
        ("CYL-02", "CYL-09", "2026-06-01", "E628", NOT_IN_USE.format("CYL-09")),
        ("CYL-02", "see CYL-70", "2026-06-01", "E628", NOT_IN_USE.format("CYL-70")),
        ("CYL-02", "CYL-01 or CYL-99", "2026-06-01", "E628", NOT_IN_USE.format("CYL-99")),
        ("CYL-02", "edition 9", "2026-06-01", "E628", NOT_THERE.replace("1", "9")),
        ("CYL-02", "the page in edition 9", "2026-06-01", "E628", NOT_THERE.replace("1", "9")),
        (1, "see CYL-70", "2026-06-01", "E628", NOT_IN_USE.format("CYL-70")),
        ("CYL-02", "CYL-01", "2026-01-01", "E703", TOO_EARLY),
        (2, "words", "2026-06-01", "E621", "there is no edition 2"),
        (1, "edition 1", "2026-06-01", "E628", NOT_THERE),
        ("CYL-02", "cyl01", "2026-06-01", "E628", OTHERWISE),
        ("CYL-02", "CYL 1", "2026-06-01", "E628", OTHERWISE),
        ("CYL-02", "words", "2030-01-02", "E830", TO_COME),
        (1, "words", "2030-01-02", "E830", TO_COME),
        ("CYL-02", "the list of Sister Moor", "2026-06-01", "E626", "this looks like a person's name"),
    ],
)
def test_what_cannot_be_withdrawn_is_refused(
    what: str | int, instead: str, on: str, code: str, wrong: str, site: Path, root: Path
) -> None:
    """In words, and nothing is written."""
    published(site, root)
    before = content_of(root), content_of(site / "content")
    (problem,) = withdraw(site, root, what, instead, date.fromisoformat(on))
    assert (code, wrong) == (problem.code, problem.wrong)
    assert before == (content_of(root), content_of(site / "content"))


def test_the_number_of_what_is_withdrawn_may_be_in_small_letters(site: Path, root: Path) -> None:
    """As approving takes it; target and record have it as the page has."""
    published(site, root)
    assert [] == withdraw(site, root, "cyl-02", "CYL-01")
    assert {"CYL-02"} == set(assert_finished(root).withdrawn)
    assert (1, "withdrawn") == states(site)["CYL-02"]


def test_nothing_is_withdrawn_twice_or_where_nothing_was_published(site: Path, root: Path) -> None:
    """A mistyped folder is not made."""
    (problem,) = withdraw(site, root, "CYL-02", "words")
    assert "nothing has been published here" == problem.wrong
    assert not root.exists()
    published(site, root)
    withdraw(site, root, "CYL-02", "CYL-01")
    withdraw(site, root, 1, "words")
    (problem,) = withdraw(site, root, "CYL-02", "CYL-01")
    assert "CYL-02 was withdrawn on 2026-06-01 already" == problem.wrong
    (problem,) = withdraw(site, root, 1, "words")
    assert "edition 1 was withdrawn on 2026-06-01 already" == problem.wrong


def test_verify_holds_each_approval_against_its_page(site: Path, root: Path) -> None:
    """A file of what was approved that was touched, or a page that says something else than was approved, is named."""
    published(site, root)
    approved = site / "content/control/approved/CYL-02-1.json"
    good = approved.read_bytes()
    approved.write_bytes(good + b"\n")
    name = "content/control/approved/CYL-02-1.json"
    assert [Finding(name, Kind.CHANGED, "it is not what was approved as CYL-02 issue 1")] == [
        finding for finding in verification.verify(Target(root), site) if finding.path == name
    ]
    approved.write_bytes(good)
    change(root / "editions/0001/words/other.json", "in good light", "in bad light")
    assert [
        ("editions/0001/other.html", "changed"),
        ("editions/0001/words/other.json", "changed"),
    ] == [(finding.path, str(finding.kind)) for finding in verification.verify(Target(root), site)]


def test_a_slip_in_the_year_is_refused_and_one_that_was_published_can_be_taken_back(site: Path, root: Path) -> None:
    """Where the day is meant, a word says so; an edition that is withdrawn before its day came holds nothing up."""
    published(site, root)
    renew(site)
    far = date(2099, 5, 4)
    wrong = "this is 26696 days after 2026-04-01, the newest day of an approval or edition here"
    allowed = "a day up to 2026-06-30; where 2099-05-04 is right all the same, add --in-force-is-right"
    assert [("--in-force", "E624", wrong, allowed)] == refused(site, root, far)
    order = Order(site, site / "site", Target(root, QuickDisk()), far, TODAY, "a@b", lambda _: None, day_is_right=True)
    assert publishing.publish(order, build_without_a_host).edition
    add_a_page(site)
    wrong = "edition 2 is in force from 2099-05-04, and this one would be in force from 2026-05-04"
    allowed = "2099-05-04 or later; where the day of edition 2 was a slip, that edition withdrawn first"
    assert ("--in-force", "E615", wrong, allowed) in refused(site, root, SECOND)
    assert [] == withdraw(site, root, 2, "edition 1", date(2026, 4, 20))
    wrong = "edition 2 was withdrawn on 2026-04-20, and this one would be in force from 2026-04-19"
    assert [("--in-force", "E615", wrong, "2026-04-20 or later")] == refused(site, root, date(2026, 4, 19))
    published(site, root, SECOND)
    editions = assert_finished(root)
    assert [1, 1, 3, 3] == [
        found and found.number for found in map(editions.on, (FIRST, date(2026, 4, 25), SECOND, date(2100, 1, 1)))
    ]
    assert 3 == looked_at(site).records.editions[-1].number
    assert [] == verification.verify(Target(root), site)


def test_a_withdrawal_is_made_on_its_day_or_later_and_never_before(site: Path, root: Path) -> None:
    """Readers are told at once; a quiet department withdraws too, however long after all else."""
    published(site, root)
    told = Withdrawal(date(2027, 6, 1), "The machine has gone", "words")
    before = content_of(root), content_of(site / "content")
    (problem,) = withdrawn(site, root, "CYL-02", told, today=date(2027, 5, 31)).problems
    allowed = "2027-05-31 or earlier; where the clock is wrong, have it put right first. What is still good until "
    assert ("--on", "E830", f"{allowed}2027-06-01 is withdrawn on that day") == (
        problem.file, problem.code, problem.allowed
    )  # fmt: skip
    assert before == (content_of(root), content_of(site / "content"))
    assert [] == withdrawn(site, root, "CYL-02", told, today=date(2027, 6, 1)).problems


def test_an_edition_in_force_before_its_approvals_is_refused(site: Path, root: Path) -> None:
    """Those of one day are told once, at the first one's line in the record."""
    wrong = "the edition would be in force from 2026-03-01, before the approval of CYL-01 issue 1, CYL-02 issue 1"
    allowed = "--in-force 2026-03-02 or later"
    assert [("content/control/CYL-01.yaml", "E625", wrong, allowed)] == refused(site, root, date(2026, 3, 1))
    published(site, root, date(2026, 3, 2))


def test_an_approval_that_lies_after_all_else_is_asked_for_its_year(site: Path, root: Path) -> None:
    """A slip of the year at the approval, told with the way out; with the year put right it is published."""
    (site / "content/control/CYL-02.yaml").unlink()
    meant = replace(SIGNER, on=date(2027, 3, 3))
    approve(site, "CYL-02", signer=meant)
    wrong = "the edition would be in force from 2026-03-09, before the approval of CYL-02 issue 1; 2027-03-03 lies "
    wrong += "after all else in the records: is the year of the approval right?"
    allowed = "--in-force 2027-03-03 or later. Where the year is wrong: the right one here, and under review, in the "
    allowed += "record of each of these; no edition holds these issues yet"
    assert f"""\
content/control/CYL-02.yaml, line 11, column 48: error E625, in force before it was approved
  11 |       - {{role: approver, name: A. Example, on: 2027-03-03}}
     |                                                ^^^^^^^^^^
  Written:       2027-03-03
  Wrong:         {wrong}
  Allowed:       {allowed}

1 error, 0 warnings, 0 notes.
""" == report(publish(site, root))
    change(site / "content/control/CYL-02.yaml", "on: 2027-03-03", "on: 2026-03-03")
    change(site / "content/control/CYL-02.yaml", "review: 2028-03-03", "review: 2027-03-03")
    published(site, root)


def test_what_looks_like_a_person_is_refused_in_pages_and_in_new_reasons(site: Path, root: Path) -> None:
    """A warning of check until then; words that the page names as no person's are let through."""
    add_a_page(site)
    change(site / "content/pages/more-0.md", "Words.", "Ask Sister Moor.")
    renew(site)
    change(site / "content/control/CYL-02.yaml", "the light was misread", "Dr Sample misread the light")
    assert [
        ("content/control/CYL-02.yaml", "E626", "this looks like a person's name"),
        ("content/pages/more-0.md", "E626", "this looks like a person's name"),
    ] == [found[:3] for found in refused(site, root, SECOND)]
    assert "W771" not in [problem.code for problem in publish(site, root, SECOND).problems]
    change(site / "content/control/CYL-02.yaml", "Dr Sample misread the light", "the light was misread")
    record = site / "content/control/CYL-02.yaml"
    good = record.read_text(encoding="utf-8")
    withdrawn_by_hand = "withdrawn: {on: 2026-05-01, reason: Mrs Sample fell over it, instead: CYL-01}\n"
    record.write_text(good + withdrawn_by_hand, encoding="utf-8")
    assert ("content/control/CYL-02.yaml", "E626") == refused(site, root, SECOND)[0][:2]
    record.write_text(good, encoding="utf-8")
    change(site / "content/pages/more-0.md", "title: More 0\n", "title: More 0\nnot_a_person: [Sister Moor]\n")
    published(site, root, SECOND)


def test_a_name_that_no_edition_can_have_is_refused_under_the_authors_own_name(site: Path, root: Path) -> None:
    """The file to rename is told, with a name that would do; a pointer to it would lead nowhere."""
    page = site / "content/pages/other.md"
    page.rename(page.with_name("gauge-#2.md"))
    allowed = "small letters from a to z, digits, hyphens, underscores, full stops; at most 150 characters from "
    allowed += "editions/ on; rename the file, and the links that lead to it"
    wrong = "this name cannot be published: it has #"
    assert [("content/pages/gauge-#2.md", "E619", wrong, allowed)] == refused(site, root)
    page.with_name("gauge-#2.md").rename(page.with_name("gauge-2.md"))
    published(site, root)


def test_an_example_that_was_never_replaced_is_refused(site: Path, root: Path) -> None:
    """A data file that is the starter's own, byte for byte."""
    shutil.copyfile(starter() / "content/data/scales.yaml", site / "content/data/scales.yaml")
    assert ("content/data/scales.yaml", "E627") in [found[:2] for found in refused(site, root)]


def test_an_incident_whose_words_nobody_wrote_is_refused(site: Path, root: Path) -> None:
    """What its template asks is no learning log."""
    open_incident(site, "ran-out", "It ran out", date(2026, 2, 1), TODAY)
    assert 5 * [("content/pages/incidents/ran-out.md", "E627")] == [found[:2] for found in refused(site, root)]


def test_an_edition_that_brings_nothing_new_is_refused(site: Path, root: Path) -> None:
    """Until a page, an approval, a review or a withdrawal changes; the word on who published is kept beside it."""
    published(site, root)
    assert "a@b, publishing edition 1\n" == (root / "publishing.txt").read_text(encoding="utf-8")
    wrong = "nothing changed since edition 1, in force from 2026-03-09"
    allowed = "a page, a value, an approval, a review or a withdrawal that readers do not have yet"
    assert [(str(root), "E623", wrong, allowed)] == refused(site, root, SECOND)
    withdraw(site, root, "CYL-02", "CYL-01", date(2026, 4, 1))
    published(site, root, SECOND)
    assert [(str(root), "E623")] == [found[:2] for found in refused(site, root, SECOND)]
    add_a_page(site)
    published(site, root, SECOND)


def test_what_readers_are_told_of_a_withdrawal_is_corrected(site: Path, root: Path) -> None:
    """Reason and what to use instead, in target and record; who decided it stays where nobody is named."""
    published(site, root)
    told = Withdrawal(date(2026, 6, 1), "The machine has gone for good", "the poster in the store")
    (problem,) = withdrawn(site, root, "CYL-02", told, corrects=True).problems
    assert "CYL-02 was not withdrawn, so there is nothing to correct" == problem.wrong
    withdraw(site, root, "CYL-02", "CYL-01")
    given = site, Target(root, QuickDisk()), told, "a@b", TODAY
    assert [] == withdrawing.withdraw(withdrawing.Order(*given, corrects=True), "CYL-02").problems
    assert {"CYL-02": told} == assert_finished(root).withdrawn
    kept = looked_at(site).records.procedures["CYL-02"].withdrawn
    assert kept
    assert ("The machine has gone for good", "A. Example, approver") == (kept.reason, kept.by)
    withdraw(site, root, 1, "words")
    assert [] == withdrawn(site, root, 1, told, corrects=True).problems
    assert told == assert_finished(root).editions[0].withdrawn
    assert [] == verification.verify(Target(root), site)


def test_a_procedure_to_which_a_withdrawn_one_leads_says_so_when_it_is_withdrawn(site: Path, root: Path) -> None:
    """Readers would be sent from one dead end to the next."""
    published(site, root)
    withdraw(site, root, "CYL-02", "CYL-01")
    told = Withdrawal(date(2026, 6, 2), "The machine has gone", "words")
    assert [
        "CYL-02, withdrawn earlier, still sends its readers to CYL-01: give it something else with yokebook withdraw "
        f"{root} CYL-02 --correct"
    ] == withdrawn(site, root, "CYL-01", told).lines


@pytest.mark.parametrize(
    ("told", "option"),
    [
        (Withdrawal(date(2026, 6, 1), "x", "words"), "--reason"),
        (Withdrawal(date(2026, 6, 1), "Sister Moor found it wrong", "words"), "--reason"),
        (Withdrawal(date(2026, 6, 1), "The machine has gone", ""), "--instead"),
        (Withdrawal(date(2026, 1, 1), "The machine has gone", "words"), "--on"),
        (Withdrawal(date(2031, 1, 1), "The machine has gone", "words"), "--on"),
        (Withdrawal(date(2026, 6, 1), "The machine has gone", "cyl-1"), "--instead"),
    ],
)
def test_a_fault_of_an_option_points_at_the_option(told: Withdrawal, option: str, site: Path, root: Path) -> None:
    """No file has what was given, so no line of one is named."""
    published(site, root)
    (problem,) = withdrawn(site, root, "CYL-02", told).problems
    assert (option, 0) == (problem.file, problem.line)


def test_the_number_that_was_perhaps_meant_is_named(site: Path, root: Path) -> None:
    """The whole report."""
    published(site, root)
    assert """\
--instead: error E628, not to be used instead
  Written:       cyl01
  Wrong:         this looks like the number of a procedure, and is written otherwise
  Perhaps meant: CYL-01
  Allowed:       CYL-01, or words

1 error, 0 warnings, 0 notes.
""" == as_text(withdraw(site, root, "CYL-02", "cyl01"), lambda _: ())


CARD = """---
title: "Card: theatre-1"
procedure: CARD-01
owner: approver
machines: [theatre-1]
---

# Card: theatre-1

Look at the dial.
"""


def test_a_withdrawn_card_is_to_be_taken_down_at_once(site: Path, root: Path) -> None:
    """Each registered copy with its place, as publishing tells it."""
    (site / "content/pages/cards").mkdir()
    (site / "content/pages/cards/one.md").write_text(CARD, encoding="utf-8")
    approve(site, "CARD-01")
    register = "cards:\n  - {card: one, machine: theatre-1, place: left column, copy: 1, issue: 1}\n"
    (site / "content/control/cards.yaml").write_text(register, encoding="utf-8")
    published(site, root)
    told = Withdrawal(date(2026, 6, 2), "Its reading was wrong", "words")
    assert [
        "",
        "Cards to take down:",
        "",
        "CARD-01  Card: theatre-1 (one), copy 1",
        "  at theatre-1: left column",
        "  issue 1 → none: it was withdrawn: Its reading was wrong",
        "  Removed by ____________________ on ______________",
    ] == withdrawn(site, root, "CARD-01", told).lines
    hangs = [problem for problem in looked_at(site).reference.problems if problem.file.endswith("cards.yaml")]
    assert """\
content/control/cards.yaml, line 2, column 73: warning W751, card to take down
  2 |   - {card: one, machine: theatre-1, place: left column, copy: 1, issue: 1}
    |                                                                         ^
  Written:       1
  Wrong:         copy 1 at theatre-1 is of issue 1, and it was withdrawn: Its reading was wrong
  Allowed:       take it down, then take this entry out

0 errors, 1 warning, 0 notes.
""" == as_text(hangs, looked_at(site).reference.lines_of)
    (site / "content/control/cards.yaml").write_text("cards: []\n", encoding="utf-8")
    assert "W751" not in [problem.code for problem in looked_at(site).reference.problems]


def test_a_place_of_a_card_that_looks_like_a_person_is_refused(site: Path, root: Path) -> None:
    """Readers see it on the page of cards to take down; what the card's page names as no person is let through."""
    (site / "content/pages/cards").mkdir()
    page = site / "content/pages/cards/one.md"
    page.write_text(CARD, encoding="utf-8")
    approve(site, "CARD-01")
    register = "cards:\n  - {card: one, machine: theatre-1, place: cupboard of Dr Miller, copy: 1, issue: 1}\n"
    (site / "content/control/cards.yaml").write_text(register, encoding="utf-8")
    reference = looked_at(site).reference
    assert """\
content/control/cards.yaml, line 2, column 44: warning W771, what looks like a person
  2 |   - {card: one, machine: theatre-1, place: cupboard of Dr Miller, copy: 1, issue: 1}
    |                                            ^^^^^^^^^^^^^^^^^^^^^
  Written:       cupboard of Dr Miller
  Wrong:         this looks like a person's name (Dr Miller), and readers see it on the page of cards to take down
  Allowed:       where it hangs, in places and roles; other words where it is no person
  Example:       place: left column, at the height of the gauges

0 errors, 1 warning, 0 notes.
""" == as_text(reference.problems, reference.lines_of)
    wrong = "this looks like a person's name (Dr Miller), and readers see it on the page of cards to take down"
    allowed = "where it hangs, in places and roles; other words where it is no person"
    assert [("content/control/cards.yaml", "E626", wrong, allowed)] == refused(site, root)
    change(page, "machines: [theatre-1]\n", "machines: [theatre-1]\nnot_a_person: [Dr Miller]\n")
    change(page, "Look at the dial.", "Look at the dial. It hangs in the Dr Miller Wing.")
    approve(site, "CARD-01", signer=replace(SIGNER, on=date(2026, 3, 3), reason="where it hangs was not told"))
    change(site / "content/control/cards.yaml", "issue: 1", "issue: 2")
    published(site, root)


@pytest.mark.parametrize(
    ("old", "new", "moved"),
    [
        ("name: A. Example", "name: B. Sample", "who approved it"),
        ("on: 2026-03-02", "on: 2026-02-02", "who approved it"),
        ("reason: first issue of this procedure", "reason: another reason for it", "the reason for it"),
        ("review: 2027-03-02", "review: 2031-03-02", "its review"),
    ],
)
def test_verify_sees_a_record_changed_after_publication(old: str, new: str, moved: str, site: Path, root: Path) -> None:
    """Who approved, why, until when: as the edition was published with it."""
    published(site, root)
    change(site / "content/control/CYL-02.yaml", old, new)
    words = f"issue 1: {moved} was changed after edition 1 was published with it"
    assert [Finding("content/control/CYL-02.yaml", Kind.CHANGED, words)] == verification.verify(Target(root), site)


CHANGED = "edition 1 was published with issue 1 of CYL-02, and what this record tells of it is not what it told then: "
CHANGED += "what was approved, by whom, when, why, or until when"


def _without_digests(site: Path) -> None:
    kept = site / "content/control/editions.yaml"
    text = re.sub(r"(?m)^    records:\n(      .*\n)+", "", kept.read_text(encoding="utf-8"))
    assert "records" not in text
    kept.write_text(text, encoding="utf-8")


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("name: A. Example", "name: B. Sample"),
        ("on: 2026-03-02", "on: 2026-02-02"),
        ("role: approver", "role: equipment lead"),
        ("reason: first issue of this procedure", "reason: another reason for it"),
        ("review: 2027-03-02", "review: 2031-03-02"),
    ],
)
def test_check_alone_sees_a_record_changed_after_publication(old: str, new: str, site: Path, root: Path) -> None:
    """By what the department's own list of editions knows, without the target; a later review is no change."""
    published(site, root)
    add_a_page(site)
    published(site, root)
    approve(site, "CYL-02", signer=replace(SIGNER, on=date(2026, 4, 2)), unchanged=True)
    assert [] == list(looked_at(site).problems)
    change(site / "content/control/CYL-02.yaml", f"{old}", new)
    found = work_out_with_records(site).reference.problems
    assert [("content/control/CYL-02.yaml", "E831", CHANGED)] == [(one.file, one.code, one.wrong) for one in found]


def test_the_digests_of_records_are_kept_through_a_withdrawal_and_written_where_they_lack(
    site: Path, root: Path
) -> None:
    """An older version of the program did not write them: the next publish does, once it agrees with the target."""
    published(site, root)
    kept = looked_at(site).records.editions[0].records
    withdraw(site, root, "CYL-02", "CYL-01")
    withdraw(site, root, 1, "the poster")
    assert kept == looked_at(site).records.editions[0].records
    _without_digests(site)
    assert [] == verification.verify(Target(root), site)
    published(site, root, date(2026, 6, 2))
    first, second = looked_at(site).records.editions
    assert (kept, {"CYL-01"}) == (first.records, set(second.records))


@pytest.mark.parametrize(
    ("old", "new", "moved"),
    [
        ("name: A. Example", "name: B. Sample", "who approved it"),
        ("reason: first issue of this procedure", "reason: another reason for it", "the reason for it"),
        ("review: 2027-03-02", "review: 2031-03-02", "its review"),
    ],
)
def test_a_record_changed_after_publication_is_not_published(
    old: str, new: str, moved: str, site: Path, root: Path
) -> None:
    """Nor is anything finished with it; put back as it was, it is. Two editions with one issue tell it once."""
    published(site, root)
    add_a_page(site)
    published(site, root)
    add_a_page(site)
    record = site / "content/control/CYL-02.yaml"
    good = record.read_bytes()
    change(record, old, new)
    name = "content/control/CYL-02.yaml"
    assert [(name, "E831", CHANGED)] == [found[:3] for found in refused(site, root, SECOND)]
    _without_digests(site)  # as an older version of the program published: the target alone tells
    wrong = "issue 1 of CYL-02 was published with edition 1, and what this record tells of it is not what it told "
    wrong += f"then: {moved}"
    assert [(name, "E614", wrong)] == [found[:3] for found in refused(site, root, SECOND)]
    assert [(name, wrong)] == [(each.file, each.wrong) for each in finish(site, Target(root, QuickDisk()), "a@b")]
    assert 1 == len(verification.verify(Target(root), site))
    record.write_bytes(good)
    published(site, root, SECOND)


def test_an_altered_record_is_named_where_its_approver_would_stand_and_others_tell_on(site: Path, root: Path) -> None:
    """On a day and between two editions: which record, and why nothing is told from it."""
    published(site, root)
    renew(site)
    published(site, root, SECOND)
    change(site / "content/control/CYL-02.yaml", "name: A. Example, on: 2026-04-01", "name: B. Forger, on: 2026-04-01")
    why = "who approved it, and why, is not told: CYL-02.yaml was changed after edition 2 was published with it "
    why += "(who approved it)"
    note = (
        "Changed after it was published, so that nothing is told of that issue: CYL-02.yaml, issue 2. Put it back as "
    )
    note += "it was, from a backup or from git."
    assert f"""On 2026-05-04 edition 2 was in force, since 2026-05-04.
CYL-01   issue 1   Changing a cylinder on the yoke
         approved on 2026-03-02 by the approver (A. Example): first issue of this procedure
         {root}/editions/0002/page.html
CYL-02   issue 2   Reading the gauge
         {why}
         {root}/editions/0002/other.html
{note}
""" == edition_of_day(SECOND, TODAY, site, root).as_text()
    old, new = (comparing.side(words, site, root) for words in "12")
    records = department(site, root)
    told = comparing.as_text(old, new, comparing.compare(old, new, records), records)
    assert f"in force from 2026-05-04.\n{note}\n" in told
    assert f"  Issue 1 → 2, {why}\n" in told
    assert "Forger" not in told


def test_another_text_under_the_number_of_a_published_issue_is_refused(tmp_path: Path, site: Path, root: Path) -> None:
    """Two copies of one folder, each with its own issue 2: the second to publish is told, and nothing is written."""
    published(site, root)
    copy = shutil.copytree(site, tmp_path / "copy")
    renew(site)
    published(site, root, SECOND)
    change(copy / "content/pages/other.md", "in good light", "in a bad light")
    approve(copy, "CYL-02", signer=replace(SIGNER, on=date(2026, 4, 1), reason="the light was misread"))
    before, in_target = content_of(copy / "content"), content_of(root)
    outcome = publish(copy, root, SECOND)
    assert (before, in_target) == (content_of(copy / "content"), content_of(root))
    wrong = "issue 2 of CYL-02 was published with edition 2, and what this record tells of it is not what it told "
    wrong += "then: the text that was approved"
    allowed = "CYL-02.yaml, and its files in approved/, put back as they were: from a backup, from git, or from the "
    allowed += "copy of this folder that published edition 2. What is to be different is approved after that, as a "
    allowed += "new issue"
    assert f"""\
content/control/CYL-02.yaml, line 14, column 13: error E614, records of another state
  14 |   - number: 2
     |             ^
  Written:       2
  Wrong:         {wrong}
  Allowed:       {allowed}
  Example:       yokebook approve CYL-02 --reason ...

1 error, 0 warnings, 0 notes.
""" == report(outcome)
    assert Finding(
        "content/control/CYL-02.yaml",
        Kind.CHANGED,
        "issue 2: the text that was approved was changed after edition 2 was published with it",
    ) in verification.verify(Target(root), copy)


def test_a_review_after_publication_changes_nothing_that_was_published(site: Path, root: Path) -> None:
    """It stands after what the edition was published with."""
    published(site, root)
    change(
        site / "content/control/CYL-02.yaml",
        "    reason: first",
        "    reviews:\n      - {role: approver, name: A. Example, on: 2026-04-02, due: 2027-04-02}\n    reason: first",
    )
    assert [] == verification.verify(Target(root), site)
    published(site, root, SECOND)


def test_verify_sees_a_withdrawal_that_was_taken_out_or_changed_by_hand(site: Path, root: Path) -> None:
    """In the record of the procedure; finishing writes there what readers are told."""
    published(site, root)
    record = site / "content/control/CYL-02.yaml"
    before = record.read_bytes()
    withdraw(site, root, "CYL-02", "CYL-01")
    good = record.read_bytes()
    record.write_bytes(before)
    name = "content/control/CYL-02.yaml"
    words = (
        "readers are told that CYL-02 was withdrawn on 2026-06-01, and this record is not: a run was stopped, or it "
        "was taken out by hand; yokebook publish --finish writes it"
    )
    assert Finding(name, Kind.CHANGED, words) in verification.verify(Target(root), site)
    record.write_bytes(good.replace(b"The machine has gone", b"The machine is here"))
    words = (
        "readers are told another day, reason or thing to use instead than stand under withdrawn here; yokebook "
        "publish --finish writes here what they are told"
    )
    assert Finding(name, Kind.CHANGED, words) in verification.verify(Target(root), site)
    assert [] == finish(site, Target(root, QuickDisk()), "a@b")
    assert good == record.read_bytes()
    assert [] == verification.verify(Target(root), site)
