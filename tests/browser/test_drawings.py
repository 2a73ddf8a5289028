"""Drawings as a browser measures them: no text leaves its ground, lies on another, or is too small to read."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from playwright.sync_api import Browser

from yokebook.calls.pin_words import code_text, codes_of, lets_in, swatch
from yokebook.figures import cutaway, dial, pins, yoke
from yokebook.gases import NAMES
from yokebook.physics.pins import Side

# The scales of cylinder gauges that the demo has, and a finely divided one with five digits.
SCALES = (("bar", 250, 10), ("bar", 100, 5), ("psi", 3000, 100), ("kPa × 100", 315, 5), ("kPa", 25000, 1000))
SMALLEST_PX = 11.0
"""The smallest letters on a narrow screen (common practice, no source)."""
NARROW_PX = 288
"""What a screen of 320 leaves for a drawing."""
_MEASURE = """() => [...document.querySelectorAll('svg')].map(svg => [
  svg.viewBox.baseVal.width, svg.viewBox.baseVal.height, [...svg.querySelectorAll('text')].map(text => {
    const box = text.getBBox();
    return [text.textContent, box.x, box.y, box.width, box.height, parseFloat(getComputedStyle(text).fontSize)];
  })])"""


@dataclass(frozen=True)
class Text:
    """A text of a drawing with its box, in the drawing's own units."""

    words: str
    left: float
    top: float
    width: float
    height: float
    size: float

    def covers(self, other: Text) -> bool:
        """Return whether two texts lie on each other; boxes are higher than letters, so a fifth of one is air."""
        air = 0.2 * min(self.height, other.height)
        beside = self.left >= other.left + other.width or other.left >= self.left + self.width
        apart = self.top + air >= other.top + other.height or other.top + air >= self.top + self.height
        return not (beside or apart)


def _dial(gas: str, standard: str, unit: str, high: int, interval: int, reading: int) -> str:
    """Return a dial with all its marks."""
    low, most = (reading + tenths * Decimal(interval) / 10 for tenths in (-13, 13))
    colours = swatch(gas, codes_of(gas)[0][2], standard)
    scale = (Decimal(0), Decimal(high), Decimal(interval))
    return dial.draw(dial.Dial(gas, unit, *scale, Decimal(reading), (low, most), Decimal(2 * interval), colours))


def _pins(gas: str, standard: str) -> list[str]:
    return [
        pins.draw(pins.Pins(told, code, code_text(code), side, lets_in(code), swatch(told, of, standard)))
        for told, code, of in codes_of(gas)
        for side in Side
    ]


STANDARDS = ("ISO 32", "CGA C-9")
DRAWINGS = [
    yoke.draw(),
    cutaway.draw(),
    *(_dial("oxygen", "ISO 32", *scale, reading) for scale in SCALES for reading in (0, scale[2] * 7, scale[1])),
    *(_dial(gas, standard, *SCALES[0], 100) for gas in NAMES for standard in STANDARDS),
    *(drawn for gas in NAMES for standard in STANDARDS for drawn in _pins(gas, standard)),
]


def test_each_text_of_a_drawing_has_room(browser: Browser) -> None:
    """Inside its ground, on no other text, at least 11 px on a narrow screen: each gas, standard and scale.

    The two browsers take letters of different width for sans-serif.
    """
    page = browser.new_page()
    page.set_content("\n".join(DRAWINGS))
    wrong = []
    for width, height, measured in page.evaluate(_MEASURE):
        texts = [Text(*text) for text in measured]
        outside = [
            text
            for text in texts
            if text.left < 0 or text.top < 0 or text.left + text.width > width or text.top + text.height > height + 1
        ]
        small = [text for text in texts if text.size * NARROW_PX / width < SMALLEST_PX]
        covered = [(one, other) for n, one in enumerate(texts) for other in texts[:n] if one.covers(other)]
        if outside or small or covered:
            wrong.append((texts[0].words, outside, small, covered))
    page.close()
    assert [] == wrong
