"""How the pressure left in a cylinder falls while a use draws from it: never more than is sure at the start."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from yokebook import units
from yokebook.calls import readings, reserve_words, working
from yokebook.calls.draw import Drawn, of_all, taken
from yokebook.calls.refusal import both
from yokebook.calls.reserve_arguments import ReserveFigure
from yokebook.calls.reserve_source import called, cell, inputs, read
from yokebook.calls.result import Caution, Figure, Table, Working
from yokebook.calls.steps import steps_down
from yokebook.calls.supply import Supply
from yokebook.data.department import Department
from yokebook.figures import chart
from yokebook.numbers import Shown
from yokebook.quantities import GaugePa

_MOST_STEPS = 14
_LONGEST = Decimal(720)
_AN_HOUR = Decimal(60)
_MARKS = "ABCD"
_ONLY_THE_START = Caution(
    "WARNING",
    "This is what is sure when the cylinder is opened, no more. Read the gauge again and again: its reading counts, "
    "not the clock. Only one cylinder is open at a time.",
)


def figure_of(arguments: ReserveFigure, department: Department) -> Figure:
    """Return the stairs of the pressure left over time, one for each use, with the table of their points."""
    source, takes = both(lambda: read(arguments, department), lambda: taken(department, arguments.asked))
    drawn, start = both(lambda: of_all(takes, source, department), lambda: _start(source, arguments))
    dial = source.dial
    left = _rows(source, start)
    cells = tuple(tuple(_lasts(source, start, pressure, column) for column in drawn) for pressure in left)
    from_text = dial.label(dial.printed(start))
    table = Table(
        caption=f"At least how long the pressure in one cylinder of {source.entry.gas} stays above each of these, from "
        f"a reading of {from_text}: {source.stamped}{source.where}, {reserve_words.on_the_dial(source)}",
        condition=f"{reserve_words.worked('down', source, drawn, department)} The pressures are true ones. "
        "At the start, too, the truth may lie as far below the reading as the dial may be out: till there it is 0 min. "
        f"{reserve_words.litres_at(department)}",
        corner=f"True pressure left ({dial.unit_text})",
        rows=tuple(units.group(_named(source, pressure)) for pressure in left),
        columns=tuple(column.head for column in drawn),
        cells=cells,
        unit="min",
        rounding=units.Rounding.DOWN,
        cautions=(_ONLY_THE_START, *reserve_words.of_gas(source), reserve_words.NOT_INSTEAD),
        working=Working(
            inputs(source, drawn, *([called("Reading", arguments.reading)] if arguments.reading else [])),
            (
                f"{working.TIME} In each row its own pressure stands in the place of the keep-back.",
                f"Last row, {drawn[0].title}: {working.worked_duration(source, start, drawn[0], _shown_as(cells))}",
                working.TIMES_DOWN,
                "The drawing keeps the next lower pressure till its time is reached, then falls: stairs below the "
                "true course.",
                working.sources(source),
            ),
        ),
    )
    shown = _chart(source, start, left, drawn, cells, department.settings.keep_back.text)
    return Figure(chart.draw(shown), shown.title, chart.words(shown), table)


def _shown_as(cells: Sequence[Sequence[Shown]]) -> str:
    return f"shown as {cells[-1][0].text}"


def _start(source: Supply, arguments: ReserveFigure) -> GaugePa:
    """Return the reading [Pa] that all begins from: the one asked for, else the highest mark of a full cylinder."""
    if arguments.reading is None:
        return readings.full_mark(source)
    readings.refuse_between_marks(source.dial, arguments.reading, ("reading",))
    return readings.checked(source, arguments.reading, ("reading",))


def _rows(source: Supply, start: GaugePa) -> tuple[GaugePa, ...]:
    """Return the pressures of the rows [Pa], the highest first: steps of the dial, the keep-back last."""
    dial, end = source.dial, source.physics.keep_back
    steps = steps_down(dial.printed(start), dial.printed(end), dial.interval, _MOST_STEPS)
    between = [dial.pa(printed) for printed in steps]
    return (*(pressure for pressure in between if end < pressure < start), end)


def _named(source: Supply, pressure: GaugePa) -> Decimal:
    """Return a pressure [Pa] as it heads its row, in the dial's numbers, rounded down where it stands between."""
    dial = source.dial
    return units.round_to(dial.printed(pressure), dial.interval / 100, units.Rounding.DOWN).normalize()


def _lasts(source: Supply, start: GaugePa, pressure: GaugePa, column: Drawn) -> Shown:
    """Return how long the true pressure surely stays above one [Pa], from a reading [Pa]."""
    above = replace(source, physics=replace(source.physics, keep_back=pressure))
    shown = cell(above, start, column)
    return replace(shown, text=units.with_unit("0", units.SPELLINGS["min"])) if shown.value == 0 else shown


def _chart(
    source: Supply,
    start: GaugePa,
    left: Sequence[GaugePa],
    drawn: Sequence[Drawn],
    cells: Sequence[Sequence[Shown]],
    keep_back: str,
) -> chart.Chart:
    dial = source.dial
    heights = [_named(source, pressure) for pressure in left]
    minutes = [[row[number].value or Decimal(0) for row in cells] for number in range(len(drawn))]
    longest = max(times[-1] for times in minutes)
    unit, size = ("h", _AN_HOUR) if longest > 2 * _AN_HOUR else ("min", Decimal(1))
    curves = []
    for mark, column, times in zip(_MARKS, drawn, minutes, strict=False):
        points = [(Decimal(0), dial.printed(start))]
        for time, height in zip(times, heights, strict=True):
            points.append((time / size, height))
            if time >= _LONGEST:
                # Beyond 12 h nothing is told: the stair that goes on is the last.
                break
        curves.append(chart.Curve(mark, column.head, tuple(points), is_stairs=True))
    from_text = dial.label(dial.printed(start))
    return chart.Chart(
        title=f"How {source.entry.gas} runs down, from a reading of {from_text}",
        description=f"Stairs of the true pressure that is surely left over time, one for each use, from {from_text} "
        f"down to what is kept back, {keep_back}. The greediest use comes first and is down the soonest. The table "
        "below has each step.",
        across=chart.round_axis(f"Time from the reading ({unit})", Decimal(0), max(longest / size, Decimal(1))),
        upright=chart.round_axis(f"Pressure left, at least ({dial.unit_text})", Decimal(0), dial.printed(start)),
        curves=tuple(curves),
        levels=(chart.Level(f"kept back: {keep_back}", heights[-1]),),
    )
