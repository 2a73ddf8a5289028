"""A gauge cut open: the bent tube, the linkage and the pointer, as a schematic with numbered parts."""

from __future__ import annotations

from yokebook.figures import parts
from yokebook.figures.parts import Drawing, Part
from yokebook.figures.plane import Point, around, path

CUTAWAY = Drawing(
    template="cutaway.svg",
    title="A gauge cut open: the bent tube and its linkage",
    description=(
        "A round case seen from the front, its dial taken away. A socket at the bottom leads into a tube that is bent "
        "most of the way round the case and closed at its far end. A link goes from the closed end to a toothed "
        "sector, whose teeth turn a small pinion in the middle; the pointer sits on the pinion's spindle. Beside "
        "the case the tube is drawn cut across: it is flattened. A schematic, not to scale."
    ),
    parts=(
        Part("socket", (226.0, 300.0), (188.0, 300.0)),
        Part("bent tube", (36.0, 30.0), (88.0, 101.0)),
        Part("flattened section", (112.0, 330.0), (80.0, 318.0)),
        Part("closed end", (318.0, 240.0), (262.0, 186.0)),
        Part("link", (284.0, 284.0), (240.0, 207.0)),
        Part("sector", (138.0, 204.0), (190.0, 188.0)),
        Part("pinion", (216.0, 116.0), (175.0, 147.0)),
        Part("pointer", (178.0, 86.0), (136.0, 110.0)),
    ),
    notes=("Arrows: pressure comes in below, and", "the closed end moves outwards.", "A schematic, not to scale."),
    top=372.0,
)
_SPINDLE: Point = (170.0, 150.0)
_PIVOT: Point = (206.0, 206.0)
_TOWARDS_SPINDLE = 122.7  # degrees from the pivot of the sector
_SECTOR, _HALF, _TOOTH = 52.0, 24.0, 6.0


def draw() -> str:
    """Return the drawing as an SVG text."""
    rim = [_TOWARDS_SPINDLE - _HALF + _HALF * step / 12 for step in range(25)]
    teeth = [around(_PIVOT, _SECTOR + _TOOTH * (step % 2), degrees) for step, degrees in enumerate(rim)]
    small = [around(_SPINDLE, 8 + 5 * (step % 2), 15.0 * step) for step in range(24)]
    needle = [around(_SPINDLE, 74, 130), around(_SPINDLE, 4, 220), around(_SPINDLE, 4, 40)]
    return parts.draw(CUTAWAY, sector=path([_PIVOT, *teeth]), pinion=path(small), pointer=path(needle))
