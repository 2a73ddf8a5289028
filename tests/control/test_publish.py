"""Publishing: the order of work, the lock, a share that refuses, what is refused, and withdrawing."""

from __future__ import annotations

import errno
import subprocess
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from fake_editions import (
    TITLES,
    QuickDisk,
    assert_finished,
    assert_whole,
    build,
    page_of,
    plan_after,
    publish,
    withdrawal,
)
from site_contents import content_of
from yokebook.control import manifest, publishing
from yokebook.control.disk import Disk
from yokebook.control.editions import Editions, Listed
from yokebook.control.publishing import Plan, announce, finish
from yokebook.control.standing import EditionMark
from yokebook.control.target import Target
from yokebook.errors import Problem, ProblemError

BOTH = {"CYL-01": 1, "CYL-02": 1}


def told(error: pytest.ExceptionInfo[ProblemError]) -> list[tuple[str, str, str, str]]:
    """Return what a report says of each problem."""
    return [(problem.file, problem.code, problem.wrong, problem.allowed) for problem in error.value.problems]


class LoggedDisk(QuickDisk):
    """A disk that writes down what is done, in order."""

    def __init__(self, root: Path) -> None:
        self.root, self.log = root, list[str]()

    def _note(self, what: str, path: Path) -> None:
        self.log.append(f"{what} {path.relative_to(self.root).as_posix()}")

    def lock(self, path: Path, timeout_s: float) -> object:  # type: ignore[override]
        self._note("lock", path)
        return super().lock(path, timeout_s)

    def write(self, path: Path, content: bytes) -> None:
        self._note("write", path)
        super().write(path, content)

    def replace(self, path: Path, into: Path) -> None:
        self._note("replace", into)
        super().replace(path, into)

    def rename(self, folder: Path, into: Path) -> None:
        self._note("rename", into)
        super().rename(folder, into)

    def remove(self, path: Path) -> None:
        self._note("remove", path)
        super().remove(path)


def test_the_order_of_work(tmp_path: Path) -> None:
    """Lock; copy beside; give the edition its name; replace the list; only then what leads to the edition."""
    root = tmp_path / "target"
    publish(root, BOTH)
    disk = LoggedDisk(root)
    publish(root, {"CYL-01": 2, "CYL-02": 1}, disk=disk)
    copied = [line for line in disk.log if "editions/0002.partial/" in line]
    assert 11 == len(copied)
    assert [
        "lock publishing.lock",
        "remove publishing.txt",
        "write publishing.txt",
        *copied,
        "rename editions/0002",
        "write editions.js.partial",
        "replace editions.js",
        "write editions.html.partial",
        "replace editions.html",
        "write go/cyl-01.html.partial",
        "replace go/cyl-01.html",
        "write go/cyl-02.html.partial",
        "replace go/cyl-02.html",
        "write index.html.partial",
        "replace index.html",
    ] == disk.log
    assert_finished(root)


def test_an_old_edition_never_changes_a_byte(tmp_path: Path) -> None:
    """Whatever is published after it, finished or withdrawn, and though it is withdrawn itself."""
    publish(tmp_path, BOTH)
    before = content_of(tmp_path / "editions/0001")
    publish(tmp_path, {"CYL-01": 2, "CYL-02": 1})
    target = Target(tmp_path, QuickDisk())
    finish(target, "a@b")
    editions = target.editions()
    with target.locked("a@b", "withdrawing"):
        announce(target, editions.with_procedure_withdrawn("CYL-02", withdrawal("CYL-01")), "CYL-02 is withdrawn")
        announce(target, editions.with_edition_withdrawn(1, withdrawal("edition 2")), "edition 1 is withdrawn")
    assert editions != assert_whole(tmp_path)
    assert before == content_of(tmp_path / "editions/0001")


def test_the_manifest_is_read_by_ordinary_tools(tmp_path: Path) -> None:
    """The system's own checksum program finds each file as it was published, the versions of the tools among them."""
    publish(tmp_path, BOTH)
    folder = tmp_path / "editions/0001"
    command = ["sha256sum", "--check", "--strict", "--quiet", manifest.NAME]
    result = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    assert (0, "", "") == (result.returncode, result.stdout, result.stderr)
    lines = (folder / manifest.NAME).read_text(encoding="utf-8").splitlines()
    assert sorted(lines, key=lambda line: line[66:]) == lines
    assert set(content_of(folder)) - {manifest.NAME} == {line[66:] for line in lines}
    assert manifest.TOOLS in {line[66:] for line in lines}


def test_one_edition_has_one_manifest_wherever_it_is_published(tmp_path: Path) -> None:
    """In another folder, by somebody else."""
    one, other = publish(tmp_path / "one", BOTH), publish(tmp_path / "far" / "other", BOTH, who="c@d")
    assert one == other
    assert (tmp_path / "one/editions.js").read_bytes() == (tmp_path / "far/other/editions.js").read_bytes()


HOLD = """
import sys
from pathlib import Path
from yokebook.control.target import Target
with Target(Path(sys.argv[1])).locked("nurse@pc-12", "publishing edition 1"):
    print("held", flush=True)
    sys.stdin.readline()
"""


def test_of_two_at_once_one_wins_and_the_other_is_told_who(tmp_path: Path) -> None:
    """By name and with what is being done; a killed holder holds nothing any more."""
    with subprocess.Popen(
        [sys.executable, "-c", HOLD, str(tmp_path)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as holder:
        assert holder.stdout is not None
        assert "held\n" == holder.stdout.readline()
        with pytest.raises(ProblemError) as caught:
            publish(tmp_path, BOTH)
        holder.kill()
    assert [
        (
            f"{tmp_path}/publishing.lock",
            "E611",
            "nurse@pc-12, publishing edition 1 is at work in this folder",
            "one after the other: wait, then run it again",
        )
    ] == told(caught)
    publish(tmp_path, BOTH)
    assert "a@b, publishing edition 1\n" == (tmp_path / "publishing.txt").read_text(encoding="utf-8")


def test_whoever_began_before_another_published_starts_afresh(tmp_path: Path) -> None:
    """The plan was made on a list that has moved: the number in the pages would be wrong."""
    target = Target(tmp_path, QuickDisk())
    plan = plan_after(Editions(), BOTH)
    made = publishing.make(target, plan, lambda into, _: build(plan, into), tmp_path / "made")
    publish(tmp_path, BOTH)
    with pytest.raises(ProblemError) as caught:
        publishing.put(target, plan, made, "c@d", lambda _: None)
    wrong = "the list of editions moved since this run began; last at work in this folder: a@b, publishing edition 1"
    assert [(f"{tmp_path}/editions.js", "E612", wrong, "a fresh start: run publish again")] == told(caught)
    assert 1 == len(assert_finished(tmp_path).editions)
    assert "a@b, publishing edition 1\n" == (tmp_path / "publishing.txt").read_text(encoding="utf-8")


class RefusingDisk(QuickDisk):
    """A share that refuses an operation on some files, so many times; its clock is the test's own."""

    def __init__(self, operation: str, name: str, times: float, error: int = errno.EACCES) -> None:
        self.operation, self.name, self.times, self.error = operation, name, times, error
        self.now_s, self.waits = 0.0, 0

    def _maybe(self, operation: str, path: Path) -> None:
        if operation == self.operation and path.name == self.name and self.times > 0:
            self.times -= 1
            raise OSError(self.error, "refused by the share", str(path))

    def write(self, path: Path, content: bytes) -> None:
        if self.operation == "write" and path.name == self.name:
            path.write_bytes(content[: len(content) // 2])
        self._maybe("write", path)
        super().write(path, content)

    def replace(self, path: Path, into: Path) -> None:
        self._maybe("replace", into)
        super().replace(path, into)

    def rename(self, folder: Path, into: Path) -> None:
        self._maybe("rename", into)
        super().rename(folder, into)

    def lock(self, path: Path, timeout_s: float) -> object:  # type: ignore[override]
        self._maybe("lock", path)
        return super().lock(path, timeout_s)

    def seconds(self) -> float:
        return self.now_s

    def wait(self, duration_s: float) -> None:
        self.now_s += duration_s
        self.waits += 1


@pytest.mark.parametrize(
    ("operation", "name"),
    [("replace", "editions.js"), ("replace", "index.html"), ("replace", "cyl-01.html"), ("rename", "0001")],
)
def test_what_a_share_refuses_for_the_moment_is_tried_again(operation: str, name: str, tmp_path: Path) -> None:
    """A reader who has a file open for some seconds stops nobody."""
    disk = RefusingDisk(operation, name, times=50)
    publish(tmp_path, BOTH, disk=disk)
    assert 50 == disk.waits
    assert_finished(tmp_path)


class BusyDisk(RefusingDisk):
    """A share that refuses to let a file be read while somebody replaces it."""

    def read(self, path: Path) -> bytes:
        self._maybe("read", path)
        return super().read(path)


@pytest.mark.parametrize("name", ["editions.js", "MANIFEST.sha256", "index.html.partial"])
def test_what_cannot_be_read_for_the_moment_is_read_again(name: str, tmp_path: Path) -> None:
    """Whoever publishes while another replaces the list, or while a scanner holds a file, waits."""
    publish(tmp_path, BOTH)
    disk = BusyDisk("read", name, times=50)
    publish(tmp_path, {"CYL-01": 2, "CYL-02": 1}, disk=disk)
    assert 50 == disk.waits
    assert_finished(tmp_path)


def test_a_list_that_cannot_be_read_is_told_after_30_seconds(tmp_path: Path) -> None:
    """Whoever asks for it; it is never taken for a target without editions."""
    publish(tmp_path, BOTH)
    disk = BusyDisk("read", "editions.js", times=float("inf"))
    with pytest.raises(ProblemError) as caught:
        Target(tmp_path, disk).editions()
    assert 30 <= disk.now_s < 31
    wrong = "the folder's disk or share did not let the program read this (refused by the share)"
    wrong += ", tried again for 30 seconds"
    assert [(f"{tmp_path}/editions.js", "E613", wrong, FOR_30_S)] == told(caught)
    (tmp_path / "editions.js").write_bytes(b"")
    with pytest.raises(ProblemError) as caught:
        Target(tmp_path).editions()
    assert ["E612"] == [problem.code for problem in caught.value.problems], "an empty list is a damaged one"


class BlindDisk(BusyDisk):
    """A share whose list can be read till somebody has the lock, and not then."""

    def lock(self, path: Path, timeout_s: float) -> object:  # type: ignore[override]
        self.times = float("inf")
        return super().lock(path, timeout_s)


def test_a_list_that_cannot_be_read_under_the_lock_stops_the_work_with_a_word(tmp_path: Path) -> None:
    """No trace of the program, and the lock is free again."""
    publish(tmp_path, BOTH)
    with pytest.raises(ProblemError) as caught:
        publish(tmp_path, BOTH, disk=BlindDisk("read", "editions.js", times=0))
    assert [(f"{tmp_path}/editions.js", "E613")] == [found[:2] for found in told(caught)]
    publish(tmp_path, BOTH)
    assert 2 == len(assert_finished(tmp_path).editions)


FOR_30_S = "a folder in which you may write, and nobody holding this file open; then run it again"


@pytest.mark.parametrize(
    ("operation", "name", "file", "is_published"),
    [
        ("lock", "publishing.lock", "publishing.lock", False),
        ("rename", "0001", "editions/0001", False),
        ("replace", "editions.js", "editions.js", False),
        ("replace", "cyl-01.html", "go/cyl-01.html", True),
        ("replace", "index.html", "index.html", True),
    ],
)
def test_after_30_seconds_the_file_is_named_and_the_work_stops(
    operation: str, name: str, file: str, is_published: bool, tmp_path: Path
) -> None:
    """What was published is whole all the same, and the next run makes the rest good."""
    disk = RefusingDisk(operation, name, times=float("inf"))
    with pytest.raises(ProblemError) as caught:
        publish(tmp_path, BOTH, disk=disk)
    assert 30 <= disk.now_s < 31
    wrong = f"the folder's disk or share did not let the program {operation} this (refused by the share)"
    wrong += ", tried again for 30 seconds"
    if is_published:
        wrong += (
            f"; edition 1 is published, and what leads to it is finished with: yokebook publish {tmp_path} --finish"
        )
    assert [(f"{tmp_path}/{file}", "E613", wrong, FOR_30_S)] == told(caught)
    assert (1 if is_published else 0) == len(assert_whole(tmp_path).editions)
    publish(tmp_path, BOTH)
    assert (2 if is_published else 1) == len(assert_finished(tmp_path).editions)


@pytest.mark.parametrize("name", ["index.html", "MANIFEST.sha256", "editions.js.partial", "cyl-02.html.partial"])
def test_a_full_disk_stops_the_work_and_loses_nothing(name: str, tmp_path: Path) -> None:
    """At once, with the file's name; what was published is as it was, and with more room the next run succeeds."""
    publish(tmp_path, BOTH)
    disk = RefusingDisk("write", name, times=float("inf"), error=errno.ENOSPC)
    with pytest.raises(ProblemError) as caught:
        publish(tmp_path, {"CYL-01": 2, "CYL-02": 1}, disk=disk)
    (problem,) = caught.value.problems
    assert ("E613", "more room on the disk; then run it again") == (problem.code, problem.allowed)
    assert 0 == disk.waits
    assert_whole(tmp_path)
    publish(tmp_path, {"CYL-01": 2, "CYL-02": 1})
    assert_finished(tmp_path)


def test_a_target_that_is_only_read_is_told(tmp_path: Path) -> None:
    """With the file that could not be written, and nothing changed."""
    publish(tmp_path, BOTH)
    before = content_of(tmp_path)
    with pytest.raises(ProblemError) as caught:
        publish(tmp_path, BOTH, disk=RefusingDisk("lock", "publishing.lock", float("inf"), errno.EROFS))
    wrong = "the folder's disk or share did not let the program lock this (refused by the share)"
    allowed = "a folder in which you may write; then run it again"
    assert [(f"{tmp_path}/publishing.lock", "E613", wrong, allowed)] == told(caught)
    assert before == content_of(tmp_path)


class ForgetfulDisk(QuickDisk):
    """A share that loses the end of one file and says nothing."""

    def write(self, path: Path, content: bytes) -> None:
        super().write(path, content[:-1] if path.name == "cyl-01.json" else content)


def test_what_a_share_loses_in_silence_is_seen_before_anybody_is_led_there(tmp_path: Path) -> None:
    """All that was copied is read back against the manifest before the edition gets its name."""
    with pytest.raises(ProblemError) as caught:
        publish(tmp_path, BOTH, disk=ForgetfulDisk())
    wrong = "what was read back is not what was written: the disk or the share lost something"
    assert [(f"{tmp_path}/editions/0001", "E613", wrong, "a disk or share that keeps what it is given")] == told(caught)
    assert not (tmp_path / "editions/0001").exists()
    assert not (tmp_path / "editions.js").exists()


def test_an_edition_that_was_named_and_not_announced_gives_way(tmp_path: Path) -> None:
    """No list names it and nobody was led to it: the next run publishes under its number."""
    publish(tmp_path, BOTH)
    (tmp_path / "editions/0002").mkdir()
    (tmp_path / "editions/0002/index.html").write_text("half", encoding="utf-8")
    (tmp_path / "editions/0002.partial").mkdir()
    publish(tmp_path, BOTH)
    assert 2 == len(assert_finished(tmp_path).editions)


@pytest.mark.parametrize("ahead", ["editions/0003", "editions/0002 and index.html"])
def test_a_list_that_has_gone_back_stops_everything(ahead: str, tmp_path: Path) -> None:
    """An old copy of the list beside newer editions: nothing is removed, nothing is published under a number twice."""
    first = publish(tmp_path, BOTH).as_script()
    publish(tmp_path, BOTH)
    if ahead == "editions/0003":
        publish(tmp_path, BOTH)
    (tmp_path / "editions.js").write_bytes(first)
    before = content_of(tmp_path)
    for run in (lambda: publish(tmp_path, BOTH), lambda: finish(Target(tmp_path, QuickDisk()), "a@b")):
        with pytest.raises(ProblemError) as caught:
            run()
        assert ["E612"] == [problem.code for problem in caught.value.problems]
    assert before == content_of(tmp_path)


def test_a_damaged_list_stops_everything(tmp_path: Path) -> None:
    """It says what is wrong with it and where a good one comes from."""
    publish(tmp_path, BOTH)
    script = tmp_path / "editions.js"
    script.write_bytes(script.read_bytes().replace(b'"issue": 1', b'"issue": 2'))
    with pytest.raises(ProblemError) as caught:
        publish(tmp_path, BOTH)
    wrong = "the list of editions is damaged: it does not fit the digest that it carries"
    allowed = "editions.js from a backup of the target; the editions themselves stay as they are"
    assert [(f"{tmp_path}/editions.js", "E612", wrong, allowed)] == told(caught)


def made_of(tmp_path: Path, change: Callable[[Path], object], issues: dict[str, int] = BOTH) -> list[Problem]:
    """Make an edition whose folder a test changes before it is looked over; return the problems."""
    plan = plan_after(Editions(), issues)

    def build_and_change(folder: Path, _: Path | None) -> list[Problem]:
        build(plan, folder)
        change(folder)
        return []

    try:
        publishing.make(Target(tmp_path / "target"), plan, build_and_change, tmp_path / "made")
    except ProblemError as error:
        return list(error.problems)
    return []


LONG = "a" * 140


@pytest.mark.parametrize(
    ("change", "name", "why"),
    [
        (lambda at: (at / "Plug.html").touch(), "Plug.html", "it has capital letters"),
        (lambda at: (at / LONG).touch(), LONG, "it has 154 characters"),
        (lambda at: (at / "same.html").symlink_to(at / "index.html"), "same.html", "it is a link to another file"),
        (lambda at: (at / "aux.html").touch(), "aux.html", "some file shares cannot have a file of this name"),
        (lambda at: (at / "end.").touch(), "end.", "some file shares cannot have a file of this name"),
        (lambda at: (at / "what?.html").touch(), "what?.html", "it has ?"),
        (lambda at: (at / "gauge-#2.html").touch(), "gauge-#2.html", "it has #"),
        (lambda at: (at / "full%201.html").touch(), "full%201.html", "it has %"),
        (
            lambda at: (at / "My ü\x07.png").touch(),
            "My ü\x07.png",
            "it has capital letters, a space, ü, a sign that cannot be seen",
        ),
    ],
)
def test_names_that_some_shares_cannot_have_are_refused(
    change: Callable[[Path], object], name: str, why: str, tmp_path: Path
) -> None:
    """Before anything is copied."""
    allowed = "small letters from a to z, digits, hyphens, underscores, full stops; at most 150 characters from "
    allowed += "editions/ on; no links"
    found = [(problem.file, problem.code, problem.wrong, problem.allowed) for problem in made_of(tmp_path, change)]
    assert [(name, "E619", f"this name cannot be published: {why}", allowed)] == found
    assert not (tmp_path / "target").exists()


@pytest.mark.parametrize(
    ("path", "what"), [("index.html", "the first page"), (page_of("CYL-02"), "the page of CYL-02")]
)
def test_an_edition_without_one_of_its_pages_is_refused(path: str, what: str, tmp_path: Path) -> None:
    """A pointer would lead nowhere."""
    found = [
        (problem.file, problem.code, problem.wrong) for problem in made_of(tmp_path, lambda at: (at / path).unlink())
    ]
    assert [(path, "E620", f"{what} was not made")] == found


def test_what_changed_is_never_told_from_a_damaged_edition(tmp_path: Path) -> None:
    """The numbers of the edition before are those that were published, or nothing is published."""
    publish(tmp_path, BOTH)
    numbers = tmp_path / "editions/0001/numbers/cyl-01.json"
    numbers.write_text("{}", encoding="utf-8")
    with pytest.raises(ProblemError) as caught:
        publish(tmp_path, BOTH)
    wrong = "edition 1 is not as it was published, and nothing can be told from it (changed: numbers/cyl-01.json)"
    allowed = f"the edition put back from a backup; yokebook verify {tmp_path} names each such file"
    assert [(f"{tmp_path}/editions/0001", "E620", wrong, allowed)] == told(caught)


def test_the_next_edition_is_made_beside_the_one_before(tmp_path: Path) -> None:
    """What builds it is given the folder of the edition before; nothing for the first one."""
    given = []
    for _ in range(2):
        target = Target(tmp_path / "target", QuickDisk())
        plan = plan_after(target.editions(), BOTH)
        made_in = tmp_path / plan.mark.folder
        made = publishing.make(
            target, plan, lambda at, before, plan=plan: (given.append(before), build(plan, at))[1], made_in
        )  # type: ignore[misc]
        publishing.put(target, plan, made, "a@b", lambda _: None)
    assert [None, tmp_path / "target/editions/0001"] == given


def test_a_plan_tells_what_the_edition_brings() -> None:
    """Against the edition before: new, another issue, withdrawn, no longer in it."""
    old = {name: Listed(1, title, page_of(name)) for name, title in TITLES.items()}
    before = Plan(Editions(), EditionMark(1, date(2026, 1, 5)), old, {})
    first = before.before.with_edition(
        publishing.Edition(1, date(2026, 1, 5), "0" * 64, {**old, "CYL-03": Listed(1, "Gone", "g.html")}), {}
    )
    now = {"CYL-01": Listed(2, "Changing", "a.html"), "CYL-04": Listed(1, "New", "n.html")}
    plan = Plan(first, EditionMark(2, date(2026, 3, 2)), now, {"CYL-02": withdrawal("CYL-01")})
    assert [
        "Edition 2, in force from 2026-03-02",
        "  CYL-01  issue 2, issue 1 before: Changing",
        "  CYL-04  issue 1, new: New",
        "  CYL-02  withdrawn on 2026-03-02: Plugging an empty yoke",
        "  CYL-03  no longer in it: Gone",
    ] == list(plan.lines())


def test_a_path_that_grows_too_long_in_its_target_is_told(tmp_path: Path) -> None:
    """A warning with the path: the pages are there, and some systems will not open them."""
    plan = plan_after(Editions(), BOTH)
    made = publishing.make(Target(tmp_path), plan, lambda at, _: build(plan, at), tmp_path / "made")
    assert "" == made.far_too_long(Path("/srv"))
    far = Path("/srv") / ("x" * 220)
    assert f"{far}/editions/0001/procedures/cyl-01.html" == made.far_too_long(far)


def test_the_disk_itself_flushes_locks_and_never_renames_over_something(tmp_path: Path) -> None:
    """The real operations, as far as a test can see them."""
    disk = Disk()
    disk.make_folder(tmp_path / "one")
    disk.write(tmp_path / "one/a", b"content")
    disk.make_folder(tmp_path / "two")
    with pytest.raises(FileExistsError):
        disk.rename(tmp_path / "one", tmp_path / "two")
    disk.replace(tmp_path / "one/a", tmp_path / "two/a")
    assert b"content" == disk.read(tmp_path / "two/a")
    disk.remove(tmp_path / "two")
    disk.remove(tmp_path / "nothing")
    assert ["one"] == [path.name for path in tmp_path.iterdir()]
    before = disk.seconds()
    disk.wait(0.01)
    assert disk.seconds() >= before + 0.01
