"""The pin index of a gas: the holes of the cylinder valve and the pins of the yoke, each as one sees it face-on."""

from __future__ import annotations

from dataclasses import dataclass
from textwrap import wrap

from yokebook.figures.plane import Point, coordinate
from yokebook.figures.swatches import Swatch
from yokebook.gases import SINGLE_ROW_POSITIONS
from yokebook.physics.pins import Face, Side, position_mm
from yokebook.templates import render

_CENTRES = {Face.VALVE: (86.0, 100.0), Face.YOKE: (254.0, 100.0)}
_PER_MM = 7.2
_NUMBERS_PER_MM = 8.9
_NOTES_TOP, _NOTES_LINE, _NOTES_WIDTH = 284.0, 22.0, 39
_KEY = {"hole": "hole", "pin": "pin", "none": "unused position"}
_SEEN = {Face.VALVE: ("Cylinder valve", "holes, seen face-on", "port"),
         Face.YOKE: ("Yoke", "pins, seen face-on", "nipple")}  # fmt: skip
READ = "The code fits; read the label."
_ORDINALS = ("1st", "2nd", "3rd", "4th", "5th", "6th")


@dataclass(frozen=True)
class Pins:
    """A gas with its code, the side of position 1 seen facing the cylinder valve, and all that the code lets in."""

    gas: str
    code: tuple[int, ...]
    code_text: str
    position_1: Side
    lets_in: str
    colours: Swatch

    @property
    def title(self) -> str:
        """The drawing's title."""
        return f"Pin index {self.code_text}: {self.gas}, the valve's holes beside the yoke's pins"

    @property
    def description(self) -> str:
        """What the drawing shows in words, for those who cannot see it."""
        places = " and ".join(self.where(position, Face.VALVE) for position in self.code)
        mirrored = " and ".join(self.where(position, Face.YOKE) for position in self.code)
        holes, pins = ("holes", "pins") if len(self.code) > 1 else ("a hole", "a pin")
        return (
            f"On the left a cylinder valve as one sees it who faces it: its port, and below it a row of positions with "
            f"{holes} {places}. On the right the yoke as one sees it who faces it: its nipple, and below it {pins} "
            f"{mirrored}. The two are mirror images. A schematic, not to scale."
        )

    @property
    def notes(self) -> tuple[str, ...]:
        """The words below the drawing, in lines that fit its width."""
        said = (
            f"Code {self.code_text} lets in: {self.lets_in}. Valve and yoke are mirror images. A schematic, not to "
            "scale."
        )
        return tuple(wrap(said, _NOTES_WIDTH, break_on_hyphens=False))

    @property
    def words(self) -> tuple[str, ...]:
        """The words and numbers that the drawing shows, as a reader meets them."""
        heads = tuple(text for texts in _SEEN.values() for text in texts)
        ends = tuple(self.first_at(face) for face in _SEEN)
        numbers = tuple(str(position) for position in self.positions)
        texts = (self.colours.text, *_KEY.values(), READ, " ".join(self.notes), self.title, self.description)
        return (*heads, *ends, *numbers, *texts)

    @property
    def positions(self) -> tuple[int, ...]:
        """The positions that are drawn: 7 only where it is the code."""
        return tuple(sorted({*SINGLE_ROW_POSITIONS, *self.code}))

    def side(self, face: Face) -> Side:
        """Return on which side position 1 lies for one who faces the valve, or the yoke."""
        return self.position_1 if face is Face.VALVE else self.position_1.other

    def first_at(self, face: Face) -> str:
        """Return where the count begins, as it stands below a face."""
        return f"1 is on the {self.side(face).value}"

    def where(self, position: int, face: Face) -> str:
        """Return where a position lies for one who faces the valve, or the yoke.

        >>> PINS = Pins("oxygen", (2, 5), "2-5", Side.LEFT, "oxygen", Swatch(("white",), "oxygen", "ISO 32"))
        >>> PINS.where(2, Face.VALVE), PINS.where(2, Face.YOKE)
        ('2nd from the left', '2nd from the right')
        """
        if position not in SINGLE_ROW_POSITIONS:
            return "in the middle of the row"
        return f"{_ORDINALS[position - 1]} from the {self.side(face).value}"


def draw(pins: Pins) -> str:
    """Return the drawing as an SVG text."""
    read_y = _NOTES_TOP + 52 + 20 * (len(pins.colours.lines) - 1)
    notes = [{"text": text, "y": coordinate(read_y + _NOTES_LINE * line)} for line, text in enumerate(pins.notes, 1)]
    return render(
        "pins.svg",
        title=pins.title,
        description=pins.description,
        height=coordinate(read_y + _NOTES_LINE * len(notes) + 10),
        faces=[_face(pins, face) for face in _SEEN],
        key=_KEY,
        key_y=_NOTES_TOP,
        colours=pins.colours,
        read=READ,
        read_y=coordinate(read_y),
        notes=notes,
    )


def _face(pins: Pins, face: Face) -> dict[str, object]:
    head, seen, middle = _SEEN[face]
    x, y = _CENTRES[face]
    used = "hole" if face is Face.VALVE else "pin"
    return {
        "head": head,
        "seen": seen,
        "middle": middle,
        "is_valve": face is Face.VALVE,
        "x": x,
        "y": y,
        "first_at": pins.first_at(face),
        "positions": [
            _position(pins, face, position, used if position in pins.code else "none") for position in pins.positions
        ],
    }


def _position(pins: Pins, face: Face, position: int, kind: str) -> dict[str, str]:
    right, down = position_mm(position, face, pins.position_1)
    at, number_at = (_moved(_CENTRES[face], right, down, scale) for scale in (_PER_MM, _NUMBERS_PER_MM))
    return {
        "kind": kind,
        "number": str(position),
        "x": coordinate(at[0]),
        "y": coordinate(at[1]),
        "number_x": coordinate(number_at[0]),
        "number_y": coordinate(number_at[1]),
    }


def _moved(centre: Point, right: float, down: float, scale: float) -> Point:
    return centre[0] + scale * right, centre[1] + scale * down
