"""Family gauge: what a dial shows."""

from __future__ import annotations

from collections.abc import Iterator

from pydantic import Field

from yokebook.calls import gauge_error, indicator
from yokebook.calls.arguments import Arguments
from yokebook.calls.definition import Definition
from yokebook.calls.dial import dial_face, refuse_off_dial
from yokebook.calls.refusal import Refusal, pick
from yokebook.calls.result import Figure, Table
from yokebook.data.department import Department
from yokebook.data.faults import Fault
from yokebook.data.fields import GasName, Gauge, GaugeAboveZero, Text
from yokebook.figures import dial as drawing
from yokebook.numbers import Shown

MOST_ROWS = 15


class GaugeFigure(Arguments):
    """The arguments of gauge_figure."""

    what = "gauge_figure"
    gauge: Text = Field(description="the entry of gauges.yaml", examples=['"yoke-oxygen"'])
    gas: GasName = Field(description="the gas whose name stands on the dial", examples=['"oxygen"'])
    reading: Gauge = Field(description="where the pointer stands", examples=['"70 bar"'])


def gauge_figure(arguments: GaugeFigure, department: Department) -> Figure:
    """A drawing of a gauge's dial, with its own unit, span and scale interval, at a reading."""
    dial = dial_face(pick(department, "gauges", arguments.gauge, ("gauge",)))
    refuse_off_dial(dial, arguments.reading.pa, ("reading",))
    _refuse_other_gas(department, arguments)
    printed = dial.printed(arguments.reading.pa)
    drawn = drawing.Dial(arguments.gas, dial.unit_text, dial.low, dial.high, dial.interval, printed)
    svg = drawing.draw(drawn)
    title = f"Dial of the {arguments.gas} gauge {dial.gauge.key} at {dial.label(printed)}"
    keys = tuple(dial.key(field) for field in ("dial_multiplier", "scale_interval", "span", "unit"))
    words = drawing.words(drawn)
    return Figure(svg, title, Shown(dial.label(printed), printed, printed), dial.unit_text, keys, words)


def _refuse_other_gas(department: Department, arguments: GaugeFigure) -> None:
    """Refuse a gas whose cylinders are not read on the gauge: a dial bears the name of its gas."""
    yokes = (yoke for machine in department.machines.values() for yoke in machine.yokes)
    gases = {yoke.gas for yoke in yokes if yoke.gauge == arguments.gauge}
    gases |= {cylinder.gas for cylinder in department.cylinders.values() if cylinder.gauge == arguments.gauge}
    if gases and arguments.gas not in gases:
        wrong = f"the gauge {arguments.gauge} reads {' and '.join(sorted(gases))}"
        raise Refusal(
            Fault("E556", wrong, ("gas",), allowed=", ".join(sorted(gases)), example=f'"{min(gases)}"'),
        )


def _one_dial(table: GaugeTable) -> Iterator[Fault]:
    beside = [name for name in ("machine", "gas") if getattr(table, name) is not None]
    if table.gauge is None and len(beside) == 2:
        return
    if table.gauge is not None and not beside:
        return
    if table.gauge is not None:
        wrong = f"gauge is given, and {' and '.join(beside)} beside it"
    else:
        wrong = f"{beside[0]} stands alone" if beside else "no gauge is named"
    yield Fault("E529", wrong, allowed="gauge=, or machine= and gas= together", example='gauge="yoke-oxygen"')


def _few_readings(table: GaugeTable) -> Iterator[Fault]:
    if table.readings is not None and not 1 <= len(table.readings) <= MOST_ROWS:
        yield Fault("E529", f"readings has {len(table.readings)} items", ("readings",), allowed=f"1 to {MOST_ROWS}")


class GaugeTable(Arguments):
    """The arguments of gauge_table."""

    what = "gauge_table"
    gauge: Text | None = Field(None, description="the entry of gauges.yaml", examples=['"yoke-oxygen"'])
    machine: Text | None = Field(None, description="the entry of machines.yaml", examples=['"theatre-1"'])
    gas: GasName | None = Field(None, description="the gas of a yoke of the machine", examples=['"oxygen"'])
    readings: tuple[GaugeAboveZero, ...] | None = Field(
        None, description="readings of the rows", examples=['["100 bar", "50 bar"]']
    )
    checks = ((("gauge", "machine", "gas"), _one_dial), (("readings",), _few_readings))


def gauge_table(arguments: GaugeTable, department: Department) -> Table:
    """How far a dial may be out at its readings, and between what pressures the truth then lies."""
    read = gauge_error.dial_of(department, arguments.gauge, arguments.machine, arguments.gas)
    return gauge_error.table_of(read, arguments.readings)


def _few_uses(table: IndicatorTable) -> Iterator[Fault]:
    if table.uses is not None and not 1 <= len(table.uses) <= indicator.MOST_USES:
        yield Fault("E529", f"uses has {len(table.uses)} items", ("uses",), allowed=f"1 to {indicator.MOST_USES}")


class IndicatorTable(Arguments):
    """The arguments of indicator_table."""

    what = "indicator_table"
    machine: Text = Field(description="the entry of machines.yaml", examples=['"theatre-1"'])
    uses: tuple[Text, ...] | None = Field(
        None,
        description="entries of uses.yaml; left out, all that the machine can do with oxygen",
        examples=['["bellows"]'],
    )
    checks = ((("uses",), _few_uses),)


def indicator_table(arguments: IndicatorTable, department: Department) -> Table:
    """What each state of a machine's indicator lamp says, and at least how long one cylinder lasts in it."""
    machine = pick(department, "machines", arguments.machine, ("machine",))
    indicator.red_below(machine)
    found = indicator.sources_of(department, machine)
    takes = indicator.uses_of(department, machine, found[0], arguments.uses)
    return indicator.table_of(department, machine, found, takes)


CALLS = (
    Definition(GaugeFigure, gauge_figure, 'gauge_figure(gauge="yoke-oxygen", gas="oxygen", reading="70 bar")'),
    Definition(GaugeTable, gauge_table, 'gauge_table(machine="theatre-1", gas="oxygen")'),
    Definition(
        IndicatorTable, indicator_table, 'indicator_table(machine="theatre-1", uses=["bellows", "bag-low-flow"])'
    ),
)
