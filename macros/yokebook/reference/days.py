"""Days that somebody types: in force from, withdrawn on; held against the days that the records tell of, no clock."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from yokebook.control.editions import Editions, Listed
from yokebook.control.records import Records, Signature
from yokebook.data.faults import Fault
from yokebook.data.sources import problem_at
from yokebook.errors import Level, Problem

IN_FORCE, ON = "--in-force", "--on"
IN_FORCE_IS_RIGHT, ON_IS_RIGHT = "--in-force-is-right", "--on-is-right"
SOON, WITHIN_A_YEAR = timedelta(days=90), timedelta(days=364)
"""Approvals and editions follow soon; reviews and withdrawals at any time, but a year typed wrongly is to be seen."""


def edition_too_far(records: Records, editions: Editions, listed: Mapping[str, Listed], day: date) -> Iterator[Problem]:
    """Yield that an edition would be in force long after its approvals and the edition before: a slip, most likely."""
    signed = [one.on for number in listed for one in _looks(records, number)]
    yield from _too_far(day, [*signed, *_reached(editions)], SOON, IN_FORCE, IN_FORCE_IS_RIGHT)


def withdrawal_too_far(records: Records, editions: Editions, day: date) -> Iterator[Problem]:
    """Yield that something would be withdrawn long after anything that the records tell of."""
    signed = [one.on for number in records.procedures for one in _looks(records, number)]
    yield from _too_far(day, [*signed, *_reached(editions)], WITHIN_A_YEAR, ON, ON_IS_RIGHT)


def _looks(records: Records, procedure: str) -> Iterator[Signature]:
    newest = records.procedures[procedure].newest
    yield from (*newest.approvals, *newest.reviews)


def _reached(editions: Editions) -> list[date]:
    return [editions.reached] if editions.reached else []


def _too_far(day: date, known: list[date], most: timedelta, option: str, is_right: str) -> Iterator[Problem]:
    newest = max(known, default=day)
    if day - newest > most:
        wrong = f"this is {(day - newest).days} days after {newest}, the newest day of an approval or edition here"
        allowed = f"a day up to {newest + most}; where {day} is right all the same, add {is_right}"
        yield Problem(option, 0, 0, Level.ERROR, "E624", wrong, str(day), allowed)


def before_approval(records: Records, listed: Mapping[str, Listed], day: date) -> Iterator[Problem]:
    """Yield that issues in an edition were approved only after it would be in force, once for those of one day."""
    later: dict[date, dict[str, int]] = {}
    for number in sorted(listed):
        record = records.procedures[number]
        for index, signature in enumerate(() if record.withdrawn else record.newest.approvals):
            if signature.on > day:
                later.setdefault(signature.on, {}).setdefault(number, index)
    for on, found in sorted(later.items()):
        yield _approved_later(records, found, on, day)


def _approved_later(records: Records, found: Mapping[str, int], on: date, day: date) -> Problem:
    """Return the problem of the procedures approved on a day, at the first one's approval; `found` has their places."""
    (first, index), newest = next(iter(found.items())), {number: records.procedures[number].newest for number in found}
    told = ", ".join(f"{number} issue {issue.number}" for number, issue in newest.items())
    wrong = f"the edition would be in force from {day}, before the approval of {told}"
    allowed = f"{IN_FORCE} {on} or later"
    if on == records.newest_day and on - day > SOON:
        wrong += f"; {on} lies after all else in the records: is the year of the approval right?"
        allowed += ". Where the year is wrong: the right one here, and under review, in the record of each of these; "
        allowed += "no edition holds these issues yet"
    at, name = ("issues", newest[first].number - 1, "approvals", index, "on"), f"{first}.yaml"
    return problem_at(records.trees[name], records.file(name), (), Fault("E625", wrong, at, allowed=allowed))
