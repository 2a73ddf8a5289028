"""What a use takes of one gas: from the data's draws, or a flow in the call, to the physics' range of draws."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from typing import Protocol

from yokebook import gases, units
from yokebook.calls import cooling
from yokebook.calls.refusal import Refusal, every, in_range, pick
from yokebook.calls.result import Input
from yokebook.data import impossible, uses
from yokebook.data.department import Department
from yokebook.data.faults import Fault, Path
from yokebook.data.sources import key_text
from yokebook.number_list import significant
from yokebook.physics import bounds, flowmeters
from yokebook.physics.contents import Condition
from yokebook.quantities import GasCubicMetresPerSecond, Kelvin

# Common practice, no source: the mixture is breathed through a demand valve, which has nothing to set.
_BREATHED = gases.FIFTY_FIFTY
_LITRES_A_MINUTE = units.SPELLINGS["L/min"]


class DrawnFrom(cooling.OnDraw, Protocol):
    """What gas is drawn from: a cylinder, the machine that it supplies, and the condition in which litres count."""

    @property
    def condition(self) -> Condition: ...


@dataclass(frozen=True)
class Drawn:
    """One column of a reserve table: its title with the flow that is set, the use as physics takes it, its inputs.

    Also what its flowmeters may let through, in words, and what boiling does to a cylinder of liquefied gas.
    """

    title: str
    physics: bounds.Use
    inputs: tuple[Input, ...]
    flowmeters: tuple[str, ...]
    boiling: cooling.Boiling | None

    @property
    def greatest_flow(self) -> GasCubicMetresPerSecond:
        """The most that the use may take [m3/s]."""
        return self.physics.highest.flow

    @property
    def coldest(self) -> Kelvin | None:
        """How cold [K] it may make a cylinder of liquefied gas; None for a compressed one."""
        return self.boiling.coldest if self.boiling else None

    @property
    def head(self) -> str:
        """What heads the column: the title with the flow that is set, and the most that may flow, rounded up."""
        flow = significant(units.from_si(self.greatest_flow, _LITRES_A_MINUTE))
        most = units.round_to(flow, Decimal("0.1"), units.Rounding.UP)
        return f"{self.title}: up to {units.with_unit(units.group(most), _LITRES_A_MINUTE)}"


Asked = tuple[Path, str | units.Flow]
"""What a call asks for: the argument, and there the name of a use or a flow."""
Taken = tuple[Path, uses.Use | units.Flow]
"""The same with the use itself."""


def taken(department: Department, asked: Iterable[Asked]) -> tuple[Taken, ...]:
    """Return the uses and flows that a call asks for, or refuse with every name that leads nowhere."""

    def one(at: Path, what: str | units.Flow) -> Taken:
        return at, pick(department, "uses", what, at) if isinstance(what, str) else what

    return every(partial(one, at, what) for at, what in asked)


def of_all(takes: Iterable[Taken], supply: DrawnFrom, department: Department) -> tuple[Drawn, ...]:
    """Return what each use or flow takes of the cylinder's gas, the greediest first."""

    def one(at: Path, what: uses.Use | units.Flow) -> Drawn:
        if isinstance(what, units.Flow):
            return of_flow(what, supply, department, at)
        return of_use(what, supply, department, at)

    drawn = every(partial(one, at, what) for at, what in takes)
    return tuple(sorted(drawn, key=lambda column: column.greatest_flow, reverse=True))


def of_use(use: uses.Use, supply: DrawnFrom, department: Department, at: Path) -> Drawn:
    """Return what a use of the data takes of the cylinder's gas, the machine's drive gas and standing draw included."""
    gas = supply.entry.gas
    draws = use.draws.get(gas)
    if not draws:
        raise Refusal(
            Fault(
                "E528",
                f"the use {use.key} takes no {gas}",
                at,
                allowed=f"a use whose draws name {gas}",
                example=f"draws: {{{gas}: [{{fresh gas: 1 L/min}}]}}",
            )
        )
    title = units.held_together(use.title + _set(draws, supply.entry.contents))
    inputs = [Input(f"{title}: draws of {gas}", _draws_text(draws), key_text(("uses", use.key, "draws", gas)))]
    drive = bounds.Range.exactly(GasCubicMetresPerSecond(sum(_si(draw.drive_gas) for draw in draws)))
    if any(draw.is_of_the_machine for draw in draws):
        measured, measured_inputs = _drive_of_machine(use, supply, at)
        drive = bounds.Range(
            *(GasCubicMetresPerSecond(drive.low + part) for part in (measured.low, measured.nominal, measured.high))
        )
        inputs += measured_inputs
    standing, standing_inputs = _standing_draw(supply)
    inputs += standing_inputs
    leak = standing + sum(_si(draw.leak) for draw in draws)
    fresh_gas = [_Set.of_draw(draw, supply, department) for draw in draws if draw.fresh_gas is not None]
    return _drawn(title, fresh_gas, drive, GasCubicMetresPerSecond(leak), supply, department, tuple(inputs), at)


def of_flow(flow: units.Flow, supply: DrawnFrom, department: Department, at: Path) -> Drawn:
    """Return a flow set on a flowmeter as what is taken, nothing else being drawn but a machine's standing draw."""
    for fault in impossible.SET_FLOW.faults(flow, at):
        raise Refusal(fault)
    gas = supply.entry.gas
    if gas in gases.MIXTURE_NAMES:
        raise Refusal(
            Fault(
                "E797",
                f"for which gas is the flowmeter marked? One marked for oxygen shows a wrong flow of {gas}",
                at,
                allowed="a use whose draw says it with flowmeter_for",
                example=f"draws: {{{gas}: [{{fresh gas: {flow.text}, flowmeter_for: oxygen}}]}}",
            )
        )
    fresh_gas = [_Set.of_draw(uses.Draw.model_construct(fresh_gas=flow), supply, department)]
    none = bounds.Range.exactly(GasCubicMetresPerSecond(0.0))
    standing, inputs = _standing_draw(supply)
    return _drawn(f"{flow.text} set", fresh_gas, none, standing, supply, department, inputs, at)


def _drawn(
    title: str,
    fresh_gas: list[_Set],
    drive: bounds.Range[GasCubicMetresPerSecond],
    leak: GasCubicMetresPerSecond,
    supply: DrawnFrom,
    department: Department,
    inputs: tuple[Input, ...],
    at: Path,
) -> Drawn:
    tolerance = department.settings.flowmeter_tolerance
    through = sum((one.through for one in fresh_gas), 0.0)
    tolerances = {one.tolerance for one in fresh_gas} or {tolerance.fraction}
    # One tolerance for all is kept to its last digit; several weigh by what they let through.
    mean = (
        tolerances.pop()
        if len(tolerances) == 1
        else sum(one.through * one.tolerance for one in fresh_gas) / max(through, math.ulp(0.0))
    )
    use = bounds.Use(GasCubicMetresPerSecond(through), mean, drive, bounds.Range.exactly(leak), supply.condition)
    in_range(lambda: use.nominal, at)
    if any(one.of_department for one in fresh_gas) or not fresh_gas:
        key = "department.flowmeter_tolerance"
        inputs = (*inputs, Input("Tolerance of the flowmeter", tolerance.text, key))
    told = tuple(dict.fromkeys(one.text for one in fresh_gas)) or (_letting_through(tolerance.text),)
    return Drawn(title, use, inputs, told, cooling.boiling(supply, use, department, at))


@dataclass(frozen=True)
class _Set:
    """A flow set on one flowmeter: what it nominally lets through [m3/s], its tolerance as a share, and in words."""

    through: float
    tolerance: float
    of_department: bool
    text: str

    @classmethod
    def of_draw(cls, draw: uses.Draw, supply: DrawnFrom, department: Department) -> _Set:
        """Return the fresh gas of a draw on its flowmeter: marked for its own gas where no other is named."""
        assert draw.fresh_gas is not None
        gas, name = supply.entry.contents, draw.flowmeter_for or supply.entry.gas
        marked_for = gas if name == supply.entry.gas else gases.FIXED[name]
        times = flowmeters.most_let_through(gas, marked_for, supply.condition, department.ambient)
        tolerance = draw.tolerance or department.settings.flowmeter_tolerance
        share = tolerance.si / draw.fresh_gas.si if isinstance(tolerance, units.Flow) else tolerance.fraction
        text = _letting_through(tolerance.text)
        if times > 1.0:
            text = f"flowmeter marked for {name}{text.removeprefix('flowmeter')}, and {_times(times)} times that of "
            text += f"{gas.name} in the air here" if name == gas.name else gas.name
        return cls(draw.fresh_gas.si * times, share, draw.tolerance is None, text)


def _letting_through(tolerance: str) -> str:
    return f"flowmeter letting through {tolerance} more than it shows"


def _times(factor: float) -> Decimal:
    return units.round_to(significant(Decimal(factor)), Decimal("0.01"), units.Rounding.NEAREST)


def flowmeters_text(columns: Iterable[Drawn]) -> tuple[str, ...]:
    """Return what the flowmeters of several columns may let through, each once, in words."""
    return tuple(dict.fromkeys(text for column in columns for text in column.flowmeters))


def _drive_of_machine(
    use: uses.Use, supply: DrawnFrom, at: Path
) -> tuple[bounds.Range[GasCubicMetresPerSecond], list[Input]]:
    machine, gas = supply.machine, supply.entry.gas
    if machine is None:
        raise Refusal(
            Fault(
                "E528",
                f"the use {use.key} takes the drive gas of a machine, and none is named",
                ("machine",),
                on_key=True,
                allowed="machine= with the name of a machine",
                example='machine="theatre-1"',
            )
        )
    if machine.drive_gas != gas:
        driven = f"by {machine.drive_gas}" if machine.drive_gas else "without gas"
        raise Refusal(
            Fault(
                "E528",
                f"the use {use.key} takes {gas} as drive gas, and the ventilator of {machine.key} is driven {driven}",
                at,
                allowed=f"a machine whose drive gas is {gas}",
                example=f"drive: {{gas: {gas}, usual: 6 L/min, high: 9 L/min}}",
            )
        )
    drive = machine.drive
    assert drive.usual is not None
    assert drive.high is not None
    key = key_text(("machines", machine.key, "drive"))
    inputs = [Input("Drive gas of the machine", f"usually {drive.usual.text}, at most {drive.high.text}", key)]
    return bounds.Range(drive.usual.m3_per_s, drive.usual.m3_per_s, drive.high.m3_per_s), inputs


def _standing_draw(supply: DrawnFrom) -> tuple[GasCubicMetresPerSecond, tuple[Input, ...]]:
    """Return what a machine takes of the cylinder's gas for as long as it is on, and where that is kept."""
    if supply.machine is None or supply.entry.gas != "oxygen":
        return GasCubicMetresPerSecond(0.0), ()
    standing, key = supply.machine.standing_draw, key_text(("machines", supply.machine.key, "standing_draw"))
    return standing.m3_per_s, (Input("Standing draw of the machine", standing.text, key),)


def _set(draws: tuple[uses.Draw, ...], gas: gases.Gas) -> str:
    """Return the flow that is set on the flowmeter, as it follows a title; "" where none is."""
    flows = [draw.fresh_gas for draw in draws if draw.fresh_gas is not None]
    if not flows:
        return ""
    litres = significant(units.from_si(sum(flow.si for flow in flows), _LITRES_A_MINUTE))
    text = flows[0].text if len(flows) == 1 else units.with_unit(units.group(litres), _LITRES_A_MINUTE)
    return f", {text} {'breathed' if gas is _BREATHED else 'set'}"


def _si(flow: units.Flow | str | None) -> float:
    return flow.si if isinstance(flow, units.Flow) else 0.0


def _draws_text(draws: tuple[uses.Draw, ...]) -> str:
    parts = (("fresh gas", "fresh_gas"), ("drive gas", "drive_gas"), ("leak", "leak"))
    told = [
        f"{word} {value.text if isinstance(value, units.Flow) else value}{_flowmeter_text(draw)}"
        for draw in draws
        for word, name in parts
        if (value := getattr(draw, name)) is not None
    ]
    return ", ".join(told)


def _flowmeter_text(draw: uses.Draw) -> str:
    marked_for = [f"flowmeter marked for {draw.flowmeter_for}"] if draw.flowmeter_for else []
    tolerance = [f"tolerance {draw.tolerance.text}"] if draw.tolerance else []
    return f" ({', '.join((*marked_for, *tolerance))})" if marked_for or tolerance else ""
