"""What the calls of the family weight are given."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from pydantic import Field

from yokebook.calls.arguments import Arguments
from yokebook.calls.reserve_arguments import MOST_COLUMNS, ReadCylinder, UseOrFlow, UsesOrFlows
from yokebook.data.entry import Check
from yokebook.data.faults import Fault
from yokebook.data.fields import GaugeAboveZero, MassAboveZero, Text

MOST_WEIGHTS = 16


def _not_both(table: WeightTable) -> Iterator[Fault]:
    if table.uses is not None and table.flows is not None:
        wrong = "uses and flows are both given"
        allowed = "uses= with names of uses.yaml, or flows= with flows, or neither"
        yield Fault("E529", wrong, allowed=allowed, example='flows=["2 L/min"]')


def _few_enough(table: WeightTable) -> Iterator[Fault]:
    for name, most in (("uses", MOST_COLUMNS - 1), ("flows", MOST_COLUMNS - 1), ("weights", MOST_WEIGHTS)):
        items = getattr(table, name)
        if items is not None and not 1 <= len(items) <= most:
            yield Fault("E529", f"{name} has {len(items)} items", (name,), allowed=f"1 to {most}")


class Weighed(Arguments):
    """The part of the arguments that says which cylinder is weighed, and on what."""

    cylinder: Text = Field(description="the entry of cylinders.yaml", examples=['"nitrous-oxide-e"'])
    scale: Text = Field(description="the entry of scales.yaml", examples=['"store-scale"'])
    machine: Text | None = Field(
        None,
        description="the entry of machines.yaml; its place is where the cylinder is used",
        examples=['"theatre-1"'],
    )


class WeightTable(UsesOrFlows, Weighed):
    """The arguments of weight_table."""

    what = "weight_table"
    weights: tuple[MassAboveZero, ...] | None = Field(
        None, description="weights of the rows, as the scale shows them", examples=['["7.50 kg"]']
    )
    checks: ClassVar[tuple[Check, ...]] = (((), _not_both), ((), _few_enough))


class ContentsByWeight(Weighed):
    """The arguments of contents_by_weight."""

    what = "contents_by_weight"
    weight: MassAboveZero = Field(description="what the scale shows", examples=['"7.50 kg"'])


class VapourTable(UsesOrFlows, ReadCylinder):
    """The arguments of vapour_table."""

    what = "vapour_table"
    readings: tuple[GaugeAboveZero, ...] | None = Field(
        None, description="readings of the rows", examples=['["30 bar"]']
    )


class AfterPlateau(UseOrFlow, ReadCylinder):
    """The arguments of after_plateau."""

    what = "after_plateau"
