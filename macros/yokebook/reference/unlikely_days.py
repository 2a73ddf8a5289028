"""Days of the past that lie ahead, or so far back that the year is most likely a slip: asked by check alone.

What is built never depends on the day on which it is built.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from yokebook.data.faults import Fault, Path
from yokebook.data.sources import problem_at
from yokebook.errors import Problem
from yokebook.reference.days import of_incident
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
        for at, day, _ in of_incident(worked.page.front.incident) if worked.page.front.incident else ():
            # One that lies ahead is an error already, as in the records.
            for fault in _judged(day, at, today) if day <= today else ():
                yield problem_at(worked.page.tree, worked.page.file, (), fault)


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
