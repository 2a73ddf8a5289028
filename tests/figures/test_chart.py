"""The drawing of curves over two axes."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from xml.etree import ElementTree as ET

import pytest

from yokebook.figures import chart
from yokebook.figures.chart import Band, Chart, Curve, Level, round_axis

SVG = "{http://www.w3.org/2000/svg}"


def points(*pairs: tuple[int, int]) -> tuple[tuple[Decimal, Decimal], ...]:
    return tuple((Decimal(x), Decimal(y)) for x, y in pairs)


RISING, FALLING = points((0, 0), (50, 30), (100, 90)), points((0, 80), (100, 10))
CHART = Chart(
    "Two ways",
    "A rises, B falls.",
    round_axis("Time (min)", Decimal(0), Decimal(100)),
    round_axis("Pressure (bar)", Decimal(0), Decimal(90)),
    (Curve("A", "what rises, with a name so long that no line of the key is wide enough for it", RISING),
     Curve("B", "what falls", FALLING)),
    (Band("not known better", points((0, 0), (100, 80)), points((0, 0), (100, 95))),),
    (Level("kept back: 10 bar", Decimal(10)),),
)  # fmt: skip


def drawn(shown: Chart = CHART) -> ET.Element:
    return ET.fromstring(chart.draw(shown))


def lines_of(root: ET.Element) -> list[ET.Element]:
    """Return the curves of a drawing: the lines that have dashes of their own."""
    return [line for line in root.iter(SVG + "polyline") if "stroke-dasharray" in line.attrib]


def corners(line: ET.Element) -> list[tuple[float, ...]]:
    return [tuple(map(float, pair.split(","))) for pair in line.attrib["points"].split()]


def texts(root: ET.Element) -> list[str]:
    return [" ".join("".join(element.itertext()).split()) for element in root.iter(SVG + "text")]


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [
        ("0", "137", ["0", "25", "50", "75", "100", "125", "150"]),
        ("0", "3.1", ["0", "1", "2", "3", "4"]),
        ("0", "3000", ["0", "500", "1000", "1500", "2000", "2500", "3000"]),
        ("0", "0.9", ["0", "0.2", "0.4", "0.6", "0.8", "1"]),
        ("7", "12", ["7", "8", "9", "10", "11", "12"]),
    ],
)
def test_an_axis_has_round_numbers_that_hold_all_that_is_drawn(low: str, high: str, expected: list[str]) -> None:
    """Steps of 1, 2, 2.5 or 5, at most six of them up to the highest value."""
    axis = round_axis("", Decimal(low), Decimal(high))
    assert expected == [text for _, text in axis.ticks]
    assert axis.low <= Decimal(low) < Decimal(high) <= axis.high


def test_curves_are_told_apart_without_colour() -> None:
    """Each has dashes of its own, its mark stands on it and before its name in the key; all ink is grey or black."""
    root = drawn(replace(CHART, curves=tuple(Curve(mark, "", RISING) for mark in "ABCDEF")))
    dashes = [line.attrib["stroke-dasharray"] for line in lines_of(root)]
    assert len(dashes) == len(set(dashes)) == 6
    key = [line.attrib["stroke-dasharray"] for line in root.iter(SVG + "line") if "stroke-dasharray" in line.attrib]
    assert dashes == key
    assert all(found in texts(root) and f"{found}:" in texts(root) for found in "ABCDEF")
    inks = {value for element in root.iter() for name, value in element.attrib.items() if name in ("fill", "stroke")}
    assert inks - {"none"} == {ink for ink in inks - {"none"} if re.fullmatch(r"#(..)\1\1", ink)}


def test_more_curves_than_dashes_are_refused() -> None:
    """Seven lines on one sheet could not be told apart."""
    with pytest.raises(ValueError, match="7 curves cannot be told apart, 6 can"):
        chart.draw(replace(CHART, curves=tuple(Curve(mark, "", RISING) for mark in "ABCDEFG")))


def test_a_curve_runs_through_its_points() -> None:
    """The axes span 50 to 318 across and 232 to 32 upright."""
    rising, falling = map(corners, lines_of(drawn()))
    assert [(50, 232), (184, 172), (318, 52)] == rising
    assert [(50, 72), (318, 212)] == falling


def test_stairs_never_promise_more_than_the_next_point() -> None:
    """From one point on, the height is that of the next; at the next it falls to the one after."""
    stairs = Curve("A", "", points((0, 90), (20, 60), (50, 30)), is_stairs=True)
    assert points((0, 90), (0, 60), (20, 60), (20, 30), (50, 30)) == stairs.line


def test_a_mark_stands_on_its_curve_away_from_the_others() -> None:
    """Where the two cross is no place for a mark, and none stands over an axis."""
    root = drawn()
    places = {
        text.text: (float(text.attrib["x"]), float(text.attrib["y"]))
        for text in root.iter(SVG + "text")
        if text.text in ("A", "B")
    }
    (ax, ay), (bx, by) = places["A"], places["B"]
    assert by == pytest.approx(72 + (bx - 50) / 268 * 140, abs=0.1)
    assert ay == pytest.approx(232 - (ax - 50) / 134 * 60 if ax < 184 else 172 - (ax - 184) / 134 * 120, abs=0.1)
    assert (ax - bx) ** 2 + (ay - by) ** 2 > 80**2
    assert all(50 < x < 318 and 32 < y < 232 for x, y in places.values())


def test_all_that_is_written_is_told_in_the_words() -> None:
    """The list of numbers and the digest take the words for what a reader reads from the drawing."""
    told = {" ".join(word.split()) for word in chart.words(CHART)} | {"A", "B"}
    assert set() == set(texts(drawn())) - told


def test_the_chart_speaks_to_those_who_cannot_see_it() -> None:
    """A title and a description, and the whole is one picture."""
    root = drawn()
    assert ("img", "Two ways", "A rises, B falls.") == (
        root.attrib["role"], root.findtext(SVG + "title"), root.findtext(SVG + "desc"),
    )  # fmt: skip


def test_presentation_attributes_only_and_no_names_that_could_clash() -> None:
    """A content security policy stops styles; two drawings on a page must not share an id."""
    for element in drawn().iter():
        assert set() == {"style", "id", "class"} & set(element.attrib)
        assert element.tag not in (SVG + "style", SVG + "script", SVG + "image")


def test_nothing_stands_beyond_the_sheet() -> None:
    """The key grows the sheet downwards; a letter is at most as wide as that of the widest common face, 0.62 of 14."""
    root = drawn()
    _, _, width, height = map(float, root.attrib["viewBox"].split())
    for text in root.iter(SVG + "text"):
        for part in [text, *text]:
            wide = 14 * 0.62 * len((part.text or "").strip())
            anchor, x = text.attrib.get("text-anchor"), float(text.attrib["x"])
            left = x - wide * {"middle": 0.5, "end": 1.0}.get(anchor or "", 0.0)
            assert left >= 0, part.text
            assert left + wide <= width, part.text
        shift = sum(float(part.attrib["dy"]) for part in text)
        assert float(text.attrib["y"]) + shift + 4 <= height


def test_letters_are_legible_on_a_narrow_screen() -> None:
    """At 320 px with 16 px at either side the sheet is 288 px wide; its letters are then at least 11 px high."""
    root = drawn()
    assert float(root.attrib["font-size"]) * 288 / float(root.attrib["viewBox"].split()[2]) >= 11
    assert all("font-size" not in element.attrib for element in root.iter() if element is not root)


def test_the_same_chart_is_the_same_text() -> None:
    """No counter, no clock."""
    assert chart.draw(CHART) == chart.draw(replace(CHART))
