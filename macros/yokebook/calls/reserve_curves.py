"""How the pressure left in a cylinder falls while a use draws from it: never more than is sure at the start."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import partial

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
from yokebook.number_list import Shown
from yokebook.quantities import GaugePa

_MOST_STEPS = 14
_LONGEST = Decimal(720)
_AN_HOUR = Decimal(60)
_MOST_IN_MINUTES = Decimal(180)
_ROOM_FOR_THE_LONGEST = 2
"""How many times as long as the last but one use the axis goes for one that lasts longer."""
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
    left, cells = _stairs(source, start, drawn)
    from_text = dial.label(dial.printed(start))
    table = Table(
        caption=f"At least how long the pressure in one cylinder of {source.entry.gas} stays above each of these, from "
        f"a reading of {from_text}: {source.stamped}{source.where}, {reserve_words.on_the_dial(source)}",
        condition=f"{reserve_words.worked('down', source, drawn)} The pressures are true ones. "
        f"At the start, too, the truth may lie as far below the reading as the dial may be out, at "
        f"{dial.label(_lowest(source, start))}: all begins there, "
        "and a pressure above which no time is sure has no row. "
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
    shown = _chart(source, start, left, _times(drawn, cells), source.kept.text)
    return Figure(partial(chart.draw, shown), shown.title, chart.words(shown), table)


def _shown_as(cells: Sequence[Sequence[Shown]]) -> str:
    return f"shown as {cells[-1][0].text}"


def _start(source: Supply, arguments: ReserveFigure) -> GaugePa:
    """Return the reading [Pa] that all begins from: the one asked for, else the highest mark of a full cylinder."""
    if arguments.reading is None:
        return readings.full_mark(source)
    readings.refuse_between_marks(source.dial, arguments.reading, ("reading",))
    return readings.checked(source, arguments.reading, ("reading",))


def _lowest(source: Supply, start: GaugePa) -> Decimal:
    """Return the lowest true pressure behind a reading [Pa], in the dial's numbers, never below what is kept back."""
    lowest = GaugePa(max(source.reading(start).lowest, source.physics.keep_back))
    return units.round_to(source.dial.printed(lowest), source.dial.interval / 10, units.Rounding.DOWN)


def _stairs(
    source: Supply, start: GaugePa, drawn: Sequence[Drawn]
) -> tuple[tuple[GaugePa, ...], tuple[tuple[Shown, ...], ...]]:
    """Return the pressures of the rows [Pa] with their cells, the highest first: steps of the dial, the keep-back last.

    A pressure above which no use is sure to stay for any time says nothing: it has no row.
    """
    dial, end = source.dial, source.physics.keep_back
    steps = steps_down(dial.printed(start), dial.printed(end), dial.interval, _MOST_STEPS)
    rows = (*(pressure for pressure in map(dial.pa, steps) if end < pressure < start), end)
    cells = [tuple(_lasts(source, start, pressure, column) for column in drawn) for pressure in rows]
    told = [at for at, row in enumerate(cells) if at == len(rows) - 1 or any(cell.value for cell in row)]
    return tuple(rows[at] for at in told), tuple(cells[at] for at in told)


def _named(source: Supply, pressure: GaugePa) -> Decimal:
    """Return a pressure [Pa] as it heads its row, in the dial's numbers, rounded down where it stands between."""
    dial = source.dial
    return units.round_to(dial.printed(pressure), dial.interval / 100, units.Rounding.DOWN).normalize()


def _lasts(source: Supply, start: GaugePa, pressure: GaugePa, column: Drawn) -> Shown:
    """Return how long the true pressure surely stays above one [Pa], from a reading [Pa]."""
    above = replace(source, physics=replace(source.physics, keep_back=pressure))
    shown = cell(above, start, column)
    return replace(shown, text=units.with_unit("0", units.SPELLINGS["min"])) if shown.value == 0 else shown


@dataclass(frozen=True)
class _Times:
    """How long the pressure stays above each row for one use [min], and in words for how long above the last."""

    head: str
    minutes: tuple[Decimal, ...]
    in_all: str


def _times(drawn: Sequence[Drawn], cells: Sequence[Sequence[Shown]]) -> tuple[_Times, ...]:
    return tuple(
        _Times(
            column.head,
            tuple(row[number].value or Decimal(0) for row in cells),
            reserve_words.at_least(cells[-1][number]).text,
        )
        for number, column in enumerate(drawn)
    )


def _end(times: Sequence[_Times]) -> Decimal:
    """Return where the axis of time ends [min]: a use that goes on much longer than the next would crowd the others."""
    *others, longest = sorted(one.minutes[-1] for one in times)
    room = others[-1] * _ROOM_FOR_THE_LONGEST if others else Decimal(0)
    return room if 0 < room < longest else longest


def _curve(
    mark: str, times: _Times, heights: Sequence[Decimal], start: Decimal, axis: chart.Axis, size: Decimal
) -> chart.Curve:
    """Return the stairs of one use from a pressure on; where the axis cuts them off, the key says how long they are."""
    points, name = [(Decimal(0), start)], times.head
    for minutes, height in zip(times.minutes, heights, strict=True):
        points.append((min(minutes / size, axis.high), height))
        if minutes / size > axis.high:
            name = f"{name}; goes on, {times.in_all} in all"
            break
        if minutes >= _LONGEST:
            # Beyond 12 h nothing is told: the stair that goes on is the last.
            break
    return chart.Curve(mark, name, tuple(points), is_stairs=True)


def _chart(
    source: Supply, start: GaugePa, left: Sequence[GaugePa], times: Sequence[_Times], keep_back: str
) -> chart.Chart:
    dial = source.dial
    heights = [_named(source, pressure) for pressure in left]
    end = _end(times)
    unit, size = ("h", _AN_HOUR) if end > _MOST_IN_MINUTES else ("min", Decimal(1))
    across = chart.round_axis(f"Time from the reading ({unit})", Decimal(0), max(end / size, Decimal(1)))
    lowest = _lowest(source, start)
    from_text = dial.label(dial.printed(start))
    goes_on = " A use that goes on beyond the axis is cut off there; the key says how long it lasts in all."
    is_cut = any(one.minutes[-1] / size > across.high for one in times)
    return chart.Chart(
        title=f"How {source.entry.gas} runs down, from a reading of {from_text}",
        description=f"Stairs of the true pressure that is surely left over time, one for each use, from "
        f"{dial.label(lowest)}, the least behind a reading of {from_text}, down to what is kept back, {keep_back}. The "
        f"greediest use comes first and is down the soonest.{goes_on if is_cut else ''} The table below has each step.",
        across=across,
        upright=chart.round_axis(f"Pressure left, at least ({dial.unit_text})", Decimal(0), dial.printed(start)),
        curves=tuple(
            _curve(mark, one, heights, lowest, across, size) for mark, one in zip(_MARKS, times, strict=False)
        ),
        levels=(chart.Level(f"kept back: {keep_back}", heights[-1]),),
    )
