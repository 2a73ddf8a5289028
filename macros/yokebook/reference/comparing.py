"""Two states of the reference side by side, as the command line asks for them: editions of a target, or the draft."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from yokebook.control.as_read import PageAsRead, UnreadableError, read_edition
from yokebook.control.comparison import PageChanges, as_lines, compare_pages, paired
from yokebook.control.editions import FOLDER, SCRIPT, Edition, Editions
from yokebook.control.standing import State
from yokebook.control.target import Target, refused
from yokebook.errors import ProblemError
from yokebook.reference.approval import look_up_records
from yokebook.reference.issues_told import Department, IssueTold
from yokebook.reference.pages_as_read import all_as_read
from yokebook.reference.whole import work_out
from yokebook.reference.withdrawn_pages import for_readers

DRAFT = "draft"
_AS_APPROVED = (State.APPROVED, State.IN_FORCE)


class NoSuchSideError(ValueError):
    """What was to be compared is not there; the words say what can be given instead."""


@dataclass(frozen=True)
class Side:
    """One state of the reference: a published edition, or the draft (`edition` is None).

    `issues` are those of the procedures that were approved as they stand in it. `reached` is the newest that enough
    people approved: a draft may have gone on since.
    """

    edition: Edition | None
    pages: Mapping[str, PageAsRead]
    issues: Mapping[str, int] = field(default_factory=dict)
    reached: Mapping[str, int] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """What it is called in a report."""
        if self.edition is None:
            return "the draft"
        return f"edition {self.edition.number}, in force from {self.edition.in_force}"


@dataclass(frozen=True)
class Moved:
    """One page of which something moved, or its issue; `told` is how each issue between the two came about."""

    changes: PageChanges
    old_issue: int | None
    new_issue: int | None
    told: tuple[IssueTold, ...]
    is_draft: bool

    @property
    def has_another_issue(self) -> bool:
        """Whether both states hold it as it was approved, and not as the same issue."""
        return bool(self.old_issue and self.new_issue) and self.old_issue != self.new_issue

    def lines(self) -> list[str]:
        """Return what moved as lines for a terminal, below its head the issues."""
        head, *lines = as_lines(self.changes)
        return [head, *(f"  {line}" for line in self._issues()), *lines]

    def _issues(self) -> Iterator[str]:
        old, new = self.old_issue, self.new_issue
        if old and new and new < old:
            yield f"Issue {old} → {new}, back to the older one" + ("; what came between:" if self.told else "")
            old = new
        elif not self.told and new and new != old:
            yield f"Issue {old} → {new}" if old else f"Issue {new}"
        elif old and old == new:
            yield f"Issue {old}, as before"
        for issue in self.told:
            yield f"Issue {old} → {issue.number}, {issue.as_text}" if old else f"Issue {issue.number}, {issue.as_text}"
            old = issue.number
        if self.is_draft and not new:
            yield f"Issue {old} → a draft, not approved" if old else "A draft, never approved"


def side(words: str, folder: Path, target: Path | None) -> Side:
    """Return the state that was asked for: the number of an edition, or "draft" for the department's folder as it is.

    Raises NoSuchSideError for what is not there, ProblemError for a draft that can't be worked out, or for an edition
    that is not as it was published.
    """
    if words != DRAFT:
        root, editions = editions_in(target)
        edition = _numbered(words, editions)
        return Side(edition, pages_of(edition, root), edition.issues, edition.issues)
    control = look_up_records(work_out(folder))
    if control.reference.problems.stops_the_build:
        raise ProblemError(control.reference.problems)
    standings = control.standings.items()
    approved = {number: told.issue for number, told in standings if told.issue and told.state in _AS_APPROVED}
    reached = {number: issue.number for number, _ in standings if (issue := control.last_complete(number))}
    return Side(None, all_as_read(for_readers(control)), approved, reached)


def pages_of(edition: Edition, root: Path) -> Mapping[str, PageAsRead]:
    """Return the pages of an edition, held against its manifest; raise ProblemError where they are not as published."""
    try:
        return read_edition(Target(root).as_published(edition))
    except (OSError, UnreadableError) as error:
        raise NoSuchSideError(f"edition {edition.number} cannot be read: {error}") from None


def editions_in(target: Path | None) -> tuple[Path, Editions]:
    """Return the folder in which editions lie, and their list; raise ProblemError for one that is lost or damaged."""
    if target is None:
        raise NoSuchSideError("where the editions lie was not said; give the folder: --target FOLDER")
    if (target / FOLDER).is_dir() and not (target / SCRIPT).exists():
        wrong = f"it holds {FOLDER} and no {SCRIPT}: the list was lost, or no edition was ever published here"
        allowed = f"the folder in which editions were published; {SCRIPT} put back from a backup, where it was lost"
        raise refused("E610", target.as_posix(), wrong, allowed)
    return target, Target(target).editions()


def asked(sides: Sequence[str], of_day: Edition | None, target: Path | None) -> tuple[str, str]:
    """Return from what to what is compared: what was given, else from the newest edition, to the draft.

    `of_day` is the edition of a day, where one was asked for: then the comparison begins from it.
    """
    given = [str(of_day.number), *sides] if of_day else list(sides)
    if len(given) > 2:
        raise NoSuchSideError("two states are compared, FROM and TO; with --on only TO is given")
    if not given:
        current = editions_in(target)[1].current
        if current is None:
            raise NoSuchSideError(f"{target} holds no edition yet")
        given = [str(current.number)]
    return given[0], given[1] if len(given) > 1 else DRAFT


def _numbered(words: str, editions: Editions) -> Edition:
    found = editions.numbered(int(words)) if words.isdecimal() else None
    if found is None:
        there = ", ".join(str(edition.number) for edition in editions.editions) or "none yet"
        raise NoSuchSideError(f"there is no edition {words}; there are {there}, and {DRAFT}")
    return found


def compare(old: Side, new: Side, department: Department) -> list[Moved]:
    """Return what moved, page by page, and each procedure whose issue alone moved."""
    found = [_moved(was, now, old, new, department) for was, now in paired(old.pages, new.pages)]
    return [moved for moved in found if moved.changes or moved.has_another_issue]


def _moved(was: PageAsRead | None, now: PageAsRead | None, old: Side, new: Side, department: Department) -> Moved:
    changes = compare_pages(was, now)
    number = changes.procedure
    pages, last = {**old.pages, **new.pages}, new.reached.get(number)
    told = department.between(number, old.reached.get(number, 0), last, pages) if last else ()
    is_draft = bool(number and now and not now.withdrawal) and new.edition is None
    return Moved(changes, old.issues.get(number), new.issues.get(number), told, is_draft)


def as_text(old: Side, new: Side, moved: Sequence[Moved], department: Department) -> str:
    """Return what moved as a report for a terminal."""
    notes = [department.note] if department.note and any(page.changes.procedure for page in moved) else []
    count = sum(bool(page.changes) for page in moved)
    blocks = [[f"From {old.name}, to {new.name}.", *notes], *(page.lines() for page in moved), [_count(count)]]
    return "\n\n".join("\n".join(block) for block in blocks) + "\n"


def _count(pages: int) -> str:
    return {0: "Nothing moved.", 1: "1 page moved."}.get(pages, f"{pages} pages moved.")


def as_json(old: Side, new: Side, moved: Sequence[Moved], department: Department) -> str:
    """Return what moved for other programs."""
    pages = [_plain_page(page) for page in moved]
    told = {"from": _plain(old), "to": _plain(new), "note": department.note, "pages": pages}
    return json.dumps(told, ensure_ascii=False, indent=1, default=str) + "\n"


def _plain_page(page: Moved) -> dict[str, Any]:
    issues = {"old_issue": page.old_issue, "new_issue": page.new_issue, "issues": [asdict(one) for one in page.told]}
    return asdict(page.changes) | issues


def _plain(one: Side) -> dict[str, str | int | None]:
    edition = one.edition
    if edition is None:
        return {"edition": None, "in_force": None}
    return {"edition": edition.number, "in_force": edition.in_force.isoformat()}
