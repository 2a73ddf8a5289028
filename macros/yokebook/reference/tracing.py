"""Where a value of the data is used; with a new value, which numbers would move and which approvals would fall.

Nothing of the department's is written: the new value is tried in a copy.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from yokebook.calls.result import Result
from yokebook.control.comparison import PageChanges, as_lines, compare_all
from yokebook.control.pairing import caption
from yokebook.data import keys
from yokebook.data.department import Department
from yokebook.data.faults import Path as KeyPath
from yokebook.data.lookup import NoSuchValueError, look_up
from yokebook.data.sources import key_text
from yokebook.errors import ProblemError
from yokebook.reference.approval import Control
from yokebook.reference.layout import CONFIG, DATA, PAGES
from yokebook.reference.new_value import with_value
from yokebook.reference.pages_as_read import all_as_read
from yokebook.reference.states import STORE
from yokebook.reference.whole import Reference, WorkedPage, work_out

_ENTRY = 2
"""How many steps lead to an entry: its file and its name."""


class NoSuchKeyError(ValueError):
    """A key that leads nowhere in the data; the words say what there is."""


@dataclass(frozen=True)
class Use:
    """A call or a data value on a page that depends on the key: by what readers know it, how many numbers it shows."""

    caption: str
    call: str
    line: int
    numbers: int


@dataclass(frozen=True)
class UsingPage:
    """A page on which the key is used."""

    path: str
    procedure: str
    title: str
    uses: tuple[Use, ...]


@dataclass(frozen=True)
class Trace:
    """Where a key of the data, or a branch of keys, is used; `value` is what is kept there.

    No number is worked from a title or a label: for these `through` is the entry, whose uses are told in their place.
    """

    key: str
    value: str
    pages: tuple[UsingPage, ...]
    through: str = ""


@dataclass(frozen=True)
class Trial:
    """What a new value would change: the pages that would move, and those of them whose approval would fall."""

    changes: tuple[PageChanges, ...]
    approvals: tuple[str, ...]


def trace(reference: Reference, typed: str) -> Trace:
    """Return where a key is used. Raises NoSuchKeyError for one that leads nowhere."""
    path = _path(reference, typed)
    value = keys.kept_text(_department(reference).sources, path)
    pages, through = _pages(reference, path), ""
    if not pages and len(path) > _ENTRY:
        pages, through = _pages(reference, path[:_ENTRY]), keys.dotted(key_text(path[:_ENTRY]))
    return Trace(keys.dotted(key_text(path)), value, pages, through)


def _pages(reference: Reference, path: KeyPath) -> tuple[UsingPage, ...]:
    pages = []
    for worked in sorted(reference.pages.values(), key=lambda one: (not one.page.front.procedure, one.page.file)):
        if uses := tuple(_uses(worked, path, reference)):
            front = worked.page.front
            pages.append(UsingPage(worked.page.path, front.procedure or "", front.title, uses))
    return tuple(pages)


def _path(reference: Reference, typed: str) -> KeyPath:
    department = _department(reference)
    steps = keys.steps_of(typed)
    if steps is None:
        raise NoSuchKeyError(f"{typed} is not written as a key; for example: cylinders.oxygen-e.filling.pressure")
    path = keys.resolve(department.sources, steps)
    try:
        if not keys.is_kept(department.sources, path):
            look_up(department, path)
    except NoSuchValueError as error:
        meant = f" Perhaps meant: {error.example}." if error.suggestion else ""
        raise NoSuchKeyError(keys.dotted(f"{error.wrong}.{meant} Allowed: {error.allowed}")) from None
    return path


def _department(reference: Reference) -> Department:
    assert reference.department
    return reference.department


def _uses(worked: WorkedPage, path: KeyPath, reference: Reference) -> list[Use]:
    sources = _department(reference).sources
    found = []
    for result, call in zip(worked.results, worked.page.calls, strict=True):
        told = [keys.resolve(sources, keys.steps_of(key) or ()) for key in _keys(result)]
        if any(_meet(key, path) for key in told):
            count = sum(len(row) for row in result.numbers.cells) if result.numbers else 0
            found.append(Use(_known_by(result), result.canonical, call.line, count))
    return found


def _known_by(result: Result) -> str:
    if result.numbers:
        return caption(result.numbers.as_plain())
    return f"The data's value {keys.dotted(result.canonical)}"


def _keys(result: Result) -> Sequence[str]:
    # A word of the data that stands in the text has no number: its call's text is its key.
    return result.numbers.keys if result.numbers else (result.canonical,)


def _meet(key: KeyPath, path: KeyPath) -> bool:
    """Return whether what a call depends on lies at or below a path, or the path within what it depends on."""
    length = min(len(key), len(path))
    return key[:length] == path[:length]


def try_value(control: Control, typed: str, new: str) -> Trial:
    """Return what would move if the data kept another value under a key.

    Raises NoSuchKeyError and CannotReplaceError; TriedError, with the report that the data file would give, for a value
    that cannot be.
    """
    reference = control.reference
    path = _path(reference, typed)
    department = _department(reference)
    with TemporaryDirectory(prefix="yokebook-trace-") as made:
        folder = _copy(reference.folder, Path(made))
        file = folder / DATA / f"{path[0]}.yaml"
        text = with_value(file.read_text(encoding="utf-8-sig"), path[1:], new, department.sources.file(str(path[0])))
        file.write_text(text, encoding="utf-8")
        after = work_out(folder)
        if after.problems.stops_the_build:
            raise TriedError(after)
        changes = compare_all(all_as_read(reference), all_as_read(after))
        return Trial(tuple(changes), tuple(_falling(control, after)))


class TriedError(ProblemError):
    """A new value with which the reference cannot be worked out; `lines_of` has the data with it in place."""

    def __init__(self, tried: Reference) -> None:
        super().__init__(tried.problems)
        self._lines = {problem.file: tried.lines_of(problem.file) for problem in tried.problems}

    def lines_of(self, file: str) -> Sequence[str]:
        """Return the lines of a file that a problem names."""
        return self._lines.get(file, ())


def _copy(folder: Path, into: Path) -> Path:
    """Return a copy of what a reference is worked out from; the store of answers with it, which saves time."""
    for name in (DATA, PAGES):
        shutil.copytree(folder / name, into / name)
    for file in (Path(CONFIG), STORE):
        if (folder / file).is_file():
            (into / file).parent.mkdir(exist_ok=True)
            shutil.copy(folder / file, into / file)
    return into


def _falling(control: Control, after: Reference) -> list[str]:
    """Return the procedures that are approved as they are, and would not be any more."""
    now = {worked.page.front.procedure: worked.digest for worked in after.pages.values()}
    falling = []
    for number, record in sorted(control.records.procedures.items()):
        page = control.pages.get(number)
        if page and not record.withdrawn and record.newest.digest.digest == page.digest != now.get(number):
            falling.append(number)
    return falling


def as_text(found: Trace) -> str:
    """Return where a key is used, for a terminal."""
    lines = [f"{found.key}: {found.value}"]
    if not found.pages:
        return "\n".join([*lines, "No page uses it.", ""])
    if found.through:
        lines.append(f"No number is worked from it. What goes to {found.through}, and may show it in its words:")
    for page in found.pages:
        lines += ["", f"{page.procedure}  {page.title}  ({PAGES}/{page.path})".strip()]
        lines += [f"  line {use.line}: {use.caption} ({_numbers(use.numbers)})" for use in page.uses]
    uses = [use for page in found.pages for use in page.uses]
    lines += ["", f"{_count(len(found.pages), 'page')}, {_numbers(sum(use.numbers for use in uses))}."]
    return "\n".join(lines) + "\n"


def trial_text(found: Trial, key: str, old: str, new: str) -> str:
    """Return what a new value would change, for a terminal."""
    lines = [f"{key}: {old} → {new}, tried in a copy; nothing was written.", ""]
    for changes in found.changes:
        lines += [*as_lines(changes), ""]
    moved = sum(len(changes.numbers) for changes in found.changes)
    lines.append(f"{_numbers(moved)} on {_count(len(found.changes), 'page')} would move.")
    fallen = ", ".join(found.approvals)
    lines.append(f"To be approved again: {fallen}." if fallen else "No approval would fall.")
    return "\n".join(lines) + "\n"


def _numbers(count: int) -> str:
    return _count(count, "number")


def _count(count: int, word: str) -> str:
    return f"{count} {word}{'s' * (count != 1)}"


def as_json(found: Trace, trial: Trial | None) -> str:
    """Return both for other programs; null for a trial that was not asked for."""
    plain: dict[str, Any] = asdict(found) | {"trial": asdict(trial) if trial else None}
    return json.dumps(plain, ensure_ascii=False, indent=1) + "\n"
