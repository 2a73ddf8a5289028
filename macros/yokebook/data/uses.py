"""`uses.yaml`: what is done with gas, and what each way of doing it draws."""

from __future__ import annotations

from collections.abc import Iterator

from pydantic import Field

from yokebook import gases
from yokebook.data import impossible
from yokebook.data.entry import Entry, Named
from yokebook.data.faults import Fault
from yokebook.data.fields import OF_THE_MACHINE, DriveGas, Flow, FlowTolerance, GasName, Reason, Text
from yokebook.units import Flow as FlowQuantity

_KINDS = ("fresh gas", "drive gas", "leak")


def _one_kind(draw: Draw) -> Iterator[Fault]:
    given = [value for value in (draw.fresh_gas, draw.drive_gas, draw.leak) if value is not None]
    if len(given) != 1:
        wrong = "each item of the list is one draw" if given else "no draw stands in this item of the list"
        yield Fault("E224", wrong, written="", allowed=f"one of {', '.join(_KINDS)}", example="[{fresh gas: 1 L/min}]")


def _of_a_flowmeter(draw: Draw) -> Iterator[Fault]:
    for key in ("flowmeter_for", "tolerance"):
        if draw.fresh_gas is None and getattr(draw, key) is not None:
            wrong = "no flowmeter stands behind this draw: only fresh gas is set on one"
            yield Fault("E798", wrong, (key,), on_key=True, allowed="fresh gas with it, or leave it out",
                        example="[{fresh gas: 1 L/min, tolerance: 20 %}]")  # fmt: skip
    tolerance, flow = draw.tolerance, draw.fresh_gas
    if flow is not None and isinstance(tolerance, FlowQuantity) and tolerance.si >= flow.si:
        wrong = f"with {flow.text} set this flowmeter may be out by {tolerance.text}: as much as it shows"
        yield Fault("E799", wrong, ("tolerance",), allowed=f"less than {flow.text}", example="tolerance: 20 %")


class Draw(Entry):
    """One part of what a use takes of a gas."""

    what = "a draw"
    fresh_gas: Flow | None = Field(
        None, description="as set on the flowmeters", alias="fresh gas", examples=["1 L/min"]
    )
    drive_gas: DriveGas | None = Field(
        None, description="a flow, or: of the machine", alias="drive gas", examples=[OF_THE_MACHINE]
    )
    leak: Flow | None = Field(None, description="what is lost", examples=["0.5 L/min"])
    flowmeter_for: GasName | None = Field(
        None, description="the gas that the flowmeter is marked for, where it is not the gas drawn", examples=["oxygen"]
    )
    tolerance: FlowTolerance | None = Field(
        None,
        description="how much more than it shows this flowmeter, or this outlet, may let through, as a share or as a "
        "flow; without it the department's flowmeter_tolerance",
        examples=["0.5 L/min"],
    )
    checks = (((), _one_kind), (("fresh_gas", "flowmeter_for", "tolerance"), _of_a_flowmeter))

    @property
    def key(self) -> str:
        """The kind of the draw, as an author writes it."""
        given = (self.fresh_gas, self.drive_gas, self.leak)
        return next(kind for kind, value in zip(_KINDS, given, strict=True) if value is not None)

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


def _drive_gas_once(use: Use) -> Iterator[Fault]:
    for gas, draws in use.draws.items():
        of_machine = [number for number, draw in enumerate(draws) if draw.is_of_the_machine]
        for number in of_machine[1:]:
            wrong = f"the machine's drive gas counts twice for {gas}"
            yield Fault("E267", wrong, ("draws", gas, number, "drive gas"), allowed="once for each gas",
                        example=f"{gas}: [{{fresh gas: 1 L/min}}, {{drive gas: of the machine}}]")  # fmt: skip


def _no_empty_draw(use: Use) -> Iterator[Fault]:
    for gas, draws in use.draws.items():
        nothing = [draw.flow is not None and draw.flow.number == 0 for draw in draws]
        for number in (number for number, is_nothing in enumerate(nothing) if is_nothing and not all(nothing)):
            wrong = "nothing is drawn here; a draw that takes nothing may be one that was forgotten"
            at = ("draws", gas, number, draws[number].key)
            yield Fault("E268", wrong, at, allowed="a flow above 0, or leave it out",
                        example=f"{gas}: [{{fresh gas: 1 L/min}}]")  # fmt: skip


def _possible_flows(use: Use) -> Iterator[Fault]:
    for gas, draws in use.draws.items():
        for number, draw in enumerate(draws):
            at = ("draws", gas, number, draw.key)
            # A leak may be small; one that is larger than any flow is a slip all the same.
            if draw.leak is None or draw.leak.si > impossible.FLOW.high.si:
                yield from impossible.FLOW.faults(draw.flow if draw.flow and draw.flow.number else None, at)


def _known_flowmeters(use: Use) -> Iterator[Fault]:
    for gas, draws in use.draws.items():
        for number, draw in enumerate(draws):
            if draw.fresh_gas is None:
                continue
            allowed = ", ".join((*gases.FIXED, gas) if gas in gases.MIXTURE_NAMES else gases.FIXED)
            example = f"{gas}: [{{fresh gas: {draw.fresh_gas.text}, flowmeter_for: oxygen}}]"
            if draw.flowmeter_for is None and gas in gases.MIXTURE_NAMES:
                wrong = f"for which gas is this flowmeter marked? One marked for oxygen shows a wrong flow of {gas}"
                yield Fault("E796", wrong, ("draws", gas, number), allowed=f"flowmeter_for: {allowed}", example=example)
            elif draw.flowmeter_for in gases.MIXTURE_NAMES and draw.flowmeter_for != gas:
                wrong = f"of which {draw.flowmeter_for}? How much {gas} such a flowmeter lets through is not known"
                at = ("draws", gas, number, "flowmeter_for")
                yield Fault("E796", wrong, at, allowed=allowed, example=example)


class UseAnswers(Entry):
    """The department's reasons for what is unusual about a use."""

    what = "answers of a use"
    little_drawn: Reason | None = Field(
        None,
        description="why so little gas is drawn",
        alias="little-drawn",
        examples=["a sampling line is all that takes it"],
    )
    flowmeter_gas: Reason | None = Field(
        None,
        description="why its flowmeter is marked for another gas",
        alias="flowmeter-gas",
        examples=["the laboratory's bench has oxygen tubes alone"],
    )
    flowmeter_tolerance: Reason | None = Field(
        None,
        description="why its flowmeter is so exact",
        alias="flowmeter-tolerance",
        examples=["an electronic flowmeter, calibrated each year"],
    )
    little_drive: Reason | None = Field(
        None,
        description="why so little gas drives the ventilator",
        alias="little-drive",
        examples=["an electric bellows, gas moves its valves alone"],
    )


class Use(Named):
    """One way of using gas, as it heads a column of a reserve table."""

    what = "a use"
    title: Text = Field(description="as it heads a column", examples=["By hand at low flow"])
    draws: dict[GasName, tuple[Draw, ...]] = Field(
        description="what it takes of each gas", examples=["{oxygen: [{fresh gas: 1 L/min}]}"]
    )
    answers: UseAnswers = Field(
        UseAnswers(),
        description="reasons for what is unusual",
        examples=["{little-drawn: a sampling line is all that takes it}"],
    )
    checks = (
        (("draws",), _draws_something),
        (("draws",), _drive_gas_once),
        (("draws",), _no_empty_draw),
        (("draws",), _possible_flows),
        (("draws",), _known_flowmeters),
    )
