"""What a use takes of one gas: from the data's draws, or a flow in the call, to the physics' range of draws."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from typing import Protocol

from yokebook import gases, units
from yokebook.calls.refusal import Refusal, every, in_range, pick
from yokebook.calls.result import Input
from yokebook.data import cylinders, impossible, machines, uses
from yokebook.data.department import Department
from yokebook.data.faults import Fault, Path
from yokebook.data.sources import key_text
from yokebook.number_list import significant
from yokebook.physics import bounds
from yokebook.physics.contents import Condition
from yokebook.quantities import GasCubicMetresPerSecond

# Common practice, no source: the mixture is breathed through a demand valve, which has nothing to set.
_BREATHED = gases.FIFTY_FIFTY
_LITRES_A_MINUTE = units.SPELLINGS["L/min"]


class DrawnFrom(Protocol):
    """What gas is drawn from: a cylinder, the machine that it supplies, and the condition in which litres count."""

    @property
    def entry(self) -> cylinders.Cylinder: ...
    @property
    def machine(self) -> machines.Machine | None: ...
    @property
    def condition(self) -> Condition: ...


@dataclass(frozen=True)
class Drawn:
    """One column of a reserve table: its title with the flow that is set, the use as physics takes it, its inputs."""

    title: str
    physics: bounds.Use
    inputs: tuple[Input, ...]

    @property
    def greatest_flow(self) -> GasCubicMetresPerSecond:
        """The most that the use may take [m3/s]."""
        return self.physics.highest.flow

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
    fresh_gas = GasCubicMetresPerSecond(sum(_si(draw.fresh_gas) for draw in draws))
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
    return _drawn(title, fresh_gas, drive, GasCubicMetresPerSecond(leak), supply, department, tuple(inputs), at)


def of_flow(flow: units.Flow, supply: DrawnFrom, department: Department, at: Path) -> Drawn:
    """Return a flow set on a flowmeter as what is taken, nothing else being drawn but a machine's standing draw."""
    for fault in impossible.SET_FLOW.faults(flow, at):
        raise Refusal(fault)
    none = bounds.Range.exactly(GasCubicMetresPerSecond(0.0))
    standing, inputs = _standing_draw(supply)
    return _drawn(f"{flow.text} set", flow.m3_per_s, none, standing, supply, department, inputs, at)


def _drawn(
    title: str,
    fresh_gas: GasCubicMetresPerSecond,
    drive: bounds.Range[GasCubicMetresPerSecond],
    leak: GasCubicMetresPerSecond,
    supply: DrawnFrom,
    department: Department,
    inputs: tuple[Input, ...],
    at: Path,
) -> Drawn:
    tolerance = department.settings.flowmeter_tolerance
    use = bounds.Use(fresh_gas, tolerance.fraction, drive, bounds.Range.exactly(leak), supply.condition)
    in_range(lambda: use.nominal, at)
    return Drawn(
        title, use, (*inputs, Input("Tolerance of the flowmeter", tolerance.text, "department.flowmeter_tolerance"))
    )


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
        f"{word} {value.text if isinstance(value, units.Flow) else value}"
        for draw in draws
        for word, name in parts
        if (value := getattr(draw, name)) is not None
    ]
    return ", ".join(told)
