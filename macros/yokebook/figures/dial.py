"""The dial of a cylinder gauge: scale, reading, possible error and gas, drawn as a schematic.

The numerals stand outside the scale and the pointer within it, so that it never covers one; the name of the gas and
the unit stand in the quarter that the scale leaves free.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from math import cos, radians, sin

from yokebook.figures.plane import Point, arc, around, coordinate, path
from yokebook.figures.swatches import Swatch
from yokebook.templates import render

SWEEP_DEGREES = 270
"""Angle of the scale (EN 837-1:1996, clause on dials)."""
_START_DEGREES = 225.0  # lowest value at lower left, counted anticlockwise from 3 o'clock
_CENTRE: Point = (170.0, 166.0)
_NUMERALS, _SCALE, _NAMED, _PLAIN = 132.0, 106.0, 90.0, 98.0
_BAND, _MARK, _POINTER = (71.0, 88.0), (49.0, 67.0), 103.0
_HATCH_DEGREES = 2.0
_UPRIGHT_DEGREES = 90.0
_WORDS_AT_POINTER = (
    38.0,
    23.0,
)  # half the width and height of two short words, one above the other, in a card's letters
_CLEAR_OF_POINTER, _WORDS_ALONG = 8.0, 36.0
_MOST_NUMBERS = 11
_USUAL_DIGITS = 4  # longer numerals are drawn smaller, to keep clear of scale and case
_LEGEND_TOP, _LEGEND_LINE = 352.0, 27.0


@dataclass(frozen=True)
class Dial:
    """A dial in its own unit: what is printed on it, what it shows, and what is marked on the drawing beside that.

    `truth` is between which numbers the true pressure lies; None where nothing is marked of it. `pointer_words` stand
    at the pointer where it shows a mark to look for rather than a reading.
    """

    gas: str
    unit: str
    low: Decimal
    high: Decimal
    interval: Decimal
    reading: Decimal
    truth: tuple[Decimal, Decimal] | None = None
    change_at: Decimal | None = None
    colours: Swatch | None = None
    pointer_words: str = ""

    def degrees(self, value: Decimal) -> float:
        """Return the direction of a value, anticlockwise from 3 o'clock; beyond the scale, that of its end."""
        within = min(max(value, self.low), self.high)
        return _START_DEGREES - SWEEP_DEGREES * float((within - self.low) / (self.high - self.low))

    @property
    def legend(self) -> tuple[tuple[str, str], ...]:
        """What each mark of the drawing means, in its order: the kind of the mark, and its words.

        Nothing for a plain dial: its pointer needs no words.
        """
        lines = []
        if self.truth is not None:
            low, high = self.truth
            between = f"{low:f} to {high:f}" if low > 0 else f"at most {high:f}"
            lines.append(("truth", f"in truth: {between} {self.unit}"))
        if self.change_at is not None:
            lines.append(("change", f"change at {self.change_at:f} {self.unit}"))
        if self.colours is not None:
            lines.append(("colours", self.colours.text))
        pointer = ("pointer", f"reading: {self.reading:f} {self.unit}")
        return (pointer, *lines) if lines else ()


def scale_values(low: Decimal, high: Decimal, interval: Decimal) -> list[Decimal]:
    """Return the values of a scale's marks, from low up to and including high where the interval meets it.

    >>> [str(v) for v in scale_values(Decimal(0), Decimal(25), Decimal(10))]
    ['0', '10', '20']
    """
    return [low + interval * step for step in range(int((high - low) / interval) + 1)]


def words(dial: Dial) -> tuple[str, ...]:
    """Return the words and numbers that the drawing shows, as a reader meets them."""
    numbers = tuple(f"{value:f}" for value, is_named in _marks(dial) if is_named)
    legend = tuple(text for _, text in dial.legend)
    at_pointer = (dial.pointer_words,) if dial.pointer_words else ()
    return (*numbers, *at_pointer, dial.gas, dial.unit, *legend, title(dial), describe(dial))


def title(dial: Dial) -> str:
    """Return the drawing's title."""
    shows = f"{dial.pointer_words}:" if dial.pointer_words else "reading"
    return f"Dial of the {dial.gas} gauge, {shows} {dial.reading:f} {dial.unit}"


def describe(dial: Dial) -> str:
    """Return what the drawing shows in words, for those who cannot see it."""
    unit = dial.unit
    said = [
        f"A round dial with a scale from {dial.low:f} to {dial.high:f} {unit}, a mark every {dial.interval:f} {unit}.",
        f"The pointer stands at {dial.reading:f} {unit}{f': {dial.pointer_words}' if dial.pointer_words else ''}.",
    ]
    if dial.truth is not None:
        low, high = dial.truth
        said.append(f"A hatched band from {max(low, dial.low):f} to {min(high, dial.high):f} {unit} shows where the "
                    "true pressure may lie.")  # fmt: skip
    if dial.change_at is not None:
        said.append(f"A triangle marks the reading at which to change, {dial.change_at:f} {unit}.")
    return " ".join((*said, "A schematic, not a picture of a particular gauge."))


def _marks(dial: Dial) -> list[tuple[Decimal, bool]]:
    """Return each mark of the scale, and whether its number stands beside it: at most eleven numbers."""
    values = scale_values(dial.low, dial.high, dial.interval)
    every = next(step for step in (1, 2, 5, 10, 20, 50, 100) if len(values) / step <= _MOST_NUMBERS)
    return [(value, index % every == 0) for index, value in enumerate(values)]


def draw(dial: Dial) -> str:
    """Return the dial as an SVG text. Raises ValueError for a reading, or a mark, off the scale."""
    for value in (dial.reading, dial.reading if dial.change_at is None else dial.change_at):
        if not dial.low <= value <= dial.high:
            raise ValueError(f"{value} {dial.unit} is off a dial of {dial.low} to {dial.high} {dial.unit}")
    *first, last = dial.gas.split("/")
    more = 20 * (len(dial.colours.lines) - 1) if dial.colours else 0
    bottom = _LEGEND_TOP + _LEGEND_LINE * len(dial.legend) - 16 + more if dial.legend else 2 * _CENTRE[1]
    return render(
        "dial.svg",
        title=title(dial),
        description=describe(dial),
        height=coordinate(bottom),
        scale="M" + arc(_CENTRE, _SCALE, _START_DEGREES, _START_DEGREES - SWEEP_DEGREES),
        has_long_numerals=len(f"{dial.high:f}") > _USUAL_DIGITS,
        marks=[_mark(dial, value, is_named=is_named) for value, is_named in _marks(dial)],
        names=[*(f"{name}/" for name in first), last],
        unit=dial.unit,
        band=_band(dial),
        change=_change(dial.degrees(dial.change_at)) if dial.change_at is not None else None,
        pointer=_pointer(dial.degrees(dial.reading)),
        at_pointer=_at_pointer(dial),
        legend=[
            {"kind": kind, "text": text, "y": _LEGEND_TOP + _LEGEND_LINE * line}
            for line, (kind, text) in enumerate(dial.legend)
        ],
        swatch=dial.colours,
    )


def _mark(dial: Dial, value: Decimal, *, is_named: bool) -> dict[str, str]:
    degrees = dial.degrees(value)
    at = around(_CENTRE, _NUMERALS, degrees)
    line = (around(_CENTRE, _NAMED if is_named else _PLAIN, degrees), around(_CENTRE, _SCALE, degrees))
    return {
        "line": path(line),
        "width": "3" if is_named else "1.5",
        "label": f"{value:f}" if is_named else "",
        "x": coordinate(at[0]),
        "y": coordinate(at[1]),
    }


def _band(dial: Dial) -> dict[str, object] | None:
    """Return the outline and the hatching of the band in which the truth lies, cut off where the scale ends."""
    if dial.truth is None:
        return None
    first, last = (dial.degrees(value) for value in dial.truth)
    inner, outer = _BAND
    steps = max(2, round((first - last) / _HATCH_DEGREES))
    rays = [first - (first - last) * step / steps for step in range(steps + 1)]
    return {
        "outline": f"M{arc(_CENTRE, inner, first, last)} L{arc(_CENTRE, outer, last, first)} Z",
        "hatching": [
            path([around(_CENTRE, inner, one), around(_CENTRE, outer, other)]) for one, other in pairwise(rays)
        ],
    }


def _change(degrees: float) -> dict[str, str]:
    base, tip = _MARK
    corners = (around(_CENTRE, base, degrees + 9), around(_CENTRE, base, degrees - 9))
    return {
        "triangle": path([around(_CENTRE, tip, degrees), *corners]),
        "line": path([around(_CENTRE, tip, degrees), around(_CENTRE, _SCALE, degrees)]),
    }


def _at_pointer(dial: Dial) -> list[dict[str, str]]:
    """Return the words at the pointer, one to a line, clear of it, on the side on which the dial leaves more room."""
    degrees = dial.degrees(dial.reading)
    beside = radians(degrees - 90 if degrees > _UPRIGHT_DEGREES else degrees + 90)
    half_width, half_height = _WORDS_AT_POINTER
    clear = half_width * abs(cos(beside)) + half_height * abs(sin(beside)) + _CLEAR_OF_POINTER
    x, y = around(_CENTRE, _WORDS_ALONG, degrees)
    x, y = x + clear * cos(beside), y - clear * sin(beside)
    lines = dial.pointer_words.split()
    top = y - half_height + half_height / max(len(lines), 1)
    return [
        {"text": text, "x": coordinate(x), "y": coordinate(top + 2 * half_height * line / len(lines))}
        for line, text in enumerate(lines)
    ]


def _pointer(degrees: float) -> str:
    sides = (around(_CENTRE, 6, degrees + 90), around(_CENTRE, 6, degrees - 90))
    tail = (around(_CENTRE, -24, degrees - 8), around(_CENTRE, -24, degrees + 8))
    return path([around(_CENTRE, _POINTER, degrees), sides[0], *tail, sides[1]])
