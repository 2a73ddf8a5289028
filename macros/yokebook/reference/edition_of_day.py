"""What was in force on a day, as an auditor asks: which edition, which issue of each page, approved by whom, why."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path
from typing import Any

from yokebook.control.as_read import PageAsRead
from yokebook.control.editions import Edition, Listed
from yokebook.control.standing import Withdrawal
from yokebook.reference.comparing import NoSuchSideError, editions_in, pages_of
from yokebook.reference.days import still_to_come
from yokebook.reference.issues_told import Department, department

_MARGIN = " " * 9


@dataclass(frozen=True)
class OfDay:
    """The edition of a day, as it was published, with what is told of that day; `withdrawn` by then were procedures."""

    day: date
    edition: Edition
    told: str
    folder: Path
    pages: Mapping[str, PageAsRead]
    withdrawn: Mapping[str, Withdrawal]
    department: Department

    def as_text(self) -> str:
        """Return the day, then what the edition holds: each procedure's issue, who approved it, where its page lies."""
        lines = [self.told]
        for number, listed in sorted(self.edition.procedures.items()):
            lines += self._lines(number, listed)
        lines += [f"{number:8} {gone.as_text}" for number, gone in self._not_in_it.items()]
        return "\n".join([*lines, *filter(None, [self.department.note])]) + "\n"

    @property
    def _not_in_it(self) -> dict[str, Withdrawal]:
        """What was withdrawn before the edition was made, and of which it holds a notice alone."""
        return {number: self.withdrawn[number] for number in sorted(self.withdrawn.keys() - self.edition.issues.keys())}

    def _lines(self, number: str, listed: Listed) -> list[str]:
        withdrawal, issue = self.withdrawn.get(number), self.department.issue(number, listed.issue, self.pages)
        told = [withdrawal.as_text] if withdrawal else []
        told += [issue.as_text] if issue else []
        told.append((self.folder / listed.page).as_posix())
        return [f"{number:8} issue {listed.issue:<3} {listed.title}", *(_MARGIN + line for line in told)]

    def as_json(self) -> str:
        """Return the same for other programs."""
        procedures = {number: self._plain(number, listed) for number, listed in sorted(self.edition.procedures.items())}
        plain = {
            "on": self.day,
            "edition": self.edition.number,
            "told": self.told,
            "note": self.department.note,
            "procedures": procedures,
            "withdrawn_before": {number: asdict(gone) for number, gone in self._not_in_it.items()},
        }
        return json.dumps(plain, ensure_ascii=False, indent=1, default=str) + "\n"

    def _plain(self, number: str, listed: Listed) -> dict[str, Any]:
        withdrawal, issue = self.withdrawn.get(number), self.department.issue(number, listed.issue, self.pages)
        told = {"withdrawn": asdict(withdrawal) if withdrawal else None, "told": asdict(issue) if issue else None}
        return asdict(listed) | told


def edition_of_day(day: date, today: date, site: Path, target: Path | None) -> OfDay:
    """Return the edition that was in force on a day, and what is told of it: since when, and what was withdrawn.

    Of a day still to come it is told as what will be, by the list of editions as it is today.

    Raises NoSuchSideError for a day on which none was, ProblemError for an edition that is not as it was published.
    """
    root, editions = editions_in(target)
    found, withdrawn = editions.on(day), [_withdrawn_text(edition) for edition in editions.led_through(day)]
    if found is None:
        there = "; there is none"
        if withdrawn:
            there = " ".join([".", *withdrawn])
        elif editions.editions:
            there = f"; the first one is in force from {editions.editions[0].in_force}"
        raise NoSuchSideError(f"no edition {'is yet to be' if day > today else 'was'} in force on {day}{there}")
    spans = [span for span in editions.spans_of(found) if span.since <= day]
    again = " again" if len(spans) > 1 else ""
    told = f"On {day} edition {found.number} was in force{again}, since {spans[-1].since}."
    if day > today:
        told = f"On {day} edition {found.number} will be in force{again}, from {spans[-1].since} on, unless it is "
        told += f"withdrawn or another is published till then: {still_to_come(day, today)}."
    gone = {number: withdrawal for number, withdrawal in editions.withdrawn.items() if withdrawal.on <= day}
    return OfDay(
        day,
        found,
        " ".join([told, *filter(None, withdrawn)]),
        root / found.address,
        pages_of(found, root),
        gone,
        department(site, root),
    )


def _withdrawn_text(edition: Edition) -> str:
    """Return when and why an edition was withdrawn, as two sentences; "" for one that was not."""
    withdrawn = edition.withdrawn
    if withdrawn is None:
        return ""
    told = f"Edition {edition.number} was withdrawn on {withdrawn.on}, to use instead: {withdrawn.instead.rstrip('.')}."
    return f"{told} Reason: {withdrawn.why}"
