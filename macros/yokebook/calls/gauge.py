"""Family gauge: what a dial shows."""

from __future__ import annotations

from collections.abc import Iterator

from pydantic import Field

from yokebook.calls import gauge_cutaway, gauge_drawing, gauge_error, indicator, plateau
from yokebook.calls.arguments import Arguments
from yokebook.calls.definition import Definition
from yokebook.calls.refusal import both, pick
from yokebook.calls.reserve_arguments import CHANGE_RULE, ReadCylinder
from yokebook.calls.result import Figure, Table
from yokebook.calls.vapour import liquefied_cylinder
from yokebook.data.department import Department
from yokebook.data.faults import Fault
from yokebook.data.fields import Duration, GasName, Gauge, GaugeAboveZero, Temperature, Text

MOST_ROWS = 15


def _change_of_what(figure: GaugeFigure) -> Iterator[Fault]:
    needed = {"cylinder": figure.cylinder, "use": figure.use}
    lacking = [name for name, value in needed.items() if value is None]
    if lacking and (len(lacking) < len(needed) or figure.machine is not None or figure.time is not None):
        wrong = f"a mark where to change the cylinder needs {' and '.join(lacking)} too"
        allowed = "cylinder= and use= together, with machine= where it hangs on several; or none of them"
        example = str(GaugeFigure.keys()[lacking[0]].examples[0])  # type: ignore[index]  # each has its example
        yield Fault("E529", wrong, allowed=allowed, example=f"{lacking[0]}={example}")


class GaugeFigure(Arguments):
    """The arguments of gauge_figure."""

    what = "gauge_figure"
    gauge: Text = Field(description="the entry of gauges.yaml", examples=['"yoke-oxygen"'])
    gas: GasName = Field(description="the gas whose name stands on the dial", examples=['"oxygen"'])
    reading: Gauge = Field(description="where the pointer stands", examples=['"70 bar"'])
    cylinder: Text | None = Field(
        None, description="for a mark where to change it: the entry of cylinders.yaml", examples=['"oxygen-e"']
    )
    machine: Text | None = Field(None, description="where it hangs, of machines.yaml", examples=['"theatre-1"'])
    use: Text | None = Field(None, description="what it then supplies, of uses.yaml", examples=['"bellows"'])
    time: Duration | None = Field(None, description=CHANGE_RULE, examples=['"15 min"'])
    checks = ((("cylinder", "machine", "use", "time"), _change_of_what),)


def gauge_figure(arguments: GaugeFigure, department: Department) -> Figure:
    """A drawing of a gauge's dial at a reading, and between what pressures the truth then lies."""
    change = None
    if arguments.cylinder and arguments.use:
        change = gauge_drawing.change_of(
            department, arguments.cylinder, arguments.machine, arguments.gauge, arguments.use, arguments.time
        )
    read = gauge_error.dial_of(department, arguments.gauge, None, None)
    return gauge_drawing.figure_of(department, read, arguments.gas, arguments.reading, change)


class CutawayFigure(Arguments):
    """The arguments of cutaway_figure: none."""

    what = "cutaway_figure"


def cutaway_figure(arguments: CutawayFigure, department: Department) -> Figure:  # noqa: ARG001  # as all calls
    """A gauge cut open: the bent tube and its linkage, and what the dial shows when each part is bad."""
    return gauge_cutaway.figure()


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


def _few_temperatures(figure: PlateauFigure) -> Iterator[Fault]:
    most, asked = plateau.MOST_TEMPERATURES, figure.temperatures
    if asked is not None and not 1 <= len(asked) <= most:
        yield Fault("E529", f"temperatures has {len(asked)} items", ("temperatures",), allowed=f"1 to {most}")


class PlateauFigure(ReadCylinder):
    """The arguments of plateau_figure."""

    what = "plateau_figure"
    temperatures: tuple[Temperature, ...] | None = Field(
        None,
        description="temperatures of the cylinder, a curve each; left out, those of its place and store",
        examples=['["10 °C", "20 °C", "30 °C"]'],
    )
    checks = ((("temperatures",), _few_temperatures),)


def plateau_figure(arguments: PlateauFigure, department: Department) -> Figure:
    """A drawing of what the gauge of a liquefied gas shows by what is left, at several temperatures."""
    entry, machine = both(
        lambda: liquefied_cylinder(department, arguments.cylinder),
        lambda: pick(department, "machines", arguments.machine, ("machine",)) if arguments.machine else None,
    )
    return plateau.figure_of(department, entry, machine, arguments.gauge, arguments.temperatures)


CALLS = (
    Definition(
        GaugeFigure,
        gauge_figure,
        'gauge_figure(gauge="yoke-oxygen", gas="oxygen", reading="100 bar", cylinder="oxygen-e", machine="theatre-1", '
        'use="bellows", time="15 min")',
    ),
    Definition(CutawayFigure, cutaway_figure, "cutaway_figure()"),
    Definition(
        PlateauFigure,
        plateau_figure,
        'plateau_figure(cylinder="nitrous-oxide-e", machine="theatre-1", temperatures=["5 °C", "20 °C", "30 °C"])',
    ),
    Definition(GaugeTable, gauge_table, 'gauge_table(machine="theatre-1", gas="oxygen")'),
    Definition(
        IndicatorTable, indicator_table, 'indicator_table(machine="theatre-1", uses=["bellows", "bag-low-flow"])'
    ),
)
