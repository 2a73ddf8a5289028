"""Family regulator: what a machine's regulator gives as its cylinder empties."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from pydantic import Field

from yokebook import units
from yokebook.calls import working
from yokebook.calls.arguments import Arguments
from yokebook.calls.definition import Definition
from yokebook.calls.dial import DialFace, dial_face
from yokebook.calls.refusal import Refusal, in_range, pick, pick_named
from yokebook.calls.result import Caution, Input, Table, Working
from yokebook.calls.steps import steps_down
from yokebook.data import dials
from yokebook.data.department import Department
from yokebook.data.faults import Fault
from yokebook.data.fields import GasName, Position, Text
from yokebook.data.machines import Machine, MeasuredOutlet, Yoke
from yokebook.data.ranges import PressureRange
from yokebook.data.sources import key_text
from yokebook.numbers import Shown, significant
from yokebook.physics.gauges import temperature_effect
from yokebook.physics.regulators import Characteristic, Kind
from yokebook.quantities import DifferencePa, GaugePa

_MOST_STEPS = 6
_SEAT = {
    Kind.INLET_OPENS: "Inlet pressure opens the seat: the outlet falls as the cylinder empties",
    Kind.INLET_CLOSES: "Inlet pressure closes the seat: the outlet rises as the cylinder empties",
    Kind.BALANCED: "Inlet pressure does not move the seat: the outlet stays as the cylinder empties",
}
_NO_FLOW = Caution(
    "NOTICE",
    "These are outlets as measured, at one flow. With less flow a regulator's outlet stands higher, and so nearer to "
    "the pipeline; with more, lower.",
)
_BEYOND = Caution(
    "WARNING",
    "Beyond the two measured readings nothing is told: a nearly empty cylinder no longer holds the outlet.",
)


class RegulatorTable(Arguments):
    """The arguments of regulator_table."""

    what = "regulator_table"
    machine: Text = Field(description="the entry of machines.yaml", examples=['"theatre-1"'])
    gas: GasName = Field(description="the gas of the yoke", examples=['"oxygen"'])
    yoke: Position | None = Field(None, description="which of the machine's yokes, counted from 1", examples=["1"])


@dataclass(frozen=True)
class _Regulator:
    """One regulator as measured: its place, its dial, its two outlets, and the pipeline that it stands beside."""

    machine: Machine
    number: int
    yoke: Yoke
    dial: DialFace
    high: MeasuredOutlet
    low: MeasuredOutlet
    physics: Characteristic
    warmth: DifferencePa

    @property
    def pipeline(self) -> PressureRange | None:
        """What the pipeline of the same gas keeps, where there is one."""
        return self.machine.pipeline.get(self.yoke.gas)

    @property
    def unit(self) -> units.Unit:
        """The unit in which its outlet was measured."""
        return self.high.outlet.unit

    @property
    def step(self) -> Decimal:
        """The last figure of the coarser of the two measured outlets, in their unit."""
        exponents = [_exponent(one.outlet) for one in (self.high, self.low) if one.outlet.unit == self.unit]
        return Decimal(1).scaleb(max(exponents))

    @property
    def doubt_pa(self) -> float:
        """How much higher the outlet may be than the straight line says at a reading [Pa].

        The gauge's possible error, its own temperature included, times the supply effect, and half of the last figure
        that was measured. A gauge of unknown accuracy may stand for any reading between the two measured.
        """
        error = dials.possible_error(self.dial.gauge)
        half = units.to_si(self.step / 2, self.unit)
        span = self.physics.high_inlet - self.physics.low_inlet
        return abs(self.physics.effect) * (error(self.dial.face.high) + self.warmth if error else span) + half

    def outlet(self, reading: GaugePa) -> GaugePa:
        """The outlet at a reading [Pa]."""
        return in_range(lambda: self.physics.outlet(reading), ("machine",))

    def key(self, field: str) -> str:
        """The data key of one of the yoke's fields."""
        return key_text(("machines", self.machine.key, "yokes", self.number, field))


def regulator_table(arguments: RegulatorTable, department: Department) -> Table:
    """What a machine's regulator gives at each reading of the cylinder gauge, between two measured outlets."""
    regulator = _regulator(arguments, department)
    dial, pipeline = regulator.dial, regulator.pipeline
    readings = _readings(regulator)
    columns, ways = ["Outlet"], [units.Rounding.NEAREST]
    cells = [[_outlet(regulator, reading)] for reading in readings]
    if pipeline:
        columns, ways = [*columns, "Below the pipeline by at least"], [*ways, units.Rounding.DOWN]
        margins = [_margin(regulator, pipeline, reading) for reading in readings]
        cells = [[*row, margin] for row, margin in zip(cells, margins, strict=True)]
    return Table(
        caption=f"What the regulator of yoke {regulator.number + 1} ({regulator.yoke.gas}) on {regulator.machine.key} "
        f"gives, by the gauge of its cylinder, for dials that end at {dial.label(dial.high)}",
        condition=_condition(regulator),
        corner=f"Reading ({dial.unit_text})",
        rows=tuple(units.group(dial.printed(reading).normalize()) for reading in readings),
        columns=tuple(columns),
        cells=tuple(tuple(row) for row in cells),
        unit=regulator.unit.symbol,
        rounding=tuple(ways),
        cautions=(_BEYOND, *_cautions(regulator, cells), _NO_FLOW),
        working=_working(regulator, readings[0], cells[0]),
    )


def _regulator(arguments: RegulatorTable, department: Department) -> _Regulator:
    machine: Machine = pick(department, "machines", arguments.machine, ("machine",))
    number, yoke = _measured_yoke(machine, arguments)
    assert yoke.measured_outlets is not None
    low, high = sorted(yoke.measured_outlets, key=lambda measured: measured.inlet.pa)
    dial = dial_face(pick_named(department, "gauges", yoke.gauge or ""))
    physics = in_range(lambda: Characteristic(high.inlet.pa, high.outlet.pa, low.inlet.pa, low.outlet.pa), ("machine",))
    place = pick_named(department, "places", machine.place).temperature
    warmth = max(temperature_effect(dial.face, end.k) for end in (place.low, place.high))
    return _Regulator(machine, number, yoke, dial, high, low, physics, warmth)


def _measured_yoke(machine: Machine, arguments: RegulatorTable) -> tuple[int, Yoke]:
    """Return the one yoke that is meant, counted from 0, or refuse."""
    of_gas = [(number, yoke) for number, yoke in enumerate(machine.yokes) if yoke.gas == arguments.gas]
    if not of_gas:
        gases = ", ".join(dict.fromkeys(yoke.gas for yoke in machine.yokes))
        wrong = f"{machine.key} has no yoke for {arguments.gas}"
        raise Refusal(Fault("E547", wrong, ("gas",), allowed=gases, example=f'"{machine.yokes[0].gas}"'))
    measured = [(number, yoke) for number, yoke in of_gas if yoke.measured_outlets]
    if not measured:
        raise Refusal(
            Fault(
                "E547",
                f"no outlets of a regulator for {arguments.gas} were measured on {machine.key}, and figures of a book "
                "are not those of this machine",
                ("machine",),
                allowed="a machine whose yoke has measured_outlets in machines.yaml",
                example="measured_outlets: [{inlet: 130 bar, outlet: 3.10 bar}, {inlet: 30 bar, outlet: 2.80 bar}]",
            )
        )
    wanted = [one for one in measured if arguments.yoke is None or one[0] + 1 == arguments.yoke]
    # Yokes that say the same of their regulator share it, so it does not matter which of them is meant.
    if len({yoke.measured_outlets for _, yoke in wanted}) == 1:
        return wanted[0]
    wrong = (
        f"yoke {arguments.yoke} of {machine.key} has no measured outlets for {arguments.gas}"
        if arguments.yoke is not None
        else f"several yokes of {machine.key} have regulators for {arguments.gas} that were measured differently"
    )
    at = ("machine",) if arguments.yoke is None else ("yoke",)
    allowed = " or ".join(f"yoke={number + 1}" for number, _ in measured)
    raise Refusal(Fault("E548", wrong, at, allowed=allowed, example=f"yoke={measured[0][0] + 1}"))


def _readings(regulator: _Regulator) -> tuple[GaugePa, ...]:
    """Return the readings of the rows [Pa], the highest first: steps, and what was measured on a mark or halfway."""
    dial = regulator.dial
    ends = [dial.printed(one.inlet.pa) for one in (regulator.high, regulator.low)]
    rows = {printed: dial.pa(printed) for printed in steps_down(ends[0], ends[1], dial.interval, _MOST_STEPS)}
    for one, printed in zip((regulator.high, regulator.low), ends, strict=True):
        if printed % (dial.interval / 2) == 0:
            rows[printed] = one.inlet.pa
    return tuple(rows[printed] for printed in sorted(rows, reverse=True))


def _outlet(regulator: _Regulator, reading: GaugePa) -> Shown:
    exact = significant(units.from_si(regulator.outlet(reading), regulator.unit))
    value = units.round_to(exact, regulator.step, units.Rounding.NEAREST)
    return Shown(units.with_unit(units.group(value), regulator.unit), value, exact)


def _margin(regulator: _Regulator, pipeline: PressureRange, reading: GaugePa) -> Shown:
    nominal = pipeline.low.pa - regulator.outlet(reading)
    exact = significant(units.from_si(nominal - regulator.doubt_pa, regulator.unit, difference=True))
    value = units.round_to(exact, regulator.step, units.Rounding.DOWN)
    text = units.with_unit(units.group(value), regulator.unit) if value > 0 else "not surely below"
    return Shown(text, value, significant(units.from_si(nominal, regulator.unit, difference=True)))


def _condition(regulator: _Regulator) -> str:
    high, low = regulator.high, regulator.low
    pipeline = regulator.pipeline
    beside = f" The pipeline is taken at its low value, {pipeline.low.text}." if pipeline else ""
    return (
        f"{_SEAT[regulator.physics.kind]}, as measured: {high.outlet.text} at {high.inlet.text}, {low.outlet.text} at "
        f"{low.inlet.text}. Between the two a straight line, rounded to the nearest.{beside}"
    )


def _cautions(regulator: _Regulator, cells: list[list[Shown]]) -> Iterator[Caution]:
    pipeline, gas = regulator.pipeline, regulator.yoke.gas
    if pipeline is None:
        yield Caution("NOTICE", f"No pipeline of {gas} is known for this machine: the cylinder alone feeds it.")
    elif all(margin.value is not None and margin.value > 0 for _, margin in cells):
        yield Caution(
            "NOTICE",
            f"The pipeline ({pipeline.low.text} or more) stays above the outlet at each reading of this table, so the "
            "machine takes it first. Close the cylinder all the same: where the pipeline fails, an open one empties "
            "unseen.",
        )
    else:
        yield Caution(
            "WARNING",
            f"The pipeline may be as low as {pipeline.low.text}, not surely above the outlet at each reading of this "
            "table: an open cylinder may empty while the pipeline holds. Keep it closed.",
        )


def _working(regulator: _Regulator, reading: GaugePa, cells: list[Shown]) -> Working:
    high, low, dial, pipeline = regulator.high, regulator.low, regulator.dial, regulator.pipeline
    measured = f"{high.outlet.text} at {high.inlet.text}, {low.outlet.text} at {low.inlet.text}"
    place = Input(
        "Place of the machine", regulator.machine.place, key_text(("machines", regulator.machine.key, "place"))
    )
    inputs = [Input("Outlets measured", measured, regulator.key("measured_outlets")), *dial.inputs, place]
    effect = regulator.physics.effect
    shown = units.shown(reading, "bar", "0.01")
    lines = [
        "Outlet = outlet at the lower inlet + supply effect × (reading − lower inlet); supply effect = (outlet at the "
        "higher inlet − outlet at the lower) ÷ (higher inlet − lower inlet).",
        f"Supply effect: ({_bar(high.outlet.pa)} − {_bar(low.outlet.pa)}) bar ÷ ({_bar(high.inlet.pa)} − "
        f"{_bar(low.inlet.pa)}) bar = {working.digits(effect, '0.000001')}.",
        f"First row, {shown}: {_bar(low.outlet.pa)} + {working.digits(effect, '0.000001')} × ({_bar(reading)} − "
        f"{_bar(low.inlet.pa)}) = {_bar(regulator.outlet(reading))} bar, shown as {cells[0].text}.",
    ]
    if pipeline:
        key = key_text(("machines", regulator.machine.key, "pipeline", regulator.yoke.gas))
        inputs.append(Input(f"Pipeline of {regulator.yoke.gas}", f"{pipeline.low.text} to {pipeline.high.text}", key))
        lines.append(
            f"Below the pipeline: {_bar(pipeline.low.pa)} − {_bar(regulator.outlet(reading))} − "
            f"{_bar(regulator.doubt_pa)} bar, what the gauge's error moves the outlet and half of the last figure "
            f"measured: {_bar(pipeline.low.pa - regulator.outlet(reading) - regulator.doubt_pa)} bar, shown as "
            f"{cells[1].text}."
        )
    step = units.with_unit(units.group(regulator.step), regulator.unit)
    lines.append(f"Rounding: outlets to the nearest {step}, what lies below the pipeline down to it.")
    lines.append("Source: a straight line between two measurements, as both balances of forces at the seat are.")
    return Working(tuple(inputs), tuple(lines))


def _bar(pressure_pa: float) -> str:
    return working.digits(pressure_pa / 1e5, "0.0001")


def _exponent(quantity: units.Quantity) -> int:
    exponent = quantity.number.as_tuple().exponent
    assert isinstance(exponent, int)
    return exponent


CALLS = (Definition(RegulatorTable, regulator_table, 'regulator_table(machine="theatre-1", gas="oxygen")'),)
