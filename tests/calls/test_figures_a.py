"""Figures of gauges and yokes: what their tables say beside the drawing, and what is refused."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from calls_of import copy_fleet, result_of, told, working_of
from demo_site import change
from published import row_id, rows
from yokebook.calls.result import Result

DIAL = 'gauge_figure(gauge="yoke-oxygen", gas="oxygen", reading="100 bar"'
CHANGE = ', cylinder="oxygen-e", machine="theatre-1", use="bellows", time="15 min")'
FIGURES = (DIAL + ")", DIAL + CHANGE, "cutaway_figure()", "yoke_figure()", 'pin_figure(gas="carbon dioxide")')
SVG = "{http://www.w3.org/2000/svg}"


def drawing_of(result: Result) -> ET.Element:
    """Return the drawing of a figure."""
    found = re.search(r"<svg.*?</svg>", result.html, re.DOTALL)
    assert found is not None
    return ET.fromstring(found.group())


@pytest.mark.parametrize("call", FIGURES)
def test_all_that_a_drawing_says_is_approved_and_listed(call: str) -> None:
    """Each text of the drawing stands in what an approval covers, word by word, and in the list of numbers."""
    result = result_of(call)
    assert result.numbers is not None
    words = " ".join(result.as_read["words"])
    texts = [str(text.text) for text in drawing_of(result).iter() if text.tag in (SVG + "text", SVG + "desc")]
    assert [] == [text for text in texts if text not in words]
    assert result.as_read["words"] == result.numbers.texts["words"]
    assert result.as_read["title"] in unescape(result.html)


@pytest.mark.parametrize("call", FIGURES)
def test_a_drawing_has_its_table_beside_it(call: str) -> None:
    """Title, description and a table for those who cannot see it; the table is there for everybody."""
    result = result_of(call)
    assert drawing_of(result).findtext(SVG + "title")
    assert drawing_of(result).findtext(SVG + "desc")
    assert f"<caption>{result.as_read['caption']}</caption>" in unescape(result.html)
    assert len(result.as_read["rows"]) >= 1
    assert result.html.index("</svg>") < result.html.index("<table")
    assert result.html == result_of(call).html


def test_the_whole_of_a_dial_in_numbers() -> None:
    """Reading and mark with what gauge_table says of them; the condition names scale, use, time and tolerances."""
    assert {
        "title": "Dial of the oxygen gauge that ends at 250\u00a0bar, at 100\u00a0bar",
        "words": [
            *("0", "50", "100", "150", "200", "250", "oxygen", "bar"),
            "reading: 100 bar",
            "in truth: 86 to 114 bar",
            "change at 70 bar",
            "white: oxygen by ISO 32",
            "Dial of the oxygen gauge, reading 100 bar",
            "A round dial with a scale from 0 to 250 bar, a mark every 10 bar. The pointer stands at 100 bar. A "
            "hatched band from 86 to 114 bar shows where the true pressure may lie. A triangle marks the reading at "
            "which to change, 70 bar. A schematic, not a picture of a particular gauge.",
        ],
        "caption": "The dial in numbers: oxygen gauge that ends at 250\u00a0bar, at 100\u00a0bar",
        "condition": "The mark where to change (Ventilator, 1\u00a0L/min set: up to 10.1\u00a0L/min): "
        "15\u00a0min in hand and 5\u00a0min "
        "for the change, for cylinders stamped 4.68\u00a0L (size E, UK), on theatre-1. The dial goes from 0\u00a0bar "
        "to 250\u00a0bar, a mark every 10\u00a0bar. Accuracy: class 2.5 (± 2.5 % of the span, EN 837-1), and the "
        "2\u00a0bar found at its check more, and what its own temperature of 18\u00a0°C to 24\u00a0°C adds, and half a "
        "mark of reading (5\u00a0bar). The true pressure is rounded down at least, up at most. Colours only confirm: "
        "read the name of the gas.",
        "heads": [
            "Mark",
            "On the dial (bar)",
            "Out by up to (± bar)",
            "True pressure at least (bar)",
            "True pressure at most (bar)",
        ],
        "rows": [["Reading", "100", "14", "86", "114"], ["Change at", "70", "14", "56", "84"]],
        "cautions": [
            "CAUTION: Believe a low reading least: near the low end of a dial the possible error is a large part of "
            "what is left."
        ],
    } == result_of(DIAL + CHANGE).as_read


PUBLISHED = [row for row in rows("gauge_errors.csv") if row["id"] >= "GAU-015" and row["what"] == "bar"]


@pytest.mark.parametrize("row", PUBLISHED, ids=row_id)
def test_the_band_is_as_wide_as_the_published_error(row: dict[str, str], tmp_path: Path) -> None:
    """The band reaches the published error either way at 20 °C (EN 837-1:1996, table 11), and half a mark of reading "
    "more.

    Half a mark is 2.5 bar; half a bar is the tenth of an interval to which the truth is rounded outwards.
    """
    folder = copy_fleet(tmp_path / "site")
    gauges = folder / "content/data/gauges.yaml"
    change(gauges, "  found_error: 2 bar\n", "")
    change(folder / "content/data/places.yaml",
           "theatre:\n  temperature: {low: 18 °C, usual: 20 °C, high: 24 °C}",
           "theatre:\n  temperature: {low: 20 °C, usual: 20 °C, high: 20 °C}")  # fmt: skip
    change(
        gauges,
        "  span: {low: 0 bar, high: 250 bar}\n  scale_interval: 10 bar\n  accuracy: {class: 2.5}",
        f"  span: {{low: 0 bar, high: {row['span_bar']} bar}}\n  scale_interval: 5 bar\n"
        f"  accuracy: {{class: {row['accuracy_class']}}}",
    )
    reading, error = float(row["reading_bar"]), float(row["value"]) + 2.5
    numbers = result_of(f'gauge_figure(gauge="yoke-oxygen", gas="oxygen", reading="{reading} bar")', folder).numbers
    assert numbers is not None
    _, _, least, most = numbers.cells[0]
    assert least.value is not None
    assert most.value is not None
    assert reading - error - 0.5 < float(least.value) <= reading - error
    assert reading + error <= float(most.value) < reading + error + 0.5


def test_the_mark_where_to_change_is_that_of_change_at() -> None:
    """The triangle stands at the reading that change_at tells for the same cylinder, use and time."""
    asked = 'cylinder="oxygen-e", machine="theatre-1", use="bellows", time='
    for time in ("10 min", "15 min", "30 min"):
        drawn = result_of(f'{DIAL}, {asked}"{time}")').numbers
        in_words = result_of(f'change_at({asked}"{time}")').numbers
        assert drawn is not None
        assert in_words is not None
        assert in_words.cells[0][0].value == drawn.cells[1][0].value
        assert in_words.cells[0][0].nominal == drawn.cells[1][0].nominal
        assert set() == set(in_words.keys) - set(drawn.keys)


def test_a_dial_on_a_warmer_machine_may_be_out_by_more(tmp_path: Path) -> None:
    """The band holds where the machine stands, not where the gauge's own entry says that it is.

    By hand: 2.5 % of 250 bar, 2 bar found, 10 K × 0.04 % of 250 bar and half a mark of 10 bar are 14.25 bar.
    """
    folder = copy_fleet(tmp_path / "site")
    places = folder / "content/data/places.yaml"
    change(places, "theatre:\n  temperature: {low: 18 °C, usual: 20 °C, high: 24 °C}",
           "theatre:\n  temperature: {low: 18 °C, usual: 20 °C, high: 24 °C}\n"
           "hot-room:\n  temperature: {low: 20 °C, usual: 25 °C, high: 30 °C}")  # fmt: skip
    machines = folder / "content/data/machines.yaml"
    text = machines.read_text(encoding="utf-8").replace("  place: theatre\n", "  place: hot-room\n", 1)
    machines.write_text(text, encoding="utf-8")
    read = result_of(DIAL + CHANGE, folder).as_read
    assert ["Reading", "100", "15", "85", "115"] == read["rows"][0]
    assert "20\u00a0°C to 30\u00a0°C" in read["condition"]


def test_nothing_is_promised_of_a_dial_of_unknown_accuracy(tmp_path: Path) -> None:
    """No band and no true pressure, a warning in their place, and no mark at which to change."""
    folder = copy_fleet(tmp_path / "site")
    change(folder / "content/data/gauges.yaml",
           "  accuracy: {class: 2.5}\n  place: theatre\n  checked: 2026-03-01\n  found_error: 2 bar",
           "  accuracy: unknown\n  answers: {accuracy-unknown: its papers are lost}")  # fmt: skip
    read = result_of(DIAL + ")", folder).as_read
    assert [["Reading", "100", "not known", "not known", "not known"]] == read["rows"]
    assert [
        "WARNING: Nobody knows how far this dial may be out. Promise nothing from its reading: weigh the cylinder, or "
        "take a gauge whose accuracy is known."
    ] == read["cautions"]
    assert not any("truth" in word or "true pressure" in word for word in read["words"])
    ((code, wrong, *_),) = told(DIAL + CHANGE, folder)
    assert "E523" == code
    assert "the accuracy of the gauge yoke-oxygen is unknown, so nothing can be promised from its reading" == wrong


TOGETHER = "cylinder= and use= together, with machine= where it hangs on several; or none of them"


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        (
            ', cylinder="oxygen-e", time="15 min")',
            ("E529", "a mark where to change the cylinder needs use too", TOGETHER, 'use="bellows"'),
        ),
        (
            ', machine="theatre-1")',
            (
                "E529",
                "a mark where to change the cylinder needs cylinder and use too",
                TOGETHER,
                'cylinder="oxygen-e"',
            ),
        ),
        (
            ', cylinder="oxygen-transfer", use="mask", time="15 min")',
            (
                "E522",
                "oxygen-transfer is read on its own gauge, integral-dial",
                "its own gauge: gauge=",
                'gauge="integral-dial"',
            ),
        ),
        (
            CHANGE.replace("15 min", "15 h"),
            (
                "E531",
                "even a full cylinder may not last 15\u00a0h and 5\u00a0min more for the change "
                "(Ventilator, 1\u00a0L/min set: up to 10.1\u00a0L/min)",
                "at most 50\u00a0min",
                'time="50 min"',
            ),
        ),
    ],
    ids=["without a use", "a machine alone", "another gauge", "too long"],
)
def test_a_mark_that_cannot_be_is_refused(more: str, expected: tuple[str, str, str, str]) -> None:
    """What is lacking, or contradicts, is said with what to write."""
    assert [expected] == told(DIAL + more)


def test_a_mark_for_a_cylinder_of_another_gas_is_refused() -> None:
    """The name on the dial is that of the cylinder's gas."""
    call = DIAL.replace('gas="oxygen"', 'gas="air"') + CHANGE
    assert [("E556", "the cylinder oxygen-e holds oxygen", "oxygen", 'gas="oxygen"')] == told(call)


def test_a_dial_takes_the_gas_of_its_entry(tmp_path: Path) -> None:
    """A gauge on which nothing is read is drawn with no other name than the one its entry gives."""
    folder = copy_fleet(tmp_path / "site")
    gauges = folder / "content/data/gauges.yaml"
    more = "\ntest-gauge:\n  gas: air\n  unit: bar\n  span: {low: 0 bar, high: 250 bar}\n  scale_interval: 5 bar\n"
    gauges.write_text(gauges.read_text(encoding="utf-8") + more + "  accuracy: {class: 0.6}\n", encoding="utf-8")
    call = 'gauge_figure(gauge="test-gauge", gas="{}", reading="70 bar")'
    assert (
        "Dial of the air gauge that ends at 250\u00a0bar, at 70\u00a0bar"
        == result_of(call.format("air"), folder).as_read["title"]
    )
    assert [("E556", "the gauge test-gauge reads air", "air", 'gas="air"')] == told(call.format("oxygen"), folder)


@pytest.mark.parametrize(
    ("standard", "words", "source"),
    [
        ("ISO 32", "white and black: air by ISO 32", "ISO 32 as printed in EN 1089-3:2011, clause 6.2.3"),
        ("CGA C-9", "yellow: air by CGA C-9", "a draft guidance on medical gases of 2003 that lists CGA C-9"),
    ],
)
def test_colours_are_those_of_the_departments_standard(standard: str, words: str, source: str, tmp_path: Path) -> None:
    """A swatch stands with its word, the gas and the standard, and moves with the department's choice."""
    folder = copy_fleet(tmp_path / "site")
    department = folder / "content/data/department.yaml"
    text = department.read_text(encoding="utf-8")
    department.write_text(re.sub(r"(?m)^colour_marks:.*$", f"colour_marks: {standard}", text), encoding="utf-8")
    call = 'pin_figure(gas="air")'
    assert words in result_of(call, folder).as_read["words"]
    assert any(source in line for line in working_of(call, folder))


def test_the_whole_of_a_pin_figure_in_words() -> None:
    """Where each hole and each pin is, facing it; every gas that the code lets in; the label counts, not the fit."""
    read = result_of('pin_figure(gas="carbon dioxide")').as_read
    assert "Pin index 1-6, carbon dioxide: where the holes and the pins are" == read["caption"]
    assert ["Position", "Hole, seen facing the cylinder valve", "Pin, seen facing the yoke"] == read["heads"]
    assert [
        ["1", "1st from the left", "1st from the right"],
        ["6", "6th from the left", "6th from the right"],
    ] == read["rows"]
    assert read["condition"].endswith(
        "Position 1 lies on the left, seen facing the cylinder valve; on the yoke it is the other way round. This code "
        "lets in: carbon dioxide; oxygen/carbon dioxide above 7\u00a0% carbon dioxide. The code fits; read the label."
    )
    assert [
        "WARNING: That a cylinder fits does not say that its gas is right. Read the gas name on the label. The colour "
        "comes last: it only confirms, and it is not the same in every country.",
        "WARNING: A yoke with a bent or missing pin, or with two washers in it, lets a wrong cylinder in. Look at pins "
        "and washer before each change.",
    ] == read["cautions"]


def test_a_pin_figure_takes_a_cylinder_and_refuses_one_without_pins() -> None:
    """The same gases, cylinders and refusals as pin_index."""
    assert (
        result_of('pin_figure(cylinder="oxygen-e")').as_read["rows"]
        == (result_of('pin_figure(gas="oxygen")').as_read["rows"])
    )
    for wrong in ('cylinder="oxygen-transfer"', 'gas="oxygen/helium"', 'gas="oxygen", cylinder="oxygen-e"', ""):
        assert told(f"pin_index({wrong})") == told(f"pin_figure({wrong})")


def test_no_pins_are_drawn_where_nobody_knows_which_end_is_position_1(tmp_path: Path) -> None:
    """Left or right would be a guess, and a guess on paper hangs a wrong cylinder; the code alone is told."""
    folder = copy_fleet(tmp_path / "site")
    department = folder / "content/data/department.yaml"
    text = department.read_text(encoding="utf-8")
    department.write_text(re.sub(r"(?m)^pin_position_1:.*\n", "", text), encoding="utf-8")
    ((code, wrong, _, example),) = told('pin_figure(gas="oxygen")', folder)
    assert "E557" == code
    assert "department.yaml does not say on which side position 1 lies, and the drawing would be a guess" == wrong
    assert "pin_position_1: left" == example
    assert "2-5" == result_of('pin_index(gas="oxygen")', folder).as_read["shown"]


@pytest.mark.parametrize(
    ("call", "names"),
    [
        (
            "yoke_figure()",
            "body of the yoke, hinge, retaining screw, nipple, sealing washer, filter, check valve, index pins, "
            "yoke plug",
        ),
        ("cutaway_figure()", "socket, bent tube, flattened section, closed end, link, sector, pinion, pointer"),
    ],
)
def test_each_part_says_what_it_does_and_what_follows_when_it_is_bad(call: str, names: str) -> None:
    """One row a part, in the order of the drawing's numbers, both columns filled, and the manufacturer first."""
    read = result_of(call).as_read
    assert [f"{number} {name}" for number, name in enumerate(names.split(", "), 1)] == [row[0] for row in read["rows"]]
    assert all(len(does) > 15 and len(bad) > 15 for _, does, bad in read["rows"])
    assert read["condition"].endswith("The manufacturer's instructions come first.")
    assert any(caution.startswith("WARNING") for caution in read["cautions"])
