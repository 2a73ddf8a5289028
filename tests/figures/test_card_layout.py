"""How much room the words of a card take, against the letters of a font that lies on this machine."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from bench import found_or_left_out, program
from yokebook.figures import card_layout
from yokebook.figures.card_layout import BESIDE, SHEETS, TABLE, CardWords, Style, lines, needed_mm

WORDS = CardWords(
    head="theatre-1 · Oxygen",
    hazards=("Ventilate by hand.",),
    first="First: the left one",
    beside="For cylinders stamped 4.68 L (size E, UK), for dials that end at 250 bar.",
    caption="At least how long one cylinder lasts",
    rows=(("Reading (bar)", "Ventilator"), ("140", "55 min"), ("Change at", "70 bar")),
    under="Each tolerance at its worst.",
)


def _font(style: str) -> Path:
    """Return the file of Liberation Sans, with the widths of Arial and Helvetica; leave the test out without it."""
    command = [program("fc-match", "fontconfig"), "--format=%{family}|%{file}", f"Liberation Sans:style={style}"]
    family, _, file = subprocess.run(command, capture_output=True, text=True, check=True).stdout.partition("|")
    is_there = file if family == "Liberation Sans" else None
    return Path(found_or_left_out(is_there, "Liberation Sans", "apt-get install fonts-liberation"))


@pytest.mark.parametrize(("style", "is_bold"), [("Regular", False), ("Bold", True)])
def test_widths_are_those_of_the_font(style: str, is_bold: bool) -> None:
    """Each letter's advance as fontTools reads it from the font's own file, to a thousandth of the size."""
    font = TTFont(_font(style))
    names, metrics, units_per_em = font.getBestCmap(), font["hmtx"], font["head"].unitsPerEm
    letters = [chr(code) for code in range(32, 127)] + list("×÷≥°±·–’\u00a0")
    for letter in letters:
        advance = metrics[names[ord(letter)]][0] / units_per_em
        width = card_layout._width(letter, Style(1.0, 1.0, 0.0, is_bold))
        assert abs(advance - width) < 0.001, letter


@given(st.text("abc mW.", max_size=80), st.floats(20, 300))
def test_a_narrower_column_never_takes_fewer_lines(text: str, width_pt: float) -> None:
    """More room, no more lines; never none."""
    assert 1 <= lines(text, TABLE, width_pt + 10) <= lines(text, TABLE, width_pt)


@given(st.text("abc mW.", max_size=80))
def test_larger_letters_never_take_fewer_lines(text: str) -> None:
    """The table's letters take at least the lines of smaller ones."""
    assert lines(text, BESIDE, 100) <= lines(text, TABLE, 100)


def test_each_row_takes_its_height() -> None:
    """A row more is a line of the table more, 20 pt, on either sheet."""
    for sheet in SHEETS.values():
        more = CardWords(**{**vars(WORDS), "rows": (*WORDS.rows, ("100", "35 min"))})
        assert abs(needed_mm(more, sheet) - needed_mm(WORDS, sheet) - 20 * 25.4 / 72) < 1e-9


def test_the_table_is_never_smaller_than_14_pt() -> None:
    """What is read at arm's length."""
    assert 14 <= TABLE.size_pt


def test_sheets_are_those_of_the_standard() -> None:
    """ISO 216: A5 is 148 mm × 210 mm, A6 is 105 mm × 148 mm."""
    assert {"A5": (148, 210), "A6": (105, 148)} == {
        name: (sheet.width_mm, sheet.height_mm) for name, sheet in SHEETS.items()
    }
