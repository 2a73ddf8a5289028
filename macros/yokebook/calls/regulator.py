"""Family regulator: what a machine's regulator gives as its cylinder empties."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from pydantic import Field

from yokebook import units
from yokebook.calls import regulator_curves, working
from yokebook.calls.arguments import Arguments
from yokebook.calls.definition import Definition
from yokebook.calls.measured_regulator import MeasuredRegulator, measured_regulator
from yokebook.calls.result import Caution, Figure, Input, Table, Working
from yokebook.calls.steps import steps_down
from yokebook.data.department import Department
from yokebook.data.faults import Fault
from yokebook.data.fields import AreaRatio, GasName, GaugeAboveZero, Position, Text
from yokebook.data.ranges import PressureRange
from yokebook.data.sources import key_text
from yokebook.number_list import Shown, significant
from yokebook.physics.regulators import Kind
from yokebook.quantities import GaugePa
from yokebook.units import GaugePressure

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


def regulator_table(arguments: RegulatorTable, department: Department) -> Table:
    """What a machine's regulator gives at each reading of the cylinder gauge, between two measured outlets."""
    regulator = measured_regulator(department, arguments.machine, arguments.gas, arguments.yoke)
    dial, pipeline = regulator.dial, regulator.pipeline
    readings = _readings(regulator)
    columns, ways = ["Outlet"], [units.Rounding.NEAREST]
    cells = [[_outlet(regulator, reading)] for reading in readings]
    if pipeline:
        columns, ways = [*columns, "Below the pipeline by at least"], [*ways, units.Rounding.DOWN]
        margins = [_margin(regulator, pipeline, reading) for reading in readings]
        cells = [[*row, margin] for row, margin in zip(cells, margins, strict=True)]
    return Table(
        caption=f"What the regulator of yoke {regulator.number + 1} ({regulator.yoke.gas}) on "
        f"{regulator.machine.called} gives, by the gauge of its cylinder, for dials that end at "
        f"{dial.label(dial.high)}",
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


def _readings(regulator: MeasuredRegulator) -> tuple[GaugePa, ...]:
    """Return the readings of the rows [Pa], the highest first: steps, and what was measured on a mark or halfway."""
    dial = regulator.dial
    ends = [dial.printed(one.inlet.pa) for one in (regulator.high, regulator.low)]
    rows = {printed: dial.pa(printed) for printed in steps_down(ends[0], ends[1], dial.interval, _MOST_STEPS)}
    for one, printed in zip((regulator.high, regulator.low), ends, strict=True):
        if printed % (dial.interval / 2) == 0:
            rows[printed] = one.inlet.pa
    return tuple(rows[printed] for printed in sorted(rows, reverse=True))


def _outlet(regulator: MeasuredRegulator, reading: GaugePa) -> Shown:
    exact = significant(units.from_si(regulator.outlet(reading), regulator.unit))
    value = units.round_to(exact, regulator.step, units.Rounding.NEAREST)
    return Shown(units.with_unit(units.group(value), regulator.unit), value, exact)


def _margin(regulator: MeasuredRegulator, pipeline: PressureRange, reading: GaugePa) -> Shown:
    nominal = pipeline.low.pa - regulator.outlet(reading)
    exact = significant(units.from_si(nominal - regulator.doubt_pa, regulator.unit, difference=True))
    value = units.round_to(exact, regulator.step, units.Rounding.DOWN)
    text = units.with_unit(units.group(value), regulator.unit) if value > 0 else "not surely below"
    return Shown(text, value, significant(units.from_si(nominal, regulator.unit, difference=True)))


def _condition(regulator: MeasuredRegulator) -> str:
    high, low = regulator.high, regulator.low
    pipeline = regulator.pipeline
    beside = f" The pipeline is taken at its low value, {pipeline.low.text}." if pipeline else ""
    return (
        f"{_SEAT[regulator.physics.kind]}, as measured: {high.outlet.text} at {high.inlet.text}, {low.outlet.text} at "
        f"{low.inlet.text}. Between the two a straight line, rounded to the nearest.{beside}"
    )


def _cautions(regulator: MeasuredRegulator, cells: list[list[Shown]]) -> Iterator[Caution]:
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


def _working(regulator: MeasuredRegulator, reading: GaugePa, cells: list[Shown]) -> Working:
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
            f"{_bar(regulator.doubt_pa)} bar, what the gauge's error and half a mark of reading move the outlet, "
            "and half of the last figure measured: "
            f"{_bar(pipeline.low.pa - regulator.outlet(reading) - regulator.doubt_pa)} bar, shown as {cells[1].text}."
        )
    step = units.with_unit(units.group(regulator.step), regulator.unit)
    lines.append(f"Rounding: outlets to the nearest {step}, what lies below the pipeline down to it.")
    lines.append("Source: a straight line between two measurements, as both balances of forces at the seat are.")
    return Working(tuple(inputs), tuple(lines))


def _bar(pressure_pa: float) -> str:
    return working.digits(pressure_pa / 1e5, "0.0001")


def _machine_with_gas(figure: RegulatorFigure) -> Iterator[Fault]:
    if (figure.machine is None) != (figure.gas is None):
        wrong = (
            "a machine is named without the gas of the yoke" if figure.machine else "a gas is named without a machine"
        )
        yield Fault("E529", wrong, allowed="machine= and gas= together, or neither", example='machine="theatre-1"')
    elif figure.machine is None and figure.yoke is not None:
        yield Fault("E529", "a yoke is named without a machine", ("yoke",), allowed="yoke= with machine= and gas=")


def _set_below_the_inlet(figure: RegulatorFigure) -> Iterator[Fault]:
    if figure.set_outlet.pa >= figure.set_inlet.pa:
        wrong = "a regulator cannot be set to more than what it is fed with"
        yield Fault("E529", wrong, ("set_outlet",), allowed=f"less than {figure.set_inlet.text}", example='"3.1 bar"')


class RegulatorFigure(Arguments):
    """The arguments of regulator_figure."""

    what = "regulator_figure"
    set_inlet: GaugeAboveZero = Field(
        GaugePressure.stated("137 bar"),
        description="of the example: the pressure in the cylinder at which it was set; as shown here where left out",
        examples=['"137 bar"'],
    )
    set_outlet: GaugeAboveZero = Field(
        GaugePressure.stated("3.1 bar"),
        description="of the example: the outlet that it was set to; as shown here where left out",
        examples=['"3.1 bar"'],
    )
    area_ratio: AreaRatio = Field(
        Decimal(100),
        description="of the example: how many times the seat's area the diaphragm has; as shown here where left out",
        examples=["100"],
    )
    machine: Text | None = Field(
        None, description="the entry of machines.yaml whose measured line stands beside it", examples=['"theatre-1"']
    )
    gas: GasName | None = Field(None, description="the gas of its yoke", examples=['"oxygen"'])
    yoke: Position | None = Field(None, description="which of the machine's yokes, counted from 1", examples=["1"])
    checks = (
        (("machine", "gas", "yoke"), _machine_with_gas),
        (("set_inlet", "set_outlet"), _set_below_the_inlet),
    )


def regulator_figure(arguments: RegulatorFigure, department: Department) -> Figure:
    """A drawing of what both kinds of regulator give as their cylinder empties: an example for teaching."""
    measured = None
    if arguments.machine is not None and arguments.gas is not None:
        measured = measured_regulator(department, arguments.machine, arguments.gas, arguments.yoke)
    example = regulator_curves.Example(arguments.set_inlet, arguments.set_outlet, arguments.area_ratio)
    return regulator_curves.figure_of(department, example, measured)


CALLS = (
    Definition(RegulatorTable, regulator_table, 'regulator_table(machine="theatre-1", gas="oxygen")'),
    Definition(RegulatorFigure, regulator_figure, 'regulator_figure(machine="theatre-1", gas="oxygen")'),
)
