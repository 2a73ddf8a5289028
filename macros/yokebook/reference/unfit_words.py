"""What check warns of and publishing refuses: examples never replaced, what looks like a person, pages that moved."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from yokebook.control.records import Records
from yokebook.data.faults import Fault
from yokebook.data.sources import problem_at
from yokebook.errors import Collector, Level, Problem
from yokebook.pages import identity

if TYPE_CHECKING:
    from yokebook.reference.approval import Control

_REFUSED = {"W771": "E626", "W773": "E627", "W702": "E616", "W774": "E619"}
_PERSON = _REFUSED["W771"]
_IN_ROLES = "what happened, in roles: the person at the machine, a patient on the way"


def refused_for_readers(problems: Iterable[Problem]) -> Collector:
    """Return the problems of a check as publishing tells them: what no reader may meet is an error, told once."""
    told = Collector()
    for problem in problems:
        code = _REFUSED.get(problem.code)
        told.add(replace(problem, level=Level.ERROR, code=code) if code else problem)
    return told


def people_in_records(control: Control) -> Iterator[Problem]:
    """Yield what looks like a person in the reasons that the next edition would be the first to show.

    And in those of withdrawals, which can be corrected at any time.
    """
    records = control.records
    for number, record in sorted(records.procedures.items()):
        page = control.pages.get(number)
        no_person = page.page.front.not_a_person if page else ()
        for index, issue in enumerate(record.issues):
            if not records.is_published(number, issue.number):
                yield from _in_record(records, number, ("issues", index, "reason"), issue.reason, no_person)
        if record.withdrawn:
            yield from _in_record(records, number, ("withdrawn", "reason"), record.withdrawn.reason, no_person)
            yield from _in_record(records, number, ("withdrawn", "instead"), record.withdrawn.instead, no_person)


def _in_record(
    records: Records, number: str, at: tuple[str | int, ...], text: str, no_person: Sequence[str]
) -> Iterator[Problem]:
    name = f"{number}.yaml"
    for found in people_in(text, no_person):
        fault = Fault(_PERSON, found.wrong, at, written=found.written, allowed=_IN_ROLES)
        yield problem_at(records.trees[name], records.file(name), (), fault)


def people_in_option(option: str, text: str) -> Iterator[Problem]:
    """Yield what looks like a person in what somebody gave to an option and readers would see."""
    for found in people_in(text, ()):
        yield Problem(option, 0, 0, Level.ERROR, _PERSON, found.wrong, found.written, _IN_ROLES)


def people_in(text: str, no_person: Sequence[str]) -> Iterator[Problem]:
    """Yield what looks like a person in a text of the records, but for the words that its page says are none."""
    named = [name for name in no_person if name in text]
    yield from identity.look_for((), text, "", named)
