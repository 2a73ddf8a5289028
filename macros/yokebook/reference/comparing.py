"""Two states of the reference side by side, as the command line asks for them: editions of a target, or the draft."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path

from yokebook.control.as_read import PageAsRead, UnreadableError, read_edition
from yokebook.control.comparison import PageChanges, as_lines, compare_all
from yokebook.control.editions import Edition
from yokebook.control.target import Target
from yokebook.errors import ProblemError
from yokebook.reference.approval import look_up_records
from yokebook.reference.pages_as_read import all_as_read
from yokebook.reference.whole import work_out
from yokebook.reference.withdrawn_pages import for_readers

DRAFT = "draft"


class NoSuchSideError(ValueError):
    """What was to be compared is not there; the words say what can be given instead."""


@dataclass(frozen=True)
class Side:
    """One state of the reference: a published edition, or the draft (`edition` is None)."""

    edition: Edition | None
    pages: Mapping[str, PageAsRead]

    @property
    def name(self) -> str:
        """What it is called in a report."""
        if self.edition is None:
            return "the draft"
        return f"edition {self.edition.number}, in force from {self.edition.in_force}"


def side(words: str, folder: Path, target: Path | None) -> Side:
    """Return the state that was asked for: the number of an edition, or "draft" for the department's folder as it is.

    Raises NoSuchSideError for what is not there, ProblemError with the draft's problems where it can't be worked out.
    """
    if words == DRAFT:
        reference = for_readers(look_up_records(work_out(folder)))
        if reference.problems.stops_the_build:
            raise ProblemError(reference.problems)
        return Side(None, all_as_read(reference))
    edition = _numbered(words, target)
    assert target
    try:
        return Side(edition, read_edition(target / edition.address))
    except (OSError, UnreadableError) as error:
        raise NoSuchSideError(f"edition {edition.number} cannot be read: {error}") from None


def asked(sides: Sequence[str], of_day: Edition | None, target: Path | None) -> tuple[str, str]:
    """Return from what to what is compared: what was given, else from the newest edition, to the draft.

    `of_day` is the edition of a day, where one was asked for: then the comparison begins from it.
    """
    given = [str(of_day.number), *sides] if of_day else list(sides)
    if len(given) > 2:
        raise NoSuchSideError("two states are compared, FROM and TO; with --on only TO is given")
    if not given:
        current = Target(_given(target)).editions().current
        if current is None:
            raise NoSuchSideError(f"{target} holds no edition yet")
        given = [str(current.number)]
    return given[0], given[1] if len(given) > 1 else DRAFT


def edition_of_day(day: date, target: Path | None) -> tuple[Edition, str]:
    """Return the edition that was in force on a day, and what is told of it: since when, and what was withdrawn.

    Raises NoSuchSideError for a day on which none was.
    """
    editions = Target(_given(target)).editions()
    found, withdrawn = editions.on(day), [_withdrawn_text(edition) for edition in editions.led_through(day)]
    if found is None:
        there = "; there is none"
        if withdrawn:
            there = " ".join([".", *withdrawn])
        elif editions.editions:
            there = f"; the first one is in force from {editions.editions[0].in_force}"
        raise NoSuchSideError(f"no edition was in force on {day}{there}")
    spans = [span for span in editions.spans_of(found) if span.since <= day]
    again = " again" if len(spans) > 1 else ""
    told = f"On {day} edition {found.number} was in force{again}, since {spans[-1].since}."
    return found, " ".join([told, *filter(None, withdrawn)])


def _withdrawn_text(edition: Edition) -> str:
    """Return when and why an edition was withdrawn, as two sentences; "" for one that was not."""
    withdrawn = edition.withdrawn
    if withdrawn is None:
        return ""
    told = f"Edition {edition.number} was withdrawn on {withdrawn.on}, to use instead: {withdrawn.instead.rstrip('.')}."
    return f"{told} Reason: {withdrawn.why}"


def pages_text(edition: Edition, target: Path) -> str:
    """Return what an edition holds, a line a procedure: its number, issue, title, and where its page lies.

    Each page says at its head since when that issue was in force, and at its foot who approved it and why.
    """
    lines = [
        f"{number:8} issue {listed.issue:<3} {listed.title}\n{'':8} {target / edition.address / listed.page}"
        for number, listed in sorted(edition.procedures.items())
    ]
    return "\n".join(lines)


def _numbered(words: str, target: Path | None) -> Edition:
    editions = Target(_given(target)).editions()
    found = editions.numbered(int(words)) if words.isdecimal() else None
    if found is None:
        there = ", ".join(str(edition.number) for edition in editions.editions) or "none yet"
        raise NoSuchSideError(f"there is no edition {words}; there are {there}, and {DRAFT}")
    return found


def _given(target: Path | None) -> Path:
    if target is None:
        raise NoSuchSideError("where the editions lie was not said; give the folder: --target FOLDER")
    return target


def compare(old: Side, new: Side) -> list[PageChanges]:
    """Return what moved, page by page."""
    return compare_all(old.pages, new.pages)


def as_text(old: Side, new: Side, changes: Sequence[PageChanges]) -> str:
    """Return what moved as a report for a terminal."""
    blocks = [[f"From {old.name}, to {new.name}."], *map(as_lines, changes), [_count(len(changes))]]
    return "\n\n".join("\n".join(block) for block in blocks) + "\n"


def _count(pages: int) -> str:
    return {0: "Nothing moved.", 1: "1 page moved."}.get(pages, f"{pages} pages moved.")


def as_json(old: Side, new: Side, changes: Sequence[PageChanges]) -> str:
    """Return what moved for other programs."""
    told = {"from": _plain(old), "to": _plain(new), "pages": [asdict(change) for change in changes]}
    return json.dumps(told, ensure_ascii=False, indent=1, default=str) + "\n"


def _plain(one: Side) -> dict[str, str | int | None]:
    edition = one.edition
    if edition is None:
        return {"edition": None, "in_force": None}
    return {"edition": edition.number, "in_force": edition.in_force.isoformat()}
