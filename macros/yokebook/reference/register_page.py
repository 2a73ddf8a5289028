"""The register of procedures and the review calendar, as pages."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from yokebook.control.register import IssueHistory
from yokebook.control.standing import Standing, State
from yokebook.reference.generated import GeneratedPage
from yokebook.templates import render

REGISTER = "register.md"
CALENDAR = "review-calendar.md"


@dataclass(frozen=True)
class Registered:
    """One procedure of the register: how it stands, the address of its page ("" where it has gone), its issues."""

    standing: Standing
    address: str
    history: tuple[IssueHistory, ...] = ()

    @property
    def in_force(self) -> IssueHistory | None:
        """The issue that nothing has ended yet, which need not be the newest; None where there is none.

        Its first day may be still to come.
        """
        return next((issue for issue in self.history if issue.state is State.IN_FORCE), None)

    def in_force_on(self, day: date) -> IssueHistory | None:
        """Return the issue that staff work by on a day, None where none is in force then."""
        return next((issue for issue in self.history if issue.since(day)), None)

    def begins_after(self, day: date) -> date | None:
        """Return from when the newest issue will be in force, None where its first day is no longer to come."""
        newest = self.history[0] if self.history else None
        return newest.begins_after(day) if newest and not newest.since(day) else None


@dataclass(frozen=True)
class Month:
    """What is to be looked at again in one month, by day."""

    name: str
    due: tuple[Registered, ...]


def pages(register: Sequence[Registered]) -> list[GeneratedPage]:
    """Return the register and the review calendar; none for a department without procedures.

    `register` is sorted by the numbers of the procedures.
    """
    if not register:
        return []
    undated = [listed for listed in register if listed.standing.state is not State.WITHDRAWN and not _due(listed)]
    calendar = render("review_calendar.html", months=_months(register), undated=undated)
    return [
        GeneratedPage(REGISTER, "Register of procedures", render("register.html", register=register)),
        GeneratedPage(CALENDAR, "Review calendar", calendar),
    ]


def _due(listed: Registered) -> date | None:
    return listed.standing.review_due


def _months(register: Sequence[Registered]) -> list[Month]:
    """Return the months in which a review is due; what was withdrawn is not looked at again."""
    dated = [
        (due, listed)
        for listed in register
        if (due := listed.standing.review_due) and listed.standing.state is not State.WITHDRAWN
    ]
    dated.sort(key=lambda pair: (pair[0], pair[1].standing.procedure))
    return [
        Month(name, tuple(listed for _, listed in within))
        for name, within in groupby(dated, key=lambda pair: f"{pair[0]:%Y-%m}")
    ]
