"""Numbered parts of a drawing: a number beside each, a line to the part, and the names below."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from yokebook.figures.plane import Point, coordinate
from yokebook.templates import render

_COLUMNS = (16.0, 186.0)
_LINE = 26.0


@dataclass(frozen=True)
class Part:
    """One part: its name, where its number stands, and the point of the drawing that the number is about."""

    name: str
    at: Point
    to: Point


def numbered_names(parts: Sequence[Part]) -> tuple[str, ...]:
    """Return the names as they stand below the drawing.

    >>> numbered_names([Part("nipple", (0, 0), (1, 1))])
    ('1 nipple',)
    """
    return tuple(f"{number} {part.name}" for number, part in enumerate(parts, 1))


@dataclass(frozen=True)
class Drawing:
    """A drawing whose parts are numbered: its template, what it is, and the words below it, from `top` on."""

    template: str
    title: str
    description: str
    parts: tuple[Part, ...]
    notes: tuple[str, ...]
    top: float

    @property
    def words(self) -> tuple[str, ...]:
        """The words that the drawing shows, as a reader meets them."""
        return (*numbered_names(self.parts), " ".join(self.notes), self.title, self.description)


def draw(drawing: Drawing, **shapes: str) -> str:
    """Return a drawing as an SVG text, the names in two columns; `shapes` are what else its template asks for."""
    parts, top, notes = drawing.parts, drawing.top, drawing.notes
    lines = -(-len(parts) // len(_COLUMNS))
    below = top + _LINE * lines
    return render(
        drawing.template,
        title=drawing.title,
        description=drawing.description,
        height=coordinate(below + 22 * len(notes) + 8),
        leaders=[_leader(part) for part in parts],
        labels=[
            {"number": number, "x": coordinate(x), "y": coordinate(y)}
            for number, (x, y) in enumerate((part.at for part in parts), 1)
        ],
        names=[
            {
                "number": index + 1,
                "text": part.name,
                "x": coordinate(_COLUMNS[index // lines]),
                "beside": coordinate(_COLUMNS[index // lines] + 18),
                "y": coordinate(top + _LINE * (index % lines)),
            }
            for index, part in enumerate(parts)
        ],
        notes=[{"text": text, "y": coordinate(below + 4 + 22 * line)} for line, text in enumerate(notes)],
        **shapes,
    )


def _leader(part: Part) -> dict[str, str]:
    (x, y), (to_x, to_y) = part.at, part.to
    return {"x1": coordinate(x), "y1": coordinate(y), "x2": coordinate(to_x), "y2": coordinate(to_y)}
