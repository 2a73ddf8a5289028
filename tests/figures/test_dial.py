"""The drawing of a dial."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from decimal import Decimal
from xml.etree import ElementTree as ET

import pytest

from yokebook.figures import dial
from yokebook.figures.swatches import Swatch

SVG = "{http://www.w3.org/2000/svg}"
PLAIN = dial.Dial("oxygen", "bar", Decimal(0), Decimal(250), Decimal(10), Decimal(70))
MARKED = replace(
    PLAIN,
    truth=(Decimal(61), Decimal(79)),
    change_at=Decimal(40),
    colours=Swatch(("white",), "oxygen", "ISO 32"),
)
CENTRE = (170.0, 166.0)


def texts_of(drawn: str) -> list[str]:
    """Return the texts of a drawing in the order drawn."""
    return [str(element.text) for element in ET.fromstring(drawn).iter(SVG + "text")]


def points_of(text: str) -> list[tuple[float, float]]:
    """Return the points of a polygon or polyline."""
    return [(float(x), float(y)) for x, y in (point.split(",") for point in text.split())]


def seen_from_the_centre(point: tuple[float, float]) -> tuple[float, float]:
    """Return a point's distance from the middle of the dial and its direction, degrees anticlockwise from 3 o'clock."""
    right, up = point[0] - CENTRE[0], CENTRE[1] - point[1]
    return math.hypot(right, up), math.degrees(math.atan2(up, right)) % 360


def pointer_of(drawn: dial.Dial) -> list[tuple[float, float]]:
    """Return the outline of the pointer, which is the one polygon of five corners."""
    polygons = (points_of(one.attrib["points"]) for one in ET.fromstring(dial.draw(drawn)).iter(SVG + "polygon"))
    (pointer,) = (points for points in polygons if len(points) == 5)
    return pointer


def test_the_scale_sweeps_270_degrees_clockwise_from_lower_left() -> None:
    """Zero at lower left, the middle at the top, the end at lower right (EN 837-1:1996: scale angle 270 degrees)."""
    assert [225, 90, -45] == [round(PLAIN.degrees(Decimal(value))) for value in (0, 125, 250)]


def test_the_numbers_on_the_dial_are_those_of_the_scale() -> None:
    """A mark at each interval, at most eleven numbers, from the lowest to the highest that the interval meets."""
    drawn = dial.draw(PLAIN)
    assert ["0", "50", "100", "150", "200", "250", "oxygen", "bar"] == texts_of(drawn)
    assert 26 == sum(1 for _ in ET.fromstring(drawn).iter(SVG + "polyline"))


def test_a_plain_dial_says_what_it_shows_to_those_who_cannot_see_it() -> None:
    """Title and description name gas, unit, span, interval and reading."""
    root = ET.fromstring(dial.draw(PLAIN))
    assert "Dial of the oxygen gauge, reading 70 bar" == root.findtext(SVG + "title")
    assert (
        "A round dial with a scale from 0 to 250 bar, a mark every 10 bar. The pointer stands at 70 bar. A schematic, "
        "not a picture of a particular gauge."
    ) == root.findtext(SVG + "desc")
    assert "img" == root.attrib["role"]


def test_the_marks_are_told_in_the_legend_and_to_those_who_cannot_see_them() -> None:
    """Possible error, change-at mark and colour each have their words, below the drawing and in its description."""
    drawn = dial.draw(MARKED)
    assert [
        "reading: 70 bar",
        "in truth: 61 to 79 bar",
        "change at 40 bar",
        "white: oxygen by ISO 32",
    ] == texts_of(drawn)[-4:]
    told = str(ET.fromstring(drawn).findtext(SVG + "desc"))
    assert "A hatched band from 61 to 79 bar shows where the true pressure may lie." in told
    assert "A triangle marks the reading at which to change, 40 bar." in told


def test_all_that_is_drawn_stands_in_the_words() -> None:
    """An approval covers each text of the drawing, its title and its description."""
    root = ET.fromstring(dial.draw(MARKED))
    drawn = {str(root.findtext(SVG + "title")), str(root.findtext(SVG + "desc")), *texts_of(dial.draw(MARKED))}
    assert set() == drawn - set(dial.words(MARKED))


@pytest.mark.parametrize(
    ("truth", "shown", "described"),
    [
        ((-4, 14), "in truth: at most 14 bar", "from 0 to 14 bar"),
        ((236, 254), "in truth: 236 to 254 bar", "from 236 to 250 bar"),
    ],
)
def test_a_band_ends_where_the_scale_ends(truth: tuple[int, int], shown: str, described: str) -> None:
    """The numbers are those of the truth; what is drawn stays on the dial."""
    marked = replace(PLAIN, truth=(Decimal(truth[0]), Decimal(truth[1])))
    assert shown == texts_of(dial.draw(marked))[-1]
    assert described in dial.describe(marked)


@pytest.mark.parametrize("reading", range(0, 251, 10))
def test_the_pointer_points_at_the_reading_and_never_reaches_a_numeral(reading: int) -> None:
    """Its tip lies in the reading's direction and, as its tail, within the scale; the numerals stand outside of it."""
    shown = replace(PLAIN, reading=Decimal(reading))
    tip, *rest = (seen_from_the_centre(point) for point in pointer_of(shown))
    assert 225 - 270 * reading / 250 == pytest.approx((tip[1] + 45) % 360 - 45, abs=0.1)
    scale = 106
    assert all(distance < scale for distance, _ in (tip, *rest))
    numerals = [
        seen_from_the_centre((float(text.attrib["x"]), float(text.attrib["y"])))[0]
        for text in ET.fromstring(dial.draw(shown)).iter(SVG + "text")
        if str(text.text).isdigit()
    ]
    # Half of a numeral of three digits, 15 high: 13 to the side, 8 up and down.
    assert all(distance - math.hypot(13, 8) > scale for distance in numerals)


def test_a_change_mark_stands_on_its_reading() -> None:
    """The tip of the triangle lies in the direction of the reading at which to change."""
    triangles = (one.attrib["points"] for one in ET.fromstring(dial.draw(MARKED)).iter(SVG + "polygon"))
    tip = next(points_of(points)[0] for points in triangles if len(points_of(points)) == 3)
    assert 225 - 270 * 40 / 250 == pytest.approx(seen_from_the_centre(tip)[1], abs=0.5)


@pytest.mark.parametrize("drawing", [PLAIN, MARKED], ids=["plain", "marked"])
def test_nothing_in_a_drawing_that_a_policy_would_stop_or_a_second_one_would_clash_with(drawing: dial.Dial) -> None:
    """No style, no id to clash with another drawing's, and no colour but black on white."""
    text = dial.draw(drawing)
    for element in ET.fromstring(text).iter():
        assert set() == {"style", "id", "class", "href"} & set(element.attrib)
        assert SVG + "style" != element.tag
    assert {"#000000", "#ffffff"} == set(re.findall(r"#[0-9a-f]{6}", text))
    assert text == dial.draw(drawing)


@pytest.mark.parametrize("reading", ["-1", "251"])
def test_a_reading_or_a_mark_off_the_dial_is_refused(reading: str) -> None:
    """A pointer, or a triangle, never stands where the scale has no number."""
    for off in (replace(PLAIN, reading=Decimal(reading)), replace(PLAIN, change_at=Decimal(reading))):
        with pytest.raises(ValueError, match=r"is off a dial of 0 to 250 bar"):
            dial.draw(off)


@pytest.mark.parametrize("reading", range(0, 251, 10))
def test_words_at_the_pointer_stand_clear_of_it_and_within_the_scale(reading: int) -> None:
    """Wherever the pointer stands: two short lines on the side with room, within the ring of marks."""
    drawn = dial.draw(replace(PLAIN, reading=Decimal(reading), pointer_words="change here"))
    lines = [
        (float(text.attrib["x"]), float(text.attrib["y"]))
        for text in ET.fromstring(drawn).iter(SVG + "text")
        if text.text in ("change", "here")
    ]
    assert 2 == len(lines)
    direction = math.radians(PLAIN.degrees(Decimal(reading)))
    for x, y in lines:
        right, up = x - CENTRE[0], CENTRE[1] - y
        assert math.hypot(right, up) < 90
        # How far the middle of a line lies beside the pointer, and how far the line reaches in that direction.
        beside = abs(up * math.cos(direction) - right * math.sin(direction))
        assert beside > 8 + 6 * abs(math.cos(direction))
