"""Curves over two axes, black on white: each is told apart by its dashes and by a mark that stands on it.

No colour carries meaning, and nothing is drawn between the points given but straight lines or, for what is promised
only down to the next point, stairs.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from yokebook import units
from yokebook.figures.marks import apart
from yokebook.figures.plane import Point, coordinate, path
from yokebook.templates import render

DASHES = ("none", "9 5", "2 4", "14 4 2 4", "5 3", "14 4 2 4 2 4")
"""How the curves of a chart are dashed, in their order: no chart has more."""
_WIDTH, _LEFT, _RIGHT, _TOP, _BOTTOM = 340.0, 50.0, 318.0, 32.0, 232.0
_KEY_TOP, _LINE, _SIZE, _LETTER = 294.0, 18.0, 14.0, 8.5
_KEY_LETTERS = 33
_SHOWN = 1.25
_ROUND = tuple(Decimal(step) for step in ("1", "2", "2.5", "5"))
_MOST_STEPS = 6


@dataclass(frozen=True)
class Axis:
    """An axis: what it counts, from where to where, and the numbers that stand beside it."""

    label: str
    low: Decimal
    high: Decimal
    ticks: tuple[tuple[Decimal, str], ...]

    def share(self, value: Decimal) -> float:
        """Return how far along the axis a value lies, 0 at its low end and 1 at its high one."""
        return float((value - self.low) / (self.high - self.low))


def round_axis(label: str, low: Decimal, high: Decimal) -> Axis:
    """Return an axis with round numbers, from the last one at or below `low` to the first one at or above `high`.

    >>> [text for _, text in round_axis("Reading (bar)", Decimal(0), Decimal(137)).ticks]
    ['0', '25', '50', '75', '100', '125', '150']
    """
    step = next(
        step * 10**power / Decimal(1000)
        for power in range(9)
        for step in _ROUND
        if (high - low) / (step * 10**power / Decimal(1000)) <= _MOST_STEPS
    )
    first = units.round_to(low, step, units.Rounding.DOWN)
    last = units.round_to(high, step, units.Rounding.UP)
    values = [first + step * number for number in range(int((last - first) / step) + 1)]
    return Axis(label, first, last, tuple((value, units.group(value.normalize())) for value in values))


@dataclass(frozen=True)
class Curve:
    """A curve through points, with the mark that stands on it and the words that say in the key what it is.

    Stairs keep the height of the next point until it is reached, then fall to the one after it.
    """

    mark: str
    name: str
    points: tuple[tuple[Decimal, Decimal], ...]
    is_stairs: bool = False

    @property
    def line(self) -> tuple[tuple[Decimal, Decimal], ...]:
        """The corners of what is drawn."""
        if not self.is_stairs:
            return self.points
        corners = [
            corner for (x, _), (next_x, next_y) in pairwise(self.points) for corner in ((x, next_y), (next_x, next_y))
        ]
        return tuple(dict.fromkeys([self.points[0], *corners]))


@dataclass(frozen=True)
class Band:
    """What lies between two curves over the same values: what is not known better."""

    name: str
    lower: tuple[tuple[Decimal, Decimal], ...]
    upper: tuple[tuple[Decimal, Decimal], ...]


@dataclass(frozen=True)
class Level:
    """A value of the upright axis that matters, as a thin line across the chart."""

    name: str
    value: Decimal


@dataclass(frozen=True)
class Chart:
    """What a chart shows: its title, what it says in words, axes and curves."""

    title: str
    description: str
    across: Axis
    upright: Axis
    curves: tuple[Curve, ...]
    bands: tuple[Band, ...] = ()
    levels: tuple[Level, ...] = ()

    def at(self, point: tuple[Decimal, Decimal]) -> Point:
        """Return where a point of the chart stands in the drawing."""
        x, y = self.across.share(point[0]), self.upright.share(point[1])
        return _LEFT + x * (_RIGHT - _LEFT), _BOTTOM - y * (_BOTTOM - _TOP)


def words(chart: Chart) -> tuple[str, ...]:
    """Return the words and numbers that the drawing shows, as a reader meets them."""
    axes = (chart.upright, chart.across)
    return (
        chart.description,
        *(text for axis in axes for text in (axis.label, *(tick for _, tick in axis.ticks))),
        *(_key_text(curve) for curve in chart.curves),
        *(band.name for band in chart.bands),
        *(level.name for level in chart.levels),
    )


def _key_text(curve: Curve) -> str:
    return f"{curve.mark}: {curve.name}"


def draw(chart: Chart) -> str:
    """Return the chart as an SVG text. Raises ValueError for more curves than can be told apart."""
    if len(chart.curves) > len(DASHES):
        raise ValueError(f"{len(chart.curves)} curves cannot be told apart, {len(DASHES)} can")
    lines = [[chart.at(point) for point in curve.line] for curve in chart.curves]
    key = tuple(_key(chart))
    height = _KEY_TOP + sum(entry.height for entry in key)
    return render(
        "chart.svg",
        chart=chart,
        size={"height": coordinate(height), "shown": coordinate(height * _SHOWN), "shown_width": _WIDTH * _SHOWN},
        edges={"left": _LEFT, "right": _RIGHT, "top": _TOP, "bottom": _BOTTOM},
        across=[(coordinate(chart.at((value, chart.upright.low))[0]), text) for value, text in chart.across.ticks],
        upright=[(coordinate(chart.at((chart.across.low, value))[1]), text) for value, text in chart.upright.ticks],
        levels=[coordinate(chart.at((chart.across.low, level.value))[1]) for level in chart.levels],
        bands=[path(chart.at(point) for point in (*band.lower, *reversed(band.upper))) for band in chart.bands],
        curves=[{"line": path(line), "dashes": dashes} for line, dashes in zip(lines, DASHES, strict=False)],
        marks=tuple(_marks(chart, lines)),
        key=key,
    )


@dataclass(frozen=True)
class _Box:
    """A mark with the white ground that lifts it off its curve."""

    text: str
    at: Point

    @property
    def width(self) -> float:
        return _LETTER * len(self.text) + 4.0

    @property
    def ground(self) -> tuple[str, str]:
        """Its upper left corner."""
        return coordinate(self.at[0] - self.width / 2), coordinate(self.at[1] - _SIZE / 2 - 1)

    @property
    def centre(self) -> tuple[str, str]:
        return coordinate(self.at[0]), coordinate(self.at[1])


def _marks(chart: Chart, lines: Sequence[Sequence[Point]]) -> Iterator[_Box]:
    width = max((len(curve.mark) for curve in chart.curves), default=0) * _LETTER + 4
    low, high = (_LEFT + width / 2, _TOP + _SIZE), (_RIGHT - width / 2, _BOTTOM - _SIZE)
    places = apart(lines, low, high, width)
    for curve, at in zip(chart.curves, places, strict=True):
        yield _Box(curve.mark, at)


@dataclass(frozen=True)
class _Entry:
    """An entry of the key below the axes: what it is of (dashes where it is a curve), and its words, line by line."""

    kind: str
    dashes: str
    lines: tuple[str, ...]
    y: float

    @property
    def height(self) -> float:
        return _LINE * len(self.lines) + 4.0


def _key(chart: Chart) -> Iterator[_Entry]:
    named = [
        *(("curve", dashes, _key_text(curve)) for curve, dashes in zip(chart.curves, DASHES, strict=False)),
        *(("band", "", band.name) for band in chart.bands),
        *(("level", "", level.name) for level in chart.levels),
    ]
    y = _KEY_TOP
    for kind, dashes, name in named:
        entry = _Entry(kind, dashes, tuple(textwrap.wrap(name, _KEY_LETTERS)), y)
        yield entry
        y += entry.height
