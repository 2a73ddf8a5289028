"""What a use takes of one gas: from the data's draws, or a flow in the call, to the physics' range of draws."""

from __future__ import annotations

from dataclasses import dataclass

from yokebook import units
from yokebook.calls.refusal import Refusal, in_range
from yokebook.calls.result import Input
from yokebook.calls.supply import Supply
from yokebook.data import uses
from yokebook.data.department import Department
from yokebook.data.faults import Fault, Path
from yokebook.data.sources import key_text
from yokebook.physics import bounds
from yokebook.quantities import GasCubicMetresPerSecond


@dataclass(frozen=True)
class Drawn:
    """One column of a reserve table: its title, the use as physics takes it, and where its values are kept."""

    title: str
    physics: bounds.Use
    inputs: tuple[Input, ...]

    @property
    def greatest_flow(self) -> GasCubicMetresPerSecond:
        """The most that the use may take [m3/s]."""
        return self.physics.highest.flow

    @property
    def head(self) -> str:
        """What heads the column: the title and the most that the use may take, rounded up."""
        return f"{self.title}: up to {units.shown(self.greatest_flow, 'L/min', '0.1', units.Rounding.UP)}"


def of_use(use: uses.Use, supply: Supply, department: Department, at: Path) -> Drawn:
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
    inputs = [Input(f"{use.title}: draws of {gas}", _draws_text(draws), key_text(("uses", use.key, "draws", gas)))]
    drive = bounds.Range.exactly(GasCubicMetresPerSecond(sum(_si(draw.drive_gas) for draw in draws)))
    if any(draw.is_of_the_machine for draw in draws):
        measured, measured_inputs = _drive_of_machine(use, supply, at)
        drive = bounds.Range(
            *(GasCubicMetresPerSecond(drive.low + part) for part in (measured.low, measured.nominal, measured.high))
        )
        inputs += measured_inputs
    leak = sum(_si(draw.leak) for draw in draws)
    if supply.machine and gas == "oxygen":
        leak += supply.machine.standing_draw.m3_per_s
        key = key_text(("machines", supply.machine.key, "standing_draw"))
        inputs.append(Input("Standing draw of the machine", supply.machine.standing_draw.text, key))
    fresh_gas = GasCubicMetresPerSecond(sum(_si(draw.fresh_gas) for draw in draws))
    return _drawn(use.title, fresh_gas, drive, GasCubicMetresPerSecond(leak), supply, department, tuple(inputs), at)


def of_flow(flow: units.Flow, supply: Supply, department: Department, at: Path) -> Drawn:
    """Return a flow set on a flowmeter as what is taken, nothing else being drawn."""
    none = bounds.Range.exactly(GasCubicMetresPerSecond(0.0))
    title = f"{flow.text} set"
    return _drawn(title, flow.m3_per_s, none, GasCubicMetresPerSecond(0.0), supply, department, (), at)


def _drawn(
    title: str,
    fresh_gas: GasCubicMetresPerSecond,
    drive: bounds.Range[GasCubicMetresPerSecond],
    leak: GasCubicMetresPerSecond,
    supply: Supply,
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
    use: uses.Use, supply: Supply, at: Path
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
