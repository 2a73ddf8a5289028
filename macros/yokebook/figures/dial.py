"""The dial of a cylinder gauge: scale, reading and gas, drawn as a schematic."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal

from yokebook.templates import render

SWEEP_DEGREES = 270
"""Angle of the scale (EN 837-1:1996, clause on dials)."""
_START_DEGREES = 225  # lowest value at lower left, counted anticlockwise from 3 o'clock
_CENTRE = 120.0
_MOST_NUMBERS = 11


@dataclass(frozen=True)
class Dial:
    """A dial in its own unit: what is printed on it and what it shows."""

    gas: str
    unit: str
    low: Decimal
    high: Decimal
    interval: Decimal
    reading: Decimal

    def angle(self, value: Decimal) -> float:
        """Return the direction of a value in radians, anticlockwise from 3 o'clock."""
        share = float((value - self.low) / (self.high - self.low))
        return math.radians(_START_DEGREES - SWEEP_DEGREES * share)


def _point(dial: Dial, value: Decimal, radius: float) -> tuple[str, str]:
    angle = dial.angle(value)
    return f"{_CENTRE + radius * math.cos(angle):.2f}", f"{_CENTRE - radius * math.sin(angle):.2f}"


def scale_values(low: Decimal, high: Decimal, interval: Decimal) -> list[Decimal]:
    """Return the values of a scale's marks, from low up to and including high where the interval meets it.

    >>> [str(v) for v in scale_values(Decimal(0), Decimal(25), Decimal(10))]
    ['0', '10', '20']
    """
    return [low + interval * step for step in range(int((high - low) / interval) + 1)]


def words(dial: Dial) -> tuple[str, ...]:
    """Return the words and numbers that the drawing shows, as a reader meets them."""
    numbers = tuple(f"{value:f}" for value, is_named in _marks(dial) if is_named)
    return (*numbers, dial.gas, dial.unit, describe(dial))


def describe(dial: Dial) -> str:
    """Return what the drawing shows in words, for those who cannot see it."""
    unit = dial.unit
    return (
        f"A round dial with a scale from {dial.low} to {dial.high} {unit}, a mark every {dial.interval} {unit}. "
        f"The pointer stands at {dial.reading} {unit}. A schematic, not a picture of a particular gauge."
    )


def _marks(dial: Dial) -> list[tuple[Decimal, bool]]:
    """Return each mark of the scale, and whether its number stands beside it: at most eleven numbers."""
    values = scale_values(dial.low, dial.high, dial.interval)
    every = next(step for step in (1, 2, 5, 10, 20, 50, 100) if len(values) / step <= _MOST_NUMBERS)
    return [(value, index % every == 0) for index, value in enumerate(values)]


def draw(dial: Dial) -> str:
    """Return the dial as an SVG text. Raises ValueError for a reading off the scale."""
    if not dial.low <= dial.reading <= dial.high:
        raise ValueError(f"{dial.reading} {dial.unit} is off a dial of {dial.low} to {dial.high} {dial.unit}")
    marks = [
        {
            "inner": _point(dial, value, 84 if is_named else 92),
            "outer": _point(dial, value, 100),
            "label": f"{value:f}" if is_named else "",
            "at": _point(dial, value, 68),
        }
        for value, is_named in _marks(dial)
    ]
    return render(
        "dial.svg",
        dial=dial,
        description=describe(dial),
        marks=marks,
        tip=_point(dial, dial.reading, 90),
        tail=_point(dial, dial.reading, -18),
    )
