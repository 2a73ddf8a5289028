"""Verifying a target: what is missing, added, changed or unfinished is named, each changed bit included."""

from __future__ import annotations

import random
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from fake_editions import QuickDisk, assert_finished, publish, withdrawal
from yokebook.control import pointers
from yokebook.control.editions import Editions
from yokebook.control.publishing import announce, finish
from yokebook.control.standing import Withdrawal
from yokebook.control.target import Target
from yokebook.control.verification import Finding, Kind, verify

FLIPS = 200
STOPPED = "a run was stopped: yokebook publish --finish"
ANEW = "yokebook publish --finish writes it anew from the list of editions"
CHANGED = f"by hand, or a correction of a withdrawal was stopped; {ANEW}"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A target with three editions and a withdrawn procedure."""
    root = tmp_path / "target"
    for issues in ({"CYL-01": 1}, {"CYL-01": 1, "CYL-02": 1}, {"CYL-01": 2, "CYL-02": 1}):
        publish(root, issues)
    withdraw(root)
    return root


def withdraw(root: Path) -> Editions:
    target = Target(root, QuickDisk())
    after = target.editions().with_procedure_withdrawn("CYL-02", withdrawal("CYL-01"))
    with target.locked("a@b", "withdrawing CYL-02"):
        announce(target, after, "it is withdrawn")
    return after


def found(root: Path) -> list[tuple[str, str, str]]:
    return [(finding.path, str(finding.kind), finding.words) for finding in verify(Target(root))]


def test_what_is_as_it_was_published_gives_nothing(root: Path) -> None:
    """Old editions, the list, the pointers, what is withdrawn."""
    assert_finished(root)
    assert [] == found(root)


def test_a_flipped_bit_in_any_of_200_files_is_named(root: Path) -> None:
    """Pages, manifests, the list, pointers alike: each file at least once, at a random place."""
    beside = ("publishing.lock", "publishing.txt")  # who is, or was last, at work: no part of what was published
    files = sorted(path for path in root.rglob("*") if path.is_file() and path.name not in beside)
    dice = random.Random(3)
    chosen = [*files, *dice.choices(files, k=FLIPS - len(files))]
    assert {"editions.js", "index.html", "MANIFEST.sha256", "cyl-02.html"} <= {path.name for path in chosen}
    for path in chosen:
        good = path.read_bytes()
        bit = dice.randrange(len(good) * 8)
        path.write_bytes(good[: bit // 8] + bytes([good[bit // 8] ^ 1 << bit % 8]) + good[bit // 8 + 1 :])
        assert [(path.relative_to(root).as_posix(), Kind.CHANGED)] == [
            (finding.path, finding.kind) for finding in verify(Target(root))
        ]
        path.write_bytes(good)


@pytest.mark.parametrize(
    ("change", "findings"),
    [
        (
            lambda root: (root / "editions/0002/index.html").unlink(),
            [("editions/0002/index.html", "missing", "")],
        ),
        (
            lambda root: (root / "editions/0002/note.txt").touch(),
            [("editions/0002/note.txt", "added", "")],
        ),
        (
            lambda root: (root / "editions/0001/MANIFEST.sha256").unlink(),
            [("editions/0001/MANIFEST.sha256", "missing", "no edition can be held against it")],
        ),
        (
            lambda root: (root / "editions/0001").rename(root / "away"),
            [("away", "added", ""), ("editions/0001", "missing", "a whole edition")],
        ),
        (lambda root: (root / "go/cyl-01.html").unlink(), [("go/cyl-01.html", "missing", ANEW)]),
        (lambda root: (root / "go/cyl-09.html").touch(), [("go/cyl-09.html", "added", "")]),
        (lambda root: (root / "readme.txt").touch(), [("readme.txt", "added", "")]),
        (lambda root: (root / "editions.js").unlink(), [("editions.js", "missing", "the list of editions")]),
        (lambda root: (root / "editions/0004.partial").mkdir(), [("editions/0004.partial", "unfinished", STOPPED)]),
        (lambda root: (root / "editions/0004").mkdir(), [("editions/0004", "unfinished", STOPPED)]),
        (lambda root: (root / "editions/0009").mkdir(), [("editions/0009", "added", "")]),
        (lambda root: (root / "go/cyl-01.html.partial").touch(), [("go/cyl-01.html.partial", "unfinished", STOPPED)]),
        (lambda root: a_link_instead_of(root / "index.html", root), [("index.html", "changed", CHANGED)]),
        (
            lambda root: a_link_instead_of(root / "editions/0001/index.html", root),
            [("editions/0001/index.html", "changed", "")],
        ),
    ],
)
def test_each_kind_of_difference_is_named(
    change: Callable[[Path], object], findings: list[tuple[str, str, str]], root: Path
) -> None:
    """By its path, with a word where one helps."""
    change(root)
    assert findings == found(root)


def a_link_instead_of(path: Path, root: Path) -> None:
    """Put a link to a copy in the place of a file: what is published is files alone, whatever a link leads to today."""
    copy = root.parent / "copy.html"
    path.rename(copy)
    path.symlink_to(copy)


def test_what_a_stopped_run_left_undone_is_unfinished_not_changed(tmp_path: Path) -> None:
    """The list is ahead of what leads to it: nothing was tampered with."""
    publish(tmp_path, {"CYL-01": 1})
    before = {name: (tmp_path / name).read_bytes() for name in pointers.of_target(Target(tmp_path).editions())}
    publish(tmp_path, {"CYL-01": 2, "CYL-02": 1})
    for name, content in before.items():
        (tmp_path / name).write_bytes(content)
    (tmp_path / "go/cyl-02.html").unlink()
    assert [
        ("editions.html", "unfinished", STOPPED),
        ("go/cyl-01.html", "unfinished", STOPPED),
        ("go/cyl-02.html", "unfinished", STOPPED),
        ("index.html", "unfinished", STOPPED),
    ] == found(tmp_path)


def test_a_withdrawal_that_was_stopped_is_unfinished(root: Path, tmp_path: Path) -> None:
    """The list says it, the pointer does not yet."""
    other = tmp_path / "other"
    for issues in ({"CYL-01": 1}, {"CYL-01": 1, "CYL-02": 1}):
        publish(other, issues)
    files = {name: (other / name).read_bytes() for name in ("go/cyl-02.html", "editions.html")}
    withdraw(other)
    for name, content in files.items():
        (other / name).write_bytes(content)
    assert [("editions.html", "unfinished", STOPPED), ("go/cyl-02.html", "unfinished", STOPPED)] == found(other)


def test_a_correction_that_was_stopped_says_how_it_is_finished(root: Path) -> None:
    """Nothing tells any more what readers were told before, so it may as well have been changed by hand."""
    files = {name: (root / name).read_bytes() for name in ("go/cyl-02.html", "editions.html")}
    target = Target(root, QuickDisk())
    told = Withdrawal(date(2026, 3, 2), "Quite another reason.", "the poster in the store")
    with target.locked("a@b", "withdrawing CYL-02"):
        announce(target, target.editions().with_procedure_withdrawn("CYL-02", told), "it is withdrawn")
    assert [] == found(root)
    for name, content in files.items():
        (root / name).write_bytes(content)
    assert [("editions.html", "changed", CHANGED), ("go/cyl-02.html", "changed", CHANGED)] == found(root)
    finish(Target(root, QuickDisk()), "a@b")
    assert [] == found(root)


def test_without_a_list_each_edition_is_held_against_its_own_manifest(root: Path) -> None:
    """A damaged list doesn't hide a damaged page."""
    (root / "editions.js").write_bytes(b"var x;\n")
    (root / "editions/0002/index.html").write_bytes(b"")
    (root / "editions/0003/MANIFEST.sha256").write_bytes(b"nothing\n")
    wrong = "the list of editions is damaged: it does not begin with var yokebookEditions = and end with ;"
    assert [
        ("editions.js", "changed", wrong),
        ("editions/0002/index.html", "changed", ""),
        ("editions/0003/MANIFEST.sha256", "changed", "MANIFEST.sha256 holds a line that is no digest with its path"),
    ] == found(root)


def test_a_finding_is_told_in_a_line() -> None:
    """Kind, path, and a word on it."""
    assert "changed:    index.html" == Finding("index.html", Kind.CHANGED).line()
    assert f"unfinished: index.html ({STOPPED})" == Finding("index.html", Kind.UNFINISHED, STOPPED).line()
