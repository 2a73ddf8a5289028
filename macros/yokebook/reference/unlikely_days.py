"""Days of the past that lie ahead, or so far back that the year is most likely a slip: asked by check alone.

What is built never depends on the day on which it is built.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from yokebook.data.faults import Fault, Path
from yokebook.data.sources import problem_at
from yokebook.errors import Problem
from yokebook.pages.incident import Incident
from yokebook.reference.whole import Reference

LONGEST_AGO = 30
"""Years; no gauge or machine of a department was looked at before (common practice, no source)."""


def unlikely_days(reference: Reference, today: date) -> Iterator[Problem]:
    """Yield a warning for each day of something done, in data and incidents, that `today` makes unlikely."""
    if department := reference.department:
        for name, gauge in department.gauges.items():
            for fault in _judged(gauge.checked, ("checked",), today):
                yield department.sources.problem(("gauges", name), fault)
        for name, machine in department.machines.items():
            for fault in _judged(machine.drive.measured, ("drive", "measured"), today):
                yield department.sources.problem(("machines", name), fault)
    for worked in reference.pages.values():
        if incident := worked.page.front.incident:
            for fault in _of_incident(incident, today):
                yield problem_at(worked.page.tree, worked.page.file, (), fault)


def _of_incident(incident: Incident, today: date) -> Iterator[Fault]:
    """Yield each day of an incident that lies too far back; one that lies ahead is an error already, as in records."""
    days: list[tuple[Path, date | None]] = [
        (("incident", key), getattr(incident, key)) for key in ("happened", "reviewed", "closed")
    ]
    days += [(("incident", "actions", index, "done"), action.done) for index, action in enumerate(incident.actions)]
    for at, day in days:
        if day and day <= today:
            yield from _judged(day, at, today)


def _judged(day: date | None, at: Path, today: date) -> Iterator[Fault]:
    if day is None:
        return
    wrong = ""
    if day > today:
        ahead = (day - today).days
        wrong = f"this day lies ahead, by {ahead} {'day' if ahead == 1 else 'days'}, and it tells of something done"
    elif day.year < today.year - LONGEST_AGO:
        wrong = f"this day lies {today.year - day.year} years back; is the year the right one?"
    if wrong:
        allowed = f"the day on which it was done, {today} at the latest"
        yield Fault("W811", wrong, at, allowed=allowed, example=f"{at[-1]}: {today}")
