"""Family reserve: how long a cylinder lasts, from which reading, and how many a time needs."""

from __future__ import annotations

from yokebook import units
from yokebook.calls import readings, reserve_words, threshold, working
from yokebook.calls.definition import Definition
from yokebook.calls.draw import of_all, taken
from yokebook.calls.refusal import both, in_range
from yokebook.calls.reserve_arguments import (
    ChangeAt,
    Contents,
    CylindersNeeded,
    Duration,
    LeaveWithTable,
    MachineReserveTable,
    ReserveTable,
)
from yokebook.calls.reserve_change import change_reading, rule_for
from yokebook.calls.reserve_count import count_of_cylinders
from yokebook.calls.reserve_leaving import table_of_transfers
from yokebook.calls.reserve_on_machine import table_of_machine
from yokebook.calls.reserve_source import at, called, cell, gas, inputs, read, read_and_drawn
from yokebook.calls.result import Table, Value, Working
from yokebook.calls.row_finder import row_finder
from yokebook.data.department import Department

_CHANGE_NOT_COUNTED = "Time to change the cylinder is not counted."


def reserve_table(arguments: ReserveTable, department: Department) -> Table:
    """At least how long one cylinder lasts, by the reading of its gauge and by use, the greediest use first."""
    source, takes = both(lambda: read(arguments, department), lambda: taken(department, arguments.asked))
    drawn, rows = both(lambda: of_all(takes, source, department), lambda: readings.of_rows(source, arguments.readings))
    dial = source.dial
    cells = tuple(tuple(cell(source, reading, column) for column in drawn) for reading in rows)
    heads, shown = readings.with_end(source, rows, cells)
    first = f"First cell, {drawn[0].title} at {dial.label(dial.printed(rows[0]))}"
    worked = working.worked_duration(source, rows[0], drawn[0], f"shown as {cells[0][0].text}")
    return Table(
        caption=f"At least how long one cylinder of {source.entry.gas} lasts, by its gauge: "
        f"{source.stamped}{source.where}, {reserve_words.on_the_dial(source)}",
        condition=f"{reserve_words.worked('down', source, drawn)} {_CHANGE_NOT_COUNTED} "
        f"{reserve_words.litres_at(department)}",
        corner=f"Reading ({dial.unit_text})",
        rows=heads,
        columns=tuple(column.head for column in drawn),
        cells=shown,
        unit="min",
        rounding=units.Rounding.DOWN,
        cautions=(reserve_words.LOWER_ROW, *reserve_words.of_gas(source), reserve_words.NOT_INSTEAD),
        working=Working(
            inputs(source, drawn),
            (working.TIME, f"{first}: {worked}", working.TIMES_DOWN, working.sources(source)),
        ),
        finder=row_finder(source, rows, heads),
    )


def contents(arguments: Contents, department: Department) -> Value:
    """At least how many litres of gas a reading leaves for use, down to the keep-back."""
    source = read(arguments, department)
    reading = readings.of_dial(source, arguments.reading, ("reading",))
    corner = in_range(lambda: working.litres_corner(source, reading), ("cylinder",))
    nominal = in_range(lambda: working.nominal_litres(source, reading), ("cylinder",))
    shown = reserve_words.litres_down(working.litres_of(corner), nominal)
    lines = (
        f"{reserve_words.worked('down', source, ())} {reserve_words.litres_at(department)}",
        working.LITRES,
        f"Worked through: {working.worked_litres(source, corner, f'shown as {shown.text}')}",
        reserve_words.LITRES_DOWN,
        working.sources(source),
    )
    return Value(
        label=f"{gas(source)} left for use {at(source, reading)}, down to a true pressure of "
        f"{source.kept.text}, in litres at {reserve_words.reference(department)}",
        shown=shown,
        unit="L",
        rounding=units.Rounding.DOWN,
        working=Working(inputs(source, (), called("Reading", arguments.reading)), lines),
    )


def duration(arguments: Duration, department: Department) -> Value:
    """At least how long one cylinder lasts for a use, from a reading down to the keep-back."""
    source, column = read_and_drawn(arguments, department)
    reading = readings.of_dial(source, arguments.reading, ("reading",))
    shown = reserve_words.at_least(cell(source, reading, column))
    lines = (
        f"{reserve_words.worked('down', source, (column,))} {_CHANGE_NOT_COUNTED} "
        f"{reserve_words.litres_at(department)}",
        working.TIME,
        f"Worked through: {working.worked_duration(source, reading, column, f'shown as {shown.text}')}",
        working.TIMES_DOWN,
        working.sources(source),
    )
    return Value(
        label=f"How long one cylinder of {source.entry.gas} lasts, {column.head}, {at(source, reading)}",
        shown=shown,
        unit="min",
        rounding=units.Rounding.DOWN,
        working=Working(inputs(source, (column,), called("Reading", arguments.reading)), lines),
    )


def change_at(arguments: ChangeAt, department: Department) -> Value:
    """The lowest reading from which a use still lasts a time, with the time to change the cylinder added."""
    source, column = read_and_drawn(arguments, department)
    rule = rule_for(source, arguments.time, department)
    found = change_reading(source, column, rule, next(place for place, _ in arguments.asked))
    lines = (
        f"{reserve_words.worked(reserve_words.to_a_mark(source), source, (column,))} "
        f"{reserve_words.litres_at(department)}",
        working.TIME,
        threshold.TURNED_ROUND,
        threshold.worked(source, column, found, rule.total_text),
        working.sources(source),
    )
    return Value(
        label=f"The lowest reading from which one cylinder of {source.entry.gas} still lasts {rule.lasts_text}, "
        f"{column.head}, {source.stamped}{source.where}, "
        f"{reserve_words.on_the_dial(source)}",
        shown=threshold.shown(source, found, " or more" if arguments.or_more else ""),
        unit=source.dial.unit_text,
        rounding=units.Rounding.UP,
        working=Working(inputs(source, (column,), *rule.inputs), lines),
    )


def leave_with_table(arguments: LeaveWithTable, department: Department) -> Table:
    """The lowest reading with which a transfer of a planned time may start, by use, the greediest use first."""
    return table_of_transfers(arguments, department)


def cylinders_needed(arguments: CylindersNeeded, department: Department) -> Value:
    """How many like cylinders, one after the other, a use needs for a time."""
    return count_of_cylinders(arguments, department)


def machine_reserve_table(arguments: MachineReserveTable, department: Department) -> Table:
    """At least how long all cylinders of a gas on a machine last in turn, by the reading of the one in use."""
    return table_of_machine(arguments, department)


_BELLOWS = 'machine="theatre-1", use="bellows"'
CALLS = (
    Definition(
        ReserveTable,
        reserve_table,
        'reserve_table(cylinder="oxygen-e", machine="theatre-1", uses=["bellows", "bag-low-flow"])',
    ),
    Definition(Contents, contents, 'contents(cylinder="oxygen-e", machine="theatre-1", reading="100 bar")'),
    Definition(Duration, duration, f'duration(cylinder="oxygen-e", {_BELLOWS}, reading="100 bar")'),
    Definition(ChangeAt, change_at, f'change_at(cylinder="oxygen-e", {_BELLOWS}, time="15 min")'),
    Definition(
        LeaveWithTable,
        leave_with_table,
        'leave_with_table(cylinder="oxygen-transfer", uses=["mask"], times=["10 min", "20 min", "30 min"])',
    ),
    Definition(
        CylindersNeeded, cylinders_needed, 'cylinders_needed(cylinder="oxygen-transfer", use="mask", time="4 h")'
    ),
    Definition(
        MachineReserveTable,
        machine_reserve_table,
        'machine_reserve_table(machine="theatre-1", uses=["bellows", "bag-low-flow"], spare="100 bar")',
    ),
)
