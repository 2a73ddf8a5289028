"""What the calls of the family reserve are given: a cylinder and where it is read, what is taken from it, how long."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from pydantic import Field

from yokebook.calls.arguments import Arguments
from yokebook.calls.draw import Asked
from yokebook.data.entry import Check
from yokebook.data.faults import Fault
from yokebook.data.fields import Boolean, DurationAboveZero, FlowAboveZero, GasName, GaugeAboveZero, Text
from yokebook.data.fields import Duration as DurationQuantity

MOST_COLUMNS = 6
MOST_LISTED = 16
CHANGE_RULE = (
    "how long a cylinder in use is still to last when its change begins, the change itself added; time_in_hand of its "
    "machine or of the department where left out"
)
_MOST = {"uses": MOST_COLUMNS, "flows": MOST_COLUMNS, "readings": MOST_LISTED, "times": MOST_LISTED}


def _uses_or_flows(table: UsesOrFlows) -> Iterator[Fault]:
    if (table.uses is None) == (table.flows is None):
        wrong = "uses and flows are both given" if table.uses is not None else "neither uses nor flows are given"
        yield Fault(
            "E529", wrong, allowed="uses= with names of uses.yaml, or flows= with flows", example='flows=["2 L/min"]'
        )


def _few_enough(arguments: Arguments) -> Iterator[Fault]:
    for name, most in _MOST.items():
        items = getattr(arguments, name, None)
        if items is not None and not 1 <= len(items) <= most:
            yield Fault("E529", f"{name} has {len(items)} items", (name,), allowed=f"1 to {most}")


def _use_or_flow(value: UseOrFlow) -> Iterator[Fault]:
    if (value.use is None) == (value.flow is None):
        wrong = "use and flow are both given" if value.use is not None else "neither use nor flow is given"
        allowed = "use= with a name of uses.yaml, or flow= with a flow"
        yield Fault("E529", wrong, allowed=allowed, example='flow="2 L/min"')


class UsesOrFlows(Arguments):
    """The part of a table's arguments that says what is taken: one column each."""

    uses: tuple[Text, ...] | None = Field(None, description="entries of uses.yaml", examples=['["bellows"]'])
    flows: tuple[FlowAboveZero, ...] | None = Field(None, description="flows as set", examples=['["2 L/min"]'])
    checks: ClassVar[tuple[Check, ...]] = (((), _uses_or_flows), ((), _few_enough))

    @property
    def asked(self) -> Iterator[Asked]:
        """The uses and flows, each with its place in the call."""
        for name in ("uses", "flows"):
            for number, item in enumerate(getattr(self, name) or ()):
                yield (name, number), item


class UseOrFlow(Arguments):
    """The part of a value's arguments that says what is taken."""

    use: Text | None = Field(None, description="the entry of uses.yaml", examples=['"bellows"'])
    flow: FlowAboveZero | None = Field(None, description="a flow as set", examples=['"2 L/min"'])
    checks = (((), _use_or_flow),)

    @property
    def asked(self) -> Iterator[Asked]:
        """The use or the flow, with its place in the call."""
        for name in ("use", "flow"):
            if (item := getattr(self, name)) is not None:
                yield (name,), item


class ReadCylinder(Arguments):
    """The part of the arguments that says which cylinder, and on which gauge it is read."""

    cylinder: Text = Field(description="the entry of cylinders.yaml", examples=['"oxygen-e"'])
    machine: Text | None = Field(None, description="the entry of machines.yaml", examples=['"theatre-1"'])
    gauge: Text | None = Field(None, description="the entry of gauges.yaml", examples=['"yoke-oxygen"'])


class UseOfCylinder(UseOrFlow, ReadCylinder):
    """A cylinder, and what is taken from it."""


class UsesOfCylinder(UsesOrFlows, ReadCylinder):
    """A cylinder, and what is taken from it, one column each."""


class ReserveTable(UsesOfCylinder):
    """The arguments of reserve_table."""

    what = "reserve_table"
    readings: tuple[GaugeAboveZero, ...] | None = Field(
        None, description="readings of the rows", examples=['["100 bar"]']
    )


class Contents(ReadCylinder):
    """The arguments of contents."""

    what = "contents"
    reading: GaugeAboveZero = Field(description="what the gauge shows", examples=['"100 bar"'])


class Duration(UseOfCylinder):
    """The arguments of duration."""

    what = "duration"
    reading: GaugeAboveZero = Field(description="what the gauge shows", examples=['"100 bar"'])


_MOST_CURVES = 4


def _few_curves(figure: ReserveFigure) -> Iterator[Fault]:
    for name in ("uses", "flows"):
        items = getattr(figure, name)
        if items is not None and _MOST_CURVES < len(items) <= MOST_COLUMNS:
            yield Fault("E529", f"{name} has {len(items)} items", (name,), allowed=f"1 to {_MOST_CURVES} curves")


class ReserveFigure(UsesOfCylinder):
    """The arguments of reserve_figure."""

    what = "reserve_figure"
    reading: GaugeAboveZero | None = Field(
        None, description="what the gauge shows at the start; a full cylinder's where left out", examples=['"130 bar"']
    )
    checks = (*UsesOfCylinder.checks, (("uses", "flows"), _few_curves))


class ContentsFigure(ReadCylinder):
    """The arguments of contents_figure."""

    what = "contents_figure"
    beside: Text = Field(description="the cylinder that it is set beside", examples=['"oxygen-e"'])


class ChangeAt(UseOfCylinder):
    """The arguments of change_at."""

    what = "change_at"
    time: DurationQuantity | None = Field(None, description=CHANGE_RULE, examples=['"30 min"'])
    or_more: Boolean = Field(
        False,  # the value of a field
        description='whether "or more" stands behind the reading, for a sentence that asks for it: "it must show ..."',
        examples=["true"],
    )


class LeaveWithTable(UsesOfCylinder):
    """The arguments of leave_with_table."""

    what = "leave_with_table"
    times: tuple[DurationAboveZero, ...] = Field(
        description="how long each transfer should take; the department's margin is added",
        examples=['["15 min", "30 min"]'],
    )


class CylindersNeeded(UseOfCylinder):
    """The arguments of cylinders_needed."""

    what = "cylinders_needed"
    time: DurationAboveZero = Field(
        description="how long all of them are to last; with planned=true how long it should take", examples=['"4 h"']
    )
    planned: Boolean = Field(
        False,  # the value of a field
        description="whether the department's margin on the time planned is added, as in leave_with_table",
        examples=["true"],
    )
    in_hand: DurationQuantity | None = Field(None, description=CHANGE_RULE, examples=['"15 min"'])
    reading: GaugeAboveZero | None = Field(
        None, description="what the gauge shows for each; a full cylinder's where left out", examples=['"100 bar"']
    )


class MachineReserveTable(UsesOrFlows):
    """The arguments of machine_reserve_table."""

    what = "machine_reserve_table"
    machine: Text = Field(description="the entry of machines.yaml", examples=['"theatre-1"'])
    gas: GasName = Field("oxygen", description="the gas of the cylinders", examples=['"oxygen"'])
    spare: GaugeAboveZero = Field(
        description="the least that the gauge shows for each spare cylinder, read on its own", examples=['"100 bar"']
    )
    in_hand: DurationQuantity | None = Field(None, description=CHANGE_RULE, examples=['"15 min"'])
    readings: tuple[GaugeAboveZero, ...] | None = Field(
        None, description="readings of the rows: of the cylinder in use", examples=['["100 bar"]']
    )
