"""Days that somebody types: in force from, approved or withdrawn on; against the records, and the day that it is.

The day that it is comes in as an argument, and only questions are asked of it: what is built never depends on it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date, timedelta

from yokebook.control.editions import Editions, Listed
from yokebook.control.records import ProcedureRecord, Records, Signature
from yokebook.data.faults import Fault, Path
from yokebook.data.sources import problem_at
from yokebook.errors import Level, Problem
from yokebook.pages.incident import Incident
from yokebook.pages.page import Page

IN_FORCE, ON = "--in-force", "--on"
_IN_FORCE_IS_RIGHT = "--in-force-is-right"
_SOON = timedelta(days=90)
"""An edition follows its approvals soon, and may be in force from a day to come: a year typed wrongly is to be seen."""
_Dated = tuple[Path, date, str]
"""Where a day stands, the day, and what happened on it."""


def still_to_come(day: date, today: date) -> str:
    """Return that a day has not come yet, by the clock of this computer, which may be wrong."""
    return f"{day} has not come yet: by the clock of this computer today is {today}"


def until_today(today: date) -> str:
    """Return which days are allowed for what has happened, and what to do about a clock that is wrong."""
    return f"{today} or earlier; where the clock is wrong, have it put right first"


def withdrawal_still_to_come(day: date, today: date) -> Iterator[Problem]:
    """Yield that something would be withdrawn from a day to come: readers are told as soon as it is written."""
    if day > today:
        wrong = f"{still_to_come(day, today)}; and readers are told of a withdrawal as soon as it is given"
        allowed = f"{until_today(today)}. What is still good until {day} is withdrawn on that day"
        yield Problem(ON, 0, 0, Level.ERROR, "E830", wrong, str(day), allowed)


def still_to_come_in(records: Records, pages: Iterable[Page], today: date) -> Iterator[Problem]:
    """Yield each day in the records and in the pages of incidents that cannot have come yet, at its line."""
    for number, record in sorted(records.procedures.items()):
        name = f"{number}.yaml"
        for at, day, what in _of_record(record):
            if day > today:
                fault = Fault("E830", f"{what}: {still_to_come(day, today)}", at, allowed=until_today(today))
                yield problem_at(records.trees[name], records.file(name), (), fault)
    for page in pages:
        for at, day, what in of_incident(page.front.incident) if page.front.incident else ():
            if day > today:
                fault = Fault("E830", f"{what}: {still_to_come(day, today)}", at, allowed=until_today(today))
                yield problem_at(page.tree, page.file, (), fault)


def edition_too_far(records: Records, editions: Editions, listed: Mapping[str, Listed], day: date) -> Iterator[Problem]:
    """Yield that an edition would be in force long after its approvals and the edition before: a slip, most likely."""
    signed = [one.on for number in listed for one in _looks(records, number)]
    newest = max([*signed, *([editions.reached] if editions.reached else [])], default=day)
    if day - newest > _SOON:
        wrong = f"this is {(day - newest).days} days after {newest}, the newest day of an approval or edition here"
        allowed = f"a day up to {newest + _SOON}; where {day} is right all the same, add {_IN_FORCE_IS_RIGHT}"
        yield Problem(IN_FORCE, 0, 0, Level.ERROR, "E624", wrong, str(day), allowed)


def _looks(records: Records, procedure: str) -> Iterator[Signature]:
    newest = records.procedures[procedure].newest
    yield from (*newest.approvals, *newest.reviews)


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
    if on == records.newest_day and on - day > _SOON:
        wrong += f"; {on} lies after all else in the records: is the year of the approval right?"
        allowed += ". Where the year is wrong: the right one here, and under review, in the record of each of these; "
        allowed += "no edition holds these issues yet"
    at, name = ("issues", newest[first].number - 1, "approvals", index, "on"), f"{first}.yaml"
    return problem_at(records.trees[name], records.file(name), (), Fault("E625", wrong, at, allowed=allowed))


def _of_record(record: ProcedureRecord) -> Iterator[_Dated]:
    for index, issue in enumerate(record.issues):
        signed = [("approvals", at, "this approval", one) for at, one in enumerate(issue.approvals)]
        signed += [("reviews", at, "this review", one) for at, one in enumerate(issue.reviews)]
        for key, at, what, signature in signed:
            yield ("issues", index, key, at, "on"), signature.on, what
    if record.withdrawn:
        yield ("withdrawn", "on"), record.withdrawn.on, "this withdrawal"


def of_incident(incident: Incident) -> Iterator[_Dated]:
    """Yield each day that an incident names, where it stands, and what happened on it."""
    days = (("happened", incident.happened), ("reviewed", incident.reviewed), ("closed", incident.closed))
    yield from ((("incident", key), day, key) for key, day in days if day)
    for index, action in enumerate(incident.actions):
        if action.done:
            yield ("incident", "actions", index, "done"), action.done, "done"
