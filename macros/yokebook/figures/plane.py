"""Points of a drawing, as the numbers that an SVG text holds."""

from __future__ import annotations

import math
from collections.abc import Iterable

Point = tuple[float, float]


def coordinate(value: float) -> str:
    """Return a coordinate to a hundredth, without needless digits and never as a negative zero.

    >>> coordinate(12.5), coordinate(-0.001), coordinate(3.14159)
    ('12.5', '0', '3.14')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def around(centre: Point, radius: float, degrees: float) -> Point:
    """Return the point at a distance and a direction, in degrees anticlockwise from 3 o'clock, y counted downwards."""
    angle = math.radians(degrees)
    return centre[0] + radius * math.cos(angle), centre[1] - radius * math.sin(angle)


def path(points: Iterable[Point]) -> str:
    """Return points as the text of an SVG polyline or polygon.

    >>> path([(0.0, 1.0), (2.5, 3.0)])
    '0,1 2.5,3'
    """
    return " ".join(f"{coordinate(x)},{coordinate(y)}" for x, y in points)


def arc(centre: Point, radius: float, first: float, last: float) -> str:
    """Return an SVG path along a circle from one direction to another [degrees as of `around`], behind its M or L.

    >>> arc((0.0, 0.0), 10.0, 180.0, 90.0), arc((0.0, 0.0), 10.0, -90.0, 180.0)
    ('-10,0 A10,10 0 0 1 0,-10', '0,10 A10,10 0 1 0 -10,0')
    """
    start, end = around(centre, radius, first), around(centre, radius, last)
    size, is_large, is_clockwise = coordinate(radius), int(abs(first - last) > 180), int(first > last)
    return f"{path([start])} A{size},{size} 0 {is_large} {is_clockwise} {path([end])}"
