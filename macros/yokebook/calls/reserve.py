"""Family reserve: how long a cylinder lasts."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from pydantic import Field

from yokebook import units
from yokebook.calls.arguments import Arguments
from yokebook.calls.definition import Definition
from yokebook.calls.dial import MOST_ROWS, accuracy_text, refuse_off_dial
from yokebook.calls.draw import Drawn, of_flow, of_use
from yokebook.calls.refusal import Refusal, in_range, pick
from yokebook.calls.result import Caution, Table, Working
from yokebook.calls.supply import Supply, supply
from yokebook.data.department import Department
from yokebook.data.faults import Fault
from yokebook.data.fields import FlowAboveZero, GaugeAboveZero, Text
from yokebook.numbers import Shown, duration_down
from yokebook.physics import bounds, realgas
from yokebook.quantities import GaugePa

MOST_COLUMNS = 6
_LOWER_ROW = Caution(
    "WARNING", "If the reading lies between two rows, use the lower one. Only one cylinder is open at a time."
)
_NOT_INSTEAD = Caution(
    "NOTICE",
    "These times do not replace watching the gauge, the manufacturer's instructions, local rules or licensed practice.",
)


def _uses_or_flows(table: ReserveTable) -> Iterator[Fault]:
    if (table.uses is None) == (table.flows is None):
        wrong = "uses and flows are both given" if table.uses is not None else "neither uses nor flows are given"
        yield Fault(
            "E529", wrong, allowed="uses= with names of uses.yaml, or flows= with flows", example='flows=["2 L/min"]'
        )


def _few_enough(table: ReserveTable) -> Iterator[Fault]:
    for name, most in (("uses", MOST_COLUMNS), ("flows", MOST_COLUMNS), ("readings", MOST_ROWS * 2)):
        items = getattr(table, name)
        if items is not None and not 1 <= len(items) <= most:
            yield Fault("E529", f"{name} has {len(items)} items", (name,), allowed=f"1 to {most}")


class ReserveTable(Arguments):
    """The arguments of reserve_table."""

    what = "reserve_table"
    cylinder: Text = Field(description="the entry of cylinders.yaml", examples=['"oxygen-e"'])
    machine: Text | None = Field(None, description="the entry of machines.yaml", examples=['"theatre-1"'])
    gauge: Text | None = Field(None, description="the entry of gauges.yaml", examples=['"yoke-oxygen"'])
    uses: tuple[Text, ...] | None = Field(None, description="entries of uses.yaml", examples=['["bellows"]'])
    flows: tuple[FlowAboveZero, ...] | None = Field(None, description="flows as set", examples=['["2 L/min"]'])
    readings: tuple[GaugeAboveZero, ...] | None = Field(
        None, description="readings of the rows", examples=['["100 bar"]']
    )
    checks = (((), _uses_or_flows), ((), _few_enough))


def reserve_table(arguments: ReserveTable, department: Department) -> Table:
    """At least how long one cylinder lasts, by the reading of its gauge and by use, the greediest use first."""
    source = supply(department, arguments.cylinder, arguments.machine, arguments.gauge)
    drawn = sorted(_columns(arguments, source, department), key=lambda column: column.greatest_flow, reverse=True)
    readings = _readings(arguments, source)
    dial = source.dial
    return Table(
        caption=f"At least how long one cylinder of {source.entry.gas} lasts, by its gauge: "
        f"{source.stamped}{source.where}, for dials that end at {dial.label(dial.high)}",
        condition=_condition(source, drawn, department),
        corner=f"Reading ({dial.unit_text})",
        rows=tuple(units.group(dial.printed(reading)) for reading in readings),
        columns=tuple(column.head for column in drawn),
        cells=tuple(tuple(_cell(source, reading, column) for column in drawn) for reading in readings),
        unit="min",
        rounding=units.Rounding.DOWN,
        cautions=(_LOWER_ROW, _NOT_INSTEAD),
        working=_working(source, drawn, readings),
    )


def _columns(arguments: ReserveTable, source: Supply, department: Department) -> Iterator[Drawn]:
    for number, name in enumerate(arguments.uses or ()):
        use = pick(department, "uses", name, ("uses", number))
        yield of_use(use, source, department, ("uses", number))
    for number, flow in enumerate(arguments.flows or ()):
        yield of_flow(flow, source, department, ("flows", number))


def _readings(arguments: ReserveTable, source: Supply) -> tuple[GaugePa, ...]:
    """Return the readings of the rows [Pa], the highest first."""
    dial = source.dial
    if arguments.readings is None:
        full = in_range(lambda: source.full_reading(source.physics.temperature.nominal), ("cylinder",))
        return tuple(dial.pa(printed) for printed in dial.steps_down_from(full))
    highest = in_range(source.highest_reading, ("cylinder",))
    for number, reading in enumerate(arguments.readings):
        refuse_off_dial(dial, reading.pa, ("readings", number))
        if reading.pa > highest:
            shown = units.round_to(dial.printed(highest), dial.interval, units.Rounding.UP)
            raise Refusal(
                Fault(
                    "E525",
                    "not even a full cylinder in the warm, on a gauge that reads high, shows so much",
                    ("readings", number),
                    allowed=f"at most {dial.label(shown)}",
                    example=f'"{source.dial.as_quantity(shown)}"',
                )
            )
    return tuple(sorted({reading.pa for reading in arguments.readings}, reverse=True))


def _cell(source: Supply, reading: GaugePa, column: Drawn) -> Shown:
    least = in_range(
        lambda: bounds.least_duration(source.physics, source.reading(reading), column.physics), ("cylinder",)
    )
    nominal = in_range(lambda: bounds.nominal_duration(source.physics, reading, column.physics), ("cylinder",))
    return duration_down(least, nominal)


def _condition(source: Supply, drawn: list[Drawn], department: Department) -> str:
    """Return under which conditions the numbers hold: each tolerance that is in, and what is not."""
    settings = department.settings
    temperature, gauge = source.physics.temperature, source.dial.gauge
    reference = settings.flowmeter_reference
    found = f" and the {gauge.found_error.text} found at its check" if gauge.found_error else ""
    driven = any(column.physics.drive_gas.high > 0 for column in drawn)
    parts = (
        f"gauge out by {accuracy_text(gauge)}{found}",
        f"cylinder at {units.shown(temperature.low, '°C', '0.1')} to {units.shown(temperature.high, '°C', '0.1')}",
        f"flowmeter letting through {settings.flowmeter_tolerance.text} more than it shows",
        *(["drive gas at its high value"] if driven else []),
        f"down to a true pressure of {settings.keep_back.text}",
    )
    return (
        f"Worked at the worst corner and rounded down: {', '.join(parts)}. Time to change the cylinder is not counted. "
        f"Litres are litres at {reference.temperature.text} and {reference.pressure.text}."
    )


def _working(source: Supply, drawn: list[Drawn], readings: tuple[GaugePa, ...]) -> Working:
    inputs = tuple(dict.fromkeys([*source.inputs, *(entry for column in drawn for entry in column.inputs)]))
    first = f"First cell, {drawn[0].title} at {source.dial.label(source.dial.printed(readings[0]))}"
    lines = (
        "Time = water capacity × (molar density at the reading − molar density at the keep-back) ÷ "
        "(flow × molar density at the condition of the litres). Densities are taken at the absolute pressure: "
        "gauge + ambient.",
        f"{first}: {_worked_cell(source, drawn[0], readings[0])}",
        "Rounding: down, under 20 min to 1 min, under 2 h to 5 min, else to 15 min.",
        f"Source of the densities: {', '.join(model.value for model in realgas.models(source.physics.gas))}.",
    )
    return Working(inputs, lines)


def _worked_cell(source: Supply, column: Drawn, shown: GaugePa) -> str:
    """Return one cell worked through with its numbers, for a hand calculator."""
    corner = bounds.worst_corner(source.physics, source.reading(shown), column.physics)
    if corner is None:
        return "less the possible error, the reading is not above the keep-back, so nothing is left."
    start, end = (_digits(density / 1000, "0.0001") for density in (corner.start_density, corner.end_density))
    litres = _digits(source.physics.water_capacity.low * 1000, "0.0001")
    per_litre = _digits(corner.rate / column.greatest_flow / 1000, "0.000001")
    steps = (
        f"the true pressure may be as low as {units.shown(corner.lowest, 'bar', '0.01')}",
        f"molar density there at {units.shown(corner.start, '°C', '0.1')}: {start} mol/L",
        f"at the keep-back at {units.shown(corner.end, '°C', '0.1')}: {end} mol/L ({corner.model.value})",
        f"{litres} L × ({start} − {end}) mol/L = {_digits(corner.amount, '0.001')} mol",
        f"the use takes at most {units.shown(column.greatest_flow, 'L/min', '0.001')} × {per_litre} mol/L = "
        f"{_digits(corner.rate * 60, '0.00001')} mol/min",
        f"that is {units.shown(corner.duration, 'min', '0.01')}, shown as {_cell(source, shown, column).text}.",
    )
    return "; ".join(steps)


def _digits(number: float, step: str) -> str:
    return units.group(units.round_to(Decimal(number), Decimal(step), units.Rounding.NEAREST))


CALLS = (
    Definition(
        ReserveTable,
        reserve_table,
        'reserve_table(cylinder="oxygen-e", machine="theatre-1", uses=["bellows", "bag-low-flow"])',
    ),
)
