"""How much room the words of a machine card take on its sheet: what does not fit is refused, never set smaller.

The sizes here are those of the card's style sheet (`yokebook-card.css`); a test prints the fullest cards of both.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

_PT_PER_MM = 72 / 25.4
# Advance widths in thousandths of the size: of Liberation Sans 2.1, which has those of Arial and Helvetica.
_REGULAR = {
    191: "'", 222: "ijl’", 260: "|", 278: " !,./:;I[\\]ft·\u00a0", 333: "()-`r", 334: "{}", 355: '"', 389: "*",
    400: "°", 469: "^", 500: "Jcksvxyz", 549: "÷≥±", 556: "#$0123456789?L_abdeghnopqu–", 584: "+<=>~×", 611: "FTZ",
    667: "&ABEKPSVXY", 722: "CDHNRUw", 778: "GOQ", 833: "Mm", 889: "%", 944: "W", 1015: "@",
}  # fmt: skip
_BOLD = {
    238: "'", 278: " ,./I\\ijl·’\u00a0", 280: "|", 333: "!()-:;[]`ft", 389: "*r{}", 400: "°", 474: '"', 500: "z",
    549: "÷≥±", 556: "#$0123456789J_aceksvxy–", 584: "+<=>^~×", 611: "?FLTZbdghnopqu", 667: "EPSVXY", 722: "&ABCDHKNRU",
    778: "GOQw", 833: "M", 889: "%m", 944: "W", 975: "@",
}  # fmt: skip
_WIDTHS = {
    is_bold: {letter: width for width, letters in face.items() for letter in letters}
    for is_bold, face in ((False, _REGULAR), (True, _BOLD))
}
_WIDEST = 1015
# A browser may set each letter to whole pixels of the screen: Chromium was seen to make a head 3 % wider.
_WIDER_IN_A_BROWSER = 1.04
_CELL_SIDES_PT = 7.0
_READING_SHARE = 0.28
_HAZARD_RULE_PT = 10.0


@dataclass(frozen=True)
class Style:
    """How a paragraph is set: size, height of a line, space below it [pt], and in which face."""

    size_pt: float
    line_pt: float
    below_pt: float
    is_bold: bool = True


TABLE = Style(14, 17, 3)
"""Each word of the card's table."""
HEAD = Style(16, 19, 2)
HAZARD = Style(10, 12, 3)
CAPTION = Style(10, 12, 2)
BESIDE = Style(9, 11, 3, is_bold=False)
FIRST = Style(11, 13, 2)
SMALL = Style(7.5, 9, 4, is_bold=False)
SMALL_OF_A5 = Style(9.5, 11.5, 4, is_bold=False)


@dataclass(frozen=True)
class Sheet:
    """A sheet of card, upright: its size, margin, height of foot and width of dial [mm], and how small print is set."""

    width_mm: float
    height_mm: float
    margin_mm: float
    foot_mm: float
    dial_mm: float
    small: Style

    @property
    def inner_mm(self) -> float:
        """The width between the margins."""
        return self.width_mm - 2 * self.margin_mm

    @property
    def beside_mm(self) -> float:
        """The width that is left beside the dial; 3 mm stand between the two."""
        return self.inner_mm - self.dial_mm - 3

    @property
    def body_mm(self) -> float:
        """The height that is there for all but the foot."""
        return self.height_mm - 2 * self.margin_mm - self.foot_mm


SHEETS = {
    "A6": Sheet(105, 148, 4, foot_mm=10, dial_mm=34, small=SMALL),
    "A5": Sheet(148, 210, 5, foot_mm=17, dial_mm=56, small=SMALL_OF_A5),
}
"""By the name of the size (ISO 216)."""


@dataclass(frozen=True)
class CardWords:
    """All words of a card, by where they stand: beside the dial, in the table below both, in small letters under it."""

    head: str
    hazards: Sequence[str]
    first: str
    beside: str
    caption: str
    rows: Sequence[Sequence[str]]
    under: str


def needed_mm(words: CardWords, sheet: Sheet) -> float:
    """Return the height [mm] that a card takes above its foot."""
    beside, inner = sheet.beside_mm * _PT_PER_MM, sheet.inner_mm * _PT_PER_MM
    text = _height(HEAD, words.head, beside) + _height(FIRST, words.first, beside)
    text += sum(_height(HAZARD, hazard, beside - _HAZARD_RULE_PT) for hazard in words.hazards)
    text += _height(BESIDE, words.beside, beside)
    table = sum(_row_height(row, inner) for row in words.rows) + _height(CAPTION, words.caption, inner)
    return max(sheet.dial_mm, text / _PT_PER_MM) + (table + _height(sheet.small, words.under, inner)) / _PT_PER_MM


def _height(style: Style, text: str, width_pt: float) -> float:
    return lines(text, style, width_pt) * style.line_pt + style.below_pt


def _row_height(cells: Sequence[str], width_pt: float) -> float:
    others = width_pt * (1 - _READING_SHARE) / (len(cells) - 1)
    widths = [width_pt * _READING_SHARE, *(others for _ in cells[1:])]
    most = max(lines(cell, TABLE, width - _CELL_SIDES_PT) for cell, width in zip(cells, widths, strict=True))
    return most * TABLE.line_pt + TABLE.below_pt


def lines(text: str, style: Style, width_pt: float) -> int:
    """Return how many lines a text takes when it is broken at its spaces; a word wider than a line is broken itself.

    >>> lines("By hand at low flow", TABLE, 90), lines("By hand", TABLE, 90)
    (2, 1)
    """
    count, used, width_pt = 1, 0.0, width_pt / _WIDER_IN_A_BROWSER
    space = _width(" ", style)
    for word in text.split(" "):
        width = _width(word, style)
        if used and used + space + width <= width_pt:
            used += space + width
            continue
        count += 1 if used else 0
        broken = max(math.ceil(width / width_pt) - 1, 0)
        count += broken
        used = width - broken * width_pt
    return count


def _width(text: str, style: Style) -> float:
    return sum(_WIDTHS[style.is_bold].get(letter, _WIDEST) for letter in text) * style.size_pt / 1000
