"""What the front matter of an incident's page says: what followed from it for which procedures, never who was in it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from itertools import pairwise

from pydantic import Field

from yokebook.data.entry import Entry
from yokebook.data.faults import Fault
from yokebook.data.fields import Date, ProcedureNumber, Text

FOLDER = "incidents"
"""Where the pages of incidents lie, below the folder of pages."""


def name_of(path: str) -> str:
    """Return the name by which records speak of an incident: that of its page's file; "" for another page.

    >>> name_of("incidents/ran-out-on-the-way.md"), name_of("procedures/plug.md"), name_of("incidents/index.md")
    ('ran-out-on-the-way', '', '')
    """
    folder, _, name = path.removesuffix(".md").rpartition("/")
    return name if folder == FOLDER and name != "index" else ""


class Action(Entry):
    """One thing to be done after a review."""

    what = "an action"
    action: Text = Field(description="what is to be done", examples=["Measure the drive gas of each machine"])
    role: Text = Field(description="the role of department.yaml that does it", examples=["equipment lead"])
    due: Date = Field(description="by which day", examples=["2026-04-01"])
    done: Date | None = Field(None, description="the day on which it was done", examples=["2026-03-20"])


def _in_order(incident: Incident) -> Iterator[Fault]:
    steps: list[tuple[str, date | None]] = [
        ("happened", incident.happened), ("reviewed", incident.reviewed), ("closed", incident.closed)
    ]  # fmt: skip
    if incident.closed and not incident.reviewed:
        yield Fault("E772", "it is closed, and no review stands here", ("closed",), allowed="reviewed, then closed")
    told = [(name, day) for name, day in steps if day]
    for (before, first), (after, second) in pairwise(told):
        if second < first:
            wrong = f"{after} lies before {before}, {first}"
            yield Fault("E772", wrong, (after,), allowed=f"a day not before {first}", example=f"{after}: {first}")


def _done_after_it(incident: Incident) -> Iterator[Fault]:
    for index, action in enumerate(incident.actions):
        if action.done and action.done < incident.happened:
            wrong = f"done lies before happened, {incident.happened}"
            allowed = f"a day not before {incident.happened}"
            at = ("actions", index, "done")
            yield Fault("E772", wrong, at, allowed=allowed, example=f"done: {incident.happened}")


class Incident(Entry):
    """What was decided after an incident."""

    what = "an incident"
    happened: Date = Field(description="the day on which it happened", examples=["2026-02-03"])
    reviewed: Date | None = Field(None, description="the day of its review", examples=["2026-02-20"])
    closed: Date | None = Field(None, description="the day on which nothing was left to do", examples=["2026-03-16"])
    procedures: tuple[ProcedureNumber, ...] = Field(
        (), description="the numbers of the procedures that must change", examples=["[CYL-05]"]
    )
    actions: tuple[Action, ...] = Field(
        (),
        description="what else is to be done",
        examples=["[{action: Measure the drive gas, role: equipment lead, due: 2026-04-01}]"],
    )
    checks = (
        (("happened", "reviewed", "closed"), _in_order),
        (("happened", "actions"), _done_after_it),
    )

    @property
    def state(self) -> str:
        """How far it is, in a word."""
        return "closed" if self.closed else "open"
