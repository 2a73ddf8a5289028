"""The drawing of a dial."""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal
from xml.etree import ElementTree as ET

import pytest

from yokebook.figures import dial

SVG = "{http://www.w3.org/2000/svg}"
DIAL = dial.Dial("oxygen", "bar", Decimal(0), Decimal(250), Decimal(10), Decimal(70))


def test_the_scale_sweeps_270_degrees_clockwise_from_lower_left() -> None:
    """Zero at lower left, the middle at the top, the end at lower right (EN 837-1:1996: scale angle 270 degrees)."""
    assert [225, 90, -45] == [round(math.degrees(DIAL.angle(Decimal(value)))) for value in (0, 125, 250)]


def test_the_numbers_on_the_dial_are_those_of_the_scale() -> None:
    """A mark at each interval, at most eleven numbers, from the lowest to the highest that the interval meets."""
    root = ET.fromstring(dial.draw(DIAL))
    labels = [element.text for element in root.iter(SVG + "text")][:-2]
    assert ["0", "50", "100", "150", "200", "250"] == labels
    assert 26 == sum(1 for line in root.iter(SVG + "line")) - 1


def test_the_dial_speaks_to_those_who_cannot_see_it() -> None:
    """Title and description name gas, unit, span, interval and reading."""
    root = ET.fromstring(dial.draw(DIAL))
    assert "Dial of the oxygen gauge, reading 70 bar" == root.findtext(SVG + "title")
    assert "from 0 to 250 bar, a mark every 10 bar. The pointer stands at 70 bar." in str(root.findtext(SVG + "desc"))


def test_presentation_attributes_only() -> None:
    """No style attribute and no style element, which a content security policy would stop."""
    for element in ET.fromstring(dial.draw(DIAL)).iter():
        assert "style" not in element.attrib
        assert SVG + "style" != element.tag


@pytest.mark.parametrize("reading", ["-1", "251"])
def test_a_reading_off_the_dial_is_refused(reading: str) -> None:
    """A pointer never stands where the scale has no number."""
    with pytest.raises(ValueError, match=r"is off a dial of 0 to 250 bar"):
        dial.draw(replace(DIAL, reading=Decimal(reading)))
