"""`uses.yaml`: what is done with gas, and what each way of doing it draws."""

from __future__ import annotations

from collections.abc import Iterator

from pydantic import Field

from yokebook.data.entry import Entry, Named
from yokebook.data.faults import Fault
from yokebook.data.fields import OF_THE_MACHINE, DriveGas, Flow, GasName, Text
from yokebook.units import Flow as FlowQuantity

_KINDS = ("fresh gas", "drive gas", "leak")


def _one_kind(draw: Draw) -> Iterator[Fault]:
    given = [value for value in (draw.fresh_gas, draw.drive_gas, draw.leak) if value is not None]
    if len(given) != 1:
        wrong = "each item of the list is one draw" if given else "no draw stands in this item of the list"
        yield Fault("E224", wrong, written="", allowed=f"one of {', '.join(_KINDS)}", example="[{fresh gas: 1 L/min}]")


class Draw(Entry):
    """One part of what a use takes of a gas."""

    what = "a draw"
    fresh_gas: Flow | None = Field(None, alias="fresh gas", examples=["1 L/min"])
    drive_gas: DriveGas | None = Field(None, alias="drive gas", examples=[OF_THE_MACHINE])
    leak: Flow | None = Field(None, examples=["0.5 L/min"])
    checks = (((), _one_kind),)

    @property
    def is_of_the_machine(self) -> bool:
        """True for the drive gas that a machine was measured to take."""
        return self.drive_gas == OF_THE_MACHINE

    @property
    def flow(self) -> FlowQuantity | None:
        """The flow written here; None where the machine says it."""
        if isinstance(self.drive_gas, FlowQuantity):
            return self.drive_gas
        return self.fresh_gas or self.leak


def _draws_something(use: Use) -> Iterator[Fault]:
    for gas, draws in use.draws.items():
        if not any(draw.flow is None or draw.flow.number > 0 for draw in draws):
            wrong = f"nothing is drawn of {gas}, so that a cylinder would never run out"
            yield Fault("E225", wrong, ("draws", gas), on_key=True, allowed="a flow above 0, or leave the gas out")
    if not use.draws:
        wrong = "no gas is drawn, so that a cylinder would never run out"
        example = "draws: {oxygen: [{fresh gas: 1 L/min}]}"
        yield Fault("E225", wrong, ("draws",), on_key=True, allowed="at least one gas", example=example)


class Use(Named):
    """One way of using gas, as it heads a column of a reserve table."""

    what = "a use"
    title: Text = Field(description="as it heads a column", examples=["By hand at low flow"])
    draws: dict[GasName, tuple[Draw, ...]] = Field(
        description="what it takes of each gas", examples=["{oxygen: [{fresh gas: 1 L/min}]}"]
    )
    checks = ((("draws",), _draws_something),)
