"""The drawings of a yoke's parts, of a gauge cut open, and of pins and holes."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import pytest

from published import row_id, rows
from yokebook.figures import cutaway, parts, pins, yoke
from yokebook.figures.parts import Drawing
from yokebook.figures.swatches import Swatch
from yokebook.gases import COLOUR_MARKS
from yokebook.physics.pins import Face, Side

SVG = "{http://www.w3.org/2000/svg}"
COLOURS = Swatch(("white",), "oxygen", "ISO 32")
DRAWINGS = {
    "yoke": yoke.draw(),
    "cutaway": cutaway.draw(),
    "pins": pins.draw(pins.Pins("oxygen", (2, 5), "2-5", Side.LEFT, "oxygen", COLOURS)),
}
# Where the six positions lie for one who faces the valve; which end is 1 is the department's (from memory).
FROM_THE_LEFT = (1, 2, 3, 4, 5, 6)


def drawn_of(code: tuple[int, ...], side: Side) -> pins.Pins:
    """Return the pins of a code."""
    return pins.Pins("a gas", code, "-".join(map(str, code)), side, "a gas", COLOURS)


def spots_of(drawn: pins.Pins, face: Face) -> dict[int, tuple[float, bool]]:
    """Return each numbered position of a face: how far to the right it lies, and whether it is drawn as hole or pin."""
    root = ET.fromstring(pins.draw(drawn))
    left_half = face is Face.VALVE
    # A hole is a black disc of 7.5, a pin a ring of 6.5 with a dot; the row lies below the port.
    used = [
        float(circle.attrib["cx"])
        for circle in root.iter(SVG + "circle")
        if circle.attrib["r"] in ("7.5", "6.5") and 150 < float(circle.attrib["cy"]) < 236
    ]
    numbered = {
        int(str(text.text)): float(text.attrib["x"])
        for text in root.iter(SVG + "text")
        if str(text.text).isdigit() and (float(text.attrib["x"]) < 170) == left_half
    }
    # Numbers stand outside of the row, in the same direction from the port.
    centre = 86.0 if left_half else 254.0
    places = {number: centre + (x - centre) * 7.2 / 8.9 for number, x in numbered.items()}
    return {number: (x, any(abs(x - at) < 0.1 for at in used)) for number, x in places.items()}


@pytest.mark.parametrize("row", rows("pin_codes.csv"), ids=row_id)
@pytest.mark.parametrize("side", Side)
@pytest.mark.parametrize("face", Face)
def test_holes_and_pins_are_drawn_at_the_positions_of_the_code(row: dict[str, str], side: Side, face: Face) -> None:
    """Each gas by its published code (ISO 407 as tabulated in an encyclopaedia), on valve and yoke."""
    code = tuple(int(position) for position in row["positions"].split())
    spots = spots_of(drawn_of(code, side), face)
    assert set(code) == {number for number, (_, is_used) in spots.items() if is_used}


@pytest.mark.parametrize("side", Side)
def test_the_yoke_is_the_mirror_image_of_the_valve(side: Side) -> None:
    """Facing the valve position 1 is on the department's side; facing the yoke it is on the other."""
    drawn = drawn_of((2, 5), side)
    valve, on_yoke = (spots_of(drawn, face) for face in (Face.VALVE, Face.YOKE))
    left_to_right = tuple(sorted(valve, key=lambda position: valve[position][0]))
    assert (FROM_THE_LEFT if side is Side.LEFT else FROM_THE_LEFT[::-1]) == left_to_right
    assert left_to_right[::-1] == tuple(sorted(on_yoke, key=lambda position: on_yoke[position][0]))
    for position in FROM_THE_LEFT:
        assert 86.0 - valve[position][0] == pytest.approx(on_yoke[position][0] - 254.0, abs=0.02)


def test_which_face_is_seen_stands_beside_each_and_in_words() -> None:
    """Valve and yoke are named with what is seen, and which end is 1; the words tell the same as the picture."""
    drawn = drawn_of((3, 5), Side.RIGHT)
    texts = [str(text.text) for text in ET.fromstring(pins.draw(drawn)).iter(SVG + "text")]
    assert ["Cylinder valve", "holes, seen face-on", "port"] == texts[:3]
    assert "1 is on the right" == texts[texts.index("Yoke") - 1]
    assert "The code fits; read the label." in texts
    assert "holes 3rd from the right and 5th from the right" in drawn.description
    assert "pins 3rd from the left and 5th from the left" in drawn.description
    assert "A schematic, not to scale." in drawn.description


def test_the_single_pin_stands_in_the_middle_of_the_row() -> None:
    """Position 7 lies between 3 and 4 (ISO 407 as tabulated in an encyclopaedia), and is drawn for its code alone."""
    spots = spots_of(drawn_of((7,), Side.LEFT), Face.VALVE)
    assert 86.0 == pytest.approx(spots[7][0])
    assert spots[3][0] < spots[7][0] < spots[4][0]
    assert 7 not in spots_of(drawn_of((2, 5), Side.LEFT), Face.VALVE)


@pytest.mark.parametrize("drawing", [yoke.YOKE, cutaway.CUTAWAY], ids=["yoke", "cutaway"])
def test_each_numbered_part_has_its_name_below(drawing: Drawing) -> None:
    """As many numbers in the drawing as names below it, counted from 1, each name once."""
    drawn = parts.draw(drawing, sector="", pinion="", pointer="")
    texts = [str(text.text) for text in ET.fromstring(drawn).iter(SVG + "text")]
    count = len(drawing.parts)
    assert [str(number) for number in range(1, count + 1)] == texts[:count]
    named = texts[count : 3 * count]
    assert [part.name for part in drawing.parts] == named[1::2]
    assert texts[:count] == named[::2]
    assert count == len({part.name for part in drawing.parts})


@pytest.mark.parametrize("drawn", DRAWINGS.values(), ids=DRAWINGS)
def test_nothing_that_a_policy_would_stop_or_that_needs_colour(drawn: str) -> None:
    """No style, no ids, title first and description second, and only black, white and grey."""
    root = ET.fromstring(drawn)
    assert [SVG + "title", SVG + "desc"] == [child.tag for child in list(root)[:2]]
    assert "img" == root.attrib["role"]
    for element in root.iter():
        assert set() == {"style", "id", "class", "href"} & set(element.attrib)
    assert all(len({shade[1:3], shade[3:5], shade[5:7]}) == 1 for shade in re.findall(r"#[0-9a-f]{6}", drawn))


def test_each_colour_of_the_standards_has_its_shade() -> None:
    """A swatch can be drawn for every colour word of ISO 32 and CGA C-9, and no two words share a shade."""
    words = {word for marks in COLOUR_MARKS.values() for colours in marks.values() for word in colours}
    shades = {Swatch((word,), "a gas", "ISO 32").shades for word in words}
    assert len(words) == len(shades)


def test_one_pin_and_its_hole_stand_for_two_that_lie_side_by_side() -> None:
    """A section shows one of them; two above each other would enter one hole that no valve has."""
    assert 1 == yoke.draw().count('x="98" y="173" width="18"')
    assert "The pins stand side by side; one is shown, with its hole." in " ".join(yoke.YOKE.notes)
