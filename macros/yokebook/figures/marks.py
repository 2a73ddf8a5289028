"""Where the marks of curves stand: each on its own curve, as far as can be from the other curves and their marks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from yokebook.figures.plane import Point

_SHARES = (0.5, 0.25, 0.75)
_STRAIGHT = 1e-6
Segment = tuple[Point, Point]


def apart(lines: Sequence[Sequence[Point]], low: Point, high: Point, width: float) -> list[Point]:
    """Return a place for the mark of each curve, within the box between two corners.

    A mark stands where the curve runs straight for longer than its `width` and nothing else is as near as that, so
    that it hides no bend; if there is no such place, as far as can be from all else. A curve that does not enter the
    box has its mark at its first point.

    >>> apart([[(0.0, 0.0), (10.0, 0.0)], [(0.0, 0.0), (10.0, 8.0)]], (1.0, 0.0), (9.0, 10.0), 3.0)
    [(7.5, 0.0), (7.5, 6.0)]
    """
    placed: list[Point] = []
    bent = [_bends(line) for line in lines]
    for number, line in enumerate(bent):
        others = [segment for other, points in enumerate(bent) if other != number for segment in pairwise(points)]
        rooms = {
            at: (_square(*segment) >= (1.25 * width) ** 2, _room(at, others, placed))
            for segment in pairwise(line)
            for at in _along(segment)
            if low[0] <= at[0] <= high[0] and low[1] <= at[1] <= high[1]
        }
        roomy = {at: room for at, (is_long, room) in rooms.items() if is_long and room >= width**2}
        best = roomy or {at: room for at, (_, room) in rooms.items()}
        placed.append(max(best, key=best.__getitem__) if best else line[0])
    return placed


def _bends(line: Sequence[Point]) -> list[Point]:
    """Return a line without the points at which it runs straight on."""
    kept = list(line[:1])
    for at, following in pairwise(line[1:]):
        # Straight on, the triangle of the three points has no area.
        (x, y), (ax, ay), (bx, by) = kept[-1], at, following
        if abs((ax - x) * (by - y) - (bx - x) * (ay - y)) > _STRAIGHT:
            kept.append(at)
    return [*kept, *line[1:][-1:]]


def _along(segment: Segment) -> Iterator[Point]:
    for share in _SHARES:
        yield _between(*segment, share)


def _between(start: Point, end: Point, share: float) -> Point:
    return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])


def _room(at: Point, segments: Sequence[Segment], marks: Sequence[Point]) -> float:
    """Return the square of the distance from the nearest of the other curves and of the marks that stand already."""
    nearest = [_square(at, _nearest(at, segment)) for segment in segments]
    return min([*nearest, *(_square(at, mark) for mark in marks)], default=0.0)


def _nearest(at: Point, segment: Segment) -> Point:
    start, end = segment
    length = _square(start, end)
    if length == 0.0:
        return start
    along = (at[0] - start[0]) * (end[0] - start[0]) + (at[1] - start[1]) * (end[1] - start[1])
    return _between(start, end, min(max(along / length, 0.0), 1.0))


def _square(one: Point, other: Point) -> float:
    return (one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2
