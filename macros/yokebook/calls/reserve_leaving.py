"""The table of readings with which a transfer may start."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from yokebook import units
from yokebook.calls import reserve_words, threshold, working
from yokebook.calls.draw import Drawn, of_all, taken
from yokebook.calls.refusal import both
from yokebook.calls.reserve_arguments import LeaveWithTable
from yokebook.calls.reserve_source import inputs, read
from yokebook.calls.result import Input, Table, Working
from yokebook.calls.supply import Supply
from yokebook.data.department import Department
from yokebook.number_list import Shown
from yokebook.quantities import Seconds

_NOT_WITH_ONE = Shown("not with one cylinder")


def table_of_transfers(arguments: LeaveWithTable, department: Department) -> Table:
    """Return the lowest reading for each planned time, the department's margin on the time taken in."""
    source, takes = both(lambda: read(arguments, department), lambda: taken(department, arguments.asked))
    drawn = of_all(takes, source, department)
    margin = department.settings.transfer_margin
    times = sorted({time.s: time for time in arguments.times}.values(), key=lambda time: time.s)
    found = [[threshold.threshold(source, column, _need(time, margin)) for column in drawn] for time in times]
    lines = (
        working.TIME,
        threshold.TURNED_ROUND,
        *_worked(source, drawn, times, margin, found),
        working.sources(source),
    )
    return Table(
        caption=f"The lowest reading with which a transfer on one cylinder of {source.entry.gas} may start, by the "
        f"time that it should take: {source.stamped}{source.where}, {reserve_words.on_the_dial(source)}. "
        f"The department's margin is in: {margin} times the time planned",
        condition=f"{reserve_words.worked(reserve_words.to_a_mark(source), source, drawn)} "
        f"{reserve_words.litres_at(department)}",
        corner=f"Time planned{source.dial.unit_of_cells('; readings in ')}",
        rows=tuple(time.text for time in times),
        columns=tuple(column.head for column in drawn),
        cells=tuple(tuple(threshold.in_a_cell(source, one) if one else _NOT_WITH_ONE for one in row) for row in found),
        unit=source.dial.unit_text,
        rounding=units.Rounding.UP,
        cautions=(reserve_words.LONGER_ROW, *reserve_words.of_gas(source), reserve_words.NOT_INSTEAD),
        working=Working(
            inputs(source, drawn, Input("Margin on the time planned", f"× {margin}", "department.transfer_margin")),
            lines,
        ),
    )


def _need(time: units.Duration, margin: Decimal) -> Seconds:
    return Seconds(time.s * float(margin))


def _worked(
    source: Supply,
    drawn: Sequence[Drawn],
    times: Sequence[units.Duration],
    margin: Decimal,
    found: Sequence[Sequence[threshold.Threshold | None]],
) -> Iterator[str]:
    """Yield the first cell that has a reading, worked through, and what the others mean."""
    cells = [
        (time, column, one)
        for time, row in zip(times, found, strict=True)
        for column, one in zip(drawn, row, strict=True)
    ]
    for time, column, one in cells:
        if one:
            need = f"{units.shown(_need(time, margin), 'min', '0.01')} ({time.text} × {margin})"
            yield f"{column.title} for {time.text}: {threshold.worked(source, column, one, need)}"
            break
    if any(one is None for _, _, one in cells):
        yield f"{_NOT_WITH_ONE.text}: {threshold.not_even_full(source)}"
